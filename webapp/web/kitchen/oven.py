"""The oven page under the settings: what plans reckon with, and what is better measured once than reckoned."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from flask import Blueprint, flash, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.errors import PlanError
from webapp.core.kitchen import Kitchen
from webapp.core.learning import habits
from webapp.core.oven.function import FUNCTIONS
from webapp.core.units import number_text
from webapp.data import oven as oven_data
from webapp.forms import measured_oven as answers
from webapp.forms.typed import Answers
from webapp.kitchens.access import Home, change_kitchen
from webapp.planning.changed.news import settings_changed
from webapp.web import forms
from webapp.web.door import enter, visit, world
from webapp.words.cautions import lost_words, out_now
from webapp.words.learned import habit_words
from webapp.words.pages import kitchen as said

bp = Blueprint("oven", __name__, url_prefix="/settings/oven")

_LONGEST_LIT_S = 4 * 3600  # a stopwatch left running since yesterday measures nothing


bp.add_app_template_global(out_now)  # the bake's page says it too
bp.add_app_template_global(lost_words)  # and the home page


@bp.get("")
def show() -> str:
    """The oven as it is known; `lit` in the address is the running stopwatch."""
    return _page(visit())


@bp.post("/slab")
def slab() -> AnyResponse:
    """Choose the slab."""
    return _save("slab", answers.read_slab, "lies")


@bp.post("/preheat")
def preheat() -> AnyResponse:
    """Minutes that were measured."""
    return _save("preheat", answers.read_preheat, "heating")


@bp.post("/thermometer")
def thermometer() -> AnyResponse:
    """What dial and thermometer read."""
    return _save("thermometer", answers.read_thermometer, "truth")


@bp.post("/lit")
def lit() -> AnyResponse:
    """The oven is being lit now: the stopwatch runs in the address, so that nothing has to be kept."""
    enter()
    return redirect(url_for("oven.show", lit=world().now(), _anchor="heating"), 303)


@bp.post("/hot")
def hot() -> AnyResponse:
    """It is hot now."""
    inside, here = enter(), world()
    try:
        minutes = answers.timed_minutes(_whole(request.form.get("lit", "")), here.now())
    except PlanError as error:
        form = _forms(inside.kitchen)["preheat"]
        forms.show(form, error.problems)
        return make_response(_page(inside, "preheat", form), 422)
    change_kitchen(here.store, inside.kitchen_id, lambda kitchen: answers.with_preheat(kitchen, minutes))
    settings_changed(here.store, here.now(), inside.kitchen_id, inside.kitchen)
    flash(said.preheat_kept(minutes), "good")
    return redirect(url_for("oven.show", _anchor="heating"), 303)


@bp.post("/habits/<int:place>/drop")
def drop_habit(place: int) -> AnyResponse:
    """Take back a change that was accepted after a bake."""

    def without(kitchen: Kitchen) -> Kitchen:
        return replace(kitchen, habits=habits.drop(kitchen.habits, place))

    inside, here = enter(), world()
    change_kitchen(here.store, inside.kitchen_id, without)
    flash(said.CHANGE_DROPPED, "good")
    return redirect(url_for("oven.show", _anchor="habits"), 303)


def _save(name: str, read: Callable[[Answers, Kitchen], Kitchen], anchor: str) -> AnyResponse:
    inside, here = enter(), world()
    form = _forms(inside.kitchen)[name]
    typed = forms.answers_of(form)
    try:
        change_kitchen(here.store, inside.kitchen_id, lambda kitchen: read(typed, kitchen))
    except PlanError as error:
        forms.show(form, error.problems)
        return make_response(_page(inside, name, form), 422)
    settings_changed(here.store, here.now(), inside.kitchen_id, inside.kitchen)
    flash(said.SAVED, "good")
    return redirect(url_for("oven.show", _anchor=anchor), 303)


def _whole(typed: str) -> int:
    return int(typed) if typed.isdecimal() and len(typed) < 12 else 0


def _forms(kitchen: Kitchen, posted: bool = True) -> dict[str, Any]:
    oven = kitchen.oven
    slabs = [(one.key, one.name) for one in oven_data.slabs()]
    known = oven.measured_preheat_min
    return {
        "slab": forms.form_of(
            {"slab": forms.cards(said.NEAREST_SLAB, slabs)}, {"slab": answers.slab_choice(oven)}, posted
        ),
        "preheat": forms.form_of(
            {"minutes": forms.count(said.PREHEAT_MINUTES)},
            {"minutes": number_text(known) if known else ""},
            posted,
        ),
        "thermometer": forms.form_of(
            {
                "dial": forms.text(said.DIAL_SET, size="6"),
                "thermometer": forms.number(said.THERMOMETER_READS),
            },
            {},
            posted,
        ),
    }


def _page(inside: Home, wrong: str = "", form: Any = None) -> str:
    kitchen, now = inside.kitchen, world().now()
    made = _forms(kitchen, posted=False)
    if wrong:
        made[wrong] = form
    since = _whole(request.args.get("lit", ""))
    return render_template(
        "kitchen/oven.html",
        kitchen=kitchen,
        forms=made,
        wrong=wrong,
        press=forms.Press(),
        examples=answers.examples(kitchen),
        highest=answers.highest_words(kitchen),
        dial_words=answers.dial_words(kitchen),
        slab_notes={one.key: one.note for one in oven_data.slabs()},
        gas_marks=oven_data.gas_marks(),
        fan_less_c=FUNCTIONS["fan"].less_c,
        habits=[habit_words(one) for one in kitchen.habits],
        lit=since if 0 < now - since + 1 <= _LONGEST_LIT_S else 0,
        now=now,
        zone=kitchen.zone,
        clock=kitchen.clock,
    )
