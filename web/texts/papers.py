"""The papers a station should have, kept here as Markdown in each language: name to text."""

from __future__ import annotations

from pathlib import Path

_FOLDER = Path(__file__).parent / "papers"


def all_papers(language: str = "en") -> dict[str, str]:
    """Every paper by its name, such as "after-a-breach", in this language where it is there."""
    found = {path.stem: path for path in sorted(_FOLDER.glob("*.md"))}
    found.update({path.stem: path for path in (_FOLDER / language).glob("*.md")})
    return {name: path.read_text(encoding="utf-8").strip() for name, path in found.items()}


def title(text: str) -> str:
    """The heading of a paper."""
    return text.partition("\n")[0].lstrip("# ").strip()
