"""The home page: tonight's answer, each thing it rests on a tap away, and one button that takes it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flask import Blueprint, make_response, redirect, render_template, request, url_for
from werkzeug.exceptions import NotFound
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.errors import PlanError
from webapp.core.kitchen import Wish
from webapp.core.plan.steps import line_ahead
from webapp.doughs import larder
from webapp.forms import wish
from webapp.forms.typed import Answers, clock_minutes, clock_text
from webapp.kitchens import bakes, book
from webapp.kitchens.access import Home
from webapp.planning import kept_part, other_bakes, tonight
from webapp.planning.changed.news import beside_others
from webapp.planning.evenings import check_room, made_by, no_evenings
from webapp.planning.full_plan import NothingFits
from webapp.web import forms
from webapp.web.door import around, enter, visit, world
from webapp.web.forms import flash_problems
from webapp.web.plan import nearest, pans, questions, rests, warmth, when
from webapp.web.plan.asked import SECOND, Asked, address, unusual
from webapp.words import tonight as words
from webapp.words.pages.usual import room_in_words
from webapp.words.times import wall_minute

bp = Blueprint("home", __name__)

_PART = "X-Part"  # a script asks for the changing part of a page alone


@bp.get("/")
def show() -> AnyResponse:
    """Tonight, solved from what the kitchen knows and from the answers in the address; makes nothing."""
    if "again" in request.args:
        return redirect(url_for("form.show", again=request.args["again"]))
    inside = visit()
    return _page(inside, _asked(inside, request.args))


@bp.get("/change/<question>")
def change(question: str) -> AnyResponse:
    """One question with its present answer; its form leads back to the home page."""
    if question not in questions.ONE_BY_ONE:
        raise NotFound
    inside = visit()
    return _question_page(inside, _asked(inside, request.args, solve=False), question)


@bp.post("/take")
def take() -> AnyResponse:
    """Make the day that was seen a bake; when it is not to be had any more, show what fits now and take nothing."""
    inside, here = enter(), world()
    asked = _asked(inside, request.form, solve=False)
    if asked.wanted is None:
        return _page(inside, asked)
    said, seen = Answers(request.form), request.form.get("seen", "")
    bake_id = bakes.asked_once(inside.kitchen_id, said.text("once") or here.new_id(), asked.wanted)
    at = _instant(said.text("asked_at"))
    try:
        check_room(here.store, here.now(), inside.kitchen_id, made_by(asked.wanted), bake_id)
    except PlanError as error:
        flash_problems(error)
        return make_response(_page(inside, _asked(inside, request.form)), 422)
    try:
        with beside_others(here.store, here.now(), inside.kitchen_id, bake_id):
            taken = tonight.take(
                here.store, here.now(), inside.kitchen_id, asked.wanted, here.remembered, seen, at, bake_id
            )
    except PlanError:
        taken = False
    if not taken:
        return _page(inside, _asked(inside, request.form), not_taken=True)
    kept_part.keep(here.store, here.now(), inside.kitchen_id, bake_id)
    return redirect(url_for("bake_pages.bake", bake_id=bake_id), 303)


def _instant(typed: str) -> int:
    """An instant as the page wrote it; 0, which is long ago, for anything else."""
    return int(typed) if typed.isascii() and typed.isdigit() and len(typed) <= 11 else 0


def _asked(inside: Home, said: Mapping[str, str], solve: bool = True) -> Asked:
    """The wish that these answers make of the usual one, and the days that meet it."""
    here = world()
    now = here.now()
    usual = tonight.usual_tonight(here.store, now, inside.kitchen_id, inside.kitchen)
    as_usual = questions.typed_of(usual, inside)
    known = {*as_usual, pans.ONE, pans.WAS, *(name for names in questions.ONE_BY_ONE.values() for name in names)}
    typed = as_usual | {name: said[name] for name in said if name in known}
    asked = Asked(typed, usual, as_usual, asked_at=line_ahead(now))
    try:
        if not usual.supper_local:
            raise no_evenings()
        when.join_supper(typed)
        pans.join(typed, inside.kitchen)
        asked.wanted = wish.read_wish(Answers(typed), inside.kitchen, questions.choices(inside), now)
        asked.typed = questions.typed_of(asked.wanted, inside)
        asked.typed |= {SECOND: "1"} if said.get(SECOND) else {}
        asked.changed = unusual(asked.typed, as_usual)
        if solve:
            asked.days = tonight.days(here.store, now, inside.kitchen_id, asked.wanted, here.remembered)
    except PlanError as error:
        asked.error = error
        if asked.wanted is not None and (later := tonight.a_little_later(error, asked.wanted)):
            asked.later = later
            asked.typed |= questions.typed_of(later, inside)
            asked.days = tonight.days(here.store, now, inside.kitchen_id, later, here.remembered)
    return asked


def _page(inside: Home, asked: Asked, not_taken: bool = False) -> AnyResponse:
    if asked.wanted is None and asked.error is not None:
        return _question_page(inside, asked, questions.question_of(asked.error.problems[0].field))
    here = world()
    now = here.now()
    alone = request.headers.get(_PART) == "day"
    first_time = bakes.last_wish(here.store, inside.kitchen_id) is None
    going, unread_bakes = tonight.on_the_go(here.store, now, inside.kitchen_id)
    page = render_template(
        "plan/day.html" if alone else "plan/home.html",
        press=forms.Press(),
        asked=asked,
        rests=rests.four(inside, asked.wanted or asked.usual),
        not_taken=not_taken,
        first_time=first_time,
        unlearned=book.unlearned_percent(here.store, now, inside.kitchen_id) if first_time else 0,
        going=going,
        unread_bakes=unread_bakes,
        unread_settings=inside.unread,
        once=here.new_id(),
        taken=_taken(inside, asked, going),
        **_chosen(inside, asked),
        **around(inside, now),
    )
    status = 409 if not_taken else 200
    return make_response(page, status)


def _chosen(inside: Home, asked: Asked) -> dict[str, Any]:
    """The day that is shown, and the evenings beside it; or why there is none and what would work."""
    here, kitchen = world(), inside.kitchen
    now = here.now()
    wanted = asked.later or asked.wanted or asked.usual
    way = request.values.get("way", "")
    day = next((one for one in asked.days if one.seen.startswith(way)), None) if way else None
    day = day or next(iter(asked.days), None)
    supper = tonight.supper_of(wanted, kitchen, now)
    return {
        "day": day,
        "lines": words.day_lines(day, kitchen.clock, now) if day else (),
        "by": words.by_words(day, kitchen.clock, now) if day else "",
        "sooner": _sooner(inside, asked) if day and day is asked.days[0] else "",
        "effect": warmth.effect(inside, wanted, day, day is asked.days[0]) if day else "",
        "fridge": _fridge(inside, day) if day else "",
        "name": words.evening_name(supper, kitchen.zone, now),
        "name_within": words.evening_within(supper, kitchen.zone, now),
        "at": wall_minute(_minute(wanted), kitchen.clock),
        "evenings": [
            (words.short_evening(at, kitchen.zone, now), local, local[:10] == wanted.supper_local[:10])
            for at, local in tonight.evenings_ahead(kitchen, now, (asked.wanted or wanted).supper_local[11:16])
        ],
        **nearest.shown(inside, asked),
    }


def _taken(inside: Home, asked: Asked, going: tonight.Going) -> dict[str, Any] | None:
    """The bake that has this evening, and what a second one would come to; None while it is free or that is meant."""
    wanted = asked.wanted or asked.usual
    has = tonight.taken_by(going, tonight.supper_of(wanted, inside.kitchen, world().now()))
    if has is None or SECOND in asked.typed:
        return None
    near = asked.error.nearest if isinstance(asked.error, NothingFits) else ()
    second = next((one.wish for one in near if one.change.kind == "eat-later"), wanted if asked.days else None)
    at = wall_minute(_minute(second), inside.kitchen.clock) if second else ""
    beside = {**address(inside, asked, second or wanted), SECOND: "1"}
    return {"plan": has[0], "supper": has[1].eat_at, "second": at, "address": beside}


def _fridge(inside: Home, day: tonight.ShownDay) -> str:
    """That the fridge holds another bake's dough too, the first that it does; "" when this one has it alone."""
    here, kitchen = world(), inside.kitchen
    now = here.now()
    beside = other_bakes.in_fridge(day.plan, other_bakes.others(here.store, now, inside.kitchen_id))
    zone, clock = kitchen.zone, kitchen.clock
    told = (words.fridge_words(one.plan, one.span.start, one.span.end, zone, clock, now) for one in beside)
    return next(told, "")


def _sooner(inside: Home, asked: Asked) -> str:
    """Why the first day of a supper put later is mixed sooner than that of the usual one; "" when it is not."""
    here = world()
    assert asked.wanted is not None, "there is a day"
    wanted, shown = asked.later or asked.wanted, asked.days[0].plan
    usual = tonight.at_usual_hour(here.store, here.now(), inside.kitchen_id, wanted, asked.usual, shown, here.first)
    return words.sooner_words(shown, usual, inside.kitchen.clock) if usual else ""


def _minute(wanted: Wish) -> int:
    return clock_minutes(wanted.supper_local[11:16]) or 0


def _question_page(inside: Home, asked: Asked, question: str) -> AnyResponse:
    """One question; with what is wrong at its field, and all that was typed."""
    here, kitchen = world(), inside.kitchen
    now, wanted = here.now(), asked.wanted or asked.usual
    that_day = wanted.supper_local[:10]
    split = {"day": that_day, "at": wall_minute(_minute(wanted), kitchen.clock)}
    asked_when = when.fields(
        kitchen, now, clock_text(_minute(wanted)), that_day, lambda: tonight.supper_of(wanted, kitchen, now)
    )
    fields = questions.fields_of(inside) | asked_when | pans.fields(kitchen)
    form = forms.form_of(fields, split | asked.typed | pans.shown(asked.typed, kitchen), posted=False)
    problems = asked.error.problems if asked.error else ()
    forms.show(form, problems, questions.ALSO | ({"when": "at", "supper": "at"}))
    own = {
        *questions.ONE_BY_ONE[question],
        *(f"pan-{pan.key}" for pan in kitchen.pans if question == "pan"),
    }
    page = render_template(
        "plan/question.html",
        form=form,
        question=question,
        carried={k: v for k, v in unusual(asked.typed, asked.as_usual).items() if k not in own},
        pan_fields=[(pan, f"pan-{pan.key}") for pan in kitchen.pans],
        stock=larder.of_kitchen(here.store, inside.kitchen_id),
        usual_room=room_in_words(kitchen),
        room_hour=warmth.hour_asked(form, inside, asked.typed.get("supper", "")),
        room_still=warmth.still_asked(inside) if question == "warm" else "",
        usual_hours=questions.usual_hours(inside),
        comes_twice=any(one.kind == "twice" for one in problems),
        back=asked.changed,
        alone=request.headers.get(_PART) in ("question", "day"),
        **around(inside, now),
    )
    return make_response(page, 422 if problems and request.values else 200)
