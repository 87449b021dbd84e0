"""What a tag or a row of a list comes to, before the catalogue has seen it.

`Draft` is text under way through the cleaning steps; `Entry` is the end of that road, with
numbers read and the raw values beside the cleaned ones. `Refused` and `Unchanged` are the two
other things that can come of a file or a row.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from catalogue.records import Carrier, Condition, NewRecording

Raw = Mapping[str, str]
"""Names as the tag or the heading has them, and what stood there, untouched."""

LONGEST_TEXT = 2_000
"""Letters of a title, a name or any other field; longer ones are a list or a tag gone wrong."""

MANY = "\0"
"""Between several values of one tag, as ID3v2.4 has it; a list never holds it."""


@dataclass(frozen=True, slots=True)
class Draft:
    """Text fields by our names, which of them were guessed, and what to tell about them.

    Names are those of `NewRecording` (`length` for its `length_s`) and of `Copy`, and beside
    them `album_artist`, `compilation`, `first_year` (year of first release, told apart from
    `year`, which may be the pressing's) and `disc`.
    """

    fields: Mapping[str, str]
    guessed: frozenset[str] = frozenset()
    notes: tuple[str, ...] = ()

    def get(self, name: str) -> str:
        """A field, empty if it is not there."""
        return self.fields.get(name, "")

    def put(self, **values: str) -> Draft:
        """With these fields set; an empty value takes the field away."""
        fields = self.fields
        changed = {name: text for name, text in values.items() if fields.get(name, "") != text}
        if not changed:
            return self
        kept = {name: text for name, text in {**fields, **changed}.items() if text}
        return Draft(kept, self.guessed, self.notes)

    def guess(self, **values: str) -> Draft:
        """With these fields set and marked as guessed."""
        return replace(self.put(**values), guessed=self.guessed | {n for n in values if values[n]})

    def note(self, text: str) -> Draft:
        """With one more note, once."""
        return self if text in self.notes else replace(self, notes=(*self.notes, text))


@dataclass(frozen=True, slots=True)
class Copy:
    """Where a copy is: a file, or a place on a disc with a shelf mark.

    `size` is in bytes, `mtime` in seconds since 1970, `audio` the digest of a file's sound.
    """

    carrier: Carrier
    path: str = ""
    size: int | None = None
    mtime: float | None = None
    shelf_mark: str = ""
    side: str = ""
    track: str = ""
    speed: str = ""
    disc_title: str = ""
    place: str = ""
    condition: Condition = Condition.UNKNOWN
    label: str = ""
    number: str = ""
    note: str = ""
    barcode: str = ""
    audio: str = ""


@dataclass(frozen=True, slots=True)
class Entry:
    """One file or one row, ready to be taken in.

    `source` names it for a person: a path, or "list.csv row 12". Without a `copy` the recording
    is known of, but not held. `guessed` names fields of `recording` that were not said outright,
    `notes` what a person should look at. `came_from` says for fields as they were read, before
    any cleaning, under which name of `raw` they stood; `numbers` are gains in dB and peaks, by
    the names of their tags.
    """

    source: str
    raw: Raw
    recording: NewRecording
    copy: Copy | None = None
    guessed: frozenset[str] = frozenset()
    notes: tuple[str, ...] = ()
    came_from: Mapping[str, str] = field(default_factory=dict)
    numbers: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Refused:
    """One file or one row that cannot be used, and why, as a sentence.

    `mend` is a row's cells by heading, ditto marks written out: what goes into the file that is
    to be mended and given again.
    """

    source: str
    why: str
    raw: Raw = field(default_factory=dict)
    mend: Raw = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Unchanged:
    """A file that is as it was when it was last read: there was no need to read it again."""

    source: str


Taken = Entry | Refused | Unchanged
