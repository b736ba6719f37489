"""The kitchen screen: what rings and what does not, what is due, sizes that a finger can hit, both themes."""

from __future__ import annotations

import re
import secrets
import time
from collections.abc import Callable
from datetime import UTC, datetime

import pytest
from playwright.sync_api import Page, expect

from e2e.conftest import Phone
from e2e.cut_off import was_done
from e2e.server import PATIENCE_S, Server, plan_at
from tests.profiles import crossed
from tests.samples import at
from webapp.core.plan.plan import Plan

pytestmark = pytest.mark.without_worker

NewPhone = Callable[..., Phone]

# Listens to what the page asks of the phone: tones, lamp, shaking, badge, permission.
EARS = """
window.heard = [];
const hear = (what) => window.heard.push(what);
const tone = AudioContext.prototype.createOscillator;
AudioContext.prototype.createOscillator = function () { hear("tone"); return tone.call(this); };
Object.defineProperty(Navigator.prototype, "wakeLock", { value: { request: async () => {
  hear("lamp"); const lamp = new EventTarget(); lamp.release = async () => { hear("dark"); }; return lamp;
} } });
Object.defineProperty(Navigator.prototype, "vibrate", { value: () => { hear("shake"); return true; } });
Navigator.prototype.setAppBadge = async () => hear("badge");
Navigator.prototype.clearAppBadge = async () => hear("no badge");
window.asked = 0;
Notification.requestPermission = async () => { window.asked += 1; return "granted"; };
Object.defineProperty(Notification, "permission", { get: () => (window.asked ? "granted" : "default") });
"""


def bake(server: Server, phone: Phone, moment: int, *done: str) -> Plan:
    """A picked bake of that phone's kitchen, with these steps done."""
    plan = server.bake(phone.kitchen_id, plan_at(moment, bake_id=secrets.token_urlsafe(16)))
    was_done(server, phone.kitchen_id, plan, done)
    return plan


def heard(page: Page) -> list[str]:
    """What was asked of the phone so far."""
    return list(page.evaluate("window.heard"))


def hears(page: Page, *whats: str) -> None:
    """Each of these was asked of the phone, as soon as the page has come to it."""
    until = time.monotonic() + PATIENCE_S
    while not set(whats) <= set(heard(page)):
        assert time.monotonic() < until, (whats, heard(page))
        page.wait_for_timeout(20)  # of the test's own clock: the page's may stand still


def pass_time(page: Page, seconds: int) -> None:
    """The page's clock goes on, second by second."""
    page.clock.run_for(seconds * 1000)


def test_a_step_that_becomes_due_is_seen_heard_and_felt(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server)
    plan = bake(shared_server, phone, at(16, 35), "mix")
    phone.page.add_init_script(EARS)
    phone.page.clock.install()
    page = phone.open(plan.bake_id)
    hears(page, "lamp")  # the screen stays lit when a step is near
    assert page.title() == "Kitchen · Suppertide"
    page.locator("h1").click()  # browsers are silent before the first tap
    expect(page.locator("#rings")).to_contain_text("this page beeps, and")
    assert "tone" not in heard(page)
    press = next(step.start for step in plan.steps if step.step_id == "press")
    page.clock.pause_at(datetime.fromtimestamp(press - 60, UTC))  # from here on it goes by the test alone
    assert "tone" not in heard(page)
    pass_time(page, 70)
    expect(page.locator(".card--due")).to_be_visible()
    expect(page.locator(".alarm")).to_contain_text("It is time")
    hears(page, "tone", "shake", "badge")
    assert page.title() == "Now: Press into the oiled tray"
    assert heard(page).count("tone") == 3
    pass_time(page, 31)
    assert heard(page).count("tone") == 6, "it rings again until somebody hears it"
    page.get_by_role("button", name="Quiet").click()
    pass_time(page, 1)  # a finger that went up is waited for
    expect(page.locator(".alarm")).to_have_count(0)
    pass_time(page, 65)
    assert heard(page).count("tone") == 6
    expect(page.locator(".card--due")).to_be_visible()


def test_a_phone_that_slept_through_it_rings_when_it_is_looked_at(shared_server: Server, new_phone: NewPhone) -> None:
    """Due comes from stored instants: no tick was counted while the phone slept."""
    phone = new_phone(shared_server)
    plan = bake(shared_server, phone, at(12), "mix")
    phone.page.clock.install()
    page = phone.open(plan.bake_id)
    expect(page.locator(".card--due")).to_have_count(0)
    page.clock.fast_forward("05:00:00")
    page.evaluate("window.dispatchEvent(new Event('pageshow'))")
    expect(page.locator(".now__when")).to_have_text(re.compile(r"Due since (yesterday )?\d\d:\d\d"))
    expect(page.locator("[data-count]")).to_have_text(re.compile(r"1[3-6]\smin ago"))


@pytest.mark.parametrize(("moment", "left"), [(at(17, 45), r"in 2[3-7]\smin"), (at(18, 5), r"in [3-7]\smin \d+\ss")])
def test_how_long_is_left_cannot_be_read_as_a_time_of_the_clock(
    shared_server: Server, new_phone: NewPhone, moment: int, left: str
) -> None:
    """The oven is lit at 18:10."""
    phone = new_phone(shared_server)
    page = phone.open(bake(shared_server, phone, moment, "mix", "press").bake_id)
    expect(page.locator("#now-title")).to_have_text("Light the oven")
    expect(page.locator("[data-count]")).to_have_text(re.compile(left))


def test_permission_is_asked_only_by_a_tap(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server)
    plan = bake(shared_server, phone, at(16, 46), "mix")
    phone.page.add_init_script(EARS)
    page = phone.open(plan.bake_id)
    expect(page.locator("#rings")).to_contain_text("Behind other pages it is silent")
    page.get_by_role("button", name="Pressed out").click()
    expect(page.locator("#now-title")).to_have_text("Light the oven")
    assert page.evaluate("window.asked") == 0
    page.get_by_role("button", name="Show a notice").click()
    expect(page.locator("#rings")).to_contain_text("Behind other pages it beeps and shows a notice")
    assert page.evaluate("window.asked") == 1
    expect(page.locator("#rings")).to_contain_text("Closed, only your calendar rings.")


def test_the_lamp_goes_out_when_nothing_is_near(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server)
    plan = bake(shared_server, phone, at(16, 46), "mix")
    phone.page.add_init_script(EARS)
    page = phone.open(plan.bake_id)
    hears(page, "lamp")
    assert heard(page).count("lamp") == 1
    page.get_by_role("button", name="Pressed out").click()
    expect(page.locator("#now-title")).to_have_text("Light the oven")
    hears(page, "dark", "no badge")
    assert heard(page).count("lamp") == 1, "and stays out"


def test_turning_down_is_impossible_to_miss(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server)
    plan = bake(shared_server, phone, at(18, 56), "mix", "press", "preheat", "top")
    page = phone.open(plan.bake_id)
    page.get_by_role("button", name="It’s in the oven").click()
    alarm = page.locator(".now--alarm")
    expect(alarm).to_be_visible()
    assert alarm.evaluate("(card) => getComputedStyle(card).backgroundColor") == page.locator(".alarm").evaluate(
        "(bar) => getComputedStyle(bar).backgroundColor"
    )
    expect(alarm.locator(".oven__dial")).to_have_text("220 C")
    expect(page.locator("[data-count]")).to_have_text("now")


def test_a_screen_with_nothing_on_says_what_to_do(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server)
    page = phone.open()
    expect(page.locator("h1")).to_have_text("No dough on the go")
    expect(page.locator(".empty a")).to_have_attribute("href", "/")
    page.goto(f"{shared_server.url}/kitchen#not-a-bake-of-ours")
    expect(page.locator("h1")).to_have_text("This bake is not in this phone yet")


def test_a_second_bake_is_one_tap_away(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server)
    first = bake(shared_server, phone, at(16, 46), "mix")
    second = bake(shared_server, phone, at(7, 16))
    page = phone.open(first.bake_id)
    page.locator(f"a[href='#{second.bake_id}']").click()
    expect(page.locator("#now-title")).to_have_text("Mix the dough")


def test_the_kitchens_own_pans_are_one_tap_away(shared_server: Server, new_phone: NewPhone) -> None:
    """The round pan of 615.8 cm2 is 0.5788 of the 1064 cm2 tray: 424.8 g of flour become 245.9 g, 297.4 of water
    172.1, 9.35 of salt 5.4, 12.7 of oil 7.4. Rounded they are 430, the dough 431: the gram that is missing goes to
    the heaviest line that was rounded down, the water: 173 g."""
    phone = new_phone(shared_server)
    plan = bake(shared_server, phone, at(7, 16))
    page = phone.open(plan.bake_id)
    page.get_by_role("button", name="Another pan").click()
    page.get_by_role("button", name="Round pan 28 cm").click()
    page.get_by_role("button", name="Bake in this pan").click()
    expect(page.get_by_role("button", name="Water, 173 g")).to_be_visible()
    expect(page.get_by_role("button", name="Strong white flour, 246 g")).to_be_visible()


def test_an_oval_pan_is_less_than_the_rectangle_around_it(shared_server: Server, new_phone: NewPhone) -> None:
    """An ellipse has pi / 4 of the rectangle around it (elementary geometry): 0.79 of the 38 x 28 cm tray."""
    phone = new_phone(shared_server)
    page = phone.open(bake(shared_server, phone, at(7, 16)).bake_id)
    page.get_by_role("button", name="Another pan").click()
    page.get_by_label("Length, or across when it is round").fill("38")
    page.get_by_label("Width (leave empty when it is round)").fill("28")
    page.get_by_label("It is oval, not with corners").check()
    page.get_by_role("button", name="Show the new dough").click()
    expect(page.get_by_text("0.79 times the planned one")).to_be_visible()
    page.get_by_label("It is oval, not with corners").uncheck()
    page.get_by_role("button", name="Show the new dough").click()
    expect(page.get_by_text("1 times the planned one")).to_be_visible()


def test_what_is_eaten_makes_room_for_what_comes_next(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server)
    bake(shared_server, phone, at(19, 31), *(step.step_id for step in plan_at(at(19, 31)).steps))
    bake(shared_server, phone, at(7, 16))
    phone.page.goto(f"{shared_server.url}/kitchen")
    expect(phone.page.locator("#now-title")).to_have_text("Mix the dough")


def test_the_shell_is_the_same_for_everybody_and_makes_no_kitchen(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server)
    get = "async () => (await fetch('/kitchen', { cache: 'no-store' })).text()"
    phone.page.goto(f"{shared_server.url}/health")
    mine = phone.page.evaluate(get)
    phone.context.clear_cookies()
    assert phone.page.evaluate(get) == mine
    assert phone.context.cookies() == []


SIZES = """() => {
  const seen = (node) => node.checkVisibility({ visibilityProperty: true }) && !node.closest(".visually-hidden, .skip");
  const box = (node) => node.getBoundingClientRect();
  const inText = (node) => node.tagName === "A" && getComputedStyle(node).display === "inline";
  const targets = "button, a, input:not(.choice input), .choice, summary";
  const small = [...document.querySelectorAll(targets)].filter(seen).filter((node) => !inText(node))
    .filter((node) => box(node).height < 47.5 || box(node).width < 47.5).map((node) => node.outerHTML.slice(0, 80));
  const texts = [...document.querySelectorAll("main *, dialog *")].filter(seen)
    .filter((node) => !node.closest("svg"))
    .filter((node) => [...node.childNodes].some((kid) => kid.nodeType === 3 && kid.data.trim()));
  const tiny = texts.filter((node) => parseFloat(getComputedStyle(node).fontSize) < 17.9)
    .map((node) => node.outerHTML.slice(0, 80));
  const wide = document.documentElement.scrollWidth > window.innerWidth;
  const sticks = (node) => box(node).right > window.innerWidth + 0.5 && !node.closest("svg");
  const over = wide ? [...document.querySelectorAll("body *")].filter(seen).filter(sticks)
    .map((node) => node.outerHTML.slice(0, 90)) : [];
  return { small, tiny, over, title: parseFloat(getComputedStyle(document.querySelector("#now-title")).fontSize) };
}"""


def fits(page: Page) -> None:
    """Nothing too small to hit or read, nothing sticks out sideways, the current step in 32 px."""
    found = page.evaluate(SIZES)
    assert (found["small"], found["tiny"], found["over"]) == ([], [], [])
    assert found["title"] >= 32


@pytest.mark.parametrize(("width", "scheme"), crossed((320, 390, 1280), ("dark", "light")))
def test_every_target_can_be_hit_and_every_word_read(
    shared_server: Server, new_phone: NewPhone, width: int, scheme: str
) -> None:
    phone = new_phone(shared_server, viewport={"width": width, "height": 800}, color_scheme=scheme)
    mixing = bake(shared_server, phone, at(7, 16))
    oven = bake(shared_server, phone, at(18, 56), "mix", "press", "preheat", "top")
    for plan, sheet in ((mixing, "Another pan"), (oven, "Running late")):
        page = phone.open(plan.bake_id)
        expect(page.locator(".tools")).to_be_visible()
        page.locator("details[data-all] summary").click()
        fits(page)
        # By key: two clicks within a moment that fall on one place of the glass are one finger's.
        page.get_by_role("button", name=sheet).press("Enter")
        expect(page.locator("dialog")).to_be_visible()
        fits(page)


@pytest.mark.parametrize("width", [320, 390])
def test_no_time_of_another_day_is_overprinted_by_what_is_done_then(
    shared_server: Server, new_phone: NewPhone, width: int
) -> None:
    phone = new_phone(shared_server, viewport={"width": width, "height": 800})
    page = phone.open(bake(shared_server, phone, at(-6)).bake_id)  # 13 to 25 hours ahead
    page.locator("details[data-all] summary").click()
    expect(page.locator(".step-row__time", has_text="tomorrow").first).to_be_visible()
    over = page.evaluate(
        """() => [...document.querySelectorAll("[data-all] .step-row")].filter((row) => {
          const range = document.createRange();
          range.selectNodeContents(row.querySelector(".step-row__time"));
          const time = range.getBoundingClientRect();
          const what = row.querySelector(".step-row__what").getBoundingClientRect();
          return time.right > what.left && time.bottom > what.top;
        }).map((row) => row.innerText)"""
    )
    assert over == []


def contrast(page: Page, selector: str) -> float:
    """Contrast ratio of text to the background that is behind it (WCAG 2.2, relative luminance)."""
    return float(
        page.locator(selector).first.evaluate(
            """(node) => {
              const rgb = (text) => text.match(/[\\d.]+/g).map(Number);
              const solid = (one) => (rgb(getComputedStyle(one).backgroundColor)[3] ?? 1) > 0.5;
              let behind = node;
              while (!solid(behind)) behind = behind.parentElement;
              const light = (text) => {
                const [r, g, b] = rgb(text).map((v) => v / 255)
                  .map((v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4));
                return 0.2126 * r + 0.7152 * g + 0.0722 * b;
              };
              const [a, b] = [light(getComputedStyle(node).color), light(getComputedStyle(behind).backgroundColor)];
              return (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
            }"""
        )
    )


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_words_stand_out_in_both_themes(shared_server: Server, new_phone: NewPhone, scheme: str) -> None:
    phone = new_phone(shared_server, color_scheme=scheme)
    plan = bake(shared_server, phone, at(18, 56), "mix", "press", "preheat", "top")
    page = phone.open(plan.bake_id)
    expect(page.locator(".tools")).to_be_visible()
    for selector in (".now__when", "[data-count]", ".now__text", ".oven__dial", ".now .button", ".alarm strong",
                     ".next__word", ".undo-bar span", ".standing__line"):  # fmt: skip
        assert contrast(page, selector) >= 4.5, selector
    page.get_by_role("button", name="It’s in the oven").click()
    for selector in (".now--alarm .now__when", ".now--alarm [data-count]", ".now--alarm .oven__dial",
                     ".now--alarm .button", ".now--alarm .soft"):  # fmt: skip
        assert contrast(page, selector) >= 4.5, selector


def test_the_focus_stays_when_the_screen_is_drawn_again(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server)
    plan = bake(shared_server, phone, at(7, 16))
    page = phone.open(plan.bake_id)
    page.get_by_role("button", name="Water, 297 g").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("button", name="Water, 297 g")).to_have_attribute("aria-pressed", "true")
    expect(page.get_by_role("button", name="Water, 297 g")).to_be_focused()


def test_a_sheet_closes_with_escape_and_gives_the_screen_back(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server)
    plan = bake(shared_server, phone, at(12), "mix")
    page = phone.open(plan.bake_id)
    page.get_by_role("button", name="The room is at").click()
    page.get_by_label("The thermometer").fill("99")
    page.get_by_role("button", name="That is how warm it is").click()
    expect(page.get_by_role("alert").filter(has_text="Give a temperature")).to_be_visible()
    expect(page.get_by_label("The thermometer")).to_have_value("99")
    page.keyboard.press("Escape")
    expect(page.locator("dialog")).to_have_count(0)
    phone.has_sent(plan.bake_id, "done")


def test_a_line_of_the_weigh_list_is_called_what_is_written_on_it(shared_server: Server, new_phone: NewPhone) -> None:
    """WCAG 2.2, 2.5.3 Label in Name: who speaks the words that stand on a button means that button."""
    phone = new_phone(shared_server)
    page = phone.open(bake(shared_server, phone, at(7, 16)).bake_id)
    expect(page.locator(".weigh__note").first).to_be_visible()
    lines = page.locator(".weigh__tick").evaluate_all("all => all.map((one) => [one.innerText, one.ariaLabel])")
    assert len(lines) == 5
    for written, called in lines:
        assert " ".join(written.split()) == " ".join(called.replace(",", "").split())


def test_what_came_of_a_sheet_is_brought_up_heard_and_there_for_who_goes_on_by_keys(
    shared_server: Server, new_phone: NewPhone
) -> None:
    phone = new_phone(shared_server).follows(plan_at(at(12), bake_id=secrets.token_urlsafe(16)), ("mix",), (390, 844))
    page = phone.page
    page.locator("[data-key=room]").click()
    page.get_by_role("button", name="That is how warm it is").click()  # as warm as was thought
    expect(page.locator("#said")).to_contain_text("Room: ")
    expect(page.locator(".undo-bar")).to_be_focused()
    expect(page.locator(".undo-bar")).to_be_in_viewport(ratio=1)


def test_a_list_that_another_pan_changed_far_above_is_brought_up(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server).follows(plan_at(at(7, 16), bake_id=secrets.token_urlsafe(16)), (), (390, 844))
    page = phone.page
    page.locator("[data-key=pan]").click()
    page.locator("#pan-length").fill("28")
    page.get_by_role("button", name="Show the new dough").click()
    page.get_by_role("button", name="Bake in this pan").click()
    expect(page.locator("#said")).to_contain_text("Other pan: 28 cm pan")
    expect(page.locator("#now-title")).to_be_focused()
    expect(page.locator(".weigh li").first).to_be_in_viewport(ratio=1)
