"""Who is named at a step, and that nobody is there, at the time at which it stands: hand-worked on the sample day."""

from __future__ import annotations

from dataclasses import replace

from tests.core.now.saying import done, hour
from tests.samples import sample_plan
from webapp.core.kinds import BusyKind
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.plan.event import Event
from webapp.core.plan.house import AtHome, HouseHours
from webapp.core.plan.plan import Busy, Plan
from webapp.core.plan.steps import PlanStep
from webapp.core.plan.whose import as_it_stands, was_seen_to, with_house

ANN = ((hour(0), hour(8)), (hour(16.5), hour(19)))  # leaves again at seven in the evening
BO = ((hour(0), hour(9)), (hour(18), hour(24)))
HOUSE = HouseHours(hour(0), hour(24), (AtHome("Ann", ANN, ANN), AtHome("Bo", BO, BO)))
NOBODY = (Busy(hour(9), hour(16.5), "away"),)
PLAN = with_house(replace(sample_plan(), nobody=NOBODY), HOUSE)
"""Mixed from 07:05, pressed out some minutes before 17:00, loaded at 18:55."""


def one(plan: Plan, step_id: str) -> PlanStep:
    return next(step for step in plan.steps if step.step_id == step_id)


def stands(plan: Plan, now_h: float, *said: Event) -> Plan:
    state = fold(plan, list(said))
    now = hour(now_h)
    return as_it_stands(plan, state, retime(plan, state, now), now)


def test_as_planned_a_step_names_who_is_there_at_its_planned_time() -> None:
    seen = stands(PLAN, 6)
    assert one(seen, "mix").who == ("Ann", "Bo")
    assert one(seen, "press").who == ("Ann",)
    assert one(seen, "load").who == one(PLAN, "load").who
    assert not any(step.nobody for step in seen.steps)


def test_a_step_that_stands_later_names_who_is_there_then() -> None:
    late = stands(PLAN, 19.5, done("mix", 7.5))
    assert one(PLAN, "press").who == ("Ann",)
    assert one(late, "press").who == ("Bo",), "Ann is out again at half past seven"
    assert one(late, "mix").who == one(PLAN, "mix").who, "what was done is left as it was planned"


def test_of_one_alone_nobody_is_named() -> None:
    alone = with_house(PLAN, replace(HOUSE, people=HOUSE.people[1:]))
    assert all(step.who == () for step in alone.steps)
    assert one(stands(alone, 19.5, done("mix", 7.5)), "press").who == ()
    unknown = replace(PLAN, house=None)
    assert one(stands(unknown, 19.5, done("mix", 7.5)), "press").who == ()


def test_a_step_to_come_says_that_nobody_is_there_where_the_hours_changed() -> None:
    gone = ((hour(0), hour(8)),)
    empty = replace(PLAN, house=HouseHours(hour(0), hour(24), (AtHome("Ann", gone, gone),)))
    seen = stands(empty, 12, done("mix", 7.5))
    assert one(seen, "press").nobody
    assert not one(seen, "mix").nobody
    by_then = stands(empty, 19.5, done("mix", 7.5))
    assert not one(by_then, "press").nobody, "what is due now is done by whoever looks at it"


def test_somebody_was_there_when_it_was_planned_unless_their_hands_or_they_were_away() -> None:
    press, preheat = one(PLAN, "press"), one(PLAN, "preheat")

    def hindered(kind: BusyKind) -> Plan:
        return replace(PLAN, nobody=(Busy(hour(16), hour(20), kind),))

    assert was_seen_to(PLAN, press)
    assert not was_seen_to(hindered("busy"), press)
    assert was_seen_to(hindered("busy"), preheat) is (preheat.presence != "hands")
    assert not was_seen_to(hindered("away"), preheat)
    of_before = replace(PLAN, nobody=None, busy=(Busy(hour(16), hour(20), "asleep"),))
    assert not was_seen_to(of_before, press), "an older plan knows the first person's hours alone"
