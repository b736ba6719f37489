"""Whether two host names belong to one household: under one name that somebody can register.

Told by the Public Suffix List (publicsuffix.org), which travels inside the package `publicsuffixlist`: everybody may
register a name under `co.uk` or under a free hosting name, so what these share says nothing.
"""

from __future__ import annotations

from functools import cache

import idna
from publicsuffixlist import PublicSuffixList

from webapp.machine.home_names import address_in


@cache
def _suffixes() -> PublicSuffixList:
    return PublicSuffixList()


def same_household(one: str, other: str) -> bool:
    """Whether the two are the same host or stand under the same registrable name; addresses only equal themselves."""
    try:
        one, other = (ascii_name(name.lower().rstrip(".")) for name in (one, other))
    except ValueError:
        return False
    if one == other:
        return True
    if address_in(one) is not None or address_in(other) is not None:
        return False
    registered = _suffixes().privatesuffix(one)
    return registered is not None and registered == _suffixes().privatesuffix(other)


def ascii_name(host: str) -> str:
    """A name as it is looked up and sent: with letters beyond ASCII in it, the form of RFC 5891 ("xn--..."). ValueError
    for what no name can be."""
    return host if host.isascii() else idna.encode(host, uts46=True).decode("ascii")
