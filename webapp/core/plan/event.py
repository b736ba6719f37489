"""One line of the journal, and what each kind of it holds."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Event:
    """One line of the journal. Append-only; the id is made on the phone, 128 random bits as hex.

    kind            data (all plain JSON values)
    done            step_id, hob                   the step's action is finished at `at`; `hob`: baked in a pan on the
                                                   hob, for want of an oven
    undo            event_id                       that event is taken back
    begun           step_id                        hands have started it (optional)
    left-out        step_id                        a fold that is not done: the dough goes on without it
    later           until, heats                   the person cannot do the next step before this instant; `heats`:
                                                   because the oven is not hot before it
    glass           times                          the glass reads this many times its first volume at `at`
    room            temp_c, since                  the kitchen is at this temperature from `at` on; it was so `since`
    dough           temp_c, since                  a thermometer in the dough says this at `at`, and would have `since`
    moved           place                          the dough went to bench | fridge | warm at `at`
    supper          instant                        supper is moved
    weighed         line                           a line of the weigh-out list is ticked ("part/key")
    poured          line, grams, kept, pace        this much went in (over-pour); the rest is scaled up, or `kept` as
                                                   it is: a little too much salt, or yeast, by which the dough is
                                                   `pace` times as quick
    yeast           yeast                          this kind is taken: instant | active-dry | fresh
    tray            times                          so many times the dough that its pan wants lies on the trays
    pan             area_cm2, name                 baked in another pan: a dough that is not mixed is rescaled
    note            text                           free text for the book
    looked          seen                           at pressing, by eye: hardly | doubled | well-over | sinking
    poked           springs                        a finger before loading: at-once | slowly | stays
    baking          seen                           of the tray in the oven: more | base-pale | top-dark
    way             way, press, load, supper,      a way from here is taken (see `Way`): `press` 0 = pressed already;
                    moves, proof, asked,           `moves` a list of {at, place}; `asked` false = taken unasked;
                    result, given_up               what was said of the dough, what a better way would have saved
    settled         revision                       of two doughs, or one mixed by an earlier plan, this counts
    outcome         base, top, crumb, timing,      how it came out, for the book; `verdict` of the dough at loading:
                    verdict                        young | right | past
    """

    event_id: str
    bake_id: str
    at: int  # when it happened, by the phone's clock
    logged_at: int  # when it was written down, and after all that was known then: the order of saying
    phone: str  # which phone, random id
    kind: str  # an `EventKind`, or one of a newer phone: kept, and passed over
    data: dict[str, object] = field(default_factory=dict)
    revision: int = 0  # of which dough it is said: that of the plan the phone held (`dough_of`); 0 = not said

    def __hash__(self) -> int:
        """`data` has none."""
        return hash(self.event_id)
