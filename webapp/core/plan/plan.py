"""The plan itself: one bake, with all that is true of it before anything has happened."""

from __future__ import annotations

from dataclasses import dataclass

from webapp.core.kinds import (
    BulkVessel,
    BusyKind,
    HabitField,
    HeatUnit,
    LessonKind,
    LineKind,
    MassUnit,
    Mixing,
    StepKind,
    YeastKind,
)
from webapp.core.plan.caution import Caution
from webapp.core.plan.house import HouseHours
from webapp.core.plan.oven import OvenPlan
from webapp.core.plan.rise import Rise
from webapp.core.plan.steps import PlanStep
from webapp.core.plan.trade import Trade
from webapp.core.plan.tray import Pan, Topping
from webapp.core.plan.weights import OtherYeast, WeighLine


@dataclass(frozen=True)
class Busy:
    """A stretch in which the person is away, asleep or busy at home."""

    start: int
    end: int
    kind: BusyKind
    word: str = ""  # shown


@dataclass(frozen=True)
class Habit:
    """A change that was accepted after a bake and goes into every plan: see core/learning/habits.py."""

    field: HabitField
    value: float
    text: str
    bake_id: str = ""  # the bake it was last accepted after
    step: str = ""  # kind of step that says so, for what is carried as words only


@dataclass(frozen=True)
class LastLesson:
    """What was seen last of how quick this kitchen's doughs are, before this was planned."""

    seen: LessonKind
    times: float  # how many times its first volume, of a glass; else 0


@dataclass(frozen=True)
class Making:
    """How the dough is made in this kitchen, for the sentences about it."""

    mass_unit: MassUnit
    heat_unit: HeatUnit
    micro_step_g: float
    mixing: Mixing
    mixing_rise_c: float
    vessel: BulkVessel
    tap_c: float
    room_c: float  # while it is mixed
    asked_dough_c: float  # what the formula wants; `Plan.wanted_dough_c` is what it comes to
    instant_percent: float  # all yeast, as instant yeast
    warm_s: int  # seconds at 24 C that would bring the dough as far as it comes until it is pressed out
    risen_times: float  # its volume when it is pressed out
    sooner_s: int = 0  # when the kitchen is 2 C warmer; 0 = too little to tell
    later_s: int = 0  # when it is 2 C cooler
    from_fridge: tuple[str, ...] = ()  # names of what comes cold into the dough


@dataclass(frozen=True)
class KeptPart:
    """The part of a dough that is for another evening, as either of the two plans tells it: half, or a spare piece."""

    grams: float  # of the part that is kept
    supper: int  # of the other evening
    mixed_here: bool  # this plan mixes the dough; else it has the half that was kept
    at: StepKind = "chill"  # the step at which it is parted
    spare: bool = False  # a piece that is cut off a dough mixed for one supper; "mix": as soon as it was asked for


@dataclass(frozen=True)
class Plan:
    """One bake, planned. Immutable; a new wish makes a new revision."""

    bake_id: str
    revision: int
    made_at: int
    zone: str  # IANA name, for showing local times only
    formula_key: str
    formula_name: str
    supper: int
    ready_at: int  # the moment the first slice can be eaten, <= supper
    dough_g: float
    loading_g_cm2: float
    yeast_kind: YeastKind
    yeast_percent: float  # of that kind
    water_c: float
    wanted_dough_c: float
    pans: tuple[Pan, ...]
    lines: tuple[WeighLine, ...]
    toppings: tuple[Topping, ...]
    steps: tuple[PlanStep, ...]  # by start; at equal start chain order
    rise: Rise
    oven: OvenPlan
    trade: Trade
    busy: tuple[Busy, ...] = ()  # of the first person, ascending, for the chart
    nobody: tuple[Busy, ...] | None = (
        None  # when nobody is free, ascending; "busy": somebody awake is in. None = `busy`
    )
    house: HouseHours | None = None  # everybody's hours, for steps that stand elsewhere; None in plans of before
    cautions: tuple[Caution, ...] = ()
    allergens: tuple[str, ...] = ()
    allergens_by_name: tuple[str, ...] = ()  # of these, what nobody said and a name alone tells
    allergens_unsaid: tuple[str, ...] = ()  # what of its dough and toppings nobody said anything about, by name
    scale_step_g: float = 1.0
    vigour_ln_mean: float = 0.0  # what the kitchen was taken to be when this was planned: it is in the rates above
    lesson: LastLesson | None = None  # what that was seen by last; None: nothing was baked before, or it is not known
    making: Making | None = None  # None in plans stored before there were facts
    habits: tuple[Habit, ...] = ()  # what past bakes changed in this plan
    other_yeasts: tuple[OtherYeast, ...] = ()  # its list for each other kind; none in plans of before
    dough_perishes: bool = False  # milk, egg, cheese or garlic in oil in it: counted as out of the fridge
    dough_of: int = 0  # the earlier revision whose dough, mixed already, this goes on with; 0 = its own
    oven_now: OvenPlan | None = (
        None  # what is right since the oven was changed, where this plan's hours stay; else None
    )
    kept: KeptPart | None = None  # None: all of the dough is for this supper
    title: str = ""  # shown: "Tray pizza for Wednesday"
    yeast_dosing: str = (
        ""  # how to weigh this little yeast, in full: in every stored plan and bundle, read by older phones
    )
    yeast_why: tuple[str, ...] = ()  # shown: why this much yeast
    notes: tuple[str, ...] = ()  # shown: what past bakes changed
    water_why: tuple[str, ...] = ()  # shown: why the water is so warm, with the baker's rule as a check

    def percent_of(self, kind: LineKind) -> float:
        """All lines of that kind, in percent of the flour."""
        return sum(line.percent for line in self.lines if line.kind == kind)
