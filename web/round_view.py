"""The round's sheet as its page shows it: rows with finished sentences."""

from __future__ import annotations

from dataclasses import dataclass

from catalogue import callers, enquiry, places, programmes, rounds, settings
from catalogue.callers import CallerDetails
from catalogue.heard import Heard
from catalogue.records import Answer, Available, Band, Readiness, Recording
from catalogue.rounds import Round
from catalogue.slip_days import ASKED_BY, CAME_BY
from catalogue.slip_rows import Slip, SlipState
from catalogue.sound_index import SoundIndex
from catalogue.store import Store
from web import programme_view, slip_view, wording
from web.station import now
from web.texts import has, said, t

_MATCHES, _STAND_INS = 3, 3
"""Choices shown under a doubtful row: more is for the phone desk."""


@dataclass(frozen=True, slots=True)
class Choice:
    """One choice of a list."""

    value: str
    words: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class Offer:
    """A record that can be put on the row: what it says, and what pressing it sends."""

    words: str
    where: str
    line: str
    recording_id: int
    holding_id: int | None
    stand_in_for: int | None


@dataclass(frozen=True, slots=True)
class RowAnswer:
    """What came of a row. `sure` is the record and copy that may be put on it by itself."""

    slip_id: int
    version: int
    round_id: int | None
    state: str
    chosen: str
    where: str
    say: str
    offers: tuple[Offer, ...]
    cautions: tuple[str, ...]
    open: bool
    sure: tuple[int, int | None] | None = None

    @property
    def doubtful(self) -> bool:
        """Whether a person has to look at the row again."""
        return self.open and not self.chosen


@dataclass(frozen=True, slots=True)
class Row:
    """One row: its key, what is typed in it, and its answer."""

    key: str
    details: CallerDetails | None
    same_call: bool
    occasions: tuple[Choice, ...]
    consents: tuple[Choice, ...]
    place_consents: tuple[Choice, ...]
    asked_by: tuple[Choice, ...]
    answer: RowAnswer | None

    @property
    def heard(self) -> str:
        """What is in the first box."""
        return (self.details.heard_title or self.details.heard) if self.details else ""


@dataclass(frozen=True, slots=True)
class SheetPage:
    """The sheet: what stays from row to row, the rows, and a blank one to copy."""

    round_id: int | None
    title: str
    places: tuple[Choice, ...]
    came_by: tuple[Choice, ...]
    programmes: tuple[Choice, ...]
    studios: tuple[str, ...]
    today: str
    rows: tuple[Row, ...]
    blank: Row
    collector: str
    day: str


def page(store: Store, index: SoundIndex, of: Round | None) -> SheetPage:
    """The sheet of a round, or a blank one."""
    slips = rounds.slips_of(store, of.id) if of else []
    slips = [slip for slip in slips if slip.state is SlipState.BEING_WRITTEN]
    last = slips[-1] if slips else None
    details = callers.of(store, last.id) if last else None
    return SheetPage(
        of.id if of else None,
        t("round.number", number=of.id) if of else t("round.new"),
        _places(store, details.place_id if details else None),
        _words("came_by", CAME_BY[1:] + CAME_BY[:1], last.came_by if last else CAME_BY[1]),
        _programmes(store, last),
        tuple(settings.lines(store, "studios")),
        now().date().isoformat(),
        tuple(_row(store, index, slip) for slip in slips),
        _blank(store),
        details.consent_noted_by if details else "",
        (last.wanted_on or "") if last else "",
    )


def answer(store: Store, index: SoundIndex, slip: Slip, *, look_up: bool = True) -> RowAnswer:
    """What came of a row; with `look_up` what was heard is looked up if nothing is chosen."""
    details = callers.of(store, slip.id)
    cautions = tuple(said(c) for c in callers.cautions(details)) if details else ()
    chosen = slip_view.chosen(store, slip)
    still_open = slip.state is SlipState.BEING_WRITTEN
    if chosen is not None or not still_open:
        words = t("recording.name", title=chosen.title, artist=chosen.artist) if chosen else ""
        where = f"{chosen.label.said} · {chosen.state}" if chosen and chosen.label else ""
        state = _state(slip, chosen)
        return RowAnswer(
            slip.id, slip.version, slip.round_id, state, words, where, "", (), cautions, still_open
        )
    if details is None or not look_up:
        return RowAnswer(
            slip.id,
            slip.version,
            slip.round_id,
            t("round.doubtful"),
            "",
            "",
            "",
            (),
            cautions,
            still_open,
        )
    found = enquiry.enquire(
        store, index, heard_of(store, slip.id), now(), occasion=slip.occasion, slip_id=slip.id
    )
    return RowAnswer(
        slip.id,
        slip.version,
        slip.round_id,
        t("round.doubtful"),
        "",
        "",
        said(found.say),
        tuple(_offers(found)),
        cautions,
        still_open,
        _sure(found),
    )


def heard_of(store: Store, slip_id: int) -> Heard:
    """What was heard, in one field or two, as it is kept."""
    details = callers.of(store, slip_id)
    if details is None:
        return Heard()
    if details.heard_artist:
        return Heard(title=details.heard_title, artist=details.heard_artist)
    return Heard(text=details.heard)


def occasions(store: Store, chosen: str) -> tuple[Choice, ...]:
    """The station's occasions, those of the first list in the language of the pages."""
    return tuple(
        Choice(o, t(f"occasion.{o}") if has(f"occasion.{o}") else o, o == chosen)
        for o in settings.lines(store, "occasions")
    )


def _sure(found: Answer) -> tuple[int, int | None] | None:
    """The first match, when it is certain, ready, and nothing to look at twice."""
    if not found.matches or found.wanted.names_no_record:
        return None
    first = found.matches[0]
    # Several people for one record is one play: what another slip has taken is taken again.
    taken = next((a for a in first.availability if a.readiness is Readiness.TAKEN), None)
    copy = taken or first.ready
    if first.band is not Band.CERTAIN or copy is None or copy.holding is None:
        return None
    return copy.holding.recording_id, copy.holding.id


def _offers(found: Answer) -> list[Offer]:
    offers = []
    for match in found.matches[:_MATCHES]:
        best = match.ready or (match.availability[0] if match.availability else None)
        offers.append(_offer(match.recording, best, t(f"band.{match.band}"), None))
    asked = found.matches[0].recording.id if found.matches and found.stand_ins else None
    for stand_in in found.stand_ins[:_STAND_INS]:
        offers.append(_offer(stand_in.recording, stand_in.available, t("round.stand_in"), asked))
    return offers


def _offer(
    recording: Recording, best: Available | None, band: str, stand_in_for: int | None
) -> Offer:
    holding = best.holding if best else None
    state = wording.state(best) if best else t("readiness.not held")
    where = " · ".join(
        part for part in (wording.label(holding).said if holding else "", state) if part
    )
    return Offer(
        wording.name(recording),
        where,
        band,
        holding.recording_id if holding else recording.id,
        holding.id if holding else None,
        stand_in_for,
    )


def _state(slip: Slip, chosen: slip_view.Chosen | None) -> str:
    if slip.state is not SlipState.BEING_WRITTEN:
        return t("round.gone")
    if chosen is not None and not chosen.ready:
        return t("round.not_ready")
    return t("round.found")


def _row(store: Store, index: SoundIndex, slip: Slip) -> Row:
    details = callers.of(store, slip.id)
    return Row(
        rounds.key_of(store, slip.id),
        details,
        slip.same_call is not None,
        occasions(store, slip.occasion),
        _words("consent", callers.CONSENTS, details.consent if details else ""),
        _words("consent", callers.PLACE_CONSENTS, details.place_consent if details else ""),
        _words("asked_by", ASKED_BY, slip.asked_by),
        answer(store, index, slip),
    )


def _blank(store: Store) -> Row:
    return Row(
        "",
        None,
        False,
        occasions(store, ""),
        _words("consent", callers.CONSENTS, ""),
        _words("consent", callers.PLACE_CONSENTS, ""),
        _words("asked_by", ASKED_BY, ""),
        None,
    )


def _words(key: str, values: tuple[str, ...], chosen: str) -> tuple[Choice, ...]:
    return tuple(Choice(v, t(f"{key}.{v or 'open'}"), v == chosen) for v in values)


def _places(store: Store, chosen: int | None) -> tuple[Choice, ...]:
    return tuple(
        Choice(str(p.id), p.name, p.id == chosen)
        for p in places.all_places(store)
        if p.in_use or p.id == chosen
    )


def _programmes(store: Store, last: Slip | None) -> tuple[Choice, ...]:
    chosen = last.programme_id if last else None
    return tuple(
        Choice(str(p.id), programme_view.named(p), p.id == chosen)
        for p in programmes.to_come(store, now())
    )
