"""What the figures say is held is what counting every recording says."""

from __future__ import annotations

from collections import Counter

from catalogue import figures, undo
from catalogue.catalogue_rows import change_holding, change_recording, holdings_of

PLAIN = """SELECT r.{column} AS of, count(*) AS n FROM recordings r WHERE EXISTS
    (SELECT 1 FROM holdings h WHERE h.recording_id = r.id AND NOT h.missing) GROUP BY 1"""


def _shares(store, now, name):
    every = {figure.name: figure for figure in figures.all_of(store, now.date(), now.date())}
    return {label: held for label, (_, held) in every[name].rows}


def _plain(store, column, named):
    counts = Counter()
    for row in store.rows(PLAIN.format(column=column)):
        counts[named(row["of"])] += row["n"]
    return {label: round(100 * n / counts.total(), 1) for label, n in counts.items()}


def test_what_is_held_is_counted_as_it_is_now(store, now, add):
    for number, (year, genre) in enumerate(
        [
            (1961, "Jazz"),
            (1964, "jazz"),
            (1988, "C&W"),
            (None, ""),
            (1988, "Hymn"),
            (1958, "SHANTY"),
        ]
    ):
        add(f"Song {number}", "Ann Oke", year=year, genre=genre)
    both = add("On Both", "Ann Oke", year=1931, genre="swing", disc="C 1")
    gone = add("Gone", "Ann Oke", year=1931, genre="swing")
    add("Known", "Ann Oke", file=False, year=1901, genre="swing")
    with undo.action(store, "Liv", "looked", now):
        for recording in (both, gone):  # one still has its disc
            change_holding(store, holdings_of(store, [recording])[recording][0].id, missing=1)
        change_recording(store, 1, year=1972, genre="folk")

    by_decade = _plain(store, "year", figures._decade)
    assert "1900s" not in by_decade
    assert by_decade["1930s"] == round(100 / 7, 1)
    assert _shares(store, now, "asked_by_decade") == by_decade
    assert _shares(store, now, "asked_by_genre") == _plain(store, "genre", figures._family)
