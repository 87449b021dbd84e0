"""What is told of shards that are lost and come back: once, in sentences, and not every blink."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalogue.union_layout import ShardFiles, UnionLayout
from catalogue.union_watch import UnionWatch

LAYOUT = UnionLayout(
    Path("union"), "", 1,
    (ShardFiles(0, Path("a"), 1_250_000, 1, ""), ShardFiles(1, Path("b"), 7, 1, "")),
    Path("terms"), (),
)  # fmt: skip


@pytest.fixture
def told() -> list[str]:
    return []


def test_a_shard_that_is_lost_is_told_once_with_what_it_holds_and_when_it_is_back(
    told: list[str],
) -> None:
    """Ray's own words would not say what is missing."""
    watch = UnionWatch(LAYOUT, 1, told.append)
    for now in (1.0, 1.5, 2.0, 3.0, 9.0):
        watch.saw({0: 0, 1: 1}, now)
    (lost,) = told
    assert lost.startswith("Shard 0 does not answer. Its 1,250,000 recordings are missing")
    for now in (10.0, 11.0, 12.0):
        watch.saw({0: 1, 1: 1}, now)
    assert told[1:] == ["Shard 0 is whole again."]


def test_while_a_replica_is_left_it_says_that_nothing_is_missing(told: list[str]) -> None:
    watch = UnionWatch(LAYOUT, 2, told.append)
    for now in (1.0, 2.0):
        watch.saw({0: 2, 1: 1}, now)
    (lost,) = told
    assert lost.startswith("Of shard 1 only 1 of 2 replicas answer. Nothing is missing")


def test_a_blink_is_not_told(told: list[str]) -> None:
    watch = UnionWatch(LAYOUT, 1, told.append)
    for number in range(40):
        watch.saw({0: number % 2, 1: 1}, number * 0.5)
    assert told == []
