"""All words of the interface are in one place, in each language; none is missing or left over."""

from __future__ import annotations

import ast
import re
import string
from collections.abc import Iterator
from pathlib import Path

import pytest

import catalogue
import importers
import web
from catalogue import explaining, reasons, sayings, settings, slip_rows
from catalogue.backup import Kind
from catalogue.called_names import KINDS as NAME_KINDS
from catalogue.callers import MAY_HEAR, STAMPED
from catalogue.duplicates import Kind as Doubling
from catalogue.pair_weights import CLAIMS
from catalogue.records import Band, Carrier, Condition, Readiness, Voice
from catalogue.request_slips import PURPOSES, WHY_NOT
from catalogue.sent_back import OF_THE_RECORD
from catalogue.settings import DEFAULTS
from catalogue.shelf_places import KINDS as PLACES
from catalogue.sleeves import Standing
from catalogue.slip_days import ASKED_BY, CAME_BY
from catalogue.staff import Role
from catalogue.stand_ins import KINDS
from catalogue.store import Store
from catalogue.too_close import Shared
from catalogue.verdicts import Verdict
from importers.columns import FIELDS
from web.phone_view import CONSENTS, HOW_ON_AIR
from web.texts import LANGUAGES, NAMES, has, said, speak
from web.texts.de import SENTENCES

from .conftest import EVENING, Desk

EVIDENCE = [f"{name}: {level.name}" for name, levels in CLAIMS.items() for level in levels
            if name != "tracks"]  # fmt: skip
"""Recordings have no track lists of their own."""
FOLDER = Path(web.__file__).parent
CATALOGUE = Path(catalogue.__file__).parent
BUILT = {
    "band": Band, "carrier": Carrier, "condition": Condition, "readiness": Readiness,
    "voice": Voice, "purpose": PURPOSES, "why": WHY_NOT, "kind": KINDS, "role": Role,
    "consent": CONSENTS, "on_air": HOW_ON_AIR, "may_hear": [m or "open" for m in MAY_HEAR],
    "setting": set(DEFAULTS) - {"demo"}, "setting_what": set(DEFAULTS) - {"demo"},
    "occasion": DEFAULTS["occasions"].value.splitlines(), "paper": ("by_title", "by_artist"),
    "copy_kind": Kind, "back": OF_THE_RECORD, "column": {field or "none" for field in FIELDS},
    "changed": ("insert", "update", "delete"),
    "doubling": Doubling, "doubling_what": Doubling, "evidence": EVIDENCE,
    "verdict": Verdict,
    "standing": Standing,
    "noted": STAMPED,
    "too_close": [*Shared, "before"],
    "place_kind": PLACES, "name_kind": NAME_KINDS,
    "came_by": CAME_BY, "asked_by": [a or "open" for a in ASKED_BY],
}  # fmt: skip


@pytest.fixture(autouse=True)
def _english() -> Iterator[None]:
    speak("en")
    yield
    speak("en")


def _used() -> set[str]:
    found: set[str] = set()
    for file in (*FOLDER.glob("*.py"), *FOLDER.glob("templates/**/*.html")):
        text = file.read_text(encoding="utf-8")
        found |= set(re.findall(r"""["']([a-z_]+\.[a-z_0-9]+)["']""", text))
    return found


def test_every_word_a_template_asks_for_is_there() -> None:
    for file in FOLDER.glob("templates/**/*.html"):
        text = file.read_text(encoding="utf-8")
        for key, joined in re.findall(r"""\bt\(["']([\w.]+)["'](\s*~)?""", text):
            assert joined or has(key), f"{file.name}: {key}"


def test_there_are_words_for_every_value_the_catalogue_knows() -> None:
    missing = [f"{k}.{v}" for k, values in BUILT.items() for v in values if not has(f"{k}.{v}")]
    assert missing == []


ASKED_IN_PARTS = (
    "box.",
    "filing.",
    "several.",
    "name_kind.",
    "names.",
    "history.",
    "labels.",
    "slip.",
    "field.",
    "refusal.",
    "gap.",
    "gaps.",
    "duplicates.",
    "verdict.",
    "month.",
    "order.",
    "studio.consent_",
    "time.",
    "said.",
    "taking.kind_",
    "taking.state_",
    "taking.count_",
    "taking.group_",
    "held_field.",
    "stock.list_",
    "others.kind.",
    "table.",
    "figure",
)
"""Beginnings of keys that are put together where they are asked for."""


def test_no_words_are_left_over() -> None:
    prefixes = (*(f"{k}." for k in BUILT), *ASKED_IN_PARTS)
    used = _used()
    left = [k for k in LANGUAGES["en"] if k not in used and not k.startswith(prefixes)]
    assert left == []


def _blanks(words: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(words) if name is not None}


@pytest.mark.parametrize("language", sorted(LANGUAGES))
def test_a_language_has_every_word_with_the_same_blanks(language: str) -> None:
    english, words = LANGUAGES["en"], LANGUAGES[language]
    assert sorted(set(english) ^ set(words)) == []
    assert [k for k in words if _blanks(words[k]) != _blanks(english[k])] == []
    assert [k for k in words if not words[k].strip()] == []


def test_every_language_can_be_chosen() -> None:
    assert set(LANGUAGES) == set(NAMES) == set(settings.DEFAULTS["language"].choices)


def _template(node: ast.expr) -> str | None:
    """A sentence as the table has it: `{}` for what is put in."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    if isinstance(node, ast.JoinedStr):
        return "".join(str(v.value) if isinstance(v, ast.Constant) else "{}" for v in node.values)
    if isinstance(node, ast.BinOp):  # "Say what it is for: " + ", ".join(…) + "."
        left = node
        while isinstance(left, ast.BinOp):
            left = left.left  # type: ignore[assignment]
        return f"{_template(left)}{{}}"
    return None


NOT_SEEN_BY_PEOPLE = {
    "form_file", "found_names", "index_files", "index_state", "sound_index", "store",
    "pronunciations",
    "backup", "restoring", "packing", "forgetting", "health",
}  # fmt: skip
"""Files whose errors are told in the terminal, in English: of a damaged or absent database, of
copies and of what the keeper does with them."""


def _raised() -> set[str]:
    found = set()
    for file in CATALOGUE.glob("*.py"):
        if file.stem in NOT_SEEN_BY_PEOPLE or file.stem.startswith("union_"):
            continue  # a union is built and served from the terminal
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Raise) and isinstance(node.exc, ast.Call) and node.exc.args:
                found.add(_template(node.exc.args[0]) or "")
    return found - {""}


NOT_ON_PAGES = {"report_text", "refused_file", "sound_measures"}
"""Files of the importers whose errors are told in the terminal."""


def _told_by_the_importers() -> set[str]:
    """What they raise, note or refuse, where the sentence stands in the call itself."""
    found = set()
    for file in Path(importers.__file__).parent.glob("*.py"):
        if file.stem in NOT_ON_PAGES:
            continue
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Raise) and isinstance(node.exc, ast.Call):
                found |= {_template(arg) for arg in node.exc.args[:1]}
            elif isinstance(node, ast.Call) and _called(node) in ("note", "Refused", "refused"):
                found |= {_template(arg) for arg in node.args[-1:] + node.args[1:2]}
    return {said for said in found if said and " " in said}


def _called(node: ast.Call) -> str:
    return str(getattr(node.func, "attr", getattr(node.func, "id", "")))


def test_what_taking_in_says_on_pages_is_there_in_german() -> None:
    assert len(_told_by_the_importers()) > 40
    assert sorted(_told_by_the_importers() - set(SENTENCES)) == []


def test_every_refusal_of_the_catalogue_is_there_in_german() -> None:
    assert len(_raised()) > 50
    assert sorted(_raised() - set(SENTENCES)) == []


def test_every_reason_saying_and_part_is_there_in_german() -> None:
    blank = re.compile(r"\{\w+\}")
    said_here = {blank.sub("{}", words) for words in reasons._SENTENCES.values()}
    said_here |= {blank.sub("{}", words) for words in sayings._FOUND.values()}
    said_here |= set(sayings.QUESTIONS.values()) | set(explaining.IN_WORDS.values())
    said_here |= {
        value for name, value in vars(sayings).items()
        if name.startswith("ASK_") and isinstance(value, str)
    }  # fmt: skip
    said_here |= set(slip_rows._STATE_SAID.values())
    said_here |= set(settings.DEFAULTS["live_checklist"].value.splitlines())
    assert sorted(said_here - set(SENTENCES)) == []


def test_a_sentence_of_the_catalogue_is_said_in_german_and_titles_are_left_alone() -> None:
    speak("de")
    assert said("Yes, we have “Yesterday” by The Beatles.") == (
        "Ja, wir haben „Yesterday“ von The Beatles."
    )
    assert said("on loan to the north studio since Tuesday") == (
        "ausgeliehen an the north studio, seit Dienstag"
    )
    assert said("played on 3 November at 19:40") == "am 3. November um 19:40 gespielt"
    assert said(
        "We have not got “Tide” by Ann Oke, but we have another slow one by Ann Oke: “Ebb”."
    ) == ("Wir haben „Tide“ von Ann Oke nicht da, aber noch ein langsames von Ann Oke: „Ebb“.")
    assert said("Slip 4 was played already. Nothing was changed; look at it as it is now.") == (
        "Zettel 4 wurde schon gespielt. Es wurde nichts geändert; sehen Sie nach, wie er jetzt ist."
    )
    assert said("This list goes by: “Tide; Ebb” by Ann Oke; about 1961; sung by a woman.").endswith(
        "; um 1961; eine Frau singt."
    )
    assert said("no sentence of ours") == "no sentence of ours"


@pytest.mark.parametrize("sentence", sorted(SENTENCES))
def test_a_translation_puts_in_what_the_sentence_has(sentence: str) -> None:
    parts = [f"({number})" for number in range(sentence.count("{}"))]
    speak("de")
    words = said(sentence.format(*parts))
    assert "{" not in words
    if sentence.startswith(("Say why it was not used", "Say why it comes back")):
        return  # the list is in the words beside the button
    assert [part for part in parts if part not in words] == []


def test_the_pages_and_their_dates_are_in_the_stations_language(phone: Desk, store: Store) -> None:
    settings.put(store, "language", "de", "Dora", EVENING)
    phone.send("/phone/details", sheet="s", caller_name="Maureen", why="born on 3/4/1946")
    page = phone.get("/phone/slips/1").get_data(as_text=True)

    assert '<html lang="de"' in page
    assert "Anrufer, wie genannt werden soll" in page
    assert "Geburtsdatum" in page
    refused = phone.send("/phone/details", slip="1", consent="perhaps").get_data(as_text=True)
    assert "Die Zustimmung ist" in refused
