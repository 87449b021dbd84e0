"""What a caller can say of a record that cannot be named: about when, slow or quick, who sings.

Kept with the slip, so that it is never asked twice, and gone with the caller's details
(`forget_all_but`). Any words are taken: what is not understood is left out and told apart.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from catalogue.basis import Basis, Pace
from catalogue.heard import years_in
from catalogue.records import Voice
from catalogue.store import Store

FIELDS = ("about_when", "pace", "voice", "sort", "language", "mood")
"""What can be said, each as it was written down; the occasion is on the slip itself."""

_LONGEST = 60
"""Characters of one field that are kept: a word or two."""


@dataclass(frozen=True, slots=True)
class Said:
    """Each field as it was written, "" for not said."""

    about_when: str = ""
    pace: str = ""
    voice: str = ""
    sort: str = ""
    language: str = ""
    mood: str = ""

    @classmethod
    def of_form(cls, given: Mapping[str, str]) -> Said:
        """Of the fields of a form; what is not a field of ours is left out."""
        return cls(**{
            name: " ".join(str(given.get(name) or "").replace("\x00", "").split())[:_LONGEST]
            for name in FIELDS
        })  # fmt: skip

    @property
    def basis(self) -> Basis:
        """What stand-ins can go by; a field that is not understood counts as not said."""
        first, last = years_in(self.about_when)
        return Basis(
            year=(first + last) // 2 if first and last else None,
            pace=Pace(self.pace) if self.pace in set(Pace) else Pace.UNKNOWN,
            voice=Voice(self.voice) if self.voice in set(Voice) else Voice.UNKNOWN,
            genre=self.sort,
            language=self.language,
            mood=self.mood,
        )

    @property
    def when_is_a_riddle(self) -> bool:
        """Whether "about when" was answered with something that is no year and no decade."""
        return bool(self.about_when) and years_in(self.about_when) == (None, None)


def keep(store: Store, slip_id: int, said: Said) -> None:
    """Keep what was said for this slip in place of what was said before."""
    with store.transaction() as db:
        db.execute("DELETE FROM said_of_it WHERE slip_id = ?", (slip_id,))
        if said != Said():
            db.execute(
                f"INSERT INTO said_of_it (slip_id, {', '.join(FIELDS)}) "
                f"VALUES (?, {', '.join('?' for _ in FIELDS)})",
                (slip_id, *(getattr(said, name) for name in FIELDS)),
            )


def of(store: Store, slip_id: int) -> Said:
    """What was said for this slip."""
    rows = store.rows("SELECT * FROM said_of_it WHERE slip_id = ?", (slip_id,))
    return Said(**{name: rows[0][name] for name in FIELDS}) if rows else Said()


def forget_all_but(store: Store, slip_ids: Iterable[int]) -> None:
    """Forget what was said on every slip but these; call it before the log is emptied.

    The table is written anew, so that every one of its pages is freed and filled with zeros.
    """
    columns = f"slip_id, {', '.join(FIELDS)}"
    with store.transaction() as db:
        kept = db.execute(
            f"SELECT {columns} FROM said_of_it "
            "WHERE slip_id IN (SELECT value FROM json_each(?)) ORDER BY slip_id",
            (json.dumps(list(slip_ids)),),
        ).fetchall()
        db.execute("DELETE FROM said_of_it")
        marks = ", ".join("?" for _ in range(1 + len(FIELDS)))
        db.conn.executemany(f"INSERT INTO said_of_it ({columns}) VALUES ({marks})", kept)
