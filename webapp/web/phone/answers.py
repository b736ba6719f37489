"""What the JSON API answers when all is well, as schemas for its description."""

from __future__ import annotations

from marshmallow import fields, validate

from webapp.core.kitchen import Kitchen
from webapp.core.learning.diagnosis import Sign
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.kitchens.bakes import SHOWN_OF_KITCHEN
from webapp.planning.changed.misfits import SaidUnfit
from webapp.store.bakes import PickedRow
from webapp.web.phone.described.shapes import AnswerShape, schema_of


def _whole() -> fields.Integer:
    return fields.Integer(required=True, strict=True)


class ListedBake(schema_of(PickedRow)):  # type: ignore[misc]  # made from a record
    """A picked bake in one line."""

    told = _whole()


class BakeList(AnswerShape):
    """`home` tells whose list it is, and nothing else of the kitchen; `worded` by which words this server speaks."""

    schema = _whole()
    bakes = fields.List(fields.Nested(ListedBake), required=True)
    served_at = _whole()
    home = fields.String(required=True)
    worded = fields.String(required=True)


class Question(AnswerShape):
    """Which of two doughs counts, asked of phones other than those in `by`: [words, revision or 0] to tap."""

    by = fields.List(fields.String(), required=True)
    words = fields.String(required=True)
    answers = fields.List(fields.List(fields.Raw(), validate=validate.Length(equal=2)), required=True)
    steps = fields.List(fields.String(), required=True)


class HomeBy(AnswerShape):
    """By when to be home for which step, in words; it holds while that step and supper are at these instants.

    `until`: where the bar of its picture ends, 0 = as without it.
    """

    step_id = fields.String(required=True)
    start = _whole()
    supper = _whole()
    words = fields.String(required=True)
    until = _whole()


class Bundle(AnswerShape):
    """All that a phone needs to follow one bake with no connection."""

    schema = _whole()
    plan = fields.Nested(schema_of(Plan), required=True)
    events = fields.List(fields.Nested(schema_of(Event)), required=True)
    served_at = _whole()
    kitchen = fields.Nested(schema_of(Kitchen), only=SHOWN_OF_KITCHEN, required=True)
    question = fields.Nested(Question, required=True, allow_none=True)
    signs = fields.List(fields.Nested(schema_of(Sign)), required=True)
    words = fields.Dict(required=True)
    calendar = fields.String(required=True)
    home = fields.String(required=True)
    unfit = fields.List(fields.Nested(schema_of(SaidUnfit)), required=True)
    home_by = fields.Nested(HomeBy, required=True, allow_none=True)
    stands = fields.Dict(required=True)
    worded = fields.String(required=True)


class Journal(AnswerShape):
    """What happened to a bake, and by which revision of its plan it is followed."""

    schema = _whole()
    events = fields.List(fields.Nested(schema_of(Event)), required=True)
    revision = _whole()
    served_at = _whole()


class JoinedJournal(Journal):
    """The journal after lines were joined to it: `added` of them were new."""

    added = _whole()
