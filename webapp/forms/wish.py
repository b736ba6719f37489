"""The five answers of the morning: typed text into a `Wish`, and a wish back into text for filling in the form.

Field names are those of the plan form: supper, pan-KEY, other_*, formula_key, room, hours, away and the rest.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from webapp.core import units
from webapp.core.day.day import supper_instant
from webapp.core.errors import PlanError
from webapp.core.kinds import PAN_MEASURES, PAN_SHAPES, PanMeasure
from webapp.core.kitchen import AwaySpan, Kitchen, Person, Wish
from webapp.core.plan import Pan
from webapp.core.scale import pans
from webapp.forms.choices import pan_word
from webapp.forms.typed import Answers, clock_text, number_text, spans_text
from webapp.words.times import short_days

MOST_PANS = 6
NOTHING = "nothing"  # nothing on top; an empty answer means what the dough usually has
OTHER = "other"  # key of a pan typed in just for today
LEAST_C, MOST_C = 0.0, 45.0
LEAST_CM, MOST_CM = 8.0, 100.0
_USUAL_SUPPER = "19:30"


@dataclass(frozen=True)
class Choices:
    """What may be answered: keys of formulas (each with what it usually has on top), topping sets and methods."""

    formulas: Mapping[str, str]
    toppings: Collection[str] = ()
    methods: Collection[str] = ()


def read_wish(answers: Answers, kitchen: Kitchen, choices: Choices, now: int) -> Wish:
    """The wish as typed; raises PlanError with every mistake at once, each at its field."""
    supper = answers.moment("supper", what="Supper")
    fold = {"0": 0, "1": 1}.get(answers.text("supper_fold"))
    if supper:
        try:
            supper_instant(supper, kitchen.zone, now, fold)
        except PlanError as error:
            answers.problems += error.problems
    formula_key = answers.choice("formula_key", choices.formulas, what="Which dough")
    wish = Wish(
        supper_local=supper,
        pans=read_pans(answers, kitchen),
        formula_key=formula_key,
        toppings_key=_read_toppings(answers, choices, formula_key),
        room_c=read_room(answers, kitchen),
        away_today=_away(answers),
        method_key=answers.choice("method_key", choices.methods, empty=""),
        loading_g_cm2=_optional(answers, "loading", 0.1, 1.5, "g/cm²"),
        supper_fold=fold,
        loss_percent=answers.number("loss_percent", 0, 20, "%", empty=0.0),
        start_local=answers.moment("start") if answers.text("start") else "",
        away_person=int(answers.choice("who", [str(i) for i in range(len(kitchen.people))], empty="0") or 0),
    )
    answers.done()
    return wish


def read_pans(answers: Answers, kitchen: Kitchen) -> tuple[Pan, ...]:
    """The pans that are used today: how many of each of the kitchen's, and one of another size."""
    before = len(answers.problems)
    counted = ((pan, answers.whole(f"pan-{pan.key}", 0, MOST_PANS, empty=0)) for pan in kitchen.pans)
    used = [replace(pan, count=count) for pan, count in counted if count]
    if answers.text("other_shape"):
        used += read_pan(answers, kitchen, "other_", OTHER)
    if len(answers.problems) > before:
        return ()
    if not used:
        answers.wrong("pans", "No pan is chosen.", "Say how many of at least one, or give the size of another.")
    elif sum(pan.count for pan in used) > MOST_PANS:
        answers.wrong("pans", f"That is {sum(pan.count for pan in used)} pans.", f"{MOST_PANS} at most in one bake.")
    return tuple(used)


def read_pan(answers: Answers, kitchen: Kitchen, prefix: str, key: str, name: str = "") -> list[Pan]:
    """One pan from the fields PREFIXshape, length, width, water_g, count; a list of one, or none when it is wrong."""
    shape = answers.choice(f"{prefix}shape", PAN_SHAPES, what="The shape")
    before = len(answers.problems)
    sizes = {one: _read_measure(answers, f"{prefix}{one}", one, kitchen) for one in pans.SHAPES[shape].measures}
    count = answers.whole(f"{prefix}count", 1, MOST_PANS, empty=1)
    if len(answers.problems) > before:
        return []
    length, width, water_g = (sizes.get(one, 0.0) for one in PAN_MEASURES)
    made = pans.pan(key, name, shape, length, width, count, water_g)
    return [made if name else replace(made, name=pan_name(made, kitchen))]


def _read_measure(answers: Answers, field: str, measure: PanMeasure, kitchen: Kitchen) -> float:
    if measure == "water_g":
        return answers.number(field, 50, 10_000, "g", what="The water")
    return read_length(answers, field, kitchen)


def read_length(answers: Answers, field: str, kitchen: Kitchen) -> float:
    """A side of a pan in cm; typed in inches where ounces are weighed."""
    if kitchen.mass_unit == "oz":
        least, most = (units.in_from_cm(cm) for cm in (LEAST_CM, MOST_CM))
        return units.cm_from_in(answers.number(field, round(least, 1), round(most, 1), "inches", what="The size"))
    return answers.number(field, LEAST_CM, MOST_CM, "cm", what="The size")


def read_room(answers: Answers, kitchen: Kitchen, field: str = "room") -> float | None:
    """Today's kitchen in degrees Celsius; None when left empty (as usual)."""
    if not answers.text(field):
        return None
    return read_heat(answers, field, kitchen, LEAST_C, MOST_C)


def read_heat(answers: Answers, field: str, kitchen: Kitchen, least_c: float, most_c: float) -> float:
    """A temperature in degrees Celsius, typed in the kitchen's unit."""
    if kitchen.heat_unit == "F":
        typed = answers.number(field, round(units.f_from_c(least_c)), round(units.f_from_c(most_c)), "°F")
        return units.c_from_f(typed)
    return answers.number(field, least_c, most_c, "°C")


def heat_text(celsius: float, kitchen: Kitchen) -> str:
    """What `read_heat` reads."""
    return number_text(units.f_from_c(celsius) if kitchen.heat_unit == "F" else celsius, 1)


def length_text(cm: float, kitchen: Kitchen) -> str:
    """What `read_length` reads."""
    return number_text(units.in_from_cm(cm) if kitchen.mass_unit == "oz" else cm, 1)


def pan_name(pan: Pan, kitchen: Kitchen) -> str:
    """A plain name for a pan without one: "Round pan 28 cm"."""
    sizes = [text for measure, text in measure_texts(pan, kitchen).items() if measure != "water_g"]
    unit = "in" if kitchen.mass_unit == "oz" else "cm"
    return " ".join([pan_word(pan.shape), *([" x ".join(sizes), unit] if sizes else [])])


def measure_texts(pan: Pan, kitchen: Kitchen) -> dict[PanMeasure, str]:
    """What was measured of a pan, as it is typed in this kitchen, in the order of its shape."""
    return {
        measure: number_text(size, 0) if measure == "water_g" else length_text(size, kitchen)
        for measure, size in zip(pans.SHAPES[pan.shape].measures, pans.measures_of(pan), strict=True)
    }


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
        answers.wrong("away", "The hours away are missing.", "Write them like 8:00-17:45, or tick “at home all day”.")
    return tuple(AwaySpan(start, end) for start, end in answers.spans("away"))


def _optional(answers: Answers, field: str, least: float, most: float, unit: str) -> float | None:
    return answers.number(field, least, most, unit) if answers.text(field) else None


def filled_in(wish: Wish | None, kitchen: Kitchen, now: int, choices: Choices) -> dict[str, str]:
    """The form's fields with yesterday's answers in them: same hour of supper on the next day that has it ahead."""
    typed = {
        "supper": _next_supper(wish, kitchen, now),
        "formula_key": next(iter(choices.formulas), ""),
        "hours": "usual",
        "loss_percent": "0",
        "other_count": "1",
    }
    for place, pan in enumerate(kitchen.pans):
        typed[f"pan-{pan.key}"] = "1" if place == 0 else "0"
    if wish:
        typed |= _of_wish(wish, kitchen)
        if wish.toppings_key == choices.formulas.get(wish.formula_key):
            typed["toppings_key"] = ""
    return typed


def typed_again(wish: Wish, kitchen: Kitchen) -> dict[str, str]:
    """The very same wish as answers, its day too: `read_wish` reads it back."""
    fold = "" if wish.supper_fold is None else str(wish.supper_fold)
    return _of_wish(wish, kitchen) | {"supper": wish.supper_local, "supper_fold": fold, "start": wish.start_local}


def _of_wish(wish: Wish, kitchen: Kitchen) -> dict[str, str]:
    typed = {
        "formula_key": wish.formula_key,
        "toppings_key": wish.toppings_key or NOTHING,
        "method_key": wish.method_key,
        "room": "" if wish.room_c is None else heat_text(wish.room_c, kitchen),
        "loading": "" if wish.loading_g_cm2 is None else number_text(wish.loading_g_cm2),
        "loss_percent": number_text(wish.loss_percent),
        "hours": "usual" if wish.away_today is None else "differ" if wish.away_today else "home",
        "who": str(wish.away_person),
        "away": spans_text([(span.from_min, span.to_min) for span in wish.away_today or ()]),
    }
    typed |= {f"pan-{pan.key}": "0" for pan in kitchen.pans}
    known = {pan.key for pan in kitchen.pans}
    for pan in wish.pans:
        typed |= {f"pan-{pan.key}": str(pan.count)} if pan.key in known else _other_pan(pan, kitchen)
    return typed


def _other_pan(pan: Pan, kitchen: Kitchen) -> dict[str, str]:
    return {"other_count": str(pan.count)} | typed_pan(pan, kitchen, "other_")


def typed_pan(pan: Pan, kitchen: Kitchen, prefix: str) -> dict[str, str]:
    """What `read_pan` reads but for the count; what is not measured of its shape stays empty."""
    sizes = measure_texts(pan, kitchen)
    return {f"{prefix}shape": pan.shape} | {f"{prefix}{one}": sizes.get(one, "") for one in PAN_MEASURES}


def _next_supper(wish: Wish | None, kitchen: Kitchen, now: int) -> str:
    here = datetime.fromtimestamp(now, ZoneInfo(kitchen.zone))
    hour = wish.supper_local[11:16] if wish and len(wish.supper_local) >= 16 else _USUAL_SUPPER
    # Wall clock on purpose: it is only text for the form, and no instant is made of it here.
    today = f"{here:%Y-%m-%d}T{hour}"
    ahead = today > f"{here + timedelta(hours=2):%Y-%m-%dT%H:%M}"
    return today if ahead else f"{here + timedelta(days=1):%Y-%m-%d}T{hour}"


def room_in_words(kitchen: Kitchen) -> str:
    """ "18 °C, from 07:00 20 °C": the usual warmth of the kitchen."""
    parts = sorted(kitchen.room, key=lambda part: part.from_min)
    said = [f"{heat_text(part.temp_c, kitchen)} °{kitchen.heat_unit}" for part in parts]
    return ", ".join(
        warmth if place == 0 and part.from_min == 0 else f"from {clock_text(part.from_min)} {warmth}"
        for place, (part, warmth) in enumerate(zip(parts, said, strict=True))
    )


def hours_in_words(person: Person) -> str:
    """A person's week in one line: equal days together."""
    return "; ".join(hours_lines(person))


def hours_lines(person: Person) -> list[str]:
    """The same, a line for each run of equal days."""
    runs: list[tuple[int, int, str]] = []
    for day, hours in enumerate(person.week):
        said = spans_text([(span.from_min, span.to_min) for span in hours.away])
        said = f"away {said}" if said else "at home"
        if runs and runs[-1][2] == said:
            runs[-1] = (runs[-1][0], day, said)
        else:
            runs.append((day, day, said))
    return [f"{short_days(a, b)} {said}" for a, b, said in runs]
