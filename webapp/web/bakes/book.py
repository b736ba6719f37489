"""The book: what was baked and how it came out; what this kitchen's dough has taught."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, flash, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.errors import PlanError
from webapp.core.kinds import OUTCOME_PARTS, TIMINGS, VERDICTS
from webapp.data import trouble
from webapp.kitchens import book
from webapp.kitchens.access import Home
from webapp.web import forms
from webapp.web.door import around, must_have, visit, world
from webapp.words.kinds.outcome import timing_word, verdict_word
from webapp.words.learned import likely_words
from webapp.words.pages import book as words
from webapp.words.shared import SAID
from webapp.words.spoken import spoken

bp = Blueprint("book", __name__, url_prefix="/book")


@bp.get("")
def show() -> str:
    """Past bakes, the latest first, and the lessons."""
    inside, here = visit(), world()
    now = here.now()
    entries, unread_bakes = book.book(here.store, inside.kitchen_id, now)
    return render_template(
        "bakes/book.html",
        entries=entries,
        unread_bakes=unread_bakes,
        taught=book.taught(here.store, now, inside.kitchen_id),
        signs=_signs_said(),
        **around(inside, now),
    )


@bp.get("/<bake_id>")
def entry(bake_id: str) -> str:
    """One bake: how it came out, why, and what to try."""
    return _page(must_have(), bake_id, _form(None))


@bp.post("/<bake_id>")
def write(bake_id: str) -> AnyResponse:
    """Write down how it came out."""
    inside, here = must_have(), world()
    form = _form(None)
    note = form.note.data or ""
    try:
        book.write_outcome(here.store, here.now(), here.new_id, inside.kitchen_id, bake_id, _said(form), note)
    except PlanError as error:
        forms.show(form, error.problems)
        return make_response(_page(inside, bake_id, form), 422)
    flash(words.WRITTEN, "good")
    return redirect(url_for("book.entry", bake_id=bake_id), 303)


def _page(inside: Home, bake_id: str, form: Any) -> str:
    here = world()
    now = here.now()
    found, diagnosis, retimed = book.entry(here.store, now, inside.kitchen_id, bake_id)
    return render_template(
        "bakes/entry.html",
        entry=found,
        plan=spoken(found.plan, inside.kitchen),
        diagnosis=diagnosis,
        likely=likely_words,
        retimed=retimed,
        form=form,
        signs=_signs_said(),
        parts=_parts(),
        **around(inside, now),
    )


def _form(typed: dict[str, str] | None) -> Any:
    timing = forms.one_of(SAID["timing"], forms.choices(TIMINGS, timing_word, "–"))
    verdict = forms.one_of(SAID["verdict"], forms.choices(VERDICTS, verdict_word, "–"))
    fields = {"verdict": verdict, "timing": timing, "note": forms.area(SAID["note"])}
    for part in OUTCOME_PARTS:
        fields[f"{part}-good"] = forms.tick(SAID["good"])
    for sign in trouble.signs():
        fields[sign.key] = forms.tick(sign.name)
    return forms.form_of(fields, typed)


def _said(form: Any) -> dict[str, str]:
    """Signs of each part, in words of one key each; "good" when that is ticked and nothing else."""
    said = {
        "verdict": form.verdict.data if form.verdict.data in VERDICTS else "",
        "timing": form.timing.data if form.timing.data in TIMINGS else "",
    }
    for part, keys in _parts().items():
        ticked = [key for key in keys if form[key].data]
        good = form[f"{part}-good"].data or ("all-good" in request.form and not ticked)
        said[part] = " ".join(ticked) or (book.GOOD if good else "")
    return said


def _parts() -> dict[str, list[str]]:
    return {part: [sign.key for sign in trouble.signs() if sign.part == part] for part in OUTCOME_PARTS}


def _signs_said() -> dict[str, str]:
    """What each says beside the name of its part."""
    return {sign.key: sign.beside or sign.name for sign in trouble.signs()} | {book.GOOD: "good"}
