"""The weigh-out list on the phone: rounding and mending give what rounding.py and mending.py in core/scale give."""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from dataclasses import asdict, replace
from typing import Any

from playwright.sync_api import Page

from tests.words.fresh import fresh_plan
from webapp.core.formula.ingredients import Preferment
from webapp.core.kinds import DoseKind
from webapp.core.kitchen import Kitchen
from webapp.core.plan.weights import Dosing
from webapp.core.scale import pans
from webapp.core.scale.as_made import rescaled
from webapp.core.scale.mending import mended
from webapp.core.scale.rounding import add_up
from webapp.core.scale.weighing import line_id, weigh_out
from webapp.core.units import mass_text
from webapp.data import doughs
from webapp.words.plan.weights import Scales, sure_words
from webapp.words.screen.bundle import PHRASES
from webapp.words.shared import SURE
from webapp.words.spoken import spoken

DIFFERENT = """async (text) => {
  const cases = JSON.parse(text);
  const { addUp } = await import("/static/js/scale/rounding.js");
  const { mended } = await import("/static/js/scale/mending.js");
  const { rescaled } = await import("/static/js/scale/weighing.js");
  const near = (a, b) => Math.abs(a - b) <= 1e-9 * Math.max(1, Math.abs(b));
  const off = (one) => addUp(one.exact, one.total, one.step).some((g, i) => !near(g, one.found[i]));
  const sums = cases.sums.filter(off);
  const mends = cases.mends.filter((one) => {
    const found = mended(one.lines, one.poured, one.step);
    const same = found.lines.every((line, i) => near(line.grams, one.grams[i]) && near(line.weigh_g, one.weigh_g[i]));
    const other = rescaled(one.lines, one.times, one.step).every((line, i) => near(line.weigh_g, one.rescaled[i]));
    return !same || !other || !near(found.factor, one.factor);
  });
  const pans = await import("/static/js/scale/pans.js");
  const floors = cases.floors.filter((one) => pans[one.shape](...one.measures) !== one.cm2);
  return [...sums, ...mends, ...floors];
}"""


def a_sum(rng: random.Random) -> dict[str, Any]:
    """Weights, a total near their sum, and how Python rounds them."""
    exact = [rng.choice([0.0, rng.uniform(0.05, 3), rng.uniform(3, 900)]) for _ in range(rng.randint(1, 6))]
    step, total = rng.choice([0.5, 1.0, 2.0, 5.0]), sum(exact) + rng.uniform(-0.4, 0.4)
    return {"exact": exact, "total": total, "step": step, "found": add_up(exact, total, step)}


def a_mend(rng: random.Random) -> dict[str, Any]:
    """A shipped formula weighed out, two lines poured, and what Python makes of it."""
    kitchen = Kitchen(scale_step_g=rng.choice([1.0, 5.0]), micro_step_g=rng.choice([0.0, 0.01]))
    formula = rng.choice(doughs.formulas())
    if rng.random() < 0.5:  # little yeast, some of it ahead: yeast water in one part or both
        ahead = Preferment("poolish", "Poolish", "poolish", 15.0, 100.0, rng.choice([0.05, 0.2]))
        formula = replace(formula, preferment=ahead, yeast_percent=rng.uniform(0.07, 0.4))
    lines = weigh_out(formula, rng.uniform(300, 2000), kitchen, measures=doughs.measures())
    poured = {line_id(line): line.weigh_g * rng.uniform(0.5, 1.4) for line in rng.sample(lines, 2)}
    kept = [name for name in poured if rng.random() < 0.2]
    found = mended(lines, poured, kitchen.scale_step_g, kept)
    return {
        "lines": [asdict(line) for line in lines],
        "poured": [{"line": k, "grams": g, "kept": k in kept} for k, g in poured.items()],
        "times": (times := rng.uniform(0.3, 3.0)),
        "rescaled": [line.weigh_g for line in rescaled(lines, times, kitchen.scale_step_g)],
        "step": kitchen.scale_step_g, "factor": found.factor, "grams": [line.grams for line in found.lines],
        "weigh_g": [line.weigh_g for line in found.lines],
    }  # fmt: skip


def floors(rng: random.Random) -> Iterator[dict[str, Any]]:
    """A pan of each shape that the phone knows, and its floor."""
    length, width = rng.uniform(5, 60), rng.uniform(5, 60)
    yield {"shape": "rectangleCm2", "measures": [length, width], "cm2": pans.rectangle_cm2(length, width)}
    yield {"shape": "roundCm2", "measures": [length], "cm2": pans.round_cm2(length)}
    yield {"shape": "ovalCm2", "measures": [length, width], "cm2": pans.oval_cm2(length, width)}


def test_the_phone_rounds_and_mends_as_the_server_does(page: Page) -> None:
    rng = random.Random(20261125)
    cases = {"sums": [a_sum(rng) for _ in range(300)], "mends": [a_mend(rng) for _ in range(300)],
             "floors": [one for _ in range(100) for one in floors(rng)]}  # fmt: skip
    assert page.evaluate(DIFFERENT, json.dumps(cases)) == []


def test_the_comparison_notices_a_gram(page: Page) -> None:
    spoilt = a_mend(random.Random(1))
    spoilt["weigh_g"][0] += 1
    assert len(page.evaluate(DIFFERENT, json.dumps({"sums": [], "mends": [spoilt], "floors": []}))) == 1


IN_WORDS = """async (all) => {
  const { formatFor } = await import("/static/js/lib/format.js");
  return ["g", "oz"].map((mass_unit) => all.map(formatFor("UTC", { mass_unit }).grams));
}"""


def test_an_amount_reads_the_same_on_the_phone_as_on_a_page_and_in_a_calendar(page: Page) -> None:
    """Halves go up, as in ISO 80000-1, annex B, rule B: 5.25 g read 5.3 g; and whatever a float makes of 1.115."""
    rng = random.Random(20261127)
    halves = [eighths / 8 for eighths in range(8 * 40)] + [thousandths / 1000 for thousandths in range(0, 30_000, 5)]
    masses = halves + [rng.choice([0.5, 5, 50, 900]) * rng.random() for _ in range(5000)]
    for unit, said in zip(("g", "oz"), page.evaluate(IN_WORDS, masses), strict=True):
        there = {grams: mass_text(grams, unit) for grams in masses}
        here = {grams: text.replace("\u00a0", " ") for grams, text in zip(masses, said, strict=True)}
        assert here == there
    assert mass_text(5.25) == "5.3 g"


SURE_WORDS = """async ([help, cases]) => {
  const { sureOf } = await import("/static/js/step/dose.js");
  const plan = (rise_s) => ({ steps: [{ kind: "press", start: 1000 + rise_s }], rise: { mixed_at: 1000 } });
  const of = (rise_s) => ({ words: { help }, bundle: { plan: plan(rise_s) } });
  return cases.map(({ rise_s, dose }) => sureOf(of(rise_s), dose, dose.error_percent));
}"""


def test_of_a_dose_for_another_pan_the_kitchen_says_what_the_page_says_of_the_planned_one(page: Page) -> None:
    """One rule: 2 g by a scale of 1 g may be off by 25 % (half its step); where supper forgives a third, it holds."""
    rng = random.Random(20261127)
    ways: tuple[DoseKind, ...] = ("scale", "micro", "spoon", "yeast-water")
    asked = [(rng.choice(ways), rng.uniform(0.1, 80), rng.uniform(0, 60), rng.randrange(0, 86400)) for _ in range(400)]
    asked += [("scale", 25.0, 33.0, 9 * 3600), ("scale", 25.0, 20.0, 9 * 3600), ("spoon", 25.0, 0.0, 0)]
    cases, there = [], []
    for kind, error, forgiven, rise_s in asked:
        dose = Dosing(kind, error, 2.0, 4.0, 60.0, 11.0, 10.3, 1.0, 1.0, 0.25, is_forgiven=error <= forgiven,
                      forgiven_percent=forgiven)  # fmt: skip
        cases.append({"rise_s": rise_s, "dose": asdict(dose)})
        there.append(sure_words(dose, Scales(rise_s=rise_s)))
    here = [said.replace("\u00a0", " ") for said in page.evaluate(SURE_WORDS, [dict(SURE), cases])]
    assert here == there
    assert there[-3:] == [
        "Ready up to 1 h 40 min sooner or later: keep to the plan, supper holds.",
        "That may have it ready up to 1 h 40 min sooner or later.",  # 0.75 ** -0.6 = 1.188: 9 h 1 h 42 min more
        "That may be off by 25 %.",
    ]


BEFORE_SLOTS = """async ([lines, phrases]) => {
  const { noteOf } = await import("/static/js/step/dose.js");
  const kitchen = { format: { grams: (grams) => `${grams} g` }, phrase: (key) => phrases[key] };
  return lines.map((line) => noteOf(kitchen, line, line.weigh_g * 2, 2));
}"""


def test_a_bundle_of_before_says_of_another_pan_that_how_to_weigh_comes_later(page: Page) -> None:
    """It holds its sentences for the planned pan alone: of these only those without an amount are said of another."""
    lines = [asdict(line) for line in spoken(fresh_plan()).lines]
    for line in lines:
        del line["other_pan"]
    said = dict(zip((line["kind"] for line in lines), page.evaluate(BEFORE_SLOTS, [lines, PHRASES]), strict=True))
    planned = {line["kind"]: line["note"] for line in lines}
    assert planned["yeast"], "how it is dosed"
    assert said["yeast"] == said["salt"] == "How to weigh it for this pan comes with the next connection."
    assert said["water"] == planned["water"] != ""
    assert said["flour"] == planned["flour"] == ""
