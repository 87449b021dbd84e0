"""The plain alternatives: token-set ratio, plain ratio, and SQLite FTS5 trigrams.

Each answers the same questions over the same names, title and artist in one string.
"""

from __future__ import annotations

import sqlite3
from pathlib import Path

import numpy as np
from rapidfuzz import fuzz, process

from catalogue.spelling import plain
from catalogue.store import Store
from tests.benchmarks import hearing_data

_AT_ONCE = 64
_LONGEST_QUERY = 60


def answer_all(store: Store, questions: Path, answered: int) -> dict[str, list[dict[str, object]]]:
    """Answers of each alternative, as `hearing.answer` gives them, without bands."""
    names = [
        (row["id"], plain(f"{row['title']} {row['name']}"))
        for row in store.rows(
            "SELECT r.id, r.title, a.name FROM recordings r JOIN artists a ON a.id = r.artist_id"
        )
    ]
    rows = hearing_data.read_rows(questions)
    heard = [plain(row["heard"] or f"{row['heard_title']} {row['heard_artist']}") for row in rows]
    row_ids = [row["row_id"] for row in rows]
    return {
        "token-set ratio": _scanned(fuzz.token_set_ratio, names, row_ids, heard, answered),
        "plain ratio": _scanned(fuzz.ratio, names, row_ids, heard, answered),
        "FTS5 trigrams": _trigrams(names, row_ids, heard, answered),
    }


def _scanned(scorer, names, row_ids, heard, answered) -> list[dict[str, object]]:
    ids = np.array([i for i, _ in names])
    texts = [text for _, text in names]
    answers: list[dict[str, object]] = []
    for start in range(0, len(heard), _AT_ONCE):
        scores = process.cdist(
            heard[start : start + _AT_ONCE], texts, scorer=scorer, dtype=np.float32, workers=-1
        )
        for row_id, row in zip(row_ids[start : start + _AT_ONCE], scores, strict=True):
            best = np.argpartition(-row, min(answered, len(row) - 1))[:answered]
            best = best[np.argsort(-row[best], kind="stable")]
            answers.append({"row_id": row_id, "ids": [int(i) for i in ids[best]], "band": ""})
    return answers


def _trigrams(names, row_ids, heard, answered) -> list[dict[str, object]]:
    db = sqlite3.connect(":memory:")
    db.execute("CREATE VIRTUAL TABLE names USING fts5(name, tokenize = 'trigram')")
    db.executemany("INSERT INTO names (rowid, name) VALUES (?, ?)", names)
    answers: list[dict[str, object]] = []
    for row_id, text in zip(row_ids, heard, strict=True):
        grams = dict.fromkeys(text[i : i + 3] for i in range(min(len(text) - 2, _LONGEST_QUERY)))
        query = " OR ".join(f'"{gram}"' for gram in grams)
        found = db.execute(
            "SELECT rowid FROM names WHERE names MATCH ? ORDER BY rank LIMIT ?", (query, answered)
        ) if query else []  # fmt: skip
        answers.append({"row_id": row_id, "ids": [row[0] for row in found], "band": ""})
    return answers
