"""What keeps a dough, a method or a weigh-out list from being one, in words: what is wrong, and a way out."""

from __future__ import annotations

from collections.abc import Mapping

from webapp.core.formula.method import CHAIN_STEPS
from webapp.core.kinds import HEATED_PLACES, INGREDIENT_KINDS, KEEPINGS, PAN_SHAPES, VESSELS, YEAST_KINDS, ProblemKind
from webapp.data.doughs import formulas

_CORRECT, _LEAVE_OUT, _ANOTHER = "Correct it.", "Leave it out.", "Give it another."
_SEE_SHIPPED = "See the shipped formulas for an example."
_WATER = "Stay between {least:g} and {most:g} %."

OF_A_DOUGH: Mapping[ProblemKind, tuple[str, str]] = {
    # A formula: amounts, ranges, the preferment.
    "no-amount": ("{name}: {percent} is not an amount.", "Give a number, 0 or more."),
    "no-share": ("{name}: a share lies between 0 and 1.", "Milk, for one, is 0.87 water."),
    "no-ingredient-kind": (
        "{name}: “{typed}” is not a kind of ingredient.",
        f"Choose one of {', '.join(INGREDIENT_KINDS)}.",
    ),
    "no-keeping": ("{name}: it cannot be kept “{typed}”.", f"Choose one of {', '.join(filter(None, KEEPINGS))}."),
    "key-taken": ("{name}: the key {key} is taken.", _ANOTHER),
    "no-yeast-amount": ("Yeast: {percent} is not an amount.", "Give a number above 0."),
    "no-yeast-kind": (
        "“{typed}” is not a kind of yeast known here.",
        f"Choose {', '.join(YEAST_KINDS[:-1])} or {YEAST_KINDS[-1]}.",
    ),
    "loading-order": (
        "The dough loading must rise from low over usual to high, {least:g} to {most:g} g on each cm².",
        "A thin base takes about 0.35 g on each cm², a deep tray 0.75.",
    ),
    "increase-order": (
        "The rise to press at must lie above 0 and below the rise that is past it.",
        "1 means doubled; strong white flour is past its best at about 3.",
    ),
    "dough-warmth": ("A dough is wanted between {least_c:g} and {most_c:g} °C.", "22 to 26 °C suits most."),
    "no-flour": ("There is no flour.", "All else is a percent of the flour: give it first."),
    "no-flour-weight": ("There is no flour.", "Give the flour's weight first: all else is a percent of it."),
    "flour-sum": (
        "The flours come to {percent:.4g} %, not 100.",
        "All flours together are 100 %: put the difference into one of them.",
    ),
    "no-water": ("There is no water.", "A tray dough takes 65 to 85 % of the flour's weight."),
    "crumbs": ("{percent:.4g} % water makes crumbs, not a dough.", _WATER),
    "batter": ("{percent:.4g} % water makes a batter, not a dough.", _WATER),
    "much-salt": (
        "{percent:.4g} % salt is outside the range of a dough.",
        "Pizza dough takes 2 to 3 %; past {most:g} % yeast hardly works and nobody eats it.",
    ),
    "much-sugar": ("{percent:.4g} % sugar is outside the range of a dough.", "Flat breads take 0 to 5 %."),
    "much-fat": (
        "{percent:.4g} % fat is outside the range of a dough.",
        "An oily focaccia takes 6 to 8 % in the dough.",
    ),
    "no-yeast": ("There is no yeast: it would not rise.", "0.1 % of instant yeast takes a day."),
    "much-yeast": (
        "{percent:.4g} % {yeast} yeast is too much.",
        "Even a one-hour dough takes no more than 2 % instant, 5 % fresh.",
    ),
    "preferment-numbers": (
        "{name}: flour, water and yeast must be numbers, flour above 0.",
        "A poolish takes a third of the flour, its own weight of water, 0.1 % yeast.",
    ),
    "preferment-takes": (
        "{name} takes {percent:.4g} % {what}, but the formula has {there_percent:.4g} %.",
        "A preferment takes its part out of the formula: make it smaller.",
    ),
    # A formula as it was typed, by its key, and what goes on it.
    "no-formula-values": ("“{typed}” is not a formula.", _SEE_SHIPPED),
    "no-list": ("The ingredients are not a list.", _SEE_SHIPPED),
    "no-table": ("“{typed}” is not a table.", _SEE_SHIPPED),
    "does-not-fit": ("“{typed}” does not fit {name}.", _SEE_SHIPPED),
    "unknown-name": ("“{name}” is not known here.", "Check its spelling."),
    "missing": ("“{name}” is missing.", "Every {record} has one."),
    "no-number": ("“{typed}” is not a number.", "Use digits, like 2.2."),
    "no-formula": ("There is no formula “{typed}”.", f"Pick one of {', '.join(one.key for one in formulas())}."),
    "no-toppings": ("There is no set of toppings “{typed}”.", "Pick one from the list."),
    "no-rim-cheese": ("“{name}” has no cheese for a rim.", "Choose a set with cheese, or no rim."),
    "rim-wall": (
        "A crisp cheese rim needs the wall of a metal pan.",
        "Take a dough for pan or tray, or no rim.",
    ),
    # A method and its steps.
    "not-of-a-method": ("“{name}” is not part of a method.", _LEAVE_OUT),
    "no-steps": ("a method has at least mix, press and load.", "Add the steps in order."),
    "no-text": ("{name} is not text.", "Write it as words."),
    "no-yes-no": ("{name} is not true or false.", _CORRECT),
    "pressed-percent": (
        "A dough is pressed out at {least} to 100 % of its rise.",
        "100 suits most; less where much of it is left to the tray.",
    ),
    "method-key": ("the key “{key}” is not simple.", "Use letters without accents, digits and dashes."),
    "method-name": ("it has no name.", "Give it a name you will recognise."),
    "step-no-table": ("{where} is not a table of values.", "Give it a kind and its waits."),
    "not-of-a-step": ("{where}: “{name}” is not part of a step.", _LEAVE_OUT),
    "step-wait-numbers": ("{where}: the wait is not three whole numbers.", "Write least, best, most in minutes."),
    "step-value": ("{where}: {name} should be {wanted}.", _CORRECT),
    "step-kind": ("{where}: {typed} is no kind of step.", f"Choose one of: {', '.join(CHAIN_STEPS)}."),
    "step-times": ("{step} comes {times} times.", "Have {step} exactly once."),
    "steps-order": ("the order is not mix, press, load.", "Mix first, load last."),
    "before-mixing": ("before mixing only one preferment can stand.", "Move the other steps down."),
    "after-pressing": (
        "rest, fold and round up come before pressing out.",
        "Move them between mix and press.",
    ),
    "many-steps": ("{steps} steps are too many.", "Keep to {most}."),
    "many-moves": ("the dough changes place too often.", "Leave out a move."),
    "step-wait-order": ("{where}: the wait is not least <= best <= most.", "Put the three in order, a week at most."),
    "step-minutes": ("{where}: the minutes are out of range.", "Hands-on up to {most} minutes."),
    "step-fives": ("{where}: {minutes} minutes.", "Use a multiple of five minutes."),
    "step-place": ("{where}: the dough cannot go to “{place}”.", "Leave the place out."),
    "step-optional": ("{where}: this step cannot be left out.", "Only folds and rests can."),
    "step-wait-fives": ("{where}: waits count in fives.", "Use multiples of five minutes."),
    "first-wait": ("the first step has nothing to wait for.", "Set its wait to 0."),
    "wide-waits": (
        "beside the longest wait the others are too wide: too many days would have to be tried.",
        "Bring the least and the most of the other waits closer together.",
    ),
    # Pans, scales, weights.
    "no-shape": ("“{typed}” is not a shape known here.", f"Choose one of {', '.join(PAN_SHAPES)}."),
    "no-floor": ("A floor of {area_cm2:.4g} cm2 is no pan.", "Measure the floor inside, in cm."),
    "no-pan": ("There must be at least one pan.", "Give 1 or more."),
    "no-loading": ("{loading:.4g} g of dough on each cm² makes no bread.", "0.35 is thin, 0.75 deep."),
    "no-loss": ("A loss of {percent:.4g} % is outside the range.", "0 to 3 % is usual."),
    "dough-mass": ("{grams:.4g} g is outside the range of a dough.", "Give 20 g to 50 kg: check pan and loading."),
    "no-scale-step": ("A scale needs a step.", "1 g is usual, 0.01 g for a fine one; 0 for none."),
    "no-line": ("There is no line “{name}” on this list.", "Pick one of the list."),
    "not-poured": ("{grams:.4g} g were not poured.", "Give what the scale shows, 0 or more."),
    # How it rises.
    "no-vessel": (
        "Dough in a {vessel} at the {place} is not known here.",
        f"Vessels: {', '.join(VESSELS)}; places: {', '.join(HEATED_PLACES)}.",
    ),
    "no-dough": ("There must be some dough.", "Give its mass in grams."),
    "one-open-stage": ("Exactly one stage is open.", "Write one of them as TEMPERATURE:ready."),
    "rise-numbers": (
        "Yeast, rise and time constant must be numbers above 0, temperatures numbers.",
        "Check what was typed.",
    ),
}
