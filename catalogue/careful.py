"""Words to be careful with: which stand-ins a station leaves out, and which it looks at twice."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from catalogue import occasions, settings
from catalogue.basis import Basis
from catalogue.records import Recording
from catalogue.shared_traits import warnings
from catalogue.store import Store
from catalogue.varied_few import Candidate
from catalogue.worth import Worth

_YES = ("yes", "ja")
"""What says that strong language is played; anything else, "no" too, says that it is not."""


@dataclass(frozen=True, slots=True)
class Careful:
    """The station's words: those that are left out (none if it plays them), and those to look at
    twice."""

    left_out: tuple[str, ...]
    warned: tuple[str, ...]
    basis: Basis
    worth: Worth

    @classmethod
    def of(cls, store: Store, basis: Basis, worth: Worth) -> Careful:
        plays = settings.get(store, "strong_language").strip().casefold() in _YES
        strong = () if plays else tuple(settings.lines(store, "strong_words"))
        return cls(strong, tuple(settings.lines(store, "warning_words")), basis, worth)

    def rules_out(self, recording: Recording) -> bool:
        text = f"{recording.title} {recording.version}"
        return bool(self.left_out and occasions.warnings_in(text, self.left_out))

    def with_ours(self, candidates: Iterable[Candidate]) -> list[Candidate]:
        """Those that may be offered here, with their warnings."""
        kept = []
        for one in candidates:
            if self.rules_out(one.recording):
                continue
            found = warnings(one.recording, self.basis, self.warned, self.worth)
            kept.append(
                one._replace(
                    relevance=one.relevance + sum(trait.worth for trait in found),
                    reasons=(*one.reasons, *(trait.reason for trait in found if trait.reason)),
                )
                if found
                else one
            )
        return kept
