"""Between which numbers each figure of a record lies: one table for what is typed, brought in, and kept.

Every range is closed. A figure has its own, or that of the unit at the end of its name. `records.py` reads nothing that
lies outside, so that nobody reckons with it; forms ask by the same table. Figures that a form takes are as wide as the
form; what is worked out has room for anything that could be true of a kitchen, and none for what ends in a division by
nothing, an endless sum or an instant that no calendar knows.
"""

from __future__ import annotations

from collections.abc import Mapping

Range = tuple[float, float]

EPOCH, FAR = 946_684_800, 7_258_118_400  # the years 2000 to 2200
MOST_WHOLE = 2**53  # what a phone counts exactly
MOST_NUMBER = 1e9  # instants are the largest of ours, and they are whole
MOST_LETTERS = 20_000  # of a text
MOST_JOINED = 10 * MOST_LETTERS  # of one that joins texts, as an entry of a calendar does
LEAST_NUMBER = 1e-100  # nearer to nothing than any sum comes; its square is a number yet
MOST_IN_A_BAKE = 6  # pans, or trays
MOST_SEQUENCE = 2**31 - 1  # RFC 5545 3.3.8: an integer of 32 bits
_DAY_MIN = 1440
_LONG_S = 60 * 86400  # no wait of a bake is near it

WHOLE: Range = (-MOST_WHOLE, MOST_WHOLE)
NUMBER: Range = (-MOST_NUMBER, MOST_NUMBER)
_INSTANT: Range = (0, FAR)  # some are 0 where there is none
_LENGTH: Range = (-_LONG_S, _LONG_S)
_SHARE: Range = (0.0, 1.0)
_RISE: Range = (1e-3, 100.0)  # progress, and times a first volume: a dough comes to 3

# By the unit at the end of a name, the longest first.
_UNITS: dict[str, Range] = {
    "_g_cm2": (0.0, 10.0),
    "_g_cm": (0.0, 100.0),
    "_percent": (-1000.0, 1000.0),
    "percent": (0.0, 1000.0),
    "_share": _SHARE,
    "share": _SHARE,
    "_times": (0.0, 1000.0),
    "times": (0.0, 1000.0),
    "teaspoons": (0.0, 10_000.0),
    "_cm2": (1.0, 20_000.0),
    "_cm": (0.0, 200.0),
    "_mm": (0.0, 60.0),
    "_min": (-1.0, 14_400.0),
    "minute": (-1.0, 14_400.0),
    "grams": (0.0, 1e6),
    "_at": _INSTANT,
    "start": _INSTANT,
    "end": _INSTANT,
    "_c": (-60.0, 600.0),
    "_g": (0.0, 1e6),
    "_s": _LENGTH,
    "load": (0, 100),
    "loads": (0, 100),
    "count": (1, MOST_IN_A_BAKE),
}

# What is typed in settings and wishes, and what is not as wide as its unit.
_OWN: dict[str, Range] = {
    "PartOfDay.from_min": (0, _DAY_MIN),
    "PartOfDay.temp_c": (0.0, 45.0),
    "Kitchen.fridge_c": (-2.0, 15.0),
    "Kitchen.warm_c": (20.0, 35.0),
    "Kitchen.tap_c": (1.0, 40.0),
    "Kitchen.mixing_rise_c": (0.0, 20.0),
    "Kitchen.scale_step_g": (0.05, 10.0),
    "Kitchen.micro_step_g": (0.0, 1.0),
    "Kitchen.vigour_ln_mean": (-3.0, 3.0),
    "Kitchen.vigour_ln_sd": (1e-3, 2.0),
    "Kitchen.alarms": (-1, _DAY_MIN),
    "Oven.highest_c": (150.0, 550.0),
    "Oven.slab_width_cm": (0.0, 100.0),
    "Oven.slab_depth_cm": (0.0, 100.0),
    "Oven.shelves": (1, 12),
    "Oven.power_w": (0.0, 20_000.0),
    "Oven.measured_preheat_min": (0, 180),
    "Oven.dial_error_c": (-80.0, 80.0),
    "Oven.trays_at_once": (1, MOST_IN_A_BAKE),
    "DayHours.wake_min": (0, 2 * _DAY_MIN),
    "DayHours.sleep_min": (0, 2 * _DAY_MIN),
    "AwaySpan.from_min": (0, 2 * _DAY_MIN),
    "AwaySpan.to_min": (0, 2 * _DAY_MIN),
    "Habit.value": (-1000.0, 1000.0),
    "Pan.length_cm": (0.0, 100.0),
    "Pan.width_cm": (0.0, 100.0),
    "Wish.room_c": (0.0, 45.0),
    "Wish.loading_g_cm2": (0.1, 1.5),
    "Wish.supper_fold": (0, 1),
    "Wish.loss_percent": (0.0, 20.0),
    "Wish.at_once": (0, MOST_IN_A_BAKE),
    "Wish.room_min": (0, _DAY_MIN),
    "Wish.away_person": (0, 100),
    "Wish.else_from_min": (0, 2 * _DAY_MIN),
    "Plan.supper": (EPOCH, FAR),
    "Plan.ready_at": (EPOCH, FAR),
    "Plan.dough_g": (1e-3, 1e6),
    "Plan.loading_g_cm2": (1e-3, 10.0),
    "Plan.scale_step_g": (0.0, 100.0),
    "Plan.vigour_ln_mean": (-3.0, 3.0),
    "KeptPart.supper": (EPOCH, FAR),
    "RiseMark.early": _RISE,
    "RiseMark.best": _RISE,
    "RiseMark.past": _RISE,
    "RiseMark.full": (0.0, 100.0),
    "GlassMark.times": _RISE,
    "GlassMark.progress": _RISE,
    "RateTable.step_c": (1e-3, 60.0),
    "RateTable.rates": (0.0, 1.0),
    "Rise.band_low": (1e-3, 1000.0),
    "Rise.band_high": (1e-3, 1000.0),
    "Rise.sd": (0.0, 2.0),
    "Aside.share": (0.0, 1000.0),  # of its best: past it, it is more than all
    "Beyond.slower": (0.0, 1000.0),
    "OvenAction.minute": (0, _DAY_MIN),
    "OvenSetting.shelves": (1, 12),
    "OvenSetting.trays_at_once": (1, MOST_IN_A_BAKE),
    "OvenPlan.loads": (1, 100),
    "AtHome.free": _INSTANT,
    "AtHome.home": _INSTANT,
    "Event.at": (EPOCH, FAR),
    "Event.logged_at": (EPOCH, FAR),
    "GlassRecipe.stock_water_g": (1.0, 2000.0),
    "GlassRecipe.stock_salt_g": (0.01, 2000.0),
    "GlassRecipe.stock_yeast_g": (0.01, 2000.0),
    "GlassRecipe.take_g": (1.0, 2000.0),
    "GlassRecipe.flour_g": (1.0, 2000.0),
    "GlassRecipe.step_g": (1e-3, 100.0),
    "GlassRecipe.fine_g": (1e-3, 100.0),
    "SampleGlass.started_at": (EPOCH, FAR),
    "Glass.at": _INSTANT,
    "ToppingItem.g_cm2_else": (0.0, 10.0),
    "Rim.g_cm": (0.0, 15.0),
    "Entry.sequence": (0, MOST_SEQUENCE),
}

# What a phone says, by kind of line and name in its data; those that may be left out behind it.
JOURNAL_RANGES: dict[str, dict[str, Range]] = {
    "later": {"until": (EPOCH, FAR)},
    "glass": {"times": (1.0, 12.0)},
    "room": {"temp_c": (-10.0, 60.0), "since": (EPOCH, FAR)},
    "dough": {"temp_c": (-5.0, 50.0), "since": (EPOCH, FAR)},
    "supper": {"instant": (EPOCH, FAR)},
    "poured": {"grams": (0.0, 50_000.0), "pace": (0.1, 10.0)},
    "tray": {"times": (0.1, 10.0)},
    "pan": {"area_cm2": (10.0, 20_000.0)},
    "settled": {"revision": (1, 1_000_000)},
    "way": {"press": (0, FAR), "load": (EPOCH, FAR), "supper": (EPOCH, FAR), "given_up": (0.0, 1000.0)},
}
MAY_BE_UNSAID = ("since", "pace", "given_up")

# Of what is typed: so much an end is off by where whole degrees Fahrenheit, or tenths of an inch, are read.
_TYPED = ("Kitchen", "Oven", "PartOfDay", "Pan", "Wish")
_ROUNDED = {"_c": 0.3, "_cm": 0.13, "_g_cm2": 0.001}


def typed(record: str, field: str) -> Range:
    """The range that a form takes."""
    return _OWN[f"{record}.{field}"]


def typed_whole(record: str, field: str) -> tuple[int, int]:
    """The same of a whole number."""
    least, most = typed(record, field)
    return int(least), int(most)


def is_said(kind: str, data: Mapping[str, object]) -> bool:
    """Can a line of the journal be reckoned with, by the figures in its data?"""
    for name, (least, most) in JOURNAL_RANGES.get(kind, {}).items():
        value = data.get(name)
        if name not in data and name in MAY_BE_UNSAID:
            continue
        if isinstance(value, bool) or not isinstance(value, int | float) or not least <= value <= most:
            return False
    return True


def of(record: str, field: str) -> Range | None:
    """The range of what is kept; None where neither its name nor the table has one."""
    own = _OWN.get(f"{record}.{field}")
    if own is None:
        return next((found for unit, found in _UNITS.items() if field.endswith(unit)), None)
    off = next((by for unit, by in _ROUNDED.items() if record in _TYPED and field.endswith(unit)), 0.0)
    return own[0] - off, own[1] + off


def held(record: str, field: str, value: float) -> float:
    """What is worked out from figures of the range, brought back into it."""
    least, most = typed(record, field)
    return min(max(value, least), most)
