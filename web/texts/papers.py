"""The papers a station should have, kept here as Markdown: name to text."""

from __future__ import annotations

from pathlib import Path

_FOLDER = Path(__file__).parent / "papers"


def all_papers() -> dict[str, str]:
    """Every paper by its name, such as "after-a-breach"."""
    return {
        path.stem: path.read_text(encoding="utf-8").strip() for path in sorted(_FOLDER.glob("*.md"))
    }


def title(text: str) -> str:
    """The heading of a paper."""
    return text.partition("\n")[0].lstrip("# ").strip()
