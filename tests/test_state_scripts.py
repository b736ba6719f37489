"""What the kitchen screen makes of a journal, its scripts run by the Node that Playwright brings along: no browser."""

from __future__ import annotations

import json
import subprocess
from typing import Any

from tests.test_script_lengths import NODE, ROOT

UNUSED = """import(process.argv[1]).then(({ unusedHere }) => {
  console.log(JSON.stringify(unusedHere(JSON.parse(process.argv[2]))));
})"""
HERE, THERE = "this phone", "the other phone"


def line(name: str, kind: str, phone: str, revision: int, **data: str) -> dict[str, Any]:
    """One line of the journal."""
    return {
        "event_id": name,
        "kind": kind,
        "phone": phone,
        "revision": revision,
        "at": 1000,
        "logged_at": 1000,
        "data": data,
    }


def unused(events: list[dict[str, Any]], dough: int = 2, read: tuple[str, ...] = ()) -> list[str]:
    """By which entries the dough that was mixed on this phone is of no use, as they were not read yet."""
    kitchen = {"bake": {"events": events, "dough": dough}, "phone": HERE, "notes": {"read": read}}
    script = (ROOT / "static/js/state/unused.js").as_uri()
    run = subprocess.run(
        [str(NODE), "-e", UNUSED, script, json.dumps(kitchen)], capture_output=True, text=True, check=True
    )
    return [one["event_id"] for one in json.loads(run.stdout)["back"]]


MIXED = line("m", "done", HERE, 1, step_id="mix")
COLD = line("c", "done", HERE, 1, step_id="chill")
NOT_USED = line("n", "undo", THERE, 2, event_id="m")


def test_a_phone_whose_dough_another_phone_gave_no_use_is_told_until_it_was_read() -> None:
    assert unused([MIXED, COLD]) == []
    assert unused([MIXED, COLD, NOT_USED]) == ["n"]
    assert unused([MIXED, COLD, NOT_USED], read=("n",)) == []


def test_nobody_is_told_what_the_same_phone_took_back_or_what_is_the_dough_again() -> None:
    assert unused([MIXED, line("n", "undo", HERE, 2, event_id="m")]) == []
    assert unused([MIXED, NOT_USED, line("b", "undo", HERE, 2, event_id="n")]) == []
    assert unused([MIXED, NOT_USED], dough=1) == [], "the step itself tells: it is to be mixed again"


def test_the_phone_that_said_so_is_told_nothing() -> None:
    other = [one | {"phone": THERE if one["phone"] == HERE else HERE} for one in (MIXED, COLD, NOT_USED)]
    assert unused(other) == []


SAYS = """globalThis.said = { textContent: "" };
globalThis.document = { getElementById: (id) => (id === "said" ? said : null) };
const waits = [];
globalThis.setTimeout = (then) => waits.push(then);
import(process.argv[1]).then(({ say }) => {
  const seen = [];
  say("Press out, 18:40.");
  say("Given up.");
  waits[0]();
  seen.push(said.textContent);
  waits[1]();
  console.log(JSON.stringify([...seen, said.textContent]));
})"""


def test_words_that_were_said_go_again_and_take_no_others_with_them() -> None:
    """They stand at the foot of the screen for whoever listens to it, and are not true for ever."""
    script = (ROOT / "static/js/lib/dom.js").as_uri()
    run = subprocess.run([str(NODE), "-e", SAYS, script], capture_output=True, text=True, check=True)
    assert json.loads(run.stdout) == ["Given up.", ""]
