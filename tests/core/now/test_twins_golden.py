"""The vectors that Python and JavaScript are both held to (the browser reads the same file: e2e/test_js_twins.py)."""

from __future__ import annotations

import json

import pytest

from tests.golden.write import FILE
from webapp.core.now.journal import fold
from webapp.core.now.rescue import rescues
from webapp.core.now.retime import retime
from webapp.core.plan import Event, Plan
from webapp.records import from_plain, to_plain

VECTORS = json.loads(FILE.read_text(encoding="utf-8"))


@pytest.mark.parametrize("vector", VECTORS, ids=lambda v: f"bake-{v['n']}")
def test_python_gives_what_the_vectors_say(vector: dict[str, object]) -> None:
    plan = from_plain(Plan, vector["plan"])
    events = [from_plain(Event, one) for one in vector["events"]]  # type: ignore[attr-defined]
    now = int(vector["now"])  # type: ignore[call-overload]
    state = fold(plan, events)
    assert to_plain(state) == vector["state"]
    assert to_plain(retime(plan, state, now)) == vector["retimed"]
    assert to_plain(rescues(plan, state, now)) == vector["rescues"]


def test_the_vectors_reach_every_flag_every_way_out_and_every_edge() -> None:
    flags = {step["flag"] for vector in VECTORS for step in vector["retimed"]["steps"]}
    kinds = {rescue["kind"] for vector in VECTORS for rescue in vector["rescues"]}
    edges = {word for vector in VECTORS for word in vector["retimed"]["outside"]}
    assert flags == {"", "waits", "past", "never", "long"}
    assert kinds == {"fridge", "warm", "later", "past"}
    assert edges == {"colder", "warmer", "glass", "factor", "soon"}
