"""The words of the door, of one's own sign-in, of shared desks, and of the certificate."""

from __future__ import annotations

SIGN_IN = {
    "sign_in.title": "Sign in",
    "sign_in.name": "Your name",
    "sign_in.passphrase": "Your passphrase",
    "sign_in.enter": "Sign in",
    "sign_in.wrong": "That name and passphrase do not go together. Try again; capitals and "
    "dashes make no difference.",
    "sign_in.wait": "That was wrong a few times. Wait {seconds} seconds, then try again.",
    "sign_in.nobody": "Nobody is on the list of people yet. Whoever keeps this station’s PC adds "
    "the first one there.",
    "sign_in.left": "You are signed out.",
    "sign_in.ended": "You are signed out. What is on this page is still here: sign in again in "
    "another window, then go on.",
    "sign_in.again": "Sign in again in another window",
    "sign_in.too_late": "That passphrase was for one sign-in, and its time is over. Ask whoever "
    "keeps the station’s list of people for another.",
    "sign_in.by_pin": "With your PIN at {desk}",
    "sign_in.by_passphrase": "With your name and passphrase",
    "sign_in.who": "Who is here",
    "sign_in.pin": "Your PIN",
    "sign_in.enter_pin": "Sign in with the PIN",
    "sign_in.wrong_pin": "That is not the PIN of this person at this desk. Try again, or sign in "
    "with your passphrase.",
    "change.person": "Change person",
    "change.how": "What is on this page stays as it is. What is done from now on is in the name "
    "of whoever signs in.",
    "change.stay": "Nobody changes",
    "change.other": "Somebody without a PIN here",
    "change.done": "{name} is here now.",
    "refusal.pin": "This needs your passphrase; a PIN is not enough for it. Sign out, and in again "
    "with your name and passphrase.",
    "refusal.past_caller": "This call is over, and its evening too. Only the keeper sees past "
    "callers, to answer them and to erase.",
    "own.title": "Your sign-in",
    "own.choose_title": "Choose your own passphrase",
    "own.choose_how": "The one you came in with was for this once. Take the one below, made just "
    "now and seen by nobody else, or write your own: four plain words that have nothing to do with "
    "one another. Write it down and keep it with you.",
    "own.choose_first": "Choose your own passphrase first.",
    "own.proposed": "Made for you",
    "own.take_proposed": "I have written it down: take this one",
    "own.or_write": "Or write your own",
    "own.new": "New passphrase",
    "own.again": "The same once more",
    "own.again_pin": "The same PIN once more",
    "own.current": "Your passphrase as it is now",
    "own.keep": "Keep this passphrase",
    "own.passphrase": "Another passphrase",
    "own.passphrase_how": "15 characters or more, of whatever kind. You are signed out at every "
    "other desk.",
    "own.chosen": "Your new passphrase is kept. You are signed out everywhere else.",
    "own.not_the_same": "What you wrote the second time is not the same. Nothing was changed.",
    "own.same_as_before": "That is the passphrase you have now. Take another.",
    "own.wrong_passphrase": "That is not your passphrase. Nothing was changed.",
    "own.pin_title": "Your PIN at {desk}",
    "own.pin_how": "Six digits or more, for this desk alone; at no other desk does it work. It is "
    "not enough for the station’s pages.",
    "own.pin": "New PIN",
    "own.pin_keep": "Keep this PIN",
    "own.pin_there": "You have a PIN here. A new one takes its place.",
    "own.pin_set": "Your PIN works at {desk} from now on.",
    "own.pins_forget": "Forget my PINs, at every desk",
    "own.pins_forgotten": "You have no PIN any more. Your passphrase works as before.",
    "own.no_pin": "This desk is not shared, so there is no PIN for it. Where several people use "
    "one PC, make it a shared desk under “This desk”.",
    "own.not_shared": "A PIN works at shared desks only, and this is none.",
    "own.sessions": "Where you are signed in",
    "own.session": "since {at}, by passphrase",
    "own.session_pin": "since {at}, by PIN",
    "own.this_one": "this desk",
    "own.sign_out_elsewhere": "Sign out everywhere else",
    "own.signed_out_elsewhere": "You are signed in at this desk only.",
    "shared.title": "A desk that several people use",
    "shared.how": "At a shared desk each person may set a PIN and come in with it. Make only a PC "
    "of the station’s a shared desk, never your own telephone.",
    "shared.name": "Name of the shared desk",
    "shared.make": "Make this a shared desk",
    "shared.is": "This is a shared desk, {desk}. Set your PIN for it under your name, above.",
    "shared.end": "No longer a shared desk",
    "shared.ended": "This is no shared desk any more, and its PINs are forgotten.",
    "shared.made": "This is a shared desk now. Set your PIN for it under your name, above.",
    "shared.needs_passphrase": "To change whether this desk is shared, sign in with your "
    "passphrase.",
    "shared.no_cookie": "This browser keeps no cookie, so the desk cannot be known again.",
    "shared.list": "Shared desks",
    "shared.list_how": "Revoke a desk whose PC was lost, sold or stolen: its PINs work no longer, "
    "and whoever is signed in there is signed out.",
    "shared.none": "No desk is shared. It is made one at the desk itself, under “This desk”.",
    "shared.last": "last used {at}",
    "shared.pins": "PINs: {names}",
    "shared.no_pins": "nobody has a PIN here",
    "shared.here": "this desk",
    "shared.revoke": "Revoke",
    "shared.revoke_which": "Revoke {desk}",
    "shared.revoked": "The desk is revoked.",
    "people.one_time": "has not signed in yet",
    "people.own_passphrase": "Change your own passphrase under your name, above.",
    "people.sign_out": "Sign out everywhere",
    "people.sign_out_which": "Sign out everywhere: {name}",
    "people.signed_out": "{name} is signed out everywhere.",
    "refusal.host": "This station does not answer to the name {host}. Use its address as it was "
    "shown at the start, or start it with --name {host}.",
    "trust.title": "Let this desk trust the station",
    "trust.how": "What passes between this desk and the station’s PC is encrypted. The station "
    "made its certificate itself, so the browser does not know it yet and warns. Do this once at "
    "each desk.",
    "trust.compare": "Compare this fingerprint (SHA-256) with the one on the station’s PC, where "
    "it was shown at the start. Go on only if they are the same.",
    "trust.get": "Fetch the certificate.",
    "trust.put": "Put it among those this desk trusts:",
    "trust.windows": "Windows: open the file, Install Certificate, Current User, place it in "
    "“Trusted Root Certification Authorities”.",
    "trust.mac": "Mac: open the file in Keychain Access, then set its Trust to “Always Trust”.",
    "trust.linux": "Linux, Chrome or Chromium: Settings, Privacy and security, Security, Manage "
    "certificates, Authorities, Import.",
    "trust.firefox": "Firefox: Settings, Privacy and Security, View Certificates, Authorities, "
    "Import.",
    "trust.phone": "Telephone: install it as a CA certificate in the settings; on an iPhone then "
    "switch it on under General, About, Certificate Trust Settings.",
    "trust.again": "Close the browser, and open the station again.",
    "trust.only": "A desk that trusts it trusts it for addresses and names of this network only, "
    "and with no site outside.",
    "trust.none": "There is nothing to be done: the station has no certificate of its own making.",
    "trust.plain": "This station is served by HTTPS. Open {address} instead, with https at the "
    "beginning.",
}
