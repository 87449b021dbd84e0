"""Lessons: what was heard and which record it turned out to mean.

A lesson is another name of a recording, of the kind "hearing". It keeps only the heard words
that agree with the title or the artist: never the rest, which may be a caller's. The same
hearing then comes first, and a wrong lesson can be unlearnt.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from catalogue import callers, catalogue_rows, request_slips, undo
from catalogue.agreement import agreeing_words
from catalogue.alignment import align_inside, own_scores
from catalogue.comparisons import LEARNT
from catalogue.confusion_weights import shipped
from catalogue.errors import NotFound
from catalogue.records import Recording
from catalogue.search_keys import form_of
from catalogue.sound import sound_of
from catalogue.spelling import plain, without_article, without_featured, without_version
from catalogue.store import Store

HEARING = LEARNT

LEAST_HEARD = 0.30
"""Share of the title's or the artist's perfect score below which nothing is learnt: a rubbish
hearing that led to a record by other ways would only mislead."""

LONGEST = 80
"""Letters of a lesson: no title and artist is longer as it is said."""


@dataclass(frozen=True, slots=True)
class Lesson:
    """One hearing and the recording it meant."""

    id: int
    heard: str
    recording_id: int
    title: str
    artist: str


def words_to_learn(heard: str, recording: Recording) -> str:
    """The heard words that would be kept; empty if there is nothing to learn.

    Nothing is learnt from what is the name already, or too unlike it.
    """
    name = f"{without_version(recording.title)} {without_featured(recording.artist)}"
    words = agreeing_words(plain(heard), name)
    if not words or len(words) > LONGEST or _is_the_name(words, recording):
        return ""
    form = form_of(recording.title, recording.artist)
    parts = [part for part in (form.title_phones, form.artist_phones) if part]
    heard_phones = sound_of(words).phones
    scores = align_inside(heard_phones, parts, shipped())
    shares = scores / (own_scores(parts, shipped()) + 1)
    return words if parts and float(shares.max()) >= LEAST_HEARD else ""


def learn(store: Store, heard: str, recording_id: int, who: str, now: datetime) -> int | None:
    """Keep a confirmed hearing; returns the lesson's id, or None if there is nothing to learn.

    Raises NotFound for an unknown recording.
    """
    recording = catalogue_rows.recording(store, recording_id)
    words = words_to_learn(heard, recording)
    if not words or any(lesson.heard == words for lesson in of(store, recording_id)):
        return None
    # The action's text outlives the caller's details: it names the recording, not the words.
    with undo.action(store, who, f"learnt how recording {recording_id} was heard", now):
        return catalogue_rows.add_other_name(store, HEARING, words, recording=recording_id)


def learn_from_slip(store: Store, slip_id: int, who: str, now: datetime) -> int | None:
    """Learn from a slip that went out: what was heard meant its record, or the one it stands
    in for. Nothing is learnt once the caller's details are erased."""
    slip = request_slips.get(store, slip_id)
    details = callers.of(store, slip_id)
    meant = slip.stand_in_for or slip.recording_id
    if details is None or meant is None:
        return None
    heard = " ".join((details.heard, details.heard_title, details.heard_artist))
    return learn(store, heard, meant, who, now)


def unlearn(store: Store, lesson_id: int, who: str, now: datetime) -> None:
    """Forget a wrong lesson. Raises NotFound."""
    if not store.rows("SELECT 1 FROM other_names WHERE id = ? AND kind = ?", (lesson_id, HEARING)):
        raise NotFound("There is no such lesson; perhaps it was unlearnt already.")
    with undo.action(store, who, "unlearnt a hearing", now):
        catalogue_rows.remove_other_name(store, lesson_id)


def of(store: Store, recording_id: int) -> list[Lesson]:
    """The lessons about one recording, oldest first."""
    return _where(store, "o.recording_id = ?", recording_id)


def latest(store: Store, limit: int = 50) -> list[Lesson]:
    """The last lessons, latest first."""
    return _where(store, "1 = 1")[::-1][:limit]


def _where(store: Store, where: str, *parameters: object) -> list[Lesson]:
    rows = store.rows(
        f"""SELECT o.id, o.name AS heard, o.recording_id, r.title, a.name AS artist
        FROM other_names o JOIN recordings r ON r.id = o.recording_id
        JOIN artists a ON a.id = r.artist_id WHERE o.kind = ? AND {where} ORDER BY o.id""",
        (HEARING, *parameters),
    )
    return [Lesson(**row) for row in rows]


def _is_the_name(words: str, recording: Recording) -> bool:
    """Whether this is how the recording is filed anyway."""
    title = without_article(plain(without_version(recording.title)))
    artist = without_article(plain(without_featured(recording.artist)))
    return without_article(words) in (title, f"{title} {artist}", f"{artist} {title}")
