"""The fields of the slip that a page sends: only those changed there, each with what was seen.

So two desks may write on one slip, and neither overwrites what the other has not seen.
"""

from __future__ import annotations

from dataclasses import dataclass

from flask import request

from catalogue import callers, calls, places, request_slips
from catalogue.callers import CallerDetails
from catalogue.request_slips import Slip
from catalogue.store import Store
from web.asked import being_written
from web.station import now, who
from web.texts import has, t

OF_THE_CALLER = (
    "caller_name", "say_name", "place_id", "place_detail", "for_whom", "why", "talk_about",
    "how_on_air", "line", "ring_back", "consent", "place_consent", "under_sixteen",
    "adult_consent", "first_words", "last_words", "may_hear",
)  # fmt: skip
"""The fields that are the caller's; the names are those of `CallerDetails`."""

OF_THE_SLIP = ("purpose", "occasion", "urgent")
"""The fields that are the slip's own: fixed words, no caller's."""

_IN_A_CHOICE = {"consent": "consent", "place_consent": "consent", "how_on_air": "on_air"}
"""Fields with a few choices, and where their words are."""

_LABELS = {"how_on_air": "slip.on_air"}
"""Where a field's label is, if not under its own name."""


@dataclass(frozen=True, slots=True)
class Clash:
    """A field on which another desk has written something else meanwhile.

    `theirs` is the value, `sentence` says it in words.
    """

    field: str
    theirs: str
    sentence: str


def keep(store: Store, slip_id: int) -> None:
    """Keep the fields sent, all of them or none. Raises ChangedMeanwhile."""
    changes, seen = _sent()
    slip = being_written(slip_id)
    if changes:
        calls.write_details(store, slip_id, changes, who(), now(), seen=seen)
    _keep_own(store, slip)


def keep_what_agrees(store: Store, slip_id: int) -> tuple[Clash, ...]:
    """Keep the fields sent; those on which another desk wrote meanwhile are left, and returned."""
    changes, seen = _sent()
    slip = being_written(slip_id)
    left = calls.write_what_agrees(store, slip_id, changes, who(), now(), seen=seen)
    _keep_own(store, slip)
    held = values(store, request_slips.get(store, slip_id))
    return tuple(Clash(f, held[f], _said_of(store, f, held[f])) for f in left)


def values(store: Store, slip: Slip) -> dict[str, str]:
    """All fields as a page sends them, so that it can show what another desk has written."""
    details = callers.of(store, slip.id) or CallerDetails(slip.id)
    of_caller = {name: getattr(details, name) for name in OF_THE_CALLER}
    own = {"purpose": slip.purpose, "occasion": slip.occasion, "urgent": slip.urgent}
    return {
        name: ("yes" if value is True else str(value or ""))
        for name, value in (of_caller | own).items()
    }


def _sent() -> tuple[dict[str, object], dict[str, object]]:
    form = request.form
    changes: dict[str, object] = {f: form[f].strip() for f in OF_THE_CALLER if f in form}
    seen: dict[str, object] = {f: form[f"seen_{f}"] for f in changes if f"seen_{f}" in form}
    return changes, seen


def _keep_own(store: Store, slip: Slip) -> None:
    """The slip's own fields: the last word holds, since each is one press and seen at once."""
    form = request.form
    if form.get("purpose", slip.purpose) != slip.purpose:
        request_slips.set_purpose(store, slip.id, form["purpose"], who(), now())
    if form.get("occasion", slip.occasion) != slip.occasion:
        request_slips.set_occasion(store, slip.id, form["occasion"], who(), now())
    if "urgent" in form and (form["urgent"] == "yes") is not slip.urgent:
        request_slips.set_urgent(store, slip.id, not slip.urgent, who(), now())


def _said_of(store: Store, field: str, theirs: str) -> str:
    """What stands in a field now, in a sentence."""
    shown = theirs
    if field == "place_id":
        shown = next((p.name for p in places.all_places(store) if str(p.id) == theirs), "")
    elif field in _IN_A_CHOICE and theirs:
        key = f"{_IN_A_CHOICE[field]}.{theirs}"
        shown = t(key) if has(key) else theirs
    elif field == "may_hear":
        shown = t(f"may_hear.{theirs or 'open'}")
    elif field == "under_sixteen":
        shown = t("consent.yes" if theirs else "consent.no")
    key = "clash.wrote" if shown else "clash.emptied"
    return t(key, field=t(_LABELS.get(field, f"slip.{field}")), theirs=shown)
