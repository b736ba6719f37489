"""The settings of the kitchen: scale, pans, oven and slab, warmth, hours of each person, units.

One page; each section is a form of its own, so that a mistake in one keeps nothing of the others back.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any
from zoneinfo import available_timezones

from flask import Blueprint, abort, flash, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.errors import PlanError
from webapp.core.kitchen import Kitchen, Person
from webapp.data import doughs, safety
from webapp.forms import kitchen as answers
from webapp.forms.person import MOST_PEOPLE, read_person, typed_person, with_person
from webapp.forms.typed import Answers
from webapp.kitchens.access import Home, change_kitchen, person_leaves
from webapp.kitchens.busy.times import known_busy
from webapp.planning.changed.clock import behind
from webapp.planning.changed.news import settings_changed
from webapp.web import forms
from webapp.web.door import enter, visit, world
from webapp.web.kitchen.fields import LINES
from webapp.words.pages import kitchen as said
from webapp.words.pages.usual import hours_lines
from webapp.words.rests_on import known_words
from webapp.words.times import WEEKDAYS

bp = Blueprint("kitchen_settings", __name__, url_prefix="/settings")


@bp.get("")
def show() -> str:
    """Every section as it is; the one that was saved last stays open, and says so."""
    return _page(visit(), saved=request.args.get("saved", ""))


@bp.post("/<section>")
def save(section: str) -> AnyResponse:
    """Save one section; with mistakes, show it again as typed. Another clock is asked about where bakes stand by it."""
    if section not in answers.SECTIONS:
        abort(404)
    inside = enter()
    form = _form(section, inside.kitchen)
    typed = forms.answers_of(form)
    zone = _zone_to_ask(inside, section, typed)
    try:
        after = change_kitchen(
            world().store, inside.kitchen_id,
            lambda now: replace(read, zone=now.zone) if (read := _read(section, typed, now)) and zone else read,
        )  # fmt: skip
    except PlanError as error:
        forms.show(form, error.problems)
        return make_response(_page(inside, section, form), 422)
    _tell(inside)
    goes_along = section == "units" and after.oven.dial_unit != inside.kitchen.oven.dial_unit
    if zone:
        return redirect(url_for("kitchen_zone.show", zone=zone), 303)
    dial = "too" if goes_along else None
    return redirect(url_for("kitchen_settings.show", saved=section, dial=dial, _anchor=section), 303)


def _saved_said(inside: Home) -> str:
    along = "dial" in request.args and not inside.kitchen.oven.dial_said
    return f"{said.SAVED} {said.dial_went_along(inside.kitchen.oven.dial_unit)}" if along else said.SAVED


def _tell(inside: Home) -> None:
    """Bakes that are planned follow; `inside` is the kitchen as it was."""
    here = world()
    settings_changed(here.store, here.now(), inside.kitchen_id, inside.kitchen)


def _zone_to_ask(inside: Home, section: str, typed: Answers) -> str:
    """The zone that was typed, where planned bakes read otherwise by it; else ""."""
    zone, here = typed.text("zone") if section == "units" else "", world()
    if zone in ("", inside.kitchen.zone) or zone not in available_timezones():
        return ""
    return zone if behind(here.store, here.now(), inside.kitchen_id, zone) else ""


@bp.get("/people/<int:place>")
def person(place: int) -> str:
    """One person's week; the place after the last is somebody new."""
    inside = visit()
    if place > len(inside.kitchen.people):
        abort(404)
    return _person_page(inside, place, _person_form(_person_at(inside.kitchen, place)))


@bp.post("/people/<int:place>")
def save_person(place: int) -> AnyResponse:
    """Save, add or take away a person."""
    inside = enter()
    if place > len(inside.kitchen.people):
        abort(404)
    form = _person_form(_person_at(inside.kitchen, place))
    try:
        if form["gone"].data:
            person_leaves(world().store, inside.kitchen_id, place)
        else:
            new = read_person(forms.answers_of(form))
            change_kitchen(world().store, inside.kitchen_id, lambda kitchen: with_person(kitchen, place, new))
    except PlanError as error:
        forms.show(form, error.problems)
        return make_response(_person_page(inside, place, form), 422)
    _tell(inside)
    flash(said.SAVED, "good")
    return redirect(url_for("kitchen_settings.show"), 303)


def _read(section: str, typed: Any, kitchen: Kitchen) -> Kitchen:
    if section == "units":
        return answers.read_units(typed, kitchen, tuple(one.key for one in safety.allergens()))
    return answers.SECTIONS[section].read(typed, kitchen)


def _form(section: str, kitchen: Kitchen, posted: bool = True) -> Any:
    fields = {name: line.field for name, line in LINES[section](kitchen).items()}
    return forms.form_of(fields, answers.SECTIONS[section].typed(kitchen), posted=posted)


def _page(inside: Home, wrong: str = "", form: Any = None, saved: str = "") -> str:
    kitchen, here = inside.kitchen, world()
    sections = {
        # Only the form that was posted shows what was posted: sections share no field names with each other's answers.
        section: (form if section == wrong else _form(section, kitchen, posted=False), LINES[section](kitchen))
        for section in answers.SECTIONS
    }
    return render_template(
        "kitchen/settings.html", kitchen=kitchen, unread_settings=inside.unread,
        sections=sections, wrong=wrong, saved=saved, saved_said=_saved_said(inside), zones=_zones(),
        known=known_words(kitchen), press=forms.Press(),
        common_pans=[pan.name for pan in doughs.pans()],
        hours=[(one.name, hours_lines(one, kitchen.clock)) for one in kitchen.people], most_people=MOST_PEOPLE,
        busy=known_busy(here.store, here.now(), inside.kitchen_id, kitchen), now=here.now(),
    )  # fmt: skip


def _person_at(kitchen: Kitchen, place: int) -> Person:
    return kitchen.people[place] if place < len(kitchen.people) else Person(said.person_name(place + 1))


def _person_form(someone: Person) -> Any:
    fields = {"name": forms.text(said.PERSON_ASKED["name"]), "gone": forms.tick(said.PERSON_GONE)}
    for day in range(7):
        fields |= {
            f"{day}-wake": forms.clock(said.PERSON_ASKED["wake"]),
            f"{day}-sleep": forms.clock(said.PERSON_ASKED["sleep"]),
            f"{day}-away": forms.text(said.PERSON_ASKED["away"]),
        }
    return forms.form_of(fields, typed_person(someone))


def _person_page(inside: Home, place: int, form: Any) -> str:
    new = place >= len(inside.kitchen.people)
    return render_template(
        "kitchen/person.html", form=form, place=place, new=new, days=WEEKDAYS, kitchen=inside.kitchen
    )


@cache
def _zones() -> tuple[str, ...]:
    return tuple(sorted(zone for zone in available_timezones() if "/" in zone and not zone.startswith("Etc/")))
