"""One future: a choice, timed and walked through. Twin of static/js/now/futures.js: change both or neither.

Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages. A choice is timed
by `scene.py` and its dough walked on from where it is by `along.py`, so what a way promises is what re-timing says
once it is taken.
"""

from __future__ import annotations

from dataclasses import replace

from webapp.core.kinds import WayKind
from webapp.core.now.along import Walk, go_through, oven_lit_at, sample_at
from webapp.core.now.chain import Timed
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
from webapp.core.now.marked import chain_of, ready_index, supper_of
from webapp.core.now.scene import Scene, Timing, Tried, as_it_stands, carried, free_now, timed_by, tried_before
from webapp.core.now.taken import cooled
from webapp.core.now.walk import follow_journal
from webapp.core.plan.state import Moved, State
from webapp.core.plan.way import Choice, Way

UNASKED_S = 900  # supper may move by so much without asking
DAY_S = 86400
AGED = 1.25  # of best: a dough past its mark is at the least so far past, the least that is told as a bit past


def tried(scene: Scene, kind: WayKind | None, choice: Choice) -> Tried:
    """The way that this choice makes, re-timed."""
    if kind == "as-planned" and cooled(scene.plan, scene.state, scene.now, choice.load_at) is scene.state:
        return told(scene, kind, choice, scene.state, scene.stands.chain, scene.stands.walk, scene.stands.timed)
    return walked_through(scene, kind, timed_by(scene, choice, kind == "as-planned"))


def walked_through(scene: Scene, kind: WayKind | None, by: Timing) -> Tried:
    """The same of a choice that is timed already."""
    found = tried_before(scene, by.asked) if kind is None else None
    if found is not None:
        return found
    walk = walk_on(scene, by.state, by.chain, oven_lit_at(scene.plan, by.timed))
    one = told(scene, kind, by.asked, by.state, by.chain, walk, by.timed)
    if kind is None:
        scene.tries.append((by.asked, one))
    return one


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
    walk = Walk(scene.now, [], [None for _ in chain], dough, dough, scene.paths)
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
        carried=(*standing, *carried(scene, choice)),
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
    dough (`core/rise/bench_life.py`), whatever its rise."""
    load = chain[scene.load].step.mark
    press = chain[scene.press].step.mark if scene.press >= 0 else None
    if load is not None and progress > load.past:
        return True
    return press is not None and pressed_at(scene, chain, walk) > press.past


def moves_of(scene: Scene, choice: Choice, chain: list[Timed], walk: Walk, lit_at: int) -> tuple[Moved, ...]:
    """All that is carried: the dough now, the tray once pressed; out of the oven before it is lit, if no step does."""
    out = carried(scene, choice)
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
    if choice.place == "bench":
        return "bench"
    if choice.place == "fridge":
        return "fridge" if scene.press >= 0 or choice.load_at >= scene.on_time + DAY_S else "cold-tray"
    if proof == "fridge":
        return "cold-tray"
    if "warm" in (choice.place, proof):
        return "warm"
    return "on-time" if late_s == 0 else "later" if late_s > 0 else "sooner"
