"""The five answers of the morning: typed text into a `Wish`, and a wish back into text for filling in the form.

Field names are those of the plan form: supper, pan-KEY, other_*, formula_key, room, hours, away and the rest.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from webapp.core.day.day import minute_of_day, supper_instant
from webapp.core.errors import PlanError
from webapp.core.kinds import PanShape
from webapp.core.kitchen import USUAL_SUPPER, AwaySpan, Kitchen, Wish
from webapp.core.plan.tray import Pan
from webapp.core.ranges import MOST_IN_A_BAKE, typed
from webapp.core.scale.pans import MOST_LOSS_PERCENT
from webapp.core.units import number_text
from webapp.forms.in_units import heat_text, loading_text, read_heat, read_loading
from webapp.forms.pans import read_pan, typed_pan
from webapp.forms.typed import Answers, clock_minutes, clock_text, spans_text
from webapp.words.problems import fields
from webapp.words.problems import typed as said

NOTHING = "nothing"  # nothing on top; an empty answer means what the dough usually has
OTHER = "other"  # key of a pan typed in just for today
EVENINGS_KEPT = ("1", "2", "3")  # later: a dough keeps in the fridge for three days
LEAST_C, MOST_C = typed("Wish", "room_c")


@dataclass(frozen=True)
class Choices:
    """What may be answered: keys of formulas (each with what it usually has on top), topping sets and methods."""

    formulas: Mapping[str, str]
    toppings: Collection[str] = ()
    methods: Collection[str] = ()


def read_wish(answers: Answers, kitchen: Kitchen, choices: Choices, now: int) -> Wish:
    """The wish as typed; raises PlanError with every mistake at once, each at its field."""
    supper = answers.moment("supper", what=fields.SUPPER)
    fold = {"0": 0, "1": 1}.get(answers.text("supper_fold"))
    if supper:
        try:
            supper_instant(supper, kitchen.zone, now, fold)
        except PlanError as error:
            answers.problems += error.problems
    formula_key = answers.choice("formula_key", choices.formulas, what=fields.WHICH_DOUGH)
    wish = Wish(
        supper_local=supper,
        pans=read_pans(answers, kitchen),
        formula_key=formula_key,
        toppings_key=_read_toppings(answers, choices, formula_key),
        room_c=read_room(answers, kitchen),
        room_min=_read_room_min(answers, kitchen, now),
        away_today=_away(answers),
        method_key=answers.choice("method_key", choices.methods, empty=""),
        loading_g_cm2=read_loading(answers, "loading", kitchen) if answers.text("loading") else None,
        supper_fold=fold,
        loss_percent=answers.number("loss_percent", 0, MOST_LOSS_PERCENT, "%", empty=0.0),
        at_once=answers.whole("at_once", 1, MOST_IN_A_BAKE, empty=0),
        as_they_come=answers.yes("as_they_come"),
        kept_local=_so_much_later(supper, answers.choice("kept_for", EVENINGS_KEPT, empty="")),
        start_local=answers.moment("start") if answers.text("start") else "",
        away_person=int(answers.choice("who", [str(i) for i in range(len(kitchen.people))], empty="0") or 0),
        else_from_min=answers.clock("else_from") if answers.text("else_from") else None,
    )
    answers.done()
    return wish


def read_pans(answers: Answers, kitchen: Kitchen) -> tuple[Pan, ...]:
    """The pans that are used today: how many of each of the kitchen's, or another just today in their place.

    Another pan stands in for the usual ones unless somebody says both.
    """
    before = len(answers.problems)
    counted = ((pan, answers.whole(f"pan-{pan.key}", 0, MOST_IN_A_BAKE, empty=0)) for pan in kitchen.pans)
    used = [replace(pan, count=count) for pan, count in counted if count]
    shape = _other_shape(answers)
    if shape is not None:
        used = [*(used if answers.yes("other_too") else ()), *read_pan(answers, kitchen, "other_", OTHER, empty=shape)]
    if len(answers.problems) > before:
        return ()
    if not used:
        answers.wrong("pans", *said.NO_PAN)
    elif (many := sum(pan.count for pan in used)) > MOST_IN_A_BAKE:
        answers.wrong("pans", *said.many_pans(many, MOST_IN_A_BAKE))
    return tuple(used)


def _other_shape(answers: Answers) -> PanShape | None:
    """The shape that another pan has where none was chosen: sizes typed are a pan meant. None: there is no other pan.

    A form that came with another pan filled in (`other_was`) takes it away by its shape alone.
    """
    if answers.text("other_shape"):
        return "rectangle"
    if answers.text("other_was"):
        return None
    if answers.any_of("other_length", "other_width"):
        return "rectangle"
    if answers.text("other_water_g"):
        return "measured"
    if answers.text("other_count") not in ("", "1") or answers.yes("other_too"):
        answers.wrong("other_shape", *said.OTHER_PAN_OPEN)
    return None


def read_room(answers: Answers, kitchen: Kitchen, field: str = "room") -> float | None:
    """The kitchen at one hour in degrees Celsius; None when left empty (as usual)."""
    if not answers.text(field):
        return None
    return read_heat(answers, field, kitchen, LEAST_C, MOST_C)


def room_at(room: str, minute: int) -> str:
    """Beside a reading as it is typed: at which minute of the day that very figure was read, "21 05:10"."""
    return f"{room} {clock_text(minute)}" if room else ""


def room_min_of(answers: Mapping[str, str | None]) -> int | None:
    """The minute at which the figure in "room" was read; None for one that is new, which is how warm it is now."""
    room, _, at = (answers.get("room_at") or "").rpartition(" ")
    return clock_minutes(at) if room and room == (answers.get("room") or "").strip() else None


def _read_room_min(answers: Answers, kitchen: Kitchen, now: int) -> int | None:
    if not answers.text("room"):
        return None
    minute = room_min_of({name: answers.text(name) for name in ("room", "room_at")})
    if minute is None:
        minute = clock_minutes(answers.text("room_for"))  # another day's, asked for that hour of it
    return minute_of_day(now, kitchen.zone) if minute is None else minute


def _read_toppings(answers: Answers, choices: Choices, formula_key: str) -> str:
    typed = answers.choice("toppings_key", (NOTHING, *choices.toppings), empty="")
    chosen = typed or choices.formulas.get(formula_key, "")
    return chosen if chosen in choices.toppings else ""


def _away(answers: Answers) -> tuple[AwaySpan, ...] | None:
    """Hours typed are hours meant, whatever is ticked beside them, unless the form came with them filled in."""
    hours = answers.choice("hours", ("usual", "home", "differ"), empty="usual")
    if answers.text("away") and answers.text("away") != answers.text("away_was"):
        hours = "differ"
    if hours == "usual":
        return None
    if hours == "home":
        return ()
    if not answers.text("away"):
        answers.wrong("away", *said.NO_HOURS)
    return tuple(AwaySpan(start, end) for start, end in answers.spans("away"))


def in_todays_pans(wish: Wish, kitchen: Kitchen) -> Wish:
    """The same wish in the kitchen's pans as they are now: one that is gone gives way to the first of them."""
    own = {pan.key: pan for pan in kitchen.pans}
    used = [
        replace(own.get(pan.key, kitchen.pans[0]), count=pan.count) if pan.key != OTHER else pan for pan in wish.pans
    ]
    return replace(wish, pans=tuple(used))


def is_other_pan(pans: Sequence[Pan], wish: Wish, kitchen: Kitchen) -> bool:
    """Whether a pan of this wish, which these are, has another size in the kitchen now, or is the kitchen's no more."""
    sizes, today = ([(one.shape, one.area_cm2, one.length_cm, one.width_cm) for one in those]
                    for those in (pans, in_todays_pans(wish, kitchen).pans))  # fmt: skip
    return tuple(pans) == wish.pans and sizes != today


def for_another_day(wish: Wish, kitchen: Kitchen) -> Wish:
    """Less what was chosen for one day alone: another pan than the kitchen's (the first one stands in), the method."""
    own = {pan.key: pan for pan in kitchen.pans}
    used = tuple(replace(own[pan.key], count=pan.count) for pan in wish.pans if pan.key in own)
    return replace(
        wish, pans=used or kitchen.pans[:1], method_key="", as_they_come=False, kept_local="", else_from_min=None
    )


def filled_in(wish: Wish | None, kitchen: Kitchen, now: int, choices: Choices) -> dict[str, str]:
    """The form's fields with yesterday's answers in them: same hour of supper on the next day that has it ahead; what
    was told of one day alone, hours away and warmth among it, stays with that day."""
    supper = _next_supper(wish, kitchen, now)
    typed = {
        "supper": supper,
        "formula_key": next(iter(choices.formulas), ""),
        "hours": "usual",
        "loss_percent": "0",
        "other_count": "1",
    }
    for place, pan in enumerate(kitchen.pans):
        typed[f"pan-{pan.key}"] = "1" if place == 0 else "0"
    if wish:
        typed |= _of_wish(at_another_supper(for_another_day(wish, kitchen), supper), kitchen)
        if wish.toppings_key == choices.formulas.get(wish.formula_key):
            typed["toppings_key"] = ""
    return typed


def typed_again(wish: Wish, kitchen: Kitchen) -> dict[str, str]:
    """The very same wish as answers, its day too: `read_wish` reads it back."""
    fold = "" if wish.supper_fold is None else str(wish.supper_fold)
    return _of_wish(wish, kitchen) | {"supper": wish.supper_local, "supper_fold": fold, "start": wish.start_local}


def at_another_supper(wish: Wish, supper_local: str) -> Wish:
    """The same wish for another supper ("2026-11-25T20:30"); what was told of one day alone holds on that day alone."""
    moved = replace(
        wish,
        supper_local=supper_local,
        supper_fold=None,
        kept_local=_so_much_later(supper_local, evenings_between(wish)),
    )
    if supper_local[:10] == wish.supper_local[:10]:
        return moved
    return replace(
        moved, room_c=None, room_min=None, away_today=None, away_person=0, else_from_min=None, start_local=""
    )


def _so_much_later(supper: str, evenings: str) -> str:
    """The same hour so many evenings later, on the wall clock; "" where none are asked for, or supper is not read."""
    if not (supper and evenings):
        return ""
    # Wall clock on purpose, as in `_next_supper`.
    return f"{datetime.fromisoformat(supper) + timedelta(days=int(evenings)):%Y-%m-%dT%H:%M}"


def evenings_between(wish: Wish) -> str:
    """How many evenings after supper the other half is for, as it is typed; "" = there is none."""
    if not wish.kept_local:
        return ""
    dates = (datetime.fromisoformat(local[:10]) for local in (wish.supper_local, wish.kept_local))
    first, other = dates
    return str((other - first).days)


def _of_wish(wish: Wish, kitchen: Kitchen) -> dict[str, str]:
    room = "" if wish.room_c is None else heat_text(wish.room_c, kitchen)
    typed = {
        "formula_key": wish.formula_key,
        "toppings_key": wish.toppings_key or NOTHING,
        "method_key": wish.method_key,
        "room": room,
        "room_at": "" if wish.room_min is None else room_at(room, wish.room_min),
        "loading": "" if wish.loading_g_cm2 is None else loading_text(wish.loading_g_cm2, kitchen),
        "loss_percent": number_text(wish.loss_percent),
        "at_once": str(wish.at_once or ""),
        "kept_for": evenings_between(wish),
        "as_they_come": "1" if wish.as_they_come else "",
        "hours": "usual" if wish.away_today is None else "differ" if wish.away_today else "home",
        "who": str(wish.away_person),
        "else_from": "" if wish.else_from_min is None else clock_text(wish.else_from_min),
        "away": spans_text([(span.from_min, span.to_min) for span in wish.away_today or ()]),
    }
    typed |= {f"pan-{pan.key}": "0" for pan in kitchen.pans}
    known = {pan.key for pan in kitchen.pans}
    own = [pan.key in known for pan in wish.pans]
    typed["other_too"] = "1" if any(own) and not all(own) else ""
    for pan in wish.pans:
        typed |= {f"pan-{pan.key}": str(pan.count)} if pan.key in known else _other_pan(pan, kitchen)
    return typed


def _other_pan(pan: Pan, kitchen: Kitchen) -> dict[str, str]:
    return {"other_count": str(pan.count), "other_was": pan.shape} | typed_pan(pan, kitchen, "other_")


def _next_supper(wish: Wish | None, kitchen: Kitchen, now: int) -> str:
    here = datetime.fromtimestamp(now, ZoneInfo(kitchen.zone))
    hour = wish.supper_local[11:16] if wish and len(wish.supper_local) >= 16 else USUAL_SUPPER
    # Wall clock on purpose: it is only text for the form, and no instant is made of it here.
    today = f"{here:%Y-%m-%d}T{hour}"
    ahead = today > f"{here + timedelta(hours=2):%Y-%m-%dT%H:%M}"
    return today if ahead else f"{here + timedelta(days=1):%Y-%m-%d}T{hour}"
