"""What is written down about requests when somebody asks for it: an access log in JSON, figures for Prometheus.

Neither holds an address of a person, a key, a name or an id: a request is told by the pattern of its route.
"""

from __future__ import annotations

import json
import logging
import sys
import time
from collections.abc import Callable
from typing import TextIO

from webapp.machine.settings import Settings
from webapp.server.front import Answered
from webapp.words.problems.told import refused

_MOST_FILES = 65_536
_METHODS = {"GET", "HEAD", "POST", "OPTIONS"}  # what anybody can send must not make new rows without end
Watcher = Callable[[Answered], None]

log = logging.getLogger(__name__)


def watchers(settings: Settings, out: TextIO | None = None) -> list[Watcher]:
    """What the settings ask for; nothing by default."""
    found = [access_log(out or sys.stderr)] if settings.access_log else []
    return found + ([metrics(settings.metrics)] if settings.metrics else [])


def access_log(out: TextIO) -> Watcher:
    """One JSON line for each request."""

    def write(one: Answered) -> None:
        line = {
            "at": time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime()),
            "method": one.method,
            "route": one.route,
            "status": one.status,
            "bytes": one.sent,
            "ms": round(one.seconds * 1000, 1),
            "http": one.protocol,
        }
        print(json.dumps(line), file=out, flush=True)

    return write


def metrics(address: tuple[str, int]) -> Watcher:
    """Counts and durations at http://HOST:PORT/metrics, a socket of its own. Raises PlanError without the extra, and
    for an address that cannot be had."""
    try:
        from prometheus_client import CollectorRegistry, Counter, Histogram, start_http_server
    except ImportError:
        way_out = "Install it: pip install suppertide[metrics]"
        raise refused("metrics", "The package prometheus-client is not installed.", way_out) from None
    host, port = address
    registry = CollectorRegistry()
    try:
        start_http_server(port, host, registry=registry)
    except OSError as error:
        said = f"Figures cannot be told at {host}:{port} ({error.strerror or error})."
        raise refused("metrics", said, "Name another address in SUPPERTIDE_METRICS.") from None
    labels = ["method", "route", "status"]
    counted = Counter("suppertide_requests", "Requests answered.", labels, registry=registry)
    said = "From the head of a request to the end of its answer."
    took = Histogram("suppertide_request_seconds", said, ["route"], registry=registry)

    def count(one: Answered) -> None:
        counted.labels(one.method if one.method in _METHODS else "OTHER", one.route, str(one.status)).inc()
        took.labels(one.route).observe(one.seconds)

    return count


def raise_limits() -> None:
    """As many open connections as the system lets us have: its first offer is often a thousand."""
    try:
        import resource
    except ImportError:  # Windows has no such limit
        return
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = _MOST_FILES if hard == resource.RLIM_INFINITY else min(hard, _MOST_FILES)
    if soft != resource.RLIM_INFINITY and soft < wanted:
        try:
            resource.setrlimit(resource.RLIMIT_NOFILE, (wanted, hard))
        except (OSError, ValueError) as error:
            log.info("open files stay limited to %s: %s", soft, error)


def most_files() -> int:
    """How many files this process may have open."""
    try:
        import resource
    except ImportError:  # Windows has no such limit
        return _MOST_FILES
    soft = resource.getrlimit(resource.RLIMIT_NOFILE)[0]
    return _MOST_FILES if soft == resource.RLIM_INFINITY else soft
