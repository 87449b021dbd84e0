"""EAN, UPC, ISRC and ISNI, checked by python-stdnum. The only file that knows it.

What fails its check is kept as it was written, with a note for the librarian: a slip of the pen
in a number is no reason to leave a disc out.
"""

from __future__ import annotations

from stdnum import ean, isni, isrc
from stdnum.exceptions import InvalidComponent, ValidationError
from stdnum.util import clean

_BARCODE_LENGTHS = frozenset((8, 12, 13, 14))
"""EAN-8, UPC-A, EAN-13 and the GTIN of a carton."""


def isrc_of(text: str) -> tuple[str, str]:
    """(the twelve signs, or empty; what is wrong with it, or empty). It has no check digit.

    The letters at the beginning were a country's; since ISO 3901:2019 any pair may be given out,
    so that python-stdnum's list of countries is not asked.

    >>> isrc_of("ISRC AA-6Q7-20-00047"), isrc_of("AA6Q720000")[0]
    (('AA6Q72000047', ''), '')
    """
    signs = clean(text, " -.").strip().upper()
    signs = signs.removeprefix("ISRC").lstrip(":")
    try:
        return str(isrc.validate(signs)), ""
    except InvalidComponent:
        return signs, ""
    except ValidationError:
        return "", f"“{text.strip()}” is no ISRC (two letters, then ten signs)"


def barcode_of(text: str) -> tuple[str, str]:
    """(the digits of an EAN or UPC; what is wrong with it, or empty). A UPC stays twelve digits.

    >>> barcode_of("0 36000 29145 2"), barcode_of("6291041500213")
    (('036000291452', ''), ('6291041500213', ''))
    """
    digits = clean(text, " -.")
    if not digits.isdigit() or len(digits) not in _BARCODE_LENGTHS:
        return text.strip(), f"“{text.strip()}” is no EAN or UPC; read it again from the sleeve"
    if not ean.is_valid(digits):
        return digits, (
            f"the check digit of the barcode {digits} is wrong: it should be "
            f"{ean.calc_check_digit(digits[:-1])}; read it again from the sleeve"
        )
    return digits, ""


def isni_of(text: str) -> tuple[str, str]:
    """(the sixteen signs; what is wrong with it, or empty).

    >>> isni_of("0000 0001 2103 2683"), isni_of("ISNI 000000012146438X")
    (('0000000121032683', ''), ('000000012146438X', ''))
    """
    signs = clean(text, " -").upper().removeprefix("ISNI").removeprefix(":")
    try:
        return str(isni.validate(signs)), ""
    except ValidationError:
        return signs, f"“{text.strip()}” is no ISNI: its check sign is wrong, or its length"
