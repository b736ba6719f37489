"""`create_app(settings)` puts together the pages and the API. The only folder that knows Flask.

Every family of pages is a module of its own with a blueprint `bp`; families do not import each other. What they share
stands in `door` (who asks, and the world for use cases), `forms`, `filters`, `errors` and `origin`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from functools import partial
from typing import cast

from flask import Flask, Response, request
from flask.sessions import SecureCookieSessionInterface, SessionMixin
from flask_wtf import CSRFProtect  # type: ignore[import-untyped]  # ships no types
from werkzeug.middleware.proxy_fix import ProxyFix

from webapp.kitchens import access
from webapp.kitchens.busy import calendar_file
from webapp.machine import folders
from webapp.machine.secret_file import secret_of
from webapp.machine.settings import Settings
from webapp.planning import kept_part
from webapp.planning.evenings import Planner, plan_week
from webapp.planning.remembered import Remembered, RememberedFirst, RememberedWeek, first_of
from webapp.store.store import Store
from webapp.web import door, errors, filters, limits, origin, reminder_tools
from webapp.web.bakes import book, compare, outcome
from webapp.web.doughs import formulas, methods, toppings
from webapp.web.files import compiled, compressed
from webapp.web.kitchen import busy, join, more, oven, sample_glass, take_along, zone
from webapp.web.kitchen import settings as kitchen_settings
from webapp.web.phone import api, health, push, shell
from webapp.web.phone.described.route import Address
from webapp.web.plan import bake_pages, form, home, mixed, spare, week, what_if
from webapp.web.reminders import calendar, elsewhere, page, unchanged_feed

# One line for each family of pages. The API is called by a shell that can hold no form token: see origin.py.
_FAMILIES = (
    home.bp,
    form.bp,
    bake_pages.bp,
    mixed.bp,
    spare.bp,
    api.bp,
    health.bp,
    zone.bp,
    kitchen_settings.bp,
    busy.bp,
    join.bp,
    more.bp,
    take_along.bp,
    calendar.bp,
    page.bp,
    push.bp,
    formulas.bp,
    book.bp,
    week.bp,
    shell.bp,
    oven.bp,
    sample_glass.bp,
    outcome.bp,
    toppings.bp,
    methods.bp,
    what_if.bp,
    compare.bp,
)
_BESIDE_FILE = 100_000  # bytes of a form around its file: the other fields, the token, the boundaries
_WITHOUT_TOKEN = (api.bp, push.bp)

# Pages on which a key or a code stands: in no cache, not even in the browser's own.
_WITH_KEYS = {
    "join.show",
    "join.join",
    "join.make_code",
    "reminders.show",
    "reminders.make_feed",
    "reminders.find",
    "busy.follow",
}

_CONTENT_SECURITY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; connect-src 'self'; "
    "manifest-src 'self'; worker-src 'self'; media-src 'self' blob: data:; font-src 'self'; form-action 'self'; "
    "base-uri 'none'; frame-ancestors 'none'"
)
_HEADERS = {
    "Content-Security-Policy": _CONTENT_SECURITY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "X-Frame-Options": "DENY",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Permissions-Policy": "camera=(self), geolocation=(), microphone=()",
}


def create_app(
    settings: Settings,
    *,
    planner: Planner | None = None,
    now: Callable[[], int] | None = None,
    new_id: Callable[[], str] | None = None,
) -> Flask:
    """The WSGI app on the database in `settings.data`; tests hand in their own planner, clock and ids."""
    app = Flask(
        "webapp.web",
        template_folder=str(folders.templates_folder()),
        static_folder=str(folders.static_folder()),
        static_url_path="/static",  # said here: Flask would take the folder's name, which in a wheel is another one
    )
    app.secret_key = secret_of(settings.data / "session.key")
    app.config.update(
        MAX_CONTENT_LENGTH=settings.max_body,
        MAX_FORM_MEMORY_SIZE=settings.max_body,
        MAX_FORM_PARTS=2000,
        SESSION_COOKIE_NAME="suppertide-form",
        SESSION_COOKIE_SAMESITE="Lax",
        WTF_CSRF_TIME_LIMIT=None,  # a form filled in over a day is still good
        WTF_CSRF_SSL_STRICT=False,  # origin.py asks the browser itself, which also works behind a proxy
    )
    app.session_interface = _Sessions()
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    compiled.install(app)
    world = _world(settings, planner, now, new_id)
    origin.install(app, settings)
    door.install(app, world)
    errors.install(app)
    filters.register(app)
    reminder_tools.install(app, settings)
    elsewhere.register(app)
    unchanged_feed.install(app)
    for family in _FAMILIES:
        app.register_blueprint(family)
    most = most_bytes(settings)
    app.before_request(lambda: _let_in(most))
    tokens = CSRFProtect(app)  # after what lets larger files in, for it reads the form
    for family in _WITHOUT_TOKEN:
        tokens.exempt(family)
    limits.install(app, _household)
    app.after_request(lambda response: _add_headers(response, settings.public_url))
    app.before_request(_say_route)
    app.context_processor(lambda: {"plain_http": not request.is_secure and not origin.is_this_machine(request.host)})
    compressed.install(app)
    access.sweep(world.store, world.now())
    if settings.proxies:
        count = settings.proxies
        fixed = ProxyFix(app.wsgi_app, x_for=count, x_proto=count, x_host=count)
        app.wsgi_app = origin.OnlyNamedHosts(fixed, settings)  # type: ignore[method-assign]
    return app


def most_bytes(settings: Settings) -> Callable[[str], int]:
    """The largest body in bytes that the app takes at a path: the setting, or more where a larger file is welcome."""
    files = {"/import": take_along.MOST_BROUGHT_BYTES, "/settings/busy": calendar_file.MOST_FILE_BYTES}
    most = {path: max(settings.max_body, file + _BESIDE_FILE) for path, file in files.items()}
    return lambda path: most.get(path, settings.max_body)


def _let_in(most: Callable[[str], int]) -> None:
    request.max_content_length = most(request.path)


def beforehand(app: Flask) -> Iterator[Callable[[], object]]:
    """What pages need once in a process, bit by bit: the day that is proposed to somebody new, templates compiled, the
    kitchen screen's files packed."""
    yield partial(_first_page, app)
    for name in app.jinja_env.list_templates():
        yield partial(app.jinja_env.get_template, name)
    with app.app_context():
        yield shell.shell


def _first_page(app: Flask) -> None:
    with app.test_request_context("/"):
        home.show()


def addresses_of(app: Flask) -> list[Address]:
    """Every address of the app, for the description of those that speak JSON."""
    return [
        Address(rule.rule, rule.endpoint, frozenset(rule.methods or ()), app.view_functions[rule.endpoint])
        for rule in app.url_map.iter_rules()
    ]


def store_of(app: Flask) -> Store:
    """The database behind the app."""
    return cast(door.World, app.extensions["suppertide"]).store


def _household() -> str:
    home = door.known()
    return home.kitchen_id if home else ""


def _say_route() -> None:
    """For the server in front: which pattern answers, so that its log needs no address with ids in it."""
    request.environ[door.ROUTE] = request.url_rule.rule if request.url_rule else "(none)"


class _Sessions(SecureCookieSessionInterface):
    """The session holds nothing but the form token. It outlives the browser, as phones close browsers all day."""

    def get_expiration_time(self, app: Flask, session: SessionMixin) -> datetime | None:
        del app, session  # the same for all
        return datetime.now(UTC) + timedelta(days=400)

    def get_cookie_secure(self, app: Flask) -> bool:
        del app  # the request says it: the same app may be asked by https and, at home, without
        return request.is_secure


def _world(
    settings: Settings,
    planner: Planner | None,
    now: Callable[[], int] | None,
    new_id: Callable[[], str] | None,
) -> door.World:
    asked = planner or kept_part.plans_with_kept
    return door.World(
        settings=settings,
        store=Store(settings.database),
        planner=asked,
        remembered=Remembered(asked),
        first=RememberedFirst(first_of(planner) if planner else kept_part.first_with_kept),
        weeks=RememberedWeek(plan_week),
        now=now or door.seconds,
        new_id=new_id or door.random_id,
    )


def _add_headers(response: Response, public_url: str) -> Response:
    for name, value in _HEADERS.items():
        response.headers.setdefault(name, value)
    if request.is_secure and origin.is_named(request.host, public_url):
        # Not at home: there the page that hands over the certificate lives on the same name without https.
        response.headers.setdefault("Strict-Transport-Security", "max-age=31536000")
    if request.endpoint in _WITH_KEYS:
        response.headers["Cache-Control"] = "no-store"
    if response.mimetype == "text/html":
        # Pages show one kitchen's own things: kept by nobody, asked for again each time.
        response.headers.setdefault("Cache-Control", "private, no-cache")
    return response
