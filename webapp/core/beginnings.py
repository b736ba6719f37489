"""Every way to come to the long wait of a method, with what it costs."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from webapp.core.slots import NEVER
from webapp.core.stages import IMPOSSIBLE, Chain


class Beginning(NamedTuple):
    """The moves before the long wait."""

    points: int
    end: int  # slot at which the last of them is done
    starts: tuple[int, ...]


def beginnings(chain: Chain, first: int, last: int, may_begin: Callable[[int], bool] | None) -> list[Beginning]:
    """Those after which the long wait can end between the slots `first` and `last`, cheapest first."""
    slots, moves = chain.slots, chain.moves[: chain.meet]
    waits = [move.wait for move in chain.moves[1 : chain.meet + 1]]
    hands_on = sum(move.slots for move in moves)
    earliest = max(slots.first, first - hands_on - sum(wait.most for wait in waits))
    latest = last - hands_on - sum(wait.least for wait in waits)
    hands = slots.hands(moves[0].step.hands)
    rows = [
        Beginning(hands[s - slots.first], s + moves[0].slots, (s,))
        for s in range(earliest, latest + 1)
        if hands[s - slots.first] != NEVER and (may_begin is None or may_begin(s))
    ]
    for number in range(1, chain.meet):
        rows = [row for one in rows for row in _with(chain, one, number)]
    return sorted(rows)


def _with(chain: Chain, one: Beginning, number: int) -> list[Beginning]:
    """The beginning with one more move."""
    slots, move = chain.slots, chain.moves[number]
    hands, first = slots.hands(move.step.hands), slots.first
    out = []
    for wait in range(move.wait.least, move.wait.most + 1):
        start = one.end + wait
        if start > slots.last or hands[start - first] == NEVER:
            continue
        kept = chain.kept(number - 1, one.end, start).points
        if kept < IMPOSSIBLE:
            points = one.points + hands[start - first] + move.wait.price(wait) + kept
            out.append(Beginning(points, start + move.slots, (*one.starts, start)))
    return out
