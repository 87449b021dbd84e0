"""The same record, artist or album too close together in a list: said, never forbidden."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from catalogue import play_log, programmes, settings
from catalogue.running_order import Item, RunningOrder
from catalogue.spelling import plain
from catalogue.store import Store


class Shared(StrEnum):
    """What two lines have in common, the strongest first."""

    RECORDING = "recording"
    ARTIST = "artist"
    ALBUM = "album"


@dataclass(frozen=True, slots=True)
class TooClose:
    """Two lines that share something, `minutes` apart: `first` and `second` are their places in
    the list from 1 on; `first` is 0 for what went out before. `name` is what they share."""

    shared: Shared
    name: str
    first: int
    second: int
    minutes: int


def in_list(store: Store, order: RunningOrder, now: datetime) -> list[TooClose]:
    """What stands too close together in a list, in its order, one remark for each line.

    Closeness is by planned time: from the start of the programme, or from now when it is on,
    each record after the other, with a usual length where one is not known.
    """
    minutes = {
        Shared.RECORDING: 60 * settings.number(store, "repeat_hours"),
        Shared.ARTIST: settings.number(store, "artist_minutes"),
        Shared.ALBUM: settings.number(store, "artist_minutes"),
    }
    times = _planned(order, now)
    found = []
    for second, (item, at) in enumerate(zip(order.items, times, strict=True), start=1):
        if item.played_at is not None or item.recording is None:
            continue
        close = _nearest(order.items[: second - 1], times, item, at, second, minutes)
        close = close or _before(store, item, at, second, minutes, order)
        if close is not None:
            found.append(close)
    return found


def _planned(order: RunningOrder, now: datetime) -> list[datetime]:
    """When each line goes out: as it did, or as it would."""
    at = max(now, datetime.fromisoformat(order.programme.starts_at))
    times = []
    for item in order.items:
        if item.played_at is not None:
            times.append(datetime.fromisoformat(item.played_at))
            continue
        times.append(at)
        if item.recording is not None:
            at += timedelta(seconds=item.length_s or programmes.USUAL_S)
    return times


def _nearest(
    earlier: tuple[Item, ...],
    times: list[datetime],
    item: Item,
    at: datetime,
    second: int,
    minutes: dict[Shared, int],
) -> TooClose | None:
    """The strongest thing shared with an earlier line, the nearest such line.

    Several slips for one record are one play with all its dedications: never too close.
    """  # fmt: skip
    for shared, allowed in minutes.items():
        for first in range(len(earlier), 0, -1):
            other = earlier[first - 1]
            name = _shared(other, item, shared)
            apart = abs(int((at - times[first - 1]).total_seconds() // 60))
            if name and apart < allowed and not _one_play(other, item):
                return TooClose(shared, name, first, second, apart)
    return None


def _one_play(one: Item, other: Item) -> bool:
    same = one.recording is not None and other.recording is not None
    return (
        same
        and one.recording == other.recording
        and one.slip is not None
        and other.slip is not None
        and one.played_at is None
    )


def _shared(one: Item, other: Item, shared: Shared) -> str:
    """The name of what two lines share, empty if they do not."""
    a, b = one.recording, other.recording
    if a is None or b is None:
        return ""
    if shared is Shared.RECORDING:
        return b.title if a.id == b.id else ""
    if shared is Shared.ARTIST:
        return b.artist if a.artist_id == b.artist_id else ""
    return b.album if b.album and plain(a.album) == plain(b.album) else ""


def _before(
    store: Store,
    item: Item,
    at: datetime,
    second: int,
    minutes: dict[Shared, int],
    order: RunningOrder,
) -> TooClose | None:
    """The same recording, played before this programme and too lately."""  # fmt: skip
    assert item.recording is not None
    last = play_log.last_played(store, [item.recording.id]).get(item.recording.id)
    if last is None or not minutes[Shared.RECORDING]:
        return None
    if any(i.played_at and i.recording == item.recording for i in order.items):
        return None
    apart = int((at - datetime.fromisoformat(last)).total_seconds() // 60)
    if apart >= minutes[Shared.RECORDING]:
        return None
    return TooClose(Shared.RECORDING, item.recording.title, 0, second, max(apart, 0))
