"""How a stand-in is offered to the caller: what follows "We have …", for each kind.

Only what is known is said: "the same song" where the writers settle it, "another slow one" where
both tempos are slow, "from the same year" where both years are known.
"""

from __future__ import annotations

from catalogue.basis import Pace, pace_of
from catalogue.reasons import Reason, ReasonKind
from catalogue.records import Recording, StandIn
from catalogue.spelling import plain

_BY_TIE = {
    ReasonKind.SINGS_WITH: "{name}, who sings with some of the same people",
    ReasonKind.SHARED_ALBUM: "{name}, who is on a record with them",
    ReasonKind.ARTIST_SWAPPED_HERE: "{name}, whom others here took in their place",
}
_BY_LIKENESS = {
    ReasonKind.SAME_GENRE: "{name}, of the same kind",
    ReasonKind.SAME_FAMILY: "{name}, of much the same kind",
    ReasonKind.SAME_MOOD: "{name}, a {held} one",
    ReasonKind.PACE: "{name}, a {held} one",
    ReasonKind.SAME_TEMPO: "{name}, at much the same pace",
}
_BY_CUSTOM = {
    ReasonKind.TAKEN_INSTEAD: "{name}, which others here took in its place",
    ReasonKind.ASKED_FOR_HERE: "{name}, which our callers often ask for",
    ReasonKind.SUITS_OCCASION: "{name}, which others here chose for {held}",
}


def phrase(asked: Recording | None, stand_in: StandIn) -> str:
    """What to say after "We have"; `asked` is the record asked for, if known."""
    offered, name = stand_in.recording, named(stand_in)
    kinds = {reason.kind: reason for reason in stand_in.reasons}
    match stand_in.kind:
        case "same song":
            return _same_song(asked, stand_in, kinds)
        case "same artist":
            if asked is None:
                return name  # "anything by …": it is no other one
            return f"another {_like(asked, offered)}: “{offered.title}”"
        case "related artist":
            return _by(_BY_TIE, kinds, name) or name
        case "same title":
            return f"another song of that name, by {offered.artist}"
        case "same writer":
            return f"{name}, by the same writer"
        case "same years":
            return f"{name}, {_of_that_time(asked, offered)}"
        case "same feel":
            # Where a record is known, its sort is; where only a kind was asked for, it is meant.
            return _by(_BY_LIKENESS, kinds, name) or f"{name}, of much the same kind"
        case "asked for here":
            return _by(_BY_CUSTOM, kinds, name) or name
    return name


def line(asked: Recording | None, stand_in: StandIn) -> str:
    """The sentence that offers one stand-in."""
    unsure = any(reason.kind is ReasonKind.SAME_SONG_TITLE for reason in stand_in.reasons)
    if stand_in.kind == "same song" and unsure:
        return f"We have a song of that name by {stand_in.recording.artist}. Would it be that one?"
    return f"We have {phrase(asked, stand_in)}."


def named(stand_in: StandIn) -> str:
    """A stand-in by title and artist, for saying."""
    return f"“{stand_in.recording.title}” by {stand_in.recording.artist}"


def _same_song(asked: Recording | None, stand_in: StandIn, kinds: dict[ReasonKind, Reason]) -> str:
    offered = stand_in.recording
    if ReasonKind.SAME_SONG_TITLE in kinds:
        return f"a song of that name by {offered.artist}"
    if asked and asked.artist_id == offered.artist_id:
        version = f"the {offered.version} version" if offered.version else "another recording"
        return f"{version} by {offered.artist}: “{offered.title}”"
    if plain(asked.title if asked else "") != plain(offered.title):
        return f"the same song, {named(stand_in)}"
    return f"the same song by {offered.artist}"


def _like(asked: Recording | None, offered: Recording) -> str:
    """ "slow one by Ann Oke from the same year": what it shares, as far as that is known."""
    alike = asked if asked and asked.artist_id == offered.artist_id else None
    slow = f"{pace} " if (pace := _shared_pace(alike, offered)) else ""
    year = " from the same year" if alike and alike.year and alike.year == offered.year else ""
    return f"{slow}one by {offered.artist}{year}"


def _of_that_time(asked: Recording | None, offered: Recording) -> str:
    pace = _shared_pace(asked, offered)
    return f"another {pace} one from about the same time" if pace else "from about the same time"


def _shared_pace(asked: Recording | None, offered: Recording) -> str:
    """Slow or quick, if both are; "" otherwise."""
    pace = pace_of(offered.tempo)
    same = asked is not None and pace is not Pace.UNKNOWN and pace is pace_of(asked.tempo)
    return str(pace) if same else ""


def _by(table: dict[ReasonKind, str], kinds: dict[ReasonKind, Reason], name: str) -> str:
    """The words for the first of these reasons that there is."""
    for kind, words in table.items():
        if kind in kinds:
            return words.format(name=name, held=kinds[kind].held)
    return ""
