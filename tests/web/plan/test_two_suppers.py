"""Pages of a dough that is made for two evenings: taken once it is two bakes, and both are on the phone."""

from __future__ import annotations

import re
from typing import Any

import pytest

from tests.web.conftest import Clock, InKitchen, event
from webapp.kitchens import bakes
from webapp.kitchens.mixed import other_half
from webapp.machine.settings import Settings
from webapp.web.app import create_app

TWO = {"supper": "2026-11-26T20:00", "kept_for": "2", "method_key": "bench-day", "hours": "usual"}


@pytest.fixture
def real(settings: Settings, clock: Clock) -> InKitchen:
    return InKitchen(create_app(settings, now=clock).test_client())


def carried(phone: InKitchen) -> list[dict[str, Any]]:
    answer = phone.get("/api/bakes").json
    assert answer is not None
    return list(answer["bakes"])


def plain(page: str) -> str:
    return " ".join(re.sub(r"<(script|svg)[\s\S]*?</\1>|<[^>]+>", " ", page).split()).replace("\u00a0", " ")


def test_a_day_that_is_taken_makes_a_bake_of_each_supper_and_taken_again_no_third(real: InKitchen) -> None:
    bake_id = real.plans(TWO)
    assert carried(real) == []
    assert "of dough and as much again for Saturday, supper" in plain(real.get(f"/bakes/{bake_id}?offers").text)
    for _ in range(2):
        assert real.picks(bake_id).status_code == 303
        assert len(carried(real)) == 2
    other = bakes.picked(real.store, real.kitchen_id(), other_half(bake_id))
    assert other.revision == 1
    assert other.steps[0].kind == "chill"
    first = plain(real.get(f"/bakes/{bake_id}").text)
    assert "as much again for Saturday" in first
    second = plain(real.get(f"/bakes/{other.bake_id}").text)
    assert "nothing is to be weighed" in second
    assert "Weigh out" not in second
    for page in ("/", f"/bakes/{other.bake_id}/print", "/book", f"/reminders?bake={other.bake_id}"):
        assert real.get(page).status_code == 200, page
    assert real.get(f"/api/bakes/{other.bake_id}/bundle").status_code == 200


def test_a_day_taken_on_the_home_page_makes_both_too(real: InKitchen) -> None:
    page = real.get("/", query_string=TWO).text
    assert "as much dough again for two evenings later" in plain(page)
    form = re.search(r'<form[^>]*action="/take".*?</form>', page, re.DOTALL)
    assert form is not None, plain(page)
    fields = dict(re.findall(r'name="([^"]+)" value="([^"]*)"', form[0]))
    assert real.posts("/take", fields).status_code == 303
    assert len(carried(real)) == 2


def test_an_evening_that_the_half_does_not_fit_is_said_at_its_field(real: InKitchen) -> None:
    # With yeast for one day in the fridge it would be past its best after three.
    answer = real.posts("/plan", real.answers(TWO | {"method_key": "cold", "kept_for": "3"}))
    assert answer.status_code == 422
    assert "Half the dough does not fit that evening." in plain(answer.text)
    assert '<option value="3" selected>' in answer.text or re.search(r'selected[^>]*value="3"', answer.text)
    home = real.get("/", query_string=TWO | {"method_key": "cold", "kept_for": "3"}).text
    assert "keeps a piece of dough for 12 hours to three days" in plain(home)  # mixed the evening before the first
    near = re.search(r'href="([^"]*kept_for=1[^"]*)"[^>]*>\s*The other half on', home)
    assert near, "the evening after is one tap away"
    assert "The other half on" not in plain(real.get(near[1].replace("&amp;", "&")).text), "where it fits"
    again = real.get("/change/pan", query_string=TWO).text
    assert re.search(r'selected value="2"|value="2" selected', again)


def test_the_next_wish_asks_for_no_other_half(real: InKitchen) -> None:
    real.picks(real.plans(TWO))
    assert not re.search(r'selected value="2"|value="2" selected', real.get("/change/pan").text)


def test_the_week_says_which_evenings_have_a_bake_already_and_leads_to_it(real: InKitchen) -> None:
    bake_id = real.plans(TWO)
    assert real.picks(bake_id).status_code == 303
    page = real.get("/week?at=20:00").text
    nights = re.findall(r"<li>([\s\S]*?)</li>", page[page.index('class="nights"') :])
    rows = {plain(row).split(" Planned:")[0]: row for row in nights if "Planned:" in row}
    assert {day.lower() for day in rows} == {"tomorrow", "saturday"}, "both suppers of the dough, by the sample's clock"
    first = rows["Tomorrow"]
    assert f'href="/bakes/{bake_id}"' in first
    assert "supper 20:00" in plain(first)
    assert f'href="/bakes/{other_half(bake_id)}"' in rows["Saturday"]
    for row in rows.values():
        assert "see what would work" not in plain(row)


def test_tonight_s_bake_stands_in_the_week_until_it_is_eaten(real: InKitchen, clock: Clock) -> None:
    """Half an hour before supper no day can be planned for that hour any more; the one that is planned goes on."""
    bake_id = real.plans(real.answers())
    assert real.picks(bake_id).status_code == 303
    plan = bakes.picked(real.store, real.kitchen_id(), bake_id)
    mix = next(one for one in plan.steps if one.kind == "mix")
    real.sends(bake_id, event(bake_id, step_id=mix.step_id) | {"at": mix.end, "logged_at": mix.end})

    def rows(path: str = "/week?at=19:30") -> list[str]:
        nights = re.findall(r"<li>([\s\S]*?)</li>", real.get(path).text.partition('class="nights"')[2])
        return [plain(row) for row in nights if f'href="/bakes/{bake_id}"' in row]

    for before_s in (7200, 1800):
        clock.now = plan.supper - before_s
        assert [row.split(" begins")[0] for row in rows()] == ["Today Planned: Plain tray pizza,"]
    assert rows("/week?at=19:30&from=later") == []
    clock.now = plan.supper + 60
    assert rows() == []


def both(phone: InKitchen, bake_id: str) -> list[bool]:
    """Whether the two evenings stand, the first one first."""
    off = {row["bake_id"]: row["dropped_at"] is not None for row in carried(phone)}
    return [not off.get(one, True) for one in (bake_id, other_half(bake_id))]


def planned_anew(phone: InKitchen, bake_id: str, **changes: str) -> None:
    """Other answers for the same bake, and a day taken."""
    assert phone.posts("/plan", phone.answers(TWO | changes | {"again": bake_id})).status_code == 303
    assert phone.picks(bake_id).status_code == 303


def test_planned_anew_without_a_half_the_other_evening_goes_and_comes_back_with_it(real: InKitchen) -> None:
    bake_id = real.plans(TWO)
    real.picks(bake_id)
    planned_anew(real, bake_id, kept_for="")
    assert both(real, bake_id) == [True, False]
    planned_anew(real, bake_id)
    assert both(real, bake_id) == [True, True]


def test_a_half_that_was_kept_after_all_is_planned_again(real: InKitchen) -> None:
    """Planned anew without it here, mixed by the earlier plan there, out of reach."""
    bake_id = real.plans(TWO)
    real.picks(bake_id)
    mix = bakes.picked(real.store, real.kitchen_id(), bake_id).steps[0]
    planned_anew(real, bake_id, kept_for="")
    said = event(bake_id, step_id=mix.step_id) | {"at": mix.end, "logged_at": mix.end, "revision": 1}
    assert real.sends(bake_id, said).status_code == 200
    assert both(real, bake_id) == [True, True]


@pytest.mark.parametrize("how", ["drop", "delete"])
def test_the_half_of_a_dough_that_nobody_mixes_goes_with_it(real: InKitchen, how: str) -> None:
    bake_id = real.plans(TWO)
    real.picks(bake_id)
    real.posts(f"/bakes/{bake_id}/{how}")
    assert both(real, bake_id) == [False, False]


def test_a_half_that_is_made_stays_when_the_first_evening_is_given_up(real: InKitchen) -> None:
    bake_id = real.plans(TWO)
    real.picks(bake_id)
    mix = bakes.picked(real.store, real.kitchen_id(), bake_id).steps[0]
    real.sends(bake_id, event(bake_id, step_id=mix.step_id) | {"at": mix.end, "logged_at": mix.end, "revision": 1})
    real.posts(f"/bakes/{bake_id}/drop")
    assert both(real, bake_id) == [False, True]


@pytest.mark.parametrize("told", ["nothing", "mix", "chill"])
def test_a_half_is_never_planned_anew_and_its_supper_can_be_moved(real: InKitchen, told: str) -> None:
    """Its dough lies in the fridge, or is mixed with the first one's: another plan would have it weighed out again."""
    bake_id = real.plans(TWO)
    real.picks(bake_id)
    half = bakes.picked(real.store, real.kitchen_id(), other_half(bake_id))
    for plan in (bakes.picked(real.store, real.kitchen_id(), bake_id), half):
        step = plan.steps[0]
        if step.kind == told:
            said = event(plan.bake_id, step_id=step.step_id) | {"at": step.end, "logged_at": step.end}
            real.sends(plan.bake_id, said | {"revision": plan.revision})
    where, change = f"/bakes/{half.bake_id}", f"/bakes/{half.bake_id}/change"
    for answer in (
        real.posts(f"{where}/anew"),
        real.get(f"/plan?again={half.bake_id}"),
        real.posts("/plan", real.answers(TWO | {"kept_for": "", "again": half.bake_id})),
    ):
        assert answer.location.split("?")[0] == change
    page = plain(real.get(change).text)
    assert "Change it from where it stands" in page
    assert "worked out anew" not in page
    shown = real.get(where).text
    assert f"again={half.bake_id}" not in shown
    local = "2026-11-28T21:00"
    assert real.posts(change, {"to": local}).location == where
    after = bakes.picked(real.store, real.kitchen_id(), half.bake_id)
    assert (after.lines, after.dough_g, after.kept) == (half.lines, half.dough_g, half.kept)
    assert "21:00" in plain(real.get(where).text)


def test_a_half_in_the_fridge_offers_the_ways_from_there_when_the_fridge_is_another(real: InKitchen) -> None:
    bake_id = real.plans(TWO)
    real.picks(bake_id)
    real.posts("/settings/warmth", {"from-0": "00:00", "temp-0": "20", "fridge": "9", "warm": "28"})
    page = real.get(f"/bakes/{other_half(bake_id)}").text
    assert "Fits no longer" in plain(page)
    assert "It is the half of another dough" in plain(page)
    assert "/anew" not in page
