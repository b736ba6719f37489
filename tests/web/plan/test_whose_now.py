"""Whose step it is after supper was moved, and after a person's week was changed: who is named is there.

Two people of a house, by their own hours: Ann is away from eight to a quarter to six on working days, Bo from a quarter
past six to half past three. Who is there when follows from those hours by hand.
"""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from tests.samples import at
from tests.web.conftest import Clock, InKitchen
from tests.web.plan.test_misfits import bundle, plain, plan_of, told_now
from tests.web.plan.test_misfits import real as real  # the fixture
from webapp.core.kitchen import AwaySpan, Person
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.kitchens import bakes
from webapp.kitchens.access import change_kitchen
from webapp.kitchens.bakes import kitchen_of
from webapp.planning.changed.news import settings_changed
from webapp.reminders.events import _is_theirs, entries_of_bake
from webapp.reminders.ics import Entry

THURSDAY = 3
DAY_S = 86400


def away(name: str, begins: int, over: int) -> Person:
    usual = Person()
    out = (AwaySpan(begins, over),)
    return Person(name, tuple(replace(day, away=out if n < 5 else ()) for n, day in enumerate(usual.week)))


ANN, BO = away("Ann", 8 * 60, 17 * 60 + 45), away("Bo", 6 * 60 + 15, 15 * 60 + 30)


def changed(phone: InKitchen, clock: Clock, **now: object) -> None:
    before = kitchen_of(phone.store, phone.kitchen_id())
    change_kitchen(phone.store, phone.kitchen_id(), lambda one: replace(one, **now))
    settings_changed(phone.store, clock.now, phone.kitchen_id(), before)


@pytest.fixture
def cold(real: InKitchen, clock: Clock) -> Plan:
    """A dough in the fridge since Wednesday evening, for half past seven on Thursday."""
    real.get("/settings")
    bake_id = real.plans({"supper": "2026-11-26T19:30", "method_key": "cold"})
    changed(real, clock, people=(ANN, BO))
    real.posts(f"/bakes/{bake_id}/anew", {})
    assert real.picks(bake_id).status_code == 303
    plan = plan_of(real, bake_id)
    done = [one for one in plan.steps if one.chain and one.end <= at(23)]
    assert done, "it is mixed on Wednesday"
    clock.now = max(one.end for one in done)
    said = [
        Event(f"{n:032x}", bake_id, one.end, one.end, "p", "done", {"step_id": one.step_id}, plan.revision)
        for n, one in enumerate(done)
    ]
    bakes.add_to_journal(real.store, clock.now, real.kitchen_id(), bake_id, said)
    return plan


def there(start: int, end: int) -> list[str]:
    """Who is not away then on Thursday, by the hours typed above."""
    out = {"Ann": (at(8), at(17, 45)), "Bo": (at(6, 15), at(15, 30))}
    return [name for name, (leaves, back) in out.items() if end <= leaves + DAY_S or start >= back + DAY_S]


def rings(phone: InKitchen, clock: Clock, plan: Plan, person: str = "") -> dict[str, Entry]:
    """What the house's calendar has of the steps to come, or a person's own; by step."""
    found = entries_of_bake(phone.store, clock.now, phone.kitchen_id(), plan.bake_id)
    kept = [one for one in found if one.start > clock.now and one.kind == "step"]
    return {one.step_id: one for one in kept if not person or _is_theirs(one, person, ["Ann", "Bo"])}


def says(text: str) -> list[str]:
    """Of each step told of in a text who is named."""
    return re.findall(r"by the plan: ([^.]*)\.", text)


def test_supper_moved_to_hours_of_one_alone_names_that_one(real: InKitchen, clock: Clock, cold: Plan) -> None:
    """Supper at a quarter to six: all that is done from half past three until then is Bo's."""
    where = f"/bakes/{cold.bake_id}"
    answer = real.posts(f"{where}/change", {"day": "2026-11-26", "at": "17:45"})
    assert answer.headers["Location"] == where
    told = rings(real, clock, cold)
    alone = [one for one in told.values() if at(15, 30) + DAY_S <= one.start and one.end <= at(17, 45) + DAY_S]
    assert len(alone) >= 3
    for one in alone:
        assert says(one.text)[0] == "Bo", one.text
        assert there(one.start, one.end) == ["Bo"]
    ann = rings(real, clock, cold, "Ann")
    assert not {one.step_id for one in alone} & set(ann), "nothing rings for who is away"
    assert {one.step_id for one in alone} <= set(rings(real, clock, cold, "Bo"))
    assert "by the plan: Bo." in plain(real.get(where).text)


def test_a_supper_moved_to_where_nobody_is_at_home_says_so_everywhere(
    real: InKitchen, clock: Clock, cold: Plan
) -> None:
    """Half past two on Thursday: Bo comes home an hour later, Ann at a quarter to six."""
    where = f"/bakes/{cold.bake_id}"
    assert bundle(real, cold.bake_id)["unfit"] == []
    real.posts(f"{where}/change", {"day": "2026-11-26", "at": "14:30"})
    told = rings(real, clock, cold)
    nobody = [one for one in told.values() if not there(one.start, one.end)]
    assert nobody
    for one in nobody:
        assert "By the plan nobody " in one.text
        assert one.alarm_min >= 0
        assert all(one.step_id in rings(real, clock, cold, name) for name in ("Ann", "Bo"))
    page = plain(real.get(where).text)
    assert "Fits no longer" in page
    lines = told_now(bundle(real, cold.bake_id)["unfit"])
    assert [plain(str(line["words"])) in page for line in lines] == [True]
    assert plan_of(real, cold.bake_id).revision > cold.revision, "every phone fetches it"


def test_a_changed_week_reaches_the_names_and_each_persons_own_calendar(
    real: InKitchen, clock: Clock, cold: Plan
) -> None:
    """Ann stays away until half past ten: the evening is Bo's, and rings for Bo alone."""
    both = [one.step_id for one in rings(real, clock, cold).values() if one.who == ("Ann", "Bo")]
    assert both
    changed(real, clock, people=(away("Ann", 8 * 60, 22 * 60 + 30), BO))
    told = rings(real, clock, cold)
    assert all(one.who in {("Bo",), ()} for one in told.values())
    assert all("Ann" not in one.text for one in told.values())
    assert not set(both) & set(rings(real, clock, cold, "Ann"))
    assert set(both) <= set(rings(real, clock, cold, "Bo"))
    assert "by the plan: Bo." in plain(real.get(f"/bakes/{cold.bake_id}").text)
    assert plan_of(real, cold.bake_id).dough_of == cold.revision, "the same dough, with other names"


def test_where_nobody_is_left_it_names_nobody(real: InKitchen, clock: Clock, cold: Plan) -> None:
    gone = (away("Ann", 8 * 60, 22 * 60 + 30), away("Bo", 6 * 60 + 15, 22 * 60 + 30))
    changed(real, clock, people=gone)
    told = rings(real, clock, cold)
    assert told
    assert all("by the plan: Ann" not in one.text and "by the plan: Bo" not in one.text for one in told.values())
    assert all("By the plan nobody " in one.text for one in told.values() if one.step_id != "serve")


def test_somebody_who_was_at_the_dough_meanwhile_is_not_told_that_nobody_is_there(
    real: InKitchen, clock: Clock, cold: Plan
) -> None:
    """Whoever takes it out of the fridge at one o'clock is at home, whatever their week says."""
    real.posts(f"/bakes/{cold.bake_id}/change", {"day": "2026-11-26", "at": "14:30"})
    first = next(one for one in rings(real, clock, cold).values())
    clock.now = first.start
    done = Event("f" * 32, cold.bake_id, clock.now, clock.now, "p", "done", {"step_id": first.step_id}, cold.revision)
    bakes.add_to_journal(real.store, clock.now, real.kitchen_id(), cold.bake_id, [done])
    later = [one for one in rings(real, clock, cold).values() if one.end <= at(15, 30) + DAY_S]
    assert all("By the plan nobody " not in one.text for one in later)
    assert all("nobody" not in str(line["words"]) for line in told_now(bundle(real, cold.bake_id)["unfit"]))


def test_what_was_asked_for_and_what_it_became_is_said(real: InKitchen, clock: Clock, cold: Plan) -> None:
    where = f"/bakes/{cold.bake_id}"
    real.posts(f"{where}/change", {"day": "2026-11-26", "at": "20:00"})
    page = plain(real.get(where).text)
    assert "Supper is moved to tomorrow 20:00, and the steps that are still open moved with it." in page
    clock.now = at(15) + DAY_S
    real.posts(f"{where}/change", {"day": "2026-11-26", "at": "15:30"})
    page = plain(real.get(where).text)
    assert re.search(r"Supper is moved to 1[6-9]:\d\d: this dough is not ready for 15:30\. The steps", page), page
