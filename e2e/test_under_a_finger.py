"""Under a finger nothing moves, and a second tap of the same finger says nothing: tried with real touches."""

from __future__ import annotations

import time
from dataclasses import replace
from typing import Any

import pytest

from e2e.cut_off import IN_DATABASE, was_done
from e2e.home import LOOK, NO_WORKER, SAUCE, STARTED, TITLE, WATCHED, Home, journal, settled, steps
from e2e.raw import STANDS, Tab
from e2e.server import plan_at
from tests.samples import at
from webapp.core.plan.plan import Plan

# Every button of the screen with its place in the page (whoever scrolls moves the page, not the button).
PLACES = """Object.fromEntries([...document.querySelectorAll("#screen button, #screen summary")].filter(
  (node) => node.dataset.key && node.checkVisibility() // in what is folded nothing is laid out anew
).map((node) => {
  const box = node.getBoundingClientRect();
  const fixed = node.closest(".dock") ? 0 : scrollY;
  return [node.dataset.key, [Math.round(box.x), Math.round(box.y + fixed), Math.round(box.width)].join(" ")];
}))"""
SIZES = [(390, 844), (320, 640)]


def test_what_becomes_due_moves_nothing_under_a_finger_that_is_down(home: Home) -> None:
    plan = home.bake(at(16, 44), "mix")
    tab = home.open(plan)
    point = tab.where("[data-key=late]")
    before = tab.js(PLACES)
    tab.down(point)
    tab.js(f"window.ahead = 90; {LOOK}; dispatchEvent(new CustomEvent('kitchen-tick'))")
    assert tab.js(PLACES) == before
    assert not tab.js("document.querySelector('.alarm')")
    tab.up()
    tab.until("document.querySelector('.alarm')")
    assert tab.until("document.querySelector('dialog h2')?.innerText") == "Running late"


def test_a_second_finger_that_goes_up_does_not_let_the_screen_move_under_the_first(home: Home) -> None:
    tab = home.open(home.bake(at(16, 44), "mix"))
    one, other = ({"x": 60, "y": 300, "id": 1}, {"x": 300, "y": 300, "id": 2})
    tab.send("Input.dispatchTouchEvent", type="touchStart", touchPoints=[one])
    tab.send("Input.dispatchTouchEvent", type="touchStart", touchPoints=[one, other])
    tab.send("Input.dispatchTouchEvent", type="touchEnd", touchPoints=[one])
    tab.js("new Promise((go) => setTimeout(() => go(true), 120))")  # as long as a click may take to follow
    before = tab.js(PLACES)
    tab.js(f"window.ahead = 90; {LOOK}")
    assert tab.js(PLACES) == before
    assert not tab.js("document.querySelector('.alarm')")
    tab.send("Input.dispatchTouchEvent", type="touchEnd", touchPoints=[])
    tab.until("document.querySelector('.alarm')")


def test_another_bake_that_rings_pushes_nothing(home: Home) -> None:
    here, there = home.bake(at(12), "mix", title="Here"), home.bake(at(16, 44), "mix", title="There")
    tab = home.open(here)
    tab.until(f"document.querySelector(\"a[href='#{there.bake_id}']\")")
    before = tab.js(PLACES)
    tab.js(f"window.ahead = 90; {LOOK}")
    tab.until("document.querySelector('.alarm')?.innerText.includes('There')")
    after = tab.js(PLACES)
    assert {key: after[key] for key in before} == before


# Positions of all buttons whenever one of them is first seen, and the browser's own measure of what moved by itself.
MOVED = """
window.shift = 0;
window.what = [];
new PerformanceObserver((list) => list.getEntries().forEach((one) => {
  window.shift += one.value;
  window.what.push(...one.sources.map(({ node, previousRect: a, currentRect: b }) =>
    `${node?.nodeName}.${node?.className} ${Math.round(a.y)} -> ${Math.round(b.y)}`));
})).observe({ type: "layout-shift", buffered: true });
window.first = {};
window.moved = [];
const watch = () => {
  for (const node of document.querySelectorAll("#screen button, #screen summary")) {
    const box = node.getBoundingClientRect();
    const [key, place] = [node.dataset.key, Math.round(box.y)];
    window.first[key] ??= place;
    if (Math.abs(window.first[key] - place) > 1) { window.moved.push(`${key} ${window.first[key]} -> ${place}`); }
  }
  requestAnimationFrame(watch);
};
requestAnimationFrame(watch);
"""
UNFOLDED = f"{STANDS} && document.querySelector('.tide-figure') && document.querySelector('.tools')"


@pytest.mark.parametrize("size", SIZES, ids=lambda size: str(size[0]))
@pytest.mark.parametrize(
    ("moment", "done"),
    [(at(7, 16), ()), (at(12), ("mix",)), (at(16, 46), ("mix",)), (at(18, 11), ("mix", "press"))],
    ids=["mix", "wait", "press", "oven"],
)
def test_no_button_moves_after_it_can_first_be_tapped(
    home: Home, size: tuple[int, int], moment: int, done: tuple[str, ...]
) -> None:
    plan = home.bake(moment, *done)
    home.bake(at(12), "mix", title="Another")
    for visit in ("over a wireless network", "from the cache"):
        tab = home.tabs.open("/health", MOVED, size=size)
        tab.send("Network.enable")
        slow = {"offline": False, "latency": 60, "downloadThroughput": 250_000, "uploadThroughput": 250_000}
        tab.send("Network.emulateNetworkConditions", **slow)
        tab.send("Page.navigate", url=f"{home.server.url}/kitchen#{plan.bake_id}")
        tab.until(UNFOLDED)
        tab.js("new Promise((go) => setTimeout(() => go(true), 1200))")  # whatever else would still come
        assert tab.js("window.moved.slice(0, 6)") == [], visit
        assert tab.js("window.shift") < 0.005, (visit, tab.js("window.what"))


@pytest.mark.parametrize(("moment", "done"), [(at(7, 16), ()), (at(18, 11), ("mix", "press"))], ids=["mix", "oven"])
def test_what_belongs_to_the_step_and_comes_late_stands_under_what_could_be_tapped(
    home: Home, moment: int, done: tuple[str, ...]
) -> None:
    plan = home.bake(moment, *done)
    home.open(plan).until(f"({IN_DATABASE})('bundles').then((all) => all.length > 0)")
    none_stood = "if (location.protocol !== 'about:') localStorage.removeItem('stood');"
    tab = home.tabs.open("/health", NO_WORKER + WATCHED + none_stood)
    tab.send("Network.enable")
    tab.send("Network.setCacheDisabled", cacheDisabled=True)
    tab.send("Network.setBypassServiceWorker", bypass=True)
    tab.send("Fetch.enable", patterns=[{"urlPattern": "*/js/kitchen-step.js"}])
    tab.send("Page.navigate", url=f"{home.server.url}/kitchen#{plan.bake_id}")
    tab.until(f"{STARTED} && document.querySelector('[data-key=late]')")
    before = tab.js(PLACES)
    assert not tab.js("document.querySelector('.weigh__row, .oven__set')")
    tab.send("Fetch.disable")
    tab.until("document.querySelector('.weigh__row, .oven__set')")
    tab.until(UNFOLDED)
    below = tab.js("[...document.querySelectorAll('[data-below] [data-key]')].map((one) => one.dataset.key)")
    after = tab.js(PLACES)
    of_step = {key: place for key, place in before.items() if key not in below}  # what lies below it is further down
    assert {"done", "late"} <= of_step.keys()
    assert {key: after[key] for key in of_step} == of_step
    tab.touch("[data-key=done]")
    tab.until("document.querySelector('.undo-bar')")
    tab.touch(".undo-bar .button")  # drawn anew with all that belongs to it, it stands above the buttons
    tab.until("document.querySelector('.weigh__row, .oven__set')")
    assert tab.js(
        "document.querySelector('.weigh__row, .oven__set').compareDocumentPosition("
        "document.querySelector('[data-key=late]')) === Node.DOCUMENT_POSITION_FOLLOWING"
    )


def test_a_note_that_comes_pushes_no_button(home: Home) -> None:
    tab = home.open(home.bake(at(12), "mix"))
    tab.until(UNFOLDED)
    before = tab.js(PLACES)
    tab.send("Network.enable")
    tab.send("Network.emulateNetworkConditions", offline=True, latency=0, downloadThroughput=0, uploadThroughput=0)
    tab.js("dispatchEvent(new Event('online'))")
    tab.until("document.querySelector('#notes')?.innerText.includes('The server does not answer')")
    after = tab.js(PLACES)
    assert {key: after[key] for key in before} == before


def two_due(home: Home) -> tuple[Plan, Tab]:
    """The oven is to be lit, and two things to be done beside it."""
    plan = plan_at(at(18, 11))
    load = next(step for step in plan.steps if step.kind == "load")
    start, end = load.start - 57 * 60, load.start - 52 * 60
    sauce = replace(SAUCE, start=start, end=end)
    drain = replace(SAUCE, step_id="drain", kind="drain", start=start + 60, end=end + 60, title="Drain the cheese")
    made = home.bake(at(18, 11), steps=(*plan.steps[:2], sauce, drain, *plan.steps[2:]))
    was_done(home.server, home.kitchen_id, made, ("mix", "press"))
    tab = home.open(made)
    tab.until("document.querySelectorAll('.also__row').length === 2")
    return made, tab


@pytest.mark.parametrize("pause", [0.05, 0.2])
def test_two_different_things_tapped_fast_are_both_said(home: Home, pause: float) -> None:
    plan = home.bake(at(7, 16))
    tab = home.open(plan)
    tab.at_once(".weigh__row + .weigh__row .weigh__tick")
    middle = "(({ x, y, width, height }) => [x + width / 2, y + height / 2])"
    points = tab.js(
        f"[...document.querySelectorAll('.weigh__tick')].map((one) => {middle}(one.getBoundingClientRect()))"
    )
    first = time.time()
    for n, point in enumerate(points[1:3]):
        tab.tap(point, first + n * pause)
    tab.until("document.querySelectorAll('.weigh__row--in').length === 2")
    settled(tab)
    said = [row["data"]["line"] for row in journal(tab, plan, "weighed")]
    assert said == [f"{line.part}/{line.key}" for line in plan.lines[1:3]]


def test_a_click_that_comes_from_no_finger_counts_from_the_first_moment_on(home: Home) -> None:
    """As of a screen reader or of a voice: the page is younger than what tells a touch's click from another."""
    plan = home.bake(at(16, 46), "mix")
    early = """const look = () => {
      const done = document.querySelector("[data-key=done]");
      if (done) { window.young = performance.now(); done.click(); } else { setTimeout(look, 5); }
    }; addEventListener("DOMContentLoaded", look);"""
    tab = home.open(plan, f"{early} performance.now = ((now) => () => now() / 100)(performance.now.bind(performance));")
    assert tab.js("window.young") < 400
    tab.until(f"{TITLE} === 'Light the oven'")
    assert steps(tab, plan) == ["mix", "press"]


def test_a_click_that_comes_from_no_finger_is_never_refused_wherever_and_whenever_it_comes(home: Home) -> None:
    """A screen reader opens a sheet and takes the answer that lies in the same place, all within a moment."""
    plan = home.bake(at(16, 46), "mix")
    tab = home.open(plan)
    click = """((selector) => {
      const at = { bubbles: true, cancelable: true, clientX: 200, clientY: 400, detail: 1 };
      document.querySelector(selector).dispatchEvent(new MouseEvent("click", at));
    })"""
    tab.js(f"{click}('[data-key=when]')")
    tab.until("document.querySelector('dialog .answers .button')")
    tab.js(f"{click}('[data-key=when]'); document.querySelector('dialog').close()")
    tab.until("document.querySelector('dialog[open] .answers .button')")  # asked for before that one was closed
    tab.js(f"{click}('[data-key=when]'); {click}('dialog .answers .button:nth-child(2)')")
    tab.until(f"{TITLE} === 'Light the oven'")
    assert steps(tab, plan) == ["mix", "press"]
    tab.js(f"{click}('[data-key=done]')")
    tab.until(f"{TITLE} === 'Put the topping on'")


def test_a_key_that_is_held_down_says_one_step_however_long(home: Home) -> None:
    plan = home.bake(at(16, 46), "mix")
    tab = home.open(plan)
    tab.js("document.querySelector('[data-key=done]').focus()")
    key = {"key": "Enter", "code": "Enter", "windowsVirtualKeyCode": 13, "text": "\r"}
    for n in range(16):
        tab.send("Input.dispatchKeyEvent", type="keyDown", autoRepeat=n > 0, **key)
        tab.js("new Promise((go) => setTimeout(() => go(true), 60))")
    tab.send("Input.dispatchKeyEvent", type="keyUp", key="Enter", code="Enter", windowsVirtualKeyCode=13)
    settled(tab)
    assert steps(tab, plan) == ["mix", "press"]


def twice(tab: Tab, point: tuple[float, float], pause: float) -> None:
    """A double tap by the finger's own clock, however long the machine took, and what came of it."""
    first = time.time()
    tab.tap(point, first)
    tab.tap(point, first + pause)
    settled(tab)


def all_of(tab: Tab, plan: Plan) -> list[dict[str, Any]]:
    """Everything in the phone's journal of this bake."""
    rows = tab.js(f"({IN_DATABASE})('events')")
    return [row for row in rows if row["bake_id"] == plan.bake_id and row["phone"] != "another"]


@pytest.mark.parametrize("pause", [0.09, 0.2])
def test_two_taps_on_what_is_due_too_say_one_step(home: Home, pause: float) -> None:
    plan, tab = two_due(home)
    point = tab.where(".also__row .button")
    twice(tab, point, pause)
    assert [row["kind"] for row in all_of(tab, plan)] == ["done"]


@pytest.mark.parametrize("pause", [0.09, 0.2])
def test_two_taps_on_take_back_take_back_one_thing(home: Home, pause: float) -> None:
    plan, tab = two_due(home)
    for _ in range(2):
        tab.touch(".also__row .button")
        settled(tab)
    point = tab.where(".undo-bar .button")
    first = time.time()
    tab.tap(point, first)
    tab.tap(tab.at_once(".undo-bar .button"), first + pause)
    settled(tab)
    assert len(journal(tab, plan, "undo")) == 1


@pytest.mark.parametrize("pause", [0.09, 0.2])
def test_after_an_answer_nothing_else_is_said_by_the_same_finger(home: Home, pause: float) -> None:
    plan = home.bake(at(16, 46), "mix")
    tab = home.open(plan)
    twice(tab, tab.where("[data-key=looked-doubled]"), pause)
    assert steps(tab, plan) == ["mix"]
    assert [row["kind"] for row in all_of(tab, plan) if row["kind"] != "way"] == ["looked"]
    tab.touch("[data-key=done]")
    tab.until(f"{TITLE} === 'Light the oven'")


@pytest.mark.parametrize("pause", [0.09, 0.2])
def test_two_taps_on_a_line_of_the_list_tick_it(home: Home, pause: float) -> None:
    plan = home.bake(at(7, 16))
    tab = home.open(plan)
    point = tab.where(".weigh__tick")
    twice(tab, point, pause)
    assert [row["kind"] for row in all_of(tab, plan)] == ["weighed"]


@pytest.mark.parametrize("pause", [0.09, 0.2])
def test_two_taps_that_open_a_sheet_choose_nothing_in_it(home: Home, pause: float) -> None:
    """The screen stands so that an answer comes up under the very button that opened the sheet."""
    plan = home.bake(at(18, 11), "mix", "press")
    tab = home.open(plan)
    tab.touch("[data-key=when]")
    tab.until("document.querySelector('dialog')")
    x, y = tab.where("dialog [data-key='10\u00a0min ago']")
    tab.touch("dialog [data-key=close]")
    tab.until("!document.querySelector('dialog')")
    wide = "const node = document.querySelector('[data-key=when]'); node.style.gridColumn = '1 / -1';"
    wide += "document.body.style.padding = '60rem 0';"  # room to go wherever the answer is
    tab.js(
        f"(() => {{ {wide} scrollBy({{ top: node.getBoundingClientRect().y + 24 - {y}, behavior: 'instant' }}); }})()"
    )
    point = (x, y)
    assert tab.js(f"document.elementFromPoint({x}, {y}).closest('button')?.dataset.key") == "when"
    twice(tab, point, pause)
    assert steps(tab, plan) == ["mix", "press"]
    assert tab.js("Boolean(document.querySelector('dialog'))")


@pytest.mark.parametrize("pause", [0.15, 0.45])
def test_two_taps_on_how_late_take_no_way(home: Home, pause: float) -> None:
    """What comes of being late stands so that the button which takes it lies under the answer."""
    plan = home.bake(at(18, 54), "mix", "press", "preheat")
    tab = home.open(plan)
    tab.touch("[data-key=late]")
    tab.until("document.querySelector('dialog')")
    settled(tab)
    x, y = tab.where("dialog [data-key='15\u00a0min later']")
    tab.js(
        f"""(() => {{ const looks = new CSSStyleSheet();
        looks.replaceSync(`dialog [data-key=way-as-planned] {{ position: fixed; left: {x - 20}px; top: {y - 20}px;
          width: 40px; min-height: 0; height: 40px }}`);
        document.adoptedStyleSheets = [looks]; }})()"""
    )
    first = time.time()
    tab.tap((x, y), first)
    tab.until(f"document.elementFromPoint({x}, {y}).closest('button')?.dataset.key === 'way-as-planned'")
    tab.tap((x, y), first + pause)  # the second by the finger's own clock, however long the machine took
    settled(tab)
    assert all_of(tab, plan) == []
    assert tab.js("Boolean(document.querySelector('dialog'))")


@pytest.mark.parametrize("pause", [0.09, 0.2])
def test_two_taps_that_close_a_sheet_say_nothing_that_was_under_it(home: Home, pause: float) -> None:
    """The page stands so that an answer lies under the sheet's way out."""
    plan = home.bake(at(16, 46), "mix")
    tab = home.open(plan)
    tab.touch("[data-key=late]")
    tab.until("document.querySelector('dialog')")
    x, y = tab.where("dialog [data-key=close]")
    tab.js(
        f"""(() => {{ const looks = new CSSStyleSheet();  // in no attribute, which a look would take away
        looks.replaceSync(`[data-key=looked-sinking] {{ position: fixed; left: {x - 20}px; top: {y - 20}px; width: 40px;
          min-height: 0; height: 40px }}`);
        document.adoptedStyleSheets = [looks]; }})()"""
    )
    settled(tab)
    first = time.time()
    tab.tap((x, y), first)
    tab.until(f"document.elementFromPoint({x}, {y}).closest('button')?.dataset.key === 'looked-sinking'")
    tab.tap((x, y), first + pause)
    settled(tab)
    assert all_of(tab, plan) == []


@pytest.mark.parametrize("gap", [0.25, 0.5])
def test_a_finger_that_hammers_done_says_one_step(home: Home, gap: float) -> None:
    """Five taps, each as soon after the one before as the finger has it, whatever time the machine takes to tell."""
    plan = home.bake(at(18, 11), "mix", "press")
    tab = home.open(plan)
    point = tab.where("[data-key=done]")
    first = time.time()
    for n in range(5):
        tab.tap(point, first + gap * n)
        tab.until(f"{TITLE} === 'Put the topping on'")
        tab.js("new Promise((go) => setTimeout(() => go(true), 150))")  # the screen has followed
    settled(tab)
    assert steps(tab, plan) == ["mix", "press", "preheat"]
    tab.tap(point)
    tab.until(f"{TITLE} === 'Load the tray'")


@pytest.mark.parametrize("key", ["late", "when", "glass"])
def test_a_second_tap_on_close_opens_nothing_that_lay_under_it(home: Home, key: str) -> None:
    """The page stands so that a button which opens a sheet, and a list to unfold, lie under the way out, in turn."""
    plan = home.bake(at(16, 46), "mix")
    tab = home.open(plan)
    for under in ("[data-key=room]", "details[data-all] summary"):
        tab.touch(f"[data-key={key}]")
        tab.until("document.querySelector('dialog')")
        x, y = tab.where("dialog [data-key=close]")
        tab.js(
            f"""(() => {{ const looks = new CSSStyleSheet();
            looks.replaceSync(`{under} {{ position: fixed; z-index: 9; left: {x - 20}px; top: {y - 20}px; width: 40px;
              min-height: 0; height: 40px }}`);
            document.adoptedStyleSheets = [looks]; }})()"""
        )
        settled(tab)
        first = time.time()
        tab.tap((x, y), first)
        tab.until("!document.querySelector('dialog')")
        tab.until(f"document.elementFromPoint({x}, {y}).closest('{under}')")
        tab.tap((x, y), first + 0.3)
        settled(tab)
        assert not tab.js("document.querySelector('dialog, details[data-all][open]')")
        tab.js("document.adoptedStyleSheets = []")


@pytest.mark.parametrize("pause", [0.09, 0.2])
@pytest.mark.parametrize("key", ["room-say", "close"])
def test_two_taps_on_the_lowest_button_of_a_sheet_do_not_leave_the_kitchen(home: Home, pause: float, key: str) -> None:
    """The ways to other pages stand at the bottom, where the buttons of a sheet are; here one lies right under it."""
    plan = home.bake(at(12), "mix")
    tab = home.open(plan)
    tab.touch("[data-key=room]")
    tab.until("document.querySelector('dialog input')")
    tab.js("document.querySelector('dialog input').value = 23")
    button = "dialog [type=submit]" if key == "room-say" else "dialog [data-key=close]"
    x, y = tab.where(button)
    tab.js(
        f"""(() => {{ const looks = new CSSStyleSheet();
        looks.replaceSync(`.rail a[href="/book"] {{ position: fixed; left: {x - 20}px; top: {y - 20}px; width: 40px;
          min-height: 0; height: 40px }}`);
        document.adoptedStyleSheets = [looks]; }})()"""
    )
    settled(tab)
    first = time.time()
    tab.tap((x, y), first)
    tab.until("!document.querySelector('dialog')")
    tab.until(f"document.elementFromPoint({x}, {y}).closest('a')?.getAttribute('href') === '/book'")
    tab.tap((x, y), first + pause)
    settled(tab)
    assert tab.js("location.pathname") == "/kitchen"


@pytest.mark.parametrize("pause", [0.09, 0.2])
def test_two_taps_on_quiet_say_nothing_that_was_under_it(home: Home, pause: float) -> None:
    plan = home.bake(at(16, 46), "mix")
    tab = home.open(plan)
    tab.until("document.querySelector('[data-key=quiet]')")
    x, y = tab.where("[data-key=quiet]")
    settled(tab)
    first = time.time()
    tab.tap((x, y), first)
    tab.until("!document.querySelector('[data-key=quiet]')")
    tab.js(
        f"""(() => {{ const node = document.querySelector('[data-key=looked-sinking]');
        const place = 'position: fixed; z-index: 99; width: 40px; height: 40px;';
        node.style.cssText = place + 'left: {x - 20}px; top: {y - 20}px'; }})()"""
    )
    tab.until(f"document.elementFromPoint({x}, {y}).closest('button')?.dataset.key === 'looked-sinking'")
    tab.tap((x, y), first + pause)
    settled(tab)
    assert all_of(tab, plan) == []


# Making sound ready takes so long, in the very lifting of the first finger.
SLOW_SOUND = """{ const Fast = window.AudioContext; window.AudioContext = class extends Fast {
  constructor(...all) { super(...all); const end = performance.now() + 200; while (performance.now() < end); }
}; }"""


@pytest.mark.parametrize("hold", [0.8, 2.0])
def test_what_a_finger_was_put_on_is_said_though_a_sync_and_a_minute_come_before_it_goes_up(
    home: Home, hold: float
) -> None:
    plan = home.bake(at(16, 44) + 30, "mix")
    tab = home.open(plan, SLOW_SOUND)
    point = tab.where("[data-key=done]")
    tab.down(point)
    was_done(home.server, home.kitchen_id, plan, ("press",))
    tab.js(f"window.ahead = 90; {LOOK}; dispatchEvent(new Event('online'))")
    time.sleep(hold)
    tab.up()
    tab.until(f"{TITLE} === 'Light the oven'")
    settled(tab)
    assert [row["data"] for row in all_of(tab, plan)] == [{"step_id": "press"}]


def test_the_space_bar_says_the_step_on_which_it_was_struck(home: Home) -> None:
    plan = home.bake(at(16, 46), "mix")
    tab = home.open(plan)
    tab.js("document.querySelector('[data-key=done]').focus()")
    key = {"key": " ", "code": "Space", "windowsVirtualKeyCode": 32}
    tab.send("Input.dispatchKeyEvent", type="keyDown", text=" ", **key)
    was_done(home.server, home.kitchen_id, plan, ("press",))
    tab.js("dispatchEvent(new Event('online'))")
    tab.until(f"({IN_DATABASE})('events').then((rows) => rows.some(({{ data }}) => data.step_id === 'press'))")
    tab.js("new Promise((go) => setTimeout(() => go(true), 600))")
    tab.send("Input.dispatchKeyEvent", type="keyUp", **key)
    tab.until(f"{TITLE} === 'Light the oven'")
    settled(tab)
    assert [row["data"] for row in all_of(tab, plan)] == [{"step_id": "press"}]
