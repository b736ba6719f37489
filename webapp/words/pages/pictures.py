"""What is said in a picture, and of it to who cannot see it.

What the tide chart says travels in the bundle too (`screen/bundle.py`): in the kitchen its twin in JavaScript draws it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

# What a visit can be told by below the tide chart, by worth, and its word there.
PEG_WORDS: Mapping[str, str] = {
    "mix": "mix", "press": "press out", "preferment": "preferment", "chill": "fridge",
    "temper": "dough out", "preheat": "oven on", "load": "bake", "warm": "warm", "warm-out": "dough out",
    "fold": "fold",
}  # fmt: skip


# Of the tide chart: on it, below it, in its table, and what is read of it aloud.
CHART: Mapping[str, str] = {
    "chart title": "The day of {title}",
    "chart now": "now",
    "chart eat": "eat {at}",  # beside the flag
    "chart fold": "{what}, fold",
    "chart from": "from {since}",  # where nobody must come before an end
    "chart waits": "waits {when}",  # on the bar, where there is little room
    "chart waits for you": "waits for you {when}",
    "chart mixed": "Time runs across, the rise of the dough runs up. Mixed by {at}.",
    "chart risen": "{step} at {at}, risen to {times} times its first volume.",
    "chart busy": "{what} from {since} to {until}.",
    "chart supper": "Supper at {at}.",
    "chart ready": "Ready {what} from about {since}, best {best}{could}, good until {until}.",
    "chart to load": "for the oven",
    "chart to press": "to press out",
    "chart could": " (too late for supper)",
    "chart about": "about {at}",
    "chart long": "long after",
    "chart this supper": "{at} for this supper",
    "chart read": "{at}: ×{times} (×{low} to ×{high}), dough at {warmth}",
    "chart table": "The same as a table",
    "chart steps": "{title}, step by step",
    "chart when": "When",
    "chart step": "Step",
    "chart needs": "Needs",
    "chart rise": "Risen",
    "chart keys": "Rise of the dough: left and right arrow keys read it off",
}


def peg_words(kind: str, folds: bool) -> str:
    """What is done on a visit; "mix, fold" where the dough is folded on it too."""
    return chart_words("chart fold", what=PEG_WORDS[kind]) if folds else PEG_WORDS[kind]


def chart_words(key: str, **figures: str) -> str:
    """A phrase of the tide chart with its figures put in; twin of `phraseOf` in static/js/lib/labels.js."""
    return CHART[key].format(**figures)


STRIP_TITLE = "The day"
PACE_TITLE = "How quick this kitchen’s dough is"
SLOWER, QUICKER = "slower", "quicker"
PACES = ((0.5, "half"), (1.0, "as most"), (2.0, "twice"))  # over the middle kitchen's


def pace_words(seen: Sequence[float], middle: float, low: float, high: float) -> str:
    """Paces over that of the middle kitchen: those seen, this kitchen's, and the ends of its band."""
    each = ", ".join(f"×{one:.2f}" for one in seen) or "nothing yet"
    return (
        f"This kitchen’s dough is ×{middle:.2f} as quick as in the middle of all kitchens; four times "
        f"out of five between ×{low:.2f} and ×{high:.2f}. Seen: {each}."
    )


def strip_words(hands: Iterable[str], supper: str) -> str:
    """A day as a strip: when hands are wanted, when supper is."""
    return f"Hands are wanted at {', '.join(hands)}. Supper at {supper}."
