"""Kinds of damage to bytes and to words, each by a seeded chance, in a region that is asked for.

Half of the damage lies behind a file's header (`deep`), so that what refuses the first bytes does
not hide the rest. Files that are archives are also damaged inside and packed again, since their
check sums refuse nearly everything else.
"""

from __future__ import annotations

import io
import random
import zipfile
from collections.abc import Callable, Sequence

Change = Callable[[bytes, random.Random, bool], bytes]
"""(valid bytes, chance, whether to damage behind the header) -> damaged bytes."""

LARGEST = 2 * 1024 * 1024
"""Bytes of a damaged file: enough to find what takes time with the square of a size."""

_SWELLED = 300 * 1024
_SWELLS_ONE_IN = 150
"""A piece repeated to hundreds of kilobytes costs time, and finds what is slow, not wrong."""

_TOKENS = (
    b"\0", b"\xff\xff\xff\xff", b"\x7f\xff\xff\xff", b"\x80\0\0\0", b"\0\0\0\x01", b"\n", b"\r",
    b'"',
    b"'", b";", b",", b"\t", b"|", b"=1+1", b"\xef\xbb\xbf", b"\xff\xfe", b"\xe2\x80\xae", b"<",
    b">",
    b"&", b"]]>", b"--", b"..", b"../", b"9" * 400, b"-1", b"1e999", b"nan", b"\xed\xa0\x80", b"%s",
    b"%00", b"\x1a", b"\x1b[2J", b"0000-00-00", b"2024-02-30", b"99:99", b"ID3", b"APETAGEX",
    b"TAG",
)  # fmt: skip
"""What readers stumble over: ends, lengths beyond measure, quotes, marks, numbers that are none."""


def region(data: bytes | bytearray, header: int, deep: bool) -> tuple[int, int]:
    """First byte that may be damaged, and the byte behind the last."""
    if not deep:
        return 0, max(1, min(header, len(data)))
    return (header, len(data)) if header < len(data) else (len(data) // 2, max(1, len(data)))


def of_bytes(header: int, tokens: Sequence[bytes] = ()) -> Change:
    """Damage for files whose header is so many bytes long."""

    def change(data: bytes, chance: random.Random, deep: bool) -> bytes:
        damaged = bytearray(data)
        for _ in range(chance.choice((1, 1, 1, 2, 4))):
            first, last = region(damaged, header, deep)
            if first >= last or not damaged:
                return bytes(damaged)
            kind = chance.choice(_KINDS)
            if chance.randrange(_SWELLS_ONE_IN) == 0:
                kind = _swollen
            if kind is _token and tokens and chance.random() < 0.5:
                _put_in(damaged, first, last, chance, chance.choice(tokens))
            else:
                kind(damaged, first, last, chance)
        return bytes(damaged[:LARGEST])

    return change


def of_archives(header: int, tokens: Sequence[bytes] = ()) -> Change:
    """Damage for ZIP files: every second one inside a member, packed again with a true sum."""
    outside, inside = of_bytes(header), of_bytes(120, tokens)

    def change(data: bytes, chance: random.Random, deep: bool) -> bytes:
        if chance.random() < 0.4:
            return outside(data, chance, deep)
        try:
            with zipfile.ZipFile(io.BytesIO(data)) as archive:
                members = {info.filename: archive.read(info) for info in archive.infolist()}
        except Exception:  # damaged before
            return outside(data, chance, deep)
        if not members:
            return outside(data, chance, deep)
        name = chance.choice(sorted(members))
        members[name] = inside(members[name], chance, deep)
        if chance.random() < 0.1:
            members[chance.choice(("../out", "/out", "a\\b", "con", "", "x" * 300))] = b"x"
        packed = io.BytesIO()
        with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
            for member, text in members.items():
                archive.writestr(zipfile.ZipInfo(member), text)
        return packed.getvalue()

    return change


def _cut(data: bytearray, first: int, last: int, chance: random.Random) -> None:
    del data[chance.randrange(first, last) :]


def _flipped(data: bytearray, first: int, last: int, chance: random.Random) -> None:
    for _ in range(chance.choice((1, 3, 20, 200))):
        data[chance.randrange(first, last)] ^= 1 << chance.randrange(8)


def _zeroed(data: bytearray, first: int, last: int, chance: random.Random) -> None:
    at = chance.randrange(first, last)
    size = min(chance.choice((4, 64, 4096)), len(data) - at)
    data[at : at + size] = bytes(size)


def _blown_up(data: bytearray, first: int, last: int, chance: random.Random) -> None:
    """Four bytes of ones, where they are a length one beyond all measure."""
    at = chance.randrange(first, max(first + 1, last - 4))
    data[at : at + 4] = chance.choice((b"\xff\xff\xff\xff", b"\x7f\xff\xff\xff", b"\0\0\0\x01"))


def _filled(data: bytearray, first: int, last: int, chance: random.Random) -> None:
    at = chance.randrange(first, last)
    data[at:at] = chance.randbytes(chance.choice((1, 7, 1000)))


def _lost(data: bytearray, first: int, last: int, chance: random.Random) -> None:
    at = chance.randrange(first, last)
    del data[at : at + chance.choice((1, 16, 2000))]


def _twice(data: bytearray, first: int, last: int, chance: random.Random) -> None:
    """A piece repeated over and over, as a reading head stuck on a disc."""
    at = chance.randrange(first, last)
    data[at : at + 64] = data[at : at + 64] * 300


def _token(data: bytearray, first: int, last: int, chance: random.Random) -> None:
    _put_in(data, first, last, chance, chance.choice(_TOKENS))


def _put_in(data: bytearray, first: int, last: int, chance: random.Random, token: bytes) -> None:
    at = chance.randrange(first, last)
    data[at : at + chance.choice((0, 0, len(token)))] = token


def _swollen(data: bytearray, first: int, last: int, chance: random.Random) -> None:
    """A short piece until the file is some hundred kilobytes."""
    at = chance.randrange(first, last)
    piece = bytes(data[at : at + chance.choice((1, 3, 8, 50))]) or b"x"
    data[at:at] = piece * (_SWELLED // len(piece))


_KINDS = (_cut, _flipped, _zeroed, _blown_up, _filled, _lost, _twice, _token, _token)

WORDS = (
    "", " ", "\0", "\n", "\r\n", "\t", "'", '"', "`", ";", "--", "%", "_", "\\", "/", "..",
    "../../etc/passwd",
    "<script>", "{{7*7}}", "=1+1", "@x", "-1", "0", "1", "2", "99999999999999999999", "9" * 400,
    "9223372036854775807", "9223372036854775808", "-9223372036854775809", "1e999", "nan", "inf",
    "1.5", "0x10", "1_000", "²", "١٢", "½", "٣:٤", "2024-02-30", "0000-00-00", "9999-12-31",
    "10000-01-01", "2024-W01-1", "24:00", "99:99", "19:30:00", "\u202e", "\ufeff", "\u0301" * 50,
    "\U0001f3b5", "ß", "İ", "ǆ", "ﬁ", "名前", "а", "é" * 3000, "a" * 70_000, "NULL", "None", "true",
    "on", "yes", "no", "*", "?", "!!!", "[", "(", ")", "AND", "OR NOT", "\x1b[31m", "\x7f",
    "\u2028",
    "tide", "Ada Sluice", "the the", "C 114", "Studio 1", "LP", "request", "different",
)  # fmt: skip
"""What a field may be given: other fields' words, numbers and days that are none, odd letters."""

SURROGATES = ("\udcff", "\udc80\udcff", "tide\udce9")
"""Letters that stand for bytes which are no UTF-8, as Python hands over arguments (PEP 383)."""


def of_words(text: str, chance: random.Random, *, odd: Sequence[str] = ()) -> str:
    """A field's words, damaged: another's, longer, cut, a letter slipped in or taken out."""
    kind = chance.randrange(8)
    words = (*WORDS, *odd)
    if kind <= 1 or not text:
        return chance.choice(words)
    at = chance.randrange(len(text))
    if kind == 2:
        return text[:at] + chance.choice(words)[:2000] + text[at:]
    if kind == 3:
        return text[:at] + text[at + chance.choice((1, 2, 5)) :]
    if kind == 4:
        return text[:at] + chr(ord(text[at]) ^ (1 << chance.randrange(7))) + text[at + 1 :]
    if kind == 5:
        return text * chance.choice((2, 3, 100))
    if kind == 6:
        return text + chance.choice(words)[:2000]
    return text.swapcase() if chance.random() < 0.3 else text[:at]
