"""The rooms of the house: who may import whom, and who may write which table.

Read from the source itself, so that a new file has to be given its floor here.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from catalogue.schema import OWNERS

ROOT = Path(__file__).parents[1]
ROOMS = ("catalogue", "importers", "web")

FLOORS: tuple[tuple[str, ...], ...] = (
    ("turns", "standing_back", "no_collecting", "index_files"),
    ("errors", "reasons", "spelling", "plain_csv", "letter_to_sound", "desk_tables", "word_lists")
    + ("stand_in_tables", "duplicate_tables", "pair_groups")
    + ("catalogue_tables", "station_tables", "programme_tables", "job_tables")
    + ("caller_tables", "first_names", "shelf_tables", "misread", "fingerprints")
    + ("sign_in_tables", "donation_tables"),
    ("records", "schema", "pronunciations", "occasions", "genres", "feel", "described")
    + ("filing_keys", "private_file")
    + ("pair_weights", "too_much", "verdicts", "addresses", "passphrases"),
    ("union_ray",),
    ("sound", "likeness", "evidence", "letter_to_sound_training", "basis", "worth", "pair_blocks")
    + ("pair_among",),
    ("search_keys", "confusion_weights", "store", "song_identity", "narrowing")
    + ("asked_in_words", "asked_outright"),
    ("held_facts",),
    ("filed_order",),
    ("found_names",),
    ("heard", "alignment", "filed_names", "form_file", "index_state", "undo", "catalogue_rows")
    + ("slip_rows", "stand_in_lessons", "merged_rows", "place_counts", "sorts_held", "waiting")
    + ("placed_rows", "browsers", "tries"),
    (
        "filed_forms",
        "index_view",
        "telling_words",
        "word_evidence",
        "settings",
        "places",
        "loans",
        "programmes",
        "play_log",
        "pins",
        "roots",
        "measures",
        "call_recordings",
        "turned_down",
        "said_of_it",
        "desks",
        "related_artists",
        "printed_list",
        "union_scores",
        "other_stations",
        "caller_rows",
        "missing_copies",
        "disc_doubles",
        "filing",
    ),
    (
        "shelf_looks",
        "sound_index",
        "union_terms",
        "union_entries",
        "union_parquet",
        "union_shared",
        "union_chunks",
        "callers",
        "plain_order",
        "wants",
        "stand_in_sources",
        "shared_traits",
        "running_order",
    )
    + ("offering", "staff"),
    ("candidates", "union_layout", "request_slips", "availability", "varied_few", "gaps", "backup")
    + ("slip_days", "too_close", "pull_list", "usage_return", "may_be_said", "sessions")
    + ("union_merging", "union_tasks"),
    ("careful", "who_left", "out_of_place", "listing", "work_in_parts", "union_shard", "donors")
    + ("union_watch",)
    + ("shelf_errands",),
    (
        "comparisons",
        "union_search",
        "stand_ins",
        "browse",
        "edit_many",
        "called_names",
        "calls",
        "sent_back",
        "rounds",
        "figures",
        "forgetting",
        "restoring",
        "packing",
        "shelf_walk",
        "donated_boxes",
    ),
    ("shortlist", "weighed"),
    ("first_lines",),
    ("matcher", "agreement", "name_columns", "health", "who_changed", "union_actors")
    + ("union_keys", "stocktake"),
    (
        "qualifiers",
        "match_reasons",
        "sayings",
        "lessons",
        "record_history",
        "explaining",
        "claimed",
        "meaning",
    )
    + ("artists_meant", "union_publication", "stocktake_end", "shelf_places"),
    ("pair_evidence", "union_publishing"),
    ("pair_finding",),
    ("duplicate_search", "same_names"),
    ("disc_names",),
    ("demand",),
    ("duplicates", "search_runs", "union_gathering", "sleeves"),
    ("merging", "union_doubles", "union_filing"),
    ("judged", "union_building"),
    ("enquiry",),
    ("union_answer",),
    ("union_service",),
)
"""The files of catalogue/ from the ground up; each imports from lower floors only."""

ONLY_IN = {
    "rapidfuzz": {"catalogue/comparisons.py"},
    "tantivy": {"catalogue/sound_index.py", "catalogue/index_view.py"},
    "mutagen": {"importers/audio_tags.py", "importers/raw_tags.py"},
    "python_calamine": {"importers/sheet_worker.py"},
    "pymarc": {"importers/marc_lists.py"},
    "stdnum": {"importers/identifiers.py"},
    "num2words": {"catalogue/spelling.py"},
    "anyascii": {"catalogue/spelling.py"},
    "reportlab": {"web/label_pdf.py"},
    "ray": {"catalogue/union_actors.py", "catalogue/union_ray.py", "catalogue/union_tasks.py"},
    "pyarrow": {"catalogue/union_parquet.py", "catalogue/union_chunks.py"},
    "cryptography": {"catalogue/union_keys.py", "web/certificates.py"},
}
"""Libraries that one file alone knows, so that one file has to change with them."""

SCHEMA = (
    "schema", "stand_in_tables", "desk_tables", "duplicate_tables", "catalogue_tables",
    "station_tables", "programme_tables", "job_tables", "caller_tables",
    "shelf_tables", "sign_in_tables", "donation_tables",
)  # fmt: skip
"""The files that make the tables and the triggers, whosever they are."""

SHARED_OWNERS = {
    "store": {"store", "catalogue_rows", "merged_rows", "placed_rows"},
    "request_slips": {"request_slips", "slip_rows", "calls"},
    "staff": {"staff", "who_left"},
    "undo": {"undo", "who_left"},
}
"""Owners that are more than one file: store.py opens, catalogue_rows.py beside it writes; a
slip's life is in request_slips.py, a call of several slips in calls.py, and the rows below.
who_left.py takes a name off everywhere."""

_WRITES = re.compile(
    r"\b(?:INSERT(?:\s+OR\s+\w+)?\s+INTO|REPLACE\s+INTO|UPDATE(?:\s+OR\s+\w+)?|DELETE\s+FROM)\s+"
    r"(?:main\.)?[\[\"`]?(?P<table>[a-z_]+)",
    re.IGNORECASE,
)
_WRITING_METHODS = {
    "insert", "insert_all", "upsert", "upsert_all", "update", "delete", "delete_where", "drop",
    "transform", "add_column",
}  # fmt: skip


def _files() -> list[Path]:
    return sorted(p for room in ROOMS for p in (ROOT / room).rglob("*.py"))


@cache
def _tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def _name(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def _imports(path: Path) -> Iterator[str]:
    """Every module that a file names in an import, with the names taken from a package."""
    for node in ast.walk(_tree(path)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{_name(path)} imports relatively"
            yield str(node.module)
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def _statements(path: Path) -> Iterator[str]:
    """The string literals of a file, docstrings left out; what is formatted in reads as {}."""
    documented = {
        id(node.body[0].value)
        for node in ast.walk(_tree(path))
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef) and node.body
        and isinstance(node.body[0], ast.Expr)
    }  # fmt: skip
    for node in ast.walk(_tree(path)):
        if isinstance(node, ast.JoinedStr):
            yield "".join(
                str(part.value) if isinstance(part, ast.Constant) else "{}" for part in node.values
            )
        elif isinstance(node, ast.Constant) and id(node) not in documented:
            yield str(node.value)


def _written(path: Path) -> set[str]:
    """Tables that a file writes, by SQL or by sqlite-utils."""
    tables = {
        found["table"].lower()
        for statement in _statements(path)
        for found in _WRITES.finditer(statement)
    }
    for node in ast.walk(_tree(path)):
        if (
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Attribute)
            and node.func.attr in _WRITING_METHODS
            and isinstance(node.func.value, ast.Subscript)
            and isinstance(node.func.value.slice, ast.Constant)
        ):
            tables.add(str(node.func.value.slice.value))
    return tables & set(OWNERS)


FLOOR_OF = {name: number for number, floor in enumerate(FLOORS) for name in floor}


def test_every_file_of_the_catalogue_has_one_floor() -> None:
    """A new file is given its place in FLOORS; one that is gone is taken out."""
    files = {p.stem for p in (ROOT / "catalogue").glob("*.py")} - {"__init__"}

    assert sorted(files - set(FLOOR_OF)) == []
    assert sorted(set(FLOOR_OF) - files) == []
    assert len(FLOOR_OF) == sum(len(floor) for floor in FLOORS)


@pytest.mark.parametrize("path", sorted((ROOT / "catalogue").glob("*.py")), ids=lambda p: p.stem)
def test_a_file_of_the_catalogue_imports_from_lower_floors_only(path: Path) -> None:
    """Nothing calls upward, and nothing calls its neighbour."""
    if path.stem == "__init__":
        return
    inner = {m.split(".")[1] for m in _imports(path) if m.startswith("catalogue.")}
    upward = {m for m in inner if FLOOR_OF.get(m, -1) >= FLOOR_OF[path.stem]}

    assert upward == set()


def test_the_rooms_import_downwards_only() -> None:
    """web over importers over catalogue, and none of them knows the tests."""
    wrong = [
        (_name(path), module)
        for path in _files()
        for module in _imports(path)
        if module.split(".")[0] in (*ROOMS, "tests")
        and module.split(".")[0] not in ROOMS[: ROOMS.index(_name(path).split("/")[0]) + 1]
    ]

    assert wrong == []


@pytest.mark.parametrize("library", sorted(ONLY_IN))
def test_a_library_is_known_to_one_file(library: str) -> None:
    """So that exchanging it changes one file."""
    users = {_name(p) for p in _files() if any(m.split(".")[0] == library for m in _imports(p))}

    assert users == ONLY_IN[library]


def test_flask_stays_in_the_web_room() -> None:
    """The catalogue and the importers do not know that there are browsers."""
    users = {
        _name(p).split("/")[0]
        for p in _files()
        if any(m.split(".")[0].startswith(("flask", "werkzeug", "jinja2")) for m in _imports(p))
    }

    assert users == {"web"}


def test_only_the_owner_of_a_table_writes_it() -> None:
    """Each table of schema.OWNERS is written by its owner's file and by no other."""
    wrong = [
        (_name(path), table, f"owned by {OWNERS[table]}")
        for path in _files()
        if path.stem not in SCHEMA
        for table in _written(path)
        if path.stem not in SHARED_OWNERS.get(OWNERS[table], {OWNERS[table]})
    ]

    assert wrong == []


def test_the_scan_for_writes_sees_the_owners_themselves() -> None:
    """A scan that saw no write at all would hold anything."""
    seen = {table for path in _files() if path.stem not in SCHEMA for table in _written(path)}

    assert {"artists", "recordings", "holdings", "actions", "index_changes", "slips",
            "caller_details", "plays", "loans", "settings", "people"} <= seen  # fmt: skip


def test_every_table_of_the_database_has_an_owner_that_exists() -> None:
    """OWNERS names every table the migrations make, and files that are there."""
    files_of_tables = [ROOT / "catalogue" / f"{name}.py" for name in SCHEMA]
    sql = "".join(path.read_text(encoding="utf-8") for path in files_of_tables)
    made = set(re.findall(r"CREATE TABLE (\w+)", sql))
    files = {p.stem for p in _files()}

    assert made == set(OWNERS)
    assert {owner for owner in OWNERS.values() if owner not in files} == set()
