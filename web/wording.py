"""Recordings, places and times in words: what templates show as it is.

A place is shown as a spine label: what it is on, its shelf mark (or file name), and where on
it. The three parts are kept apart, so that the mark can be the largest.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from markupsafe import Markup, escape

from catalogue import roots
from catalogue.errors import BadInput
from catalogue.records import Available, Carrier, Condition, Disc, Holding, Readiness, Recording
from web.texts import said, t

_SECONDS_A_MINUTE = 60
_FOLDERS_SHOWN = 2
"""Folders on a file's label: artist and album as a rule; the studio shows the whole path too."""

_BREAKS = re.compile(r"[/_.-](?=[^/_.;-]{3})")


@dataclass(frozen=True, slots=True)
class Label:
    """A spine label: `carrier` "LP", `mark` "C 114", `spot` "side 2, track 3"; a file's path."""

    carrier: str
    mark: str
    spot: str = ""
    path: str = ""
    room: str = ""
    condition: str = ""

    @property
    def said(self) -> str:
        """The whole label in one line."""
        mark = self.mark
        if not mark.startswith(self.carrier):
            mark = f"{self.carrier} {mark}"
        return ", ".join(part for part in (mark, self.spot) if part)


def label(holding: Holding, seen: Mapping[str, str] | None = None) -> Label:
    """The spine label of a holding; `seen` says how this desk sees the library folders."""
    if holding.carrier is Carrier.FILE:
        folder, _, name = holding.path.replace("\\", "/").rpartition("/")
        near = "/".join(folder.split("/")[-_FOLDERS_SHOWN:])
        return Label(t("carrier.file"), name, near, path=roots.as_seen(holding.path, seen or {}))
    spot = ", ".join(
        part
        for part in (
            t("spot.side", side=holding.side) if holding.side else "",
            t("spot.track", track=holding.track) if holding.track else "",
            t("spot.speed", speed=holding.speed) if holding.speed else "",
        )
        if part
    )
    worn = holding.condition in (Condition.WORN, Condition.SCRATCHED, Condition.DAMAGED)
    return Label(
        t(f"carrier.{holding.carrier}"),
        holding.shelf_mark,
        spot,
        room=holding.place,
        condition=t(f"condition.{holding.condition}") if worn else "",
    )


def disc_label(disc: Disc) -> Label:
    """The spine label of a whole disc."""
    return Label(t(f"carrier.{disc.carrier}"), disc.shelf_mark, "", room=disc.place)


def carriers() -> dict[str, Carrier]:
    """The words by which each kind of disc is called, for marks typed with one before them."""
    return {t(f"carrier.{carrier}"): carrier for carrier in Carrier}


def home_again(disc: Disc, had_it: str) -> str:
    """That a disc is home, and where it belongs."""
    place = {"room": disc.place} if disc.place else {}
    return t("loans.home_in" if place else "loans.home", disc=disc_label(disc).said, who=had_it,
             **place)  # fmt: skip


def breakable(text: str) -> Markup:
    """A long name that may be broken after its signs, not in the middle of a word."""
    return Markup(_BREAKS.sub(lambda sign: sign.group() + "<wbr>", str(escape(text))))


def as_sentence(text: str) -> str:
    """Words as a sentence: a capital and a full stop; empty stays empty.

    >>> as_sentence("the year 1958 fits")
    'The year 1958 fits.'
    """
    return f"{text[:1].upper()}{text[1:]}." if text else ""


def state(available: Available) -> str:
    """Whether a holding can go to air, in words."""
    if available.readiness is Readiness.READY:
        ready = t("readiness.ready")
        return f"{ready}, {said(available.fetched)}" if available.fetched else ready
    return said(available.why) or t(f"readiness.{available.readiness}")


def length(seconds: float | None) -> str:
    """A length as it is written on a sleeve, empty if not known.

    >>> length(219), length(3700), length(None)
    ('3:39', '1:01:40', '')
    """
    if not seconds or seconds < 0:
        return ""
    minutes, rest = divmod(round(seconds), _SECONDS_A_MINUTE)
    hours, minutes = divmod(minutes, _SECONDS_A_MINUTE)
    return f"{hours}:{minutes:02}:{rest:02}" if hours else f"{minutes}:{rest:02}"


def seconds(text: str) -> float | None:
    """A length as a person writes it, in seconds; None for an empty one.

    >>> seconds("3:39"), seconds("1:01:40"), seconds("219"), seconds("")
    (219.0, 3700.0, 219.0, None)
    """
    if not text:
        return None
    parts = text.split(":")
    if len(parts) > 3 or not all(p.isascii() and p.isdigit() and len(p) < 6 for p in parts):
        raise BadInput(t("shelves.length", text=text[:40]))
    numbers = [int(p) for p in parts]
    if any(n >= _SECONDS_A_MINUTE for n in numbers[1:]):
        raise BadInput(t("shelves.length", text=text[:40]))
    total = 0
    for n in numbers:
        total = total * _SECONDS_A_MINUTE + n
    return float(total)


def tempo(beats: float | None) -> str:
    """A tempo in words, empty if not known."""
    return t("recording.tempo", beats=round(beats)) if beats else ""


def about(recording: Recording) -> str:
    """Version, year and length of a recording in one line; what is not known is left out."""
    parts = (recording.version, str(recording.year or ""), length(recording.length_s))
    return " · ".join(part for part in parts if part)


def name(recording: Recording) -> str:
    """A recording in a sentence.

    The inverted commas are put here, so that a title is told from the words around it.
    """
    return t("recording.name", title=recording.title, artist=recording.artist)


def moment(iso: str | None) -> datetime | None:
    """A stored time, None for an empty one."""
    return datetime.fromisoformat(iso) if iso else None


def clock_time(iso: str | None, today: date) -> str:
    """A stored time for people: the hour, with the day unless it is today."""
    at = moment(iso)
    if at is None:
        return ""
    hour = f"{at:%H:%M}"
    if at.date() == today:
        return hour
    return t("time.on_day", day=day(at.date(), today), hour=hour)


def day(on: date, today: date) -> str:
    """A day for people.

    >>> day(date(2024, 5, 3), date(2024, 5, 4)), day(date(2023, 5, 3), date(2024, 5, 4))
    ('yesterday', '3 May 2023')
    """
    if on == today:
        return t("time.today")
    if on == today - timedelta(days=1):
        return t("time.yesterday")
    month = t(f"month.{on.month}")
    key = "time.date" if on.year == today.year else "time.date_and_year"
    return t(key, day=on.day, month=month, year=on.year)


def full_day(on: date) -> str:
    """A day with its year, as on paper.

    >>> full_day(date(2024, 5, 3))
    '3 May 2024'
    """
    return t("time.date_and_year", day=on.day, month=t(f"month.{on.month}"), year=on.year)


def count(number: int) -> str:
    """A whole number with its thousands set apart as the language does.

    >>> count(12345)
    '12,345'
    """
    return f"{number:,}".replace(",", t("number.thousands"))


def how_long(count: int) -> str:
    """Minutes as people say them: hours apart from an hour and a half on."""
    hours, rest = divmod(count, 60) if count >= 90 else (0, count)
    said_hours = t("left.hour") if hours == 1 else t("left.hours", count=hours)
    said_rest = t("left.minute") if rest == 1 else t("left.minutes", count=rest)
    if not hours:
        return said_rest
    return t("left.both", hours=said_hours, minutes=said_rest) if rest else said_hours


def minutes_since(iso: str | None, now: datetime) -> int:
    """Whole minutes since a stored time, 0 for none."""
    at = moment(iso)
    return max(0, int((now - at).total_seconds()) // _SECONDS_A_MINUTE) if at else 0
