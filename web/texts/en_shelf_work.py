"""The words of how the shelves are filed."""

from __future__ import annotations

SHELF_WORK = {
    "filing.title": "Filing",
    "filing.how": "How titles and artists are put in order, in the list and on each shelf. "
    "Accents, hyphens and apostrophes are passed over. The article of a person’s or place’s name "
    "stays: El Paso is under E.",
    "filing.everywhere": "The whole list, and every shelf not named below",
    "filing.of_mark": "The shelf marks that begin with {name}",
    "filing.of_room": "The room {name}",
    "filing.another": "A shelf that is filed otherwise",
    "filing.by": "It is known by",
    "filing.by_mark": "how its shelf marks begin",
    "filing.by_room": "its room",
    "filing.name": "That beginning, or the room",
    "filing.articles": "Passed over at the start of a title",
    "filing.articles_english": "The, A, An",
    "filing.articles_german": "Der, Die, Das, Ein, Eine",
    "filing.articles_both": "both of these",
    "filing.articles_kept": "nothing: filed as it is written",
    "filing.mac": "Mc and M’",
    "filing.mac_written": "as written: MacDonald, Marsh, McGrath",
    "filing.mac_full": "as Mac: McGrath among the Macs",
    "filing.saint": "St",
    "filing.saint_written": "as written",
    "filing.saint_full": "as Saint",
    "filing.numerals": "Numerals",
    "filing.numerals_digits": "before the letter A, by their size",
    "filing.numerals_spoken": "as they are spoken: 99 under N",
    "filing.keep": "Keep this",
    "filing.keep_of": "Keep this for {name}",
    "filing.forget": "File it as the rest",
    "filing.forget_of": "File {name} as the rest",
    "filing.add": "Add this shelf",
    "filing.kept": "Kept. The list is in this order now; it can be taken back under “Done lately”.",
    "filing.forgotten": "It is filed as the rest again.",
    "filing.which": "Write how the shelf’s marks begin, or the name of its room.",
    "shelves.shelf": "On",
    "shelves.all_shelves": "every shelf",
    "table.filing_rules": "filing rule",
}
