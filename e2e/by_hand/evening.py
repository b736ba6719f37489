"""Whole evenings by hand: `python -m e2e.by_hand.evening FOLDER`, real touches at two sizes, both themes, 200 % text.

Every step in its turn, when it is due, with a picture of each in FOLDER. Prints what is wrong with a screen, and ends
with 1 when anything was: the button out of sight, a target under 48 px, sideways scroll, text cut off.
"""

from __future__ import annotations

import base64
import shutil
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

from e2e.home import ARMED, LOOK, SHIFT, Home, steps
from e2e.raw import STANDS, Tab
from e2e.server import Server
from e2e.test_last_hour import _evening

SIZES = ((390, 844), (320, 640))
FAR = "(document.querySelector('[data-count]')?.innerText ?? '').includes('h')"  # hours away
MEASURE = """(() => {
  const box = (one) => document.querySelector(one)?.getBoundingClientRect();
  const done = box("[data-key=done]");
  const shown = (node) => node.offsetParent && node.getBoundingClientRect().width > 1;
  const all = (names) => [...document.querySelectorAll(names)].filter(shown);
  const thin = all("#screen button, #screen summary, .rail a").filter((node) => {
    const { width, height } = node.getBoundingClientRect();
    return width < 47.5 || height < 47.5;
  });
  const cut = all("#screen button, #screen strong, #screen p, #screen dd, .rail a")
    .filter((node) => node.scrollWidth > node.clientWidth + 1 && getComputedStyle(node).display !== "inline");
  return [
    done.top < 0 || done.bottom > box(".rail").top + 1 ? "the button is out of sight" : "",
    document.documentElement.scrollWidth > screen.width ? "sideways scroll" : "",
    ...thin.map((node) => `thin: ${node.innerText}`),
    ...cut.map((node) => `cut: ${node.innerText}`),
  ].filter(Boolean);
})()"""


def picture(tab: Tab, path: Path) -> None:
    """What is on the screen now."""
    path.write_bytes(base64.b64decode(tab.send("Page.captureScreenshot", format="png")["data"]))


def walk(home: Home, folder: Path, size: tuple[int, int], scheme: str, text: int) -> int:
    """All steps of one evening; how many screens had something wrong."""
    plan = home.server.bake(home.kitchen_id, _evening())
    tab = home.tabs.open("/health", SHIFT, size=size)
    tab.send("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": scheme}])
    tab.send("Page.navigate", url=f"{home.server.url}/kitchen#{plan.bake_id}")
    tab.until(STANDS)
    if text != 100:
        tab.js(f"document.documentElement.style.fontSize = '{112.5 * text / 100}%'")
    wrong = 0
    for turn in range(len(plan.steps)):
        while not tab.js("Boolean(document.querySelector('.card--due'))"):
            tab.js(f"window.ahead += {FAR} ? 1200 : 60; {LOOK}")
        tab.until(f"document.querySelector('.alarm') && {ARMED}")
        name = f"{size[0]}-{scheme}-{text}-{turn:02}"
        picture(tab, folder / f"{name}.png")
        title, found = tab.js("document.querySelector('#now-title').innerText"), tab.js(MEASURE)
        print(name, title.replace("\n", " "), found or "ok")
        wrong += bool(found)
        step = tab.js("document.querySelector('[data-step]').dataset.step")
        x, y = tab.js("(() => { const b = document.querySelector('[data-key=done]').getBoundingClientRect();"
                      "return [b.x + b.width / 2, b.y + b.height / 2]; })()")  # fmt: skip
        tab.tap((x, y))
        tab.until(f"document.querySelector('[data-step]')?.dataset.step !== '{step}'")
    said = steps(tab, plan)
    print(f"{len(said)} steps said of {len(plan.steps)}, each once: {len(said) == len(set(said))}")
    return wrong + (sorted(said) != sorted(step.step_id for step in plan.steps))


def main() -> None:
    """Every size and theme, then big text."""
    folder = Path(sys.argv[1])
    server = Server(Path(tempfile.mkdtemp())).start()
    wrong = 0
    try:
        with sync_playwright() as play:
            args = ["--no-sandbox", "--disable-quic", "--disable-background-networking"]
            browser = play.chromium.launch(executable_path=shutil.which("chromium"), args=args)
            ways = [(size, scheme, 100) for size in SIZES for scheme in ("light", "dark")]
            ways += [(size, "light", 200) for size in SIZES]
            for size, scheme, text in ways:
                home = Home(browser, server)
                wrong += walk(home, folder, size, scheme, text)
                home.close()
            browser.close()
    finally:
        server.kill()
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
