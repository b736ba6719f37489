"""Settings changed while a bake is on: what can follow does, what fits no longer is said, the day is seen anew."""

from __future__ import annotations

import io
import itertools
import re
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import pytest

from tests.samples import at, sample_plan
from tests.web.conftest import Clock, InKitchen, event
from webapp.core.day.day import clock_text
from webapp.core.kitchen import AwaySpan
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.doughs import own as own_things
from webapp.doughs.own_kinds import TOPPINGS
from webapp.kitchens import bakes
from webapp.kitchens.access import change_kitchen
from webapp.kitchens.bakes import kitchen_of
from webapp.machine.settings import Settings
from webapp.planning.changed.misfits import Misfit
from webapp.planning.changed.news import settings_changed
from webapp.reminders import busy_address
from webapp.server.background import Background
from webapp.web.app import create_app
from webapp.words.problems.misfits import misfit_words


@pytest.fixture
def real(settings: Settings, clock: Clock) -> InKitchen:
    return InKitchen(create_app(settings, now=clock).test_client())


def plain(page: str) -> str:
    return " ".join(re.sub(r"<(script|svg|style)[\s\S]*?</\1>|<[^>]+>", " ", page).split()).replace("\u00a0", " ")


def taken(phone: InKitchen, **asked: str) -> tuple[str, Plan]:
    """A bake for tomorrow's supper."""
    bake_id = phone.plans({"supper": "2026-11-26T19:30", "method_key": ""} | asked)
    assert phone.picks(bake_id).status_code == 303
    return bake_id, plan_of(phone, bake_id)


def plan_of(phone: InKitchen, bake_id: str) -> Plan:
    return bakes.picked(phone.store, phone.kitchen_id(), bake_id)


def bundle(phone: InKitchen, bake_id: str) -> dict[str, object]:
    answer = phone.get(f"/api/bakes/{bake_id}/bundle").json
    assert answer is not None
    return dict(answer)


def told_now(unfit: Any) -> list[dict[str, Any]]:
    """What a phone says first: of several lines alike the one that holds (static/js/kitchen/notes.js)."""
    return list({one["of"]: one for one in reversed(unfit)}.values())[::-1]


def step(plan: Plan, kind: str) -> int:
    return next(one.start for one in plan.steps if one.kind == kind)


def test_a_measured_preheat_lights_the_oven_of_a_planned_bake_so_much_sooner(real: InKitchen, clock: Clock) -> None:
    bake_id, before = taken(real)
    minutes = before.oven.preheat_min + 10
    assert real.posts("/settings/oven/preheat", {"minutes": str(minutes)}).status_code == 303
    after = plan_of(real, bake_id)
    assert after.oven.preheat_min == minutes
    assert step(after, "preheat") == step(before, "preheat") - 600
    assert step(after, "load") == step(before, "load")
    assert (after.revision, after.dough_of) == (before.revision + 1, before.revision), "the same dough goes on"
    assert bundle(real, bake_id)["unfit"] == []
    assert "Fits no longer" not in plain(real.get(f"/bakes/{bake_id}").text)


def test_an_oven_that_is_lit_already_follows_no_more(real: InKitchen, clock: Clock) -> None:
    bake_id, before = taken(real)
    lit = step(before, "preheat")
    clock.now = lit + 60
    ids = ("mix", "press", "preheat")
    done = [
        Event(f"{place:032x}", bake_id, one.end, one.end, "p", "done", {"step_id": one.step_id})
        for place, one in enumerate(before.steps) if one.start <= lit and (one.chain or one.kind in ids)
    ]  # fmt: skip
    bakes.add_to_journal(real.store, clock.now, real.kitchen_id(), bake_id, done)
    real.posts("/settings/oven/preheat", {"minutes": str(before.oven.preheat_min + 10)})
    assert plan_of(real, bake_id).oven == before.oven


def test_hours_that_leave_no_hands_for_a_step_are_said_on_the_page_and_in_the_kitchen(real: InKitchen) -> None:
    bake_id, before = taken(real, method_key="bench-day")  # mixed before anybody is away
    at_home = kitchen_of(real.store, real.kitchen_id())
    week = tuple(replace(day, away=(AwaySpan(8 * 60, 23 * 60),)) for day in at_home.people[0].week)
    away = replace(at_home, people=(replace(at_home.people[0], week=week),))
    assert bundle(real, bake_id)["unfit"] == []
    change_kitchen(real.store, real.kitchen_id(), lambda _: away)
    settings_changed(real.store, before.made_at, real.kitchen_id(), at_home)
    assert plan_of(real, bake_id).revision == before.revision + 1, "a phone fetches what is newer"
    page = plain(real.get(f"/bakes/{bake_id}").text)
    assert "Fits no longer" in page
    told = [line["words"] for line in told_now(bundle(real, bake_id)["unfit"])]
    there = r"By the hours and busy times of now nobody can see to \d\d:\d\d press out into the pan, "
    assert re.fullmatch(there + r"\d\d:\d\d [a-z ]+ and \d more steps\.", told[0].replace("\u00a0", " "))
    assert told[1:] == [], "said once, not once a step"
    assert plain(told[0]) in page
    answer = real.posts(f"/bakes/{bake_id}/anew", {})
    assert answer.status_code == 303
    assert f"again={bake_id}" in answer.headers["Location"], "nothing fits such hours: the answers are asked again"
    assert plan_of(real, bake_id).steps == before.steps, "and the bake stands as it did"


def test_one_step_without_hands_is_a_sentence_of_its_own() -> None:
    step = next(one for one in sample_plan().steps if one.kind == "press")
    said = misfit_words([Misfit("hands", step)], sample_plan(), "24", "C")
    assert said == [
        "16:45, Press out into the pan: by the hours and busy times of now nobody has their hands free then."
    ]


def test_the_day_is_seen_anew_with_one_tap_and_the_old_one_stands_until_another_is_taken(real: InKitchen) -> None:
    bake_id, before = taken(real, method_key="cold")
    kitchen = kitchen_of(real.store, real.kitchen_id())
    change_kitchen(real.store, real.kitchen_id(), lambda one: replace(one, fridge_c=kitchen.fridge_c + 4))
    settings_changed(real.store, before.made_at, real.kitchen_id(), kitchen)
    page = real.get(f"/bakes/{bake_id}").text
    was, now = kitchen.fridge_c, kitchen.fridge_c + 4
    assert f"The fridge is at {now:.0f} °C now; these times are reckoned for {was:.0f} °C." in plain(page)
    answer = real.posts(f"/bakes/{bake_id}/anew", {})
    assert answer.headers["Location"] == f"/bakes/{bake_id}?offers"
    assert plan_of(real, bake_id).steps == before.steps
    assert real.picks(bake_id).status_code == 303
    assert plan_of(real, bake_id).rise.fridge_c == now
    assert "Fits no longer" not in plain(real.get(f"/bakes/{bake_id}").text)


def test_the_kitchens_link_leads_to_the_form_that_shows_the_new_day_and_changes_nothing(real: InKitchen) -> None:
    bake_id, _ = taken(real, method_key="cold")
    change_kitchen(real.store, real.kitchen_id(), lambda one: replace(one, fridge_c=one.fridge_c + 4))
    page, before = f"/bakes/{bake_id}", bakes.bake(real.store, real.kitchen_id(), bake_id).offers
    led = real.get(f"{page}/anew").headers["Location"]
    assert led == f"{page}?anew=#misfits"
    assert bakes.bake(real.store, real.kitchen_id(), bake_id).offers == before
    shown = real.get(page).text
    assert '<h2 class="notice__title" id="misfits">' in shown
    assert f'<form method="post" action="{page}/anew"' in shown
    assert "data-at-once" not in shown
    elsewhere = {"Sec-Fetch-Site": "cross-site"}  # W3C Fetch Metadata
    for site, at_once in (("same-origin", True), ("cross-site", False), ("same-site", False), ("none", False)):
        shown = real.client.get(led, headers={"Sec-Fetch-Site": site}).text
        assert ("data-at-once" in shown) is at_once, site
    assert real.client.post(f"{page}/anew", data={"csrf_token": real.token()}, headers=elsewhere).status_code == 403
    assert real.client.post(f"{page}/anew").status_code == 400, "no form of ours"
    assert bakes.bake(real.store, real.kitchen_id(), bake_id).offers == before
    assert real.posts(f"{page}/anew").headers["Location"] == f"{page}?offers"
    assert bakes.bake(real.store, real.kitchen_id(), bake_id).offers != before


def test_a_dough_that_is_mixed_is_led_to_what_can_still_be_changed(real: InKitchen, clock: Clock) -> None:
    bake_id, before = taken(real, method_key="cold")
    mix = next(one for one in before.steps if one.kind == "mix")
    clock.now = mix.end
    done = Event("a" * 32, bake_id, mix.end, mix.end, "p", "done", {"step_id": mix.step_id}, before.revision)
    bakes.add_to_journal(real.store, mix.end, real.kitchen_id(), bake_id, [done])
    kitchen = kitchen_of(real.store, real.kitchen_id())
    change_kitchen(real.store, real.kitchen_id(), lambda one: replace(one, fridge_c=kitchen.fridge_c + 4))
    settings_changed(real.store, clock.now, real.kitchen_id(), kitchen)
    page = real.get(f"/bakes/{bake_id}").text
    assert f'The dough is made. <a href="/kitchen?ways#{bake_id}">See the ways from here</a>' in page
    assert "/anew" not in page
    led = real.get(f"/bakes/{bake_id}/anew")
    assert led.headers["Location"] == f"/kitchen?ways#{bake_id}", "a phone that has not heard of the mixing"
    assert real.posts(f"/bakes/{bake_id}/anew", {}).headers["Location"].endswith("/change")
    assert bundle(real, bake_id)["question"] is None, "it is the same dough, so nothing is asked of it"


def test_other_units_reach_a_phone_that_has_the_bake(real: InKitchen) -> None:
    bake_id, before = taken(real)
    sent = {"zone": "Europe/London", "mass_unit": "oz", "heat_unit": "F", "clock": "12"}
    assert real.posts("/settings/units", sent).status_code == 303
    assert plan_of(real, bake_id).revision == before.revision + 1
    real.posts("/settings/units", sent)
    assert plan_of(real, bake_id).revision == before.revision + 1, "saved twice it is no further one"


def meeting(start: int, end: int) -> bytes:
    """A calendar with one entry that takes time (RFC 5545, 3.6.1)."""
    from_, to = (f"{datetime.fromtimestamp(instant, UTC):%Y%m%dT%H%M%SZ}" for instant in (start, end))
    lines = ("BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//made up//EN", "BEGIN:VEVENT", "UID:meeting@example.org",
             f"DTSTAMP:{from_}", f"DTSTART:{from_}", f"DTEND:{to}", "SUMMARY:Rehearsal", "END:VEVENT",
             "END:VCALENDAR", "")  # fmt: skip
    return "\r\n".join(lines).encode()


def listed(phone: InKitchen, bake_id: str) -> int:
    """By which revision a phone is told to have the bake."""
    rows = (phone.get("/api/bakes").json or {})["bakes"]
    return next(int(row["revision"]) for row in rows if row["bake_id"] == bake_id)


def test_a_phone_hears_at_its_next_look_of_what_a_calendar_takes_and_of_what_it_gives_back(real: InKitchen) -> None:
    bake_id, before = taken(real)
    press = next(one for one in before.steps if one.kind == "press")
    for _ in range(2):  # read twice it is no further revision
        sent = {"file": (io.BytesIO(meeting(press.start - 60, press.end + 60)), "mine.ics")}
        assert real.posts("/settings/busy", sent, content_type="multipart/form-data").status_code == 303
        assert listed(real, bake_id) == before.revision + 1
    assert any("press out" in line["words"].lower() for line in bundle(real, bake_id)["unfit"])  # type: ignore[attr-defined]
    after = plan_of(real, bake_id)
    assert (after.steps, after.dough_of) == (before.steps, before.revision), "the same day, the same dough"
    real.posts("/settings/busy/forget", {})
    assert listed(real, bake_id) == before.revision + 2
    assert bundle(real, bake_id)["unfit"] == []


def test_a_reading_that_leaves_a_bake_its_hands_is_no_news_of_it(real: InKitchen) -> None:
    bake_id, before = taken(real)
    sent = {"file": (io.BytesIO(meeting(before.supper + 7200, before.supper + 9000)), "mine.ics")}
    real.posts("/settings/busy", sent, content_type="multipart/form-data")
    assert listed(real, bake_id) == before.revision


def test_what_the_background_reads_of_a_calendar_reaches_the_phones_too(
    real: InKitchen, settings: Settings, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    bake_id, before = taken(real)
    press = next(one for one in before.steps if one.kind == "press")
    kitchen_id, busy = real.kitchen_id(), [(press.start, press.end)]
    monkeypatch.setattr(busy_address, "due", lambda *_: ((kitchen_id,), ()))
    monkeypatch.setattr(busy_address, "look_at_all", lambda store, *_: store.set_busy(kitchen_id, busy))
    with_lines = Background(settings, now=clock)
    with_lines.busy_times()
    for lines in with_lines._fetching:
        lines.close()
    assert listed(real, bake_id) == before.revision + 1


def away_all_day(phone: InKitchen, until_min: int = 23 * 60) -> None:
    home = kitchen_of(phone.store, phone.kitchen_id())
    week = tuple(replace(day, away=(AwaySpan(8 * 60, until_min),)) for day in home.people[0].week)
    change_kitchen(
        phone.store, phone.kitchen_id(), lambda now: replace(now, people=(replace(now.people[0], week=week),))
    )


def test_a_measured_preheat_follows_beside_hands_and_a_fridge_that_fit_no_longer(real: InKitchen) -> None:
    bake_id, before = taken(real, method_key="cold")
    real.posts("/settings/warmth", {"from-0": "00:00", "temp-0": "20", "fridge": "9", "warm": "28"})
    away_all_day(real)
    assert {one["of"] for one in bundle(real, bake_id)["unfit"]} == {"hands", "fridge"}  # type: ignore[attr-defined]
    minutes = before.oven.preheat_min + 10
    real.posts("/settings/oven/preheat", {"minutes": str(minutes)})
    after = plan_of(real, bake_id)
    assert after.oven.preheat_min == minutes
    assert step(after, "preheat") == step(before, "preheat") - 600
    assert {one["of"] for one in bundle(real, bake_id)["unfit"]} == {"hands", "fridge"}  # type: ignore[attr-defined]


def test_a_measured_preheat_does_not_follow_to_where_nobody_could_light_the_oven(real: InKitchen) -> None:
    bake_id, before = taken(real)
    hour, minute = map(int, clock_text(step(before, "preheat"), before.zone).split(":"))
    away_all_day(real, until_min=hour * 60 + minute - 5)
    real.posts("/settings/oven/preheat", {"minutes": str(before.oven.preheat_min + 10)})
    assert plan_of(real, bake_id).oven == before.oven
    assert "oven" in {one["of"] for one in bundle(real, bake_id)["unfit"]}  # type: ignore[attr-defined]


def test_a_phone_is_told_while_a_step_is_to_come_and_no_longer(real: InKitchen, clock: Clock) -> None:
    """Of hands until that step's time, of the fridge until the dough is out; nothing after supper."""
    bake_id, plan = taken(real, method_key="cold")
    real.posts("/settings/warmth", {"from-0": "00:00", "temp-0": "20", "fridge": "9", "warm": "28"})
    away_all_day(real)
    hands, fridge = told_now(bundle(real, bake_id)["unfit"])
    missed = [one for one in plan.steps if one.presence != "none" and one.start > clock.now]
    assert hands["until"] in [one.start for one in missed]
    out = next(one for one in plan.steps if one.kind == "temper")
    assert (fridge["step_id"], fridge["until"]) == (out.step_id, plan.supper)
    clock.now = plan.supper + 60
    assert bundle(real, bake_id)["unfit"] == []


def test_a_bake_that_was_just_eaten_is_told_in_the_new_units_too(real: InKitchen, clock: Clock) -> None:
    bake_id, plan = taken(real)
    clock.now = plan.supper + 3600
    before = kitchen_of(real.store, real.kitchen_id())
    change_kitchen(real.store, real.kitchen_id(), lambda now: replace(now, clock="12"))
    settings_changed(real.store, clock.now, real.kitchen_id(), before)
    assert plan_of(real, bake_id).revision == plan.revision + 1


def test_another_clock_of_the_household_that_leaves_no_hands_is_heard_on_every_phone(real: InKitchen) -> None:
    bake_id, plan = taken(real)
    real.posts("/settings/zone", {"zone": "Asia/Tokyo", "keep": "1"})
    assert plan_of(real, bake_id).revision == plan.revision + 1
    assert bundle(real, bake_id)["unfit"] != []


def test_where_another_dish_was_tried_and_not_taken_the_oven_follows_and_its_days_are_not_shown(
    real: InKitchen,
) -> None:
    bake_id, before = taken(real)
    other = {"supper": "2026-11-26T19:30", "formula_key": "oil-tray", "pan-oven-tray": "0", "pan-round-28": "1"}
    assert real.posts("/plan", real.answers(other | {"again": bake_id})).status_code == 303
    assert plan_of(real, bake_id) == before
    assert "Why not one of the other ways?" not in real.get(f"/bakes/{bake_id}").text
    minutes = before.oven.preheat_min + 10
    real.posts("/settings/oven/preheat", {"minutes": str(minutes)})
    assert plan_of(real, bake_id).oven.preheat_min == minutes


def tries_another_dish(phone: InKitchen, bake_id: str) -> None:
    """Other answers for the same bake, none of whose days is taken."""
    other = {"supper": "2026-11-27T20:15", "formula_key": "oil-tray", "pan-oven-tray": "0", "pan-round-28": "1"}
    assert phone.posts("/plan", phone.answers(other | {"again": bake_id})).status_code == 303


def test_after_another_dish_was_tried_the_form_of_the_bake_has_the_answers_of_the_plan_that_goes_on(
    real: InKitchen,
) -> None:
    bake_id, _ = taken(real, toppings_key="tomato-cheese-rim")
    asked = bakes.bake(real.store, real.kitchen_id(), bake_id).wish
    tries_another_dish(real, bake_id)
    form = real.get(f"/plan?again={bake_id}").text
    assert "2026-11-26T19:30" in form
    assert re.search(rf'value="{asked.formula_key}"[^>]* checked|checked[^>]* value="{asked.formula_key}"', form)
    assert '<option selected value="tomato-cheese-rim">' in form
    last = real.get(f"/plan?again={bake_id}&offers").text
    assert "2026-11-27T20:15" in last, "from the days of what was tried one comes back to that"
    assert f"/plan?again={bake_id}&amp;offers" in real.get(f"/bakes/{bake_id}?offers").text


def test_after_another_dish_was_tried_the_day_is_seen_anew_of_the_plan_that_goes_on(real: InKitchen) -> None:
    bake_id, before = taken(real)
    tries_another_dish(real, bake_id)
    assert real.posts(f"/bakes/{bake_id}/anew", {}).status_code == 303
    held = bakes.bake(real.store, real.kitchen_id(), bake_id)
    assert {(one.formula_key, one.supper, one.pans) for one in held.offers} == {
        (before.formula_key, before.supper, before.pans)
    }
    assert held.plan == before


def test_page_and_phone_say_the_same_of_hands_that_are_missed_from_one_step_to_the_next(
    real: InKitchen, clock: Clock
) -> None:
    """The phone heard of it in the morning; each step that is past is left out on both, with no server heard since."""
    bake_id, plan = taken(real)
    away_all_day(real)
    heard = bundle(real, bake_id)["unfit"]
    missed = [one for one in heard if one["of"] == "hands"]  # type: ignore[attr-defined]
    assert len(missed) > 2
    for one in missed:
        clock.now = one["until"] - 1
        before = [step for step in plan.steps if step.start < one["until"] and step.kind != "serve"]
        done = [
            Event(f"{place:032x}", bake_id, step.end, step.end, "p", "done", {"step_id": step.step_id}, plan.revision)
            for place, step in enumerate(before) if step.end <= clock.now
        ]  # fmt: skip
        bakes.add_to_journal(real.store, clock.now, real.kitchen_id(), bake_id, done)
        open_still = [
            two.step_id for two in plan.steps if two not in [step for step in before if step.end <= clock.now]
        ]
        ahead = [two for two in missed if two["until"] >= clock.now and two["step_id"] in open_still]
        assert ahead[0]["words"].replace("\u00a0", " ") in plain(real.get(f"/bakes/{bake_id}").text)


LEEK = {"name": "Leek and curd", "pan": "oven-tray", "0-name": "Leek, fried", "0-grams": "159.6", "0-keep": "cold"}


def with_own_topping(phone: InKitchen) -> tuple[str, Plan]:
    """A bake whose topping, the household's own, was put away since."""
    made = phone.posts("/larder/toppings", LEEK, page="/larder/toppings/new")
    assert made.status_code == 303, plain(made.text)
    (key,) = own_things.own(phone.store, phone.kitchen_id(), TOPPINGS)
    bake_id, plan = taken(phone, toppings_key=key)
    assert phone.posts(f"/larder/toppings/{key}/put-away", page="/larder/toppings").status_code == 303
    return bake_id, plan


def test_a_bake_whose_topping_was_put_away_follows_the_oven_and_says_what_fits_no_longer(real: InKitchen) -> None:
    bake_id, before = with_own_topping(real)
    minutes = before.oven.preheat_min + 10
    real.posts("/settings/oven/preheat", {"minutes": str(minutes)})
    after = plan_of(real, bake_id)
    assert after.oven.preheat_min == minutes
    assert after.toppings == before.toppings
    reaches(real, 180.0)
    assert "The oven was changed since" in plain(real.get(f"/bakes/{bake_id}").text)
    told = real.posts(f"/bakes/{bake_id}/anew")
    page = plain(real.get(told.location).text)
    assert "own-" not in page
    assert "Leek and curd: put away since" in page


def reaches(phone: InKitchen, highest_c: float) -> None:
    """The oven goes up to that."""
    before = kitchen_of(phone.store, phone.kitchen_id())
    change_kitchen(
        phone.store, phone.kitchen_id(), lambda now: replace(now, oven=replace(now.oven, highest_c=highest_c))
    )
    settings_changed(phone.store, at(8), phone.kitchen_id(), before)


def taken_and_mixed(phone: InKitchen, clock: Clock) -> tuple[str, Plan]:
    """A bake whose dough has just been mixed, in time."""
    bake_id, plan = taken(phone)
    mix = next(one for one in plan.steps if one.kind == "mix")
    clock.now = mix.end
    said = event(bake_id, step_id=mix.step_id) | {"at": mix.end, "logged_at": mix.end, "revision": plan.revision}
    assert phone.sends(bake_id, said).status_code == 200
    return bake_id, plan


def test_an_oven_that_no_longer_reaches_the_dial_is_told_with_the_dial_and_the_minutes_of_now(
    real: InKitchen, clock: Clock
) -> None:
    """Of a made dough too: nothing else of it can be planned anew. A cooler oven bakes for longer (common practice)."""
    bake_id, plan = taken_and_mixed(real, clock)
    reaches(real, 180.0)
    said_now = re.search(
        r"set it to 180 °C, heat it for (\d+) minutes, bake (\d+) to (\d+) minutes",
        plain(real.get(f"/bakes/{bake_id}").text),
    )
    assert said_now is not None
    assert int(said_now[2]) > plan.oven.bake_low_min
    assert int(said_now[3]) > plan.oven.bake_high_min
    (oven,) = (one for one in bundle(real, bake_id)["unfit"] if one["of"] == "oven")  # type: ignore[attr-defined]
    assert "set it to 180" in oven["words"].replace("\u00a0", " ")


def calendar_of(phone: InKitchen, bake_id: str) -> list[str]:
    """What its file says of each event, unfolded (RFC 5545 3.1, 3.3.11)."""
    text = phone.get(f"/bakes/{bake_id}/bake.ics").text.replace("\r\n ", "").replace("\\,", ",").replace("\\;", ";")
    text = text.replace("\u00a0", " ")
    return re.findall(r"DESCRIPTION:(.*)", text)


def test_paper_and_calendar_too_tell_the_dial_of_an_oven_that_was_changed(real: InKitchen) -> None:
    bake_id, _ = taken(real)
    paper = f"/bakes/{bake_id}/print"
    said = "The oven was changed since: its dial and its minutes here are those of before. Now: set it to 180 °C"
    assert not any(said in one for one in (plain(real.get(paper).text), *calendar_of(real, bake_id)))
    reaches(real, 180.0)
    assert said in plain(real.get(paper).text)
    told = [one for one in calendar_of(real, bake_id) if said in one]
    assert any("Set the oven to 250 °C" in one for one in told), "where it is lit"
    assert any("Tray" in one for one in told), "where the tray goes in"
    reaches(real, 250.0)
    assert not any(said in one for one in (plain(real.get(paper).text), *calendar_of(real, bake_id)))
    assert plan_of(real, bake_id).oven_now is None


def test_a_mixed_dough_goes_into_the_cooler_oven_by_its_dial_and_minutes_and_nobody_is_told_of_a_misfit(
    real: InKitchen, clock: Clock
) -> None:
    bake_id, plan = taken_and_mixed(real, clock)
    reaches(real, 220.0)
    told = bundle(real, bake_id)
    shown: Any = told["plan"]
    assert told["unfit"] == []
    assert shown["supper"] == plan.supper
    assert "220 °C" in shown["oven"]["dial"].replace("\u00a0", " ")
    words = " ".join(calendar_of(real, bake_id)) + str(shown["steps"]) + plain(real.get(f"/bakes/{bake_id}/print").text)
    assert not re.search(r"\b250\b", words), "no step, calendar or sheet sends anybody to the dial of before"
    assert [line["step_id"] for line in shown["steps"] if line["kind"] == "turn-down"] == [], "it is as low already"


def test_calendars_too_tell_of_another_fridge_where_the_dough_goes_in_and_where_it_comes_out(
    real: InKitchen, clock: Clock
) -> None:
    bake_id, plan = taken(real, method_key="cold")
    warmth = {"from-0": "00:00", "temp-0": "20", "warm": "28"}
    told = "The fridge is at 9 °C now; these times are reckoned for 5 °C. The dough goes on faster in it."
    assert not any(told in one for one in calendar_of(real, bake_id))
    assert real.posts("/settings/warmth", warmth | {"fridge": "9"}).status_code == 303
    said = [one for one in calendar_of(real, bake_id) if told in one]
    assert any("fridge" in one.partition(told)[0] for one in said)
    chain = [one for one in plan.steps if one.chain]
    (out,) = [after for one, after in itertools.pairwise(chain) if one.place == "fridge" != after.place]
    titles = [one for one in said if out.title in one or out.text[:20] in one]
    assert titles, "where it is taken out"
    clock.now = out.end
    done = [
        event(bake_id, step_id=one.step_id) | {"at": one.end, "logged_at": one.end, "revision": plan.revision}
        for one in chain if one.start <= out.start
    ]  # fmt: skip
    assert real.sends(bake_id, *done).status_code == 200
    assert not any(told in one for one in calendar_of(real, bake_id)), "it is out"


def test_a_dough_in_a_fridge_that_turns_out_warmer_is_as_warm_as_that_on_every_screen(
    real: InKitchen, clock: Clock
) -> None:
    """A covered dough is as cold as its fridge after a night (Newton's law of cooling, hours of time constant)."""
    bake_id, plan = taken(real, method_key="cold")
    chill = next(one for one in plan.steps if one.place == "fridge")
    done = [
        event(bake_id, step_id=one.step_id) | {"at": one.end, "logged_at": one.end, "revision": plan.revision}
        for one in plan.steps if one.chain and one.start <= chill.start
    ]  # fmt: skip
    clock.now = chill.end + 12 * 3600
    assert real.sends(bake_id, *done).status_code == 200
    warmth = {"from-0": "00:00", "temp-0": "20", "warm": "28"}
    before = bakes.followed_bake(real.store, clock.now, real.kitchen_id(), bake_id)
    assert real.posts("/settings/warmth", warmth | {"fridge": "9"}).status_code == 303
    after = bakes.followed_bake(real.store, clock.now, real.kitchen_id(), bake_id)
    assert abs(before.retimed.dough_c - 5.0) < 1.5
    assert abs(after.retimed.dough_c - 9.0) < 1.5
    assert after.retimed.progress > before.retimed.progress, "yeast is quicker in the warm"
    sent: Any = bundle(real, bake_id)
    assert sent["plan"]["rise"]["fridge_c"] == 9.0, "what the phone reckons with"
    assert [one["words"].replace("\u00a0", " ") for one in sent["unfit"]] == [
        "The fridge is at 9 °C now; these times are reckoned for 5 °C. The dough goes on faster in it."
    ]
    assert real.posts("/settings/warmth", warmth | {"fridge": "5"}).status_code == 303
    assert plan_of(real, bake_id).rise == plan.rise
    assert bundle(real, bake_id)["unfit"] == []
