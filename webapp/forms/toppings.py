"""An own set of toppings: grams as typed for one tray, into grams for each square centimetre, and back for the form.

Rows are fields PLACE-name, PLACE-grams, PLACE-when, PLACE-keep, PLACE-risk, PLACE-drained (% left once drained),
PLACE-allergens (words with commas) and PLACE-note.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from webapp.core.formula.toppings import Rim, ToppingItem, ToppingSet
from webapp.core.kinds import TOPPING_RISKS, TOPPING_WHENS, BreadStyle
from webapp.core.kitchen import Kitchen
from webapp.core.units import mass_number, number_text
from webapp.forms.allergens import proposed, read_allergens, said_text
from webapp.forms.in_units import read_mass
from webapp.forms.keeping import topping_perishes
from webapp.forms.risks import risk_of
from webapp.forms.typed import Answers, key_word
from webapp.words.problems import fields
from webapp.words.problems import typed as said

MOST_TOPPINGS = 10
SPARE_ROWS = 3
MOST_G_CM2 = 1.5
# Where it is kept and how long before loading it may leave the fridge (seconds); all well inside the 2-hour rule.
_OUT_S = {"told": 0, "shelf": 0, "cold": 0, "half": 1800, "hour": 3600}
_MOST_NOTE = 200


def rows_for(chosen: ToppingSet | None) -> int:
    """How many rows the form shows: those there are, and a few empty ones."""
    return min(MOST_TOPPINGS, (len(chosen.items) if chosen else 1) + SPARE_ROWS)


def read_set(
    answers: Answers, areas: dict[str, float], allergens: Collection[str], rim: Rim | None, kitchen: Kitchen,
    key: str = "new", before: ToppingSet | None = None,
) -> ToppingSet:  # fmt: skip
    """The set as typed; `areas` cm2 by the key of the tray that the grams are for, `rim` what a crisp rim is made of.

    A row of the set `before` this version goes when its name and grams are emptied; of a new row all that is typed
    counts. Raises PlanError with every mistake, each at its field.
    """
    pan = answers.choice("pan", tuple(areas), what=fields.TRAY)
    area = areas.get(pan, max(areas.values()))
    there = len(before.items) if before else 0
    filled = [place for place in range(MOST_TOPPINGS) if _is_filled(answers, place, place < there)]
    items = [_item(answers, place, area, allergens, kitchen) for place in filled]
    if not items:
        answers.wrong("0-name", *said.NOTHING_ON_IT)
    chosen = ToppingSet(
        key, answers.name("name", what=fields.SET), tuple(items), rim if answers.yes("rim") else None,
        _line(answers, "note"), answers.yes("rim"),
    )  # fmt: skip
    answers.done()
    return chosen


def _is_filled(answers: Answers, place: int, was_there: bool) -> bool:
    counts = ("name", "grams") if was_there else ("name", "grams", "drained", "allergens", "note")
    return answers.any_of(*(f"{place}-{part}" for part in counts))


def _item(answers: Answers, place: int, area_cm2: float, allergens: Collection[str], kitchen: Kitchen) -> ToppingItem:
    at = f"{place}-"
    name = answers.name(f"{at}name", what=fields.TOPPING)
    grams = read_mass(answers, f"{at}grams", kitchen, 0.1, MOST_G_CM2 * area_cm2, what=fields.IT)
    keep = answers.choice(f"{at}keep", tuple(_OUT_S), empty="told")
    word = key_word(name, 24) or "topping"
    item = ToppingItem(
        key=f"{word}-{place}",
        name=name,
        g_cm2_else=grams / area_cm2,
        when=answers.choice(f"{at}when", TOPPING_WHENS, empty="before"),
        perishable=keep not in ("told", "shelf"),
        fridge_out_s=_OUT_S.get(keep, 0),
        risk=answers.choice(f"{at}risk", TOPPING_RISKS, empty=""),
        drained_share=answers.number(f"{at}drained", 20, 100, "%", empty=100.0) / 100.0,
        allergens=read_allergens(answers, f"{at}allergens", allergens),
        allergens_said=bool(answers.text(f"{at}allergens")),
        note=_line(answers, f"{at}note"),
        source="own",
    )
    return replace(item, perishable=_perishes(item)) if keep == "told" else item


def _perishes(item: ToppingItem) -> bool:
    """What its name, its allergens and its dangers tell of it."""
    return topping_perishes(proposed(replace(item, risk=item.risk or risk_of(item))))


def _line(answers: Answers, field: str) -> str:
    return " ".join(answers.text(field).split())[:_MOST_NOTE]


def typed_set(
    chosen: ToppingSet, pan: str, area_cm2: float, kitchen: Kitchen, style: BreadStyle = "tray"
) -> dict[str, str]:
    """What the form shows of a set: grams, or ounces, for that tray, baked as that style."""
    typed = {"name": chosen.name, "pan": pan, "note": chosen.note, "rim": "1" if chosen.rim_on else ""}
    for place, item in enumerate(chosen.items):
        typed |= {
            f"{place}-name": item.name,
            f"{place}-grams": _amount(item.load(style) * area_cm2, kitchen),
            f"{place}-when": item.when,
            f"{place}-keep": _keep(item),
            f"{place}-risk": item.risk if item.risk != risk_of(item) else "",
            f"{place}-drained": number_text(item.drained_share * 100, 0) if item.drained_share < 1 else "",
            f"{place}-allergens": said_text(item),
            f"{place}-note": item.note,
        }
    return typed


def _amount(grams: float, kitchen: Kitchen) -> str:
    """Tenths of a gram; what an ounce scale shows."""
    return mass_number(grams, "oz") if kitchen.mass_unit == "oz" else number_text(grams, 1)


def _keep(item: ToppingItem) -> str:
    if not item.fridge_out_s and item.perishable == _perishes(item):
        return "told"
    if not item.perishable:
        return "shelf"
    return min(("cold", "half", "hour"), key=lambda key: abs(_OUT_S[key] - item.fridge_out_s))
