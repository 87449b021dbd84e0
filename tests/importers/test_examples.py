"""The examples in the docstrings of the importers are true."""

from __future__ import annotations

import doctest
import importlib
import pkgutil

import pytest

import importers

NAMES = [module.name for module in pkgutil.iter_modules(importers.__path__)]


@pytest.mark.parametrize("name", NAMES)
def test_examples_are_true(name: str) -> None:
    """What a docstring shows is what comes out."""
    assert doctest.testmod(importlib.import_module(f"importers.{name}")).failed == 0


def test_there_are_examples() -> None:
    """The check above would pass on nothing."""
    tried = [doctest.testmod(importlib.import_module(f"importers.{n}")).attempted for n in NAMES]

    assert sum(tried) > 20
