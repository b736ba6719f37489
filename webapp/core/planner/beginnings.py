"""Every way to come to the long wait of a method, with what it costs."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from webapp.core.planner.effort import BEGINNING, Effort
from webapp.core.planner.rising import Rising
from webapp.core.planner.slots import NEVER
from webapp.core.planner.stages import IMPOSSIBLE, Chain
from webapp.core.planner.warmth import WHOLE_LIFE

# Ways to begin that are listed at most; beyond it only every second, third, ... is carried on. No shipped method comes
# near it, not even with somebody at home for a fortnight; one's own with several wide waits may.
MOST_BEGINNINGS = 40_000


class Ending(NamedTuple):
    """From the end of the long wait on, for a dough that comes there at one temperature."""

    points: int
    bulk: int  # warm seconds taken up from there until pressing
    proof: int  # and from pressing until loading
    starts: tuple[int, ...]
    age: int = 0  # how much older it gets from there until loading


class Beginning(NamedTuple):
    """The moves before the long wait."""

    points: int
    end: int  # slot at which the last of them is done
    starts: tuple[int, ...]


def beginnings(
    rising: Rising, first: int, last: int, supper: int, may_begin: Callable[[int], bool] | None, effort: Effort
) -> list[Beginning]:
    """Those after which the long wait can end between the slots `first` and `last`, cheapest first; supper is at the
    instant `supper`."""
    chain = rising.chain
    slots, moves = chain.slots, chain.moves[: chain.meet]
    waits = [move.wait for move in chain.moves[1 : chain.meet + 1]]
    hands_on = sum(move.slots for move in moves)
    earliest = max(slots.first, first - hands_on - sum(wait.most for wait in waits))
    latest = last - hands_on - sum(wait.least for wait in waits)
    hands = slots.hands(moves[0].step.hands)
    rows = [
        Beginning(hands[s - slots.first] + chain.begun(s, supper), s + moves[0].slots, (s,))
        for s in range(earliest, latest + 1)
        if hands[s - slots.first] != NEVER and (may_begin is None or may_begin(s))
    ]
    for number in range(1, chain.meet):
        width = chain.moves[number].wait.most - chain.moves[number].wait.least + 1
        most = max(1, int(min(MOST_BEGINNINGS, effort.at_hand / 8)))
        every = -(-len(rows) * width // most) or 1
        effort.cut = effort.cut or every > 1
        rows = [row for one in rows[::every] for row in _with(chain, one, number)]
        effort.spend(BEGINNING * len(rows))
        if number == chain.mix:
            rows = _worth_keeping(rising, rows)
    return sorted(rows)


def _with(chain: Chain, one: Beginning, number: int) -> list[Beginning]:
    """The beginning with one more move."""
    slots = chain.moves[number].slots
    return [
        Beginning(one.points + points, start + slots, (*one.starts, start))
        for start, points in chain.onward(number, one.end)
    ]


def _worth_keeping(rising: Rising, rows: list[Beginning]) -> list[Beginning]:
    """For each time of mixing the preferments that can win.

    What follows does not depend on how the preferment went, except that an earlier one makes the ferment longer,
    needs less yeast, and is older. So one that is earlier and cheaper, and no older, beats every other with the same
    time of mixing.
    """
    out: list[Beginning] = []
    best: dict[int, tuple[int, int]] = {}
    for one in sorted(rows, key=lambda row: row.starts[0]):
        sponge = rising.begin(one.starts[0])
        age = rising.age_at(sponge, one.starts[1])
        if not rising.sponge_fits(rising.warm_at(sponge, one.starts[1])) or age > WHOLE_LIFE:
            continue
        cheapest, youngest = best.get(one.end, (IMPOSSIBLE, WHOLE_LIFE + 1))
        if one.points < cheapest or age < youngest:
            best[one.end] = min(one.points, cheapest), min(age, youngest)
            out.append(one)
    return out
