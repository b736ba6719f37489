"""How quick the kitchen is: run by hand, `python -m e2e.bench_kitchen`. Times at a processor slowed down four times.

Wanted: with no connection, the step is seen within 1.3 times of what a bare page from the same worker's cache takes to
be seen; re-timing a 72-hour plan with all ways under 16 ms, the first time included. Rounds alternate and the median
round counts, so that a busy machine slows all of them alike; each is seen when the frame after it came is painted. What
is computed is measured by the processor time of the page's own thread, four times that.
"""

from __future__ import annotations

import json
import secrets
import statistics
import tempfile
from dataclasses import replace
from pathlib import Path

from playwright.sync_api import Browser, BrowserContext, CDPSession, Page, sync_playwright

from e2e.cut_off import IN_CHARGE, IN_DATABASE, PACKED
from e2e.server import Server, plan_at
from tests.samples import at
from tests.up import BROWSERS, on_path
from webapp.core.plan.plan import Plan

SLOW = 4
TRIES = 9
LONG_MS = 50  # a task that is longer keeps a tap waiting (W3C Long Tasks)
NOTHING_STOOD = "localStorage.removeItem('stood')"  # as on a phone that has not shown this bake yet

# The modules as they lie, each by itself: nothing of them has run before, and nothing is kept of them compiled.
COLD = """async (id) => {
  const { fold } = await import("/static/js/now/journal.js");
  const { retime } = await import("/static/js/now/retime.js");
  const { ways } = await import("/static/js/now/ways.js");
  const ask = await fetch(`/api/bakes/${id}/bundle`);
  const { plan } = await ask.json();
  const now = Math.floor(Date.now() / 1000);
  const said = (kind, at, data) => ({ event_id: kind.padEnd(32, "0"), bake_id: id, at, logged_at: at, kind, data });
  const events = [said("done", plan.steps[0].end, { step_id: plan.steps[0].step_id })]; // a dough that is there
  const seen = said("glass", now, { times: 1.6 });
  window.retimed = () => retime(plan, fold(plan, events), now);
  window.searched = () => ways(plan, fold(plan, [...events, seen]), now);
}"""
# The same search by the kitchen itself, opened with no connection, after the kitchen's own rehearsal.
REHEARSED = f"""async () => {{
  while (performance.getEntriesByName("rehearsed").length === 0) {{
    await new Promise((done) => setTimeout(done, 50));
  }}
  const [{{ plan }}] = await ({IN_DATABASE})("bundles");
  const files = performance.getEntriesByType("resource").map(({{ name }}) => name);
  const all = (file) => import(files.find((name) => name.endsWith(file)));
  // By its own name; of a script that is imported later, with all else that this hands out.
  const those = async (file) => [await all(file), ...Object.values(await all(file))];
  const holds = async (file, name) => (await those(file)).find((one) => one?.[name])[name];
  const searchOnce = await holds("kitchen-rest.js", "searchOnce");
  const retime = await holds("kitchen-first.js", "retime");
  const fold = await holds("kitchen-first.js", "fold");
  const {{ end: at, step_id }} = plan.steps[0];
  const done = {{ event_id: "f", bake_id: plan.bake_id, at, logged_at: at, kind: "done", data: {{ step_id }} }};
  window.retimed = () => retime(plan, fold(plan, [done]), Math.floor(Date.now() / 1000));
  window.searched = () => searchOnce(plan);
}}"""
# What of each page is waited for, and when it was painted.
SEEN = {"bare": ["pre, body > *"], "kitchen": ["#now-title", ".tide-figure"]}
WATCH = """(wanted) => {
  window.seen = {};
  const look = () => wanted.filter((one) => !(one in seen) && document.querySelector(one)).forEach((one) => {
    seen[one] = 0;
    requestAnimationFrame(() => setTimeout(() => { seen[one] = performance.now(); }));
  });
  new MutationObserver(look).observe(document, { childList: true, subtree: true });
}"""
ALL_SEEN = """async (wanted) => {
  while (!wanted.every((one) => seen[one] > 0)) {
    await new Promise((done) => setTimeout(done, 20));
  }
  return wanted.map((one) => seen[one]);
}"""


def long_plan(plan: Plan) -> Plan:
    """Three days from mixing to supper, cold in between."""
    first = plan.steps[0]
    mix = replace(first, start=first.start - 60 * 3600, end=first.end - 60 * 3600, place="fridge")
    return replace(plan, steps=(mix, *plan.steps[1:]), rise=replace(plan.rise, mixed_at=mix.end))


def slowed(context: BrowserContext, before: str = "") -> Page:
    """A page on a phone four times as slow; `before`: a script that runs before those of the page."""
    page = context.new_page()
    page.add_init_script(before)
    context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOW})
    return page


def seen(context: BrowserContext, url: str, wanted: list[str], before: str = "") -> list[float]:
    """When each of these was painted, ms after the page was asked for."""
    page = slowed(context, before)
    page.add_init_script(f"({WATCH})({json.dumps(wanted)})")
    page.goto(url, wait_until="commit")
    found: list[float] = page.evaluate(ALL_SEEN, wanted)
    page.close()
    return found


def in_the_way(browser: Browser, context: BrowserContext, url: str) -> float:
    """All that the tasks of a page take over 50 ms while it opens with nothing of before, by the processor time of the
    page's own thread, on a phone four times as slow: what a tap may have to wait for."""
    page = slowed(context, NOTHING_STOOD)
    page.goto("about:blank")
    browser.start_tracing(page=page, categories=["toplevel", "__metadata"])
    page.goto(url)
    page.wait_for_selector(SEEN["kitchen"][1], state="attached")
    page.wait_for_function("() => performance.getEntriesByName('rehearsed').length > 0")
    events = json.loads(browser.stop_tracing())["traceEvents"]
    page.close()
    pages = {(one["pid"], one["tid"]) for one in events
             if one["name"] == "thread_name" and one["args"]["name"] == "CrRendererMain"}  # fmt: skip
    spent_ms = dict.fromkeys(pages, 0.0)
    for one in events:
        where = (one["pid"], one["tid"])
        if where in pages and one["name"].endswith("RunTask") and "tdur" in one:
            spent_ms[where] += max(0.0, one["tdur"] / 1000 - LONG_MS)
    return max(spent_ms.values())


def packed(context: BrowserContext, server: Server, plan: Plan) -> None:
    """The bake is in the phone."""
    page = context.new_page()
    page.goto(f"{server.url}/kitchen#{plan.bake_id}")
    page.evaluate(IN_CHARGE)
    page.evaluate(PACKED, 1)
    page.goto(f"{server.url}/health")
    page.close()


def spent(page: Page, session: CDPSession, calls: list[str]) -> list[float]:
    """What each of these costs the page's own thread, as on a phone four times as slow: others at work do not count."""

    def so_far() -> float:
        found = session.send("Performance.getMetrics")["metrics"]
        return next(float(one["value"]) for one in found if one["name"] == "TaskDuration")

    out = []
    for call in ("0", *calls):
        before = so_far()
        page.evaluate(f"() => {{ {call}; }}")
        out.append((so_far() - before) * 1000 * SLOW)
    return [one - out[0] for one in out[1:]]


def computed(context: BrowserContext, url: str, ready: str, calls: list[str], wanted: str | None = None) -> list[float]:
    """The median of each call's cost, over pages that did nothing but get ready for it."""
    runs = []
    for _ in range(TRIES):
        page = context.new_page()
        session = context.new_cdp_session(page)
        session.send("Performance.enable", {"timeDomain": "threadTicks"})
        page.goto(url)
        page.evaluate(ready, wanted)
        runs.append(spent(page, session, calls))
        page.close()
    return [statistics.median(times) for times in zip(*runs, strict=True)]


def main() -> None:
    """Measure and print."""
    server = Server(Path(tempfile.mkdtemp())).start()
    try:
        with sync_playwright() as play:
            browser = play.chromium.launch(executable_path=on_path(BROWSERS), args=["--no-sandbox", "--disable-quic"])
            key = secrets.token_urlsafe(32)
            plan = server.bake(server.kitchen(key), long_plan(plan_at(at(12), bake_id=secrets.token_urlsafe(16))))
            context = browser.new_context(viewport={"width": 390, "height": 844})
            context.add_cookies([{"name": "suppertide", "value": key, "url": server.url}])
            packed(context, server, plan)
            calls = [*["retimed()"] * 9, *["searched()"] * 9]
            cold = computed(context, f"{server.url}/health", COLD, calls, plan.bake_id)
            print(f"re-time 72 h at {SLOW}x (wanted 16): first {cold[0]:.1f} ms, then {cold[8]:.1f}; "
                  f"with all ways: first {cold[9]:.1f}, second {cold[10]:.1f}, then {cold[17]:.1f}")  # fmt: skip
            server.kill()
            kitchen = f"{server.url}/kitchen#{plan.bake_id}"
            own = computed(context, kitchen, REHEARSED, calls)
            print(f"  in the kitchen once it has rehearsed: first {own[0]:.1f} ms, then {own[8]:.1f}; "
                  f"with all ways: first {own[9]:.1f}, then {own[17]:.1f}")  # fmt: skip
            rounds = [
                (seen(context, f"{server.url}/manifest.webmanifest", SEEN["bare"]),
                 seen(context, kitchen, SEEN["kitchen"]))
                for _ in range(TRIES)
            ]  # fmt: skip
            bare = statistics.median(one[0] for one, _ in rounds)
            print(f"cold offline start at {SLOW}x: a bare file from the same cache is seen after {bare:.0f} ms")
            for i, name in enumerate(("the step (wanted 1.3)", "the picture")):
                times = sorted(kitchen[i] for _, kitchen in rounds)
                ratio = statistics.median(kitchen[i] / one[0] for one, kitchen in rounds)
                print(f"  {name}: {statistics.median(times):.0f} ms, {ratio:.1f} times that; worst {times[-1]:.0f} ms")
            alone = [seen(context, kitchen, SEEN["kitchen"][:1], NOTHING_STOOD)[0] for _ in range(TRIES)]
            print(f"  the step without what stood there last: {statistics.median(alone):.0f} ms, "
                  f"{statistics.median(alone) / bare:.1f} times that")  # fmt: skip
            tasks = sorted(in_the_way(browser, context, kitchen) for _ in range(TRIES))
            print(f"tasks over {LONG_MS} ms while it opens so, by what they are over, in all (wanted 0): "
                  f"{statistics.median(tasks):.0f} ms, {tasks[0]:.0f} to {tasks[-1]:.0f}")  # fmt: skip
            browser.close()
    finally:
        server.kill()


if __name__ == "__main__":
    main()
