"""Many stations' descriptions of one recording made into one, with all its names and holders."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields
from typing import Any

from catalogue.filed_names import Filed, forms_of
from catalogue.records import NewRecording, Voice
from catalogue.search_keys import Form, form_of
from catalogue.union_entries import UnionCopy

MOST_NAMES = 24
"""Names under which one entry is filed at most: it is found by the most common ones."""

_FILED = tuple(f.name for f in fields(Filed))
_TOGETHER = ("title", "artist")
"""Taken from one description, so that a title does not get another spelling's artist."""

COLUMNS = (
    "entry", "station", "number", *(f.name for f in fields(NewRecording)),
    "also_known_as", "refrains", "artist_also_known_as", "holdings",
)  # fmt: skip
"""What is known of each member of an entry, in the order of the tuples below."""

_VOICES = frozenset(Voice)


@dataclass(frozen=True, slots=True)
class Entry:
    """One recording with all its holders. `filed` are the descriptions under which it is filed,
    the most common first; `others` are (title, artist, kind) of its other names."""

    id: int
    recording: NewRecording
    copies: tuple[UnionCopy, ...]
    filed: tuple[Filed, ...]
    others: tuple[tuple[str, str, str], ...]

    def forms(self) -> Iterator[Form]:
        """Every form under which it is filed, none twice, `MOST_NAMES` at most."""
        seen: set[tuple[str, str]] = set()
        for form in self._all_forms():
            if (form.title, form.artist) not in seen:
                seen.add((form.title, form.artist))
                yield form
                if len(seen) == MOST_NAMES:
                    return

    def _all_forms(self) -> Iterator[Form]:
        for filed in self.filed:
            yield from forms_of(filed)
        for title, artist, kind in self.others:
            yield form_of(title, artist, kind)

    def told(self) -> bytes:
        """All of it, to see whether it is as it was at the last build."""
        new = self.recording
        return json.dumps(
            [
                self.id, [getattr(new, f.name) for f in fields(new)],
                [[getattr(c, f.name) for f in fields(c)] for c in self.copies],
                [[getattr(f, name) for name in _FILED] for f in self.filed], self.others,
            ],
            ensure_ascii=False,
        ).encode("utf-8", "surrogatepass")  # fmt: skip


def merged(members: Sequence[tuple[Any, ...]]) -> Entry:
    """The entry of these members, rows of `COLUMNS`, the first holder first.

    Of each fact the one most stations give counts, of equals the first.
    """
    known = [dict(zip(COLUMNS, row, strict=True)) for row in members]
    names = _common([tuple(one[name] for name in _TOGETHER) for one in known])
    best: dict[str, Any] = dict(zip(_TOGETHER, names[0], strict=True))
    for field in fields(NewRecording):
        if field.name not in best:
            said = _common([one[field.name] for one in known if one[field.name] not in ("", None)])
            best[field.name] = said[0] if said else field.default
    voices = _common([one["voice"] for one in known if one["voice"] in _VOICES - {Voice.UNKNOWN}])
    best["voice"] = Voice(voices[0]) if voices else Voice.UNKNOWN
    others = dict.fromkeys(
        found for one in known for found in (
            *((name, one["artist"], "also known as") for name in one["also_known_as"]),
            *((name, one["artist"], "refrain") for name in one["refrains"]),
            *((one["title"], name, "also known as") for name in one["artist_also_known_as"]),
        )
    )  # fmt: skip
    entry = known[0]["entry"]
    return Entry(
        entry,
        NewRecording(**best),
        tuple(sorted((copy for one in known for copy in _copies(entry, one)), key=_by_holder)),
        tuple(_common([Filed(*(one[name] for name in _FILED)) for one in known])),
        tuple(others),
    )


def _copies(entry: int, one: dict[str, Any]) -> Iterator[UnionCopy]:
    for copy in one["holdings"].split():
        carrier, copies, lendable = copy.split(":")
        yield UnionCopy(entry, one["station"], one["number"], carrier, int(copies), int(lendable))


def _by_holder(copy: UnionCopy) -> tuple[int, int, str]:
    return copy.station, copy.number, copy.carrier


def _common(values: Sequence[Any]) -> list[Any]:
    """The different values, the most frequent first, of equals the first."""
    return [value for value, _ in Counter(values).most_common()]
