"""A dough that was meant for the fridge and is mixed late, or comes out early, is still for tonight: on the bench."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.planning.test_full_plan import KITCHEN, MORNING, SHELF, wish
from webapp.core.kinds import EventKind
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.now.taken import event_data
from webapp.core.now.ways import ways
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import RetimedStep
from webapp.core.plan.way import Way
from webapp.planning.full_plan import plans_for
from webapp.words.plan.stands import COLD, GIVES, by_place
from webapp.words.spoken import spoken

HOUR_S = 3600


def cold_plan() -> Plan:
    """Mixed before work, cold all day, eaten at half past seven."""
    return plans_for(wish(method_key="cold"), KITCHEN, MORNING, "b" * 22, SHELF)[0]


def event(at: int, kind: EventKind, data: dict[str, object]) -> Event:
    """Something that is said at that instant."""
    return Event(f"{kind}-{at}".ljust(32, "a"), "b" * 22, at, at, "p", kind, data)


def said_late(plan: Plan, before_s: int) -> list[Event]:
    """Mixed so long before supper."""
    return [event(plan.supper - before_s, "done", {"step_id": "mix"})]


def on_the_bench(plan: Plan, said: list[Event], now: int) -> list[Way]:
    """The ways on the bench."""
    return [way for way in ways(plan, fold(plan, said), now) if way.kind == "bench"]


def by_kind(plan: Plan, said: list[Event], now: int) -> dict[str, RetimedStep]:
    """The steps as things stand, by their kind."""
    kinds = {step.step_id: step.kind for step in plan.steps}
    return {kinds[one.step_id]: one for one in retime(plan, fold(plan, said), now).steps}


@pytest.mark.many_cases
@pytest.mark.parametrize("before_s", [100 * 60, 2 * HOUR_S, 4 * HOUR_S])
def test_mixed_on_the_evening_itself_it_is_eaten_that_evening_and_not_in_the_night(before_s: int) -> None:
    """Its eight hours in the fridge would end at night: "nobody is ever told to dine at midnight when a young supper at
    eight is possible" (design page follow.md). What stands first is tonight's, within an hour and a half."""
    plan = cold_plan()
    said, now = said_late(plan, before_s), plan.supper - before_s
    first = ways(plan, fold(plan, said), now)[0]
    going = next(way for way in ways(plan, fold(plan, said), now) if way.kind == "as-planned")
    assert going.late_s > 2 * HOUR_S, "as it stands it is for the night"
    assert (first.kind, first.place, first.carried) == ("bench", "bench", ()), "it lies on the bench already"
    assert 0 <= first.late_s <= 90 * 60


@pytest.mark.parametrize("for_s", [900, 1800, 2700])
def test_whoever_has_no_hands_now_leaves_it_on_the_bench_and_eats_tonight(for_s: int) -> None:
    """Nobody has to be there for a dough that stays where it lies: the fridge alone until tomorrow is no way to eat
    tonight, "always at least one that eats tonight" (design page follow.md)."""
    plan = cold_plan()
    now = plan.supper - 3 * HOUR_S
    said = [*said_late(plan, 11 * HOUR_S), event(now, "later", {"until": now + for_s})]
    found = on_the_bench(plan, said, now)
    assert found
    assert all(way.carried == () and way.press_at >= now + for_s for way in found)
    assert min(way.late_s for way in found) <= 90 * 60


def test_whoever_has_no_hands_now_takes_nothing_out_of_the_fridge() -> None:
    plan = cold_plan()
    into, now = plan.supper - 4 * HOUR_S + 1800, plan.supper - 2 * HOUR_S
    in_the_cold = [*said_late(plan, 4 * HOUR_S), event(into, "done", {"step_id": "chill"})]
    assert on_the_bench(plan, in_the_cold, now)
    assert not on_the_bench(plan, [*in_the_cold, event(now, "later", {"until": now + 900})], now)


def test_a_later_supper_gives_a_riper_dough_and_each_way_is_pressed_before_it_is_loaded() -> None:
    plan = cold_plan()
    found = on_the_bench(plan, said_late(plan, 100 * 60), plan.supper - 100 * 60)
    assert len(found) > 1
    by_time = sorted(found, key=lambda way: way.load_at)
    assert [way.ratio for way in by_time] == sorted(way.ratio for way in by_time)
    assert all(way.load_at - way.press_at >= 30 * 60 for way in found), "an hour from pressing to loading, by its plan"


def test_once_taken_nothing_goes_into_the_fridge_and_what_was_promised_is_what_is_re_timed() -> None:
    plan, late_s = cold_plan(), 2 * HOUR_S
    now = plan.supper - late_s
    said = said_late(plan, late_s)
    for way in on_the_bench(plan, said, now):
        taken = [*said, event(now, "way", event_data(way, True))]
        steps = by_kind(plan, taken, now)
        assert (steps["chill"].status, steps["temper"].status) == ("passed", "passed")
        assert (steps["press"].start, steps["load"].start) == (way.press_at, way.load_at)
        assert retime(plan, fold(plan, taken), now).eat_at == way.supper
        assert retime(plan, fold(plan, taken), way.press_at - 60).place == "bench"
        assert [one.flag for one in steps.values() if one.flag == "long"] == []
        assert steps["load"].progress == pytest.approx(way.progress)


def test_who_goes_on_from_the_bench_goes_on_without_the_fridge_and_who_wants_it_cold_after_all_has_it_cold() -> None:
    plan, late_s = cold_plan(), 2 * HOUR_S
    now = plan.supper - late_s
    way = on_the_bench(plan, said_late(plan, late_s), now)[0]
    taken = [*said_late(plan, late_s), event(now, "way", event_data(way, True))]
    on = next(one for one in ways(plan, fold(plan, taken), now + 600) if one.kind == "as-planned")
    assert on.load_at == way.load_at
    went_on = [*taken, event(now + 600, "way", event_data(on, True))]
    assert by_kind(plan, went_on, now + 600)["chill"].status == "passed"
    cold = replace(way, kind="fridge", press_at=way.press_at + 24 * HOUR_S, load_at=way.load_at + 24 * HOUR_S)
    anew = [*taken, event(now + 600, "way", event_data(cold, True))]
    assert by_kind(plan, anew, now + 600)["chill"].status == "open"


def test_a_dough_that_came_too_late_into_the_fridge_comes_out_for_tonight() -> None:
    """Four hours before supper mixed and chilled; somebody who is home two hours before it takes it out."""
    plan = cold_plan()
    into = plan.supper - 4 * HOUR_S + 1800
    said = [*said_late(plan, 4 * HOUR_S), event(into, "done", {"step_id": "chill"})]
    now = plan.supper - 2 * HOUR_S
    found = on_the_bench(plan, said, now)
    assert found
    assert found[0].carried[0].place == "bench"
    taken = [*said, event(now, "way", event_data(found[0], True))]
    assert retime(plan, fold(plan, taken), now - 600).place == "fridge", "until then it was cold"
    assert retime(plan, fold(plan, taken), now + 600).place == "bench"
    assert by_kind(plan, taken, now)["temper"].status == "passed"


def test_a_dough_that_perishes_belongs_into_the_fridge_whatever_the_hour() -> None:
    """Milk and egg: no more than two hours out of it in all (USDA FSIS, as facts/trade.md has it)."""
    plan = replace(cold_plan(), dough_perishes=True)
    assert on_the_bench(plan, said_late(plan, 2 * HOUR_S), plan.supper - 2 * HOUR_S) == []


def test_a_cold_dough_that_is_in_time_is_not_asked_out_of_the_fridge() -> None:
    plan = cold_plan()
    mix = next(step for step in plan.steps if step.kind == "mix")
    said = [event(mix.end, "done", {"step_id": "mix"})]
    assert on_the_bench(plan, said, mix.end + 300) == []


def test_a_dough_that_never_was_cold_is_pressed_in_one_go_and_its_step_says_so() -> None:
    """What springs back is a dough under about 12 C (common practice); one that stood on the bench since it was mixed
    is as warm as the kitchen."""
    plan = cold_plan()
    assert "relax" in [step.kind for step in plan.steps], "planned cold, in two goes"
    now = plan.supper - 2 * HOUR_S
    said = said_late(plan, 2 * HOUR_S)
    taken = [*said, event(now, "way", event_data(on_the_bench(plan, said, now)[0], True))]
    assert by_kind(plan, taken, now)["relax"].status == "passed"
    stands = retime(plan, fold(plan, taken), now)
    press = next(step for step in spoken(plan, KITCHEN, retimed=stands).steps if step.kind == "press")
    assert "cold" not in press.text
    assert "Tip the dough in" in press.text
    in_two_goes = next(step for step in spoken(plan, KITCHEN).steps if step.kind == "press")
    assert "press it half way" in in_two_goes.text
    offline = by_place(plan, KITCHEN)[press.step_id]
    assert "cold" not in str(offline[f"bench{GIVES}"]["text"])
    assert "cold" not in str(offline[f"bench{GIVES}"]["other_pan"])
    assert "press it half way" in str(offline["bench"]["text"])


def test_a_dough_that_was_in_the_fridge_already_is_still_pressed_in_two_goes() -> None:
    """As long as it is under 12 C; the same dough an hour later gives."""
    plan = cold_plan()
    into = plan.supper - 4 * HOUR_S + 1800
    said = [*said_late(plan, 4 * HOUR_S), event(into, "done", {"step_id": "chill"})]
    now = plan.supper - 2 * HOUR_S
    way = on_the_bench(plan, said, now)[0]
    for press_at, words in ((now + 600, "press it half way"), (now + HOUR_S, "Tip the dough in")):
        taken = [*said, event(now, "way", event_data(replace(way, press_at=press_at), True))]
        stands = retime(plan, fold(plan, taken), now)
        assert by_kind(plan, taken, now)["relax"].status == "open"
        assert words in next(one.text for one in spoken(plan, KITCHEN, retimed=stands).steps if one.kind == "press")


def test_a_dough_that_went_into_the_fridge_late_is_pressed_cold_though_it_was_planned_warm() -> None:
    """What springs back is a dough under about 12 C (common practice), whatever was planned."""
    plan = plans_for(wish(), KITCHEN, MORNING, "b" * 22, SHELF)[0]
    mix, press = (next(step for step in plan.steps if step.kind == kind) for kind in ("mix", "press"))
    said = [event(mix.end, "done", {"step_id": "mix"}), event(mix.end + 3 * HOUR_S, "moved", {"place": "fridge"})]
    stands = retime(plan, fold(plan, said), mix.end + 4 * HOUR_S)
    assert next(one.dough_c for one in stands.steps if one.step_id == press.step_id) < 8
    shown = next(one for one in spoken(plan, KITCHEN, retimed=stands).steps if one.kind == "press")
    assert "press it half way into the oiled pan" in shown.text
    assert "Tip the dough in" not in shown.text
    assert "press it half way" in str(by_place(plan, KITCHEN)[press.step_id][f"bench{COLD}"]["text"])
