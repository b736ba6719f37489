"""A data folder with an empty database, copied: quicker than making one."""

from __future__ import annotations

from tests.web.conftest import empty_database, settings

__all__ = ["empty_database", "settings"]
