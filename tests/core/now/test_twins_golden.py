"""The vectors that Python and JavaScript are both held to (the browser reads the same file: e2e/test_js_twins.py)."""

from __future__ import annotations

import json

import pytest

from tests.golden.write import FILE
from webapp.core.kinds import WAY_KINDS
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.now.ways import ways
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.records import from_plain, to_plain

VECTORS = json.loads(FILE.read_text(encoding="utf-8"))


@pytest.mark.many_cases
@pytest.mark.parametrize("vector", VECTORS, ids=lambda v: f"bake-{v['n']}")
def test_python_gives_what_the_vectors_say(vector: dict[str, object]) -> None:
    plan = from_plain(Plan, vector["plan"])
    events = [from_plain(Event, one) for one in vector["events"]]  # type: ignore[attr-defined]
    now = int(vector["now"])  # type: ignore[call-overload]
    state = fold(plan, events)
    assert to_plain(state) == vector["state"]
    assert to_plain(retime(plan, state, now)) == vector["retimed"]
    assert to_plain(ways(plan, state, now)) == vector["ways"]


def test_the_vectors_reach_every_flag_every_way_and_every_edge() -> None:
    flags = {step["flag"] for vector in VECTORS for step in vector["retimed"]["steps"]}
    kinds = {way["kind"] for vector in VECTORS for way in vector["ways"]}
    edges = {word for vector in VECTORS for word in vector["retimed"]["outside"]}
    assert flags == {"", "young", "past", "never", "long", "off"}  # "off-then" takes two loads: test_lit_oven.py
    assert kinds == set(WAY_KINDS)
    assert edges == {"colder", "warmer", "glass", "soon", "again"}
