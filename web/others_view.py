"""What other stations hold as the phone desk shows it: finished sentences."""

from __future__ import annotations

from dataclasses import dataclass

from catalogue.other_stations import HeldElsewhere, Holder, Others
from catalogue.records import Band, Carrier
from web.texts import has, t

_BANDS = frozenset(str(band) for band in Band)
_CARRIERS = frozenset(str(carrier) for carrier in Carrier)


@dataclass(frozen=True, slots=True)
class OthersRow:
    """A recording that others hold: who, and how to ask for a loan."""

    margin: str
    title: str
    artist: str
    about: str
    held: str
    loan: str


_NEARLY_ALL = 0.95
"""Share of the others' catalogue without which the rest says nothing."""


@dataclass(frozen=True, slots=True)
class OthersView:
    """All that others hold; `said` is for the live region, `note` says what is amiss."""

    matches: tuple[OthersRow, ...] = ()
    stand_ins: tuple[OthersRow, ...] = ()
    note: str = ""
    said: str = ""
    asked: str = ""


def view(others: Others, words: str) -> OthersView:
    """The rows, and a note where nothing is held or a part did not answer. Where hardly any of it
    did, nothing is said of what is held."""
    if others.missing >= _NEARLY_ALL and not others.matches and not others.stand_ins:
        return without(words, "others.silent")
    notes = [] if others.matches else [t("others.none")]
    if others.missing:
        notes.append(t("others.part", percent=max(1, round(100 * others.missing))))
    said = "others.found_said" if others.matches else "others.stand_ins_said"
    return OthersView(
        tuple(_row(one) for one in others.matches),
        tuple(_row(one) for one in others.stand_ins),
        " ".join(notes),
        t(said) if others.matches or others.stand_ins else "",
        t("others.asked", words=words),
    )


def without(words: str, why: str) -> OthersView:
    """Shown when nothing came back, with the sentence that says why."""
    return OthersView(note=t(why), asked=t("others.asked", words=words))


def _row(held: HeldElsewhere) -> OthersRow:
    kind = f"others.kind.{held.kind}"
    margin = t(f"band.{held.band}") if held.band in _BANDS else t(kind) if has(kind) else ""
    nearest = held.holders[0]
    about = [str(held.year) if held.year else "", held.version]
    carriers = [t(f"carrier.{one}") for one in nearest.carriers if one in _CARRIERS]
    on = t("others.on", carriers=", ".join(carriers)) if carriers else ""
    return OthersRow(
        margin,
        held.title,
        held.artist,
        ", ".join(part for part in about if part),
        f"{_held(held, nearest)} {on}".strip(),
        _loan(nearest),
    )


def _held(held: HeldElsewhere, nearest: Holder) -> str:
    station = nearest.station
    if nearest.place:
        station = t("others.at", station=station, place=nearest.place)
    if nearest.km is not None:
        station = t("others.far", station=station, km=max(1, round(nearest.km)))
    if held.held_by <= 1:
        return t("others.held_by_one", station=station)
    key = "others.held_among" if nearest.km is None else "others.held_by"
    return t(key, count=held.held_by, station=station)


def _loan(nearest: Holder) -> str:
    if not nearest.lendable:
        return t("others.not_lent")
    if nearest.loan:
        return t("others.loan", number=nearest.number, loan=nearest.loan)
    return t("others.loan_plain", number=nearest.number)
