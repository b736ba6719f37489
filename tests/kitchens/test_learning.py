"""What was said of a bake, and what it does to the yeast of the next: through the real planner and store."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from webapp.core.kitchen import Kitchen, Wish
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.kitchens import access, bakes, book
from webapp.planning import evenings, full_plan
from webapp.store.store import Store
from webapp.words.plan.rise import taught_words

MORNING = int(datetime(2026, 11, 25, 6, 40, tzinfo=UTC).timestamp())
_ids = itertools.count(1)


def new_id() -> str:
    return f"id-{next(_ids)}"


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path / "s.sqlite3")


@pytest.fixture
def kitchen_id(store: Store) -> str:
    return access.make_kitchen(store, MORNING, new_id, "key", Kitchen()).kitchen_id


def planned(store: Store, kitchen_id: str, day: int = 25) -> Plan:
    now = MORNING + (day - 25) * 86400
    wish = Wish(f"2026-11-{day}T19:30", Kitchen().pans[:1], "bench-tray", method_key="bench-day")  # one way, all along
    bake_id = evenings.set_plan(store, now, new_id, kitchen_id, wish, full_plan.plans_for)
    return bakes.pick(store, now, kitchen_id, bake_id, 0)


def tell(store: Store, kitchen_id: str, plan: Plan, *lines: tuple[str, int, dict[str, object]]) -> None:
    events = [Event(f"{next(_ids):032x}", plan.bake_id, when, when, "phone", kind, data) for kind, when, data in lines]
    bakes.add_to_journal(store, plan.supper, kitchen_id, plan.bake_id, events)


def all_done(plan: Plan) -> list[tuple[str, int, dict[str, object]]]:
    return [("done", step.end, {"step_id": step.step_id}) for step in plan.steps]


Outcome = dict[str, object]
Said = Callable[[Plan], list[tuple[str, int, dict[str, object]]]]


def change_of_yeast(store: Store, kitchen_id: str, outcome: Outcome, more: Said = lambda _: []) -> float:
    """How many times the yeast of this bake the next one of the same kind gets, after so said."""
    first = planned(store, kitchen_id)
    lines = [*all_done(first), *more(first), ("outcome", first.ready_at + 600, outcome)]
    tell(store, kitchen_id, first, *lines)
    return planned(store, kitchen_id, 27).yeast_percent / first.yeast_percent


def read_26(plan: Plan) -> list[tuple[str, int, dict[str, object]]]:
    return [("room", plan.rise.mixed_at, {"temp_c": 26.0})]


def slow_glass_at_26(plan: Plan) -> list[tuple[str, int, dict[str, object]]]:
    press = next(step for step in plan.steps if step.mark)
    return [*read_26(plan), ("glass", press.start - 600, {"times": 1.9})]


@pytest.mark.parametrize(
    "outcome", [{"crumb": "collapsed"}, {"crumb": "collapsed", "timing": "right"}, {"timing": "late"}]
)
@pytest.mark.parametrize("more", [lambda _: [], read_26])
def test_a_dough_that_was_past_its_best_gets_less_yeast_next_time(
    store: Store, kitchen_id: str, outcome: Outcome, more: Said
) -> None:
    """Also when the kitchen was read as warm, which alone would explain more than it: the sign is what was said."""
    assert change_of_yeast(store, kitchen_id, outcome, more) < 0.95


def test_a_glass_that_read_slow_does_not_outvote_a_dough_that_collapsed(store: Store, kitchen_id: str) -> None:
    assert change_of_yeast(store, kitchen_id, {"crumb": "collapsed"}, slow_glass_at_26) <= 1.0


def test_a_dough_not_ready_gets_more_yeast_next_time(store: Store, kitchen_id: str) -> None:
    assert change_of_yeast(store, kitchen_id, {"timing": "early"}) > 1.05


def test_a_dough_just_right_as_planned_keeps_its_yeast(store: Store, kitchen_id: str) -> None:
    assert change_of_yeast(store, kitchen_id, {"timing": "right", "crumb": "good"}) == pytest.approx(1.0, abs=0.08)


def test_collapsed_and_not_ready_cannot_both_be_and_teach_nothing(store: Store, kitchen_id: str) -> None:
    assert change_of_yeast(store, kitchen_id, {"timing": "early", "crumb": "collapsed"}) == pytest.approx(1.0)


def test_a_bake_told_of_only_in_the_book_was_done_as_planned(store: Store, kitchen_id: str) -> None:
    plan = planned(store, kitchen_id)
    tell(store, kitchen_id, plan, ("outcome", plan.ready_at + 600, {"timing": "late"}))
    (lesson,) = book.taught(store, plan.ready_at + 700, kitchen_id).lessons
    assert lesson.seen == "past"
    assert lesson.quicker == pytest.approx(1.35, rel=0.1)  # planned to be loaded near its best


def test_a_dough_loaded_late_is_judged_by_when_it_was_loaded(store: Store, kitchen_id: str) -> None:
    """Loaded two hours after its time and just right: this kitchen is slower than planned."""
    plan = planned(store, kitchen_id)
    late = [(kind, when + 7200 * (data["step_id"] in ("load", "lift")), data) for kind, when, data in all_done(plan)]
    tell(store, kitchen_id, plan, *late, ("outcome", plan.supper + 9000, {"timing": "right"}))
    (lesson,) = book.taught(store, plan.supper + 9000, kitchen_id).lessons
    assert lesson.quicker < 0.95


def test_what_was_seen_of_the_last_dough_is_said_where_the_next_one_s_yeast_follows_from_it(
    store: Store, kitchen_id: str
) -> None:
    first = planned(store, kitchen_id)
    assert first.lesson is None
    lines = [*all_done(first), ("outcome", first.ready_at + 600, {"timing": "late"})]
    tell(store, kitchen_id, first, *lines)
    second = planned(store, kitchen_id, 26)
    assert second.lesson is not None
    assert second.lesson.seen == "past"
    assert re.search(r"so it takes about \d+ % less yeast\.$", taught_words(second))
