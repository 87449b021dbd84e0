"""What was added to the table of callers' details after it was first made, for `schema.py`."""

from __future__ import annotations

CONSENTS = (
    "ALTER TABLE caller_details ADD COLUMN place_consent TEXT NOT NULL DEFAULT ''",
    "ALTER TABLE caller_details ADD COLUMN place_consent_at TEXT",
    "ALTER TABLE caller_details ADD COLUMN place_consent_noted_by TEXT NOT NULL DEFAULT ''",
    "ALTER TABLE caller_details ADD COLUMN adult_consent_at TEXT",
    "ALTER TABLE caller_details ADD COLUMN adult_consent_noted_by TEXT NOT NULL DEFAULT ''",
)
"""The statements of a later migration: what else is agreed to, when, and who noted it."""
