"""Made-up bakes by the hundred: any plan, any journal, any hour. Number n is the same bake on every machine."""

from __future__ import annotations

import math
import random
from dataclasses import replace

from tests.profiles import thorough
from tests.samples import at, sample_plan
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.plan.rise import GlassMark, RateTable, RoomSpan, Share
from webapp.core.plan.steps import PlanStep, RiseMark

MADE_UP = 2000 if thorough() else 200


def made_up(n: int) -> tuple[Plan, list[Event], int]:
    """Bake number n: a plan, its journal in some order with doubles, and an instant to look at it."""
    chance = random.Random(n)
    plan = made_up_plan(chance)
    events = [
        *made_up_events(chance, plan),
        *made_up_thermometer(n, plan),
        *made_up_senses(n, plan),
        *made_up_oven(n, plan),
        *made_up_bench(n, plan),
    ]
    if n % 5 == 2:  # half as much dough again bakes a minute longer, or seven
        plan = replace(plan, oven=replace(plan.oven, half_more_s=chance.choice([60, 413])))
    now = chance.randint(plan.steps[0].start - 7200, plan.steps[-1].end + 4 * 3600)
    plan = in_two_goes(plan) if n % 13 == 5 else plan
    plan = replace(plan, dough_perishes=n % 4 == 3)
    return bare(plan) if n % 11 == 4 else plan, events, now


def in_two_goes(plan: Plan) -> Plan:
    """The plan of a dough that is pressed cold, and a while later to the edge."""
    i = next(i for i, step in enumerate(plan.steps) if step.kind == "press")
    press = plan.steps[i]
    again = replace(press, step_id="relax", kind="relax", start=press.end + 900, end=press.end + 1200, mark=None,
                    wait_least_s=900, wait_most_s=0)  # fmt: skip
    return replace(plan, steps=(*plan.steps[: i + 1], again, *plan.steps[i + 1 :]))


def bare(plan: Plan) -> Plan:
    """The plan with nothing on top: from its proof the tray goes into the oven."""
    return replace(plan, toppings=(), steps=tuple(step for step in plan.steps if step.kind != "top"))


def made_up_thermometer(n: int, plan: Plan) -> list[Event]:
    """Two bakes in five have a thermometer, read once or twice, one in ten "since"; drawn apart from all else."""
    chance = random.Random(f"thermometer of bake {n}")
    reads = chance.choice([1, 1, 2]) if n % 5 < 2 else 0
    ats = [chance.randint(plan.rise.mixed_at - 5000, plan.steps[-1].start) for _ in range(reads)]
    return [
        Event(f"{chance.getrandbits(128):032x}", plan.bake_id, when, when, "phone-1", "dough",
              {"temp_c": chance.uniform(3, 34), **({"since": when - 200 * n} if n % 10 == 1 else {})}) for when in ats
    ]  # fmt: skip


def made_up_senses(n: int, plan: Plan) -> list[Event]:
    """Eyes, fingers and ways taken, in three bakes of four; drawn apart from all else."""
    chance = random.Random(f"senses of bake {n}")
    agreed: list[dict[str, object]] = [
        {}, {"result": "young", "given_up": 0.3}, {"result": "past", "given_up": 0}, {"result": 3, "given_up": "much"},
        {"result": "best", "given_up": 0.01},
    ]  # fmt: skip
    out: list[Event] = []
    for _ in range(chance.choice([0, 1, 2, 4])):
        when = chance.randint(plan.rise.mixed_at - 2000, plan.steps[-1].start)
        load_at = when + chance.randint(-3000, 20000)
        moves = [{"at": when + chance.randint(-100, 9000), "place": chance.choice(["warm", "fridge", "bench", "moon"])}
                 for _ in range(chance.randint(0, 2))]  # fmt: skip
        kinds: dict[str, dict[str, object]] = {
            "looked": {"seen": chance.choice(["hardly", "doubled", "well-over", "sinking", "a newer word"])},
            "poked": {"springs": chance.choice(["at-once", "slowly", "stays", ""])},
            "way": {"way": ("warm", "bench", "fridge")[when % 3], "press": chance.choice([0, load_at - 4000]),
                    "load": load_at, "supper": load_at + 1500,
                    "moves": chance.choice([moves, moves, "none", [3, {"at": "x"}]]),
                    "proof": chance.choice(["", "warm", "fridge"]), "asked": chance.choice([True, False]),
                    **agreed[when % len(agreed)]},
        }  # fmt: skip
        kind = chance.choice([*kinds])
        out.append(Event(f"{chance.getrandbits(128):032x}", plan.bake_id, when, when + chance.choice([0, 900]),
                         "phone-2", kind, kinds[kind]))  # fmt: skip
    return out


def made_up_oven(n: int, plan: Plan) -> list[Event]:
    """What is said in front of the oven, in two bakes of three, about when something is in it; drawn apart."""
    chance = random.Random(f"oven of bake {n}")
    loaded_at = next(step.end for step in plan.steps if step.kind == "load")
    out: list[Event] = []
    for _ in range(chance.choice([0, 1, 4])):
        when = loaded_at + chance.randint(-600, 3000)
        seen = chance.choice(["more", "more", "base-pale", "top-dark", "a newer word"])
        out.append(
            Event(f"{chance.getrandbits(128):032x}", plan.bake_id, when, when, "phone-1", "baking", {"seen": seen})
        )
    return out


def made_up_bench(n: int, plan: Plan) -> list[Event]:
    """What is said at the bench of yeast, salt and dough on the tray, in one bake of three; drawn apart."""
    chance = random.Random(f"bench of bake {n}")
    kinds: list[tuple[str, dict[str, object]]] = [
        ("yeast", {"yeast": chance.choice(["fresh", "active-dry", "a newer word", 3])}),
        ("tray", {"times": chance.choice([0.5, 1.0, 1.15, 1.6])}),
        ("poured", {"line": "dough/salt", "grams": chance.uniform(5, 20), "kept": chance.choice([True, False, "yes"])}),
    ]
    out: list[Event] = []
    for kind, data in kinds if n % 3 == 1 else []:
        when = chance.randint(plan.steps[0].start - 600, plan.steps[-1].end)
        out.append(Event(f"{chance.getrandbits(128):032x}", plan.bake_id, when, when, "phone-1", kind, data))
    return out


def made_up_plan(chance: random.Random) -> Plan:
    """The sample plan bent: other waits, a night in the fridge, another kitchen."""
    base = sample_plan()
    steps = list(base.steps)
    if chance.random() < 0.5:
        steps = with_cold_night(chance, steps)
    steps = [late(step, chance.choice([0, 0, 1, 7]) * chance.randint(0, 400)) for step in steps]
    press, load = sorted(chance.uniform(0.3, 3.0) for _ in range(2))
    marks = {"press": spread(chance, press), "load": spread(chance, load)}
    steps = [replace(step, mark=marks.get(step.step_id)) for step in steps]
    low = chance.uniform(0.5, 0.95)
    rise = replace(
        base.rise,
        table=RateTable(
            chance.choice([-2.0, 0.0, 4.5]), chance.choice([0.5, 1.0, 2.0]),
            tuple(r * chance.uniform(0.7, 1.4) for r in base.rise.table.rates),
        ),
        mixed_at=steps[0].end + chance.choice([0, 0, 0, 300, -100000]),
        dough_c=chance.uniform(15, 30),
        room=tuple(RoomSpan(at(h), chance.uniform(14, 34)) for h in sorted(chance.sample(range(24), 3))),
        fridge_c=chance.uniform(-4, 9),
        shares=tuple(Share(s.vessel, s.place, 1 - math.exp(-60 / chance.uniform(900, 20000)))
                     for s in base.rise.shares if chance.random() < 0.9),
        band_low=low,
        band_high=1 / low,
        sd=chance.choice([0.0, chance.uniform(0.05, 0.5)]),
        has_warm=chance.random() < 0.8,
        warm_is_oven=chance.random() < 0.7,
        glass=tuple(GlassMark(t, (t - 1) ** 0.75) for t in (1.25, 1.5, 2.0, 3.0, 4.0)[: chance.randint(0, 5)]),
    )  # fmt: skip
    return replace(base, steps=tuple(steps), rise=rise)


def with_cold_night(chance: random.Random, steps: list[PlanStep]) -> list[PlanStep]:
    """Mixed the evening before, into the fridge, out again before pressing."""
    mix = replace(steps[0], start=steps[0].start - 36000, end=steps[0].end - 36000)
    chill = PlanStep("chill", "chill", mix.end + 3600, mix.end + 3660, "hands", "fridge", "tub", wait_least_s=600,
                     wait_most_s=chance.choice([0, 7200]), title="Into the fridge", text="Cover it.")  # fmt: skip
    temper = PlanStep("temper", "temper", at(14), at(14, 1), "hands", "bench", "tub", wait_most_s=20 * 3600,
                      title="Out of the fridge", text="Leave it covered.")  # fmt: skip
    return [mix, chill, temper, *steps[1:]]


def late(step: PlanStep, by_s: int) -> PlanStep:
    """The step, planned that much later."""
    return replace(step, start=step.start + by_s, end=step.end + by_s)


def spread(chance: random.Random, best: float) -> RiseMark:
    """A mark around `best`, of a third of the doughs one that is pressed before all of its rise."""
    mark = RiseMark(best * chance.uniform(0.6, 1), best, best * chance.uniform(1, 2))
    return replace(mark, full=best * 1.25) if int(mark.past * 1000) % 3 == 0 else mark


def made_up_events(chance: random.Random, plan: Plan) -> list[Event]:
    """A journal as two clumsy phones would leave it."""
    ids = [step.step_id for step in plan.steps]
    lines = [f"{line.part}/{line.key}" for line in plan.lines]
    events: list[Event] = []
    for i in range(chance.randint(0, 14)):
        when = chance.randint(plan.steps[0].start - 600, plan.steps[-1].end + 600)
        kinds = {
            "done": {"step_id": chance.choice([*ids, "no-such-step"])},
            "begun": {"step_id": chance.choice(ids)},
            "undo": {"event_id": chance.choice(events).event_id if events else "f" * 32},
            "later": {"until": when + chance.randint(-600, 20000)},
            "glass": {"times": chance.choice([0, 1, chance.uniform(0.9, 5)])},
            "room": {"temp_c": chance.uniform(8, 38)},
            "moved": {"place": chance.choice(["bench", "fridge", "warm"])},
            "supper": {"instant": plan.supper + chance.randint(-9000, 20000)},
            "weighed": {"line": chance.choice(lines)},
            "poured": {"line": chance.choice(lines), "grams": chance.uniform(1, 500)},
            "pan": {"area_cm2": chance.uniform(300, 2000), "name": "another"},
            "note": {"text": "sticky"},
            "outcome": {chance.choice(["base", "top", "crumb", "timing"]): chance.choice(["pale", "good"])},
            "from-a-newer-phone": {"done": True, "step_id": 3},
        }
        kind = chance.choice([*kinds, "done", "done", "done"])
        logged = when + chance.choice([0, 0, 5, 4000])
        events.append(Event(f"{chance.getrandbits(128):032x}", plan.bake_id, when, logged, f"phone-{i % 2}", kind,
                            dict(kinds[kind])))  # fmt: skip
    events.extend(chance.sample(events, len(events) // 3))
    chance.shuffle(events)
    return events
