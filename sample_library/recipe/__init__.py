"""The recipe of the demo collection: songs in, sound files and lists out.

Read it in this order:

1. ``songbook/*.txt``: the invented artists, songs and discs, written by hand.
2. ``songbook.py``: reads them into ``Track`` and ``Disc``.
3. ``shelves.py``: how many copies stand where, under which shelf mark.
4. ``shelf_list.py``: the shelf list as a volunteer typed it, blanks and slips included.
5. ``composing.py``, ``instruments.py``: a short piece of music for a track.
6. ``audio_files.py``, ``tags.py``, ``unsorted_files.py``: the sound files and their tags.
7. ``places.py``, ``mishearing.py``, ``past_month.py``: who asked for what, and what was played.
8. ``known_not_held.py``: recordings known of but not held.
9. ``__main__.py``: runs all of it.

Every choice of chance is drawn from a generator seeded by a fixed word, so the lists
come out the same, byte for byte, on every machine.
"""
