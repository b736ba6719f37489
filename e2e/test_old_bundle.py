"""A bundle packed by a server from before its words came with it: the screen opens and says what is what."""

from __future__ import annotations

import json
import secrets
from collections.abc import Callable

from playwright.sync_api import Page, Route, expect

from e2e.conftest import Phone
from e2e.cut_off import was_done
from e2e.server import Server, plan_at
from tests.samples import at
from webapp.words.screen.bundle import PHRASES, phone_words


def _as_before(route: Route) -> None:
    """The bundle less what came later."""
    answer = route.fetch()
    plain = answer.json()
    del plain["words"]
    for step in plain["plan"]["steps"]:
        del step["needs"], step["first"]
    for busy in plain["plan"]["busy"]:
        del busy["word"]
    route.fulfill(response=answer, body=json.dumps(plain))


def test_a_bundle_without_its_words_opens_and_can_be_told_everything(
    shared_server: Server, new_phone: Callable[..., Phone]
) -> None:
    phone = new_phone(shared_server)
    phone.context.route("**/bundle", _as_before)
    plan = shared_server.bake(phone.kitchen_id, plan_at(at(16, 46), bake_id=secrets.token_urlsafe(16)))
    was_done(shared_server, phone.kitchen_id, plan, ("mix",))
    page = phone.open(plan.bake_id)
    expect(page.locator(".ask")).to_contain_text("doubled")
    expect(page.locator(".standing")).to_contain_text("It is at: ")
    expect(page.locator(".tide")).to_have_count(2)
    page.get_by_role("button", name="Move the dough").click()
    page.get_by_role("button", name="Fridge").click()
    expect(page.locator(".undo-bar")).to_contain_text("Dough moved: fridge")
    expect(page.locator(".standing")).to_contain_text("fridge")
    assert "undefined" not in page.locator("body").inner_text()


def test_a_bundle_of_another_version_is_fetched_again_for_its_words(
    shared_server: Server, new_phone: Callable[..., Phone]
) -> None:
    def by_another(route: Route) -> None:
        answer = route.fetch()
        plain = answer.json()
        plain["worded"], plain["words"]["phrases"]["running late"] = "another", "Behind time"
        route.fulfill(response=answer, body=json.dumps(plain))

    phone = new_phone(shared_server)
    phone.context.route("**/bundle", by_another, times=1)
    plan = shared_server.bake(phone.kitchen_id, plan_at(at(16, 46), bake_id=secrets.token_urlsafe(16)))
    was_done(shared_server, phone.kitchen_id, plan, ("mix",))
    with phone.page.expect_response("**/bundle"):
        phone.open(plan.bake_id)
    page = phone.reload()
    expect(page.get_by_role("button", name=PHRASES["running late"])).to_be_visible()
    assert "Behind time" not in page.locator("body").inner_text()


def test_of_many_bakes_the_one_asked_for_is_shown_before_the_others_have_come(
    shared_server: Server, new_phone: Callable[..., Phone]
) -> None:
    phone = new_phone(shared_server)
    ids = sorted(secrets.token_urlsafe(16) for _ in range(3))
    for bake_id in ids:
        shared_server.bake(phone.kitchen_id, plan_at(at(16, 46), bake_id=bake_id))
    held: list[Route] = []
    phone.context.route(
        "**/bundle", lambda route: route.fallback() if ids[1] in route.request.url else held.append(route)
    )
    phone.page.goto(f"{shared_server.url}/kitchen#{ids[1]}")
    expect(phone.page.locator("#now-title")).to_have_text("Mix the dough")
    for route in held:
        route.continue_()


PHRASE = """async ([phrases, key, figures]) => {
  const { phraseOf } = await import("/static/js/lib/labels.js");
  return phraseOf(phrases, key, figures);
}"""
WORDS = """async (brought) => {
  const { withPlain } = await import("/static/js/lib/labels.js");
  return withPlain(brought);
}"""


def test_a_phrase_that_a_bundle_does_not_have_is_said_by_its_key_and_its_figures(page: Page) -> None:
    late, figures = PHRASES["supper late"], {"at": "20:10", "late": "15 min"}
    assert page.evaluate(PHRASE, [PHRASES, "supper late", figures]) == late.format(**figures)
    for before in (None, {}):
        assert page.evaluate(PHRASE, [before, "supper late", figures]) == "Supper late: 20:10, 15 min"
        assert page.evaluate(PHRASE, [before, "go by this", {}]) == "Go by this"


def test_a_word_that_came_later_is_said_in_short_and_those_that_a_bundle_has_stay(page: Page) -> None:
    brought = phone_words()
    del brought["said"]["good"], brought["places"]
    found = page.evaluate(WORDS, brought)
    assert found["said"] == brought["said"] | {"good": "good"}
    assert found["places"]["bench"] == "bench"
    assert found["help"] == brought["help"]
    assert found["parts"] == brought["parts"]
