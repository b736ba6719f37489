"""What can hurt, in full and with its source, from the plan's facts and tables/cautions.toml."""

from __future__ import annotations

AUTHORITY = "Follow your local authority's advice."
