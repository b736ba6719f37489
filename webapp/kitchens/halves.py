"""The bake of the other evening, which has the kept half of this one's dough: it stands for as long as that is kept."""

from __future__ import annotations

import base64
import hashlib

from webapp.core.plan.plan import Plan
from webapp.kitchens.kept import plan_in
from webapp.records import to_plain
from webapp.store.store import Store


def other_half(bake_id: str) -> str:
    """The id of the bake that the kept half of this one's dough becomes: always the same (22 letters)."""
    return base64.urlsafe_b64encode(hashlib.sha256(f"{bake_id} kept".encode()).digest())[:22].decode()


def half_follows(store: Store, now: int, kitchen_id: str, bake_id: str, plan: Plan | None) -> None:
    """After another plan is followed, or none: without a half to keep, the bake made of it is given up too.

    One that left so comes back with a plan that keeps it again; one that a person gave up stays so. A piece that was
    cut off a mixed dough is there, whatever is planned.
    """
    row = store.bake(kitchen_id, other_half(bake_id))
    if row is None or row.plan is None:
        return
    half = plan_in(row.plan)
    if half.kept is None or half.kept.mixed_here or half.kept.spare:
        return
    keeps = plan is not None and plan.kept is not None and plan.kept.mixed_here and plan.kept.supper == half.supper
    if not keeps and row.dropped_at is None:
        store.drop_bake(kitchen_id, row.bake_id, now)
    elif keeps and row.dropped_at in [one["picked_at"] for one in store.revisions(bake_id)]:
        store.add_plan(kitchen_id, row.bake_id, to_plain(half) | {"revision": store.revision(row.bake_id) + 1}, now)
