"""The station's rules: values to begin with, bounds, and nothing changed by a bad value."""

import stat

import pytest

from catalogue import backup, settings, undo
from catalogue.errors import BadInput


def test_every_setting_begins_with_a_value_it_would_accept(store, now):
    for name, setting in settings.DEFAULTS.items():
        assert settings.get(store, name) == setting.value
        settings.put(store, name, setting.value, "Kit", now)
        assert settings.get(store, name) == setting.value
        assert setting.what.strip()


def test_numbers_and_lines(store, now):
    settings.put(store, "repeat_hours", " 048 ", "Kit", now)
    settings.put(store, "studios", "North\n\n South \nNorth", "Kit", now)
    assert settings.number(store, "repeat_hours") == 48
    assert settings.lines(store, "studios") == ["North", "South"]


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("caller_days", "0"), ("caller_days", "366"), ("caller_days", "a week"),
        ("caller_days", "-1"), ("caller_days", ""), ("caller_days", "٧"),
        ("studios", " \n "), ("station_name", " "), ("no_such", "x"),
        ("warning_words", "x" * 10_001),
    ],
)  # fmt: skip
def test_a_bad_value_is_refused_and_nothing_changes(store, now, name, value):
    with pytest.raises(BadInput):
        settings.put(store, name, value, "Kit", now)
    if name in settings.DEFAULTS:
        assert settings.get(store, name) == settings.DEFAULTS[name].value


def test_unknown_setting_names_those_there_are(store):
    with pytest.raises(BadInput, match="caller_days"):
        settings.get(store, "nonsense")


def test_a_setting_is_taken_back(store, now):
    settings.put(store, "caller_days", "3", "Kit", now)
    settings.put(store, "caller_days", "5", "Kit", now)
    undo.take_back(store, undo.recent(store)[0].id, "Kit", now)
    assert settings.number(store, "caller_days") == 3


def test_a_stations_own_file_of_words_counts_as_soon_as_it_is_saved(store, now):
    file = store.path.parent / settings.WARNING_FILE
    assert "funeral" in settings.lines(store, "warning_words")
    file.write_bytes(
        "\ufeff# ours\nlast ferry  # since the storm\n\nebb\n".encode() + b"\xff\xfe\n"
    )
    assert settings.lines(store, "warning_words") == ["last ferry", "ebb"]
    assert settings.get(store, "warning_words") == "last ferry\nebb"
    with pytest.raises(BadInput, match="Change them there"):
        settings.put(store, "warning_words", "ours", "Liv", now)
    file.write_text("the bar\n", encoding="utf-8")
    assert settings.lines(store, "warning_words") == ["the bar"]
    file.unlink()
    settings.put(store, "warning_words", "ours", "Liv", now)
    assert settings.lines(store, "warning_words") == ["ours"]


def test_a_token_is_in_a_file_of_its_own_and_in_no_copy(store, now):
    """Not in the database, nor in what it keeps of changes; readable for this user alone."""
    settings.put(store, "network_token", "  BENCHMARK-of-the-quay ", "Dora", now)
    settings.put(store, "network_token", "MARKER-of-the-quay", "Dora", now)

    assert settings.get(store, "network_token") == "MARKER-of-the-quay"
    file = store.path.parent / settings.TOKEN_FILE
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    copy = backup.make(store, backup.Kind.DAILY, now)
    store.rows("PRAGMA wal_checkpoint(TRUNCATE)")
    for path in (copy, store.path):
        assert b"of-the-quay" not in path.read_bytes()
    settings.put(store, "network_token", "", "Dora", now)
    assert settings.get(store, "network_token") == ""


def test_a_token_that_cannot_be_read_is_none(store):
    """The phone desk goes on without the other stations."""
    (store.path.parent / settings.TOKEN_FILE).write_bytes(b"\xff\xfe")

    assert settings.get(store, "network_token") == ""
