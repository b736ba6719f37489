"""Asked as somebody would who has the two commands, SciPy and the tables on paper, and nothing else of this house.

The dough is integrated from the plan's JSON by `solve_ivp`, posteriors by `quad` from prior and likelihoods, the least
loss by trying every loading on the grid of five minutes. The errors, shares and losses are the tables as they are
printed in the design of this project, written out here again.
"""

from __future__ import annotations

import itertools
import json
import math
import random
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner
from scipy.integrate import quad, solve_ivp  # type: ignore[import-untyped]
from scipy.stats import norm  # type: ignore[import-untyped]

from tests.samples import DAY, sample_plan
from webapp.__main__ import main
from webapp.records import to_plain

Row = dict[str, Any]
MIXED, PRESS, LOAD = DAY + 27000, DAY + 60300, DAY + 68100  # 07:30, 16:45 and 18:55 of the sample day
PRESS_S, LIT_S, TOP_S = 600, 2700, 600  # hands at pressing; the oven is lit, the topping begun so long before loading
PRIOR_SD = 0.35


def asked(command: str, cases: Sequence[Any]) -> list[Row]:
    """The command's answers to these cases."""
    done = CliRunner().invoke(main, [command, "-", "--json"], input=json.dumps(list(cases)))
    assert done.exit_code == 0, done.stderr
    found: list[Row] = json.loads(done.stdout)
    return found


def a_plan(room_c: float | None = None) -> Row:
    """The sample plan as a phone has it, in a kitchen that changes through the day or one that never does."""
    plan = to_plain(sample_plan())
    plan["rise"]["sd"] = PRIOR_SD
    if room_c is not None:
        plan["rise"]["room"] = [{"start": DAY, "temp_c": room_c}]
    return plan


def dough(plan: Row, start: tuple[int, float, float], legs: Sequence[tuple[int, str, str]]) -> tuple[float, float]:
    """Temperature and progress at the end of legs (until, place, vessel), from (instant, temperature, progress) on."""
    rise, (at, temp_c, base) = plan["rise"], start
    table = rise["table"]
    degrees = table["first_c"] + table["step_c"] * np.arange(len(table["rates"]))
    for until, place, vessel in legs:
        if until <= at:
            continue
        share = next(s["share"] for s in rise["shares"] if (s["place"], s["vessel"]) == (place, vessel))

        def around(t: float, place: str = place) -> float:
            if place in ("fridge", "warm"):
                return float(rise[f"{place}_c"])
            return float([span["temp_c"] for span in rise["room"] if span["start"] <= t][-1])

        tau = -60 / math.log(1 - share)

        def slope(t: float, y: Sequence[float], tau: float = tau, c: Callable[[float], float] = around) -> list[float]:
            return [(c(t) - y[0]) / tau, float(np.interp(y[0], degrees, table["rates"]))]

        end = solve_ivp(slope, (at, until), [temp_c, base], rtol=1e-7, max_step=300).y[:, -1]
        at, temp_c, base = until, float(end[0]), float(end[1])
    return temp_c, base


def likelihood_of(plan: Row, kind: str, said: Any) -> tuple[float, float]:
    """Progress that was seen, and its error (sd of ln progress), by the table of observations."""
    best = {step["kind"]: step["mark"]["best"] for step in plan["steps"] if step["mark"]}
    if kind == "glass":
        marks = [(1.0, 0.0), *((one["times"], one["progress"]) for one in plan["rise"]["glass"])]
        risen = max(said, 1.5)  # a height off by 8 % of itself, a line by 3 % of the first
        return float(np.interp(said, *zip(*marks, strict=True))), 0.75 * math.hypot(
            0.08 * risen / (risen - 1), 0.03 / (said - 1)
        )
    if kind == "looked":
        return {"doubled": 0.75, "well-over": 1.0}[said] * best["press"], 0.30
    return {"slowly": 1.00}[said] * best["load"], 0.25


KEY = {"glass": "times", "looked": "seen", "poked": "springs"}
# Those that say "about": at either end a word says "at most" or "at least" (tests/core/now/test_estimate.py).
WORDS = {"looked": ["doubled", "well-over"], "poked": ["slowly"]}


def test_what_is_known_of_a_dough_is_prior_times_likelihoods_integrated() -> None:
    luck = random.Random(12)
    plan = a_plan()
    cases, expected = [], []
    for _ in range(12):
        journal: list[Row] = [{"kind": "done", "at": MIXED, "data": {"step_id": "mix"}}]
        told = []
        for kind in luck.sample(sorted(KEY), luck.randint(1, 3)):
            at = MIXED + luck.randint(4 * 3600, 9 * 3600)
            said: Any = luck.choice(WORDS[kind]) if kind in WORDS else luck.choice([1.5, 1.75, 2.0, 2.4, 2.85])
            journal.append({"kind": kind, "at": at, "data": {KEY[kind]: said}})
            seen, sd = likelihood_of(plan, kind, said)
            told.append((math.log(seen / dough(plan, (MIXED, 22.0, 0.0), [(at, "bench", "bowl")])[1]), sd))

        def density(s: float, told: list[tuple[float, float]] = told) -> float:
            return float(norm.pdf(s, 0, PRIOR_SD) * math.prod(norm.pdf(y, s, sd) for y, sd in told))

        mass, first, second = (quad(lambda s, k=k: s**k * density(s), -3, 3, limit=200)[0] for k in range(3))
        mean = first / mass
        expected.append((mean, math.sqrt(second / mass - mean**2)))
        cases.append({"bundle": plan, "journal": journal, "at": MIXED + 9 * 3600 + 60})
    for one, (mean, sd) in zip(asked("follow", cases), expected, strict=True):
        assert "again" not in one["estimate"]["outside"], "no reading here is strange: those weigh less"
        assert one["estimate"]["ln_mean"] == pytest.approx(mean, abs=2e-3)
        assert one["estimate"]["ln_sd"] == pytest.approx(sd, abs=1e-4)


def loss_by_the_table(plan: Row, s: float, sd: float, pressed: float, loaded: float, late_min: float) -> float:
    """Young 1, past 1.3 over all that the dough may be; 0.1 at pressing; minutes late or sooner."""
    best = {step["kind"]: step["mark"]["best"] for step in plan["steps"] if step["mark"]}
    off = s + math.log(loaded / best["load"])
    dough_off = 1.15 * math.hypot(off, math.sqrt(2 / math.pi) * sd) + 0.15 * off
    minutes = abs(late_min)
    beyond = max(0.0, minutes - 30) * (0.03 if late_min > 0 else 0.02)
    return dough_off + 0.1 * abs(s + math.log(pressed / best["press"])) + min(minutes, 30) * 0.0005 + beyond


@pytest.mark.parametrize("room_c", [19.0, 21.0, 24.0])
def test_no_evening_that_scipy_can_find_is_better_than_the_way_that_stands_first(room_c: float) -> None:
    plan, now = a_plan(room_c), MIXED + 9 * 3600
    mixed = {"kind": "done", "at": MIXED, "data": {"step_id": "mix"}}
    glasses = ({"kind": "glass", "at": now, "data": {"times": times}} for times in (1.35, 1.9, 2.5, 3.6))
    cases: list[Row] = [{"bundle": plan, "at": now + 360, "journal": [mixed, glass]} for glass in glasses]
    here = (now + 360, *dough(plan, (MIXED, 22.0, 0.0), [(now + 360, "bench", "bowl")]))
    for case, one in zip(cases, asked("follow", cases), strict=True):
        s, sd = one["estimate"]["ln_mean"], one["estimate"]["ln_sd"]
        least = math.inf
        spots = [(PRESS, "bench"), (PRESS, "warm"), (here[0], "warm"), (here[0], "fridge")]
        for (press_at, proof), by_min in itertools.product(spots, range(-30, 35, 5)):
            load_at = LOAD + by_min * 60
            out = {"warm": load_at - LIT_S, "fridge": load_at - 600 + 480}.get(proof, load_at)
            if load_at < press_at + PRESS_S + 2700 + TOP_S:
                continue
            pressed = dough(plan, here, [(press_at, "bench", "bowl")])[1]
            legs = [(press_at + PRESS_S, "bench", "bowl"), (out, proof, "tray"), (load_at, "bench", "tray")]
            loaded = dough(plan, here, legs)[1]
            changes = 0.0 if (proof, by_min) == ("bench", 0) else 0.02
            changes += (0.015 if proof != "bench" else 0.0) + (0.004 if abs(by_min) > 15 else 0.0)
            least = min(least, changes + loss_by_the_table(plan, s, sd, pressed, loaded, by_min))
        assert one["ways"][0]["loss"] == min(way["loss"] for way in one["ways"])
        assert one["ways"][0]["loss"] <= least + 0.004, case["journal"][1]["data"]
        assert one["ways"][0]["loss"] > least - 0.35, "nor can any way be much better than all of these"


def test_a_kitchen_that_baked_often_is_where_its_bakes_are() -> None:
    """Twelve alike bakes a week apart at ln rate 0.3: the prior hardly counts, and the sd nears the scatter.

    The mean of a normal prior (sd 0.33) and n readings of sd hypot(scatter, 0.05), by hand with the scatter printed;
    old bakes count less and a change is thought possible, so within a twentieth.
    """
    rows = [{"bake": f"{i}", "at": i * 7 * 86400, "kind": "rate", "value": math.exp(0.3), "read_sd_ln": 0.05}
            for i in range(12)]  # fmt: skip
    (found,) = asked("learn", [{"observations": rows, "at": 12 * 7 * 86400}])
    weight = 12 / (found["scatter_sd_ln"] ** 2 + 0.05**2)
    assert found["mean_ln"] == pytest.approx(0.3 * weight / (weight + 1 / 0.33**2), abs=0.05)
    assert found["scatter_sd_ln"] < 0.15
    assert found["scatter_sd_ln"] < found["sd_ln"] < 2 * found["scatter_sd_ln"]
