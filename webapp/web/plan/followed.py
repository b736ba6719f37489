"""The bake that pages change: as it stands, and on to its page where it was given up meanwhile."""

from __future__ import annotations

from flask import flash, redirect, url_for
from werkzeug.wrappers import Response as AnyResponse

from webapp.kitchens import bakes
from webapp.kitchens.access import Home
from webapp.web.door import world


def followed(inside: Home, bake_id: str) -> bakes.FollowedBake:
    """As it stands now; NotHere for a foreign, missing or unpicked one."""
    here = world()
    return bakes.followed_bake(here.store, here.now(), inside.kitchen_id, bake_id)


def is_given_up(inside: Home, bake_id: str) -> bool:
    """Whether nobody goes on with it."""
    return bakes.bake(world().store, inside.kitchen_id, bake_id).dropped_at is not None


def to_its_page(bake_id: str, why: str) -> AnyResponse:
    """On to its page, which says what is left to do of it; nothing was changed, and `why` says so."""
    flash(why, "careful")
    return redirect(url_for("bake_pages.bake", bake_id=bake_id), 303)
