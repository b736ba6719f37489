"""The closed sets of the house, each written once: what a thing can be, and nothing else.

A record names its set as the type of a field, so that mypy sees a kind that is none; `records.py` reads no other
value; JSON schemas and forms offer these and no more; a table of words over a set is typed `Mapping[Kind, ...]` and a
test sees that it covers the set (`tests/core/test_kinds.py`). To add a kind: write it here; mypy and that test name
the rest.
"""

from __future__ import annotations

from typing import Literal, get_args

# What is weighed, and in what.
YeastKind = Literal["instant", "active-dry", "fresh"]
IngredientKind = Literal["flour", "water", "salt", "sugar", "fat", "other"]
# In pouring order (common practice): water, yeast, flour, then salt and fat.
LineKind = Literal["water", "yeast", "preferment", "flour", "other", "sugar", "salt", "fat"]
Keeping = Literal[
    "",  # nobody has said: dry, and written down before this was asked
    "shelf",
    "fridge",  # it keeps for hours outside, and goes in cold: butter
    "perishable",  # cold, and not for hours outside
    "warmed",  # the same, warmed before it goes in
]
# What a topping can do to who eats it: by what it is, whatever the fridge did.
ToppingRisk = Literal[
    "",
    "raw-egg",
    "raw-meat",
    "avoid",  # soft or blue cheese, cured ham, smoked fish: some people are told to avoid them
]
PrefermentStyle = Literal["poolish", "biga", "sponge"]
BreadStyle = Literal["thin", "round", "pan", "tray", "focaccia"]
PanShape = Literal["rectangle", "round", "oval", "measured"]
PanMeasure = Literal["length", "width", "water_g"]  # what is measured of a pan; grams of water lie 1 cm deep in it
ToppingWhen = Literal["before", "after"]  # loading, baking
DoseKind = Literal["scale", "micro", "yeast-water", "spoon", "none"]
TypedUnit = Literal["percent", "grams", "oz"]  # of an own formula, as it was written down
WeighedBy = Literal[
    "scale",  # the kitchen's
    "fine",  # on the fine scale
    "too-little",  # less than the scale shows
    "dosed",  # yeast: as `WeighLine.dosing` says
    "whole",  # a preferment goes in whole
    "poured",  # water that comes with the yeast: nothing more to pour
]
Mixing = Literal["hand", "mixer", "processor"]

# Where the dough is. It waits in one of the resting places, in a bowl or a tub; from pressing out on, in its tray.
RestingPlace = Literal["bench", "fridge", "warm"]
ProofPlace = Literal["", "bench", "fridge", "warm"]  # of the tray from pressing on; "" = as planned
HeatedPlace = Literal["bench", "fridge", "warm", "oven"]  # those with a time constant
Place = Literal["bench", "fridge", "warm", "oven", "none"]
PlaceNow = Literal["", "bench", "fridge", "warm", "oven", "none"]  # "" before mixing
BulkVessel = Literal["bowl", "tub"]
Vessel = Literal["bowl", "tub", "tray"]
AnyVessel = Literal["bowl", "tub", "tray", "sponge"]  # the planner's: a preferment has a bowl of its own
StepVessel = Literal["bowl", "tub", "tray", ""]  # "" of a side step, which leaves the dough where it is

ASIDE_PLACES: tuple[RestingPlace, ...] = ("warm", "fridge")  # in the order in which a way from here is sought
BAKED_PLACES: tuple[PlaceNow, ...] = ("oven", "none")  # nothing rises any more

# Steps. A method is a chain of chain kinds; the rest follows from the loading.
ChainKind = Literal[
    "preferment", "mix", "rest", "fold", "round-up", "chill", "warm", "warm-out", "temper", "press", "load"
]
SideKind = Literal["sauce", "drain", "cheese-out"]
BakeKind = Literal["turn-down", "check", "turn", "lift"]  # with the tray in the oven
OvenKind = Literal["load", "turn-down", "check", "turn", "lift"]  # lines of the bake programme
StepKind = Literal[
    "preferment", "mix", "rest", "fold", "round-up", "bulk", "chill", "warm", "warm-out", "temper", "press", "relax",
    "proof", "preheat", "sauce", "drain", "cheese-out", "top", "load", "turn-down", "check", "turn", "lift", "cool",
    "serve",
]  # fmt: skip
MIXING_KINDS: tuple[StepKind, ...] = ("preferment", "mix")  # what is weighed out and mixed: after them there is a dough
STAGE_KINDS: tuple[ChainKind, ...] = ("mix", "press", "load")  # each method has each of these once, in this order
PRESSING_KINDS: tuple[StepKind, ...] = ("press", "relax")  # what is done to each tray, one after the other
Presence = Literal["hands", "home", "none"]  # throughout; in the house with the oven on; it happens by itself
MarkName = Literal["press", "load", ""]  # of a step that wants to meet a rise

# A bake as it stands.
Status = Literal["done", "passed", "open"]  # passed: overtaken, nobody needs to do it any more
Flag = Literal["", "young", "past", "never", "long", "off", "off-then"]
SeenKind = Literal["glass", "look", "poke"]  # by what a dough was read
# Where an answer leaves the range of the plan's numbers: colder, warmer than the rate table, the glass off its scale,
# read too soon to say anything, or so far from all that was expected that a second look is worth it.
OutsideKind = Literal["colder", "warmer", "glass", "soon", "again"]
RingStage = Literal["due", "hushed", "done", "forgotten"]
RingEnd = Literal["", "done", "forgotten"]
SupperSaid = Literal["all", "asked", "wanted"]  # ways as they stand now, as last agreed to, as last wished
BusyKind = Literal["away", "busy", "asleep"]
EventKind = Literal[
    "done", "undo", "begun", "later", "glass", "room", "dough", "moved", "supper", "weighed", "poured", "pan", "note",
    "outcome", "looked", "poked", "baking", "way", "yeast", "tray", "settled", "left-out",
]  # fmt: skip
OutcomePart = Literal["base", "top", "crumb"]
Look = Literal["hardly", "doubled", "well-over", "sinking"]  # by eye, at pressing
Poke = Literal["at-once", "slowly", "stays"]  # how a dent made by a finger springs back, before loading
BakeLook = Literal["more", "base-pale", "top-dark"]  # of a tray in the oven: a little more, base pale, top dark
Verdict = Literal["young", "right", "past"]  # of the dough, when it was loaded; said after the bake
LessonKind = Literal["glass", "look", "poke", "test-glass", "young", "right", "past"]  # what told how quick a dough was
BakeNumber = Literal[  # of a bake, as the causes of trouble look at it
    "heat_short_min",
    "bake_short_min",
    "bake_long_min",
    "turn_down_late_min",
    "press_ratio",
    "load_ratio",
    "load_past_ratio",
    "proof_min",
    "dough_c",
    "topping_g_cm2",
    "loading_g_cm2",
    "hydration_percent",
    "salt_percent",
    "fat_percent",
    "slab",
    "lowest",
    "fan",
    "dial_off_c",
    "measured",
]
HabitField = Literal[  # what an accepted change moves in every plan
    "preheat_min", "bake_min", "bake_c", "shelf_low", "topping_times", "loading_times", "rise_times", "water_percent",
    "note",
]  # fmt: skip
WayKind = Literal["as-planned", "on-time", "later", "sooner", "warm", "cold-tray", "fridge", "bench"]
WayResult = Literal["young", "bit-young", "best", "bit-past", "past"]
Timing = Literal["early", "right", "late"]  # of the dough, when it was pressed out

# Where a prediction lies outside what the model was fitted on, and what no water can do.
BeyondKind = Literal[
    "cold", "hot", "little-yeast", "much-yeast", "sugar", "fat", "salt", "stiff", "batter", "too-far", "no-wait",
    "hot-water", "ice", "all-ice",
]  # fmt: skip
# Of what may stand out of the fridge; "" says nothing of it. The last two are of a topped tray: over, and spent.
OutOfFridge = Literal["", "within", "over", "spent", "tray", "tray-spent"]
CautionKey = Literal[
    "raw-flour", "rich-dough", "never-alone", "oven-clear", "heavy-slab", "hot-slab", "door-steam", "hot-oil",
    "hot-rim", "oven-off", "next-loads", "after-bake", "leftovers", "open-glass", "egg-through", "meat-through",
    "egg-after", "meat-after", "who-avoids", "bread-left",
]  # fmt: skip
CautionWhen = Literal[
    "always", "slab", "no-slab", "oil", "rich", "perishable", "after", "rim", "loads", "raw-egg", "raw-meat",
    "raw-egg-after", "raw-meat-after", "avoid", "topped", "bare",
]  # fmt: skip

# The planner's answers. What an offer costs is told by rows of `planner/cost.py`; why a day does not fit, by these.
CostKey = Literal[
    "wait",
    "proof",
    "slack",
    "early",
    "unseen",
    "leaving",
    "coming",
    "visit",
    "left-out",
    "side-task",
    "supper",
    "ferment",
]
HindranceKind = Literal[
    "no-preferment",  # the formula has none
    "perishable",  # milk, egg or cheese in the dough, and the method leaves it out of the fridge
    "no-warm-spot",
    "oven-too-long",  # heating and baking take longer than there is until supper
    "oven-alone",  # nobody is at home all the time that the oven would be on
    "oven-taken",  # it is lit for another bake, or another dough stands in it
    "too-warm",  # the dough would get too old in so warm a kitchen
    "too-long",  # every wait at its least, and still too long
    "hours",  # the person's hours; which ones has not been looked into
    "busy-hours",  # these hours (`Hindrance.busy`), or all of them together
    "yeast",  # it would take less yeast than can be dosed, or more than is good
    "waits",
]
# What an offer has to say of itself in one sentence, where the day left no better way.
AsideKind = Literal[
    "warm-kitchen",  # methods on the bench are left out: the dough keeps for so long only
    "loaded-early",  # the dough is short of its best when it is loaded, by more than a twentieth
    "loaded-late",  # or past it
    "just-in",  # there is work in the first ten minutes at home
    "unknown-kitchen",  # the fridge comes first because it forgives most where the kitchen is not known
    "best-so-far",  # the search was cut short: there may be a better day
]
NearestKind = Literal["eat-later", "another-day", "home-earlier", "use-fridge", "other-method"]
WayOutKind = Literal[
    "eat-later", "another-day", "home-earlier", "use-fridge", "other-method", "other-dough", "as-they-come",
    "fewer-together", "half-then",
]  # fmt: skip

# What of a planned bake fits no longer: nobody can see to a step; the fridge is another; the oven is taken; the pan.
MisfitKind = Literal["hands", "fridge", "oven", "pan"]

# An event of ours in somebody's calendar: wholly ours; its start was changed there, which is to be answered, or was;
# somebody took it out; it was there before us; its server put it at an address that it does not tell.
HandsOff = Literal["", "moved", "kept", "removed", "taken", "astray"]
# A push message: for certain not taken (again), a fault of the service (broken), perhaps taken (unknown).
SentAs = Literal["sent", "gone", "again", "broken", "refused", "unknown"]
EntryKind = Literal["", "step", "home", "test", "empty"]  # home: in time for a step; empty: a feed of no bake
Family = Literal["apple", "android", "mac", "other"]  # of the phone that asks, by what its browser says of itself
RouteWorth = Literal["good", "careful", "bad"]  # of a way for reminders to reach a phone
PegStatus = Literal["open", "due", "done", "passed"]  # of a visit in the picture of a day
AlarmsFound = Literal["", "live", "lost"]  # what reading back a calendar has shown of them; "" = not known yet

# What can be wrong with what was asked. Its sentences: `words/problems/`; told: in words of its own, by a page, a form,
# a file; refused: a day that has no room, or a dough that may not stand so long.
ProblemKind = Literal[
    "told", "refused", "no-amount", "no-share", "no-ingredient-kind", "no-keeping", "key-taken", "no-yeast-amount",
    "no-yeast-kind", "loading-order", "increase-order", "dough-warmth", "no-flour", "no-flour-weight", "flour-sum",
    "no-water", "crumbs", "batter", "much-salt", "much-sugar", "much-fat", "no-yeast", "much-yeast",
    "preferment-numbers", "preferment-takes", "no-formula-values", "no-list", "no-table", "does-not-fit",
    "unknown-name", "missing", "no-number", "no-formula", "no-toppings", "no-rim-cheese", "rim-wall",
    "not-of-a-method", "no-steps", "no-text", "no-yes-no", "pressed-percent", "method-key", "method-name",
    "step-no-table",
    "not-of-a-step", "step-wait-numbers", "step-value", "step-kind", "step-times", "steps-order", "before-mixing",
    "after-pressing", "many-steps", "many-moves", "step-wait-order", "step-minutes", "step-fives", "step-place",
    "step-optional", "step-wait-fives", "first-wait", "wide-waits", "no-shape", "no-floor", "no-pan", "no-loading",
    "no-loss", "dough-mass", "no-scale-step", "no-line", "not-poured", "no-vessel", "no-dough", "one-open-stage",
    "rise-numbers", "no-zone", "skipped", "twice", "time-past", "weeks-away", "no-date-time", "no-room-temperature",
    "too-far-away", "nobody", "week-days", "no-date", "hours-of-nobody", "asleep-before-awake", "home-before-leaving",
    "no-methods", "supper-past", "supper-after", "no-gas-mark", "no-typed-mark", "no-temperature", "no-oven-heat",
    "apart", "no-style", "glass-says-nothing", "not-risen", "glass-room", "glass-day", "glass-often",
    "glass-not-ours", "no-habit", "shape",
]  # fmt: skip

# The oven and what lies in it; units as a person reads them.
SlabKind = Literal["tray", "steel", "stone", "cast-iron"]  # tray: nothing heavy is heated
OvenFunction = Literal["still", "fan"]  # top and bottom heat in still air; the same air blown about
ShelfHeight = Literal["low", "middle", "high"]
DialUnit = Literal["C", "F", "gas"]
MassUnit = Literal["g", "oz"]
HeatUnit = Literal["C", "F"]
ClockStyle = Literal["24", "12"]

YEAST_KINDS: tuple[YeastKind, ...] = get_args(YeastKind)
INGREDIENT_KINDS: tuple[IngredientKind, ...] = get_args(IngredientKind)
BREAD_STYLES: tuple[BreadStyle, ...] = get_args(BreadStyle)
PAN_SHAPES: tuple[PanShape, ...] = get_args(PanShape)
PAN_MEASURES: tuple[PanMeasure, ...] = get_args(PanMeasure)
TOPPING_WHENS: tuple[ToppingWhen, ...] = get_args(ToppingWhen)
KEEPINGS: tuple[Keeping, ...] = get_args(Keeping)
TOPPING_RISKS: tuple[ToppingRisk, ...] = get_args(ToppingRisk)
MIXINGS: tuple[Mixing, ...] = get_args(Mixing)
PLACES: tuple[Place, ...] = get_args(Place)
FLAGS: tuple[Flag, ...] = get_args(Flag)
RESTING_PLACES: tuple[RestingPlace, ...] = get_args(RestingPlace)
HEATED_PLACES: tuple[HeatedPlace, ...] = get_args(HeatedPlace)
BULK_VESSELS: tuple[BulkVessel, ...] = get_args(BulkVessel)
VESSELS: tuple[Vessel, ...] = get_args(Vessel)
BAKE_KINDS: tuple[BakeKind, ...] = get_args(BakeKind)
OVEN_KINDS: tuple[OvenKind, ...] = get_args(OvenKind)
STEP_KINDS: tuple[StepKind, ...] = get_args(StepKind)
OUTCOME_PARTS: tuple[OutcomePart, ...] = get_args(OutcomePart)
TIMINGS: tuple[Timing, ...] = get_args(Timing)
SEEN_KINDS: tuple[SeenKind, ...] = get_args(SeenKind)
LOOKS: tuple[Look, ...] = get_args(Look)
POKES: tuple[Poke, ...] = get_args(Poke)
BAKE_LOOKS: tuple[BakeLook, ...] = get_args(BakeLook)
VERDICTS: tuple[Verdict, ...] = get_args(Verdict)
WAY_KINDS: tuple[WayKind, ...] = get_args(WayKind)
WAY_RESULTS: tuple[WayResult, ...] = get_args(WayResult)
SIDE_KINDS: tuple[SideKind, ...] = get_args(SideKind)
OUTSIDE_KINDS: tuple[OutsideKind, ...] = get_args(OutsideKind)
SLAB_KINDS: tuple[SlabKind, ...] = get_args(SlabKind)
OVEN_FUNCTIONS: tuple[OvenFunction, ...] = get_args(OvenFunction)
DIAL_UNITS: tuple[DialUnit, ...] = get_args(DialUnit)
MASS_UNITS: tuple[MassUnit, ...] = get_args(MassUnit)
HEAT_UNITS: tuple[HeatUnit, ...] = get_args(HeatUnit)
CLOCK_STYLES: tuple[ClockStyle, ...] = get_args(ClockStyle)
PREFERMENT_STYLES: tuple[PrefermentStyle, ...] = get_args(PrefermentStyle)
TYPED_UNITS: tuple[TypedUnit, ...] = get_args(TypedUnit)
BUSY_KINDS: tuple[BusyKind, ...] = get_args(BusyKind)
LINE_KINDS: tuple[LineKind, ...] = get_args(LineKind)
