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

_NAMED = ("title", "artist", "also_known_as", "refrains", "artist_also_known_as")
_SUNG = frozenset(Voice) - {Voice.UNKNOWN}
_UNKNOWN = {f.name: f.default for f in fields(NewRecording) if f.name not in (*_TOGETHER, "voice")}
"""What a recording has where no station says anything."""


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
    known = dict(zip(COLUMNS, zip(*members, strict=True), strict=True))
    names = _common(list(zip(*(known[name] for name in _TOGETHER), strict=True)))
    best: dict[str, Any] = dict(zip(_TOGETHER, names[0], strict=True))
    for name, unknown in _UNKNOWN.items():
        said = _common([value for value in known[name] if value not in ("", None)])
        best[name] = said[0] if said else unknown
    voices = _common([voice for voice in known["voice"] if voice in _SUNG])
    best["voice"] = Voice(voices[0]) if voices else Voice.UNKNOWN
    others = dict.fromkeys(
        found
        for title, artist, also, refrains, artists in zip(
            *(known[name] for name in _NAMED), strict=True
        )
        for found in (
            *((name, artist, "also known as") for name in also),
            *((name, artist, "refrain") for name in refrains),
            *((title, name, "also known as") for name in artists),
        )
    )
    entry = members[0][0]
    holders = zip(known["station"], known["number"], known["holdings"], strict=True)
    copies = sorted((copy for one in holders for copy in _copies(entry, *one)), key=_by_holder)
    filed = _common(list(zip(*(known[name] for name in _FILED), strict=True)))
    return Entry(
        entry, NewRecording(**best), tuple(copies), tuple(Filed(*one) for one in filed),
        tuple(others),
    )  # fmt: skip


def _copies(entry: int, station: int, number: int, holdings: str) -> Iterator[UnionCopy]:
    for copy in holdings.split():
        carrier, copies, lendable = copy.split(":")
        yield UnionCopy(entry, station, number, carrier, int(copies), int(lendable))


def _by_holder(copy: UnionCopy) -> tuple[int, int, str]:
    return copy.station, copy.number, copy.carrier


def _common(values: Sequence[Any]) -> Sequence[Any]:
    """The different values, the most frequent first, of equals the first."""
    if not values or values.count(values[0]) == len(values):
        return values[:1]
    return [value for value, _ in Counter(values).most_common()]
