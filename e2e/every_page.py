"""A kitchen with an invented week in it (`suppertide demo`), and the address of every page that it has."""

from __future__ import annotations

import re

from playwright.sync_api import Page

from e2e.server import Server
from webapp.commands.demo import demo
from webapp.kitchens.bakes import coming
from webapp.machine.settings import Settings

ONCE = (
    "/", "/change/when", "/change/pan", "/change/dough", "/change/warm", "/change/who", "/plan", "/week",
    "/week?from=later", "/book",
    "/larder", "/larder/bench-tray", "/larder/new", "/larder/new?from=poolish-tray", "/larder/toppings",
    "/larder/toppings/new", "/larder/methods", "/larder/methods/new", "/settings", "/settings/oven",
    "/settings/people/0", "/settings/people/1", "/settings/busy", "/test-glass", "/reminders", "/join", "/take-along",
    "/settings/zone?zone=Pacific/Auckland", "/more", "/kitchen", "/no-such-page",
)  # fmt: skip
BY_THE_HOUR = ("/", "/change/when", "/change/warm", "/change/who", "/plan", "/week", "/kitchen")
OF_A_BAKE = (
    "/bakes/{}",
    "/bakes/{}/change",
    "/bakes/{}?offers",
    "/bakes/{}/print",
    "/kitchen#{}",
    "/reminders?bake={}",
)
OF_AN_EATEN_ONE = ("/book/{}", "/book/{}/beside", "/bakes/{}/outcome", "/bakes/{}")


def enter(page: Page, server: Server, now: int | None = None) -> None:
    """The browser of this page joins a new kitchen with two bakes in its book and one to come."""
    address = demo(Settings(data=server.data), now)
    page.goto(server.url + "/join?" + address.split("?", 1)[1])
    page.locator("main form button").first.click()
    page.wait_for_url(re.compile("^(?!.*code=)"))


def addresses(page: Page, server: Server, once: tuple[str, ...] = ONCE) -> list[str]:
    """Every page of the kitchen that the browser has entered, or these and those of its bakes."""
    page.goto(f"{server.url}/book")
    eaten = str(page.locator("a[href*='/book/']").first.get_attribute("href")).split("/")[2]
    with server.store().reading() as db:
        kitchen_id = db.exec_driver_sql("SELECT kitchen_id FROM bakes WHERE bake_id = ?", (eaten,)).fetchone()[0]
    to_come = coming(server.store(), kitchen_id, 0)[-1].bake_id
    return [
        *once,
        *(path.format(to_come) for path in OF_A_BAKE),
        *(path.format(eaten) for path in OF_AN_EATEN_ONE),
    ]
