"""Heating of slabs: the trade's lumped table, textbook solutions, SciPy, and what must hold for any slab."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.oracles import heat
from tests.profiles import examples
from webapp.core.oven.slab import (
    LONGEST_HEATING_S,
    MATERIALS,
    RAMP_S,
    TRAY,
    Fire,
    Material,
    Slab,
    drawn_w_m2,
    heat_up_s,
)

ENDLESS = 1e9  # W: an oven that power never holds back

# Minutes to 230 and 245 C at h = 5 / 10 / 20: lumped table of the trade, both faces, air to 250 C with 5 min
# (calculated there from properties given from memory). Stone rows there leave out the stone's own resistance.
TABLE = [
    ("steel", 6, (27, 24, 20), (36, 32, 27)),
    ("steel", 10, (38, 33, 27), (53, 46, 37)),
    ("stone", 12, (24, 22, 19), (32, 29, 26)),
    ("stone", 15, (28, 25, 21), (37, 33, 29)),
    ("stone", 20, (34, 30, 25), (47, 41, 34)),
    ("cast-iron", 4, (19, 18, 16), (26, 24, 23)),
]


@pytest.mark.parametrize(("material", "mm", "to_230", "to_245"), TABLE)
def test_minutes_to_heat_agree_with_the_lumped_table(
    material: str, mm: float, to_230: tuple[int, ...], to_245: tuple[int, ...]
) -> None:
    slab = Slab(MATERIALS[material], mm / 1000, 0.14)
    own = 2.0 if material == "stone" else 0.0  # through-thickness time, about 1.5 min at 15 mm, comes on top there
    for target, row in ((230, to_230), (245, to_245)):
        for h, minutes in zip((5, 10, 20), row, strict=True):
            ours = heat_up_s(slab, Fire(250, ENDLESS, h), target) / 60
            assert minutes - 0.6 <= ours <= minutes + 0.6 + own


@pytest.mark.parametrize("key", list(MATERIALS))
def test_every_material_agrees_with_scipy_on_a_finer_grid(key: str) -> None:
    m = MATERIALS[key]
    thick = m.usual_mm / 1000
    ours = heat_up_s(Slab(m, thick, 0.1), Fire(250, ENDLESS, 8.0), 240)
    fine = heat.slab_in_oven_s(
        24 if m.cells > 1 else 3, thick, m.k, m.density, m.specific_heat, m.emissivity, 8.0, 250, RAMP_S, 20, 240
    )
    assert ours == pytest.approx(fine, rel=0.01)


def test_without_radiation_and_ramp_a_thin_plate_follows_the_lumped_exponential() -> None:
    mirror = Material(47.0, 7850.0, 490.0, 0.0, 1, 6.0)
    slab, fire = Slab(mirror, 0.006, 0.14), Fire(250, ENDLESS, 10.0, ramp_s=1e-9)
    exact = heat.lumped_s(7850 * 490 * 0.006, 2 * 10.0, 20, 250, 200)
    assert heat_up_s(slab, fire, 200, air_now_c=250) == pytest.approx(exact, rel=0.005)


def test_by_radiation_alone_it_follows_the_textbook_integral() -> None:
    slab, fire = Slab(MATERIALS["steel"], 0.006, 0.14), Fire(250, ENDLESS, 0.0, ramp_s=1e-9)
    exact = heat.radiating_s(7850 * 490 * 0.006, 2 * 0.8, 20, 250, 200)
    assert heat_up_s(slab, fire, 200, air_now_c=250) == pytest.approx(exact, rel=0.005)


def test_an_oven_takes_at_least_the_time_its_power_needs_for_the_heat_stored() -> None:
    # 40 x 35 cm x 10 mm of steel stores 11 kg x 490 x 210 K = 1.13 MJ: at 1 kW alone 19 min, walls not counted
    slab = Slab(MATERIALS["steel"], 0.010, 0.14)
    weak = heat_up_s(slab, Fire(250, 1000, 8.0), 230)
    assert weak > 0.14 * 38465 * 210 / 1000
    assert weak > 1.3 * heat_up_s(slab, Fire(250, 3000, 8.0), 230)


LIGHT = Slab(TRAY, 0.0005, 0.12)  # next to nothing: it tells of the air


def test_a_bare_oven_holds_its_heat_with_about_seven_hundred_watts() -> None:
    # common practice: 0.7 kW holds 250 C. A tenth less never gets it to 245 C, a tenth more does.
    # By hand, at rest: 20 + 630/3 = 230 C and 20 + 770/3 = 277 C.
    assert heat_up_s(LIGHT, Fire(250, 630, 8.0), 245) == LONGEST_HEATING_S
    assert heat_up_s(LIGHT, Fire(250, 770, 8.0), 245) < LONGEST_HEATING_S


def test_an_oven_too_weak_for_its_dial_is_given_up_after_three_hours() -> None:
    assert heat_up_s(LIGHT, Fire(250, 300, 8.0), 240) == LONGEST_HEATING_S
    assert heat_up_s(Slab(MATERIALS["steel"], 0.01, 0.14), Fire(250, 300, 8.0), 240) == LONGEST_HEATING_S


slabs = st.builds(Slab, st.sampled_from(list(MATERIALS.values())), st.floats(0.003, 0.025), st.floats(0.05, 0.2))


@examples(6)
@given(slabs, st.floats(1500, 3500), st.floats(5, 25))
def test_a_thicker_slab_never_heats_sooner(slab: Slab, power: float, h: float) -> None:
    thicker = Slab(slab.material, slab.thick_m * 1.3, slab.area_m2)
    fire = Fire(250, power, h)
    assert heat_up_s(thicker, fire, 235) >= heat_up_s(slab, fire, 235)


@examples(6)
@given(slabs, st.floats(1500, 3500), st.floats(5, 25))
def test_more_power_more_wind_and_a_warmer_start_never_heat_later(slab: Slab, power: float, h: float) -> None:
    base = heat_up_s(slab, Fire(250, power, h), 235)
    tolerance = 5.0  # one step
    assert heat_up_s(slab, Fire(250, power * 1.2, h), 235) <= base + tolerance
    assert heat_up_s(slab, Fire(250, power, h * 1.2), 235) <= base + tolerance
    assert heat_up_s(slab, Fire(250, power, h), 235, slab_c=120, air_now_c=120) <= base + tolerance


def test_a_slab_as_hot_as_its_oven_draws_nothing() -> None:
    slab = Slab(MATERIALS["stone"], 0.015, 0.1)
    assert drawn_w_m2(250, slab, 250, 8.0) == 0
    assert drawn_w_m2(250, slab, 100, 8.0) > 0 > drawn_w_m2(100, slab, 250, 8.0)


def test_stone_gives_less_at_a_touch_than_steel() -> None:
    assert MATERIALS["stone"].effusivity < MATERIALS["steel"].effusivity / 5


@pytest.mark.parametrize("key", list(MATERIALS))
def test_a_slab_s_cells_together_hold_its_heat_and_pass_it_on_in_a_row(key: str) -> None:
    m = MATERIALS[key]
    slab = Slab(m, 0.012, 0.1)
    assert sum(slab.heat) == pytest.approx(m.density * m.specific_heat * 0.012)
    assert len(slab.link) == len(slab.heat) - 1
    if slab.link:  # links and half a cell at each face in series are the whole resistance L/k
        whole = sum(1 / one for one in slab.link) + 2 / slab.skin
        assert whole == pytest.approx(0.012 / m.k)
