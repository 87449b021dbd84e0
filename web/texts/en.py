"""The words of the interface in English, by desk. Values in braces are put in by `t`.

Written to be read at a glance and, where a caller hears them, to be said aloud.
"""

from __future__ import annotations

from web.texts.en_by_hand import BY_HAND
from web.texts.en_catalogue import CATALOGUE
from web.texts.en_desks import DESKS
from web.texts.en_doubles import DOUBLES
from web.texts.en_fetching import FETCHING
from web.texts.en_gaps import GAPS
from web.texts.en_keeper import KEEPER
from web.texts.en_keeping import KEEPING
from web.texts.en_others import OTHERS
from web.texts.en_programme import PROGRAMME
from web.texts.en_records import RECORDS
from web.texts.en_round import ROUND
from web.texts.en_shelf_work import SHELF_WORK
from web.texts.en_shelves import SHELVES
from web.texts.en_sign_in import SIGN_IN
from web.texts.en_stand_ins import STAND_INS
from web.texts.en_station import STATION
from web.texts.en_stock_take import STOCK_TAKE
from web.texts.en_taking_in import TAKING_IN

_PAGE = {
    "page.demo": "This is a demo. Do not use it for real callers.",
    "page.skip": "Skip to the work",
    "page.desks": "Desks",
    "page.to_day": "Day scheme",
    "page.to_studio": "Dark scheme",
    "page.sign_out": "Sign out",
    "page.lost": "Not up to date since {at}: the station’s PC does not answer. This page "
    "tries again by itself.",
    "desk.phone": "Phone desk",
    "desk.studio": "Studio",
    "desk.shelves": "Shelves",
    "role.searcher": "searcher",
    "role.presenter": "presenter",
    "role.librarian": "librarian",
    "role.keeper": "keeper",
}

_REFUSAL = {
    "refusal.title": "That did not work",
    "refusal.home": "Back to your desk",
    "refusal.no_rule": "This page has no rule saying who may use it, so nobody may.",
    "refusal.role": "A {role} may not do this. Ask whoever keeps the station’s list of people.",
    "refusal.no_desk": "Your role has no desk. Ask whoever keeps the station’s list of people.",
    "refusal.token": "This page is too old, or the form was not ours. Nothing was changed: "
    "reload the page and do it again.",
    "refusal.number": "The page sent a number that is not one. Nothing was changed: reload the "
    "page and do it again.",
    "refusal.400": "The page sent something that cannot be used. Nothing was changed: reload the "
    "page and do it again.",
    "refusal.403": "You may not do this.",
    "refusal.404": "There is no such page. It may have been moved or mistyped.",
    "refusal.405": "That cannot be done this way. Go back to your desk and use its buttons.",
    "refusal.413": "That is too large. Make it shorter and try again.",
    "refusal.500": "Something went wrong inside the program. What you did last may not be kept: "
    "look, and do it again. If it happens twice, tell whoever keeps the station’s PC.",
    "refusal.other": "That could not be done. Go back to your desk and try again.",
}

_HEARD = {
    "heard.label": "What was heard",
    "heard.artist": "Artist, if heard apart",
    "heard.keys": "Enter: to the list, then onto the slip. Esc: back here. F6: to the caller.",
    "heard.waiting": "Type what you hear, as it sounds. A few words do.",
    "heard.go_on": "Go on: a few letters more.",
    "heard.no_letters": "There are no letters in that. Type what you hear, as it sounds.",
    "answer.say": "Say:",
    "answer.matches": "Found",
    "answer.stand_ins": "Or offer one of these",
    "answer.ask_next": "Or ask the caller",
    "answer.none": "Nothing found.",
    "answer.one": "1 found, {band}.",
    "answer.count": "{count} found, the first is {band}.",
    "answer.stand_ins_count": "{count} to offer instead.",
    "answer.other_copy": "{place} ({state})",
    "answer.also": "Also on {copies}.",
    "answer.read_as": "Read as",
    "answer.reading_both": "“{title}” by {artist}",
    "answer.reading_title": "the title “{title}”",
    "answer.reading_artist": "anything by {artist}",
    "answer.not_now": "Not put on the slip: {state}. Press ↓ for the next one.",
    "answer.not_now_all_the_same": "Not put on the slip yet: {state}. Press ↓ for the next one, or "
    "Tab and Enter to put it on all the same.",
    "answer.not_now_wanted": "Not put on the slip: {state}. Press ↓ for what can be offered "
    "instead, or Tab and Enter to note it for the librarian.",
    "answer.moved": "The list has only just changed. Look, then press again.",
    "answer.all_the_same": "Put it on the slip all the same",
    "want.offer": "Not to be found? Note it, so that the librarian can look for it. Title and "
    "artist only, nothing about the caller.",
    "want.add": "Put on the list of wants",
    "want.added": "On the list of wants: {what}",
    "want.empty": "Write a title or an artist, so that there is something to look for.",
}

_SLIP = {
    "slip.fresh": "Fresh slip",
    "slip.number": "Slip {number}",
    "slip.started": "since {at}",
    "slip.kept": "Kept at {at}",
    "slip.purpose": "What for",
    "slip.caller_name": "Caller, as they wish to be called",
    "slip.say_name": "How to say it",
    "slip.place_id": "Where",
    "slip.place_open": "not asked yet",
    "slip.place_detail": "Where exactly",
    "slip.for_whom": "For whom, one or several",
    "slip.occasion": "Occasion",
    "slip.occasion_open": "not asked yet",
    "slip.why": "Why this one",
    "slip.talk_about": "Happy to talk about",
    "slip.on_air": "Goes out",
    "slip.line": "On line",
    "slip.ring_back": "Ring back on",
    "slip.consent": "Name on air?",
    "slip.consent_noted": "Noted {at}, {by}: {what}.",
    "slip.place_consent": "Place on air?",
    "slip.place_short": "Place?",
    "noted.consent": "name",
    "noted.place_consent": "place",
    "noted.adult_consent": "grown-up",
    "clash.wrote": "Another desk wrote “{theirs}” under “{field}” meanwhile. Yours is still there.",
    "clash.emptied": "Another desk emptied “{field}” meanwhile. Yours is still there.",
    "clash.heard": "Another desk wrote “{theirs}” as what was heard. That stands on the slip; "
    "yours is on this page only.",
    "clash.heard_emptied": "Another desk emptied what was heard. Yours is on this page only.",
    "clash.mine": "Keep mine",
    "clash.theirs": "Take theirs",
    "clash.first": "Choose first which of the two stays.",
    "slip.not_kept": "Not kept yet, since the station’s PC does not answer. Stay on this page: it "
    "tries again by itself.",
    "hand_over.nothing": "Nothing is written on this slip: no record, and nothing about the "
    "caller. Hand it over once more if it is meant so.",
    "hand_over.no_record": "This slip names no record, and nothing was heard. Hand it over once "
    "more if the presenter is to choose.",
    "slip.under_sixteen": "under sixteen",
    "slip.adult_consent": "Which grown-up agrees",
    "slip.studio": "To",
    "slip.hand_over": "Hand over",
    "slip.withdraw": "Withdraw it",
    "slip.call_back": "Call it back",
    "slip.no_record": "No record on the slip yet.",
    "slip.no_record_needed": "This call needs no record; one can be put here all the same.",
    "slip.unchoose": "Take it off again",
    "slip.instead_of": "in place of “{title}”",
    "slip.no_name": "no name yet",
    "strip.heard": "“{words}”",
    "slip.nothing_on_it": "Nothing is written on this slip yet.",
    "slip.with_studio": "Slip {number} is with {studio} since {at}.",
    "slip.was_played": "Slip {number} was played at {at}.",
    "slip.was_not_used": "Slip {number} was not used, {at}: {why}.",
    "slip.was_withdrawn": "Slip {number} was withdrawn, {at}.",
    "strip.title": "Slips",
    "strip.fresh": "Fresh slip",
    "strip.written": "{number}: {who}",
    "strip.with_studio": "{number}: with {studio}",
    "strip.more": "and {count} more",
    "purpose.request": "Request",
    "purpose.dedication": "Dedication",
    "purpose.competition": "Competition",
    "purpose.conversation": "Conversation",
    "on_air.live": "Live",
    "on_air.recorded": "Recorded",
    "on_air.read out": "Read out",
    "consent.yes": "Yes",
    "consent.first name only": "First name only",
    "consent.no": "No",
}

_STUDIO = {
    "studio.others": "Other studios",
    "studio.queue": "Slips waiting",
    "studio.none": "No slip is waiting. The next one appears here by itself.",
    "studio.one": "1 slip is waiting.",
    "studio.count": "{count} slips are waiting.",
    "studio.checklist": "Before a call goes live",
    "studio.checklist_first": "Your station’s own training and policy come first.",
    "studio.no_record": "This slip names no record",
    "studio.no_name": "No name was given",
    "studio.say_name": "say “{say}”",
    "studio.on_air": "May be said",
    "studio.consent_yes": "Yes, the name: say “{name}”.",
    "studio.consent_first_name_only": "The first name only: say “{name}”.",
    "studio.consent_no": "No. Do not say who it is.",
    "studio.consent_open": "Not asked. Do not say who it is.",
    "studio.consent_nameless": "Agreed, but no name was given.",
    "studio.consent_young": "No name, and no talk on air: under sixteen, and no grown-up has "
    "agreed.",
    "studio.young_with_adult": "Under sixteen; agreed by {adult}.",
    "studio.erased": "The caller’s details were erased in time.",
    "studio.where": "Where",
    "studio.where_private": "Do not say the place on the air.",
    "studio.where_no_consent": "Do not say the place: the caller has not agreed.",
    "studio.where_not_asked": "Not asked. Do not say the place.",
    "studio.where_open": "You may say “{place}”.",
    "studio.where_open_not_detail": "You may say “{place}”, and no more than that.",
    "studio.how": "How",
    "studio.line": "line {line}",
    "studio.length": "{length} long",
    "studio.copy": "Copy",
    "studio.copied": "Copied",
    "studio.copy_by_hand": "Marked: press Ctrl C",
    "studio.played": "Played",
    "studio.went_out": "It went out",
    "studio.no_record_yet": "Call it back at the phone desk to put a record on it.",
    "studio.why_not": "Not used, because",
    "studio.not_used": "Not used",
    "studio.slip": "Slip {number}, here since {at}",
    "studio.noted_played": "Slip {number}: played at {at}.",
    "studio.noted_not_used": "Slip {number}: not used.",
    "studio.take_back": "Take back",
    "studio.taken_back": "Slip {number} is waiting again.",
    "studio.waits_already": "Slip {number} is not marked as done, so there is nothing to take "
    "back.",
    "studio.played_today": "Done today",
    "studio.nothing_played": "Nothing yet.",
    "studio.done_no_record": "no record",
    "studio.done_not_used": "not used: {why}",
    "studio.done_withdrawn": "withdrawn",
    "studio.unknown": "There is no studio of that name. Choose one of the studios in the list.",
    "why.no time": "no time",
    "why.not found in its place": "not found in its place",
    "why.would not play": "would not play",
    "why.played lately": "played lately",
    "why.not suitable here": "not suitable here",
    "why.caller gone": "caller gone",
    "why.nothing agreed": "nothing agreed",
}

WORDS: dict[str, str] = {
    **_PAGE,
    **SIGN_IN,
    **_REFUSAL,
    **_HEARD,
    **_SLIP,
    **_STUDIO,
    **CATALOGUE,
    **SHELVES,
    **SHELF_WORK,
    **STOCK_TAKE,
    **BY_HAND,
    **DESKS,
    **STATION,
    **STAND_INS,
    **FETCHING,
    **RECORDS,
    **KEEPING,
    **KEEPER,
    **PROGRAMME,
    **ROUND,
    **TAKING_IN,
    **DOUBLES,
    **GAPS,
    **OTHERS,
}
