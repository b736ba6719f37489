"""What past bakes changed, and what a bake's numbers say, in words."""

from __future__ import annotations

from collections.abc import Iterable

from webapp.core.learning.habits import FACTORS, NOTE
from webapp.core.plan import Habit

FROM_PAST = "From past bakes: "
# How each number of a bake (learning/bake_numbers.py) is said to a person.
NUMBER_WORDS: dict[str, str] = {
    "heat_short_min": "heated {:.0f} min less than planned",
    "bake_short_min": "out {:.0f} min before the earliest expected",
    "bake_long_min": "in {:.0f} min longer than the latest expected",
    "turn_down_late_min": "turned down {:.0f} min after loading",
    "press_ratio": "at {:.0f} % of its best rise when pressed",
    "load_ratio": "at {:.0f} % of its best rise when it went in",
    "load_past_ratio": "{:.0f} % of the way to past its best when it went in",
    "proof_min": "{:.0f} min of proof in the tray",
    "dough_c": "dough at {:.0f} °C when it went in",
    "topping_g_cm2": "{:.2f} g/cm² on top",
    "loading_g_cm2": "{:.2f} g/cm² of dough",
    "hydration_percent": "{:.0f} % water in the dough",
    "salt_percent": "{:.1f} % salt in the dough",
    "fat_percent": "{:.1f} % fat in the dough",
    "slab": "a heated slab|the tray alone",
    "fan": "fan on|fan off",
    "dial_off_c": "oven {:.0f} °C cooler than its dial",
    "measured": "preheat measured|preheat only reckoned",
}


def habit_words(habit: Habit) -> str:
    """What this habit does, for a plan: the suggestion's own words and how far it has come."""
    if habit.field in FACTORS:
        return f"{habit.text} (now {habit.value * 100:.0f} % of usual)"
    if habit.field in ("preheat_min", "bake_min"):
        return f"{habit.text} (now {habit.value:+.0f} min)"
    if habit.field == "bake_c":
        return f"{habit.text} (now {habit.value:+.0f} °C)"
    if habit.field == "water_percent":
        return f"{habit.text} (now {habit.value:+.0f} %)"
    return habit.text


def noted_at(habits: Iterable[Habit], step: str) -> str:
    """What was noted for this kind of step, a line each, where it is needed; "" when nothing was."""
    return "\n".join(f"{FROM_PAST}{one.text}" for one in habits if one.field == NOTE and one.step == step)


def number_words(name: str, value: float) -> str:
    """A number of a bake in words: "heated 20 min less than planned", "the tray alone"."""
    words = NUMBER_WORDS[name]
    if "|" in words:
        yes, no = words.split("|")
        return yes if value else no
    return words.format(value * 100.0 if name.endswith("_ratio") else value)
