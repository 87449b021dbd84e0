"""The return of music used: one row for each play, for whoever the station reports to.

The columns are those that recur in public rules and forms of such returns (US 37 CFR 370.3 and
370.4; cue-sheet guidance of collecting societies; from memory where they name no source).
What is not known is left blank, never guessed; the length is what was heard, not the file's.
Nothing of a caller, a slip or a volunteer is in it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from catalogue import plain_csv, settings
from catalogue.errors import BadInput
from catalogue.store import Store

HEADINGS = (
    "Station", "Programme", "Date", "Start time", "Title", "Version", "Featured performer",
    "Composer", "Publisher", "Label", "Catalogue number", "ISRC", "Album title", "Duration used",
    "Number of plays", "Music origin", "Usage", "Territory",
)  # fmt: skip
"""The columns in order; common names of such forms."""

_LONGEST_DAYS = 366


@dataclass(frozen=True, slots=True)
class Use:
    """One play as it is reported: the values of `HEADINGS`, and the play's id for tests and
    corrections, which is not reported."""

    play_id: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Missing:
    """Of how many plays a field that such returns ask for is blank."""

    plays: int
    composer: int
    isrc_or_label: int
    duration: int


def uses(store: Store, first: date, last: date) -> list[Use]:
    """Every play from the first to the last day, in order of time, each once.

    Raises BadInput for days the wrong way round, or more than a year.
    """
    if last < first:
        raise BadInput("The last day is before the first. Look at the two days again.")
    if (last - first) > timedelta(days=_LONGEST_DAYS):
        raise BadInput("A return covers a year at most. Choose days nearer to each other.")
    return list(_uses(store, first, last))


def as_csv(store: Store, first: date, last: date) -> bytes:
    """The return as a CSV file. Raises what `uses` raises."""
    return plain_csv.encoded(HEADINGS, (use.cells for use in uses(store, first, last)))


def missing(found: list[Use]) -> Missing:
    """What the librarian could still fill in before it is sent."""
    at = {name: HEADINGS.index(name) for name in HEADINGS}

    def blank(use: Use, *names: str) -> bool:
        return not any(use.cells[at[name]] for name in names)

    return Missing(
        len(found),
        sum(blank(use, "Composer") for use in found),
        sum(blank(use, "ISRC", "Label") for use in found),
        sum(blank(use, "Duration used") for use in found),
    )


def _uses(store: Store, first: date, last: date) -> Iterator[Use]:
    station, territory = settings.get(store, "station_name"), settings.get(store, "territory")
    rows = store.rows(
        """SELECT p.id, p.at, p.heard_s, g.name AS programme, r.title, r.version,
            a.name AS artist, r.composer, r.label, r.isrc, r.album,
            d.label AS disc_label, d.number, d.title AS disc_title
        FROM plays p JOIN recordings r ON r.id = p.recording_id
            JOIN artists a ON a.id = r.artist_id
            LEFT JOIN holdings h ON h.id = p.holding_id LEFT JOIN discs d ON d.id = h.disc_id
            LEFT JOIN programmes g ON g.id = p.programme_id
        WHERE p.at >= ? AND p.at < ? ORDER BY p.at, p.id""",
        (first.isoformat(), (last + timedelta(days=1)).isoformat()),
    )
    for row in rows:
        at = datetime.fromisoformat(row["at"])
        yield Use(
            row["id"],
            (
                station,
                row["programme"] or "",
                at.date().isoformat(),
                f"{at:%H:%M:%S}",
                row["title"],
                row["version"],
                row["artist"],
                row["composer"],
                "",
                row["disc_label"] or row["label"],
                row["number"] or "",
                row["isrc"],
                row["album"] or row["disc_title"] or "",
                _minutes(row["heard_s"]),
                "1",
                "",
                "",
                territory,
            ),
        )


def _minutes(seconds: float | None) -> str:
    """A length as mm:ss, blank if not known.

    >>> _minutes(219.4), _minutes(3700.0), _minutes(None)
    ('03:39', '61:40', '')
    """
    if seconds is None:
        return ""
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes:02}:{rest:02}"
