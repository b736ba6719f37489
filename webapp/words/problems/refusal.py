"""Nothing fits: why, in the person's words, and what would work; made from the planner's facts. On the home page in
one sentence."""

from __future__ import annotations

from collections.abc import Sequence
from typing import assert_never

from webapp.core.errors import Problem
from webapp.core.kinds import BusyKind, HindranceKind, StepKind
from webapp.core.kitchen import Kitchen
from webapp.core.planner.offer import Change, Hindrance, InTheWay
from webapp.core.safety.cautions import LongBench
from webapp.words.cautions import AUTHORITY, IN_THE_HEAT
from webapp.words.kinds.people import busy_word
from webapp.words.lists import joined
from webapp.words.plan.rise import keeps_words
from webapp.words.problems.told import told
from webapp.words.times import clock, clock_beside, duration_words, five, span_words, weekday

NOTHING_FITS = "Nothing fits this day as asked."
Needs = tuple[StepKind, int]  # a step, and when it would begin
# What must be done to it, for an hour at which nobody is there for that.
_MUST: dict[str, str] = {
    "preferment": "mix the preferment",
    "mix": "mix",
    "fold": "fold the dough",
    "press": "press out",
    "preheat": "turn the oven on",
    "load": "put it into the oven",
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
    """What somebody must do for it while they are away, and when: "you must mix at 16:35"; "" where that is not known,
    or it is not that they are away."""
    if needs is None or "away" not in busy:
        return ""
    kind, at = needs
    who = "you" if len(kitchen.people) == 1 else "somebody"
    must = f"{who} must {_MUST[kind]}" if kind in _MUST else f"the dough needs {who}"
    return f"{must} at {clock(at, kitchen.zone, kitchen.clock)}"


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
        case "half-then":
            return f"The other half on {weekday(change.at, kitchen.zone)}"
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


# -- on the home page, in one sentence

_TELLING: tuple[HindranceKind, ...] = (
    "perishable",
    "oven-too-long",
    "oven-alone",
    "oven-taken",
    "too-warm",
    "busy-hours",
    "hours",
)


def one_reason(hindered: Sequence[InTheWay], kitchen: Kitchen) -> str:
    """Why nothing fits, in one sentence: what keeps a quick way out, else how long the quickest takes."""
    telling = [one for one in hindered if one.why.kind in _TELLING]
    long = [one for one in hindered if one.why.kind == "too-long"]
    if telling:
        return hindrance_words(telling[0].why, kitchen)
    if long:
        supper = f"supper is in {span_words(long[0].why.left_s)}"
        takes = _quickest(hindered)
        return f"{takes}; {supper}." if takes else f"That is too soon for a dough to rise: {supper}."
    return hindrance_words(hindered[0].why, kitchen) if hindered else ""


def _quickest(hindered: Sequence[InTheWay]) -> str:
    """How long the quickest of the ways that are too long takes; "" where there are none, or a way is quick enough, and
    no dough is."""
    long = [one.why.needs_s for one in hindered if one.why.kind == "too-long"]
    is_dough = any(one.why.kind in ("yeast", "waits") for one in hindered)
    return f"The quickest way takes {span_words(min(long))}" if long and not is_dough else ""


def not_at_words(asked: str, hindered: Sequence[InTheWay], why: str, needs: Needs | None, kitchen: Kitchen) -> str:
    """Beside a day that is shown for a little later than it was asked for: "For 19:30 you must mix at 16:35."; `why` is
    the reason in a sentence, for those that are not said any shorter. `needs`: the step that would come first of those
    for which somebody must be home, where coming home sooner is all it takes."""
    telling = next((one.why for one in hindered if one.why.kind in _TELLING), None)
    if telling is not None and telling.kind == "oven-alone":
        lit = clock(five(telling.start), kitchen.zone, kitchen.clock)
        why = f"Nobody is free for the oven from about {lit}."
    elif telling is not None and telling.kind == "busy-hours":
        if must := away_when(telling.busy, needs, kitchen):
            return f"For {asked} {must}."
        why = f"{occupied_words(telling.busy)}."
    elif telling is None and (takes := _quickest(hindered)):
        why = f"{takes}."
    return f"Not at {asked}: {why[:1].lower()}{why[1:]}"


def near_words(change: Change, kitchen: Kitchen) -> str:
    """What would work, on a button: a later supper by the clock."""
    if change.kind == "eat-later":
        at = clock_beside(change.at, kitchen.zone, kitchen.clock, change.supper)
        return f"Eat at {at}{begun_words(change, kitchen)}"
    return f"{change_told(change, kitchen)}{begun_words(change, kitchen)}"
