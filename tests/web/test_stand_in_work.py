"""What was learnt of stand-ins: seen by who may see the shelves, forgotten by who may edit."""

from __future__ import annotations

from collections.abc import Callable

from catalogue import stand_in_lessons
from catalogue.store import Store

from .conftest import Desk, Held

PAGE = "/shelves/stand-ins"


def test_a_refusal_at_the_phone_is_a_line_on_the_page_and_can_be_forgotten(
    phone: Desk, sign_in: Callable[[str], Desk], store: Store, held: Held
) -> None:
    jetty, waltz = held.recordings["jetty"], held.recordings["waltz"]
    phone.send("/phone/heard", sheet="s", heard="the long jetty hector pike")
    phone.send("/phone/turn-down", slip="1", recording_id=waltz, stand_in_for=jetty)
    librarian = sign_in("Charlie")
    page = librarian.get(PAGE).get_data(as_text=True)
    assert "“The Long Jetty” by Hector Pike" in page
    assert "“Quay Street Waltz” by Marsha Herron" in page
    assert "refused once" in page
    (lesson,) = stand_in_lessons.lessons(store)
    librarian.send(f"{PAGE}/{lesson.id}/forget")
    assert "Nothing has been learnt yet" in librarian.get(PAGE).get_data(as_text=True)
    assert stand_in_lessons.tallies(store, jetty) == {}


def test_all_is_forgotten_only_with_the_tick(
    sign_in: Callable[[str], Desk], store: Store, held: Held
) -> None:
    stand_in_lessons.refuse(store, None, held.recordings["waltz"])
    librarian = sign_in("Charlie")
    assert "no record named" in librarian.get(PAGE).get_data(as_text=True)
    refused = librarian.send(f"{PAGE}/forget-all").get_data(as_text=True)
    assert "Tick the box first" in refused
    assert len(stand_in_lessons.lessons(store)) == 1
    librarian.send(f"{PAGE}/forget-all", sure="yes")
    assert stand_in_lessons.lessons(store) == []
    assert librarian.send(f"{PAGE}/999/forget").status_code == 404


def test_a_searcher_sees_it_and_forgets_nothing(phone: Desk, store: Store, held: Held) -> None:
    stand_in_lessons.refuse(store, None, held.recordings["waltz"])
    page = phone.get(PAGE).get_data(as_text=True)
    assert "Quay Street Waltz" in page
    assert "Begin anew" not in page
    assert phone.send(f"{PAGE}/forget-all", sure="yes").status_code == 403
    assert len(stand_in_lessons.lessons(store)) == 1
