"""Another pan with no connection: before mixing the dough is made for it, after mixing it lies thicker or thinner."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from e2e.conftest import Phone
from e2e.server import Server
from e2e.test_bench import COARSE, at_the_bench, grams, row

pytestmark = pytest.mark.without_worker

NewPhone = Callable[..., Phone]
ROUND_CM2 = 615.75  # 28 cm across: pi / 4 x 28 x 28
TIMES = ROUND_CM2 / 1064.0  # of the 38 x 28 cm tray: 0.5787
ROUND = ("pan", {"area_cm2": ROUND_CM2, "name": "Round pan 28 cm"})


def card(page: Page) -> str:
    """What the step says."""
    return page.locator("[data-step]").inner_text().replace("\u00a0", " ")


def test_a_mixed_dough_is_cut_for_a_smaller_pan_or_lies_thick_in_it_and_bakes_longer(
    shared_server: Server, new_phone: NewPhone
) -> None:
    """745 g for 1064 cm2 are 314 g more than 616 cm2 take. All of it lies 1.728 times as thick: by the square of the
    height (Fourier) (1.728 x 1.728 - 1) / (1.5 x 1.5 - 1) = 1.59 times what half as much again takes."""
    plan, page = at_the_bench(shared_server, new_phone(shared_server), "press", said=ROUND)
    expect(page.locator("[data-step]")).to_contain_text("Oil the pan well: Round pan 28 cm.")
    assert "Oven tray" not in card(page)
    told = re.search(r"is ([\d.]+) g more than this pan takes", card(page))
    assert told
    assert float(told[1]) == pytest.approx(plan.dough_g * (1 - TIMES), abs=1.5)
    page.get_by_role("button", name="All of it goes in").click()
    longer = re.compile(r"about (\d+)\s+min more in the oven")
    expect(page.locator("[data-step]")).to_contain_text(longer)
    found = longer.search(card(page))
    assert found
    assert float(found[1]) == pytest.approx(plan.oven.half_more_s / 60 * 1.59, abs=0.6)


def test_a_mixed_dough_in_a_larger_pan_lies_thinner_and_bakes_less_long(
    shared_server: Server, new_phone: NewPhone
) -> None:
    """On 1500 cm2 the dough for 1064 cm2 lies 0.709 times as thick: by the square of the height (Fourier) it bakes
    (1 - 0.709 x 0.709) / (1.5 x 1.5 - 1) = 0.397 times what half as much again takes less long, once it lies there."""
    said = ("pan", {"area_cm2": 1500.0, "name": "50 x 30 cm pan"})
    plan, page = at_the_bench(shared_server, new_phone(shared_server), "press", said=said)
    expect(page.locator("[data-step]")).to_contain_text("0.71 times as thick as planned")
    less = re.compile(r"It bakes about (\d+)\s+min less")
    expect(page.locator("[data-step]")).to_contain_text(less)
    found = less.search(card(page))
    assert found
    less_s = plan.oven.half_more_s * 0.397
    assert float(found[1]) == pytest.approx(less_s / 60, abs=0.6)
    expect(page.get_by_role("button", name="All of it goes in")).to_have_count(0)
    baked = page.locator("[data-all] li", has_text="Out of the oven").get_by_text("Baked after")
    low, high = (plan.oven.bake_low_min, plan.oven.bake_high_min)
    expect(baked).to_contain_text(f"Baked after {low} to {high} min")
    page.get_by_role("button", name="Pressed out", exact=True).click()
    by = round(less_s / 60)
    expect(baked).to_contain_text(f"Baked after {low - by} to {high - by} min")


def test_all_steps_name_the_amounts_that_are_weighed_now(shared_server: Server, new_phone: NewPhone) -> None:
    """The list and the line of all steps are the same figures, for another pan and after an over-pour."""
    _, page = at_the_bench(shared_server, new_phone(shared_server), said=ROUND)
    mixing = page.locator("[data-all] li", has_text="Mix the dough")
    flour = f"{grams(page, 'Strong white flour'):.0f} g Strong white flour"
    expect(mixing).to_contain_text(re.compile(flour.replace(" ", r"\s")))
    page.get_by_role("button", name="Too much went in").click()
    page.get_by_role("dialog").get_by_role("button", name="Water", exact=True).click()
    page.get_by_label("Water: all that is in").fill(str(grams(page, "Water") * 1.5))
    page.get_by_role("button", name="That much is in").click()
    page.get_by_role("button", name="all else grows with it").click()
    expect(page.locator("dialog")).to_have_count(0)
    expect(mixing).not_to_contain_text(re.compile(flour.replace(" ", r"\s")))
    more = f"{grams(page, 'Strong white flour'):.0f} g Strong white flour"
    assert more != flour
    expect(mixing).to_contain_text(re.compile(more.replace(" ", r"\s")))


def test_what_goes_on_top_follows_the_pan(shared_server: Server, new_phone: NewPhone) -> None:
    """Each amount is 616 / 1064 of the planned one, as a scale of whole grams shows it."""
    plan, page = at_the_bench(shared_server, new_phone(shared_server), "top", said=ROUND)
    for topping in plan.toppings:
        if topping.when == "before":
            line = f"{topping.grams * TIMES:.0f} g {topping.name[:1].lower()}{topping.name[1:]}"
            expect(page.locator("[data-all]")).to_contain_text(re.compile(re.escape(line).replace(r"\ ", r"\s")))


def test_the_yeast_for_another_pan_is_what_the_scale_shows_and_its_error_is_said(
    shared_server: Server, new_phone: NewPhone
) -> None:
    """Half a step of the scale on each weight (the stock's yeast and water, the part of it that goes in), or what the
    rounding to its steps of two grams does where that is more."""
    plan, page = at_the_bench(shared_server, new_phone(shared_server), kitchen=COARSE, said=ROUND)
    dose = next(line.dosing for line in plan.lines if line.dosing)
    assert dose.kind == "yeast-water"
    shown = grams(page, "Yeast water")
    share = dose.stock_yeast_g / (dose.stock_yeast_g + dose.stock_water_g)
    wanted = next(line.grams for line in plan.lines if line.kind == "yeast") * TIMES
    assert shown % 2 == 0
    assert shown == pytest.approx(wanted / share, abs=1.5)
    stock = 1 / dose.stock_yeast_g + 1 / dose.stock_water_g
    error = 100 * (stock + max(1 / shown, abs(shown * share / wanted - 1)))
    assert 2 < error < dose.forgiven_percent, "somebody would see it, and supper forgives it"
    said = r"Ready up to .+? sooner or later: keep to the plan, supper holds\."
    assert len(re.findall(said, row(page, "Yeast water"))) == 1
    assert f"{shown:.0f} g of it goes in" in row(page, "Yeast water")


def test_a_pan_said_after_mixing_changes_nothing_that_was_weighed(shared_server: Server, new_phone: NewPhone) -> None:
    plan, page = at_the_bench(shared_server, new_phone(shared_server), "press")
    page.get_by_role("button", name="Another pan").click()
    page.get_by_label("Length, or across when it is round").fill("28")
    page.get_by_role("button", name="Show the new dough").click()
    dialog = page.get_by_role("dialog")
    expect(dialog).to_contain_text("It is mixed already")
    expect(dialog).to_contain_text("1.73 times as thick as planned")
    page.get_by_role("button", name="Bake in this pan").click()
    expect(page.locator("[data-step]")).to_contain_text("Oil the pan well: 28 cm pan.")
    page.get_by_role("button", name="Another pan").click()
    page.get_by_role("button", name="Back to the planned pan").click()
    expect(page.locator("[data-step]")).to_contain_text(f"Oil the pan well: {plan.pans[0].name}.")
    expect(page.locator("[data-step]").get_by_text("more than this pan takes")).to_have_count(0)


def test_the_minutes_of_the_bake_follow_what_lies_on_the_tray(shared_server: Server, new_phone: NewPhone) -> None:
    """Half as much dough again: each minute from the look at the base on is later by what that takes."""
    said: tuple[str, dict[str, object]] = ("tray", {"times": 1.5})
    plan, page = at_the_bench(shared_server, new_phone(shared_server), "load", said=said)
    page.locator("[data-step=preheat] ~ .dock [data-key=done]").click()  # minutes count from the loading on
    page.get_by_role("button", name="As planned").click()
    more = round(plan.oven.half_more_s / 60)
    low, high = plan.oven.bake_low_min + more, plan.oven.bake_high_min + more
    expect(page.locator(".oven")).to_contain_text(f"Baked after {low} to {high} min.")
    lift = next(one.minute for one in plan.oven.programme if one.action == "lift")
    expect(page.locator(".oven__line").last).to_contain_text(f"{lift + more} min")
