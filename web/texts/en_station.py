"""The words of the keeper's pages, of this desk, and of the lists on paper."""

from __future__ import annotations

STATION = {
    "desk.station": "Station",
    "desk.this": "This desk",
    "desk.name": "Name of this desk",
    "desk.output": "Headphones",
    "desk.output_usual": "where this PC’s sound goes as a rule",
    "desk.output_names": "Show the outputs by name",
    "desk.output_able": "Choose where Listen is heard at this desk, and try it. The browser may "
    "ask for the microphone before it names the outputs; nothing is recorded.",
    "desk.output_unable": "This browser cannot choose an output: that needs an address that "
    "begins with https. Listen goes where this PC’s sound goes, so make sure that this is the "
    "headphones, try it, and say so below.",
    "desk.output_refused": "The browser may not name the outputs. Listen goes where this PC’s "
    "sound goes: make sure that this is the headphones.",
    "desk.output_gone": "The headphones chosen here are not there. Plug them in, or choose again.",
    "desk.tone": "Try it: a quiet tone",
    "desk.headphones": "Listening",
    "desk.headphones_yes": "on: its sound is in the headphones",
    "desk.headphones_no": "off at this desk",
    "desk.keep": "Keep",
    "desk.kept": "Kept for this desk.",
    "desk.how": "The name tells the program how this desk sees the files: a desk in a studio is "
    "best called like the studio. Listening is off until the sound goes to headphones, so that "
    "no caller hears it on the line. Plug them in first.",
    "desk.folders": "Where this desk sees the files",
    "desk.folders_how": "The same folder may have another path here. Give the desk a name, then "
    "write the path as this desk has it; leave it empty if it is the same.",
    "desk.folder_seen": "{root}, seen from here as",
    "desk.folder_keep": "Keep this path",
    "desk.folder_kept": "Kept. The studio’s list has this path now.",
    "station.parts": "Station",
    "station.rules": "Rules",
    "station.programmes": "Programmes",
    "station.places": "Places",
    "station.people": "People",
    "station.keep": "Keep the rules",
    "station.secret_kept": "One is kept, and is not shown. Write another to replace it; left "
    "empty, it stays.",
    "station.secret_done": "Kept. What it was before is kept nowhere, so it cannot be taken back.",
    "station.secret_none": "None is kept yet.",
    "station.secret_remove": "Remove the one that is kept",
    "station.token_of_another": "The token that is kept was given for the address as it was. With "
    "another address write its token too, or remove the old one. Nothing was changed.",
    "station.kept": "Kept. It can be taken back beside the form.",
    "station.done": "Changed lately",
    "station.programme_added": "The programme is put in.",
    "station.no_time": "Give the day, and both times as hours and minutes, such as 19:30.",
    "station.place_added": "The place is on the list.",
    "station.place_changed": "The place is changed.",
    "did.settings": "changed the rules: {names}",
    "programme.name": "Name",
    "programme.presenter": "Presenter",
    "programme.day": "Day",
    "programme.from": "From",
    "programme.to": "To",
    "programme.add": "Put it in",
    "programme.times": "{starts} to {ends}",
    "programme.none": "No programme is put in yet. With one the studio is told how long is left.",
    "place.how": "Wards, homes, ships: the choices under “Where” on a slip. Say of each whether "
    "it may be named on air; a ward as a rule may not.",
    "place.name": "Place",
    "place.say": "How to say it",
    "place.on_air": "May be said on air?",
    "place.add": "Put it on the list",
    "place.change": "Keep the change",
    "place.may_be_said": "may be said on air",
    "place.not_said": "not to be said on air",
    "place.not_in_use": "no longer offered",
    "place.drop": "Offer it no longer",
    "place.use_again": "Offer it again",
    "people.how": "The program makes a passphrase for the first sign-in; then they choose their "
    "own. So it is for one that was forgotten. Who leaves is "
    "let in no longer; their name stays on what they did until the time set under “Rules” is over.",
    "people.name": "Name",
    "people.role": "What they do",
    "people.add": "Put them on the list",
    "people.made": "The one-time passphrase of {name}:",
    "people.made_once": "Write it down now. It is shown this once, lets {name} in once within two "
    "weeks, and then they choose their own.",
    "people.may_not": "not let in any more",
    "people.new_passphrase": "One-time passphrase",
    "people.new_passphrase_for": "One-time passphrase for {name}",
    "people.let_out": "Let in no longer",
    "people.let_out_which": "Let in no longer: {name}",
    "people.let_in": "Let in again",
    "people.let_in_which": "Let in again: {name}",
    "people.out": "{name} is let in no longer.",
    "people.in_again": "{name} is let in again.",
    "people.role_of": "What {name} does",
    "people.change_role": "Change the role",
    "people.change_role_of": "Change the role of {name}",
    "people.role_changed": "{name}: {role} from now on.",
    "people.nobody": "There is nobody with that number on the list.",
    "shelves.lessons": "Learnt hearings",
    "lessons.how": "What callers were heard to say, and which record it turned out to mean. The "
    "same words find it at once the next time. Only words of title and artist are kept.",
    "lessons.none": "Nothing was learnt yet. It is, each time a misheard request is played.",
    "lessons.of_this": "Learnt hearings of this one",
    "lessons.unlearn": "Unlearn",
    "lessons.unlearn_which": "Unlearn: {heard}",
    "lessons.unlearnt": "Unlearnt. It can be taken back under “Done lately”.",
    "shelves.paper": "On paper",
    "paper.title": "On paper, for when the PC is dead",
    "paper.how": "Both lists are made anew every night. Print one now and then, or keep it on a "
    "stick; it opens in any browser.",
    "paper.by_title": "A to Z by title",
    "paper.by_artist": "A to Z by artist",
    "paper.as_of": "made {at}",
    "paper.not_yet": "not made yet",
    "paper.slip": "A blank slip",
    "paper.folder": "They lie on the station’s PC in",
    "paper.refresh": "Make both lists now",
    "paper.refreshed": "Both lists are made anew.",
    "paper.not_made": "That list is not made yet. Make it under “On paper”.",
    "paper.made": "As of {day}, {at}. What is missing is left out.",
    "paper.nothing": "Nothing is on the shelves yet.",
    "paper.day": "Day and time",
    "paper.taken_by": "Taken by",
    "paper.place_of_record": "Place of the record",
    "paper.shred": "Type it in when the PC is well again, then shred it, after {days} days at "
    "the latest.",
    "paper.places": "Places on the list:",
    "number.thousands": ",",
    "time.date": "{day} {month}",
    "time.date_and_year": "{day} {month} {year}",
    "setting.station_name": "Name of the station",
    "setting_what.station_name": "It heads every page.",
    "setting.caller_days": "Days a caller’s details are kept",
    "setting_what.caller_days": "After the programme, or after the day they were written when "
    "there is no programme. Then they are erased for good, recordings too. Your own policy and "
    "the law come first.",
    "setting.staff_days": "Days a volunteer’s name is kept",
    "setting_what.staff_days": "After they were let in no longer. Then they are taken off the list "
    "of people, and their name off what they did; the work stays.",
    "setting.repeat_hours": "Hours before a record is offered again",
    "setting_what.repeat_hours": "After it was played. 0 turns it off.",
    "setting.artist_minutes": "Minutes before an artist is offered again",
    "setting_what.artist_minutes": "As a stand-in, after another record of theirs. 0 turns it off.",
    "setting.studios": "Studios",
    "setting_what.studios": "A slip can be handed to each of them. One a line.",
    "setting.occasions": "Occasions",
    "setting_what.occasions": "Why people ask: the choices on the slip. One a line.",
    "setting.carriers_played": "What the studio can play",
    "setting_what.carriers_played": "One a line. Recordings on nothing else are told as gaps.",
    "setting.warning_words": "Words to look at twice",
    "setting_what.warning_words": "In a title. Nothing is banned: the searcher is told, and "
    "decides. One a line. "
    "A file “words_to_look_at_twice.txt” in the station’s folder counts instead.",
    "setting.strong_language": "Strong language in stand-ins",
    "setting_what.strong_language": "Write “yes” if records with strong language may be offered. "
    "What a caller asks for by name is found all the same.",
    "setting.strong_words": "Words of strong language",
    "setting_what.strong_words": "In a title or version: such records are not offered as "
    "stand-ins, unless the rule above says yes. One a line.",
    "setting.live_checklist": "Before a call goes live",
    "setting_what.live_checklist": "What the presenter checks. Your own training and policy come "
    "first. One a line.",
    "setting.own_kinds": "Your own kinds of call",
    "setting_what.own_kinds": "Beside request, dedication, competition and conversation. They ask "
    "for no music. One a line.",
    "setting.blank_minutes": "Minutes until the studio’s screen goes blank",
    "setting_what.blank_minutes": "When nobody touches it, since studios have windows. Any key "
    "brings it back. 0 turns it off.",
    "setting.territory": "Territory of the usage return",
    "setting_what.territory": "The country or region, as the form of the return wants it. It may "
    "stay empty.",
    "setting.network_place": "Town, for other stations",
    "setting_what.network_place": "Shared only if the station publishes what it holds.",
    "setting.network_position": "Latitude and longitude of the town",
    "setting_what.network_position": "In degrees, such as 51.95, 1.29, so that others can tell "
    "which station is nearest. It may stay empty.",
    "setting.network_loan": "How other stations ask for a loan",
    "setting_what.network_loan": "Whom to write to or to ring, and when. Shared word for word.",
    "setting.network_lends": "What is lent to other stations",
    "setting_what.network_lends": "Sorts of carrier, one a line. To lend a file is to copy it.",
    "setting.network_ask": "Ask other stations from the phone desk",
    "setting_what.network_ask": "Write “yes” and the phone desk asks them for what this station "
    "does not hold. Then the words in “What was heard” and “Artist” leave this station, as typed, "
    "and nothing else does: no caller, no place, no reason. So keep names of callers out of those "
    "two boxes. Empty, nothing leaves.",
    "setting.network_address": "Address of the other stations’ catalogue",
    "setting_what.network_address": "Such as http://192.168.1.20:8038. The words go there and "
    "nowhere else, and whoever runs it can see them. Outside a private network it must begin "
    "with https.",
    "setting.network_token": "Token for that address",
    "setting_what.network_token": "A line of letters that lets this station ask. Whoever runs the "
    "catalogue gives it to you.",
    "setting.language": "Language",
    "setting_what.language": "Of all pages, and of their dates.",
}
