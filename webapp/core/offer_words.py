"""The sentences of an offer: what a plan gives and what it costs, made from its numbers."""

from __future__ import annotations

from collections import Counter

from webapp.core.offer import Offer
from webapp.core.weights import WORDS


def span_words(seconds: int) -> str:
    """A length of time in words: "50 min", "3 h", "2 h 30 min"."""
    minutes = seconds // 60
    hours, rest = divmod(minutes, 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def sentence(offer: Offer) -> str:
    """One sentence of trade-off: the good, then the price."""
    return f"{_good(offer)}; {_price(offer)}."


def _good(offer: Offer) -> str:
    """What this way is good for."""
    mix = next(s for s in offer.steps if s.kind == "mix")
    press = next(s for s in offer.steps if s.kind == "press")
    hours = (press.start - mix.end) // 3600
    places = {s.place for s in offer.steps if s.chain}
    if "fridge" in places:
        return f"The fridge holds the dough {_long(offer, 'chill', 'temper')}, and it gains flavour all the while"
    if any(s.kind == "preferment" for s in offer.steps):
        return "Mixed in two stages for more flavour and a softer crumb"
    if "warm" in places:
        return f"From bowl to table in {span_words(offer.ready_at - mix.start)}, with more yeast and a warm spot"
    return f"{hours} h on the bench without a hand on it"


def _long(offer: Offer, kind: str, until: str) -> str:
    begin = next(s.end for s in offer.steps if s.kind == kind)
    ends = [s.start for s in offer.steps if s.kind == until] or [s.start for s in offer.steps if s.kind == "press"]
    return span_words((ends[0] - begin) // 3600 * 3600)


def _price(offer: Offer) -> str:
    """What it asks for in return."""
    visits = f"{offer.visits} visit{'' if offer.visits == 1 else 's'}"
    work = f"{visits} and {span_words(offer.hands_on_s)} of work"
    if offer.slack_s >= 86400:
        return f"it asks for {work}, and being hours late does no harm"
    if offer.slack_s < 1800:
        return f"it asks for {work}, and for you to be there on time"
    return f"it asks for {work}, and forgives being {span_words(offer.slack_s // 900 * 900)} late"


def why_not(offer: Offer, first: Offer) -> tuple[str, ...]:
    """Why `offer` lost against `first`: the rows of the table of weights in which it is worse, the worst first."""
    more = _by_key(offer)
    more.subtract(_by_key(first))
    worse = sorted(((points, key) for key, points in more.items() if points > 0), reverse=True)
    return tuple(f"{WORDS[key][0].upper()}{WORDS[key][1:]} (+{points})." for points, key in worse[:3])


def _by_key(offer: Offer) -> Counter[str]:
    points: Counter[str] = Counter()
    for cost in offer.costs:
        points[cost.key] += cost.points
    return points
