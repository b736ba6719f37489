"""A step said many hours before its plan is asked about first, and the screen then tells the truth of it."""

from __future__ import annotations

import re
import secrets
import time
from dataclasses import replace

import pytest

from e2e.home import NO_WORKER, SAUCE, TITLE, Home, journal, steps
from e2e.server import plan_at
from tests.samples import at
from tests.words.fresh import fresh_plan
from webapp.core.plan.plan import Plan

HOUR_S = 3600
# Whether the sheet stands at its top and what says no is in sight, once it has been drawn.
TOP_OF_SHEET = """(() => {
  const [sheet, no] = ["dialog", "dialog [data-key=not-yet]"].map((one) => document.querySelector(one));
  const { top, bottom } = no.getBoundingClientRect();
  return sheet.scrollTop === 0 && top >= 0 && bottom <= innerHeight ? "at its top" : `${sheet.scrollTop} px down`;
})()"""


def test_mixed_sixteen_hours_early_is_asked_and_a_no_says_nothing(home: Home) -> None:
    plan = home.bake(at(7, 16) - 16 * HOUR_S)
    tab = home.open(plan, size=(390, 480))
    tab.touch("[data-key=done]")
    asked = tab.until("document.querySelector('dialog h2')?.innerText")
    assert "16" in asked
    assert "before the plan?" in asked
    tab.until("document.querySelector('dialog [data-way], dialog [data-key=early-yes]')")
    assert tab.until(f"({TOP_OF_SHEET}) || null") == "at its top", "however much is below, the way out stands in sight"
    tab.touch("dialog [data-key=not-yet]")
    tab.until("!document.querySelector('dialog')")
    assert steps(tab, plan) == []
    assert tab.js(TITLE) == "Mix the dough"


def test_a_sauce_said_hours_early_is_asked_about_too_though_no_dough_waits_for_it(home: Home) -> None:
    """By the plan at two minutes to six; said by a slip of the finger when the dough is pressed at one."""
    plan = plan_at(at(13))
    load = next(one for one in plan.steps if one.kind == "load")
    sauce = replace(SAUCE, start=load.start - 57 * 60, end=load.start - 52 * 60)
    plan = home.bake(at(13), "mix", "press", steps=(*plan.steps, sauce))
    tab = home.open(plan)
    tab.until(f"{TITLE} === 'Make the sauce'")
    tab.touch("[data-key=done]")
    assert "before the plan?" in tab.until("document.querySelector('dialog h2')?.innerText")
    assert not tab.js("document.querySelector('dialog [data-way]')"), "no way of the dough is offered for it"
    tab.touch("dialog [data-key=not-yet]")
    tab.until("!document.querySelector('dialog')")
    assert "sauce" not in steps(tab, plan)
    tab.touch("[data-key=done]")
    tab.until("document.querySelector('dialog [data-key=early-yes]')")
    tab.until("!document.querySelector('dialog [aria-disabled]')")
    tab.touch("dialog [data-key=early-yes]")
    tab.until(f"{TITLE} !== 'Make the sauce'")
    assert "sauce" in steps(tab, plan)


def test_who_goes_out_after_mixing_leaves_the_folds_out_in_one_tap_and_takes_that_back_in_one(home: Home) -> None:
    plan = plan_at(at(7, 40))
    mix, *others = plan.steps
    folds = [
        replace(mix, step_id=f"fold-{n}", kind="fold", title="Fold the dough", start=mix.end + n * 1800,
                end=mix.end + n * 1800 + 300, wait_least_s=900, wait_most_s=2700, alarm_min=0)
        for n in (1, 2)
    ]  # fmt: skip
    plan = home.bake(at(7, 40), "mix", steps=(mix, *folds, *others))
    tab = home.open(plan, NO_WORKER)
    tab.until(f"{TITLE} === 'Fold the dough'")
    tab.send("Network.enable")  # on the way out of the house, with no connection
    tab.send("Network.emulateNetworkConditions", offline=True, latency=0, downloadThroughput=0, uploadThroughput=0)
    tab.touch("[data-key=leave-out]")
    tab.until(f"{TITLE} !== 'Fold the dough'")
    assert tab.until("document.querySelector('.undo-bar span')?.innerText").startswith("Left out: Fold the dough")
    assert [row["data"]["step_id"] for row in journal(tab, plan, "left-out")] == ["fold-1", "fold-2"]
    tab.until("!document.querySelector('[aria-disabled]')")
    tab.touch(".undo-bar [data-key^=take-back]")
    tab.until(f"{TITLE} === 'Fold the dough'")
    tab.until("[...document.querySelectorAll('.next__what')].some((one) => one.innerText.includes('Fold the dough'))")


@pytest.mark.parametrize("way", ["fridge", "as-planned"])
def test_a_yes_takes_one_of_the_ways_and_the_screen_goes_by_it(home: Home, way: str) -> None:
    """The bench is no place for that dough until supper: the fridge keeps the supper, going on bakes in the night."""
    plan = home.bake(at(7, 16) - 16 * HOUR_S)
    tab = home.open(plan)
    tab.touch("[data-key=done]")
    tab.until("document.querySelector('dialog [data-way]')")
    tab.until("!document.querySelector('dialog [aria-disabled]')")
    tab.touch(f"dialog [data-way={way}]")
    tab.until("!document.querySelector('dialog')")
    tab.until(f"{TITLE} !== 'Mix the dough'")
    assert steps(tab, plan) == ["mix"]
    taken = journal(tab, plan, "way")[-1]["data"]
    kept = taken["supper"] == plan.supper
    assert (taken["way"], taken["asked"], kept) == (way, True, way == "fridge")
    line = tab.until("document.querySelector('.standing__line, .standing .notice')?.innerText")
    assert re.search(r"on time|as agreed", line)


def test_what_is_ready_hours_before_supper_is_not_called_on_time(home: Home) -> None:
    """As told by a phone of before, which asked nothing."""
    plan = home.bake(at(7, 30) - 16 * HOUR_S)
    mixed = {"event_id": "a" * 32, "bake_id": plan.bake_id, "at": plan.made_at, "logged_at": plan.made_at,
             "phone": "another", "kind": "done", "data": {"step_id": "mix"}}  # fmt: skip
    mixed["at"] = mixed["logged_at"] = int(time.time())
    home.server.store().add_events(home.kitchen_id, plan.bake_id, [mixed], int(time.time()))
    tab = home.open(plan)
    assert "before supper" in tab.until("document.querySelector('.standing .notice')?.innerText")


def test_an_oven_lit_hours_early_is_to_be_turned_off_again(home: Home) -> None:
    plan = home.bake(at(7, 30) - HOUR_S, "mix", "press")
    tab = home.open(plan)
    tab.until(f"{TITLE} === 'Light the oven'")
    tab.touch("[data-key=done]")
    assert "turn it off again until then" in tab.until("document.querySelector('dialog p')?.innerText")
    assert tab.js("document.querySelector('dialog [data-key=not-yet]').innerText") == "No: turn it off again"
    tab.touch("dialog [data-key=not-yet]")
    tab.until("!document.querySelector('dialog')")
    assert steps(tab, plan) == ["mix", "press"]


def test_an_hour_or_so_early_is_nobody_s_business(home: Home) -> None:
    plan = home.bake(at(15, 30), "mix")
    tab = home.open(plan)
    tab.touch("[data-key=done]")
    tab.until(f"{TITLE} === 'Light the oven'")
    assert steps(tab, plan) == ["mix", "press"]


@pytest.mark.parametrize("key", ["late", "when"])
def test_a_sheet_about_a_step_closes_when_another_phone_has_said_it(home: Home, key: str) -> None:
    plan = home.bake(at(16, 50), "mix")
    tab = home.open(plan)
    tab.touch(f"[data-key={key}]")
    tab.until("document.querySelector('dialog')?.innerText.includes('Press into the oiled tray')")
    now = int(time.time())
    pressed = {"event_id": "a" * 32, "bake_id": plan.bake_id, "at": now, "logged_at": now,
               "phone": "another", "kind": "done", "data": {"step_id": "press"}}  # fmt: skip
    home.server.store().add_events(home.kitchen_id, plan.bake_id, [pressed], now)
    tab.js("dispatchEvent(new Event('online'))")
    told = "document.querySelector('.told')?.innerText"
    assert tab.until(told).startswith("Pressed out: said elsewhere, ")
    tab.until(f"{TITLE} === 'Light the oven'")
    assert not tab.js("document.querySelector('dialog')")
    assert [one["event_id"] for one in journal(tab, plan, "done")][-1:] == ["a" * 32]
    assert journal(tab, plan, "later") == []


@pytest.mark.parametrize("key", ["over", "helps-press"])
def test_a_sheet_that_the_mixing_asked_for_closes_when_another_phone_has_mixed(home: Home, key: str) -> None:
    """What helps, before anything is mixed, and what went in too much: both are over with the mixing."""
    plan = home.bake(at(14) if key == "helps-press" else at(7, 16))
    tab = home.open(plan)
    tab.until(f"document.querySelector('[data-key={key}]')")
    tab.touch(f"[data-key={key}]")
    tab.until("document.querySelector('dialog')")
    now = int(time.time())
    mixed = {"event_id": "b" * 32, "bake_id": plan.bake_id, "at": now, "logged_at": now,
             "phone": "another", "kind": "done", "data": {"step_id": "mix"}}  # fmt: skip
    home.server.store().add_events(home.kitchen_id, plan.bake_id, [mixed], now)
    tab.js("dispatchEvent(new Event('online'))")
    tab.until("document.querySelector('.told')?.innerText.startsWith('Mixed: said elsewhere')")
    assert not tab.js("Boolean(document.querySelector('dialog'))")
    tab.until("document.querySelector('#said').innerText.includes('said elsewhere')")


def test_the_sheet_of_yeasts_closes_when_another_phone_has_mixed_and_says_why_for_a_while(home: Home) -> None:
    fresh = fresh_plan()
    yeasts = {"lines": fresh.lines, "yeast_kind": fresh.yeast_kind, "other_yeasts": fresh.other_yeasts}
    plan = home.bake(at(7, 16), **yeasts, dough_g=fresh.dough_g)
    tab = home.open(plan)
    tab.until("document.querySelector('[data-key=yeast]')")
    tab.touch("[data-key=yeast]")
    assert tab.until("document.querySelector('dialog h2')?.innerText") == "Which yeast is it?"
    say_elsewhere(home, plan, "mix")
    tab.js("dispatchEvent(new Event('online'))")
    tab.until("document.querySelector('.told')?.innerText.startsWith('Mixed: said elsewhere')")
    assert not tab.js("Boolean(document.querySelector('dialog'))")
    assert journal(tab, plan, "yeast") == []
    # It lies over buttons, and a tap goes through it.
    through = """(() => { const { x, y, width, height } = document.querySelector('.told').getBoundingClientRect();
      return Boolean(document.elementFromPoint(x + width / 2, y + height / 2)?.closest('.told')); })()"""
    assert tab.js(through) is False
    tab.until("!document.querySelector('.told')")


def say_elsewhere(home: Home, plan: Plan, step_id: str) -> None:
    """On another phone of the kitchen, just now."""
    now = int(time.time())
    said = {"event_id": secrets.token_hex(16), "bake_id": plan.bake_id, "at": now, "logged_at": now,
            "phone": "another", "kind": "done", "data": {"step_id": step_id}}  # fmt: skip
    home.server.store().add_events(home.kitchen_id, plan.bake_id, [said], now)


def test_what_another_phone_pours_while_the_scale_shows_too_much_is_seen_before_anything_is_taken(home: Home) -> None:
    """Salt: 20 g where 9 g is asked for. Then another phone says 594 g of water, 1.997 times the 297.5 g of the plan:
    of its 9.35 g of salt (2.2 % of 425 g) 18.7 are due now, 19 on the scale, so that 11 g are to be spooned off, as the
    screen had it, is no answer any more.
    """
    plan = home.bake(at(7, 16))
    tab = home.open(plan)
    tab.touch("[data-key=over]")
    tab.until("document.querySelector('dialog .answers button')")
    tab.touch("dialog .answers [data-key*=alt]")
    tab.until("document.querySelector('dialog input')")
    tab.js("document.querySelector('dialog input').value = 20")
    tab.touch("dialog [type=submit]")
    off = tab.until("document.querySelector('dialog [data-key=over-0]')?.innerText")
    now = int(time.time())
    poured = {"event_id": "c" * 32, "bake_id": plan.bake_id, "at": now, "logged_at": now, "phone": "another",
              "kind": "poured", "data": {"line": "dough/water", "grams": 594}}  # fmt: skip
    home.server.store().add_events(home.kitchen_id, plan.bake_id, [poured], now)
    tab.js("dispatchEvent(new Event('online'))")
    now_off = f"[document.querySelector('dialog [data-key=over-0]')?.innerText].find((it) => it && it !== {off!r})"
    assert tab.until(now_off) == "I spoon 1\u00a0g off"
    assert journal(tab, plan, "weighed") == []
