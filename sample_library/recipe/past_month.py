"""A month of requests and of what went out, counted in days before today.

Days are counted back so that a demo looks recent whenever it is set up: 1 is yesterday.
No caller has a name here, as none would be left after the details are erased.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass

from sample_library.recipe.audio_files import tagged_files
from sample_library.recipe.mishearing import written_down
from sample_library.recipe.places import PLACES, Place
from sample_library.recipe.shelves import copies
from sample_library.recipe.songbook import Track, songbook
from sample_library.recipe.tables import Cell, chance

REQUESTS_HEADING = (
    "days_before", "time", "place", "heard", "artist", "title", "outcome", "occasion",
)  # fmt: skip
PLAYS_HEADING = (
    "days_before", "time", "programme", "artist", "title", "shelf_mark", "for_request",
)  # fmt: skip

DAYS = 31
# Programme, first hour, hours, records without a request in it, genres (empty for any).
PROGRAMMES = (
    ("Breakfast on the Bank", 8, 2, 3, ("pop", "light music", "crooner")),
    ("Slack Water", 10, 1, 3, ("hymn", "brass band", "concert music", "choir")),
    ("Ward Round Requests", 14, 2, 1, ()),
    ("The Ferry Hour", 17, 1, 2, ("shanty", "folk", "reggae", "rock")),
    ("Lamplight", 20, 2, 2, ("jazz", "soul", "lullaby", "concert music")),
)
# Requests in a programme, fewest and most.
REQUESTS_IN = {
    "Breakfast on the Bank": (1, 3),
    "Slack Water": (0, 2),
    "Ward Round Requests": (4, 6),
    "The Ferry Hour": (1, 3),
    "Lamplight": (0, 2),
}
OCCASIONS = (
    "birthday", "anniversary", "get well", "thank you", "in memory", "homesick", "just because",
)  # fmt: skip
OCCASION_WEIGHTS = (24, 12, 16, 10, 8, 8, 22)
# Of recordings held, so many were away, broken or just played, and gave way to another.
SHARE_NOT_READY = 0.10
SHARE_OF_KNOWN = 0.22
SHARE_UNKNOWN = 0.04
SHARE_STAND_IN_REFUSED = 0.15
# How many years round a place's young days its songs come from.
YEARS_AROUND = 14
# Nobody sits at the telephone before six, in minutes of the day.
FIRST_CALL = 6 * 60
# How fast songs become less asked for, from the best loved on (an exponent of the rank).
POPULARITY_SLOPE = 0.45
# Asked for, and nobody ever found out what it was.
NEVER_FOUND = (
    "the one about the blue gate, a man sings it",
    "something something harbour, from an advert for soup",
    "my wife's song, goes la la la dee",
    "it was on the wireless in 1951, a waltz",
    "Gerald Ponsonby's bassoon thing",
    "that Norwegian one with the goats",
    "the slow one from the film with the nun",
    "Whistling Postman? or Milkman",
    "Bells of somewhere, a military band",
    "a hymn about a ladder, not the usual one",
    "it has rain in the title",
    "the Portuguese lady, but not that one",
)  # fmt: skip


@dataclass(frozen=True)
class Month:
    """Rows below the two headings, newest day last."""

    requests: list[list[Cell]]
    plays: list[list[Cell]]


def past_month() -> Month:
    """Requests and plays of all days, in order of time."""
    station = _Station(chance("past month"))
    for days_before in range(DAYS, 0, -1):
        station.today.clear()
        for programme, hour, hours, fillers, genres in PROGRAMMES:
            asked = station.rng.randint(*REQUESTS_IN[programme])
            minutes = sorted(station.rng.sample(range(2, hours * 60 - 4, 4), asked + fillers))
            with_request = set(station.rng.sample(minutes, asked))
            for minute in minutes:
                at = hour * 60 + minute
                if minute in with_request:
                    station.request(days_before, at, programme)
                else:
                    station.play(days_before, at, programme, station.choose(genres), "")
    return Month(station.requests, station.plays)


class _Station:
    """Keeps the books of the month: what is held where, what was asked, what was played."""

    def __init__(self, rng: random.Random) -> None:
        self.rng = rng
        self.requests: list[list[Cell]] = []
        self.plays: list[list[Cell]] = []
        self.marks: dict[tuple[str, str], str] = {}
        for copy in copies():
            for track in copy.tracks:
                self.marks.setdefault(_name(track), copy.shelf_mark)
        on_drive = {_name(file.track) for file in tagged_files()}
        names = on_drive | self.marks.keys()
        self.held = [t for t in songbook().tracks() if _name(t) in names]
        self.known = songbook().known
        # Nothing is played, or asked for, twice on one day.
        self.today: set[tuple[str, str]] = set()
        # A few songs are asked for week after week.
        ranks = list(range(1, len(self.held) + 1))
        rng.shuffle(ranks)
        self.popularity = {
            _name(t): rank**-POPULARITY_SLOPE for t, rank in zip(self.held, ranks, strict=True)
        }

    def request(self, days_before: int, at: int, programme: str) -> None:
        """One request: rung in a while before, answered in the programme if it can be."""
        rung = max(FIRST_CALL, at - self.rng.randint(5, 3 * 60))
        place = self._caller(programme)
        occasion = self.rng.choices(OCCASIONS, OCCASION_WEIGHTS)[0]
        if self.rng.random() < SHARE_UNKNOWN:
            heard = self.rng.choice(NEVER_FOUND)
            self._note(days_before, rung, place, heard, None, "not met", occasion)
            return
        from_known = self.rng.random() < SHARE_OF_KNOWN
        wanted = self._liked(self.known if from_known else self.held, place)
        self.today.add(_name(wanted))
        heard = written_down(wanted, self.rng)
        if not from_known and self.rng.random() >= SHARE_NOT_READY:
            played: Track | None = wanted
            outcome = "played"
        else:
            refused = self.rng.random() < SHARE_STAND_IN_REFUSED
            played = None if refused else self._stand_in(wanted)
            outcome = "not met" if refused else "stand-in"
        asked_at = self._note(days_before, rung, place, heard, wanted, outcome, occasion)
        if played is not None:
            self.play(days_before, at, programme, played, asked_at)

    def play(self, days_before: int, at: int, programme: str, track: Track, asked_at: str) -> None:
        """One line of the log; ``asked_at`` is the time of the request it answers, if any."""
        self.today.add(_name(track))
        mark = self.marks.get(_name(track), "")
        self.plays.append(
            [days_before, _clock(at), programme, track.artist, track.title, mark, asked_at]
        )

    def choose(self, genres: tuple[str, ...]) -> Track:
        """Something from the shelves for a programme."""
        return self._pick([t for t in self.held if not genres or t.genre in genres], self.held)

    def _note(
        self,
        days_before: int,
        rung: int,
        place: Place,
        heard: str,
        wanted: Track | None,
        outcome: str,
        occasion: str,
    ) -> str:
        """Write the request down, at a minute of its own; returns the time."""
        taken = {row[1] for row in self.requests if row[0] == days_before}
        while _clock(rung) in taken:
            rung += 1
        artist, title = (wanted.artist, wanted.title) if wanted else ("", "")
        row: list[Cell] = [
            days_before, _clock(rung), place.name, heard, artist, title, outcome, occasion,
        ]  # fmt: skip
        self.requests.append(row)
        return _clock(rung)

    def _caller(self, programme: str) -> Place:
        kinds = ("ferry crew", "crew") if programme == "The Ferry Hour" else ()
        weights = [4 if place.kind in kinds else 1 for place in PLACES]
        return self.rng.choices(PLACES, weights)[0]

    def _liked(self, tracks: list[Track], place: Place) -> Track:
        """What somebody there would ask for: their kind of music from their young days."""
        their_kind = [track for track in tracks if track.genre in place.likes]
        their_days = [t for t in their_kind if abs(t.year - place.young) <= YEARS_AROUND]
        return self._pick(their_days, their_kind, tracks)

    def _stand_in(self, wanted: Track) -> Track:
        """The same song by somebody else, else the same artist, else the same kind of music."""
        others = [t for t in self.held if _name(t) != _name(wanted)]
        same_song = [t for t in others if (t.title, t.composer) == (wanted.title, wanted.composer)]
        same_artist = [t for t in others if t.artist == wanted.artist]
        same_kind = sorted(
            (t for t in others if t.genre == wanted.genre and t.language == wanted.language),
            key=lambda t: abs(t.year - wanted.year),
        )
        return self._pick(same_song, same_artist, same_kind[:5], others)

    def _pick(self, *pools: list[Track]) -> Track:
        """One of the first pool in which something is fresh today, the popular ones sooner."""
        for pool in pools:
            fresh = [track for track in pool if _name(track) not in self.today]
            if fresh:
                weights = [self.popularity.get(_name(track), 0.1) for track in fresh]
                return self.rng.choices(fresh, weights)[0]
        raise LookupError("everything has been played today")


def _name(track: Track) -> tuple[str, str]:
    return track.artist, track.title


def _clock(minutes: int) -> str:
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def in_order(rows: list[list[Cell]]) -> Iterator[list[Cell]]:
    """Oldest first: days before today falling, then the time of day."""
    yield from sorted(rows, key=lambda row: (-int(row[0]), str(row[1])))
