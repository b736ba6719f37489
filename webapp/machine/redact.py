"""Keys never reach a log: whatever is logged, by us or by the server in front of us, loses them first."""

from __future__ import annotations

import logging
import re

# A feed's address is its key; so is the code with which a phone joins, and the address of a push message.
_SECRETS = (
    (re.compile(r"(/feed/)[^/\s\"'?#]+"), r"\1(hidden).ics"),
    (re.compile(r"([?&]code=)[^&\s\"'#]+"), r"\1(hidden)"),
    (re.compile(r"(https://(?:fcm\.googleapis|[\w.-]*push[\w.-]*|[\w.-]*notify\.windows)\.[\w.]+/)\S+"), r"\1(hidden)"),
)
# What the HTTP client logs may be a key, whatever it looks like.
_ANY_ADDRESS = re.compile(r"(https?://[^/\s\"']+/)[^\s\"']+")
_LOGGERS = (
    "", "webapp", "webapp.web", "webapp.server.front", "hypercorn", "hypercorn.error", "asyncio", "werkzeug", "httpx",
    "httpcore", "py.warnings",
)  # fmt: skip


def redacted(text: str) -> str:
    """The text with every key in it replaced."""
    for pattern, instead in _SECRETS:
        text = pattern.sub(instead, text)
    return text


class Redact(logging.Filter):
    """Rewrites a record before anybody formats it, its traceback included."""

    def filter(self, record: logging.LogRecord) -> bool:
        """Always True: nothing is dropped."""
        record.msg, record.args = redacted(record.getMessage()), None
        if record.name.startswith("http"):
            record.msg = _ANY_ADDRESS.sub(r"\1(hidden)", record.msg)
        if record.exc_info and not record.exc_text:
            record.exc_text = logging.Formatter().formatException(record.exc_info)
        if record.exc_text:
            record.exc_text = redacted(record.exc_text)
        return True


def install() -> None:
    """Put the filter on every logger that could see an address, once."""
    for name in _LOGGERS:
        logger = logging.getLogger(name)
        if not any(isinstance(one, Redact) for one in logger.filters):
            logger.addFilter(Redact())
