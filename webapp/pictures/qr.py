"""An address as a QR picture (ISO/IEC 18004), for a phone's camera."""

from __future__ import annotations

import io

import segno


def qr_picture(address: str, title: str) -> str:
    """SVG text in the page's colours (classes `qr` and `qr-line`). The address is in it as modules, never as text."""
    out = io.BytesIO()
    segno.make(address, error="m", micro=False).save(
        out, kind="svg", border=4, xmldecl=False, svgns=True, svgclass="qr", lineclass="qr-line", omitsize=True,
        title=title,
    )  # fmt: skip
    return out.getvalue().decode()
