"""What is known of the phone's clock, and what only suspected: the rule by itself, with clocks known to the test."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from playwright.sync_api import Page

# Each of `what`: the phone slept, its clock was set by so much, or a server was heard. What the clock that runs on and
# the phone's own show is worked out here from what happened, and nothing else is told to the rule.
PLAY = """async (what) => {
  const { answered, begun, holds, likely, seen, wrong } = await import("/static/js/lib/drift.js");
  let [slept, set, clock, out] = [0, 0, begun(0), []];
  for (const [kind, by] of what) {
    slept += kind === "sleeps" ? by : 0;
    set += kind === "set" ? by : 0;
    const run = slept + set;
    clock = kind === "heard" ? answered(clock, run, -set) : seen(clock, run);
    const [off, sure] = wrong(clock, run);
    out.push({ run, n: clock.n, truth: -set, off, sure, likely: likely(clock, run) });
  }
  return { out, told: out.map(({ run, n }) => holds(clock, run, n)), apart: clock.apart };
}"""
H = 3600
HEARD = ("heard", 0)


def played(page: Page, *what: tuple[str, int]) -> dict[str, Any]:
    found: dict[str, Any] = page.evaluate(PLAY, list(what))
    return found


TABLE = [
    # what happened since a server was heard                    suspected or known, in hours   known
    ([], 0, True),
    ([("sleeps", 8 * H)], -8, False),
    ([("set", 3 * H)], -3, False),
    ([("set", 3 * H), ("set", 1 * H)], -4, False),
    ([("set", 3 * H), ("set", 1 * H), ("set", -4 * H)], 0, True),
    ([("set", 3 * H), ("set", -4 * H)], 1, False),  # overshot
    ([("set", 3 * H), ("set", -4 * H), ("set", 1 * H)], 0, True),
    ([("sleeps", 2 * H), ("set", -3 * H)], 1, False),
    ([("set", -1 * H)], 1, False),
    ([("set", -1 * H), ("set", H + 40)], 0, True),  # by hand, to the minute
]


@pytest.mark.parametrize(("what", "hours", "known"), TABLE)
def test_a_clock_that_was_right_is_known_again_only_when_it_runs_as_it_did(
    page: Page, what: list[tuple[str, int]], hours: int, known: bool
) -> None:
    last = played(page, HEARD, *what)["out"][-1]
    assert abs(last["off"] - hours * H) <= 90
    assert last["sure"] is known


@pytest.mark.parametrize(
    ("what", "hours", "known"),
    [
        ([("set", H)], 0, True),  # by just what it was wrong
        ([("set", H - 45)], 0, True),
        ([("set", 2 * H)], -1, False),
        ([("set", 2 * H), ("set", -H)], 0, True),
        ([("sleeps", 2 * H), ("set", H)], -2, False),
    ],
)
def test_a_clock_an_hour_behind_is_right_when_it_has_gone_by_just_that(
    page: Page, what: list[tuple[str, int]], hours: int, known: bool
) -> None:
    last = played(page, ("set", -H), HEARD, *what)["out"][-1]
    assert abs(last["off"] - hours * H) <= 90
    assert last["sure"] is known


def test_once_a_server_is_heard_a_night_asleep_leaves_nothing_to_ask_and_a_hand_does(page: Page) -> None:
    night = [HEARD, ("sleeps", 8 * H), ("sleeps", H), HEARD]
    assert played(page, *night)["told"] == [True] * 4
    by_hand = [HEARD, ("set", 3 * H), ("set", -3 * H), HEARD]
    assert played(page, *by_hand)["told"] == [True, False, True, True]
    under = [HEARD, ("set", -3 * H), ("set", 3 * H), HEARD]
    assert played(page, *under)["told"] == [True, False, True, True]
    both = [HEARD, ("sleeps", H), ("set", -H), ("sleeps", H), HEARD]
    assert played(page, *both)["told"][1:3] != [True, True]


HAPPENED = st.lists(
    st.tuples(st.just("set"), st.integers(-5, 5).map(lambda n: n * H))
    | st.tuples(st.just("sleeps"), st.integers(1, 5).map(lambda n: n * H + 1200))
    | st.just(HEARD),
    max_size=8,
)


@given(HAPPENED)
@example([("set", -H), ("set", H), HEARD])
@example([("set", -3 * H), ("set", 4 * H), ("set", -H), ("sleeps", H), HEARD])
def test_what_is_told_as_known_after_any_hands_is_what_it_is_wrong_by(page: Page, what: list[tuple[str, int]]) -> None:
    """Sets are whole hours, sleeps hours and twenty minutes, two at most: no sum of these is like one of those."""
    what = [HEARD, *(one for i, one in enumerate(what) if one[0] != "sleeps" or i < 2)]
    found = played(page, *what)
    for one in found["out"]:
        assert not one["sure"] or abs(one["off"] - one["truth"]) <= 90
    last = max(i for i, one in enumerate(what) if one == HEARD)
    for i, one in enumerate(found["out"]):
        assert not found["told"][i] or abs(one["truth"] - found["apart"]) <= 90, i
        assert found["told"][i] or i != last
