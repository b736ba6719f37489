"""What a tap is worth, by where and when it falls: the machine by itself, with hand-made taps.

The times are hand-worked from the rule: 600 ms alone and 48 px apart, which nobody has measured; chosen, and told here.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from playwright.sync_api import Page

# Each of `what`: a tap (its result is put down), or a change of the screen.
PLAY = """async (what) => {
  const { CALM, cameUp, changed, isNear, tapped } = await import("/static/js/touch/burst.js");
  let hand = CALM;
  const heard = [];
  for (const one of what) {
    if (one.change) {
      hand = changed(hand, one.now, one.change === "has", Boolean(one.leads));
    } else if (one.up) {
      hand = cameUp(hand, one.now);
    } else {
      const place = { x: NaN, y: NaN, ...one.place };
      const usual = { began: one.now - 40, says: true, come: false, meant: false };
      const [is, then] = tapped(hand, { ...usual, ...one, ...place });
      hand = then;
      heard.push(is);
    }
  }
  return { heard, near: isNear(hand, { left: 80, right: 120, top: 680, bottom: 720 }) };
}"""
FOOT = {"x": 100, "y": 700}
HIGH = {"x": 100, "y": 300}


def tap(now: int, on: str | None = "done", place: dict[str, int] | None = FOOT, **more: object) -> dict[str, Any]:
    return {"now": now, "on": on, "place": place or {}, **more}


def told(now: int) -> list[dict[str, Any]]:
    """What was tapped is said: the screen is about to change, and 50 ms later it has."""
    return [{"change": "will", "now": now}, {"change": "has", "now": now + 50}]


def heard(page: Page, *what: dict[str, Any]) -> list[bool]:
    found: list[bool] = page.evaluate(PLAY, list(what))["heard"]
    return found


@pytest.mark.parametrize("gap", [90, 250, 400, 500, 590])
def test_a_finger_that_hammers_one_place_says_one_thing_however_often_it_hits(page: Page, gap: int) -> None:
    hits = [tap(1000 + gap * n, come=True) for n in range(1, 8)]
    assert heard(page, tap(1000), *told(1000), *hits) == [True] + [False] * 7


def test_a_place_left_alone_for_the_rest_counts_again(page: Page) -> None:
    """Hit at 1000, 1500 and 2000: alone from then on, it counts from 2600 on and not before."""
    hammered = [tap(1000), *told(1000), tap(1500, come=True), tap(2000, come=True)]
    assert heard(page, *hammered, tap(2641, come=True))[-1]
    assert not heard(page, *hammered, tap(2639, come=True))[-1]


def test_a_tap_counts_from_when_the_finger_touched_not_from_when_the_page_heard_of_it(page: Page) -> None:
    late = tap(5000, come=True, began=1300)
    assert heard(page, tap(1000), *told(1000), late) == [True, False]


def test_another_place_counts_at_once_where_it_stood_before_and_not_where_it_came(page: Page) -> None:
    assert heard(page, tap(1000), *told(1000), tap(1200, "room", HIGH)) == [True, True]
    assert heard(page, tap(1000), *told(1000), tap(1200, "when", HIGH, come=True)) == [True, False]


def test_two_lines_of_a_list_are_two_things_and_a_trembling_finger_is_one(page: Page) -> None:
    """Ten pixels from where it fell it is the same finger, twenty from there it went on; 48 where the screen led."""
    low, on = {"x": 100, "y": 710}, {"x": 100, "y": 720}
    assert heard(page, tap(1000, "flour"), *told(1000), tap(1150, "water", low)) == [True, False]
    assert heard(page, tap(1000, "flour"), *told(1000), tap(1150, "water", on)) == [True, True]
    assert heard(page, tap(1000, "flour"), *told(1000), tap(1150, "flour", on)) == [True, False]
    assert heard(page, tap(1000, "flour"), *told(1000), tap(1150, "water", on, come=True)) == [True, False]
    leads = {"change": "will", "now": 1040, "leads": True}
    assert heard(page, tap(1000, "done"), *told(1000), leads, tap(1150, "water", on)) == [True, False]


def test_a_tap_refused_in_another_place_makes_nobody_wait_longer(page: Page) -> None:
    """The screen rests from 1050 to 1650: tapped at 1200 and 1500 in vain, at 1700 it counts."""
    other = [tap(now, "when", HIGH, come=True) for now in (1200, 1500, 1700)]
    assert heard(page, tap(1000), *told(1000), *other) == [True, False, False, True]


def test_what_comes_under_the_finger_is_not_tapped_by_it_be_it_a_button_that_says_something_or_a_way_out(
    page: Page,
) -> None:
    opens = [tap(1000, "when", says=False), {"up": True, "now": 1100}]
    assert heard(page, *opens, tap(1690, "close", says=False), tap(2200, "ten minutes ago")) == [True, False, False]
    assert heard(page, *opens, tap(1741, "close", says=False)) == [True, True]


def test_what_says_nothing_may_be_tapped_twice_and_leads_to_nothing(page: Page) -> None:
    assert heard(page, tap(1000, "fold", says=False), tap(1200, "fold", says=False)) == [True, True]
    assert heard(page, tap(1000, "fold", says=False), tap(1200, "late", says=False)) == [True, True]


def test_a_hit_beside_all_buttons_is_one_more_of_the_same_finger(page: Page) -> None:
    """What opened has words where the finger hits: heard by nobody, they keep it from counting as alone."""
    hits = [tap(1500, None), tap(2000, None)]
    assert heard(page, tap(1000), *told(1000), *hits, tap(2500, "yes"))[-1] is False
    assert heard(page, tap(1500, None), tap(1600, "yes"))[-1] is True


def test_where_the_screen_becomes_another_one_nothing_else_is_tapped_in_that_place(page: Page) -> None:
    """A line ticked, and what says nothing beside it: heard. A step said, and what lies there then: not."""
    beside = tap(1300, "late", says=False)
    assert heard(page, tap(1000), *told(1000), beside) == [True, True]
    assert heard(page, tap(1000), *told(1000), {"change": "will", "now": 1040, "leads": True}, beside) == [True, False]


def test_what_the_finger_was_put_on_before_the_screen_changed_is_meant(page: Page) -> None:
    assert heard(page, *told(1000), tap(1100, come=True, meant=True)) == [True]


def test_a_key_is_held_to_the_same_and_has_no_place(page: Page) -> None:
    keys = [tap(1000 + 400 * n, place=None) for n in range(4)]
    assert heard(page, keys[0], *told(1000), *keys[1:]) == [True, False, False, False]
    assert heard(page, keys[0], *told(1000), tap(1200, "room", None)) == [True, True]


def test_a_button_near_the_finger_shows_that_it_rests(page: Page) -> None:
    assert page.evaluate(PLAY, [tap(1000, place={"x": 60, "y": 740})])["near"]
    assert not page.evaluate(PLAY, [tap(1000, place={"x": 60, "y": 780})])["near"]
    assert not page.evaluate(PLAY, [tap(1000, place=None)])["near"]


# A button that says something else since the rest began, looked at 50 ms before that is over; to tell where it lies
# takes 100 ms. Time goes by these and by the timers alone.
SLOW_PLACES = """async () => {
  const { markAgain, rest } = await import("/static/js/touch/rest.js");
  const real = [performance.now, setTimeout, clearTimeout];
  let [now, timers] = [performance.now() + 100000, []];
  performance.now = () => now;
  window.setTimeout = (call, ms) => timers.push([call, ms]);
  window.clearTimeout = () => { timers = []; };
  document.body.innerHTML = "<button data-says>Done</button>";
  const button = document.querySelector("button");
  button.getBoundingClientRect = () => { now += 100; return new DOMRect(10, 10, 90, 50); };
  const until = now + 600;
  rest();
  button.textContent = "The next one";
  now = until - 50;
  markAgain();
  const rested = button.hasAttribute("aria-disabled");
  for (let n = 0; timers.length > 0 && n < 9; n += 1) {
    const [[call, ms]] = timers.splice(0);
    now += ms;
    call();
  }
  [performance.now, window.setTimeout, window.clearTimeout] = real;
  return [rested, button.hasAttribute("aria-disabled")];
}"""


def test_however_slow_the_phone_no_button_shows_for_good_that_it_rests(page: Page) -> None:
    assert page.evaluate(SLOW_PLACES) == [True, False]


HIT = st.tuples(st.integers(1, 1200), st.integers(-10, 10), st.booleans())


@given(hits=st.lists(HIT, min_size=1, max_size=12))
def test_in_one_place_a_thing_is_said_exactly_when_it_was_left_alone_before(
    page: Page, hits: list[tuple[int, int, bool]]
) -> None:
    """A finger that trembles, and now and then hits beside the button: what came is said after 600 ms of quiet."""
    now, x, quiet, what, alone = 1050, 100, 1650, [tap(1000), *told(1000)], [True]
    for gap, drift, beside in hits:
        now, x = now + gap, x + drift
        what.append(tap(now, None if beside else f"step at {now}", {"x": x, "y": 700}, come=True, began=now))
        alone.append(beside or now >= quiet)
        if not beside or now < quiet:  # who missed the button by a little may hit it at once
            quiet = now + 600
    assert heard(page, *what) == alone
