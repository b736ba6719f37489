"""Now is the moment of the tap, what was said last is taken back, and what a wrong clock said is asked about."""

from __future__ import annotations

import json
import re
import time

import pytest

from e2e.cut_off import IN_DATABASE
from e2e.home import ARMED, LOOK, SHIFT, TITLE, Home, choose, journal, steps
from e2e.raw import Tab
from tests.samples import at, sample_plan
from webapp.core.plan.plan import Plan

OFFLINE = {"offline": True, "latency": 0, "downloadThroughput": 0, "uploadThroughput": 0}
BAR = "document.querySelector('.undo-bar')?.innerText"
NOTES = "document.querySelector('#notes')?.innerText"


def typed(tab: Tab, seconds: int) -> None:
    """The time so many seconds from now, typed into the sheet and sent."""
    clock = f"new Date(Date.now() + {seconds} * 1000).toTimeString().slice(0, 5)"
    tab.js(f"(() => {{ const it = document.querySelector('#late'); it.value = {clock}; it.form.requestSubmit(); }})()")


def late(tab: Tab, plan: Plan) -> int:
    """The one wait that was filed, in seconds from when it was said."""
    said = tab.until(
        f"""({IN_DATABASE})('events').then((all) => all.find((one) => one.kind === 'later'
        && one.bake_id === '{plan.bake_id}'))"""
    )
    return int(said["data"]["until"] - said["at"])


def test_fifteen_minutes_later_left_open_for_half_an_hour_is_fifteen_minutes_from_the_tap(home: Home) -> None:
    plan = home.bake(at(16, 46), "mix")
    tab = home.open(plan)
    tab.touch("[data-key=late]")
    tab.until("document.querySelector('dialog')")
    choose(tab, "15 min later")
    heading = tab.until("document.querySelector('dialog h3')?.innerText")
    tab.js(f"window.ahead = 1800; {LOOK}")
    tab.until(f"document.querySelector('dialog h3').innerText !== '{heading}'")
    assert "Not before" not in tab.js("document.querySelector('dialog').innerText")
    tab.touch("dialog [data-key=way-as-planned]")
    tab.until("!document.querySelector('dialog')")
    assert abs(late(tab, plan) - 900) <= 2


def test_a_time_that_is_over_by_the_tap_is_asked_about_and_not_filed(home: Home) -> None:
    plan = home.bake(at(16, 46), "mix")
    tab = home.open(plan)
    tab.touch("[data-key=late]")
    tab.until("document.querySelector('dialog #late')")
    typed(tab, 600)
    tab.until("document.querySelector('dialog [data-key=way-as-planned]:not([aria-disabled])')")
    # In one go: between the two the sheet may look at the clock by itself, and takes the way off.
    tab.js("window.ahead = 1800; document.querySelector('dialog [data-key=way-as-planned]').click()")
    assert "is over" in tab.until("document.querySelector('dialog .notice')?.innerText")
    assert journal(tab, plan, "later") == []
    tab.touch("dialog [data-key=can-now]")
    tab.touch("dialog [data-key=way-as-planned]")
    tab.until("!document.querySelector('dialog')")
    assert -1 <= late(tab, plan) <= 60  # what is said is dated a moment later


def test_a_time_that_was_over_when_it_was_typed_is_asked_about(home: Home) -> None:
    plan = home.bake(at(16, 46), "mix")
    tab = home.open(plan)
    tab.touch("[data-key=late]")
    tab.until("document.querySelector('dialog #late')")
    typed(tab, -1200)
    asked = tab.until("document.querySelector('dialog .notice')?.innerText").replace("\xa0", " ")
    assert "is over, 20 min" in asked or "is over, 21 min" in asked  # a clock typed to the minute
    assert journal(tab, plan, "later") == []
    tab.touch("dialog [data-key=day-after]")
    shown = tab.until("document.querySelector('dialog h3')?.innerText")
    soon_after_midnight = tab.js("new Date(Date.now() + (86400 - 1200) * 1000).getDate() === new Date().getDate()")
    assert ("tomorrow" in shown) is not soon_after_midnight  # the same time of the next day, which may have begun


def test_what_helps_is_worked_out_anew_when_it_stood_open(home: Home) -> None:
    plan = home.bake(at(16, 50), "mix")
    tab = home.open(plan)
    tab.touch("[data-key=late]")
    tab.until("document.querySelector('dialog')")
    choose(tab, "4 h later")
    way = tab.until("document.querySelector('dialog .way')?.innerText")
    tab.js(f"window.ahead = 3600; {LOOK}")
    tab.until(f"document.querySelector('dialog .way').innerText !== {way!r}")


def wrong_clock(home: Home, plan: Plan, hours: int = 3) -> Tab:
    """A phone so many hours ahead, online, that knows it."""
    tab = home.open(plan, f"window.ahead = {hours} * 3600;")
    tab.until("Boolean(navigator.serviceWorker.controller)")  # or it would be said that this page is not kept
    tab.until(f"{NOTES}?.includes('ahead of the server')")
    return tab


def test_a_step_said_by_a_clock_that_was_behind_is_asked_about_too(home: Home) -> None:
    """Three hours behind, said with no connection: it is filed three hours too early, and that is no time ahead."""
    plan = home.bake(at(16, 46), "mix")
    tab = home.open(plan, "window.ahead = -3 * 3600;")
    tab.until(f"{NOTES}?.includes('behind the server')")
    tab.send("Network.enable")
    tab.send("Network.emulateNetworkConditions", **OFFLINE)
    tab.touch("[data-key=done]")
    tab.until(f"{TITLE} === 'Light the oven'")
    tab.until(ARMED)
    tab.js("window.ahead = 0")
    asked = tab.until(f"{NOTES}.includes('behind when that was said') && {NOTES}")
    assert "Pressed out" in asked
    assert len(steps(tab, plan)) == 2  # unasked nothing was changed
    tab.touch("[data-key=really]")
    tab.until(f"!{NOTES}.includes('behind when that was said')")
    said = journal(tab, plan)
    assert abs(said[2]["at"] - said[1]["at"] - 3 * 3600) <= 3
    assert said[2]["data"] == {"step_id": "press"}


def set_right(tab: Tab) -> None:
    """Its clock, with no connection."""
    tab.send("Network.enable")
    tab.send("Network.emulateNetworkConditions", **OFFLINE)
    tab.js("window.ahead = 0")
    tab.until(f"!{NOTES}.includes('ahead of the server')")


def test_what_was_said_last_is_taken_back_though_the_clock_was_set_back_and_the_page_opened_anew(home: Home) -> None:
    plan = home.bake(at(16, 46), "mix")
    tab = wrong_clock(home, plan, hours=1)
    tab.touch("[data-key=done]")
    tab.until(f"{TITLE} === 'Light the oven'")
    tab.until(ARMED)
    set_right(tab)
    tab.touch("[data-key=done]")
    tab.until(f"{TITLE} === 'Put the topping on'")
    tab.until(ARMED)
    assert "The oven is on" in tab.js(BAR)
    tab.reload()
    tab.until(f"{BAR}?.includes('The oven is on')")
    tab.touch(".undo-bar .button")
    tab.until(f"{TITLE} === 'Light the oven'")
    said = journal(tab, plan, "undo")[-1]["data"]["event_id"]
    assert said == journal(tab, plan)[-1]["event_id"]
    assert "Pressed out" in tab.js(BAR)


def test_on_two_phones_the_last_thing_that_was_known_to_be_said_is_taken_back(home: Home) -> None:
    """One phone's clock is an hour ahead and no server was heard by it: what the other says afterwards is later."""
    plan = home.bake(at(16, 46), "mix")
    ahead = {"event_id": "a" * 32, "bake_id": plan.bake_id, "phone": "fast", "kind": "room", "data": {"temp_c": 24.0}}
    now = plan.steps[1].start + 60
    home.server.store().add_events(home.kitchen_id, plan.bake_id, [{**ahead, "at": now, "logged_at": now + 3600}], now)
    one = home.open(plan)
    one.until(f"{BAR}?.includes('Room: 24')")
    one.touch("[data-key=done]")
    one.until(f"{TITLE} === 'Light the oven'")
    assert "Pressed out" in one.js(BAR)
    one.until(f"({IN_DATABASE})('events').then((all) => all.every((one) => one.sent === 1))")
    other = home.other_phone().open(f"/kitchen#{plan.bake_id}", SHIFT)
    other.until(f"{TITLE} === 'Light the oven'")
    assert "Pressed out" in other.until(BAR)


def test_a_step_said_by_a_wrong_clock_is_asked_about_once_the_clock_is_right(home: Home) -> None:
    plan = home.bake(at(16, 46), "mix")
    tab = wrong_clock(home, plan)
    tab.touch("[data-key=done]")
    tab.until("document.querySelector('dialog h2')")  # by this clock it is hours late, and the oven due
    choose(tab, "Just now")
    tab.until(f"{TITLE} === 'Light the oven'")
    assert "still ahead" not in tab.js(NOTES)
    tab.until(ARMED)
    set_right(tab)
    asked = tab.until(f"{NOTES}.includes('That is still ahead') && {NOTES}")
    assert "Pressed out" in asked
    assert "It was just now" in asked
    tab.until("document.querySelector('.notes-mark').getAttribute('aria-label') === 'One note below'")
    assert len(steps(tab, plan)) == 2  # unasked nothing was changed
    tab.touch("[data-key=really]")
    tab.until(f"!{NOTES}.includes('still ahead')")
    said = journal(tab, plan)
    undone = [row["data"]["event_id"] for row in journal(tab, plan, "undo")]
    assert undone == [said[1]["event_id"]]
    assert abs(said[1]["at"] - said[2]["at"] - 3 * 3600) <= 3
    assert said[2]["data"] == {"step_id": "press"}


def test_what_is_still_ahead_can_be_kept_and_is_not_asked_about_again(home: Home) -> None:
    plan = home.bake(at(16, 46), "mix")
    tab = wrong_clock(home, plan)
    tab.touch("[data-key=done]")
    tab.until("document.querySelector('dialog h2')")  # by this clock it is hours late, and the oven due
    choose(tab, "Just now")
    tab.until(f"{TITLE} === 'Light the oven'")
    tab.until(ARMED)
    set_right(tab)
    tab.until(f"{NOTES}.includes('still ahead')")
    tab.touch("[data-key=keep-ahead]")
    tab.until(f"!{NOTES}.includes('still ahead')")
    tab.reload()
    assert "still ahead" not in tab.js(NOTES)
    assert steps(tab, plan) == ["mix", "press"]


def offline(tab: Tab, wanted: bool) -> None:
    """The network of this tab, off or on."""
    tab.send("Network.enable")
    tab.send("Network.emulateNetworkConditions", **{**OFFLINE, "offline": wanted, "downloadThroughput": -1})


def test_what_a_wrong_clock_said_before_any_server_was_heard_is_asked_about_too(home: Home) -> None:
    """Three hours behind, opened with no connection: all it has is that the bake was packed later than now."""
    plan = home.bake(at(16, 46), "mix")
    tab = home.open(plan)
    tab.until("Boolean(navigator.serviceWorker.controller)")
    tab.until(f"({IN_DATABASE})('events').then((all) => all.length > 0)")
    tab.send("Page.addScriptToEvaluateOnNewDocument", source="window.ahead = -3 * 3600;")
    offline(tab, True)
    tab.js("location.reload()")
    asked = f"/clock is at least (3.h|2.h.5\\d.min)/.test({NOTES}) && {NOTES}"  # it was packed a while before
    assert "packed" in tab.until(asked)
    tab.until(f"{TITLE} === 'Press into the oiled tray'")
    tab.touch("[data-key=when]")  # by this clock it is not due for hours
    tab.until("document.querySelector('dialog h2')")
    choose(tab, "Just now")
    tab.until(f"{TITLE} === 'Light the oven'")
    offline(tab, False)
    tab.js("dispatchEvent(new Event('online'))")
    tab.until(f"{NOTES}?.includes('behind the server')")
    tab.until(f"({IN_DATABASE})('events').then((all) => all.every((one) => one.sent === 1))")
    tab.js("window.ahead = 0")
    assert "Pressed out" in tab.until(f"{NOTES}.includes('behind when that was said') && {NOTES}")


def test_steps_that_come_the_wrong_way_round_are_asked_about_and_said_anew(home: Home) -> None:
    plan = home.bake(at(17, 30), "mix")
    mixed = plan.steps[0].end
    row = {"event_id": "e" * 32, "bake_id": plan.bake_id, "at": mixed - 3600, "logged_at": mixed + 9 * 3600,
           "phone": "another", "kind": "done", "data": {"step_id": "press"}}  # fmt: skip
    home.server.store().add_events(home.kitchen_id, plan.bake_id, [row], mixed)
    tab = home.open(plan)
    said = tab.until(f"{NOTES}?.includes('is said for before') && {NOTES}")
    assert said.index("Pressed out") < said.index("Mixed")
    tab.touch("[data-key=turned-press]")
    tab.until("document.querySelector('dialog h2')?.innerText === 'Press into the oiled tray: done when?'")
    now = "Math.floor(Date.now() / 1000)"
    before = tab.js(now)
    choose(tab, "30 min ago")
    tab.until(f"!{NOTES}?.includes('is said for before')")
    undone = [one["data"]["event_id"] for one in journal(tab, plan, "undo")]
    assert undone == ["e" * 32]
    assert before <= journal(tab, plan)[-1]["at"] + 1800 <= tab.js(now)


def test_what_was_said_tells_what_it_has_moved(home: Home) -> None:
    plan = home.bake(at(14, 30), "mix")
    tab = home.open(plan)
    caption = "document.querySelector('.tide-figure figcaption')?.innerText"
    tab.until(f"{caption}?.startsWith('Ready to press out from about')")
    tab.touch("[data-key=done]")  # at 14:30 instead of from 16:45 on
    tab.until(f"{BAR}?.includes('Pressed out')")
    told = tab.js(BAR).replace("\xa0", " ")
    assert re.search(", 2 h 1[345] min early", told), told  # by then it is a little after half past
    tab.until(f"{caption}?.startsWith('Ready for the oven from about')")


def test_what_is_said_as_its_minutes_end_moves_nothing(home: Home) -> None:
    """Until it is said, a step at whose end the clock has come is taken to begin only now: no plan ever had that."""
    plan = sample_plan()
    ends = next(step.end for step in plan.steps if step.kind == "mix")
    tab = home.open(home.bake(ends + 60))
    tab.touch("[data-key=done]")
    tab.until(f"{BAR}?.includes('Mixed')")
    assert "(was" not in tab.js(BAR)


def test_a_reading_tells_when_the_dough_is_best_now_and_when_it_was_to_be(home: Home) -> None:
    tab = home.open(home.bake(at(12), "mix"))
    caption = "document.querySelector('.tide-figure figcaption')?.innerText"
    was = tab.until(f"{caption}?.match(/best (.*?)(,| [(])/)?.[1]")
    tab.touch("[data-key=glass]")
    tab.until("document.querySelector('dialog h2')")
    choose(tab, "×2.5")
    both = f"[{BAR}, {caption}?.match(/best (.*?)(,| [(])/)?.[1]]"  # of one look
    bar, now = tab.until(f"{BAR}?.startsWith('Glass') && {BAR}.includes('(was ') && {both}")
    clock = "(.*?)(\\d\\d:\\d\\d)"
    assert was[-5:] != now[-5:]
    found = re.search(f"best to press out about {clock} [(]was {clock}[)](: too late for supper)?[.]", bar)
    assert found
    assert (found[2], found[4]) == (now[-5:], was[-5:])


WALL = """async (asked) => {
  const { formatFor } = await import("/static/js/lib/format.js");
  const { wallAt } = await import("/static/js/lib/sheet.js");
  const format = formatFor("Europe/Lisbon", {});
  return asked.map(([typed, now, way]) => {
    const at = wallAt(format, typed, Date.parse(now) / 1000, way);
    return Number.isNaN(at) ? null : new Date(at * 1000).toISOString().slice(0, 16);
  });
}"""


def test_a_time_typed_in_the_night_of_a_clock_change_is_the_nearest_one_that_was_or_will_be(home: Home) -> None:
    """Directive 2000/84/EC: the clocks change at 01:00 UTC of the last Sunday of March and October.

    In Lisbon 01:30 comes twice on 25 October 2026, at 00:30 and 01:30 UTC, and on 29 March 2026 not at all.
    """
    tab = home.tabs.open("/health")
    asked = {
        ("01:30", "2026-10-25T01:10Z", -1): "2026-10-25T00:30",
        ("01:30", "2026-10-25T01:10Z", 1): "2026-10-25T01:30",
        ("01:30", "2026-10-25T01:40Z", -1): "2026-10-25T01:30",
        ("00:50", "2026-10-25T01:40Z", -1): "2026-10-24T23:50",
        ("01:50", "2026-10-25T00:40Z", 1): "2026-10-25T00:50",
        ("01:30", "2026-03-29T09:00Z", -1): None,
        ("00:30", "2026-03-29T09:00Z", -1): "2026-03-29T00:30",
        ("23:59", "2026-07-01T23:30Z", -1): "2026-07-01T22:59",
    }
    tab.until("location.pathname === '/health' && document.readyState === 'complete'")
    assert tab.js(f"({WALL})({json.dumps(list(asked))})") == list(asked.values())


def tells_when_right(tab: Tab, plan: Plan, off_s: int, known_since: float = 0) -> None:
    """Pressed by a clock that is behind, which is put right then: when it was is asked about, with no server.

    `known_since`: when something of ours last told what the time was, which is all that this phone knows; 0: it heard.
    """
    since_s = time.time() - known_since if known_since else 0
    tab.touch("[data-key=done]")
    tab.until(f"{TITLE} === 'Light the oven'")
    said = journal(tab, plan)[-1]
    assert -5 <= off_s - said["data"]["clock_off_s"] <= 5 + since_s
    tab.js("window.ahead = 0")
    asked = tab.until(f"({NOTES} ?? '').includes('behind when that was said') && {NOTES}")
    assert "Pressed out" in asked
    tab.touch("[data-key=really]")
    tab.until(f"!({NOTES} ?? '').includes('behind when that was said')")
    again = journal(tab, plan)[-1]
    assert "clock_off_s" not in again["data"]
    assert again["at"] - said["at"] >= off_s - 60 - since_s


@pytest.mark.parametrize("back_s", [1500, 7200])
def test_a_clock_set_back_with_no_server_is_told_and_what_it_said_is_asked_about(home: Home, back_s: int) -> None:
    plan = home.bake(at(16, 46), "mix")
    tab = home.open(plan)
    tab.until("document.querySelector('#rings')")
    offline(tab, True)
    tab.js(f"window.ahead = -{back_s}")
    tab.until(f"({NOTES} ?? '').includes('behind the server’s')")
    tells_when_right(tab, plan, back_s)


@pytest.mark.parametrize("hours", [1, 3])
def test_a_clock_set_ahead_and_right_again_with_no_server_is_right(home: Home, hours: int) -> None:
    """What it said meanwhile is asked about; nothing is said of the clock any more, nor filed with what comes."""
    plan = home.bake(at(16, 46), "mix")
    tab = home.open(plan)
    tab.until("document.querySelector('#rings')")
    offline(tab, True)
    tab.js(f"window.ahead = {hours} * 3600")
    tab.js("new Promise((seen) => addEventListener('kitchen-tick', () => seen(1), { once: true }))")
    tab.touch("[data-key=done]")
    if hours > 1:  # by this clock it is hours late, and the oven due
        tab.until("document.querySelector('dialog h2')")
        choose(tab, "Just now")
    tab.until(f"{TITLE} === 'Light the oven'")
    tab.until(ARMED)
    tab.js("window.ahead = 0")
    asked = tab.until(f"({NOTES} ?? '').includes('That is still ahead') && {NOTES}")
    assert "Pressed out" in asked
    assert "behind" not in asked
    tab.touch("[data-key=really]")
    tab.until(f"!({NOTES} ?? '').includes('still ahead')")
    before, said = journal(tab, plan)[-2:]
    assert abs(before["at"] - said["at"] - hours * 3600) <= 3
    assert "clock_off_s" not in said["data"]


def with_no_server(home: Home, plan: Plan) -> Tab:
    """A phone that has heard one, and hears none any more."""
    tab = home.open(plan)
    tab.until("document.querySelector('#rings')")
    offline(tab, True)
    return tab


def moved(tab: Tab, hours: int) -> None:
    """Its clock, by hand, so many hours from the right time; the page sees it."""
    tab.js(f"window.ahead = {hours} * 3600")
    tab.js("new Promise((seen) => addEventListener('kitchen-tick', () => seen(1), { once: true }))")


def test_a_clock_moved_in_two_steps_and_right_again_with_no_server_is_right(home: Home) -> None:
    plan = home.bake(at(16, 46), "mix")
    tab = with_no_server(home, plan)
    for hours in (3, 4, 0):
        moved(tab, hours)
        told = f"may be {hours}\xa0h ahead of the server’s" if hours else ""
        tab.until(
            f"{json.dumps(told)} ? {NOTES}.includes({json.dumps(told)}) : !({NOTES} ?? '').includes('the server’s')"
        )
    tab.until(ARMED)
    tab.touch("[data-key=done]")
    tab.until(f"{TITLE} === 'Light the oven'")
    assert journal(tab, plan)[-1]["data"] == {"step_id": "press"}


def test_a_clock_of_which_nobody_knows_is_told_as_such_and_what_it_said_is_asked_about(home: Home) -> None:
    """Set back by three hours, then an hour too far ahead: by what it was wrong in between no server has told."""
    plan = home.bake(at(16, 46), "mix")
    tab = with_no_server(home, plan)
    moved(tab, -3)
    assert "Go by the server’s" not in tab.until(f"{NOTES}?.includes('may be 3\xa0h behind the server’s') && {NOTES}")
    tab.touch("[data-key=done]")
    tab.until(f"{TITLE} === 'Light the oven'")
    moved(tab, 1)
    tab.until(f"{NOTES}?.includes('may be 1\xa0h ahead of the server’s')")
    tab.until(ARMED)
    tab.touch("[data-key=right-clock]")  # another clock says so, it was this one's zone
    asked = tab.until(f"{NOTES}.includes('may have been') && {NOTES}")
    assert "3\xa0h behind when that was said" in asked
    tab.until("document.querySelector('[data-key=ahead-when]')")
    assert len(steps(tab, plan)) == 2  # unasked nothing was changed
    tab.touch("[data-key=really]")
    tab.until(f"!({NOTES} ?? '').includes('when that was said')")
    before, said = journal(tab, plan)[-2:]
    assert abs(said["at"] - before["at"] - 3 * 3600) <= 3
    assert said["data"] == {"step_id": "press"}


def test_a_clock_that_slept_is_asked_about_once_and_by_the_server_not_at_all(home: Home) -> None:
    plan = home.bake(at(12), "mix")
    tab = with_no_server(home, plan)
    moved(tab, 2)
    tab.until(f"{NOTES}?.includes('may be 2\xa0h ahead of the server’s')")
    tab.touch("[data-key=done]")
    tab.until(f"({IN_DATABASE})('events').then((all) => all.some((one) => one.data.clock_unsure))")
    tab.touch("[data-key=right-clock]")
    tab.until(f"!({NOTES} ?? '').includes('ahead')")


@pytest.mark.parametrize("rest_s", [-25, 30])
def test_a_clock_gone_by_the_servers_and_set_right_by_hand_with_no_server_is_right(home: Home, rest_s: int) -> None:
    """An hour behind, and set right to half a minute: what is said then is filed at its time."""
    plan = home.bake(at(16, 46), "mix")
    tab = home.open(plan, "window.ahead = -3600;")
    tab.until(f"{NOTES}?.includes('behind the server')")
    tab.js("[...document.querySelectorAll('#notes button')].find((one) => one.innerText.startsWith('Go by')).click()")
    tab.until(f"{NOTES}.includes('go by the server')")
    offline(tab, True)
    tab.js(f"window.ahead = {rest_s}")
    tab.until(f"!({NOTES} ?? '').includes('go by the server')")
    tab.until(ARMED)
    tab.touch("[data-key=done]")
    tab.until(f"{TITLE} === 'Light the oven'")
    said = journal(tab, plan)[-1]
    assert "clock_off_s" not in said["data"]
    assert abs(said["at"] - rest_s - time.time()) < 60


def test_a_clock_that_is_behind_the_packing_is_wrong_by_that_at_least(home: Home) -> None:
    """No server is heard after the page was opened anew; the bake was packed a moment ago, by its clock."""
    plan = home.bake(at(16, 46), "mix")
    packed_at = time.time()  # or a little later
    first = home.open(plan)
    first.until(f"({IN_DATABASE})('bundles').then((all) => all.length > 0)")
    tab = home.tabs.open("/health")
    tab.send("Network.enable")
    tab.send("Network.setBlockedURLs", urls=["*/api/*"])
    tab.send("Page.addScriptToEvaluateOnNewDocument", source=SHIFT + "window.ahead = -3000;")
    tab.send("Page.navigate", url=f"{home.server.url}/kitchen#{plan.bake_id}")
    tab.until(f"/(50|4[6-9]).min behind/.test({NOTES})")
    tells_when_right(tab, plan, 3000, packed_at)
