"""Everything that floury hands need, from a cold start of the installed app, with the network off and with the server
killed: these are two things, for with the server killed the browser believes itself online."""

from __future__ import annotations

import re
import time
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, expect

from e2e.cut_off import IN_DATABASE, WAYS, CutOff, cut_off, row, steps_of, time_of


@pytest.fixture(scope="module", params=WAYS)
def phone(
    request: pytest.FixtureRequest, browser: Browser, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[CutOff]:
    """The packed phone, cut off in this way."""
    with cut_off(browser, tmp_path_factory.mktemp("cut"), request.param) as phone:
        yield phone


def test_a_cold_start_shows_the_current_step_and_what_is_next(phone: CutOff) -> None:
    page = phone.open("press")
    expect(page.locator("#now-title")).to_have_text("Press into the oiled tray")
    expect(page.locator(".card--due .now__text")).to_contain_text("dimple it outwards")
    expect(page.locator(".next")).to_contain_text("Light the oven")
    expect(page.locator(".tide")).to_have_count(2)
    expect(page.locator("#notes")).to_contain_text("The kitchen needs nothing from it")


def test_a_step_that_is_not_due_counts_down_to_its_stored_instant(phone: CutOff) -> None:
    page = phone.open("wait")
    shown = re.fullmatch(r"in (\d) h (?:(\d+) min)?", page.locator("[data-count]").inner_text().replace("\u00a0", " "))
    assert shown
    press = next(step for step in phone.plans["wait"].steps if step.step_id == "press")
    left_min = (press.start - time.time()) / 60
    assert int(shown[1]) * 60 + int(shown[2] or 0) == pytest.approx(left_min, abs=1.5)
    expect(page.locator(".card--due")).to_have_count(0)


def test_lines_are_weighed_out_and_ticked_and_stay_ticked_after_a_flat_battery(phone: CutOff) -> None:
    page = phone.open("weigh")
    flour = page.get_by_role("button", name="Strong white flour, 425 g")
    flour.click()
    expect(flour).to_have_attribute("aria-pressed", "true")
    page.close()
    page = phone.open("weigh")
    expect(page.get_by_role("button", name="Strong white flour, 425 g")).to_have_attribute("aria-pressed", "true")
    page.get_by_role("button", name="Strong white flour, 425 g").click()
    expect(page.get_by_role("button", name="Strong white flour, 425 g")).to_have_attribute("aria-pressed", "false")


def test_too_much_water_makes_everything_else_more(phone: CutOff) -> None:
    """297.5 g due (70 % of 425 g), 327 g poured: so 425 g of flour become 467 g."""
    page = phone.open("weigh")
    page.get_by_role("button", name="Strong white flour, 425 g").click()
    page.get_by_role("button", name="Too much went in").click()
    page.get_by_role("dialog").get_by_role("button", name="Water").click()
    page.get_by_label("Water: all that is in").fill("327")
    page.get_by_role("button", name="That much is in").click()
    page.get_by_role("button", name="all else grows with it").click()
    expect(page.get_by_role("button", name="Strong white flour, 467 g")).to_be_visible()
    expect(page.locator(".weigh__row").filter(has=page.locator(".weigh__name", has_text="flour"))).to_contain_text(
        "42 g more goes in"
    )
    expect(page.get_by_role("button", name="Water, 327 g", exact=True)).to_have_attribute("aria-pressed", "true")
    expect(page.locator("[data-step]")).to_contain_text("10 % more")
    page.get_by_role("button", name="Too much went in").click()
    page.get_by_role("dialog").get_by_role("button", name="Water").click()
    page.get_by_role("button", name="It was not more after all").click()
    expect(page.get_by_role("button", name="Strong white flour, 425 g")).to_be_visible()


def test_another_pan_rescales_and_rounds_again(phone: CutOff) -> None:
    """A 28 x 19 cm pan is half of the 1064 cm2: half of 424.8 g is 212.4 g, on a scale of whole grams 212 g; half of
    0.51 g is 0.26 g to the hundredth."""
    page = phone.open("weigh-pan")
    page.get_by_role("button", name="Another pan").click()
    page.get_by_label("Length").fill("28")
    page.get_by_label("Width").fill("19")
    page.get_by_role("button", name="Show the new dough").click()
    expect(page.locator("dialog")).to_contain_text("372 g of dough, 0.5 times")
    page.get_by_role("button", name="Bake in this pan").click()
    expect(page.get_by_role("button", name="Strong white flour, 212 g")).to_be_visible()
    expect(page.get_by_role("button", name="Water, 149 g")).to_be_visible()
    expect(page.get_by_role("button", name="Instant yeast, 0.26 g")).to_be_visible()
    page.get_by_role("button", name="Another pan").click()
    page.get_by_role("button", name="Back to the planned pan").click()
    expect(page.get_by_role("button", name="Strong white flour, 425 g")).to_be_visible()


def test_done_moves_on_and_take_back_returns(phone: CutOff) -> None:
    page = phone.open("press")
    page.get_by_role("button", name="Pressed out").click()
    expect(page.locator("#now-title")).to_have_text("Light the oven")
    page.close()
    page = phone.open("press")
    expect(page.locator("#now-title")).to_have_text("Light the oven")
    page.get_by_role("button", name=re.compile("^Take back: Pressed out")).click()
    expect(page.locator("#now-title")).to_have_text("Press into the oiled tray")


def test_a_step_can_be_said_to_have_been_done_earlier(phone: CutOff) -> None:
    page = phone.open("early")
    page.get_by_role("button", name="Done at another time").click()
    page.get_by_role("button", name="20 min ago").click()
    expect(page.locator("#now-title")).to_have_text("Light the oven")
    page.reload()
    shown = page.evaluate(f"async () => (await ({IN_DATABASE})('events'))")
    said = [e for e in shown if e["bake_id"] == phone.plans["early"].bake_id and e["data"].get("step_id") == "press"]
    assert 1200 <= said[0]["logged_at"] - said[0]["at"] < 1260


def test_a_step_can_be_done_out_of_turn_and_what_came_before_it_is_taken_as_done(phone: CutOff) -> None:
    page = phone.open("order")
    expect(page.locator("#now-title")).to_have_text("Press into the oiled tray")
    steps_of(page)
    page.get_by_role("button", name="It is done: Put the topping on").click()
    page.get_by_role("button", name="Just now").click()
    expect(page.locator("#now-title")).to_have_text("Light the oven")
    expect(row(page, "Put the topping on")).to_have_class(re.compile("step-row--done"))
    expect(row(page, "Press into the oiled tray")).to_contain_text("Taken as done")
    page.get_by_role("button", name="Take back: Put the topping on").first.click()
    expect(page.locator("#now-title")).to_have_text("Press into the oiled tray")


def test_running_late_shows_the_new_times_before_anything_is_said(phone: CutOff) -> None:
    page = phone.open("late")
    before = time_of(page, "Load the tray")
    page.get_by_role("button", name="Running late").click()
    page.get_by_role("button", name="2 h later").click()
    expect(page.locator("dialog")).to_contain_text("Press into the oiled tray")
    expect(page.locator("dialog")).to_contain_text("late.")
    assert time_of_behind(page, "Load the tray") == before, "only shown so far"
    page.locator("dialog [data-key=way-as-planned]").click()
    expect(page.locator("#now-title")).to_have_text("Press into the oiled tray")
    expect(page.locator("[data-count]")).to_have_text(re.compile(r"in (1\sh\s59\smin|2\sh)"))
    assert time_of(page, "Load the tray") != before


def time_of_behind(page: object, title: str) -> str:
    """As time_of, with a sheet open in front."""
    return page.locator("details[data-all] .step-row", has_text=title).locator(".step-row__time").inner_text()  # type: ignore[attr-defined,no-any-return]


def test_the_glass_makes_new_times_at_once(phone: CutOff) -> None:
    """Half as high again at noon is near enough to the plan: the sheet closes and nothing is asked."""
    page = phone.open("glass")
    page.get_by_role("button", name="Read the glass").click()
    page.get_by_role("button", name="×1.5").click()
    expect(page.locator("dialog")).to_have_count(0)
    expect(page.locator(".standing")).to_contain_text("The glass read ×1.5")
    expect(page.locator(".standing")).to_contain_text("its first volume, between")
    expect(page.locator(".standing")).to_contain_text("times as slow as planned")


def test_a_warmer_room_makes_new_times_at_once(phone: CutOff) -> None:
    page = phone.open("room")
    word = page.locator(".tide-figure figcaption")
    before = word.inner_text()
    page.get_by_role("button", name="The room is at").click()
    page.get_by_label("The thermometer in the kitchen says").fill("29")
    page.get_by_role("button", name="That is how warm it is").click()
    expect(word).not_to_have_text(before)


def test_ways_from_here_are_worked_out_on_the_phone(phone: CutOff) -> None:
    page = phone.open("rescue")
    page.get_by_role("button", name="Running late").click()
    clock = page.evaluate("new Date(Date.now() + 9 * 3600e3).toTimeString().slice(0, 5)")
    page.get_by_label("I can at").fill(clock)
    page.get_by_role("button", name="Show what happens then").click()
    fridge = page.locator("dialog .way", has_text="Into the fridge,")
    expect(fridge).to_contain_text(re.compile(r"into the oven|press out"))
    fridge.click()
    expect(page.locator(".standing")).to_contain_text("in the fridge")
    page.get_by_role("button", name="It is there", exact=True).click()
    page.get_by_role("button", name="It’s back on the bench").click()
    expect(page.locator(".standing")).to_contain_text("on the bench")


def test_the_dough_can_be_moved_at_any_time(phone: CutOff) -> None:
    page = phone.open("moved")
    page.get_by_role("button", name="Move the dough").click()
    page.get_by_role("button", name="In the warm spot").click()
    expect(page.locator(".standing")).to_contain_text("in the warm spot")


def test_a_dough_past_its_best_says_what_to_do_with_it(phone: CutOff) -> None:
    page = phone.open("over")
    expect(page.locator("[data-step]")).to_contain_text("past its best from")
    page.locator("[data-key=helps-press]").click()
    expect(page.locator("dialog")).to_contain_text("bake it thin")
    expect(page.locator("dialog")).to_contain_text("eat")


def test_the_last_hour_at_the_oven(phone: CutOff) -> None:
    page = phone.open("oven")
    expect(page.locator("#now-title")).to_have_text("Light the oven")
    expect(page.locator(".oven__dial")).to_have_text("250 C")
    expect(page.locator(".oven__set")).to_contain_text("lowest")
    expect(page.locator(".oven__set")).to_contain_text("10 mm steel")
    page.get_by_role("button", name="The oven is on").click()
    page.get_by_role("button", name="Topped").click()
    expect(page.locator("#now-title")).to_have_text("Load the tray")
    expect(page.locator(".oven__set")).to_contain_text(re.compile(r"hot at (tomorrow )?\d\d:\d\d, in 4[45]\smin"))
    page.get_by_role("button", name="It’s in the oven").click()
    expect(page.locator(".now--alarm #now-title")).to_have_text("Turn the oven down")
    expect(page.locator(".oven__dial")).to_have_text("220 C")
    expect(page.locator(".oven__minute")).to_have_text("0 since loading")
    # A wrong tap with a mitt on: back, and the dial is as before.
    page.get_by_role("button", name=re.compile("^Take back: It’s in the oven")).click()
    expect(page.locator("#now-title")).to_have_text("Load the tray")
    expect(page.locator(".oven__dial")).to_have_text("250 C")
    page.get_by_role("button", name="It’s in the oven").click()
    page.get_by_role("button", name="Turned down").click()
    expect(page.locator("#now-title")).to_have_text("Check the base")
    expect(page.locator("[data-count]")).to_have_text(re.compile(r"in 1[2345]\smin"))
    expect(page.locator(".next")).to_contain_text("Out of the oven")
    page.get_by_role("button", name="Checked").click()
    page.get_by_role("button", name="It’s out").click()
    page.get_by_role("button", name="Served").click()
    expect(page.locator("h2.big")).to_have_text("All done. Eat.")


def test_a_page_that_needs_the_server_opens_the_kitchen_and_says_so(phone: CutOff) -> None:
    page = phone.context.new_page()
    page.goto(f"{phone.server.url}/week")
    expect(page.locator(".instead")).to_contain_text("The server does not answer")
    expect(page.locator(".instead")).to_be_in_viewport(ratio=1)  # nobody has to look for the reason
    expect(page.locator("[data-step]")).to_be_visible()


@pytest.mark.parametrize("path", ["/bakes/x/bake.ics", "/api/bakes", "/feed/abc.ics"])
def test_calendars_and_the_api_are_never_answered_by_the_shell(phone: CutOff, path: str) -> None:
    page = phone.open("wait")
    assert page.evaluate("(path) => fetch(path).then(() => 'answered', () => 'no answer')", path) == "no answer"


def test_what_is_tapped_is_kept_unsent_and_said_so(phone: CutOff) -> None:
    page = phone.open("wait")
    page.get_by_role("button", name="The room is at").click()
    page.get_by_label("The thermometer in the kitchen says").fill("22")
    page.get_by_role("button", name="That is how warm it is").click()
    expect(page.locator(".undo-bar")).to_contain_text("Room: 22")
    expect(page.locator("#notes")).to_contain_text("in this phone for the server. Nothing is lost.")
    events = page.evaluate(f"async () => (await ({IN_DATABASE})('events'))")
    mine = [e for e in events if e["bake_id"] == phone.plans["wait"].bake_id and e["kind"] == "room"]
    assert [(e["sent"], e["data"]) for e in mine] == [(0, {"temp_c": 22})]


def test_all_steps_can_be_looked_through_and_done_ones_taken_back(phone: CutOff) -> None:
    page = phone.open("moved")
    steps_of(page)
    expect(row(page, "Mix the dough")).to_have_class(re.compile("step-row--done"))
    row(page, "Mix the dough").get_by_role("button", name="Take back").click()
    expect(page.locator("#now-title")).to_have_text("Mix the dough")
