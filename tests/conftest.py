"""For all tests: with ASHEARD_FORBID_SKIPS set, a skipped test is a failed one."""

from __future__ import annotations

import os
from collections.abc import Generator

import pytest
from hypothesis import settings

# A loaded machine is not a fault; and what CI tries must not differ from run to run.
settings.register_profile("asheard", deadline=None, derandomize=bool(os.environ.get("CI")))
settings.load_profile("asheard")


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(
    item: pytest.Item, call: pytest.CallInfo[None]
) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Turn a skip into a failure that says why it was skipped."""
    report = yield
    forbidden = os.environ.get("ASHEARD_FORBID_SKIPS")
    if forbidden and report.skipped and not hasattr(report, "wasxfail"):
        report.outcome = "failed"
        report.longrepr = f"{item.nodeid} was skipped, and skips are forbidden: {report.longrepr}"
    return report
