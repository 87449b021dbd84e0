"""Saltmarsh Radio: an invented station's collection, to try things out with.

Sound files, a shelf list, recordings known but not held, places, and a month of requests
and plays. Nothing in it is real. See ``README.md`` beside this file.
"""

from pathlib import Path


def folder() -> Path:
    """The folder that holds ``audio/`` and the lists, also in an installed copy."""
    return Path(__file__).resolve().parent
