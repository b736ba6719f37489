"""The one Store: everything the server remembers, in one SQLite file or in a PostgreSQL database.

It keeps JSON text and knows nothing of records: use cases turn records into plain values (records.py) and back. Every
question about a bake names the kitchen that asks, so that another kitchen's bake is simply not there.
"""

from __future__ import annotations

from webapp.store.bakes import BakeRow, Bakes, PickedRow
from webapp.store.busy import BusyRows
from webapp.store.calendars import Calendars
from webapp.store.claims import Claims
from webapp.store.kitchens import Guest, Kitchens, PhoneRow
from webapp.store.larder import LarderRow, LarderRows
from webapp.store.left_calendars import LeftCalendars
from webapp.store.push import PushRows
from webapp.store.reminders import Reminders

__all__ = ["BakeRow", "Guest", "LarderRow", "PhoneRow", "PickedRow", "Store"]


class Store(Kitchens, BusyRows, Bakes, LarderRows, Reminders, Calendars, LeftCalendars, PushRows, Claims):
    """Kitchens and phones, bakes and their journals, the larder, reminders. Wrap several calls in `transaction()`."""
