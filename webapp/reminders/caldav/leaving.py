"""Leaving somebody's calendar: our coming events go, the login is forgotten, what could not be taken out is said."""

from __future__ import annotations

import logging
from dataclasses import dataclass

from webapp.reminders.caldav.account import ODD_ANSWER, NoLineError, Tools, signed_in
from webapp.reminders.caldav.client import CalendarServer
from webapp.reminders.caldav.update import NOT_OURS, take_out
from webapp.reminders.wire import CalendarError
from webapp.store.calendars import PostedRow
from webapp.store.store import Store
from webapp.words.problems.told import refused

_PATIENCE_S = 5.0  # for a free line: a person waits for it, once

log = logging.getLogger(__name__)


@dataclass(frozen=True)
class LeftBehind:
    """Coming events of ours that still stand in the calendar, by title, and the sentence that says why."""

    titles: tuple[str, ...] = ()
    why: str = ""

    @property
    def said(self) -> str:
        """For the person; "" when nothing stayed."""
        if not self.titles:
            return ""
        named = ", ".join(f"“{title}”" for title in self.titles)
        stays = "1 event stays" if len(self.titles) == 1 else f"{len(self.titles)} events stay"
        it = "it" if len(self.titles) == 1 else "them"
        return f"{stays} in the calendar and may ring: {named}. {self.why} Delete {it} there."


def disconnect(store: Store, tools: Tools, now: int, kitchen_id: str) -> LeftBehind:
    """Take every coming event out that the server lets us, and forget the account; what stayed behind and why.

    Raises PlanError at "calendar", with nothing changed, when this server has no line free to ask on.
    """
    row = store.account(kitchen_id)
    if row is None:
        return LeftBehind()
    why = ""
    try:
        with signed_in(tools, row, _PATIENCE_S) as server:
            why = _take_all_out(store, server, kitchen_id, _to_take_out(store, kitchen_id, now))
    except NoLineError as error:
        raise refused("calendar", str(error), "Nothing was changed yet: try again in a minute.") from error
    except CalendarError as error:
        why = str(error)
    left = LeftBehind(tuple(p.title for p in still_there(store, kitchen_id, now)), why)
    store.drop_account(kitchen_id)
    return left


def still_there(store: Store, kitchen_id: str, now: int, bake_id: str = "") -> list[PostedRow]:
    """Coming events of ours (of this bake) that stand in the calendar as far as we know."""
    known = _to_take_out(store, kitchen_id, now)
    return [p for p in known if p.hands_off not in NOT_OURS and p.uid.startswith(bake_id)]


def _to_take_out(store: Store, kitchen_id: str, now: int) -> list[PostedRow]:
    """What somebody took out, or seemed to be none of ours, among them: it may have been put back, or be ours."""
    return [p for p in store.posted(kitchen_id) if max(p.ends, p.their_start) > now]


def _take_all_out(store: Store, server: CalendarServer, kitchen_id: str, coming: list[PostedRow]) -> str:
    """Try every event, whatever happened to those before; why the first of those stayed that did. After a refused
    password no other is tried: some servers shut out who knocks too often."""
    why = ""
    for posted in coming:
        try:
            take_out(store, server, kitchen_id, posted)
        except CalendarError as error:
            why = why or str(error)
            if error.login:
                break
        except Exception:  # an odd answer about one event does not keep the others in
            log.exception("an event could not be taken out")
            why = why or ODD_ANSWER
    return why
