"""What a person reads is written in `words/`; which rooms may write sentences of their own, and to whom, is told here.

DEVELOPERS.md ("Who may import whom") says it in a line; core has a stricter test of its own.
"""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from tests.core.test_no_prose import PROSE

WEBAPP = Path(__file__).parents[2] / "webapp"
OF_THEIR_OWN = {
    "words": "it is the place for them",
    "data": "readers of tables: the tables' texts are data, as a step's is",
    "core": "tests/core/test_no_prose.py holds it to none at all",
    "commands": "who types commands",
    "__main__.py": "who types commands",
    "up.py": "who sets a checkout up",
    "server": "who runs the server, in its log and at its start",
    "machine": "who runs the server: settings, folders, secrets; the guard's words are in words/problems",
    "store": "who runs the server: what is wrong with a database",
    "records.py": "names the shape that a value of JSON should have, for a page about a file or for a log",
    "web/phone/described": "who writes a client of the JSON API",
    "web/files": "who writes a script that cannot be joined",
}
# A word that begins as a label does, or two words side by side.
LABEL = re.compile(r"(?<![\w/.-])[A-Z][a-z’]+(?![\w/.-])|[a-z’]{2,} [a-z’]{2,}")
# What looks like words and is none: headers, rates, addresses, what OpenSSL says of a certificate, our names in files.
_TECHNICAL = re.compile(
    r"^/|^not yet valid$|'(?:none|self)'|=\(self\)|max-age=|^private, |^\d+ per hour$|^\d+ per minute; \d+ per hour$"
    r"|^(?:Accept|Allow|Depth|Host|Lax|Location|Origin|Topic|Urgency|Android|Macintosh)$"
    r"|^(?:Suppertide|suppertide kitchen)$"
)
# Names that a type or a class made at run time has.
_NAMES = {"One", "Kind", "Form", "Event"}
_MARKUP = re.compile(r"<[^<>]*(?:>|$)|^[^<>]*>")


def _may_say(path: str) -> bool:
    return any(path == room or path.startswith(f"{room}/") for room in OF_THEIR_OWN)


def _unread(tree: ast.AST) -> set[int]:
    """Docstrings, what is asserted, what goes into a log or a traceback: nobody who bakes reads them."""
    found: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            found.add(id(node.value))
        aside = node.msg if isinstance(node, ast.Assert) else None
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            owner = node.func.value
            name = owner.attr if isinstance(owner, ast.Attribute) else getattr(owner, "id", "")
            aside = node if name in ("log", "logger") or node.func.attr == "__init__" else aside
        # keys of words/pages/pictures.py
        # Of the chart's words the numbers alone are meant; the others name a record and one of its figures.
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") in (
            "chart_words",
            "typed",
            "typed_whole",
            "held",
        ):
            found |= {id(one) for arg in node.args for one in ast.walk(arg)}
        if isinstance(node, ast.Raise) and getattr(getattr(node.exc, "func", None), "id", "").endswith("Error"):
            found |= {id(one) for one in getattr(node.exc, "args", ()) if isinstance(one, ast.Constant)}
        found |= {id(one) for one in ast.walk(aside)} if aside else set()
    return found


def sentences_in(source: str) -> list[str]:
    """Every text of the source that a person could be meant to read."""
    tree = ast.parse(source)
    unread = _unread(tree)
    texts = (one for one in ast.walk(tree) if isinstance(one, ast.Constant) and isinstance(one.value, str))
    return [f"{one.lineno}: {one.value}" for one in texts if id(one) not in unread and _is_said(one.value)]


def _is_said(text: str) -> bool:
    shown = _MARKUP.sub(" ", text)
    words = PROSE.search(shown) or LABEL.search(shown)
    return bool(words) and text not in _NAMES and not _TECHNICAL.search(text)


def test_no_other_room_writes_a_sentence() -> None:
    every = {path.relative_to(WEBAPP).as_posix(): path for path in WEBAPP.rglob("*.py")}
    found = {name: sentences_in(path.read_text(encoding="utf-8")) for name, path in every.items() if not _may_say(name)}
    assert len(found) > 150
    assert {name: texts for name, texts in found.items() if texts} == {}


@pytest.mark.parametrize("room", OF_THEIR_OWN)
def test_each_room_that_may_is_there(room: str) -> None:
    assert (WEBAPP / room).exists()


@pytest.mark.parametrize(
    "line",
    [
        'raise refused("file", "No file was chosen.", "Choose one.")',
        'flash("Saved: it can be chosen.", "good")',
        'answers.wrong("at", f"{typed} is no time of day.")',
        'return f"<title>How quick this dough is</title>"',
        'forms.text("Length, or across")',
        'answers.choice("shape", PAN_SHAPES, what="The shape")',
        'store.add_phone(f"Phone {place}")',
        'flash("Saved")',
        'text += " (before joining)"',
        'raise refused("grams", "too much")',
    ],
)
def test_a_sentence_that_comes_in_is_found(line: str) -> None:
    assert sentences_in(line)


@pytest.mark.parametrize(
    "line",
    [
        'log.exception("a calendar could not be read")',
        'assert method is not None, "nothing was wrong here"',
        'headers["Cache-Control"] = "private, no-cache"',
        'raise UnreadableEventError("no event")',
        '"<svg class=\\"tide tide--small\\" viewBox=\\"0 0 1 1\\">"',
    ],
)
def test_what_nobody_reads_is_none(line: str) -> None:
    assert not sentences_in(line)
