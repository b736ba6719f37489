"""What the day planner is asked, and what it answers: the frozen records around `propose.propose`.

Instants are int UTC seconds, durations int seconds (`_s`) or minutes (`_min`); see core/plan for the other units.
"Warm seconds" are seconds at 24 C that bring the dough as far: fermentation.response summed over its temperature.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field

from webapp.core.day.free_time import Day
from webapp.core.day.span import Span
from webapp.core.formula.method import Method
from webapp.core.kinds import (
    BakeKind,
    BulkVessel,
    BusyKind,
    CostKey,
    HeatedPlace,
    HindranceKind,
    MarkName,
    NearestKind,
    Place,
    Presence,
    SideKind,
    StepKind,
    StepVessel,
    Vessel,
    WayOutKind,
)
from webapp.core.plan.oven import OvenPlan
from webapp.core.plan.steps import RiseMark
from webapp.core.plan.trade import Aside, Worse
from webapp.core.planner.effort import Effort
from webapp.core.rise.bench_life import ageing
from webapp.core.rise.certainty import Z80


@dataclass(frozen=True)
class BakeAction:
    """One line of the bake programme: `minute` after loading, what is done, how long the hands are needed."""

    minute: int
    action: BakeKind
    hands_min: int = 1


@dataclass(frozen=True)
class Baking:
    """The oven's part of the day, as the oven side computes it.

    `trays` in all, `trays_at_once` to a load; between lifting one load and loading the next the oven needs
    `recover_min` to come back.
    """

    preheat_min: int
    actions: tuple[BakeAction, ...]
    load_min: int = 1
    trays: int = 1
    trays_at_once: int = 1
    recover_min: int = 5

    @property
    def loads(self) -> int:
        """How often the oven is filled."""
        return -(-self.trays // self.trays_at_once)

    @property
    def lift_min(self) -> int:
        """Minutes from loading until the hands are done lifting."""
        return self.actions[-1].minute + self.actions[-1].hands_min


def baking_of(oven: OvenPlan, trays: int = 1, trays_at_once: int = 1) -> Baking:
    """The bake programme of an `OvenPlan`; lifting takes two minutes, everything else one. Where loads follow each
    other, turning the dial takes none of its own: the hand that shuts the door does it (common practice)."""
    actions = tuple(
        BakeAction(a.minute, a.action, 2 if a.action == "lift" else 1)
        for a in oven.programme
        if a.action != "load" and (a.action != "turn-down" or oven.loads < 2)
    )
    return Baking(oven.preheat_min, actions, trays=trays, trays_at_once=max(1, trays_at_once))


@dataclass(frozen=True)
class Sponge:
    """A preferment's share of the work; percents are of its own flour."""

    flour_percent: float  # of all the formula's flour
    need: float  # progress at which it is ripe
    past: float  # progress at which it is past its best
    mixed_c: float
    tau_s: float  # time constant of its vessel on the bench
    instant_percent: Callable[[float], float]  # warm seconds until ripe -> instant yeast, % of its flour
    warm_seconds: Callable[[float], float]  # the inverse


@dataclass(frozen=True)
class PlannedDough:
    """How this dough takes warmth: everything the planner has to know about fermentation.

    The two functions are each other's inverse and close over salt, sugar, vigour: the planner knows no yeast law.
    """

    response: Callable[[float], float]  # fermentation.response: 1.0 at 24 C
    press: RiseMark
    mixed_c: float
    fridge_c: float
    warm_c: float | None  # the warm spot; None = this kitchen has none
    tau_s: tuple[tuple[Vessel, HeatedPlace, float], ...]  # (vessel, place, time constant)
    instant_percent: Callable[[float], float]  # warm seconds until pressing -> instant yeast, % of all flour
    warm_seconds: Callable[[float], float]  # the inverse
    least_percent: float = 0.02  # the least instant yeast this kitchen can dose, % of flour
    most_percent: float = 2.0
    vessel: BulkVessel = "bowl"
    band_low: float = 0.64  # factor on every rate at the slow and the quick edge of the 80 % band
    band_high: float = 1.57
    proof_least: float = 0.10  # share of `press.best` that the proof in the tray adds
    proof_best: float = 0.20
    proof_most: float = 0.45
    cold_only: bool = False  # not to stand at room temperature for hours
    sponge: Sponge | None = None  # None: methods with a preferment are left out
    mixed_in: Callable[[float, bool], float] | None = None  # see `mixed`; None = `mixed_c` in any kitchen
    ageing: Callable[[float], float] = ageing  # share of its life on the bench that goes in a second at so many C

    @property
    def ln_sd(self) -> float:
        """Standard deviation of ln(rate), as its band says."""
        return math.log(self.band_high) / Z80

    def mixed(self, room_c: float, staged: bool) -> float:
        """How warm the dough is at the end of mixing in a kitchen at `room_c`; `staged`: with a preferment."""
        return self.mixed_in(room_c, staged) if self.mixed_in else self.mixed_c


@dataclass(frozen=True)
class SideTask:
    """Something to do beside the dough, tied to loading: sauce, draining, cheese out of the fridge.

    The start lies between `first_min` and `last_min` before loading the first tray, best at `best_min`.
    """

    kind: SideKind
    hands_min: int
    first_min: int
    best_min: int
    last_min: int


@dataclass(frozen=True)
class Wanted:
    """One wish: when to eat, with which methods, in which day, with which dough and oven."""

    supper: int  # the latest instant to eat
    now: int  # nothing starts before
    day: Day
    methods: tuple[Method, ...]
    dough: PlannedDough  # as a method makes it: `dough_by`
    baking: Baking
    top_min: int = 10  # hands, per load; 0 = nothing goes on before it is loaded
    sides: tuple[SideTask, ...] = ()
    supper_from: int | None = None  # the earliest instant to eat; None = ten minutes before `supper`
    other_methods: tuple[Method, ...] = ()  # methods not asked for, to be named when none of `methods` fits
    alarms: tuple[tuple[str, int], ...] = ()  # (step kind, minutes before), over the method's own
    oven_taken: tuple[Span, ...] = ()  # by other bakes: it cannot be lit for this one
    as_they_come: bool = False  # supper is when the first load can be eaten, not when all are there
    load_every_min: int = 1  # loads follow each other by so many minutes, or a multiple of it
    effort: Effort = field(default_factory=Effort, compare=False)  # how much looking the answer may cost
    made: Callable[[PlannedDough, Method], PlannedDough] | None = None  # the dough as a method makes it; None = alike

    def dough_by(self, method: Method) -> PlannedDough:
        """The dough as this method makes it."""
        return self.made(self.dough, method) if self.made else self.dough


@dataclass(frozen=True)
class TimedStep:
    """One step with its times; the fields that `plan.PlanStep` also has mean the same there."""

    step_id: str
    kind: StepKind
    start: int
    end: int
    presence: Presence
    place: Place = "bench"
    vessel: StepVessel = "bowl"
    chain: bool = True
    anchor: str = ""
    offset_s: int = 0
    wait_least_s: int = 0
    wait_best_s: int = 0
    wait_most_s: int = 0
    alarm_min: int = 0
    rings: bool = True
    mark: MarkName = ""  # the rise this step wants to meet
    load: int = 0  # 1, 2, ... for steps of one oven load; 0 = of the whole dough
    person: str = ""  # who can do it; the first with the time


@dataclass(frozen=True)
class Cost:
    """One row of what an offer's score is made of; `key` is a row of cost.WEIGHTS."""

    key: CostKey
    step_id: str
    points: int


@dataclass(frozen=True)
class Offer:
    """One way to spend the day: timed steps, yeast, room to manoeuvre, and what speaks for and against it."""

    method: str
    method_name: str
    steps: tuple[TimedStep, ...]  # by start
    instant_percent: float  # of all flour, preferment's included
    sponge_percent: float  # of the preferment's flour; 0 = no preferment
    warm_s: int  # warm seconds from mixing until pressing
    mixed_c: float  # how warm it leaves the bowl
    pressed: float  # how far it has come when it is pressed, 1.0 = at its best
    loaded: tuple[float, ...]  # and when each load goes into the oven
    mixed_at: int
    ready_at: int  # first slice
    meet_step: str  # the step that ends the long wait
    slack_s: int  # how much later than planned it may start before the dough is past its best
    early_s: int  # how much sooner the dough is already usable
    band_early: int  # instants between which the dough is at its best in 4 of 5 kitchens
    band_late: int
    hands_on_s: int
    visits: int  # times the person has to come to the kitchen
    score: int  # smaller is better
    costs: tuple[Cost, ...] = ()
    asides: tuple[Aside, ...] = ()
    worse: tuple[Worse, ...] = ()  # in what it lost against the first offer, the weightiest first; empty for the first
    pressed_percent: int = 100  # of its method, as is `mixed_cool`
    mixed_cool: bool = False


@dataclass(frozen=True)
class Nearest:
    """A plan that would work if one wish were changed."""

    kind: NearestKind
    offer: Offer
    supper: int = 0  # eat-later, another-day: the new supper
    home_by: int = 0  # home-earlier: be home by this instant
    method: str = ""  # the method that works
    person: int = 0  # home-earlier: who, by place in the list of people


@dataclass(frozen=True)
class Change:
    """The one change to a wish that would make it work."""

    kind: WayOutKind
    supper: int  # as it was asked for
    at: int = 0  # eat-later, another-day: the new supper; home-earlier: home by then
    name: str = ""  # of the method, the dough, or the person when there are several; "" = whoever reads it
    begins_at: int = 0  # when hands are first wanted then; 0 = not worked out


@dataclass(frozen=True)
class Hindrance:
    """What keeps a method from fitting, with its numbers; those that say nothing are left out."""

    kind: HindranceKind
    needs_s: int = 0  # oven-too-long, too-long: so long it takes
    left_s: int = 0  # and so long it is until supper
    start: int = 0  # oven-alone, oven-taken: the oven would be on between these instants
    end: int = 0
    temp_c: float = 0.0  # too-warm: the warmest that the kitchen gets
    keeps_s: int = 0  # and so long a dough keeps on the bench then
    busy: tuple[BusyKind, ...] = ()  # busy-hours
    least_percent: float = 0.0  # yeast: what this kitchen can dose and what is good
    most_percent: float = 0.0


@dataclass(frozen=True)
class InTheWay:
    """Why one method does not fit."""

    method: str
    method_name: str
    why: Hindrance


@dataclass(frozen=True)
class Answer:
    """Up to three offers, best first; or none, with what is in the way and what would work."""

    offers: tuple[Offer, ...] = ()
    in_the_way: tuple[InTheWay, ...] = ()  # methods that do not fit, also when others do
    nearest: tuple[Nearest, ...] = ()  # only when there is no offer

    @property
    def fits(self) -> bool:
        """Is there at least one way?"""
        return bool(self.offers)
