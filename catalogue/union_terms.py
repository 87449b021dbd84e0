"""How many names of the whole union have each term: what a shard weighs its own names by.

A shard knows only how rare a term is among its own names. With these counts, and the number of
names and of terms in all, its scores are those of one index over everything.
"""

from __future__ import annotations

import sqlite3
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path

from catalogue.errors import UnionProblem
from catalogue.index_view import FIELDS

_TABLES = (
    """CREATE TABLE terms (field INTEGER NOT NULL, term TEXT NOT NULL, names INTEGER NOT NULL,
        PRIMARY KEY (field, term)) WITHOUT ROWID""",
    "CREATE TABLE totals (field INTEGER PRIMARY KEY, names INTEGER NOT NULL, "
    "terms INTEGER NOT NULL)",
)


@dataclass(slots=True)
class TermTally:
    """Counts of the terms of names as they are filed: of one shard, or several put together.

    `names` is how many names were seen, `terms` for each field how many terms all of them have
    together, `counts` for each field in how many names each term is.
    """

    names: int = 0
    terms: list[int] = field(default_factory=lambda: [0] * len(FIELDS))
    counts: list[Counter[str]] = field(default_factory=lambda: [Counter() for _ in FIELDS])

    def see(self, terms: Sequence[Sequence[str]]) -> None:
        """Count one name, by its terms as `index_view.terms_of` gives them."""
        self.names += 1
        for number, some in enumerate(terms):
            self.terms[number] += len(some)
            self.counts[number].update(some)

    def add(self, other: TermTally) -> None:
        """Count the names of another tally too."""
        self.names += other.names
        for number in range(len(FIELDS)):
            self.terms[number] += other.terms[number]
            self.counts[number].update(other.counts[number])


class UnionTerms:
    """The counts of a built union, for reading; for one thread.

    `names` is the number of names in the whole union; `mean_terms` for each of
    `index_view.FIELDS` how many terms a name has on average.
    """

    def __init__(self, path: Path) -> None:
        """Open the file. Raises UnionProblem if it cannot be read."""
        try:
            self._db = sqlite3.connect(
                f"{path.resolve().as_uri()}?mode=ro&immutable=1", uri=True, check_same_thread=False
            )
            self._db.execute("PRAGMA mmap_size = 1073741824").fetchall()
            totals = {row[0]: row[1:] for row in self._db.execute("SELECT * FROM totals")}
            self.names = int(totals[0][0])
            self.all_terms = {name: int(totals[n][1]) for n, name in enumerate(FIELDS)}
        except (sqlite3.Error, KeyError) as problem:
            raise UnionProblem(
                f"{path} cannot be read ({problem}). Build the union anew."
            ) from problem
        self.mean_terms = {
            name: count / max(1, self.names) for name, count in self.all_terms.items()
        }

    def count(self, field_name: str, term: str) -> int:
        """In how many names of the whole union a term is; 0 for one that is in none."""
        found = self._db.execute(
            "SELECT names FROM terms WHERE field = ? AND term = ?",
            (FIELDS.index(field_name), term),
        ).fetchone()
        return int(found[0]) if found else 0

    def counts(self, field_name: str, terms: Iterable[str]) -> Mapping[str, int]:
        """The same of many terms."""
        return {term: self.count(field_name, term) for term in terms}

    def close(self) -> None:
        """Let go of the file."""
        self._db.close()


def write(path: Path, tally: TermTally) -> None:
    """Write a new file; it is on the disk when this returns."""
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("PRAGMA journal_mode = OFF").fetchall()  # a file that is not named yet
        for statement in _TABLES:
            db.execute(statement)
        db.execute("BEGIN")
        for number, counts in enumerate(tally.counts):
            db.execute("INSERT INTO totals VALUES (?, ?, ?)",
                       (number, tally.names, tally.terms[number]))  # fmt: skip
            db.executemany(
                "INSERT INTO terms VALUES (?, ?, ?)",
                ((number, term, counts[term]) for term in sorted(counts)),
            )
        db.execute("COMMIT")


def put_together(path: Path, parts: Sequence[Path]) -> None:
    """Write a new file with the counts of all of these."""
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("PRAGMA journal_mode = OFF").fetchall()  # a file that is not named yet
        for statement in _TABLES:
            db.execute(statement)
        for number in range(len(FIELDS)):
            db.execute("INSERT INTO totals VALUES (?, 0, 0)", (number,))
        for part in parts:
            db.execute("ATTACH ? AS part", (str(part),))
            db.execute("BEGIN")
            db.execute(
                "INSERT INTO main.terms SELECT field, term, names FROM part.terms WHERE true "
                "ON CONFLICT DO UPDATE SET names = names + excluded.names"
            )
            db.execute(
                "UPDATE main.totals SET names = names + (SELECT names FROM part.totals p WHERE "
                "p.field = totals.field), terms = terms + (SELECT terms FROM part.totals p WHERE "
                "p.field = totals.field)"
            )
            db.execute("COMMIT")
            db.execute("DETACH part")
