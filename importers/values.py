"""Words of a tag or a list to values: lengths, years, tempos, carriers, conditions, voices.

Each function takes text as somebody wrote it and gives a value, or None where the text says
nothing that can be used. None of them guesses: what is not understood stays in the raw value.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from catalogue.records import Carrier, Condition, Voice

EARLIEST_YEAR = 1860
"""The oldest sound recording that can be played back is of 1860 (common practice, no source)."""

SLOWEST, QUICKEST = 20.0, 400.0
"""Beats a minute outside this are slips of the pen, not tempos (common practice, no source)."""

LONGEST_S = 3 * 3600.0
"""No single recording is longer; a bare number above it is taken as milliseconds."""

_ISO_LENGTH = re.compile(
    r"P(?:(\d+)D)?(?:T(?=\d)(?:(\d+)H)?(?:(\d+)M)?(?:(\d+(?:[.,]\d+)?)S)?)?", re.IGNORECASE
)
_CLOCK = re.compile(r"(?:(\d{1,2}):)?(\d{1,3}):(\d{2})(?:[.,]\d+)?")
_MARKED = re.compile(
    r"(?:(\d{1,3})\s*(?:m|min|mins|minutes?|['’′])\s*)?"
    r"(?:(\d{1,3}(?:[.,]\d+)?)\s*(?:s|sec|secs|seconds?|''|[\"”″]))?\.?",
    re.IGNORECASE,
)
_DECIMAL = re.compile(r"(\d{1,2})[.,](\d{1,2})")
_YEAR = re.compile(r"(?<!\d)(1[89]\d\d|20\d\d)(?!\d)")
_DECADE = re.compile(r"\d0['’]?s\b", re.IGNORECASE)
_TEMPO = re.compile(r"[♩=\s]*(\d{1,3}(?:[.,]\d+)?)\s*(?:bpm|b\.p\.m\.)?", re.IGNORECASE)


def length_s(text: str) -> float | None:
    """A length in seconds, from any of the ways lists have it.

    A point or comma is read as minutes and seconds, as on labels, unless the second part cannot
    be seconds: then it is a fraction of a minute. ISO 8601 is read in its time form.

    >>> length_s("3:42"), length_s("3.42"), length_s("222"), length_s("PT3M42S")
    (222.0, 222.0, 222.0, 222.0)
    >>> length_s("3.65"), length_s("219000"), length_s("3'42\\""), length_s("3 min")
    (219.0, 219.0, 222.0, 180.0)
    >>> length_s("PT3:39"), length_s("side one"), length_s("0:00")
    (None, None, None)
    """
    text = text.strip()
    seconds = _seconds(text)
    if seconds is None or not 0 < seconds <= LONGEST_S:
        return None
    return round(seconds, 3)


def _seconds(text: str) -> float | None:
    if match := _ISO_LENGTH.fullmatch(text):
        days, hours, minutes, seconds = ((g or "0").replace(",", ".") for g in match.groups())
        return float(days) * 86400 + float(hours) * 3600 + float(minutes) * 60 + float(seconds)
    if match := _CLOCK.fullmatch(text):
        return _clock(*(int(g or 0) for g in match.groups()))
    if match := _DECIMAL.fullmatch(text):
        return _minutes(int(match.group(1)), match.group(2))
    if re.fullmatch(r"\d+(?:\.\d+)?", text):
        value = float(text)
        return value / 1000 if value > LONGEST_S else value
    if text and (match := _MARKED.fullmatch(text)) and any(match.groups()):
        return int(match.group(1) or 0) * 60 + float((match.group(2) or "0").replace(",", "."))
    return None


def _minutes(minutes: int, part: str) -> float:
    if len(part) == 2 and int(part) < 60:
        return minutes * 60.0 + int(part)
    return float(round(60 * float(f"{minutes}.{part}")))


def _clock(hours: int, minutes: int, seconds: int) -> float | None:
    if seconds > 59:
        return None
    total = hours * 3600.0 + minutes * 60 + seconds
    # A spreadsheet turns 3:42 into the time of day 03:42:00.
    if hours and not seconds and total > LONGEST_S / 2:
        return hours * 60.0 + minutes
    return total


def year(text: str, this_year: int) -> int | None:
    """A year out of a date; None for decades, for two digits and for years that cannot be.

    >>> year("1962", 2026), year("1962-05-01", 2026), year("c. 1962", 2026), year("(P) 1962", 2026)
    (1962, 1962, 1962, 1962)
    >>> year("1960s", 2026), year("62", 2026), year("2999", 2026), year("1066", 2026)
    (None, None, None, None)
    """
    found = _YEAR.search(text)
    if not found or _DECADE.search(text):
        return None
    value = int(found.group(1))
    return value if EARLIEST_YEAR <= value <= this_year + 1 else None


def tempo(text: str) -> float | None:
    """A tempo in beats a minute; words such as "Andante" are never turned into a number.

    >>> tempo("120"), tempo("118,5 bpm"), tempo("0"), tempo("Andante")
    (120.0, 118.5, None, None)
    """
    match = _TEMPO.fullmatch(text.strip())
    if not match:
        return None
    value = float(match.group(1).replace(",", "."))
    return value if SLOWEST <= value <= QUICKEST else None


_CARRIERS: tuple[tuple[str, Carrier], ...] = (
    (r"\b(?:cd|cdr|cd-r|compact\s*dis[ck]|cds|dvd|minidis[ck]|md)\b", Carrier.CD),
    (r"\b78\b|\b10\s*(?:\"|''|in|inch)?\s*shellac|shellac|schellack", Carrier.SINGLE_78),
    (r"\b45\b|\b7\s*(?:\"|''|”|in\b|inch)|\bsingles?\b|\b7$|\bep\b", Carrier.SINGLE_45),
    (r"\blps?\b|\b1[02]\s*(?:\"|''|”|in\b|inch)|\bvinyl\b|\balbum\b|\b33\b|\b12$|schallplatte|"
     r"\brecord\b|\bdisque\b|\bvinyle\b", Carrier.LP),
    (r"cassette|kassette|\bmc\b|\btapes?\b|\bk7\b", Carrier.CASSETTE),
    (r"\bfiles?\b|\bmp3\b|\bwav\b|\bflac\b|\bdownload\b|\bdatei\b|\bdrive\b", Carrier.FILE),
)  # fmt: skip
"""Words for carriers, the telling ones first (common practice, no source).

A disc that is neither gramophone record, cassette nor file is filed with the CDs only where it
looks and shelves like one.
"""


def carrier(text: str) -> Carrier | None:
    """What a word for a carrier means; OTHER for words that are none of ours, None for none.

    >>> [str(carrier(t)) for t in ('12 inch', 'vinyl', 'LP', 'CD', 'tape', '7"', '78', 'reel')]
    ['LP', 'LP', 'LP', 'CD', 'cassette', '45', '78', 'other']
    """
    words = " ".join(text.lower().split())
    if not words:
        return None
    if "reel" in words:
        return Carrier.OTHER
    return next((kind for shape, kind in _CARRIERS if re.search(shape, words)), Carrier.OTHER)


_SPEED = re.compile(r"(?<!\d)(78|45|33(?:\s*(?:1/3|⅓|[.,]33?))?|16)\s*(?:rpm|r\.p\.m\.|u/min)?\b")


def speed(text: str) -> str:
    """Turns a minute, if a text says it: "78", "45", "33" or "16", else empty.

    >>> speed('12" 45 rpm'), speed("33 1/3"), speed("CD")
    ('45', '33', '')
    """
    match = _SPEED.search(text.lower())
    return match.group(1)[:2] if match else ""


_CONDITIONS: tuple[tuple[str, Condition], ...] = (
    (r"broken|crack|damaged|warped|unplayable|snapped|faulty|defekt|kaputt", Condition.DAMAGED),
    (r"scratch|jump|skip|stick|sticks|kratzer", Condition.SCRATCHED),
    (r"worn|fair|noisy|crackl|hiss|poor|tired|gebraucht", Condition.WORN),
    (r"good|fine|mint|excellent|new|clean|\bok\b|gut|plays well", Condition.GOOD),
)


def condition(text: str) -> Condition:
    """How a disc plays, from words; the worst that is said counts.

    >>> str(condition("good, one scratch")), str(condition("Mint")), str(condition("blue sleeve"))
    ('scratched', 'good', 'unknown')
    """
    words = text.lower()
    return next((kind for shape, kind in _CONDITIONS if re.search(shape, words)), Condition.UNKNOWN)


_VOICES: tuple[tuple[str, Voice], ...] = (
    (r"\binstrumental\b|\bnone\b|\bno voice\b|\borchestral\b", Voice.NONE),
    (r"\bgroup\b|\bchoir\b|\bchorus\b|\bduet\b|\bband\b|\bmixed\b|\bchor\b", Voice.GROUP),
    (r"\bwoman\b|\bfemale\b|\bwomen\b|\bf\b|\bsoprano\b|\bcontralto\b|\bfrau\b|\bgirl\b",
     Voice.WOMAN),
    (r"\bman\b|\bmale\b|\bmen\b|\bm\b|\btenor\b|\bbaritone\b|\bbass\b|\bmann\b|\bboy\b", Voice.MAN),
)  # fmt: skip


def voice(text: str) -> Voice:
    """Who sings, from words.

    >>> str(voice("female")), str(voice("Male voice choir")), str(voice("")), str(voice("tenor"))
    ('woman', 'group', 'unknown', 'man')
    """
    words = text.lower()
    return next((kind for shape, kind in _VOICES if re.search(shape, words)), Voice.UNKNOWN)


LANGUAGES = {
    "eng": "English", "en": "English", "cym": "Welsh", "wel": "Welsh", "cy": "Welsh",
    "gle": "Irish", "ga": "Irish", "gla": "Scottish Gaelic", "gd": "Scottish Gaelic",
    "deu": "German", "ger": "German", "de": "German", "fra": "French", "fre": "French",
    "fr": "French", "ita": "Italian", "it": "Italian", "spa": "Spanish", "es": "Spanish",
    "por": "Portuguese", "pt": "Portuguese", "nld": "Dutch", "dut": "Dutch", "nl": "Dutch",
    "swe": "Swedish", "sv": "Swedish", "nor": "Norwegian", "no": "Norwegian", "dan": "Danish",
    "da": "Danish", "fin": "Finnish", "fi": "Finnish", "isl": "Icelandic", "ice": "Icelandic",
    "pol": "Polish", "pl": "Polish", "ces": "Czech", "cze": "Czech", "cs": "Czech",
    "rus": "Russian", "ru": "Russian", "ukr": "Ukrainian", "uk": "Ukrainian", "ell": "Greek",
    "gre": "Greek", "el": "Greek", "tur": "Turkish", "tr": "Turkish", "hin": "Hindi",
    "hi": "Hindi", "urd": "Urdu", "ur": "Urdu", "ben": "Bengali", "pan": "Punjabi",
    "jpn": "Japanese", "ja": "Japanese", "zho": "Chinese", "chi": "Chinese", "zh": "Chinese",
    "lat": "Latin", "la": "Latin", "yid": "Yiddish", "heb": "Hebrew", "ara": "Arabic",
    "zxx": "none",
}  # fmt: skip
"""ISO 639 codes (both kinds of three letters, and two) to names, as far as tags are likely to
have them; from memory, after the lists of the Library of Congress."""


def language(text: str) -> str:
    """The name of a language for its ISO 639 code; anything else as it stands.

    >>> language("cym"), language("EN"), language("Scots"), language("und")
    ('Welsh', 'English', 'Scots', '')
    """
    word = text.strip()
    if word.lower() in {"und", "xxx", "mul"}:
        return ""
    return LANGUAGES.get(word.lower(), word)


_GAIN = re.compile(r"([+-]?\d{1,2}(?:[.,]\d+)?)\s*(?:dB)?", re.IGNORECASE)
_PEAK = re.compile(r"\d{1,2}(?:[.,]\d+)?")
_R128 = re.compile(r"[+-]?\d{1,5}")
_GAIN_NAME = re.compile("replaygain_|r128_|rva2:", re.IGNORECASE)


def gains(raw: Mapping[str, str]) -> dict[str, float]:
    """Gains in dB and peaks (1.0 is full scale) of ReplayGain and R128 tags, by their plain names.

    An R128 gain is a whole number of 1/256 dB (RFC 7845, 5.2.1), relative to -23 LUFS; those of
    ReplayGain are relative to -18 LUFS. What is no number is left out.

    >>> gains({"TXXX:REPLAYGAIN_TRACK_GAIN": "-6,48 dB", "R128_TRACK_GAIN": "-1280"})
    {'replaygain_track_gain': -6.48, 'r128_track_gain': -5.0}
    """
    found = {}
    for name, text in raw.items():
        if not (at := _GAIN_NAME.search(name)):
            continue
        plain_name = name[at.start() :].lower()
        form = _R128 if plain_name.startswith("r128") else (
            _PEAK if plain_name.endswith("peak") else _GAIN)  # fmt: skip
        if said := form.fullmatch(text.split("\0")[0].strip()):
            number = float((said.group(1) if form is _GAIN else said.group()).replace(",", "."))
            found[plain_name] = number / 256 if form is _R128 else number
    return found
