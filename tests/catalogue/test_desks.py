"""Desks are known by a token, and set up with undo."""

import pytest

from catalogue import desks, undo
from catalogue.errors import BadInput


def test_a_desk_is_set_up_changed_and_taken_back(store, now):
    token = desks.new_token()
    assert desks.of(store, token) == desks.Desk()
    desks.set_up(store, token, " North  studio ", True, "Kit", now)
    assert desks.of(store, token) == desks.Desk("North studio", True)
    desks.set_up(store, token, "Van", False, "Kit", now)
    assert desks.of(store, token) == desks.Desk("Van", False)
    undo.take_back(store, undo.recent(store, 1)[0].id, "Kit", now)
    assert desks.of(store, token).name == "North studio"


@pytest.mark.parametrize(("token", "name"), [("", "Van"), ("t" * 65, "Van"), ("t", "x" * 61)])
def test_what_cannot_be_kept_is_refused(store, now, token, name):
    with pytest.raises(BadInput):
        desks.set_up(store, token, name, True, "Kit", now)
