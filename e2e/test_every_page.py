"""Every page of a kitchen that has lived a week: what axe finds, how long a page is, twice as large text.

Which bake is to come differs by the hour at which that kitchen is made: the app is asked at hours that are set.

axe-core's rules (https://dequeuniversity.com/rules/axe/) stand for WCAG 2.0 to 2.2 A and AA and for what its authors
call best practice. Each page is opened once for a theme, and everything is tried on it.
"""

from __future__ import annotations

import base64
from collections import defaultdict
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, BrowserContext, Page, expect

from e2e.conftest import PHONE
from e2e.every_page import BY_THE_HOUR, ONCE, addresses, enter
from e2e.eyes import sticking_out
from e2e.still import Still, on, phone_at, still

SCREENS = 3  # of a phone of 390 x 844
# The bake of the invented kitchen (`suppertide demo`) is another one by weekday and hour: in the warm spot for supper
# the same day, the longest of all, for many hours and for few; in the fridge from now and from tomorrow on; folded.
LONGEST = "2026-11-25T11:30"
HOURS = ("2026-11-25T16:35", "2026-11-23T07:35", "2026-11-23T12:05", "2026-11-28T06:05")
WAITS = {"step-warm-out", "step-chill", "step-fold-1"}
STEPS = "[...document.querySelectorAll('[id^=step-]')].map((one) => one.id)"
OPEN_ALL = "document.querySelectorAll('main details').forEach((one) => { one.open = true; })"
TEXT = "(percent) => { document.documentElement.style.fontSize = percent === 100 ? '' : `${1.125 * percent}%`; }"
# At one width every rule; at the others those that look at colour and room.
WIDTHS: dict[str, dict[int, dict[str, object]]] = {
    "light": {390: {}, 768: {"runOnly": ["color-contrast", "target-size", "scrollable-region-focusable"]}},
    "dark": {320: {"runOnly": ["color-contrast", "target-size"]}, 1280: {"runOnly": ["color-contrast"]}},
}

AXE = Axe().axe_script
FIND = "(options) => window.axe.run(options).then(({ violations }) => violations)"

Found = dict[str, dict[str, object]]


@pytest.fixture(scope="module")
def at_noon(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Still]:
    """The app at the hour of the longest pages."""
    with still(tmp_path_factory.mktemp("still"), on(LONGEST)) as server:
        yield server


@pytest.fixture(scope="module")
def at_home(browser: Browser, at_noon: Still) -> Iterator[Callable[[str], Page]]:
    """A page inside of the invented kitchen, in one theme."""
    contexts: dict[str, tuple[BrowserContext, Page]] = {}

    def inside(theme: str) -> Page:
        if theme not in contexts:
            context = phone_at(browser, at_noon, color_scheme=theme)
            contexts[theme] = context, context.new_page()
            enter(contexts[theme][1], at_noon, at_noon.now)
        return contexts[theme][1]

    yield inside
    for context, _ in contexts.values():
        context.close()


@pytest.fixture(scope="module")
def walked(at_home: Callable[[str], Page], at_noon: Still) -> Callable[[str], Found]:
    """What is wrong with which page, by what was tried: in one walk through all of them for a theme."""
    walks: dict[str, Found] = {}

    def walk(theme: str) -> Found:
        if theme not in walks:
            page, found = at_home(theme), defaultdict(dict)
            for path in addresses(page, at_noon):
                for what, wrong in tried(page, at_noon.url + path, theme):
                    if wrong:
                        found[what][path] = wrong
            walks[theme] = found
        return walks[theme]

    return walk


def tried(page: Page, address: str, theme: str) -> Iterator[tuple[str, object]]:
    """One page: its height, what axe finds at some widths, what sticks out when its text is twice as large."""
    wide(page, PHONE["width"])
    settled(page, address)
    yield "long", too_long(page)
    page.evaluate(OPEN_ALL)
    for width, options in WIDTHS[theme].items():
        wide(page, width)
        yield "axe", violations(page, options)
    page.evaluate(TEXT, 200)
    for width in (320, 390):
        wide(page, width)
        yield "sideways", sticking_out(page)


def too_long(page: Page) -> int:
    """How long it is, when that is more than three screens."""
    height = int(page.evaluate("document.documentElement.scrollHeight"))
    return height if height > SCREENS * PHONE["height"] else 0


def wide(page: Page, width: int) -> None:
    """So many pixels wide, as high as the phone."""
    page.set_viewport_size({"width": width, "height": PHONE["height"]})


def settled(page: Page, address: str) -> None:
    """That page, with what its scripts add."""
    page.goto("about:blank")
    answer = page.goto(address)
    assert answer
    assert answer.status == (404 if address.endswith("/no-such-page") else 200), address
    if "/kitchen" in address:
        expect(page.locator("html[data-kitchen=started] #rings")).to_be_attached()  # a bake is to come
        expect(page.locator("[data-stood]")).to_have_count(0)  # what stood there last time


def violations(page: Page, options: dict[str, object]) -> list[str]:
    """What axe finds, a line each; what it finds in order, megabytes of a long page, is not asked for."""
    if not page.evaluate("'axe' in window"):
        page.evaluate(AXE)
    found = page.evaluate(FIND, options | {"resultTypes": ["violations"]})
    return [f"{one['id']}: {node['target']} {node['failureSummary']}" for one in found for node in one["nodes"]]


@pytest.mark.parametrize("theme", WIDTHS)
def test_axe_finds_nothing_on_any_page_with_all_of_it_open(walked: Callable[[str], Found], theme: str) -> None:
    assert walked(theme)["axe"] == {}


def test_axe_notices_what_is_wrong(at_home: Callable[[str], Page], at_noon: Still) -> None:
    page = at_home("light")
    settled(page, at_noon.url)
    page.evaluate("document.querySelector('h1').insertAdjacentHTML('afterend', '<img src=\"/static/icons/mark.svg\">')")
    assert [one.split(":")[0] for one in violations(page, {})] == ["image-alt"]


def test_no_page_is_longer_than_three_screens_of_a_phone(walked: Callable[[str], Found]) -> None:
    assert walked("light")["long"] == {}


def test_no_page_is_longer_on_a_first_visit(browser: Browser, at_noon: Still) -> None:
    context = phone_at(browser, at_noon)
    page = context.new_page()
    found = {}
    for path in ONCE:
        page.goto(at_noon.url + path)
        found[path] = too_long(page)
    assert {path: height for path, height in found.items() if height} == {}
    context.close()


def test_no_page_is_longer_at_another_hour_when_another_bake_is_to_come(browser: Browser, tmp_path: Path) -> None:
    waits: set[str] = set()
    found = {}
    for hour in HOURS:
        with still(tmp_path / hour.replace(":", ""), on(hour)) as server:
            context = phone_at(browser, server)
            page = context.new_page()
            enter(page, server, server.now)
            for path in addresses(page, server, BY_THE_HOUR):
                settled(page, server.url + path)
                found[hour, path] = too_long(page)
                waits |= WAITS & set(page.evaluate(STEPS))
            context.close()
    assert {place: height for place, height in found.items() if height} == {}
    assert waits == WAITS, "of each kind there was one"


@pytest.mark.parametrize("theme", WIDTHS)
def test_twice_as_large_text_makes_no_page_scroll_sideways(walked: Callable[[str], Found], theme: str) -> None:
    """WCAG 2.2, 1.4.4: text of 200 %."""
    assert walked(theme)["sideways"] == {}


def test_the_links_at_the_foot_grow_with_the_text_and_cover_no_button(
    at_home: Callable[[str], Page], at_noon: Still
) -> None:
    page = at_home("light")
    wide(page, 390)
    settled(page, f"{at_noon.url}/?supper=2026-11-27T19:30")
    size = "parseFloat(getComputedStyle(document.querySelector('.rail a')).fontSize)"
    before = page.evaluate(size)
    page.evaluate(TEXT, 200)
    assert page.evaluate(size) == pytest.approx(2 * before)
    rail, take = page.locator(".rail").bounding_box(), page.locator(".take button").bounding_box()
    assert rail
    assert take
    assert take["y"] + take["height"] <= rail["y"]
    assert rail["y"] + rail["height"] <= PHONE["height"]
    page.set_viewport_size({"width": 320, "height": 568})
    assert page.evaluate("document.querySelector('.rail').offsetHeight") <= 568 / 4, "the rest of it is the page's"


# What is written over a gradient, in every pixel of it: the words are made see-through, and looked under.
UNDER_WORDS = """async ([picture, ink]) => {
  const image = new Image();
  image.src = `data:image/png;base64,${picture}`;
  await image.decode();
  const canvas = new OffscreenCanvas(image.width, image.height);
  const drawn = canvas.getContext("2d");
  drawn.drawImage(image, 0, 0);
  const { data } = drawn.getImageData(0, 0, image.width, image.height);
  const part = (c) => (c / 255 <= 0.04045 ? c / 255 / 12.92 : ((c / 255 + 0.055) / 1.055) ** 2.4);
  const light = ([r, g, b]) => 0.2126 * part(r) + 0.7152 * part(g) + 0.0722 * part(b);
  const front = light(ink);
  let least = 21;
  for (let i = 0; i < data.length; i += 4) {
    const back = light([data[i], data[i + 1], data[i + 2]]);
    least = Math.min(least, (Math.max(front, back) + 0.05) / (Math.min(front, back) + 0.05));
  }
  return least;
}"""


UNCOVER = """() => document.querySelectorAll(".mast a, .mast svg").forEach((one) => {
  one.style.setProperty("color", "transparent");
  one.style.setProperty("background", "none");
  if (one.nodeName === "svg") { one.style.setProperty("visibility", "hidden"); }
})"""


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("width", [390, 1280])
def test_words_on_the_speckled_band_can_be_read_over_its_brightest_dot(
    at_home: Callable[[str], Page], at_noon: Still, theme: str, width: int
) -> None:
    """Contrast of 4.5 (WCAG 2.2, 1.4.3), which no machine's rule measures over a gradient."""
    page = at_home(theme)
    wide(page, width)
    settled(page, at_noon.url)
    ink = page.evaluate("getComputedStyle(document.querySelector('.mast__name')).color.match(/[0-9]+/g).map(Number)")
    page.evaluate(UNCOVER)
    picture = base64.b64encode(page.locator(".mast").screenshot()).decode()
    page.goto("about:blank")
    assert page.evaluate(UNDER_WORDS, [picture, ink]) >= 4.5
