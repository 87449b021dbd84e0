"""A browser for the whole run, and a station of its own for each journey."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.journeys.desks import Desks, chromium, launch, open_desks, prepare

playwright_api = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")


@pytest.fixture(scope="session")
def browser() -> Iterator[object]:
    if chromium() is None:
        pytest.skip("there is no Chromium on this machine (chromium, google-chrome)")
    with playwright_api.sync_playwright() as playwright:
        running = launch(playwright)
        yield running
        running.close()


@pytest.fixture(scope="session")
def prepared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return prepare(tmp_path_factory.mktemp("demo") / "station")


@pytest.fixture
def desks(prepared: Path, browser: object, tmp_path: Path) -> Iterator[Desks]:
    shutil.copytree(prepared, tmp_path / "station")
    with open_desks(tmp_path / "station", browser) as running:  # type: ignore[arg-type]
        yield running
        assert running.troubles == []
        for context in running.browser.contexts:
            context.close()
