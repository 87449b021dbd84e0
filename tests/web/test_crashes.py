"""A small run of the harness that kills the server (`tests/benchmarks/crashes.py`)."""

from __future__ import annotations

from tests.benchmarks import crashes


def test_nothing_acknowledged_is_lost_when_the_server_is_killed() -> None:
    """Some of the kills are inside a write."""
    result = crashes.run(4, cut=False)

    assert (result.lost, result.wrong, result.odd) == (0, [], {})
    assert result.kills == 4 and result.inside_a_write >= 1 and result.acknowledged > 20


def test_nothing_acknowledged_is_lost_when_the_power_fails() -> None:
    """All that was not synced is gone, and a piece of the log is left."""
    result = crashes.run(3, cut=True)

    assert (result.lost, result.wrong, result.odd) == (0, [], {})
    assert result.kills == 3 and result.acknowledged > 20


def test_the_harness_sees_a_loss_when_there_is_one() -> None:
    """With commits that are not synced."""
    assert crashes.run(4, cut=True, synchronous="NORMAL", until_lost=True).lost > 0
