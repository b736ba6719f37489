"""For every test: no stopwatch. On a busy machine an example of Hypothesis may take as long as it likes."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")
