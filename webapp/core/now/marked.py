"""The chain of a plan: its two steps that want a rise, its trays in the oven, its supper, what settles a step.

Twin of static/js/now/marked.js: change both or neither.
"""

from __future__ import annotations

from collections.abc import Sequence

from webapp.core.kinds import BAKE_KINDS, BAKED_PLACES, Place
from webapp.core.plan.plan import Plan
from webapp.core.plan.state import Done, Seen, State, Taken
from webapp.core.plan.steps import GRID_S, PlanStep

# What is said at the oven (common practice; nobody has a figure): two minutes more, as the check asks for; a pale base
# gets three; a dark top gets foil, under which the middle goes on to the low edge of the band, two minutes at least.
MORE_S, PALE_S, DARK_S = 120, 180, 120
THINNEST = 0.5  # times the planned height: thinner dough is not done sooner still (this project's own judgement)


def chain_of(plan: Plan) -> list[PlanStep]:
    """The steps that follow each other, in plan order."""
    return [step for step in plan.steps if step.chain]


def press_index(chain: list[PlanStep]) -> int:
    """The first step that wants a rise and is no loading: pressing out; -1 when there is none."""
    for i in range(len(chain)):
        if chain[i].mark is not None and chain[i].kind != "load":
            return i
    return -1


def load_index(chain: list[PlanStep]) -> int:
    """The first loading; -1 when there is none."""
    for i in range(len(chain)):
        if chain[i].kind == "load":
            return i
    return -1


def follows_index(chain: list[PlanStep], i: int) -> int:
    """The step that number `i` comes after, the one before where none is. A tray that is eaten as it comes waits for
    its own lifting alone, and what is done for the next one waits for no meal."""
    for back in range(i):
        j = i - 1 - back
        own = chain[i].kind == "serve" and chain[i].load != 0
        if chain[j].load == chain[i].load if own else chain[j].kind != "serve":
            return j
    return i - 1


def more_wait(chain: list[PlanStep], i: int) -> int:
    """By how much longer it waits for that one than for the step planned before it, which its waits are told from."""
    return chain[i - 1].end - chain[follows_index(chain, i)].end if i > 0 else 0


def ready_index(chain: list[PlanStep]) -> int:
    """The step with which supper begins: the first that is eaten, the last of all where none is; -1 of no chain."""
    for i in range(len(chain)):
        if chain[i].kind == "serve":
            return i
    return len(chain) - 1


def waited_for(step: PlanStep) -> bool:
    """Does the evening wait for somebody's hands here? A tray is baked as it lies, pressed to the edge or not."""
    return step.presence != "none" and step.kind != "relax"


def loading_of(chain: list[PlanStep], i: int) -> int:
    """The loading that brought in the tray of which step `i` is a part in the oven; -1 when it is none."""
    if chain[i].kind not in BAKE_KINDS or chain[i].presence == "none":
        return -1
    for back in range(i):
        if chain[i - 1 - back].kind == "load":
            return i - 1 - back
    return -1


def anchor_of(state: State, side: PlanStep) -> str:
    """The step that this side step is tied to: of an oven that was off since, the loading that it is lit for."""
    return state.lit_for if side.kind == "preheat" and state.lit_for != "" else side.anchor


def tray_in(state: State, chain: list[PlanStep]) -> bool:
    """Is a tray in the oven, as far as anybody said?"""
    for i in range(len(chain)):
        loading = loading_of(chain, i) if chain[i].kind == "lift" else -1
        if loading >= 0 and said_at(state.done, chain[loading].step_id) != 0 and not is_settled(state, chain, i):
            return True
    return False


def thicker_s(plan: Plan, times: float) -> int:
    """Seconds that a tray with so many times the planned dough bakes longer, or less long (negative), by what half as
    much again takes: heat comes to the middle in a time that goes as the square of the height (Fourier). Spread thinner
    than half as thick it saves no more: the base needs its time to brown. `times` 0 = as much as planned."""
    if times <= 0.0:
        return 0
    height = THINNEST if times < THINNEST else times
    return int(plan.oven.half_more_s * (height * height - 1.0) / 1.25)


def out_by(plan: Plan, state: State, loaded_at: int) -> int:
    """Past this instant a tray that went in at `loaded_at` comes out, whatever is said: it can burn."""
    return loaded_at + plan.oven.out_after_s + thicker_s(plan, state.tray_times)


def baked_at(plan: Plan, state: State, step: PlanStep, loaded_at: int, after_s: int) -> int:
    """When a step with the tray in the oven is due: planned so long after the loading; thick dough is done later."""
    planned = loaded_at + after_s
    if step.kind != "check" and step.kind != "lift":
        return planned
    planned += thicker_s(plan, state.tray_times)
    return lift_at(plan, state, loaded_at, planned) if step.kind == "lift" else planned


def lift_at(plan: Plan, state: State, loaded_at: int, planned: int) -> int:
    """When the tray that went in at `loaded_at` comes out: as planned, or as was said in front of the oven since."""
    out = planned
    low = loaded_at + plan.oven.bake_low_min * 60 + thicker_s(plan, state.tray_times)
    for one in state.baking:
        if one.at >= loaded_at:
            out = said_of_bake(one, out, low)
    most = out_by(plan, state, loaded_at)
    if most < planned:
        most = planned
    return out if out < most else most


def said_of_bake(one: Seen, out: int, low: int) -> int:
    """The lifting after one thing that was said; what a newer phone says changes nothing. `low`: not baked before."""
    if one.said == "more":
        return _longer(one.at, out, MORE_S)
    if one.said == "base-pale":
        return _longer(one.at, out, PALE_S)
    if one.said == "top-dark":
        dark = one.at + DARK_S if one.at + DARK_S > low else low
        return dark if dark < out else out
    return out


def _longer(at: int, out: int, more_s: int) -> int:
    """So much longer, but at most twice that from the look: however often it is said, somebody looks again soon."""
    return max(out, min(max(at, out) + more_s, at + 2 * more_s))


def eat_at(ready_at: int, supper: int) -> int:
    """When to say that we eat: at supper while that holds to five minutes, else on the next full five."""
    if ready_at < supper + GRID_S:
        return supper
    return next_five(ready_at)


def supper_of(plan: Plan, wanted: int, ready_at: int) -> int:
    """The supper of a way: as wished while it holds to five minutes, else on full five, with the plan's margin."""
    supper = ready_at + plan.supper - plan.ready_at
    return wanted if wanted - GRID_S < supper < wanted + GRID_S else next_five(supper)


def next_five(at: int) -> int:
    """That instant, or the next full five minutes after it."""
    down = int(at / GRID_S) * GRID_S
    return down if down == at else down + GRID_S


def left_out(state: State, step: PlanStep, before: int, start: int) -> bool:
    """Is this a fold that was said to be left out, or was missed? It strengthens the dough and feeds nothing: with its
    longest wait over, and as long again as it lasts, a dough goes on by its rise without it (common practice). No
    supper waits for a fold."""
    if step.kind != "fold" or before == 0 or step.wait_most_s <= 0:
        return False
    most = before + step.wait_most_s + step.end - step.start
    return said_at(state.left_out, step.step_id) != 0 or start > most


def kind_now(before: Taken | None, told: str) -> str:
    """The kind of a way that is taken after that one: whoever goes on from the bench goes on without the fridge."""
    return "bench" if before is not None and before.kind == "bench" and told != "fridge" else told


def kept_out(state: State, step: PlanStep) -> bool:
    """Is this a step of the fridge, by a way that keeps the dough out of it, or the second go at one that never was
    cold?"""
    never_cold = step.kind == "relax" and said_at(state.done, "chill") == 0
    return state.way is not None and state.way.kind == "bench" and (never_cold or step.kind in ("chill", "temper"))


def not_over(start: int, now: int, lasts: int) -> int:
    """The start while the step can still be under way, else now."""
    return start if now < start + lasts or now < start else now


def place_after(step: PlanStep, way: Taken | None, over_at: int | None) -> Place:
    """Where the step leaves the dough, over at that instant (None: not over yet): a way that was taken before says so
    for the tray that it fills, until it goes into the oven."""
    if way is None or way.proof == "" or step.place in BAKED_PLACES or step.vessel != "tray" or step.mark is None:
        return step.place
    return step.place if over_at is not None and over_at < way.at else way.proof


def is_settled(state: State, chain: list[PlanStep], i: int) -> bool:
    """Is this step done, or one that comes after it? Whatever comes before that must have happened."""
    if said_at(state.done, chain[i].step_id) != 0:
        return True
    for j in range(i + 1, len(chain)):
        if said_at(state.done, chain[j].step_id) != 0 and overtakes(chain[j], chain[i]):
            return True
    return False


def overtakes(later: PlanStep, step: PlanStep) -> bool:
    """Does what is done later mean that this happened? A tray in the oven or on the table tells nothing of the next."""
    if later.load == 0 or later.load >= step.load:
        return True
    return later.kind not in BAKE_KINDS and later.kind != "serve"


def said_at(said: Sequence[Done], step_id: str) -> int:
    """The instant said for this step, 0 when nothing was said."""
    for one in said:
        if one.step_id == step_id:
            return one.at
    return 0


def soonest(a: int, b: int) -> int:
    """The sooner instant, or the shorter time."""
    return a if a < b else b


def latest(a: int, b: int) -> int:
    """The later instant."""
    return a if a > b else b
