"""At the bench with no connection: another yeast, too much salt, a dough that got bigger than its pan."""

from __future__ import annotations

import re
import secrets
import time
from collections.abc import Callable
from dataclasses import replace

import pytest
from playwright.sync_api import Locator, Page, expect

from e2e.browsers import WHOLE
from e2e.conftest import Phone
from e2e.cut_off import was_done
from e2e.server import Server, shifted
from tests.words.fresh import KITCHEN, fresh_plan
from webapp.core.kitchen import Kitchen
from webapp.core.plan.plan import KeptPart, Plan

pytestmark = pytest.mark.without_worker

NewPhone = Callable[..., Phone]
COARSE = replace(KITCHEN, scale_step_g=2.0, micro_step_g=0.0, has_spoons=False)  # a yeast water is needed


def at_the_bench(
    server: Server,
    phone: Phone,
    step: str = "mix",
    kitchen: Kitchen = KITCHEN,
    said: tuple[str, dict[str, object]] | None = None,
    piece: float = 0.0,
) -> tuple[Plan, Page]:
    """A real plan with this step due now, all before it done; everything loaded and the network gone. `piece`: so much
    of the dough is cut off for another supper."""
    fresh = fresh_plan(kitchen=kitchen)
    if piece:
        fresh = replace(fresh, kept=KeptPart(fresh.dough_g * piece, fresh.supper + 86400, True, "mix", True))
    begins = next(one.start for one in fresh.steps if one.step_id == step)
    plan = server.bake(
        phone.kitchen_id, shifted(replace(fresh, bake_id=secrets.token_urlsafe(16)), int(time.time()) - begins)
    )
    due = next(one.start for one in plan.steps if one.step_id == step)
    was_done(server, phone.kitchen_id, plan, tuple(one.step_id for one in plan.steps if one.chain and one.start < due))
    if said is not None:
        kind, data = said
        one = {"event_id": secrets.token_hex(16), "bake_id": plan.bake_id, "at": due - 60, "logged_at": due - 60}
        row = {**one, "phone": "another", "kind": kind, "data": data}
        server.store().add_events(phone.kitchen_id, plan.bake_id, [row], int(time.time()))
    page = phone.open(plan.bake_id)
    expect(page.locator(".tools")).to_be_visible()
    page.wait_for_load_state("networkidle")
    page.context.set_offline(True)
    return plan, page


def line(page: Page, name: str) -> Locator:
    """The line of the list that has this name; what others say of it does not count."""
    return page.locator(".weigh__row").filter(has=page.locator(".weigh__name", has_text=name))


def row(page: Page, name: str) -> str:
    """What a line of the list says."""
    return line(page, name).inner_text().replace("\u00a0", " ")


def grams(page: Page, name: str) -> float:
    """What the scale should show of it."""
    shown = line(page, name).locator(".weigh__g").inner_text()
    return float(shown.replace("\u00a0", " ").split()[0])


def test_another_yeast_is_taken_below_the_list_and_its_grams_follow(shared_server: Server, new_phone: NewPhone) -> None:
    """Hamelman: fresh x 0.33 is instant, fresh x 0.40 active dry."""
    _, page = at_the_bench(shared_server, new_phone(shared_server))
    instant, flour = grams(page, "Instant yeast"), grams(page, "Strong white flour")
    page.get_by_role("button", name="Other yeast").click()
    page.get_by_role("dialog").get_by_role("button", name="Fresh yeast").click()
    assert grams(page, "Fresh yeast") == pytest.approx(instant / 0.33, abs=0.06)
    assert grams(page, "Strong white flour") == flour
    page.get_by_role("button", name="Other yeast").click()
    page.get_by_role("dialog").get_by_role("button", name="Active dry yeast").click()
    assert grams(page, "Active dry yeast") == pytest.approx(instant / 0.33 * 0.40, abs=0.02)
    assert "foams" in row(page, "Active dry yeast")
    page.context.set_offline(False)
    page.reload()
    expect(page.locator(WHOLE)).to_be_attached()
    expect(line(page, "Active dry yeast")).to_be_visible()
    page.get_by_role("button", name=re.compile("^Take back: Yeast: active dry")).click()
    page.get_by_role("button", name=re.compile("^Take back: Yeast: fresh")).click()
    expect(line(page, "Instant yeast")).to_be_visible()
    assert grams(page, "Instant yeast") == instant


def test_the_list_comes_first_and_a_line_that_is_ticked_moves_none_of_the_others(
    shared_server: Server, new_phone: NewPhone
) -> None:
    _, page = at_the_bench(shared_server, new_phone(shared_server))
    lines = page.locator(".weigh__tick")
    tops = "(lines) => lines.map((line) => Math.round(line.getBoundingClientRect().top + scrollY))"
    before = lines.evaluate_all(tops)
    text = page.locator(".now__text").evaluate("(text) => text.getBoundingClientRect().top + scrollY")
    assert max(before) < text, "weights before words"
    for i in range(lines.count()):
        expect(page.locator(".weigh__tick[aria-disabled]")).to_have_count(0)  # all lines rest a moment after each tap
        lines.nth(i).click()
        expect(lines.nth(i)).to_have_attribute("aria-pressed", "true")
        assert lines.evaluate_all(tops) == before
    expect(page.get_by_role("button", name="Other yeast")).to_have_count(0)


def yeast_water_due(plan: Plan) -> float:
    """Grams of the plan's yeast water that hold the yeast its formula wants, before any scale rounds them."""
    yeast = next(line for line in plan.lines if line.kind == "yeast")
    assert yeast.dosing
    return yeast.dosing.take_g * yeast.grams / yeast.weigh_g


def test_of_a_yeast_water_one_figure_counts_after_an_over_pour(shared_server: Server, new_phone: NewPhone) -> None:
    """A quarter more flour than the formula wants is a quarter more of everything, of the yeast water too: its line
    says so once."""
    plan, page = at_the_bench(shared_server, new_phone(shared_server), kitchen=COARSE)
    water, due = grams(page, "Yeast water"), yeast_water_due(plan)
    flour = next(line.grams for line in plan.lines if line.kind == "flour")
    page.get_by_role("button", name="Too much went in").click()
    page.get_by_role("dialog").get_by_role("button", name="Strong white flour").click()
    page.get_by_label("Strong white flour: all that is in").fill(str(flour * 1.25))
    page.get_by_role("button", name="That much is in").click()
    page.get_by_role("button", name="all else grows with it").click()
    expect(page.locator("[data-step]")).to_contain_text("25 % more")
    more = grams(page, "Yeast water")
    assert more == pytest.approx(due * 1.25, abs=1.01), "to the nearest two grams"
    said = row(page, "Yeast water")
    figures = [float(one) for one in re.findall(r"([\d.]+) g", said)]
    assert figures.count(more) == 2, said  # what the scale shows, and the same in the sentence
    assert water not in figures, said
    assert "times" not in page.locator("[data-step]").inner_text()


def test_too_much_yeast_water_is_asked_about_and_what_it_does_is_said(
    shared_server: Server, new_phone: NewPhone
) -> None:
    """1.2 times the yeast makes a dough 1.2 ** 0.6 = 1.116 times as quick (the fitted exponent: `core/rise/pace.py` has
    its rows); with all else grown it is 1.2 times the dough. A quarter is the most to be lived with, as of a spoon."""
    plan, page = at_the_bench(shared_server, new_phone(shared_server), kitchen=COARSE)
    flour, shown, water = grams(page, "Strong white flour"), grams(page, "Yeast water"), yeast_water_due(plan)

    def pour(times: float) -> None:
        page.get_by_role("button", name="Too much went in").click()
        page.get_by_role("dialog").get_by_role("button", name="Yeast water").click()
        page.get_by_label("Yeast water: all that is in").fill(str(round(water * times, 2) if times > 1 else shown))
        page.get_by_role("button", name="That much is in").click()

    sheet = page.get_by_role("dialog")
    pour(1.2)
    expect(sheet).to_contain_text("20 % more yeast")
    expect(sheet).to_contain_text("about 12 % quicker")
    expect(sheet).to_contain_text("of water too")
    page.get_by_role("button", name="It stays as it is").click()
    expect(sheet).to_have_count(0)
    assert grams(page, "Strong white flour") == flour
    pour(1.5)
    expect(page.get_by_role("button", name="all else grows with it")).to_be_visible()
    expect(page.get_by_role("button", name="It stays as it is")).to_have_count(0)
    page.get_by_role("button", name="all else grows with it").click()
    expect(page.locator("[data-step]")).to_contain_text("50 % more")
    assert grams(page, "Strong white flour") == pytest.approx(flour * 1.5, abs=4)
    pour(1.6)
    expect(sheet).to_contain_text("60 % more yeast")  # than is asked for, not than was said before
    expect(page.get_by_role("button", name="all else grows with it")).to_be_visible()
    expect(page.get_by_role("button", name="It stays as it is")).to_have_count(0)
    page.keyboard.press("Escape")
    pour(1.2)
    page.get_by_role("button", name="It stays as it is").click()
    expect(page.locator("[data-mended]")).to_have_count(0)
    assert grams(page, "Strong white flour") == flour
    pour(1.5)
    page.get_by_role("button", name="all else grows with it").click()
    expect(page.locator("[data-mended]")).to_have_count(1)
    pour(1.0)
    expect(page.locator("[data-mended]")).to_have_count(0)
    assert (grams(page, "Strong white flour"), grams(page, "Yeast water")) == (flour, shown)


def test_too_much_salt_is_spooned_off_or_lived_with_and_named(shared_server: Server, new_phone: NewPhone) -> None:
    """2.4 % of salt asked for; a quarter more is 3 %, which bakers of pizza use (2.8-3.2 % in a rule book)."""
    _, page = at_the_bench(shared_server, new_phone(shared_server))
    salt, flour = grams(page, "Fine salt"), grams(page, "Strong white flour")

    def pour(much: float) -> None:
        page.get_by_role("button", name="Too much went in").click()
        page.get_by_role("dialog").get_by_role("button", name="Fine salt").click()
        page.get_by_label("Fine salt: all that is in").fill(str(round(much, 1)))
        page.get_by_role("button", name="That much is in").click()

    pour(salt * 1.25)
    page.get_by_role("button", name=re.compile("spoon .* off")).click()
    expect(page.get_by_role("button", name=re.compile("^Fine salt"))).to_have_attribute("aria-pressed", "true")
    assert grams(page, "Fine salt") == salt
    pour(salt * 1.25)
    page.get_by_role("button", name="It stays: 3 % salt").click()
    expect(page.locator("[data-step]")).to_contain_text("3 % of the flour in place of 2.4 %")
    assert grams(page, "Strong white flour") == flour
    pour(salt * 1.3)
    page.get_by_role("button", name=re.compile("spoon .* off")).click()
    expect(page.locator("[data-step]")).not_to_contain_text("in place of 2.4 %")
    assert grams(page, "Fine salt") == salt
    pour(salt * 1.6)
    page.get_by_role("button", name="all else grows with it").click()
    expect(page.locator("[data-step]")).to_contain_text("everything rises with it")
    assert grams(page, "Strong white flour") == pytest.approx(flour * 1.6, rel=0.01)


def over_poured(page: Page, name: str, much: float) -> Locator:
    """The sheet after so much of this line was typed."""
    page.get_by_role("button", name="Too much went in").click()
    page.get_by_role("dialog").get_by_role("button", name=name).click()
    page.get_by_label(f"{name}: all that is in").fill(str(round(much, 1)))
    page.get_by_role("button", name="That much is in").click()
    return page.get_by_role("dialog")


def test_the_excess_typed_in_place_of_all_that_is_in_is_asked_about(shared_server: Server, new_phone: NewPhone) -> None:
    """8 g where 10 g are asked for: 18 g in all, or 2 g are still missing; either is one tap, none is swallowed."""
    _, page = at_the_bench(shared_server, new_phone(shared_server))
    salt = grams(page, "Fine salt")
    sheet = over_poured(page, "Fine salt", salt - 2)
    expect(sheet).to_contain_text(f"{salt - 2:g}\u00a0g is less than the {salt:g}\u00a0g asked for")
    expect(sheet.get_by_role("button", name="2\u00a0g more goes in")).to_be_visible()
    sheet.get_by_role("button", name=re.compile(f"too much: {2 * salt - 2:g}\\sg is in")).click()
    expect(sheet).to_contain_text(f"{salt - 2:g}\u00a0g too much.")
    page.keyboard.press("Escape")
    over_poured(page, "Fine salt", salt - 2).get_by_role("button", name=re.compile("more goes in$")).click()
    expect(page.get_by_role("dialog")).to_have_count(0)
    expect(line(page, "Fine salt")).to_contain_text("2\u00a0g more goes in.")
    assert grams(page, "Fine salt") == salt


def test_what_an_over_pour_costs_is_said_before_shown_after_and_taken_back(
    shared_server: Server, new_phone: NewPhone
) -> None:
    """1.8 times the salt: 2.4 % become 4.3 %, saltier than the rule books' 3.2; or 1.8 times the dough, of which 0.8
    are more than the pan takes. Twice the salt, 4.8 %, is past the 4.5 % at which a formula is no dough here."""
    plan, page = at_the_bench(shared_server, new_phone(shared_server))
    salt, flour = grams(page, "Fine salt"), grams(page, "Strong white flour")
    sheet = over_poured(page, "Fine salt", salt * 1.8)
    expect(sheet).to_contain_text("is left over")
    told = sheet.inner_text().replace("\u00a0", " ")
    figures = re.search(r"it is ([\d.]+) g of dough, and this pan takes ([\d.]+) g: ([\d.]+) g is left over", told)
    assert figures, told
    dough, takes, over = map(float, figures.groups())
    assert (dough, takes, over) == pytest.approx((1.8 * plan.dough_g, plan.dough_g, 0.8 * plan.dough_g), rel=0.02)
    assert "4.3 % of the flour in place of 2.4 %. Saltier" in told
    assert "Cut that off before" in told
    sheet.get_by_role("button", name=f"all else grows with it: {dough:g}\u00a0g").click()
    note = page.locator("[data-mended]")
    expect(note).to_contain_text(re.compile(r"80(\.\d)? % more"))
    expect(note).to_be_in_viewport()
    note.get_by_role("button", name="Take back: Fine salt").click()
    expect(note).to_have_count(0)
    assert (grams(page, "Fine salt"), grams(page, "Strong white flour")) == (salt, flour)
    sheet = over_poured(page, "Fine salt", salt * 2)
    expect(sheet).to_contain_text("nobody eats it")
    sheet.get_by_role("button", name=re.compile("^It stays: 4.8 % salt")).click()
    expect(note).to_contain_text("nobody eats it")
    assert grams(page, "Strong white flour") == flour


def test_a_splash_of_oil_too_much_stays_and_is_named_in_place_of_a_dough_twice_as_big(
    shared_server: Server, new_phone: NewPhone
) -> None:
    """2.5 % of oil asked for, twice that is 5 %: up to 6 % of fat changes nothing in the rise (common practice)."""
    _, page = at_the_bench(shared_server, new_phone(shared_server))
    oil, flour = grams(page, "Olive oil"), grams(page, "Strong white flour")
    page.get_by_role("button", name="Too much went in").click()
    page.get_by_role("dialog").get_by_role("button", name="Olive oil").click()
    page.get_by_label("Olive oil: all that is in").fill(str(round(oil * 2, 1)))
    page.get_by_role("button", name="That much is in").click()
    stays = page.get_by_role("button", name=re.compile("^It stays: 5(.1)? % fat"))
    expect(stays).to_be_visible()
    expect(page.get_by_role("dialog").get_by_role("button", name=re.compile("spoon"))).to_have_count(0)
    stays.click()
    expect(page.locator("[data-step]")).to_contain_text(re.compile("Fat: 5(.1)? % of the flour in place of 2.5 %"))
    assert grams(page, "Olive oil") == pytest.approx(oil * 2, abs=0.51)  # shown to a gram
    assert grams(page, "Strong white flour") == flour


def test_a_bigger_dough_says_how_much_to_cut_off_or_bakes_longer(shared_server: Server, new_phone: NewPhone) -> None:
    """1.6 times the water is 1.6 times the dough: 0.6 of it is more than this pan takes."""
    water = next(line.weigh_g for line in fresh_plan().lines if line.key == "water")
    poured = ("poured", {"line": "dough/water", "grams": water * 1.6})
    plan, page = at_the_bench(shared_server, new_phone(shared_server), "press", said=poured)
    over = page.locator("[data-step]").get_by_text("more than this pan takes")
    told = re.search(r"is ([\d.]+)", over.inner_text().replace("\u00a0", " "))
    assert told
    assert float(told[1]) == pytest.approx(0.6 * plan.dough_g, rel=0.02)
    page.get_by_role("button", name="All of it goes in").click()
    expect(page.locator("[data-step]")).to_contain_text(re.compile(r"about .* more in the oven"))
    expect(page.get_by_role("button", name=re.compile("^Take back: All of the dough"))).to_be_visible()


@pytest.mark.parametrize(
    ("floor", "said"),
    [
        (1.0, re.compile(r"It lies 0\.67 times as thick as planned\. It bakes about .* less")),
        (0.5, re.compile(r"more than this pan takes")),
    ],
)
def test_a_piece_that_was_cut_off_is_in_no_pan(
    shared_server: Server, new_phone: NewPhone, floor: float, said: re.Pattern[str]
) -> None:
    """A third is for another supper: the rest lies 2/3 as thick in the planned pan, 4/3 as thick in half of it."""
    area = sum(pan.area_cm2 * pan.count for pan in fresh_plan().pans) * floor
    pan = ("pan", {"area_cm2": area, "name": "another pan"})
    plan, page = at_the_bench(shared_server, new_phone(shared_server), "press", said=pan, piece=1 / 3)
    card = page.locator("[data-step]")
    expect(card).to_contain_text(said)
    if floor == 0.5:
        over = re.search(
            r"is ([\d.]+)", card.get_by_text("more than this pan takes").inner_text().replace("\u00a0", " ")
        )
        assert over is not None
        assert float(over[1]) == pytest.approx(plan.dough_g * (2 / 3 - 1 / 2), rel=0.02)


@pytest.mark.parametrize(("proof", "where"), [("warm", "in the warm spot"), ("fridge", "in the fridge")])
def test_a_step_says_where_the_tray_proofs_by_the_way_that_was_taken(
    shared_server: Server, new_phone: NewPhone, proof: str, where: str
) -> None:
    """Planned on the bench; by the way the tray goes elsewhere as soon as it is pressed, for as long as there is until
    it is topped."""
    _, page = at_the_bench(shared_server, new_phone(shared_server), "press")
    text = page.locator(".now__text")
    expect(text).to_contain_text(re.compile(r"It proofs about .* on the bench\."))
    now = int(time.time())
    taken = {"way": "warm", "press": now, "load": now + 7200, "supper": now + 9000, "moves": [], "proof": proof,
             "asked": True, "result": "best", "given_up": 0}  # fmt: skip
    _, page = at_the_bench(shared_server, new_phone(shared_server), "press", said=("way", taken))
    expect(page.locator(".now__text")).to_contain_text(re.compile(rf"It proofs about \d.* {where}\."))
    expect(page.locator(".now__text")).not_to_contain_text("on the bench")
    expect(page.locator("#now-title")).to_contain_text(
        "Press out into the pan" + ", then into the warm spot" * (proof == "warm")
    )
    page.locator("[data-key=done]").click()
    carry = page.locator(".dock .carry--now")
    expect(carry).to_contain_text(f"covered into the {'warm spot' if proof == 'warm' else 'fridge'}")
    expect(page.locator(".standing")).to_contain_text(f"Once {where}, the dough is at about")
    expect(page.locator("[data-key=back]")).to_have_count(0)
    carry.get_by_role("button", name="It is there").click()
    expect(carry).to_have_count(0)
    expect(page.locator(".standing")).to_contain_text(f"The dough {where} is at about")
    expect(page.locator("[data-key=back]")).to_be_visible()


def test_mixed_with_a_line_unticked_is_asked_about_once(shared_server: Server, new_phone: NewPhone) -> None:
    phone = new_phone(shared_server)
    plan, page = at_the_bench(shared_server, phone)
    lines = page.locator(".weigh__tick")
    wanted = lines.count()
    for i in range(wanted - 1):
        expect(page.locator(".weigh__tick[aria-disabled]")).to_have_count(0)
        lines.nth(i).click()
        expect(lines.nth(i)).to_have_attribute("aria-pressed", "true")
    missing = page.locator(".weigh__name").last.inner_text()
    expect(page.locator("[data-key=done][aria-disabled]")).to_have_count(0)
    page.locator("[data-key=done]").click()
    expect(page.locator("dialog")).to_contain_text(f"{missing} is not ticked: is it in?")
    page.locator("[data-key=not-all-in]").click()
    expect(page.locator("#now-title")).to_contain_text("Mix the dough")
    expect(page.locator("[data-key=done][aria-disabled]")).to_have_count(0)
    page.locator("[data-key=done]").click()
    page.locator("[data-key=all-in-bowl]").click()
    expect(page.locator("#now-title")).not_to_contain_text("Mix the dough")
    page.context.set_offline(False)
    phone.has_sent(plan.bake_id, "done", *("weighed",) * wanted)


def test_a_bowl_out_of_the_fridge_waits_as_long_as_it_does_by_now_and_a_way_moves_trays_alone(page: Page) -> None:
    said = page.evaluate(
        """async () => {
          const { sayWhereItStands } = await import("/static/js/state/stands.js");
          const steps = ["temper", "press"].map((kind) => (
            { step_id: kind, kind, load: 0, chain: true, place: "bench" }));
          const times = [{ status: "done", start: 0, end: 600 }, { status: "open", start: 1830, end: 2400 }];
          const bundle = { stands: { temper: { bench: { title: "", text: "It waits {stands}." } } } };
          const words = { places: { bench: "on the bench", warm: "in the warm spot" } };
          const retimed = { steps: times, moves: [], place: "bench" };
          const phrase = (_, { wait }) => `about ${wait}`;
          sayWhereItStands({ bundle, plan: { steps }, state: { way: { proof: "warm" } }, retimed, words, phrase });
          return steps[0].text;
        }"""
    )
    assert said == "It waits about 20\u00a0min on the bench."


@pytest.mark.parametrize(("pressed", "where"), [("open", "bench"), ("done", "fridge")])
def test_the_place_of_a_bowl_is_not_the_place_where_its_tray_proofs(page: Page, pressed: str, where: str) -> None:
    """The bowl was put into the fridge early; only once it is pressed out, the dough that is there is the tray."""
    said = page.evaluate(
        """async (pressed) => {
          const { sayWhereItStands } = await import("/static/js/state/stands.js");
          const steps = ["press", "relax", "top"].map((kind) => (
            { step_id: kind, kind, load: 0, chain: true, place: "bench" }));
          const times = steps.map((_, i) => ({ status: i ? "open" : pressed, start: i * 3600, end: i * 3600 + 600 }));
          const texts = ["bench", "fridge", "warm"].map((one) => [one, { title: "", text: "{stands}" }]);
          const bundle = { stands: { relax: Object.fromEntries(texts) } };
          const words = { places: { bench: "bench", fridge: "fridge", warm: "warm" } };
          const retimed = { steps: times, moves: [], place: "fridge" };
          sayWhereItStands({ bundle, plan: { steps }, state: { way: null }, retimed, words, phrase: () => "about" });
          return steps[1].text.split(" ").pop();
        }""",
        pressed,
    )
    assert said == where
