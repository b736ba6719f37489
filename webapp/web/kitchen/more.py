"""More: every page that is not one of the four, one row each."""

from __future__ import annotations

from flask import Blueprint, render_template

bp = Blueprint("more", __name__)


@bp.get("/more")
def show() -> str:
    """The list; the same for everybody."""
    return render_template("kitchen/more.html")
