"""A page that no test driver watches: real touches, no gesture that nobody made, and a tab that is really hidden.

A driver's own calls count as gestures, and the pages it opens are always visible. Here a target of its own browser
context is spoken to through the browser's session: the driver leaves it alone, and another tab in front hides it.
"""

from __future__ import annotations

import json
import time
from typing import Any

from playwright.sync_api import Browser, CDPSession

from e2e.browsers import SLOWER, WHOLE

PATIENCE_S = 25.0
LOOK_AGAIN_S = 0.02  # asking without a pause kept one core of two busy, which the page then waited for
QUICK_TURNS = 3  # most answers are there by then
STANDS = f"document.querySelector({WHOLE!r})"


class Tabs:
    """A browser context of its own, with its cookie."""

    def __init__(self, browser: Browser, url: str, key: str) -> None:
        self.cdp: CDPSession = browser.new_browser_cdp_session()
        self.context = self.cdp.send("Target.createBrowserContext")["browserContextId"]
        cookie = {"name": "suppertide", "value": key, "url": url, "httpOnly": True}
        self.cdp.send("Storage.setCookies", {"cookies": [cookie], "browserContextId": self.context})
        self.url = url

    def grant(self, *permissions: str) -> None:
        """As a person would have, in the browser's own settings."""
        self.cdp.send(
            "Browser.grantPermissions",
            {"permissions": list(permissions), "origin": self.url, "browserContextId": self.context},
        )

    def open(self, path: str, script: str = "", touch: bool = True, size: tuple[int, int] = (390, 844)) -> Tab:
        """A tab in front; `script` runs before the page's own."""
        made = self.cdp.send("Target.createTarget", {"url": "about:blank", "browserContextId": self.context})
        tab = Tab(self.cdp, made["targetId"])
        metrics = {"width": size[0], "height": size[1], "deviceScaleFactor": 1, "mobile": touch}
        tab.send("Emulation.setDeviceMetricsOverride", **metrics)
        tab.send("Emulation.setTouchEmulationEnabled", enabled=touch, maxTouchPoints=5)
        tab.send("Emulation.setCPUThrottlingRate", rate=SLOWER)
        tab.send("Page.enable")
        if script:
            tab.send("Page.addScriptToEvaluateOnNewDocument", source=script)
        tab.send("Page.navigate", url=self.url + path)
        return tab

    def worker(self) -> Tab:
        """The worker of these tabs, to be spoken to as a tab is."""
        found = [one for one in self.cdp.send("Target.getTargets")["targetInfos"]
                 if one["type"] == "service_worker" and one.get("browserContextId") == self.context]  # fmt: skip
        return Tab(self.cdp, found[0]["targetId"])

    def close(self) -> None:
        """All tabs and what they kept."""
        self.cdp.send("Target.disposeBrowserContext", {"browserContextId": self.context})
        self.cdp.detach()


class Tab:
    """One tab, spoken to in the protocol's own words."""

    def __init__(self, cdp: CDPSession, target: str) -> None:
        self.cdp, self.target = cdp, target
        self.answers: dict[int, dict[str, Any]] = {}
        self.sent = 0
        self.taps = 0
        self.session = cdp.send("Target.attachToTarget", {"targetId": target, "flatten": False})["sessionId"]
        cdp.on("Target.receivedMessageFromTarget", self._got)

    def _got(self, event: dict[str, Any]) -> None:
        if event["sessionId"] == self.session:
            message = json.loads(event["message"])
            if "id" in message:
                self.answers[message["id"]] = message

    def send(self, method: str, **params: Any) -> dict[str, Any]:
        """One command and its answer."""
        self.sent += 1
        message = json.dumps({"id": self.sent, "method": method, "params": params})
        self.cdp.send("Target.sendMessageToTarget", {"sessionId": self.session, "message": message})
        until = time.monotonic() + PATIENCE_S
        turns = 0
        while self.sent not in self.answers:
            self.cdp.send("Target.getTargets")  # a turn of the driver's loop
            time.sleep(LOOK_AGAIN_S if (turns := turns + 1) > QUICK_TURNS else 0)
            assert time.monotonic() < until, f"{method} was not answered"
        answer = self.answers.pop(self.sent)
        assert "error" not in answer, answer
        result: dict[str, Any] = answer["result"]
        return result

    def js(self, expression: str) -> Any:
        """What this comes to in the page; no gesture. A node is true (by value it would be an empty object)."""
        answer = self.send("Runtime.evaluate", expression=expression, awaitPromise=True)
        assert "exceptionDetails" not in answer, answer
        result = answer["result"]
        if "objectId" not in result or result.get("subtype") == "node":
            return result.get("value", result.get("subtype") == "node" or None)
        itself = {"objectId": result["objectId"], "functionDeclaration": "function () { return this; }"}
        return self.send("Runtime.callFunctionOn", **itself, returnByValue=True)["result"].get("value")

    def until(self, expression: str, patience_s: float = PATIENCE_S) -> Any:
        """As `js`, once it is true; what cannot be asked of a page still half there is asked again."""
        end = time.monotonic() + patience_s
        while True:
            try:
                value, why = self.js(expression), ""
            except AssertionError as no:
                value, why = None, str(no)[:400]
            if value:
                return value
            assert time.monotonic() < end, f"never true: {expression}\n{why or self.js('document.body.innerText')}"
            time.sleep(LOOK_AGAIN_S)

    def reload(self) -> None:
        """The page anew, once its kitchen has started and what belongs to it stands."""
        self.js("window.old = true")
        self.send("Page.reload")
        self.until(f"!window.old && {STANDS}")

    def front(self) -> None:
        """Bring this tab before the others, which are hidden by it."""
        self.cdp.send("Target.activateTarget", {"targetId": self.target})

    def where(self, selector: str) -> tuple[float, float]:
        """The middle of an element, scrolled into view; a page that still grows is waited for, as a person would."""
        self.until(f"document.querySelector({selector!r})")
        end, before = time.monotonic() + PATIENCE_S, None
        while (here := self.at_once(selector)) != before and time.monotonic() < end:
            before = here
            self.js("new Promise((go) => setTimeout(() => go(true), 150))")
        return here

    def at_once(self, selector: str) -> tuple[float, float]:
        """The same as it is now, for a tap that must follow another quickly."""
        x, y = self.js(
            f"""(() => {{ const node = document.querySelector({selector!r});
            node.scrollIntoView({{ block: "center", behavior: "instant" }});
            const box = node.getBoundingClientRect();
            return [box.x + box.width / 2, box.y + box.height / 2]; }})()"""
        )
        return x, y

    def down(self, point: tuple[float, float], **more: float) -> None:
        """A finger on the glass."""
        touch = {"x": point[0], "y": point[1]}
        self.send("Input.dispatchTouchEvent", type="touchStart", touchPoints=[touch], **more)

    def up(self, **more: float) -> None:
        """The finger leaves it."""
        self.send("Input.dispatchTouchEvent", type="touchEnd", touchPoints=[], **more)

    def tap(self, point: tuple[float, float], at: float | None = None) -> None:
        """Both; `at`: when the finger touched the glass (epoch), for a machine too busy to tell of it in time."""
        told = {} if at is None else {"timestamp": at}
        self.taps += 1
        self.down(point, **told)
        self.up(**told)

    def touch(self, selector: str) -> None:
        """A tap on the middle of an element, once it neither rests from the tap before nor stands from last time."""
        point = self.where(selector)
        self.until(f"!document.querySelector({selector!r})?.matches('[aria-disabled], :disabled')")
        self.tap(point)
