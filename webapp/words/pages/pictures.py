"""What is said of a picture to who cannot see it; of the tide chart its twin says it too (`pictures/svg.py`)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

# What a visit can be told by below the tide chart, by worth, and its word there.
PEG_WORDS: Mapping[str, str] = {
    "mix": "mix", "press": "press out", "serve": "eat", "preferment": "preferment", "chill": "fridge",
    "temper": "dough out", "preheat": "oven on", "load": "bake", "warm": "warm", "warm-out": "dough out",
    "fold": "fold",
}  # fmt: skip


def peg_words(kind: str, folds: bool) -> str:
    """What is done on a visit; "mix, fold" where the dough is folded on it too."""
    return f"{PEG_WORDS[kind]}, {PEG_WORDS['fold']}" if folds else PEG_WORDS[kind]


STRIP_TITLE = "The day"
PACE_TITLE = "How quick this kitchen’s dough is"
SLOWER, QUICKER = "slower", "quicker"
PACES = ((0.5, "half"), (1.0, "as most"), (2.0, "twice"))  # over the middle kitchen's


def bar_words(when: str, short: bool) -> str:
    """On the bar of the chart: from when, or when, the dough is good and waits for whoever comes."""
    return f"waits {when}" if short else f"waits for you {when}"


def bar_times(since: str, until: str) -> str:
    """`until`: "" where nobody must come before an end."""
    return f"{since}\u2013{until}" if until else f"from {since}"


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
