"""The tables, once for both engines. Records are JSON text in the shape of webapp/records.py; columns beside them are
what questions are asked by. Instants are UTC seconds."""

from __future__ import annotations

from sqlalchemy import (
    BigInteger,
    Column,
    Dialect,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    Table,
    Text,
    TypeDecorator,
    text,
)
from sqlalchemy.types import TypeEngine

TABLES = MetaData()
_Number = BigInteger().with_variant(Integer, "sqlite")  # 64 bits in either: SQLite's INTEGER has as many


class Words(TypeDecorator[str]):
    """Text, sorted by bytes in either, whatever language PostgreSQL was set up for."""

    impl, cache_ok = Text, True

    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[str]:
        """As that engine names it."""
        return Text(collation="C") if dialect.name == "postgresql" else Text()

    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:
        """PostgreSQL takes no NUL: https://www.postgresql.org/docs/current/datatype-character.html"""
        return value.replace("\0", "") if value and dialect.name == "postgresql" else value


def _key(name: str) -> Column[str]:
    return Column(name, Words, primary_key=True, nullable=False)


def _number_key(name: str) -> Column[int]:
    return Column(name, _Number, primary_key=True, nullable=False, autoincrement=False)


def _of(name: str, table: str, in_key: bool = False) -> Column[str]:
    """A row that goes when the row it belongs to goes."""
    there = ForeignKey(f"{table}.{name}", ondelete="CASCADE")
    return Column(name, Words, there, primary_key=in_key, nullable=False)


def _text(name: str, otherwise: str | None = None, unique: bool | None = None) -> Column[str]:
    default = None if otherwise is None else text(f"'{otherwise}'")
    return Column(name, Words, nullable=False, server_default=default, unique=unique)


def _number(name: str, otherwise: int | None = None) -> Column[int]:
    default = None if otherwise is None else text(str(otherwise))
    return Column(name, _Number, nullable=False, server_default=default)


def _place() -> Column[int]:
    """Which one of its kitchen (a message: of its browser) it is, of those that were made in the same second."""
    return _number("place", 0)


def _perhaps(name: str) -> Column[int]:
    """An instant of something that may not have happened."""
    return Column(name, _Number)


def _table(name: str, *parts: Column[str] | Column[int] | Index) -> Table:
    return Table(name, TABLES, *parts, sqlite_strict=True)


# -- who is who; keys and codes as SHA-256 alone

kitchens = _table("kitchens", _key("kitchen_id"), _number("made_at"), _text("settings"))
phones = _table(
    "phones",
    _key("phone_id"),
    _of("kitchen_id", "kitchens"),
    _text("key_hash", unique=True),
    _text("name"),
    _number("joined_at"),
    _number("seen_at"),
    _text("says_as", ""),  # by which random name it writes its lines of a journal
    _place(),
    Index("phones_of_kitchen", "kitchen_id"),
)
join_codes = _table("join_codes", _key("code_hash"), _of("kitchen_id", "kitchens"), _number("expires_at"))

# -- bakes

bakes = _table(
    "bakes",
    _key("bake_id"),
    _of("kitchen_id", "kitchens"),
    _number("made_at"),
    _number("wished_at"),
    _number("changed_at"),  # anything of the bake, a line of the journal too
    _text("wish"),
    _perhaps("dropped_at"),  # given up: kept, so that calendars can say so
    _place(),
    Index("bakes_of_kitchen", "kitchen_id", "changed_at"),
)
offers = _table("offers", _of("bake_id", "bakes", True), _number_key("place"), _text("plan"))
plans = _table(
    "plans",  # what was picked, every revision; the highest one holds
    _of("bake_id", "bakes", True),
    _number_key("revision"),
    _number("picked_at"),
    _text("title"),
    _number("begins"),
    _number("supper"),
    _text("plan"),
    _text("formula_name", ""),  # these two as the plan says them, for lists
    _text("zone", "UTC"),
)
events = _table(
    "events",  # the journal; append-only
    _of("bake_id", "bakes", True),
    _key("event_id"),
    _number("at"),
    _number("received_at"),
    _text("kind"),
    _text("event"),
)
larder = _table(
    "larder",  # own things, every version
    _of("kitchen_id", "kitchens", True),
    _key("shelf"),
    _key("key"),
    _number_key("version"),
    _number("saved_at"),
    _number("gone", 0),
    _text("body"),
)

# -- busy people

busy = _table(
    "busy", _of("kitchen_id", "kitchens", True), _number_key("person"), _number_key("starts"), _number_key("ends")
)
busy_calendars = _table(
    "busy_calendars",
    _of("kitchen_id", "kitchens", True),
    _number_key("person"),
    _number("reach"),
    _number("read_at"),
    _text("address", ""),  # encrypted with the server's key; empty: an uploaded file
    _text("host", ""),
    _text("zone", ""),
    _text("etag", ""),
    _text("modified", ""),
    _text("notes", "[]"),
    _text("problem", ""),
    _number("tries", 0),
    _number("next_try", 0),
)

# -- what calendars show

calendar_versions = _table(
    "calendar_versions",  # stepped whenever anything changes that a calendar shows
    _of("kitchen_id", "kitchens", True),
    _number("version"),
    _number("drawn", 0),
)
calendar_entries = _table(
    "calendar_entries",
    _of("bake_id", "bakes", True),
    _key("step_id"),
    _number("place"),
    _number("sequence"),
    _number("changed_at"),
    _text("fingerprint"),
    _text("entry"),
)
calendar_drawn = _table("calendar_drawn", _of("bake_id", "bakes", True), _text("stamp"))
feeds = _table(
    "feeds",
    _of("kitchen_id", "kitchens", True),
    _text("key_hash", unique=True),
    _text("sealed_key"),
    _number("made_at"),
    _perhaps("read_at"),
)

# -- somebody's own calendar

caldav_accounts = _table(
    "caldav_accounts",
    _of("kitchen_id", "kitchens", True),
    _text("calendar_url"),
    _text("name"),
    _text("login"),  # encrypted with the server's key
    _text("origin"),
    _number("saved_at"),
    _number("synced", -1),
    _perhaps("good_at"),
    _number("next_try", 0),
    _number("tries", 0),
    _text("problem", ""),
    _number("tried", -1),
    _number("refused", 0),
    _text("alarms", ""),
    _number("look_next", 0),
    _text("tag", ""),
    _number("failing_since", 0),
    _number("tried_at", 0),
)


def _written() -> tuple[Column[str] | Column[int], ...]:
    """What is kept of an event that stands in a calendar."""
    return (_key("uid"), _text("url"), _text("etag"), _text("fingerprint"), _text("body"), _number("ends"))


caldav_events = _table(
    "caldav_events",  # outlives its bake, so that the event can still be taken out
    _of("kitchen_id", "kitchens", True),
    *_written(),
    _text("hands_off", ""),
    _text("title", ""),
    _number("plan_start", 0),
    _number("their_start", 0),
)
left_calendars = _table(
    "left_calendars",
    Column("left_id", _Number, primary_key=True, nullable=True),
    _of("kitchen_id", "kitchens"),
    _text("calendar_url"),
    _text("name"),
    _text("login"),
    _number("since"),
    _number("next_try", 0),
    _number("tries", 0),
    _text("problem", ""),
    Index("left_of_kitchen", "kitchen_id"),
)
left_events = _table(
    "left_events",
    Column("left_id", _Number, ForeignKey("left_calendars.left_id", ondelete="CASCADE"), primary_key=True),
    *_written(),
    _text("hands_off"),
    _text("title"),
    _number("plan_start"),
    _number("their_start"),
)

# -- push messages

push_subscriptions = _table(
    "push_subscriptions",
    _key("subscription_id"),
    _of("kitchen_id", "kitchens"),
    _of("phone_id", "phones"),
    _text("endpoint", unique=True),
    _text("p256dh"),
    _text("auth"),
    _number("made_at"),
    _place(),
    Index("push_of_kitchen", "kitchen_id"),
)
push_due = _table(
    "push_due",  # one message to one phone at one instant: never sent twice
    _of("subscription_id", "push_subscriptions", True),
    _key("topic"),
    _number_key("due_at"),
    _number("not_after"),
    _text("payload"),
    _text("state", "due"),  # due | claimed | sent | missed | refused
    _number("tries", 0),
    _number("next_try"),
    _place(),
    Index("push_by_time", "state", "next_try"),
)
push_drawn = _table("push_drawn", _of("kitchen_id", "kitchens", True), _number("version"))

# -- who is at work

claims = _table(
    "claims",  # of several processes on one database the one that does this for that household, until when
    _key("work"),
    _key("of"),
    _text("holder"),
    _number("until"),
)
