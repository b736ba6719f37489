"""What an offer gives and what it asks for, and why it is not the first: sentences made from its numbers."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Protocol, assert_never

from webapp.core.kinds import ClockStyle, CostKey, HeatUnit, Place, StepKind
from webapp.core.plan.plan import Plan
from webapp.core.plan.trade import Aside, Trade, Worse
from webapp.words.kinds.flags import PAST_BEST
from webapp.words.kinds.ways import result_word
from webapp.words.plan.rise import keeps_words
from webapp.words.plan.steps import plain_title
from webapp.words.times import clock, span_words

WHY: dict[CostKey, str] = {
    "wait": "Its waits are longer or shorter than suits the dough best.",
    "proof": "Its rise in the tray is cut short or drawn out.",
    "slack": "There is less room to be late.",
    "early": "Should you be home sooner, it would not be ready for you.",
    "unseen": "It rises for hours where nobody sees it, in a kitchen we do not know yet.",
    "leaving": "There is work in the last half hour before you leave.",
    "coming": "There is work as soon as you come in.",
    "visit": "It calls you to the kitchen more often.",
    "left-out": "The dough is folded less, so the crumb is less even.",
    "side-task": "Sauce or cheese cannot be seen to at their best time.",
    "supper": "It is ready some time before supper.",
    "ferment": "It ferments for less long, which costs flavour.",
}


class OfferStep(Protocol):
    """A step of a plan or of an offer."""

    @property
    def kind(self) -> StepKind: ...
    @property
    def place(self) -> Place: ...
    @property
    def chain(self) -> bool: ...
    @property
    def start(self) -> int: ...
    @property
    def end(self) -> int: ...


def sentence(steps: Sequence[OfferStep], ready_at: int, trade: Trade, unit: HeatUnit = "C", warm_spot: str = "") -> str:
    """One sentence of trade-off, the good and then the price; and one for each thing the day left no better way for.
    `warm_spot`: what serves as one."""
    return " ".join(
        (f"{_good(steps, ready_at, warm_spot)}; {_price(trade)}.", *(aside(one, unit) for one in trade.asides))
    )


def aside(one: Aside, unit: HeatUnit) -> str:
    """What the offer has to say of itself, in a sentence; temperatures in this unit."""
    match one.kind:
        case "warm-kitchen":
            return f"{keeps_words(one.temp_c, one.keeps_s, unit)}, so longer ways are left out."
        case "loaded-early":
            young = result_word("bit-young")
            return f"{_which(one.load)} goes into the oven {young}, at {round(one.share * 100)} % of its best."
        case "loaded-late":
            return f"{_which(one.load)} goes into the oven a bit {PAST_BEST}, at {round(one.share * 100)} % of it."
        case "just-in":
            return "There is work within ten minutes of coming home: the hours leave no other way."
        case "unknown-kitchen":
            return "In a kitchen we do not know yet, the fridge forgives most."
        case "best-so-far":
            return "There may be a better day yet: looking at them all would have taken too long."
        case _:
            assert_never(one.kind)


def _which(load: int) -> str:
    return f"Load {load}" if load else "The dough"


def _good(steps: Sequence[OfferStep], ready_at: int, warm_spot: str) -> str:
    """What this way is good for."""
    mix = next((s for s in steps if s.kind == "mix"), steps[0])
    places = {s.place for s in steps if s.chain}
    if "fridge" in places:
        return f"The fridge holds the dough {_long(steps)}, and it gains flavour all the while"
    if any(s.kind == "preferment" for s in steps):
        return "Mixed in two stages for more flavour and a softer crumb"
    if "warm" in places:
        where = f" ({warm_spot})" if warm_spot else ""
        return f"From bowl to table in {span_words(ready_at - mix.start)}, with more yeast and a warm spot{where}"
    return f"{_long(steps)} on the bench without a hand on it"


def _long(steps: Sequence[OfferStep]) -> str:
    """The longest time that the dough is left to itself, in whole hours."""
    chain = [s for s in steps if s.chain]
    return span_words(max(after.start - before.end for before, after in pairwise(chain)) // 3600 * 3600)


def _price(trade: Trade) -> str:
    """What it asks for in return; by when to be home is a clock time, and said beside it."""
    visits = f"{trade.visits} visit{'' if trade.visits == 1 else 's'}"
    return f"{visits} to the kitchen, {span_words(trade.hands_on_s)} of work"


def why_not(worse: Sequence[Worse]) -> tuple[str, ...]:
    """Why it is not the first, a sentence each."""
    return tuple(_why(one) for one in worse)


def _why(one: Worse) -> str:
    """What one row of the table of weights means to the person."""
    if one.key == "slack" and one.this < one.first:
        return f"It waits for you {span_words(one.this)} at most, not {span_words(one.first)}."
    if one.key == "visit" and one.this > one.first:
        return f"{one.this} visits to the kitchen, not {one.first}."
    return WHY[one.key]


def errands_words(plan: Plan, met: StepKind, style: ClockStyle) -> tuple[str, ...]:
    """All that is to be done from the step that one comes home to until the first loading, the small things too: "6
    things to do from 18:25 to 20:05", then "18:25 press out into the pan", ...; none where that is one thing."""
    begins = next(step.start for step in plan.steps if step.kind == met)
    ends = next(step.start for step in plan.steps if step.kind == "load")
    all_of_them = [step for step in plan.steps if step.presence != "none" and begins <= step.start <= ends]
    told = [step for step in sorted(all_of_them, key=lambda step: step.start) if step.load < 2]
    if len(told) < 2:
        return ()
    first, last = (clock(at, plan.zone, style) for at in (begins, ends))
    each = (f"{clock(step.start, plan.zone, style)} {_lowered(plain_title(step))}" for step in told)
    return (f"{len(told)} things to do from {first} to {last}", *each)


def _lowered(title: str) -> str:
    return title[:1].lower() + title[1:]
