"""Every page as a machine sees it, and the colours by the contrast formula of WCAG 2.2 (criteria 1.4.3, 1.4.11).

The pages are those the app itself answers with HTML: a new page is looked at without being added here.
"""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import pytest

from tests.web.conftest import NOW, InKitchen, sample_planner
from tests.web.look import Page, contrast, read, rgb, tokens
from tests.web.seen import spaced
from webapp.machine.settings import Settings
from webapp.web.app import create_app

ROOT = Path(__file__).resolve().parents[2]
CSS = ROOT / "static" / "css"
DAY, NIGHT = tokens((CSS / "base.css").read_text(encoding="utf-8"))
THEMES = {"day": DAY, "night": NIGHT}

# (what is written or drawn, on what, least ratio). 4.5 for text, 3 for large text, edges and pictures.
PAIRS = [
    ("ink", "enamel", 4.5), ("ink", "enamel-raised", 4.5), ("ink", "enamel-sunk", 4.5), ("ink", "rim-pale", 4.5),
    ("ink", "good-pale", 4.5), ("ink", "careful-pale", 4.5), ("ink", "tomato-pale", 4.5),
    ("crust", "enamel-raised", 4.5), ("good-to-use", "enamel-raised", 1.8),
    ("ink-soft", "enamel", 4.5), ("ink-soft", "enamel-raised", 4.5), ("ink-soft", "enamel-sunk", 4.5),
    ("rim", "enamel", 4.5), ("rim", "enamel-raised", 4.5), ("rim", "rim-pale", 4.5), ("on-rim", "rim", 4.5),
    ("tomato", "enamel", 4.5), ("tomato", "enamel-raised", 4.5), ("tomato", "tomato-pale", 4.5),
    ("on-tomato", "tomato", 4.5),
    ("good", "enamel", 4.5), ("good", "enamel-raised", 4.5), ("good", "good-pale", 4.5),
    ("careful", "enamel", 4.5), ("careful", "enamel-raised", 4.5), ("careful", "careful-pale", 4.5),
    ("edge", "enamel", 3), ("edge", "enamel-raised", 3),
    ("sea", "enamel", 3), ("sea", "sea-band", 3), ("tomato", "enamel-raised", 3), ("rim", "oven", 3),
]  # fmt: skip


@pytest.mark.parametrize(("one", "other", "ratio"), [("#000000", "#ffffff", 21.0), ("#777777", "#ffffff", 4.48),
                                                     ("#767676", "#ffffff", 4.54)])  # fmt: skip
def test_the_formula_gives_the_ratios_that_everybody_quotes(one: str, other: str, ratio: float) -> None:
    """21:1 is the definition's own upper end; #767676 is the lightest grey that passes on white (common practice)."""
    assert contrast(rgb(one), rgb(other)) == pytest.approx(ratio, abs=0.005)


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize(("front", "back", "least"), PAIRS)
def test_what_is_written_can_be_read(theme: str, front: str, back: str, least: float) -> None:
    colours = THEMES[theme]
    assert contrast(rgb(colours[front]), rgb(colours[back])) >= least


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("shade", ["away", "asleep"])
@pytest.mark.parametrize("under", ["enamel", "enamel-raised", "ice"])
def test_words_in_the_chart_can_be_read_through_the_shades(theme: str, shade: str, under: str) -> None:
    colours = THEMES[theme]
    assert contrast(rgb(colours["ink"]), rgb(colours[shade], colours[under])) >= 4.5


def test_both_themes_say_every_colour_of_the_chart() -> None:
    night = set(re.findall(r"--([\w-]+):", (CSS / "base.css").read_text(encoding="utf-8").split("@media (prefers")[1]))
    assert {"enamel", "ink", "rim", "tomato", "sea", "sea-band", "good-to-use", "away", "asleep", "oven"} <= night


@pytest.mark.parametrize("path", sorted(CSS.glob("*.css")), ids=lambda p: p.name)
def test_no_style_sheet_brings_its_own_colours_or_small_print(path: Path) -> None:
    """Colours are tokens (paper and the deep blue band apart); text is never under 18 px: 1rem is 18 px here."""
    text = re.sub(r"/\*.*?\*/", "", path.read_text(encoding="utf-8"), flags=re.S)
    on_screen = text.split("@media print")[0]
    if path.name not in ("base.css", "print.css"):
        assert set(re.findall(r"#[0-9a-f]{3,8}\b", on_screen)) <= {"#fff", "#fffdf7"}
    sizes = re.findall(r"font(?:-size)?:[^;}]*?(?<![\d.])(0?\.\d+r?em)\b", on_screen)
    assert not sizes, f"smaller than 1rem: {sizes}"
    assert all(int(px) >= 18 for px in re.findall(r"font(?:-size)?:[^;}]*?(\d+)px", on_screen))


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Page]:
    """Every page of the app that answers 200 with HTML, with a picked bake, its offers, and a mistaken form.

    Read once for all tests here: nothing in them changes the kitchen.
    """
    app = create_app(Settings(data=tmp_path_factory.mktemp("look")), planner=sample_planner, now=lambda: NOW)
    app.testing = True
    kitchen = InKitchen(app.test_client())
    bake_id = kitchen.has_a_bake()
    found: dict[str, Page] = {}
    for rule in app.url_map.iter_rules():
        if (
            "GET" not in (rule.methods or ())
            or rule.arguments - {"bake_id"}
            or rule.endpoint in ("static", "shell.favicon")
        ):
            continue
        path = str(rule).replace("<bake_id>", bake_id)
        _look_at(kitchen, path, found)
    _look_at(kitchen, f"/bakes/{bake_id}?offers", found)
    wrong = kitchen.posts("/plan", kitchen.answers({"supper": "yesterday", "room": "99"}))
    found["a mistaken form"] = read(wrong.text)
    return found


def _look_at(kitchen: InKitchen, path: str, found: dict[str, Page]) -> None:
    answer = kitchen.get(path)
    if answer.status_code == 200 and answer.mimetype == "text/html":
        found[path] = read(answer.text)


def test_the_main_pages_are_among_those_looked_at(pages: dict[str, Page]) -> None:
    assert {"/", "/kitchen", "/settings", "a mistaken form"} <= set(pages)
    assert sum("/bakes/" in path for path in pages) >= 3


def test_every_page_is_whole_and_names_itself(pages: dict[str, Page]) -> None:
    for path, page in pages.items():
        assert not page.wrong, (path, page.wrong)
        assert page.all("html")[0].attrs["lang"], path
        assert page.all("title")[0].text.strip(), path
        assert len(page.all("main")) == 1, path


def test_every_page_has_one_heading_of_the_first_rank_and_skips_none(pages: dict[str, Page]) -> None:
    for path, page in pages.items():
        ranks = [int(node.tag[1]) for node in page.all("h1", "h2", "h3", "h4", "h5", "h6")]
        if path == "/kitchen":
            assert ranks.count(1) <= 1  # the shell's headings are drawn on the phone
            continue
        assert ranks.count(1) == 1, (path, ranks)
        assert all(after <= before + 1 for before, after in pairwise(ranks)), (path, ranks)


def test_every_field_has_a_label_and_every_link_and_button_says_something(pages: dict[str, Page]) -> None:
    for path, page in pages.items():
        assert not page.unlabelled(), (path, page.unlabelled())
        assert not page.nameless(), (path, page.nameless())


def test_ids_are_unique_and_what_points_to_them_finds_them(pages: dict[str, Page]) -> None:
    for path, page in pages.items():
        ids = page.ids()
        assert len(ids) == len(set(ids)), (path, sorted(i for i in ids if ids.count(i) > 1))
        for node in page.nodes:
            pointed = [node.attrs.get("for", "")] if node.tag == "label" else []
            for name in ("aria-labelledby", "aria-describedby", "aria-controls"):
                pointed += node.attrs.get(name, "").split()
            if node.attrs.get("href", "").startswith("#"):
                pointed.append(node.attrs["href"][1:])
            assert set(filter(None, pointed)) <= set(ids), (path, node.tag, node.attrs)


def test_nothing_is_inline_that_the_pages_forbid(pages: dict[str, Page]) -> None:
    for path, page in pages.items():
        for node in page.nodes:
            assert "style" not in node.attrs, (path, node.tag, node.attrs)
            assert not [name for name in node.attrs if name.startswith("on")], (path, node.attrs)
        assert all(node.attrs.get("src") for node in page.all("script")), path
        assert not page.all("style"), path


def test_every_picture_speaks_or_is_hidden(pages: dict[str, Page]) -> None:
    for path, page in pages.items():
        assert all("alt" in node.attrs for node in page.all("img")), path
        for node in page.all("svg"):
            said = node.attrs.get("aria-label") or node.attrs.get("aria-labelledby")
            assert said or node.attrs.get("aria-hidden") == "true", (path, node.attrs)


def test_every_picture_that_is_asked_for_is_drawn(pages: dict[str, Page]) -> None:
    """A step's kind is a picture's name: the sprite has them all."""
    for path, page in pages.items():
        have = {node.attrs.get("id") for node in page.all("symbol")}
        asked = {node.attrs["href"][1:] for node in page.all("use")}
        assert asked <= have, (path, asked - have)


def test_a_mistake_is_told_at_its_field_and_on_top(pages: dict[str, Page]) -> None:
    page = pages["a mistaken form"]
    wrong = [node for node in page.all("input", "select", "fieldset") if node.attrs.get("aria-invalid") == "true"]
    assert wrong
    for node in wrong:
        assert f"{node.attrs['id']}-error" in node.attrs["aria-describedby"].split()
    assert any(node.attrs.get("role") == "alert" for node in page.nodes)


def test_the_bake_page_says_what_the_baker_needs(kitchen: InKitchen) -> None:
    text = spaced(kitchen.get(f"/bakes/{kitchen.has_a_bake()}").text)
    for words in ("297 g", "0.51 g", "425 g", "07:15", "16:45", "19:30", "Light the oven", "190 g", "250 C",
                  "Contains gluten, milk", "do not taste raw dough", "bake.ics", "Why these amounts"):  # fmt: skip
        assert words in text, words


def test_water_comes_before_flour_as_it_is_poured(kitchen: InKitchen) -> None:
    text = kitchen.get(f"/bakes/{kitchen.has_a_bake()}").text
    assert text.index(">Water<") < text.index(">Instant yeast<") < text.index(">Strong white flour<")


def test_a_page_that_is_not_there_lies_behind_none_of_the_main_links(kitchen: InKitchen) -> None:
    assert "aria-current" not in kitchen.get("/no-such-page").text
    assert "aria-current" in kitchen.get("/more").text


def test_the_page_for_the_fridge_door_has_everything_once(kitchen: InKitchen) -> None:
    text = spaced(kitchen.get(f"/bakes/{kitchen.has_a_bake()}/print").text)
    for words in ("425 g", "16:45", "Turn the oven down", "Contains gluten, milk", "Low-moisture mozzarella"):
        assert words in text, words
