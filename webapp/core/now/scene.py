"""What every way starts from, and choices as they are timed. Twin of static/js/now/scene.js: change both or neither.

Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages. A choice decides
four things: where the dough goes now, when it is pressed, where the tray goes then, when it is loaded. It is timed by
`chain.py`; only what somebody is there for is then walked through (`futures.py`), since a walk costs most.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from webapp.core.now.along import in_plan_order
from webapp.core.now.chain import Timed, time_chain
from webapp.core.now.marked import chain_of, kind_now, load_index, press_index
from webapp.core.now.retime import Standing, stand
from webapp.core.now.taken import cooled
from webapp.core.now.walk import Dough, baked
from webapp.core.plan.plan import Plan
from webapp.core.plan.state import Moved, State, Taken
from webapp.core.plan.way import Choice, Way


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
    # What is worked out already, for the search comes back: choices timed, and walked through; the dough left alone.
    times: list[tuple[Choice, Timing]] = field(default_factory=list)
    tries: list[tuple[Choice, Tried]] = field(default_factory=list)
    paths: list[list[Dough]] = field(default_factory=list)


@dataclass(frozen=True)
class Timing:
    """A choice as it is timed: what was asked, what it gets, the chain and every step in the plan's order."""

    asked: Choice
    got: Choice
    state: State
    chain: list[Timed]
    timed: list[Timed]


@dataclass(frozen=True)
class InTime:
    """A choice as it is timed once what nobody is there for is put off; is somebody there for all of it then?"""

    one: Timing
    met: bool


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


def planned_press(scene: Scene) -> int:
    """When it was to be pressed by the plan, for the supper that is wished for."""
    return scene.stands.chain[scene.press].step.start + scene.state.wanted - scene.plan.supper


def out_of_the_cold(scene: Scene) -> list[Choice]:
    """A dough that was meant for the fridge stays on the bench instead, or comes out now, and is for tonight: mixed
    late, it would be cold until the night. Nobody has to be there for one that lies on the bench. Not one that
    perishes: its rise belongs into the fridge."""
    stays = scene.here.place == "bench"
    cold = [one for one in scene.stands.chain if one.status == "open" and one.step.kind in ("chill", "temper")]
    if len(cold) == 0 or scene.press < 0 or scene.plan.dough_perishes or not (stays or free_now(scene)):
        return []
    return [Choice("bench", planned_press(scene), "", scene.on_time)]


def timed_by(scene: Scene, choice: Choice, going: bool) -> Timing:
    """The choice with the times that it really gets: what the journal will be told must come to the same again."""
    found = None if going else timed_before(scene, choice)
    if found is not None:
        return found
    one = timed_as(scene, choice, going)
    if one.got != choice:
        one = timed_as(scene, one.got, going)
    if not going:
        scene.times.append((choice, one))
    return one


def timed_as(scene: Scene, asked: Choice, going: bool) -> Timing:
    """The chain, had this been chosen now."""
    state = with_choice(scene, asked, going)
    chain = time_chain(scene.plan, state, scene.now)
    timed = in_plan_order(scene.plan, state, scene.now, chain)
    return Timing(asked, as_timed(scene, asked, chain), state, chain, timed)


def as_timed(scene: Scene, choice: Choice, chain: list[Timed]) -> Choice:
    """The choice with this chain's times."""
    press_at = chain[scene.press].start if scene.press >= 0 else 0
    return replace(choice, press_at=press_at, load_at=chain[scene.load].start)


def with_choice(scene: Scene, choice: Choice, going: bool) -> State:
    """The journal's state, had this way been taken now; whoever goes on keeps the moves of the way that stands."""
    moves = [move for move in scene.state.moves if going or move.at <= scene.now]
    moves.extend(carried(scene, choice))
    taken = Taken(scene.now, kind_now(scene.state.way, choice.place), choice.press_at, choice.load_at, choice.proof)
    return replace(cooled(scene.plan, scene.state, scene.now, choice.load_at), way=taken, moves=tuple(moves))


def carried(scene: Scene, choice: Choice) -> list[Moved]:
    """What the journal must be told: where the dough goes now, and when it comes out again."""
    out: list[Moved] = []
    if choice.place != "" and choice.place != scene.here.place:
        out.append(Moved(scene.now, choice.place))
    if choice.out_at != 0:
        out.append(Moved(choice.out_at, "bench"))
    return out


def timed_before(scene: Scene, choice: Choice) -> Timing | None:
    """This choice, timed already."""
    for known, one in scene.times:
        if known == choice:
            return one
    return None


def tried_before(scene: Scene, choice: Choice) -> Tried | None:
    """This choice, walked through already."""
    for known, one in scene.tries:
        if known == choice:
            return one
    return None
