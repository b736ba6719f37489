"""The tables as the numbered scripts of before had left them; on both engines."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op
from sqlalchemy.schema import SchemaItem

revision = "1000_tables"
down_revision = None

_NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
_TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def _texts(otherwise: str | None, *names: str) -> list[sa.Column[str]]:
    return [sa.Column(name, _TEXT, server_default=otherwise and sa.text(otherwise), nullable=False) for name in names]


def _numbers(otherwise: str | None, *names: str) -> list[sa.Column[int]]:
    return [
        sa.Column(name, _NUMBER, server_default=otherwise and sa.text(otherwise), autoincrement=False, nullable=False)
        for name in names
    ]


def _of(name: str, table: str) -> list[SchemaItem]:
    return [*_texts(None, name), sa.ForeignKeyConstraint([name], [f"{table}.{name}"], ondelete="CASCADE")]


def _table(name: str, *parts: SchemaItem) -> None:
    op.create_table(name, *parts, sqlite_strict=True)


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
    _table(
        "kitchens",
        *_texts(None, "kitchen_id"),
        *_numbers(None, "made_at"),
        *_texts(None, "settings"),
        sa.PrimaryKeyConstraint("kitchen_id"),
    )


def _bakes() -> None:
    _table(
        "bakes",
        *_texts(None, "bake_id"),
        *_of("kitchen_id", "kitchens"),
        *_numbers(None, "made_at", "wished_at", "changed_at"),
        *_texts(None, "wish"),
        sa.Column("dropped_at", _NUMBER, nullable=True),
        sa.PrimaryKeyConstraint("bake_id"),
    )
    op.create_index("bakes_of_kitchen", "bakes", ["kitchen_id", "changed_at"], unique=False)


def _busy() -> None:
    _table(
        "busy",
        *_of("kitchen_id", "kitchens"),
        *_numbers(None, "person", "starts", "ends"),
        sa.PrimaryKeyConstraint("kitchen_id", "person", "starts", "ends"),
    )


def _busy_calendars() -> None:
    _table(
        "busy_calendars",
        *_of("kitchen_id", "kitchens"),
        *_numbers(None, "person", "reach", "read_at"),
        *_texts("''", "address", "host", "zone", "etag", "modified"),
        *_texts("'[]'", "notes"),
        *_texts("''", "problem"),
        *_numbers("0", "tries", "next_try"),
        sa.PrimaryKeyConstraint("kitchen_id", "person"),
    )


def _caldav_accounts() -> None:
    _table(
        "caldav_accounts",
        *_of("kitchen_id", "kitchens"),
        *_texts(None, "calendar_url", "name", "login", "origin"),
        *_numbers(None, "saved_at"),
        *_numbers("-1", "synced"),
        sa.Column("good_at", _NUMBER, nullable=True),
        *_numbers("0", "next_try", "tries"),
        *_texts("''", "problem"),
        *_numbers("-1", "tried"),
        *_numbers("0", "refused"),
        *_texts("''", "alarms"),
        *_numbers("0", "look_next"),
        *_texts("''", "tag"),
        *_numbers("0", "failing_since", "tried_at"),
        sa.PrimaryKeyConstraint("kitchen_id"),
    )


def _caldav_events() -> None:
    _table(
        "caldav_events",
        *_of("kitchen_id", "kitchens"),
        *_texts(None, "uid", "url", "etag", "fingerprint", "body"),
        *_numbers(None, "ends"),
        *_texts("''", "hands_off", "title"),
        *_numbers("0", "plan_start", "their_start"),
        sa.PrimaryKeyConstraint("kitchen_id", "uid"),
    )


def _calendar_versions() -> None:
    _table(
        "calendar_versions",
        *_of("kitchen_id", "kitchens"),
        *_numbers(None, "version"),
        *_numbers("0", "drawn"),
        sa.PrimaryKeyConstraint("kitchen_id"),
    )


def _feeds() -> None:
    _table(
        "feeds",
        *_of("kitchen_id", "kitchens"),
        *_texts(None, "key_hash", "sealed_key"),
        *_numbers(None, "made_at"),
        sa.Column("read_at", _NUMBER, nullable=True),
        sa.PrimaryKeyConstraint("kitchen_id"),
        sa.UniqueConstraint("key_hash"),
    )


def _join_codes() -> None:
    _table(
        "join_codes",
        *_texts(None, "code_hash"),
        *_of("kitchen_id", "kitchens"),
        *_numbers(None, "expires_at"),
        sa.PrimaryKeyConstraint("code_hash"),
    )


def _larder() -> None:
    _table(
        "larder",
        *_of("kitchen_id", "kitchens"),
        *_texts(None, "shelf", "key"),
        *_numbers(None, "version", "saved_at"),
        *_numbers("0", "gone"),
        *_texts(None, "body"),
        sa.PrimaryKeyConstraint("kitchen_id", "shelf", "key", "version"),
    )


def _left_calendars() -> None:
    _table(
        "left_calendars",
        sa.Column("left_id", _NUMBER, nullable=True),
        *_of("kitchen_id", "kitchens"),
        *_texts(None, "calendar_url", "name", "login"),
        *_numbers(None, "since"),
        *_numbers("0", "next_try", "tries"),
        *_texts("''", "problem"),
        sa.PrimaryKeyConstraint("left_id"),
    )
    op.create_index("left_of_kitchen", "left_calendars", ["kitchen_id"], unique=False)


def _phones() -> None:
    _table(
        "phones",
        *_texts(None, "phone_id"),
        *_of("kitchen_id", "kitchens"),
        *_texts(None, "key_hash", "name"),
        *_numbers(None, "joined_at", "seen_at"),
        *_texts("''", "says_as"),
        sa.PrimaryKeyConstraint("phone_id"),
        sa.UniqueConstraint("key_hash"),
    )
    op.create_index("phones_of_kitchen", "phones", ["kitchen_id"], unique=False)


def _calendar_entries() -> None:
    _table(
        "calendar_entries",
        *_of("bake_id", "bakes"),
        *_texts(None, "step_id"),
        *_numbers(None, "place", "sequence", "changed_at"),
        *_texts(None, "fingerprint", "entry"),
        sa.PrimaryKeyConstraint("bake_id", "step_id"),
    )
    _table("calendar_drawn", *_of("bake_id", "bakes"), *_texts(None, "stamp"), sa.PrimaryKeyConstraint("bake_id"))


def _events() -> None:
    _table(
        "events",
        *_of("bake_id", "bakes"),
        *_texts(None, "event_id"),
        *_numbers(None, "at", "received_at"),
        *_texts(None, "kind", "event"),
        sa.PrimaryKeyConstraint("bake_id", "event_id"),
    )


def _left_events() -> None:
    _table(
        "left_events",
        *_numbers(None, "left_id"),
        *_texts(None, "uid", "url", "etag", "fingerprint", "body"),
        *_numbers(None, "ends"),
        *_texts(None, "hands_off", "title"),
        *_numbers(None, "plan_start", "their_start"),
        sa.ForeignKeyConstraint(["left_id"], ["left_calendars.left_id"], ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("left_id", "uid"),
    )


def _offers() -> None:
    _table(
        "offers",
        *_of("bake_id", "bakes"),
        *_numbers(None, "place"),
        *_texts(None, "plan"),
        sa.PrimaryKeyConstraint("bake_id", "place"),
    )


def _plans() -> None:
    _table(
        "plans",
        *_of("bake_id", "bakes"),
        *_numbers(None, "revision", "picked_at"),
        *_texts(None, "title"),
        *_numbers(None, "begins", "supper"),
        *_texts(None, "plan"),
        sa.PrimaryKeyConstraint("bake_id", "revision"),
    )


def _push_subscriptions() -> None:
    _table(
        "push_subscriptions",
        *_texts(None, "subscription_id"),
        *_of("kitchen_id", "kitchens"),
        *_of("phone_id", "phones"),
        *_texts(None, "endpoint", "p256dh", "auth"),
        *_numbers(None, "made_at"),
        sa.PrimaryKeyConstraint("subscription_id"),
        sa.UniqueConstraint("endpoint"),
    )
    op.create_index("push_of_kitchen", "push_subscriptions", ["kitchen_id"], unique=False)


def _push_due() -> None:
    _table(
        "push_due",
        *_of("subscription_id", "push_subscriptions"),
        *_texts(None, "topic"),
        *_numbers(None, "due_at", "not_after"),
        *_texts(None, "payload"),
        *_texts("'due'", "state"),
        *_numbers("0", "tries"),
        *_numbers(None, "next_try"),
        sa.PrimaryKeyConstraint("subscription_id", "topic", "due_at"),
    )
    op.create_index("push_by_time", "push_due", ["state", "next_try"], unique=False)
    _table(
        "push_drawn", *_of("kitchen_id", "kitchens"), *_numbers(None, "version"), sa.PrimaryKeyConstraint("kitchen_id")
    )
