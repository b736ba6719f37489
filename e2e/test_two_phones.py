"""A bake is planned anew while the other phone, out of reach, mixes: what is in the bowl is on both screens."""

from __future__ import annotations

import re
import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import Page, Route, expect

from e2e.conftest import Phone
from e2e.cut_off import was_done
from e2e.server import Server, plan_at, shifted
from tests.samples import at
from tests.words.fresh import fresh_plan
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.records import bundle, to_plain
from webapp.words.screen.bundle import phone_words
from webapp.words.spoken import spoken
from webapp.words.times import WEEKDAYS, local_time

NewPhone = Callable[..., Phone]
pytestmark = pytest.mark.without_worker


def with_yeast(plan: Plan, grams: float, revision: int) -> Plan:
    """The plan with so much yeast, as another revision of it."""
    lines = tuple(replace(one, weigh_g=grams) if one.kind == "yeast" else one for one in plan.lines)
    return replace(plan, lines=lines, revision=revision)


def wake(phone: Phone) -> None:
    """The phone comes back into sight."""
    phone.page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")


def planned_anew(server: Server, new_phone: NewPhone) -> tuple[Phone, Phone, str]:
    """Sam's phone with the earlier plan and no connection, the other with the newer one."""
    key = secrets.token_urlsafe(32)
    other = new_phone(server, key)
    plan = plan_at(at(7, 31), bake_id=secrets.token_urlsafe(16))
    server.bake(other.kitchen_id, with_yeast(plan, 2.45, 1))
    sam = new_phone(server, key, other.kitchen_id)
    sam.open(plan.bake_id)
    expect(sam.page.locator(".weigh")).to_contain_text("2.45 g")
    expect(sam.page.locator(".tools")).to_be_visible()
    sam.page.route("**/api/**", lambda route: route.abort())
    server.bake(other.kitchen_id, with_yeast(plan, 0.61, 2))
    other.open(plan.bake_id)
    expect(other.page.locator(".weigh")).to_contain_text("0.61 g")
    expect(other.page.locator(".tools")).to_be_visible()
    return sam, other, plan.bake_id


def mixed_and_met(server: Server, new_phone: NewPhone) -> tuple[Phone, Phone, str]:
    """Sam mixes by the earlier plan; then both phones meet the server."""
    sam, other, bake_id = planned_anew(server, new_phone)
    sam.page.get_by_role("button", name="Mixed").click()
    expect(sam.page.locator("#notes")).to_contain_text("One entry waits")
    sam.page.unroute("**/api/**")
    wake(sam)
    sam.has_sent(bake_id, "done")
    wake(other)
    expect(other.page.locator("#now-title")).to_have_text("Press into the oiled tray")
    return sam, other, bake_id


def test_the_other_phone_shows_what_was_mixed_and_is_asked_once(shared_server: Server, new_phone: NewPhone) -> None:
    sam, other, bake_id = mixed_and_met(shared_server, new_phone)
    expect(other.page.locator("#notes")).to_contain_text("mixed the earlier plan, with 2.45 g of yeast")
    expect(sam.page.locator("#now-title")).to_have_text("Press into the oiled tray")
    expect(sam.page.locator("#notes")).not_to_contain_text("mixed the earlier plan")
    other.page.get_by_role("button", name="Go on with that dough").click()
    expect(other.page.locator("#notes")).not_to_contain_text("mixed the earlier plan")
    other.has_sent(bake_id, "done", "settled")


def test_a_dough_that_is_not_used_leaves_both_screens(shared_server: Server, new_phone: NewPhone) -> None:
    sam, other, bake_id = mixed_and_met(shared_server, new_phone)
    other.page.get_by_role("button", name="No, that dough is not used").click()
    other.has_sent(bake_id, "done", "undo")  # or the other phone would ask before it can be told
    for phone in (other, sam):
        if phone is sam:
            wake(phone)  # the one that tapped looks no further time
        expect(phone.page.locator("#now-title")).to_have_text("Mix the dough")
        expect(phone.page.locator(".weigh")).to_contain_text("0.61 g")
        expect(phone.page.locator("#notes")).not_to_contain_text("mixed the earlier plan")
    expect(sam.page.locator("#notes")).to_contain_text("The dough that was mixed on this phone")
    sam.page.get_by_role("button", name="Go on with that dough after all").click()
    expect(sam.page.locator("#now-title")).to_have_text("Press into the oiled tray")
    expect(sam.page.locator("#notes")).not_to_contain_text("is not used")


def test_bakes_of_a_kitchen_that_a_phone_has_left_go_without_a_word(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server)
    left = shared_server.bake(phone.kitchen_id, plan_at(at(8), bake_id=secrets.token_urlsafe(16)))
    phone.open(left.bake_id)
    expect(phone.page.locator(".tools")).to_be_visible()
    key = secrets.token_urlsafe(32)
    joined = new_phone(shared_server, key).kitchen_id
    plan = plan_at(at(12), bake_id=secrets.token_urlsafe(16))
    shared_server.bake(joined, replace(plan, title="Focaccia for Friday"))
    phone.context.add_cookies([{"name": "suppertide", "value": key, "url": shared_server.url, "httpOnly": True}])
    phone.page.goto(f"{shared_server.url}/kitchen")
    phone.page.reload()
    expect(phone.page.locator("h1")).to_have_text("Focaccia for Friday")
    expect(phone.page.locator(".others__link")).to_have_count(0)
    expect(phone.page.locator("#notes")).not_to_contain_text("It rings no more")


def test_the_kitchen_opens_the_bake_whose_step_comes_next_and_the_list_says_the_next_step_of_each(
    shared_server: Server, new_phone: NewPhone
) -> None:
    phone = new_phone(shared_server)
    pressed_later = plan_at(at(12), bake_id=secrets.token_urlsafe(16))
    shared_server.bake(phone.kitchen_id, replace(pressed_later, title="Pizza for tonight"))
    was_done(shared_server, phone.kitchen_id, pressed_later, ("mix",))
    soon = plan_at(at(7), bake_id=secrets.token_urlsafe(16))
    shared_server.bake(phone.kitchen_id, replace(soon, title="Focaccia for later"))
    phone.open(soon.bake_id)
    expect(phone.page.locator(".others__link")).to_contain_text("Press into the oiled tray")
    phone.page.goto(f"{shared_server.url}/health")
    phone.open()
    expect(phone.page.locator("h1")).to_have_text("Focaccia for later")
    expect(phone.page.locator("#now-title")).to_have_text("Mix the dough")
    expect(phone.page.locator(".others__link strong")).to_have_text("Pizza for tonight")


def test_bakes_of_one_name_a_fortnight_apart_are_told_apart_by_their_day(
    shared_server: Server, new_phone: NewPhone
) -> None:
    phone = new_phone(shared_server)
    soon = plan_at(at(8), bake_id=secrets.token_urlsafe(16))
    eaten = replace(shifted(soon, -14 * 86400), bake_id=secrets.token_urlsafe(16))
    for plan in (eaten, soon):
        shared_server.bake(phone.kitchen_id, plan)
    was_done(shared_server, phone.kitchen_id, eaten, tuple(step.step_id for step in eaten.steps))
    phone.open(eaten.bake_id)
    phone.page.goto(f"{shared_server.url}/health")
    phone.open(soon.bake_id)
    before = local_time(eaten.supper, eaten.zone)
    other = phone.page.locator(".others__link strong")
    expect(other).to_contain_text(
        re.compile(rf"supper {WEEKDAYS[before.weekday()]} {before.day} [A-Z][a-z]+ \d\d:\d\d$")
    )
    expect(phone.page.locator("h1")).not_to_have_text(other.inner_text())


def clock_in(zone: str, instant: int) -> str:
    """ "19:30" by the zone's rules (IANA time zone data, as Python reads it)."""
    return f"{datetime.fromtimestamp(instant, ZoneInfo(zone)):%H:%M}"


def test_a_phone_in_another_zone_names_the_bakes_clock_and_shows_both_times(
    shared_server: Server, new_phone: NewPhone
) -> None:
    phone = new_phone(shared_server, timezone_id="Asia/Kolkata")
    plan = shared_server.bake(phone.kitchen_id, plan_at(at(7), bake_id=secrets.token_urlsafe(16)))
    phone.open(plan.bake_id)
    mix = next(step.start for step in plan.steps if step.kind == "mix")
    for place, instant in ((".now__when", mix), (".standing__line", plan.supper)):
        there, here = (clock_in(zone, instant) for zone in ("Europe/Lisbon", "Asia/Kolkata"))
        expect(phone.page.locator(place).first).to_contain_text(re.compile(rf"{there} \(.*{here} by this phone\)"))
    expect(phone.page.locator(".standing")).to_contain_text("Times here are by the clock of Europe/Lisbon.")
    phone.page.get_by_role("button", name="Done at another time").click()
    typed = phone.page.locator("dialog label[for=when]")
    expect(typed).to_contain_text(re.compile(r"\(\d\d:\d\d now in Europe/Lisbon\)"))


def test_a_phone_that_shows_the_same_time_as_the_bake_says_nothing_of_clocks(
    shared_server: Server, new_phone: NewPhone
) -> None:
    phone = new_phone(shared_server, timezone_id="Europe/London")
    plan = shared_server.bake(phone.kitchen_id, plan_at(at(7), bake_id=secrets.token_urlsafe(16)))
    phone.open(plan.bake_id)
    expect(phone.page.locator(".standing__line").first).to_contain_text("Supper")
    for words in ("by this phone", "Times here", "does not know"):
        expect(phone.page.locator("#screen")).not_to_contain_text(words)


BOTH = """async (asked) => {
  const { formatFor } = await import("/static/js/lib/format.js");
  const both = (zone, at, clock) => formatFor(zone, { clock }).bothClocks(at, at);
  return asked.map(([zone, at, clock]) => both(zone, Date.parse(at) / 1000, clock));
}"""


def test_both_times_follow_the_rules_of_both_zones(shared_server: Server, new_phone: NewPhone) -> None:
    """Europe goes back on the last Sunday of October (Directive 2000/84/EC), the United States on the first of
    November (Energy Policy Act of 2005, section 110): in the week between New York is an hour nearer. Lord Howe Island
    goes back by half an hour, from 02:00 at UTC+11 to 01:30 at UTC+10:30, on the first Sunday of April (Standard Time
    Act 1987, New South Wales; IANA time zone data).
    """
    asked = {
        ("Europe/Lisbon", "2026-10-24T19:00Z", "24"): "20:00 (15:00 by this phone)",
        ("Europe/Lisbon", "2026-10-28T20:00Z", "24"): "20:00 (16:00 by this phone)",
        ("Europe/Lisbon", "2026-11-04T20:00Z", "24"): "20:00 (15:00 by this phone)",
        ("Europe/Lisbon", "2026-11-04T20:00Z", "12"): "8:00 pm (3:00 pm by this phone)",
        ("Europe/Lisbon", "2026-11-01T05:30Z", "24"): "05:30 (01:30 (first time) by this phone)",
        ("Australia/Lord_Howe", "2026-04-04T14:45Z", "24"): "01:45 (first time) (10:45 by this phone)",
        ("Australia/Lord_Howe", "2026-04-04T15:15Z", "24"): "01:45 (second time) (11:15 by this phone)",
        ("America/Toronto", "2026-11-04T20:00Z", "24"): "15:00",
        ("America/New_York", "2026-11-04T20:00Z", "24"): "15:00",
    }
    page = new_phone(shared_server, timezone_id="America/New_York").page
    page.goto(f"{shared_server.url}/health")
    assert page.evaluate(BOTH, list(asked)) == list(asked.values())


OLDER = """const unknown = ([, wanted]) => {
  if (wanted?.timeZone === "Europe/Lisbon") {
    throw new RangeError("no such zone");
  }
};
Intl.DateTimeFormat = new Proxy(Intl.DateTimeFormat, {
  construct: (known, asked) => unknown(asked) ?? new known(...asked),
});"""


def test_a_phone_that_does_not_know_the_bakes_zone_says_that_its_times_are_its_own(
    shared_server: Server, new_phone: NewPhone
) -> None:
    phone = new_phone(shared_server, timezone_id="Asia/Kolkata")
    phone.page.add_init_script(OLDER)
    plan = shared_server.bake(phone.kitchen_id, plan_at(at(7), bake_id=secrets.token_urlsafe(16)))
    phone.open(plan.bake_id)
    expect(phone.page.locator(".standing")).to_contain_text("This phone does not know the clock of Europe/Lisbon")
    expect(phone.page.locator(".now__when")).to_contain_text(clock_in("Asia/Kolkata", plan.steps[0].start))


def test_ounces_are_what_an_ounce_scale_shows_on_the_screen_too(shared_server: Server, new_phone: NewPhone) -> None:
    """287 g are 10.124 oz, 480 g 16.931 oz, 14 g 0.494 oz and 1.5 g 0.0529 oz: 28.349523125 g to the ounce (1959)."""
    asked = {287: "10.1 oz", 480: "16.95 oz", 14: "0.49 oz", 1.5: "0.053 oz", 10.12 * 28.349523125: "10.12 oz",
             0.035 * 28.349523125: "0.035 oz", 10.135 * 28.349523125: "10.135 oz"}  # fmt: skip
    page = new_phone(shared_server).page
    page.goto(f"{shared_server.url}/health")
    said = page.evaluate(
        """async (all) => {
      const { formatFor } = await import("/static/js/lib/format.js");
      return all.map(formatFor("UTC", { mass_unit: "oz" }).grams);
    }""",
        list(asked),
    )
    assert [one.replace("\u00a0", " ") for one in said] == list(asked.values())


def test_a_bake_that_was_never_packed_breaks_nothing_of_the_screen(shared_server: Server, new_phone: NewPhone) -> None:
    """With a step of another one due, with no connection, and back again."""
    phone = new_phone(shared_server)
    broken: list[str] = []
    phone.page.on("pageerror", lambda error: broken.append(str(error)))
    plan = shared_server.bake(phone.kitchen_id, plan_at(at(7, 31), bake_id=secrets.token_urlsafe(16)))
    phone.open(plan.bake_id)
    expect(phone.page.locator(".tools")).to_be_visible()
    phone.page.route("**/api/**", lambda route: route.abort())
    phone.page.evaluate("location.hash = 'never-packed'")
    expect(phone.page.locator("h1")).to_have_text("This bake is not in this phone yet")
    expect(phone.page.locator(".others__link")).to_contain_text(plan.title)
    phone.page.locator(".alarm__other").click()
    expect(phone.page.locator("#now-title")).to_have_text("Mix the dough")
    phone.page.goto(f"{shared_server.url}/health")
    phone.page.goto(f"{shared_server.url}/kitchen#never-packed")
    expect(phone.page.locator("h1")).to_have_text("This bake is not in this phone yet")
    expect(phone.page.locator(".others__link")).to_contain_text(plan.title)
    assert broken == []


def test_what_fits_no_longer_is_said_while_its_step_is_to_come(shared_server: Server, new_phone: NewPhone) -> None:
    """The fridge was set anew while the dough stands in it: said until the dough is out, with no server heard since."""
    phone = new_phone(shared_server)
    plan = shared_server.bake(phone.kitchen_id, plan_at(at(7, 31), bake_id=secrets.token_urlsafe(16)))
    said = [
        {"words": "The fridge is warmer now.", "step_id": step_id, "until": plan.supper} for step_id in ("mix", "load")
    ]
    gone = {"words": "Nobody was there at six.", "step_id": "load", "until": plan.steps[0].start - 3600}

    def unfit(route: Route) -> None:
        answer = route.fetch()
        route.fulfill(response=answer, json=answer.json() | {"unfit": [*said, gone]})

    phone.page.route("**/bundle", unfit)
    phone.open(plan.bake_id)
    expect(phone.page.locator("#notes")).to_contain_text("See the day anew")
    expect(phone.page.get_by_text("The fridge is warmer now.")).to_have_count(2)
    expect(phone.page.locator("#notes")).not_to_contain_text("at six")
    phone.page.get_by_role("button", name="Mixed").click()
    expect(phone.page.get_by_text("The fridge is warmer now.")).to_have_count(1)


@pytest.mark.parametrize("days", [0, 1])
def test_a_bake_is_called_by_the_day_on_which_it_is_eaten_by_now(page: Page, days: int) -> None:
    """Supper of a dough that is mixed is moved by a day, with no connection: as the pages call it then."""
    plan, now = fresh_plan(), at(12)
    supper = plan.supper + days * 86400
    moved = Event("e" * 32, plan.bake_id, now, now, "p", "supper", {"instant": supper})
    said = page.evaluate(
        """async ([bundle, event, now]) => {
          const { Bake } = await import("/static/js/state/bake.js");
          const bake = new Bake(bundle);
          bake.take([event]);
          bake.work(now);
          return bake.plan.title;
        }""",
        [bundle(spoken(plan), (), now) | {"words": phone_words()}, to_plain(moved), now],
    )
    assert said == f"{plan.formula_name} for {WEEKDAYS[local_time(supper, plan.zone).weekday()]}"
