"""What the journal of one bake says, folded: see `fold` in core/now/journal.py."""

from __future__ import annotations

from dataclasses import dataclass

from webapp.core.kinds import ProofPlace, RestingPlace
from webapp.core.plan.rise import Felt


@dataclass(frozen=True)
class Done:
    """A step that was done (or begun), and when its action was finished (or begun)."""

    step_id: str
    at: int


@dataclass(frozen=True)
class Glass:
    """A reading of the straight-sided glass: at that instant it stood at `times` its first volume."""

    at: int
    times: float


@dataclass(frozen=True)
class Moved:
    """From this instant on the dough is on the bench, in the fridge or in the warm spot."""

    at: int
    place: RestingPlace


@dataclass(frozen=True)
class Seen:
    """What an eye or a finger said at that instant: a `looked`, a `poked` or a `baking` of the journal."""

    at: int
    said: str  # a `Look`, a `Poke` or a `BakeLook`, or a word of a newer phone: passed over


@dataclass(frozen=True)
class Taken:
    """The way that was taken last and still stands. Instants; `press_at` 0 = it was pressed already."""

    at: int
    kind: str  # a `WayKind`, or one of a newer phone
    press_at: int
    load_at: int
    proof: ProofPlace = ""  # where the tray goes from pressing on
    result: str = ""  # what the person was told of the dough and agreed to; "" when it was taken unasked
    given_up: float = 0.0  # of loss that the least of the other ways would have saved: it is not asked about again


@dataclass(frozen=True)
class Poured:
    """So much of this line ("part/key") went into the bowl."""

    line: str
    grams: float
    kept: bool = False  # and the rest stays as it is: a little too much salt that is lived with


@dataclass(frozen=True)
class State:
    """The journal of one bake, folded: what has happened, whatever order the events arrived in."""

    done: tuple[Done, ...]  # in plan order
    begun: tuple[Done, ...]  # in plan order
    later: int  # the next step cannot be done before this instant; 0 = nothing said
    supper: int  # when supper is wanted now
    glasses: tuple[Glass, ...]  # ascending by `at`
    rooms: tuple[Felt, ...]  # readings of the room, ascending
    moves: tuple[Moved, ...]  # ascending by `at`
    weighed: tuple[str, ...]  # ticked lines, in pouring order
    poured: tuple[Poured, ...]  # one per line, in pouring order
    area_cm2: float  # baked in another pan of this floor; 0 = as planned
    notes: tuple[str, ...]
    outcome: tuple[tuple[str, str], ...]  # (base | top | crumb | timing, what was said)
    doughs: tuple[Felt, ...] = ()  # readings of the dough's own temperature, ascending
    looks: tuple[Seen, ...] = ()  # by eye at pressing, ascending
    pokes: tuple[Seen, ...] = ()  # by finger before loading, ascending
    way: Taken | None = None  # the way that was taken; its moves are among `moves`
    agreed: int = 0  # the supper that the person last agreed to, by words or by a way that was tapped
    wanted: int = 0  # the supper that was wished for: the plan's, or the one said last
    baking: tuple[Seen, ...] = ()  # in front of the oven, ascending
    yeast: str = ""  # the kind that is taken, a `YeastKind` or a word of a newer phone; "" = as planned
    tray_times: float = 0.0  # so many times the dough that the pan wants lies on it; 0 = as much as that
    pan: str = ""  # what is called the pan of `area_cm2`
    mixed_cm2: float = 0.0  # the floor that the dough is mixed for, what was said later left out; 0 = as planned
    pace: float = 1.0  # so many times as quick as planned, for the yeast that went in too much and stays
    left_out: tuple[Done, ...] = ()  # folds that are not done, in plan order, and when that was said
    cold_again: bool = False  # the oven was lit, and is to be turned off until it is lit again
    lit_for: str = ""  # the loading that it is lit for since, "" = as planned

    @property
    def proof(self) -> ProofPlace:
        """Where the way that was taken puts the tray, "" = as planned."""
        return self.way.proof if self.way is not None else ""
