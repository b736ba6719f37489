"""The planner itself behind the pages, where a test does not say otherwise."""

from __future__ import annotations

import pytest

from tests.web.conftest import Clock, InKitchen
from webapp.machine.settings import Settings
from webapp.web.app import create_app


@pytest.fixture
def real(settings: Settings, clock: Clock, monkeypatch: pytest.MonkeyPatch) -> InKitchen:
    """A phone before the planner itself, of somebody who has never been here: ten to seven on a Wednesday."""
    monkeypatch.setattr("webapp.kitchens.bakes.zone_here", lambda: "Europe/London")
    return InKitchen(create_app(settings, now=clock).test_client())
