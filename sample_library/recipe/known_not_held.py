"""The list of recordings the station knows of but has not got."""

from __future__ import annotations

from sample_library.recipe.songbook import songbook
from sample_library.recipe.tables import Cell

HEADING = ("Artist", "Title", "Year", "Tempo", "Genre", "Composer", "Language", "Voice")


def rows() -> list[list[Cell]]:
    """All rows below ``HEADING``, in songbook order."""
    return [
        [
            track.artist, track.title, track.year, track.tempo,
            track.genre, track.composer, track.language, track.voice,
        ]
        for track in songbook().known
    ]  # fmt: skip
