"""Work that lets others have the processors first."""

from __future__ import annotations

import os
import sys
import threading

import pytest

from catalogue import standing_back
from catalogue.errors import CopyProblem


def _niceness() -> int:
    return os.getpriority(os.PRIO_PROCESS, threading.get_native_id())


@pytest.mark.skipif(sys.platform != "linux", reason="threads have priorities of their own on Linux")
def test_only_the_work_stands_back_and_what_comes_of_it_is_told() -> None:
    before = _niceness()
    assert standing_back.done(_niceness) == max(before, standing_back._NICER)
    assert _niceness() == before


def test_what_goes_wrong_is_told_where_it_was_asked_for() -> None:
    def work() -> None:
        raise CopyProblem("There is no room.")

    with pytest.raises(CopyProblem, match="no room"):
        standing_back.done(work)
