"""The places that ring the station: homes, wards, the ferry, and what their people like."""

from __future__ import annotations

from dataclasses import dataclass

from sample_library.recipe.tables import Cell

HEADING = ("place", "kind", "how_to_say", "say_on_air", "note")


@dataclass(frozen=True)
class Place:
    """``likes`` are genres asked for there; ``young`` is about when its people were young."""

    name: str
    kind: str
    how_to_say: str
    say_on_air: bool
    note: str
    likes: tuple[str, ...]
    young: int


PLACES = (
    Place(
        "Wychwater House",
        "care home",
        "WITCH-water",
        True,
        "ring before tea, 4 o'clock",
        ("dance band", "crooner", "close harmony", "music hall", "hymn"),
        1952,
    ),
    Place(
        "The Alders",
        "care home",
        "",
        True,
        "",
        ("crooner", "pop", "rock and roll", "country", "comedy"),
        1960,
    ),
    Place(
        "Leigh Beauchamp Court",
        "care home",
        "LEE BEE-chum",
        True,
        "two lounges; ask which",
        ("musical", "concert music", "light music", "crooner"),
        1956,
    ),
    Place(
        "Tŷ Gwylan",
        "care home",
        "tee GWIL-an",
        True,
        "many Welsh speakers",
        ("choir", "hymn", "folk", "pop"),
        1959,
    ),
    Place(
        "Sallowfield",
        "care home",
        "",
        False,
        "the home asks not to be named",
        ("pop", "soul", "reggae", "calypso"),
        1966,
    ),
    Place(
        "St Ebba's Almshouses",
        "sheltered flats",
        "Saint EBB-uz AHMZ-houses",
        True,
        "",
        ("hymn", "brass band", "music hall", "comedy"),
        1955,
    ),
    Place(
        "Kettle Creek Day Centre",
        "day centre",
        "",
        True,
        "closed on Fridays",
        ("pop", "disco", "soul", "rock"),
        1974,
    ),
    Place(
        "Heron Ward",
        "hospital ward",
        "",
        True,
        "Oxmere Cottage Hospital, women's ward",
        ("pop", "crooner", "musical", "country"),
        1963,
    ),
    Place(
        "Bittern Ward",
        "hospital ward",
        "",
        True,
        "Oxmere Cottage Hospital, men's ward",
        ("rock", "rock and roll", "folk", "punk", "comedy"),
        1970,
    ),
    Place(
        "Wigeon Ward",
        "hospital ward",
        "WIJ-un",
        True,
        "Oxmere Cottage Hospital, children's ward",
        ("children", "lullaby", "hip hop", "pop", "electronic"),
        2012,
    ),
    Place(
        "Teal Suite",
        "hospital ward",
        "",
        False,
        "Oxmere Cottage Hospital, palliative care",
        ("concert music", "hymn", "folk", "lullaby", "jazz"),
        1962,
    ),
    Place(
        "Avocet Unit",
        "hospital ward",
        "AV-o-set",
        False,
        "Oxmere Cottage Hospital, day surgery",
        ("pop", "electronic", "soul"),
        1985,
    ),
    Place(
        "Ferry Lady Samphire, bridge",
        "ferry crew",
        "SAM-fire",
        True,
        "no calls while docking",
        ("shanty", "folk", "rock", "country"),
        1978,
    ),
    Place(
        "Ferry Lady Samphire, galley",
        "ferry crew",
        "SAM-fire",
        True,
        "",
        ("reggae", "soul", "disco", "pop"),
        1984,
    ),
    Place(
        "Thrapley Lifeboat Station",
        "crew",
        "THRAP-ly",
        True,
        "",
        ("shanty", "rock", "brass band", "punk"),
        1980,
    ),
    Place(
        "Quay House Lodgings",
        "seafarers' hostel",
        "KEY House",
        True,
        "calls from many countries",
        ("pop", "fado", "chanson", "folk", "rock"),
        1982,
    ),
    Place(
        "Skelder Bridge School",
        "school",
        "",
        True,
        "ask a teacher; first names only",
        ("pop", "hip hop", "children", "electronic"),
        2016,
    ),
    Place(
        "At home",
        "private",
        "",
        False,
        "never say a street",
        ("pop", "crooner", "soul", "folk", "concert music", "country", "ceilidh"),
        1965,
    ),
)


def rows() -> list[list[Cell]]:
    """All rows below ``HEADING``."""
    return [
        [place.name, place.kind, place.how_to_say, "yes" if place.say_on_air else "no", place.note]
        for place in PLACES
    ]
