"""Numbers to sort by where SQLite's own row numbers were asked; a plan's name and zone beside it; who is at work."""

from __future__ import annotations

import json
from contextlib import suppress

import sqlalchemy as sa
from alembic import op

revision = "1100_places_and_claims"
down_revision = "1000_tables"

_NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
_TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
_SORTED = ("bakes", "phones", "push_subscriptions", "push_due")
_PLANS = sa.table("plans", *(sa.column(name) for name in ("bake_id", "revision", "plan", "formula_name", "zone")))


def upgrade() -> None:
    """In SQLite's file of before, the numbers are those by which it was sorted."""
    for table in _SORTED:
        op.add_column(table, sa.Column("place", _NUMBER, server_default=sa.text("0"), nullable=False))
        if op.get_context().dialect.name == "sqlite":
            op.execute(f"UPDATE {table} SET place = rowid")  # noqa: S608 - our own name
    op.add_column("plans", sa.Column("formula_name", _TEXT, server_default=sa.text("''"), nullable=False))
    op.add_column("plans", sa.Column("zone", _TEXT, server_default=sa.text("'UTC'"), nullable=False))
    _say_name_and_zone()
    op.create_table(
        "claims",
        *(sa.Column(name, _TEXT, nullable=False) for name in ("work", "of", "holder")),
        sa.Column("until", _NUMBER, nullable=False),
        sa.PrimaryKeyConstraint("work", "of"),
        sqlite_strict=True,
    )


def _say_name_and_zone() -> None:
    db = op.get_bind()
    for bake_id, number in db.execute(sa.select(_PLANS.c.bake_id, _PLANS.c.revision)).all():
        one = sa.and_(_PLANS.c.bake_id == bake_id, _PLANS.c.revision == number)
        plan = _object(db.execute(sa.select(_PLANS.c.plan).where(one)).scalar_one())
        db.execute(_PLANS.update().where(one).values(**_said(plan)))


def _object(text: str) -> dict[str, object]:
    """Empty for a damaged row."""
    with suppress(ValueError, RecursionError):
        found = json.loads(text)
        if isinstance(found, dict):
            return found
    return {}


def _said(plan: dict[str, object]) -> dict[str, str]:
    said = {"formula_name": plan.get("formula_name"), "zone": plan.get("zone")}
    return {name: text for name, text in said.items() if isinstance(text, str)} or {"zone": "UTC"}
