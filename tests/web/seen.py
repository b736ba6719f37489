"""What a person sees of a page, what a browser would send for a form on it, what the API says went wrong."""

from __future__ import annotations

import html
import re

from werkzeug.test import TestResponse

from tests.web.conftest import InKitchen


def mistakes(page: str) -> str:
    """The words of every field error on a page."""
    found = re.findall(r'class="field__error".*?<span>(.*?)</span></p>', page, re.DOTALL)
    on_top = re.findall(r'id="mistakes".*?</div>', page, re.DOTALL)
    return html.unescape(" ".join(found + on_top))


def words(page: str) -> str:
    """All that can be read on a page, but for the words in its drawings, on one line."""
    return " ".join(html.unescape(re.sub(r"<(script|svg)[\s\S]*?</\1>|<[^>]+>", " ", page)).split())


def spaced(page: str) -> str:
    """The page with ordinary spaces between a number and its unit, which a page holds together."""
    return page.replace("\u00a0", " ")


def shown(page: str, section: str) -> dict[str, str]:
    """The values of one settings form, as a browser would send them back untouched."""
    form = re.search(rf'<form[^>]*action="/settings/{section}[^"]*".*?</form>', page, re.DOTALL)
    assert form, section
    return fields_of(form[0])


def fields_of(form: str) -> dict[str, str]:
    """What a browser sends for a form: inputs, ticked boxes, chosen options, texts."""
    sent: dict[str, str] = {}
    for tag in re.findall(r"<input[^>]*>", form):
        found = dict(re.findall(r'([a-z_-]+)="([^"]*)"', tag))
        if found.get("type") in ("checkbox", "radio") and " checked" not in tag:
            continue
        if "name" in found:
            sent[found["name"]] = html.unescape(found.get("value", ""))
    for name, inner in re.findall(r'<select[^>]*name="([^"]+)"[^>]*>(.*?)</select>', form, re.DOTALL):
        chosen = re.search(r'<option selected value="([^"]*)"', inner)
        first = re.search(r'<option[^>]*value="([^"]*)"', inner)
        sent[name] = html.unescape((chosen or first or [""])[1]) if chosen or first else ""
    for name, inner in re.findall(r'<textarea[^>]*name="([^"]+)"[^>]*>(.*?)</textarea>', form, re.DOTALL):
        sent[name] = html.unescape(inner.strip())
    sent.pop("csrf_token", None)
    return sent


def sheet(kitchen: InKitchen, changes: dict[str, str] | None = None) -> dict[str, str]:
    """The larder's empty sheet filled in, in grams: 500 g flour, 350 g water, 11 g salt, 1 g yeast."""
    form = re.findall(r"<form.*?</form>", kitchen.get("/larder/new").text, re.DOTALL)[0]
    rows = {"0-name": "Flour from the mill", "0-amount": "500", "1-name": "Water", "1-amount": "350", "2-name": "Salt",
            "2-amount": "11", "3-name": "", "yeast": "1", "name": "Mill dough"}  # fmt: skip
    return fields_of(form) | rows | (changes or {})


def problem_of(response: TestResponse) -> dict[str, str]:
    """The error of an answer, after checking that it has the one shape."""
    assert response.mimetype == "application/json", response.text
    answer = response.json
    assert answer is not None
    assert set(answer) == {"error", "errors"}
    assert answer["errors"][0] == answer["error"]
    for one in answer["errors"]:
        assert set(one) == {"field", "message", "way_out"}
        assert all(isinstance(value, str) for value in one.values())
        assert one["field"]
        assert one["message"]
    error: dict[str, str] = answer["error"]
    return error
