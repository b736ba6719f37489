"""The tables as the numbered scripts of before had left them; on both engines."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "1000_tables"
down_revision = None

_NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def upgrade() -> None:
    """Make them all; SQLite's file also says so to versions that know the numbered scripts alone."""
    _kitchens()
    _bakes()
    _busy()
    _busy_calendars()
    _caldav_accounts()
    _caldav_events()
    _calendar_versions()
    _feeds()
    _join_codes()
    _larder()
    _left_calendars()
    _phones()
    _push_drawn()
    _calendar_drawn()
    _calendar_entries()
    _events()
    _left_events()
    _offers()
    _plans()
    _push_subscriptions()
    _push_due()
    if op.get_context().dialect.name == "sqlite":
        op.execute("CREATE TABLE schema_done (name TEXT PRIMARY KEY) STRICT")
        op.execute(f"INSERT INTO schema_done VALUES ('{revision}')")  # noqa: S608 - our own name


def _kitchens() -> None:
    op.create_table(
        "kitchens",
        sa.Column("kitchen_id", sa.Text(), nullable=False),
        sa.Column("made_at", _NUMBER, nullable=False),
        sa.Column("settings", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("kitchen_id"),
        sqlite_strict=True,
    )


def _bakes() -> None:
    op.create_table(
        "bakes",
        sa.Column("bake_id", sa.Text(), nullable=False),
        sa.Column("kitchen_id", sa.Text(), nullable=False),
        sa.Column("made_at", _NUMBER, nullable=False),
        sa.Column("wished_at", _NUMBER, nullable=False),
        sa.Column("changed_at", _NUMBER, nullable=False),
        sa.Column("wish", sa.Text(), nullable=False),
        sa.Column("dropped_at", _NUMBER, nullable=True),
        sa.ForeignKeyConstraint(["kitchen_id"], ["kitchens.kitchen_id"], ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("bake_id"),
        sqlite_strict=True,
    )
    op.create_index("bakes_of_kitchen", "bakes", ["kitchen_id", "changed_at"], unique=False)


def _busy() -> None:
    op.create_table(
        "busy",
        sa.Column("kitchen_id", sa.Text(), nullable=False),
        sa.Column("person", _NUMBER, autoincrement=False, nullable=False),
        sa.Column("starts", _NUMBER, autoincrement=False, nullable=False),
        sa.Column("ends", _NUMBER, autoincrement=False, nullable=False),
        sa.ForeignKeyConstraint(["kitchen_id"], ["kitchens.kitchen_id"], ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("kitchen_id", "person", "starts", "ends"),
        sqlite_strict=True,
    )


def _busy_calendars() -> None:
    op.create_table(
        "busy_calendars",
        sa.Column("kitchen_id", sa.Text(), nullable=False),
        sa.Column("person", _NUMBER, autoincrement=False, nullable=False),
        sa.Column("reach", _NUMBER, nullable=False),
        sa.Column("read_at", _NUMBER, nullable=False),
        sa.Column("address", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("host", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("zone", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("etag", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("modified", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("notes", sa.Text(), server_default=sa.text("'[]'"), nullable=False),
        sa.Column("problem", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("tries", _NUMBER, server_default=sa.text("0"), nullable=False),
        sa.Column("next_try", _NUMBER, server_default=sa.text("0"), nullable=False),
        sa.ForeignKeyConstraint(["kitchen_id"], ["kitchens.kitchen_id"], ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("kitchen_id", "person"),
        sqlite_strict=True,
    )


def _caldav_accounts() -> None:
    op.create_table(
        "caldav_accounts",
        sa.Column("kitchen_id", sa.Text(), nullable=False),
        sa.Column("calendar_url", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("login", sa.Text(), nullable=False),
        sa.Column("origin", sa.Text(), nullable=False),
        sa.Column("saved_at", _NUMBER, nullable=False),
        sa.Column("synced", _NUMBER, server_default=sa.text("-1"), nullable=False),
        sa.Column("good_at", _NUMBER, nullable=True),
        sa.Column("next_try", _NUMBER, server_default=sa.text("0"), nullable=False),
        sa.Column("tries", _NUMBER, server_default=sa.text("0"), nullable=False),
        sa.Column("problem", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("tried", _NUMBER, server_default=sa.text("-1"), nullable=False),
        sa.Column("refused", _NUMBER, server_default=sa.text("0"), nullable=False),
        sa.Column("alarms", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("look_next", _NUMBER, server_default=sa.text("0"), nullable=False),
        sa.Column("tag", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("failing_since", _NUMBER, server_default=sa.text("0"), nullable=False),
        sa.Column("tried_at", _NUMBER, server_default=sa.text("0"), nullable=False),
        sa.ForeignKeyConstraint(["kitchen_id"], ["kitchens.kitchen_id"], ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("kitchen_id"),
        sqlite_strict=True,
    )


def _caldav_events() -> None:
    op.create_table(
        "caldav_events",
        sa.Column("kitchen_id", sa.Text(), nullable=False),
        sa.Column("uid", sa.Text(), nullable=False),
        sa.Column("url", sa.Text(), nullable=False),
        sa.Column("etag", sa.Text(), nullable=False),
        sa.Column("fingerprint", sa.Text(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("ends", _NUMBER, nullable=False),
        sa.Column("hands_off", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("title", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("plan_start", _NUMBER, server_default=sa.text("0"), nullable=False),
        sa.Column("their_start", _NUMBER, server_default=sa.text("0"), nullable=False),
        sa.ForeignKeyConstraint(["kitchen_id"], ["kitchens.kitchen_id"], ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("kitchen_id", "uid"),
        sqlite_strict=True,
    )


def _calendar_versions() -> None:
    op.create_table(
        "calendar_versions",
        sa.Column("kitchen_id", sa.Text(), nullable=False),
        sa.Column("version", _NUMBER, nullable=False),
        sa.Column("drawn", _NUMBER, server_default=sa.text("0"), nullable=False),
        sa.ForeignKeyConstraint(["kitchen_id"], ["kitchens.kitchen_id"], ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("kitchen_id"),
        sqlite_strict=True,
    )


def _feeds() -> None:
    op.create_table(
        "feeds",
        sa.Column("kitchen_id", sa.Text(), nullable=False),
        sa.Column("key_hash", sa.Text(), nullable=False),
        sa.Column("sealed_key", sa.Text(), nullable=False),
        sa.Column("made_at", _NUMBER, nullable=False),
        sa.Column("read_at", _NUMBER, nullable=True),
        sa.ForeignKeyConstraint(["kitchen_id"], ["kitchens.kitchen_id"], ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("kitchen_id"),
        sa.UniqueConstraint("key_hash"),
        sqlite_strict=True,
    )


def _join_codes() -> None:
    op.create_table(
        "join_codes",
        sa.Column("code_hash", sa.Text(), nullable=False),
        sa.Column("kitchen_id", sa.Text(), nullable=False),
        sa.Column("expires_at", _NUMBER, nullable=False),
        sa.ForeignKeyConstraint(["kitchen_id"], ["kitchens.kitchen_id"], ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("code_hash"),
        sqlite_strict=True,
    )


def _larder() -> None:
    op.create_table(
        "larder",
        sa.Column("kitchen_id", sa.Text(), nullable=False),
        sa.Column("shelf", sa.Text(), nullable=False),
        sa.Column("key", sa.Text(), nullable=False),
        sa.Column("version", _NUMBER, autoincrement=False, nullable=False),
        sa.Column("saved_at", _NUMBER, nullable=False),
        sa.Column("gone", _NUMBER, server_default=sa.text("0"), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["kitchen_id"], ["kitchens.kitchen_id"], ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("kitchen_id", "shelf", "key", "version"),
        sqlite_strict=True,
    )


def _left_calendars() -> None:
    op.create_table(
        "left_calendars",
        sa.Column("left_id", _NUMBER, nullable=True),
        sa.Column("kitchen_id", sa.Text(), nullable=False),
        sa.Column("calendar_url", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("login", sa.Text(), nullable=False),
        sa.Column("since", _NUMBER, nullable=False),
        sa.Column("next_try", _NUMBER, server_default=sa.text("0"), nullable=False),
        sa.Column("tries", _NUMBER, server_default=sa.text("0"), nullable=False),
        sa.Column("problem", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.ForeignKeyConstraint(["kitchen_id"], ["kitchens.kitchen_id"], ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("left_id"),
        sqlite_strict=True,
    )
    op.create_index("left_of_kitchen", "left_calendars", ["kitchen_id"], unique=False)


def _phones() -> None:
    op.create_table(
        "phones",
        sa.Column("phone_id", sa.Text(), nullable=False),
        sa.Column("kitchen_id", sa.Text(), nullable=False),
        sa.Column("key_hash", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("joined_at", _NUMBER, nullable=False),
        sa.Column("seen_at", _NUMBER, nullable=False),
        sa.Column("says_as", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.ForeignKeyConstraint(["kitchen_id"], ["kitchens.kitchen_id"], ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("phone_id"),
        sa.UniqueConstraint("key_hash"),
        sqlite_strict=True,
    )
    op.create_index("phones_of_kitchen", "phones", ["kitchen_id"], unique=False)


def _push_drawn() -> None:
    op.create_table(
        "push_drawn",
        sa.Column("kitchen_id", sa.Text(), nullable=False),
        sa.Column("version", _NUMBER, nullable=False),
        sa.ForeignKeyConstraint(["kitchen_id"], ["kitchens.kitchen_id"], ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("kitchen_id"),
        sqlite_strict=True,
    )


def _calendar_drawn() -> None:
    op.create_table(
        "calendar_drawn",
        sa.Column("bake_id", sa.Text(), nullable=False),
        sa.Column("stamp", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["bake_id"], ["bakes.bake_id"], ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("bake_id"),
        sqlite_strict=True,
    )


def _calendar_entries() -> None:
    op.create_table(
        "calendar_entries",
        sa.Column("bake_id", sa.Text(), nullable=False),
        sa.Column("step_id", sa.Text(), nullable=False),
        sa.Column("place", _NUMBER, nullable=False),
        sa.Column("sequence", _NUMBER, nullable=False),
        sa.Column("changed_at", _NUMBER, nullable=False),
        sa.Column("fingerprint", sa.Text(), nullable=False),
        sa.Column("entry", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["bake_id"], ["bakes.bake_id"], ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("bake_id", "step_id"),
        sqlite_strict=True,
    )


def _events() -> None:
    op.create_table(
        "events",
        sa.Column("bake_id", sa.Text(), nullable=False),
        sa.Column("event_id", sa.Text(), nullable=False),
        sa.Column("at", _NUMBER, nullable=False),
        sa.Column("received_at", _NUMBER, nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("event", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["bake_id"], ["bakes.bake_id"], ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("bake_id", "event_id"),
        sqlite_strict=True,
    )


def _left_events() -> None:
    op.create_table(
        "left_events",
        sa.Column("left_id", _NUMBER, nullable=False),
        sa.Column("uid", sa.Text(), nullable=False),
        sa.Column("url", sa.Text(), nullable=False),
        sa.Column("etag", sa.Text(), nullable=False),
        sa.Column("fingerprint", sa.Text(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("ends", _NUMBER, nullable=False),
        sa.Column("hands_off", sa.Text(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("plan_start", _NUMBER, nullable=False),
        sa.Column("their_start", _NUMBER, nullable=False),
        sa.ForeignKeyConstraint(["left_id"], ["left_calendars.left_id"], ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("left_id", "uid"),
        sqlite_strict=True,
    )


def _offers() -> None:
    op.create_table(
        "offers",
        sa.Column("bake_id", sa.Text(), nullable=False),
        sa.Column("place", _NUMBER, autoincrement=False, nullable=False),
        sa.Column("plan", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["bake_id"], ["bakes.bake_id"], ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("bake_id", "place"),
        sqlite_strict=True,
    )


def _plans() -> None:
    op.create_table(
        "plans",
        sa.Column("bake_id", sa.Text(), nullable=False),
        sa.Column("revision", _NUMBER, autoincrement=False, nullable=False),
        sa.Column("picked_at", _NUMBER, nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("begins", _NUMBER, nullable=False),
        sa.Column("supper", _NUMBER, nullable=False),
        sa.Column("plan", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["bake_id"], ["bakes.bake_id"], ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("bake_id", "revision"),
        sqlite_strict=True,
    )


def _push_subscriptions() -> None:
    op.create_table(
        "push_subscriptions",
        sa.Column("subscription_id", sa.Text(), nullable=False),
        sa.Column("kitchen_id", sa.Text(), nullable=False),
        sa.Column("phone_id", sa.Text(), nullable=False),
        sa.Column("endpoint", sa.Text(), nullable=False),
        sa.Column("p256dh", sa.Text(), nullable=False),
        sa.Column("auth", sa.Text(), nullable=False),
        sa.Column("made_at", _NUMBER, nullable=False),
        sa.ForeignKeyConstraint(["kitchen_id"], ["kitchens.kitchen_id"], ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["phone_id"], ["phones.phone_id"], ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("subscription_id"),
        sa.UniqueConstraint("endpoint"),
        sqlite_strict=True,
    )
    op.create_index("push_of_kitchen", "push_subscriptions", ["kitchen_id"], unique=False)


def _push_due() -> None:
    op.create_table(
        "push_due",
        sa.Column("subscription_id", sa.Text(), nullable=False),
        sa.Column("topic", sa.Text(), nullable=False),
        sa.Column("due_at", _NUMBER, autoincrement=False, nullable=False),
        sa.Column("not_after", _NUMBER, nullable=False),
        sa.Column("payload", sa.Text(), nullable=False),
        sa.Column("state", sa.Text(), server_default=sa.text("'due'"), nullable=False),
        sa.Column("tries", _NUMBER, server_default=sa.text("0"), nullable=False),
        sa.Column("next_try", _NUMBER, nullable=False),
        sa.ForeignKeyConstraint(["subscription_id"], ["push_subscriptions.subscription_id"], ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("subscription_id", "topic", "due_at"),
        sqlite_strict=True,
    )
    op.create_index("push_by_time", "push_due", ["state", "next_try"], unique=False)
