"""The picture of the stand-ins: the years across, the tempo up; drawn here, shown by a template.

Each point has a number, the one of its line in the list, its name where there is room for it,
and all of it in words beside the picture. What has no year or no tempo is only told in words.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from catalogue.records import Answer, Outcome
from web import wording
from web.texts import t

WIDTH, HEIGHT = 380, 250
_LEFT, _RIGHT, _TOP, _BOTTOM = 42, 14, 30, 40
"""Of the drawing, in its own units, about pixels: room for the figures of the axes."""

_POINT, _LETTER, _LINE = 11, 7.4, 16
"""Radius of a point, width of a letter and height of a line of the names."""

_CLOSE = 1.6 * _POINT
"""Points nearer than this along both axes hide one another."""

_NAME_LETTERS = 14
_LEAST_YEARS, _LEAST_TEMPO = 6, 30
"""The least span of an axis, so that one record's neighbours are not blown up to strangers."""

_YEAR_STEPS = (1, 2, 5, 10, 20, 50)
_TEMPO_STEPS = (10, 20, 50, 100)
_TICKS = 5

Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Tick:
    """A line of the grid: where it is, and what is written at it."""

    at: float
    words: str


@dataclass(frozen=True, slots=True)
class Point:
    """A record in the picture: `number` is that of its line, 0 for what was asked for."""

    number: int
    x: float
    y: float
    name: str
    words: str
    name_x: float = 0.0
    name_y: float = 0.0
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class Picture:
    """The whole picture, and what it shows in words."""

    points: tuple[Point, ...]
    years: tuple[Tick, ...]
    tempos: tuple[Tick, ...]
    words: tuple[tuple[int, str, bool], ...]
    left: int = _LEFT
    right: int = WIDTH - _RIGHT
    top: int = _TOP
    bottom: int = HEIGHT - _BOTTOM
    width: int = WIDTH
    height: int = HEIGHT


@dataclass(frozen=True, slots=True)
class _Record:
    number: int
    title: str
    year: int | None
    tempo: float | None


def picture(answer: Answer) -> Picture | None:
    """The picture of an answer's stand-ins; None where fewer than two have a place in it."""
    records = [*_asked(answer), *_offered(answer)]
    placed = [(r, r.year, r.tempo) for r in records if r.year and r.tempo and r.tempo > 0]
    if len(placed) < 2 or not any(record.number for record, _, _ in placed):
        return None
    years = _span([float(year) for _, year, _ in placed], _LEAST_YEARS)
    tempos = _span([tempo for _, _, tempo in placed], _LEAST_TEMPO)
    points = []
    for record, year, tempo in placed:
        x = _between(year, years, _LEFT + _POINT, WIDTH - _RIGHT - _POINT)
        y = _between(tempo, tempos, HEIGHT - _BOTTOM - _POINT, _TOP + _POINT)
        points.append(Point(record.number, x, y, _short(record.title), _words(record)))
    shown = {record.number for record, _, _ in placed}
    return Picture(
        points=_named(_apart(points)),
        years=tuple(
            Tick(_between(at, years, _LEFT + _POINT, WIDTH - _RIGHT - _POINT), f"{at:.0f}")
            for at in _steps(years, _YEAR_STEPS)
        ),
        tempos=tuple(
            Tick(_between(at, tempos, HEIGHT - _BOTTOM - _POINT, _TOP + _POINT), f"{at:.0f}")
            for at in _steps(tempos, _TEMPO_STEPS)
        ),
        words=tuple((r.number, _words(r), r.number in shown) for r in records),
    )


def _asked(answer: Answer) -> list[_Record]:
    """What was asked for: the record, or the year and tempo that were said."""
    known = answer.outcome in (Outcome.NOT_READY, Outcome.KNOWN_NOT_HELD, Outcome.FOUND)
    if known and answer.matches and not answer.wanted.names_no_record:
        one = answer.matches[0].recording
        return [_Record(0, one.title, one.year, one.tempo)]
    return []


def _offered(answer: Answer) -> list[_Record]:
    first = answer.wanted.names_no_record and answer.outcome is not Outcome.FOUND
    start = 1 if first else len(answer.matches) + 1
    return [
        _Record(n, s.recording.title, s.recording.year, s.recording.tempo)
        for n, s in enumerate(answer.stand_ins, start=start)
    ]


def _words(record: _Record) -> str:
    """Title, year and tempo as a line; who sings it is in the list."""
    name = t("plot.name", title=record.title)
    year = str(record.year) if record.year else t("plot.no_year")
    tempo = wording.tempo(record.tempo) if record.tempo else t("plot.no_tempo")
    return ", ".join((name, year, tempo))


def _short(title: str) -> str:
    if len(title) <= _NAME_LETTERS:
        return title
    return title[: _NAME_LETTERS - 1].rstrip() + "…"


def _span(values: list[float], least: float) -> tuple[float, float]:
    low, high = min(values), max(values)
    more = max(0.0, least - (high - low)) / 2
    return low - more, high + more


def _between(value: float, span: tuple[float, float], start: float, end: float) -> float:
    share = (value - span[0]) / (span[1] - span[0])
    return round(start + share * (end - start), 1)


def _steps(span: tuple[float, float], sizes: tuple[int, ...]) -> list[float]:
    """Round figures within a span, as many as are easily read."""
    step = next((s for s in sizes if (span[1] - span[0]) / s <= _TICKS), sizes[-1])
    first = -(-span[0] // step) * step
    return [first + n * step for n in range(int((span[1] - first) // step) + 1)]


def _apart(points: list[Point]) -> list[Point]:
    """Points that would lie on one another moved side by side: each must be seen."""
    placed: list[Point] = []
    for point in points:
        free = (
            (x, y)
            for x, y in _spots(point)
            if not any(abs(x - p.x) < _CLOSE and abs(y - p.y) < _CLOSE for p in placed)
        )
        x, y = next(free, (point.x, point.y))
        placed.append(replace(point, x=x, y=y))
    return placed


def _spots(point: Point) -> Iterator[tuple[float, float]]:
    """Where a point may lie: its own place, then beside it, then in the rows above and below."""
    step = 2 * _POINT
    rows, columns = HEIGHT // step, WIDTH // step
    for row in sorted(range(-rows, rows + 1), key=abs):
        y = point.y + row * step
        if not _TOP <= y <= HEIGHT - _BOTTOM:
            continue
        for column in (*range(columns + 1), *range(-1, -columns - 1, -1)):
            x = point.x + column * step
            if _LEFT <= x <= WIDTH - _RIGHT:
                yield x, y


def _named(points: list[Point]) -> tuple[Point, ...]:
    """Each with its name beside it where there is room; without it where there is none."""
    taken: list[Box] = [(p.x - _POINT, p.y - _POINT, p.x + _POINT, p.y + _POINT) for p in points]
    named = []
    for point in points:
        for anchor, x, y, box in _places(point):
            if _inside(box) and not any(_meet(box, other) for other in taken):
                taken.append(box)
                named.append(replace(point, name_x=x, name_y=y, anchor=anchor))
                break
        else:
            named.append(point)
    return tuple(named)


def _places(point: Point) -> Iterator[tuple[str, float, float, Box]]:
    """Where a name may stand, best first: right of the point, left, above, below."""
    wide, gap, x, y = len(point.name) * _LETTER, _POINT + 4, point.x, point.y
    for anchor, at_x, at_y, left, top in (
        ("start", x + gap, y + 5, x + gap, y - _LINE / 2),
        ("end", x - gap, y + 5, x - gap - wide, y - _LINE / 2),
        ("middle", x, y - gap, x - wide / 2, y - gap - _LINE + 3),
        ("middle", x, y + gap + 10, x - wide / 2, y + gap - 3),
    ):
        yield anchor, round(at_x, 1), round(at_y, 1), (left, top, left + wide, top + _LINE)


def _inside(box: Box) -> bool:
    return box[0] >= _LEFT and box[2] <= WIDTH and box[1] >= 0 and box[3] <= HEIGHT - _BOTTOM + 6


def _meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
