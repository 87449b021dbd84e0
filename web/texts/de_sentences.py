"""What the catalogue says in sentences of its own, in German: see `sentences.py` for the signs."""

from __future__ import annotations

from web.texts.de_by_hand import BY_HAND_SENTENCES
from web.texts.de_health import HEALTH
from web.texts.de_programme_sentences import PROGRAMME_SENTENCES
from web.texts.de_refusals import REFUSALS
from web.texts.de_shelf_work import SHELF_WORK_SENTENCES
from web.texts.de_stock_take import STOCK_TAKE_SENTENCES
from web.texts.de_taken_in import TAKEN_IN

_SAYINGS = {
    "“{}” by {}": "„{0}“ von {1}",
    "What would you like to hear?": "Was möchten Sie gern hören?",
    "Yes, we have {}.": "Ja, wir haben {0:said}.",
    "We have {}. Is that the one?": "Wir haben {0:said}. Ist es das?",
    "Could it be {}?": "Könnte es {0:said} sein?",
    " We could play {} instead.": " Wir könnten stattdessen {0:said} spielen.",
    " Tell me a little more about it.": " Erzählen Sie mir noch etwas darüber.",
    "I am not sure I heard that right. Could it be {}?": "Ich bin nicht sicher, ob ich das richtig "
    "verstanden habe. Könnte es {0:said} sein?",
    "I cannot find that one.{}": "Das kann ich nicht finden.{0:said}",
    "There are several of that name: by {}. Whose is it?": "Davon gibt es mehrere: von {0}. "
    "Welches soll es sein?",
    "We know {}, but we have not got it.": "Wir kennen {0:said}, aber wir haben es nicht da.",
    "We have not got {}, but we have {}.": "Wir haben {0:said} nicht da, aber {1:said}.",
    "We have {}, but it cannot go out now: {}.": "Wir haben {0:said}, aber es geht jetzt nicht: "
    "{1:said}.",
    "We have {}, but it cannot go out now: {}. We could play {}.": "Wir haben {0:said}, aber es "
    "geht jetzt nicht: {1:said}. Wir könnten {2:said} spielen.",
    "Nothing on our shelves is ready at this moment.": "Im Moment ist in unseren Regalen nichts "
    "bereit.",
    "How about {}?": "Wie wäre es mit {0:said}?",
    "Do you remember any words of it, or how it begins?": "Wissen Sie noch ein paar Worte daraus, "
    "oder wie es anfängt?",
    "Who sings it, or who plays it?": "Wer singt es, oder wer spielt es?",
    "About when was it: when you were at school, first married, later?": "Wann war das ungefähr: "
    "als Sie zur Schule gingen, jung verheiratet waren, später?",
    "Is it slow or quick? A man, a woman, a group, or no singing?": "Ist es langsam oder schnell? "
    "Ein Mann, eine Frau, mehrere, oder ohne Gesang?",
    "Is it slow or quick?": "Ist es langsam oder schnell?",
    "Is it a man, a woman, a group, or no singing?": "Ist es ein Mann, eine Frau, sind es mehrere, "
    "oder ohne Gesang?",
    "What sort of music is it?": "Was für eine Musik ist es?",
    "What language is it in?": "In welcher Sprache ist es?",
    "What is it for, if you like to say?": "Wofür ist es, wenn Sie es sagen mögen?",
    "Could you spell the name for me?": "Könnten Sie mir den Namen buchstabieren?",
    "We have a song of that name by {}. Would it be that one?": "Wir haben ein Lied dieses Namens "
    "von {0}. Könnte es das sein?",
    "the same song by {}": "dasselbe Lied von {0}",
    "the same song, {}": "dasselbe Lied, {0:said}",
    "a song of that name by {}": "ein Lied dieses Namens von {0}",
    "the {} version by {}: “{}”": "die Fassung „{0}“ von {1}: „{2}“",
    "another recording by {}: “{}”": "eine andere Aufnahme von {0}: „{1}“",
    "another {}: “{}”": "noch {0:said}: „{1}“",
    "one by {} from the same year": "eins von {0} aus demselben Jahr",
    "one by {}": "eins von {0}",
    "slow one by {} from the same year": "ein langsames von {0} aus demselben Jahr",
    "quick one by {} from the same year": "ein schnelles von {0} aus demselben Jahr",
    "slow one by {}": "ein langsames von {0}",
    "quick one by {}": "ein schnelles von {0}",
    "{}, who sings with some of the same people": "{0:said}, wo Leute des Gewünschten mitsingen",
    "{}, who is on a record with them": "{0:said}, mit dem Gewünschten auf einer Platte",
    "{}, whom others here took in their place": "{0:said}, von anderen hier schon genommen",
    "another song of that name, by {}": "ein anderes Lied dieses Namens, von {0}",
    "{}, by the same writer": "{0:said}, aus derselben Feder",
    "{}, from about the same time": "{0:said}, ungefähr aus derselben Zeit",
    "{}, another slow one from about the same time": "{0:said}, auch langsam und ungefähr aus "
    "derselben Zeit",
    "{}, another quick one from about the same time": "{0:said}, auch schnell und ungefähr aus "
    "derselben Zeit",
    "{}, of the same kind": "{0:said}, von derselben Art",
    "{}, of much the same kind": "{0:said}, ganz ähnlich",
    "{}, a {} one": "{0:said}, eher {1:said}",
    "{}, at much the same pace": "{0:said}, etwa gleich schnell",
    "{}, which others here took in its place": "{0:said}, das andere hier stattdessen nahmen",
    "{}, which our callers often ask for": "{0:said}, oft gewünscht bei uns",
    "{}, which others here chose for {}": "{0:said}, das andere hier wählten für: {1:said}",
    "We have {}.": "Wir haben {0:said}.",
    "Is it to be lively or gentle?": "Soll es lebhaft oder ruhig sein?",
    "Nothing is known of it yet: these are what callers here ask for, and some of everything, "
    "others every day.": "Es ist noch nichts darüber bekannt: Das hier wünschen sich unsere "
    "Anrufer, und von allem etwas, jeden Tag anderes.",
    "This list goes by: {}.": "Diese Liste richtet sich nach: {0:each}.",
    "This list goes by: {}. Of so many others are tried every day.": "Diese Liste richtet sich "
    "nach: {0:each}. Von so vielen kommen jeden Tag andere dran.",
    "the artist, {}": "dem Interpreten, {0}",
    "about {}": "um {0}",
    "{} beats a minute": "{0} Schläge pro Minute",
    "sung by a man": "ein Mann singt",
    "sung by a woman": "eine Frau singt",
    "sung by a group": "mehrere singen",
    "no singing": "ohne Gesang",
    "in {}": "Sprache: {0}",
    "for {}": "für: {0}",
}

_REASONS = {
    "the title is “{}”, as you typed it": "der Titel ist „{0}“, wie getippt",
    "the artist is {}, as you typed it": "der Interpret ist {0}, wie getippt",
    "you typed “{}”, we know “{}”: sounds alike": "getippt „{0}“, bekannt „{1}“: klingt gleich",
    "you typed “{}”, we know {}: sounds alike": "getippt „{0}“, bekannt {1}: klingt gleich",
    "you typed “{}”, we know “{}”: nearly the same letters": "getippt „{0}“, bekannt „{1}“: fast "
    "dieselben Buchstaben",
    "you typed “{}”, we know {}: nearly the same letters": "getippt „{0}“, bekannt {1}: fast "
    "dieselben Buchstaben",
    "said together, “{}” sounds like “{}”": "am Stück gesprochen klingt „{0}“ wie „{1}“",
    "the title “{}” was not clearly heard": "der Titel „{0}“ war nicht deutlich zu hören",
    "no artist was clearly heard; this one is by {}": "kein Interpret war deutlich zu hören; dies "
    "ist von {0}",
    "“{}” is another name for {}": "„{0}“ ist ein anderer Name für {1}",
    "“{}” has meant “{}” before": "mit „{0}“ war schon einmal „{1}“ gemeint",
    "the year {} fits": "das Jahr {0} passt",
    "you said {}, this one is from {}": "gesagt wurde {0}, dies ist von {1}",
    "it is the {} version": "es ist die Fassung „{0}“",
    "others come as near, so ask which": "andere kommen ebenso nah, also nachfragen",
    "the same song, “{}”, by somebody else": "dasselbe Lied, „{0}“, von jemand anderem",
    "a song of the same name, “{}”; it may not be the same song": "ein Lied dieses Namens, „{0}“; "
    "vielleicht nicht dasselbe",
    "also by {}": "auch von {0}",
    "also written by {}": "auch geschrieben von {0}",
    "from about the same time, {}": "ungefähr aus derselben Zeit, {0}",
    "about as quick, {} beats a minute": "etwa so schnell, {0} Schläge pro Minute",
    "the same kind of music, {}": "dieselbe Art Musik, {0}",
    "our callers ask for it often": "unsere Anrufer wünschen es oft",
    "by {}, who sings with people of the one asked for": "von {0}, wo Leute des Gewünschten "
    "mitsingen",
    "by {}, who is on a record with the one asked for": "von {0}, mit dem Gewünschten auf einer "
    "Platte",
    "callers here took {} in place of that artist before": "Anrufer haben schon {0} anstelle "
    "dieses Interpreten genommen",
    "callers here took it in place of that one, {}": "Anrufer haben es anstelle dessen genommen, "
    "{0}",
    "callers here refused it in place of that one, {}": "Anrufer haben es anstelle dessen "
    "abgelehnt, {0}",
    "much the same kind of music, {}": "ganz ähnliche Musik, {0}",
    "a {} one": "eher {0:said}",
    "also in {}": "auch in: {0}",
    "it lasts {}, and {} is left of the programme": "es dauert {0}, und von der Sendung sind noch "
    "{1} übrig",
    "it lasts only {}": "es dauert nur {0}",
    "others chose it for {}": "andere wählten es für: {0:said}",
    "take care: “{}” is in the title": "Achtung: „{0}“ steht im Titel",
}

_DAYS = ("Montag", "Dienstag", "Mittwoch", "Donnerstag", "Freitag", "Samstag", "Sonntag")
_MONTHS = (
    "Januar", "Februar", "März", "April", "Mai", "Juni", "Juli", "August", "September",
    "Oktober", "November", "Dezember",
)  # fmt: skip
_ENGLISH_DAYS = (
    "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday",
)  # fmt: skip
_ENGLISH_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip

_WHEN = {
    "today": "heute",
    "yesterday": "gestern",
    **dict(zip(_ENGLISH_DAYS, _DAYS, strict=True)),
    **{f"{{}} {e}": f"{{0}}. {d}" for e, d in zip(_ENGLISH_MONTHS, _MONTHS, strict=True)},
    **{f"{{}} {e} {{}}": f"{{0}}. {d} {{1}}"
       for e, d in zip(_ENGLISH_MONTHS, _MONTHS, strict=True)},
}  # fmt: skip

_AVAILABLE = {
    "missing since the last look": "fehlt seit dem letzten Nachsehen",
    "damaged": "beschädigt",
    "would not play in the studio today": "ließ sich heute im Studio nicht abspielen",
    "on loan to {} since {}": "ausgeliehen an {0}, seit {1:said}",
    "fetched for {} since {}": "geholt für {0}, seit {1:said}",
    "played at {} today": "heute um {0} gespielt",
    "played yesterday at {}": "gestern um {0} gespielt",
    "played on {} at {}": "am {0:said} um {1} gespielt",
    "on another slip for {}": "auf einem anderen Zettel für {0}",
    "on another slip, still being written": "auf einem anderen Zettel, der noch geschrieben wird",
    "known, but not held": "bekannt, aber nicht im Haus",
    "worn, but plays": "abgespielt, aber läuft",
    "scratched: listen to it first": "zerkratzt: vorher anhören",
    "slow": "langsam",
    "quick": "schnell",
}

_CAUTIONS = {
    "This looks like a date of birth. The presenter does not need it.": "Das sieht nach einem "
    "Geburtsdatum aus. Der Moderator braucht es nicht.",
    "This looks like a patient's number. Please take it out.": "Das sieht nach einer "
    "Patientennummer aus. Bitte herausnehmen.",
    "This looks like a telephone number. Put it under “ring back”, or leave it.": "Das sieht nach "
    "einer Telefonnummer aus. Bitte unter „Rückruf“ schreiben oder weglassen.",
    "A bed number tells who somebody is. The ward is enough.": "Eine Bettnummer verrät, wer jemand "
    "ist. Die Station genügt.",
    "This seems to name an illness. Leave it out unless the caller wants it said.": "Das scheint "
    "eine Krankheit zu nennen. Weglassen, außer der Anrufer will es gesagt haben.",
    "Under sixteen: ask for a grown-up's consent before the name goes on air, and follow your "
    "station's policy.": "Unter 16: Erst einen Erwachsenen um Zustimmung bitten, dann den Namen "
    "senden. Die Regeln Ihres Senders gehen vor.",
}

_CHECKLIST = {
    "The caller knows they will be on air, and agrees": "Der Anrufer weiß, dass er auf Sendung "
    "geht, und ist einverstanden",
    "The caller's own radio is turned down": "Das Radio des Anrufers ist leise gestellt",
    "You know how to say the name": "Sie wissen, wie man den Namen spricht",
    "You know what not to ask about": "Sie wissen, wonach Sie nicht fragen",
    "You have talked to them off air, and the level is set": "Sie haben außerhalb der Sendung "
    "miteinander gesprochen, und der Pegel ist eingestellt",
    "The caller hears the programme without their own voice in it": "Der Anrufer hört die Sendung "
    "ohne die eigene Stimme darin",
    "The studio loudspeaker is down before the fader opens": "Der Lautsprecher im Studio ist "
    "leise, bevor der Regler aufgeht",
    "At the end: the fader is down first": "Am Ende: zuerst ist der Regler zu",
    "Then they are thanked off air, and the line is given back": "Dann wird außerhalb der Sendung "
    "gedankt und die Leitung zurückgegeben",
}

_COMPARED = {
    "sounds of the name, laid inside what was heard": "Laute des Namens, in das Gehörte gelegt",
    "sounds of the title": "Laute des Titels",
    "sounds of the artist": "Laute des Interpreten",
    "what the artist adds to the title": "was der Interpret zum Titel beiträgt",
    "phonemes alike, in the best order": "gleiche Laute, in der besten Reihenfolge",
    "sounds alike as a telephone leaves them": "gleich, wie ein Telefon die Laute durchlässt",
    "letters alike": "gleiche Buchstaben",
    "letters alike, slips of the hand allowed": "gleiche Buchstaben, Vertipper erlaubt",
    "slips, where words are in no dictionary": "Vertipper, wo Wörter in keinem Wörterbuch stehen",
    "all that was heard against the title: phonemes": "alles Gehörte gegen den Titel: Laute",
    "all that was heard against the title: letters": "alles Gehörte gegen den Titel: Buchstaben",
    "how much of the title was heard": "wie viel vom Titel zu hören war",
    "how much of the artist was heard": "wie viel vom Interpreten zu hören war",
    "how much of the name was heard": "wie viel vom Namen zu hören war",
    "how much of what was heard it explains": "wie viel vom Gehörten es erklärt",
    "length, title and artist": "Länge, Titel und Interpret",
    "length, title alone": "Länge, Titel allein",
    "a long title": "ein langer Titel",
    "a long artist's name": "ein langer Interpretenname",
    "the very words of the title": "genau die Wörter des Titels",
    "the very words of the artist": "genau die Wörter des Interpreten",
    "the very surname": "genau der Nachname",
    "the title exactly": "der Titel genau",
    "title against title": "Titel gegen Titel",
    "artist against artist": "Interpret gegen Interpret",
    "rare sounds shared": "gemeinsame seltene Laute",
    "rare words of the title, letter by letter": "seltene Wörter des Titels, buchstäblich",
    "share of the title's words, letter by letter": "Anteil der Wörter des Titels, buchstäblich",
    "how rare the title's words are": "wie selten die Wörter des Titels sind",
    "rare words of the title, by sound": "seltene Wörter des Titels, nach dem Klang",
    "share of the title's words, by sound": "Anteil der Wörter des Titels, nach dem Klang",
    "how clearly rare words of the title were heard": "Deutlichkeit seltener Titelwörter",
    "how clearly the title's words were heard": "wie deutlich die Wörter des Titels waren",
    "rare words of the artist, letter by letter": "seltene Wörter des Namens, buchstäblich",
    "share of the artist's words, letter by letter": "Anteil der Wörter des Namens, buchstäblich",
    "how rare the artist's words are": "wie selten die Wörter des Namens sind",
    "rare words of the artist, by sound": "seltene Wörter des Namens, nach dem Klang",
    "share of the artist's words, by sound": "Anteil der Wörter des Namens, nach dem Klang",
    "how clearly rare words of the artist were heard": "Deutlichkeit seltener Namenswörter",
    "how clearly the artist's words were heard": "wie deutlich die Wörter des Namens waren",
}

_DONE = {
    "set up the desk “{}”": "Platz „{0}“ eingerichtet",
    "judged discs {} and {}: {}": "Tonträger {0} und {1} beurteilt: {2}",
    "made recording {} one with recording {}": "Aufnahme {0} mit Aufnahme {1} zusammengelegt",
    "made disc {} one with disc {}": "Tonträger {0} mit Tonträger {1} zusammengelegt",
    "put the song of recording {} right": "das Lied von Aufnahme {0} richtiggestellt",
    "want {} is not recording {}": "Wunsch {0} ist nicht Aufnahme {1}",
    "It was broken off. Nothing is lost; begin it again.": "Die Suche brach ab. Nichts ist "
    "verloren; beginnen Sie sie noch einmal.",
    "judged recordings {} and {}: {}": "Aufnahmen {0} und {1} beurteilt: {2}",
    "learnt how recording {} was heard": "gelernt, wie Aufnahme {0} gehört wurde",
    "unlearnt a hearing": "eine Hörweise verlernt",
    "brought back {}": "{0} zurückgebracht",
    "lent {} to {}": "{0} an {1} verliehen",
    "added the place “{}”": "Ort „{0}“ eingetragen",
    "changed the place “{}”": "Ort „{0}“ geändert",
    "offers the place “{}” again": "bietet den Ort „{0}“ wieder an",
    "no longer offers “{}”": "bietet „{0}“ nicht mehr an",
    "added the programme “{}”": "Sendung „{0}“ eingetragen",
    "added the folder {}": "Ordner {0} eingetragen",
    "moved the folder {} to {}": "Ordner {0} nach {1} verlegt",
    "said how {} sees {}": "gesagt, wie {0} {1} sieht",
    "set “{}”": "„{0}“ gesetzt",
    "took back: {}": "zurückgenommen: {0:said}",
    "noted that {} is not in its place": "vermerkt, dass {0} nicht an seinem Platz ist",
    "noted that {} is in its place again": "vermerkt, dass {0} wieder an seinem Platz ist",
    "sent slip {} back: {}": "Zettel {0} zurückgegeben: {1}",
    "took slip {} up again": "Zettel {0} wieder aufgenommen",
    "put something on the list of wants": "etwas auf die Wunschliste gesetzt",
    "closed want {}": "Wunsch {0} geschlossen",
    "noted something to look for": "etwas zu Suchendes notiert",
}

SENTENCES: dict[str, str] = {
    **_SAYINGS, **_REASONS, **_WHEN, **_AVAILABLE, **_CAUTIONS, **_CHECKLIST, **_COMPARED, **_DONE,
    **REFUSALS, **PROGRAMME_SENTENCES, **TAKEN_IN, **SHELF_WORK_SENTENCES, **HEALTH,
    **STOCK_TAKE_SENTENCES,
    **BY_HAND_SENTENCES,
}  # fmt: skip
