"""Is a file that somebody brings in one that this app could have written? What cannot be must not lock anybody out.

`check_document` looks at every value whatever it means; the others at one record each. All raise ShapeError naming
the path, before anything is written.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from webapp.core.day.hours import hours_problems
from webapp.core.errors import PlanError, Problem
from webapp.core.kitchen import MOST_ALARM_MIN, NO_ALARM, Kitchen, Person
from webapp.core.learning.habits import FIELDS, MOST_NOTES
from webapp.core.ranges import MOST_LETTERS, MOST_NUMBER, MOST_WHOLE
from webapp.doughs.own import name_of
from webapp.doughs.own_kinds import OWN_KINDS
from webapp.forms import kitchen as kitchen_form
from webapp.forms.pans import MOST_PANS
from webapp.forms.person import MOST_PEOPLE, read_person, typed_person
from webapp.forms.typed import Answers
from webapp.kitchens.kept import MOST_ALARMS
from webapp.records import ShapeError, from_plain
from webapp.store.store import Store
from webapp.words.problems import files as said
from webapp.words.problems.told import in_words, told

MOST_FILE_DEPTH = 30  # groups inside groups; ours have a dozen


def wrong(path: str, expected: str) -> ShapeError:
    """What should stand at that path."""
    return ShapeError(told(path, *said.should_be(expected)))


def check_document(document: object) -> None:
    """ShapeError for texts that no page could show, numbers that nothing could be reckoned with, endless nesting."""
    level: list[tuple[str, object]] = [("file", document)]
    for _ in range(MOST_FILE_DEPTH):
        level = [inner for path, value in level for inner in _inside(path, value)]
        if not level:
            return
    raise wrong(level[0][0][:200], said.nested(MOST_FILE_DEPTH))


def _inside(path: str, value: object) -> Iterable[tuple[str, object]]:
    if isinstance(value, Mapping):
        for key in value:
            _check_text(path, key)
        return [(f"{path}.{key[:40]}", inner) for key, inner in value.items()]
    if isinstance(value, list):
        return [(f"{path}.{i}", inner) for i, inner in enumerate(value)]
    if isinstance(value, str):
        _check_text(path, value)
    elif isinstance(value, int | float):
        most = MOST_WHOLE if isinstance(value, int) else MOST_NUMBER
        if not -most < value < most:  # NaN is in no range
            raise wrong(path, said.SMALLER_NUMBER)
    return ()


def _check_text(path: str, text: str) -> None:
    try:
        text.encode()  # half a character (a lone surrogate) can be read from JSON and be written nowhere
        readable = len(text) <= MOST_LETTERS and "\0" not in text
    except UnicodeEncodeError:
        readable = False
    if not readable:
        raise wrong(path, said.readable_text(MOST_LETTERS))


def kitchen_of_file(data: object) -> Kitchen:
    """The kitchen, if its settings pages could have made it."""
    kitchen = from_plain(Kitchen, data, "kitchen")
    problems = list(hours_problems(kitchen.people))
    if not problems:
        problems += [one for person in kitchen.people for one in _person_problems(person)]
    if len(kitchen.pans) > MOST_PANS or len(kitchen.room) > kitchen_form.MOST_PARTS:
        problems.append(told("pans", said.MUCH_FOR_ONE))
    if len(kitchen.people) > MOST_PEOPLE:
        problems.append(told("people", said.people_at_most(MOST_PEOPLE)))
    problems += _learnt_problems(kitchen)
    for section in kitchen_form.SECTIONS.values():
        try:
            section.read(Answers(section.typed(kitchen)), kitchen)
        except PlanError as error:
            problems += error.problems
    if problems:
        raise ShapeError(*(in_words(one, f"kitchen.{one.field}") for one in problems))
    return kitchen


def _person_problems(person: Person) -> tuple[Problem, ...]:
    """A week that does not come back from its form as it went in is none that the form could have made."""
    try:
        same = read_person(Answers(typed_person(person))) == person
    except PlanError as error:
        return error.problems
    return () if same else (told("people", said.NO_SUCH_WEEK),)


def _learnt_problems(kitchen: Kitchen) -> Iterable[Problem]:
    minutes = [minute for _, minute in kitchen.alarms]
    if len(minutes) > MOST_ALARMS or not all(NO_ALARM <= minute <= MOST_ALARM_MIN for minute in minutes):
        yield told("alarms", said.alarms_at_most(MOST_ALARM_MIN))
    bounds = [(habit.value, *FIELDS.get(habit.field, (1.0, 0.0))) for habit in kitchen.habits]
    if len(bounds) > len(FIELDS) + MOST_NOTES or not all(low <= value <= high for value, low, high in bounds):
        yield told("habits", said.NO_SUCH_CHANGE)


# -- the larder of a file

_OWN_KEY = re.compile(r"own-[A-Za-z0-9_-]{1,40}")  # what a kitchen made itself
_MOST_VERSIONS = 1000


@dataclass(frozen=True)
class LarderItem:
    """Something from the larder of the file, with its versions, read and checked."""

    kind: str  # "shelf" in the file
    key: str
    bodies: tuple[Mapping[str, Any], ...]
    put_away: bool
    readable: bool

    @property
    def name(self) -> str:
        """What a person calls it, where that can be read."""
        return name_of(self.bodies[-1], self.key)


def read_larder_item(data: object, path: str) -> LarderItem:
    """One of the larder; ShapeError for what no kitchen made."""
    one = group(data, path)
    kind, key = text(one.get("shelf"), f"{path}.shelf"), text(one.get("key"), f"{path}.key")
    if kind not in OWN_KINDS or not _OWN_KEY.fullmatch(key):
        raise wrong(f"{path}.key", said.MADE_ITSELF)
    bodies = tuple(group(body, f"{path}.versions") for body in list_of(one, "versions", path))
    if not 0 < len(bodies) <= _MOST_VERSIONS:
        raise wrong(f"{path}.versions", f"1 to {_MOST_VERSIONS}")
    return LarderItem(kind, key, bodies, bool(one.get("put_away")), all(_is_readable(kind, body) for body in bodies))


def _is_readable(kind: str, body: Mapping[str, Any]) -> bool:
    """Can this program read it? What it cannot is left out and named: the rest of the file is none the worse."""
    with suppress(PlanError):
        OWN_KINDS[kind].read(body)
        return True
    return False


def bring_larder_item(store: Store, now: int, kitchen_id: str, one: LarderItem) -> None:
    """Into the larder with all its versions, unless its key is there."""
    if one.key in store.larder_keys(kitchen_id, one.kind):
        return
    for body in one.bodies:
        store.put_in_larder(kitchen_id, one.kind, one.key, {**body, "key": one.key}, now)
    if one.put_away:
        store.put_away(kitchen_id, one.kind, one.key)


def group(data: object, path: str) -> Mapping[str, Any]:
    """Named values, or ShapeError at `path`."""
    if not isinstance(data, Mapping):
        raise wrong(path, said.NAMED_VALUES)
    return data


def list_of(data: Mapping[str, Any], name: str, path: str = "") -> list[Any]:
    """A list by its name, empty where there is none."""
    value = data.get(name, [])
    if not isinstance(value, list):
        raise wrong(f"{path}.{name}".lstrip("."), said.A_LIST)
    return value


def text(value: object, path: str) -> str:
    """A short text."""
    if not isinstance(value, str) or not 0 < len(value) <= 64:
        raise wrong(path, said.SHORT_TEXT)
    return value
