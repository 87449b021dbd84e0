"""What may be said of a caller on air, as far as they agreed; a child's only if an adult did."""

from __future__ import annotations

from catalogue.callers import CallerDetails
from catalogue.first_names import first_name


def name(details: CallerDetails) -> str:
    """The name that may be said on air; empty unless the caller agreed.

    For somebody under sixteen also empty until an adult's consent is noted. Where only the first
    name was agreed to, empty if none can be told in the name.
    """
    if details.consent not in ("yes", "first name only") or _needs_an_adult(details):
        return ""
    if details.consent == "yes":
        return (details.say_name or details.caller_name).strip()
    first = first_name(details.caller_name or details.say_name)
    given, said = details.caller_name.split(), details.say_name.split()
    # "MOR-een TOLL-ee" for "Maureen Tolley": word for word, or it could be the surname.
    if first in given and len(given) == len(said):
        return said[given.index(first)]
    return first


def place(details: CallerDetails) -> bool:
    """Whether the caller agreed to their place being said on air; a child's not without an adult.

    Whether the station lets the place be said at all is kept with the place.
    """
    return details.place_consent == "yes" and not _needs_an_adult(details)


def _needs_an_adult(details: CallerDetails) -> bool:
    return details.under_sixteen and not details.adult_consent.strip()
