"""Which pan, as it is asked: one of the kitchen's to tap, and how many of each only behind it."""

from __future__ import annotations

from collections.abc import Mapping, MutableMapping
from typing import Any

from webapp.core.kitchen import Kitchen
from webapp.web import forms
from webapp.words.pages.questions import ASKED

ONE, WAS = "pan_one", "pans_was"  # the pan that is tapped; the counts that the form came with


def fields(kitchen: Kitchen) -> dict[str, Any]:
    """The pan to tap, and the counts as they were when the form was made."""
    return {ONE: forms.cards(ASKED["pans"], ((pan.key, pan.name) for pan in kitchen.pans)), WAS: forms.hidden()}


def shown(typed: Mapping[str, str], kitchen: Kitchen) -> dict[str, str]:
    """Those two for these answers; nothing is tapped where it is not a single one of the kitchen's pans."""
    counts = {pan.key: typed.get(f"pan-{pan.key}", "") for pan in kitchen.pans}
    used = [key for key, count in counts.items() if count not in ("", "0")]
    is_one = len(used) == 1 and counts[used[0]] == "1" and not typed.get("other_shape")
    return {ONE: used[0] if is_one else "", WAS: _line(typed, kitchen)}


def join(typed: MutableMapping[str, str], kitchen: Kitchen) -> None:
    """The pan that was tapped is the only one, unless counts were typed: those are meant. Both answers are used up."""
    one, was = typed.pop(ONE, ""), typed.pop(WAS, "")
    if one in {pan.key for pan in kitchen.pans} and was == _line(typed, kitchen):
        typed.update({f"pan-{pan.key}": "1" if pan.key == one else "0" for pan in kitchen.pans})


def _line(typed: Mapping[str, str], kitchen: Kitchen) -> str:
    return ",".join(f"{pan.key}:{typed.get(f'pan-{pan.key}', '').strip() or '0'}" for pan in kitchen.pans)
