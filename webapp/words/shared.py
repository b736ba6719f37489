"""Sentences that pages, calendars and the book say in the same words as the kitchen screen, each written once."""

from __future__ import annotations

from collections.abc import Mapping

BAKE_TITLE = "{formula} for {day}"  # the weekday on which it is eaten
UNCALLED_PAN = "The other pan"  # one that was said without a name
# What is in braces is put in where it is shown.
SAID: Mapping[str, str] = {
    "verdict": "The dough, when it went into the oven",
    "timing": "The dough, when it was pressed out",
    "note": "A line or two",
    "good": "Good",
    "nothing": "Tick something, or write a line.",
    "burns": "What lies on it, oil and paper can burn.",
    "dough-out": "The dough has been out of the fridge for {spent} in all",
    "throw": "throw it away",
    "take-fresh": "throw it away and take fresh",
    "keep-cold": "keep it in the fridge until shortly before, or bake sooner",
}
OVER_THE_PAN = (
    "The dough is {over} more than this pan takes. Cut that off first: a bread of its own, or covered in the fridge "
    "for tomorrow."
)
OVER_THE_PANS = (
    "The dough is {over} more than these pans take, all together. Cut that off first: a bread of its own, or "
    "covered in the fridge for tomorrow."
)
# How sure a dose of yeast is.
SURE: Mapping[str, str] = {
    "sure-near": "Near enough: supper holds.",
    "sure-near-off": "Ready up to {off} sooner or later: keep to the plan, supper holds.",
    "sure-exact": "That is exact enough.",
    "sure-off": "That may be off by {percent} %.",
    "sure-off-time": "That may have it ready up to {off} sooner or later.",
}
