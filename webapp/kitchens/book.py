"""The book: what was baked, how it came out, what was different from last time, what the kitchen has learned."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from webapp.core.kinds import OUTCOME_PARTS, EventKind, MassUnit
from webapp.core.kitchen import Kitchen
from webapp.core.learning import vigour
from webapp.core.learning.bake_numbers import numbers_of
from webapp.core.learning.diagnosis import Diagnosis, causes
from webapp.core.learning.lessons import Lesson, lessons
from webapp.core.now.journal import dough_of, fold
from webapp.core.now.taken import event_data
from webapp.core.now.ways import ways
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed
from webapp.core.scale.as_made import as_made
from webapp.data import trouble as trouble_data
from webapp.kitchens import bakes, sample_glass
from webapp.kitchens.bakes import FollowedBake, add_to_journal, followed_bake, kitchen_of, readable
from webapp.kitchens.kept import journal
from webapp.kitchens.unbegun import is_past, never_begun
from webapp.store.bakes import PickedRow
from webapp.store.ids import NewId
from webapp.store.store import Store
from webapp.words.kinds.dough import yeast_word
from webapp.words.kinds.pans import LOADING, loading_words, pans_in_full
from webapp.words.pages import book as book_words
from webapp.words.problems import kept as words
from webapp.words.problems.told import refused
from webapp.words.shared import UNCALLED_PAN
from webapp.words.spoken import spoken_oven

GOOD = "good"
MOST_SHOWN = 60
MOST_LEARNED_FROM = 40  # bakes; older ones weigh next to nothing anyway
_LEARN_S = 400 * 86400
_MOST_LESSONS = 512  # bakes whose lessons are remembered, of all kitchens
_MOST_NOTE = 2000


@dataclass(frozen=True)
class BookEntry:
    """One bake in the book. `signs` are keys of tables/trouble.toml; `outcome` is what was said of each part."""

    row: PickedRow
    plan: Plan
    outcome: Mapping[str, str]
    notes: tuple[str, ...]
    signs: tuple[str, ...]
    never_begun: bool  # nothing was said of it while it could have been made
    eaten_at: int  # as it went; where not all was done, when it was wanted last
    different: tuple[tuple[str, str, str], ...]  # (what, the time before, this time)


@dataclass(frozen=True)
class Taught:
    """The kitchen with what past bakes say about its yeast, and the evidence."""

    kitchen: Kitchen
    lessons: tuple[Lesson, ...]
    band_percent: float


def book(store: Store, kitchen_id: str, now: int) -> tuple[tuple[BookEntry, ...], tuple[PickedRow, ...]]:
    """Bakes whose supper is past, that were given up or that somebody said something about, the latest first; and those
    that belong among them and cannot be read."""
    entries: list[BookEntry] = []
    read: list[Plan] = []
    with store.reading():
        rows = {row.bake_id: row for row in _latest(store, kitchen_id, now)}
        for plan, events in readable(store, kitchen_id, rows):
            read.append(plan)
            stands = bakes.stands_at(plan, events, now)
            if stands.state.supper <= now or stands.state.outcome or rows[plan.bake_id].dropped_at is not None:
                entries.append(_entry(rows[plan.bake_id], stands))
    entries.sort(key=lambda one: one.eaten_at, reverse=True)
    unit = kitchen_of(store, kitchen_id).mass_unit
    found = (replace(one, different=_against_last(one, entries[i + 1 :], unit)) for i, one in enumerate(entries))
    return tuple(found), bakes.unreadable(rows.values(), read)


def _latest(store: Store, kitchen_id: str, now: int) -> tuple[PickedRow, ...]:
    rows = store.picked(kitchen_id, newest_first=True)
    return tuple(row for row in rows if row.supper < now + 86400 or row.dropped_at is not None)[:MOST_SHOWN]


def entry(store: Store, now: int, kitchen_id: str, bake_id: str) -> tuple[BookEntry, Diagnosis, Retimed]:
    """One bake in the book, with the causes of what came out wrong."""
    stands = followed_bake(store, now, kitchen_id, bake_id)
    rows = {row.bake_id: row for row in store.picked(kitchen_id)}
    found = _entry(rows[bake_id], stands)
    found = replace(found, never_begun=found.never_begun and is_past(stands.plan, stands.state, now))
    numbers = numbers_of(stands.plan, stands.retimed, kitchen_of(store, kitchen_id).oven)
    went = stands.retimed if found.row.dropped_at is None else _given_up(stands, found.row.dropped_at, now)
    return found, causes(found.signs, numbers, trouble_data.cause_rules()), went


def _given_up(stands: FollowedBake, dropped_at: int, now: int) -> Retimed:
    """How the day went until it was given up, or until something was done of it after all: nothing came then."""
    until = min(now, max([dropped_at, *(one.at for one in stands.state.done)]))
    went = bakes.stands_at(stands.plan, stands.events, until).retimed
    never = {one.step_id for one in went.steps if one.status == "open"}
    steps = (replace(one, status="passed", flag="") if one.step_id in never else one for one in went.steps)
    return replace(went, steps=tuple(steps), curve=tuple(one for one in went.curve if one.at <= until))


def write_outcome(
    store: Store, now: int, new_id: NewId, kitchen_id: str, bake_id: str, said: Mapping[str, str], note: str = ""
) -> None:
    """Write how it came out into the journal, from a page without scripts. `said` by part, "verdict" and "timing"."""
    outcome = {part: text for part, text in said.items() if part in (*OUTCOME_PARTS, "verdict", "timing") and text}
    note = note.strip()
    if len(note) > _MOST_NOTE:
        raise refused("note", *words.long_note(len(note), _MOST_NOTE))
    if not outcome and not note:
        raise refused("note", *words.NOTHING_SAID)
    logged_at = _said_next(store, now, kitchen_id, bake_id)
    lines = []
    if outcome:
        lines.append(_line(new_id(), bake_id, now, logged_at, "outcome", dict(outcome)))
    if note:
        lines.append(_line(new_id(), bake_id, now, logged_at, "note", {"text": note}))
    add_to_journal(store, now, kitchen_id, bake_id, lines)


def move_supper(store: Store, now: int, new_id: NewId, kitchen_id: str, bake_id: str, supper: int) -> None:
    """Change a dough that is mixed from where it stands: supper is wanted then, and the best way there is taken.

    Where that is to go on with the oven off meanwhile, it is taken too: the oven is told of by ways.
    """
    with store.transaction():
        stands, logged_at = followed_bake(store, now, kitchen_id, bake_id), _said_next(store, now, kitchen_id, bake_id)
        moved = _line(new_id(), bake_id, now, logged_at, "supper", {"instant": supper})
        lines = [replace(moved, revision=dough_of(stands.plan))]
        found = ways(stands.plan, fold(stands.plan, [*stands.events, *lines]), now)
        if found and (found[0].kind != "as-planned" or found[0].relit_at):
            way = _line(new_id(), bake_id, now, logged_at + 1, "way", event_data(found[0], True))
            lines.append(replace(way, revision=dough_of(stands.plan)))
        add_to_journal(store, now, kitchen_id, bake_id, lines)


def carry_on(store: Store, now: int, new_id: NewId, kitchen_id: str, before: FollowedBake, plan: Plan) -> None:
    """What was chosen at the bench for a dough that is not mixed, said again of `plan`, the same dish planned anew: the
    pan to bake in, the yeast that is there. What was said of a step's time is of the old day."""
    state, chosen = before.state, list[tuple[EventKind, dict[str, object]]]()
    if state.area_cm2:
        chosen.append(("pan", {"area_cm2": state.area_cm2, "name": state.pan}))
    if state.yeast:
        chosen.append(("yeast", {"yeast": state.yeast}))
    if not chosen or (plan.formula_key, plan.pans) != (before.plan.formula_key, before.plan.pans):
        return
    at = _said_next(store, now, kitchen_id, plan.bake_id)
    lines = (_line(new_id(), plan.bake_id, now, at + n, kind, data) for n, (kind, data) in enumerate(chosen))
    add_to_journal(store, now, kitchen_id, plan.bake_id, [replace(one, revision=plan.revision) for one in lines])


def _said_next(store: Store, now: int, kitchen_id: str, bake_id: str) -> int:
    """When a line of ours is written: after all that the journal holds, however far ahead the clock of a phone was."""
    return max([now, *(event.logged_at + 1 for event in journal(store, kitchen_id, bake_id))])


def taught(store: Store, now: int, kitchen_id: str) -> Taught:
    """The kitchen as past bakes have taught it: `vigour_ln_mean` and `_sd` from what was seen of them."""
    kitchen = kitchen_of(store, kitchen_id)
    learned: list[Lesson] = []
    with store.reading():
        teachers = store.bakes_that_teach(kitchen_id, now - _LEARN_S, MOST_LEARNED_FROM)
        for plan, events in readable(store, kitchen_id, teachers):
            learned += _lessons_of(plan, events)
    learned += sample_glass.lessons(store, kitchen_id, now - _LEARN_S)
    learned.sort(key=lambda one: one.at)
    mean, sd, _ = vigour.posterior((one.observation for one in learned), now)
    return Taught(
        replace(kitchen, vigour_ln_mean=mean, vigour_ln_sd=sd), tuple(reversed(learned)), vigour.band_percent(sd)
    )


@lru_cache(_MOST_LESSONS)
def _lessons_of(plan: Plan, events: tuple[Event, ...]) -> tuple[Lesson, ...]:
    """`lessons`, remembered: every question to the planner asks what past bakes have taught, and they are past."""
    return lessons(plan, events)


def unlearned_percent(store: Store, now: int, kitchen_id: str) -> float:
    """How wide the band of a kitchen is that has taught nothing yet (half of it, percent); 0 when it has."""
    since = now - _LEARN_S
    with store.reading():
        told = store.bakes_that_teach(kitchen_id, since, 1) or sample_glass.lessons(store, kitchen_id, since)
    return 0.0 if told else vigour.band_percent(vigour.PRIOR[1])


def _entry(row: PickedRow, stands: FollowedBake) -> BookEntry:
    plan, state = stands.plan, stands.state
    eaten_at = state.supper if stands.retimed.current else stands.retimed.eat_at
    outcome = dict(state.outcome)
    known = {sign.key for sign in trouble_data.signs()}
    signs = tuple(word for part in OUTCOME_PARTS for word in outcome.get(part, "").split() if word in known)
    made = as_made(plan, state, UNCALLED_PAN)
    return BookEntry(row, made, outcome, state.notes, signs, never_begun(state), eaten_at, ())


def _against_last(one: BookEntry, earlier: Sequence[BookEntry], unit: MassUnit) -> tuple[tuple[str, str, str], ...]:
    """What was different from the last bake of the same dough."""
    alike = (before for before in earlier if before.plan.formula_key == one.plan.formula_key)
    last = next((before for before in alike if not before.never_begun), None)
    if last is None:
        return ()
    return tuple((what, old, new) for what, old, new in _facts(last.plan, one.plan, unit) if old != new)


def _facts(old: Plan, new: Plan, unit: MassUnit) -> list[tuple[str, str, str]]:
    asked = (
        (book_words.WAY, lambda p: p.trade.method_name),
        (book_words.YEAST, lambda p: f"{p.yeast_percent:.2g} % {yeast_word(p.yeast_kind).lower()}"),
        (book_words.WATER, lambda p: f"{p.percent_of('water'):.3g} %"),
        (LOADING, lambda p: loading_words(p.loading_g_cm2, unit)),
        (book_words.PANS, lambda p: pans_in_full(p.pans)),
        (book_words.OVEN, lambda p: _oven(p)),
    )
    return [(what, ask(old), ask(new)) for what, ask in asked]


def _oven(plan: Plan) -> str:
    oven = spoken_oven(plan.oven, "C")
    return book_words.oven_in_short(oven.dial, oven.slab, oven.preheat_min)


def _line(some_id: str, bake_id: str, now: int, logged_at: int, kind: EventKind, data: dict[str, object]) -> Event:
    # Journal ids are 128 bits in hex wherever they are made.
    event_id = hashlib.sha256(some_id.encode()).hexdigest()[:32]
    return Event(event_id, bake_id, now, logged_at, "server", kind, data)
