"""Which programme is on."""

from datetime import timedelta

import pytest

from catalogue import programmes
from catalogue.errors import BadInput


def test_the_one_that_started_last_is_on(store, now):
    hour = timedelta(hours=1)
    programmes.add(store, "All day", "", now - 5 * hour, now + 5 * hour, "Kit", now)
    programmes.add(store, "Requests", "Ada", now, now + hour, "Kit", now)
    assert programmes.current(store, now).name == "Requests"
    assert programmes.current(store, now + hour).name == "All day"
    assert programmes.current(store, now + 6 * hour) is None
    assert [p.name for p in programmes.all_programmes(store)] == ["Requests", "All day"]


def test_an_end_before_the_start_is_refused(store, now):
    with pytest.raises(BadInput):
        programmes.add(store, "Requests", "", now, now, "Kit", now)
    with pytest.raises(BadInput):
        programmes.add(store, " ", "", now, now + timedelta(hours=1), "Kit", now)
    assert programmes.all_programmes(store) == []
