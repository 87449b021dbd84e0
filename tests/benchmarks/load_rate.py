"""Questions at a rate that is raised until the 95th percentile passes one second, for `load`."""

from __future__ import annotations

import random
import threading
import time
from dataclasses import dataclass, field
from http.client import HTTPException

from tests.benchmarks.load_desks import Seen, Words, percentile

FIRST, FACTOR, MOST_STEPS = 8.0, 1.4, 12
"""Questions a second of the first step, what each step multiplies it by, and the most steps."""

LIMIT_MS = 1_000.0
_HANDS = 32
"""Desks that ask in turn: more than the server has threads, so that questions wait there."""

_SEED = 31


@dataclass
class Raised:
    """Each step's figures, the highest rate within the limit, and how many errors there were."""

    steps: list[dict[str, float]] = field(default_factory=list)
    reached: float = 0.0
    errors: int = 0


def raised(host: str, port: int, passphrase: str, recordings: int, step_s: float) -> Raised:
    """Raise the rate step by step. Times count from when a question was due, so that one which
    waits for a slow one before it is not let off."""
    from tests.benchmarks.live import Browser

    browsers = [Browser(f"http://{host}:{port}", "Nell", passphrase) for _ in range(_HANDS)]
    desks = [{"sheet": f"rate-{number}", "kept": ""} for number in range(_HANDS)]
    words, found, rate = Words(recordings, 30_000), Raised(), FIRST
    for number in range(MOST_STEPS):
        seen = _step(browsers, desks, words, rate, step_s, random.Random(_SEED + number))
        p95 = percentile(seen.answers, 95)
        answered = round(len(seen.answers) / seen.seconds, 1)
        found.errors += len(seen.errors)
        found.steps.append({"rate": round(rate, 1), "answered": answered,
                            "p50_ms": percentile(seen.answers, 50), "p95_ms": p95})  # fmt: skip
        if p95 > LIMIT_MS or seen.errors:
            break
        found.reached = answered
        rate *= FACTOR
    return found


def _step(
    browsers: list, desks: list[dict[str, str]], words: Words, rate: float, step_s: float,
    chance: random.Random,
) -> Seen:  # fmt: skip
    """One rate for a while: times between questions as of independent callers (exponential)."""
    seen, due, at = Seen(), [], 0.0
    while (at := at + chance.expovariate(rate)) < step_s:
        due.append(at)
    lock, begun = threading.Lock(), time.monotonic()

    def hand(number: int) -> None:
        browser, desk = browsers[number], desks[number]
        while True:
            with lock:
                if not due or time.monotonic() - begun > 3 * step_s:
                    return
                when = due.pop(0)
            time.sleep(max(0.0, begun + when - time.monotonic()))
            text = words.next()
            try:
                status, _ = browser.post(
                    "/phone/heard", sheet=desk["sheet"], heard=text, heard_artist="",
                    seen_heard=desk["kept"], seen_heard_artist="", asked=1,
                )  # fmt: skip
            except (OSError, HTTPException):
                status = 0
            seen.note(seen.answers, time.monotonic() - begun - when, status, "heard")
            desk["kept"] = text.strip()

    threads = [threading.Thread(target=hand, args=(number,)) for number in range(_HANDS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    seen.seconds = max(step_s, time.monotonic() - begun)
    return seen
