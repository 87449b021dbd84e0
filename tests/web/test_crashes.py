"""A small run of the harness that kills the server (`tests/benchmarks/crashes.py`)."""

from __future__ import annotations

import os

import pytest

from tests.benchmarks import crashes

pytestmark = pytest.mark.skipif(os.name != "posix", reason="a process is halted with SIGSTOP")
TOLD = 8
"""Acknowledgements before each kill; however slow the machine, it is waited for them."""


def test_nothing_acknowledged_is_lost_when_the_server_is_killed() -> None:
    """Every second kill is inside a write."""
    result = crashes.run(3, cut=False, told=TOLD)

    assert (result.lost, result.wrong, result.odd) == (0, [], {})
    assert (result.kills, result.acknowledged >= 3 * TOLD) == (3, True)
    assert result.inside_a_write >= 2


def test_nothing_acknowledged_is_lost_when_the_power_fails() -> None:
    """All that was not synced is gone, and a piece of the log is left."""
    result = crashes.run(2, cut=True, told=TOLD)

    assert (result.lost, result.wrong, result.odd) == (0, [], {})
    assert (result.kills, result.acknowledged >= 2 * TOLD) == (2, True)


def test_the_harness_sees_a_loss_when_there_is_one() -> None:
    """With commits that are not synced."""
    assert crashes.run(2, cut=True, synchronous="NORMAL", until_lost=True, told=TOLD).lost > 0
