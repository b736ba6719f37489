"""What the dough says turns the evening: a reading shows ways, or takes the one that hardly moves supper."""

from __future__ import annotations

import re
import secrets
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, Route, expect

from e2e.bench_kitchen import REHEARSED
from e2e.conftest import Phone
from e2e.cut_off import was_done
from e2e.eyes import look
from e2e.server import Server, plan_at
from tests.profiles import crossed
from tests.samples import at
from webapp.core.now.journal import fold
from webapp.core.now.ways import ways
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan

pytestmark = pytest.mark.without_worker

NewPhone = Callable[..., Phone]
PRESSING = (at(16, 46), ("mix",))
ASKED = ".ask:not([aria-label='Is the oven hot?'])"  # of the dough
LOADING = (at(18, 56), ("mix", "press", "preheat", "top"))
TOPPING = (at(18, 46), ("mix", "press", "preheat"))


def standing(
    server: Server, new_phone: NewPhone, moment: tuple[int, tuple[str, ...]], **options: Any
) -> tuple[Phone, Plan]:
    """A phone, and the sample bake at that moment, not packed in it yet."""
    phone = new_phone(server, **options)
    plan = server.bake(phone.kitchen_id, plan_at(moment[0], bake_id=secrets.token_urlsafe(16)))
    was_done(server, phone.kitchen_id, plan, moment[1])
    return phone, plan


def opened(
    server: Server, new_phone: NewPhone, moment: tuple[int, tuple[str, ...]], shows: str = ASKED, **options: Any
) -> tuple[Phone, Plan]:
    """A phone with the sample bake packed, at that moment, all its parts there."""
    phone, plan = standing(server, new_phone, moment, **options)
    page = phone.open(plan.bake_id)
    expect(page.locator(shows)).to_be_visible()
    return phone, plan


def data_of(phone: Phone, plan: Plan, kind: str) -> dict[str, Any]:
    """What the server has of the one event of this kind."""
    (one,) = [event for event in phone.server.events(phone.kitchen_id, plan.bake_id) if event["kind"] == kind]
    return dict(one["data"])


def reads_the_glass(page: Page, times: str) -> None:
    page.locator("[data-key=ask-glass]").click()
    page.get_by_role("button", name=f"×{times}", exact=True).click()


def test_the_search_is_rehearsed_while_nobody_waits_and_nothing_is_said_by_that(
    shared_server: Server, new_phone: NewPhone
) -> None:
    """A browser makes functions ready when they are first called: the first reading would wait for it."""
    phone, plan = opened(shared_server, new_phone, (at(12), ("mix",)), shows="#now-title")
    phone.page.evaluate(REHEARSED)
    assert [one["kind"] for one in shared_server.events(phone.kitchen_id, plan.bake_id)] == ["done"]
    mix, press = (next(step for step in plan.steps if step.kind == kind) for kind in ("mix", "press"))
    half_way = (mix.end + press.start) // 2
    said = [
        Event("1" * 32, plan.bake_id, mix.end, mix.end, "", "done", {"step_id": mix.step_id}),
        Event("2" * 32, plan.bake_id, half_way, half_way, "", "glass", {"times": 1.3}),
    ]
    found = phone.page.evaluate("() => searched().map(({ kind }) => kind)")
    assert found == [way.kind for way in ways(plan, fold(plan, said), half_way)]
    assert len(found) > 1
    assert phone.page.evaluate("() => retimed().supper") > mix.end


def time_of(page: Page, title: str) -> str:
    return page.locator("details[data-all] .step-row", has_text=title).first.locator(".step-row__time").inner_text()


def minutes(clock: str) -> int:
    found = re.search(r"(\d\d):(\d\d)", clock)
    assert found, clock
    return int(found[1]) * 60 + int(found[2])


def test_a_slow_glass_shows_the_ways_and_one_tap_moves_the_steps(shared_server: Server, new_phone: NewPhone) -> None:
    phone, plan = opened(shared_server, new_phone, PRESSING)
    page = phone.page
    page.locator("details[data-all] summary").click()
    before = time_of(page, "Load the tray")
    reads_the_glass(page, "1.25")
    expect(page.get_by_role("heading", name="What shall we do?")).to_be_visible()
    rows = page.locator("dialog .way:visible")
    expect(rows.nth(1)).to_be_visible()
    assert rows.count() <= 3
    wanted = minutes(page.evaluate("(at) => new Date(at * 1000).toTimeString()", plan.supper))
    eats = [minutes(words) for words in rows.locator(".way__name").all_inner_texts()]
    assert any(abs((eat - wanted + 720) % 1440 - 720) <= 30 for eat in eats), eats
    for words in rows.all_inner_texts():
        assert re.search(r"[Ee]at .*\d\d:\d\d", words)
        assert "into the oven" in words.lower()
    rows.first.click()
    expect(page.locator("dialog")).to_have_count(0)
    expect(page.locator(".undo-bar")).to_contain_text("Taken:")
    assert time_of(page, "Load the tray") != before
    phone.has_sent(plan.bake_id, "done", "glass", "way")
    taken = data_of(phone, plan, "way")
    assert taken["asked"] is True
    expect(page.locator(".standing")).to_contain_text("as agreed")
    assert taken["supper"] % 300 == 0


def test_going_on_is_said_once_and_neither_asked_again_nor_warned_of(
    shared_server: Server, new_phone: NewPhone
) -> None:
    phone, plan = opened(shared_server, new_phone, PRESSING)
    page = phone.page
    reads_the_glass(page, "1.25")
    page.locator("dialog [data-way=as-planned]").click()
    expect(page.locator("dialog")).to_have_count(0)
    expect(page.locator(".undo-bar")).to_contain_text("Going on:")
    expect(page.locator("#screen")).not_to_contain_text("still young")
    phone.has_sent(plan.bake_id, "done", "glass", "way")
    gone_on = data_of(phone, plan, "way")
    assert (gone_on["way"], gone_on["asked"], gone_on["result"]) == ("as-planned", True, "young")
    assert gone_on["given_up"] > 0
    page.locator("[data-key=glass]").click()
    page.get_by_role("button", name="×1.25", exact=True).click()
    phone.has_sent(plan.bake_id, "done", "glass", "glass", "way")
    expect(page.locator("dialog")).to_have_count(0)


def test_suppers_move_by_full_five_minutes_and_no_two_buttons_say_the_same(
    shared_server: Server, new_phone: NewPhone
) -> None:
    """At an odd minute, for every delay that has a button and for a slow glass; the ways folded away are read too."""
    phone, plan = opened(shared_server, new_phone, (at(16, 47), ("mix",)))
    page = phone.page
    page.locator("[data-key=late]").click()
    for delay in ("15 min later", "30 min later", "1 h later", "2 h later"):
        before = page.locator("dialog h3").first.text_content() if page.locator("dialog h3").count() else ""
        page.locator("dialog").get_by_role("button", name=delay, exact=True).click()
        expect(page.locator("dialog h3").first).not_to_have_text(before or "")
        each_supper_once(page, plan)
    page.keyboard.press("Escape")
    expect(page.locator("dialog")).to_have_count(0)
    reads_the_glass(page, "1.25")
    expect(page.locator("dialog .way").first).to_be_visible()
    each_supper_once(page, plan)
    shown = page.locator("dialog .way:visible")
    suppers = [eaten(words) for words in shown.all_text_contents()]
    later = next(n for n, supper in enumerate(suppers) if supper % 60 != plan.supper // 60 % 60)
    shown.nth(later).click()
    phone.has_sent(plan.bake_id, "done", "glass", "way")
    assert data_of(phone, plan, "way")["supper"] % 300 == 0


def eaten(way: str) -> int:
    """When the way of these words eats, minutes of the day."""
    words = re.search(r"[Ee]at\D+\d\d:\d\d", way)
    assert words
    return minutes(words[0])


def each_supper_once(page: Page, plan: Plan) -> None:
    """Every supper but the one wished for is on full five minutes; what is to be done stands on one button alone."""
    # All of them of one look at the clock.
    found = page.locator("dialog [data-way]").evaluate_all(
        "(all) => all.map((one) => [one.dataset.way, one.textContent])"
    )
    suppers = [(way, eaten(words)) for way, words in found]
    wished = plan.supper // 60 % 60
    assert suppers, "somebody eats in any case"
    assert all(supper % 5 == 0 or supper % 60 == wished for _, supper in suppers), suppers
    assert len(set(suppers)) == len(suppers), suppers


def test_a_small_change_is_taken_unasked_and_can_be_taken_back(shared_server: Server, new_phone: NewPhone) -> None:
    phone, plan = opened(shared_server, new_phone, PRESSING)
    page = phone.page
    page.get_by_role("button", name="Sinking").click()
    bar = page.locator(".undo-bar")
    expect(bar).to_contain_text("Changed:")
    expect(page.locator("dialog")).to_have_count(0)
    phone.has_sent(plan.bake_id, "done", "looked", "way")
    assert data_of(phone, plan, "looked") == {"seen": "sinking"}
    taken = data_of(phone, plan, "way")
    assert taken["asked"] is False
    assert abs(taken["supper"] - plan.supper) <= 15 * 60
    expect(page.locator(ASKED)).to_have_count(0)
    expect(page.locator(".carry")).to_contain_text("into the fridge")
    bar.get_by_role("button", name="Take back").click()
    expect(bar).to_contain_text("It looks: sinking")
    expect(page.locator(".carry")).to_have_count(0)
    bar.get_by_role("button", name="Take back").click()
    expect(page.locator(ASKED)).to_be_visible()
    phone.has_sent(plan.bake_id, "done", "looked", "undo", "undo", "way")


@pytest.mark.parametrize(
    ("moment", "words", "kind", "data"),
    [
        (PRESSING, "Hardly risen", "looked", {"seen": "hardly"}),
        (PRESSING, "About doubled", "looked", {"seen": "doubled"}),
        (PRESSING, "Well over double", "looked", {"seen": "well-over"}),
        (PRESSING, "The glass reads ×2.5", "glass", {"times": 2.5}),
        (TOPPING, "At once", "poked", {"springs": "at-once"}),
        (TOPPING, "Slowly", "poked", {"springs": "slowly"}),
        (LOADING, "Not at all", "poked", {"springs": "stays"}),
    ],
)
def test_a_look_or_a_poke_is_one_tap_and_the_server_takes_it(
    shared_server: Server, new_phone: NewPhone, moment: tuple[int, tuple[str, ...]], words: str, kind: str,
    data: dict[str, str],
) -> None:  # fmt: skip
    phone, plan = opened(shared_server, new_phone, moment)
    with phone.page.expect_response(lambda r: r.url.endswith("/events") and r.request.method == "POST") as answer:
        phone.page.get_by_role("button", name=words).click()
    assert answer.value.ok
    expect(phone.page.locator(ASKED)).to_have_count(0)
    expect(phone.page.locator("#notes")).not_to_contain_text("did not take")
    assert data_of(phone, plan, kind) == data


def test_the_step_says_what_a_poke_changes_or_that_it_changes_nothing_and_why(
    shared_server: Server, new_phone: NewPhone
) -> None:
    """Ten minutes before loading a dough that springs back at once is an hour and more from its best: no supper waits
    so long."""
    phone, _ = opened(shared_server, new_phone, TOPPING)
    phone.page.get_by_role("button", name="At once").click()
    heeded = phone.page.locator("[data-step] .notice").first
    stays = re.compile(r"At once: nothing changes, into the oven .*\d\d:\d\d, eat .*\d\d:\d\d\.")
    expect(heeded).to_contain_text(stays)
    expect(heeded).to_contain_text(re.compile(r"It would be best about (tomorrow )?\d\d:\d\d: too late for supper\."))
    expect(phone.page.locator(".undo-bar a")).to_have_count(0)
    phone, plan = opened(shared_server, new_phone, PRESSING)
    phone.page.get_by_role("button", name="Sinking").click()
    expect(heeded := phone.page.locator("[data-step] .notice").first).to_contain_text("Sinking: now press out")
    expect(heeded).not_to_contain_text("nothing changes")
    rings = phone.page.locator(".undo-bar").get_by_role("link", name="rings at the old times: add the new one")
    assert rings.get_attribute("href") == f"/bakes/{plan.bake_id}#take"


@pytest.mark.parametrize(("size", "scheme"), crossed(((390, 844), (320, 640)), ("light", "dark")), ids=str)
def test_question_ways_and_what_was_changed_can_be_read_and_tapped(
    shared_server: Server, new_phone: NewPhone, size: tuple[int, int], scheme: str
) -> None:
    viewport = {"width": size[0], "height": size[1]}
    phone, _ = opened(shared_server, new_phone, LOADING, viewport=viewport, color_scheme=scheme)
    assert look(phone.page) == {}
    phone, _ = opened(shared_server, new_phone, PRESSING, viewport=viewport, color_scheme=scheme)
    assert look(phone.page) == {}
    reads_the_glass(phone.page, "1.25")
    expect(phone.page.locator("dialog .way").first).to_be_visible()
    assert look(phone.page) == {}
    phone.page.locator("dialog .way").first.click()
    expect(phone.page.locator(".carry")).to_be_visible()
    assert look(phone.page) == {}


def test_a_tray_in_the_warm_oven_is_taken_out_before_anything_lights_it(
    shared_server: Server, new_phone: NewPhone
) -> None:
    """The trade's rule: what stands in an oven with its light on comes out before it is lit, as a step of its own."""
    phone, plan = opened(shared_server, new_phone, (at(18, 0), ("mix", "press")), "[data-key=dough]")
    page = phone.page
    page.locator("[data-key=dough]").click()
    page.get_by_role("button", name="In the warm spot", exact=True).click()
    title, done = page.locator("#now-title"), page.locator("[data-key=done]")
    expect(title).to_have_text("Dough out of the warm spot")
    expect(page.locator(".card.now")).not_to_contain_text("Inside")
    expect(page.locator(".card.now [data-key=when]")).to_have_count(0)
    expect(done).to_have_text("It’s out")
    page.locator("[data-key=late]").click()
    expect(page.locator("dialog")).to_contain_text("Dough out of the warm spot: when can you?")
    page.keyboard.press("Escape")
    expect(page.locator("dialog")).to_have_count(0)  # then what lay under it rests for a moment
    done.click()
    expect(title).to_have_text("Light the oven")
    expect(done).to_have_text("The oven is on")
    phone.has_sent(plan.bake_id, "done", "done", "moved", "moved")


def test_a_late_supper_that_is_out_of_the_oven_is_offered_no_way_to_help_it(
    shared_server: Server, new_phone: NewPhone
) -> None:
    baked = ("load", "turn-down", "check", "lift")
    phone = new_phone(shared_server)
    plan = shared_server.bake(phone.kitchen_id, plan_at(at(20, 10), bake_id=secrets.token_urlsafe(16)))
    was_done(shared_server, phone.kitchen_id, plan, ("mix", "press", "preheat", "top"))
    was_done(shared_server, phone.kitchen_id, plan, baked, late_s=35 * 60)
    phone.open(plan.bake_id)
    expect(phone.page.locator(".standing")).to_contain_text("later than wanted")
    expect(phone.page.get_by_role("button", name="What helps?")).to_have_count(0)


def test_no_dough_is_filed_into_an_oven_that_is_lit(shared_server: Server, new_phone: NewPhone) -> None:
    phone, _ = opened(shared_server, new_phone, TOPPING)
    page = phone.page
    page.locator("[data-key=dough]").click()
    expect(page.get_by_role("button", name="In the fridge", exact=True)).to_be_visible()
    expect(page.get_by_role("button", name="In the warm spot", exact=True)).to_have_count(0)
    expect(page.locator("dialog")).to_contain_text("the warm spot is the oven, and that is hot now")


def test_what_stands_in_the_oven_when_it_is_to_be_lit_is_said_to_come_out_first(
    shared_server: Server, new_phone: NewPhone
) -> None:
    phone, plan = opened(shared_server, new_phone, (at(18, 12), ("mix", "press")), "[data-key=dough]")
    page = phone.page
    there = {"event_id": "c" * 32, "bake_id": plan.bake_id, "at": plan.supper - 6000, "logged_at": plan.supper - 6000,
             "phone": "another", "kind": "moved", "data": {"place": "warm"}}  # fmt: skip
    shared_server.store().add_events(phone.kitchen_id, plan.bake_id, [there], plan.supper)
    phone.reload()
    expect(page.locator("#now-title")).to_have_text("Dough out of the warm spot")
    page.locator("[data-key=dough]").click()
    expect(page.locator("dialog")).to_contain_text("It stands in the oven, its warm spot")
    expect(page.locator("dialog")).not_to_contain_text("hot now")


def test_what_a_reading_changed_is_told_once_and_not_after_every_mark(
    shared_server: Server, new_phone: NewPhone
) -> None:
    phone, _ = opened(shared_server, new_phone, PRESSING)
    page = phone.page
    page.locator("[data-key=glass]").click()
    page.get_by_role("button", name="×1.25", exact=True).click()
    page.locator("dialog [data-way=as-planned]").click()
    expect(page.locator("dialog")).to_have_count(0)
    page.locator("[data-key=done]").get_by_text("Pressed out").click()
    expect(page.locator(".undo-bar")).to_contain_text(re.compile(r"^Pressed out, "))
    expect(page.locator(".undo-bar")).not_to_contain_text("now best")


def test_what_bakes_is_not_asked_to_be_moved(shared_server: Server, new_phone: NewPhone) -> None:
    phone, _ = opened(shared_server, new_phone, TOPPING)
    page = phone.page
    expect(page.locator("[data-key=dough]")).to_be_visible()
    for word in ("Topped", "It’s in the oven"):
        page.locator("[data-key=done]").get_by_text(word).click()
    expect(page.locator("[data-key=done]")).not_to_contain_text("It’s in the oven")
    for asked in ("dough", "glass"):
        expect(page.locator(f"[data-key={asked}]")).to_have_count(0)


SENT_AT_ONCE = """async () => {
  const form = document.querySelector("form[action$='/drop']").cloneNode(true);
  form.action = form.action.replace("/drop", "/anew");
  form.dataset.atOnce = "";
  document.querySelector("main").append(form);
  await import("/static/js/pages/share.js");
}"""


def without_hands(phone: Phone, plan: Plan) -> None:
    """The server says of this bake that somebody is missing."""
    line = {"words": "Nobody has their hands free.", "step_id": plan.steps[-1].step_id, "until": 2**40, "of": "hands"}

    def says(route: Route) -> None:
        answer = route.fetch()
        route.fulfill(response=answer, json=answer.json() | {"unfit": [line]})

    phone.context.route("**/api/bakes/*/bundle", says)


def test_a_day_that_fits_no_longer_shows_the_ways_of_a_mixed_dough_at_one_tap(
    shared_server: Server, new_phone: NewPhone
) -> None:
    phone, plan = standing(shared_server, new_phone, PRESSING)
    without_hands(phone, plan)
    page = phone.open(plan.bake_id)
    page.locator("[data-key=anew]").click()
    expect(page.locator("dialog [data-way]").first).to_be_visible()
    page.goto(f"{shared_server.url}/more")
    page.goto(f"{shared_server.url}/kitchen?ways#{plan.bake_id}")  # as the bake's page leads there
    expect(page.locator("dialog [data-way]").first).to_be_visible()


def test_a_day_that_fits_no_longer_is_planned_anew_at_one_tap_while_nothing_is_mixed(
    shared_server: Server, new_phone: NewPhone
) -> None:
    phone = new_phone(shared_server)
    plan = shared_server.bake(phone.kitchen_id, plan_at(at(6), bake_id=secrets.token_urlsafe(16)))
    without_hands(phone, plan)
    page = phone.open(plan.bake_id)
    link = page.get_by_role("link", name="See the day anew")
    expect(link).to_have_attribute("href", f"/bakes/{plan.bake_id}/anew")
    expect(page.locator("[data-key=anew]")).to_have_count(0)
    link.click()
    expect(page).to_have_url(f"{shared_server.url}/bakes/{plan.bake_id}?anew=#misfits")
    page.evaluate(SENT_AT_ONCE)  # as where the server itself finds that it fits no longer
    expect(page).to_have_url(re.compile(r"/bakes/[^/]+\?offers$|/plan\?again="))  # planned anew, or all is asked
    page.go_back()
    expect(page).to_have_url(f"{shared_server.url}/bakes/{plan.bake_id}")
