"""What the home page was asked for, and as which answers that stands in its addresses."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from webapp.core.errors import PlanError
from webapp.core.kitchen import Wish
from webapp.kitchens.access import Home
from webapp.planning import tonight
from webapp.web.plan import questions

SECOND = "second"  # said of an evening that is taken: another bake is wanted beside that one
_AS_SHOWN = ("away_was", "other_was")  # what a form came with; no answers


@dataclass
class Asked:
    """What the page was asked for: the wish when it can be read, else what is wrong with the answers."""

    typed: dict[str, str]
    usual: Wish
    as_usual: dict[str, str]  # the usual wish as it would be typed
    wanted: Wish | None = None
    later: Wish | None = None  # what is shown in its place where supper cannot be had then, but a little later
    days: tuple[tonight.ShownDay, ...] = ()
    error: PlanError | None = None
    asked_at: int = 0
    changed: dict[str, str] = field(default_factory=dict)  # answers that are not the usual ones, for addresses


def unusual(typed: Mapping[str, str], as_usual: Mapping[str, str]) -> dict[str, str]:
    """The answers that are not the usual ones, for addresses."""
    return {name: said for name, said in typed.items() if said != as_usual.get(name, "") and name not in _AS_SHOWN}


def address(inside: Home, asked: Asked, wanted: Wish) -> dict[str, str]:
    """The home page's address of another wish than the one that was asked for."""
    said = unusual(questions.typed_of(wanted, inside), asked.as_usual)
    return said | {name: asked.typed[name] for name in (SECOND,) if name in asked.typed}
