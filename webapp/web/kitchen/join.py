"""Another phone: a one-time code shown as a QR picture, the list of phones, taking one away."""

from __future__ import annotations

import secrets
from typing import Any

from flask import Blueprint, flash, make_response, redirect, render_template, request, url_for
from markupsafe import Markup
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.errors import PlanError
from webapp.kitchens import access
from webapp.kitchens.access import Home
from webapp.pictures.qr import qr_picture
from webapp.reminders import joining
from webapp.web import forms
from webapp.web.door import enter, hand_out, known, must_have, new_key, visit, world
from webapp.words.pages import kitchen as said
from webapp.words.pages.questions import FILE_RINGS_ON
from webapp.words.problems.kept import CODE_USED_UP
from webapp.words.problems.told import all_in_words

bp = Blueprint("join", __name__, url_prefix="/join")

_ALPHABET = "abcdefghjkmnpqrstuvwxyz23456789"  # nothing that reads like something else
_LETTERS = 20  # 31 ** 20 is more than 99 bits: nobody guesses it within ten minutes


@bp.get("")
def show() -> str:
    """With a code in the address: ask whether this phone wants to join. Without: the kitchen's phones."""
    code = request.args.get("code", "")
    if code:
        return _ask(code)
    return _page(visit())


@bp.post("")
def join() -> AnyResponse:
    """Join the kitchen that the code opens; what becomes of this phone's former one is said."""
    here = world()
    code, key = _plain(request.form.get("code", "")), new_key()
    try:
        left = joining.join(here.store, here.now(), here.new_id, code, key, known())
    except PlanError as error:
        return make_response(_ask(code, error), 422)
    hand_out(key)
    flash(said.JOINED, "good")
    if left and left.calendar and not left.others:
        flash(said.left_behind(left.calendar), "careful")
    return redirect(url_for("home.show"), 303)


@bp.post("/anew")
def anew() -> AnyResponse:
    """For a phone that was shut out: a kitchen of its own, since it asks for one."""
    enter(anew=True)
    return redirect(url_for("home.show"), 303)


@bp.post("/code")
def make_code() -> str:
    """Show a fresh code: good for ten minutes, for one phone."""
    inside, here = enter(), world()
    code = "".join(secrets.choice(_ALPHABET) for _ in range(_LETTERS))
    until = access.offer_code(here.store, here.now(), inside.kitchen_id, code)
    return _page(inside, code=code, until=until)


@bp.post("/phones/<phone_id>/name")
def rename(phone_id: str) -> AnyResponse:
    """Give a phone a name."""
    inside, typed = must_have(), request.form.get("name", "")
    try:
        access.rename_phone(world().store, inside.kitchen_id, phone_id, typed)
    except PlanError as error:
        return make_response(_page(inside, misnamed=phone_id, typed=typed, wrong=all_in_words(error.problems)), 422)
    return redirect(url_for("join.show"), 303)


@bp.post("/phones/<phone_id>/remove")
def remove(phone_id: str) -> AnyResponse:
    """Its key opens nothing from now on."""
    inside = must_have()
    try:
        access.remove_phone(world().store, inside.kitchen_id, phone_id)
    except PlanError as error:
        return make_response(_page(inside, problems=all_in_words(error.problems)), 422)
    if phone_id == inside.phone_id:
        hand_out("")
    return redirect(url_for("join.show"), 303)


def _page(inside: Home, **more: Any) -> str:
    here = world()
    address = _address(more["code"]) if "code" in more else ""
    return render_template(
        "kitchen/join.html",
        phones=access.phones(here.store, inside.kitchen_id),
        this_phone=inside.phone_id,
        picture_of=_picture(address) if address else "",
        address=address,
        press=forms.Press(),
        kitchen=inside.kitchen,
        now=here.now(),
        **more,
    )


def _ask(code: str, error: PlanError | None = None) -> str:
    here = world()
    code = _plain(code)
    opens, inside = access.code_opens(here.store, here.now(), code), known()
    leaves = inside if inside and inside.kitchen_id != opens else None
    return render_template(
        "kitchen/join_ask.html",
        code=code,
        used_up=" ".join(CODE_USED_UP),
        file_rings_on=FILE_RINGS_ON,
        holds=opens is not None,
        problems=all_in_words(error.problems) if error else (),
        press=forms.Press(),
        former=joining.former(here.store, here.now(), leaves) if leaves else None,
    )


def _plain(code: str) -> str:
    """People type codes with spaces, dashes and capitals."""
    return "".join(letter for letter in code.lower() if letter in _ALPHABET)[:_LETTERS]


def _address(code: str) -> str:
    base = world().settings.public_url or request.host_url.rstrip("/")
    return f"{base}{url_for('join.show', code=code)}"


def _picture(address: str) -> Markup:
    return Markup(qr_picture(address, said.QR_ABOVE))  # noqa: S704 - made from an address of our own; nothing a person typed is in it
