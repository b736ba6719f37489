"""A phone older than a name of its kitchen's time zone."""

from __future__ import annotations

from playwright.sync_api import Browser

from e2e.server import Server

CLOCKS = """async () => {
  const { formatFor } = await import("/static/js/lib/format.js");
  const { localFor } = await import("/static/js/pictures/figure.js");
  const at = Date.UTC(2026, 10, 25, 18, 30) / 1000;
  return ["Europe/Newname", "Asia/Tokyo"].map((zone) => {
    const here = localFor(zone, { clock: "24" });
    const format = formatFor(zone, { clock: "24" });
    return [format.clock(at), here.clock(at), here.day(at), format.isKnown];
  });
}"""


def test_a_phone_that_does_not_know_the_zone_shows_its_own_time(browser: Browser, shared_server: Server) -> None:
    context = browser.new_context(timezone_id="Europe/Lisbon")
    page = context.new_page()
    page.goto(f"{shared_server.url}/health")
    assert page.evaluate(CLOCKS) == [["18:30", "18:30", "Wed", False], ["03:30", "03:30", "Thu", True]]
    context.close()
