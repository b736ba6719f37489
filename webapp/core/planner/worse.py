"""In what an offer lost against the first, and what it has to say of itself: facts, said in words/plan/offers.py."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from webapp.core.kinds import CostKey
from webapp.core.plan.trade import Aside, Worse
from webapp.core.planner.offer import InTheWay, Offer

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


NEAR_BEST = 0.05  # loaded within a twentieth of its best needs no word


def asides_of(offer: Offer, hindered: Iterable[InTheWay], cut: bool) -> tuple[Aside, ...]:
    """All of them; `hindered` are the methods that did not fit, `cut`: the search was cut short."""
    return (*_warmth(hindered), *_loading(offer), *_arrival(offer), *((Aside("best-so-far"),) if cut else ()))


def forgives_most(offers: Sequence[Offer]) -> bool:
    """Does the first of them come first only because the kitchen is not known, and stands in the fridge?"""
    first, *others = offers
    rows = [(_by_key(one)["unseen"], one.score) for one in others]
    chilled = any(step.place == "fridge" for step in first.steps)
    return chilled and any(score - unseen < first.score - _by_key(first)["unseen"] for unseen, score in rows)


def _warmth(hindered: Iterable[InTheWay]) -> Iterator[Aside]:
    warm = [one.why for one in hindered if one.why.kind == "too-warm"]
    yield from (Aside("warm-kitchen", temp_c=why.temp_c, keeps_s=why.keeps_s) for why in warm[:1])


def _loading(offer: Offer) -> Iterator[Aside]:
    off, load = max((abs(math.log(share)), number) for number, share in enumerate(offer.loaded, 1))
    if off > NEAR_BEST:
        share = offer.loaded[load - 1]
        told = load if len(offer.loaded) > 1 else 0
        yield Aside("loaded-early" if share < 1.0 else "loaded-late", share=share, load=told)


def _arrival(offer: Offer) -> Iterator[Aside]:
    if any(cost.key == "coming" for cost in offer.costs):
        yield Aside("just-in")
