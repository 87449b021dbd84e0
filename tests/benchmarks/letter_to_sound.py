"""How often the letter-to-sound guess is wrong: `python -m tests.benchmarks.letter_to_sound`.

A tenth of CMUdict, chosen by a hash of the word (CRC-32 divisible by ten), is held out. The
model is learnt from the other nine tenths exactly as the shipped one is learnt from all, and
scored on the tenth, beside a baseline that gives each letter its commonest phonemes.

Phoneme error rate (per): edit distance to the nearest listed pronunciation, summed, over the
summed length of those. Word error rate (wer): share of words that equal none of the listed.
Stress is ignored. Nothing is filtered from the tenth but words with a character other than
a-z and apostrophe; names, foreign words and abbreviations stay in.

`--quick` learns from the same nine tenths and scores every tenth held-out word. `--json` prints
the figures as one JSON object in the last line. `us_per_word` is one core, with a cold cache:
each held-out word is met once.
"""

from __future__ import annotations

import argparse
import json
import tempfile
import time
import zlib
from collections.abc import Callable, Iterable
from pathlib import Path

from rapidfuzz.distance import Levenshtein

from catalogue.letter_to_sound import JointModel, ModelArrays, Phonemes
from catalogue.letter_to_sound_training import (
    align,
    arrays_from,
    commonest_sayings,
    dictionary_words,
)

Listed = tuple[str, tuple[Phonemes, ...]]


def is_held_out(word: str) -> bool:
    return zlib.crc32(word.encode()) % 10 == 0


def error_rates(
    guesses_of: Callable[[str], Iterable[Phonemes]], held_out: list[Listed]
) -> tuple[float, float]:
    """Return phoneme and word error rate; of several guesses the best one counts."""
    edits = length = wrong = 0
    for word, listed in held_out:
        fewest, of = min(
            (Levenshtein.distance(guess, said), len(said))
            for guess in guesses_of(word)
            for said in listed
        )
        edits += fewest
        length += of
        wrong += fewest > 0
    return edits / length, wrong / len(held_out)


def measure(quick: bool) -> dict[str, float]:
    words = list(dictionary_words())
    held_out = [listed for listed in words if is_held_out(listed[0])][:: 10 if quick else 1]
    started = time.perf_counter()
    aligned = align(listed for listed in words if not is_held_out(listed[0]))
    arrays = arrays_from(aligned)
    training = time.perf_counter() - started
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "model.npz"
        arrays.save(path)
        megabytes = path.stat().st_size / 1e6
        started = time.perf_counter()
        model = JointModel(ModelArrays.load(path))
        loading = time.perf_counter() - started
    started = time.perf_counter()
    for word, _ in held_out:
        model.guesses(word)
    guessing = time.perf_counter() - started
    per, wer = error_rates(model.guesses, held_out)
    _, wer_of_three = error_rates(lambda word: model.guesses(word, most=3), held_out)
    usual = commonest_sayings(aligned)
    baseline_per, baseline_wer = error_rates(
        lambda word: [tuple(phoneme for letter in word for phoneme in usual[letter])], held_out
    )
    return {
        "per": round(per, 4),
        "wer": round(wer, 4),
        "baseline_per": round(baseline_per, 4),
        "baseline_wer": round(baseline_wer, 4),
        "wer_of_three_guesses": round(wer_of_three, 4),
        "n": len(held_out),
        "us_per_word": round(guessing / len(held_out) * 1e6, 1),
        "load_s": round(loading, 3),
        "training_s": round(training, 1),
        "model_mb": round(megabytes, 2),
    }


def main() -> None:
    parser = argparse.ArgumentParser(description="Measure the letter-to-sound guess.")
    parser.add_argument("--quick", action="store_true", help="score a tenth of the words")
    parser.add_argument("--json", action="store_true", help="print JSON as the last line")
    options = parser.parse_args()
    found = measure(options.quick)
    print(f"{found['n']:,} words of CMUdict held out, each met once")
    print(f"{'':34}{'phonemes wrong':>16}{'words wrong':>14}")
    for label, per, wer in (
        ("each letter its commonest phonemes", found["baseline_per"], found["baseline_wer"]),
        ("joint n-gram model", found["per"], found["wer"]),
    ):
        print(f"{label:34}{per:16.1%}{wer:14.1%}")
    print(f"{'  right one not among three guesses':50}{found['wer_of_three_guesses']:14.1%}")
    print(
        f"{found['us_per_word']:.0f} µs a word, loaded in {found['load_s']:.2f} s, "
        f"{found['model_mb']:.1f} MB, learnt in {found['training_s']:.0f} s"
    )
    if options.json:
        print(json.dumps(found))


if __name__ == "__main__":
    main()
