"""Where folds go in a wait: the cheapest of every way there is, listed without any of the search's short cuts."""

from __future__ import annotations

from collections.abc import Iterator

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.bench.bench_propose import a_wish, with_steps
from webapp.core.planner.candidates import lay_out
from webapp.core.planner.cost import POINTS
from webapp.core.planner.slots import NEVER
from webapp.core.planner.stages import BEFORE_NEXT, IMPOSSIBLE, Chain

seeds = st.integers(0, 10_000)
Ways = Iterator[tuple[int, tuple[int | None, ...]]]


def _every(chain: Chain, number: int, at: int, until: int) -> Ways:
    """Points and starts of each way to do what passes from `number` on: left out first, then the soonest."""
    passing = chain.moves[chain.meet - 1].passing
    if number == len(passing):
        yield 0, ()
        return
    one = passing[number]
    for points, starts in _every(chain, number + 1, at, until) if one.step.optional else ():
        yield points + POINTS["left-out"], (None, *starts)
    hands = chain.slots.hands(one.slots * 5)
    for wait in range(one.wait.least, one.wait.most + 1):
        price = hands[at + wait - chain.slots.first] if at + wait + one.slots <= until else NEVER
        if price != NEVER:
            for points, starts in _every(chain, number + 1, at + wait + one.slots, until):
                yield points + price + one.wait.price(wait), (at + wait, *starts)


@settings(deadline=None, max_examples=20)
@given(seeds, st.integers(1, 3), st.lists(st.tuples(st.integers(0, 250), st.integers(0, 60)), min_size=1, max_size=12))
def test_folds_are_where_the_cheapest_of_all_ways_has_them(seed: int, folds: int, waits: list[tuple[int, int]]) -> None:
    """One chain is asked for many waits, as a search does: what it remembers of one must hold for the others."""
    wanted = a_wish(seed, 26, 25)
    chain = lay_out(wanted).search(with_steps(3 + folds)).chain
    for begin, long in waits:
        end = chain.slots.first + begin
        until = min(end + long, chain.slots.last)
        ways = list(_every(chain, 0, end, until - BEFORE_NEXT))
        least = min((points for points, _ in ways), default=IMPOSSIBLE)
        kept = chain.kept(chain.meet - 1, end, until)
        assert kept.points == least
        assert kept.starts == next((starts for points, starts in ways if points == least), ())
        assert chain.kept_points(chain.meet - 1, end, until) == least


def test_behind_the_last_of_the_hours_there_is_no_room_for_a_fold() -> None:
    """A wait that begins there may be listed for a supper that is put off; nobody's hours are known any further."""
    chain = lay_out(a_wish(1, 26, 25)).search(with_steps(6)).chain
    for end in range(chain.slots.last - 60, chain.slots.last + 1):
        left_out = 3 * POINTS["left-out"]
        assert 0 <= chain.kept_points(chain.meet - 1, end, chain.slots.last + 10_000) <= left_out
    assert chain.kept(chain.meet - 1, chain.slots.last, chain.slots.last + 10_000).starts == (None, None, None)
