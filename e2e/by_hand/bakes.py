"""How long the page of every kind of bake is: `python -m e2e.by_hand.bakes`.

Ends with 1 when one is over three screens. All formulas, three yeasts, one tray and two, every way that the planner
offers, in each state; grams and ounces.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from itertools import product
from pathlib import Path

from playwright.sync_api import sync_playwright

from e2e import browsers
from e2e.conftest import PHONE
from e2e.kinds_of_bakes import Baking, heights
from e2e.server import Server
from webapp.commands.demo import demo_kitchen
from webapp.core.kinds import YEAST_KINDS
from webapp.core.kitchen import Kitchen
from webapp.data.doughs import formulas

PLAIN = Kitchen(zone="UTC")
KITCHENS = (PLAIN, replace(PLAIN, mass_unit="oz", heat_unit="F", clock="12"), demo_kitchen("UTC"))


def kinds() -> Iterator[Baking]:
    """Everything that is tried."""
    for kitchen, yeast, formula, trays in product(KITCHENS, YEAST_KINDS, formulas(), (1, 2)):
        yield Baking(replace(kitchen, yeast_kind=yeast), formula.key, trays)


def main() -> None:
    """A line for each page, then the longest."""
    server, longest = Server(Path(tempfile.mkdtemp())).start(), 0
    try:
        with sync_playwright() as play:
            browser = browsers.shell(play)
            for one in kinds():
                for method, state, high in heights(browser, server, one):
                    longest = max(longest, high)
                    mark = "LONG" if high > 3 * PHONE["height"] else "    "
                    kind = f"{one.kitchen.mass_unit:2} {one.kitchen.yeast_kind:10} {one.formula_key} x {one.trays}"
                    print(f"{high:5} {mark} {kind}, {method}, {state}", flush=True)
            browser.close()
    finally:
        server.kill()
    print(f"the longest: {longest} px of {3 * PHONE['height']}")
    sys.exit(1 if longest > 3 * PHONE["height"] else 0)


if __name__ == "__main__":
    main()
