"""What sheets ask and answer travels in the bundle: every phrase is there, is asked for, and gets its figures."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from webapp.words.screen.bundle import PHRASES, phone_words

SCRIPTS = Path(__file__).parents[2] / "static" / "js"
NO_BUNDLE = "a page that is no kitchen: no bundle is at hand"
# Scripts that may say something of their own, and why; of every other a bundle brings it, down to the last label.
OF_THEIR_OWN = {
    "lib/labels.js": "what is said where there is no bundle, ever or yet, and the short words for one of before",
    "lib/format.js": "figures with their units, as web/filters.py writes them on pages",
    "lib/sheet.js": "what is wrong with what was typed, at its field: it must be there whatever a bundle brings",
    "lib/store.js": "an error that is caught; nobody reads it",
    "lib/sync.js": "an error that is caught; nobody reads it",
    "pages/guard.js": "says that the scripts did not come",
    **{
        f"pages/{name}.js": NO_BUNDLE
        for name in ("formula", "pack", "reminders", "share", "tonight", "trust", "unsent")
    },
}
_PATTERN = re.compile(r"(?:(?<=[(=:?,&|!] )|(?<=[(=!]))/(?![/*])(?:[^/\\\n\[]|\\.|\[(?:[^\]\\\n]|\\.)*\])+/")
_COMMENT = re.compile(r"(?m)^\s*//.*$|\s// .*$")
_SLOT = re.compile(r"\{(\w+)\}")
# What looks like words and is none: how a button looks, a slot, a name in the phone's store, to a worker.
_LOOKS = re.compile(
    r"^(?:pic|notice) \w+-- # $"
    r"|^(?:button|quiet|wide|due|soft|num|card|stack)(?:[ -]+[a-z-]+)*$|^\{\w+\}$|^[a-z -]*[a-z](?:__|--)[a-z_ -]+$"
    r"|^(?:kept ahead|given up|too old|not all of the page is kept|take over|Notification)$"  # ours, and a browser's
    r"|^(?:Home|End)$"  # keys
    r"|^due  #   # $|^ # px$|^the kitchen has not started$|^screen and \(max-width"  # a tag, a length
)
# A capital letter, or two words; of a text with figures in it one word that is no part of a name in code.
_WORDS = re.compile(r"(?<![\w/.-])[A-Z][a-z’]+(?![\w/.-])|[a-z’]{2,} [a-z’]{2,}")
_MARKUP = re.compile(r"<[^<>]*>|^<[^<>]*$")
_BESIDE_FIGURES = re.compile(r"(?<![\w/.:=#-])(?!min\b)[a-z’]{2,}(?![\w/:=-])")


def _calls(source: str) -> Iterator[str]:
    """What stands in the brackets of every `phrase(...)`."""
    for found in re.finditer(r"\bphrase\(", source):
        depth, at = 1, found.end()
        while depth:
            depth += {"(": 1, ")": -1}.get(source[at], 0)
            at += 1
        yield source[found.end() : at - 1]


def asked_in(source: str) -> list[tuple[str, frozenset[str]]]:
    """Each key that is asked for, with the names of its figures."""
    out = []
    for call in _calls(source):
        what, _, figures = call.partition("{") if "{" in call else (call, "", "")
        names = frozenset(
            re.findall(r"(?:^|,) ?(\w+)(?=[:,]| ?\})", re.sub(r"\([^()]*(?:\([^()]*\)[^()]*)*\)", "", figures))
        )
        out += [(key, names) for key in re.findall(r'"([^"]+)"', re.sub(r'=== "[^"]*"', "", what))]
    return out


def _texts(source: str) -> Iterator[tuple[str, bool]]:
    """Every text of a script, and whether figures are put into it; what is put in may hold texts again."""
    at = 0
    while at < len(source):
        mark, at = source[at], at + 1
        if mark in "\"'":
            end = next(i for i in range(at, len(source)) if source[i] == mark and source[i - 1] != "\\")
            yield source[at:end], False
            at = end + 1
        elif mark == "`":
            parts, begins = [], at
            while source[at] != "`":
                if source.startswith("${", at):
                    parts.append(source[begins:at])
                    inside = at = at + 2
                    depth = 1
                    while depth:
                        depth += {"{": 1, "}": -1}.get(source[at], 0)
                        at += 1
                    yield from _texts(source[inside : at - 1])
                    begins = at
                else:
                    at += 1
            parts.append(source[begins:at])
            yield " # ".join(parts), len(parts) > 1
            at += 1


def said_in(source: str) -> list[str]:
    """Every text of a script that is written for a person."""
    bare = _PATTERN.sub("0", _COMMENT.sub("", source))
    while call := next((one for one in _calls(bare) if one), ""):
        bare = bare.replace(f"phrase({call})", "phrase()")
    return [text for text, filled in _texts(bare) if not _LOOKS.match(text) and _is_said(_MARKUP.sub("", text), filled)]


def _is_said(text: str, filled: bool) -> bool:
    return bool(_WORDS.search(text) or (filled and _BESIDE_FIGURES.search(text)))


ALL = {path.relative_to(SCRIPTS).as_posix(): path.read_text(encoding="utf-8") for path in SCRIPTS.rglob("*.js")}
ASKED = [one for source in ALL.values() for one in asked_in(source)]


def test_every_phrase_that_a_script_asks_for_is_there_and_no_other() -> None:
    assert {key for key, _ in ASKED} == set(PHRASES)
    assert phone_words()["phrases"] == PHRASES


@pytest.mark.parametrize(("key", "figures"), sorted(set(ASKED), key=str))
def test_a_phrase_gets_the_figures_that_it_has_room_for(key: str, figures: frozenset[str]) -> None:
    assert set(_SLOT.findall(PHRASES[key])) == figures


@pytest.mark.parametrize("key", PHRASES)
def test_a_key_can_be_read_in_place_of_its_phrase(key: str) -> None:
    assert re.fullmatch(r"[a-z]+(?: [a-z]+)*", key)
    assert len(key) <= 30


@pytest.mark.parametrize("name", ALL)
def test_a_script_writes_nothing_that_a_person_reads(name: str) -> None:
    """And one that may say something of its own does."""
    assert bool(said_in(ALL[name])) is (name in OF_THEIR_OWN), said_in(ALL[name])


@pytest.mark.parametrize("name", sorted(ALL.keys() - OF_THEIR_OWN.keys()))
def test_a_sentence_that_is_planted_in_a_script_is_found(name: str) -> None:
    planted = ALL[name] + '\nsay("The dough is ready.");\n'
    assert said_in(planted) == ["The dough is ready."]


@pytest.mark.parametrize(
    "line",
    [
        'button("Bake it now", act, { kind: "quiet wide" })',
        'complain("Give the time.");',
        "el('p', {}, `${grams} too much`)",
        'el("p", {}, `${late ? `${late} late` : ""}`)',
        '["Just now", 0]',
        'form("Send", send, field)',
        "text(`<title>The day of ${title}</title>`)",
    ],
)
def test_a_text_that_comes_in_is_found(line: str) -> None:
    assert said_in(line)
