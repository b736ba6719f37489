"""A hand-made plan and kitchen, for tests of everything that takes a plan and cares nothing for how it was found.

The scenario is invented: a Wednesday in November in a flat in Lisbon's time zone (UTC), supper at 19:30, an oven tray.
"""

from __future__ import annotations

import math

from webapp.core.kitchen import Kitchen
from webapp.core.plan.caution import Caution
from webapp.core.plan.oven import OvenAction, OvenPlan
from webapp.core.plan.plan import Busy, Plan
from webapp.core.plan.rise import GlassMark, RateTable, Rise, RoomSpan, Share
from webapp.core.plan.steps import PlanStep, RiseMark
from webapp.core.plan.trade import Trade
from webapp.core.plan.tray import Pan, Topping
from webapp.core.plan.weights import WeighLine

DAY = 1795564800  # 2026-11-25T00:00:00Z


def at(hour: int, minute: int = 0) -> int:
    """That hour and minute of the sample day, UTC."""
    return DAY + hour * 3600 + minute * 60


def sample_kitchen() -> Kitchen:
    """A kitchen in a zone that is at UTC in winter, so that tests read like a clock."""
    return Kitchen(zone="Europe/Lisbon")


def _rates() -> tuple[float, ...]:
    """A smooth, plausible rate table: ready (P = 1.36) in about nine hours at 21 C. Only for samples."""
    best = 1.36 / (9.25 * 3600)
    return tuple(
        best * math.exp(0.075 * (c - 21.0)) if c < 33 else best * math.exp(0.9) * max(0.0, (46 - c) / 13)
        for c in (i * 1.0 - 2.0 for i in range(49))
    )


def _steps() -> tuple[PlanStep, ...]:
    press = RiseMark(1.02, 1.36, 2.28)
    load = RiseMark(1.50, 1.63, 2.89)
    return (
        PlanStep(
            "mix",
            "mix",
            at(7, 15),
            at(7, 30),
            "hands",
            "bench",
            "bowl",
            alarm_min=10,
            title="Mix the dough",
            text="Stir the yeast into the water at 24 C, add flour, then salt and oil.",
        ),
        PlanStep(
            "press",
            "press",
            at(16, 45),
            at(16, 55),
            "hands",
            "bench",
            "tray",
            wait_least_s=3600,
            wait_most_s=14 * 3600,
            mark=press,
            alarm_min=5,
            title="Press into the oiled tray",
            text="Oil the tray, tip the dough in, dimple it outwards.",
        ),
        PlanStep(
            "preheat",
            "preheat",
            at(18, 10),
            at(18, 11),
            "home",
            "bench",
            "tray",
            chain=False,
            anchor="load",
            offset_s=-45 * 60,
            alarm_min=5,
            title="Light the oven",
            text="Set the dial to 250 C, steel on the lowest shelf.",
        ),
        PlanStep(
            "top",
            "top",
            at(18, 45),
            at(18, 53),
            "hands",
            "bench",
            "tray",
            wait_least_s=45 * 60,
            wait_most_s=4 * 3600,
            title="Put the topping on",
            text="Spread 190 g tomato sauce, scatter 234 g cheese.",
        ),
        PlanStep(
            "load",
            "load",
            at(18, 55),
            at(18, 56),
            "hands",
            "oven",
            "tray",
            wait_most_s=20 * 60,
            mark=load,
            alarm_min=5,
            title="Load the tray",
            text="Tray onto the hot steel, lowest shelf. Shut the door.",
        ),
        PlanStep(
            "turn-down",
            "turn-down",
            at(18, 56),
            at(18, 57),
            "home",
            "oven",
            "tray",
            wait_most_s=60,
            title="Turn the oven down",
            text="Dial to 220 C as soon as the door is shut.",
        ),
        PlanStep(
            "check",
            "check",
            at(19, 10),
            at(19, 11),
            "home",
            "oven",
            "tray",
            wait_least_s=12 * 60,
            wait_most_s=14 * 60,
            title="Check the base",
            text="Lift a corner: brown all over? If pale, two minutes more.",
        ),
        PlanStep(
            "lift",
            "lift",
            at(19, 15),
            at(19, 17),
            "hands",
            "none",
            "tray",
            wait_least_s=3 * 60,
            wait_most_s=6 * 60,
            title="Out of the oven",
            text="Base brown, cheese melted. Turn the oven off. Onto a rack.",
        ),
        PlanStep(
            "serve",
            "serve",
            at(19, 30),
            at(19, 30),
            "hands",
            "none",
            "tray",
            wait_least_s=5 * 60,
            wait_most_s=20 * 60,
            title="Cut and eat",
            text="Rest five minutes on the rack, then cut.",
        ),
    )


def sample_plan(bake_id: str = "b" * 22) -> Plan:
    """A full same-day plan, every part filled."""
    shares = tuple(
        Share(vessel, place, 1 - math.exp(-60 / tau))
        for vessel, place, tau in (
            ("bowl", "bench", 7200),
            ("bowl", "fridge", 6300),
            ("bowl", "warm", 7200),
            ("tub", "bench", 8200),
            ("tub", "fridge", 7200),
            ("tub", "warm", 8200),
            ("tray", "bench", 3800),
            ("tray", "fridge", 3300),
            ("tray", "warm", 3800),
            ("tray", "oven", 600),
        )
    )
    lines = (
        WeighLine("water", "Water", "water", "dough", 70.0, 297.4, 297.0, "at 24 C"),
        WeighLine("yeast", "Instant yeast", "yeast", "dough", 0.12, 0.5098, 0.51, "dissolved: see how to weigh it"),
        WeighLine("flour", "Strong white flour", "flour", "dough", 100.0, 424.8, 425.0, "", ("gluten",)),
        WeighLine("salt", "Salt", "salt", "dough", 2.2, 9.35, 9.0, "about 1 1/2 level teaspoons of fine salt"),
        WeighLine("oil", "Olive oil", "fat", "dough", 3.0, 12.7, 13.0, ""),
    )
    glass = tuple(GlassMark(t, (t - 1) ** 0.75) for t in (1.25, 1.5, 1.75, 2.0, 2.5, 3.0, 4.0))
    oven = OvenPlan(
        "still",
        45,
        38,
        55,
        (
            OvenAction(0, "load", dial="250 C", shelf="lowest", text="Tray onto the hot steel."),
            OvenAction(1, "turn-down", dial="220 C", shelf="lowest", text="Turn the dial to 220 C at once."),
            OvenAction(15, "check", shelf="lowest", text="Lift a corner and look at the base."),
            OvenAction(20, "lift", text="Out when the base is brown."),
        ),
        17,
        23,
        dial="250 C",
        shelf="lowest",
        slab="10 mm steel",
        why="Steel at 250 C meets the tray at 221 C; hot air alone would take minutes to get there.",
    )
    return Plan(
        bake_id=bake_id,
        revision=1,
        made_at=at(6, 50),
        zone="Europe/Lisbon",
        title="Tray pizza for Wednesday",
        formula_key="bench-tray",
        formula_name="Long-bench tray pizza",
        supper=at(19, 30),
        ready_at=at(19, 30),
        dough_g=744.8,
        loading_g_cm2=0.70,
        yeast_kind="instant",
        yeast_percent=0.12,
        water_c=24.0,
        wanted_dough_c=22.0,
        pans=(Pan("oven-tray", "Oven tray 38 x 28 cm", "rectangle", 1064.0, 1, 38.0, 28.0),),
        lines=lines,
        toppings=(
            Topping("sauce", "Tomato sauce", 190.0, "before", False, 0, "salted at 1 % of the tomatoes"),
            Topping("cheese", "Low-moisture mozzarella", 234.0, "before", True, 1800, "drained", ("milk",)),
        ),
        steps=_steps(),
        rise=Rise(
            RateTable(-2.0, 1.0, _rates()),
            at(7, 30),
            22.0,
            (RoomSpan(at(0), 18.0), RoomSpan(at(7), 20.0), RoomSpan(at(17), 21.0)),
            5.0,
            28.0,
            shares,
            math.exp(-1.2816 * 0.35),
            math.exp(1.2816 * 0.35),
            glass,
        ),
        oven=oven,
        trade=Trade(
            "bench-day",
            "Same day on the bench",
            9000,
            5400,
            45 * 60,
            1200,
            sentence="Two short visits; the dough forgives being two hours late.",
        ),
        busy=(Busy(at(8), at(16, 30), "away"), Busy(at(22, 30), at(30, 30), "asleep")),
        cautions=(
            Caution(
                "raw-flour",
                "mix",
                text="Flour is a raw food: do not taste raw dough; wash hands and bench.",
                source="FDA advice",
            ),
            Caution(
                "hot-slab",
                "load",
                text="The steel stays at 250 C for an hour: dry mitts, nobody small near the door.",
                source="common practice",
            ),
        ),
        allergens=("gluten", "milk"),
        yeast_dosing="Dissolve 1 g of yeast in 50 g of the water; use 25 g of it.",
        yeast_why=(
            "At 20-21 C the dough has 9 h 15 min until pressing.",
            "0.12 % of instant yeast doubles it by then.",
        ),
    )
