"""The kitchen shell: the page, its files, the worker and the manifest, the same bytes for everybody.

The shell's files have addresses of their own, `/shell/<version>/...`, with the version made from their contents: the
worker keeps exactly those and answers for nothing else, and every other page of the site is always as fresh as the
server. There is no build step: which scripts belong to the kitchen is read from their imports, and they are joined into
three files when the shell is read (webapp/web/files/script_files.py), the style sheets into one.
"""

from __future__ import annotations

import base64
import hashlib
import json
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from flask import Blueprint, Response, abort, current_app, render_template, request, url_for

from webapp.machine import folders
from webapp.web.files import packing, script_files
from webapp.web.files.compressed import YEAR_S, closed_up, lean
from webapp.words.pages import kitchen as said

bp = Blueprint("shell", __name__)

_STYLES = ("css/base.css", "css/kitchen.css", "css/chart.css")
_LOOKS = "css/kitchen.css"  # all of them, one behind the other
_ENTRY = "js/kitchen/kitchen.js"
_BESIDE = "js/kitchen/more.js"  # belongs to the first view, which does without it when it does not arrive
_FIRST = "js/kitchen-first.js"  # what the first view needs
_STEP = "js/kitchen-step.js"  # all else that belongs to the step
_REST = "js/kitchen-rest.js"  # what is loaded once the step can be seen
_GUARD = "js/pages/guard.js"  # for browsers too old for the entry, and for an entry that did not arrive
_ICONS = ("icons/mark.svg",)
_TYPES = {".js": "text/javascript", ".css": "text/css", ".svg": "image/svg+xml", ".png": "image/png"}


@dataclass(frozen=True)
class ShellFile:
    """One file of the shell: its path below static/, its bytes, the same compressed."""

    path: str
    packed: packing.Packed

    @property
    def body(self) -> bytes:
        """Its bytes as a browser reads them."""
        return self.packed.body

    @property
    def mimetype(self) -> str:
        """By the ending of its name."""
        return _TYPES[Path(self.path).suffix]


@dataclass(frozen=True)
class Shell:
    """All files of the shell and the version that their contents make."""

    version: str
    files: tuple[ShellFile, ...]

    def file(self, path: str) -> ShellFile | None:
        """The file of that path below static/."""
        return next((one for one in self.files if one.path == path), None)


def read_shell(static: Path, templates: Path) -> Shell:
    """The shell as it lies on the disk."""
    looks = _file(_LOOKS, "".join(_lean(static, path) for path in _STYLES))
    lying = [_file(path, _lean(static, path)) for path in (_GUARD, *_ICONS)]
    files = (looks, *lying, *(_file(path, text) for path, text in _scripts(static).items()))
    parts = [one.path.encode() + b"\0" + one.body for one in files]
    parts += [(templates / name).read_bytes() for name in ("phone/kitchen.html", "parts/icons.html")]
    parts.append((static / "sw.js").read_bytes())
    version = hashlib.sha256(b"\0".join(hashlib.sha256(part).digest() for part in parts)).hexdigest()[:16]
    return Shell(version, files)


def _scripts(static: Path) -> dict[str, str]:
    scripts = kitchen_scripts(static)
    first = script_files.in_order(scripts, [_ENTRY])
    step = script_files.in_order(scripts, [_BESIDE], first)
    rest = script_files.in_order(scripts, scripts, (*first, *step))
    files = script_files.join(scripts, {_FIRST: first, _STEP: step, _REST: rest})
    return {path: closed_up(text) for path, text in files.items()}


def kitchen_scripts(static: Path) -> dict[str, script_files.Script]:
    """The kitchen's entry and everything that it imports, at once or later, however far down; by path."""
    found: dict[str, script_files.Script] = {}
    wanted = [_ENTRY]
    for path in wanted:
        if path not in found:
            written = (static / path).read_text(encoding="utf-8")
            found[path] = script_files.script(path, lean(written, ".js"), written)
            wanted += (*found[path].at_once, *found[path].later)
    return found


def _lean(static: Path, path: str) -> str:
    return lean((static / path).read_text(encoding="utf-8"), Path(path).suffix)


def _file(path: str, text: str) -> ShellFile:
    return ShellFile(path, packing.packed(text.encode()))


@cache
def _kept(static: Path, templates: Path) -> Shell:
    return read_shell(static, templates)


def shell() -> Shell:
    """The shell, read once; anew for each request while the app is in debug mode."""
    here = (folders.static_folder(), folders.templates_folder())
    return read_shell(*here) if current_app.debug else _kept(*here)


@bp.get("/kitchen")
def kitchen() -> Response:
    """The kitchen screen. The bake is named after the # of the address, which never reaches the server."""
    return _answer(kitchen_page().encode(), "text/html", cache="no-cache")


def kitchen_page() -> str:
    """The page's text: nothing personal, no token."""
    scripts = {"entry": _url(_FIRST), "beside": _url(_STEP), "guard": _url(_GUARD)}
    return render_template("phone/kitchen.html", looks=_url(_LOOKS), icon=_url(_ICONS[0]), **scripts)


@bp.get("/shell/<version>/<path:path>")
def file(version: str, path: str) -> Response:
    """A file of the shell; of another version there is none."""
    here = shell()
    found = here.file(path)
    if version != here.version or found is None:
        abort(404)
    return _answer(found.body, found.mimetype, cache=f"public, max-age={YEAR_S}, immutable")


@bp.get("/sw.js")
def worker() -> Response:
    """The worker with its list filled in; asked for again at every visit, so it must not be kept."""
    here = shell()
    wanted = {_url(one.path): _digest(one.body) for one in here.files}
    wanted[url_for("shell.kitchen")] = _digest(kitchen_page().encode())
    wanted[url_for("shell.manifest")] = _digest(_manifest().encode())
    source = (folders.static_folder() / "sw.js").read_text(encoding="utf-8")
    text = source.replace('"VERSION"', json.dumps(here.version)).replace('"FILES"', json.dumps(wanted, indent=1))
    return _answer(text.encode(), "text/javascript", cache="no-cache")


@bp.get("/manifest.webmanifest")
def manifest() -> Response:
    """What an installed app is called, looks like and opens with."""
    return _answer(_manifest().encode(), "application/manifest+json", cache="no-cache")


def _manifest() -> str:
    about = {
        "id": "/kitchen",
        "name": "Suppertide",
        "short_name": "Suppertide",
        "description": said.DESCRIPTION,
        "start_url": "/kitchen",
        "scope": "/",
        "display": "standalone",
        "lang": "en",
        "background_color": "#fbf6ea",
        "theme_color": "#142e5c",
        "icons": [
            {"src": "/static/icons/mark.svg", "sizes": "any", "type": "image/svg+xml", "purpose": "any"},
            {"src": "/static/icons/mark-192.png", "sizes": "192x192", "type": "image/png", "purpose": "any"},
            {"src": "/static/icons/mark-512.png", "sizes": "512x512", "type": "image/png", "purpose": "any"},
            {"src": "/static/icons/mask-512.png", "sizes": "512x512", "type": "image/png", "purpose": "maskable"},
        ],
        "shortcuts": [{"name": said.SHORTCUT_PLAN, "url": "/"}, {"name": said.SHORTCUT_KITCHEN, "url": "/kitchen"}],
    }
    return json.dumps(about, indent=1)


@bp.get("/favicon.ico")
def favicon() -> Response:
    """The mark for browsers that do not read the page's link."""
    icon = (folders.static_folder() / "icons" / "mark-192.png").read_bytes()
    return _answer(icon, "image/png", cache="public, max-age=86400")


def _url(path: str) -> str:
    return url_for("shell.file", version=shell().version, path=path)


def _digest(body: bytes) -> str:
    return base64.b64encode(hashlib.sha256(body).digest()).decode()


def _answer(body: bytes, mimetype: str, cache: str) -> Response:
    response = Response(body, mimetype=mimetype)
    if mimetype != "image/png":
        packing.pack(response, packing.packed(body))
    response.headers["Cache-Control"] = cache
    response.add_etag()
    response.make_conditional(request)
    return response
