"""A dough from the fridge at pressing: Newton's law of cooling by hand, and what the step says of it.

By hand, of a dough mixed at 23 C in a kitchen of 21 C, in a bowl whose time constants are 2 h on the bench and 1 h 45
min in the fridge of 5 C: half an hour on the bench leaves 21 + 2 exp(-1/4) = 22.56 C; eight and a half hours in the
fridge 5 + 17.56 exp(-30600 / 6300) = 5.14 C; a quarter of an hour on the bench 21 - 15.86 exp(-1/8) = 7.00 C. To 12 C
it is then 7200 ln(14 / 9) = 3181 s in the bowl (54 min) and 3800 ln(14 / 9) = 1679 s in the tray (28 min).
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.samples import sample_plan
from tests.words.fresh import fresh_plan
from webapp.core.plan.plan import Plan
from webapp.core.plan.rise import RoomSpan, share_of
from webapp.core.plan.steps import PlanStep
from webapp.core.rise.pressing import cold_when_pressed, minutes_until, temp_when
from webapp.words.spoken import spoken


def press_of(plan: Plan) -> PlanStep:
    """The pressing."""
    return next(step for step in plan.steps if step.kind == "press")


def from_the_fridge(out_s: int = 900, base: Plan | None = None) -> Plan:
    """The plan, half an hour after mixing into the fridge and out of it so long before pressing."""
    plan = base or sample_plan()
    rise = replace(plan.rise, dough_c=23.0, fridge_c=5.0, room=(RoomSpan(0, 21.0),))
    mix, press = plan.steps[0], press_of(plan)
    chill_at, out_at = rise.mixed_at + 1800, rise.mixed_at + 1800 + 30600
    moved = {"step_id": "chill", "kind": "chill", "start": chill_at, "end": chill_at, "place": "fridge"}
    out = {"step_id": "temper", "kind": "temper", "start": out_at, "end": out_at, "place": "bench"}
    later = out_at + out_s - press.start
    rest = [replace(step, start=step.start + later, end=step.end + later) for step in plan.steps[1:]]
    steps = (mix, replace(mix, **moved), replace(mix, **out), *rest)
    return replace(plan, rise=rise, steps=steps)


def test_a_dough_a_quarter_of_an_hour_out_of_the_fridge_is_at_seven_degrees() -> None:
    plan = from_the_fridge()
    cold = cold_when_pressed(plan, press_of(plan))
    assert cold is not None
    assert cold.temp_c == pytest.approx(7.00, abs=0.02)
    assert (cold.in_tray_min, cold.in_bowl_min) == (28, 54)


def test_an_hour_and_ten_minutes_out_of_the_fridge_it_gives() -> None:
    """15.86 exp(-t / 7200) is 9 after 7200 ln(15.86 / 9) = 4080 s: 68 min."""
    for minutes, gives in ((66, False), (70, True)):
        plan = from_the_fridge(minutes * 60)
        assert (cold_when_pressed(plan, press_of(plan)) is None) is gives


def test_a_dough_that_was_never_cold_needs_no_word() -> None:
    base = fresh_plan()
    warm = tuple(replace(one, place="bench") if one.place == "fridge" else one for one in base.steps)
    plan = spoken(replace(base, steps=warm))
    assert cold_when_pressed(plan, press_of(plan)) is None
    assert "half way" not in press_of(plan).text


def test_the_step_says_that_it_is_cold_and_how_long_the_rest() -> None:
    """How warm it is by now the kitchen screen says above: of two figures on one screen one would be yesterday's."""
    plan = from_the_fridge(base=fresh_plan())
    cold = cold_when_pressed(plan, press_of(plan))
    assert cold is not None
    plan = replace(plan, steps=tuple(one for one in plan.steps if one.kind != "relax"))  # no step says when it is over
    rest = max(10, -(-cold.in_tray_min // 5) * 5)
    said = press_of(spoken(plan)).text
    assert "still cold and springs back" in said
    assert "°C" not in said
    assert 45 < cold.in_bowl_min < 75
    assert f"after a rest of {rest} minutes; left in the bowl it would take about 1 hour to give" in said
    assert said.index("Oil the pan") < said.index("half way") < said.index("Cover.")
    assert "Tip the dough in" not in said, "how it is pressed is said once"


def test_in_a_kitchen_as_cold_as_that_it_never_gives_and_nothing_is_promised() -> None:
    plan = from_the_fridge(base=fresh_plan())
    plan = replace(plan, rise=replace(plan.rise, room=(RoomSpan(0, 11.0),)))
    cold = cold_when_pressed(plan, press_of(plan))
    assert cold is not None
    assert (cold.in_tray_min, cold.in_bowl_min) == (0, 0)
    assert "it would take" not in press_of(spoken(plan)).text
    assert minutes_until(11.99, 11.0, 0.1) == 0


def test_before_anything_was_moved_it_is_as_warm_as_it_was_mixed() -> None:
    plan = from_the_fridge()
    assert temp_when(plan, plan.rise.mixed_at - 60) == 23.0
    assert share_of(plan.rise, "sponge", "moon") == 0.0
    no_moves = replace(plan, steps=(press_of(plan),), rise=replace(plan.rise, dough_c=8.0))
    cold = cold_when_pressed(no_moves, press_of(plan))
    assert cold is not None
    assert cold.temp_c == 8.0
