"""The colours of both schemes, computed from the style sheets: contrasts of WCAG 2.2, level AA.

Relative luminance and contrast ratio as WCAG 2.2 defines them (w3.org/TR/WCAG22/#dfn-contrast-ratio
and #dfn-relative-luminance); 1.4.3 asks for 4.5 for text, 1.4.11 for 3 for edges and the focus.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import web

STYLES = Path(web.__file__).parent / "static" / "css"
TOKENS = (STYLES / "tokens.css").read_text(encoding="utf-8")

TEXT, EDGE = 4.5, 3.0

PAPERS = ("paper", "desk", "tint")
READ_ON = {
    "ink": PAPERS,
    "soft": PAPERS,
    "accent": PAPERS,
    "on-ink": ("ink",),
    "desk": ("accent",),
    "label-ink": ("label",),
    "label-soft": ("label",),
}
"""Each colour that letters have, and what they stand on."""

SEEN_ON = {"line": ("paper", "desk"), "accent": PAPERS, "ink": PAPERS, "label-ink": ("label",)}
"""Edges of boxes, rings of focus and other things that tell something and are no letters."""

BLANK = ("#c9c4b6", "#000")
"""The studio's blank screen, which is black in both schemes."""


def _block(selector: str) -> dict[str, str]:
    found = re.search(re.escape(selector) + r"\s*\{([^}]*)\}", TOKENS)
    assert found, selector
    return dict(re.findall(r"--([\w-]+):\s*(#[0-9a-f]{3,6})", found[1]))


DAY = _block(":root")
DARK = _block('html[data-desk="studio"]:not([data-scheme])')
SCHEMES = {"day": DAY, "studio": DARK}


def luminance(colour: str) -> float:
    """Relative luminance, 0 to 1."""
    digits = colour.lstrip("#")
    if len(digits) == 3:
        digits = "".join(2 * d for d in digits)
    parts = [int(digits[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio, 1 to 21."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


# Black on white is 21 by the definition; #767676 and #777777 are the greys either side of 4.5
# that WebAIM's page on contrast names (webaim.org/articles/contrast, from memory).
@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [("#000", "#fff", 21.0), ("#fff", "#fff", 1.0), ("#767676", "#fff", 4.54),
     ("#777777", "#fff", 4.48)],
)  # fmt: skip
def test_the_formula_gives_published_values(one: str, other: str, ratio: float) -> None:
    assert contrast(one, other) == pytest.approx(ratio, abs=0.005)


@pytest.mark.parametrize("scheme", SCHEMES)
def test_every_text_and_every_edge_stands_out(scheme: str) -> None:
    colours = SCHEMES[scheme]
    poor = [
        f"{one} on {other}: {contrast(colours[one], colours[other]):.2f}"
        for pairs, least in ((READ_ON, TEXT), (SEEN_ON, EDGE))
        for one, papers in pairs.items()
        for other in papers
        if contrast(colours[one], colours[other]) < least
    ]
    assert poor == []


def test_the_blank_screen_can_be_read() -> None:
    assert contrast(*BLANK) >= TEXT


def test_the_dark_scheme_is_the_same_wherever_it_comes_from() -> None:
    assert _block("html:not([data-scheme])") == DARK
    assert set(DAY) == set(DARK)


def test_every_colour_of_letters_is_in_the_table() -> None:
    used = set()
    for file in STYLES.glob("*.css"):
        text = re.sub(r"/\*.*?\*/", "", file.read_text(encoding="utf-8"), flags=re.DOTALL)
        used |= set(re.findall(r"(?<![\w-])color:\s*var\(--([\w-]+)\)", text))
    assert used == set(READ_ON)


def test_no_colour_is_written_beside_the_tokens() -> None:
    for file in STYLES.glob("*.css"):
        if file.name == "tokens.css":
            continue
        text = file.read_text(encoding="utf-8").partition("@media print")[0]
        assert set(re.findall(r"#[0-9a-f]{3,6}\b(?=[;\s])", text)) <= set(BLANK), file.name
        assert not re.search(r"\b(?:rgba?|hsla?)\(", text), file.name
