"""An `Answer` as the phone desk shows it: finished rows with finished sentences.

Every row carries the recording and the copy it stands for, so that Enter can only ever put on
the slip what the row says.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from catalogue import reasons, sayings
from catalogue.reasons import ReasonKind
from catalogue.records import Answer, Available, Match, Outcome, Readiness, Recording, StandIn
from web import explained_view, wording
from web.said_view import Narrowing
from web.stand_in_plot import Picture
from web.texts import has, said, t

_REASONS_SHOWN = 3
"""More reasons than this are not read while somebody waits on the line."""

_ENOUGH = 3
"""Letters from which "not found" is an answer: fewer are the beginning of a word."""

_WHOLE_WORDS = "\u2e80"
"""From this sign on, Unicode has scripts in which one sign may be a whole word (CJK)."""

_ALL_THE_SAME = (Readiness.ON_LOAN, Readiness.PLAYED_LATELY, Readiness.TAKEN)
"""What a person may know better than the catalogue: the quieter button is offered for these."""


_SAID_BY_THE_LINE = {
    "same song": (ReasonKind.SAME_SONG,),
    "same artist": (ReasonKind.BY_SAME_ARTIST,),
    "related artist": (
        ReasonKind.SINGS_WITH,
        ReasonKind.SHARED_ALBUM,
        ReasonKind.ARTIST_SWAPPED_HERE,
    ),
    "same writer": (ReasonKind.SAME_WRITER,),
    "same years": (ReasonKind.SAME_YEARS,),
    "same feel": (ReasonKind.SAME_MOOD, ReasonKind.PACE, ReasonKind.SAME_TEMPO),
    "asked for here": (
        ReasonKind.ASKED_FOR_HERE,
        ReasonKind.TAKEN_INSTEAD,
        ReasonKind.SUITS_OCCASION,
    ),
}
"""The reasons that the sentence of a stand-in of this kind says already."""


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the list: what is offered, where it is, and whether it can be taken.

    `line` is the sentence that offers a stand-in to the caller. The marks are title and artist
    in pieces, each with whether it agrees with what was heard; none where nothing was compared.
    `listen` is the copy that can be listened to, a file; `versions` are other recordings of it
    by the same artist.
    """

    number: int
    margin: str
    title: str
    artist: str
    about: str
    recording_id: int
    holding_id: int | None
    label: wording.Label | None
    state: str
    ready: bool
    all_the_same: bool
    wanted: bool = False
    reasons: str = ""
    also: str = ""
    line: str = ""
    warning: str = ""
    stand_in_for: int | None = None
    title_marks: tuple[tuple[str, bool], ...] = ()
    artist_marks: tuple[tuple[str, bool], ...] = ()
    listen: int | None = None
    versions: tuple[Row, ...] = ()
    versions_said: str = ""
    may_turn_down: bool = False


@dataclass(frozen=True, slots=True)
class AnswerView:
    """The whole answer; `say` is for the caller, `said` for the live region.

    `suggest_first` is set where the request names no record: suggestions and questions lead, and
    what the words could mean as a title is folded away. `ask_before` puts the questions before the
    list, since it goes by nothing yet. `narrowing` is what the caller can say of it, `picture` the
    plot of the stand-ins; `instead` are the words for which others are offered though the record
    is there, `may_offer_others` those for which that can be asked for.
    """

    number: int
    outcome: str
    say: str
    said: str
    matches: tuple[Row, ...]
    stand_ins: tuple[Row, ...]
    ask_next: tuple[str, ...]
    read_as: str
    want_title: str = ""
    want_artist: str = ""
    suggest_first: bool = False
    turned_down: str = ""
    based_on: str = ""
    narrowing: Narrowing | None = None
    picture: Picture | None = None
    instead: str = ""
    may_offer_others: str = ""
    ask_before: bool = False
    ask_others: bool = False
    """Whether the page is to ask other stations once the typing has rested."""
    waiting: str = ""
    """What to type, while there is nothing to judge yet."""

    @property
    def nothing_asked(self) -> bool:
        """Whether nothing was typed yet."""
        return self.outcome == Outcome.NOTHING_ASKED

    @property
    def may_listen(self) -> bool:
        """Whether any line is a file, so that it can be listened to."""
        return any(row.listen for row in (*self.matches, *self.stand_ins))

    @property
    def offers_want(self) -> bool:
        """Whether what was asked may be put on the list of wants by hand."""
        unknown = self.outcome in (Outcome.NOT_FOUND, Outcome.CANNOT_TELL)
        return unknown and not self.suggest_first


def view(answer: Answer, number: int, turned_down: int = 0) -> AnswerView:
    """The answer with its number, which tells a late one from the newest.

    `turned_down` is how many recordings this caller has refused.
    """
    first = answer.wanted.names_no_record and answer.outcome is not Outcome.FOUND
    matches_from = len(answer.stand_ins) if first else 0
    stand_ins_from = 0 if first else len(answer.matches)
    matches = tuple(_match(n, m) for n, m in enumerate(answer.matches, start=matches_from + 1))
    stand_ins = tuple(
        _stand_in(n, s, answer) for n, s in enumerate(answer.stand_ins, start=stand_ins_from + 1)
    )
    reading = answer.wanted.readings[0] if answer.wanted.readings else None
    questions = answer.ask_next or ((sayings.ASK_WHEN, sayings.ASK_FEEL) if first else ())
    return AnswerView(
        number=number,
        outcome=answer.outcome,
        say=said(answer.say),
        said=_said(answer),
        matches=matches,
        stand_ins=stand_ins,
        ask_next=tuple(said(question) for question in questions),
        read_as=_read_as(answer),
        want_title=reading.title if reading else "",
        want_artist=reading.artist if reading else "",
        suggest_first=first,
        ask_before=first or (answer.outcome is Outcome.NOT_FOUND and answer.nothing_known),
        based_on=said(answer.based_on),
        turned_down=t("answer.turned_down", count=turned_down) if turned_down else "",
    )


def too_little(answer: Answer, number: int, typed: str) -> AnswerView | None:
    """What to show instead of "not found" while too little was typed; None from there on."""
    letters = sum(_ENOUGH if sign > _WHOLE_WORDS else 1 for sign in typed if sign.isalnum())
    if answer.outcome not in (Outcome.NOT_FOUND, Outcome.CANNOT_TELL) or letters >= _ENOUGH:
        return None
    waiting = t("heard.go_on" if letters else "heard.no_letters")
    return AnswerView(number, Outcome.NOTHING_ASKED, "", "", (), (), (), "", waiting=waiting)


def _match(number: int, match: Match) -> Row:
    best = match.ready or (match.availability[0] if match.availability else None)
    versions = tuple(_match(0, version) for version in match.versions)
    key = "answer.version" if len(versions) == 1 else "answer.versions"
    row = _row(number, t(f"band.{match.band}"), match.recording, best)
    return replace(
        row,
        wanted=best is None or best.readiness is Readiness.NOT_HELD,
        reasons=_reasons(match.reasons),
        warning=_warning(match.reasons),
        also=_also(match.availability, best),
        title_marks=match.title_marks,
        artist_marks=match.artist_marks,
        listen=_listen(match.availability),
        versions=versions,
        versions_said=t(key, count=len(versions)) if versions else "",
    )


def _listen(copies: tuple[Available, ...]) -> int | None:
    """The first copy that is a file which is there."""
    gone = (Readiness.MISSING, Readiness.DAMAGED, Readiness.NOT_HELD)
    files = (a.holding for a in copies if a.holding and a.holding.path and a.readiness not in gone)
    return next((holding.id for holding in files), None)


def _stand_in(number: int, offered: StandIn, answer: Answer) -> Row:
    key = f"kind.{offered.kind}"
    margin = t(key) if has(key) else offered.kind
    return replace(
        _row(number, margin, offered.recording, offered.available),
        reasons=_reasons(offered.reasons, offered.kind),
        warning=_warning(offered.reasons),
        line=said(sayings.stand_in_line(answer, offered)),
        stand_in_for=_asked_for(answer),
        listen=_listen((offered.available,)),
        may_turn_down=True,
    )


def _row(number: int, margin: str, recording: Recording, best: Available | None) -> Row:
    """A row with what a match and a stand-in have in common."""
    holding = best.holding if best else None
    return Row(
        number=number,
        margin=margin,
        title=recording.title,
        artist=recording.artist,
        about=wording.about(recording),
        # Twins are folded into one line: the copy may be of the other's recording.
        recording_id=holding.recording_id if holding else recording.id,
        holding_id=holding.id if holding else None,
        label=wording.label(holding) if holding else None,
        state=wording.state(best) if best else t("readiness.not held"),
        ready=best is not None and best.readiness is Readiness.READY,
        all_the_same=best is not None and best.readiness in _ALL_THE_SAME,
    )


def _also(availability: tuple[Available, ...], shown: Available | None) -> str:
    """The other copies in one line."""
    others = [
        t("answer.other_copy", place=wording.label(a.holding).said, state=wording.state(a))
        for a in availability
        if a is not shown and a.holding
    ]
    return t("answer.also", copies="; ".join(others)) if others else ""


def _reasons(given: tuple[reasons.Reason, ...], said_already: str = "") -> str:
    """The first few reasons as a sentence, without warnings and what the line said already."""
    left_out = {ReasonKind.WARNING, *_SAID_BY_THE_LINE.get(said_already, ())}
    kept = [reason for reason in given if reason.kind not in left_out][:_REASONS_SHOWN]
    return wording.as_sentence("; ".join(said(reasons.sentence(reason)) for reason in kept))


def _warning(given: tuple[reasons.Reason, ...]) -> str:
    """The warnings: never cut, however many reasons there are."""
    words = [said(reasons.sentence(r)) for r in given if r.kind is ReasonKind.WARNING]
    return wording.as_sentence("; ".join(words))


def _asked_for(answer: Answer) -> int | None:
    """What a stand-in stands in for: the first match, if the answer is about one."""
    about_one = answer.outcome in (Outcome.NOT_READY, Outcome.KNOWN_NOT_HELD, Outcome.FOUND)
    if about_one and answer.matches and not answer.wanted.names_no_record:
        return answer.matches[0].recording.id
    return None


def _said(answer: Answer) -> str:
    """The number of results and the first one's band, for those who do not see the list."""
    if answer.outcome is Outcome.NOTHING_ASKED:
        return ""
    count = len(answer.matches)
    parts = [t("answer.none") if not count else t("answer.one" if count == 1 else "answer.count",
               count=count, band=t(f"band.{answer.matches[0].band}"))]  # fmt: skip
    if answer.stand_ins:
        parts.append(t("answer.stand_ins_count", count=len(answer.stand_ins)))
    return " ".join(parts)


def _read_as(answer: Answer) -> str:
    """How the words were read, for "why nothing?"."""
    readings = [explained_view.reading(r) for r in answer.wanted.readings[:_REASONS_SHOWN]]
    return "; ".join(readings)
