"""What the searcher can say to the caller: the first line of an answer, and what to ask next."""

from __future__ import annotations

from catalogue import offering
from catalogue.basis import Basis, Pace
from catalogue.narrowing import Narrowing, Question
from catalogue.reasons import ReasonKind
from catalogue.records import Answer, Band, Match, Outcome, StandIn, Voice, Wanted
from catalogue.spelling import plain, without_version

ASK_TITLE = "Do you remember any words of it, or how it begins?"
ASK_ARTIST = "Who sings it, or who plays it?"
ASK_WHEN = "About when was it: when you were at school, first married, later?"
ASK_FEEL = "Is it slow or quick? A man, a woman, a group, or no singing?"
QUESTIONS = {
    Question.WHEN: ASK_WHEN,
    Question.PACE: "Is it slow or quick?",
    Question.VOICE: "Is it a man, a woman, a group, or no singing?",
    Question.SORT: "What sort of music is it?",
    Question.LANGUAGE: "What language is it in?",
    Question.MOOD: "Is it to be lively or gentle?",
    Question.OCCASION: "What is it for, if you like to say?",
}
ASK_SPELL = "Could you spell the name for me?"
ASK_WHAT = "What would you like to hear?"

_FOUND = {
    Band.CERTAIN: "Yes, we have {first}.",
    Band.LIKELY: "We have {first}. Is that the one?",
    Band.POSSIBLE: "Could it be {first}?",
}


def first_line(outcome: Outcome, matches: tuple[Match, ...], stand_ins: tuple[StandIn, ...]) -> str:
    """One sentence to say to the caller.

    Nothing is offered in it where nothing is known of the record: what shares nothing with it
    would be no answer.
    """
    offer = f" We could play {offering.named(stand_ins[0])} instead." if stand_ins else ""
    if outcome is Outcome.NOTHING_ASKED:
        return ASK_WHAT
    if outcome is Outcome.CANNOT_TELL:
        return f"I am not sure I heard that right. Could it be {named(matches[0])}?"
    if outcome is Outcome.NOT_FOUND:
        offer = "" if stand_ins and stand_ins[0].kind in _OF_ANYTHING else offer
        return f"I cannot find that one.{offer or ' Tell me a little more about it.'}"
    first = named(matches[0])
    if which := _others_of_the_name(matches):
        return f"There are several of that name: by {which}. Whose is it?"
    instead = offering.phrase(matches[0].recording, stand_ins[0]) if stand_ins else ""
    if outcome is Outcome.KNOWN_NOT_HELD:
        if not instead:
            return f"We know {first}, but we have not got it."
        return f"We have not got {first}, but we have {instead}."
    if outcome is Outcome.NOT_READY:
        here = f"We have {first}, but it cannot go out now: {why_not(matches[0])}."
        return f"{here} We could play {instead}." if instead else here
    return _FOUND[matches[0].band].format(first=first)


_OF_ANYTHING = ("asked for here", "on our shelves")
"""Kinds of stand-ins that share nothing with what was asked for."""


def _others_of_the_name(matches: tuple[Match, ...]) -> str:
    """The artists, where several have a record of the first one's name and none was heard."""
    if not any(reason.kind is ReasonKind.OTHERS_AS_NEAR for reason in matches[0].reasons):
        return ""
    title = plain(without_version(matches[0].recording.title))
    artists = [
        match.recording.artist
        for match in matches
        if plain(without_version(match.recording.title)) == title
        and match.probability * 2 > matches[0].probability
    ]
    several = list(dict.fromkeys(artists))
    return " or ".join([", ".join(several[:-1]), several[-1]]) if len(several) > 1 else ""


def for_any(stand_ins: tuple[StandIn, ...]) -> str:
    """The sentence for a request that names no record."""
    if not stand_ins:
        return "Nothing on our shelves is ready at this moment."
    return f"How about {offering.named(stand_ins[0])}?"


def why_not(match: Match) -> str:
    """Why the readiest holding of a match cannot go to air."""
    first = match.availability[0]
    return first.why or str(first.readiness)


def ask_next(
    outcome: Outcome,
    wanted: Wanted,
    matches: tuple[Match, ...],
    narrowing: tuple[Narrowing, ...] = (),
) -> tuple[str, ...]:
    """Questions for the caller, those that narrow fastest first; none where all is clear.

    `narrowing` are questions about what could be offered, measured, where that was done.
    """
    if outcome is Outcome.NOTHING_ASKED:
        return (ASK_WHAT,)
    sure = matches and matches[0].band is not Band.POSSIBLE
    if sure and outcome is not Outcome.CANNOT_TELL:
        return ()
    questions = [ASK_TITLE, ASK_ARTIST] if len(wanted.heard.split()) < 4 else [ASK_SPELL]
    if wanted.names_no_record and narrowing:
        questions = []
    rest = [QUESTIONS[one.question] for one in narrowing[:_ASKED]] or [ASK_WHEN, ASK_FEEL]
    return (*questions, *rest)


_ASKED = 3
"""Measured questions shown: what is asked beyond them narrows little."""


def based_on(basis: Basis, artist: str = "") -> str:
    """What a list of stand-ins goes by, for the searcher; `artist` where that is all that is known.

    >>> based_on(Basis(year=1961, pace=Pace.SLOW))
    'This list goes by: about 1961; slow.'
    >>> based_on(Basis())[:28]
    'Nothing is known of it yet: '
    """
    known = [
        f"“{basis.recording.title}” by {basis.recording.artist}" if basis.recording else "",
        f"the artist, {artist}" if artist and not basis.recording else "",
        f"about {basis.year}" if basis.year else "",
        str(basis.pace) if basis.pace is not Pace.UNKNOWN else "",
        f"{basis.tempo:.0f} beats a minute" if basis.tempo else "",
        _SUNG_BY.get(basis.voice, ""),
        basis.genre,
        basis.mood,
        f"in {basis.language}" if basis.language else "",
        f"for {basis.occasion}" if basis.occasion else "",
    ]
    said = "; ".join(part for part in known if part)
    if not said:
        return (
            "Nothing is known of it yet: these are what callers here ask for, "
            "and some of everything, others every day."
        )
    if not basis.recording and not basis.year and not artist:
        return f"This list goes by: {said}. Of so many others are tried every day."
    return f"This list goes by: {said}."


_SUNG_BY = {
    Voice.MAN: "sung by a man",
    Voice.WOMAN: "sung by a woman",
    Voice.GROUP: "sung by a group",
    Voice.NONE: "no singing",
}


def named(match: Match) -> str:
    """A match by title and artist, for saying."""
    return f"“{match.recording.title}” by {match.recording.artist}"


def stand_in_line(answer: Answer, stand_in: StandIn) -> str:
    """The sentence that offers one stand-in."""
    return offering.line(answer.matches[0].recording if answer.matches else None, stand_in)
