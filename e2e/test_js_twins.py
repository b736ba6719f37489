"""The twins in the browser: served modules, real engine, exactly the numbers that Python gives."""

from __future__ import annotations

import json
import random
from dataclasses import asdict, replace

import pytest
from playwright.sync_api import Page

from tests.core.now.test_side_by_side import party
from tests.golden.write import FILE, vector, vector_of
from tests.made_up import MADE_UP, made_up, made_up_events
from tests.planning.test_full_plan import KITCHEN, MORNING, SHELF, wish
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.plan.event import Event
from webapp.core.plan.house import AtHome, HouseHours
from webapp.core.plan.plan import Plan
from webapp.core.plan.undone import undone_ids
from webapp.core.plan.whose import as_it_stands, with_house
from webapp.planning.full_plan import plans_for
from webapp.records import to_plain
from webapp.words.screen.bundle import phone_words
from webapp.words.spoken import spoken

AT_ONCE = 100

COMPARE = """async (text) => {
  const vectors = JSON.parse(text); // as text: far quicker to hand over than as objects
  const { fold } = await import("/static/js/now/journal.js");
  const { retime } = await import("/static/js/now/retime.js");
  const { ways } = await import("/static/js/now/ways.js");
  // Equal to the last bit: numbers by ===, everything else by its shape. Returns the path of what differs.
  const differs = (a, b, path) => {
    if (typeof a !== "object" || a === null || typeof b !== "object" || b === null) {
      return a === b ? null : `${path}: ${a} !== ${b}`;
    }
    const keys = [...new Set([...Object.keys(a), ...Object.keys(b)])];
    return keys.map((key) => differs(a[key], b[key], `${path}.${key}`)).find(Boolean) ?? null;
  };
  return vectors.map((one) => {
    const state = fold(one.plan, one.events);
    return (
      differs(state, one.state, `bake ${one.n} state`) ??
      differs(retime(one.plan, state, one.now), one.retimed, `bake ${one.n} retimed`) ??
      differs(ways(one.plan, state, one.now), one.ways, `bake ${one.n} ways`)
    );
  }).filter(Boolean);
}"""


def test_the_golden_vectors_come_out_the_same_in_the_browser(page: Page) -> None:
    assert page.evaluate(COMPARE, FILE.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("first", range(0, MADE_UP, AT_ONCE))
def test_hundreds_of_made_up_bakes_come_out_the_same_in_both_languages(page: Page, first: int) -> None:
    assert page.evaluate(COMPARE, json.dumps([vector(n) for n in range(first, first + AT_ONCE)])) == []


def test_bakes_forgotten_for_a_year_come_out_the_same_in_both_languages(page: Page) -> None:
    assert page.evaluate(COMPARE, json.dumps([vector(n, 365 * 86400 + n) for n in range(60)])) == []


def test_parties_of_which_one_tray_is_topped_while_another_bakes_come_out_the_same(page: Page) -> None:
    cases = []
    for n in range(60):
        plan, chance = party(2 + n % 2, n % 4 > 1), random.Random(f"party {n}")
        ticks = [(step.step_id, step.end + chance.randint(-900, 900)) for step in plan.steps if chance.random() < 0.5]
        events = made_up_events(chance, plan)
        events += [
            Event(f"{chance.getrandbits(128):032x}", plan.bake_id, at, at, "p", "done", {"step_id": one})
            for one, at in ticks
        ]
        now = chance.randint(plan.steps[0].start, plan.steps[-1].end + 3600)
        cases.append(vector_of(n, plan, events, now))
    assert page.evaluate(COMPARE, json.dumps(cases)) == []


def test_too_much_yeast_that_stays_makes_both_sides_as_quick(page: Page) -> None:
    cases = []
    for n in range(20):
        plan, events, now = made_up(n)
        line = next(f"{one.part}/{one.key}" for one in plan.lines if one.kind == "yeast")
        said = {"line": line, "grams": 2.5, "kept": n % 4 != 3, "pace": 1.0 + n / 50}
        at = plan.steps[0].start
        events += [Event(f"{n:032x}", plan.bake_id, at, at, "p", "poured", said)]
        cases.append(vector_of(n, plan, events, now))
    assert {one["state"]["pace"] > 1 for one in cases} == {True, False}
    assert page.evaluate(COMPARE, json.dumps(cases)) == []


def test_folds_that_were_missed_are_left_out_the_same(page: Page) -> None:
    cases = []
    for n in range(40):
        plan, events, _ = made_up(n)
        mix, *others = plan.steps
        begun = [mix.end + 1500 + i * 1800 for i in range(2)]
        folds = [
            replace(mix, step_id=f"fold-{i}", kind="fold", start=at, end=at + 300, wait_least_s=900, wait_most_s=2700)
            for i, at in enumerate(begun)
        ]
        folded = replace(plan, steps=(mix, *folds, *others))
        if n % 2:  # said to be left out, long before it is due
            data = {"step_id": "fold-1"}
            events += [Event(f"{n:032x}", plan.bake_id, mix.end, mix.end, "p", "left-out", data)]
        cases.append(vector_of(n, folded, events, mix.end + n * 600))
    folds_as = {row["status"] for one in cases for row in one["retimed"]["steps"] if row["step_id"].startswith("fold")}
    assert folds_as == {"open", "passed"}
    assert page.evaluate(COMPARE, json.dumps(cases)) == []


UNDONE = """async (text) => {
  const { undoneIds } = await import("/static/js/plan/undone.js");
  return JSON.parse(text).filter((one) => undoneIds(one.events).join() !== one.ids.join()).length;
}"""


def test_undos_of_undos_are_settled_the_same_in_both_languages(page: Page) -> None:
    rng = random.Random(26)
    cases = []
    for _ in range(500):  # rows, forks and rings of undos, some of them twice
        ids = [f"{i:032x}" for i in range(rng.randint(1, 12))]
        events = [Event(one, "b", 0, 0, "p", "undo", {"event_id": rng.choice([*ids, "none"])}) for one in ids]
        events += rng.choices(events, k=2)
        rng.shuffle(events)
        cases.append({"events": [asdict(one) for one in events], "ids": undone_ids(events)})
    assert page.evaluate(UNDONE, json.dumps(cases)) == 0


def test_the_comparison_notices_a_difference_in_the_last_bit(page: Page) -> None:
    spoilt = vector(3)
    spoilt["retimed"]["progress"] = spoilt["retimed"]["progress"] * (1 + 2**-52) or 5e-324
    assert len(page.evaluate(COMPARE, json.dumps([spoilt]))) == 1


WHOSE = """async (text) => {
  const { fold } = await import("/static/js/now/journal.js");
  const { retime } = await import("/static/js/now/retime.js");
  const { sayWhoseItIs } = await import("/static/js/state/whose.js");
  return JSON.parse(text).map(({ plan, words, events, now }) => {
    const state = fold(plan, events);
    const retimed = retime(plan, state, now);
    sayWhoseItIs({ plan, state, retimed, words }, now);
    const said = (step) => [step.title, `${step.text}${step.whose ?? ""}`];
    return plan.steps.map((step, i) => (retimed.steps[i].status === "open" ? said(step) : []));
  });
}"""


def test_whose_a_step_is_where_it_stands_is_said_alike_by_a_phone_and_by_a_page(page: Page) -> None:
    planned = plans_for(wish(), KITCHEN, MORNING, "b" * 22, SHELF)[0]
    cases, expected = [], []
    for n in range(80):
        chance = random.Random(f"whose {n}")
        plan = with_house(planned, house(chance, planned))
        events, now = made_up_events(chance, plan), chance.randint(plan.made_at, plan.supper)
        state = fold(plan, tuple(events))
        stands = retime(plan, state, now)
        said = spoken(as_it_stands(plan, state, stands, now))
        rows = zip(said.steps, stands.steps, strict=True)
        expected.append([[one.title, one.text] if timed.status == "open" else [] for one, timed in rows])
        cases.append({"plan": to_plain(spoken(plan, named=False)), "words": phone_words(),
                      "events": [asdict(one) for one in events], "now": now})  # fmt: skip
    lines = [text for bake in expected for step in bake for text in step]
    assert all(any(words in line for line in lines) for words in ("nobody", "Ann, Bo", "(somebody else)", "plan: Bo"))
    assert page.evaluate(WHOSE, json.dumps(cases)) == expected


def house(chance: random.Random, plan: Plan) -> HouseHours:
    """Two of the house, or with one more for a day, each there in stretches of hours."""
    begins, over = plan.steps[0].start - 7200, plan.supper + 20 * 3600

    def stretches() -> tuple[tuple[int, int], ...]:
        at = sorted(chance.sample(range(begins, over, 300), 6))
        return tuple((at[i], at[i + 1]) for i in (0, 2, 4))

    names = ("Ann", "Bo", "")[: 2 + chance.randint(0, 1)]
    return HouseHours(begins, over, tuple(AtHome(name, stretches(), stretches()) for name in names))
