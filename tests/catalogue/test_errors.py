"""One family of errors, drawn at the top of its file, each with a sentence."""

from __future__ import annotations

import inspect

from catalogue import errors
from catalogue.errors import BadInput, CatalogueError


def _all() -> list[type[CatalogueError]]:
    return [
        c for _, c in inspect.getmembers(errors, inspect.isclass) if issubclass(c, CatalogueError)
    ]


def test_the_drawing_shows_every_error() -> None:
    """The tree at the top of the file is the tree of the classes: same names, same depth."""
    drawing = [
        line for line in (errors.__doc__ or "").splitlines() if "Error" in line or "─" in line
    ]
    drawn = {}
    for line in drawing:
        name = line.lstrip("│├└─ ").split()[0]
        drawn[name] = (len(line) - len(line.lstrip("│├└─ "))) // 4

    for error in _all():
        depth = len([c for c in error.__mro__ if issubclass(c, CatalogueError)]) - 1
        assert drawn.get(error.__name__) == depth, error.__name__


def test_the_message_is_the_sentence_given() -> None:
    """And without one, what the class itself says, so that nobody sees an empty line."""
    assert BadInput("The list is empty.").message == "The list is empty."
    for error in _all():
        assert error().message.endswith(".")
