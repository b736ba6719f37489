"""Style sheets and what they are for: no rule for a class that nothing has, no class put on that has no rule.

Read from the sources, without a browser: of templates the class attributes with all that their expressions may put in,
of scripts and of what makes pictures what is given as a class.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import chain
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SHEETS = {path.name: path.read_text(encoding="utf-8") for path in (ROOT / "static/css").glob("*.css")}
SOURCES = {
    path.relative_to(ROOT).as_posix(): path.read_text(encoding="utf-8")
    for path in chain(
        (ROOT / "templates").rglob("*.html"), (ROOT / "static/js").rglob("*.js"), (ROOT / "webapp").rglob("*.py")
    )
}
# Classes with no rule, and what they are for.
NO_LOOKS = {
    "tide-view": "a script finds the pictures that can be read off by it",
    "qr-line": "the library that draws the square names its line so",
    "next__what": "tests find what comes next by it",
    "offer__yeast": "tests find an offer's yeast by it",
    "oven": "tests find what the oven is set to by it",
    "sheet__steps": "tests find the printed steps by it",
    "standing": "tests find where the bake stands by it",
}
_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
_CLASS = r"[A-Za-z](?:[\w-]*\w)?"
_WORKED_OUT = re.compile(r"\{\{.*?\}\}|\{%.*?%\}|\$\{.*?\}", re.DOTALL)
_CHOSEN = re.compile(r"\{%.*?%\}", re.DOTALL)
_AS_WHOLE = re.compile(r"(?<![\w-])(?:\{\{.*?\}\}|\{%.*?%\})", re.DOTALL)  # with no half of a class before it
_ATTRIBUTE = re.compile(r'\bclass="((?:\{\{.*?\}\}|\{%.*?%\}|[^"])*)"', re.DOTALL)
_GIVEN = re.compile(r"""(?:\bclass: |className = |classList\.\w+\(|"class", )("[^"]*"|`[^`]*`|[^,}\n]*)""")
_QUOTED = re.compile(r""""([^"]*)"|'([^']*)'|`([^`]*)`""")


def styled(sheet: str) -> set[str]:
    """The classes in the selectors of a style sheet."""
    heads = (head.strip() for head in re.findall(r"([^{};]+)\{", _COMMENT.sub("", sheet)))
    return {name for head in heads if not head.startswith("@") for name in re.findall(rf"\.({_CLASS})", head)}


def put_on(name: str, source: str) -> Iterator[str]:
    """The classes that a template, a script, a maker of pictures puts on; those that are only half written left out."""
    if name.endswith(".js"):
        given = [text for match in _GIVEN.findall(source) for text in _texts(match)]
    else:
        attributes = _ATTRIBUTE.findall(source)
        given = [
            *attributes,
            *(text for one in attributes for held in _AS_WHOLE.findall(one) for text in _texts(held)),
        ]
    for text in given:
        whole = re.sub(r"\S*\0\S*", " ", _WORKED_OUT.sub("\0", _CHOSEN.sub(" ", text)))
        yield from (word for word in whole.split() if re.fullmatch(_CLASS, word))


def _texts(code: str) -> list[str]:
    return ["".join(parts) for parts in _QUOTED.findall(code)]


STYLED = {name: styled(sheet) for name, sheet in SHEETS.items()}
ALL_STYLED = set[str]().union(*STYLED.values())
WORDS = {word for source in SOURCES.values() for word in re.findall(_CLASS, source)}
# "notice--" and "tide__", behind which a kind is put in.
BEGINNINGS = {
    begun
    for source in SOURCES.values()
    for begun in re.findall(r"""([A-Za-z][\w-]*(?:--|__|-))(?:\$?\{|["'] ~)""", source)
}


@pytest.mark.parametrize("name", sorted(SHEETS))
def test_every_class_that_a_style_sheet_has_a_rule_for_is_put_on_somewhere(name: str) -> None:
    idle = {one for one in STYLED[name] - WORDS if not any(one.startswith(begun) for begun in BEGINNINGS)}
    assert idle == set()


@pytest.mark.parametrize("name", [name for name, source in SOURCES.items() if set(put_on(name, source))])
def test_every_class_that_is_put_on_has_a_rule(name: str) -> None:
    assert set(put_on(name, SOURCES[name])) - ALL_STYLED - NO_LOOKS.keys() == set()


def test_a_class_with_no_rule_is_told_with_its_reason_only_where_it_has_none() -> None:
    worn = {one for name, source in SOURCES.items() for one in put_on(name, source)}
    assert NO_LOOKS.keys() - ALL_STYLED == NO_LOOKS.keys()
    assert NO_LOOKS.keys() - worn - {"qr-line"} == set()  # that one is no attribute of ours


def test_a_rule_that_is_lost_and_a_class_that_nobody_wears_are_found() -> None:
    assert styled(".a .b--c:hover > p, td.d { } @media (x) { .e { } } /* .f { } */") == {"a", "b--c", "d", "e"}
    page = '<p class="a {{ "b" if c else "d" }} e--{{ f }}"><i class="{% if g %}h{% endif %}">'
    assert set(put_on("templates/base.html", page)) == {"a", "b", "d", "h"}
    line = 'el("p", { class: due ? "a b" : "c" }); el("p", { class: `d e--${f}` }, "g")'
    assert set(put_on("static/js/lib/dom.js", line)) == {"a", "b", "c", "d"}
