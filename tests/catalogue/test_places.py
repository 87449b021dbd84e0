"""The list of places."""

import pytest

from catalogue import places
from catalogue.errors import BadInput, NotFound


def test_places_are_listed_by_name_with_how_to_say_them(store, now):
    places.add(store, "  Wherry   House ", "WERRY house", True, "Kit", now)
    places.add(store, "Albion Ward", "", False, "Kit", now)
    assert [(p.name, p.say, p.on_air) for p in places.all_places(store)] == [
        ("Albion Ward", "", False),
        ("Wherry House", "WERRY house", True),
    ]


def test_one_name_once_whatever_its_capitals(store, now):
    first = places.add(store, "Wherry House", "", True, "Kit", now)
    second = places.add(store, "Quay House", "", True, "Kit", now)
    for attempt in (
        lambda: places.add(store, "wherry house", "", True, "Kit", now),
        lambda: places.add(store, "  ", "", True, "Kit", now),
        lambda: places.change(store, second, "WHERRY HOUSE", "", True, "Kit", now),
    ):
        with pytest.raises(BadInput):
            attempt()
    places.change(store, first, "Wherry Home", "", False, "Kit", now)
    assert places.get(store, first).name == "Wherry Home"


def test_an_unknown_place_is_said(store, now):
    with pytest.raises(NotFound):
        places.get(store, 9)
    with pytest.raises(NotFound):
        places.change(store, 9, "X", "", True, "Kit", now)
