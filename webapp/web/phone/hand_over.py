"""The one page that other machines get over plain http: it hands a phone the certificate of this household.

An app of its own, with no database and no cookie behind it. What it hands out is public; whether it is the right one a
person sees by the fingerprint, which the terminal shows too.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from urllib.parse import urlsplit

from flask import Flask, Response, redirect, render_template, request, url_for
from markupsafe import Markup
from werkzeug.wrappers import Response as AnyResponse

from webapp.machine import folders
from webapp.pictures.qr import qr_picture
from webapp.web.files import compressed
from webapp.words.pages import kitchen as said

CERTIFICATE = "/suppertide-home.crt"


@dataclass(frozen=True)
class Papers:
    """What there is to hand over, asked anew for each request since it may be renewed."""

    certificate: Callable[[], bytes]  # DER
    fingerprint: Callable[[], str]
    name: Callable[[], str]  # as phones list it
    secure_origin: Callable[[str], str]  # for a host of an address line: where the app is over https


def create_hand_over(papers: Papers) -> Flask:
    """The WSGI app."""
    app = Flask(
        "webapp.web",
        template_folder=str(folders.templates_folder()),
        static_folder=str(folders.static_folder()),
        static_url_path="/static",
    )
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True

    @app.get("/")
    def page() -> str:
        """How a phone of either family takes the certificate, and whether this one has."""
        secure = papers.secure_origin(_host())
        return render_template(
            "phone/hand_over.html", secure=secure, page_address=request.host_url,
            picture_of=_picture(request.host_url), fingerprint=papers.fingerprint(), name=papers.name(),
            certificate=CERTIFICATE,
        )  # fmt: skip

    @app.get(CERTIFICATE)
    def certificate() -> Response:
        """The authority's certificate in the form that phones open by themselves (RFC 2585)."""
        response = Response(papers.certificate(), mimetype="application/x-x509-ca-cert")
        response.headers["Content-Disposition"] = 'attachment; filename="suppertide-home.crt"'
        return response

    @app.errorhandler(404)
    @app.errorhandler(405)
    def anything_else(_: Exception) -> AnyResponse:
        """An address of the app, typed without the s of https."""
        return redirect(url_for("page"))

    @app.after_request
    def guard(response: Response) -> Response:
        """Only this page may run here, and it may ask only where the app is over https."""
        response.headers["Content-Security-Policy"] = (
            "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; manifest-src 'self'; "
            f"connect-src {papers.secure_origin(_host())}; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
        )
        response.headers["X-Content-Type-Options"] = "nosniff"
        response.headers["Referrer-Policy"] = "no-referrer"
        if request.endpoint != "static":
            response.headers["Cache-Control"] = "no-store"
        return response

    compressed.install(app)
    return app


def _host() -> str:
    try:
        return urlsplit(request.host_url).hostname or ""
    except ValueError:
        return ""


def _picture(address: str) -> Markup:
    return Markup(qr_picture(address, said.QR_OF_PAGE))  # noqa: S704 - made from a host name that werkzeug has checked
