"""The page of busy times: each person's own calendar, as a file or by its address, and how far it is known."""

from __future__ import annotations

from contextlib import AbstractContextManager, closing
from typing import Any

from flask import Blueprint, flash, make_response, redirect, render_template, request, url_for
from werkzeug.exceptions import RequestEntityTooLarge
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.errors import PlanError
from webapp.kitchens.access import Home
from webapp.kitchens.busy import calendar_file
from webapp.kitchens.busy.calendar_file import FIELD, BusyTimes
from webapp.kitchens.busy.times import bring_file, known_busy
from webapp.planning.changed.news import calendars_read
from webapp.reminders import busy_address
from webapp.reminders.how_often import FETCH_S
from webapp.web import forms
from webapp.web.door import enter, must_have, visit, world
from webapp.web.reminder_tools import ringing
from webapp.words.pages import kitchen as words
from webapp.words.problems import files
from webapp.words.problems.told import refused
from webapp.words.times import every_words

bp = Blueprint("busy", __name__, url_prefix="/settings/busy")


@bp.get("")
def show() -> str:
    """What is known of everybody, and both ways to tell it."""
    return _page(visit())


@bp.post("")
def upload() -> AnyResponse:
    """Read the busy times of an uploaded calendar into one person's day."""
    inside, here = enter(), world()
    sent = request.files.get("file")
    form = _form(inside)
    try:
        if sent is None or not sent.filename:
            raise refused(FIELD, *files.NO_CALENDAR_CHOSEN)
        with closing(sent), _told(inside):
            times = bring_file(here.store, here.now(), inside.kitchen_id, sent.read(), _whose(inside))
    except PlanError as error:
        return _again(inside, form, error, "file")
    return _said(times)


@bp.errorhandler(413)
def too_large(_: RequestEntityTooLarge) -> AnyResponse:
    """A body that was not read, as it is more than any calendar may have: said at the field."""
    inside = visit()
    size = f"{(request.content_length or 0) / 1e6:.1f} MB"
    return _again(inside, _form(inside, posted=False), calendar_file.too_large(size), "file", 413)


@bp.post("/address")
def follow() -> AnyResponse:
    """Take one person's busy times from a calendar's own address from now on."""
    inside, here = enter(), world()
    form = _form(inside)
    typed = form[busy_address.ADDRESS_FIELD].data or ""
    try:
        person = _whose(inside)
        with _told(inside):
            times = busy_address.follow(here.store, ringing().tools, here.now(), inside.kitchen_id, typed, person)
    except PlanError as error:
        return _again(inside, form, error, busy_address.ADDRESS_FIELD)
    return _said(times)


@bp.post("/now")
def look_now() -> AnyResponse:
    """Fetch one person's calendar at once."""
    inside, here = must_have(), world()
    try:
        person = _whose(inside)
    except PlanError as error:
        return _again(inside, _form(inside, posted=False), error, "file")
    rows = [row for row in here.store.busy_calendars(inside.kitchen_id) if row.person == person and row.address]
    with _told(inside):
        fetched = rows and busy_address.look_again(here.store, ringing().tools, here.now(), rows[0])
    if fetched:
        flash(words.FETCHED, "good")
    return _back()


@bp.post("/forget")
def forget() -> AnyResponse:
    """Forget one person's busy times, and the address they came from."""
    inside = must_have()
    try:
        with _told(inside):
            world().store.forget_busy(inside.kitchen_id, _whose(inside))
    except PlanError as error:
        return _again(inside, _form(inside, posted=False), error, "file")
    flash(words.CALENDAR_FORGOTTEN, "good")
    return _back()


def _told(inside: Home) -> AbstractContextManager[None]:
    """The phones hear of planned bakes that lose hands meanwhile."""
    return calendars_read(world().store, world().now(), inside.kitchen_id)


def _whose(inside: Home) -> int:
    """The person a calendar is of: the first, unless the form says another of the list."""
    places = [str(place) for place in range(len(inside.kitchen.people))]
    said = request.form.get("who", "0")
    if said not in places:
        raise refused(FIELD, *files.NOBODY_OF_THAT_NAME)
    return places.index(said)


def _said(times: BusyTimes) -> AnyResponse:
    flash(words.busy_read(len(times.spans)), "good")
    return _back()


def _back() -> AnyResponse:
    return redirect(url_for("busy.show"), 303)


def _again(inside: Home, form: Any, error: PlanError, at: str, status: int = 422) -> AnyResponse:
    forms.show(form, error.problems, {FIELD: at})
    return make_response(_page(inside, form), status)


def _form(inside: Home, posted: bool = True) -> Any:
    people = [(str(place), one.name) for place, one in enumerate(inside.kitchen.people)]
    fields = {
        "who": forms.one_of(words.WHOSE_CALENDAR, people),
        busy_address.ADDRESS_FIELD: forms.text(
            words.CALENDAR_ADDRESS, placeholder="webcal://cal.example.org/…", autocapitalize="none", inputmode="url"
        ),
        "file": forms.file(words.CALENDAR_FILE, ".ics,text/calendar"),
    }
    return forms.form_of(fields, posted=posted)


def _page(inside: Home, form: Any = None) -> str:
    here = world()
    return render_template(
        "kitchen/busy.html", kitchen=inside.kitchen, form=form or _form(inside, posted=False), now=here.now(),
        press=forms.Press(formdata=None), local=here.settings.local_calendars, fetched=every_words(FETCH_S),
        known=known_busy(here.store, here.now(), inside.kitchen_id, inside.kitchen),
        most_mb=f"{calendar_file.MOST_FILE_BYTES / 1e6:g}", most_events=f"{calendar_file.MOST_BUSY_EVENTS:,}",
    )  # fmt: skip
