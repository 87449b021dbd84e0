"""The German words of the door, as `en_sign_in.py` has them in English."""

from __future__ import annotations

SIGN_IN = {
    "sign_in.title": "Anmelden",
    "sign_in.name": "Ihr Name",
    "sign_in.passphrase": "Ihr Kennsatz",
    "sign_in.enter": "Anmelden",
    "sign_in.wrong": "Name und Kennsatz gehören nicht zusammen. Bitte noch einmal; Großbuchstaben "
    "und Striche spielen keine Rolle.",
    "sign_in.wait": "Das war einige Male falsch. Bitte {seconds} Sekunden warten, dann noch "
    "einmal versuchen.",
    "sign_in.nobody": "Es steht noch niemand auf der Liste. Wer den Rechner des Senders betreut, "
    "trägt dort die erste Person ein.",
    "sign_in.left": "Sie sind abgemeldet.",
    "sign_in.ended": "Sie sind abgemeldet. Was auf dieser Seite steht, ist noch da: Melden Sie "
    "sich in einem anderen Fenster wieder an und machen Sie dann weiter.",
    "sign_in.again": "In einem anderen Fenster wieder anmelden",
    "sign_in.too_late": "Dieser Kennsatz galt für eine Anmeldung, und seine Zeit ist vorbei. Bitte "
    "um einen neuen fragen, wer die Liste der Leute führt.",
    "sign_in.by_pin": "Mit Ihrer PIN an „{desk}“",
    "sign_in.by_passphrase": "Mit Name und Kennsatz",
    "sign_in.who": "Wer ist da",
    "sign_in.pin": "Ihre PIN",
    "sign_in.enter_pin": "Mit der PIN anmelden",
    "sign_in.wrong_pin": "Das ist nicht die PIN dieser Person an diesem Platz. Noch einmal, oder "
    "mit dem Kennsatz anmelden.",
    "change.person": "Person wechseln",
    "change.how": "Was auf dieser Seite steht, bleibt, wie es ist. Was von jetzt an geschieht, "
    "geschieht im Namen der Person, die sich anmeldet.",
    "change.stay": "Niemand wechselt",
    "change.other": "Jemand ohne PIN hier",
    "change.done": "{name} ist jetzt da.",
    "refusal.pin": "Dazu braucht es Ihren Kennsatz; eine PIN genügt nicht. Melden Sie sich ab und "
    "mit Name und Kennsatz wieder an.",
    "refusal.past_caller": "Dieser Anruf ist vorbei, und sein Abend auch. Frühere Anrufer sieht "
    "nur, wer den Sender betreut, um ihnen zu antworten und zu löschen.",
    "own.title": "Ihre Anmeldung",
    "own.choose_title": "Wählen Sie Ihren eigenen Kennsatz",
    "own.choose_how": "Der, mit dem Sie hereinkamen, galt nur dieses eine Mal. Nehmen Sie den "
    "hier, eben gemacht und von niemandem sonst gesehen, oder schreiben Sie einen eigenen: vier "
    "einfache Wörter, die nichts miteinander zu tun haben. Schreiben Sie ihn auf und behalten Sie "
    "ihn bei sich.",
    "own.choose_first": "Wählen Sie zuerst Ihren eigenen Kennsatz.",
    "own.proposed": "Für Sie gemacht",
    "own.take_proposed": "Ich habe ihn aufgeschrieben: diesen nehmen",
    "own.or_write": "Oder einen eigenen schreiben",
    "own.new": "Neuer Kennsatz",
    "own.again": "Noch einmal derselbe",
    "own.again_pin": "Noch einmal dieselbe PIN",
    "own.current": "Ihr Kennsatz, wie er jetzt ist",
    "own.keep": "Diesen Kennsatz behalten",
    "own.passphrase": "Ein anderer Kennsatz",
    "own.passphrase_how": "15 Zeichen oder mehr, gleich welche. An jedem anderen Platz werden Sie "
    "abgemeldet.",
    "own.chosen": "Ihr neuer Kennsatz gilt. Überall sonst sind Sie abgemeldet.",
    "own.not_the_same": "Beim zweiten Mal steht etwas anderes da. Es wurde nichts geändert.",
    "own.same_as_before": "Das ist der Kennsatz, den Sie schon haben. Nehmen Sie einen anderen.",
    "own.wrong_passphrase": "Das ist nicht Ihr Kennsatz. Es wurde nichts geändert.",
    "own.pin_title": "Ihre PIN an „{desk}“",
    "own.pin_how": "Sechs Ziffern oder mehr, nur für diesen Platz; an keinem anderen gilt sie. Für "
    "die Seiten des Senders genügt sie nicht.",
    "own.pin": "Neue PIN",
    "own.pin_keep": "Diese PIN behalten",
    "own.pin_there": "Sie haben hier eine PIN. Eine neue tritt an ihre Stelle.",
    "own.pin_set": "Ihre PIN gilt von jetzt an an „{desk}“.",
    "own.pins_forget": "Meine PINs vergessen, an jedem Platz",
    "own.pins_forgotten": "Sie haben keine PIN mehr. Ihr Kennsatz gilt wie bisher.",
    "own.no_pin": "Dieser Platz ist nicht gemeinsam, also gibt es für ihn keine PIN. Wo mehrere "
    "einen PC benutzen, machen Sie ihn unter „Dieser Platz“ zum gemeinsamen Platz.",
    "own.not_shared": "Eine PIN gilt nur an gemeinsamen Plätzen, und dies ist keiner.",
    "own.sessions": "Wo Sie angemeldet sind",
    "own.session": "seit {at}, mit Kennsatz",
    "own.session_pin": "seit {at}, mit PIN",
    "own.this_one": "dieser Platz",
    "own.sign_out_elsewhere": "Überall sonst abmelden",
    "own.signed_out_elsewhere": "Sie sind nur noch an diesem Platz angemeldet.",
    "shared.title": "Ein Platz, den mehrere benutzen",
    "shared.how": "An einem gemeinsamen Platz kann jede Person eine PIN festlegen und damit "
    "hereinkommen. Machen Sie nur einen PC des Senders dazu, nie Ihr eigenes Telefon.",
    "shared.name": "Name des gemeinsamen Platzes",
    "shared.make": "Zum gemeinsamen Platz machen",
    "shared.is": "Dies ist ein gemeinsamer Platz, „{desk}“. Ihre PIN dafür legen Sie oben unter "
    "Ihrem Namen fest.",
    "shared.end": "Kein gemeinsamer Platz mehr",
    "shared.ended": "Dies ist kein gemeinsamer Platz mehr, und seine PINs sind vergessen.",
    "shared.made": "Dies ist jetzt ein gemeinsamer Platz. Ihre PIN dafür legen Sie oben unter "
    "Ihrem Namen fest.",
    "shared.needs_passphrase": "Um zu ändern, ob dieser Platz gemeinsam ist, melden Sie sich mit "
    "Ihrem Kennsatz an.",
    "shared.no_cookie": "Dieser Browser behält kein Cookie, also ist der Platz nicht "
    "wiederzuerkennen.",
    "shared.list": "Gemeinsame Plätze",
    "shared.list_how": "Entziehen Sie einem Platz die Anmeldung, dessen PC verloren, verkauft oder "
    "gestohlen ist: Seine PINs gelten nicht mehr, und wer dort angemeldet ist, wird abgemeldet.",
    "shared.none": "Kein Platz ist gemeinsam. Dazu wird er am Platz selbst gemacht, unter „Dieser "
    "Platz“.",
    "shared.last": "zuletzt benutzt {at}",
    "shared.pins": "PINs: {names}",
    "shared.no_pins": "niemand hat hier eine PIN",
    "shared.here": "dieser Platz",
    "shared.revoke": "Entziehen",
    "shared.revoke_which": "Entziehen: {desk}",
    "shared.revoked": "Dem Platz ist die Anmeldung entzogen.",
    "people.one_time": "war noch nicht angemeldet",
    "people.own_passphrase": "Ihren eigenen Kennsatz ändern Sie oben unter Ihrem Namen.",
    "people.sign_out": "Überall abmelden",
    "people.sign_out_which": "Überall abmelden: {name}",
    "people.signed_out": "{name} ist überall abgemeldet.",
    "refusal.host": "Auf den Namen {host} hört dieser Sender nicht. Nehmen Sie die Adresse, die "
    "beim Start gezeigt wurde, oder starten Sie ihn mit --name {host}.",
    "trust.title": "Diesen Platz dem Sender trauen lassen",
    "trust.how": "Was zwischen diesem Platz und dem Rechner des Senders geht, ist verschlüsselt. "
    "Das Zertifikat hat der Sender selbst gemacht, deshalb kennt der Browser es noch nicht und "
    "warnt. Tun Sie dies einmal an jedem Platz.",
    "trust.compare": "Vergleichen Sie diesen Fingerabdruck (SHA-256) mit dem am Rechner des "
    "Senders, wo er beim Start gezeigt wurde. Nur weiter, wenn beide gleich sind.",
    "trust.get": "Das Zertifikat holen.",
    "trust.put": "Legen Sie es zu denen, denen dieser Platz traut:",
    "trust.windows": "Windows: Datei öffnen, „Zertifikat installieren“, „Aktueller Benutzer“, in "
    "„Vertrauenswürdige Stammzertifizierungsstellen“ ablegen.",
    "trust.mac": "Mac: Datei in der Schlüsselbundverwaltung öffnen, dann bei „Vertrauen“ „Immer "
    "vertrauen“ wählen.",
    "trust.linux": "Linux, Chrome oder Chromium: Einstellungen, Datenschutz und Sicherheit, "
    "Sicherheit, Zertifikate verwalten, Zertifizierungsstellen, Importieren.",
    "trust.firefox": "Firefox: Einstellungen, Datenschutz & Sicherheit, Zertifikate anzeigen, "
    "Zertifizierungsstellen, Importieren.",
    "trust.phone": "Telefon: in den Einstellungen als CA-Zertifikat installieren; auf dem iPhone "
    "danach unter Allgemein, Info, Zertifikatsvertrauenseinstellungen einschalten.",
    "trust.again": "Den Browser schließen und den Sender neu öffnen.",
    "trust.only": "Ein Platz, der ihm traut, traut ihm nur für Adressen und Namen dieses Netzes "
    "und für keine Seite draußen.",
    "trust.none": "Hier ist nichts zu tun: Der Sender hat kein selbst gemachtes Zertifikat.",
    "trust.plain": "Dieser Sender ist mit HTTPS zu erreichen. Öffnen Sie stattdessen {address}, "
    "mit https am Anfang.",
}
