"""Which Chromium runs the tests: the whole one, or its shell without a window, which takes half the processor time."""

from __future__ import annotations

from playwright.sync_api import Browser, Playwright

from tests.up import BROWSERS, SHELLS, on_path

ARGS = ("--no-sandbox", "--disable-quic", "--disable-background-networking")


def shell(play: Playwright, *more: str) -> Browser:
    """The shell of the machine, else the whole browser of the machine, else the shell of `playwright install`."""
    return play.chromium.launch(executable_path=on_path(SHELLS) or on_path(BROWSERS), args=[*ARGS, *more])


def whole(play: Playwright, *more: str) -> Browser:
    """The browser that people have, with notices and tabs that hide each other: of the machine, else Playwright's."""
    found = on_path(BROWSERS)
    return play.chromium.launch(executable_path=found, channel=None if found else "chromium", args=[*ARGS, *more])
