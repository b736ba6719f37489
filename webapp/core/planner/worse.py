"""In what an offer lost against the first: the rows of the table of weights, told as facts."""

from __future__ import annotations

from collections import Counter

from webapp.core.kinds import CostKey
from webapp.core.plan import Worse
from webapp.core.planner.offer import Offer

MOST_TOLD = 3


def worse(offer: Offer, first: Offer) -> tuple[Worse, ...]:
    """Up to three things in which `offer` costs more than `first`, the weightiest first."""
    more = _by_key(offer)
    more.subtract(_by_key(first))
    rows = sorted(((points, key) for key, points in more.items() if points > 0), reverse=True)
    return tuple(_told(key, offer, first) for _, key in rows[:MOST_TOLD])


def _told(key: CostKey, offer: Offer, first: Offer) -> Worse:
    """The row with its numbers, where there is something to count and it is worse too."""
    if key == "slack" and offer.slack_s < first.slack_s:
        return Worse(key, offer.slack_s, first.slack_s)
    if key == "visit" and offer.visits > first.visits:
        return Worse(key, offer.visits, first.visits)
    return Worse(key)


def _by_key(offer: Offer) -> Counter[CostKey]:
    points: Counter[CostKey] = Counter()
    for cost in offer.costs:
        points[cost.key] += cost.points
    return points
