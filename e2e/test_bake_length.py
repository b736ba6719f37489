"""The page of a bake is at most three screens of a phone, whatever is baked and however far it is."""

from __future__ import annotations

from dataclasses import replace

import pytest
from playwright.sync_api import Browser

from e2e.conftest import PHONE
from e2e.kinds_of_bakes import STATES, Baking, a_bake, heights
from e2e.server import Server
from e2e.test_every_page import OPEN_ALL, TEXT
from webapp.core.kinds import ClockStyle
from webapp.core.kitchen import DayHours, Kitchen, Person

# Where the letters of a step's time end beyond the place where its name begins.
RUNS_INTO = """() => [...document.querySelectorAll("#steps .step-row:not(.step-row--wait)")].map((row) => {
  const range = document.createRange();
  range.selectNodeContents(row.querySelector(".step-row__time"));
  const name = row.querySelector(".step-row__what > span");
  const over = range.getBoundingClientRect().right - name.getBoundingClientRect().left;
  return name.offsetParent && over > 0 ? row.innerText : "";
}).filter(Boolean)"""

# Words of the steps and of the weigh-out list that go on in the next line.
CUT_WORDS = """() => {
  const found = [];
  const walker = document.createTreeWalker(document.querySelector(".split"), NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const text = walker.currentNode;
    if (!text.parentElement.offsetParent || text.parentElement.closest(".visually-hidden")) continue;
    for (const word of text.data.matchAll(/[^\\s-]+/g)) {
      const range = document.createRange();
      range.setStart(text, word.index);
      range.setEnd(text, word.index + word[0].length);
      if (new Set([...range.getClientRects()].map((box) => Math.round(box.top))).size > 1) found.push(word[0]);
    }
  }
  return found;
}"""

PLAIN = Kitchen(zone="UTC")
DRY = replace(PLAIN, yeast_kind="active-dry")  # woken, and of so little a yeast water is made
HOME = (Person("Me", (DayHours(),) * 7),)  # on a working day two trays of the longest list have no evening
OUNCES = replace(PLAIN, mass_unit="oz", heat_unit="F", clock="12", people=HOME)


@pytest.mark.parametrize(
    "baking",
    [
        Baking(DRY, "part-whole-tray"),  # the longest list of what is weighed, with and without a part made ahead
        Baking(PLAIN, "bench-tray", trays=2),  # two loads, the cold way the longest of them
        Baking(PLAIN, "milk-round"),  # a rich dough
        Baking(OUNCES, "part-whole-tray", trays=2),  # every amount twice, times that take more room
    ],
    ids=lambda one: f"{one.formula_key}-{one.trays}-{one.kitchen.mass_unit}",
)
def test_no_bake_is_longer_than_three_screens_of_a_phone(
    browser: Browser, shared_server: Server, baking: Baking
) -> None:
    seen = list(heights(browser, shared_server, baking))
    assert {state for _, state, _ in seen} == set(STATES)
    assert [one for one in seen if one[2] > 3 * PHONE["height"]] == []


@pytest.mark.parametrize("clock", ["12", "24"])
def test_no_time_of_a_step_runs_into_its_name(browser: Browser, shared_server: Server, clock: ClockStyle) -> None:
    with a_bake(browser, shared_server, Baking(replace(PLAIN, clock=clock), "bench-tray")) as page:
        assert page.evaluate(RUNS_INTO) == []


@pytest.mark.parametrize("clock", ["12", "24"])
def test_at_twice_the_text_no_word_of_the_steps_is_cut_in_two(
    browser: Browser, shared_server: Server, clock: ClockStyle
) -> None:
    """WCAG 2.2, 1.4.4: text of 200 %."""
    with a_bake(browser, shared_server, Baking(replace(PLAIN, clock=clock), "bench-tray")) as page:
        page.evaluate(OPEN_ALL)
        page.evaluate(TEXT, 200)
        assert page.evaluate(CUT_WORDS) == []
