"""The things everybody talks about: recordings, holdings, what is wanted, what is answered.

Frozen dataclasses and enums only; nothing here reads or writes anything. The values of the
enums are stored in the database and shown nowhere: the words for them are in `web/texts/`
and, where they are part of a sentence to say, in `reasons.py`.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from catalogue.reasons import Reason


class Carrier(StrEnum):
    """What a recording is on."""

    FILE = "file"
    CD = "CD"
    LP = "LP"
    SINGLE_45 = "45"
    SINGLE_78 = "78"
    CASSETTE = "cassette"
    OTHER = "other"


class Condition(StrEnum):
    """How well a holding plays."""

    GOOD = "good"
    WORN = "worn"
    SCRATCHED = "scratched"
    DAMAGED = "damaged"
    UNKNOWN = "unknown"


class Voice(StrEnum):
    """Who sings."""

    MAN = "man"
    WOMAN = "woman"
    GROUP = "group"
    NONE = "none"
    UNKNOWN = "unknown"


class Band(StrEnum):
    """How sure a match is. Thresholds are in `matcher.py`."""

    CERTAIN = "certain"
    LIKELY = "likely"
    POSSIBLE = "possible"


class Readiness(StrEnum):
    """Whether a holding can go to air now, and if not, why."""

    READY = "ready"
    ON_LOAN = "on loan"
    MISSING = "missing"
    DAMAGED = "damaged"
    PLAYED_LATELY = "played lately"
    TAKEN = "taken"
    NOT_HELD = "not held"


class Outcome(StrEnum):
    """What an enquiry came to."""

    FOUND = "found"
    NOT_READY = "not ready"
    KNOWN_NOT_HELD = "known, not held"
    NOT_FOUND = "not found"
    CANNOT_TELL = "cannot tell"
    NOTHING_ASKED = "nothing asked"


@dataclass(frozen=True, slots=True)
class Recording:
    """One performance as it can be played, held or only known of.

    `year` is of first release where known. `tempo` is in beats a minute, `length_s` in
    seconds. For concert music `title` is what is asked for, `work` and `movement` its parts.
    """

    id: int
    title: str
    artist: str
    artist_id: int
    song_id: int
    version: str = ""
    year: int | None = None
    tempo: float | None = None
    length_s: float | None = None
    genre: str = ""
    language: str = ""
    voice: Voice = Voice.UNKNOWN
    album: str = ""
    composer: str = ""
    work: str = ""
    movement: str = ""
    soloist: str = ""
    conductor: str = ""
    label: str = ""
    isrc: str = ""


@dataclass(frozen=True, slots=True)
class NewRecording:
    """What is needed to put a recording into the store; only title and artist must be there."""

    title: str
    artist: str
    version: str = ""
    year: int | None = None
    tempo: float | None = None
    length_s: float | None = None
    genre: str = ""
    language: str = ""
    voice: Voice = Voice.UNKNOWN
    album: str = ""
    composer: str = ""
    work: str = ""
    movement: str = ""
    soloist: str = ""
    conductor: str = ""
    label: str = ""
    isrc: str = ""


@dataclass(frozen=True, slots=True)
class Song:
    """What is sung, whoever sings it: one title and, where known, one composer."""

    id: int
    title: str
    composer: str = ""


@dataclass(frozen=True, slots=True)
class Disc:
    """A physical carrier with a place on a shelf."""

    id: int
    carrier: Carrier
    shelf_mark: str
    title: str = ""
    place: str = ""
    condition: Condition = Condition.UNKNOWN
    label: str = ""
    number: str = ""
    missing: bool = False
    note: str = ""
    barcode: str = ""


@dataclass(frozen=True, slots=True)
class NewDisc:
    """What is needed to shelve a disc."""

    carrier: Carrier
    shelf_mark: str
    title: str = ""
    place: str = ""
    condition: Condition = Condition.UNKNOWN
    label: str = ""
    number: str = ""
    note: str = ""
    barcode: str = ""


@dataclass(frozen=True, slots=True)
class Holding:
    """A copy you can put your hand on: a file, or a place on a disc.

    `path` is set for files, `shelf_mark`, `side` and `track` for discs. `carrier`, `place`,
    `condition` and `missing` are the disc's where there is one.
    """

    id: int
    recording_id: int
    carrier: Carrier
    path: str = ""
    disc_id: int | None = None
    shelf_mark: str = ""
    disc_title: str = ""
    side: str = ""
    track: str = ""
    speed: str = ""
    place: str = ""
    condition: Condition = Condition.UNKNOWN
    missing: bool = False


@dataclass(frozen=True, slots=True)
class NewHolding:
    """What is needed to file a copy: either `path` or `disc_id`.

    `audio` is a digest of a file's sound without its tags: by it a moved file is known again.
    """

    recording_id: int
    path: str = ""
    disc_id: int | None = None
    side: str = ""
    track: str = ""
    speed: str = ""
    file_size: int | None = None
    file_time: float | None = None
    audio: str = ""


@dataclass(frozen=True, slots=True)
class Reading:
    """One way to read what was heard: which words are the title, which the artist."""

    title: str
    artist: str = ""
    how: str = ""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What somebody is asking for: all the readings of what was heard, best guess first.

    `heard` is the whole text in plain words. `year_from` and `year_to` hold a year or decade
    said in passing, `version` a word such as "live". `names_no_record` is set for requests such
    as "anything by …", "you choose". `typed` are the plain words before politeness was set aside:
    a title may begin with "Play" or "Can You". `undated` is the same without the year or decade,
    which may have been said in passing or belong to the name.
    """

    heard: str
    readings: tuple[Reading, ...]
    year_from: int | None = None
    year_to: int | None = None
    version: str = ""
    names_no_record: bool = False
    typed: str = ""
    undated: Wanted | None = None


@dataclass(frozen=True, slots=True)
class Available:
    """One holding, and whether it can go to air now. `fetched` says for which programme a disc
    that is ready was taken from its shelf."""

    holding: Holding | None
    readiness: Readiness
    why: str = ""
    fetched: str = ""


@dataclass(frozen=True, slots=True)
class Match:
    """A recording that may be what was asked for, with its band and its reasons.

    The marks are title and artist in pieces, each with whether it agrees with what was heard.
    `versions` are other recordings of it by the same artist: live, another year, a part.
    """

    recording: Recording
    band: Band
    probability: float
    reasons: tuple[Reason, ...]
    availability: tuple[Available, ...] = ()
    title_marks: tuple[tuple[str, bool], ...] = ()
    artist_marks: tuple[tuple[str, bool], ...] = ()
    versions: tuple[Match, ...] = ()

    @property
    def ready(self) -> Available | None:
        """The first holding that can go to air now."""
        return next((a for a in self.availability if a.readiness is Readiness.READY), None)


@dataclass(frozen=True, slots=True)
class StandIn:
    """A recording offered in place of the one asked for, ready now, with a sentence to say."""

    recording: Recording
    kind: str
    available: Available
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True)
class Answer:
    """All that one enquiry comes to. `say` is a sentence to say to the caller; `based_on` says for
    the searcher what the stand-ins go by, `year` and `tempo` (beats a minute) being part of it, and
    `nothing_known` whether they go by nothing. `questions` are the kinds of what may be asked, the
    one that narrows the list fastest first."""

    outcome: Outcome
    say: str
    wanted: Wanted
    matches: tuple[Match, ...] = ()
    stand_ins: tuple[StandIn, ...] = ()
    ask_next: tuple[str, ...] = field(default=())
    based_on: str = ""
    questions: tuple[str, ...] = ()
    year: int | None = None
    tempo: float | None = None
    nothing_known: bool = False
