"""The page of reminders: what rings on the phone in hand, best first, and the settings of every route."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, flash, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.errors import PlanError
from webapp.core.kinds import STEP_KINDS
from webapp.core.kitchen import NO_ALARM, Kitchen
from webapp.kitchens.access import Home
from webapp.reminders import events as reminders
from webapp.reminders.caldav import account as accounts
from webapp.reminders.caldav import leaving, publish
from webapp.reminders.caldav.finding import FoundCalendar
from webapp.reminders.coming_home import HOME
from webapp.reminders.push import message, sending
from webapp.reminders.routes import best_for, family_of, rows
from webapp.reminders.wire import Login
from webapp.store.ids import NotHere
from webapp.web import forms
from webapp.web.door import enter, must_have, new_key, visit, world
from webapp.web.reminder_tools import our_origin, ringing
from webapp.words.pages import reminders as said
from webapp.words.plan.step_texts import step_texts
from webapp.words.problems.told import all_in_words, one_line

bp = Blueprint("reminders", __name__, url_prefix="/reminders")

# Every kind of step that can have an event of its own: a rise that goes on by itself has none.
RINGING_KINDS = (*(kind for kind in STEP_KINDS if kind not in ("bulk", "proof")), HOME)
MINUTES = (
    ("", said.AS_USUAL),
    (str(NO_ALARM), said.WITHOUT_ALARM),
    *((str(minutes), said.minutes_before(minutes)) for minutes in (0, 5, 10, 15, 20, 30, 45, 60, 120)),
)


@bp.get("")
def show() -> str:
    """What rings, and all settings."""
    return _page(visit())


@bp.post("/alarms")
def save_alarms() -> AnyResponse:
    """Minutes before each kind of step."""
    inside = enter()
    form = _alarm_form(inside.kitchen)
    answers = forms.answers_of(form)
    options = [value for value, _ in MINUTES]
    chosen = {kind: answers.choice(f"alarm-{kind}", options, empty="") for kind in RINGING_KINDS}
    every = answers.choice("rings", [value for value, _ in said.RINGS], empty="moments") == "every"
    try:
        answers.done()
        minutes = {kind: int(value) if value else None for kind, value in chosen.items()}
        reminders.set_alarms(world().store, inside.kitchen_id, minutes, every_step=every)
    except PlanError as error:
        forms.show(form, error.problems)
        return make_response(_page(inside, alarms=form), 422)
    flash(said.ALARMS_SAVED, "good")
    return _back("alarms")


@bp.post("/feed")
def make_feed() -> AnyResponse:
    """A feed with a fresh key; an earlier address stops working."""
    inside, here = enter(), world()
    reminders.new_feed(here.store, ringing().box, here.now(), inside.kitchen_id, new_key())
    return _back("feed")


@bp.post("/feed/off")
def end_feed() -> AnyResponse:
    """Revoke the feed's address."""
    reminders.end_feed(world().store, must_have().kitchen_id)
    flash(said.FEED_ENDED, "good")
    return _back("feed")


@bp.post("/calendar/find")
def find() -> AnyResponse:
    """Sign in to the calendar server and show what is there; nothing is kept yet."""
    inside = enter()
    form = _login_form()
    answers = forms.answers_of(form)
    address, password = answers.text("address"), form["password"].data or ""
    username = accounts.user_name_from(address, answers.text("username"))
    try:
        found = accounts.find_calendars(ringing().tools, address, username, password)
    except PlanError as error:
        forms.show(form, error.problems)
        return make_response(_page(inside, login=form), 422)
    sealed = accounts.sealed_login(ringing().tools, inside.kitchen_id, username, password)
    # The password travels to the next page sealed: only this server can read it, and it is kept nowhere meanwhile.
    return make_response(_page(inside, found=found, sealed=sealed))


@bp.post("/calendar")
def connect() -> AnyResponse:
    """Publish into the chosen calendar from now on; another one that was written before is left first."""
    inside, here = must_have(), world()
    try:
        login, chosen = _chosen(inside)
        accounts.check_phone(here.store, inside.kitchen_id, inside.phone_id)
        _leave_another(inside, chosen.url)
        accounts.connect(
            here.store, ringing().tools, here.now(), inside.kitchen_id, login, chosen.url, chosen.name, our_origin(),
            inside.phone_id,
        )  # fmt: skip
    except PlanError as error:
        return make_response(_page(inside, problems=all_in_words(error.problems)), 422)
    except NotHere:
        return _back("calendar", said.LEFT_MEANWHILE)
    if publish.publish(here.store, ringing().tools, here.now(), inside.kitchen_id):
        flash(said.connected(chosen.name), "good")
    return _back("calendar")


@bp.post("/calendar/password")
def sign_in_again() -> AnyResponse:
    """Another password for the same calendar; the events there stay ours."""
    inside, here = must_have(), world()
    form = _again_form(inside)
    login = Login(forms.answers_of(form).text("username"), form["password"].data or "")
    try:
        accounts.sign_in_again(here.store, ringing().tools, here.now(), inside.kitchen_id, login)
    except PlanError as error:
        forms.show(form, error.problems)
        return make_response(_page(inside, again=form), 422)
    except NotHere:
        return _back("calendar", said.DISCONNECTED_MEANWHILE)
    if publish.publish(here.store, ringing().tools, here.now(), inside.kitchen_id):
        flash(said.SIGNED_IN_AGAIN, "good")
    return _back("calendar")


@bp.post("/calendar/now")
def publish_now() -> AnyResponse:
    """Try again at once."""
    inside, here = must_have(), world()
    publish.try_now(here.store, inside.kitchen_id)
    if publish.publish(here.store, ringing().tools, here.now(), inside.kitchen_id):
        flash(said.UP_TO_DATE, "good")
    return _back("calendar")


@bp.post("/calendar/test")
def ring_calendar() -> AnyResponse:
    """An event that rings in a minute or two, by way of the calendar server."""
    inside, here = must_have(), world()
    try:
        publish.ring_in_calendar(here.store, ringing().tools, here.now(), inside.kitchen_id, here.new_id)
    except PlanError as error:
        return make_response(_page(inside, problems=all_in_words(error.problems)), 422)
    flash(said.TEST_WRITTEN, "good")
    return _back("calendar")


@bp.post("/calendar/ours")
def write_ours_again() -> AnyResponse:
    """Our version back of an event that somebody changed."""
    inside, here = must_have(), world()
    uid = request.form.get("uid", "")
    try:
        publish.write_ours_again(here.store, ringing().tools, here.now(), inside.kitchen_id, uid)
    except PlanError as error:
        return make_response(_page(inside, problems=all_in_words(error.problems)), 422)
    return _back("calendar")


@bp.post("/calendar/start")
def answer_start() -> AnyResponse:
    """The answer to a start that somebody changed in the calendar: leave it there, or the plan's again."""
    inside, here = must_have(), world()
    uid, bake_id = request.form.get("uid", ""), request.form.get("bake", "")
    try:
        if request.form.get("answer") == "theirs":
            publish.keep_theirs(here.store, inside.kitchen_id, uid)
        else:
            publish.write_ours_again(here.store, ringing().tools, here.now(), inside.kitchen_id, uid)
    except PlanError as error:
        flash(one_line(error), "careful")
    return redirect(url_for("bake_pages.bake", bake_id=bake_id), 303)


@bp.post("/calendar/off")
def disconnect() -> AnyResponse:
    """Write nothing more, take the coming events out and forget the login; what takes longer goes on by itself."""
    _leave(must_have(), said.DISCONNECTED)
    return _back("calendar")


@bp.post("/calendar/left")
def forget_left() -> AnyResponse:
    """Forget the login of a calendar that is being left, at once; or, forgotten before, what stands there still."""
    inside, here = must_have(), world()
    left_id = request.form.get("left", "")
    leaving.forget_login(here.store, inside.kitchen_id, int(left_id) if left_id.isdecimal() else 0)
    return _back("calendar")


def _leave_another(inside: Home, url: str) -> None:
    """Take the coming events out of a calendar that is no longer written: nobody would ever move them again."""
    row = world().store.account(inside.kitchen_id)
    if row and row.calendar_url != url:
        _leave(inside, said.no_longer_written(row.name))


def _leave(inside: Home, why: str) -> None:
    """What is not out yet is told of on the page; what a round is writing just now comes to be known a moment later."""
    here = world()
    may_be_writing = leaving.is_behind(here.store, inside.kitchen_id)
    left = leaving.disconnect(here.store, ringing().tools, here.now(), inside.kitchen_id)
    out = said.ON_ITS_WAY if may_be_writing else said.TAKEN_OUT
    flash(why if left else f"{why} {out}", "careful" if left else "good")


def _chosen(inside: Home) -> tuple[Login, FoundCalendar]:
    """The calendar chosen on the page before, looked up again: an address from a form is not to be believed."""
    login = accounts.login_from(ringing().tools, inside.kitchen_id, request.form.get("sealed", ""))
    return login, accounts.chosen_calendar(ringing().tools, request.form.get("calendar", ""), login)


def _back(part: str, careful: str = "") -> AnyResponse:
    if careful:
        flash(careful, "careful")
    return redirect(url_for("reminders.show", _anchor=part), 303)


def _login_form(posted: bool = True) -> Any:
    fields = {
        "address": forms.text(said.ADDRESS, placeholder="cal.example.org", autocapitalize="none"),
        "username": forms.text(said.USERNAME, autocapitalize="none"),
        "password": forms.secret(said.PASSWORD),
    }
    return forms.form_of(fields, {}, posted=posted)


def _again_form(inside: Home, posted: bool = True) -> Any:
    fields = {
        "username": forms.text(said.USERNAME, autocapitalize="none"),
        "password": forms.secret(said.PASSWORD),
    }
    held = {} if posted else {"username": accounts.user_name(world().store, ringing().tools, inside.kitchen_id)}
    return forms.form_of(fields, held, posted=posted)


def _alarm_form(kitchen: Kitchen, posted: bool = True) -> Any:
    fields = {f"alarm-{kind}": forms.one_of(_label(kind), _minutes(kitchen, kind)) for kind in RINGING_KINDS}
    fields["rings"] = forms.cards(said.WHAT_RINGS, said.RINGS)
    held = {f"alarm-{kind}": str(value) for kind, value in kitchen.alarms}
    return forms.form_of(fields, held | {"rings": "every" if kitchen.every_step else "moments"}, posted=posted)


def _label(kind: str) -> str:
    """The step's own title; the table of titles is read when a page is shown."""
    return next((row.title for one, row in step_texts().items() if one == kind), said.BE_HOME)


def _minutes(kitchen: Kitchen, kind: str) -> tuple[tuple[str, str], ...]:
    """The usual choices, and the present one where it is another (from an imported kitchen)."""
    held = dict(kitchen.alarms).get(kind)
    extra = () if held is None or str(held) in dict(MINUTES) else ((str(held), said.minutes_before(held)),)
    return MINUTES + extra


def _page(
    inside: Home,
    alarms: Any = None,
    login: Any = None,
    again: Any = None,
    found: tuple[FoundCalendar, ...] = (),
    sealed: str = "",
    problems: tuple[Any, ...] = (),
) -> str:
    here = world()
    feed = reminders.feed_state(here.store, ringing().box, inside.kitchen_id)
    account = accounts.account_state(here.store, inside.kitchen_id)
    family = family_of(request.headers.get("User-Agent", ""))
    browsers, on_here = sending.how_many(here.store, inside.kitchen_id, inside.phone_id)
    return render_template(
        "reminders/page.html",
        table={row.key: row for row in rows(account, feed, browsers, message.available(), family)},
        alarms=alarms or _alarm_form(inside.kitchen, posted=False),
        alarm_fields=[f"alarm-{kind}" for kind in RINGING_KINDS], found=found, sealed=sealed, problems=problems,
        best=best_for(family, account), again=again or _again_form(inside, posted=False),
        login=login or _login_form(posted=False), local=here.settings.local_calendars,
        account=account, feed=feed, kitchen=inside.kitchen, now=here.now(), refresh_min=reminders.FEED_REFRESH_MIN,
        leavings=leaving.leavings(here.store, here.now(), inside.kitchen_id),
        feed_url=f"{our_origin()}/feed/{feed.key}.ics" if feed.key else "",
        webcal_url=f"webcal://{our_origin().partition('://')[2]}/feed/{feed.key}.ics" if feed.key else "",
        feed_at_home=ringing().reach.is_at_home(our_origin().partition("://")[2]),
        push_there=message.available(), browsers=browsers, on_here=on_here, press=forms.Press(),
    )  # fmt: skip
