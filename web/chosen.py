"""Which records of the list are chosen: those that were ticked, or all that a search finds."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass

from werkzeug.datastructures import MultiDict

from catalogue import filing, listing
from catalogue.browse import ORDERS
from catalogue.edit_many import MOST
from catalogue.errors import BadInput
from catalogue.listing import Sought
from catalogue.store import Store
from web.texts import t


@dataclass(frozen=True, slots=True)
class Chosen:
    """The numbers of the records that are chosen, and what a form sends to choose them again.

    `mark` tells this very choice from any other: what a search finds may change between two
    pages, and then the second one asks anew.
    """

    ids: tuple[int, ...]
    fields: tuple[tuple[str, str], ...]
    mark: str
    by_search: bool


def chosen(store: Store, given: MultiDict[str, str] | Mapping[str, str]) -> Chosen:
    """What the page or the form says is chosen. Raises BadInput, or NotFound for a shelf."""
    assert isinstance(given, MultiDict)
    if given.get("all"):
        return _by_search(store, given)
    texts = given.getlist("one")
    if not all(text.isascii() and text.isdigit() and len(text) < 19 for text in texts):
        raise BadInput(t("refusal.number"))
    ids = tuple(dict.fromkeys(int(text) for text in texts))
    if not ids:
        raise BadInput(t("several.none_chosen"))
    return Chosen(ids, tuple(("one", str(one)) for one in ids), _mark(ids), False)


def _by_search(store: Store, given: MultiDict[str, str]) -> Chosen:
    text, order = given.get("q", "").strip(), given.get("order", "title")
    if order not in ORDERS:
        raise BadInput("The list can be ordered by title, artist or shelf mark.")
    shelf_text = given.get("shelf", "")
    shelf_id = int(shelf_text) if shelf_text.isascii() and shelf_text.isdigit() else 0
    shelf = filing.get(store, shelf_id) if shelf_id else None
    ids = tuple(listing.all_ids(store, Sought(text, order, shelf), MOST + 1))
    if len(ids) > MOST:
        raise BadInput(t("several.too_many", most=f"{MOST:,}"))
    if not ids:
        raise BadInput(t("several.none_found"))
    fields = [("all", "yes"), ("q", text), ("order", order), ("shelf", shelf_text)]
    return Chosen(ids, tuple((n, v) for n, v in fields if v), _mark(ids), True)


def _mark(ids: tuple[int, ...]) -> str:
    return hashlib.sha256(",".join(map(str, sorted(ids))).encode()).hexdigest()[:16]
