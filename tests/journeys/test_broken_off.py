"""The server killed in mid-slip, and started again: nothing is lost, and nobody reloads."""

from __future__ import annotations

import os
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from tests.journeys.desks import PRESENTER, SEARCHER, Desks, hear, take
from web import demo

MISHEARD, TITLE = "funder mud flat iron corm a rant", "Thunder Mudflat"


class Server:
    """The program as it is run from a terminal, in a process of its own."""

    def __init__(self, folder: Path) -> None:
        with socket.create_server(("127.0.0.1", 0)) as free:
            self.port = free.getsockname()[1]
        self.folder = folder
        self.address = f"http://127.0.0.1:{self.port}"
        self.process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Start it, and wait until it answers."""
        self.process = subprocess.Popen(
            [sys.executable, "-c", "from web.command_line import main; main()", "demo",
             "--station", str(self.folder), "--port", str(self.port)],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            cwd=Path(demo.__file__).parents[1],
        )  # fmt: skip
        for _ in range(300):
            try:
                urllib.request.urlopen(f"{self.address}/live/alive", timeout=1).close()
                return
            except OSError:
                time.sleep(0.1)
        raise AssertionError("the server does not answer")

    def kill(self) -> None:
        """As a power cut ends it: without a word."""
        assert self.process is not None
        os.kill(self.process.pid, getattr(signal, "SIGKILL", signal.SIGTERM))
        self.process.wait()


@pytest.fixture
def server(prepared: Path, tmp_path: Path) -> Iterator[Server]:
    shutil.copytree(prepared, tmp_path / "station")
    running = Server(tmp_path / "station")
    running.start()
    yield running
    running.kill()


def test_a_server_killed_in_mid_slip_loses_nothing(server: Server, browser: Browser) -> None:
    words = {name: passphrase for name, _, passphrase in demo.people(server.folder)}
    desks = Desks(server.address, words, browser)
    studio = desks.sit_down(PRESENTER)
    phone = desks.sit_down(SEARCHER)
    hear(phone, MISHEARD)
    take(phone)
    phone.keyboard.type("Maureen")
    expect(phone.locator("#kept")).to_contain_text("Kept at")
    phone.wait_for_timeout(500)

    server.kill()
    phone.keyboard.type(" Tolley")
    expect(phone.locator("#lost")).to_contain_text("Not up to date", timeout=6000)
    expect(studio.locator("#lost")).to_contain_text("Not up to date", timeout=6000)
    server.start()

    expect(phone.locator("#lost")).to_be_empty(timeout=8000)
    expect(studio.locator("#lost")).to_be_empty(timeout=8000)
    expect(phone.locator("#kept")).to_contain_text("Kept at")
    phone.wait_for_timeout(600)
    phone.keyboard.press("Control+Enter")
    expect(studio.locator("article.card")).to_contain_text("Maureen Tolley", timeout=5000)
    expect(studio.locator("article.card")).to_contain_text(TITLE)
    # Once more while a slip lies in the studio: it stays in sight, and the page says what is so.
    server.kill()
    expect(studio.locator("#lost")).to_contain_text("Not up to date", timeout=6000)
    expect(studio.locator("article.card")).to_contain_text("Maureen Tolley")
    server.start()
    expect(studio.locator("#lost")).to_be_empty(timeout=8000)
    expect(phone.locator("#lost")).to_be_empty(timeout=8000)
    for context in browser.contexts:
        context.close()
