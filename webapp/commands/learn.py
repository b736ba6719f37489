"""`suppertide learn`: what the observations of a kitchen, or of many, say about how quick its dough is."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from webapp.commands.cases import group_of, instant_of, json_of, list_of, number_of
from webapp.commands.frame import Options, Spoken, lists, says, tidy
from webapp.core.errors import PlanError
from webapp.core.kinds import LOOKS, POKES, VERDICTS
from webapp.core.learning import observed
from webapp.core.learning.observed import Observation
from webapp.core.learning.vigour import posterior
from webapp.core.rise.certainty import Z80
from webapp.words.problems.told import refused

_Shares = Mapping[str, float]
_WORDS: Mapping[str, tuple[_Shares, float]] = {
    "press": (observed.PRESS_SHARES, observed.PRESS_SD),
    "poke": (observed.POKE_SHARES, observed.POKE_SD),
    "verdict": (observed.VERDICT_SHARES, observed.VERDICT_SD),
}
_ALSO = {"looked": "press", "poked": "poke"}  # as the journal calls them
_DIGITS = 6


@lists(times=(f"{observed.RISEN_FROM} to {observed.MOST_TIMES:.0f}",), looks=LOOKS, pokes=POKES, verdicts=VERDICTS)
@click.command("learn", cls=Spoken)
@click.argument("observations", type=click.Path(path_type=Path))
@click.option("--at", "at_text", help="When the next bake is: UTC seconds or 2026-06-10T17:45; else the last reading.")
@says
def learn_command(observations: Path, at_text: str | None) -> Options | list[Options]:
    """How quick a kitchen's next dough will be against the model, from what was seen of its bakes.

    OBSERVATIONS.json ("-": standard input) holds one case or a list of cases, answered in the same order. A case is a
    list of observations, or an object {"observations": [...], "at": instant of the next bake}. An observation:

    \b
      bake           any name; marks of one bake are taken together (no name: stands alone)
      at             UTC seconds, or 2026-06-10T17:45 (UTC unless it names an offset)
      kind           glass | press | poke | verdict | rate
      value          glass    times the first volume, {times}
                     press    {looks}, or a share of best
                     poke     {pokes}, or a share of best
                     verdict  {verdicts}, or a share of best
                     rate     times the model's rate, as seen
      unit_progress  progress that the model at vigour 1 had by then (rise E when progress = E ** 0.75);
                     not for rate
      best_progress  press, poke, verdict: what was best at that step; 1 (doubled) when not given
      read_sd_ln     rate: sd of its reading, ln; 0.12 when not given

    \b
    Prints for each case
      mean_ln, sd_ln        of ln(rate / model's rate) of the next bake
      scatter_sd_ln         between bakes of this kitchen
      rate_times            exp(mean_ln); low_times, high_times: its 80 % band
      bakes                 how many were learned from
      left_out              places of observations that say nothing (a glass that has not risen)
    """
    at = None if at_text is None else instant_of(_typed(at_text), "at")
    data = json_of(observations)
    if _is_one(data):
        return _answer(data, at, "")
    return [_answer(case, at, f"cases.{i}.") for i, case in enumerate(data)]


def _typed(text: str) -> int | str:
    return int(text) if text.lstrip("-").isdigit() else text


def _is_one(data: object) -> bool:
    """One case: an object, or a list whose first entry is an observation (or that has none)."""
    if not isinstance(data, list):
        return True
    return not data or (isinstance(data[0], Mapping) and "observations" not in data[0])


def _answer(case: object, at: int | None, path: str) -> Options:
    rows = case if isinstance(case, list) else group_of(case, path.rstrip(".") or "file").get("observations")
    seen: list[Observation] = []
    left_out = []
    for i, row in enumerate(list_of(rows, f"{path}observations")):
        one = _observation(row, f"{path}observations.{i}")
        if one is None:
            left_out.append(i)
        else:
            seen.append(one)
    if at is None and isinstance(case, Mapping) and "at" in case:
        at = instant_of(case["at"], f"{path}at")
    mean, sd, scatter = posterior(seen, max((one.at for one in seen), default=0) if at is None else at)
    return {
        "mean_ln": tidy(mean, _DIGITS), "sd_ln": tidy(sd, _DIGITS), "scatter_sd_ln": tidy(scatter, _DIGITS),
        "rate_times": tidy(math.exp(mean), _DIGITS), "low_times": tidy(math.exp(mean - Z80 * sd), _DIGITS),
        "high_times": tidy(math.exp(mean + Z80 * sd), _DIGITS), "bakes": len(observed.one_each(seen)),
        "left_out": left_out,
    }  # fmt: skip


def _observation(row: object, path: str) -> Observation | None:
    """None for what says nothing; PlanError naming the field for what is none."""
    one = group_of(row, path)
    kind = _ALSO.get(str(one.get("kind")), one.get("kind"))
    read = _KINDS.get(str(kind))
    if read is None:
        raise refused(f"{path}.kind", f"“{kind}” is no kind of observation.", f"One of {', '.join(_KINDS)}.")
    at = instant_of(one.get("at"), f"{path}.at")
    value = one.get("value") if isinstance(one.get("value"), str) else number_of(one.get("value"), f"{path}.value")
    seen = read(str(kind), value, one, path)
    bake = one.get("bake")
    return None if seen is None else replace(seen, at=at, bake="" if bake is None else str(bake))


_Row = Mapping[str, Any]


def _glass(_: str, value: object, row: _Row, path: str) -> Observation | None:
    times, unit = number_of(value, f"{path}.value"), number_of(row.get("unit_progress"), f"{path}.unit_progress")
    try:
        return observed.glass(0, times, unit)
    except PlanError:
        return None


def _word(kind: str, value: object, row: _Row, path: str) -> Observation | None:
    shares, sd = _WORDS[kind]
    if isinstance(value, str) and value not in shares:
        raise refused(f"{path}.value", f"“{value}” is not said of it.", f"One of {', '.join(shares)}.")
    share = shares[value] if isinstance(value, str) else number_of(value, f"{path}.value")
    side = observed.SIDES.get(value, observed.NO_SIDE) if isinstance(value, str) else observed.NO_SIDE
    best = number_of(row.get("best_progress", 1.0), f"{path}.best_progress")
    unit = number_of(row.get("unit_progress"), f"{path}.unit_progress")
    try:
        return observed.share_of_best(0, share, best, unit, sd, side=side)
    except PlanError:
        return None


def _rate(_: str, value: object, row: _Row, path: str) -> Observation | None:
    times = number_of(value, f"{path}.value")
    sd = number_of(row.get("read_sd_ln", observed.GLASS_SD), f"{path}.read_sd_ln")
    if not 0 < times < math.inf or not 0 < sd < math.inf:
        raise refused(f"{path}.value", "A rate and its sd are above 0.", "1 is the model's own.")
    return Observation(0, math.log(times), sd)


_KINDS: Mapping[str, Callable[[str, object, _Row, str], Observation | None]] = {
    "glass": _glass, "press": _word, "poke": _word, "verdict": _word, "rate": _rate,
}  # fmt: skip
