"""Passphrases: how they are kept, which are refused, and new ones of plain words.

Kept as argon2id with the library's own parameters (RFC 9106, the low-memory profile), and hashed
anew when the parameters rise. Lengths and refusals are those of NIST SP 800-63B-4, 3.1.1.2: at
least 15 characters where nothing but the passphrase is asked, any signs, nothing to expire.
"""

from __future__ import annotations

import secrets
import threading
from collections.abc import Iterable, Sequence
from typing import Protocol, TypeVar

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from catalogue.errors import BadInput

_Item = TypeVar("_Item")

SHORTEST = 15
"""Characters in a passphrase."""

LONGEST = 256
"""Characters beyond which nobody types a passphrase; more is work made for the PC."""

_FEWEST_LETTERS = 6
"""Different signs in a passphrase: fewer is one key held down, or a short word again and again."""

_AT_ONCE = threading.BoundedSemaphore(2)
"""Each hash takes 64 MiB and a processor for a moment: two at a time leave the desks theirs."""

COMMON = frozenset(
    {
        "correcthorsebatterystaple", "passwordpassword", "letmeinletmein", "thequickbrownfox",
        "onceuponatime", "maytheforcebewithyou", "tobeornottobe", "iloveyousomuch",
        "qwertyuiopasdfghjkl", "asdfghjklzxcvbnm", "passwort", "geheimespasswort",
        "testtesttesttest", "changemechangeme", "administrator", "adminadminadmin",
    }
)  # fmt: skip
"""Long ones that every list of guesses begins with; without spaces, in small letters."""

CONTEXT = (
    "asheard", "passphrase", "password", "passwort", "kennwort", "searcher", "presenter",
    "librarian", "keeper", "radio", "station", "studio", "request",
)  # fmt: skip
"""Words of this program and its trade: a passphrase is not made of these alone. The station's
name and the person's own are added when one is chosen."""

_ROWS = ("abcdefghijklmnopqrstuvwxyz", "qwertyuiopasdfghjklzxcvbnm", "qwertzuiopasdfghjklyxcvbnm",
         "01234567890123456789")  # fmt: skip


class Chooser(Protocol):
    """Something that picks one of several: `secrets`, or a `random.Random` in a test."""

    def choice(self, seq: Sequence[_Item], /) -> _Item:
        """One of them."""
        ...


class _Kept:
    """The hasher in use, and the hash of nobody's passphrase made by it."""

    def __init__(self, hasher: PasswordHasher) -> None:
        self.hasher = hasher
        self.nobody = ""


_kept = _Kept(PasswordHasher())


def use(hasher: PasswordHasher) -> None:
    """Hash with this from now on: for tests, which sign in a thousand times."""
    global _kept  # noqa: PLW0603 - one setting of the whole process
    _kept = _Kept(hasher)


def hash_of(secret: str) -> str:
    """The argon2id hash of a secret as it is to be compared, its salt and parameters in it."""
    with _AT_ONCE:
        return _kept.hasher.hash(secret)


def fits(hashed: str, secret: str) -> bool:
    """Whether a hash is of this secret. An empty hash is nobody's and takes as long to refuse."""
    kept = _kept
    with _AT_ONCE:
        if not hashed and not kept.nobody:
            kept.nobody = kept.hasher.hash(secrets.token_hex(16))
        try:
            return kept.hasher.verify(hashed or kept.nobody, secret) and bool(hashed)
        except (VerificationError, InvalidHashError):
            return False


def is_outdated(hashed: str) -> bool:
    """Whether a hash was made with parameters that are not those of today."""
    return _kept.hasher.check_needs_rehash(hashed)


def tidy(passphrase: str) -> str:
    """Typed by elderly hands: capitals, and spaces for dashes, make no difference."""
    return " ".join(passphrase[: 2 * LONGEST].lower().replace("-", " ").split())


def checked(passphrase: str, names: Iterable[str] = ()) -> str:
    """A passphrase somebody chose, tidied. `names` are the person's and the station's.

    Raises BadInput for one that is too short or too long, or that is guessed first.
    """
    typed = tidy(passphrase)
    if len(typed) < SHORTEST:
        raise BadInput(f"A passphrase needs {SHORTEST} characters or more: four plain words do.")
    if len(passphrase) > LONGEST:
        raise BadInput(f"A passphrase may have {LONGEST} characters and no more.")
    bare = "".join(typed.split())
    if _is_weak(bare, names):
        raise BadInput(
            "That passphrase is among the first to be guessed. Take four plain words that have "
            "nothing to do with one another."
        )
    return typed


def _is_weak(bare: str, names: Iterable[str]) -> bool:
    if bare in COMMON or len(set(bare)) < _FEWEST_LETTERS:
        return True
    if any(bare in row * 3 or bare in row[::-1] * 3 for row in _ROWS):
        return True
    if any(len(bare) % n == 0 and bare == bare[:n] * (len(bare) // n) for n in range(1, 9)):
        return True
    left = bare
    known = (word for name in names for word in name.lower().split())
    for word in sorted((*CONTEXT, *known), key=len, reverse=True):
        if len(word) > 2:
            left = left.replace(word, "")
    return len(left.strip("0123456789.,!?-_ ")) < _FEWEST_LETTERS


def new(rng: Chooser = secrets) -> str:
    """Four plain words and a number, such as "ferry-lemon-quilt-brass-47".

    256 words and 90 numbers: 38 bits, against guessing at the door one at a time.
    """
    words = [rng.choice(_WORDS) for _ in range(4)]
    return "-".join([*words, str(rng.choice(range(10, 100)))])


_WORDS: tuple[str, ...] = tuple(
    """
    acorn anchor apple apron arrow autumn bacon badge baker banjo barge barley basket beach bell
    berry birch biscuit blanket blossom boat bonnet book boot bottle bowl brass bread breeze
    brick bridge bright broom brush bucket butter button cabin cake candle canvas cap carpet
    carrot castle cedar chalk chapel cheese cherry chestnut chimney circle clay clock cloud
    clover coat cobble coffee comb copper coral corner cotton cousin cream cricket crown cup
    curtain daisy dance deer dinner dish donkey door dove drawer drum duck dune eagle early
    easter eel elbow elm engine evening falcon farm feather fence fern ferry fiddle field finger
    fire flag flour flower flute fog forest fork fox frost garden garlic gate ginger glass glove
    goat gold goose grain grape grass gravel green guitar hammer harbour harvest hat hazel
    heather hedge heron hill honey hook horse island ivory ivy jacket jam jar jelly jug kettle
    kitchen kite kitten ladder lake lamb lamp lantern larch lark laurel leaf lemon letter lilac
    lily linen lobster maple marble marsh meadow melon milk mint mirror mitten moon morning moss
    moth mustard napkin needle nest nettle oak oat ocean olive onion orange orchard otter oven
    owl paddle paint paper parcel parsley pasture path peach pear pebble pencil penny pepper
    piano picnic pigeon pillow pine pink plate plum pocket pond pony poppy porridge potato
    pudding quarry quill quilt rabbit radish raft rain raisin ribbon river robin rocket rope
    rose saddle saddlebag sail salmon sand saucer scarf seagull seal sheep silver spoon stable
    swan tulip turnip violet walnut willow window winter wren
    """.split()  # noqa: SIM905 - a list of 256 strings would not be read
)
