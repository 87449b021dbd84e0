"""A barcode reader that types: keys a few milliseconds apart by their own clock, and Enter.

The times are those of the keys themselves, as the system would give them, so that a loaded machine
does not make a slow hand of a quick reader.
"""

from __future__ import annotations

import time

from playwright.sync_api import Page

READER_MS = 5
"""Between two keys of a reader; hands are seldom under 60 (both common practice, no source)."""


def scan(page: Page, text: str) -> None:
    """Type as a reader does, wherever the focus is."""
    wire = page.context.new_cdp_session(page)
    at = time.time()
    keys = [(sign, sign) for sign in text] + [("Enter", "\r")]
    for key, letters in keys:
        at += READER_MS / 1000
        code = 13 if key == "Enter" else 32 if key == " " else ord(key.upper())
        more = {"key": key, "windowsVirtualKeyCode": code, "timestamp": at}
        wire.send("Input.dispatchKeyEvent", {"type": "keyDown", "text": letters, **more})
        wire.send("Input.dispatchKeyEvent", {"type": "keyUp", **more})
    wire.detach()
