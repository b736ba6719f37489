"""The words of the closed sets of core/kinds.py, each written once: pages, paper and the phone's bundle ask here.

Each function is total over its set, so that mypy names the one that a new kind still lacks. What a form calls the
kinds to choose from is in forms/choices.py; a sentence made for one kind (an offer, a caution) stands where it is said.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import assert_never

from webapp.core.kinds import (
    BAKE_KINDS,
    OUTCOME_PARTS,
    TIMINGS,
    VERDICTS,
    BusyKind,
    Flag,
    OutcomePart,
    OvenKind,
    Place,
    Presence,
    RestingPlace,
    StepKind,
    Timing,
    Verdict,
    WayKind,
    WayResult,
)
from webapp.words.lists import sentence

PAST_BEST = "past its best"

# -- where the dough is


def place_word(place: Place) -> str:
    """Where it stands: "on the bench"; "" when it is nowhere in particular."""
    match place:
        case "bench":
            return "on the bench"
        case "fridge":
            return "in the fridge"
        case "warm":
            return "in the warm spot"
        case "oven":
            return "in the oven"
        case "none":
            return ""
        case _:
            assert_never(place)


def carry_word(place: RestingPlace) -> str:
    """Where it is to be carried: "covered into the fridge"."""
    match place:
        case "bench":
            return "onto the bench"
        case "fridge":
            return "covered into the fridge"
        case "warm":
            return "covered into the warm spot"
        case _:
            assert_never(place)


def busy_word(kind: BusyKind) -> str:
    """Why somebody cannot come."""
    match kind:
        case "away":
            return "away"
        case "busy":
            return "busy"
        case "asleep":
            return "asleep"
        case _:
            assert_never(kind)


def need_word(presence: Presence) -> str:
    """Who is needed for a step."""
    match presence:
        case "hands":
            return "your hands"
        case "home":
            return "somebody at home"
        case "none":
            return "nobody"
        case _:
            assert_never(presence)


# -- what has to be said of a step's time


def flag_word(flag: Flag, rising: bool) -> str:
    """What its flag means, as the rest of a sentence; `{clock}` is when the dough is past its best. `rising`: the step
    wants to meet a rise."""
    match flag:
        case "":
            return ""
        case "young":
            return "by then the dough is still young: flatter and denser, and good to eat."
        case "past":
            return "the dough is " + PAST_BEST + " from {clock} on."
        case "never":
            return "at this warmth the dough does not get there."
        case "long":
            if rising:
                return "the dough waits longer than this method likes."
            return "that is a longer wait than this method allows."
        case "off":
            return "it is on, and would stand hot and empty: turn it off now, and on again at {clock}."
        case _:
            assert_never(flag)


def good_words(early: str, best: str, past: str) -> str:
    """How long a rising dough is good to use, in clock times; `past` "" = not within two days, which has no clock."""
    good = f"Good from {early}, best at {best}"
    return f"{good}, {PAST_BEST} from {past}." if past else f"{good}."


def flag_words(flag: Flag, kind: StepKind, rising: bool, clock: str) -> str:
    """The same with its time. In the oven every minute is the programme's: being late is no news there."""
    return "" if flag == "long" and kind in BAKE_KINDS else flag_word(flag, rising).format(clock=clock)


def oven_word(action: OvenKind) -> str:
    """A line of the bake programme at a glance."""
    match action:
        case "load":
            return "in"
        case "turn-down":
            return "turn down"
        case "check":
            return "look at the base"
        case "turn":
            return "turn it round"
        case "lift":
            return "out"
        case _:
            assert_never(action)


# -- how it came out


def way_word(way: WayKind) -> str:
    """What is done in a way from here; "" where only the time of eating tells it."""
    match way:
        case "as-planned":
            return "Go on"
        case "on-time" | "later" | "sooner":
            return ""
        case "warm":
            return "Warm spot"
        case "cold-tray":
            return "Press, tray into the fridge"
        case "fridge":
            return "Into the fridge"
        case _:
            assert_never(way)


def result_word(result: WayResult) -> str:
    """What a way makes of the dough."""
    match result:
        case "young":
            return "young"
        case "bit-young":
            return "a bit young"
        case "best":
            return "at its best"
        case "bit-past":
            return "a bit past"
        case "past":
            return PAST_BEST
        case _:
            assert_never(result)


def outcome_word(part: OutcomePart) -> str:
    """A part of the bake that is asked about."""
    match part:
        case "base":
            return "Base"
        case "top":
            return "Top"
        case "crumb":
            return "Crumb"
        case _:
            assert_never(part)


def part_word(part: str) -> str:
    """The label of an answer, be it of a part of the bake or of its dough. One that nobody knows stands as it is."""
    labels: dict[str, str] = {one: outcome_word(one) for one in OUTCOME_PARTS}
    labels |= {one: SAID[one] for one in ("timing", "verdict")}
    return labels.get(part, part)


def verdict_word(verdict: Verdict) -> str:
    """Of the dough at loading, as it is asked."""
    match verdict:
        case "young":
            return "Young: tight and dense"
        case "right":
            return "Right: light"
        case "past":
            return "Too old: flat and spread"
        case _:
            assert_never(verdict)


def verdict_said(verdict: Verdict) -> str:
    """The same, as it was answered."""
    match verdict:
        case "young":
            return "young"
        case "right":
            return "just right"
        case "past":
            return PAST_BEST
        case _:
            assert_never(verdict)


def timing_word(timing: Timing) -> str:
    """Of the dough when it was pressed out, as it is asked."""
    match timing:
        case "early":
            return "Not ready yet when I pressed it"
        case "right":
            return "Just right"
        case "late":
            return sentence(PAST_BEST)
        case _:
            assert_never(timing)


def timing_said(timing: Timing) -> str:
    """The same, as it was answered."""
    return "not ready yet" if timing == "early" else timing_word(timing).lower()


def outcome_said(part: str, keys: str, signs: Mapping[str, str]) -> str:
    """What was answered of one part of a bake, from its keys; `signs` names what can be ticked. One that nobody knows
    any more stands as it is."""
    words = dict(signs)
    if part == "verdict":
        words |= {one: verdict_said(one) for one in VERDICTS}
    if part == "timing":
        words |= {one: timing_said(one) for one in TIMINGS}
    return ", ".join(_beside(part, words.get(key, key)) for key in keys.split())


def _beside(part: str, said: str) -> str:
    """Beside the name of its part, which is not said twice: "Base: pale or soft"."""
    return said[len(part) + 1 :] if said.casefold().startswith(f"{part} ") else said


# What book, pages and calendars say in the same words as the kitchen, where it is said with no connection too; what is
# in braces is put in where it is shown.
SAID: Mapping[str, str] = {
    "verdict": "The dough, when it went into the oven",
    "timing": "The dough, when it was pressed out",
    "note": "A line or two",
    "nothing": "Tick something, or write a line.",
    "burns": "What lies on it, oil and paper can burn.",
    "dough-out": "The dough has been out of the fridge for {spent} in all",
    "throw": "throw it away",
    "take-fresh": "throw it away and take fresh",
    "keep-cold": "keep it in the fridge until shortly before, or bake sooner",
}
