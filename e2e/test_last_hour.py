"""The last hour at phone size, from lighting the oven to eating, with the page's clock driven and no connection.

A real plan of the real planner (10 mm steel, tray pizza with cheese), moved so that its evening is now. Playwright's
clock works in the page, where "due" is worked out from stored instants.
"""

from __future__ import annotations

import json
import re
import secrets
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from types import SimpleNamespace
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from e2e.conftest import Phone
from e2e.cut_off import IN_DATABASE, was_done
from e2e.eyes import look
from e2e.server import PATIENCE_S, Server, shifted
from tests.golden.write import vector
from tests.made_up import made_up
from tests.profiles import crossed
from tests.samples import at, sample_kitchen
from webapp.core.kitchen import Oven, Wish
from webapp.core.now.fridge_clock import perishing_now
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.plan.plan import Plan
from webapp.core.plan.steps import PlanStep
from webapp.data import doughs, toppings
from webapp.planning import full_plan
from webapp.words.spoken import spoken

SHELF = SimpleNamespace(
    formulas={one.key: one for one in doughs.formulas()},
    toppings=toppings.topping_sets(),
    methods=doughs.methods(),
)
STEEL = Oven(slab="steel", slab_mm=10.0, slab_width_cm=40.0, slab_depth_cm=35.0)
PHONE_SIZES = [{"width": 390, "height": 844}, {"width": 320, "height": 640}]


def _evening() -> Plan:
    """The planner's own plan for the sample day, its last hour beginning now."""
    kitchen = replace(sample_kitchen(), oven=STEEL)
    wish = Wish("2026-11-25T19:30", kitchen.pans[:1], "bench-tray", "tomato-cheese", method_key="bench-day")
    plan = full_plan.plans_for(wish, kitchen, at(6, 40), secrets.token_urlsafe(16), SHELF)[0]
    begins = next(step.start for step in plan.steps if step.kind == "sauce")
    return shifted(plan, int(time.time()) - (begins - 120))


@dataclass
class Evening:
    """A phone in the last hour: its plan, its page, and a clock that the test drives."""

    phone: Phone
    plan: Plan

    @property
    def page(self) -> Page:
        return self.phone.page

    @property
    def card(self) -> Locator:
        """The step that fills the screen."""
        return self.page.locator("[data-step]")

    def step(self, kind: str) -> PlanStep:
        return next(step for step in self.plan.steps if step.kind == kind)

    def until(self, instant: int) -> None:
        """The page's clock goes on to this instant; timers ring on the way."""
        ahead = instant * 1000 - self.page.evaluate("Date.now()")
        if ahead > 0:
            self.page.clock.fast_forward(ahead)

    def now(self) -> int:
        return int(self.page.evaluate("Math.floor(Date.now() / 1000)"))

    def comes(self, step: PlanStep) -> None:
        """It is that step's time, and the screen says so without being touched."""
        self.until(step.start + 1)
        expect(self.page.locator(f"[data-step='{step.step_id}'].card--due")).to_be_visible()

    def taps(self) -> int:
        """The big button of the step on the screen; when that was, by what the phone has written down of it."""
        before = len(self.events())
        self.page.locator("[data-key=done]").click()
        until = time.monotonic() + PATIENCE_S
        while len(found := self.events()) == before:  # its clock is not moved on while it writes
            assert time.monotonic() < until, "nothing was written"
            self.page.wait_for_timeout(20)
        return int(max(found, key=lambda event: event["logged_at"])["at"])

    def up_to(self, kind: str, after: str = "") -> None:
        """Everything before the first step of this kind (and after the one named), done when it came."""
        kinds = [step.kind for step in self.coming()]
        first = kinds.index(after) + 1 if after else 0
        for step in self.coming()[first : kinds.index(kind)]:
            self.comes(step)
            self.taps()

    def coming(self) -> list[PlanStep]:
        """What was not done before the evening began, by time."""
        return [step for step in sorted(self.plan.steps, key=lambda s: s.start) if step.kind not in ("mix", "press")]

    def events(self) -> list[dict[str, Any]]:
        """What the phone's own journal holds of this bake."""
        events = self.page.evaluate(f"async () => (await ({IN_DATABASE})('events'))")
        return [event for event in events if event["bake_id"] == self.plan.bake_id]

    def written(self) -> list[str]:
        """Steps that it holds as done, in order."""
        own = [event for event in self.events() if event["kind"] == "done"]
        return [e["data"]["step_id"] for e in sorted(own, key=lambda e: e["at"])]

    def clock(self, instant: int) -> str:
        """ "18:05" on the phone."""
        return str(self.page.evaluate("(at) => new Date(at * 1000).toTimeString().slice(0, 5)", instant))


@pytest.fixture
def evening(shared_server: Server, new_phone: Callable[..., Phone]) -> Evening:
    """Mixed and pressed; packed; then the network goes and the clock is ours."""
    return _begin(shared_server, new_phone(shared_server))


def _begin(server: Server, phone: Phone) -> Evening:
    plan = server.bake(phone.kitchen_id, _evening())
    was_done(server, phone.kitchen_id, plan, tuple(s.step_id for s in plan.steps if s.kind in ("mix", "press")))
    phone.page.clock.install()
    phone.open(plan.bake_id)
    expect(phone.page.locator(".tools")).to_be_visible()
    phone.context.set_offline(True)
    return Evening(phone, spoken(plan))


def test_the_whole_last_hour_goes_by_itself_and_reaches_the_server_afterwards(evening: Evening) -> None:
    steps = evening.coming()
    kinds = [step.kind for step in steps]
    assert kinds == ["sauce", "preheat", "cheese-out", "top", "load", "turn-down", "turn", "check", "lift", "serve"]
    for step in steps:
        evening.comes(step)
        expect(evening.page.locator("#now-title")).to_have_text(step.title)
        assert evening.page.title() == f"Now: {step.title}"
        evening.taps()
    expect(evening.page.get_by_text("All done. Eat.")).to_be_visible()
    assert evening.written() == ["mix", "press", *(step.step_id for step in steps)]
    evening.phone.context.set_offline(False)
    evening.page.evaluate("dispatchEvent(new Event('online'))")
    evening.phone.has_sent(evening.plan.bake_id, *["done"] * (len(steps) + 2))
    done = [e["data"]["step_id"] for e in evening.phone.server.events(evening.phone.kitchen_id, evening.plan.bake_id)]
    assert set(done) == {"mix", "press", *(step.step_id for step in steps)}


def test_the_oven_step_says_dial_shelf_and_slab_and_since_when_it_is_hot(evening: Evening) -> None:
    evening.up_to("preheat")
    preheat = evening.step("preheat")
    evening.comes(preheat)
    oven = evening.card
    expect(oven.locator(".oven__dial")).to_have_text("250 °C")
    expect(oven).to_contain_text("lowest")
    expect(oven).to_contain_text("10 mm steel")
    expect(evening.card).to_contain_text("a hot oven is never left alone")
    lit = evening.taps()
    evening.up_to("load", after="preheat")
    evening.comes(evening.step("load"))
    begun = lit - (preheat.end - preheat.start)  # the dial was turned a minute or so before that was said
    hot = evening.clock(begun + evening.plan.oven.preheat_min * 60)
    expect(evening.card).to_contain_text(f"10 mm steel: should be hot since {hot}")


def test_once_the_tray_is_in_the_oven_row_says_only_what_is_true_of_it_now(evening: Evening) -> None:
    evening.up_to("load")
    evening.comes(evening.step("load"))
    expect(evening.card.locator(".oven__set")).to_contain_text("Inside")
    evening.taps()
    expect(evening.card).to_have_attribute("data-step", "turn-down")
    rows = evening.card.locator(".oven__set")
    expect(rows).to_contain_text("since loading")
    expect(rows).not_to_contain_text("Inside")  # what was heated says nothing of a tray that is on it
    expect(rows).not_to_contain_text("should be hot")
    evening.taps()
    evening.comes(evening.step("turn"))
    evening.taps()
    expect(rows).to_contain_text("lowest")
    evening.comes(evening.step("check"))
    evening.page.get_by_role("button", name="Top dark").click()
    expect(evening.card).to_have_attribute("data-step", "lift")
    expect(rows).not_to_contain_text("Shelf")  # "or move it a shelf lower": nobody has told which it was
    expect(evening.card.locator(".oven__line")).to_have_count(1)  # the look is over, whatever the minute


def test_between_two_loads_the_dial_goes_back_up_and_the_slab_is_hot_again(
    shared_server: Server, new_phone: Callable[..., Phone]
) -> None:
    kitchen = replace(sample_kitchen(), oven=STEEL)
    wish = Wish("2026-11-25T20:45", (replace(kitchen.pans[0], count=2),), "bench-tray", "tomato-cheese")
    made = full_plan.plans_for(wish, kitchen, at(6, 40), secrets.token_urlsafe(16), SHELF)[0]
    phone = new_phone(shared_server)
    first, last = (step for step in spoken(made).steps if step.kind == "lift")
    plan = shared_server.bake(phone.kitchen_id, shifted(made, int(time.time()) - first.start + 40))
    lift = next(step for step in plan.steps if step.step_id == first.step_id)
    before = tuple(step.step_id for step in plan.steps if step.start < lift.start)
    was_done(shared_server, phone.kitchen_id, plan, before)
    phone.page.clock.install()
    phone.open(plan.bake_id)
    evening = Evening(phone, spoken(plan))
    expect(evening.card).to_have_attribute("data-step", first.step_id)
    expect(evening.card.locator(".oven__dial")).to_have_text("220 °C")  # the tray is in: the next one's heat can wait
    evening.until(lift.start + 30)
    expect(evening.card.locator(".oven__dial")).to_have_text("220 °C, then 250 °C")  # out first
    expect(evening.card).to_contain_text("dial back to 250")
    expect(evening.card).not_to_contain_text("Turn the oven off")
    expect(evening.card).not_to_contain_text("longer wait")  # half a minute late is nothing to talk about
    hot = evening.clock(evening.taps() + plan.oven.recovery_min * 60)
    second = [step for step in plan.steps if step.kind == "load"][1]
    for step in sorted(plan.steps, key=lambda one: one.start):
        if lift.start < step.start < second.start:
            evening.comes(step)
            evening.taps()
    evening.comes(second)
    expect(evening.card).to_contain_text(re.compile(f"should be hot again (at|since) {hot}"))
    assert last.text.count("Turn the oven off.") == 1


def test_turn_down_now_cannot_be_missed(evening: Evening) -> None:
    evening.up_to("turn-down")
    evening.comes(evening.step("turn-down"))
    expect(evening.card).to_have_class(re.compile("now--alarm"))
    expect(evening.page.get_by_role("alert")).to_contain_text("It is time")
    expect(evening.card.locator(".oven__dial")).to_have_text("220 °C")
    title = evening.page.locator("#now-title")
    assert title.evaluate("(e) => parseFloat(getComputedStyle(e).fontSize)") >= 32
    top, bottom = title.evaluate("(e) => [e.getBoundingClientRect().top, e.getBoundingClientRect().bottom]")
    assert 0 <= top < bottom < 844 / 2  # on the glass, though the button that brought it stood far below
    dial = evening.card.locator(".oven__dial").bounding_box()
    assert dial
    assert 0 <= dial["y"] < 844 * 0.6
    lines = evening.card.locator(".oven__line")
    expect(lines.first).to_contain_text("Dial to 220 °C")  # still to be done, however late
    expect(lines).to_have_count(4)  # what is over does not stand in the way of the button
    evening.taps()
    expect(evening.page.locator(".now--alarm")).to_have_count(0)


def test_minutes_in_the_oven_count_from_the_true_loading(evening: Evening) -> None:
    evening.up_to("load")
    load = evening.step("load")
    evening.until(load.start + 4 * 60)
    evening.taps()
    evening.until(load.start + 5 * 60 + 10)
    expect(evening.page.locator("[data-step='turn-down'].card--due")).to_be_visible()
    evening.taps()
    turn, lift = evening.step("turn"), evening.step("lift")
    evening.until(turn.start + 5 * 60)
    expect(evening.card).to_have_attribute("data-step", turn.step_id)
    expect(evening.card.locator(".oven__minute")).to_have_text(re.compile(r"^\d+ since loading$"))
    expect(evening.card.locator(".oven__line").last).not_to_contain_text(evening.clock(lift.start))


def test_a_loaded_tap_by_mistake_is_taken_back_and_the_oven_waits_again(evening: Evening) -> None:
    evening.up_to("load")
    evening.comes(evening.step("load"))
    evening.taps()
    expect(evening.card).to_have_attribute("data-step", "turn-down")
    evening.page.get_by_role("button", name=re.compile("^Take back: It’s in the oven")).click()
    expect(evening.card).to_have_attribute("data-step", evening.step("load").step_id)
    expect(evening.page.locator(".oven__minute")).to_have_count(0)
    assert evening.written()[-1] == evening.step("load").step_id  # the journal keeps both: a tap and its taking back
    evening.until(evening.now() + 6 * 60)
    loaded = evening.taps()
    expect(evening.card).to_have_attribute("data-step", "turn-down")
    evening.until(loaded + 2 * 60)
    expect(evening.card.locator(".oven__minute")).to_have_text(re.compile("^2 since loading"))


def test_with_the_dial_never_ticked_what_has_to_come_out_leads_and_the_dial_can_still_be_said(evening: Evening) -> None:
    evening.up_to("turn-down")
    lift, dial = evening.step("lift"), evening.step("turn-down")
    evening.until(lift.start + 90)
    expect(evening.card).to_have_attribute("data-step", lift.step_id)
    expect(evening.page.locator("#now-title")).to_have_text(lift.title)
    assert evening.page.title() == f"Now: {lift.title}"
    expect(evening.page.locator("[data-key=done]")).to_have_text("It’s out")
    expect(evening.page.locator(".alarm")).to_contain_text(lift.title)
    evening.page.get_by_role("button", name=f"Turned down: {dial.title}").click()
    expect(evening.card).to_have_attribute("data-step", lift.step_id)
    evening.taps()
    expect(evening.card).to_have_attribute("data-step", evening.step("serve").step_id)
    assert {"turn-down", "lift"} <= set(evening.written())


def test_a_tray_that_is_due_out_is_turned_round_no_more(evening: Evening) -> None:
    """The door stays shut until it is lifted (common practice): the base can still be looked at."""
    evening.up_to("turn")
    evening.until(evening.step("lift").start + 1)
    expect(evening.card).to_have_attribute("data-step", evening.step("lift").step_id)
    expect(evening.page.locator(f"[data-key=done-too-{evening.step('check').step_id}]")).to_be_visible()
    expect(evening.page.locator(f"[data-key=done-too-{evening.step('turn').step_id}]")).to_have_count(0)


def test_loaded_earlier_than_tapped_is_set_right(evening: Evening) -> None:
    evening.up_to("load")
    evening.until(evening.step("load").start + 6 * 60)
    evening.page.get_by_role("button", name="I did it earlier").click()
    evening.page.get_by_role("button", name="5 min ago").click()
    expect(evening.card.locator(".oven__minute")).to_have_text(re.compile("^5 since loading"))
    expect(evening.card).to_have_class(re.compile("now--alarm"))


def test_the_screen_killed_in_mid_bake_comes_back_where_it_was(evening: Evening) -> None:
    evening.up_to("check")
    loaded = evening.step("load").start
    minute = (evening.now() - loaded) // 60
    expect(evening.card).to_have_attribute("data-step", "check")  # what the screen has shown is kept
    evening.phone.reload()
    expect(evening.card).to_have_attribute("data-step", "check")
    shown = int(re.findall(r"\d+", evening.card.locator(".oven__minute").inner_text())[0])
    assert abs(shown - minute) <= 1


def test_cheese_out_of_the_fridge_is_counted_however_the_plan_moves(evening: Evening) -> None:
    evening.up_to("cheese-out")
    expect(evening.page.locator("[data-fridge-clock]")).not_to_contain_text("mozzarella")
    step = evening.step("cheese-out")
    evening.comes(step)
    out = evening.taps() - (step.end - step.start)  # counted from the first hand on it, the safe side
    clock = evening.page.locator("[data-fridge-clock] p", has_text="mozzarella")
    expect(clock).to_contain_text(f"into the oven by {evening.clock(out + 7200)}")
    evening.page.get_by_role("button", name="Running late").click()
    evening.page.get_by_role("button", name="2 h later").click()
    evening.page.locator("dialog [data-key=way-as-planned]").click()
    expect(clock).to_contain_text("back into the fridge with it now")
    evening.until(out + 7200 + 120)
    expect(clock).to_contain_text("throw it away and take fresh")


def test_whether_the_oven_is_hot_is_asked_and_the_tray_waits_five_minutes_if_not(evening: Evening) -> None:
    evening.up_to("load")
    evening.comes(evening.step("load"))
    expect(evening.card).to_contain_text("Is it hot?")
    evening.page.locator("[data-key=not-hot]").click()
    expect(evening.page.locator("[data-key=not-hot]")).to_have_count(0)
    evening.until(evening.now() + 240)
    expect(evening.page.locator(".card--due")).to_have_count(0)
    evening.until(evening.now() + 61)
    expect(evening.page.locator(".card--due[data-step=load]")).to_be_visible()


def _asked(evening: Evening, seen: str) -> None:
    evening.page.locator(f"[data-key=baking-{seen}]").click()


def test_in_front_of_the_oven_a_tray_gets_minutes_and_never_a_quarter_of_an_hour(evening: Evening) -> None:
    evening.up_to("check")
    lift, loaded = evening.step("lift"), evening.step("load").start
    evening.comes(evening.step("check"))
    expect(evening.page.get_by_role("button", name="Running late")).to_have_count(0)
    _asked(evening, "more")  # at the look at the base an answer is the look
    expect(evening.card).to_have_attribute("data-step", lift.step_id)
    expect(evening.card).to_contain_text("Two minutes more")
    evening.until(lift.start + 30)
    expect(evening.page.locator(".card--due")).to_have_count(0)
    evening.until(lift.start + 150)
    expect(evening.page.locator(".card--due")).to_be_visible()
    _asked(evening, "base-pale")
    expect(evening.card).to_contain_text("as low as it goes")
    expect(evening.page.get_by_role("button", name=re.compile("^Take back: In the oven: base pale"))).to_be_visible()
    assert look(evening.page) == {}
    evening.until(loaded + 60 * (evening.plan.oven.bake_high_min * 4 // 3 + 2))
    expect(evening.page.locator("[data-take-out]")).to_contain_text("Take it out now.")
    expect(evening.page.locator("[data-take-out]")).to_contain_text("can burn")
    expect(evening.page.locator("[data-key^=baking-]")).to_have_count(0)
    assert look(evening.page) == {}


def _other_phone_took_a_way(evening: Evening) -> None:
    """By itself, after a reading; it came only now."""
    load = evening.step("load").start
    way = {"way": "on-time", "press": 0, "load": load, "supper": evening.plan.supper, "moves": [], "proof": "",
           "result": "best", "asked": False, "given_up": 0}  # fmt: skip
    said = {"event_id": "e" * 32, "bake_id": evening.plan.bake_id, "at": load, "logged_at": evening.now(),
            "phone": "other", "kind": "way", "data": way}  # fmt: skip
    evening.phone.server.store().add_events(evening.phone.kitchen_id, evening.plan.bake_id, [said], int(time.time()))
    evening.phone.context.set_offline(False)
    evening.page.evaluate("dispatchEvent(new Event('online'))")


def test_what_helps_in_front_of_the_oven_takes_one_answer_and_closes(evening: Evening) -> None:
    evening.up_to("check")
    lift = evening.step("lift")
    evening.comes(evening.step("check"))
    evening.taps()
    sheet = evening.page.locator("dialog.sheet")
    evening.until(lift.start + 1)
    _other_phone_took_a_way(evening)
    evening.page.get_by_role("button", name="Other ways").click()
    expect(sheet).to_contain_text("Heat does not wait")
    sheet.locator("[data-key=baking-more]").click()
    expect(sheet).to_have_count(0)
    expect(evening.card).to_contain_text("Two minutes more")
    assert [one["data"]["seen"] for one in evening.events() if one["kind"] == "baking"] == ["more"]


def test_from_three_minutes_on_it_is_asked_how_it_looks_and_under_foil_the_middle_bakes_on(evening: Evening) -> None:
    """A top dark in the fourth minute: a middle is not done before the low edge of the band (common practice: foil)."""
    evening.up_to("turn")
    loaded = evening.step("load").start
    evening.until(loaded + 4 * 60)
    expect(evening.card).to_have_attribute("data-step", evening.step("turn").step_id)
    expect(evening.card).to_contain_text("How does it look?")
    _asked(evening, "top-dark")
    expect(evening.card).to_contain_text("foil")
    told = re.search(r"out at (\d+):(\d+)", evening.card.inner_text())
    assert told
    low = datetime.fromtimestamp(loaded + 60 * evening.plan.oven.bake_low_min, ZoneInfo(evening.plan.zone))
    later = int(told[1]) * 60 + int(told[2]) - low.hour * 60 - low.minute
    assert later % 1440 <= 2, "it was said to be loaded a little later than planned"


def test_a_dark_top_leaves_two_minutes(evening: Evening) -> None:
    evening.up_to("check")
    check = evening.step("check")
    evening.comes(check)
    _asked(evening, "top-dark")
    expect(evening.card).to_have_attribute("data-step", evening.step("lift").step_id)
    expect(evening.card).to_contain_text("foil")
    evening.until(evening.now() + 125)
    expect(evening.page.locator(".card--due")).to_be_visible()


@pytest.mark.parametrize(("size", "scheme"), crossed(PHONE_SIZES, ("light", "dark")))
def test_every_screen_of_the_hour_can_be_read_and_tapped_with_mitts_on(
    shared_server: Server, new_phone: Callable[..., Phone], size: dict[str, int], scheme: str
) -> None:
    evening = _begin(shared_server, new_phone(shared_server, viewport=size, color_scheme=scheme))
    for step in evening.coming():
        evening.comes(step)
        assert look(evening.page) == {}, step.kind
        button = evening.page.locator("[data-key=done]").bounding_box()
        assert button
        assert button["height"] >= 60
        evening.taps()


COMPARE = """async (text) => {
  const { perishingNow } = await import("/static/js/now/fridge_clock.js");
  return JSON.stringify(JSON.parse(text).map((one) => perishingNow(one.plan, one.retimed, one.state, one.now)));
}"""


def test_the_fridge_clock_counts_the_same_in_both_languages(browser: Browser, shared_server: Server) -> None:
    context = browser.new_context()
    page = context.new_page()
    page.goto(f"{shared_server.url}/health")
    for first in range(0, 60, 30):
        vectors = [vector(n) for n in range(first, first + 30)]
        shown = json.loads(page.evaluate(COMPARE, json.dumps(vectors)))
        for n, rows in enumerate(shown, first):
            plan, events, now = made_up(n)
            state = fold(plan, events)
            ours = perishing_now(plan, retime(plan, state, now), state, now)
            assert [{"load": 0, **row} for row in rows] == [
                {"key": p.key, "name": p.name, "out_at": p.out_at, "until": p.until, "seconds": p.out.seconds,
                 "limit_s": p.out.limit_s, "use_by": p.out.use_by, "over": p.out.over, "had_s": p.had_s, "load": p.load,
                 **({"on_tray": True} if p.on_tray else {})} for p in ours
            ], n  # fmt: skip
    context.close()


PAGES = ("/settings/oven", "/larder/toppings", "/larder/toppings/new?from=tomato-cheese", "/bakes/{}/outcome")


@pytest.mark.parametrize(("width", "scheme"), crossed((320, 390, 1280), ("dark", "light")))
def test_the_pages_of_oven_toppings_and_causes_can_be_read_and_tapped(
    shared_server: Server, new_phone: Callable[..., Phone], width: int, scheme: str
) -> None:
    phone = new_phone(shared_server, viewport={"width": width, "height": 800}, color_scheme=scheme)
    plan = shared_server.bake(phone.kitchen_id, _evening())
    said = {"event_id": secrets.token_hex(16), "bake_id": plan.bake_id, "at": plan.supper, "logged_at": plan.supper,
            "phone": "another", "kind": "outcome", "data": {"base": "pale-base stuck", "crumb": "dense"}}  # fmt: skip
    shared_server.store().add_events(phone.kitchen_id, plan.bake_id, [said], int(time.time()))
    for path in PAGES:
        phone.page.goto(phone.server.url + path.format(plan.bake_id))
        phone.page.evaluate("document.querySelectorAll('details').forEach((one) => (one.open = true))")
        assert look(phone.page) == {}, path
