"""Other names of an artist and of a title: what people call them, so that a request finds them.

An earlier name, a nickname, the band that is asked for by its singer; another title, the refrain
that is asked for. What was learnt from calls is apart (`lessons.py`).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from catalogue import catalogue_rows, undo
from catalogue.errors import BadInput, NotFound
from catalogue.spelling import plain
from catalogue.store import Store

OF_ARTIST = ("earlier name", "nickname", "singer of the band", "also known as")
OF_TITLE = ("also known as", "refrain", "nickname")
"""Kinds of other names; "also known as" is any other."""

KINDS = tuple(dict.fromkeys((*OF_ARTIST, *OF_TITLE)))

LONGEST = 120
"""Letters of a name: a refrain is a line, not a verse."""


@dataclass(frozen=True, slots=True)
class OtherName:
    """Another name; `of_artist` is whether it is the artist's, and so of all their records."""

    id: int
    kind: str
    name: str
    of_artist: bool


def of(store: Store, recording_id: int) -> list[OtherName]:
    """The other names of a record's artist, then of its title, in the order they were written;
    hearings are left out. Raises NotFound."""
    artist = catalogue_rows.recording(store, recording_id).artist_id
    rows = store.rows(
        """SELECT id, kind, name, artist_id IS NOT NULL AS of_artist FROM other_names
        WHERE (artist_id = ? OR recording_id = ?) AND kind <> 'hearing'
        ORDER BY of_artist DESC, id""",
        (artist, recording_id),
    )
    return [OtherName(**{**row, "of_artist": bool(row["of_artist"])}) for row in rows]


def add(
    store: Store, recording_id: int, of_artist: bool, kind: str, name: str, who: str, what: str,
    now: datetime,
) -> int:  # fmt: skip
    """Write another name of a record's title, or of its artist; returns its number.

    Raises BadInput for a blank or long name, an unknown kind, or a name that is there already.
    """
    name = _checked(kind, name, of_artist)
    held = catalogue_rows.recording(store, recording_id)
    if plain(name) == plain(held.artist if of_artist else held.title) or any(
        one.of_artist == of_artist and plain(one.name) == plain(name)
        for one in of(store, recording_id)
    ):
        raise BadInput(f"“{name}” is a name of it already. Nothing was changed.")
    with undo.action(store, who, what, now):
        return catalogue_rows.add_other_name(
            store, kind, name,
            artist=held.artist_id if of_artist else None,
            recording=None if of_artist else recording_id,
        )  # fmt: skip


def correct(
    store: Store, recording_id: int, number: int, kind: str, name: str, who: str, what: str,
    now: datetime,
) -> bool:  # fmt: skip
    """Spell another name anew, or call it another kind; whether anything differed.

    Raises NotFound for a name that is none of this record's, or BadInput.
    """
    there = get(store, recording_id, number)
    name = _checked(kind, name, there.of_artist)
    if (there.kind, there.name) == (kind, name):
        return False
    with undo.action(store, who, what, now):
        catalogue_rows.change_other_name(store, number, kind, name)
    return True


def remove(
    store: Store, recording_id: int, number: int, who: str, what: str, now: datetime
) -> None:
    """Take another name out. Raises NotFound for one that is none of this record's."""
    get(store, recording_id, number)
    with undo.action(store, who, what, now):
        catalogue_rows.remove_other_name(store, number)


def get(store: Store, recording_id: int, number: int) -> OtherName:
    """One other name of a record or its artist. Raises NotFound."""
    found = next((one for one in of(store, recording_id) if one.id == number), None)
    if found is None:
        raise NotFound("That name is not there any more; perhaps it was taken out already.")
    return found


def _checked(kind: str, name: str, of_artist: bool) -> str:
    name = " ".join(name.split())
    if not name:
        raise BadInput("Another name must not be blank.")
    if len(name) > LONGEST:
        raise BadInput(f"A name has {LONGEST} letters at most. Nothing was changed.")
    if kind not in (OF_ARTIST if of_artist else OF_TITLE):
        raise BadInput("Choose from the list what kind of name it is. Nothing was changed.")
    return name
