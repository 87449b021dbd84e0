"""What a search of the sound index reads: documents, keys, forms, and how rare words are."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, NamedTuple

import tantivy

from catalogue.form_file import FormFile
from catalogue.search_keys import Form, Keys, keys_of_form

_FIELDS = ("phones", "classes", "letters")
_WORDS = "words"
"""Field of a name's plain words: not searched, but counted."""


class View(NamedTuple):
    """What a search reads; replaced whole, so that a search never mixes two makes of the index."""

    index: Any
    searcher: Any
    schema: Any
    forms: FormFile


def search(view: View, keys: Keys, limit: int, rarest: int) -> list[tuple[int, Form]]:
    """The `limit` best (recording id, form) by BM25 of the `rarest` keys that occur at all."""
    counted = [
        (view.searcher.doc_freq(field, key), field, key)
        for field, run in zip(_FIELDS, keys, strict=True)
        for key in run
    ]
    terms = sorted(term for term in counted if term[0])[:rarest]
    if not terms:
        return []
    query = tantivy.Query.boolean_query(
        [
            (tantivy.Occur.Should, tantivy.Query.term_query(view.schema, field, key, "basic"))
            for _, field, key in terms
        ]
    )
    hits = view.searcher.search(query, limit, count=False).hits
    return forms_at(view, [address for _, address in hits])


def forms_at(view: View, addresses: list[Any]) -> list[tuple[int, Form]]:
    """(recording id, form) of the documents at these addresses."""
    if not addresses:
        return []
    ids, places, sizes = (
        view.searcher.fast_field_values(field, addresses)
        for field in ("recording", "place", "size")
    )
    return list(zip(ids, view.forms.read(places, sizes), strict=True))


def schema() -> Any:
    """The fields of the index."""
    builder = tantivy.SchemaBuilder()
    builder.add_integer_field("recording", indexed=True, fast=True)
    for field in (*_FIELDS, _WORDS):
        builder.add_text_field(field, tokenizer_name="whitespace", index_option="basic")
    for field in ("place", "size"):
        builder.add_integer_field(field, fast=True)
    return builder.build()


def document(recording_id: int, form: Form, place: int, size: int) -> Any:
    """A name as the index keeps it: its keys, its words, and where its form lies."""
    keys = keys_of_form(form)
    return tantivy.Document(
        recording=recording_id,
        place=place,
        size=size,
        phones=" ".join(keys.phones),
        classes=" ".join(keys.classes),
        letters=" ".join(keys.letters),
        words=" ".join({*form.title.split(), *form.artist.split()}),
    )


def rarities(view: View, words: Sequence[str]) -> list[float]:
    """For each plain word the natural log of how many names there are for each that has it."""
    names, count = view.searcher.num_docs + 1, view.searcher.doc_freq
    return [math.log(names / min(names, count(_WORDS, word) + 1)) for word in words]
