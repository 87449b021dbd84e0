"""For all tests: two processes when there are several files, and no skip where it is forbidden."""

from __future__ import annotations

import os
from collections.abc import Generator

import pytest
from argon2 import PasswordHasher
from hypothesis import settings

from catalogue import passphrases
from tests.benchmarks import union_loopback  # noqa: F401  before any test imports Ray

# A loaded machine is not a fault; and what CI tries must not differ from run to run.
settings.register_profile("asheard", deadline=None, derandomize=bool(os.environ.get("CI")))
settings.load_profile("asheard")

# A test signs in thousands of times; what the station itself uses is looked at in a process of its
# own (tests/catalogue/test_passphrases.py).
passphrases.use(PasswordHasher(time_cost=1, memory_cost=8, parallelism=1))

_PROCESSES = 2
"""As many as the smallest machine that the tests are meant for has cores. Three were no quicker:
they wait for the same disk."""


@pytest.hookimpl(tryfirst=True)
def pytest_cmdline_main(config: pytest.Config) -> None:
    """Share the files out between processes, unless `-n` says how many or one file is asked for.

    Whole files, since what they make once is for all of their tests, and in their own order, lest
    the few long tests come last and alone. `-n 0` goes without.
    """
    if os.environ.get("PYTEST_XDIST_WORKER"):  # a worker must not start workers of its own
        return
    option = config.option
    if getattr(option, "numprocesses", 0) is not None or option.usepdb:  # 0: no xdist here
        return
    files = {arg.partition("::")[0] for arg in config.args}
    if len(files) > 1 or not next(iter(files)).endswith(".py"):
        option.numprocesses, option.dist = _PROCESSES, "loadfile"
        option.loadscopereorder = False


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
