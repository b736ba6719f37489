"""Names of things: how a new one is made, and the answer when nobody here has a thing of that name."""

from __future__ import annotations

from collections.abc import Callable

NewId = Callable[[], str]  # short, random, safe in an address; the world hands it in


class NotHere(LookupError):  # noqa: N818  # an answer, not a fault: nobody needs to know whether it ever was
    """Nothing of that name in this kitchen (missing and foreign look the same)."""
