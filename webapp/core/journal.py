"""Plan and journal folded into what has happened. Twin of static/js/core/journal.js: change both or neither."""

from __future__ import annotations

from collections.abc import Sequence

from webapp.core.plan import Event, Plan, State


def fold(plan: Plan, events: Sequence[Event]) -> State:
    """Whatever order the events arrive in, and however often, the same State."""
    raise NotImplementedError
