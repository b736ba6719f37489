"""How quick this dough is: one hidden number, s = ln(its rate / the plan's). Twin of static/js/now/estimate.js.

Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages; change both or
neither. The number is the same from mixing to loading. Prior: normal, mean 0, as sure as the plan is. Every observation
is one normal likelihood on s, so the estimate is a mean weighted by precision, in any order (Gauss; see any text on
normal-normal conjugacy). What is further than three of its own standard deviations from the prior weighs as a Student t
with four degrees would let it: (4 + 1) / (4 + z^2) of its precision (Lange, Little, Taylor 1989).

The words at either end of what an eye or a finger can say mean "at most" and "at least": a dent that stays
is no news of a dough that is known to be further than that, and does not make it slower.

Readings of one kind are not independent: one glass has one mark at its start, one shape and one warmth, one person one
eye and one finger. So an error has a part that all of them share and a part of its own: n readings have the variance
shared^2 + own^2 / n (normal errors with one common part; any text on repeated measurements), and six looks at the glass
are worth hardly more than two. Nor are they worth the same: the same slip in the height matters less the further the
dough has come, so of one glass the later readings lead, each by the square of its increase over its height.

The readings' errors are common practice, as `design` of this project sets them: nobody has published figures for them.
"""

from __future__ import annotations

from dataclasses import dataclass

from webapp.core.kinds import BAKED_PLACES, SEEN_KINDS, SeenKind
from webapp.core.now.along import Sample, sample_at
from webapp.core.now.ln_exp import exp, ln, root
from webapp.core.now.marked import chain_of, load_index, press_index
from webapp.core.plan.plan import Plan
from webapp.core.plan.rise import Rise
from webapp.core.plan.state import Glass, Seen, State
from webapp.core.plan.steps import RiseMark

Z_80 = 1.2815515655  # 10 % of a normal distribution lies beyond this on either side
GLASS_SD = 0.12  # of ln progress at twice the first height: sample, dome and warmth are not quite the dough's
SMALL_TIMES = 1.5  # below, where the rise is a small part of the height, no more is made of an error in that height
LINE_SD = 0.75 * 0.03  # a line is read to 3 % of the first height; progress goes as the 0.75th power of the increase
LEAST_TIMES = 1.05  # the glass is read in steps of a twentieth: less than one step says "hardly"
SHARED = 0.85  # of each kind's error is common to all its readings (an estimate: nobody has figures)
LOOK_SD = 0.30
POKE_SD = 0.25
# What a word stands for: its share of best, and whether it says "at most" (-1), "about" or "at least" (1).
LOOK_OF_BEST = (
    ("hardly", 0.3333333333333333, -1.0),
    ("doubled", 0.75, 0.0),
    ("well-over", 1.0, 0.0),
    ("sinking", 0.0, 1.0),  # its own mark
)  # of best at pressing, or of what that is of a dough that is not pressed before (`RiseMark.full`)
POKE_OF_BEST = (("at-once", 0.80, -1.0), ("slowly", 1.00, 0.0), ("stays", 1.25, 1.0))  # of best at loading
LEAST_READ = 0.1  # of progress: before that nothing can be seen
STRANGE = 3.0
FREEDOM = 4.0
LEAST_SD = 0.02  # no plan is surer of its dough
ROOM_SD = 0.12  # of ln progress that is all still to come: the room is known to a degree, its rhythm less


@dataclass(frozen=True)
class Observed:
    """One thing seen: ln(progress seen / progress by the plan's rates by then), and its standard deviation."""

    at: int
    ln_ratio: float
    sd: float
    base: float
    kind: SeenKind
    shared: float  # of `sd` the part that all of this kind have in common
    lead: float  # how much it counts beside others of its kind
    side: float  # 1: the dough has come at least so far, -1: at most, 0: about


@dataclass(frozen=True)
class Sighting:
    """One reading as progress; `sd` of ln progress, the others as there."""

    kind: SeenKind
    at: int
    progress: float
    sd: float
    shared: float
    lead: float
    side: float


@dataclass(frozen=True)
class Estimate:
    """What is known of s. `read_base`: progress by the plan's rates at the last observation, 0 when there was none."""

    mean: float
    sd: float
    factor: float
    read_base: float
    again: bool  # something seen is far from all that was expected
    soon: bool  # something was looked at before it could say anything


def estimate(plan: Plan, state: State, samples: list[Sample], now: int) -> Estimate:
    """The posterior of s from all that was seen by `now`: what says only "at least" or "at most" is no news where all
    else says that already."""
    seen = observations(plan, state, samples, now)
    prior_sd = prior_of(plan)
    about, _ = posterior([one for one in seen if one.side == 0], prior_sd)
    mean, precision = posterior([one for one in seen if one.side * (about - one.ln_ratio) <= 0], prior_sd)
    again = any(trust_in(one, prior_sd) < 1 for one in seen)
    read_base = max([0.0, *(one.base for one in seen)])
    soon = len(seen) < looked_at(state, now)
    return Estimate(mean, root(1 / precision), exp(mean) if len(seen) > 0 else 1.0, read_base, again, soon)


def posterior(seen: list[Observed], prior_sd: float) -> tuple[float, float]:
    """Mean and precision of s by these and the prior."""
    precision = 1 / (prior_sd * prior_sd)
    total = 0.0
    for kind in SEEN_KINDS:
        weight, pull = taken_together(seen, kind, prior_sd)
        precision = precision + weight
        total = total + pull
    return total / precision, precision


def taken_together(seen: list[Observed], kind: SeenKind, prior_sd: float) -> tuple[float, float]:
    """Precision of all readings of one kind, and that times what they say: their mean, each by its lead."""
    leads = 0.0
    trusted = 0.0
    told = 0.0
    own = 0.0
    shared = 0.0
    for one in seen:
        if one.kind == kind:
            trust = one.lead * trust_in(one, prior_sd)
            leads = leads + one.lead
            trusted = trusted + trust
            told = told + trust * one.ln_ratio
            own = own + one.lead * one.lead * (one.sd * one.sd - one.shared * one.shared)
            shared = shared + one.lead * one.shared
    if leads <= 0:
        return 0.0, 0.0
    weight = trusted * leads / (shared * shared + own)
    return weight, weight * told / trusted


def trust_in(one: Observed, prior_sd: float) -> float:
    """1, or less for what is far from all that was expected."""
    z2 = one.ln_ratio * one.ln_ratio / (one.sd * one.sd + prior_sd * prior_sd)
    return (FREEDOM + 1) / (FREEDOM + z2) if z2 > STRANGE * STRANGE else 1.0


def prior_of(plan: Plan) -> float:
    """The plan's own doubt: what it carries, or what its band says (plans of before carried the band alone)."""
    sd = plan.rise.sd if plan.rise.sd > 0 else ln(plan.rise.band_high) / Z_80
    return sd if sd > LEAST_SD else LEAST_SD


def looked_at(state: State, now: int) -> int:
    """How often somebody looked by now."""
    told: list[Glass | Seen] = [*state.glasses, *state.looks, *state.pokes]
    return len([one for one in told if one.at <= now])


def glass_progress(rise: Rise, times: float) -> float:
    """Progress that a reading stands for, on a straight line between the plan's marks; past the last mark that one."""
    below_times = 1.0
    below = 0.0
    for mark in rise.glass:
        if times <= mark.times:
            return below + (mark.progress - below) * (times - below_times) / (mark.times - below_times)
        below_times = mark.times
        below = mark.progress
    return below


def height_sd(times: float) -> float:
    """Of ln progress, of a height that is off by a share of itself: the less the dough has risen, the more of its rise
    that share is; GLASS_SD at twice its height, three halves of it below `SMALL_TIMES`."""
    least = max(times, SMALL_TIMES)
    return GLASS_SD / 2 * least / (least - 1)


def observations(plan: Plan, state: State, samples: list[Sample], now: int) -> list[Observed]:
    """Everything seen by `now` that says something, by kind and then by time."""
    out: list[Observed] = []
    for glass in state.glasses:
        times = glass.times if glass.times > LEAST_TIMES else LEAST_TIMES
        line = LINE_SD / (times - 1)
        height = height_sd(times)
        sd = root(height * height + line * line)
        lead = (times - 1) / times
        progress = glass_progress(plan.rise, times)
        observe(out, samples, now, Sighting("glass", glass.at, progress, sd, height * SHARED, lead * lead, 0.0))
    press, load = marks_of(plan)
    for seen in state.looks:
        if press is not None:
            full = press.full if press.full > 0 else press.best
            _, share, side = of_word(LOOK_OF_BEST, seen.said)
            progress = press.past if side > 0 else share * full
            observe(out, samples, now, Sighting("look", seen.at, progress, LOOK_SD, LOOK_SD * SHARED, 1.0, side))
    for seen in state.pokes:
        if load is not None:
            _, share, side = of_word(POKE_OF_BEST, seen.said)
            progress = share * load.best
            observe(out, samples, now, Sighting("poke", seen.at, progress, POKE_SD, POKE_SD * SHARED, 1.0, side))
    return out


def observe(out: list[Observed], samples: list[Sample], now: int, read: Sighting) -> None:
    """Add one, unless it is of the future, of a dough with no time yet or in the oven, or a word of a newer phone."""
    sample = sample_at(samples, read.at)
    rising = sample.base >= LEAST_READ and sample.place not in BAKED_PLACES
    if read.at <= now and rising and read.progress > 0:
        ln_ratio = ln(read.progress / sample.base)
        out.append(Observed(read.at, ln_ratio, read.sd, sample.base, read.kind, read.shared, read.lead, read.side))


def marks_of(plan: Plan) -> tuple[RiseMark | None, RiseMark | None]:
    """The marks of pressing and loading."""
    chain = chain_of(plan)
    press, load = press_index(chain), load_index(chain)
    return chain[press].mark if press >= 0 else None, chain[load].mark if load >= 0 else None


def of_word(words: tuple[tuple[str, float, float], ...], said: str) -> tuple[str, float, float]:
    """What this word stands for; nothing of a word that is not known."""
    for one in words:
        if one[0] == said:
            return one
    return "", 0.0, 0.0


def band(plan: Plan, known: Estimate, base: float) -> tuple[float, float]:
    """Edges of the 80 % band of the progress; before anything is seen the plan's own."""
    progress = base * known.factor
    if known.read_base <= 0:
        return progress * plan.rise.band_low, progress * plan.rise.band_high
    to_come = ROOM_SD * (base - known.read_base) / base if base > known.read_base else 0.0
    spread = exp(Z_80 * root(known.sd * known.sd + to_come * to_come))
    return progress / spread, progress * spread
