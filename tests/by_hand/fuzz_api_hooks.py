"""Read by schemathesis in its own environment: what no description can say of a case that is meant to be good.

A bake is one of the kitchen's own, in the address and in every event of the body; an instant lies near it; a browser
that wants messages is at a service that is known here, with a key that is a point of the curve. Of what is meant to
be bad nothing is changed but the bake, so that what is bad about it is met.
"""

from __future__ import annotations

import atexit
import itertools
import os
import zlib
from pathlib import Path
from typing import Any

import schemathesis
from schemathesis.core.parameters import ParameterLocation

BAKES = [one.split() for one in os.environ["FUZZ_BAKES"].split(",")]
# The keys of the example of RFC 8291, appendix A.
KEYS = {
    "p256dh": "BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4",
    "auth": "BTBZMqHH6r4Tts7J_aSIgg",
}
ENDPOINT = "https://fcm.googleapis.com/fcm/send/fuzz"
_tried = itertools.count()
atexit.register(lambda: Path(os.environ["FUZZ_COUNT"]).write_text(str(next(_tried))))


def good(case: Any, where: ParameterLocation) -> bool:
    """Whether that part of the case is meant to be taken."""
    part = case.meta.components.get(where) if case.meta else None
    return part is None or part.mode.is_positive


@schemathesis.hook
def before_call(context: Any, case: Any, **more: Any) -> None:
    next(_tried)
    mine = good(case, ParameterLocation.BODY)
    if "bake_id" in (case.path_parameters or {}) and good(case, ParameterLocation.PATH):
        bake_id, supper = BAKES[zlib.crc32(repr(case.body).encode("utf-8", "replace")) % len(BAKES)]
        case.path_parameters["bake_id"] = bake_id
        for event in _events(case.body):
            if isinstance(event.get("bake_id"), str) and 0 < len(event["bake_id"]) <= 64:
                event["bake_id"] = bake_id
            if mine:
                _bring_near(event, int(supper))
    if case.operation.label == "POST /api/push" and mine and isinstance(case.body, dict):
        case.body |= {"endpoint": ENDPOINT, "keys": KEYS}


def _events(body: Any) -> list[dict[str, Any]]:
    events = body.get("events") if isinstance(body, dict) else None
    return [one for one in events if isinstance(one, dict)] if isinstance(events, list) else []


def _bring_near(event: dict[str, Any], supper: int) -> None:
    for holder, names in ((event, ("at",)), (event.get("data"), ("until", "instant", "load", "supper", "press", "at"))):
        for name in names:
            if isinstance(holder, dict) and isinstance(holder.get(name), int | float) and holder[name]:
                holder[name] = supper - int(holder[name]) % 36_000
