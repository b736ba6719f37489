"""What has to be said of a step's time: too young, past its best, waiting for long."""

from __future__ import annotations

from typing import assert_never

from webapp.core.kinds import BAKE_KINDS, Flag, StepKind

PAST_BEST = "past its best"


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
        case "off-then":
            return "it would stand hot and empty: turn it off once the tray is out, and on again at {clock}."
        case _:
            assert_never(flag)


def good_words(early: str, best: str, past: str, too_late: bool = False) -> str:
    """How long a rising dough is good to use, in clock times; `past` "" = not within two days, which has no clock;
    `too_late`: supper does not wait until it is best."""
    good = f"Good from {early}, best at {best}{' (too late for supper)' if too_late else ''}"
    return f"{good}, {PAST_BEST} from {past}." if past else f"{good}."


def flag_words(flag: Flag, kind: StepKind, rising: bool, clock: str) -> str:
    """The same with its time. In the oven every minute is the programme's: being late is no news there."""
    return "" if flag == "long" and kind in BAKE_KINDS else flag_word(flag, rising).format(clock=clock)
