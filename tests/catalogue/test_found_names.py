"""Names in columns are the same names."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.form_file import FormFile
from catalogue.found_names import GAP, Forms, Found, line_of
from catalogue.search_keys import Form, form_of

NAMES = [
    form_of("My Lantern", "Ann Oke"),
    form_of("Låtar från Ön", "Bröderna Å"),
    form_of("99", ""),
    form_of("?", "!!!"),
]


def test_forms_in_columns_are_the_forms() -> None:
    """One by one, as a slice, and by column."""
    forms = Forms.of(NAMES)

    assert list(forms) == NAMES
    assert forms[-1] == NAMES[-1]
    assert list(forms[1:3]) == NAMES[1:3]
    for number, field in enumerate(Form._fields):
        assert forms.column(field) == [form[number] for form in NAMES]
    with pytest.raises(IndexError):
        forms[len(NAMES)]


@given(title=st.text(max_size=40), artist=st.text(max_size=40), whole=st.booleans())
def test_a_form_comes_back_from_its_line(title: str, artist: str, whole: bool) -> None:
    """Any name at all: no field has what stands between fields, or a line end."""
    form = form_of(title, artist, "name", whole=whole)

    assert list(Forms(line_of(form).split(GAP))) == [form]
    assert "\n" not in line_of(form)


def test_half_a_form_is_refused() -> None:
    """Fields that are no whole number of forms come of a damaged file."""
    with pytest.raises(ValueError, match="whole number"):
        Forms(["name", "my lantern"])


@given(rows=st.lists(st.integers(0, len(NAMES) - 1), max_size=8))
def test_choosing_keeps_ids_places_and_forms_together(rows: list[int]) -> None:
    """In the order asked for, the same one twice if so asked."""
    found = Found([7, 7, 8, 9], [0, 40, 80, 120], Forms.of(NAMES)).chosen(rows)

    assert list(found) == [([7, 7, 8, 9][row], NAMES[row]) for row in rows]
    assert found.places == [row * 40 for row in rows]


def test_leaving_out_takes_every_name_of_a_recording() -> None:
    """And nothing else."""
    found = Found([7, 7, 8, 9], [0, 40, 80, 120], Forms.of(NAMES))

    assert list(found.without(frozenset({7}))) == [(8, NAMES[2]), (9, NAMES[3])]
    assert found.without(frozenset({1})) is found


def test_what_follows_is_not_there_twice() -> None:
    """Two searches find some of the same names: each is compared once."""
    first = Found([7, 8], [0, 80], Forms.of([NAMES[0], NAMES[2]]))
    second = Found([8, 7], [80, 40], Forms.of([NAMES[2], NAMES[1]]))

    both = first.followed_by(second)

    assert list(both) == [(7, NAMES[0]), (8, NAMES[2]), (7, NAMES[1])]
    assert both.places == [0, 80, 40]


def test_a_file_gives_back_what_was_written(tmp_path: Path) -> None:
    """In any order; and says so when it is damaged or cut short."""
    file = FormFile(tmp_path)
    places = file.append(NAMES)
    backwards = places[::-1]

    read = file.read([place for place, _ in backwards], [size for _, size in backwards])

    assert list(read) == NAMES[::-1]
    assert list(file.read([], [])) == []
    file.close()
    whole = file.path.read_bytes()
    file.path.write_bytes(whole.replace(b"\t", b" ", 1))
    with pytest.raises(ValueError, match="damaged"):
        FormFile(tmp_path).read(*zip(*places, strict=True))
    file.path.write_bytes(whole[:-3])
    with pytest.raises(ValueError, match="cut short"):
        FormFile(tmp_path).read(*zip(*places, strict=True))
