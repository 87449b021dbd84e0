"""All that is tried: files, forms and commands, by name."""

from __future__ import annotations

from tests.fuzz import commands, forms, network, readers
from tests.fuzz.readers import Opener

READERS: dict[str, Opener] = {
    **readers.READERS, **network.READERS, "forms of the pages": forms.open_,
    "commands": commands.open_,
}  # fmt: skip
"""Name -> what opens it."""
