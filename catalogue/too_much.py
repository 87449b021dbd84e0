"""Gentle warnings about free text that tells too much of somebody: nothing is refused."""

from __future__ import annotations

import re

from catalogue.spelling import plain

_MONTHS = (
    "jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|"
    "sep(?:t|tember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?"
)
_BIRTH_DATE = re.compile(
    r"\b\d{1,2}[./-]\d{1,2}[./-](?:\d{4}|\d{2})\b|\b(?:19|20)\d\d-\d\d-\d\d\b"
    rf"|\b\d{{1,2}}(?:st|nd|rd|th)?\s+(?:of\s+)?(?:{_MONTHS})\s+(?:19|20)\d\d\b"
    r"|\bd\.?o\.?b\b|\bdate of birth\b|\bborn (?:on|in)\b",
    re.IGNORECASE,
)
_PATIENT_NUMBER = re.compile(
    r"\b\d{3}[ -]?\d{3}[ -]?\d{4}\b|\b(?:nhs|patient|hospital) (?:no\b|num)", re.IGNORECASE
)
_TELEPHONE = re.compile(r"(?:\+|\b)\d(?:[ ().-]{0,2}\d){8,14}\b")
_BED = re.compile(r"\b(?:bed|bay|cot|cubicle)\s*(?:no\.?|number)?\s*\d+", re.IGNORECASE)
_ILLNESS_WORDS = frozenset((
    "alzheimer", "alzheimer's", "cancer", "chemo", "chemotherapy", "dementia", "depression",
    "diabetes", "diabetic", "diagnosis", "diagnosed", "dialysis", "epilepsy", "hospice",
    "leukaemia", "leukemia", "overdose", "palliative", "parkinson", "parkinson's", "pneumonia",
    "psychiatric", "radiotherapy", "sectioned", "seizure", "stroke", "suicidal", "terminal",
    "tumour", "tumor",
))  # fmt: skip
"""Words that tell of an illness. Plain and short on purpose: a hint, not a filter."""


def cautions(text: str) -> list[str]:
    """What in this text had better be left out, a sentence each; nothing for most texts."""
    without_dates = _BIRTH_DATE.sub(" ", text)
    patient = bool(_PATIENT_NUMBER.search(without_dates))
    said: list[str] = []
    if _BIRTH_DATE.search(text):
        said.append("This looks like a date of birth. The presenter does not need it.")
    if patient:
        said.append("This looks like a patient's number. Please take it out.")
    if not patient and _TELEPHONE.search(without_dates):
        said.append("This looks like a telephone number. Put it under “ring back”, or leave it.")
    if _BED.search(text):
        said.append("A bed number tells who somebody is. The ward is enough.")
    if _ILLNESS_WORDS & set(plain(text).split()):
        said.append("This seems to name an illness. Leave it out unless the caller wants it said.")
    return said
