"""PINs for shared desks: at least six digits, each for one person at one desk.

What is hashed (argon2id) is the PIN together with the desk's own token, which is kept in that
desk's browser alone. So a PIN works at the desk it was set for and nowhere else, and neither the
database nor a copy of it is enough to try PINs against. Owns `pins`.
"""

from __future__ import annotations

from datetime import datetime

from catalogue import passphrases
from catalogue.browsers import Browser
from catalogue.errors import BadInput
from catalogue.store import Store

SHORTEST = 6
LONGEST = 12
_FEWEST_DIGITS = 3
"""Different digits in a PIN."""

MOST_WRONG = 100
"""Wrong tries in a row after which a PIN is no longer taken (NIST SP 800-63B-4, 3.2.2). The
passphrase still is, so that nobody is locked out."""

_RUNS = ("01234567890123456789", "09876543210987654321")
_PAIRS = 2


def checked(pin: str) -> str:
    """A PIN that may be set, spaces left out. Raises BadInput for one that is guessed first."""
    bare = "".join(pin.split())
    if not (bare.isascii() and bare.isdigit() and SHORTEST <= len(bare) <= LONGEST):
        raise BadInput(f"A PIN is {SHORTEST} to {LONGEST} digits.")
    if is_weak(bare):
        raise BadInput(
            "That PIN is among the first to be guessed: a row of digits, one digit again and "
            "again, a pattern, or a date. Take another."
        )
    return bare


def is_weak(pin: str) -> bool:
    """Runs, few different digits, a piece again and again, mirrored, pairs, and dates.

    After what people choose first: Markert et al., "This PIN can be easily guessed", 2020.

    >>> [is_weak(pin) for pin in ("123456", "111111", "121212", "112233", "159753", "482915")]
    [True, True, True, True, False, False]
    """
    if any(pin in run for run in _RUNS) or len(set(pin)) < _FEWEST_DIGITS:
        return True
    steps = {(int(b) - int(a)) % 10 for a, b in zip(pin, pin[1:], strict=False)}
    if len(steps) == 1 or pin == pin[::-1]:
        return True
    if any(len(pin) % n == 0 and pin == pin[:n] * (len(pin) // n) for n in range(1, 5)):
        return True
    pairs = [pin[i : i + _PAIRS] for i in range(0, len(pin), _PAIRS)]
    return all(len(set(pair)) == 1 for pair in pairs) or _is_date(pin)


def _is_date(pin: str) -> bool:
    """Day, month and year of the last hundred years or so, written out: 1970 and the like."""
    if len(pin) != len("31121970"):
        return False
    for day, month, year in (
        (pin[:2], pin[2:4], pin[4:]),
        (pin[2:4], pin[:2], pin[4:]),
        (pin[6:], pin[4:6], pin[:4]),
    ):
        if 1 <= int(day) <= 31 and 1 <= int(month) <= 12 and 1900 <= int(year) <= 2099:
            return True
    return False


def set_for(
    store: Store, browser: Browser, token: str, person_id: int, pin: str, now: datetime
) -> None:
    """Set somebody's PIN at the shared desk with this token. Raises BadInput."""
    if not browser.shared_as:
        raise BadInput("A PIN works at shared desks only, and this is none yet.")
    hashed = passphrases.hash_of(_with_desk(checked(pin), token))
    with store.transaction() as db:
        db.execute(
            "INSERT INTO pins (browser_id, person_id, pin_hash, since) VALUES (?, ?, ?, ?) "
            "ON CONFLICT DO UPDATE SET pin_hash = excluded.pin_hash, since = excluded.since, "
            "wrong = 0",
            (browser.id, person_id, hashed, now.isoformat(timespec="seconds")),
        )


def fits(store: Store, browser: Browser, token: str, person_id: int, pin: str) -> bool:
    """Whether this is somebody's PIN at this desk. Too many wrong ones in a row end the PIN."""
    rows = store.rows(
        "SELECT pin_hash, wrong FROM pins WHERE browser_id = ? AND person_id = ?",
        (browser.id, person_id),
    )
    usable = bool(browser.shared_as) and bool(rows) and rows[0]["wrong"] < MOST_WRONG
    hashed = rows[0]["pin_hash"] if usable else ""
    right = passphrases.fits(hashed, _with_desk("".join(pin[:99].split()), token))
    if rows and (not right or rows[0]["wrong"]):
        with store.transaction() as db:
            db.execute(
                "UPDATE pins SET wrong = CASE WHEN ? THEN 0 ELSE wrong + 1 END "
                "WHERE browser_id = ? AND person_id = ?",
                (right, browser.id, person_id),
            )
    return right


def people_at(store: Store, browser: Browser | None) -> list[tuple[int, str]]:
    """Id and name of those who may come in by PIN at this desk."""
    if browser is None or not browser.shared_as:
        return []
    rows = store.rows(
        """SELECT p.id, p.name FROM pins JOIN people p ON p.id = pins.person_id
        WHERE pins.browser_id = ? AND p.active = 1 AND pins.wrong < ?
        ORDER BY p.name COLLATE NOCASE""",
        (browser.id, MOST_WRONG),
    )
    return [(row["id"], row["name"]) for row in rows]


def forget(store: Store, person_id: int, browser_id: int | None = None) -> None:
    """Forget somebody's PIN at one desk, or at all of them."""
    with store.transaction() as db:
        db.execute(
            "DELETE FROM pins WHERE person_id = ?1 AND (?2 IS NULL OR browser_id = ?2)",
            (person_id, browser_id),
        )


def forget_at(store: Store, browser_id: int) -> None:
    """Forget every PIN of a desk."""
    with store.transaction() as db:
        db.execute("DELETE FROM pins WHERE browser_id = ?", (browser_id,))


def _with_desk(pin: str, token: str) -> str:
    return f"{pin}:{token}"
