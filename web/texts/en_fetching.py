"""The words of what is fetched from the shelves, and of slips that come back."""

from __future__ import annotations

FETCHING = {
    "back.from": "Slip {number}, {who}, came back from {whence} at {at}: {why}.",
    "back.shelves": "the shelves",
    "back.find": "Find something else, then hand it over again.",
    "back.not_used": "Slip {number}, {who}, was not used in {whence}, {at}: {why}.",
    "back.open": "Open slip {number}",
    "back.take_up": "Take it up again",
    "back.not found in its place": "“{title}” was not found in its place",
    "back.would not play": "“{title}” would not play",
    "back.played lately": "“{title}” was played lately",
    "back.not suitable here": "“{title}” is not suitable here",
    "fetch.title": "To fetch",
    "fetch.how": "What the slips need from the shelves, in the order of the studios. Nothing of "
    "a caller is shown here.",
    "fetch.none": "Nothing is to be fetched. What comes next appears here by itself.",
    "fetch.for_studio": "for {studio}",
    "fetch.being_written": "the call is still being taken",
    "fetch.not_there": "Not in its place",
    "fetch.not_there_which": "Not in its place: {place}, “{title}”",
    "fetch.would_not_play": "Broken",
    "fetch.would_not_play_which": "Broken: {place}, “{title}”",
    "fetch.sent_back": "Slip {number} is back at the phone desk, and {place} is marked missing.",
    "fetch.sent_back_broken": "Slip {number} is back at the phone desk.",
    "fetch.changed": "That slip has another record by now. Look at the list as it is.",
    "copies.mark_missing": "It is not in its place",
    "copies.marked": "{place} is marked missing.",
    "copies.mark_found": "It is there again",
    "copies.found": "{place} is in its place again.",
}
