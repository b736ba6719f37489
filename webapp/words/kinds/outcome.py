"""How a bake came out: what is asked of it, and the same as it was answered."""

from __future__ import annotations

from collections.abc import Mapping
from typing import assert_never

from webapp.core.kinds import OUTCOME_PARTS, TIMINGS, VERDICTS, OutcomePart, Timing, Verdict
from webapp.words.kinds.flags import PAST_BEST
from webapp.words.lists import sentence
from webapp.words.shared import SAID


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
    """What was answered of one part of a bake, from its keys; `signs`: what each says beside the name of its part. One
    that nobody knows any more stands as it is."""
    words = dict(signs)
    if part == "verdict":
        words |= {one: verdict_said(one) for one in VERDICTS}
    if part == "timing":
        words |= {one: timing_said(one) for one in TIMINGS}
    return ", ".join(words.get(key, key) for key in keys.split())
