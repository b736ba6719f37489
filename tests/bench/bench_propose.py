"""How long the day planner takes, beside a general-purpose solver on the same day, and how that grows.

Run by hand:  python -m tests.bench.bench_propose [--solver]
All five methods, three offers, 72 hours ahead, an imported calendar of 40 busy stretches; median of 40 different days.
Processor time of this process, which on a quiet machine is the wall clock's.
With --solver the best day of each method on one of them is also asked of OR-tools CP-SAT (one worker); minutes.
"""

from __future__ import annotations

import random
import statistics
import sys
import time
from collections.abc import Iterator
from dataclasses import replace

from tests.oracles.plain_day import Model
from tests.oracles.solver_day import SolverDay
from tests.wishes import a_bake, a_dough, method, wish
from webapp.core.day.day import day_of, instant_of, same_clock
from webapp.core.day.span import Span
from webapp.core.formula.method import Method, MethodStep
from webapp.core.kitchen import AwaySpan, DayHours, Kitchen, PartOfDay, Person
from webapp.core.planner.candidates import lay_out
from webapp.core.planner.offer import Wanted
from webapp.core.planner.propose import propose, week

WORK = DayHours(away=(AwaySpan(8 * 60, 17 * 60 + 45),))
HOME = DayHours(8 * 60, 23 * 60)
KITCHEN = Kitchen(zone="Europe/Lisbon", people=(Person("Me", (WORK,) * 5 + (HOME,) * 2),))
DAYS = 40


def a_wish(seed: int, hours: int = 72, blocks: int = 40, free: bool = False) -> Wanted:
    """Supper on one of seven evenings, so many hours ahead, so many busy stretches of 15 to 60 minutes."""
    rng = random.Random(seed)
    date = 24 + seed % 7
    supper = instant_of(f"2026-11-{date:02d}T{rng.choice((19, 20, 21))}:30", KITCHEN.zone)
    now = supper - hours * 3600
    starts = rng.sample(range(now, supper - 5400, 300), blocks)
    busy = [Span(at, at + 900 * rng.randint(1, 4)) for at in starts]
    kitchen = replace(KITCHEN, people=(Person("Me", (HOME,) * 7),)) if free else KITCHEN
    day = day_of(kitchen, now, supper + 86400, busy=(busy,))
    return replace(wish(kitchen=kitchen), now=now, supper=supper, day=day)


def milliseconds(wanted: Wanted) -> float:
    begun = time.process_time()
    propose(wanted, with_nearest=False)
    return (time.process_time() - begun) * 1000


def median(wishes: list[Wanted]) -> tuple[float, float]:
    """p50 and p95 in milliseconds."""
    taken = sorted(milliseconds(w) for w in wishes)
    return statistics.median(taken), taken[int(0.95 * (len(taken) - 1))]


def with_steps(count: int) -> Method:
    """The bench method with so many steps in all, the others folds."""
    folds = tuple(MethodStep("fold", 5, 15, 25, 45, optional=True) for _ in range(count - 3))
    mix, *_, press, load = method("bench-day").steps
    return Method("own", "Own", (mix, *folds, press, load))


def against_the_solver() -> None:
    wanted = a_wish(3)
    ours = theirs = 0.0
    for own in wanted.methods:
        begun = time.process_time()
        laid_out = lay_out(wanted)
        found = laid_out.search(own).best()
        ours += time.process_time() - begun
        begun = time.process_time()
        points = SolverDay(Model(wanted, own, laid_out.loads.cycle_min, laid_out.loads.later_top)).solve(600.0)
        theirs += time.process_time() - begun
        assert (found and found.points) == points
        print(f"  {own.key:12} {points!s:>5} points from both")
    print(f"  planner {ours * 1000:.0f} ms, CP-SAT {theirs:.1f} s: ratio 1 : {theirs / ours:.0f}")


def dearest() -> Iterator[tuple[str, Wanted]]:
    """Always at home, a fortnight less a day ahead, in kitchens where hardly anything fits."""
    always = Person("Me", (DayHours(0, 1440),) * 7)
    stubborn = a_dough(proof_least=3.0, proof_best=3.1, proof_most=3.2)
    for room_c in (1e-7, 21.0, 33.0, 45.0):
        kitchen = replace(KITCHEN, people=(always,), room=(PartOfDay(0, room_c),))
        wanted = wish("2026-12-08T20:30", "2026-11-25T20:30", kitchen)
        yield f"{room_c:g} C", wanted
        yield f"{room_c:g} C, six trays one at a time", replace(wanted, baking=a_bake(6, 1))
        yield f"{room_c:g} C, six trays, a rise that no day gives", replace(wanted, baking=a_bake(6, 1), dough=stubborn)


def a_week_of(seed: int) -> tuple[Wanted, list[int]]:
    """The wish of a working week, and its suppers."""
    wanted = a_wish(seed, hours=8 * 24)
    return wanted, [same_clock(KITCHEN.zone, wanted.supper, -ahead) for ahead in range(6, -1, -1)]


def a_week(seed: int) -> tuple[float, float]:
    """Seconds for the week view of a working week, and for one of its evenings on the mean."""
    wanted, suppers = a_week_of(seed)
    begun = time.process_time()
    week(wanted, suppers)
    seven = time.process_time() - begun
    begun = time.process_time()
    for supper in suppers:
        propose(replace(wanted, supper=supper), with_nearest=False)
    return seven, (time.process_time() - begun) / 7


def with_a_call(seed: int) -> Wanted:
    """An office day from half past six on; between coming home and supper somebody is on the telephone for a while."""
    rng = random.Random(seed)
    date = f"2026-11-{23 + seed % 5:02d}"
    home, supper = 17 * 60 + 15 * rng.randint(0, 4), 19 * 60 + 15 * rng.randint(2, 6)
    kitchen = replace(KITCHEN, people=(Person("Me", (DayHours(away=(AwaySpan(8 * 60, home),)),) * 7),))
    now, midnight = (instant_of(f"{date}T{clock}", KITCHEN.zone) for clock in ("06:30", "00:00"))
    call = midnight + 60 * rng.randrange(home, supper - 45, 5)
    day = day_of(kitchen, now, now + 86400, busy=((Span(call, call + 60 * rng.choice((15, 20, 30))),),))
    return replace(wish(kitchen=kitchen), now=now, supper=midnight + 60 * supper, day=day)


def with_least_proof(wanted: Wanted, minutes: int) -> Wanted:
    """The same, had no method a longer least wait in the tray than so many minutes."""

    def hurried(one: Method) -> Method:
        load = one.steps[-1]
        return replace(one, steps=(*one.steps[:-1], replace(load, wait_least_min=min(load.wait_least_min, minutes))))

    return replace(wanted, methods=tuple(map(hurried, wanted.methods)))


def evenings_with_a_call() -> None:
    """How many of sixty fit, how many more a shorter least wait in the tray would bring, and why others never fit."""
    wishes = [with_a_call(seed) for seed in range(60)]
    for minutes in (45, 40, 20):
        answers = [propose(with_least_proof(wanted, minutes), with_nearest=False) for wanted in wishes]
        fit = sum(bool(one.offers) for one in answers)
        alone = sum(not one.offers and all(why.why.kind == "oven-alone" for why in one.in_the_way) for one in answers)
        print(f"evenings with a short call before supper that fit, at least {minutes} min in the tray: {fit} of 60;")
        print(f"  of the others {alone} would have the oven on with nobody at home, whatever the dough")


def main() -> None:
    wishes = [a_wish(seed) for seed in range(DAYS)]
    fitting = sum(len(propose(w, with_nearest=False).offers) == 3 for w in wishes)
    p50, p95 = median(wishes)
    print(f"72 h, 5 methods, 40 busy stretches, {DAYS} days ({fitting} with three offers):")
    print(f"  p50 {p50:.1f} ms, p95 {p95:.1f} ms")
    print("horizon  p50 working week  p50 always at home")
    for hours in (12, 24, 36, 48, 72, 96, 144):
        blocks = 40 * hours // 72
        rows = [median([a_wish(s, hours, blocks, free) for s in range(14)])[0] for free in (False, True)]
        print(f"{hours:5} h  {rows[0]:13.1f} ms  {rows[1]:15.1f} ms")
    print("steps    p50, one method, 72 h")
    for count in (3, 4, 6, 8, 10, 12):
        taken = median([replace(a_wish(s), methods=(with_steps(count),)) for s in range(14)])[0]
        print(f"{count:5}    {taken:8.1f} ms")
    print("the dearest that can be asked, nearest plans included:")
    for name, wanted in dearest():
        begun = time.process_time()
        answer = propose(wanted)
        print(f"  {name:52} {time.process_time() - begun:5.2f} s, {len(answer.offers)} offers")
    evenings_with_a_call()
    print("seven evenings against one:")
    for seed in range(3):
        ours, one = a_week(seed)
        print(f"  {ours * 1000:5.0f} ms against {one * 1000:4.0f} ms: {ours / one:.1f} times")
    if "--solver" in sys.argv:
        print("the same day asked of CP-SAT:")
        against_the_solver()


if __name__ == "__main__":
    main()
