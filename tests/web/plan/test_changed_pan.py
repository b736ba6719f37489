"""A pan whose size was changed after a bake was planned for it: said until the dough is mixed, and seen anew."""

from __future__ import annotations

from dataclasses import replace

from tests.samples import at
from tests.web.conftest import Clock, InKitchen, event
from tests.web.plan.test_home import plan_of, takes
from tests.web.seen import words
from webapp.core.kitchen import Kitchen
from webapp.core.plan.plan import Plan
from webapp.kitchens import bakes
from webapp.kitchens.access import change_kitchen

SAID = "The pan was changed since: this dough is for Oven tray 38×28 cm."


def larger(kitchen: Kitchen) -> Kitchen:
    """Its tray is one of 40 x 30 cm."""
    tray = replace(kitchen.pans[0], name="My tray 40 x 30 cm", area_cm2=1200.0, length_cm=40.0, width_cm=30.0)
    return replace(kitchen, pans=(tray, *kitchen.pans[1:]))


def without_it(kitchen: Kitchen) -> Kitchen:
    return replace(kitchen, pans=kitchen.pans[1:])


def taken(phone: InKitchen) -> Plan:
    return plan_of(phone, takes(phone, phone.get("/").text))


def test_a_larger_tray_is_told_and_the_day_seen_anew_is_for_it(real: InKitchen) -> None:
    plan = taken(real)
    page = f"/bakes/{plan.bake_id}"
    assert "The pan was changed" not in words(real.get(page).text)
    change_kitchen(real.store, real.kitchen_id(), larger)
    assert SAID in words(real.get(page).text).replace("\u00a0", " ")
    assert real.posts(f"{page}/anew").headers["Location"] == f"{page}?offers"
    offers = bakes.bake(real.store, real.kitchen_id(), plan.bake_id).offers
    # as much dough on each square centimetre: 1200 / 1064 of it
    assert abs(offers[0].dough_g / plan.dough_g - 1200 / 1064) < 0.005


def test_one_that_is_gone_gives_way_to_the_first_that_is_there(real: InKitchen) -> None:
    plan = taken(real)
    change_kitchen(real.store, real.kitchen_id(), without_it)
    assert SAID in words(real.get(f"/bakes/{plan.bake_id}").text).replace("\u00a0", " ")
    assert real.posts(f"/bakes/{plan.bake_id}/anew").status_code == 303
    assert bakes.bake(real.store, real.kitchen_id(), plan.bake_id).wish.pans[0].key == "round-28"


def test_once_the_dough_is_mixed_nothing_is_said_of_it(real: InKitchen, clock: Clock) -> None:
    plan = taken(real)
    change_kitchen(real.store, real.kitchen_id(), larger)
    mixed = next(step for step in plan.steps if step.kind == "mix").end
    clock.now = max(mixed, at(8))
    real.sends(plan.bake_id, event(plan.bake_id, step_id="mix") | {"at": mixed, "logged_at": mixed})
    assert "The pan was changed" not in words(real.get(f"/bakes/{plan.bake_id}").text)


def test_the_calendar_s_mixing_says_so_too_until_the_dough_is_mixed(real: InKitchen, clock: Clock) -> None:
    plan = taken(real)

    def mixing() -> str:
        text = real.get(f"/bakes/{plan.bake_id}/steps/mix.ics").text
        return text.replace("\r\n ", "").replace("\\", "").replace("\u00a0", " ")

    before = mixing()
    change_kitchen(real.store, real.kitchen_id(), larger)
    told = f"{SAID} The bake’s page plans it anew for the pan of now."
    assert told in mixing()
    assert told not in before
    at_bench = event(plan.bake_id, "pan", area_cm2=1200.0, name="My tray")
    real.sends(plan.bake_id, at_bench | {"at": clock.now, "logged_at": clock.now, "revision": plan.revision})
    assert told not in mixing()
    assert "Another pan was chosen since this was planned: these amounts are for it." in mixing()


def test_another_name_is_no_other_pan(real: InKitchen) -> None:
    plan = taken(real)
    change_kitchen(
        real.store, real.kitchen_id(), lambda kitchen: replace(
            kitchen, pans=(replace(kitchen.pans[0], name="Red tray", called="Red tray"), *kitchen.pans[1:])
        )
    )  # fmt: skip
    assert "The pan was changed" not in words(real.get(f"/bakes/{plan.bake_id}").text)
