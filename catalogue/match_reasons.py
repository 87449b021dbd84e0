"""Why a match is offered: the claims about it as reasons that can be said aloud."""

from __future__ import annotations

from catalogue.alignment import span_heard
from catalogue.candidates import Asked
from catalogue.comparisons import alike
from catalogue.confusion_weights import shipped
from catalogue.filed_names import PART, PERSON
from catalogue.reasons import Reason, ReasonKind
from catalogue.records import Recording
from catalogue.sound import sound_of_word
from catalogue.spelling import plain, spoken, without_article
from catalogue.weighed import Weighed

_SPELT_ALIKE = 0.85
"""Likeness of letters above which it is a slip of the hand rather than of the ear."""

_HEARD = 0.30
"""Share of a name's perfect score from which it was heard at all; below, it is said so."""


def reasons_for(asked: Asked, match: Weighed, recording: Recording) -> tuple[Reason, ...]:
    """One reason for the title, one for the artist, and one for another name if that was it."""
    if match.form.kind == "hearing":
        return (Reason(ReasonKind.HEARD_BEFORE, match.form.title, recording.title),)
    reasons = [
        _part(asked, match, "title", match.form.title, recording.title),
        _part(asked, match, "artist", match.form.artist, recording.artist),
    ]
    if match.form.kind == "refrain":
        reasons[0] = _known_as(reasons[0], match.form.title, recording.title)
    elif match.form.kind == PERSON:
        reasons[1] = _part(asked, match, "artist", match.form.artist, _person(match, recording))
    elif match.form.kind not in ("name", PART):
        reasons[1] = _known_as(reasons[1], match.form.artist, recording.artist)
    return tuple(reasons)


def _known_as(reason: Reason, name: str, held: str) -> Reason:
    """That this is another name of what is held, if it was heard at all."""
    if reason.kind in (ReasonKind.TITLE_NOT_HEARD, ReasonKind.ARTIST_NOT_HEARD):
        return reason
    return Reason(ReasonKind.KNOWN_AS, name, held)


def _person(match: Weighed, recording: Recording) -> str:
    """Which of composer, soloist and conductor the form is filed under."""
    people = (recording.composer, recording.soloist, recording.conductor)
    return next((p for p in people if plain(p) == match.form.artist), recording.artist)


def _part(asked: Asked, match: Weighed, part: str, words: str, held: str) -> Reason:
    """The reason for a title or an artist, from the words that it was aligned with."""
    title = part == "title"
    bare = without_article(words)
    if bare and f" {bare} " in f" {asked.words} ":
        return Reason(ReasonKind.SAME_TITLE if title else ReasonKind.SAME_ARTIST, bare, held)
    phones = match.form.title_phones if title else match.form.artist_phones
    share = match.claim(f"{part}_share")
    heard = _words_aligned(asked, phones) if share >= _HEARD else ""
    if not heard:
        kind = ReasonKind.TITLE_NOT_HEARD if title else ReasonKind.ARTIST_NOT_HEARD
        return Reason(kind, held=held)
    spelt = alike(heard.replace(" ", ""), words.replace(" ", "")) >= _SPELT_ALIKE
    kinds = {
        (True, True): ReasonKind.TITLE_SPELT_ALIKE,
        (True, False): ReasonKind.TITLE_SOUNDS_ALIKE,
        (False, True): ReasonKind.ARTIST_SPELT_ALIKE,
        (False, False): ReasonKind.ARTIST_SOUNDS_ALIKE,
    }
    return Reason(kinds[title, spelt], heard, held)


def _words_aligned(asked: Asked, phones: str) -> str:
    """The heard words of which at least half lies where the name was aligned."""
    start, end = span_heard(asked.sound.phones, phones, shipped())
    place, inside = 0, []
    for word in spoken(asked.words).split():
        size = len(sound_of_word(word).phones)
        overlap = min(end, place + size) - max(start, place)
        if size and overlap * 2 >= size:
            inside.append(word)
        place += size
    return " ".join(inside)
