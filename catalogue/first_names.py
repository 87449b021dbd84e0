"""The first name in a name as it was given: what may be said when only that was agreed to.

Where no first name can be told from a surname, nothing is: "Mrs Pym" has none.
"""

from __future__ import annotations

import re

_WITH_SURNAME = frozenset((
    "mr", "mister", "mrs", "missus", "ms", "miss", "mx", "dr", "doctor", "prof", "professor",
    "rev", "revd", "reverend", "canon", "lady", "lord", "madam", "madame", "mme", "monsieur",
    "señor", "señora", "captain", "capt", "major", "colonel", "sergeant", "cllr", "councillor",
    "the", "herr", "frau", "fräulein", "doktor", "pfarrer", "pfarrerin",
))  # fmt: skip
"""Before a surname alone as a rule: what stands alone after one of these is no first name."""

_WITH_FIRST_NAME = frozenset((
    "sir", "dame", "sister", "brother", "father", "fr", "nurse", "matron", "schwester", "bruder",
    "pater",
))  # fmt: skip
"""Before a first name as often as not: what stands alone after one of these is taken for one."""

_OF_THE_FAMILY = frozenset((
    "auntie", "aunty", "aunt", "uncle", "nan", "nana", "nanna", "gran", "granny", "grandma",
    "grandad", "granddad", "grandpa", "tante", "onkel", "oma", "opa",
))  # fmt: skip
"""Part of how somebody is called: said with the name that follows."""

_AND = re.compile(r"\s+(?:and|und|&|\+)\s+|\s*[&+]\s*", re.IGNORECASE)


def first_name(name: str) -> str:
    """The first name, of each where there are several; "" where none can be told.

    >>> first_name("Mrs Gladys Pym"), first_name("Pym, Gladys"), first_name("Mrs Pym")
    ('Gladys', 'Gladys', '')
    >>> first_name("Gladys and Stan Pym"), first_name("Auntie Joan"), first_name("Sister Mary")
    ('Gladys and Stan', 'Auntie Joan', 'Mary')
    """
    if name.count(",") == 1 and not _AND.search(name):
        surname, given = (part.strip() for part in name.split(","))
        name = f"{given} {surname}" if given else surname
    firsts = [first for part in _AND.split(name.strip()) if (first := _of_one(part))]
    joined = _AND.search(name)
    return (joined.group() if joined else " ").join(firsts)


def _of_one(name: str) -> str:
    words = name.replace(",", " ").split()
    before = []
    while words and _bare(words[0]) in _WITH_SURNAME | _WITH_FIRST_NAME:
        before.append(_bare(words.pop(0)))
    if not words or (len(words) == 1 and before and before[-1] in _WITH_SURNAME):
        return ""
    if _bare(words[0]) in _OF_THE_FAMILY and len(words) > 1:
        return " ".join(words[:2])
    if len(words) > 1 and len(_bare(words[0])) == 1:
        # "G. Pym": an initial is not what anybody is called.
        return words[1] if len(words) > 2 else ""
    return words[0]


def _bare(word: str) -> str:
    return word.strip(".").casefold()
