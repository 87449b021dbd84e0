"""All words of the interface are in one place, and none is missing or left over."""

from __future__ import annotations

import re
from pathlib import Path

import web
from catalogue.backup import Kind
from catalogue.records import Band, Carrier, Condition, Readiness, Voice
from catalogue.request_slips import PURPOSES, WHY_NOT
from catalogue.staff import Role
from catalogue.stand_ins import KINDS
from web.phone_view import CONSENTS, HOW_ON_AIR
from web.texts import en, has

FOLDER = Path(web.__file__).parent
BUILT = {
    "band": Band, "carrier": Carrier, "condition": Condition, "readiness": Readiness,
    "voice": Voice, "purpose": PURPOSES, "why": WHY_NOT, "kind": KINDS, "role": Role,
    "consent": CONSENTS, "on_air": HOW_ON_AIR,
    "copy_kind": Kind,
}  # fmt: skip


def _used() -> set[str]:
    found: set[str] = set()
    for file in (*FOLDER.glob("*.py"), *FOLDER.glob("templates/**/*.html")):
        text = file.read_text(encoding="utf-8")
        found |= set(re.findall(r"""["']([a-z_]+\.[a-z_0-9]+)["']""", text))
    return found


def test_every_word_a_template_asks_for_is_there() -> None:
    for file in FOLDER.glob("templates/**/*.html"):
        for key in re.findall(r"""\bt\(["']([\w.]+)["']""", file.read_text(encoding="utf-8")):
            assert key.endswith(".") or has(key), f"{file.name}: {key}"


def test_there_are_words_for_every_value_the_catalogue_knows() -> None:
    missing = [f"{k}.{v}" for k, values in BUILT.items() for v in values if not has(f"{k}.{v}")]
    assert missing == []


def test_no_words_are_left_over() -> None:
    prefixes = (*(f"{k}." for k in BUILT), "slip.", "field.", "refusal.", "gap.", "agree.",
                "verdict.", "month.", "order.", "studio.consent_", "time.")  # fmt: skip
    left = [k for k in en.WORDS if k not in _used() and not k.startswith(prefixes)]
    assert left == []
