"""How long a dough keeps out of the fridge, whatever its yeast: gluten slackens and acid builds up with warmth.

A lean dough on the bench keeps for about 8 h at 28 C and 5 h at 32 C (from memory of the trade). Between and beyond,
the share of its life that a dough uses up in an hour is taken to lie on the straight line through the two, which
meets zero at 21.3 C: 11.4 h at 26 C, 20 h at 24 C, and no limit in a cool kitchen. In the tray, thin and without its
first strength, a dough pressed at its best is past it in about 5 h at 21 C and 4 h at 27 C (common practice); between
and beyond by equal ratios.
"""

from __future__ import annotations

import math
from dataclasses import replace

from webapp.core.plan.steps import RiseMark
from webapp.core.rise.response import response

WARM_C, WARM_KEEPS_S = 28.0, 8 * 3600.0
HOT_C, HOT_KEEPS_S = 32.0, 5 * 3600.0
COOL_C = (WARM_C * WARM_KEEPS_S - HOT_C * HOT_KEEPS_S) / (WARM_KEEPS_S - HOT_KEEPS_S)  # where the line meets zero
TRAY_C, TRAY_KEEPS_S = 21.0, 5 * 3600.0
TRAY_WARM_C, TRAY_WARM_KEEPS_S = 27.0, 4 * 3600.0
PAST_LEAST = 1.15  # past its best is never nearer to the best than this


def ageing(temp_c: float) -> float:
    """Share of its life on the bench that a dough uses up in a second at `temp_c`; 0 in a cool kitchen."""
    return max(0.0, temp_c - COOL_C) / ((WARM_C - COOL_C) * WARM_KEEPS_S)


def keeps_s(temp_c: float) -> float:
    """Seconds for which a dough keeps on the bench at `temp_c`; infinite in a cool kitchen."""
    share = ageing(temp_c)
    return 1.0 / share if share else math.inf


def tray_keeps_s(temp_c: float) -> float:
    """Seconds from pressing at its best until a dough in the tray is past it."""
    return TRAY_KEEPS_S * math.pow(TRAY_WARM_KEEPS_S / TRAY_KEEPS_S, (temp_c - TRAY_C) / (TRAY_WARM_C - TRAY_C))


def marks_in_room(press: RiseMark, load: RiseMark, pace_per_s: float, room_c: float) -> tuple[RiseMark, RiseMark]:
    """The marks of a dough of this pace in a kitchen at `room_c`: past its best no later than warmth allows.

    `pace_per_s` is its progress per second at 24 C. Early and best stay; past stays at least 15 % beyond best. A dough
    that was pressed late has so much less of its time in the tray left.
    """
    rate = pace_per_s * response(room_c)
    bench = min(press.past, max(PAST_LEAST * press.best, rate * min(keeps_s(room_c), 1e9)))
    tray = min(load.past, max(PAST_LEAST * load.best, press.best + rate * tray_keeps_s(room_c)))
    return replace(press, past=bench), replace(load, past=tray)
