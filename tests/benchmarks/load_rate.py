"""Questions at a rate that is raised until the 95th percentile passes one second, for `load`."""

from __future__ import annotations

import random
import threading
import time
from dataclasses import dataclass, field
from http.client import HTTPException

from tests.benchmarks.live import Browser
from tests.benchmarks.load_desks import Seen, Words, percentile

MOST_STEPS = 12
LIMIT_MS = 1_000.0
_SEED = 31


@dataclass
class Raised:
    """Each step's figures, the highest rate within the limit, and how many errors there were."""

    steps: list[dict[str, float]] = field(default_factory=list)
    reached: float = 0.0
    errors: int = 0


def raised(
    browsers: list[Browser], recordings: int, first: float, factor: float, step_s: float
) -> Raised:
    """Raise the rate, `first` questions a second to begin with, `factor` times as many in each
    step. Times count from when a question was due, so that one which waits for a slow one before
    it is not let off. More browsers than the server has threads, so that questions wait there."""
    desks = [{"sheet": f"rate-{number}", "kept": ""} for number in range(len(browsers))]
    words, found, rate = Words(recordings, 30_000), Raised(), first
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
        rate *= factor
    return found


def _step(
    browsers: list[Browser], desks: list[dict[str, str]], words: Words, rate: float, step_s: float,
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

    threads = [threading.Thread(target=hand, args=(number,)) for number in range(len(browsers))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    seen.seconds = max(step_s, time.monotonic() - begun)
    return seen
