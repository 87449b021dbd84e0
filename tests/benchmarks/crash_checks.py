"""For `crashes.py`: what was acknowledged is compared with what a station holds."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from catalogue import backup
from catalogue.errors import CatalogueError
from catalogue.search_keys import form_of, keys_of_form
from catalogue.sound_index import SoundIndex
from catalogue.store import Store

_ORDER = {"being written": 0, "handed over": 1, "played": 2}


@dataclass
class Acknowledged:
    """Everything the server said was done."""

    fields: dict[int, dict[str, str]] = field(default_factory=dict)
    recordings: dict[int, int] = field(default_factory=dict)
    states: dict[int, str] = field(default_factory=dict)
    judged: set[tuple[int, int]] = field(default_factory=set)
    titles: set[str] = field(default_factory=set)
    odd: Counter[str] = field(default_factory=Counter)
    count: int = 0
    lines: int = 0
    _read: int = 0

    def take(self, log: Path) -> None:
        """Read the lines that came since the last time."""
        with log.open(encoding="utf-8") as file:
            file.seek(self._read)
            for line in iter(file.readline, ""):
                self.lines += 1
                self._one(json.loads(line))
            self._read = file.tell()

    def _one(self, line: dict[str, Any]) -> None:
        if "odd" in line:
            self.odd[line["odd"]] += 1
            return
        self.count += 1
        slip = line.get("slip", 0)
        if "fields" in line:
            self.fields.setdefault(slip, {}).update(line["fields"])
        if "recording" in line:
            self.recordings[slip] = line["recording"]
        if "state" in line:
            self.states[slip] = line["state"]
        if "judged" in line:
            self.judged.add((line["judged"][0], line["judged"][1]))
        if "title" in line:
            self.titles.add(line["title"])


def wrong_with(folder: Path, told: Acknowledged) -> list[str]:
    """What is lost or broken in a station's folder after a crash; nothing if all is well."""
    wrong = [
        f"the copy {copy.path.name}: {said}"
        for copy in backup.all_copies(folder / backup.FOLDER)
        if (said := backup.what_is_wrong(copy.path))
    ]
    try:
        store = Store(folder / "asheard.db")
    except CatalogueError as problem:
        return [*wrong, problem.message]
    try:
        wrong += _of_the_file(store) + _lost(store, told) + _half_done(store)
        wrong += _of_the_index(folder, store, told)
    except CatalogueError as problem:
        wrong.append(problem.message)
    finally:
        store.close()
    return wrong


def _of_the_file(store: Store) -> list[str]:
    wrong = [r["integrity_check"] for r in store.rows("PRAGMA integrity_check")]
    wrong = [said for said in wrong if said != "ok"]
    if store.rows("PRAGMA foreign_key_check"):
        wrong.append("foreign keys do not hold")
    if store.rows("SELECT 1 FROM current_action WHERE action_id IS NOT NULL"):
        wrong.append("an action was left open")
    return wrong


def _lost(store: Store, told: Acknowledged) -> list[str]:
    """What was acknowledged and is not there."""
    slips = {r["id"]: r for r in store.rows("SELECT id, state, recording_id FROM slips")}
    details = {r["slip_id"]: r for r in store.rows("SELECT * FROM caller_details")}
    plays = Counter(r["slip_id"] for r in store.rows("SELECT slip_id FROM plays"))
    judged = {(r["recording_a"], r["recording_b"]) for r in store.rows("SELECT * FROM judgements")}
    titles = {r["title"] for r in store.rows("SELECT title FROM recordings")}
    wrong = [f"slip {s} is lost" for s in told.fields if s not in slips]
    for slip, fields in told.fields.items():
        held = details.get(slip, {})
        wrong += [f"slip {slip}: {f} is lost" for f, v in fields.items() if held.get(f) != v]
    for slip, recording in told.recordings.items():
        if slips.get(slip, {}).get("recording_id") != recording:
            wrong.append(f"slip {slip}: the record is lost")
    for slip, state in told.states.items():
        if _ORDER[slips.get(slip, {}).get("state", "being written")] < _ORDER[state]:
            wrong.append(f"slip {slip} was {state}, and is not")
        if state == "played" and plays[slip] != 1:
            wrong.append(f"slip {slip} was played, and the log has it {plays[slip]} times")
    wrong += [f"the judgement on {pair} is lost" for pair in told.judged - judged]
    return wrong + [f"“{title}” is lost" for title in told.titles - titles]


def _half_done(store: Store) -> list[str]:
    """What was done in part, whether acknowledged or not."""
    wrong = []
    for sql, said in (
        ("SELECT 1 FROM slips WHERE state = 'played' AND id NOT IN (SELECT slip_id FROM plays)",
         "a slip is played, and nothing is in the log"),
        ("SELECT 1 FROM plays p JOIN slips s ON s.id = p.slip_id WHERE s.state <> 'played'",
         "the log has a slip that is not played"),
        ("SELECT slip_id FROM plays GROUP BY slip_id HAVING count(*) > 1", "a slip played twice"),
        ("SELECT 1 FROM slips WHERE id NOT IN (SELECT slip_id FROM caller_details)",
         "a slip without a place for details"),
        ("SELECT 1 FROM changes WHERE action_id NOT IN (SELECT id FROM actions)",
         "a change without an action"),
    ):  # fmt: skip
        if store.rows(sql):
            wrong.append(said)
    return wrong


def _of_the_index(folder: Path, store: Store, told: Acknowledged) -> list[str]:
    index = SoundIndex(folder / "sound_index", store)
    try:
        if index.recording_ids() != {r["id"] for r in store.rows("SELECT id FROM recordings")}:
            return ["the index does not agree with the catalogue"]
        title = max(told.titles, default="")
        if title:
            form = form_of(title, "Ann Oke")
            held = [f[1:] for _, f in index.search(keys_of_form(form), 50, 90)]
            if form[1:] not in held:
                return [f"“{title}” cannot be found"]
    finally:
        index.close()
    return []
