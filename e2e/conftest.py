"""A browser, and the real server for it to talk to. Each test has its own context, kitchen and bake."""

from __future__ import annotations

import secrets
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, expect, sync_playwright

from e2e import browsers
from e2e.browsers import SLOWER, WHOLE
from e2e.cut_off import IN_CHARGE, was_done
from e2e.home import Home
from e2e.server import PATIENCE_S, Server, plan_at
from tests import profiles
from webapp.core.plan.plan import Plan

PHONE = {"width": 390, "height": 844}
expect.set_options(timeout=30_000)  # for a machine that is busy with other things; nobody waits so long otherwise


def pytest_addoption(parser: pytest.Parser) -> None:
    profiles.add_option(parser)


def pytest_configure(config: pytest.Config) -> None:
    profiles.load(config)


@pytest.fixture(scope="session")
def play() -> Iterator[Playwright]:
    """Playwright, once: a second one in the same thread does not start."""
    with sync_playwright() as found:
        yield found


@pytest.fixture(scope="session")
def light_browser(play: Playwright) -> Iterator[Browser]:
    """Chromium's shell where there is one."""
    chromium = browsers.shell(play)
    yield chromium
    chromium.close()


@pytest.fixture(scope="session")
def whole_browser(play: Playwright) -> Iterator[Browser]:
    """The browser that people have."""
    chromium = browsers.whole(play)
    yield chromium
    chromium.close()


@pytest.fixture(scope="module")
def browser(request: pytest.FixtureRequest) -> Browser:
    """The light one: it does all but show notices and hide tabs. A file that needs those is marked `whole_browser`."""
    whole = request.node.get_closest_marker("whole_browser")
    return request.getfixturevalue("whole_browser" if whole else "light_browser")  # type: ignore[no-any-return]


@pytest.fixture(scope="session")
def shared_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """One server for all tests that leave it alive."""
    server = Server(tmp_path_factory.mktemp("server")).start()
    yield server
    server.kill()


@pytest.fixture(scope="module")
def page(browser: Browser, shared_server: Server) -> Iterator[Page]:
    """A page of the server's origin, to run scripts of ours in."""
    context = browser.new_context()
    page = context.new_page()
    page.goto(f"{shared_server.url}/health")
    yield page
    context.close()


@pytest.fixture
def own_server(tmp_path: Path) -> Iterator[Server]:
    """A server to be killed and started again."""
    server = Server(tmp_path).start()
    yield server
    server.kill()


@dataclass
class Phone:
    """One phone: a browser context that a kitchen's key opens, and its page."""

    context: BrowserContext
    page: Page
    server: Server
    kitchen_id: str
    has_worker: bool = True

    def open(self, bake_id: str = "") -> Page:
        """The kitchen screen, with its worker in charge, everything packed and all of it drawn."""
        self.page.goto(f"{self.server.url}/kitchen#{bake_id}")
        this = self.page.locator(f"#screen[data-bake='{bake_id}']" if bake_id else "#screen")
        none = self.page.locator(".empty h1").filter(has_not_text="not in this phone yet")  # on its way
        expect(self.page.locator(WHOLE).and_(this.locator("#rings")).or_(none).first).to_be_attached()
        if self.has_worker:
            self.page.evaluate(IN_CHARGE)
        return self.page

    def reload(self) -> Page:
        """The kitchen screen anew: its bake as it is now, and not as it stood there last."""
        self.page.reload()
        expect(self.page.locator(WHOLE)).to_be_attached()
        return self.page

    def follows(self, plan: Plan, done: tuple[str, ...], size: tuple[int, int]) -> Phone:
        """A screen of this size, with this bake on it and these of its steps done as planned."""
        self.page.set_viewport_size({"width": size[0], "height": size[1]})
        was_done(self.server, self.kitchen_id, self.server.bake(self.kitchen_id, plan), done)
        self.open(plan.bake_id)
        return self

    def late(self, by: str, way: str = "[data-way]") -> Page:
        """Running late, by so much; a way from there is shown."""
        self.page.locator("[data-key=late]").click()
        self.page.locator("dialog").get_by_role("button", name=by, exact=True).click()
        expect(self.page.locator(f"dialog {way}").first).to_be_visible()
        return self.page

    def journal(self, bake_id: str) -> list[str]:
        """Kinds of what the server has, by the alphabet."""
        return sorted(event["kind"] for event in self.server.events(self.kitchen_id, bake_id))

    def has_sent(self, bake_id: str, *kinds: str) -> None:
        """The server has these and no more, as soon as the phone, which sends when it can, has sent them."""
        until = time.monotonic() + PATIENCE_S
        while self.journal(bake_id) != sorted(kinds) and time.monotonic() < until:
            self.page.wait_for_timeout(20)
        assert self.journal(bake_id) == sorted(kinds)


def slower(page: Page) -> None:
    """Its processor, for whoever looks for what only just holds."""
    if SLOWER > 1:
        page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})


@pytest.fixture
def new_phone(browser: Browser, request: pytest.FixtureRequest) -> Iterator[Callable[..., Phone]]:
    """Phones by the number: `new_phone(server)`, or one more of the same kitchen by `key` and `kitchen_id`.

    In a file marked `without_worker` they have none, as over plain http: nothing is fetched a second time to be kept.
    """
    contexts: list[BrowserContext] = []
    has_worker = not request.node.get_closest_marker("without_worker")
    usual = {"viewport": PHONE, "timezone_id": "Europe/Lisbon", "service_workers": "allow" if has_worker else "block"}

    def make(server: Server, key: str = "", kitchen_id: str = "", **options: object) -> Phone:
        key = key or secrets.token_urlsafe(32)
        kitchen_id = kitchen_id or server.kitchen(key)
        context = browser.new_context(**(usual | options))  # type: ignore[arg-type]
        context.set_default_timeout(30_000)
        context.on("page", slower)
        contexts.append(context)
        context.add_cookies([{"name": "suppertide", "value": key, "url": server.url, "httpOnly": True}])
        return Phone(context, context.new_page(), server, kitchen_id, has_worker)

    yield make
    for context in contexts:
        context.close()


@pytest.fixture
def packed(shared_server: Server, new_phone: Callable[..., Phone]) -> Callable[[int], tuple[Phone, Plan]]:
    """A phone with the sample bake packed, as if it were `moment` now."""

    def make(moment: int) -> tuple[Phone, Plan]:
        phone = new_phone(shared_server)
        plan = shared_server.bake(phone.kitchen_id, plan_at(moment, bake_id=secrets.token_urlsafe(16)))
        phone.open(plan.bake_id)
        expect(phone.page.locator("[data-step]")).to_be_visible()
        return phone, plan

    return make


@pytest.fixture
def home(browser: Browser, shared_server: Server) -> Iterator[Home]:
    """A kitchen of its own, for tabs that no driver watches."""
    made = Home(browser, shared_server)
    yield made
    made.close()
