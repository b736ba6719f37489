"""Keys never reach a log: whatever is logged, by us or by the server in front of us, loses them first."""

from __future__ import annotations

import logging
import re
from collections.abc import Callable
from typing import Any

# A feed's address is its key; so is the code with which a phone joins, and the address of a push message.
_SECRETS = (
    (re.compile(r"(/feed/)[^/\s\"'?#]+"), r"\1(hidden).ics"),
    (re.compile(r"([?&]code=)[^&\s\"'#]+"), r"\1(hidden)"),
    (re.compile(r"(https://(?:fcm\.googleapis|[\w.-]*push[\w.-]*|[\w.-]*notify\.windows)\.[\w.]+/)\S+"), r"\1(hidden)"),
)
# What the HTTP client logs may be a key, whatever it looks like.
_ANY_ADDRESS = re.compile(r"(https?://[^/\s\"']+/)[^\s\"']+")


def redacted(text: str) -> str:
    """The text with every key in it replaced."""
    for pattern, instead in _SECRETS:
        text = pattern.sub(instead, text)
    return text


def clean(record: logging.LogRecord) -> logging.LogRecord:
    """The same record without keys, in its words and in its traceback."""
    try:
        said = record.getMessage()
    except (TypeError, ValueError):  # words and values that do not fit each other: no reason to break what logs them
        said = f"{record.msg} {record.args}"
    record.msg, record.args = redacted(said), None
    if record.name.startswith("http"):
        record.msg = _ANY_ADDRESS.sub(r"\1(hidden)", record.msg)
    if record.exc_info and not record.exc_text:
        record.exc_text = logging.Formatter().formatException(record.exc_info)
    if record.exc_text:
        record.exc_text = redacted(record.exc_text)
    return record


class _Clean:
    """Makes records without keys, by what made them before."""

    def __init__(self, before: Callable[..., logging.LogRecord]) -> None:
        self._before = before

    def __call__(self, *args: Any, **more: Any) -> logging.LogRecord:
        return clean(self._before(*args, **more))


def install() -> None:
    """From now on every record loses its keys as it is made, whoever logs it; once. A filter would be asked only of the
    loggers that it was put on, and not of those below them."""
    before = logging.getLogRecordFactory()
    if not isinstance(before, _Clean):
        logging.setLogRecordFactory(_Clean(before))
