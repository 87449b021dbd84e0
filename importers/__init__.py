"""Taking in: tags and lists become entries, entries become records in the catalogue.

`taking_in.py` is read first: it is the way of one folder and of one list.
"""
