"""What a phone needs of words with no connection: what travels in every bundle."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, assert_never

from webapp.core.kinds import (
    BAKE_LOOKS,
    FLAGS,
    LOOKS,
    OUTCOME_PARTS,
    OUTSIDE_KINDS,
    OVEN_KINDS,
    PLACES,
    POKES,
    RESTING_PLACES,
    TIMINGS,
    VERDICTS,
    WAY_KINDS,
    WAY_RESULTS,
    OutsideKind,
    WayResult,
)
from webapp.core.kitchen import Person
from webapp.words.kinds.flags import flag_word
from webapp.words.kinds.outcome import outcome_word, timing_word, verdict_word
from webapp.words.kinds.oven import oven_word
from webapp.words.kinds.places import carry_word, place_word
from webapp.words.kinds.taps import bake_look_word, look_word, poke_word
from webapp.words.kinds.ways import result_word, way_word
from webapp.words.pages.pictures import CHART, PEG_WORDS
from webapp.words.plan.step_texts import step_texts
from webapp.words.plan.steps import AS_LISTED
from webapp.words.plan.weights import YEAST_WATER_NAME
from webapp.words.plan.whose import SOMEBODY_ELSE, THERE
from webapp.words.screen.below import BELOW
from webapp.words.screen.notes import NOTES
from webapp.words.screen.sheets import SHEETS
from webapp.words.screen.step import STEP
from webapp.words.shared import SAID, SURE
from webapp.words.times import NEAR_DAYS

# What sheets and steps ask and answer, by its key.
PHRASES: Mapping[str, str] = {**SHEETS, **STEP, **BELOW, **NOTES, **CHART}
# What a sheet of the kitchen explains; a bundle from before has none of it, and the sheet does without.
HELP: Mapping[str, str] = {
    "glass": "The piece of dough in the straight-sided glass, against the mark you made after mixing. ×2 is twice as "
    "high.",
    "yeasts": "The amount follows: active dry about a fifth more than instant, fresh three times as much.",
    "always-off": "Always as much warmer or cooler just after mixing? Change “Mixing warms the dough by” in the "
    "settings by that, and the water is right the next time.",
    "silent": "Nothing was told to the kitchen since, so nothing rings any more. What was done can still be said in "
    "the list of steps.",
    "mixed": "It is mixed already: the dough stays what it is, what goes on top follows the pan.",
    "in-oven": "Heat does not wait: from loading until it is out nothing can be put off.",
    "more-salt": " It tastes of it, and the dough rises a little slower.",
    "over-salt": " Saltier than bakers make it, up to 3.2 %, and the dough rises slower.",
    "past-salt": " Past 4.5 % yeast hardly works and nobody eats it.",
    "over-fat": " Past 10 % it slows the yeast.",
    "past-fat": " Past 40 % that is no dough any more.",
    "zone": "Times here are by the clock of {zone}. What this phone’s clock shows then stands beside them.",
    "no-zone": "This phone does not know the clock of {zone}: times here are by its own.",
    "clock-behind": "This phone’s clock is at least {by} behind: the server’s said {clock} when a bake was packed. Set "
    "the phone right: the steps here ring by it.",
    "no-pan": "That is no pan for bread: give its length and width, or its diameter, inside at the bottom.",
    "no-glass": "Give how many times its first height it stands at: 1 is not risen, 2 is doubled.",
    "newer": "The plan was changed by a newer version of the app. This is the plan as packed before; connect once more "
    "for the new kitchen.",
    "insecure": "Over plain http a phone does not keep this screen: it works while the server answers. Whoever runs "
    "the server changes that by starting it with --phone.",
    "unkept": "This page is not kept in this phone yet: closed, it opens only while the server answers. That is tried "
    "again and again.",
    # What rings on the phone: "While open, this page ...".
    "sound-none": "cannot beep in this browser",
    "sound-locked": "beeps after your first tap on it",
    "sound-on": "beeps",
    "sound-off": "beeps again after your next tap on it: the phone has put its sound to sleep",
    "lamp": "It keeps the screen lit near a step.",
    "no-lamp": "It cannot keep the screen lit: set your phone’s screen to stay on.",
    "behind": "Behind other pages it {ways}, up to a minute late, if the phone lets it run.",
    "behind-silent": "Behind other pages it is silent.",
    "closed": "Closed, only your calendar rings.",
    # What is done when the oven does not work (common practice).
    "oven-out": "Smell of gas: no flame, no switch, windows open, everybody out; ring the gas emergency number from "
    "outside. A burnt smell or a blown fuse: leave it off until somebody who may has looked at it.",
    "oven-unmixed": "Nothing is mixed yet, so nothing is lost.",
    "oven-inside": "Leave the door shut: for some ten minutes a hot oven goes on baking. Then take it out. What is "
    "still wet inside is finished in pieces in a pan, and all of it is eaten tonight.",
    "oven-other": "A neighbour’s, a small table oven, a lidded grill out of doors (never indoors: its fumes kill). "
    "Heat it first, carry the tray covered; the same heat, and look sooner.",
    # What is done in front of the oven.
    "baking-more": "Two minutes more: out at {out}. Look again then.",
    "baking-base-pale": "Three minutes more, as low as it goes: heat from below browns the base. Out at {out}.",
    "baking-top-dark": "Lay foil loosely over it, or move it a shelf lower, and the middle bakes on: out at {out}.",
}


def rings_words(follows: bool) -> str:
    """What the kitchen's calendar rings by once steps have moved; `follows`: its server or its subscription is told."""
    if follows:
        return "Your calendar follows by itself."
    return "A calendar file added before still rings at the old times: add the new one."


def plate_words(result: WayResult) -> str:
    """What a way from here means on the plate."""
    match result:
        case "young":
            return "Flat, with a tight crumb. Good to eat."
        case "bit-young":
            return "A little flatter, the base as good."
        case "best":
            return "Light, as it should be."
        case "bit-past":
            return "A little flatter. Press it gently."
        case "past":
            return "It spreads, tears and browns less. Do not knead it, bake it thin. Still good to eat."
        case _:
            assert_never(result)


def outside_words(kind: OutsideKind) -> str:
    """Where the model is outside of its range."""
    match kind:
        case "colder":
            return "Colder than the dough’s numbers reach: the times here are guesses."
        case "warmer":
            return "Warmer than the dough’s numbers reach: the times here are guesses. Look at the dough."
        case "glass":
            return "The glass was read past the end of its scale; the last mark counts."
        case "again":
            return "What was read is far from all that was expected. It counts for half: look a second time."
        case "soon":
            return "The glass was read too early to tell anything. Read it again when the dough has moved."
        case _:
            assert_never(kind)


def phone_words() -> dict[str, Any]:
    """What a phone needs of these with no connection: it travels in every bundle. Of a flag, `long-rising` is the one
    for a step that wants to meet a rise; answers come as pairs, for JSON keeps no order of names."""
    flags = {flag: flag_word(flag, rising=False) for flag in FLAGS if flag}
    return {
        "days": {str(away): word for away, word in NEAR_DAYS.items()},
        "done": {kind: step.done for kind, step in step_texts().items()},
        "looks": {look: look_word(look) for look in LOOKS},
        "pokes": {poke: poke_word(poke) for poke in POKES},
        "baking": {look: bake_look_word(look) for look in BAKE_LOOKS},
        "places": {place: place_word(place) for place in PLACES},
        "carry": {place: carry_word(place) for place in RESTING_PLACES},
        "oven": {action: oven_word(action) for action in OVEN_KINDS},
        "flags": flags | {"long-rising": flag_word("long", rising=True)},
        "ways": {way: way_word(way) for way in WAY_KINDS},
        "plates": {result: plate_words(result) for result in WAY_RESULTS},
        "outside": {kind: outside_words(kind) for kind in OUTSIDE_KINDS},
        "results": {result: result_word(result) for result in WAY_RESULTS},
        "parts": [[part, outcome_word(part)] for part in OUTCOME_PARTS],
        "verdicts": [[verdict, verdict_word(verdict)] for verdict in VERDICTS],
        "said": dict(SAID),
        "yeast_water": YEAST_WATER_NAME,
        "help": {**HELP, **SURE, "listed": AS_LISTED},
        "there": THERE | {"else": SOMEBODY_ELSE, "reader": Person.name},
        "phrases": dict(PHRASES),
        "pegs": dict(PEG_WORDS),
        "timings": [[timing, timing_word(timing)] for timing in TIMINGS],
    }
