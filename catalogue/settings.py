"""The station's own rules: each with a value to begin with and a sentence saying what it is for."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from functools import lru_cache
from pathlib import Path

from catalogue import undo
from catalogue.addresses import checked_address
from catalogue.errors import BadInput
from catalogue.private_file import write_privately
from catalogue.records import Carrier
from catalogue.store import Store

_LONGEST = 10_000
"""Characters in one setting: far more than any list of words a station keeps."""


class Kind(StrEnum):
    """How a setting is written."""

    TEXT = "text"
    NUMBER = "number"
    LINES = "lines"
    CHOICE = "choice"
    SECRET = "secret"


@dataclass(frozen=True, slots=True)
class Setting:
    """A rule of the station: its value to begin with, what it is for, and its bounds."""

    value: str
    what: str
    kind: Kind = Kind.TEXT
    least: int = 0
    most: int = 0
    choices: tuple[str, ...] = ()


_OCCASIONS = (
    "birthday", "anniversary", "get well", "thank you", "in memory", "homesick", "just because",
)  # fmt: skip

WARNING_FILE = "words_to_look_at_twice.txt"
"""The words a person looks at twice on a request show for the ill (common practice, no source): in
`catalogue/data/` those to begin with, in a station's folder its own, if it has such a file."""


TOKEN_FILE = "network_token"
"""In the station's folder, for its user alone: a secret has no place in the database, of which
copies are made to be taken elsewhere, and which keeps what a setting was before."""


def _lines_of(text: str) -> list[str]:
    """The lines of a word list; blank ones and remarks after "#" left out."""
    lines = (line.partition("#")[0].strip() for line in text.lstrip("\ufeff").splitlines())
    return [line for line in lines if line]


_WARNING_WORDS = _lines_of(
    (Path(__file__).with_name("data") / WARNING_FILE).read_text(encoding="utf-8")
)

_STRONG_WORDS = (
    "explicit", "fuck", "fucks", "fucked", "fuckin'", "fucking", "motherfucker", "f**k", "shit",
    "bullshit", "sh*t", "cunt", "bitch", "bitches", "b*tch", "wanker", "nigga", "niggas",
)  # fmt: skip
"""Words that are heard in the record if they are in its title, and the label "explicit" (common
practice, no source)."""

_LIVE_CHECKLIST = (
    "The caller knows they will be on air, and agrees",
    "The caller's own radio is turned down",
    "You know how to say the name",
    "You know what not to ask about",
    "You have talked to them off air, and the level is set",
    "The caller hears the programme without their own voice in it",
    "The studio loudspeaker is down before the fader opens",
    "At the end: the fader is down first",
    "Then they are thanked off air, and the line is given back",
)
"""What is looked at before a call goes live, and at its end (common practice, no source)."""

DEFAULTS: dict[str, Setting] = {
    "station_name": Setting("Our station", "The station's name, as it heads every page."),
    "caller_days": Setting(
        "7",
        "How many days a caller's details are kept after the programme, or after the day they "
        "were written when there is no programme. Then they are erased for good. Your own "
        "policy and the law come first.",
        Kind.NUMBER,
        least=1,
        most=365,
    ),
    "staff_days": Setting(
        "365",
        "How many days a volunteer's name is kept after they have left the list of people. Then "
        "it is taken off what they did.",
        Kind.NUMBER,
        least=1,
        most=3650,
    ),
    "donor_days": Setting(
        "30",
        "How many days the name of whoever gave a box or a disc is kept after the last disc of it "
        "was typed: long enough to thank them. Then it is erased for good.",
        Kind.NUMBER,
        least=1,
        most=3650,
    ),
    "repeat_hours": Setting(
        "24",
        "For how many hours after it was played a recording is not offered again. 0 turns it off.",
        Kind.NUMBER,
        least=0,
        most=24 * 366,
    ),
    "artist_minutes": Setting(
        "60",
        "For how many minutes after an artist was played another record by the same artist is "
        "not offered as a stand-in. 0 turns it off.",
        Kind.NUMBER,
        least=0,
        most=24 * 60,
    ),
    "studios": Setting(
        "Studio 1\nStudio 2", "The studios a slip can be handed to, one a line.", Kind.LINES
    ),
    "carriers_played": Setting(
        "\n".join(Carrier),
        "What the studio can play, one a line. Recordings on nothing else are a gap.",
        Kind.LINES,
    ),
    "occasions": Setting(
        "\n".join(_OCCASIONS), "Why people ask, one a line: the choices on the slip.", Kind.LINES
    ),
    "warning_words": Setting(
        "\n".join(_WARNING_WORDS),
        "Words in a title that somebody should look at twice, one a line. Nothing is banned: "
        "the searcher is told, and decides. A file words_to_look_at_twice.txt in the station’s "
        "folder counts instead.",
        Kind.LINES,
    ),
    "strong_language": Setting(
        "",
        "“yes” if records with strong language may be offered as stand-ins. Whatever a caller "
        "asks for by name is found all the same.",
    ),
    "strong_words": Setting(
        "\n".join(_STRONG_WORDS),
        "Words in a title or version that mark strong language, one a line. Such records are not "
        "offered as stand-ins, unless “strong_language” says yes.",
        Kind.LINES,
    ),
    "live_checklist": Setting(
        "\n".join(_LIVE_CHECKLIST),
        "What the presenter checks before a call goes live, one a line.",
        Kind.LINES,
    ),
    "own_kinds": Setting(
        "",
        "The station’s own kinds of call beside request, dedication, competition and "
        "conversation, one a line. They ask for no music.",
        Kind.LINES,
    ),
    "blank_minutes": Setting(
        "10",
        "After how many minutes untouched the studio’s screen goes blank, since studios have "
        "windows. Any key brings it back. 0 turns it off.",
        Kind.NUMBER,
        least=0,
        most=240,
    ),
    "territory": Setting(
        "",
        "The country or region that the return of music used is for, as the form wants it "
        "written. It may be left empty.",
    ),
    "network_place": Setting(
        "",
        "The town the station is in, as other stations read it. It is shared only if the station "
        "publishes what it holds.",
    ),
    "network_position": Setting(
        "",
        "Latitude and longitude of that town in degrees, such as “51.95, 1.29”, so that others can "
        "tell which station is nearest. It may be left empty.",
    ),
    "network_loan": Setting(
        "",
        "How other stations ask for a loan: whom to write to or to ring, and when. It is shared "
        "word for word.",
    ),
    "network_lends": Setting(
        "\n".join(carrier for carrier in Carrier if carrier is not Carrier.FILE),
        "What the station lends to others, one a line. Files are not among them, since to lend "
        "one is to copy it.",
        Kind.LINES,
    ),
    "network_ask": Setting(
        "",
        "“yes” if the phone desk may ask the other stations for what this one does not hold. The "
        "words in “What was heard” and “Artist” then go to the address below, as they were typed, "
        "and nothing else: no name, place or reason from the slip.",
    ),
    "network_address": Setting(
        "",
        "Where the other stations’ catalogue is asked, such as http://192.168.1.20:8038. Whoever "
        "runs it can see the words that are sent. Outside a private network it must be https.",
    ),
    "network_token": Setting(
        "", "What lets this station ask there: a line of letters from whoever runs it.", Kind.SECRET
    ),
    "language": Setting("en", "The language of the pages.", Kind.CHOICE, choices=("en", "de")),
    "demo": Setting("", "“yes” in the made-up station that shows how it all works."),
}


def get(store: Store, name: str) -> str:
    """The value of a setting, or what it begins with. Raises BadInput for an unknown name."""
    setting = _known(name)
    if setting.kind is Kind.SECRET:
        return _secret(store)
    if name == "warning_words" and word_file(store):
        return "\n".join(lines(store, name))
    rows = store.rows("SELECT value FROM settings WHERE name = ?", (name,))
    return str(rows[0]["value"] or "") if rows else setting.value


def number(store: Store, name: str) -> int:
    """A setting that is a whole number."""
    return int(get(store, name) or 0)


def word_file(store: Store) -> Path | None:
    """The station's own file of words to look at twice, if there is one beside the database."""
    path = store.path.parent / WARNING_FILE
    return path if path.is_file() else None


@lru_cache(maxsize=4)
def _read(path: Path, _time: int, _size: int) -> tuple[str, ...]:
    """The words of a file; read again when it was changed. One saved by an old editor may not be
    UTF-8: what cannot be read is left out, and the rest counts."""
    return tuple(_lines_of(path.read_text(encoding="utf-8", errors="ignore"))[:_LONGEST])


def lines(store: Store, name: str) -> list[str]:
    """A setting that is a list: its lines, blank ones left out.

    The words to look at twice are those of the station's own file, if there is one.
    """
    if name == "warning_words" and (path := word_file(store)):
        with suppress(OSError):
            told = path.stat()
            return list(_read(path, told.st_mtime_ns, told.st_size))
    return [line.strip() for line in get(store, name).splitlines() if line.strip()]


def put(store: Store, name: str, value: str, who: str, now: datetime) -> None:
    """Set a rule. Raises BadInput for an unknown name or a value out of bounds, StationProblem if
    the file of a secret cannot be written. Of a secret nothing is kept to take it back by."""
    checked = _checked(name, value)
    if name == "warning_words" and word_file(store):
        raise BadInput(
            f"These words are kept in the file {WARNING_FILE} in the station's folder. Change them "
            "there; nothing was changed here."
        )
    if _known(name).kind is Kind.SECRET:
        write_privately(store.path.with_name(TOKEN_FILE), f"{checked}\n".encode("ascii"))
        return
    with undo.action(store, who, f"set “{name}”", now):
        store.db.execute(
            "INSERT INTO settings (name, value) VALUES (?, ?) "
            "ON CONFLICT (name) DO UPDATE SET value = excluded.value",
            (name, checked),
        )


def degrees(text: str) -> tuple[float, float] | None:
    """Latitude and longitude from a text, None if it says none.

    >>> degrees("51.95, 1.29"), degrees("north of the quay"), degrees("91, 0")
    ((51.95, 1.29), None, None)
    """
    try:
        latitude, longitude = (float(part) for part in text.split(","))
    except ValueError:
        return None
    if not (-90 <= latitude <= 90 and -180 <= longitude <= 180):
        return None
    return latitude, longitude


def _secret(store: Store) -> str:
    """The token in its file; nothing if there is none, or none that can be read."""
    with suppress(OSError, ValueError):
        return store.path.with_name(TOKEN_FILE).read_text(encoding="ascii").strip()
    return ""


def _known(name: str) -> Setting:
    if name not in DEFAULTS:
        raise BadInput(f"There is no setting “{name}”. There are: {', '.join(DEFAULTS)}.")
    return DEFAULTS[name]


def _checked(name: str, value: str) -> str:
    setting = _known(name)
    text = value.strip()
    if len(text) > _LONGEST:
        raise BadInput(f"“{name}” is too long. Keep it under {_LONGEST:,} characters.")
    if setting.kind is Kind.NUMBER:
        if not text.isascii() or not text.isdigit():
            raise BadInput(f"“{name}” is a whole number. “{text}” is not; nothing was changed.")
        if not setting.least <= int(text) <= setting.most:
            raise BadInput(
                f"“{name}” lies between {setting.least} and {setting.most}. Nothing was changed."
            )
        return str(int(text))
    if setting.kind is Kind.CHOICE and text not in setting.choices:
        raise BadInput(f"“{name}” is one of: {', '.join(setting.choices)}. Nothing was changed.")
    if setting.kind is Kind.LINES:
        kept = list(dict.fromkeys(line.strip() for line in text.splitlines() if line.strip()))
        if not kept and name in ("studios", "occasions"):
            raise BadInput(f"“{name}” needs one line at least. Nothing was changed.")
        return "\n".join(kept)
    if name == "network_position" and text and degrees(text) is None:
        raise BadInput(
            "Latitude and longitude are two numbers in degrees with a comma between, such as "
            "“51.95, 1.29”. Nothing was changed."
        )
    if name == "network_address" and text:
        return checked_address(text)
    if name == "network_token" and not (text.isascii() and text.isprintable() and " " not in text):
        raise BadInput("The token is one line of letters and digits. Nothing was changed.")
    if name == "station_name" and not text:
        raise BadInput("The station needs a name. Nothing was changed.")
    return text
