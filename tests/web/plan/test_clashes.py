"""Two bakes of one house that want the same hands, or the oven, at once: said once, of the one that can be changed.

Both bakes are the sample (tests/samples.py): its hands are wanted at 7:15 to mix, 16:45 to press out, 18:45 to top,
the oven from 18:55 (in) to 19:17 (out), read off its steps by hand.
"""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from dataclasses import replace

import pytest

from tests.samples import at
from tests.web.conftest import Clock, InKitchen, event
from webapp.core.kitchen import DayHours, Person
from webapp.kitchens import bakes
from webapp.kitchens.access import change_kitchen
from webapp.kitchens.take_along import bring_in, everything
from webapp.records import to_plain

HANDS = "Your hands are at Tray pizza for Wednesday when these are due: "
OVEN = "18:55, Into the oven to bake: Tray pizza for Wednesday is in it then, until 19:17."


def lines(phone: InKitchen, bake_id: str) -> list[str]:
    """What a phone says fits no longer: of lines alike the first that holds."""
    unfit = (phone.get(f"/api/bakes/{bake_id}/bundle").json or {})["unfit"]
    first = {row["of"]: row["words"] for row in reversed(unfit)}
    return [words.replace("\u00a0", " ") for words in reversed(first.values())]


def revision(phone: InKitchen, bake_id: str) -> int:
    return bakes.picked(phone.store, phone.kitchen_id(), bake_id).revision


def at_home(phone: InKitchen, *names: str) -> None:
    """These live here, and are at home and awake all day."""
    free = (DayHours(7 * 60, 23 * 60),) * 7
    people = tuple(Person(name, free) for name in names)
    change_kitchen(phone.store, phone.kitchen_id(), lambda one: replace(one, people=people))


@pytest.fixture
def two(kitchen: InKitchen, clock: Clock) -> tuple[InKitchen, str, str]:
    """Two bakes whose offers were worked out before either was taken, the second taken a minute later."""
    first, second = kitchen.plans(), kitchen.plans({"supper": "2026-11-25T19:30", "formula_key": "oil-tray"})
    at_home(kitchen, "Me")
    kitchen.picks(first)
    clock.now += 60
    kitchen.picks(second)
    return kitchen, first, second


def test_a_bake_taken_later_says_which_hands_and_which_oven_are_another_ones(two: tuple[InKitchen, str, str]) -> None:
    kitchen, _, second = two
    told = lines(kitchen, second)
    assert told[0].startswith(HANDS)
    assert "07:15 mix" in told[0]
    assert told[1:] == [OVEN]
    page = kitchen.get(f"/bakes/{second}").text.replace("\u00a0", " ")
    assert "Fits no longer" in page
    assert OVEN in page
    assert "See the day anew" in page


def test_it_is_said_once_not_of_both(two: tuple[InKitchen, str, str]) -> None:
    kitchen, first, _ = two
    assert lines(kitchen, first) == []
    assert "Fits no longer" not in kitchen.get(f"/bakes/{first}").text


def test_a_dough_that_is_mixed_stays_and_the_other_bake_is_told_of_on_every_phone(
    two: tuple[InKitchen, str, str], clock: Clock
) -> None:
    kitchen, first, second = two
    before = [revision(kitchen, one) for one in (first, second)]
    clock.now = at(7, 31)
    kitchen.sends(second, event(second))
    assert lines(kitchen, second) == []
    assert lines(kitchen, first)[-1] == OVEN
    assert revision(kitchen, first) == before[0] + 1, "a phone that has it fetches what is newer"
    assert revision(kitchen, second) == before[1] + 1, "and hears that it is this one's no more"


def test_given_up_or_forgotten_it_is_in_nobodys_way_and_the_phones_hear_so(
    two: tuple[InKitchen, str, str], clock: Clock
) -> None:
    kitchen, first, second = two
    before = revision(kitchen, second)
    kitchen.posts(f"/bakes/{first}/drop")
    assert lines(kitchen, second) == []
    assert revision(kitchen, second) == before + 1
    clock.now += 60
    third = kitchen.has_a_bake()
    assert lines(kitchen, third) != []
    kitchen.posts(f"/bakes/{second}/delete")
    assert lines(kitchen, third) == []


def test_two_at_home_do_both_and_of_the_oven_alone_is_told(two: tuple[InKitchen, str, str]) -> None:
    kitchen, _, second = two
    at_home(kitchen, "Ann", "Bo")
    assert lines(kitchen, second) == [OVEN]


def test_where_one_of_two_is_there_it_is_said_whose_hands(two: tuple[InKitchen, str, str]) -> None:
    kitchen, _, second = two
    at_home(kitchen, "Ann", "Bo")
    kitchen.store.set_busy(kitchen.kitchen_id(), [(at(16), at(18))], person=0)
    assert lines(kitchen, second)[0].startswith("16:45, Press out")
    assert lines(kitchen, second)[0].endswith("Bo’s hands are at Tray pizza for Wednesday then, until 16:55.")


def test_a_bake_that_runs_late_into_anothers_oven_is_heard_of_at_once(
    two: tuple[InKitchen, str, str], clock: Clock
) -> None:
    """The other is eaten 75 minutes later, in the oven from 20:10: the first, pressed out at 19:20, is too."""
    kitchen, first, second = two
    kitchen.posts(f"/bakes/{second}/delete")
    third, by = kitchen.plans(), 75 * 60
    plan = bakes.picked(kitchen.store, kitchen.kitchen_id(), first)
    steps = tuple(replace(one, start=one.start + by, end=one.end + by) for one in plan.steps)
    moved = replace(plan, bake_id=third, supper=plan.supper + by, ready_at=plan.ready_at + by, steps=steps)
    kitchen.store.add_plan(kitchen.kitchen_id(), third, to_plain(moved), clock.now)
    kitchen.sends(first, event(first))
    assert lines(kitchen, third) == []
    clock.now = at(19, 22)
    late = event(first, "done", step_id="press") | {"at": at(19, 20), "logged_at": at(19, 20)}
    assert kitchen.sends(first, late).status_code == 200
    assert any(
        one.startswith("20:10, Into the oven to bake: Tray pizza for Wednesday") for one in lines(kitchen, third)
    )
    assert revision(kitchen, third) == 2


def test_five_minutes_that_two_bakes_share_are_nothing_to_be_told_of(two: tuple[InKitchen, str, str]) -> None:
    """The longest that hands are wanted is a quarter of an hour, to mix: eleven minutes later four of it are shared."""
    kitchen, first, second = two
    kitchen.posts(f"/bakes/{second}/delete")
    plan = bakes.picked(kitchen.store, kitchen.kitchen_id(), first)
    third, by = kitchen.plans(), 11 * 60
    mixing = replace(plan.steps[0], start=plan.steps[0].start + by, end=plan.steps[0].end + by)
    assert mixing.kind == "mix"
    far = tuple(replace(one, start=one.start + 3 * 3600, end=one.end + 3 * 3600) for one in plan.steps[1:])
    moved = replace(plan, bake_id=third, supper=plan.supper + 3 * 3600, steps=(mixing, *far))
    kitchen.store.add_plan(kitchen.kitchen_id(), third, to_plain(moved), at(6, 55))
    assert lines(kitchen, third) == []


def test_brought_into_another_house_it_is_the_same_one_of_the_two_that_gives_way(
    kitchen: InKitchen, phone: Callable[[], InKitchen], clock: Clock
) -> None:
    """There both are picked at the instant of the import, under new ids, which sort either way."""
    at_home(kitchen, "Me")
    first = kitchen.has_a_bake()
    clock.now += 60
    second = kitchen.has_a_bake()
    assert [lines(kitchen, one) != [] for one in (first, second)] == [False, True]
    made = [bakes.picked(kitchen.store, kitchen.kitchen_id(), one).made_at for one in (first, second)]
    everything(kitchen.store, clock.now, kitchen.kitchen_id(), file := io.StringIO())
    document = json.loads(file.getvalue())
    for new in (("b", "a"), ("a", "b")):
        house, ids = phone(), iter(new_id * 22 for new_id in new)
        bring_in(house.store, clock.now, lambda ids=ids: next(ids), house.kitchen_id(), document)
        told = {
            bakes.picked(house.store, house.kitchen_id(), row.bake_id).made_at: lines(house, row.bake_id) != []
            for row in bakes.coming(house.store, house.kitchen_id(), clock.now)
        }
        assert told == {made[0]: False, made[1]: True}
        for row in bakes.coming(house.store, house.kitchen_id(), clock.now):
            house.posts(f"/bakes/{row.bake_id}/delete")
