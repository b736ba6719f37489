"""New times for what is left, given what happened. Twin of static/js/core/retime.js: change both or neither."""

from __future__ import annotations

from webapp.core.plan import Plan, Retimed, State


def retime(plan: Plan, state: State, now: int) -> Retimed:
    """Every step's time as things stand at `now`, and where the dough is."""
    raise NotImplementedError
