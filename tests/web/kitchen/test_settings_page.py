"""Settings, people, busy times: what a person does there, right or wrong."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Callable
from typing import Any

import pytest
from flask import Flask

from tests.databases import everything_in
from tests.samples import at
from tests.web.conftest import InKitchen
from tests.web.seen import fields_of, mistakes, shown, words
from webapp.forms import kitchen as kitchen_form
from webapp.store.store import Store


@pytest.fixture
def record(app: Flask) -> Callable[[], dict[str, Any]]:
    """The one kitchen record in the database."""

    def read() -> dict[str, Any]:
        store: Store = app.extensions["suppertide"].store
        with store.reading() as db:
            (row,) = db.exec_driver_sql("SELECT settings FROM kitchens").fetchall()
        settings: dict[str, Any] = json.loads(row[0])
        return settings

    return read


def folded_lines(kitchen: InKitchen) -> dict[str, str]:
    """What stands under the title of each part that is folded, by that title."""
    cards = re.findall(r'<details class="card folded".*?</summary>', kitchen.get("/settings").text, re.DOTALL)
    return dict(re.split(r" ?: ", words(card), maxsplit=1) for card in cards)


def test_a_folded_part_says_what_is_known_of_the_kitchen(kitchen: InKitchen) -> None:
    """5 C is 41 F, 250 C is 482 F (NIST SP 811, appendix B.8)."""
    before = folded_lines(kitchen)
    assert before["Warmth"].endswith("°C, the fridge 5 °C")
    assert before["Pans"].startswith("Oven tray 38×28 cm")
    assert before["Oven"].startswith("Up to 250 °C, ")
    assert before["Units, clock, allergens"] == "Europe/London time"
    kitchen.posts("/settings/units", shown(kitchen.get("/settings").text, "units") | {"heat_unit": "F"})
    kitchen.posts("/settings/scale", shown(kitchen.get("/settings").text, "scale") | {"yeast_kind": "fresh"})
    after = folded_lines(kitchen)
    assert after["Warmth"].endswith("°F, the fridge 41 °F")
    assert after["Scale, yeast and mixing"].startswith("Fresh yeast, weighed to ")


@pytest.mark.parametrize("units", [{"mass_unit": "g", "heat_unit": "C"}, {"mass_unit": "oz", "heat_unit": "F"}])
def test_saving_every_section_untouched_changes_nothing_that_matters(
    kitchen: InKitchen, record: Callable[[], dict[str, Any]], units: dict[str, str]
) -> None:
    kitchen.posts("/settings/units", shown(kitchen.get("/settings").text, "units") | units)
    before = record()
    before["oven"]["dial_said"] = True  # what its dial shows is saved with the oven's section, and stays from then on
    for section in kitchen_form.SECTIONS:
        sent = shown(kitchen.get("/settings").text, section)
        assert kitchen.posts(f"/settings/{section}", sent).status_code == 303, section
    after = record()
    assert before.keys() == after.keys()
    assert near(before, after)


def test_a_scale_is_the_same_scale_in_ounces_and_keeps_its_steps(
    kitchen: InKitchen, record: Callable[[], dict[str, Any]]
) -> None:
    """A kitchen scale of 1 g shows 0.05 oz when it is switched over (common practice); an ounce is 28.349523125 g."""
    page = kitchen.get("/settings").text
    kitchen.posts("/settings/units", shown(page, "units") | {"mass_unit": "oz"})
    assert record()["scale_step_g"] == pytest.approx(0.05 * 28.349523125)
    scale = shown(kitchen.get("/settings").text, "scale")
    assert scale["scale_step"] == "0.05"
    kitchen.posts("/settings/scale", scale | {"scale_step": "0.1"})
    assert record()["scale_step_g"] == pytest.approx(0.1 * 28.349523125)
    kitchen.posts("/settings/units", shown(kitchen.get("/settings").text, "units") | {"mass_unit": "g"})
    assert record()["scale_step_g"] == 2.0


def near(one: Any, other: Any) -> bool:
    """Equal but for what a form rounds away: a tenth of a degree, of an inch."""
    if isinstance(one, float) and isinstance(other, float):
        return abs(one - other) <= max(0.06, 0.005 * abs(one))
    if isinstance(one, dict):
        return all(near(one[key], other[key]) for key in one)
    if isinstance(one, list):
        return len(one) == len(other) and all(map(near, one, other))
    return bool(one == other)


SAVED = [
    ("scale", {"scale_step": "5", "micro_step": "0.01", "mixing": "mixer", "mixing_rise": "6", "tap": "12,5"},
     {"scale_step_g": 5.0, "micro_step_g": 0.01, "mixing": "mixer", "mixing_rise_c": 6.0, "tap_c": 12.5}),
    ("warmth", {"warm_is_oven": ""}, {"warm_is_oven": False}),
    ("warmth", {"fridge": "3", "warm": "30", "from-0": "", "temp-0": "", "from-3": "22:00", "temp-3": "19"},
     {"fridge_c": 3.0, "warm_c": 30.0, "room": [{"from_min": 420, "temp_c": 20.0}, {"from_min": 1020, "temp_c": 21.0},
                                                {"from_min": 1320, "temp_c": 19.0}]}),
    ("units", {"mass_unit": "oz", "heat_unit": "F", "clock": "12", "zone": "Asia/Tokyo", "avoid-milk": "1"},
     {"mass_unit": "oz", "heat_unit": "F", "clock": "12", "zone": "Asia/Tokyo", "avoid": ["milk"]}),
]  # fmt: skip


@pytest.mark.parametrize(("section", "sent", "kept"), SAVED, ids=[section for section, _, _ in SAVED])
def test_a_section_is_saved(
    kitchen: InKitchen, record: Callable[[], dict[str, Any]], section: str, sent: dict[str, str], kept: dict[str, Any]
) -> None:
    response = kitchen.posts(f"/settings/{section}", shown(kitchen.get("/settings").text, section) | sent)
    assert response.status_code == 303, mistakes(response.text)
    now = record()
    assert {key: now[key] for key in kept} == kept
    where = response.headers["Location"]
    assert where.endswith(f"#{section}"), "the page opens where it was saved"
    there = kitchen.get(where).text.partition(f'id="{section}"')
    assert there[0][there[0].rfind('<details class="card folded"') :].startswith('<details class="card folded" open>')
    assert "Saved." in there[2].partition("<form")[0], "and says so there"


def test_the_oven_is_saved(kitchen: InKitchen, record: Callable[[], dict[str, Any]]) -> None:
    sent = {"function": "fan", "dial_unit": "gas", "highest": "280", "slab": "steel", "slab_mm": "10",
            "slab_width": "40", "slab_depth": "36", "power_w": "3000", "measured_preheat": "40",
            "dial_error": "-12"}  # fmt: skip
    assert kitchen.posts("/settings/oven", shown(kitchen.get("/settings").text, "oven") | sent).status_code == 303
    oven = record()["oven"]
    assert (oven["function"], oven["slab"], oven["slab_mm"], oven["highest_c"]) == ("fan", "steel", 10.0, 280.0)
    assert (oven["measured_preheat_min"], oven["dial_error_c"]) == (40, -12.0)


def test_a_dial_goes_with_the_households_degrees_until_it_is_saved_and_then_stays_as_printed(
    kitchen: InKitchen, record: Callable[[], dict[str, Any]]
) -> None:
    """Who chooses Fahrenheit likely has an oven that shows it; what was saved of a dial is what is printed on it."""

    def chosen(section: str, **sent: str) -> str:
        form = shown(kitchen.get("/settings").text, section) | sent
        assert kitchen.posts(f"/settings/{section}", form).status_code == 303
        return str(record()["oven"]["dial_unit"])

    assert chosen("units", heat_unit="F") == "F"
    assert chosen("units", heat_unit="C") == "C"
    assert chosen("oven", dial_unit="gas") == "gas"
    assert chosen("units", heat_unit="F") == "gas"
    assert chosen("oven", dial_unit="C") == "C"
    assert chosen("units", clock="12") == "C", "nothing was said of degrees"
    assert chosen("units", heat_unit="C") == "C"
    assert chosen("units", heat_unit="F") == "C", "though both were Celsius: it was saved"


def test_the_settings_say_what_becomes_of_a_dial_that_was_never_saved(kitchen: InKitchen) -> None:
    never = "Until this is saved it goes with your degrees."
    page = kitchen.get("/settings").text
    assert never in page
    assert kitchen.posts("/settings/oven", shown(page, "oven")).status_code == 303
    assert never not in kitchen.get("/settings").text


def test_units_that_take_the_dial_along_say_so_and_how_it_stays_as_printed(kitchen: InKitchen) -> None:
    said = "The oven’s dial is taken to show °F too"

    def saved(section: str, **sent: str) -> str:
        answer = kitchen.posts(f"/settings/{section}", shown(kitchen.get("/settings").text, section) | sent)
        return kitchen.get(answer.headers["Location"]).text.partition(f'id="{section}"')[2]

    assert said not in saved("units", clock="12")
    assert said in saved("units", heat_unit="F")
    assert said not in kitchen.get("/settings").text, "once"
    assert said not in saved("oven", dial_unit="C")
    saved("units", heat_unit="C")
    assert said not in saved("units", heat_unit="F"), "what was saved of it stays"


def test_another_slab_forgets_the_preheat_measured_with_the_old_one(
    kitchen: InKitchen, record: Callable[[], dict[str, Any]]
) -> None:
    def saves(**sent: str) -> int:
        form = shown(kitchen.get("/settings").text, "oven") | sent
        assert kitchen.posts("/settings/oven", form).status_code == 303
        return int(record()["oven"]["measured_preheat_min"])

    assert saves(slab="steel", slab_mm="10", measured_preheat="40") == 40
    assert saves(shelves="3") == 40  # nothing else changes what was measured
    assert saves(slab_mm="6") == 0
    assert saves(measured_preheat="30") == 30
    assert saves(slab="stone", slab_mm="15", measured_preheat="44") == 44  # typed anew together with the slab


def test_a_pan_is_added_changed_and_taken_away(kitchen: InKitchen, record: Callable[[], dict[str, Any]]) -> None:
    def pans() -> list[tuple[str, str, float]]:
        return [(pan["key"], pan["name"], round(pan["area_cm2"])) for pan in record()["pans"]]

    def send(changes: dict[str, str]) -> None:
        response = kitchen.posts("/settings/pans", shown(kitchen.get("/settings").text, "pans") | changes)
        assert response.status_code == 303, mistakes(response.text)

    send({"2-name": "Old oval dish", "2-shape": "oval", "2-length": "30", "2-width": "20"})
    assert pans()[2] == ("old-oval-dish", "Old oval dish", 471)  # pi x 30 x 20 / 4
    send({"1-shape": "measured", "1-water_g": "640"})
    assert pans()[1] == ("round-28", "Round pan 28 cm", 640)
    send({"0-gone": "1"})
    assert [key for key, _, _ in pans()] == ["round-28", "old-oval-dish"]


def test_a_common_pan_is_added_by_its_name_and_keeps_what_it_is_called(
    kitchen: InKitchen, record: Callable[[], dict[str, Any]]
) -> None:
    form = shown(kitchen.get("/settings").text, "pans")
    assert kitchen.posts("/settings/pans", form | {"2-name": "Iron pan 25 cm (10 in)"}).status_code == 303
    kept = shown(kitchen.get("/settings").text, "pans")
    assert kitchen.posts("/settings/pans", kept | {"1-name": "Red pan"}).status_code == 303
    assert [(pan["called"], pan["name"]) for pan in record()["pans"]] == [
        ("Oven tray", "Oven tray 38 x 28 cm"), ("", "Red pan"), ("Iron pan", "Iron pan 25 cm (10 in)"),
    ]  # fmt: skip
    assert record()["pans"][2]["area_cm2"] == pytest.approx(506.7, abs=0.2)  # 10 in across: pi x 12.7 x 12.7


WRONG = [
    ("scale", {"scale_step": "3"}, "“3” is not on the list"),
    ("scale", {"tap": "hot"}, "“hot” is not a number"),
    ("scale", {"mixing_rise": "NaN"}, "“NaN” is not a number"),
    ("warmth", {"temp-0": "60"}, "Between 0 and 45 °C"),
    ("warmth", {"warm": "45"}, "Between 20 and 35 °C"),
    ("warmth", {"from-0": "25:00"}, "“25:00” is not a time of day"),
    ("warmth", {"from-1": "0:00"}, "Two parts of the day begin at the same time"),
    ("warmth", {f"{name}-{i}": "" for name in ("from", "temp") for i in range(4)}, "The kitchen has no temperature"),
    ("warmth", {"fridge": "20"}, "Between -2 and 15 °C"),
    ("oven", {"highest": "900"}, "Between 150 and 550 °C"),
    ("oven", {"slab": "steel", "slab_mm": "thick"}, "“thick” is not a number"),
    ("oven", {"slab": "marble"}, "“marble” is not on the list"),
    ("oven", {"trays_at_once": "0"}, "A whole number from 1 to 6"),
    ("units", {"zone": "Middle/Earth"}, "no time zone called"),
    ("units", {"zone": "../../etc/passwd"}, "no time zone called"),
    ("units", {"zone": ""}, "no time zone called"),
    ("units", {"clock": "13"}, "“13” is not on the list"),
    ("pans", {"0-length": "0"}, "Between 8 and 100 cm"),
    ("pans", {"0-length": "300"}, "Between 8 and 100 cm"),
    ("pans", {"0-gone": "1", "1-gone": "1"}, "A kitchen needs a pan"),
    ("pans", {"2-shape": "round", "2-length": "x"}, "“x” is not a number"),
    ("pans", {"2-name": "Blue tin", "2-length": "30", "2-width": "20"}, "Shape: The shape is not answered yet"),
    ("pans", {"2-length": "30"}, "The shape is not answered yet"),
    ("pans", {"2-water_g": "640"}, "The shape is not answered yet"),
    ("pans", {"2-name": "Blue tin"}, "The shape is not answered yet"),
    ("pans", {"2-name": "Iron pan 25 cm (10 in)", "2-length": "28"}, "The shape is not answered yet"),
]


@pytest.mark.parametrize(("section", "sent", "words"), WRONG, ids=[f"{s}-{w}" for s, _, w in WRONG])
def test_a_wrong_setting_is_named_kept_as_typed_and_saved_nowhere(
    kitchen: InKitchen, record: Callable[[], dict[str, Any]], section: str, sent: dict[str, str], words: str
) -> None:
    page = kitchen.get("/settings").text
    before = record()
    typed = shown(page, section) | sent
    response = kitchen.posts(f"/settings/{section}", typed)
    assert response.status_code == 422
    assert words in mistakes(response.text)
    assert record() == before
    again = shown(response.text, section)
    for name, value in typed.items():
        if value and re.search(rf'<input(?![^>]*checkbox)[^>]*name="{re.escape(name)}"', response.text):
            assert again[name] == value, name


def test_an_unknown_section_is_not_there(kitchen: InKitchen) -> None:
    assert kitchen.posts("/settings/moon").status_code == 404


def test_the_phones_zone_is_taken_over_and_a_wrong_one_is_not(
    kitchen: InKitchen, record: Callable[[], dict[str, Any]]
) -> None:
    assert kitchen.posts("/settings/zone", {"zone": "Europe/Lisbon"}).status_code == 303
    assert kitchen.posts("/settings/zone", {"zone": "Europe"}).status_code == 422
    assert record()["zone"] == "Europe/Lisbon"


def person_page(kitchen: InKitchen, place: int) -> dict[str, str]:
    return fields_of(re.findall(r"<form.*?</form>", kitchen.get(f"/settings/people/{place}").text, re.DOTALL)[0])


def test_a_person_is_added_changed_and_taken_away(kitchen: InKitchen, record: Callable[[], dict[str, Any]]) -> None:
    second = person_page(kitchen, 1) | {"name": "Flatmate", "2-away": "22:00-6:00, 12-13", "2-sleep": "1:30"}
    assert kitchen.posts("/settings/people/1", second).status_code == 303
    people = record()["people"]
    assert [one["name"] for one in people] == ["Me", "Flatmate"]
    wednesday = people[1]["week"][2]
    assert wednesday["away"] == [{"from_min": 720, "to_min": 780}, {"from_min": 1320, "to_min": 1800}]
    assert wednesday["sleep_min"] == 1440 + 90
    assert kitchen.posts("/settings/people/0", {"gone": "y"}).status_code == 303
    assert [one["name"] for one in record()["people"]] == ["Flatmate"]
    refused = kitchen.posts("/settings/people/0", {"gone": "y"})
    assert refused.status_code == 422
    assert "Somebody has to do the baking" in refused.text


@pytest.mark.parametrize(
    ("sent", "words"),
    [
        ({"name": ""}, "This person needs a name"), ({"3-wake": "late"}, "“late” is not a time of day"),
        ({"3-away": "8:00"}, "“8:00” is not a stretch"), ({"3-away": "1-2,3-4,5-6,7-8,9-10"}, "4 at most"),
        ({"name": "x" * 31}, "30 at most"), ({"0-sleep": ""}, "A time is missing"),
    ],
)  # fmt: skip
def test_a_wrong_week_is_named_and_kept_as_typed(kitchen: InKitchen, sent: dict[str, str], words: str) -> None:
    response = kitchen.posts("/settings/people/0", person_page(kitchen, 0) | sent)
    assert response.status_code == 422
    assert words in mistakes(response.text)
    for name, value in sent.items():
        assert fields_of(response.text)[name] == value


CLASS = b"""BEGIN:VCALENDAR\r
VERSION:2.0\r
PRODID:-//a test//\r
BEGIN:VEVENT\r
UID:evening-class\r
DTSTAMP:20261101T000000Z\r
DTSTART:20261126T180000Z\r
DTEND:20261126T200000Z\r
RRULE:FREQ=WEEKLY;COUNT=3\r
SUMMARY:Choir with Somebody\r
END:VEVENT\r
END:VCALENDAR\r
"""


def upload(kitchen: InKitchen, body: bytes, who: str = "") -> Any:
    sent: dict[str, Any] = {"file": (io.BytesIO(body), "mine.ics")} if body else {}
    if who:
        sent["who"] = who
    return kitchen.posts("/settings/busy", sent, page="/settings/busy", content_type="multipart/form-data")


def test_busy_times_of_a_calendar_are_kept_without_their_titles(kitchen: InKitchen, app: Flask) -> None:
    assert upload(kitchen, CLASS).status_code == 303
    store: Store = app.extensions["suppertide"].store
    assert "Choir" not in everything_in(store)
    # Three Thursdays, 18:00 to 20:00 UTC (RFC 5545 3.3.10: COUNT includes the first).
    week = 7 * 86400
    expected = [[at(42) + n * week, at(44) + n * week, 0] for n in range(3)]
    answer = kitchen.get("/export.json").json
    assert answer is not None
    assert answer["busy"] == expected
    assert "3 busy stretches" in kitchen.get("/settings/busy").text
    assert kitchen.posts("/settings/busy/forget", page="/settings").status_code == 303
    assert "busy stretches" not in kitchen.get("/settings/busy").text


def with_a_flatmate(kitchen: InKitchen) -> None:
    kitchen.posts("/settings/people/1", person_page(kitchen, 1) | {"name": "Flatmate"})


def busy_in(kitchen: InKitchen) -> list[tuple[int, int]]:
    """(start, whose) of every busy stretch."""
    answer = kitchen.get("/export.json").json
    assert answer is not None
    return [(start, person) for start, _, person in answer["busy"]]


def test_a_calendar_is_of_the_person_it_was_chosen_for(kitchen: InKitchen) -> None:
    with_a_flatmate(kitchen)
    assert "Whose calendar" in kitchen.get("/settings/busy").text
    upload(kitchen, CLASS, "1")
    upload(kitchen, CLASS.replace(b"COUNT=3", b"COUNT=1"), "0")
    assert sorted(person for _, person in busy_in(kitchen)) == [0, 1, 1, 1]
    page = kitchen.get("/settings/busy").text
    assert "Flatmate: 3 busy stretches" in page
    kitchen.posts("/settings/busy/forget", {"who": "1"}, page="/settings")
    assert [person for _, person in busy_in(kitchen)] == [0]


def test_who_moves_out_takes_their_calendar_along(kitchen: InKitchen) -> None:
    with_a_flatmate(kitchen)
    upload(kitchen, CLASS, "1")
    kitchen.posts("/settings/people/0", person_page(kitchen, 0) | {"gone": "y"})
    assert {person for _, person in busy_in(kitchen)} == {0}
    kitchen.posts("/settings/people/1", person_page(kitchen, 1) | {"name": "Another"})
    kitchen.posts("/settings/people/0", person_page(kitchen, 0) | {"gone": "y"})
    assert busy_in(kitchen) == []


@pytest.mark.parametrize("who", ["2", "-1", "x", "0 ", "²"])
def test_a_calendar_of_nobody_on_the_list_is_refused(kitchen: InKitchen, who: str) -> None:
    with_a_flatmate(kitchen)
    answer = upload(kitchen, CLASS, who)
    assert answer.status_code == 422
    assert "not on the list" in answer.text
    assert kitchen.posts("/settings/busy/forget", {"who": who}, page="/settings").status_code < 500
    assert busy_in(kitchen) == []


def test_an_event_of_forty_years_is_left_out_and_the_page_says_so(kitchen: InKitchen) -> None:
    long = CLASS.replace(b"DTEND:2026", b"DTEND:2066").replace(b"RRULE:FREQ=WEEKLY;COUNT=3\r\n", b"")
    assert upload(kitchen, long).status_code == 303
    assert "Left out 1 event that lasts longer than 60 days" in kitchen.get("/settings/busy").text
    assert busy_in(kitchen) == []


def test_ten_thousand_events_are_too_many_and_it_says_what_to_do(kitchen: InKitchen) -> None:
    one = CLASS[CLASS.index(b"BEGIN:VEVENT") : CLASS.index(b"END:VCALENDAR")]
    many = b"BEGIN:VCALENDAR\r\n" + b"BEGIN:VEVENT\r\nEND:VEVENT\r\n" * 10_000
    answer = upload(kitchen, many + one + b"END:VCALENDAR\r\n")
    assert answer.status_code == 422
    assert "is the most" in answer.text
    assert "Export only the coming weeks" in answer.text


@pytest.mark.parametrize("body", [b"", b"hello", CLASS.replace(b"FREQ=WEEKLY", b"FREQ=SECONDLY")], ids=range(3))
def test_a_calendar_that_cannot_be_read_is_said_so_and_the_former_times_stay(kitchen: InKitchen, body: bytes) -> None:
    upload(kitchen, CLASS)
    before = kitchen.get("/export.json").json
    response = upload(kitchen, body)
    assert response.status_code == 422
    assert 'id="file-error"' in response.text
    assert kitchen.get("/export.json").json == before
