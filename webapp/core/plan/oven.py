"""The oven of a plan: how long to heat, to what, and what happens minute by minute."""

from __future__ import annotations

from dataclasses import dataclass

from webapp.core.kinds import DialUnit, OvenFunction, OvenKind, ShelfHeight, SlabKind


@dataclass(frozen=True)
class OvenAction:
    """One line of the bake programme of one load."""

    minute: int  # after loading; 0 = load
    action: OvenKind
    dial_c: float | None = None  # what the dial is turned to; None = unchanged
    dial: str = ""  # shown: "250 °C", "gas 9", as this oven's dial reads; "" when unchanged
    shelf: str = ""  # shown: "lowest", "middle", ...
    text: str = ""  # shown


@dataclass(frozen=True)
class OvenSetting:
    """What the words of the oven are made from."""

    dial_unit: DialUnit
    dial_c: float  # what the dial is set to
    shelf: ShelfHeight
    shelves: int
    slab: SlabKind
    slab_mm: float  # 0 = nobody knows how thick, or nothing heavy lies there
    on_tray: bool  # baked in its tray or pan, also on a slab
    trays_at_once: int
    hot_c: float  # the oven when it is loaded
    touch_c: float  # the base a minute after it met the slab (bare dough: where they touch, at once); 0 = no slab
    cold_c: float  # the base a minute after a cold tray went into the same oven


@dataclass(frozen=True)
class OvenPlan:
    """The oven step: how long to heat, to what, and what happens minute by minute."""

    function: OvenFunction
    preheat_min: int
    preheat_low_min: int
    preheat_high_min: int
    programme: tuple[OvenAction, ...]
    bake_low_min: int
    bake_high_min: int
    loads: int = 1
    recovery_min: int = 0  # wait between lifting one load and loading the next; 0 when there is one load
    setting: OvenSetting | None = None  # None in plans stored before there were facts
    half_more_s: int = 0  # seconds that it bakes longer with half as much dough again on it; 0 in plans of before
    bare: bool = False  # nothing heavy in the oven, of a plan stored before there were facts; else `setting` says it
    enriched: bool = False  # milk, egg or much sugar in the dough: done at a lower heat in the middle
    dial: str = ""  # shown
    shelf: str = ""  # shown
    blown: str = ""  # shown: "fan", "" in still air
    slab: str = ""  # shown: "10 mm steel", "tray alone"
    why: str = ""  # shown: the one sentence with numbers, contact temperature of slab against tray

    @property
    def out_after_s(self) -> int:
        """Seconds in the oven at most: the top of the bake's band and a third over."""
        return self.bake_high_min * 80

    @property
    def has_slab(self) -> bool:
        """Is something heavy heated?"""
        return self.setting.slab != "tray" if self.setting else not self.bare
