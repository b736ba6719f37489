"""Two bakes side by side: what is the same, what differs."""

from __future__ import annotations

from dataclasses import replace

from tests.samples import at, sample_plan
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.kitchens.compare import Side, compare, heads


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
    assert lines["From mixing to pressing"].left == "9\u00a0h 15\u00a0min"
    assert lines["From mixing to pressing"].differs
    assert float(lines["Risen at pressing"].left[1:]) > float(lines["Risen at pressing"].right[1:])


def test_what_nobody_said_is_left_out_and_what_one_side_said_is_shown() -> None:
    assert "Base" not in {line.what for line in compare(side(), side())}
    lines = {line.what: line for line in compare(side(None, {"base": "good"}), side())}
    assert (lines["Base"].left, lines["Base"].right) == ("good", "")


def test_the_heads_of_the_two_columns_always_differ() -> None:
    """The sample's supper is on Wednesday 25 November 2026 at 19:30 in Lisbon, which is UTC in winter. In 2032 the
    25th of November is a Thursday, in 2037 a Wednesday again (Gregorian calendar)."""
    one = sample_plan()
    year_2037 = one.supper + (11 * 365 + 3) * 86400
    later = {
        one.supper + 86400: ("Wed 25 Nov", "Thu 26 Nov"),
        year_2037: ("Wed 25 Nov 2026", "Wed 25 Nov 2037"),
        one.supper + 3600: ("Wed 25 Nov, 7:30 pm", "Wed 25 Nov, 8:30 pm"),
        one.supper: ("Wed 25 Nov, the first", "Wed 25 Nov, the second"),
    }
    for supper, said in later.items():
        found = heads(one, replace(one, supper=supper), "12")
        assert tuple(head.removeprefix(f"{one.formula_name}, ") for head in found) == said
    other = replace(one, formula_name="Focaccia")
    assert heads(one, other, "24") == (f"{one.formula_name}, Wed 25 Nov", "Focaccia, Wed 25 Nov")
