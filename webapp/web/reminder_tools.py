"""What pages need for reminders: the box of secrets, the guard, feeds as last written, our own address, what stands in
the calendar."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

from flask import Flask, current_app, request

from webapp.machine import redact
from webapp.machine.net_guard import Guard
from webapp.machine.reach import Reach
from webapp.machine.secretbox import SecretBox
from webapp.machine.settings import Settings
from webapp.reminders.caldav.account import Tools, trusting
from webapp.reminders.caldav.leaving import is_behind, still_there
from webapp.reminders.events import KeptFeeds
from webapp.web.door import known, world

_TALK_S = 10.0  # a page waits no longer for somebody's calendar server; `server/background.py` does the rest in peace


@dataclass(frozen=True)
class Ringing:
    """Made once for each app."""

    tools: Tools
    feeds: KeptFeeds
    reach: Reach

    @property
    def box(self) -> SecretBox:
        """The box that seals passwords and keys."""
        return self.tools.box


def ringing() -> Ringing:
    """What the running app has for reminders."""
    return cast(Ringing, current_app.extensions["suppertide-ringing"])


def our_origin() -> str:
    """Under which address this phone knows us, without a slash at the end: for links inside of calendars."""
    return world().settings.public_url or request.host_url.rstrip("/")


def left_in_calendar(bake_id: str) -> tuple[str, int, bool] | None:
    """(the calendar's name, how many coming events of this bake stand in it as far as we know, whether nothing is to be
    done there: else one may be written just now); None without such a calendar."""
    inside, here = known(), world()
    row = here.store.account(inside.kitchen_id) if inside else None
    if row is None:
        return None
    many = len(still_there(here.store, row.kitchen_id, here.now(), f"{bake_id}-"))
    return row.name, many, not is_behind(here.store, row.kitchen_id)


def install(app: Flask, settings: Settings) -> None:
    """Make the tools, and keep keys out of every log."""
    tools = Tools(
        SecretBox(settings.data), Guard(local=settings.local_calendars), _TALK_S, trusting(settings.calendar_authority)
    )
    app.extensions["suppertide-ringing"] = Ringing(tools, KeptFeeds(), Reach())
    redact.install()
