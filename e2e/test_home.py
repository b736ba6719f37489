"""The home page in a browser: the answer and its button with no scroll, answers changed in place or without scripts."""

from __future__ import annotations

import re
import secrets
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import Browser, Page, expect

from e2e.conftest import PHONE, Phone
from e2e.server import Server, plan_at
from tests.samples import at, sample_kitchen

NewPhone = Callable[..., Phone]

# What is seen of the page with nothing scrolled: of each selector the top and the bottom, and the words on the screen.
SEEN = """(selectors) => selectors.map((selector) => {
  const box = document.querySelector(selector)?.getBoundingClientRect();
  return box ? [Math.floor(box.top), Math.ceil(box.bottom)] : null;
})"""
WORDS = r"""() => {
  const bar = document.querySelector(".take").getBoundingClientRect();
  const aside = "script, title, desc, [hidden], .visually-hidden, .skip, thead, details:not([open]) > :not(summary)";
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const out = [];
  while (walker.nextNode()) {
    const text = walker.currentNode;
    if (!text.data.trim() || text.parentElement.closest(aside)) continue;
    const range = document.createRange();
    range.selectNodeContents(text);
    const box = range.getBoundingClientRect();
    const stays = text.parentElement.closest(".take, .rail");
    if (box.width > 1 && (stays || (box.top < bar.top && box.bottom > 0))) {
      out.push(...text.data.trim().split(/\s+/).filter((word) => /[\p{L}\p{N}]/u.test(word)));
    }
  }
  return out;
}"""


WITHOUT_HAS = """() => { for (const sheet of document.styleSheets) {
  for (let i = sheet.cssRules.length - 1; i >= 0; i -= 1) {
    if (sheet.cssRules[i].selectorText?.includes(":has")) sheet.deleteRule(i);
  }
} }"""


def evening_ahead() -> str:
    """The day after tomorrow at half past seven: there is always a way to be ready by then."""
    return f"{datetime.now(UTC) + timedelta(days=2):%Y-%m-%d}T19:30"


def too_soon() -> str:
    """A supper that nothing can be ready for, nor two hours later: the quickest dough wants over three hours."""
    soon = datetime.now(ZoneInfo(sample_kitchen().zone)) + timedelta(minutes=35)
    return f"{soon:%Y-%m-%dT%H:%M}"


def opened(phone: Phone, asked: str = "") -> Page:
    phone.page.goto(f"{phone.server.url}/{asked}")
    return phone.page


@pytest.mark.parametrize("scripts", [True, False])
def test_from_opening_to_the_day_taken_is_one_tap_and_no_scroll(
    shared_server: Server, new_phone: NewPhone, scripts: bool
) -> None:
    page = opened(new_phone(shared_server, java_script_enabled=scripts), f"?supper={evening_ahead()}")
    if scripts:
        wanted = ["h1", ".rests", ".day svg", ".day__lines", ".take button"]
        rail = page.evaluate("document.querySelector('.rail').getBoundingClientRect().top")
        boxes = page.evaluate(SEEN, wanted)
        assert all(box and box[0] >= 0 and box[1] <= rail for box in boxes), dict(zip(wanted, boxes, strict=True))
        assert boxes[3][1] <= boxes[4][0], "the button covers nothing of the day"
        assert page.evaluate("scrollY") == 0
        assert len(page.evaluate(WORDS)) <= 78
    page.get_by_role("button", name="Take this day").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Plain tray pizza for")


def test_a_first_visit_takes_a_day_with_no_tour_and_no_form(shared_server: Server, browser: Browser) -> None:
    context = browser.new_context(viewport=PHONE)
    page = context.new_page()
    page.goto(f"{shared_server.url}/?supper={evening_ahead()}")
    expect(page.locator(".rests")).to_contain_text("Guessed")
    assert not [one for one in context.cookies() if one["name"] == "suppertide"], "a look makes nothing"
    page.get_by_role("button", name="Take this day").click()
    expect(page.get_by_role("link", name="Open the kitchen").first).to_be_visible()
    assert [one for one in context.cookies() if one["name"] == "suppertide"]
    context.close()


def test_one_answer_is_changed_in_a_sheet_and_the_day_is_worked_out_in_place(
    shared_server: Server, new_phone: NewPhone
) -> None:
    page = opened(new_phone(shared_server), f"?supper={evening_ahead()}")
    page.evaluate("window.sameOne = true")
    warm = page.locator(".rests a").nth(2)
    usual = warm.inner_text()
    warm.click()
    sheet = page.get_by_role("dialog")
    expect(sheet.get_by_role("heading", name="How warm is the kitchen?")).to_be_focused()
    sheet.get_by_label(", at 19:30").fill("warm")
    sheet.get_by_role("button", name="Show this day").click()
    expect(sheet.locator("#mistakes")).to_contain_text("“warm” is not a number")
    expect(sheet.get_by_label(", at 19:30")).to_have_value("warm")
    sheet.get_by_label(", at 19:30").fill("26")
    sheet.get_by_role("button", name="Show this day").click()
    expect(sheet).to_be_hidden()
    expect(warm, "26 at this hour: which degrees the day then has depends on the hour").not_to_have_text(usual)
    assert page.evaluate("window.sameOne"), "the page was not loaded again"
    expect(page).to_have_url(re.compile("room=26"))
    page.go_back()
    expect(warm).to_have_text(usual)


def test_a_sheet_closed_changes_nothing_and_gives_the_focus_back(shared_server: Server, new_phone: NewPhone) -> None:
    page = opened(new_phone(shared_server), f"?supper={evening_ahead()}")
    first = page.locator(".rests a").first
    said = page.locator(".rests").inner_text()
    first.click()
    page.get_by_role("dialog").get_by_role("button", name="Close").click()
    expect(page.get_by_role("dialog")).to_be_hidden()
    expect(first).to_be_focused()
    assert page.locator(".rests").inner_text() == said


def test_what_was_typed_into_a_question_is_there_again_after_escape(shared_server: Server, new_phone: NewPhone) -> None:
    page = opened(new_phone(shared_server), f"?supper={evening_ahead()}")
    warm = page.locator(".rests a").filter(has_text="°").first
    warm.click()
    page.get_by_label(", at 19:30").fill("26.5")
    page.keyboard.press("Escape")
    expect(page.get_by_role("dialog")).to_be_hidden()
    warm.click()
    expect(page.get_by_label(", at 19:30")).to_have_value("26.5")


def test_the_evening_that_is_chosen_is_seen_without_has(shared_server: Server, new_phone: NewPhone) -> None:
    """The oldest browsers that are supported drop every rule with :has."""
    page = opened(new_phone(shared_server), f"?supper={evening_ahead()}")
    page.locator("h1 a").first.click()
    page.evaluate(WITHOUT_HAS)
    chip = page.get_by_role("dialog").locator(".chip").first
    seen = []
    for chosen in (True, False):
        chip.locator("input").evaluate("(node, chosen) => { node.checked = chosen; node.blur(); }", chosen)
        seen.append(chip.screenshot())
    assert seen[0] != seen[1]


def test_without_scripts_a_question_is_a_small_page_that_keeps_what_was_typed_and_leads_back(
    shared_server: Server, new_phone: NewPhone
) -> None:
    page = opened(new_phone(shared_server, java_script_enabled=False), f"?supper={evening_ahead()}")
    usual = page.locator(".rests a").nth(2).inner_text()
    page.goto(f"{page.url}&room=26")
    warm = page.locator(".rests a").nth(2).inner_text()
    assert warm != usual
    page.locator(".rests a").nth(3).click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Who is where?")
    page.get_by_label("Out of the house that day").fill("13:00 to teatime")
    page.get_by_role("button", name="Show this day").click()
    expect(page.locator("#mistakes")).to_contain_text("is not a stretch of the day")
    expect(page.get_by_label("Out of the house that day")).to_have_value("13:00 to teatime")
    page.get_by_label("Out of the house that day").fill("13:00-15:00")
    page.get_by_role("button", name="Show this day").click()
    expect(page.locator(".rests")).to_contain_text("home from 15:00")
    expect(page.locator(".rests a").nth(2)).to_have_text(warm)


def test_the_way_out_of_a_long_sheet_stays_in_reach_and_a_tap_beside_it_closes(
    shared_server: Server, new_phone: NewPhone
) -> None:
    page = opened(new_phone(shared_server), f"?supper={evening_ahead()}")
    dough = page.locator(".rests a").nth(1)
    sheet = page.get_by_role("dialog")
    dough.click()
    sheet.get_by_label("What goes on top?").scroll_into_view_if_needed()
    expect(sheet.get_by_role("heading", level=1)).to_be_in_viewport(ratio=1)
    expect(sheet.get_by_role("button", name="Close")).to_be_in_viewport(ratio=1)
    sheet.get_by_role("button", name="Close").click()
    expect(sheet).to_have_count(0)
    dough.click()
    expect(sheet.get_by_role("button", name="Close")).to_be_visible()
    page.mouse.click(195, 300)  # on the sheet itself, wherever that is: it stays
    expect(sheet.get_by_role("button", name="Close")).to_be_visible()
    page.mouse.click(195, 20)
    expect(sheet).to_have_count(0)


def test_measures_that_are_typed_choose_the_other_pan_where_it_is_seen(
    shared_server: Server, new_phone: NewPhone
) -> None:
    page = opened(new_phone(shared_server), f"?supper={evening_ahead()}")
    for field, shape in (("Length, or across, cm", "rectangle"), ("Weight of water", "measured")):
        page.locator(".rests a").first.click()
        sheet = page.get_by_role("dialog")
        sheet.get_by_text("Another pan or size, just this once").click()
        expect(sheet.get_by_label("Its shape")).to_have_value("")
        sheet.get_by_label(field).fill("35")
        expect(sheet.get_by_label("Its shape")).to_have_value(shape)
        page.reload()


def test_a_tap_on_other_hours_leads_to_where_they_are_typed(shared_server: Server, new_phone: NewPhone) -> None:
    page = opened(new_phone(shared_server), f"?supper={evening_ahead()}")
    page.locator(".rests a").nth(3).click()
    sheet = page.get_by_role("dialog")
    sheet.get_by_text("Out of the house, as written below").click()
    expect(sheet.get_by_label("Out of the house that day")).to_be_focused()


def test_when_nothing_fits_what_would_work_is_one_tap_away(shared_server: Server, new_phone: NewPhone) -> None:
    page = opened(new_phone(shared_server), f"?supper={too_soon()}")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Not t")
    expect(page.locator("#tonight > .lead")).not_to_be_empty()
    expect(page.locator(".take")).to_have_count(0)
    page.locator(".near a").last.click()
    expect(page.get_by_role("button", name="Take this day")).to_be_visible()


def test_what_is_on_the_go_stands_above_the_answer(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server)
    plan = shared_server.bake(phone.kitchen_id, plan_at(at(12), bake_id=secrets.token_urlsafe(16)))
    page = opened(phone, f"?supper={evening_ahead()}")
    link = page.get_by_role("link", name="To the kitchen")
    expect(link).to_have_attribute("href", f"/kitchen#{plan.bake_id}")
    (going, answer) = page.evaluate(SEEN, [".going", "h1"])
    assert going[1] <= answer[0]
    link.click()
    expect(page.locator("[data-step]")).to_be_visible()


def test_two_taps_on_take_make_one_bake(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server)
    page = opened(phone, f"?supper={evening_ahead()}")
    page.get_by_role("button", name="Take this day").dblclick()
    expect(page).to_have_url(re.compile("/bakes/"))
    expect(page.get_by_role("heading", level=1)).to_contain_text("for")
    with shared_server.store().reading() as db:
        count = db.exec_driver_sql("SELECT count(*) FROM bakes WHERE kitchen_id = ?", (phone.kitchen_id,)).fetchone()[0]
    assert count == 1


def test_an_evening_tapped_below_brings_the_answer_back_into_sight(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server, viewport={"width": 390, "height": 844})
    page = opened(phone, f"?supper={evening_ahead()}")
    page.locator(".evenings a:not([aria-current])").last.click()
    expect(page.locator(".evenings a").last).to_have_attribute("aria-current", "true")
    expect(page.locator(".answer h1")).to_be_in_viewport(ratio=1)


def test_whoever_types_two_of_another_pan_sees_the_question_how_many_bake_at_once(
    shared_server: Server, new_phone: NewPhone
) -> None:
    page = opened(new_phone(shared_server), f"?supper={evening_ahead()}")
    page.locator(".rests a[href*='/change/pan']").click()
    sheet = page.get_by_role("dialog", name="What do we bake in?")
    sheet.get_by_text("Another pan or size, just this once").click()
    at_once = sheet.get_by_label("How many go into the oven together?")
    expect(sheet.get_by_label("How many of them")).to_be_visible()
    expect(at_once).to_be_hidden()
    sheet.get_by_label("How many of them").fill("2")
    expect(at_once).to_be_visible()
