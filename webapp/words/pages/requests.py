"""What a request that failed is told, by its status (RFC 9110): what is wrong, and a way out."""

from __future__ import annotations

from collections.abc import Mapping

from webapp.words.problems.told import BROKE

STATUS_SAID: Mapping[int, tuple[str, str]] = {
    400: ("This request could not be read.", "Go back, reload the page and try again."),
    401: ("This phone has no kitchen here yet.", "Open the plan page once, or join a kitchen with a code."),
    403: ("This did not come from one of our own pages.", "Open the page itself and try there."),
    404: ("There is nothing here.", "It may have been deleted, or it belongs to another kitchen."),
    405: ("This address does not take that.", "Go back and use the buttons of the page."),
    413: ("This is more than the server takes at once.", "Send less: a shorter text, or a smaller file."),
    415: ("This address takes JSON only.", "Send it with the content type application/json."),
    421: (
        "This server does not go by that name.",
        "Its owner can name it: SUPPERTIDE_PUBLIC_URL=https://that.name, or SUPPERTIDE_TRUSTED_HOSTS.",
    ),
    429: ("Too many tries from this address.", "Wait a minute, then try again."),
    500: (BROKE, "Try again. If it stays, its log says why."),
}
STALE_FORM = (
    "The page that sent this is no longer known here, so nothing was changed.",
    "Go back, reload the page, and send it again. Cookies must be allowed for this address.",
)


def database_trouble(message: str, way_out: str, typed: bool) -> tuple[str, str]:
    """What the database could not do; `typed`: the person has a form behind them."""
    still = " What was typed is still in the form when you go back." if typed else ""
    return f"{message} Nothing was changed.", f"{way_out}{still}"
