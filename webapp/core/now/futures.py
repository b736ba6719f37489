"""One future: a choice, timed and walked through. Twin of static/js/now/futures.js: change both or neither.

Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages. A choice decides
four things: where the dough goes now, when it is pressed, where the tray goes then, when it is loaded. It is timed by
`chain.py` and its dough walked on from where it is by `along.py`, so what a way promises is what re-timing says once
it is taken.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from webapp.core.kinds import WayKind
from webapp.core.now.along import Walk, go_through, in_plan_order, oven_lit_at, sample_at
from webapp.core.now.chain import Timed, time_chain
from webapp.core.now.estimate import band
from webapp.core.now.fridge_clock import spoilt_s
from webapp.core.now.loss import (
    AGAIN,
    ASK,
    CHANGE,
    NOBODY,
    SPOILS,
    WORK,
    missed,
    off_best,
    off_press,
    off_supper,
    relit_at,
    result_of,
)
from webapp.core.now.marked import chain_of, load_index, press_index, ready_index, supper_of
from webapp.core.now.retime import Standing, stand
from webapp.core.now.taken import carried, cooled
from webapp.core.now.walk import Dough, baked, follow_journal
from webapp.core.plan.plan import Plan
from webapp.core.plan.state import Moved, State, Taken
from webapp.core.plan.way import Choice, Way

UNASKED_S = 900  # supper may move by so much without asking
DAY_S = 86400
AGED = 1.25  # of best: a dough past its mark is at the least so far past, the least that is told as a bit past


@dataclass(frozen=True)
class Scene:
    """What every way starts from."""

    plan: Plan
    state: State
    now: int
    stands: Standing
    here: Dough
    press: int  # number of the pressing in the chain while it is open, else -1
    load: int
    on_time: int  # when to load for the supper that was wished for
    best: float  # progress best at loading
    tries: list[tuple[Choice, Tried]] = field(default_factory=list)  # what is worked out already: the search comes back


@dataclass(frozen=True)
class Tried:
    """A choice, re-timed."""

    way: Way
    off: float  # loss of the dough alone
    timed: list[Timed]
    met: bool = True  # somebody is there for all of it


def scene_of(plan: Plan, state: State, now: int) -> Scene | None:
    """Where the dough is; None when there is nothing left to choose."""
    stands = stand(plan, state, now)
    chain = chain_of(plan)
    press, load = press_index(chain), load_index(chain)
    here = stands.walk.here
    if here is None or baked(here) or load < 0 or stands.chain[load].status != "open":
        return None
    mark = chain[load].mark
    if mark is None:
        return None
    pressed = press < 0 or stands.chain[press].status != "open"
    on_time = chain[load].start + state.wanted - plan.supper
    return Scene(plan, state, now, stands, here, -1 if pressed else press, load, on_time, mark.best)


def as_it_stands(scene: Scene) -> Choice:
    """The times as they are now."""
    press_at = scene.stands.chain[scene.press].start if scene.press >= 0 else 0
    way = scene.state.way
    return Choice("", press_at, way.proof if way is not None else "", scene.stands.chain[scene.load].start)


def free_now(scene: Scene) -> bool:
    """Is somebody there to carry the dough?"""
    return scene.state.later <= scene.now


def tried(scene: Scene, kind: WayKind | None, choice: Choice) -> Tried:
    """The way that this choice makes, re-timed."""
    going = kind == "as-planned"
    if going and cooled(scene.plan, scene.state, scene.now, choice.load_at) is scene.state:
        return told(scene, kind, choice, scene.state, scene.stands.chain, scene.stands.walk, scene.stands.timed)
    asked = as_timed(scene, choice, time_chain(scene.plan, with_choice(scene, choice, going), scene.now))
    for known, one in scene.tries:
        if known == asked and not going:
            return one
    state = with_choice(scene, asked, going)
    chain = time_chain(scene.plan, state, scene.now)
    timed = in_plan_order(scene.plan, state, scene.now, chain)
    walk = walk_on(scene, state, chain, oven_lit_at(scene.plan, timed))
    one = told(scene, kind, asked, state, chain, walk, timed)
    if not going:
        scene.tries.append((asked, one))
    return one


def as_timed(scene: Scene, choice: Choice, chain: list[Timed]) -> Choice:
    """The choice with the times that it really gets: what the journal will be told must come to the same again."""
    press_at = chain[scene.press].start if scene.press >= 0 else 0
    return replace(choice, press_at=press_at, load_at=chain[scene.load].start)


def with_choice(scene: Scene, choice: Choice, going: bool) -> State:
    """The journal's state, had this way been taken now; whoever goes on keeps the moves of the way that stands."""
    moves = [move for move in scene.state.moves if going or move.at <= scene.now]
    moves.extend(carried(scene.now, choice))
    taken = Taken(scene.now, "", choice.press_at, choice.load_at, choice.proof)
    return replace(cooled(scene.plan, scene.state, scene.now, choice.load_at), way=taken, moves=tuple(moves))


def still_to_come(scene: Scene) -> list[Moved]:
    """Moves of the way that stands which have not happened yet: whoever goes on keeps them."""
    return [move for move in scene.state.moves if move.at > scene.now]


def given_up(scene: Scene) -> float:
    """What the person knew they gave up by the way that they chose: nobody asks again until there is more to gain."""
    way = scene.state.way
    return AGAIN + way.given_up if way is not None and way.result != "" else 0.0


def walk_on(scene: Scene, state: State, chain: list[Timed], lit_at: int) -> Walk:
    """The dough from here on along these times, as far as loading."""
    dough = replace(scene.here, state=state, lit_at=lit_at)
    follow_journal(dough)
    walk = Walk(scene.now, [], [None for _ in chain], dough, dough, every=False)
    walk.samples.append(sample_at(scene.stands.walk.samples, scene.now))
    for i in range(scene.load + 1):
        if chain[i].end > scene.now:
            go_through(walk, state, chain, i)
    return walk


def told(
    scene: Scene, kind: WayKind | None, choice: Choice, state: State, chain: list[Timed], walk: Walk, timed: list[Timed]
) -> Tried:
    """The re-timed choice as a way, with its loss."""
    known = scene.stands.known
    load_at = chain[scene.load].start
    base = sample_at(walk.samples, load_at).base
    low, high = band(scene.plan, known, base)
    progress = base * known.factor
    ready_at = chain[ready_index(chain_of(scene.plan))].start
    supper = supper_of(scene.plan, scene.state.wanted, ready_at)
    ratio = progress / scene.best
    if ratio < AGED and is_past(scene, chain, walk, progress):
        ratio = AGED
    off = off_best(ratio * scene.best, scene.best, known.sd)
    late_s = supper - scene.state.wanted
    moved_s = supper - scene.state.agreed
    away = choice.place != "" and not free_now(scene)
    asks = moved_s > UNASKED_S or moved_s < -UNASKED_S or away
    going = kind == "as-planned"
    press_at = chain[scene.press].start if scene.press >= 0 else 0
    work = work_of(scene, choice) * WORK + (0.0 if going else CHANGE + given_up(scene)) + (ASK if asks else 0.0)
    if going and missed(scene.plan, timed, press_at, scene.now)[1] > 0:
        work += NOBODY
    out_s = spoilt_s(scene.plan, timed, state, scene.now)
    if out_s > 0:
        work += SPOILS
    standing = still_to_come(scene) if going else []
    way = Way(
        kind=kind if kind is not None else kind_of(scene, choice, late_s),
        press_at=press_at,
        load_at=load_at,
        ready_at=ready_at,
        supper=supper,
        place=choice.place if choice.place != "" else scene.here.place,
        proof=choice.proof,
        moves=(*standing, *moves_of(scene, choice, chain, walk, oven_lit_at(scene.plan, timed))),
        carried=(*standing, *carried(scene.now, choice)),
        progress=progress,
        low=low,
        high=high,
        ratio=progress / scene.best,
        result=result_of(ratio),
        late_s=late_s,
        asks=asks,
        out_s=out_s,
        relit_at=relit_at(timed) if len(state.done) < len(scene.state.done) else 0,
        loss=off + off_supper(late_s) + work + pressed_off(scene, chain, walk),
    )
    return Tried(way, off, timed)


def pressed_off(scene: Scene, chain: list[Timed], walk: Walk) -> float:
    """Loss of a dough that is pressed off its best; 0 when it is pressed already."""
    mark = chain[scene.press].step.mark if scene.press >= 0 else None
    return off_press(pressed_at(scene, chain, walk), mark.best) if mark is not None else 0.0


def pressed_at(scene: Scene, chain: list[Timed], walk: Walk) -> float:
    """Progress of a dough that is still to be pressed, at its pressing."""
    press_at = chain[scene.press].start
    samples = walk.samples if press_at > scene.now else scene.stands.walk.samples
    return sample_at(samples, press_at).base * scene.stands.known.factor


def is_past(scene: Scene, chain: list[Timed], walk: Walk, progress: float) -> bool:
    """Is it past a mark when it is loaded, with so much progress, or when it is pressed before that? Warmth ages a
    dough (`core/rise/keeping.py`), whatever its rise."""
    load = chain[scene.load].step.mark
    press = chain[scene.press].step.mark if scene.press >= 0 else None
    if load is not None and progress > load.past:
        return True
    return press is not None and pressed_at(scene, chain, walk) > press.past


def moves_of(scene: Scene, choice: Choice, chain: list[Timed], walk: Walk, lit_at: int) -> tuple[Moved, ...]:
    """All that is carried: the dough now, the tray once pressed; out of the oven before it is lit, if no step does."""
    out = carried(scene.now, choice)
    if scene.press >= 0 and choice.proof != "":
        out.append(Moved(chain[scene.press].end, choice.proof))
    if lit_at > scene.now and sample_at(walk.samples, lit_at - 1).place == "warm":
        out.append(Moved(lit_at, "bench"))
    return tuple(out)


def work_of(scene: Scene, choice: Choice) -> int:
    """How often the dough is carried over what stands already."""
    out = 1 if choice.place != "" else 0
    return out + 1 if choice.proof not in (as_it_stands(scene).proof, choice.place) else out


def kind_of(scene: Scene, choice: Choice, late_s: int) -> WayKind:
    """What the trade calls it."""
    proof = choice.proof if scene.press >= 0 else ""
    if choice.place == "fridge":
        return "fridge" if scene.press >= 0 or choice.load_at >= scene.on_time + DAY_S else "cold-tray"
    if proof == "fridge":
        return "cold-tray"
    if "warm" in (choice.place, proof):
        return "warm"
    return "on-time" if late_s == 0 else "later" if late_s > 0 else "sooner"
