"""The app for any WSGI server: `webapp.wsgi:app`, with the settings of the environment.

The background (push messages, calendars) is not in it: run `suppertide background` beside it, once for each database.
"""

from __future__ import annotations

from webapp.machine.settings import Settings
from webapp.web.app import create_app

app = create_app(Settings.load())
