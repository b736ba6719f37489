"""Where two bakes that were planned want the same hands, or the oven, at once: facts alone.

An offer keeps clear of the bakes that are on when it is worked out. It may be taken later than another one, and a bake
may run late: then both want what is there once. Said of one of the two, of the one that can still be planned anew, by
what their journals say, so that a phone and a page say the same at any minute between two taps.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from webapp.core.day.free_time import Day
from webapp.core.day.span import Span
from webapp.core.errors import PlanError
from webapp.core.kitchen import Kitchen, Wish
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import RetimedStep, timed_steps
from webapp.core.plan.steps import GRID_S, PlanStep, is_anothers
from webapp.kitchens import bakes
from webapp.kitchens.bakes import FollowedBake
from webapp.kitchens.mixed import other_half
from webapp.kitchens.unbegun import LATE_S, is_past
from webapp.planning.evenings import booked
from webapp.planning.question import LATEST_SUPPER_S, hours_of
from webapp.store.bakes import PickedRow
from webapp.store.store import Store

LOAD_TO_LIFT = ("load", "lift")  # from the first of these to the last of them the oven is this bake's


@dataclass(frozen=True)
class Clash:
    """A step that wants what another bake has then."""

    step: PlanStep
    start: int  # of the step, as it stands
    other: Plan
    until: int  # when the other bake is done with it
    who: str = ""  # whose hands, by name; "" = the oven is wanted

    @property
    def told(self) -> tuple[str, int, str, int, str]:
        """What is said of it, to the minute."""
        return self.step.step_id, self.start // 60, self.other.bake_id, self.until // 60, self.who


Rows = Mapping[str, PickedRow]  # bakes in one line, by their ids


def meeting(rows: Rows, bake_id: str) -> list[str]:
    """Of these bakes that one, and those whose steps may fall together with its."""
    if bake_id not in rows:
        return []
    begins, over = rows[bake_id].begins, rows[bake_id].supper
    near = [one for one in rows.values() if one.begins < over + LATE_S and one.supper + LATE_S > begins]
    return [one.bake_id for one in near] if len(near) > 1 else []


def clashes(store: Store, now: int, kitchen_id: str, stands: FollowedBake, kitchen: Kitchen) -> tuple[Clash, ...]:
    """What this bake wants, from `now` on, that another one has then: as long as it is this bake that would be
    planned anew, and for five minutes at least; () of one that is over."""
    is_over = stands.retimed.current is None or is_past(stands.plan, stands.state, now)
    if is_over or now > stands.plan.supper + LATE_S:
        return ()
    mine = as_said(stands, now)
    day = day_of_bake(store, now, kitchen_id, stands.plan, kitchen)
    found: list[Clash] = []
    for other in _beside(store, now, kitchen_id, stands.plan):
        met = [*_hands(mine, other, day, kitchen), *_oven(mine, other)] if day else []
        ahead = [one for one in met if one.start >= now]
        if ahead and _gives_way(store, stands, other):
            found += ahead
    return tuple(sorted(found, key=lambda one: (one.start, one.step.step_id, one.other.bake_id)))


def by_other(found: Iterable[Clash]) -> list[list[Clash]]:
    """Those told of in one sentence: of one other bake, and one pair of hands or the oven."""
    same: dict[tuple[str, str], list[Clash]] = {}
    for one in found:
        same.setdefault((one.other.bake_id, one.who), []).append(one)
    return list(same.values())


def day_of_bake(store: Store, now: int, kitchen_id: str, plan: Plan, kitchen: Kitchen) -> Day | None:
    """Who is there when while this bake is on, by the hours and calendars of now, for as long as its supper may be put
    off; None where that cannot be told."""
    wish: Wish = bakes.bake(store, kitchen_id, plan.bake_id).wish
    whole = Span(plan.made_at, plan.supper + LATEST_SUPPER_S)
    try:
        return hours_of(wish, kitchen, whole, booked(store, now, kitchen_id).people)
    except PlanError:  # a clock that jumped, a bake of weeks ago
        return None


def _beside(store: Store, now: int, kitchen_id: str, plan: Plan) -> Iterator[FollowedBake]:
    """The other bakes whose steps may fall together with this one's, as their journals say; not of the same dough."""
    same = (plan.bake_id, other_half(plan.bake_id))
    rows = {one.bake_id: one for one in bakes.coming(store, kitchen_id, now - LATE_S)}
    ids = [one for one in meeting(rows, plan.bake_id) if one not in same]
    for other in bakes.followed_bakes(store, now, kitchen_id, ids):
        if other_half(other.plan.bake_id) != plan.bake_id and not is_past(other.plan, other.state, now):
            yield as_said(other, now)


def as_said(stands: FollowedBake, now: int) -> FollowedBake:
    """As it stood when something was last said of it: a step that nobody ticks moves nothing of another bake."""
    last = max([stands.plan.made_at, *(event.logged_at for event in stands.events)])
    return bakes.stands_at(stands.plan, stands.events, min(now, last))


def _hands(mine: FollowedBake, other: FollowedBake, day: Day, kitchen: Kitchen) -> Iterator[Clash]:
    """Steps of both for which only the same one of the household is there."""
    theirs, names = list(_by_hand(other)), [one.name for one in kitchen.people]
    for step, timed in _by_hand(mine):
        own = day.who(timed.start, timed.end, "hands")
        for _, at in theirs:
            also = day.who(at.start, at.end, "hands")
            alone = len(own) == 1 and also == own and own[0] in names
            if alone and _together(timed, at) >= GRID_S:
                yield Clash(step, timed.start, other.plan, at.end, own[0])
                break


def _oven(mine: FollowedBake, other: FollowedBake) -> Iterator[Clash]:
    """The two are in the oven at once."""
    own, theirs = _in_oven(mine), _in_oven(other)
    if own and theirs and min(own[1].end, theirs[1].end) - max(own[1].start, theirs[1].start) >= GRID_S:
        yield Clash(own[0], own[1].start, other.plan, theirs[1].end)


def _by_hand(one: FollowedBake) -> Iterator[tuple[PlanStep, RetimedStep]]:
    for step, now in timed_steps(one.plan, one.retimed):
        if now.status == "open" and step.presence == "hands" and step.kind != "serve" and not is_anothers(step):
            yield step, now


def _in_oven(one: FollowedBake) -> tuple[PlanStep, Span] | None:
    baked = [(step, now) for step, now in timed_steps(one.plan, one.retimed) if step.kind in LOAD_TO_LIFT]
    if not baked or baked[0][1].status != "open":
        return None
    return baked[0][0], Span(baked[0][1].start, max(now.end for _, now in baked))


def _together(one: RetimedStep, other: RetimedStep) -> int:
    return min(one.end, other.end) - max(one.start, other.start)


def _gives_way(store: Store, stands: FollowedBake, other: FollowedBake) -> bool:
    """Of two the one whose dough is not mixed yet; of two alike the one that was picked later. Brought in together from
    a file they were picked at one instant, under ids that may be new: then the one worked out, or eaten, later."""
    mine, theirs = (
        (not one.is_mixed, _picked_at(store, one.plan.bake_id), one.plan.made_at, one.plan.supper, one.plan.bake_id)
        for one in (stands, other)
    )
    return mine > theirs


def _picked_at(store: Store, bake_id: str) -> int:
    """When a person picked it: what goes on with the same dough was not picked anew."""
    every = store.revisions(bake_id)
    return max((int(one["picked_at"]) for one in every if not one["plan"].get("dough_of")), default=0)
