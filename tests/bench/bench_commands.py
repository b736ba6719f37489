"""The bench of evenings and of learning again, by somebody who knows the two commands alone.

    python -m tests.bench.bench_commands [EVENINGS] [KITCHENS]

Of every evening `suppertide follow` is told, as JSON, what was done and seen, and answers what the phone would say; all
evenings are one call for each moment: coming home with a glass, pressing, the finger before the oven is lit, loading.
The dough that is really there is that of `bench_evenings.py`. `suppertide learn` is told what was read in invented
kitchens and asked for the next bake's rate: how often its 80 % band holds that, how far off its mean is.
"""

from __future__ import annotations

import json
import math
import random
import statistics
import subprocess
import sys
from argparse import ArgumentParser
from dataclasses import dataclass, field
from typing import Any

from tests.bench.bench_evenings import POKE_SD, Evening, Outcome, evening, figures, read
from webapp.records import to_plain

Row = dict[str, Any]
WEEK_S = 7 * 86400
KITCHEN_SD, BAKE_SD, WEIGHING_SD, GLASS_SD = 0.33, 0.15, 0.05, 0.12


def asked(command: str, cases: list[Any]) -> list[Row]:
    """What the command answers to these cases, in their order."""
    words = [sys.executable, "-m", "webapp", command, "-", "--json"]
    done = subprocess.run(words, input=json.dumps(cases), capture_output=True, text=True, check=True)
    found: list[Row] = json.loads(done.stdout)
    return found


@dataclass
class Told:
    """One evening as it is told: a plan and a journal of plain values; where the dough really stood."""

    one: Evening
    plan: Row
    journal: list[Row] = field(default_factory=list)
    stood: list[tuple[int, str, str]] = field(default_factory=list)
    carried: list[tuple[int, str]] = field(default_factory=list)
    at: int = 0

    def say(self, kind: str, at: int, **data: object) -> None:
        """Into the journal."""
        self.journal.append({"kind": kind, "at": at, "data": data})

    def did(self, step: Row, at: int) -> None:
        """A step was done; where it leaves the dough."""
        self.say("done", at, step_id=step["step_id"])
        if step["chain"] and step["kind"] != "relax":
            self.stood.append((at, step["place"], step["vessel"]))

    def case(self) -> Row:
        """What the command is asked."""
        return {"bundle": self.plan, "journal": self.journal, "at": self.at}

    def take(self, way: Row) -> None:
        """The way that stands first, where it is another than going on."""
        if way["kind"] != "as-planned":
            self.journal.append({**way["event"], "at": self.at})
            moves = [(move["at"], move["place"]) for move in way["moves"]]
            self.carried = [*(row for row in self.carried if row[0] < self.at), *moves]

    def rows(self) -> list[tuple[int, str, str]]:
        """Where the dough stood: steps, and what was carried between."""
        out = list(self.stood)
        for at, place in self.carried:
            out.append((at, place, next(v for start, _, v in reversed(self.stood) if start <= at)))
        return sorted(out, key=lambda row: row[0])

    def progress(self, at: int) -> float:
        """How far the dough really is."""
        return self.one.truth.progress(self.rows(), at)

    def best(self, kind: str) -> float:
        """What is best at that step."""
        mark: float = next(step["mark"]["best"] for step in self.plan["steps"] if step["kind"] == kind)
        return mark

    def open(self, said: Row, *kinds: str) -> list[tuple[Row, Row]]:
        """The open steps of these kinds: as planned, and as they are now."""
        planned = {step["step_id"]: step for step in self.plan["steps"]}
        rows = [(planned[now["step_id"]], now) for now in said["steps"] if now["status"] == "open"]
        return [row for row in rows if row[0]["kind"] in kinds]


def told(seed: int, seen: int) -> Told:
    """The evening as far as coming home, where a glass is read."""
    one = evening(seed, seen)
    out = Told(one, to_plain(one.plan), at=one.home + 300)
    mixed = next(step for step in out.plan["steps"] if step["kind"] == "mix")
    for step in out.plan["steps"]:
        if step["chain"] and step["end"] <= one.home:
            out.did(step, step["end"])
    out.stood = [row for row in out.stood if row[0] >= mixed["end"]]
    out.say("glass", out.at, times=read(one.luck, out.progress(out.at)))
    return out


def told_evenings(seeds: range, seen: int) -> list[Outcome]:
    """These evenings to their end, whoever lives them taking the way that stands first."""
    all_of = [told(seed, seen) for seed in seeds]

    def answers() -> list[tuple[Told, Row]]:
        return list(zip(all_of, asked("follow", [one.case() for one in all_of]), strict=True))

    for one, said in answers():
        one.take(said["ways"][0])
    pressed = []
    for one, said in answers():
        ((step, now),) = one.open(said, "press")
        pressed.append(math.log(one.progress(now["start_at"]) / one.best("press")))
        one.did(step, now["end_at"])
        one.at = now["end_at"]
    for one, said in answers():
        ((_, lit),) = one.open(said, "preheat")
        for step, now in one.open(said, "relax"):
            if now["start_at"] <= lit["start_at"]:
                one.did(step, now["end_at"])
                one.at = now["end_at"]
    for one, said in answers():
        one.at = max(one.at, min(now["start_at"] for _, now in one.open(said, "preheat", "top")))
        felt = math.log(one.progress(one.at) / one.best("load")) + one.one.luck.gauss(0, POKE_SD)
        springs = "at-once" if felt < math.log(0.9) else "stays" if felt > math.log(1.12) else "slowly"
        one.say("poked", one.at, springs=springs)
    for one, said in answers():
        one.take(said["ways"][0])
    for kind in ("preheat", "relax", "top"):
        for one, said in answers():
            for step, now in one.open(said, kind):
                one.did(step, now["end_at"])
                one.at = now["end_at"]
    out = []
    for (one, said), press_ln in zip(answers(), pressed, strict=True):
        ((_, load),) = one.open(said, "load")
        off = math.log(one.progress(load["start_at"]) / one.best("load"))
        late_min = (said["now"]["ready_at"] - one.plan["ready_at"]) / 60
        out.append(Outcome(off, late_min, press_ln))
    return out


def kitchens(bakes: int, many: int, odd: float = 0.0, moved: float = 0.0) -> tuple[float, float]:
    """Share of next bakes inside the band, and the median of how far off the mean was.

    One glass a bake, a bake a week; the last bake seen was `odd` quicker than it should (ln), or the kitchen became
    `moved` quicker four bakes ago.
    """
    luck = random.Random(f"{bakes} {odd} {moved}")
    cases, truths = [], []
    for _ in range(many):
        level = luck.gauss(0, KITCHEN_SD)
        seen = []
        for i in range(bakes):
            dough = level + _day(luck) + (odd if i == bakes - 1 else 0.0) + (moved if i >= bakes - 4 else 0.0)
            value = math.exp(dough + luck.gauss(0, GLASS_SD))
            seen.append({"bake": f"{i}", "at": i * WEEK_S, "kind": "rate", "value": value, "read_sd_ln": GLASS_SD})
        cases.append({"observations": seen, "at": bakes * WEEK_S})
        truths.append(level + _day(luck) + moved)
    found = asked("learn", cases)
    inside = [
        math.log(one["low_times"]) <= t <= math.log(one["high_times"]) for one, t in zip(found, truths, strict=True)
    ]
    return statistics.fmean(inside), statistics.median(
        abs(o["mean_ln"] - t) for o, t in zip(found, truths, strict=True)
    )


def _day(luck: random.Random) -> float:
    return luck.gauss(0, BAKE_SD) + luck.gauss(0, WEIGHING_SD)


def main(evenings: int, many: int) -> None:
    """Print both tables."""
    for seen, name in ((0, "not known"), (1, "one test glass"), (2, "two bakes")):
        print(f"{name:15s} first    {figures(told_evenings(range(evenings), seen))}", flush=True)
    for bakes in (0, 1, 2, 4, 8):
        inside, off = kitchens(bakes, many)
        print(f"after {bakes} bakes: {100 * inside:.1f} % inside the band, median {off:.3f} off (ln)")
    for bakes in (3, 5):
        _, off = kitchens(bakes, many, odd=math.log(3))
        print(f"after {bakes - 1} bakes and one three times too quick: median {off:.3f} off")
    _, off = kitchens(12, many, moved=0.4)
    print(f"four bakes after the kitchen became e^0.4 quicker: median {off:.3f} off")


if __name__ == "__main__":
    words = ArgumentParser(prog="python -m tests.bench.bench_commands", description=(__doc__ or "").splitlines()[0])
    words.add_argument("evenings", nargs="?", type=int, default=200, help="how many evenings of each kind (200)")
    words.add_argument("kitchens", nargs="?", type=int, default=500, help="how many kitchens (500)")
    given = words.parse_args()
    main(given.evenings, given.kitchens)
