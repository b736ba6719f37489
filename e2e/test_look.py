"""Every page on a real screen: a small phone, a desk, by day and by night, on paper; the chart in both languages."""

from __future__ import annotations

import json
import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from e2e.browsers import WHOLE
from e2e.conftest import Phone
from e2e.eyes import look, paper_pages, too_faint
from e2e.server import Server, plan_at
from tests.made_up import made_up
from tests.samples import at, sample_kitchen, sample_plan
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.plan.plan import Plan
from webapp.pictures.chart import chart
from webapp.pictures.reading import waiting
from webapp.pictures.shapes import SIZES
from webapp.pictures.svg import describe, draw, readout, rows, waits
from webapp.records import to_plain
from webapp.web import filters
from webapp.words.screen.bundle import phone_words

SMALLEST = {"width": 320, "height": 640}
DESK = {"width": 1280, "height": 800}
PAGES = ("/", "/plan", "/change/when", "/change/pan", "/change/who", "/bakes/{}", "/bakes/{}?offers", "/bakes/{}/print",
         "/week", "/book", "/book/{}", "/larder", "/settings", "/reminders", "/join", "/kitchen#{}")  # fmt: skip

# Fields, everything unfolded, that are over a line higher than what stands in them, one below the other.
EMPTY_ROOM = """() => {
  for (const one of document.querySelectorAll("main details")) { one.open = true; }
  const shown = (one) => one.getClientRects().length > 0 && getComputedStyle(one).position !== "absolute";
  const apart = (one, side) => parseFloat(getComputedStyle(one)[side]);
  const high = (one) => one.offsetHeight + apart(one, "marginTop") + apart(one, "marginBottom");
  return [...document.querySelectorAll("main .field")].filter(shown).filter((one) => {
    const filled = [...one.children].filter(shown).reduce((sum, part) => sum + high(part), 0);
    return one.offsetHeight > filled + 28;
  }).map((one) => one.textContent.trim().slice(0, 40));
}"""

Baked = tuple[Phone, Plan]


@pytest.fixture
def baked(shared_server: Server, new_phone: Callable[..., Phone]) -> Callable[..., Baked]:
    """A phone with a picked bake, as if it were `moment` in it now; `options` go to the browser context."""

    def make(moment: int = at(12), **options: object) -> Baked:
        phone = new_phone(shared_server, **options)
        plan = shared_server.bake(phone.kitchen_id, plan_at(moment, bake_id=secrets.token_urlsafe(16)))
        return phone, plan

    return make


def opened(baked: Baked, path: str) -> Page:
    phone, plan = baked
    phone.page.goto(phone.server.url + path.format(plan.bake_id))
    if path.startswith("/kitchen"):
        expect(phone.page.locator("[data-step]")).to_be_visible()
        expect(phone.page.locator(WHOLE)).to_be_attached()
    return phone.page


def seen(baked: Baked, see: Callable[[Page], Any]) -> dict[str, Any]:
    """What `see` finds wrong, page by page."""
    found = {}
    for path in PAGES:
        page = opened(baked, path)
        page.evaluate("document.querySelectorAll('details').forEach((one) => (one.open = true))")
        found[path] = see(page)
    return {path: wrong for path, wrong in found.items() if wrong}


def test_on_the_smallest_phone_everything_can_be_read_and_tapped(baked: Callable[..., Baked]) -> None:
    assert seen(baked(viewport=SMALLEST), look) == {}


def test_at_night_everything_can_be_read(baked: Callable[..., Baked]) -> None:
    assert seen(baked(color_scheme="dark"), too_faint) == {}


def test_on_a_desk_nothing_is_small_or_sticks_out(baked: Callable[..., Baked]) -> None:
    assert seen(baked(viewport=DESK), look) == {}


def test_no_field_of_a_form_has_room_that_nothing_fills(baked: Callable[..., Baked]) -> None:
    phone = baked()[0]
    for path in ("/settings", "/plan", "/larder/new"):
        phone.page.goto(phone.server.url + path)
        assert phone.page.evaluate(EMPTY_ROOM) == [], path


def test_the_eyes_notice_what_is_wrong(new_phone: Callable[..., Phone], shared_server: Server) -> None:
    """The measuring itself: a page made wrong in each way is told on in each way."""
    page = new_phone(shared_server, viewport=SMALLEST).page
    page.set_content(
        "<style>body{margin:0;background:#fff}</style><p style='font-size:12px'>tiny</p><button>b</button>"
        "<p style='color:#bbb;font-size:20px'>faint</p><div style='width:400px;height:9px;background:red'>x</div>"
    )
    found = look(page)
    assert set(found) == {"small", "thin", "faint", "sideways"}
    assert any("tiny" in one for one in found["small"])
    assert any("faint" in one for one in found["faint"])


def test_the_current_action_is_read_at_arms_length(baked: Callable[..., Baked]) -> None:
    page = opened(baked(), "/bakes/{}")
    size = page.locator(".next-up .big").evaluate("(node) => parseFloat(getComputedStyle(node).fontSize)")
    assert size >= 32
    grams = page.locator(".weigh__g").first.evaluate("(node) => parseFloat(getComputedStyle(node).fontSize)")
    assert grams >= 32


def test_red_is_for_what_is_due_now(baked: Callable[..., Baked]) -> None:
    """In the quiet of the day nothing on the page is red but the now line of the chart; a due step is."""
    quiet = opened(baked(at(7, 5)), "/bakes/{}")
    expect(quiet.locator(".next-up")).to_be_visible()
    expect(quiet.locator(".card--due, .button--due, .step-row--now")).to_have_count(0)
    due = opened(baked(at(7, 20)), "/bakes/{}")
    expect(due.locator(".card--due")).to_have_count(1)
    expect(due.locator(".step-row--now")).to_have_count(1)


def test_who_wants_no_motion_gets_none(baked: Callable[..., Baked]) -> None:
    page = opened(baked(at(19, 2), reduced_motion="reduce"), "/kitchen#{}")
    assert page.evaluate("document.getAnimations().length") == 0


@pytest.mark.parametrize("sheet", ["A4", "Letter"])
def test_the_fridge_door_takes_one_page(baked: Callable[..., Baked], sheet: str) -> None:
    page = opened(baked(), "/bakes/{}/print")
    pdf = page.pdf(format=sheet, print_background=True)
    assert paper_pages(pdf) == 1


def test_a_full_plan_still_takes_one_page(baked: Callable[..., Baked]) -> None:
    phone, plan = baked()
    steps = [replace(step, text=(step.text * 4)[:170]) for step in plan.steps]
    more = [
        replace(step, step_id=f"{step.step_id}-again", chain=False, anchor="load", kind="turn") for step in steps[2:8]
    ]
    full = replace(plan, steps=tuple(sorted([*steps, *more], key=lambda s: s.start)), cautions=plan.cautions * 5,
                   revision=2)  # fmt: skip
    phone.server.bake(phone.kitchen_id, full)
    page = opened((phone, full), "/bakes/{}/print")
    expect(page.locator(".sheet__steps tr:not(.sheet__day)")).to_have_count(len(full.steps))
    for sheet in ("A4", "Letter"):
        assert paper_pages(page.pdf(format=sheet, print_background=True)) == 1


def test_paper_is_counted_right(new_phone: Callable[..., Phone], shared_server: Server) -> None:
    page = new_phone(shared_server).page
    page.set_content("<p style='break-after:page'>one</p><p style='break-after:page'>two</p><p>three</p>")
    assert paper_pages(page.pdf(format="A4")) == 3


def test_arrow_keys_read_off_the_rise(baked: Callable[..., Baked]) -> None:
    page = opened(baked(at(12)), "/bakes/{}")
    view = page.locator(".tide-view.only-narrow")
    view.focus()
    said = page.locator(".tide-readout")
    page.keyboard.press("End")
    expect(said).to_contain_text("dough at")
    last = said.text_content()
    page.keyboard.press("ArrowLeft")
    expect(said).not_to_have_text(last or "")
    expect(page.locator(".tide__probe")).to_have_count(1)
    page.keyboard.press("Tab")
    expect(said).to_have_text("")


def test_a_finger_reads_off_the_rise(baked: Callable[..., Baked]) -> None:
    page = opened(baked(at(12)), "/bakes/{}")
    page.locator(".tide-view.only-narrow svg").scroll_into_view_if_needed()
    box = page.locator(".tide-view.only-narrow svg").bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + box["width"] * 0.5, box["y"] + box["height"] * 0.4)
    expect(page.locator(".tide-readout")).to_contain_text("×")


def test_the_table_says_the_same_as_the_picture(baked: Callable[..., Baked]) -> None:
    page = opened(baked(at(12)), "/bakes/{}")
    page.locator(".tide-figure summary").click()
    expect(page.locator(".tide-figure tbody tr")).to_have_count(len(sample_plan().steps))


def test_the_bake_packs_itself_for_the_kitchen(baked: Callable[..., Baked]) -> None:
    phone, plan = baked(at(12))
    page = opened((phone, plan), "/bakes/{}")
    expect(page.locator("[data-pack-words]")).to_contain_text("Packed for the kitchen")
    kept = page.evaluate(
        """(id) => new Promise((resolve) => {
          const ask = indexedDB.open("suppertide");
          ask.onsuccess = () => {
            const get = ask.result.transaction("bundles").objectStore("bundles").get(id);
            get.onsuccess = () => resolve(get.result?.plan.title ?? null);
          };
        })""",
        plan.bake_id,
    )
    assert kept == plan.title
    assert page.evaluate("caches.match('/kitchen').then(Boolean)")


def test_a_slider_moves_the_days(new_phone: Callable[..., Phone], shared_server: Server) -> None:
    page = new_phone(shared_server).page
    page.goto(f"{shared_server.url}/plan")
    page.locator("summary", has_text="Another day").click()
    page.get_by_label("Another day").fill(f"{datetime.now(UTC) + timedelta(days=1):%Y-%m-%d}")
    page.get_by_label("Supper at").fill("19:30")
    page.get_by_role("button", name="Fit the dough into my day").click()
    first = page.locator("#offers .offer__yeast").first
    before = first.text_content() or ""
    page.get_by_role("heading", name="What if?").click()
    warm = page.get_by_label("How warm the kitchen is at supper")
    warm.focus()
    page.keyboard.press("End")
    expect(page.locator("#lever-room-at")).to_have_text("32 °C")
    expect(first).not_to_have_text(before)
    expect(page.locator("#offers button").first).to_be_enabled()


DRAW = """async (text) => {
  const { plan, retimed, kitchen, words, now, size, until } = JSON.parse(text);
  const { phraseOf } = await import("/static/js/lib/labels.js");
  const { localFor } = await import("/static/js/pictures/figure.js");
  const { describe, draw, readout, rows, waits } = await import("/static/js/pictures/svg.js");
  const { chart } = await import("/static/js/pictures/chart.js");
  const { SIZES } = await import("/static/js/pictures/shapes.js");
  const phrase = (key, figures) => phraseOf(words.phrases, key, figures);
  const local = localFor(plan.zone, kitchen, { words, phrase });
  const shapes = chart(plan, retimed, local, SIZES[size], now, until);
  return {
    picture: draw(shapes, "t", phrase("chart title", { title: plan.title }), describe(plan, retimed, local), local),
    readout: JSON.parse(readout(shapes, local, kitchen.heat_unit)),
    rows: rows(plan, retimed, local),
    waits: waits(plan, retimed, local, until),
  };
}"""


def _both(page: Page, plan: Plan, retimed: Any, now: int, size: str, style: str, until: int) -> tuple[Any, Any]:
    kitchen = replace(sample_kitchen(), clock=style)
    plain = {
        "plan": to_plain(plan),
        "retimed": to_plain(retimed),
        "kitchen": to_plain(kitchen),
        "words": phone_words(),
        "now": now,
        "size": size,
        "until": until,
    }
    local = filters.local(plan.zone, style)
    shapes = chart(plan, retimed, local, SIZES[size], now, until)
    mine = {
        "picture": draw(shapes, "t", f"The day of {plan.title}", describe(plan, retimed, local)),
        "readout": json.loads(readout(shapes, local)),
        "rows": [list(line) for line in rows(plan, retimed, local)],
        "waits": waits(plan, retimed, local, until),
    }
    return page.evaluate(DRAW, json.dumps(plain)), mine


def test_phone_and_server_draw_the_same_picture(new_phone: Callable[..., Phone], shared_server: Server) -> None:
    """Letter for letter: the sample, and made-up bakes at every hour, in three sizes and both clocks."""
    page = new_phone(shared_server).page
    page.goto(f"{shared_server.url}/health")
    for n in range(30):
        plan, events, now = made_up(n) if n else (sample_plan(), [], at(12))
        retimed = retime(plan, fold(plan, events), now)
        style, waits = "12" if n % 2 else "24", waiting(plan, retimed)
        until = (waits.early_at // 300 + 9) * 300 if waits and n % 3 == 0 else 0
        theirs, mine = _both(page, plan, retimed, now, list(SIZES)[n % 3], style, until)
        assert theirs == mine, f"bake {n}"
