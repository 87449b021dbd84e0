"""Names that a search found, in columns: 1,500 of them and more are looked at for every request.

To make a `Form` of each would take longer than to search for them. Nearly all are set aside after
plain comparisons of whole columns, and only the few that are left are made.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from operator import attrgetter
from typing import overload

from catalogue.search_keys import Form

FETCHED = 1_500
"""Names taken from the index; the cut to those that are aligned is in `shortlist.py`."""

_GROWS_FROM, _GROWS_BY = 200_000, 6_600
"""Names filed from which more are taken, and how many more for each ten times as many: among
1,138,000 those that share keys by chance crowd out others. Measured there with 320 of them aligned:
5,100, 6,500 and 8,500 names have 68.1, 68.2 and 68.3 % of the requests in the first five."""

_AT_ONCE = ("title_phones", "artist_phones")
"""Fields by which all that was found is compared; the others are only wanted of some."""
_LATER = tuple(name for name in Form._fields if name not in _AT_ONCE)
_at_once, _later = attrgetter(*_AT_ONCE), attrgetter(*_LATER)
_WIDE = len(_AT_ONCE) + 1
GAP = "\t"
_LATER_GAP = "\x1f"
"""Between the fields of a line, and between those that are wanted later: no field has either."""


def fetched_among(names: int) -> int:
    """How many names are taken from an index of so many.

    >>> fetched_among(5_000), fetched_among(1_000_000)
    (1500, 6113)
    """
    return FETCHED + round(_GROWS_BY * max(0.0, math.log10(max(names, 1) / _GROWS_FROM)))


def line_of(form: Form) -> str:
    """A form as one line of text: what all are compared by, then the rest as one field."""
    return GAP.join([*_at_once(form), _LATER_GAP.join(_later(form))])


class Forms(Sequence[Form]):
    """Forms in the order found, in columns; each is made when it is asked for."""

    __slots__ = ("_flat", "_later")

    def __init__(self, flat: list[str]) -> None:
        """`flat` are the fields of one line after another. Raises ValueError if some are left."""
        if len(flat) % _WIDE:
            raise ValueError(f"{len(flat)} fields are no whole number of forms")
        self._flat = flat
        self._later: list[str] | None = None

    @classmethod
    def of(cls, forms: Sequence[Form]) -> Forms:
        """The same forms in columns."""
        if isinstance(forms, Forms):
            return forms
        return cls.of_lines([line_of(form) for form in forms])

    @classmethod
    def of_lines(cls, lines: Sequence[str]) -> Forms:
        """The forms of these lines. Raises ValueError if a line is none."""
        forms = cls(GAP.join(lines).split(GAP) if lines else [])
        if len(forms) != len(lines):
            raise ValueError("a line is no form")
        return forms

    def column(self, name: str) -> list[str]:
        """One field of every form, by its name."""
        if name in _AT_ONCE:
            return self._flat[_AT_ONCE.index(name) :: _WIDE]
        return self._rest()[_LATER.index(name) :: len(_LATER)]

    def _rest(self) -> list[str]:
        """The fields wanted later, of one form after another."""
        if self._later is None:
            lines = self._flat[_WIDE - 1 :: _WIDE]
            self._later = _LATER_GAP.join(lines).split(_LATER_GAP) if lines else []
            if len(self._later) != len(lines) * len(_LATER):
                raise ValueError("fields are missing from a form")
        return self._later

    def chosen(self, places: Sequence[int]) -> Forms:
        """The forms at these places, in this order."""
        flat: list[str] = []
        for place in places:
            flat += self._flat[place * _WIDE : (place + 1) * _WIDE]
        return Forms(flat)

    def __len__(self) -> int:
        """How many forms."""
        return len(self._flat) // _WIDE

    @overload
    def __getitem__(self, place: int) -> Form: ...
    @overload
    def __getitem__(self, place: slice) -> Forms: ...

    def __getitem__(self, place: int | slice) -> Form | Forms:
        """One form, or some."""
        if isinstance(place, slice):
            return self.chosen(range(len(self))[place])
        return next(iter(self.chosen([range(len(self))[place]])))

    def __iter__(self) -> Iterator[Form]:
        """Each form."""
        return map(Form, *(self.column(name) for name in Form._fields))


class Found(Sequence[tuple[int, Form]]):
    """(recording id, form) of the names found, best first, with the places of the forms.

    A recording is there once for each of its names. `ids` are the recordings', `places` tell
    names apart: two with the same place in the file of forms are one.
    """

    __slots__ = ("forms", "ids", "places")

    def __init__(self, ids: Sequence[int], places: Sequence[int], forms: Forms) -> None:
        """All three are of one length, in the same order."""
        self.ids = list(ids)
        self.places = list(places)
        self.forms = forms

    @classmethod
    def of(cls, names: Sequence[tuple[int, Form]]) -> Found:
        """Names that lie in no file of forms: they are told apart by all that they are."""
        return cls(
            [one for one, _ in names], list(map(hash, names)), Forms.of([f for _, f in names])
        )

    @classmethod
    def nothing(cls) -> Found:
        """No name at all."""
        return cls([], [], Forms([]))

    def chosen(self, rows: Sequence[int]) -> Found:
        """The names at these rows, in this order."""
        return Found(
            [self.ids[row] for row in rows],
            [self.places[row] for row in rows],
            self.forms.chosen(rows),
        )

    def without(self, left_out: frozenset[int]) -> Found:
        """The names of other recordings than these."""
        if left_out.isdisjoint(self.ids):
            return self
        return self.chosen([row for row, one in enumerate(self.ids) if one not in left_out])

    def followed_by(self, others: Found) -> Found:
        """These names, and behind them those of the others that are not among them."""
        known = set(self.places)
        added = others.chosen([n for n, place in enumerate(others.places) if place not in known])
        forms = Forms([*self.forms._flat, *added.forms._flat])
        return Found([*self.ids, *added.ids], [*self.places, *added.places], forms)

    def __len__(self) -> int:
        """How many names."""
        return len(self.ids)

    @overload
    def __getitem__(self, row: int) -> tuple[int, Form]: ...
    @overload
    def __getitem__(self, row: slice) -> Found: ...

    def __getitem__(self, row: int | slice) -> tuple[int, Form] | Found:
        """One name, or some."""
        if isinstance(row, slice):
            return self.chosen(range(len(self))[row])
        return self.ids[row], self.forms[row]

    def __iter__(self) -> Iterator[tuple[int, Form]]:
        """Each (recording id, form)."""
        return zip(self.ids, self.forms, strict=True)
