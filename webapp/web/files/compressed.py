"""Text travels compressed: what never changes packed once and kept (packing.py), pages as they are made.

Style sheets and scripts of the pages have addresses made from their contents: a browser keeps them for ever. The sheets
of a page are one file, in the order in which it names them, so that one round trip brings them all; what is only for
paper comes last, inside its own media rule. Its scripts are one file with all that they import. What goes out there is
lean too.
"""

from __future__ import annotations

import gzip
import hashlib
import io
import re
import secrets
from functools import lru_cache
from pathlib import Path

from flask import Flask, Response, abort, current_app, request, url_for

from webapp.machine import folders
from webapp.web.files import packing, script_files

_TEXT = ("text/", "application/json", "application/javascript", "application/manifest+json", "image/svg+xml")
EVERY = ("base", "pages", "chart")  # sheets that all pages have
PAPER = "paper"  # print.css, for paper alone
LAST = "pages/unsent"  # a script that all pages have, behind their own
YEAR_S = 365 * 86400
_STYLE, _SCRIPT = "files-style", "files-script"  # the names of the two addresses
# A comment after code, with no quote behind it: so it cannot lie inside a text, which would have to end on this line.
_LAST_WORDS = re.compile(r"""(?<=[;{},([)=])\s+// [^"'`]*$""")
_OPEN = tuple(";{},([")  # after these a line break says nothing, where every statement ends with its semicolon
_CONST = re.compile(r"(^|[;{}(])const(?= [\w$\[]|\{)", re.MULTILINE)  # where a statement begins
_ONE = re.compile(r"(?<!\w)\((\w+)\)=>")  # what a short function is given, where that is one thing
_TRUTH = re.compile(r"(?<=[:=,(!&|?])(?:true|false)(?=[,;)}\]&|:])")  # no text of ours has one between such signs
_GIVES = re.compile(r"(?:const|let)(?: (?=[\w$\[])|(?=\{))")
# Room in a script that means nothing, outside of texts (one may lie in another) and of what is left of comments: around
# arrows, braces, commas, semicolons, "=" and what compares or joins two values, behind a value's name, and behind "if"
# and its like.
# Of "+" and "-" two side by side are another sign.
_JS_ROOM = re.compile(
    r"""("(?:[^"\\\n]|\\.)*"|'(?:[^'\\\n]|\\.)*'|`(?:\$\{(?:[^{}`\n]|`[^`\n]*`|\{[^{}`\n]*\})*\}|[^`\n])*`|//[^\n]*)"""
    r"""|[ ]?(=>|[{},;]|(?<=[ ])(?:={1,3}|[-+]=|!==|&&|\|\||\?\??|:|[<>]=?|[*%/])(?=[ ])"""
    r"""|(?<=[^-+][ ])[-+](?=[ ][^-+]))[ ]?|\b(if|for|while|catch|return|async|await)[ ](?=\()"""
    r"""|(?<=[\w"\]]:)[ ]"""
)
_IN_TEXT = re.compile(r"\$\{([^{}`]*)\}")  # worked out where it stands; what holds braces or a text of its own stays
_CSS_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
_CSS_ROOM = re.compile(r"\s*([{};,])\s*|(:)\s+")  # around these signs, which no text of ours in a style sheet holds
_MOST_KEPT = 256  # sheets and scripts that were joined; anybody can ask for them in another order
_LEAST = 500  # bytes: below that the head of a packed file outweighs what it saves


def install(app: Flask) -> None:
    """Pack what the browser takes packed and nobody has packed yet; `style_url` and `script_url` for templates."""
    app.add_url_rule("/files/<version>/<names>.css", _STYLE, style)
    app.add_url_rule("/files/<version>/js/<names>.js", _SCRIPT, page_script)
    app.jinja_env.globals.update(style_url=style_url, script_url=script_url)
    app.after_request(_pack)


def _pack(response: Response) -> Response:
    if not (response.mimetype or "").startswith(_TEXT):
        return response
    response.vary.add("Accept-Encoding")
    fits = response.status_code == 200 and "Content-Encoding" not in response.headers
    if not fits or request.accept_encodings["gzip"] <= 0 or "Content-Range" in response.headers:
        return response
    if request.endpoint == "static":
        return _file(response)
    body = response.get_data()
    if len(body) >= _LEAST:
        by_brotli = response.mimetype == "text/html" and packing.takes_brotli()
        _swap(response, *((packing.page(body), "br") if by_brotli else (_page(body), "gzip")))
    return response


def _file(response: Response) -> Response:
    found = Path(str(current_app.static_folder)) / (request.view_args or {})["filename"]
    stat = found.stat()
    packed = _packed(found, stat.st_mtime_ns, stat.st_size)
    response.direct_passthrough = False
    response.response.close()  # type: ignore[union-attr]  # the open file that would have been sent
    _swap(response, packed)
    return response.make_conditional(request)  # type: ignore[return-value]  # it returns the response itself


def _swap(response: Response, packed: bytes, encoding: str = "gzip") -> None:
    tag, weak = response.get_etag()
    response.set_data(packed)
    response.headers["Content-Encoding"] = encoding
    if tag is not None:
        response.set_etag(f"{tag}-{encoding}", weak=bool(weak))


@lru_cache(maxsize=256)
def _packed(path: Path, changed: int, size: int) -> bytes:
    del changed, size  # part of the key: a changed file is packed anew
    body = path.read_bytes()
    return gzip.compress(lean(body.decode(), ".css").encode() if path.suffix == ".css" else body, 9, mtime=0)


def _page(body: bytes) -> bytes:
    """A page holds a form token and may repeat what was typed: a name of random length in the head of the packed page
    hides how well the one goes with the other (the length of an encrypted answer can be seen on the way)."""
    out = io.BytesIO()
    name = secrets.token_hex(secrets.randbelow(32))
    with gzip.GzipFile(filename=name, mode="wb", compresslevel=6, fileobj=out, mtime=0) as file:
        file.write(body)
    return out.getvalue()


def style_url(names: str = "") -> str:
    """The address of the style sheet of a page that wants these besides what all pages have, with spaces between."""
    joined = "+".join(dict.fromkeys((*EVERY, *names.split(), PAPER)))
    return url_for(_STYLE, version=_version(_style(joined)), names=joined)


def script_url(names: str = "") -> str:
    """The address of the script of a page that wants these besides what all pages have: paths below static/js/ without
    their ending, with spaces between."""
    joined = "+".join(dict.fromkeys((*names.split(), LAST))).replace("/", ".")
    return url_for(_SCRIPT, version=_version(_script(joined)), names=joined)


def style(version: str, names: str) -> Response:
    """Those sheets as one; of another version there are none."""
    body = _style(names)
    if not body or version != _version(body):
        abort(404)
    return _kept_for_ever(body, "text/css")


def page_script(version: str, names: str) -> Response:
    """Those scripts, each after what it imports, as one; of another version there are none."""
    body = _script(names)
    if not body or version != _version(body):
        abort(404)
    return _kept_for_ever(body, "text/javascript")


def lean(text: str, suffix: str) -> str:
    """Without comments (a few cannot be told from a text and stay) and room between words: a quarter less to carry."""
    if suffix == ".css":
        text = _CSS_ROOM.sub(r"\1\2", _CSS_COMMENT.sub("", text))
    lines = (_LAST_WORDS.sub("", line.strip()) if suffix == ".js" else line.strip() for line in text.splitlines())
    text = "\n".join(line for line in lines if line and not (suffix == ".js" and line.startswith("//"))) + "\n"
    return _JS_ROOM.sub(_without_room, text) if suffix == ".js" else text


def _without_room(found: re.Match[str]) -> str:
    """A text as it is, but for what is worked out in it; else the sign alone."""
    text = found[1]
    if text and text[0] == "`":
        return _IN_TEXT.sub(lambda one: f"${{{_JS_ROOM.sub(_without_room, one[1])}}}", text)
    return text or found[2] or found[3] or ""


def closed_up(text: str) -> str:
    """A lean script with fewer line breaks: none where a statement, a list or a block goes on or has just ended; and
    without the semicolon or comma before such an end; with the shorter of two words for a name that is given its value
    once, which tells whoever writes, and a browser nothing; and names given one after the other in one statement.

    A line with a comment left in it keeps its own: what follows would be part of the comment.
    """
    lines = _together(text.splitlines())
    closed = "".join(_closed(line, after[:1]) for line, after in zip(lines, [*lines[1:], ""], strict=True))
    short = _ONE.sub(r"\1=>", _CONST.sub(r"\1let", closed))
    return _TRUTH.sub(lambda found: "!0" if found[0] == "true" else "!1", short)


def _together(lines: list[str]) -> list[str]:
    """A statement that gives names goes on where the line before it was nothing but one."""
    out: list[str] = []
    for line in lines:
        begins = _GIVES.match(line)
        if begins and out and "//" not in out[-1] and _GIVES.match(out[-1]) and _is_whole(out[-1]):
            out[-1] = f"{out[-1][:-1]},{line[begins.end() :]}"
        else:
            out.append(line)
    return out


def _is_whole(line: str) -> bool:
    """Does the statement that begins on this line end with it?"""
    return line.endswith(";") and all(line.count(a) == line.count(b) for a, b in ("()", "[]", "{}"))


def _closed(line: str, after: str) -> str:
    if "//" in line:
        return f"{line}\n"
    last = line[-1:]
    if (last == ";" and after == "}") or (last == "," and after and after in "}])"):
        return line[:-1]
    return line if last in _OPEN or after in ("}", ".") else f"{line}\n"


def _style(names: str) -> bytes:
    """Those sheets, lean; nothing when one of them is not there."""
    return _joined(folders.static_folder(), names, _changed(folders.static_folder() / "css"))


@lru_cache(maxsize=_MOST_KEPT)
def _joined(static: Path, names: str, changed: int) -> bytes:
    del changed  # part of the key
    known = {path.stem: path for path in static.glob("css/*.css")}
    out = []
    for name in names.split("+"):
        path = known.get("print" if name == PAPER else name)
        if path is None:
            return b""
        text = lean(path.read_text(encoding="utf-8"), ".css")
        out.append(f"@media print{{{text}}}\n" if name == PAPER else text)
    return "".join(out).encode()


def _script(names: str) -> bytes:
    """Those scripts and all that they import, lean; nothing when one of them is not there, or named twice."""
    static = folders.static_folder()
    return _in_one(static, names, _changed(static / "js"))


@lru_cache(maxsize=_MOST_KEPT)
def _in_one(static: Path, names: str, changed: int) -> bytes:
    known = _scripts(static, changed)
    wanted = [f"js/{name.replace('.', '/')}.js" for name in names.split("+")]
    if len(known.keys() & wanted) < len(wanted):
        return b""
    return closed_up(script_files.in_one(known, wanted, f"js/{names}.js")).encode()


@lru_cache(maxsize=1)
def _scripts(static: Path, changed: int) -> dict[str, script_files.Script]:
    del changed  # part of the key
    written = {
        path.relative_to(static).as_posix(): path.read_text("utf-8") for path in sorted(static.glob("js/**/*.js"))
    }
    return {path: script_files.script(path, lean(text, ".js"), text) for path, text in written.items()}


@lru_cache(maxsize=_MOST_KEPT)
def _version(body: bytes) -> str:
    return hashlib.sha256(body).hexdigest()[:12]


def _changed(folder: Path) -> int:
    """When a file below was changed last, ns, while the app is in debug mode; else 0, for they stay as they are."""
    return max(path.stat().st_mtime_ns for path in folder.rglob("*.*")) if current_app.debug else 0


def _kept_for_ever(body: bytes, mimetype: str) -> Response:
    response = Response(body, mimetype=mimetype)
    packing.pack(response, packing.packed(body))
    response.headers["Cache-Control"] = f"public, max-age={YEAR_S}, immutable"
    return response
