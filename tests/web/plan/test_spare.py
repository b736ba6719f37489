"""Pages of a dough of which a piece is cut off for another evening: planned once it is mixed, on both bakes from then.

Fridge: 12 hours to three days for a retarded dough (common practice, as the cold method has it). The rise at the other
supper is integrated anew by SciPy from the published rates (`tests.planning.test_full_plan.progress_by_scipy`).
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from tests.by_hand.form_reader import Page
from tests.planning.test_full_plan import progress_by_scipy
from tests.samples import at
from tests.web.conftest import Clock, InKitchen, event
from webapp.core.kinds import StepKind
from webapp.core.plan.plan import KeptPart, Plan
from webapp.kitchens import bakes, spare
from webapp.kitchens.mixed import other_half
from webapp.machine.settings import Settings
from webapp.planning import evenings
from webapp.web.app import create_app
from webapp.words.plan.kept_part import kept_words

TONIGHT = {"supper": "2026-11-25T20:00", "method_key": "bench-day", "hours": "usual"}
PIECE = {"grams": "248", "pan": "by-hand", "day": "2026-11-27", "at": "20:15"}


@pytest.fixture
def real(settings: Settings, clock: Clock) -> InKitchen:
    return InKitchen(create_app(settings, now=clock).test_client())


def plain(page: str) -> str:
    return " ".join(re.sub(r"<(script|svg)[\s\S]*?</\1>|<[^>]+>", " ", page).split()).replace("\u00a0", " ")


def mixed(real: InKitchen, clock: Clock, wish: dict[str, str] = TONIGHT) -> Plan:
    """A bake whose dough was mixed as planned; it is half an hour later."""
    bake_id = real.plans(wish)
    assert real.picks(bake_id).status_code == 303
    plan = bakes.picked(real.store, real.kitchen_id(), bake_id)
    done(real, plan, "mix")
    clock.now = step(plan, "mix").end + 1800
    return plan


def step(plan: Plan, kind: str) -> Any:
    return next(one for one in plan.steps if one.kind == kind)


def done(real: InKitchen, plan: Plan, kind: str) -> None:
    one = step(plan, kind)
    when = one.end
    sent = real.sends(
        plan.bake_id, event(plan.bake_id, step_id=one.step_id) | {"at": when, "logged_at": when, "revision": 1}
    )
    assert sent.status_code == 200, sent.text


def other_of(real: InKitchen, plan: Plan) -> Plan:
    return bakes.picked(real.store, real.kitchen_id(), other_half(plan.bake_id))


def poured(real: InKitchen, plan: Plan, line: str, grams: float) -> None:
    when = step(plan, "mix").start
    said = event(plan.bake_id, "poured", line=line, grams=grams) | {"at": when, "logged_at": when}
    assert real.sends(plan.bake_id, said).status_code == 200


def spare_page(plan: Plan) -> str:
    return f"/bakes/{plan.bake_id}/spare"


def test_a_pan_that_the_piece_does_not_fit_is_refused_with_what_it_takes_and_no_other_is_taken(
    real: InKitchen, clock: Clock
) -> None:
    """By hand: a round of 28 cm is 615.8 cm2; at 0.70 g on each 431 g, of which three quarters are 323 g and a third
    more, to 1.35 times, is 581 g: 128 g would lie there at 0.21 g."""
    plan = mixed(real, clock)
    assert plan.loading_g_cm2 == pytest.approx(0.70, abs=0.001)
    sent = real.posts(spare_page(plan), PIECE | {"grams": "128", "pan": "round-28"})
    assert sent.status_code == 422
    assert "Round pan 28 cm takes 324 g to 581 g of this dough." in plain(sent.text)
    assert "a round of" in plain(sent.text).partition("of this dough.")[2], "and what it does fit"
    assert real.get(f"/bakes/{other_half(plan.bake_id)}").status_code == 404
    assert real.posts(spare_page(plan), PIECE | {"grams": "248", "pan": "by-hand"}).status_code == 303


@pytest.mark.parametrize("ahead_h", [0, 3, 48])
def test_a_phone_whose_clock_is_ahead_takes_no_page_away(real: InKitchen, clock: Clock, ahead_h: int) -> None:
    plan = mixed(real, clock)
    done(real, plan, "press")
    clock.now = plan.steps[0].start - ahead_h * 3600
    for page in ("/", f"/bakes/{plan.bake_id}", spare_page(plan), "/week", "/book", f"/book/{plan.bake_id}"):
        assert real.get(page).status_code == 200, page
    assert real.posts(spare_page(plan), PIECE, page=f"/bakes/{plan.bake_id}").status_code in (303, 422)


def test_a_piece_is_offered_from_the_mixing_until_a_tray_is_in_the_oven(real: InKitchen, clock: Clock) -> None:
    bake_id = real.plans(TONIGHT)
    real.picks(bake_id)
    plan = bakes.picked(real.store, real.kitchen_id(), bake_id)
    offered = "A piece for another evening"
    assert offered not in plain(real.get(f"/bakes/{bake_id}").text)
    refused = real.posts(spare_page(plan), PIECE | {"grams": "a lot"}, page=f"/bakes/{bake_id}")
    assert refused.status_code == 422
    assert Page(refused.text).wrong, "whatever was typed, the page says why nothing comes of it"
    done(real, plan, "mix")
    clock.now = step(plan, "mix").end + 600
    assert offered in plain(real.get(f"/bakes/{bake_id}").text)
    done(real, plan, "load")
    clock.now = step(plan, "load").end + 60
    assert offered not in plain(real.get(f"/bakes/{bake_id}").text)
    assert "between mixing and the oven" in plain(real.get(spare_page(plan)).text)


def test_a_piece_is_the_same_dough_kept_cold_and_baked_neither_young_nor_past_its_best(
    real: InKitchen, clock: Clock
) -> None:
    first = mixed(real, clock)
    answer = real.posts(spare_page(first), PIECE)
    other = other_of(real, first)
    assert answer.headers["Location"] == f"/bakes/{other.bake_id}"
    assert other.dough_g == pytest.approx(248.0)
    assert other.making is not None
    assert first.making is not None
    assert other.making.instant_percent == first.making.instant_percent, "its yeast is in it"
    assert other.supper == at(20, 15) + 2 * 86400
    kinds = [one.kind for one in other.steps if one.chain]
    assert kinds[:3] == ["chill", "temper", "press"]
    assert not {"mix", "preferment", "fold"} & set(kinds)
    # On the grid of five minutes, as soon as it was asked for.
    assert 0 <= step(other, "chill").start - clock.now < 300
    assert other.rise.mixed_at == step(first, "mix").end
    from_the_bowl = replace(other, steps=(step(first, "mix"), *other.steps))
    for one in (step(other, "press"), step(other, "load")):
        risen = progress_by_scipy(from_the_bowl, one.start)
        assert one.mark.early <= risen <= one.mark.past
        if one.kind == "load":
            assert 0.7 <= risen / one.mark.best <= 1.4, "else young or past its best on the plate (common practice)"


def test_page_and_calendar_say_at_the_pressing_what_is_cut_off_of_a_dough_that_was_poured_over(
    real: InKitchen, clock: Clock
) -> None:
    """By hand: a fifth more flour makes 1.2 times 745 g, of which 149 g are too much, until
    a piece is planned for another evening."""
    said = "The dough is 149 g more than this pan takes. Cut that off first"
    plan = mixed(real, clock)

    def told() -> tuple[bool, bool]:
        page = plain(real.get(f"/bakes/{plan.bake_id}").text)
        file = real.get(f"/bakes/{plan.bake_id}/bake.ics").text.replace("\r\n ", "")
        return said in page.partition("Press out")[2], said in file

    assert told() == (False, False)
    flour = next(one for one in plan.lines if one.kind == "flour")
    poured(real, plan, f"{flour.part}/{flour.key}", flour.grams * 1.2)
    assert told() == (True, True)
    assert real.posts(spare_page(plan), PIECE | {"grams": "149"}).status_code == 303
    assert told() == (False, False), "which is the piece by now"


def test_both_suppers_stand_on_every_page_and_the_phone_has_both(real: InKitchen, clock: Clock) -> None:
    first = mixed(real, clock)
    real.posts(spare_page(first), PIECE)
    other = other_of(real, first)
    second = plain(real.get(f"/bakes/{other.bake_id}").text)
    assert "248 g of dough, cut off that of 20:00: nothing is to be weighed" in second
    assert "Cut 248 g off the dough for Wednesday, into an oiled tub of its own." in second
    assert "Change pan, dough or hours" not in second, "its dough is mixed"
    page = real.get(f"/bakes/{first.bake_id}").text
    assert "248 g of it are for Friday 20:15" in plain(page)
    assert "as much again" not in plain(page)
    assert len(real.get("/api/bakes").json["bakes"]) == 2  # type: ignore[index]
    for one in (first, other):
        for path in ("", "/print", "/bake.ics"):
            assert real.get(f"/bakes/{one.bake_id}{path}").status_code == 200
        assert real.get(f"/api/bakes/{one.bake_id}/bundle").status_code == 200
    assert other.bake_id in real.get("/").text + real.get("/book").text
    asked = real.get(f"/api/bakes/{first.bake_id}/bundle").json["question"]  # type: ignore[index]
    assert asked is None, "it is the dough that was mixed: nobody is asked whether"


def test_what_is_poured_too_much_is_named_and_proposed_as_the_piece(real: InKitchen, clock: Clock) -> None:
    first = mixed(real, clock)
    flour = next(line for line in first.lines if line.kind == "flour")
    # A fifth more flour makes a fifth more dough: 1.2 x 745 g, of which 149 g are too much for the pan.
    poured(real, first, f"{flour.part}/{flour.key}", flour.grams * 1.2)
    assert "149 g of the dough are more than this pan takes" in plain(real.get(f"/bakes/{first.bake_id}").text)
    assert 'value="149"' in real.get(spare_page(first)).text
    real.posts(spare_page(first), PIECE | {"grams": "149"})
    now = bakes.followed_bake(real.store, clock.now, real.kitchen_id(), first.bake_id)
    assert now.state.tray_times == pytest.approx(1.0, abs=0.002), "what is left is what this pan takes"


def test_of_a_dough_on_the_bench_a_piece_is_cut_off_now_or_when_it_is_next_in_hand(
    real: InKitchen, clock: Clock
) -> None:
    first = mixed(real, clock)
    stands = bakes.followed_bake(real.store, clock.now, real.kitchen_id(), first.bake_id)
    now, press = spare.cuts(stands, clock.now)
    assert (now.kind, press.kind) == ("mix", "press")
    assert now.at - clock.now < 300
    assert press.at == step(first, "press").start
    assert [one.place for one in press.stays] == ["bench"]


@pytest.mark.parametrize(
    ("at_step", "told"),
    [
        ("press", "First cut off the piece for Thursday: 248 g go into an oiled tub, covered, into the fridge."),
        ("chill", "Divide the dough: 248 g go into an oiled tub of their own, for Thursday."),
        ("mix", ""),
    ],
)
def test_where_the_piece_is_cut_off_is_said_at_that_step_of_the_first_supper(
    real: InKitchen, clock: Clock, at_step: StepKind, told: str
) -> None:
    first = mixed(real, clock, {"supper": "2026-11-26T20:00", "method_key": "cold", "hours": "usual"})
    kept = KeptPart(248.0, at(20) + 86400, mixed_here=True, at=at_step, spare=True)
    said = kept_words(replace(first, kept=kept), step(first, at_step), "g")
    assert said.replace("\u00a0", " ") == told


def test_a_piece_that_was_given_up_can_be_asked_for_anew(real: InKitchen, clock: Clock) -> None:
    first = mixed(real, clock)
    real.posts(spare_page(first), PIECE)
    other = other_of(real, first)
    real.posts(f"/bakes/{other.bake_id}/drop")
    assert "248 g of it are for" not in plain(real.get(f"/bakes/{first.bake_id}").text)
    assert real.posts(spare_page(first), PIECE | {"grams": "300"}).status_code == 303
    assert other_of(real, first).dough_g == pytest.approx(300.0)


def test_no_piece_is_planned_of_a_dough_that_was_given_up(real: InKitchen, clock: Clock) -> None:
    """By its address, or by a page that was open meanwhile."""
    first = mixed(real, clock)
    real.posts(f"/bakes/{first.bake_id}/drop")
    for ask in (real.get, lambda page: real.posts(page, PIECE)):
        answer = ask(spare_page(first))
        assert (answer.status_code, answer.headers["Location"]) == (303, f"/bakes/{first.bake_id}")
        assert "no piece of its dough is planned" in real.get(f"/bakes/{first.bake_id}").text
    assert not bakes.is_here(real.store, real.kitchen_id(), other_half(first.bake_id))


def test_at_an_hour_of_the_night_the_nearest_is_one_of_the_first_suppers_hour(real: InKitchen, clock: Clock) -> None:
    first = mixed(real, clock)
    answer = real.posts(spare_page(first), PIECE | {"day": "2026-11-27", "at": "04:00"})
    assert answer.status_code == 422
    assert re.search(r"20:00 would do", plain(answer.text))


def test_a_dough_that_stands_in_the_fridge_has_its_piece_there_from_when_it_came(real: InKitchen, clock: Clock) -> None:
    first = mixed(real, clock, {"supper": "2026-11-26T20:00", "method_key": "cold", "hours": "usual"})
    done(real, first, "chill")
    clock.now = step(first, "chill").end + 3600
    assert real.posts(spare_page(first), PIECE).status_code == 303
    other = other_of(real, first)
    now = bakes.followed_bake(real.store, clock.now, real.kitchen_id(), other.bake_id)
    assert now.retimed.place == "fridge"
    assert [(move.at, move.place) for move in now.state.moves] == [(step(first, "chill").end, "fridge")]
    # An hour in the fridge: it has gone most of the way from 21 to 5 C, not stood on the bench all the while.
    assert now.retimed.dough_c < 15.0


def test_a_piece_that_would_be_past_its_best_is_refused_with_the_nearest_supper_and_all_that_was_typed(
    real: InKitchen, clock: Clock
) -> None:
    first = mixed(real, clock, {"supper": "2026-11-26T20:00", "method_key": "cold", "hours": "usual"})
    answer = real.posts(spare_page(first), PIECE | {"day": "2026-11-30"})
    assert answer.status_code == 422
    assert "The fridge keeps a piece of dough for 12 hours to three days." in plain(answer.text)
    near = re.search(r'href="([^"]*/spare[^"]*supper=[^"]*)">Take ([^<]*) instead', answer.text)
    assert near is not None
    assert 'value="248"' in answer.text
    assert 'value="20:15"' in answer.text
    assert f"{near[2]} would do".casefold() in plain(answer.text).casefold()
    taken = re.search(r"supper=(\S{10})T(\d\d)(?::|%3A)(\d\d)", near[1])
    assert taken is not None
    there = PIECE | {"day": taken[1], "at": f"{taken[2]}:{taken[3]}"}
    assert f'value="{there["at"]}"' in real.get(near[1].replace("&amp;", "&")).text
    assert real.posts(spare_page(first), there).status_code == 303, "what is proposed works"


def test_a_dough_with_milk_is_kept_for_the_evening_until_which_it_is_good_within_its_two_hours_out_of_the_fridge(
    real: InKitchen, clock: Clock
) -> None:
    """Two hours in all for what perishes: USDA FSIS, applied to dough by common practice. With yeast for tomorrow's
    supper it would go into the oven past 1.4 of its best on the day after."""
    wish = {"supper": "2026-11-26T20:00", "formula_key": "milk-round", "toppings_key": "", "hours": "usual"}
    first = mixed(real, clock, wish)
    assert first.dough_perishes
    clock.now = step(first, "mix").end + 5 * 60
    late = real.posts(spare_page(first), PIECE)
    assert late.status_code == 422
    assert "past its best by then" in plain(late.text)
    assert "Tomorrow 21:15 would do" in plain(late.text)
    assert real.posts(spare_page(first), PIECE | {"day": "2026-11-26", "at": "21:15"}).status_code == 303
    other = other_of(real, first)
    load = max(one.start for one in other.steps if one.kind == "load")
    outside = (step(other, "chill").end - step(first, "mix").start) + (load - step(other, "temper").start)
    assert outside <= 2 * 3600


def test_a_dough_with_milk_that_stood_on_the_bench_too_long_is_told_why_and_no_piece_is_kept(
    real: InKitchen, clock: Clock
) -> None:
    wish = {"supper": "2026-11-26T20:00", "formula_key": "milk-round", "toppings_key": "", "hours": "usual"}
    first = mixed(real, clock, wish)
    clock.now = step(first, "mix").end + 75 * 60
    answer = real.posts(spare_page(first), PIECE)
    assert answer.status_code == 422
    assert "at room temperature; the limit is 2 hours" in plain(answer.text)
    assert not bakes.is_here(real.store, real.kitchen_id(), other_half(first.bake_id))


def test_asked_twice_it_is_one_bake_and_the_next_wish_is_as_it_was(real: InKitchen, clock: Clock) -> None:
    first = mixed(real, clock)
    token = real.token(f"/bakes/{first.bake_id}")
    for _ in range(2):
        sent = real.client.post(spare_page(first), data=PIECE | {"csrf_token": token})
        assert sent.headers["Location"] == f"/bakes/{other_half(first.bake_id)}"
    assert other_of(real, first).revision == 1
    assert "See the other supper" in plain(real.get(spare_page(first)).text)
    last = bakes.last_wish(real.store, real.kitchen_id())
    assert last is not None
    assert [pan.key for pan in last.pans] == [pan.key for pan in first.pans]
    assert last.loading_g_cm2 is None


@pytest.mark.parametrize(
    ("grams", "told"), [("20", "80 g to 559 g"), ("700", "80 g to 559 g"), ("a lot", "not a number")]
)
def test_grams_that_are_no_piece_are_named_and_stay_as_typed(
    real: InKitchen, clock: Clock, grams: str, told: str
) -> None:
    # Three quarters of 744.8 g are 558.6 g.
    answer = real.posts(spare_page(mixed(real, clock)), PIECE | {"grams": grams})
    assert answer.status_code == 422
    assert told in plain(answer.text)
    assert f'value="{grams}"' in answer.text


def test_an_hour_that_is_none_is_named_and_nothing_is_made(real: InKitchen, clock: Clock) -> None:
    first = mixed(real, clock)
    answer = real.posts(spare_page(first), PIECE | {"at": "soon"})
    assert answer.status_code == 422
    assert "not a time of day" in plain(answer.text)
    assert "Supper at" in plain(real.get(f"{spare_page(first)}?supper=nonsense").text)


def test_a_bake_of_another_kitchen_gives_no_piece(
    real: InKitchen, clock: Clock, phone: Callable[[], InKitchen]
) -> None:
    first, neighbour = mixed(real, clock), phone()
    neighbour.kitchen_id()
    assert neighbour.get(spare_page(first)).status_code == 404
    assert neighbour.posts(spare_page(first), PIECE, page="/").status_code == 404


def test_a_piece_that_would_be_one_bake_too_many_is_refused_with_all_that_was_typed(
    real: InKitchen, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    plan = mixed(real, clock)
    monkeypatch.setattr(evenings, "MOST_COMING", 1)
    sent = real.posts(spare_page(plan), PIECE | {"grams": "248", "pan": "by-hand"})
    assert sent.status_code == 422
    assert "as many as it looks after. Give one of them up" in plain(sent.text)
    assert 'value="248"' in sent.text
    assert real.get(f"/bakes/{other_half(plan.bake_id)}").status_code == 404
