"""German words of the stock-take, and of the places of the station."""

from __future__ import annotations

STOCK_TAKE = {
    "stock.title": "Inventur",
    "stock.how": "Gehen Sie mit einem Telefon an einem Regal entlang und haken oder scannen Sie "
    "ab, was dort steht. Man kann jederzeit aufhören, und wer will, macht weiter, auch zwei "
    "zugleich. Geändert wird nichts, bis jemand vom Archiv sie abschließt.",
    "stock.open": "Unterwegs",
    "stock.go_on": "Weiter",
    "stock.begin": "Einen Rundgang beginnen",
    "stock.shelf": "Regal",
    "stock.by_mark": "Nach Signatur",
    "stock.by_room": "Nach Platz",
    "stock.mark": "Signaturen {name} …",
    "stock.every": "Alle Regale",
    "stock.carrier": "Art der Platte",
    "stock.any_carrier": "jede Art",
    "stock.from_box": "Von Signatur (darf offen bleiben)",
    "stock.to_box": "Bis Signatur (darf offen bleiben)",
    "stock.start": "Beginnen",
    "stock.no_discs": "Im Katalog ist noch keine Platte.",
    "stock.reports": "Berichte",
    "stock.no_reports": "Noch keine.",
    "stock.from_to": "{first} bis {last}",
    "stock.from": "ab {first}",
    "stock.to": "bis {last}",
    "stock.begun": "begonnen von {who}, {at}: {count}",
    "stock.finished_by": "abgeschlossen von {who}, {at}",
    "stock.count": "{here} von {all} da",
    "stock.count_astray": "{count} am falschen Platz",
    "stock.count_unknown": "{count} unbekannt",
    "stock.back": "Alle Inventuren",
    "stock.to_end": "Was herauskommt",
    "stock.scan_part": "Abhaken oder scannen",
    "stock.scan": "Signatur scannen oder tippen",
    "stock.tick": "Abhaken",
    "stock.camera": "Kamera",
    "stock.camera_stop": "Aus",
    "stock.camera_picture": "Was die Kamera sieht",
    "stock.camera_looking": "Halten Sie ein Etikett vor die Kamera.",
    "stock.camera_not_secure": "Die Kamera bekommt nur eine Seite, die gesichert kam (https), und "
    "diese kam nicht so. Tippen Sie die Signaturen, oder nehmen Sie ein Lesegerät.",
    "stock.camera_none": "Es gibt keine Kamera, die diese Seite benutzen darf. Tippen Sie die "
    "Signaturen, oder nehmen Sie ein Lesegerät.",
    "stock.camera_denied": "Der Browser gibt dieser Seite seine Kamera nicht. Erlauben Sie es "
    "neben der Adresse, oder tippen Sie die Signaturen.",
    "stock.camera_no_decoder": "Was die Codes liest, war nicht zu holen. Tippen Sie die "
    "Signaturen, oder versuchen Sie es wieder, wenn der PC des Senders antwortet.",
    "stock.unsent_one": "Ein Haken ist noch nicht gesendet: er bleibt hier und wird gesendet, wenn "
    "der PC des Senders antwortet.",
    "stock.unsent": "{n} Haken sind noch nicht gesendet: sie bleiben hier und werden gesendet, "
    "wenn der PC des Senders antwortet.",
    "stock.expected": "Was hier stehen soll",
    "stock.pieces": "Stücke des Regals",
    "stock.pieces_again": "Stücke des Regals, noch einmal",
    "stock.odd": "Am falschen Platz oder unbekannt",
    "stock.here": "{mark} ist da.",
    "stock.again": "{mark} war schon abgehakt.",
    "stock.here_out": "{mark} ist da, und als verliehen vermerkt an {who}. Beim Abschluss gilt sie "
    "als zurück.",
    "stock.here_missing": "{mark} ist da, und war als vermisst vermerkt. Beim Abschluss gilt sie "
    "als gefunden.",
    "stock.here_order": "{mark} ist da, aber nicht in der Reihe: sie gehört zu {around}.",
    "stock.and": " und ",
    "stock.astray": "{mark} steht am falschen Platz: sie {where}.",
    "stock.belongs": "gehört zu {mark}",
    "stock.belongs_in": "gehört zu {mark}, {room}",
    "stock.by": "abgehakt von {who}",
    "stock.will_miss": "Wird als vermisst vermerkt",
    "stock.not_known": "{mark} ist nicht im Katalog. Sagen Sie bei den falsch stehenden, was es "
    "ist.",
    "stock.taken_back": "Der Haken ist zurückgenommen.",
    "stock.noted": "Vermerkt.",
    "stock.late": "Abgeschlossen hat schon: {who}. Der Haken steht trotzdem im Bericht.",
    "stock.finished_meanwhile": "Abgeschlossen von {who}. Der Bericht steht unter „Alle "
    "Inventuren“.",
    "stock.given_up_meanwhile": "Aufgegeben von {who}.",
    "stock.was_missing": "als vermisst vermerkt",
    "stock.noted_out": "als verliehen vermerkt an {who}",
    "stock.unknown": "Unbekannt",
    "stock.unknown_how": "Nichts im Katalog hat diese Signatur.",
    "stock.what_is_it": "Was es ist",
    "stock.keep": "Behalten",
    "stock.keep_which": "Behalten, was {mark} ist",
    "stock.mistyped": "Nicht hier",
    "stock.mistyped_which": "Nicht hier: {mark}",
    "stock.misplaced": "Am falschen Platz",
    "stock.stays": "Sie bleibt jetzt hier.",
    "stock.let_stay": "Sie soll hier bleiben",
    "stock.stays_which": "Sie soll hier bleiben: {mark}",
    "stock.goes_back": "Nein, sie geht zurück",
    "stock.goes_back_which": "Nein, sie geht zurück: {mark}",
    "stock.finish_title": "Was herauskommt: {name}",
    "stock.finish_how": "Übergangen ist, was vor dem Ende steht und nicht abgehakt ist. Was danach "
    "steht, wurde nicht begangen und bleibt, wie es ist.",
    "stock.end": "Der Rundgang endete bei",
    "stock.reckon": "Neu rechnen",
    "stock.sum_here": "{count} da.",
    "stock.sum_not_walked": "{count} nicht begangen.",
    "stock.sum_end": "Begangen bis {mark}.",
    "stock.missing_how": "Nehmen Sie den Haken weg, wo nichts als vermisst gelten soll.",
    "stock.list_missing": "Als vermisst vermerkt",
    "stock.list_spared": "Übergangen, nicht als vermisst vermerkt",
    "stock.list_still": "Weiter vermisst",
    "stock.list_found": "Wiedergefunden",
    "stock.list_home": "Als verliehen vermerkt, aber da: zurückgenommen",
    "stock.list_out": "Verliehen, also nicht vermisst",
    "stock.list_astray": "Am falschen Platz: zurückzustellen",
    "stock.list_moved": "Hier eingetragen, vorher anderswo",
    "stock.list_unknown": "Nicht im Katalog",
    "stock.finish": "Abschließen und eintragen",
    "stock.librarian_finishes": "Abschließen darf das Archiv. Alles Abgehakte bleibt erhalten.",
    "stock.nothing_yet": "Noch ist nichts abgehakt.",
    "stock.give_up": "Diesen Rundgang aufgeben",
    "stock.walk_on": "Weitergehen",
    "stock.finished": "Eingetragen, als ein Schritt. Unter „Zuletzt getan“ lässt er sich "
    "zurücknehmen: dann ist der Rundgang wieder offen.",
    "stock.given_up": "Aufgegeben. Unter „Zuletzt getan“ lässt es sich zurücknehmen.",
    "stock.report_title": "Inventur: {name}",
    "stock.came_late": "Nach dem Ende abgehakt, von einem Telefon, das vorher nicht senden konnte: "
    "{marks}.",
    "stock.all_well": "Alles war an seinem Platz.",
    "stock.in_room": "gehört nach: {room}",
    "stock.was_in": "war in: {room}",
    "stock.undo_where": "Unter „Zuletzt getan“ zurücknehmen",
    "places.title": "Plätze",
    "places.how": "Wo Platten sind: Regale, Lager, Studios, Wagen. Diese Plätze werden angeboten, "
    "wo nach dem Platz einer Platte gefragt wird. Ein Platz, der umbenannt wird, nimmt seine "
    "Platten mit. Alles hier lässt sich unter „Zuletzt getan“ zurücknehmen.",
    "places.none": "Noch ist kein Platz auf der Liste.",
    "places.name": "Name des Platzes",
    "places.kind": "Was es ist",
    "places.disc": "1 Platte",
    "places.discs": "{count} Platten",
    "places.change": "Änderung behalten",
    "places.change_which": "Änderung behalten: {name}",
    "places.same_as": "Oder dasselbe wie",
    "places.join": "Zusammenlegen",
    "places.join_which": "Zusammenlegen: {name}",
    "places.unlisted": "Bei Platten eingetragen, aber nicht auf der Liste",
    "places.unlisted_how": "Sie kamen mit einer Liste, oder jemand hat sie getippt. Sagen Sie, was "
    "jeder ist, oder welcher Platz der Liste.",
    "places.add_which": "Auf die Liste: {name}",
    "places.another": "Noch ein Platz",
    "places.added": "Er steht auf der Liste.",
    "places.changed": "Der Platz ist geändert.",
    "places.changed_with": "Der Platz ist geändert. Mit umgestellt: {discs}.",
    "places.joined": "Sie sind ein Platz: {name}. Umgestellt: {discs}.",
    "places.used": "Der Platz wird wieder angeboten.",
    "places.retired": "Der Platz wird nicht mehr angeboten. Platten, die dort sind, bleiben.",
    "place_kind.shelf": "Regal",
    "place_kind.store room": "Lager",
    "place_kind.studio": "Studio",
    "place_kind.van": "Wagen",
    "place_kind.other": "anderes",
    "copy.new_place": "Es ist ein neuer Platz",
    "pull.scan_home": "Zurückgestellt: Signatur tippen oder scannen",
    "pull.is_home": "Sie ist zurück",
    "table.shelf_places": "Platz des Senders",
    "table.stocktakes": "Inventur",
}

STOCK_TAKE_SENTENCES = {
    "Choose a shelf: how its marks begin, or its room.": "Wählen Sie ein Regal: wie seine "
    "Signaturen beginnen, oder seinen Platz.",
    "Choose the kind of disc from the list.": "Wählen Sie die Art der Platte aus der Liste.",
    "A shelf’s name and its marks have {} letters at most.": "Der Name eines Regals und seine "
    "Signaturen haben höchstens {0} Buchstaben.",
    "{} stands after {}. Name the first mark first.": "{0} steht nach {1}. Nennen Sie die erste "
    "Signatur zuerst.",
    "No disc is entered for that part of the shelf. Look at the marks again.": "Für dieses Stück "
    "des Regals ist keine Platte eingetragen. Sehen Sie noch einmal auf die Signaturen.",
    "That is {} discs; {} in one walk are enough. Take a part of the shelf, from one mark to "
    "another.": "Das sind {0} Platten; {1} in einem Rundgang genügen. Nehmen Sie ein Stück des "
    "Regals, von einer Signatur bis zu einer anderen.",
    "There is no stock-take number {}.": "Eine Inventur Nummer {0} gibt es nicht.",
    "That tick came without its key. Load the page again.": "Dieser Haken kam ohne seinen "
    "Schlüssel. Laden Sie die Seite neu.",
    "This stock-take was given up. Nothing was noted.": "Diese Inventur wurde aufgegeben. Vermerkt "
    "wurde nichts.",
    "That was not noted in this stock-take. Load the page again.": "Das ist in dieser Inventur "
    "nicht vermerkt. Laden Sie die Seite neu.",
    "{} finished this stock-take already. Look at its report.": "Abgeschlossen hat diese Inventur "
    "schon: {0}. Sehen Sie in ihren Bericht.",
    "Somebody ticked meanwhile. Nothing was written: look at what it comes to now.": "Inzwischen "
    "wurde weiter abgehakt. Eingetragen wurde nichts: sehen Sie, was jetzt herauskommt.",
    "Nothing was seen yet. Tick what is on the shelf first.": "Noch ist nichts abgehakt. Haken Sie "
    "zuerst ab, was im Regal steht.",
    "No disc of this part of the shelf has the mark “{}”.": "Keine Platte dieses Stücks hat die "
    "Signatur „{0}“.",
    "“{}” is no longer in use. Choose another place.": "„{0}“ ist nicht mehr in Gebrauch. Wählen "
    "Sie einen anderen Platz.",
    "“{}” is not on the list of places. Is it {}? If it is a new place, tick that it is.": "„{0}“ "
    "steht nicht auf der Liste der Plätze. Ist es {1}? Wenn es ein neuer Platz ist, haken Sie das "
    "an.",
    "“{}” is not on the list of places. If it is a new place, tick that it is.": "„{0}“ steht "
    "nicht auf der Liste der Plätze. Wenn es ein neuer Platz ist, haken Sie das an.",
    "“{}” is on the list already. Join the two if they are one place.": "„{0}“ steht schon auf der "
    "Liste. Legen Sie beide zusammen, wenn sie ein Platz sind.",
    "There is no place “{}” on the list.": "Einen Platz „{0}“ gibt es nicht auf der Liste.",
    "That is one place, not two.": "Das ist ein Platz, nicht zwei.",
    "A place’s name has {} letters at most. Nothing was changed.": "Der Name eines Platzes hat "
    "höchstens {0} Buchstaben. Es wurde nichts geändert.",
    "Choose the kind of place from the list.": "Wählen Sie die Art des Platzes aus der Liste.",
    "every shelf": "alle Regale",
    "began a stock-take of {}": "Inventur begonnen: {0:said}",
    "finished the stock-take of {}": "Inventur abgeschlossen: {0:said}",
    "gave up the stock-take of {}": "Inventur aufgegeben: {0:said}",
    "put the place “{}” on the list": "Platz „{0}“ auf die Liste gesetzt",
    "named the place “{}” “{}”": "Platz „{0}“ in „{1}“ umbenannt",
    "joined the place “{}” to “{}”": "Platz „{0}“ mit „{1}“ zusammengelegt",
}
