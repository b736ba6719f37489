"""What can hurt, in full and with its source, from the plan's facts and tables/cautions.toml."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from functools import cache

from webapp.core.kinds import CautionKey
from webapp.core.plan.caution import HOT_LIMIT_S, HOT_ROOM_C, OUT_LIMIT_S, Caution
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed
from webapp.core.plan.state import State
from webapp.core.safety import cautions
from webapp.core.safety.allergens import Allergen
from webapp.core.units import heat_text
from webapp.data.read import table
from webapp.data.safety import allergens
from webapp.words.lists import joined, sentence
from webapp.words.plan.oven import dial_words, slab_words
from webapp.words.shared import SAID
from webapp.words.times import duration_words

AUTHORITY = "Follow your local authority's advice."
# How long what is perishable may be out of the fridge, for every sentence that says so.
OUT_LIMIT, HOT_LIMIT = duration_words(OUT_LIMIT_S), duration_words(HOT_LIMIT_S)
IN_THE_HEAT = f"above {heat_text(HOT_ROOM_C)} ({heat_text(HOT_ROOM_C, 'F')})"
FRIDGE_SOURCE = f"USDA FSIS: perishable food is out no longer than {OUT_LIMIT}, {HOT_LIMIT} {IN_THE_HEAT}"
ALLERGEN_SOURCE = "Lists of Regulation (EU) 1169/2011 Annex II and of FALCPA with the FASTER Act"


@cache
def _rows() -> Mapping[str, Mapping[str, str]]:
    return {row["key"]: row for row in table("cautions")["caution"]}


def rule_words(key: CautionKey) -> tuple[str, str]:
    """(what a caution says, where that comes from), for one that names nothing of a plan."""
    row = _rows()[key]
    return _filled(row["text"]), row["source"]


def caution_words(caution: Caution, plan: Plan) -> tuple[str, str]:
    """(what it says, where that comes from); what it holds, for a key that is gone."""
    if caution.out:
        return out_words(caution), FRIDGE_SOURCE
    if caution.key == "allergens":
        return allergen_words(
            plan.allergens, allergens(), plan.allergens_by_name, plan.allergens_unsaid
        ), ALLERGEN_SOURCE
    row = _rows().get(caution.key)
    if row is None or plan.oven.setting is None:
        return caution.text, caution.source
    setting = plan.oven.setting
    dial = dial_words(setting.dial_unit, setting.dial_c)
    return _filled(row["text"], slab=slab_words(setting), dial=dial), row["source"]


def _filled(text: str, **slots: str) -> str:
    return text.format(out_limit=OUT_LIMIT, hot_limit=HOT_LIMIT, in_the_heat=IN_THE_HEAT, **slots)


def topping_rule() -> str:
    """What holds for whatever goes on top of a dough out of the fridge."""
    return f"What comes from the fridge is out for {OUT_LIMIT} at most before the oven, {HOT_LIMIT} {IN_THE_HEAT}."


def out_words(caution: Caution) -> str:
    """How long the dough, or which toppings, are out of the fridge, against their limit."""
    spent, limit = duration_words(caution.out_s), duration_words(caution.limit_s)
    if not caution.names:
        return _dough_out_words(caution, spent, limit)
    if caution.out == "tray-spent":
        where = f"on the tray of load {caution.load}" if caution.load else "on the tray"
        said = f"{where}, {spent} out of the fridge is over the limit of {limit}. {sentence(SAID['throw'])}."
    elif caution.out == "tray":
        too_long = f"on the tray, {spent} out of the fridge before the oven would be over the limit of {limit}."
        said = f"{too_long} Bake it now, or the whole tray into the fridge."
    elif caution.out == "spent":
        said = f"{spent} out of the fridge is over the limit of {limit}. {sentence(SAID['take-fresh'])}."
    elif caution.out == "over":
        too_long = f"{spent} out of the fridge before the oven would be over the limit of {limit}."
        said = f"{too_long} Back into the fridge until shortly before."
    else:
        said = f"{spent} out of the fridge before the oven; the limit is {limit}, however the plan moves."
    return f"{joined(caution.names)}: {said}"


def _dough_out_words(caution: Caution, spent: str, limit: str) -> str:
    """The same of a dough with milk or egg, all its time out of the fridge together."""
    if caution.out == "spent":
        return f"{SAID['dough-out'].format(spent=spent)}; the limit is {limit}. {sentence(SAID['throw'])}."
    if caution.out == "over":
        return (
            f"The dough would be out of the fridge for {spent} in all before the oven; the limit is {limit}. "
            f"{sentence(SAID['keep-cold'])}."
        )
    return f"The dough is out of the fridge for {spent} in all before the oven; the limit is {limit}, however it moves."


def lost_words() -> str:
    """On the home page, of a bake on the go that was out of the fridge for longer than is safe."""
    return f"Not to be eaten: {SAID['throw']}. The kitchen says why."


def out_now(plan: Plan, retimed: Retimed, state: State, now: int) -> tuple[tuple[str, str], ...]:
    """As things stand: what is out of the fridge too long, each with its source and whose advice to follow."""
    late = cautions.out_too_long(plan, retimed, state, now)
    return tuple((out_words(one), f"{FRIDGE_SOURCE}. {AUTHORITY}") for one in late)


def allergen_words(
    keys: Iterable[str], known: Iterable[Allergen], by_name: Collection[str] = (), unsaid: Sequence[str] = ()
) -> str:
    """ "Contains: gluten (wheat), milk." or that none of the listed is in it by what was entered.

    What only a name tells is said as such, and of what nobody said anything, that it is not stated.
    """
    names = {entry.key: entry.short for entry in known}
    listed = [names.get(key, key) for key in keys if key not in by_name]
    guessed = [names.get(key, key) for key in keys if key in by_name]
    said = [
        f"Contains: {', '.join(listed)}." if listed else "",
        f"By its name, also: {', '.join(guessed)}." if guessed else "",
        f"Not stated: {', '.join(unsaid)}." if unsaid else "",
    ]
    if not any(said):
        return "None of the listed allergens, by what was entered. Read the packets."
    packets = "Read the packets." if guessed or unsaid else "Read the packets for traces."
    return " ".join([*filter(None, said), packets])
