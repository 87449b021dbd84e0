"""How passphrases are kept, which are refused, and the new ones."""

from __future__ import annotations

import random
import subprocess
import sys

import pytest
from argon2 import PasswordHasher, Type, extract_parameters
from hypothesis import given
from hypothesis import strategies as st

from catalogue import passphrases
from catalogue.errors import BadInput


def test_the_station_itself_hashes_as_dearly_as_owasp_asks() -> None:
    """In a process of its own: the tests' cheap setting is nowhere but in the tests.

    OWASP Password Storage Cheat Sheet: argon2id with at least 19 MiB, 2 passes, 1 lane."""
    code = "from catalogue import passphrases; print(passphrases.hash_of('four plain words'))"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    made = extract_parameters(run.stdout.strip())
    assert made.type is Type.ID
    assert made.memory_cost >= 19 * 1024 and made.time_cost >= 2 and made.parallelism >= 1
    assert made.salt_len >= 16 and made.hash_len >= 32


@pytest.mark.parametrize(
    "words",
    ["short", "fourteen-chars", "aaaaaaaaaaaaaaaa", "abababababababab", "qwertyuiopasdfgh",
     "zyxwvutsrqponmlkj", "0123456789012345", "once upon a time", "Correct-Horse-Battery-Staple",
     "presenter-radio-station", "password password", "x" * 300, "passphrase 123456"],
)  # fmt: skip
def test_what_is_guessed_first_is_refused(words: str) -> None:
    with pytest.raises(BadInput):
        passphrases.checked(words)


@pytest.mark.parametrize(
    "words",
    ["four plain words", "ferry lemon quilt brass", "Mein Boot liegt am Kai",
     "日本語のとても長い言い回しですよ", "radio lemon quilt brass", "........,,,,,;;;;;-!?abc",
     "my sister's blue kettle"],
)  # fmt: skip
def test_any_signs_will_do(words: str) -> None:
    assert passphrases.checked(words) == passphrases.tidy(words)


@given(st.text(max_size=400))
def test_whatever_is_typed_is_taken_or_refused_with_a_sentence(words: str) -> None:
    try:
        assert len(passphrases.checked(words)) >= passphrases.SHORTEST
    except BadInput as problem:
        assert problem.message.endswith(".")


def test_a_hash_fits_its_own_secret_and_none_fits_nobody() -> None:
    hashed = passphrases.hash_of("ferry lemon")
    assert passphrases.fits(hashed, "ferry lemon")
    assert not passphrases.fits(hashed, "ferry melon")
    assert not passphrases.fits("", "")
    assert not passphrases.fits("no hash at all", "ferry lemon")


def test_a_hash_of_older_parameters_is_told() -> None:
    older = PasswordHasher(time_cost=2, memory_cost=16, parallelism=1).hash("ferry lemon")
    assert passphrases.is_outdated(older)
    assert passphrases.fits(older, "ferry lemon")
    assert not passphrases.is_outdated(passphrases.hash_of("ferry lemon"))


def test_new_ones_are_plain_varied_and_never_refused() -> None:
    rng = random.Random(3)
    made = [passphrases.new(rng) for _ in range(200)]
    assert len(set(made)) == 200
    for words in made:
        *parts, number = words.split("-")
        assert len(parts) == 4 and all(p.isalpha() and p.islower() for p in parts)
        assert 10 <= int(number) <= 99
        assert passphrases.checked(words)
    assert passphrases.new() != passphrases.new()
