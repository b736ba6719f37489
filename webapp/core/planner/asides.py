"""What an offer has to say of itself, where the day left no better way: facts, said in words/offers.py."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from webapp.core.plan import Aside
from webapp.core.planner.offer import InTheWay, Offer

NEAR_BEST = 0.05  # loaded within a twentieth of its best needs no word


def asides_of(offer: Offer, hindered: Iterable[InTheWay], cut: bool) -> tuple[Aside, ...]:
    """All of them; `hindered` are the methods that did not fit, `cut`: the search was cut short."""
    return (*_warmth(hindered), *_loading(offer), *_arrival(offer), *((Aside("best-so-far"),) if cut else ()))


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
