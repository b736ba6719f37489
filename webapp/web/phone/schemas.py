"""What the JSON API takes: strict shapes and sizes, so that a journal stays small and readable for every phone."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from marshmallow import RAISE, Schema, ValidationError, fields, validate

from webapp.core.errors import PlanError, Problem
from webapp.core.kinds import (
    BAKE_LOOKS,
    LOOKS,
    OUTCOME_PARTS,
    POKES,
    RESTING_PLACES,
    VERDICTS,
    WAY_KINDS,
    WAY_RESULTS,
    YEAST_KINDS,
    EventKind,
)
from webapp.core.plan.event import Event
from webapp.core.ranges import EPOCH, FAR, JOURNAL_RANGES
from webapp.machine.bounded_json import read_json
from webapp.web.phone.described.strict import NAME_LENGTH, Flag, Number, Whole, matching
from webapp.words.problems import journal as said
from webapp.words.problems.told import refused, told

MOST_AT_ONCE = 200
MOST_DATA_BYTES = 4000
MOST_TEXT = 2000
MOST_DEPTH = 8  # of one event's data: what is nested deeper than that can be read but not written back
_MOST_VALUES, _MOST_NESTED = 400_000, 100  # of one body, before it is parsed
_MOST_KEY = 40  # letters of a name in an event's data
_NAMES = {NAME_LENGTH: _MOST_KEY}
_TEXT = validate.Length(max=MOST_TEXT)


def _id() -> fields.String:
    return matching("[0-9a-f]{32}", said.AN_ID)


def _line() -> fields.String:
    return matching("[a-z0-9-]{1,40}/[a-z0-9-]{1,40}", said.A_LIST_LINE)


def _number(kind: str, name: str) -> Number:
    return Number(required=True, validate=validate.Range(*JOURNAL_RANGES[kind][name]))


def _instant() -> Whole:
    return Whole(required=True, validate=validate.Range(EPOCH, FAR))


def _since() -> Whole:
    return Whole(validate=validate.Range(EPOCH, FAR))


class _Known(Schema):
    """Data of a known kind. Keys that a newer phone adds are kept, whatever they are."""

    class Meta:
        unknown = "include"


_MOST_REVISION = 1_000_000
_MOST_MOVES = 8  # of one way: the dough now, the tray, out again

_move = _Known.from_dict(
    {"at": _instant(), "place": fields.String(required=True, validate=validate.OneOf(RESTING_PLACES))}
)
_step = _Known.from_dict({"step_id": matching("[a-z0-9-]{1,40}")})
DATA_OF: dict[EventKind, type[Schema]] = {
    "done": _Known.from_dict({"step_id": matching("[a-z0-9-]{1,40}"), "hob": Flag()}),
    "begun": _step,
    "left-out": _step,
    "undo": _Known.from_dict({"event_id": _id()}),
    "later": _Known.from_dict({"until": _instant(), "heats": Flag()}),
    "glass": _Known.from_dict({"times": _number("glass", "times")}),
    "room": _Known.from_dict({"temp_c": _number("room", "temp_c"), "since": _since()}),
    "dough": _Known.from_dict({"temp_c": _number("dough", "temp_c"), "since": _since()}),
    "moved": _Known.from_dict({"place": fields.String(required=True, validate=validate.OneOf(RESTING_PLACES))}),
    "supper": _Known.from_dict({"instant": _instant()}),
    "weighed": _Known.from_dict({"line": _line()}),
    "poured": _Known.from_dict(
        {
            "line": _line(),
            "grams": _number("poured", "grams"),
            "kept": Flag(),
            "pace": Number(validate=validate.Range(*JOURNAL_RANGES["poured"]["pace"])),
        }
    ),
    "yeast": _Known.from_dict({"yeast": fields.String(required=True, validate=validate.OneOf(YEAST_KINDS))}),
    "tray": _Known.from_dict({"times": _number("tray", "times")}),
    "pan": _Known.from_dict({"area_cm2": _number("pan", "area_cm2")}),
    "note": _Known.from_dict({"text": fields.String(required=True, validate=_TEXT), "hob": Flag()}),
    "outcome": _Known.from_dict(
        {
            "verdict": fields.String(validate=validate.OneOf(VERDICTS)),
            **{part: fields.String(validate=validate.Length(max=200)) for part in (*OUTCOME_PARTS, "timing")},
        }
    ),
    "looked": _Known.from_dict({"seen": fields.String(required=True, validate=validate.OneOf(LOOKS))}),
    "poked": _Known.from_dict({"springs": fields.String(required=True, validate=validate.OneOf(POKES))}),
    "baking": _Known.from_dict({"seen": fields.String(required=True, validate=validate.OneOf(BAKE_LOOKS))}),
    "settled": _Known.from_dict({"revision": Whole(required=True, validate=validate.Range(1, _MOST_REVISION))}),
    "way": _Known.from_dict(
        {
            "way": fields.String(required=True, validate=validate.OneOf(WAY_KINDS)),
            "press": Whole(required=True, validate=validate.Range(*JOURNAL_RANGES["way"]["press"])),
            "load": _instant(),
            "supper": _instant(),
            "moves": fields.List(fields.Nested(_move), required=True, validate=validate.Length(max=_MOST_MOVES)),
            "proof": fields.String(load_default="", validate=validate.OneOf(("", *RESTING_PLACES))),
            "asked": Flag(load_default=False),
            "result": fields.String(load_default="", validate=validate.OneOf(("", *WAY_RESULTS))),
            "given_up": Number(load_default=0.0, validate=validate.Range(*JOURNAL_RANGES["way"]["given_up"])),
        }
    ),
}


class EventIn(Schema):
    """One line of the journal as a phone sends it."""

    class Meta:
        unknown = RAISE

    event_id = _id()
    bake_id = fields.String(required=True, validate=validate.Length(min=1, max=64))
    at = _instant()
    logged_at = _instant()
    phone = fields.String(required=True, validate=validate.Length(min=1, max=64))
    kind = matching("[a-z][a-z0-9-]{0,31}", said.A_KIND)
    data = fields.Dict(keys=fields.String(validate=validate.Length(max=_MOST_KEY)), load_default=dict, metadata=_NAMES)
    revision = Whole(load_default=0, validate=validate.Range(0, _MOST_REVISION))


def _of_kind(kind: EventKind) -> type[Schema]:
    parts = {
        "kind": fields.String(required=True, validate=validate.Equal(kind), metadata={"enum": [kind]}),
        "data": fields.Nested(
            DATA_OF[kind], required=any(one.required for one in DATA_OF[kind]().fields.values()), metadata=_NAMES
        ),
    }
    return EventIn.from_dict(parts, name=f"{kind.title().replace('-', '')}Event")


class NewerEvent(EventIn):
    """A line of a kind that a newer phone knows: kept, and passed over."""

    kind = matching("[a-z][a-z0-9-]{0,31}", but=tuple(DATA_OF))


# What one line is, for the description: `read_events` goes by the same table.
EVENT_KINDS: tuple[type[Schema], ...] = (*(_of_kind(kind) for kind in DATA_OF), NewerEvent)


class EventBatch(Schema):
    """What `POST /api/bakes/<id>/events` takes: {"events": [...]}."""

    class Meta:
        unknown = RAISE

    events = fields.List(
        fields.Nested(EventIn),
        required=True,
        validate=validate.Length(max=MOST_AT_ONCE, error=said.many_at_once(MOST_AT_ONCE)),
    )


def read_events(body: bytes, bake_id: str) -> tuple[Event, ...]:
    """The events of a request body; PlanError with every mistake, `field` being the path ("events.3.data.times")."""
    try:
        loaded: Mapping[str, Any] = EventBatch().load(_json(body))
    except ValidationError as error:
        raise PlanError(*_problems(error.messages)) from None
    problems: list[Problem] = []
    events = [_event(one, bake_id, f"events.{i}", problems) for i, one in enumerate(loaded["events"])]
    if problems:
        raise PlanError(*problems)
    return tuple(events)


def _json(body: bytes) -> Any:
    try:
        return read_json(body, _MOST_VALUES, _MOST_NESTED)
    except ValueError:
        raise refused("body", *said.NO_JSON) from None


def _event(one: dict[str, Any], bake_id: str, path: str, problems: list[Problem]) -> Event:
    if one["bake_id"] != bake_id:
        problems.append(told(f"{path}.bake_id", *said.OTHER_BAKE))
    data = one["data"]
    if _depth(data) > MOST_DEPTH:
        problems.append(told(f"{path}.data", *said.nested(MOST_DEPTH)))
        return Event(**{**one, "data": {}})
    # Any value nested anywhere counts. What is not finite (1e999 reads as infinity) cannot be written back as JSON, and
    # half a character (a lone surrogate) not as UTF-8: UnicodeEncodeError is a ValueError.
    try:
        size = len(json.dumps(data, allow_nan=False, ensure_ascii=False).encode())
        one["phone"].encode()
    except (ValueError, RecursionError):
        size = MOST_DATA_BYTES + 1
    if size > MOST_DATA_BYTES:
        problems.append(told(f"{path}.data", *said.large(MOST_DATA_BYTES)))
    elif one["kind"] in DATA_OF:
        try:
            data = DATA_OF[one["kind"]]().load(data)
        except ValidationError as error:
            problems += _problems(error.messages, f"{path}.data")
    return Event(**{**one, "data": data})


def _depth(value: object) -> int:
    """How many groups and lists lie inside each other; stops counting once that is too many."""
    level, depth = [value], 0
    while (level := [one for one in level if isinstance(one, dict | list)]) and depth <= MOST_DEPTH:
        depth += 1
        level = [inner for one in level for inner in (one.values() if isinstance(one, dict) else one)]
    return depth


def _problems(messages: Any, path: str = "") -> list[Problem]:
    if isinstance(messages, Mapping):
        deeper = ((f"{path}.{key}".lstrip(".") if key != "_schema" else path, one) for key, one in messages.items())
        return [problem for key, one in deeper for problem in _problems(one, key)]
    return [told(path or "body", str(text), said.SEE_SCHEMAS) for text in messages]
