"""Two bakes of the book side by side."""

from __future__ import annotations

from flask import Blueprint, render_template, request

from webapp.data import trouble
from webapp.kitchens import book
from webapp.kitchens.access import Home
from webapp.kitchens.compare import Side, compare, heads
from webapp.store.ids import NotHere
from webapp.web.door import must_have, world
from webapp.words.kinds.outcome import outcome_said
from webapp.words.spoken import spoken

bp = Blueprint("compare", __name__, url_prefix="/book")


@bp.get("/<bake_id>/beside")
def show(bake_id: str) -> str:
    """This bake on the left, `?with=` on the right; without one the last of the same dough, else the last."""
    inside, here = must_have(), world()
    now = here.now()
    found, _, _ = book.entry(here.store, now, inside.kitchen_id, bake_id)
    made = [one for one in book.book(here.store, inside.kitchen_id, now)[0] if not one.never_begun]
    others = [one for one in made if one.row.bake_id != bake_id]
    alike = [one for one in others if one.plan.formula_key == found.plan.formula_key]
    first = (alike or others)[0].row.bake_id if others else ""
    other = request.args.get("with") or first
    if other and other not in {one.row.bake_id for one in others}:
        raise NotHere(other)
    left, right = _side(inside, bake_id), _side(inside, other) if other else None
    return render_template(
        "bakes/compare.html",
        left=left,
        right=right,
        lines=compare(left, right) if right else (),
        heads=heads(left.plan, right.plan, inside.kitchen.clock) if right else (),
        others=others,
        bake_id=bake_id,
        other=other,
        kitchen=inside.kitchen,
        now=now,
        zone=inside.kitchen.zone,
        clock=inside.kitchen.clock,
    )


def _side(inside: Home, bake_id: str) -> Side:
    here = world()
    found, _, retimed = book.entry(here.store, here.now(), inside.kitchen_id, bake_id)
    names = {sign.key: sign.beside or sign.name for sign in trouble.signs()} | {book.GOOD: "good"}
    said = {part: outcome_said(part, words, names) for part, words in found.outcome.items()}
    return Side(spoken(found.plan, inside.kitchen), retimed, said, inside.kitchen.mass_unit)
