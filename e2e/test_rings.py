"""What rings, with real touches and a tab that is really hidden: sound, every due step, every bake, behind others."""

from __future__ import annotations

import json
import secrets
from collections.abc import Iterator
from dataclasses import replace

import pytest
from playwright.sync_api import Browser

from e2e.cut_off import IN_DATABASE, was_done
from e2e.home import SAUCE, SHIFT, STILL
from e2e.raw import STANDS, Tab, Tabs
from e2e.server import Server, plan_at
from tests.made_up import made_up
from tests.samples import at
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.now.ringing import BakeNow, Ring, at_once, heed, hushed, rang, rings_now
from webapp.core.plan.plan import Plan
from webapp.records import to_plain

# Counts tones and notices; all else is the page's own.
pytestmark = pytest.mark.whole_browser
EARS = """
window.tones = 0;
const tone = AudioContext.prototype.createOscillator;
AudioContext.prototype.createOscillator = function () {
  window.tones += 1;
  window.sound = this;
  return tone.call(this);
};
"""


@pytest.fixture
def home(browser: Browser, shared_server: Server) -> Iterator[tuple[Tabs, str, Server]]:
    """Tabs of a new kitchen."""
    key = secrets.token_urlsafe(32)
    kitchen_id = shared_server.kitchen(key)
    tabs = Tabs(browser, shared_server.url, key)
    yield tabs, kitchen_id, shared_server
    tabs.close()


def bake(server: Server, kitchen_id: str, moment: int, *done: str, **changes: object) -> Plan:
    """A picked bake whose `moment` is now."""
    plan = server.bake(kitchen_id, replace(plan_at(moment, bake_id=secrets.token_urlsafe(16)), **changes))  # type: ignore[arg-type]
    was_done(server, kitchen_id, plan, done)
    return plan


def opened(tabs: Tabs, plan: Plan | None = None, script: str = EARS + SHIFT) -> Tab:
    """The kitchen, all of it."""
    tab = tabs.open("/kitchen" + (f"#{plan.bake_id}" if plan else ""), script)
    tab.until(f"{STANDS} && document.querySelector('[data-step]')")
    return tab


def words(tab: Tab, selector: str) -> str:
    """What stands there."""
    return str(tab.js(f"document.querySelector({selector!r})?.innerText ?? ''"))


def says(tab: Tab, selector: str, wanted: str) -> None:
    """It stands there, as soon as it is drawn."""
    tab.until(f"document.querySelector({selector!r})?.innerText.includes({wanted!r})")


def test_one_touch_lets_the_sound_out_and_a_later_one_wakes_it_again(home: tuple[Tabs, str, Server]) -> None:
    tabs, kitchen_id, server = home
    tab = opened(tabs, bake(server, kitchen_id, at(16, 44), "mix"), EARS + STILL)
    tab.until("document.querySelector('#rings').textContent.includes('beeps after your first tap')")
    tab.touch("h1")
    tab.until("document.querySelector('#rings')?.textContent.includes('this page beeps, ')")
    tab.js("window.ahead = 90")
    assert tab.until("window.tones") == 3
    tab.js("window.sound.suspend()")  # as a call does
    tab.until("document.querySelector('#rings')?.textContent.includes('beeps again after your next tap')")
    tab.touch("h1")
    tab.until("window.sound.state === 'running'")
    tab.until("document.querySelector('#rings')?.textContent.includes('this page beeps, ')")


# As Safari has it while a call is on (Web Audio API 1.1, AudioContextState): a state besides the usual three.
CALL = """(() => {
  const { sound } = window;
  const resume = sound.resume.bind(sound);
  let state = "interrupted";
  Object.defineProperty(sound, "state", { get: () => state });
  sound.resume = () => {
    state = window.hungUp ? "running" : state;
    return window.hungUp ? resume() : Promise.reject(new Error("a call"));
  };
  sound.dispatchEvent(new Event("statechange"));
})()"""


def test_in_a_call_the_line_says_that_nothing_is_heard_and_the_first_tap_after_it_wakes_the_sound(
    home: tuple[Tabs, str, Server],
) -> None:
    tabs, kitchen_id, server = home
    tab = opened(tabs, bake(server, kitchen_id, at(16, 44), "mix"), EARS + STILL)
    tab.touch("h1")
    tab.until("document.querySelector('#rings')?.textContent.includes('this page beeps, ')")
    tab.js("window.ahead = 90")
    assert tab.until("window.tones") == 3
    tab.js(CALL)
    asleep = "document.querySelector('#rings')?.textContent.includes('beeps again after your next tap')"
    tab.until(asleep)
    tab.js("window.ahead = 125")  # its turn again, and nobody hears it
    tab.touch("h1")
    tab.js("new Promise((go) => setTimeout(() => go(true), 1200))")
    assert tab.js(asleep), "the call goes on"
    assert tab.js("window.tones") == 3
    tab.js("window.hungUp = true")
    tab.touch("h1")
    tab.until("document.querySelector('#rings')?.textContent.includes('this page beeps, ')")
    tab.until("window.tones === 6")  # what was missed is heard at once


def test_the_tap_that_lets_the_sound_out_is_followed_by_the_ring_unless_it_was_the_answer(
    home: tuple[Tabs, str, Server],
) -> None:
    tabs, kitchen_id, server = home
    plan = bake(server, kitchen_id, at(16, 46), "mix")
    tab = opened(tabs, plan, EARS + STILL)
    tab.until("document.querySelector('.alarm')")  # rung, and nobody could hear it
    tab.touch("h1")
    tab.until("window.tones === 3")
    tab.js("new Promise((go) => setTimeout(go, 2500))")
    assert tab.js("window.tones") == 3
    tab = opened(tabs, plan, EARS + STILL)
    tab.until("document.querySelector('.alarm')")
    tab.touch("[data-key=done]")
    tab.until("document.querySelector('#now-title').innerText === 'Light the oven'")
    tab.until("document.querySelector('#rings')?.textContent.includes('this page beeps, ')")
    tab.js("new Promise((go) => setTimeout(go, 2500))")
    assert tab.js("window.tones") == 0


def test_a_mixing_nobody_said_does_not_mute_the_pressing_and_is_asked_for_when_it_really_was(
    home: tuple[Tabs, str, Server],
) -> None:
    tabs, kitchen_id, server = home
    plan = bake(server, kitchen_id, at(16, 44))
    tab = opened(tabs, plan)
    tab.touch("h1")
    tab.until("document.querySelector('.alarm')")
    tab.touch("[data-key=quiet]")  # the mixing, heard long ago
    tab.until("!document.querySelector('.alarm')")
    before = tab.js("window.tones")
    tab.js("window.ahead = 90")
    tab.until(f"window.tones > {before}")
    says(tab, ".alarm", "Press into the oiled tray, if all before it is done")
    tab.touch(".alarm__other")
    tab.until("document.querySelector('dialog h2')?.innerText === 'Mix the dough: done when?'")
    tab.until("!document.querySelector('dialog [data-says][aria-disabled]')")
    tab.touch("dialog [data-key='As planned']")
    tab.until("document.querySelector('#now-title').innerText === 'Press into the oiled tray'")
    tab.until("!document.querySelector('dialog')")
    [said] = [one for one in tab.js(f"({IN_DATABASE})('events')") if one["bake_id"] == plan.bake_id]
    assert (said["kind"], said["at"]) == ("done", plan.steps[0].end)


def test_a_mixing_that_was_forgotten_is_not_filed_as_just_now(home: tuple[Tabs, str, Server]) -> None:
    """Nine hours late, with the pressing due by the plan: Mixed was forgotten, or is true now; that is asked."""
    tabs, kitchen_id, server = home
    plan = bake(server, kitchen_id, at(16, 46))
    tab = opened(tabs, plan)
    tab.until("document.querySelector('.alarm__other')")
    tab.touch("[data-key=done]")
    tab.until("document.querySelector('dialog h2')?.innerText === 'Mix the dough: done when?'")
    assert [one for one in tab.js(f"({IN_DATABASE})('events')") if one["bake_id"] == plan.bake_id] == []
    tab.until("!document.querySelector('dialog [data-says][aria-disabled]')")
    tab.touch("dialog [data-key='Just now']")
    tab.until("document.querySelector('#now-title').innerText === 'Press into the oiled tray'")
    [said] = [one for one in tab.js(f"({IN_DATABASE})('events')") if one["bake_id"] == plan.bake_id]
    assert abs(said["at"] - said["logged_at"]) < 5


def test_an_oven_that_was_lit_and_not_said_is_asked_for_before_supper_slides(home: tuple[Tabs, str, Server]) -> None:
    """Loading is due by the plan at 18:55; lit at 18:10 as planned, it needs no second heating."""
    tabs, kitchen_id, server = home
    plan = bake(server, kitchen_id, at(18, 57), "mix", "press")
    tab = opened(tabs, plan)
    tab.until("document.querySelector('.alarm__other')?.innerText.startsWith('Load the tray')")
    tab.touch(".alarm__other")
    tab.until("document.querySelector('dialog h2')?.innerText === 'Light the oven: done when?'")
    tab.touch("dialog [data-key=close]")
    tab.until("!document.querySelector('dialog') && !document.querySelector('[data-says][aria-disabled]')")
    tab.touch("[data-key=done]")
    tab.until("document.querySelector('dialog h2')?.innerText === 'Light the oven: done when?'")


NO_CHANNEL = "delete window.BroadcastChannel;"  # as a page that the browser had put by: it hears of no other window


def test_what_was_said_in_another_window_of_a_bake_that_is_not_on_the_screen_rings_no_more(
    home: tuple[Tabs, str, Server],
) -> None:
    tabs, kitchen_id, server = home
    here = bake(server, kitchen_id, at(12), "mix", title="Here")
    there = bake(server, kitchen_id, at(16, 46), "mix", title="There")
    tab = opened(tabs, here, EARS + SHIFT + NO_CHANNEL)
    tab.until("document.querySelector('.alarm__other')")
    other = opened(tabs, there)
    other.touch("[data-key=done]")
    other.until("document.querySelector('#now-title').innerText === 'Light the oven'")
    other.until(f"({IN_DATABASE})('events').then((all) => all.length === 3 && all.every((one) => one.sent === 1))")
    tab.front()
    tab.until("document.visibilityState === 'visible'")
    tab.js("dispatchEvent(new Event('online'))")
    tab.until("!document.querySelector('.alarm__other')")


def test_a_bake_that_was_given_up_stays_quiet_with_the_server_out_of_reach(home: tuple[Tabs, str, Server]) -> None:
    tabs, kitchen_id, server = home
    plan = bake(server, kitchen_id, at(16, 46), "mix")
    tab = opened(tabs, plan)
    tab.until("document.querySelector('.alarm')")
    tab.until("Boolean(navigator.serviceWorker.controller)")
    server.store().drop_bake(kitchen_id, plan.bake_id, plan.made_at)
    tab.js("dispatchEvent(new Event('online'))")
    tab.until("!document.querySelector('.alarm')")
    tab.send("Network.enable")
    tab.send("Network.emulateNetworkConditions", offline=True, latency=0, downloadThroughput=0, uploadThroughput=0)
    tab.js("window.old = true; location.reload()")
    tab.until("!window.old && document.querySelector('.empty')")
    tab.js("new Promise((go) => setTimeout(go, 2500))")
    assert words(tab, ".alarm") == ""


def test_a_forgotten_chore_does_not_mute_the_oven(home: tuple[Tabs, str, Server]) -> None:
    tabs, kitchen_id, server = home
    plan = plan_at(at(18, 9), bake_id=secrets.token_urlsafe(16))
    load = next(step for step in plan.steps if step.kind == "load")
    sauce = replace(SAUCE, start=load.start - 57 * 60, end=load.start - 52 * 60)
    plan = server.bake(kitchen_id, replace(plan, steps=(*plan.steps[:2], sauce, *plan.steps[2:])))
    was_done(server, kitchen_id, plan, ("mix", "press"))
    tab = opened(tabs, plan)
    tab.touch("h1")
    tab.until("document.querySelector('.alarm')")
    says(tab, "#now-title", "Make the sauce")
    tab.touch("[data-key=quiet]")
    tab.until("!document.querySelector('.alarm')")
    before = tab.js("window.tones")
    tab.js("window.ahead = 90")
    tab.until(f"window.tones > {before}")
    tab.until("document.querySelector('#now-title').innerText === 'Light the oven'")
    says(tab, ".also", "Make the sauce")
    tab.until("document.title === 'Now: Light the oven'")


def test_behind_another_tab_it_beeps_and_shows_a_notice_and_takes_it_away_when_done(
    home: tuple[Tabs, str, Server],
) -> None:
    tabs, kitchen_id, server = home
    tabs.grant("notifications")
    plan = bake(server, kitchen_id, at(16, 44), "mix")
    tab = opened(tabs, plan, EARS + STILL)
    tab.until("Boolean(navigator.serviceWorker.controller)")
    tab.touch("h1")
    tab.until("document.querySelector('#rings')?.textContent.includes('it beeps and shows a notice')")
    other = tabs.open("/health")
    other.front()
    tab.until("document.visibilityState === 'hidden'")
    tab.js("window.ahead = 90")
    assert tab.until("window.tones") == 3
    all_of = "navigator.serviceWorker.ready.then((it) => it.getNotifications())"
    notices = f"{all_of}.then((all) => all.map((one) => one.title + one.data))"
    assert tab.until(f"({notices}).then((all) => all.length > 0 && all)") == [
        f"Now: Press into the oiled tray{plan.bake_id}"
    ]
    tab.until("document.title === 'Now: Press into the oiled tray'")
    tab.front()
    tab.until("document.visibilityState === 'visible'")
    tab.touch("[data-key=done]")
    tab.until(f"({notices}).then((all) => all.length === 0)")


def test_the_bake_that_is_not_on_the_screen_rings_and_stays_hushed(home: tuple[Tabs, str, Server]) -> None:
    tabs, kitchen_id, server = home
    here = bake(server, kitchen_id, at(12), "mix", title="Here")
    there = bake(server, kitchen_id, at(16, 44), "mix", title="There")
    tab = opened(tabs, here, EARS + STILL)
    tab.touch("h1")
    tab.until("document.querySelector('#rings')?.textContent.includes('this page beeps, ')")
    tab.js("window.ahead = 90")
    tab.until("window.tones === 3")
    says(tab, ".alarm", "Press into the oiled tray (There)")
    tab.touch("[data-key=quiet]")
    tab.until("!document.querySelector('.alarm')")
    for bake_id in (there.bake_id, here.bake_id, there.bake_id):
        tab.js(f"location.hash = '{bake_id}'")
        tab.until(f"document.querySelector('#screen').dataset.bake === '{bake_id}'")
        assert words(tab, ".alarm") == ""
    tab.js("window.ahead = 300")
    tab.js("new Promise((done) => setTimeout(done, 2200))")
    assert tab.js("window.tones") == 3


CLICK = """registration.getNotifications().then(([one]) => {
  try { self.dispatchEvent(new NotificationEvent("notificationclick", { notification: one })); } catch { }
  return one.data;
})"""


def test_a_notice_that_is_tapped_brings_its_own_bake_onto_the_screen(home: tuple[Tabs, str, Server]) -> None:
    """The tap on a notice is the system's: here the worker is told of it in its own words."""
    tabs, kitchen_id, server = home
    tabs.grant("notifications")
    here = bake(server, kitchen_id, at(12), "mix", title="Here")
    there = bake(server, kitchen_id, at(16, 44), "mix", title="There")
    tab = opened(tabs, here)
    tab.until("Boolean(navigator.serviceWorker.controller)")
    tab.until(f"document.querySelector(\"a[href='#{there.bake_id}']\")")
    tabs.open("/health").front()
    tab.until("document.visibilityState === 'hidden'")
    tab.js("window.ahead = 90")
    tab.until("navigator.serviceWorker.ready.then((it) => it.getNotifications()).then((all) => all.length === 1)")
    assert tabs.worker().js(CLICK) == there.bake_id
    tab.front()
    tab.until(f"document.querySelector('#screen').dataset.bake === '{there.bake_id}'")


def test_two_bakes_of_one_name_are_told_apart(home: tuple[Tabs, str, Server]) -> None:
    tabs, kitchen_id, server = home
    here = bake(server, kitchen_id, at(12), "mix", title="Tray pizza", dough_g=840.0)
    there = bake(server, kitchen_id, at(16, 44), "mix", title="Tray pizza", dough_g=420.0)
    tab = opened(tabs, here, EARS + SHIFT)
    tab.until(f"document.querySelector(\"a[href='#{there.bake_id}']\")")
    tab.js("window.ahead = 90")
    tab.until("document.querySelector('.alarm__other')")
    clock = """((supper, now) => (supper.toDateString() === now.toDateString() ? "" : "tomorrow ")
        + supper.toTimeString().slice(0, 5))(new Date({} * 1000), new Date(Date.now()))"""
    names = {one.bake_id: f"{grams}\u00a0g, supper {tab.js(clock.format(one.supper))}"
             for one, grams in ((here, 840), (there, 420))}  # fmt: skip
    assert words(tab, "h1") == f"Tray pizza, {names[here.bake_id]}"
    assert words(tab, ".alarm__other") == f"Press into the oiled tray ({names[there.bake_id]})"
    assert words(tab, ".others__link strong") == f"Tray pizza, {names[there.bake_id]}"


def test_an_eaten_bake_gives_way_to_what_is_due(home: tuple[Tabs, str, Server]) -> None:
    tabs, kitchen_id, server = home
    eaten = bake(
        server, kitchen_id, at(20) + 86400, *(step.step_id for step in plan_at(at(20)).steps), title="Yesterday"
    )
    today = bake(server, kitchen_id, at(16, 30), "mix", title="Today")
    tab = opened_eaten(tabs, eaten)
    says(tab, "h2.big", "This bake was for")
    tab.js("window.ahead = 1200")
    tab.until(f"document.querySelector('#screen').dataset.bake === '{today.bake_id}'")
    tab.until("document.querySelector('.alarm')")


def test_what_was_out_of_the_oven_yesterday_is_over_though_nobody_said_eaten(home: tuple[Tabs, str, Server]) -> None:
    tabs, kitchen_id, server = home
    steps = [step.step_id for step in plan_at(at(20)).steps]
    old = bake(server, kitchen_id, at(19, 30) + 20 * 3600, *steps[:-1], title="Yesterday")
    tab = opened_eaten(tabs, old)
    tab.touch("h1")
    tab.js("new Promise((go) => setTimeout(go, 2500))")
    assert "This bake was for" in words(tab, "h2.big")
    assert "How did it come out?" in words(tab, "#screen")
    assert not tab.js("document.querySelector('[data-count], .alarm, .dock .button') || window.tones")
    tab.touch("[data-key=came-out]")
    assert "How did it come out?" in tab.until("document.querySelector('dialog h2')?.innerText")


def test_supper_that_nobody_says_is_due_and_counts_down_to_no_full_five_minutes(
    home: tuple[Tabs, str, Server],
) -> None:
    tabs, kitchen_id, server = home
    steps = [step.step_id for step in plan_at(at(20)).steps]
    tab = opened(tabs, bake(server, kitchen_id, at(20, 2), *steps[:-1]))
    tab.until("/^3[23].min ago$/.test(document.querySelector('[data-count]').innerText)")
    says(tab, ".now__when", "Due since")
    assert tab.js("document.querySelector('.card--due')")


def opened_eaten(tabs: Tabs, plan: Plan) -> Tab:
    """A kitchen with no step on."""
    tab = tabs.open(f"/kitchen#{plan.bake_id}", EARS + SHIFT)
    tab.until(f"{STANDS} && document.querySelector('#screen h2.big')")
    return tab


TWIN = """async (text) => {
  const { atOnce, heed, rang, hushed, ringsNow } = await import("/static/js/now/ringing.js");
  return JSON.stringify(JSON.parse(text).map((looks) => {
    let memory = [];
    return looks.map(({ now, bakes, hush }) => {
      memory = heed(memory, bakes, now);
      const turn = ringsNow(memory, now).map((one) => one.step_id);
      memory = rang(memory, now, now % 3 > 0);
      memory = hush ? hushed(memory) : now % 5 > 2 ? atOnce(memory) : memory;
      return { turn, memory };
    });
  }));
}"""


def looks_of(n: int) -> list[dict[str, object]]:
    """Two made-up bakes, looked at every so often through an evening."""
    out = []
    first = made_up(n)[2]
    for turn in range(7):
        now = first + turn * (900 + 97 * n)
        bakes = []
        for m in (n, n + 1):
            plan, events, _ = made_up(m)
            plan = replace(plan, bake_id=f"bake-{m}")
            state = fold(plan, [event for event in events if event.logged_at <= now])
            over = turn == 6 and m == n
            bakes.append(BakeNow(plan.bake_id, plan, retime(plan, state, now), retime(plan, state, 0), over))
        out.append({"now": now, "bakes": bakes, "hush": turn % 3 == 1})
    return out


def ours(looks: list[dict[str, object]]) -> list[dict[str, object]]:
    """The same in Python."""
    memory: list[Ring] = []
    out: list[dict[str, object]] = []
    for look in looks:
        now = int(look["now"])  # type: ignore[call-overload]
        memory = heed(memory, look["bakes"], now)  # type: ignore[arg-type]
        turn = [one.step_id for one in rings_now(memory, now)]
        memory = rang(memory, now, now % 3 > 0)
        memory = hushed(memory) if look["hush"] else at_once(memory) if now % 5 > 2 else memory
        out.append({"turn": turn, "memory": to_plain(memory)})
    return out


def test_what_rings_comes_out_the_same_in_both_languages(browser: Browser, shared_server: Server) -> None:
    context = browser.new_context()
    page = context.new_page()
    page.goto(f"{shared_server.url}/health")
    stages: set[str] = set()
    for first in range(0, 40, 10):
        all_looks = [looks_of(n) for n in range(first, first + 10)]
        shown = json.loads(page.evaluate(TWIN, json.dumps(to_plain(all_looks))))
        wanted = json.loads(json.dumps([ours(looks) for looks in all_looks]))
        assert shown == wanted
        stages |= {one["stage"] for looks in wanted for look in looks for one in look["memory"]}
    assert stages == {"due", "hushed", "done", "forgotten"}
    context.close()
