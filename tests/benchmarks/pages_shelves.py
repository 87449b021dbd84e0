"""The librarian's work at the benchmark's station: boxes, stock-takes, looks and long edits."""

from __future__ import annotations

import random
from datetime import datetime, timedelta

from catalogue import donated_boxes, edit_many, shelf_errands, shelf_looks, stocktake, stocktake_end
from catalogue.donated_boxes import Decision, NewRow
from catalogue.edit_many import Edit
from catalogue.records import Carrier, Condition
from catalogue.shelf_looks import Seen
from catalogue.shelf_walk import Part, disc_ids
from catalogue.store import Store
from importers import donations, jobs
from web import edit_jobs

BOXES, IN_A_BOX = 60, 60
TONIGHT = 200
"""Discs of the box that is being typed: an evening's work."""

EDITED = 5_000

_WORDS = donations.Words("Box", "To be shelved", "typed by hand")
_PART = 0.35
"""Of all marks up to which the two walks go, so that each is nearly as long as one may be."""


def fill(store: Store, chance: random.Random, size: int, now: datetime) -> None:
    """Boxes of years and one of tonight, a walk under way and one finished, looks, a long edit."""
    boxes = BOXES if size > EDITED * 10 else BOXES // 10
    for number in range(1, boxes + 1):
        _box(store, chance, number, IN_A_BOX, now - timedelta(days=20 * (boxes - number) + 5))
    _box(store, chance, boxes + 1, TONIGHT, now)
    for beginning in ("CD", "C"):
        _walk(store, chance, beginning, now, finished=beginning == "CD")
    for errand in shelf_errands.to_look_for(store)[:20]:
        shelf_looks.note(store, errand.disc.id, Seen.NOT_THERE, "Charlie", now)
    _edit(store, min(size // 10, EDITED), now)


def _box(store: Store, chance: random.Random, number: int, discs: int, at: datetime) -> None:
    tonight = discs == TONIGHT
    box = donated_boxes.begin(store, str(number), "a donor" if tonight else "", "Charlie", at)
    for row in range(discs):
        kept = tonight and row % 4 == 0
        new = NewRow(
            f"{number:08d}{row:016d}", f"Donated Band {chance.randint(1, 900)}",
            f"Donated Disc {number} {row}", Carrier.LP, condition=Condition.GOOD,
            tracks="Low Tide\nHigh Water" if row % 3 == 0 else "",
        )  # fmt: skip
        decision = Decision.KEPT if kept else Decision.LATER if row % 9 == 0 else Decision.DECLINED
        donations.decide(store, box, new, decision, (), _WORDS, "Charlie", at)
    if not tonight:
        donated_boxes.done(store, box, True, "Charlie", at)


def _walk(
    store: Store, chance: random.Random, beginning: str, now: datetime, *, finished: bool
) -> None:
    """Two of three discs ticked, or all but some; some of another shelf, something unknown."""
    discs = store.rows("SELECT count(*) AS n FROM discs")[0]["n"]
    part = Part("mark", beginning, to_mark=f"{beginning} {int(discs * _PART):05d}")
    take = stocktake.start(store, part, "Alice", now)
    expected = disc_ids(store, part)
    elsewhere = [r["id"] for r in store.rows("SELECT id FROM discs WHERE shelf_mark LIKE '780.%'")]
    share = 0.98 if finished else 0.67
    seen = [one for one in expected if chance.random() < share]
    for number, disc in enumerate([*seen, *chance.sample(elsewhere, min(12, len(elsewhere)))]):
        stocktake.seen(store, take, f"{take:08d}{number:016d}", disc, "", "Alice", now)
    for number in range(6):
        stocktake.seen(store, take, f"{take:08d}9{number:015d}", None, f"Q {number}", "Alice", now)
    if finished:
        stocktake_end.finish(store, take, stocktake.number(store, take), "", (), "Charlie", now)


def _edit(store: Store, count: int, now: datetime) -> None:
    """Many records changed as a job, as the page of many records does it."""
    edit, what = Edit({"label": "Saltings Records"}), "changed the label"
    options = {"ids": list(range(1, count + 1)), "edit": edit_jobs.kept(edit), "what": what}
    number = jobs.ask(store, "edit", "", options, "Charlie", now)
    with jobs.doing(store, number) as doing:
        outcome = edit_many.run(store, options["ids"], edit, "Charlie", what, now, doing.progress)
        doing.keep_counts(edit_jobs.counts_of(outcome), stopped=False)
