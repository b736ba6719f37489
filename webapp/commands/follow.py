"""`suppertide follow`: what the phone would say of a bake, or of many, with no phone and no server."""

from __future__ import annotations

import math
from collections.abc import Mapping
from pathlib import Path
from typing import Any, get_args

import click

from webapp.commands.cases import group_of, instant_of, json_of, list_of
from webapp.commands.frame import Options, Spoken, lists, says
from webapp.core.kinds import LOOKS, POKES, RESTING_PLACES, OutsideKind
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.now.taken import event_data
from webapp.core.now.ways import ways
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed, RetimedStep, timed_steps
from webapp.core.plan.state import Moved
from webapp.core.plan.way import Way
from webapp.core.rise.certainty import Z80
from webapp.records import from_plain, to_plain
from webapp.words.problems.told import refused


@lists(looks=LOOKS, pokes=POKES, places=RESTING_PLACES, outside=get_args(OutsideKind))
@click.command("follow", cls=Spoken)
@click.argument("bundle", type=click.Path(path_type=Path))
@click.option("--journal", type=click.Path(path_type=Path), help="EVENTS.json; else what the bundle brings along.")
@click.option("--at", "at_text", help="Now: UTC seconds or 2026-06-10T17:45 (UTC unless it names an offset).")
@says
def follow_command(bundle: Path, journal: Path | None, at_text: str | None) -> Options | list[Options]:
    """What the phone would say at that instant: estimate, band, marks, steps, ways from here.

    BUNDLE.json ("-": standard input) is what a phone packs ({"plan", "events"}), a plan alone, or a list of cases
    {"bundle": ..., "journal": [...], "at": ...}, answered in the same order. Events are those of the journal; of each
    only `kind`, `at` and `data` are needed here:

    \b
      done begun      {step_id}            glass   {times}     times the first volume
      looked          {seen}               {looks}, at pressing
      poked           {springs}            {pokes}, before loading
      room dough      {temp_c}             moved   {place}     {places}
      later           {until}              supper  {instant}
      way             as in a way's `event` below: taken as it is

    \b
    Prints for each case (instants in UTC seconds)
      estimate   ln_mean, ln_sd of ln(this dough's rate / the plan's); rate_times with its 80 % band;
                 outside: {outside}
      now        progress with its band, dough_c, place, supper_at, ready_at, late_s
      marks      press and load while they are to come: early_at, best_at, past_at of this dough (0 = never),
                 progress at the step with its band, and what is best there
      steps      step_id, start_at, end_at, status, flag, moved_s
      ways       best first: kind, press_at (0 = pressed), load_at, ready_at, supper_at, place, moves, progress
                 at loading with its band, ratio to best, result, late_s against the supper wished for, asks
                 (true: not without asking the person), loss, and the `event` that takes it
    """
    at = None if at_text is None else _typed(at_text)
    data = json_of(bundle)
    told = None if journal is None else _events_in(json_of(journal))
    if isinstance(data, list):
        return [_case(one, told, at, f"cases.{i}.") for i, one in enumerate(data)]
    return _case(data, told, at, "")


def _typed(text: str) -> int:
    return instant_of(int(text) if text.lstrip("-").isdigit() else text, "at")


def _events_in(data: object) -> object:
    return data["events"] if isinstance(data, Mapping) and "events" in data else data


def _case(data: object, journal: object, at: int | None, path: str) -> Options:
    case = group_of(data, path.rstrip(".") or "file")
    pack = group_of(case["bundle"], f"{path}bundle") if "bundle" in case else case
    plain = pack.get("plan", pack)
    plan = from_plain(Plan, plain, f"{path}plan")
    rows = journal if journal is not None else _events_in(case.get("journal", pack.get("events", [])))
    events = [_event(row, i, plan, f"{path}journal.{i}") for i, row in enumerate(list_of(rows, f"{path}journal"))]
    now = instant_of(case["at"], f"{path}at") if "at" in case else at
    if now is None:
        raise refused(f"{path}at", "When it is now is not said.", "Give --at, or `at` in the case.")
    return followed(plan, events, now)


def _event(row: object, number: int, plan: Plan, path: str) -> Event:
    """An event of the journal; what only a phone knows (ids, when it was written down) may be left out."""
    one = group_of(row, path)
    at = instant_of(one.get("at"), f"{path}.at")
    known = {"event_id": f"{number:032x}", "bake_id": plan.bake_id, "phone": "script", "logged_at": at, "data": {}}
    return from_plain(Event, {**known, **one, "at": at}, path)


def followed(plan: Plan, events: list[Event], now: int) -> Options:
    """What the phone says of this bake at that instant, as plain values with units in their keys."""
    state = fold(plan, events)
    here = retime(plan, state, now)
    return {
        "at": now,
        "estimate": _estimate(here),
        "now": {
            "progress": here.progress, "low_progress": here.progress_low, "high_progress": here.progress_high,
            "dough_c": here.dough_c, "place": here.place, "supper_at": here.eat_at, "ready_at": here.ready_at,
            "late_s": here.late_s, "current": here.current, "next": here.next, "way": here.way,
        },
        "marks": [_mark(step.mark.best, one) for step, one in timed_steps(plan, here)
                  if step.mark is not None and one.status == "open"],
        "steps": [_step(one) for one in here.steps],
        "ways": [_way(one) for one in ways(plan, state, now)],
    }  # fmt: skip


def _estimate(here: Retimed) -> Options:
    return {
        "ln_mean": here.ln_mean, "ln_sd": here.ln_sd, "rate_times": math.exp(here.ln_mean),
        "low_times": math.exp(here.ln_mean - Z80 * here.ln_sd), "high_times": math.exp(here.ln_mean + Z80 * here.ln_sd),
        "outside": list(here.outside),
    }  # fmt: skip


def _mark(best: float, one: RetimedStep) -> Options:
    return {
        "step_id": one.step_id, "early_at": one.early_at, "best_at": one.best_at, "past_at": one.past_at,
        "start_at": one.start, "progress": one.progress, "low_progress": one.progress_low,
        "high_progress": one.progress_high, "best_progress": best, "flag": one.flag,
    }  # fmt: skip


def _step(one: RetimedStep) -> Options:
    return {
        "step_id": one.step_id, "start_at": one.start, "end_at": one.end, "status": one.status, "flag": one.flag,
        "moved_s": one.moved_s,
    }  # fmt: skip


def _moves(moves: tuple[Moved, ...]) -> Any:
    return to_plain(moves)


def _way(way: Way) -> Options:
    return {
        "kind": way.kind, "press_at": way.press_at, "load_at": way.load_at, "ready_at": way.ready_at,
        "supper_at": way.supper, "place": way.place, "moves": _moves(way.moves), "progress": way.progress,
        "low_progress": way.low, "high_progress": way.high, "ratio": way.ratio, "result": way.result,
        "late_s": way.late_s, "asks": way.asks, "loss": way.loss,
        "event": {"kind": "way", "data": event_data(way, way.asks)},
    }  # fmt: skip
