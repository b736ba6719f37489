"""Which Chromium runs the tests: the whole one, or its shell without a window, which takes half the processor time."""

from __future__ import annotations

import os

from playwright.sync_api import Browser, Playwright

from tests.up import BROWSERS, SHELLS, on_path

ARGS = ("--no-sandbox", "--disable-quic", "--disable-background-networking")
# Where the sample kitchen is: a tab that is told of no other zone is there, on any machine.
ZONE = {"TZ": "Europe/Lisbon"}
# So many times as slow a processor, for whoever looks for what only just holds.
SLOWER = float(os.environ.get("SUPPERTIDE_E2E_SLOWER", "1"))
# The kitchen screen with all that belongs to it, drawn anew, whatever stood there from last time: a bake is on it.
WHOLE = "html[data-kitchen=started] body:not(:has([data-stood])) #rings"


def shell(play: Playwright, *more: str) -> Browser:
    """The shell of the machine, else the whole browser of the machine, else the shell of `playwright install`."""
    found = on_path(SHELLS) or on_path(BROWSERS)
    return play.chromium.launch(executable_path=found, args=[*ARGS, *more], env={**os.environ, **ZONE})


def whole(play: Playwright, *more: str) -> Browser:
    """The browser that people have, with notices and tabs that hide each other: of the machine, else Playwright's."""
    found = on_path(BROWSERS)
    channel = None if found else "chromium"
    return play.chromium.launch(executable_path=found, channel=channel, args=[*ARGS, *more], env={**os.environ, **ZONE})
