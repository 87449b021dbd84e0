"""Reads the invented artists, songs and discs from ``songbook/*.txt``.

A page of the songbook is meant to be read and added to by hand::

    @ Artist | genre | voice | language | label
    > carriers | title of the disc | year | option=value
    *96 Title of the song | Composer | option=value
    84 Title of another | Composer

``@`` opens an artist; the name alone goes on with one met before. ``>`` opens a disc:
carriers are CD, LP, 45, 78, Cassette (a carrier named twice means two copies), a sound
file's kind (mp3, flac, ogg, opus, wav), or ``known`` for recordings that are not held.
A line that begins with a tempo in beats a minute is a track. A star before it says that
the station also has it as a single, with the next track on the other side.

Options, on a disc for all its tracks or on one track: ``composer``, ``conductor``,
``soloist``, ``genre``, ``voice``, ``language``, ``label``, ``year``. A disc without
tracks of its own says which earlier ones it gathers: ``best=6`` takes six by the same
artist, ``pick=6`` takes six by anybody, narrowed by ``genres``, ``languages``,
``labels``, ``from``, ``to``, ``slower``, ``faster`` or ``song``.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cache
from pathlib import Path

from sample_library.recipe.tables import chance

PAGES = Path(__file__).parent / "songbook"
PAGE_ORDER = (
    "1908_to_1949",
    "1950s",
    "1960s",
    "1970s",
    "1980s",
    "since_1990",
    "other_languages",
    "chapel_brass_comedy",
    "stage_screen",
    "concert_music",
    "various",
    "known_not_held",
)
DISC_CARRIERS = ("CD", "LP", "45", "78", "Cassette")
FILE_KINDS = ("mp3", "flac", "ogg", "opus", "wav")
KNOWN = "known"
VARIOUS = "Various Artists"


class SongbookError(Exception):
    """A line of the songbook cannot be read; the message says which and why."""


@dataclass(frozen=True)
class Track:
    """One recording. ``year`` is the year of its first release, ``tempo`` in beats a minute."""

    artist: str
    title: str
    tempo: int
    year: int
    genre: str = ""
    voice: str = ""
    language: str = ""
    label: str = ""
    composer: str = ""
    conductor: str = ""
    soloist: str = ""


@dataclass(frozen=True)
class Disc:
    """One issue, on one or more carriers. ``singles`` are the places of starred tracks."""

    carriers: tuple[str, ...]
    artist: str
    title: str
    year: int
    label: str
    tracks: tuple[Track, ...]
    singles: tuple[int, ...] = ()


@dataclass
class Songbook:
    """All pages together, in the order in which they were read."""

    discs: list[Disc] = field(default_factory=list)
    known: list[Track] = field(default_factory=list)

    def tracks(self) -> list[Track]:
        """Every recording held, each once, in songbook order."""
        return list(dict.fromkeys(track for disc in self.discs for track in disc.tracks))


@dataclass
class _OpenDisc:
    """A disc while its lines are being read."""

    carriers: tuple[str, ...]
    title: str
    year: int
    options: dict[str, str]
    tracks: list[Track] = field(default_factory=list)
    singles: list[int] = field(default_factory=list)


class _Reader:
    """Reads page after page; remembers artists and the tracks met so far."""

    def __init__(self) -> None:
        self.book = Songbook()
        self.artists: dict[str, Track] = {}
        self.artist: Track | None = None
        self.disc: _OpenDisc | None = None

    def read(self, name: str) -> None:
        text = (PAGES / f"{name}.txt").read_text(encoding="utf-8")
        for number, raw in enumerate(text.splitlines(), start=1):
            line = raw.strip()
            try:
                self._read_line(line)
            except (ValueError, IndexError, KeyError, TypeError) as error:
                raise SongbookError(f"{name}.txt, line {number}: {line!r}: {error}") from error
        self._close_disc()

    def _read_line(self, line: str) -> None:
        if not line or line.startswith("# "):
            return
        if line.startswith("@ "):
            self._close_disc()
            self._open_artist(_fields(line[2:]))
        elif line.startswith("> "):
            self._close_disc()
            self._open_disc(_fields(line[2:]))
        else:
            self._add_track(line)

    def _open_artist(self, fields: list[str]) -> None:
        name = fields[0]
        if len(fields) > 1:
            genre, voice, language, label = fields[1:]
            self.artists[name] = Track(name, "", 0, 0, genre, voice, language, label)
        self.artist = self.artists[name]

    def _open_disc(self, fields: list[str]) -> None:
        plain, options = _options(fields)
        plain += [""] * (3 - len(plain))
        carriers = tuple(_fields(plain[0], ","))
        for carrier in carriers:
            if carrier not in (*DISC_CARRIERS, *FILE_KINDS, KNOWN):
                raise ValueError(f"no carrier is called {carrier!r}")
        self.disc = _OpenDisc(carriers, plain[1], int(plain[2] or 0), options)

    def _add_track(self, line: str) -> None:
        assert self.artist is not None and self.disc is not None
        plain, options = _options(_fields(line))
        tempo, _, title = plain[0].lstrip("*").partition(" ")
        if plain[0].startswith("*"):
            self.disc.singles.append(len(self.disc.tracks))
        track = replace(self.artist, title=title, tempo=int(tempo), year=self.disc.year)
        given = {**self.disc.options, **options}
        if len(plain) > 1:
            given["composer"] = plain[1]
        if "year" in given:
            track = replace(track, year=int(given.pop("year")))
        self.disc.tracks.append(replace(track, **given))  # type: ignore[arg-type]

    def _close_disc(self) -> None:
        disc, self.disc = self.disc, None
        if disc is None or self.artist is None:
            return
        if KNOWN in disc.carriers:
            self.book.known += disc.tracks
            return
        tracks = tuple(disc.tracks) or self._gathered(disc)
        self.book.discs.append(
            Disc(
                disc.carriers,
                self.artist.artist,
                disc.title or tracks[0].title,
                disc.year,
                disc.options.get("label", self.artist.label),
                tracks,
                tuple(disc.singles),
            )
        )

    def _gathered(self, disc: _OpenDisc) -> tuple[Track, ...]:
        """The earlier tracks a "best of" or a compilation brings together."""
        assert self.artist is not None
        held = self.book.tracks()
        if "best" in disc.options:
            own = [track for track in held if track.artist == self.artist.artist]
            return tuple(own[: int(disc.options["best"])])
        fitting = [track for track in held if _wanted(track, disc.options)]
        wanted = int(disc.options["pick"])
        picked = chance(f"compilation {disc.title}").sample(fitting, min(wanted, len(fitting)))
        if len(picked) < 2:
            raise ValueError(f"only {len(picked)} tracks fit {disc.title!r}")
        return tuple(sorted(picked, key=lambda track: (track.year, track.title)))


def _wanted(track: Track, options: dict[str, str]) -> bool:
    """Does a track fit what a compilation asks for?"""

    def among(name: str, value: str) -> bool:
        return name not in options or value in _fields(options[name], ",")

    return (
        among("genres", track.genre)
        and among("languages", track.language)
        and among("labels", track.label)
        and options.get("song", track.title) == track.title
        and int(options.get("from", 0)) <= track.year <= int(options.get("to", 9999))
        and int(options.get("faster", 0)) <= track.tempo <= int(options.get("slower", 999))
    )


def _fields(line: str, between: str = "|") -> list[str]:
    return [part.strip() for part in line.split(between)]


def _options(fields: list[str]) -> tuple[list[str], dict[str, str]]:
    """Split ``name=value`` fields from the plain ones."""
    plain = [part for part in fields if "=" not in part]
    named = (part.partition("=") for part in fields if "=" in part)
    return plain, {name.strip(): value.strip() for name, _, value in named}


@cache
def songbook() -> Songbook:
    """Read all pages. Raises ``SongbookError`` naming the page and line it cannot read."""
    reader = _Reader()
    for name in PAGE_ORDER:
        reader.read(name)
    return reader.book
