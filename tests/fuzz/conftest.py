"""The small station of the web's tests, for what pages were found to do."""

from __future__ import annotations

from tests.web.conftest import app, clock, held, made, phone, shelves, sign_in, store

__all__ = ["app", "clock", "held", "made", "phone", "shelves", "sign_in", "store"]
