"""Which record a page shows on its slip: two desks on one slip put none in place of another unseen.

A page sends what it shows as `seen_record`. Where another desk has put something else there
meanwhile nothing is done, and the page is shown what is there now.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from flask import Response, make_response, render_template, request

from catalogue import request_slips
from catalogue.errors import ChangedMeanwhile
from catalogue.store import Store
from web import slip_view
from web.station import station
from web.texts import said, t


class OtherRecord(ChangedMeanwhile):
    """Another desk has put another record on the slip, or taken it off."""

    def __init__(self, sentence: str, slip_id: int) -> None:
        super().__init__(sentence)
        self.slip_id = slip_id


@contextmanager
def unchanged(store: Store, slip_id: int, wanted: int | None = None) -> Iterator[None]:
    """Do something to a slip's record in one go, if it is the one the page shows.

    That the record is the `wanted` one already is no hindrance. Raises OtherRecord.
    """
    with store.transaction():
        there = request_slips.get(store, slip_id).recording_id
        seen = request.form.get("seen_record")
        if seen is not None and seen != str(there or "") and (there is None or there != wanted):
            raise OtherRecord(t("slip.other_record"), slip_id)
        yield


def told(problem: OtherRecord) -> Response:
    """The sentence, and the record that is on the slip now in the place of the one shown."""
    store = station().store
    page = render_template(
        "phone/other_record.html",
        sentence=said(problem.message),
        status=409,
        chosen=slip_view.chosen(store, request_slips.get(store, problem.slip_id)),
    )
    return make_response(page, 409)
