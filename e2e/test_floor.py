"""The kitchen in the oldest browsers that README names: what came later is taken away before the page begins.

The names are from the open tables of MDN (e2e/by_hand/newer_than_floor.mjs); syntax of later editions would not be
seen here, and is looked for in the texts.
"""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from e2e.home import ARMED, TITLE, Home, steps
from tests.samples import at

HERE = Path(__file__).resolve().parent
NAMES = (HERE / "newer_than_floor.txt").read_text(encoding="utf-8").split()
TAKE_AWAY = """
const BUILT_IN = { Array, Iterator: 0, JSON, Map, Math, Object, Promise, Set, String, Error, Date, Symbol, RegExp };
window.taken = 0;
window.wrong = [];
addEventListener("error", (event) => window.wrong.push(String(event.message)));
addEventListener("unhandledrejection", (event) => window.wrong.push(String(event.reason)));
for (const name of NAMES) {
  const [owner, member] = name.split(/[.:]/);
  const own = name.includes(":") || owner in BUILT_IN ? [window[owner]] : [];
  const whose = member ? [...own, ...(name.includes(":") ? [] : [window[owner]?.prototype])] : [window];
  for (const one of whose) {
    if (one && Object.hasOwn(one, member ?? owner)) {
      window.taken += delete one[member ?? owner] ? 1 : 0;
    }
  }
}
""".replace("NAMES", json.dumps(NAMES))
SHEETS = ("glass", "room", "felt", "dough", "pan", "late", "when")
# Of ECMAScript 2023 and later, or in Safari only after 16.0.
LATER_SYNTAX = {
    "a look behind in a pattern": re.compile(r"\(\?<[=!]"),
    "the flag v of a pattern": re.compile(r"/[a-z]*v[a-z]*\.(?:test|exec)\("),
    "an import with attributes": re.compile(r"\bimport\b[^;\n]*\bwith\s*\{"),
    "a using declaration": re.compile(r"^\s*(?:await\s+)?using\s+\w+\s*=", re.MULTILINE),
    "a static block": re.compile(r"\bstatic\s*\{"),
}


def test_what_is_taken_away_is_what_came_later() -> None:
    """By MDN: findLast came to Firefox in 104, toSorted with 115, union of Set with 127; timeout was there with 100."""
    assert {"Array.findLast", "Array.toSorted", "Set.union", "Iterator.map"} <= set(NAMES)
    assert not {"AbortSignal.timeout", "structuredClone", "Array.at", "Object.hasOwn", "HTMLDialogElement"} & set(NAMES)


@pytest.mark.parametrize("path", sorted((HERE.parent / "static").rglob("*.js")), ids=lambda path: path.stem)
def test_no_script_is_written_in_later_words(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert [name for name, pattern in LATER_SYNTAX.items() if pattern.search(text)] == []


def test_an_evening_without_all_that_came_later(home: Home) -> None:
    plan = home.bake(at(16, 46), "mix")
    tab = home.open(plan, TAKE_AWAY)
    assert tab.js("window.taken") > 50
    assert not tab.js("'findLast' in Array.prototype || 'toSorted' in Array.prototype")
    for key in SHEETS:
        tab.touch(f"[data-key={key}]")
        tab.until("document.querySelector('dialog')")
        tab.touch("dialog [data-key=close]")
        tab.until("!document.querySelector('dialog')")
    tab.until(ARMED)
    tab.touch("[data-key=looked-doubled]")
    tab.until("document.querySelector('.undo-bar')?.innerText.includes('It looks')")
    tab.until(ARMED)
    tab.touch("[data-key=done]")
    tab.until(f"{TITLE} === 'Light the oven'")
    tab.js("window.ahead = 5400")
    tab.until("document.querySelector('.alarm')")
    for _ in range(3):
        before = tab.js(TITLE)
        tab.until(ARMED)
        tab.touch("[data-key=done]")
        tab.until(f"{TITLE} !== {before!r}")
    assert {"mix", "press"} < set(steps(tab, plan))
    assert tab.js("window.wrong") == []
