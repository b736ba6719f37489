"""Plan a bake: the five questions, the offers, the picked bake, its print view."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from typing import Any

from flask import Blueprint, Response, jsonify, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.errors import PlanError
from webapp.core.kinds import PAN_SHAPES
from webapp.core.kitchen import Kitchen, Wish
from webapp.doughs import larder
from webapp.forms import wish
from webapp.forms.choices import choices, shape_word
from webapp.kitchens import bakes, book, room_read
from webapp.kitchens.access import Home
from webapp.planning import evenings
from webapp.planning.full_plan import NothingFits
from webapp.web import forms
from webapp.web.door import enter, must_have, visit, world
from webapp.words.refusal import change_words
from webapp.words.rise import still_so
from webapp.words.spoken import spoken

bp = Blueprint("pages", __name__)

_STILL_COMING_S = 3 * 3600  # a bake stays under "coming" until three hours after its supper
# What the planner calls a field, and where the form shows it.
_ALSO = {
    "supper_local": "supper", "when": "supper", "pan": "pans", "room_c": "room", "away_today": "away",
    "people": "hours", "loading_g_cm2": "loading", "formula": "formula_key", "method": "method_key",
    "toppings": "toppings_key", "start_local": "start", "count": "pans",
}  # fmt: skip


@bp.get("/")
def home() -> str:
    """The five questions with yesterday's answers (or, to plan a bake again, with its own), and what is coming."""
    again = request.args.get("again", "")
    inside = must_have() if again else visit()
    return _form_page(inside, _form(inside, again))


@bp.get("/plan")
def plan_again() -> AnyResponse:
    """The address of the form's answer, typed in or reloaded."""
    return redirect(url_for("pages.home"))


@bp.post("/plan")
def plan() -> AnyResponse:
    """Plan the wish; on to its offers. What is wrong comes back to the form with everything typed."""
    inside, here = enter(), world()
    form = _form(inside)
    again = form.again.data or ""
    if form.room_still.data and not (form.room.data or "").strip():
        form.room.data = _room_typed(inside)
    try:
        wanted = wish.read_wish(forms.answers_of(form), inside.kitchen, _choices(inside), here.now())
        bake_id = _planned(inside, wanted, again, form.once.data or "")
    except PlanError as error:
        forms.show(form, error.problems, _ALSO)
        kinds = {problem.kind for problem in error.problems}
        return make_response(_form_page(inside, form, _ways_out(error, inside.kitchen, again), kinds), 422)
    return redirect(url_for("pages.bake", bake_id=bake_id, offers="again" if again else None), 303)


@bp.get("/bakes/<bake_id>")
def bake(bake_id: str) -> str | AnyResponse:
    """Up to three offers until one is picked, then the bake."""
    inside, here = must_have(), world()
    held = bakes.bake(here.store, inside.kitchen_id, bake_id)
    now = here.now()
    if held.plan is None and not held.offers:
        return redirect(url_for("pages.home", again=bake_id))  # brought in from a file, with nothing to choose from
    if held.plan is None or (held.offers and "offers" in request.args):
        return _offers_page(inside, held, now)
    standing = bakes.standing(here.store, now, inside.kitchen_id, bake_id)
    return render_template(
        "bakes/bake.html", bake=_shown(held), press=forms.Press(), **_standing(standing), **_around(inside, now)
    )


@bp.post("/bakes/<bake_id>/pick")
def pick(bake_id: str) -> AnyResponse:
    """Make the offer that was seen the plan; when it is not there any more, show what is offered now."""
    inside, here = must_have(), world()
    said, seen = request.form.get("place", ""), request.form.get("seen", "")
    place = int(said) if said in ("0", "1", "2") else -1
    try:
        bakes.pick(here.store, here.now(), inside.kitchen_id, bake_id, place, seen)
    except bakes.OffersChanged:
        held = bakes.bake(here.store, inside.kitchen_id, bake_id)
        return make_response(_offers_page(inside, held, here.now(), changed=True), 409)
    return redirect(url_for("pages.bake", bake_id=bake_id), 303)


def _offers_page(inside: Home, held: bakes.Bake, now: int, changed: bool = False) -> str:
    offers = [bakes.as_planned(spoken(offer)) for offer in held.offers]
    unlearned = book.unlearned_percent(world().store, now, inside.kitchen_id)
    shown = {"bake": held, "offers": offers, "unlearned": unlearned, "seen_as": bakes.seen_as, "changed": changed}
    return render_template("plan/offers.html", press=forms.Press(), **shown, **_around(inside, now))


def _planned(inside: Home, wanted: Wish, again: str, once: str) -> str:
    """The bake of this wish. A form that is sent twice asks for one bake, with other answers for another."""
    here = world()
    make_id = here.new_id
    if once and not again:
        asked = bakes.asked_once(inside.kitchen_id, once, wanted)
        if bakes.is_here(here.store, inside.kitchen_id, asked):
            return asked

        def make_id() -> str:
            return asked

    return evenings.set_plan(here.store, here.now(), make_id, inside.kitchen_id, wanted, here.planner, again)


@bp.get("/bakes/<bake_id>/print")
def print_view(bake_id: str) -> str:
    """One page for the fridge door."""
    inside, here = must_have(), world()
    standing = bakes.standing(here.store, here.now(), inside.kitchen_id, bake_id)
    return render_template("bakes/print.html", **_standing(standing), **_around(inside, here.now()))


@bp.post("/bakes/<bake_id>/drop")
def drop(bake_id: str) -> AnyResponse:
    """Give the bake up."""
    inside, here = must_have(), world()
    bakes.drop(here.store, here.now(), inside.kitchen_id, bake_id)
    return redirect(url_for("pages.home"), 303)


@bp.post("/bakes/<bake_id>/delete")
def delete(bake_id: str) -> AnyResponse:
    """Forget the bake and its journal."""
    inside, here = must_have(), world()
    bakes.forget(here.store, inside.kitchen_id, bake_id)
    return redirect(url_for("pages.home"), 303)


@bp.get("/health")
def health() -> Response:
    """For whoever watches the server: the database answers."""
    response = jsonify({"ok": world().store.check()})
    response.headers["Cache-Control"] = "no-store"
    return response


def _shown(held: bakes.Bake) -> bakes.Bake:
    """With the words of the other days."""
    return replace(held, offers=tuple(map(spoken, held.offers)))


def _around(inside: Home, now: int) -> dict[str, Any]:
    return {"kitchen": inside.kitchen, "now": now, "zone": inside.kitchen.zone, "clock": inside.kitchen.clock}


def _standing(standing: bakes.Standing) -> dict[str, Any]:
    return {
        "plan": spoken(standing.plan),
        "events": standing.events,
        "state": standing.state,
        "retimed": standing.retimed,
        "standing": standing,
    }


def _choices(inside: Home) -> wish.Choices:
    shelf = larder.shelf(world().store, inside.kitchen_id)
    usual = {key: one.toppings_key for key, one in shelf.formulas.items()}
    return wish.Choices(usual, tuple(shelf.toppings), tuple(shelf.methods))


def _form(inside: Home, again: str = "") -> Any:
    """The plan form with this kitchen's pans and doughs, filled in from the last wish, or from that of a bake."""
    here = world()
    shelf = larder.shelf(here.store, inside.kitchen_id)
    usual = (("", "What this dough usually has"), (wish.NOTHING, "Nothing, or decided later"))
    toppings = (*usual, *shelf.topping_names())
    inch = inside.kitchen.mass_unit == "oz"
    fields = {
        "supper": forms.moment("When do we eat?"),
        "supper_fold": forms.one_of("Which of the two?", (("", "–"), ("0", "The first"), ("1", "The second"))),
        "pans": forms.text("What do we bake in?"),
        "other_shape": forms.one_of("Another pan, just today", choices(PAN_SHAPES, shape_word, "No other pan")),
        "other_length": forms.number("Length, or across" + (", inches" if inch else ", cm")),
        "other_width": forms.number("Width" + (", inches" if inch else ", cm")),
        "other_water_g": forms.number("Water that fills it 1 cm deep, grams"),
        "other_count": forms.count("How many of them"),
        "formula_key": forms.cards("Which dough?", ((key, one.name) for key, one in shelf.formulas.items())),
        "toppings_key": forms.one_of("What goes on top?", toppings),
        "room": forms.number("How warm is the kitchen?"),
        "room_still": forms.tick("As it was read last"),
        "hours": forms.cards(
            "When am I there?",
            (("usual", "As usual that day"), ("home", "At home all day"), ("differ", "That day I am away ...")),
        ),
        "away": forms.text("Away", placeholder="8:00-17:45"),
        "who": forms.one_of("Whose day is different?", _people(inside)),
        "method_key": forms.one_of("Way of making it", (("", "Whichever fits best"), *shelf.method_names())),
        "loading": forms.number("Dough on the tray, g/cm²"),
        "loss_percent": forms.number("Sticks to bowl and hands, %"),
        "start": forms.moment("Not before"),
        "again": forms.hidden(),
        "once": forms.hidden(),  # which form this is: see _planned
    }
    fields |= {f"pan-{pan.key}": forms.count(pan.name) for pan in inside.kitchen.pans}
    return forms.form_of(fields, _typed(inside, again))


def _room_typed(inside: Home) -> str:
    """The last reading of the room that still counts, as it would be typed; "" when there is none."""
    here = world()
    found = room_read.room_read(here.store, here.now(), inside.kitchen_id)
    return "" if found is None else wish.heat_text(found.temp_c, inside.kitchen)


def _usual_hours(inside: Home) -> str:
    """The week of everybody in the house, with names when there are several."""
    people = inside.kitchen.people
    said = [wish.hours_in_words(one) for one in people]
    return said[0] if len(said) == 1 else " ".join(f"{one.name}: {say}." for one, say in zip(people, said, strict=True))


def _people(inside: Home) -> list[tuple[str, str]]:
    return [(str(place), one.name) for place, one in enumerate(inside.kitchen.people)]


def _typed(inside: Home, again: str) -> dict[str, str]:
    here = world()
    if again:
        held = bakes.bake(here.store, inside.kitchen_id, again)
        return wish.typed_again(held.wish, inside.kitchen) | {"again": again}
    last = bakes.last_wish(here.store, inside.kitchen_id)
    typed = wish.filled_in(last, inside.kitchen, here.now(), _choices(inside))
    typed["once"] = here.new_id()
    if request.method == "GET":
        typed["supper"] = _evening(inside, typed["supper"]) or typed["supper"]
    return typed


def _evening(inside: Home, proposed: str) -> str:
    """The first evening that could have bread at the hour proposed; "" when the planner cannot say."""
    here = world()
    try:
        return evenings.first_evening(here.store, here.now(), inside.kitchen_id, proposed[11:16])
    except PlanError:
        return ""


def _ways_out(error: PlanError, kitchen: Kitchen, again: str) -> list[tuple[str, dict[str, str]]]:
    """Wishes that would work: their words, and the answers to send for them."""
    ways = error.nearest if isinstance(error, NothingFits) else ()
    return [(change_words(way.change, kitchen), wish.typed_again(way.wish, kitchen) | {"again": again}) for way in ways]


def _form_page(inside: Home, form: Any, nearest: Any = (), kinds: Collection[str] = ()) -> str:
    here = world()
    now = here.now()
    found = room_read.room_read(here.store, now, inside.kitchen_id)
    return render_template(
        "plan/wish.html",
        form=form,
        nearest=nearest,
        refused="refused" in kinds,
        comes_twice="twice" in kinds,
        pan_fields=[(pan, f"pan-{pan.key}") for pan in inside.kitchen.pans],
        shelf=larder.shelf(here.store, inside.kitchen_id),
        first_time=bakes.last_wish(here.store, inside.kitchen_id) is None,
        coming=bakes.coming(here.store, inside.kitchen_id, now - _STILL_COMING_S),
        usual_room=wish.room_in_words(inside.kitchen),
        room_still="" if found is None else still_so(found, inside.kitchen, now),
        usual_hours=_usual_hours(inside),
        **_around(inside, now),
    )
