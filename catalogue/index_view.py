"""What a search of the sound index reads: documents, keys, forms, and how rare words are."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterable, Sequence
from itertools import islice
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import tantivy

from catalogue.form_file import FormFile
from catalogue.found_names import Found
from catalogue.search_keys import Form, Keys, keys_of_form, worth_asking

_FIELDS = ("phones", "classes", "letters")
_WORDS = "words"
"""Field of a name's plain words: not searched, but counted."""

FIELDS = (*_FIELDS, _WORDS)
"""The fields whose terms are counted, in the order of `terms_of`."""

WRITER_BYTES = 128_000_000
"""Memory for names not yet on disk; more makes a first taking-in of a million no quicker."""

_BATCH = 5_000
"""Forms written at once."""


_BM25_TOP = 2.2
"""tantivy's k1 + 1, by which it multiplies every rarity."""

_LOOKED_AT = 50
"""Names looked at for one that has keys in every field; nearly every name has."""


class View(NamedTuple):
    """What a search reads; replaced whole, so that a search never mixes two makes of the index."""

    index: Any
    searcher: Any
    schema: Any
    forms: FormFile


def search(view: View, keys: Keys, limit: int, rarest: int) -> Found:
    """The `limit` best names by BM25 of at most the `rarest` keys that occur at all."""
    return forms_at(view, best(view, keys, limit, rarest))


def best(view: View, keys: Keys, limit: int, rarest: int) -> list[Any]:
    """The addresses of the same names' documents."""
    counted = [
        (view.searcher.doc_freq(field, key), field, key)
        for field, run in zip(_FIELDS, keys, strict=True)
        for key in run
    ]
    terms = worth_asking(counted, view.searcher.num_docs, rarest)
    if not terms:
        return []
    query = tantivy.Query.boolean_query(
        [
            (tantivy.Occur.Should, tantivy.Query.term_query(view.schema, field, key, "basic"))
            for _, field, key in terms
        ]
    )
    hits = view.searcher.search(query, limit, count=False).hits
    return [address for _, address in hits]


def forms_at(view: View, addresses: list[Any]) -> Found:
    """The names that are the documents at these addresses."""
    if not addresses:
        return Found.nothing()
    ids, places, sizes = columns(view, addresses)
    return Found(ids, places, view.forms.read(places, sizes))


def columns(view: View, addresses: list[Any]) -> tuple[list[int], list[int], list[int]]:
    """Recording, place and size of the form, of the documents at these addresses."""
    of = view.searcher.fast_field_values
    return of("recording", addresses), of("place", addresses), of("size", addresses)


def opened(folder: Path) -> View:
    """An index made before, for reading. Raises ValueError or OSError if it cannot be read.

    Whether its files are as they were written is the caller's to ask, before: `index_files`.
    """
    (folder / FormFile.NAME).stat()  # opened for reading, it must not be made
    index = tantivy.Index.open(str(folder))
    return View(index, index.searcher(), index.schema, FormFile(folder))


Seen = Callable[[Sequence[Sequence[str]]], None]
"""Told the terms of each name that is filed, one list for each of `FIELDS`."""


def made(folder: Path, names: Iterable[tuple[int, Form]], seen: Seen | None = None) -> View:
    """A new index of these (recording id, form) in a folder that is there and empty."""
    index = tantivy.Index(schema(), str(folder))
    writer = index.writer(WRITER_BYTES, 1)
    forms = FormFile(folder)
    add(writer, forms, names, seen)
    writer.commit()
    writer.wait_merging_threads()
    del writer
    index.reload()
    return View(index, index.searcher(), index.schema, forms)


def add(
    writer: Any, forms: FormFile, names: Iterable[tuple[int, Form]], seen: Seen | None = None
) -> None:
    """Write names and their forms; the forms are on the disk when this returns."""
    rest = iter(names)
    while batch := list(islice(rest, _BATCH)):
        places = forms.append([form for _, form in batch])
        for (recording_id, form), (place, size) in zip(batch, places, strict=True):
            terms = terms_of(form)
            writer.add_document(_document(recording_id, terms, place, size))
            if seen is not None:
                seen(terms)
    forms.flush()


def schema() -> Any:
    """The fields of the index."""
    builder = tantivy.SchemaBuilder()
    builder.add_integer_field("recording", indexed=True, fast=True)
    for field in (*_FIELDS, _WORDS):
        builder.add_text_field(field, tokenizer_name="whitespace", index_option="basic")
    for field in ("place", "size"):
        builder.add_integer_field(field, fast=True)
    return builder.build()


def terms_of(form: Form) -> list[list[str]]:
    """The different terms under which a name is filed, one list for each of `FIELDS`."""
    return [*keys_of_form(form), list(dict.fromkeys((*form.title.split(), *form.artist.split())))]


def _document(recording_id: int, terms: Sequence[Sequence[str]], place: int, size: int) -> Any:
    """A name as the index keeps it: its keys, its words, and where its form lies."""
    fields = {field: " ".join(some) for field, some in zip(FIELDS, terms, strict=True)}
    return tantivy.Document(recording=recording_id, place=place, size=size, **fields)


def rarities(view: View, words: Sequence[str]) -> list[float]:
    """For each plain word the natural log of how many names there are for each that has it."""
    names, count = view.searcher.num_docs + 1, view.searcher.doc_freq
    having = np.array([count(_WORDS, word) for word in words], np.float64) + 1
    told: list[float] = np.log(names / np.minimum(names, having)).tolist()
    return told


def best_by(
    view: View, terms: Sequence[tuple[str, str, float]], limit: int
) -> list[tuple[float, int, Form]]:
    """The `limit` best (score, recording id, form) by terms (field, key, weight) from outside.

    The weights take the place of this index's own. Only the mean lengths of names are still its
    own, so that these scores are near those of a larger index, and no more: see `mean_terms`.
    """
    names, count = view.searcher.num_docs, view.searcher.doc_freq
    query = []
    for field, key, weight in terms:
        if here := count(field, key):
            # What tantivy will multiply by, so that the boost can take it out again.
            own = math.log(1 + (names - here + 0.5) / (here + 0.5)) * _BM25_TOP
            term = tantivy.Query.term_query(view.schema, field, key, "basic")
            query.append((tantivy.Occur.Should, tantivy.Query.boost_query(term, weight / own)))
    if not query:
        return []
    hits = view.searcher.search(tantivy.Query.boolean_query(query), limit, count=False).hits
    found = forms_at(view, [address for _, address in hits])
    return [(score, *name) for (score, _), name in zip(hits, found, strict=True)]


def mean_terms(view: View) -> dict[str, float]:
    """How many keys a name of this index has on average, for each field that is searched.

    tantivy tells it only where it explains a score. A field is left out if none of the first
    names has keys in it.
    """
    hits = view.searcher.search(tantivy.Query.all_query(), _LOOKED_AT, count=False).hits
    means: dict[str, float] = {}
    for (_, address), (_, form) in zip(
        hits, forms_at(view, [address for _, address in hits]), strict=True
    ):
        for field, run in zip(_FIELDS, keys_of_form(form), strict=True):
            if run and field not in means:
                query = tantivy.Query.term_query(view.schema, field, run[0], "basic")
                told = query.explain(view.searcher, address).to_json()
                means[field] = _told(json.loads(told), "avgdl")
        if len(means) == len(_FIELDS):
            break
    return means


def _told(explained: Any, what: str) -> float:
    """The value of the part of an explanation whose description begins with a word."""
    if explained["description"].startswith(what):
        return float(explained["value"])
    parts = (_told(part, what) for part in explained.get("details", ()))
    return next((value for value in parts if value), 0.0)
