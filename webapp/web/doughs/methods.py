"""Ways of making a dough: those of the house as readable chains, and our own, written down step by step.

The form works without scripts: a row is added, moved or dropped by a button that sends the form and shows it again.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar

from flask import Blueprint, render_template, request

from webapp.core.formula.method import CHAIN_STEPS, MOST_STEPS, Method
from webapp.core.kinds import RESTING_PLACES, STAGE_KINDS
from webapp.data import doughs
from webapp.doughs.own_kinds import METHODS
from webapp.forms import method
from webapp.kitchens.access import Home
from webapp.web import forms
from webapp.web.door import visit, world
from webapp.web.doughs.own_pages import OwnPages
from webapp.words.kinds.places import place_word
from webapp.words.pages import larder as words
from webapp.words.plan.step_texts import step_texts
from webapp.words.times import span_words

bp = Blueprint("methods", __name__, url_prefix="/larder/methods")


def _titles() -> dict[str, str]:
    """What the steps are called, in the words of a plan."""
    return {kind: template.title for kind, template in step_texts().items() if kind in CHAIN_STEPS}


def _form(rows: int, typed: dict[str, str], *, posted: bool = True) -> Any:
    fields = {
        "name": forms.text(words.OF_METHOD["name"]),
        "note": forms.text(words.OF_METHOD["note"]),
        "through_night": forms.tick(words.OF_METHOD["through_night"]),
        "mixed_cool": forms.tick(words.OF_METHOD["mixed_cool"]),
        "pressed_percent": forms.count(words.OF_METHOD["pressed_percent"]),
    }
    kinds = (("", words.CHOOSE), *_titles().items(), (method.NO_STEP, words.NO_STEP))
    places = forms.choices(RESTING_PLACES, place_word, words.ITS_PLACE)
    for place in range(rows):
        fields |= {
            f"{place}-kind": forms.one_of(words.of_step(place, "kind"), kinds),
            f"{place}-least": forms.text(words.of_step(place, "least"), **{"class": "short"}),
            f"{place}-best": forms.text(words.of_step(place, "best"), **{"class": "short"}),
            f"{place}-most": forms.text(words.of_step(place, "most"), **{"class": "short"}),
            f"{place}-hands": forms.count(words.of_step(place, "hands")),
            f"{place}-place": forms.one_of(words.of_step(place, "place"), places),
            f"{place}-optional": forms.tick(words.OPTIONAL),
            f"{place}-alarm": forms.count(words.of_step(place, "alarm")),
        }
    return forms.form_of(fields, typed, posted)


class MethodPages(OwnPages[Method]):
    """A method as it is written down: a row for each step; buttons of the form add, move and drop rows."""

    kind = METHODS
    home: ClassVar[str] = "methods.show"

    def shipped(self) -> Mapping[str, Method]:
        """Those of the house."""
        return doughs.methods()

    def blank(self, inside: Home) -> dict[str, str]:
        """Mix, press and load to begin from."""
        del inside
        return {f"{place}-kind": kind for place, kind in enumerate(STAGE_KINDS)}

    def typed(self, inside: Home, thing: Method) -> dict[str, str]:
        """A row for each step."""
        del inside
        return method.typed_method(thing)

    def form(self, inside: Home, chosen: Method | None, typed: dict[str, str]) -> Any:
        """As many rows as were sent, or are typed in."""
        del inside, chosen
        posted = request.method == "POST"
        return _form(method.rows_posted(request.form if posted else typed), typed)

    def sheet(self, inside: Home, form: Any, key: str) -> str:
        """Its rows in order."""
        rows = method.rows_posted([field.short_name for field in form])
        return render_template(
            "doughs/methods_edit.html", kitchen=inside.kitchen, form=form, key=key, rows=range(rows), most=MOST_STEPS,
            titles=_titles(), wait_counts=words.WAIT_COUNTS,
        )  # fmt: skip

    def read(self, inside: Home, form: Any, key: str) -> Method:
        """A chain that can be planned."""
        del inside
        return method.read_method(forms.answers_of(form), method.rows_posted(request.form), key or "new")

    def changed_rows(self, inside: Home, key: str) -> str | None:
        """A row added, moved or dropped."""
        wanted, rows = request.form.get("rows", ""), method.rows_posted(request.form)
        if not wanted:
            return None
        typed, rows = method.rearranged(forms.answers_of(_form(rows, {})), rows, wanted)
        return self.sheet(inside, _form(rows, typed, posted=False), key)


_PAGES = MethodPages()


@bp.get("")
def show() -> str:
    """Every method as a chain; own ones with their earlier versions."""
    inside = visit()
    return render_template(
        "doughs/methods.html",
        kitchen=inside.kitchen,
        now=world().now(),
        own=[(one, _PAGES.versions(inside, key)[1:]) for key, one in _PAGES.of(inside).items()],
        shipped=_PAGES.shipped().values(),
        unreadable=_PAGES.unreadable(inside),
        titles=_titles(),
        wait_counts=words.WAIT_COUNTS,
        place=place_word,
        span=lambda minutes: span_words(60 * minutes),
        press=forms.Press(),
    )


_PAGES.routes(bp)
