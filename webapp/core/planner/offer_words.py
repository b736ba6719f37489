"""The sentences of an offer: what a plan gives and what it costs, made from its numbers."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

from webapp.core.planner.offer import Offer

WHY = {
    "wait": "The dough waits longer, or less long, than suits it best.",
    "proof": "Its rise in the tray is cut short or drawn out.",
    "slack": "There is less room to be late.",
    "early": "Should you be home sooner, it would not be ready for you.",
    "leaving": "There is work in the last half hour before you leave.",
    "coming": "There is work as soon as you come in.",
    "visit": "It calls you to the kitchen more often.",
    "left-out": "The dough is folded less, so the crumb is less even.",
    "beside": "Sauce or cheese cannot be seen to at their best time.",
    "supper": "It is ready some time before supper.",
    "ferment": "It ferments for less long, which costs flavour.",
}

HARMLESS_S = 4 * 3600  # nobody is later than this without making another plan
ON_TIME_S = 1800


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
    places = {s.place for s in offer.steps if s.chain}
    if "fridge" in places:
        return f"The fridge holds the dough {_long(offer)}, and it gains flavour all the while"
    if any(s.kind == "preferment" for s in offer.steps):
        return "Mixed in two stages for more flavour and a softer crumb"
    if "warm" in places:
        return f"From bowl to table in {span_words(offer.ready_at - mix.start)}, with more yeast and a warm spot"
    return f"{_long(offer)} on the bench without a hand on it"


def _long(offer: Offer) -> str:
    """The longest time that the dough is left to itself, in whole hours."""
    chain = [s for s in offer.steps if s.chain]
    return span_words(max(after.start - before.end for before, after in pairwise(chain)) // 3600 * 3600)


def _price(offer: Offer) -> str:
    """What it asks for in return."""
    visits = f"{offer.visits} visit{'' if offer.visits == 1 else 's'}"
    work = f"{visits} to the kitchen, {span_words(offer.hands_on_s)} of work"
    if offer.slack_s >= HARMLESS_S:
        return f"{work}, and it likely forgives being hours late"
    if offer.slack_s < ON_TIME_S:
        return f"{work}, and you must be there on time"
    return f"{work}, and it waits if you are late"


def why_not(offer: Offer, first: Offer) -> tuple[str, ...]:
    """Why `offer` lost against `first`, in words: up to three things in which it is worse, the weightiest first."""
    more = _by_key(offer)
    more.subtract(_by_key(first))
    worse = sorted(((points, key) for key, points in more.items() if points > 0), reverse=True)
    return tuple(_why(key, offer, first) for _, key in worse[:3])


def _why(key: str, offer: Offer, first: Offer) -> str:
    """What one row of the table of weights means to the person."""
    if key == "slack" and offer.slack_s < first.slack_s:
        return f"It waits for you {span_words(offer.slack_s)} at most, not {span_words(first.slack_s)}."
    if key == "visit" and offer.visits > first.visits:
        return f"{offer.visits} visits to the kitchen, not {first.visits}."
    return WHY[key]


def _by_key(offer: Offer) -> Counter[str]:
    points: Counter[str] = Counter()
    for cost in offer.costs:
        points[cost.key] += cost.points
    return points
