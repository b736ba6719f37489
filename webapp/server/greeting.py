"""What the terminal shows when the server starts: where to go, and, for phones, the same as a picture."""

from __future__ import annotations

import segno

from webapp.machine.settings import Settings
from webapp.server.certificate_in_use import HousePapers, home_address
from webapp.server.sockets import THIS_MACHINE, BoundSockets


def greeting(settings: Settings, sockets: BoundSockets, network: bool, papers: HousePapers | None = None) -> str:
    """The lines, joined."""
    here = f"http://{THIS_MACHINE}:{sockets.port}/"
    lines = [f"Suppertide is at {here}", f"Everything is kept in {settings.where_kept}", "Stop it with Ctrl+C."]
    if papers:
        lines[1:1] = _for_a_first_time(papers, sockets.port)
        return "\n".join(lines)
    for_phones = settings.public_url or (f"http://{home_address()}:{sockets.port}" if network else "")
    if for_phones:
        lines.insert(1, f"On the phone: {for_phones}/")
        lines.insert(2, qr_text(f"{for_phones}/"))
    if network and not settings.public_url.startswith("https:"):
        lines.append("Phones keep the app for offline use only over https: start with --phone instead of --network.")
    return "\n".join(lines)


def _for_a_first_time(papers: HousePapers, port: int) -> list[str]:
    hand_over = f"http://{papers.first_host}:{port}/"
    lines = [
        f"On the phone, once: {hand_over}",
        qr_text(hand_over),
        "That page hands the phone the certificate of this household. Its SHA-256 fingerprint, to compare there:",
        *papers.fingerprint_lines(),
        f"From then on: {' or '.join(papers.addresses())}",
        f"The server's certificate is good until {papers.issued.ends:%d %B %Y}; {papers.how_it_goes_on()}",
    ]
    if papers.issued.new_authority:
        lines.append("The certificate is new: every phone has to be handed it (again).")
    if papers.issued.uncovered:
        lines.append(
            f"It does not cover {', '.join(papers.issued.uncovered)}, and its authority's key was thrown away. "
            f"To begin anew, delete {papers.folder} and start again."
        )
    return lines


def qr_text(address: str) -> str:
    """A QR picture in half-block characters, with its quiet zone, readable on dark and light terminals."""
    code = segno.make(address, error="m", micro=False)
    rows = [[bool(cell) for cell in row] for row in code.matrix_iter(border=4)]
    if len(rows) % 2:
        rows.append([False] * len(rows[0]))
    # White on black by escape codes, so that the picture is the same whatever the terminal's own colours are.
    pairs = zip(rows[::2], rows[1::2], strict=True)
    return "\n".join("\x1b[38;5;16;48;5;231m" + "".join(map(_cell, *pair)) + "\x1b[0m" for pair in pairs)


def _cell(upper: bool, lower: bool) -> str:
    return {(True, True): "█", (True, False): "▀", (False, True): "▄", (False, False): " "}[upper, lower]
