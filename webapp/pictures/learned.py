"""What a kitchen has taught, as a picture: each thing seen a dot between half and twice the pace of the middle kitchen.

Colours by class (static/css/chart.css); text from outside is escaped.
"""

from __future__ import annotations

import html
import math
from collections.abc import Sequence

from webapp.core.learning.vigour import PRIOR
from webapp.pictures.svg import tenth
from webapp.words.pages.pictures import PACE_TITLE, PACES, QUICKER, SLOWER, pace_words

WIDTH, HEIGHT = 240.0, 132.0
_LEFT, _ROOM = 14.0, 212.0
_LINE = 66.0
_Z = 1.2816  # eight in ten of a normal distribution lie within so many standard deviations
PRIOR_SD = PRIOR[1]  # of ln(vigour), before anything is learned


def place(quicker: float) -> float:
    """Across, on a scale of factors: 1/2 at the left end, 1 in the middle, 2 at the right; beyond stays at the end."""
    octaves = min(max(math.log2(quicker), -1.0), 1.0)
    return _LEFT + _ROOM * (octaves + 1) / 2


def learned_picture(quicker: Sequence[float], ln_mean: float, ln_sd: float, uid: str = "pace") -> str:
    """SVG text: the band of all kitchens, this kitchen's own, its middle, and a dot for each thing seen."""
    low, high = (place(math.exp(ln_mean + sign * _Z * ln_sd)) for sign in (-1, 1))
    all_low, all_high = (place(math.exp(sign * _Z * PRIOR_SD)) for sign in (-1, 1))
    middle = place(math.exp(ln_mean))
    said = html.escape(words(quicker, ln_mean, ln_sd))
    ticks = "".join(
        f'<line class="tide__hour" x1="{tenth(place(q))}" y1="22" x2="{tenth(place(q))}" y2="104"/>'
        f'<text class="tide__clock" x="{tenth(min(max(place(q), 25), 215))}" y="124" text-anchor="middle">{text}</text>'
        for q, text in PACES
    )
    dots = "".join(
        f'<circle class="tide__dot" cx="{tenth(place(q))}" cy="{tenth(_LINE - 14 + 9 * (i % 4))}" r="5"/>'
        for i, q in enumerate(quicker)
    )
    return (
        f'<svg class="tide tide--pace" viewBox="0 0 {tenth(WIDTH)} {tenth(HEIGHT)}" role="img" '
        f'aria-labelledby="{uid}-title {uid}-desc"><title id="{uid}-title">{PACE_TITLE}</title>'
        f'<desc id="{uid}-desc">{said}</desc>'
        f"{_band('tide__early', all_low, all_high)}{_band('tide__band', low, high)}{ticks}"
        f'<line class="tide__pole" x1="{tenth(middle)}" y1="34" x2="{tenth(middle)}" y2="98"/>{dots}'
        f'<text class="tide__clock" x="{tenth(_LEFT)}" y="18">{SLOWER}</text>'
        f'<text class="tide__clock" x="{tenth(_LEFT + _ROOM)}" y="18" text-anchor="end">{QUICKER}</text></svg>'
    )


def _band(kind: str, low: float, high: float) -> str:
    return f'<rect class="{kind}" x="{tenth(low)}" y="40" width="{tenth(high - low)}" height="52" rx="8"/>'


def words(quicker: Sequence[float], ln_mean: float, ln_sd: float) -> str:
    """The same in a sentence."""
    low, high = (math.exp(ln_mean + sign * _Z * ln_sd) for sign in (-1, 1))
    return pace_words(quicker, math.exp(ln_mean), low, high)
