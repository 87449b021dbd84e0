"""A programme's list as its page shows it: finished lines and sentences."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from catalogue import programmes, pull_list, running_order, slip_days, too_close
from catalogue.running_order import Item, RunningOrder
from catalogue.slip_days import Standing
from catalogue.slip_rows import Slip
from catalogue.store import Store
from web import slip_view, wording
from web.station import now
from web.texts import t


@dataclass(frozen=True, slots=True)
class Line:
    """One line: its place, when it goes out, what, where from, and what may be done with it."""

    number: int
    key: str
    at: str
    title: str
    artist: str
    about: str
    label: wording.Label | None
    asked: str
    remark: str
    played: bool
    by_hand: bool
    to_come: bool


@dataclass(frozen=True, slots=True)
class ListPage:
    """The whole list, with what is left of the programme in a sentence."""

    id: int
    name: str
    when: str
    presenter: str
    kind: str
    lines: tuple[Line, ...]
    left: str
    unknown: str
    to_fetch: int
    away: int


@dataclass(frozen=True, slots=True)
class Programme:
    """A programme in the list of programmes."""

    id: int
    name: str
    when: str
    presenter: str
    kind: str
    on_now: bool


@dataclass(frozen=True, slots=True)
class Waiting:
    """A slip that is for later, or was left over."""

    slip_id: int
    version: int
    record: str
    who: str
    was_for: str
    studio: str


@dataclass(frozen=True, slots=True)
class Disc:
    """A disc to fetch or to put away: its label and what is wanted of it."""

    id: int
    label: wording.Label
    wanted: str
    state: str
    fetched: bool
    lent: bool


def list_page(store: Store, programme_id: int, seen: Mapping[str, str] | None = None) -> ListPage:
    """The page of one programme. Raises NotFound."""
    order = running_order.of(store, programme_id, now())
    close = {c.second: _too_close(c) for c in too_close.in_list(store, order, now())}
    pulls = pull_list.of(store, order)
    p = order.programme
    return ListPage(
        p.id,
        p.name,
        _when(p),
        p.presenter,
        p.kind,
        tuple(_lines(order, close, seen)),
        _left(order),
        t("programme.unknown_lengths", count=order.unknown_lengths)
        if order.unknown_lengths
        else "",
        sum(pull.pulled_at is None and not pull.lent_to for pull in pulls),
        len(pull_list.to_put_away(store, programme_id)),
    )


def _lines(
    order: RunningOrder, close: dict[int, str], seen: Mapping[str, str] | None
) -> list[Line]:
    at = max(now(), datetime.fromisoformat(order.programme.starts_at))
    lines = []
    for number, item in enumerate(order.items, start=1):
        lines.append(_line(number, item, at, close.get(number, ""), seen))
        if item.played_at is None and item.recording is not None:
            at += timedelta(seconds=item.length_s or programmes.USUAL_S)
    return lines


def _line(
    number: int, item: Item, at: datetime, remark: str, seen: Mapping[str, str] | None
) -> Line:
    recording = item.recording
    return Line(
        number,
        item.key,
        wording.clock_time(item.played_at, now().date()) if item.played_at else f"{at:%H:%M}",
        recording.title if recording else t("programme.no_record"),
        recording.artist if recording else "",
        wording.about(recording) if recording else "",
        wording.label(item.holding, seen) if item.holding else None,
        t("programme.asked_by_slip", number=item.slip.id) if item.slip else t("programme.by_hand"),
        remark,
        item.played_at is not None,
        item.slip is None,
        item.played_at is None,
    )


def _too_close(found: too_close.TooClose) -> str:
    how_long = wording.how_long(found.minutes)
    if found.first == 0:
        return t("too_close.before", title=found.name, minutes=how_long)
    return t(f"too_close.{found.shared}", name=found.name, number=found.first, minutes=how_long)


def _left(order: RunningOrder) -> str:
    """What the list leaves of the programme, in a sentence."""
    if not any(item.played_at is None and item.recording for item in order.items):
        return t("programme.nothing_to_come", minutes=wording.how_long(round(order.left_s / 60)))
    to_come = wording.how_long(round(order.to_come_s / 60))
    spare = round(order.left_s / 60)
    key = "programme.spare" if spare >= 0 else "programme.too_long"
    return t(key, to_come=to_come, minutes=wording.how_long(abs(spare)))


def _when(p: programmes.Programme) -> str:
    starts, ends = datetime.fromisoformat(p.starts_at), datetime.fromisoformat(p.ends_at)
    day = wording.day(starts.date(), now().date())
    return t("programme.on_day", day=day, starts=f"{starts:%H:%M}", ends=f"{ends:%H:%M}")


def named(p: programmes.Programme) -> str:
    """A programme with its day, for lists of choices."""
    return t("programme.named", name=p.name, when=_when(p))


def to_come(store: Store) -> list[Programme]:
    """What is on, and what comes."""
    on = programmes.current(store, now())
    return [_programme(p, on) for p in programmes.to_come(store, now())]


def past(store: Store, limit: int = 20) -> list[Programme]:
    """What is over, latest first."""
    at = now().isoformat(timespec="seconds")
    return [_programme(p, None) for p in programmes.all_programmes(store) if p.ends_at <= at][
        :limit
    ]


def _programme(p: programmes.Programme, on: programmes.Programme | None) -> Programme:
    on_now = on is not None and on.id == p.id
    return Programme(p.id, p.name, _when(p), p.presenter, p.kind, on_now)


def waiting(store: Store, standing: Standing) -> list[Waiting]:
    """The slips with the studios that are for later, or were left over."""
    return [_waiting(store, slip) for slip in slip_days.waiting(store, now())[standing]]


def _waiting(store: Store, slip: Slip) -> Waiting:
    chosen = slip_view.chosen(store, slip)
    record = (
        t("recording.name", title=chosen.title, artist=chosen.artist)
        if chosen
        else t("programme.no_record")
    )
    return Waiting(
        slip.id, slip.version, record, slip_view.caller_line(store, slip), was_for(store, slip),
        slip.studio,
    )  # fmt: skip


def was_for(store: Store, slip: Slip) -> str:
    """What a slip is for: a programme with its day, a day, or no more than when it came."""
    day = slip_days.day_of(store, slip)
    if day is None:
        came = wording.clock_time(slip.handed_at or slip.started_at, now().date())
        return t("programme.came", at=came)
    if day.programme is not None:
        return named(day.programme)
    return wording.day(day.on, now().date())


def discs(store: Store, programme_id: int) -> list[Disc]:
    """What to fetch for a programme, in the order of the shelf."""
    order = running_order.of(store, programme_id, now())
    found = []
    for pull in pull_list.of(store, order):
        if pull.lent_to:
            state = t("pull.lent", name=pull.lent_to)
        elif pull.pulled_at:
            state = t("pull.fetched", at=wording.clock_time(pull.pulled_at, now().date()))
        else:
            state = ""
        wanted = "; ".join(_wanted(*line) for line in pull.wanted)
        found.append(
            Disc(pull.disc.id, wording.disc_label(pull.disc), wanted, state,
                 pull.pulled_at is not None, bool(pull.lent_to))
        )  # fmt: skip
    return found


def away(store: Store, programme_id: int | None) -> list[Disc]:
    """What is to be put away, in the order of the shelf, with the programme that has it."""
    return [
        Disc(disc.id, wording.disc_label(disc), disc.title, name, True, False)
        for disc, name in pull_list.to_put_away(store, programme_id)
    ]


def _wanted(title: str, side: str, track: str) -> str:
    spot = ", ".join(
        part
        for part in (
            t("spot.side", side=side) if side else "",
            t("spot.track", track=track) if track else "",
        )
        if part
    )
    return f"{title} ({spot})" if spot else title
