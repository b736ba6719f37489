"""From starting slots to an offer: every step with its times, the yeast, the room to manoeuvre, what it all costs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace

from webapp.core.formula.method import GRID_MIN
from webapp.core.kinds import Presence, StepKind, Vessel
from webapp.core.plan.steps import GRID_S
from webapp.core.planner.cost import POINTS, ferment_points, slack_points, visits
from webapp.core.planner.loads import COOL_LEAST_S, COOL_MOST_S, TOP_GAP_SLOTS, LoadTime
from webapp.core.planner.offer import Cost, Offer, TimedStep, Wanted
from webapp.core.planner.rising import CAPS, PER_MILLE, DoughAt, aim_of, trays
from webapp.core.planner.search import Found, Search
from webapp.core.planner.stages import Move, visit_points

LATEST = (24 * 12, 12 * 12)  # slack and earliness are told up to a day and half a day
ALARM_MIN: dict[StepKind, int] = {"preheat": 5, "top": 5, "sauce": 5, "lift": 0}


class Timetable:
    """One found day of one method, told in full."""

    def __init__(self, search: Search, found: Found) -> None:
        self.search = search
        self.chain, self.rising, self.loads = search.chain, search.rising, search.loads
        self.wanted: Wanted = search.loads.wanted
        self.starts = found.starts
        self.found = found
        self._walk_through()

    def _walk_through(self) -> None:
        """The dough before each move, and what it has taken up when the move begins."""
        at = self.rising.begin(self.starts[0])
        self.before: list[DoughAt] = [at]  # before[i]: between move i and i + 1
        self.warm: list[int] = [0]  # warm[i]: taken up when move i begins
        for number, start in enumerate(self.starts[1:], 1):
            self.warm.append(self.rising.warm_at(at, start))
            at = self.rising.moved(at, number, start)
            self.before.append(at)
        press = self.chain.press
        self.trays = trays(self.rising, self.loads, self.starts[press:], self.before[press - 1])
        most = self.rising.most_beside_sponge(self.warm[self.chain.mix]) if self.chain.mix else self.rising.most
        self.aim = aim_of(self.rising, self.trays, most)

    @property
    def warm_s(self) -> int:
        """Warm seconds from mixing until pressing."""
        return self.warm[self.chain.press]

    @property
    def load_time(self) -> LoadTime:
        """The chosen loading."""
        return next(t for t in self.loads.times if t.slot == self.starts[-1])

    def offer(self) -> Offer:
        """All of it."""
        dough, chain, steps = self.rising.dough, self.chain, self.steps()
        sponge = dough.sponge.instant_percent(self.warm[chain.mix]) if chain.mix and dough.sponge else 0.0
        slack, early = self.room(LATEST, self.aim)
        hands = [s for s in steps if s.presence == "hands" and s.end > s.start]
        band_early, band_late = self.band()
        return Offer(
            method=chain.method.key,
            method_name=chain.method.name,
            steps=steps,
            instant_percent=dough.instant_percent(self.aim),
            sponge_percent=sponge,
            warm_s=self.warm_s,
            mixed_c=self.before[chain.mix].tenths / 10.0,
            pressed=self.warm_s / self.aim,
            loaded=tuple(one.loaded / self.aim / (1.0 + dough.proof_best) for one in self.trays),
            mixed_at=next(s.end for s in steps if s.kind == "mix"),
            ready_at=self.load_time.ready_at,
            meet_step=next(s.step_id for s in steps if s.chain and s.start == self.starts[chain.meet] * GRID_S),
            slack_s=slack * GRID_S,
            early_s=early * GRID_S,
            band_early=band_early,
            band_late=band_late,
            hands_on_s=sum(s.end - s.start for s in hands),
            visits=visits((s.start, s.end) for s in hands),
            score=self.found.points,
            costs=tuple(c for c in self.costs() if c.points),
            pressed_percent=chain.method.pressed_percent,
            mixed_cool=chain.method.mixed_cool,
        )

    def room(self, caps: tuple[int, int], aim: int) -> tuple[int, int]:
        """Slack and earliness at the end of the long wait, in slots, when `aim` warm seconds are its best."""
        meet, before = self.chain.meet, self.before[self.chain.meet - 1]
        ripens = meet == self.chain.mix
        whole, taken = (self.warm[meet], self.warm[meet]) if ripens else (aim, self.warm_s)
        shift = 0 if ripens else self.loads.pressed[-1]
        give = self.rising.give(before, whole, taken)
        later, sooner = self.rising.room(before, self.starts[meet], give, (caps[0] + shift, caps[1]))
        return max(0, later - shift), sooner

    def band(self) -> tuple[int, int]:
        """Instants between which the dough is at its best in four of five kitchens, should nobody touch it."""
        dough = self.rising.dough
        return self._reaches(self.aim / dough.band_high), self._reaches(self.aim / dough.band_low)

    def _reaches(self, warm_s: float) -> int:
        last = self.chain.press - 1
        at = self.before[next((n for n in range(self.chain.mix, last) if self.warm[n + 1] >= warm_s), last)]
        walk = self.rising.warmth.walk(at.place, at.vessel, at.since, at.tenths)
        return (at.since + walk.slots_until(warm_s - at.warm, LATEST[0] * 4)) * GRID_S

    # --- steps ----------------------------------------------------------------------------------------------------

    def _id(self, kind: str) -> str:
        each = ("press", "load", "serve") if self.wanted.as_they_come else ("press", "load")
        return f"{kind}-1" if self.loads.baking.loads > 1 and kind in each else kind

    def steps(self) -> tuple[TimedStep, ...]:
        """Every step by start; waits are told from the end of the chain step before."""
        rows = [*self._moves(), *self._loads(), *self._sides(), *self._serve()]
        chain = sorted((s for s in rows if s.chain), key=lambda s: (s.start, s.end))
        told = list(_waits(_numbered(chain)))
        asked = dict(self.wanted.alarms)
        rows = [*told, *(s for s in rows if not s.chain)]
        rows = [replace(s, alarm_min=asked.get(s.kind, s.alarm_min)) for s in rows]
        who = self.chain.slots.who
        rows = [replace(s, person=who(s.start, s.end) if s.presence == "hands" else "") for s in rows]
        return tuple(sorted(rows, key=lambda s: (s.start, not s.chain, s.end)))

    def _moves(self) -> Iterator[TimedStep]:
        """Moves up to pressing and what lies between pressing and loading; later loads put off."""
        chain, baking = self.chain, self.loads.baking
        for number, (move, start) in enumerate(zip(chain.moves[:-1], self.starts, strict=False)):
            repeats = baking.loads if number >= chain.press else 1
            for j in range(repeats):
                at = (start + self.loads.pressed[j]) * GRID_S
                least = most = 0
                if number and not j:
                    ended = self._end(number - 1)
                    least, most = ended + move.wait.least * GRID_S, ended + move.wait.most * GRID_S
                yield TimedStep(
                    move.step.kind if repeats == 1 else f"{move.step.kind}-{j + 1}",
                    move.step.kind, at, at + move.slots * GRID_S, "hands", move.place,
                    self._vessel(move),
                    wait_least_s=least, wait_best_s=self._best(number), wait_most_s=most, alarm_min=move.step.alarm_min,
                    mark="press" if number == chain.press else "", load=j + 1 if repeats > 1 else 0,
                )  # fmt: skip
            yield from self._passing(number)

    def _vessel(self, move: Move) -> Vessel:
        return self.rising.dough.vessel if move.vessel == "sponge" else move.vessel

    def _best(self, number: int) -> int:
        return self._end(number - 1) + self.chain.moves[number].wait.best * GRID_S if number else 0

    def _end(self, number: int) -> int:
        return (self.starts[number] + self.chain.moves[number].slots) * GRID_S

    def _passing(self, number: int) -> Iterator[TimedStep]:
        move = self.chain.moves[number]
        if not move.passing:
            return
        at = self._end(number)
        kept = self.chain.kept(number, at // GRID_S, self.starts[number + 1]).starts
        for passing, slot in zip(move.passing, kept, strict=True):
            if slot is None:
                continue
            start, end = slot * GRID_S, slot * GRID_S + passing.step.hands * 60
            waits = (at + w * GRID_S for w in (passing.wait.least, passing.wait.best, passing.wait.most))
            least, best, most = waits
            yield TimedStep(
                passing.step.kind, passing.step.kind, start, end, "hands", move.place, self._vessel(move),
                wait_least_s=least, wait_best_s=best, wait_most_s=most, alarm_min=passing.step.alarm_min,
            )  # fmt: skip
            at = (slot + passing.slots) * GRID_S

    def _loads(self) -> Iterator[TimedStep]:
        """Topping, loading and the bake programme of every load."""
        baking, loads = self.loads.baking, self.loads
        beside = loads.beside(self.starts[-1], self.search.taken(self.starts))
        assert beside is not None  # the search found room for topping
        move, alarm = self.chain.moves[-1], self.chain.moves[-1].step.alarm_min
        pressed = self._end(self.chain.load - 1)
        for j in range(baking.loads):
            tag, load = (f"-{j + 1}", j + 1) if baking.loads > 1 else ("", 0)
            at = self.starts[-1] * GRID_S + loads.later_s(j)
            own = self.wanted.top_min * 60
            top, topped = (at + s for s in loads.later_top) if j else (beside.starts[0], beside.starts[0] + own)
            least, most = (pressed + wait * GRID_S for wait in (move.wait.least, move.wait.most))
            if own:
                yield TimedStep(
                    f"top{tag}", "top", top, topped, "hands", self.chain.moves[-2].place, "tray",
                    wait_least_s=least - own, wait_most_s=most, alarm_min=ALARM_MIN["top"], load=load,
                )  # fmt: skip
                least, most = topped, topped + TOP_GAP_SLOTS * GRID_S
            yield TimedStep(
                f"load{tag}", "load", at, at + baking.load_min * 60, "hands", "oven", "tray", wait_least_s=least,
                wait_most_s=most, alarm_min=alarm, mark="load", load=load,
            )  # fmt: skip
            for action in baking.actions:
                start = at + action.minute * 60
                presence: Presence = "hands" if action.action in ("lift", "turn") else "home"
                yield TimedStep(
                    f"{action.action}{tag}", action.action, start, start + action.hands_min * 60, presence,
                    "none" if action.action == "lift" else "oven", "tray", wait_least_s=start, wait_most_s=start,
                    load=load,
                )  # fmt: skip

    def _sides(self) -> Iterator[TimedStep]:
        beside = self.loads.beside(self.starts[-1], self.search.taken(self.starts))
        assert beside is not None  # the search found room for the side tasks
        load, anchor = self.starts[-1] * GRID_S, self._id("load")
        lit = load - self.loads.baking.preheat_min * 60
        yield TimedStep(
            "preheat", "preheat", lit, lit + 60, "home", "none", "", chain=False, anchor=anchor, offset_s=lit - load,
            alarm_min=ALARM_MIN["preheat"],
        )  # fmt: skip
        counts = Counter(s.kind for s in self.wanted.sides)
        seen: Counter[str] = Counter()
        for side, start in zip(self.wanted.sides, beside.starts[1:], strict=True):
            seen[side.kind] += 1
            step_id = side.kind if counts[side.kind] == 1 else f"{side.kind}-{seen[side.kind]}"
            yield TimedStep(
                step_id, side.kind, start, start + side.hands_min * 60, "hands", "none", "", chain=False, anchor=anchor,
                offset_s=start - load, alarm_min=ALARM_MIN.get(side.kind, 0),
            )  # fmt: skip

    def _serve(self) -> Iterator[TimedStep]:
        """When it is eaten: once, with the last load out, or each load so long after it came out as the first."""
        loads, ready, each = self.loads, self.load_time.ready_at, self._id("serve") != "serve"
        for j in range(loads.baking.loads if each else 1):
            later = loads.later_s(j)
            lifted = self.starts[-1] * GRID_S + loads.served_s + later
            yield TimedStep(
                f"serve-{j + 1}" if each else "serve", "serve", ready + later, ready + later, "hands", "none", "tray",
                wait_least_s=lifted + COOL_LEAST_S, wait_most_s=lifted + COOL_MOST_S, load=j + 1 if each else 0,
            )  # fmt: skip

    def costs(self) -> Iterator[Cost]:
        """Where the points come from; they add up to the score."""
        chain = self.chain
        yield from self._move_costs()
        for number in range(chain.load):
            kept = chain.kept(number, self._end(number) // GRID_S, self.starts[number + 1])
            left = kept.starts.count(None)
            yield Cost("left-out", chain.moves[number].step.kind, left * POINTS["left-out"])
            yield Cost("visit", "fold", kept.points - left * POINTS["left-out"])
        share = (self.warm[chain.load] - self.warm_s) * PER_MILLE // self.warm_s
        yield Cost("proof", self._id("load"), self.rising.proof_points(share))
        slack, early = self.room(CAPS, self.warm_s)
        late = slack_points(slack, CAPS[1])
        yield Cost("slack", chain.moves[chain.meet].step.kind, late)
        yield Cost("slack", chain.moves[0].step.kind, chain.begun(self.starts[0], self.loads.wanted.supper))
        yield Cost("early", chain.moves[chain.meet].step.kind, slack_points(slack, early) - late)
        yield Cost("ferment", chain.moves[0].step.kind, ferment_points(self.starts[chain.meet] - self.starts[0]))
        yield Cost("supper", self._id("serve"), self.load_time.points)
        beside = self.loads.beside(self.starts[-1], self.search.taken(self.starts))
        yield Cost("side-task", "top", beside.points if beside else 0)

    def _move_costs(self) -> Iterator[Cost]:
        chain = self.chain
        for number, move in enumerate(chain.moves):
            kind = move.step.kind
            if number < chain.load:
                table = chain.slots.hands(move.slots * GRID_MIN)
                shifts = self.loads.pressed if number >= chain.press else (0,)
                at = [table[self.starts[number] + later - chain.slots.first] for later in shifts]
                coming = sum(one - one % POINTS["coming"] for one in at)  # leaving costs less, and never so often
                yield Cost("coming", kind, coming)
                yield Cost("leaving", kind, sum(at) - coming)
            if number:
                wait = self.starts[number] - self._end(number - 1) // GRID_S
                visit = visit_points(wait)
                yield Cost("visit", kind, visit)
                yield Cost("wait", kind, move.wait.price(wait) - visit)
                yield Cost("unseen", kind, chain.unseen(number, self._end(number - 1) // GRID_S, self.starts[number]))


def _numbered(chain: list[TimedStep]) -> list[TimedStep]:
    """Ids made unique: the second fold is "fold-2", and the first then "fold-1"."""
    counts = Counter(s.step_id for s in chain)
    seen: Counter[str] = Counter()
    out = []
    for step in chain:
        seen[step.step_id] += 1
        out.append(step if counts[step.step_id] == 1 else replace(step, step_id=f"{step.step_id}-{seen[step.step_id]}"))
    return out


def _waits(chain: list[TimedStep]) -> Iterator[TimedStep]:
    """Instants before and until which a step may begin, as waits from the end of the chain step before it."""
    before = None
    for step in chain:
        least, best, most = (
            max(0, at - before) if before is not None and at else 0
            for at in (step.wait_least_s, step.wait_best_s, step.wait_most_s)
        )
        gap = max(0, step.start - before) if before is not None else 0
        least, most = min(least, gap), max(most, gap)
        yield replace(step, wait_least_s=least, wait_best_s=min(max(best, least), most), wait_most_s=most)
        before = step.end
