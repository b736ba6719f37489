"""Why a database is not used though it can be. What is said of each: store/failure.py."""

from __future__ import annotations

from sqlalchemy.exc import SQLAlchemyError


class NewerFileError(SQLAlchemyError):
    """A newer version of this program has written the database; this one would misread it."""

    def __init__(self, where: object, strange: str) -> None:
        super().__init__(f"{where} holds {strange}, which this version does not know")


class EmptyFileError(SQLAlchemyError):
    """The file is empty: before the start, or it became so while we had it open."""

    def __init__(self, where: object) -> None:
        super().__init__(f"{where} is empty")


class FullTargetError(SQLAlchemyError):
    """Something is already where all was to be moved to."""

    def __init__(self, _: object, table: str) -> None:
        super().__init__(f"there are {table} already")


class LostRowsError(SQLAlchemyError):
    """What arrived is not what was sent: nothing is kept there."""

    def __init__(self, _: object, table: str) -> None:
        super().__init__(f"not as many {table} arrived as were sent")


class NoDriverError(SQLAlchemyError):
    """The library that speaks to PostgreSQL is not installed."""


class BadAddressError(SQLAlchemyError):
    """The address has a setting in it that PostgreSQL does not know."""


class InUseError(SQLAlchemyError):
    """A server has the database open, that should be copied as it stands."""
