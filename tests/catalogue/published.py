"""Small stations that publish, for the tests of the network."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from catalogue import settings, undo, union_keys, union_publishing
from catalogue.catalogue_rows import add_holding, add_recording, shelve_disc
from catalogue.records import Carrier, NewDisc, NewHolding, NewRecording
from catalogue.store import Store
from catalogue.union_keys import StationKey, Trusted
from catalogue.union_publishing import Published

NOW = datetime(2026, 11, 25, 19, 30)


@dataclass
class Station:
    """A station with a key and a folder it publishes into."""

    store: Store
    key: StationKey
    name: str

    @property
    def folder(self) -> Path:
        """Where it publishes."""
        return self.store.path.parent / "publication"

    def add(
        self,
        title: str,
        artist: str,
        carriers: tuple[Carrier, ...] = (Carrier.LP,),
        **known: object,
    ) -> int:
        """File a recording with a copy on each carrier; returns its number."""
        with undo.action(self.store, "Test", f"added {title}", NOW):
            number = add_recording(self.store, NewRecording(title, artist, **known))
            for place, carrier in enumerate(carriers):
                if carrier is Carrier.FILE:
                    add_holding(self.store, NewHolding(number, path=f"/music/{number}.ogg"))
                else:
                    disc = shelve_disc(self.store, NewDisc(carrier, f"Q {number}-{place}"))
                    add_holding(self.store, NewHolding(number, disc_id=disc))
        return number

    def publish(self, **how: bool) -> Published:
        """Publish what is new."""
        return union_publishing.publish(self.store, self.key, self.folder, NOW, **how)

    @property
    def trusted(self) -> Trusted:
        """Its entry in the network's list."""
        return Trusted(self.key.station, self.name, self.key.key, "2026-11-01")


def station(folder: Path, name: str, station_id: str = "") -> Station:
    """A new station of this name."""
    folder.mkdir(parents=True)
    store = Store(folder / "asheard.db")
    store.db.execute("PRAGMA synchronous = OFF")  # no power fails in these tests
    settings.put(store, "station_name", name, "Dora", NOW)
    return Station(store, union_keys.new_key(folder, NOW, station_id), name)
