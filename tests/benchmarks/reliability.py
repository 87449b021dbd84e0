"""A reliability plot: how often answers with a given chance of being right are right."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

_BINS = 10
_SIZE, _EDGE = 420, 50


def plot(answers: Sequence[tuple[float, bool]], path: Path) -> list[tuple[float, float, int]]:
    """Write an SVG of (chance, was right) in ten bins; returns (mean chance, share, count)."""
    bins: list[list[tuple[float, bool]]] = [[] for _ in range(_BINS)]
    for chance, right in answers:
        bins[min(int(chance * _BINS), _BINS - 1)].append((chance, right))
    points = [
        (sum(c for c, _ in b) / len(b), sum(r for _, r in b) / len(b), len(b)) for b in bins if b
    ]
    span = _SIZE - 2 * _EDGE
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_SIZE}" height="{_SIZE}" '
        'font-family="sans-serif" font-size="12">',
        f'<rect width="{_SIZE}" height="{_SIZE}" fill="#fff"/>',
        f'<path d="M{_EDGE} {_SIZE - _EDGE}L{_SIZE - _EDGE} {_EDGE}" stroke="#999"/>',
        f'<path d="M{_EDGE} {_EDGE}V{_SIZE - _EDGE}H{_SIZE - _EDGE}" fill="none" stroke="#000"/>',
        f'<text x="{_SIZE / 2}" y="{_SIZE - 15}" text-anchor="middle">chance told</text>',
        f'<text x="15" y="{_SIZE / 2}" text-anchor="middle" '
        f'transform="rotate(-90 15 {_SIZE / 2})">share right</text>',
    ]
    for chance, share, count in points:
        x, y = _EDGE + chance * span, _SIZE - _EDGE - share * span
        lines.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="5" fill="#123"/>')
        lines.append(f'<text x="{x + 8:.1f}" y="{y + 4:.1f}">{count}</text>')
    path.write_text("\n".join([*lines, "</svg>", ""]), encoding="utf-8")
    return points
