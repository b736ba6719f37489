"""A data folder with an empty database, copied: quicker than making one."""

from __future__ import annotations

from tests.store.conftest import postgres, postgres_server
from tests.web.conftest import empty_database, settings

__all__ = ["empty_database", "postgres", "postgres_server", "settings"]
