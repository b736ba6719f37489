"""One way to go on from here, really re-timed: see core/now/ways.py."""

from __future__ import annotations

from dataclasses import dataclass

from webapp.core.kinds import Place, ProofPlace, WayKind, WayResult
from webapp.core.plan.state import Moved


@dataclass(frozen=True)
class Choice:
    """What a way decides. `place` "" = the dough stays where it is; `proof` "" = the tray goes where the plan says."""

    place: ProofPlace
    press_at: int
    proof: ProofPlace
    load_at: int
    out_at: int = 0  # out of `place`, onto the bench; 0 = when it is pressed, topped, or the oven lit


@dataclass(frozen=True)
class Way:
    """One future, really re-timed: when to press and load, where the dough stands, when we eat, how risen it is.

    kind: as-planned | on-time | later | sooner | warm | cold-tray | fridge | bench, see `core/now/ways.py`.
    """

    kind: WayKind
    press_at: int  # 0 = pressed already
    load_at: int
    ready_at: int
    supper: int  # ready_at on the next 5 minutes, or the supper that holds
    place: Place  # where the dough goes now
    proof: ProofPlace  # where the tray goes from pressing on
    moves: tuple[Moved, ...]  # all that is to be carried, now and later, ascending
    carried: tuple[Moved, ...]  # of these what the journal must be told; the rest follows from pressing and the oven
    progress: float  # at loading, most likely
    low: float  # edges of the 80 % band
    high: float
    ratio: float  # progress at loading / best at loading
    result: WayResult  # what it means on the plate
    late_s: int  # supper against the one wished for; negative = sooner
    asks: bool  # supper moves by more than 15 min from what was agreed to: nobody takes it unasked
    loss: float  # `core/now/loss.py`; the list is in its order
    out_s: int = 0  # so long out of the fridge by loading, which is too long: it ends in the bin; 0 = in time
    relit_at: int = 0  # the oven, which is on, is off until it is lit again then; 0 = it stays as it is
    given_up: float = 0.0  # of loss, by whoever takes this one and not the first
