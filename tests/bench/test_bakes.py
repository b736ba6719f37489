"""The physics behind the bake time stays only while it beats a plain table of the same bakes."""

from __future__ import annotations

from tests.bench.bench_bake import by_nearest, by_physics, by_style, off


def test_the_physics_of_the_bake_beats_a_plain_table_that_has_all_the_other_rows() -> None:
    physics = off(by_physics)
    assert physics < off(by_style)
    assert physics < off(by_nearest)
    assert physics < 0.15, "nearer to what bakers know than their own ranges are wide"
