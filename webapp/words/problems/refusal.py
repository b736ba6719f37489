"""Nothing fits: why, in the person's words, and what would work; made from the planner's facts."""

from __future__ import annotations

from collections.abc import Sequence
from typing import assert_never

from webapp.core.errors import Problem
from webapp.core.kinds import BusyKind, StepKind
from webapp.core.kitchen import Kitchen
from webapp.core.planner.offer import Change, Hindrance, InTheWay
from webapp.core.safety.cautions import LongBench
from webapp.words.cautions import AUTHORITY, IN_THE_HEAT
from webapp.words.kinds.people import busy_word
from webapp.words.lists import joined
from webapp.words.plan.rise import keeps_words
from webapp.words.problems.told import told
from webapp.words.times import clock, clock_beside, duration_words, span_words

NOTHING_FITS = "Nothing fits this day as asked."
Needs = tuple[StepKind, int]  # a step, and when it would begin
# What must be done to it, for an hour at which nobody is there for that.
_MUST_BE: dict[str, str] = {
    "preferment": "the preferment must be mixed",
    "mix": "it must be mixed",
    "fold": "it must be folded",
    "press": "it must be pressed out",
    "preheat": "the oven must be lit",
    "load": "it must go into the oven",
}


def hindrance_words(why: Hindrance, kitchen: Kitchen) -> str:
    """One sentence: what keeps a method from fitting."""
    match why.kind:
        case "no-preferment":
            return "This formula has no preferment."
        case "perishable":
            return "This dough has milk, egg or cheese in it and must not stand out of the fridge for hours."
        case "no-warm-spot":
            return "This kitchen has no warm spot."
        case "oven-too-long":
            needs, left = span_words(why.needs_s), span_words(why.left_s)
            return f"Heating the oven and baking take {needs}; supper is in {left}."
        case "oven-alone":
            lit, out = (clock(at, kitchen.zone, kitchen.clock) for at in (why.start, why.end))
            hands = "somebody must be at home all that time, with their hands free to load and to lift."
            return f"The oven would be on from about {lit} to {out}: {hands}"
        case "oven-taken":
            lit, out = (clock(at, kitchen.zone, kitchen.clock) for at in (why.start, why.end))
            return f"The oven would be needed from about {lit} to {out}, and another bake of yours has it then."
        case "too-warm":
            return f"{keeps_words(why.temp_c, why.keeps_s, kitchen.heat_unit)}: the fridge holds it for longer."
        case "too-long":
            return f"It takes {span_words(why.needs_s)} at the very least; supper is in {span_words(why.left_s)}."
        case "hours":
            return "Your hours leave no room for it."
        case "busy-hours":
            return f"{occupied_words(why.busy)} when the dough needs you."
        case "yeast":
            least, most = why.least_percent, why.most_percent
            return (
                f"It would take less than {least:.2g} % or more than {most:.2g} % of yeast to be ready in your hours."
            )
        case "waits":
            return "Its waits do not fit between now and this supper."
        case _:
            assert_never(why.kind)


def occupied_words(kinds: Sequence[BusyKind]) -> str:
    """ "You are away or asleep": what keeps somebody from the dough, with no full stop."""
    return f"You are {joined([busy_word(kind) for kind in kinds], 'or')}"


def away_when(busy: Sequence[BusyKind], needs: Needs | None, kitchen: Kitchen) -> str:
    """The step that would have to be done while nobody is there, and when; where none is known, that nobody is."""
    alone = len(kitchen.people) == 1
    if needs is None or "away" not in busy:
        return f"{occupied_words(busy)}."
    kind, at = needs
    must = _MUST_BE.get(kind, "the dough needs you" if alone else "the dough needs somebody")
    when = clock(at, kitchen.zone, kitchen.clock)
    return f"{'You are away' if alone else 'Nobody is home'} at {when}, when {must}."


def reasons(hindered: Sequence[InTheWay], kitchen: Kitchen) -> tuple[str, ...]:
    """Why nothing fits, a sentence for each reason, with the methods it keeps out unless it is all of them."""
    methods: dict[str, list[str]] = {}
    for one in hindered:
        methods.setdefault(hindrance_words(one.why, kitchen), []).append(one.method_name)
    return tuple(text if len(methods) == 1 else f"{joined(names)}: {text}" for text, names in methods.items())


def by_method(hindered: Sequence[InTheWay], kitchen: Kitchen) -> tuple[str, ...]:
    """Each method with its reason, for an evening that is only looked at."""
    return tuple(dict.fromkeys(f"{one.method_name}: {hindrance_words(one.why, kitchen)}" for one in hindered))


def problems(hindered: Sequence[InTheWay], kitchen: Kitchen, more_ways: bool) -> tuple[Problem, ...]:
    """What the form shows beside "when"; `more_ways`: there are ways out on the same page."""
    way_out = "See what would work, or change an answer." if more_ways else "Change an answer, or try another day."
    first = told("when", NOTHING_FITS, way_out, "refused")
    return (first, *(told("when", text, "") for text in reasons(hindered, kitchen)))


def change_words(change: Change, kitchen: Kitchen) -> str:
    """The change as a sentence."""
    return f"{change_told(change, kitchen)}{begun_words(change, kitchen)}."


def begun_words(change: Change, kitchen: Kitchen) -> str:
    """When one has to begin then, behind what the change is: " (begins 17:10)"; "" where that is not known, or said."""
    if change.begins_at in (0, change.at):
        return ""
    return f" (begins {clock_beside(change.begins_at, kitchen.zone, kitchen.clock, change.at or change.supper)})"


def change_told(change: Change, kitchen: Kitchen) -> str:
    """The change as a button says it, with nothing after it."""
    match change.kind:
        case "eat-later":
            return f"Eat {span_words(change.at - change.supper)} later"
        case "another-day":
            said = clock_beside(change.at, kitchen.zone, kitchen.clock, change.supper)
            return f"Eat {'at' if said == clock(change.at, kitchen.zone, kitchen.clock) else 'on'} {said}"
        case "home-earlier":
            who = f"{change.name} comes home" if change.name else "Come home"
            return f"{who} by {clock_beside(change.at, kitchen.zone, kitchen.clock, change.supper)}"
        case "use-fridge":
            return f"Use the fridge: {change.name}"
        case "other-method":
            return f"Another method: {change.name}"
        case "other-dough":
            return f"Take {change.name} instead: nothing in it needs the fridge"
        case "as-they-come":
            return f"Serve the trays as they come, the first at {clock(change.supper, kitchen.zone, kitchen.clock)}"
        case "fewer-together":
            return "Bake the trays one after the other" if change.name == "1" else f"Bake {change.name} trays at a time"
        case _:
            assert_never(change.kind)


def long_bench(found: LongBench) -> Problem:
    """A dough with milk, egg, cheese or garlic in oil that would stand out of the fridge too long."""
    hot = f" in a kitchen {IN_THE_HEAT}" if found.hot else ""
    message = (
        "A dough with milk, egg, cheese or garlic in oil may not stand "
        f"{duration_words(found.bench_s)} at room temperature; the limit is {duration_words(found.limit_s)}{hot}."
    )
    if not found.cold:
        return told("method", message, f"Ferment it the cold way, in the fridge. {AUTHORITY}", "refused")
    return told(
        "method",
        f"{message} So much goes by even the cold way, with mixing, pressing out and the proof.",
        f"Wait for a cooler kitchen, or take a dough without them: it may stand as long as you like. {AUTHORITY}",
        "refused",
    )
