"""The frozen records that every room of the house shares: a plan, its steps, its rise, its oven, its cautions.

A plan is made once and never changed; what happened afterwards is a journal of events (see `journal.py`), and the
present is a fold of both. Everything a phone needs with no connection is inside the plan: the rate table of the dough,
the shares by which it warms and cools, and the facts that its texts are made from.

A plan holds facts. Fields marked "shown" are empty in what is planned and stored: `words/spoken.py` fills them when a
page, a bundle or a calendar shows the plan, in today's words. Plans stored before there were facts hold what they said
then, and are shown with that.

Units, always in the name where they are not obvious:
    instants   int, UTC seconds since 1970-01-01 (never a local datetime)
    durations  int seconds (`_s`) or float hours (`_h`)
    mass       float grams (`_g`)      area  float cm2 (`_cm2`)
    heat       float degrees Celsius (`_c`)
    percent    float, of the flour (baker's percent)
    progress   float, the fermentation model's P: the dough has risen by E (volume increase) when P = E ** m

Only builtin types, str, int, float, bool, None, and tuples of records: `records.py` turns any of these into plain
dicts and back without loss.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from webapp.core.kinds import (
    AsideKind,
    BeyondKind,
    BulkVessel,
    BusyKind,
    CostKey,
    DialUnit,
    DoseKind,
    Flag,
    HabitField,
    HeatedPlace,
    HeatUnit,
    LineKind,
    MassUnit,
    Mixing,
    OutOfFridge,
    OutsideKind,
    OvenFunction,
    OvenKind,
    PanShape,
    Place,
    PlaceNow,
    Presence,
    ProofPlace,
    RestingPlace,
    Shelf,
    SlabKind,
    Status,
    StepKind,
    StepVessel,
    ToppingWhen,
    Vessel,
    WayKind,
    WayResult,
    WeighedBy,
    YeastKind,
)


@dataclass(frozen=True)
class Dosing:
    """How to weigh a little yeast: by scale, fine scale or spoon, or by a yeast water.

    `error_percent` is the most the dose can be off by, `yeast_g` what scale or spoon will give. For a yeast water:
    `stock_yeast_g` in `stock_water_g`, of which `take_g` goes into the dough and brings `take_water_g` of the recipe's
    water along. Kind "none": nothing here can dose so little.
    """

    kind: DoseKind
    error_percent: float
    yeast_g: float
    stock_yeast_g: float = 0.0
    stock_water_g: float = 0.0
    take_g: float = 0.0
    take_water_g: float = 0.0
    step_g: float = 0.0  # of the scale it is weighed on
    stock_step_g: float = 0.0  # of the scale for the stock's yeast
    teaspoons: float = 0.0  # level, in eighths


@dataclass(frozen=True)
class Brine:
    """Salt by a brine: `salt_g` stirred into `water_g`; `take_g` of it brings the salt, and `take_water_g` of water."""

    salt_g: float
    water_g: float
    take_g: float
    take_water_g: float


@dataclass(frozen=True)
class WeighLine:
    """One line of the weigh-out list, in pouring order."""

    key: str  # "flour", "water", "salt", ...; unique within a part
    name: str  # "Strong white flour"
    kind: LineKind
    part: str  # "dough", or the preferment's key when this line belongs to one
    percent: float  # baker's percent of all flour
    grams: float  # exact
    weigh_g: float  # rounded to this kitchen's scale, the total kept
    note: str = ""  # shown: how to weigh it, water temperature, spoons as a hint
    allergens: tuple[str, ...] = ()  # keys of tables/allergens.toml
    weighed_by: WeighedBy = "scale"
    dosing: Dosing | None = None  # of yeast
    teaspoons: float = 0.0  # level, as a hint; 0 = no hint
    at_c: float | None = None  # of the dough's water
    ice_g: float = 0.0  # so much of the water as ice
    times: float = 1.0  # grown by an over-pour: so many times what was planned
    off_percent: float = 0.0  # of salt: how far `weigh_g` is from what was asked for, where that is tasted
    brine: Brine | None = None  # of salt that the scale is too coarse for


@dataclass(frozen=True)
class Topping:
    """Something on the tray, already scaled to its area."""

    key: str
    name: str
    grams: float
    when: ToppingWhen
    perishable: bool
    fridge_out_s: int  # seconds before loading that it may leave the fridge; 0 = straight from the fridge
    note: str = ""  # shown: what is to be done with it, in full
    allergens: tuple[str, ...] = ()
    remark: str = ""  # what the set says of it
    salt_g: float = 0.0  # so much of it is salt
    undrained_g: float = 0.0  # before draining; 0 = not drained


@dataclass(frozen=True)
class Pan:
    """What is baked in. `area_cm2` is the floor; `count` pans of this kind; `called` is the name less its size."""

    key: str
    name: str
    shape: PanShape
    area_cm2: float
    count: int = 1
    length_cm: float = 0.0
    width_cm: float = 0.0
    called: str = ""  # "Oven tray"; "" = as `name` says, which somebody chose or an older version wrote


@dataclass(frozen=True)
class RiseMark:
    """Progress at which a rise is early but usable, at its best, and past its best (early <= best <= past)."""

    early: float
    best: float
    past: float


@dataclass(frozen=True)
class PlanStep:
    """One step. Chain steps follow each other; a side step is tied to a chain step by `anchor` and `offset_s`."""

    step_id: str  # stable within the plan, [a-z0-9-]+: "mix", "fold-1", "press", "load-2"
    kind: StepKind
    start: int  # planned instant the action begins
    end: int  # planned instant the hands (or the oven) are done; the wait until the next chain step follows
    presence: Presence
    place: Place = "bench"  # where the dough is from `end` on
    vessel: StepVessel = "bowl"  # which thermal share applies from `end` on
    chain: bool = True
    anchor: str = ""  # side step: step_id it is tied to
    offset_s: int = 0  # side step: start = anchor's start + offset_s (negative: before it)
    wait_least_s: int = 0  # chain: least wait from the previous chain step's end to this start
    wait_most_s: int = 0  # chain: most of the same
    mark: RiseMark | None = None  # the rise that should be reached when this step starts (press, load)
    alarm_min: int = 0  # calendar alarm, minutes before start
    rings: bool = True  # worth a calendar event of its own
    load: int = 0  # 1, 2, ... for steps of one of several oven loads; 0 = of the whole dough, or of the only load
    title: str = ""  # shown: short imperative, "Mix the dough"
    text: str = ""  # shown: what to do, in full, plain text with numbers; enough with no app at hand
    beside: str = ""  # shown: the text less what a list of weights beside it says
    first: str = ""  # shown: the first thing to do, in a line
    needs: str = ""  # shown: who is needed


@dataclass(frozen=True)
class RateTable:
    """Progress per second of this plan's dough (its yeast, salt, sugar, this kitchen's vigour) by dough temperature.

    `rates[i]` holds at `first_c + i * step_c`; between entries interpolate linearly; past either end clamp and say
    so. Sampled by the server from core/rise/fermentation.py, so that phone and server add up the same numbers.
    """

    first_c: float
    step_c: float
    rates: tuple[float, ...]


@dataclass(frozen=True)
class RoomSpan:
    """From this instant on the kitchen is at `temp_c`."""

    start: int
    temp_c: float


@dataclass(frozen=True)
class Share:
    """Share of the gap to its surroundings that dough in this vessel and place closes in one 60 s step.

    share = 1 - exp(-60 / tau_s), computed by the server, so that the phone needs no exponential.
    """

    vessel: Vessel
    place: HeatedPlace
    share: float


@dataclass(frozen=True)
class GlassMark:
    """A line on a straight-sided glass: this many times the first volume means this much progress."""

    times: float
    progress: float


@dataclass(frozen=True)
class Beyond:
    """One number outside what the model was fitted on.

    `temp_c` of the dough for cold and hot; for stiff the water's `percent`, and how many times `slower` it is reckoned.
    """

    kind: BeyondKind
    temp_c: float = 0.0
    percent: float = 0.0
    slower: float = 0.0
    part: str = ""  # name of the preferment it is said of; "" = the dough


@dataclass(frozen=True)
class Rise:
    """All that is needed to follow the dough: start, surroundings, rates, band."""

    table: RateTable
    mixed_at: int  # planned instant at which progress begins (end of mixing)
    dough_c: float  # dough temperature at that instant
    room: tuple[RoomSpan, ...]  # ascending; the first covers everything before it
    fridge_c: float
    warm_c: float  # the warm spot (oven with the light on, ...)
    shares: tuple[Share, ...]
    band_low: float  # factor on every rate at the slow edge of the 80 % band, < 1
    band_high: float  # same at the quick edge, > 1
    glass: tuple[GlassMark, ...]  # ascending
    outside_range: tuple[str, ...] = ()  # shown: where the model is outside its range
    sd: float = 0.0  # of ln(this dough's rate / the table's) before anything is seen of it; 0 = as `band_high` says
    has_warm: bool = True  # is there a warm spot at all
    warm_is_oven: bool = True  # the warm spot is the oven with its light on: out before the oven is lit
    beyond: tuple[Beyond, ...] = ()


@dataclass(frozen=True)
class OvenAction:
    """One line of the bake programme of one load."""

    minute: int  # after loading; 0 = load
    action: OvenKind
    dial_c: float | None = None  # what the dial is turned to; None = unchanged
    dial: str = ""  # shown: "250 °C", "gas 9", as this oven's dial reads; "" when unchanged
    shelf: str = ""  # shown: "lowest", "middle", ...
    text: str = ""  # shown


@dataclass(frozen=True)
class OvenSetting:
    """What the words of the oven are made from."""

    dial_unit: DialUnit
    dial_c: float  # what the dial is set to
    shelf: Shelf
    shelves: int
    slab: SlabKind
    slab_mm: float
    on_tray: bool  # baked in its tray or pan, also on a slab
    trays_at_once: int
    hot_c: float  # the oven when it is loaded
    touch_c: float  # the base a minute after it met the slab (bare dough: where they touch, at once); 0 = no slab
    cold_c: float  # the base a minute after a cold tray went into the same oven


@dataclass(frozen=True)
class OvenPlan:
    """The oven step: how long to heat, to what, and what happens minute by minute."""

    function: OvenFunction
    preheat_min: int
    preheat_low_min: int
    preheat_high_min: int
    programme: tuple[OvenAction, ...]
    bake_low_min: int
    bake_high_min: int
    loads: int = 1
    recovery_min: int = 0  # wait between lifting one load and loading the next; 0 when there is one load
    setting: OvenSetting | None = None  # None in plans stored before there were facts
    dial: str = ""  # shown
    shelf: str = ""  # shown
    blown: str = ""  # shown: "fan", "" in still air
    slab: str = ""  # shown: "10 mm steel", "tray alone"
    why: str = ""  # shown: the one sentence with numbers, contact temperature of slab against tray

    @property
    def has_slab(self) -> bool:
        """Is something heavy heated?"""
        return self.setting.slab != "tray" if self.setting else self.slab != BARE_BEFORE


BARE_BEFORE = "tray alone"  # how plans stored before there were facts name the slab of an oven that has none


@dataclass(frozen=True)
class Caution:
    """Something that can hurt, said where it matters. `step_id` "" = whole bake."""

    key: str  # a `CautionKey`, "allergens", or "out-" and the key of the first topping it is about ("out-": the dough)
    step_id: str = ""
    names: tuple[str, ...] = ()  # of the toppings it is about; none when it is about the dough
    out: OutOfFridge = ""  # within: `out_s` is less than the limit; over: it would be more; spent: it is already
    out_s: int = 0
    limit_s: int = 0
    text: str = ""  # shown
    source: str = ""  # shown


@dataclass(frozen=True)
class Worse:
    """One thing in which an offer lost against the first: a row of the table of weights, and how far both go in it."""

    key: CostKey
    this: int = 0  # slack: seconds; visit: how many; else nothing to count
    first: int = 0


@dataclass(frozen=True)
class Aside:
    """What an offer has to say of itself, with its number; those that say nothing are left out."""

    kind: AsideKind
    temp_c: float = 0.0  # warm-kitchen: the warmest it gets
    keeps_s: int = 0  # warm-kitchen: so long a dough keeps on the bench then
    share: float = 0.0  # loaded-...: progress over the best, of the load that is furthest off
    load: int = 0  # loaded-...: which load, 0 where there is one


@dataclass(frozen=True)
class Trade:
    """What this plan gives and what it costs, beside its alternatives."""

    method: str  # key of tables/methods.toml
    method_name: str
    slack_s: int  # how much later than planned the person may come to the dough before it is past its best
    early_s: int  # how much sooner it is already usable
    hands_on_s: int
    score: int  # objective value of core/planner/schedule.py, smaller is better
    slack_sure_s: int = 0  # slack_s even for a dough as quick as the edge of the band
    visits: int = 0  # to the kitchen
    worse: tuple[Worse, ...] = ()  # in what it lost against the first offer
    asides: tuple[Aside, ...] = ()
    sentence: str = ""  # shown: what it gives and what it asks for
    why_not: tuple[str, ...] = ()  # shown: why it is not first


@dataclass(frozen=True)
class Busy:
    """A stretch in which the person is away or asleep (for the chart)."""

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
    busy: tuple[Busy, ...] = ()
    cautions: tuple[Caution, ...] = ()
    allergens: tuple[str, ...] = ()
    scale_step_g: float = 1.0
    vigour_ln_mean: float = 0.0  # what the kitchen was taken to be when this was planned: it is in the rates above
    making: Making | None = None  # None in plans stored before there were facts
    habits: tuple[Habit, ...] = ()  # what past bakes changed in this plan
    dough_perishes: bool = False  # milk, egg, cheese or garlic in oil in it: counted as out of the fridge
    title: str = ""  # shown: "Tray pizza for Wednesday"
    yeast_dosing: str = ""  # shown: how to weigh this little yeast, in full
    yeast_why: tuple[str, ...] = ()  # shown: why this much yeast
    notes: tuple[str, ...] = ()  # shown: what past bakes changed
    water_why: tuple[str, ...] = ()  # shown: why the water is so warm, with the baker's rule as a check


@dataclass(frozen=True)
class Event:
    """One line of the journal. Append-only; the id is made on the phone, 128 random bits as hex.

    kind            data (all plain JSON values)
    done            step_id                        the step's action is finished at `at`
    undo            event_id                       that event is taken back
    begun           step_id                        hands have started it (optional)
    later           until                          the person cannot do the next step before this instant
    glass           times                          the glass reads this many times its first volume at `at`
    room            temp_c                         the kitchen is at this temperature from `at` on
    dough           temp_c                         a thermometer in the dough says this at `at`
    moved           place                          the dough went to bench | fridge | warm at `at`
    supper          instant                        supper is moved
    weighed         line                           a line of the weigh-out list is ticked ("part/key")
    poured          line, grams                    this much went in (over-pour); the rest is scaled up
    pan             area_cm2                       baked in another pan: everything is rescaled
    note            text                           free text for the book
    looked          seen                           at pressing, by eye: hardly | doubled | well-over | sinking
    poked           springs                        a finger before loading: at-once | slowly | stays
    way             way, press, load, supper,      a way from here is taken (see `Way`): `press` 0 = pressed already;
                    moves, proof, asked,           `moves` a list of {at, place}; `asked` false = taken unasked;
                    result, given_up               what was said of the dough, what a better way would have saved
    outcome         base, top, crumb, timing,      how it came out, for the book; `verdict` of the dough at loading:
                    verdict                        young | right | past
    """

    event_id: str
    bake_id: str
    at: int  # when it happened, by the phone's clock
    logged_at: int  # when it was written down, and after all that was known then: the order of saying
    phone: str  # which phone, random id
    kind: str  # an `EventKind`, or one of a newer phone: kept, and passed over
    data: dict[str, object] = field(default_factory=dict)


# What the journal says (`journal.fold`) and what follows from it (`retime.retime`).


@dataclass(frozen=True)
class Done:
    """A step that was done (or begun), and when its action was finished (or begun)."""

    step_id: str
    at: int


@dataclass(frozen=True)
class Glass:
    """A reading of the straight-sided glass: at that instant it stood at `times` its first volume."""

    at: int
    times: float


@dataclass(frozen=True)
class Moved:
    """From this instant on the dough is on the bench, in the fridge or in the warm spot."""

    at: int
    place: RestingPlace


@dataclass(frozen=True)
class Seen:
    """What an eye or a finger said at that instant: a `looked` or a `poked` of the journal."""

    at: int
    said: str  # a `Look` or a `Poke`, or a word of a newer phone: passed over


@dataclass(frozen=True)
class Taken:
    """The way that was taken last and still stands. Instants; `press_at` 0 = it was pressed already."""

    at: int
    kind: str  # a `WayKind`, or one of a newer phone
    press_at: int
    load_at: int
    proof: ProofPlace = ""  # where the tray goes from pressing on
    result: str = ""  # what the person was told of the dough and agreed to; "" when it was taken unasked
    given_up: float = 0.0  # of loss that the least of the other ways would have saved: it is not asked about again


@dataclass(frozen=True)
class Poured:
    """So much of this line ("part/key") went into the bowl."""

    line: str
    grams: float


@dataclass(frozen=True)
class State:
    """The journal of one bake, folded: what has happened, whatever order the events arrived in."""

    done: tuple[Done, ...]  # in plan order
    begun: tuple[Done, ...]  # in plan order
    later: int  # the next step cannot be done before this instant; 0 = nothing said
    supper: int  # when supper is wanted now
    glasses: tuple[Glass, ...]  # ascending by `at`
    rooms: tuple[RoomSpan, ...]  # readings of the room, ascending
    moves: tuple[Moved, ...]  # ascending by `at`
    weighed: tuple[str, ...]  # ticked lines, in pouring order
    poured: tuple[Poured, ...]  # one per line, in pouring order
    area_cm2: float  # baked in another pan of this floor; 0 = as planned
    notes: tuple[str, ...]
    outcome: tuple[tuple[str, str], ...]  # (base | top | crumb | timing, what was said)
    doughs: tuple[RoomSpan, ...] = ()  # readings of the dough's own temperature, ascending
    looks: tuple[Seen, ...] = ()  # by eye at pressing, ascending
    pokes: tuple[Seen, ...] = ()  # by finger before loading, ascending
    way: Taken | None = None  # the way that was taken; its moves are among `moves`
    agreed: int = 0  # the supper that the person last agreed to, by words or by a way that was tapped
    wanted: int = 0  # the supper that was wished for: the plan's, or the one said last


@dataclass(frozen=True)
class RetimedStep:
    """One step of the plan with its time as things stand now. Instants are 0 where there is none."""

    step_id: str
    start: int
    end: int
    status: Status
    moved_s: int  # start against the plan's start
    progress: float  # at `start`, most likely; 0 before mixing
    progress_low: float  # slow edge of the band
    progress_high: float  # quick edge of the band
    flag: Flag  # young: under early at its start; past: it will be past its best; never: it does not get there within
    #             two days; long: a longer wait than the method allows
    early_at: int  # steps with a mark: when the dough, left as it is, is early but usable
    best_at: int  # ... at its best
    past_at: int  # ... past its best


@dataclass(frozen=True)
class CurvePoint:
    """One point of the rise for the chart."""

    at: int
    progress: float
    low: float
    high: float
    dough_c: float


@dataclass(frozen=True)
class Retimed:
    """Every step's new time and where the dough stands."""

    steps: tuple[RetimedStep, ...]  # same order as plan.steps
    current: str  # step_id of the open step that comes first, "" when all is done
    next: str  # the one after it, "" when there is none
    progress: float  # now
    progress_low: float
    progress_high: float
    dough_c: float  # now
    place: PlaceNow  # where the dough is now
    factor: float  # how much quicker than planned this dough is taken to be: exp(ln_mean)
    curve: tuple[CurvePoint, ...]  # every 15 min from mixing to loading
    supper: int  # when supper is wanted
    ready_at: int  # when it will be ready
    late_s: int  # ready_at - supper when that is late, else 0
    outside: tuple[OutsideKind, ...]
    eat_at: int  # the supper to show: the wanted one while it holds to 5 min, else ready_at on the next 5 min
    ln_mean: float  # estimate of ln(this dough's rate / the plan's)
    ln_sd: float  # and how sure it is
    moves: tuple[Moved, ...]  # what the way that was taken asks for from `now` on
    way: str  # kind of the way that was taken (a `WayKind`, or one of a newer phone), "" = none


@dataclass(frozen=True)
class Way:
    """One future, really re-timed: when to press and load, where the dough stands, when we eat, how risen it is.

    kind: as-planned | on-time | later | sooner | warm | cold-tray | fridge, see `core/now/ways.py`.
    """

    kind: WayKind
    press_at: int  # 0 = pressed already
    load_at: int
    ready_at: int
    supper: int  # ready_at on the next 5 minutes, or the supper that holds
    place: Place  # where the dough goes now
    proof: ProofPlace  # where the tray goes from pressing on
    moves: tuple[Moved, ...]  # all that is to be carried, now and later, ascending
    carried: tuple[Moved, ...]  # of these what the journal must be told; the rest follows from pressing and the oven
    progress: float  # at loading, most likely
    low: float  # edges of the 80 % band
    high: float
    ratio: float  # progress at loading / best at loading
    result: WayResult  # what it means on the plate
    late_s: int  # supper against the one wished for; negative = sooner
    asks: bool  # supper moves by more than 15 min from what was agreed to: nobody takes it unasked
    loss: float  # `core/now/loss.py`; the list is in its order
    given_up: float = 0.0  # of loss, by whoever takes this one and not the first
