"""Two bakes side by side: what is the same, what differs."""

from __future__ import annotations

from dataclasses import replace

from tests.samples import at, sample_plan
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.kitchens.compare import Side, compare


def side(plan: Plan | None = None, outcome: dict[str, str] | None = None, *done: tuple[str, int]) -> Side:
    plan = plan or sample_plan()
    events = [
        Event(f"e{i}", plan.bake_id, when, when, "p", "done", {"step_id": step}) for i, (step, when) in enumerate(done)
    ]
    return Side(plan, retime(plan, fold(plan, events), at(12)), outcome or {})


def test_the_same_bake_twice_differs_in_nothing() -> None:
    assert not [line for line in compare(side(), side()) if line.differs]


def test_what_was_changed_is_what_differs() -> None:
    drier = replace(sample_plan(), loading_g_cm2=0.55, oven=replace(sample_plan().oven, dial="270 C"))
    lines = {line.what: line for line in compare(side(), side(drier)) if line.differs}
    assert set(lines) == {"Dough on the tray", "Dial"}
    assert (lines["Dial"].left, lines["Dial"].right) == ("250 C", "270 C")


def test_times_are_those_that_happened() -> None:
    """Mixed until 07:30; pressed at 16:45 as planned, or at 15:00: 9 h 15 min and 7 h 30 min."""
    pressed = side(None, None, ("mix", at(7, 30)), ("press", at(15, 10)))
    planned = side(None, None, ("mix", at(7, 30)))
    lines = {line.what: line for line in compare(planned, pressed)}
    assert lines["From mixing to pressing"].left == "9 h 15 min"
    assert lines["From mixing to pressing"].differs
    assert float(lines["Risen at pressing"].left[1:]) > float(lines["Risen at pressing"].right[1:])


def test_what_nobody_said_is_left_out_and_what_one_side_said_is_shown() -> None:
    assert "Base" not in {line.what for line in compare(side(), side())}
    lines = {line.what: line for line in compare(side(None, {"base": "good"}), side())}
    assert (lines["Base"].left, lines["Base"].right) == ("good", "")
