# Deutsche Wörter der Seite am Montageplatz.

## How things stand
standing-open = offen
standing-part-way = angefangen
standing-under = zu schwach
standing-within = im Soll
standing-over = zu fest
standing-over-kept = zu fest, geprüft und belassen
standing-undecided = ungewiss
standing-undecided-kept = ungewiss, geprüft und belassen
standing-deferred = zurück{"\u00AD"}gestellt
check-standing-open = offen
check-standing-part-way = angefangen
check-standing-within = im Soll
check-standing-under = zu niedrig
check-standing-over = zu hoch
check-standing-undecided = ungewiss
check-standing-kept = außerhalb der Grenzen, geprüft und belassen
check-standing-deferred = zurück{"\u00AD"}gestellt
answer-within = im Soll
answer-under = zu schwach
answer-over = zu fest
answer-undecided = ungewiss
answer-held = wartet
check-answer-within = im Soll
check-answer-under = zu niedrig
check-answer-over = zu hoch
check-answer-undecided = ungewiss

## Cautions
carbon-caution = Nach einem zu festen Anziehen an Carbon darf mit dem Teil nicht gefahren werden, bis eine sachkundige Person es angesehen hat.
carbon-joint = Carbon: Mit dem Teil darf nicht gefahren werden, bis eine sachkundige Person es angesehen hat.
carbon-maybe = Carbon: Es kann zu fest gewesen sein. Mit dem Teil darf nicht gefahren werden, bis eine sachkundige Person es angesehen hat.
caution-no-certificate = kein Kalibrierschein hinterlegt
caution-certificate-past = die Kalibrierung des Werkzeugs ist überfällig
caution-below-tool-range = unter dem nutzbaren Bereich des Werkzeugs
caution-above-tool-range = über dem nutzbaren Bereich des Werkzeugs
caution-past-tool-range = mehr Drehmoment, als das Werkzeug anzeigen kann
caution-battery-low = Batterie fast leer
caution-no-lower-limit = nur ein Höchstwert ist angegeben
caution-attested = von einer Person bestätigt, nicht gemessen
caution-outside-certificate = außerhalb der Punkte des Kalibrierscheins: es gilt die Grenze der Klasse
caution-no-points = die Punkte des Kalibrierscheins sind nicht hinterlegt: es gilt die Grenze der Klasse
caution-with-adapter = mit einem versetzten Adapter angezogen
caution-other-adapter = der Plan verlangt einen anderen Adapter als den aufgesteckten
caution-lever-not-known = die Hebellänge des Werkzeugs ist nicht hinterlegt: die Wirkung des Adapters ist nicht umgerechnet
caution-check-warns = die Prüfungen des Werkzeugs laufen auf die Grenze seiner Klasse zu
caution-check-beyond = die letzte Prüfung des Werkzeugs lag außerhalb seiner Grenze
caution-tool-not-fit = die Messunsicherheit des Werkzeugs ist für diese Grenzen zu groß
caution-first-peak-only = das Werkzeug zeigte, wo es ausgelöst hat, nicht den Höchstwert beim Anziehen
check-caution-accuracy-stands-in = kein Kalibrierschein hinterlegt: es gilt die angegebene Genauigkeit des Werkzeugs
check-caution-nothing-stated = nirgends steht, wie genau das Werkzeug ist
check-caution-certificate-past = die Kalibrierung des Werkzeugs ist überfällig
check-caution-below-tool-range = unter dem Bereich des Werkzeugs
check-caution-above-tool-range = über dem Bereich des Werkzeugs
check-caution-past-tool-range = mehr, als das Werkzeug anzeigen kann
check-caution-battery-low = Batterie fast leer
check-caution-attested = von einer Person bestätigt, nicht von einem Werkzeug gesendet
check-caution-unsteady = der Wert war noch nicht zur Ruhe gekommen
check-caution-tool-not-fit = die Messunsicherheit des Werkzeugs ist für diese Grenzen zu groß

## Decisions and questions
decision-part-replaced = Teil ersetzt
decision-part-replaced-meaning = Die Schraubstelle beginnt von vorn.
decision-inspected-and-kept = Geprüft und belassen
decision-inspected-and-kept-meaning = Eine sachkundige Person hat das Teil geprüft und belassen.
decision-tightened-again = Gelöst und neu angezogen
decision-tightened-again-meaning = Die Schraubstelle beginnt von vorn, mit demselben Teil.
decision-set-right = Richtig eingestellt
decision-measured-anew = Es wird neu gemessen.
decision-set-right-meaning = Es wird neu gemessen, mit demselben Teil.
held-because-unclear = keine Schraubstelle ist eindeutig die richtige
held-because-no-build = das Werkzeug ist keinem Aufbau zugeteilt
held-because-nothing-planned = im Aufbau ist nichts mehr offen
held-because-wrong-way = es drehte gegen die Gewinderichtung
held-because-pass-skipped = das volle Drehmoment in einem frühen Durchgang
held-because-earlier-held = wohin er gehört, hängt von einer früheren Antwort ab
held-because-other-unit = die Zahlen passen nur in einer anderen Einheit
pull-next = der nächste im Plan
pull-repeat = dieselbe Schraubstelle noch einmal
pull-out-of-order = außer der Reihe
pull-again = eine schon feste noch einmal
pull-test = keine Schraubstelle
pull-other-build = nicht an diesem
nowhere-test = Nur probiert
nowhere-other-build = Ein anderes Rad
nowhere-other-unit = Keine Schraubstelle: Anzeige in einer anderen Einheit

## Figures in words
percent-tiny = weniger als { $percent }
between = { "; " }
limits-range = { $lower } bis { $upper }
limits-most = höchstens { $upper }, keine untere Grenze angegeben
pass-of = Durchgang { $pass } von { $passes }, { $percent } %
pass-one = ein Durchgang
pass-number = Durchgang { $pass }
frame = Rahmen { $frame }
judged = bewertet { $value }
outside-over = zu fest mit einer Wahrscheinlichkeit von { $percent }
outside-under = zu schwach mit einer Wahrscheinlichkeit von { $percent }
rule-guarded = beide Grenzen sind um die Messunsicherheit des Werkzeugs nach innen gerückt
rule-guarded-upper = die obere Grenze ist um die Messunsicherheit des Werkzeugs nach innen gerückt
rule-name-guarded = mit Sicherheitsabstand
rule-name-guarded-upper = mit Sicherheitsabstand nach oben
recalled = Rückruf: { $n ->
        [one] { $n } Messwert
       *[other] { $n } Messwerte
    } neu anzusehen
summary-within = { $within } von { $all } im Soll
summary-over-kept = { $n } zu fest, geprüft und belassen
summary-over = { $n } zu fest
summary-undecided-kept = { $n } ungewiss, geprüft und belassen
summary-undecided = { $n } ungewiss
summary-deferred = { $n } zurückgestellt
summary-open = { $n } offen
shown-and-original = { $value } ({ $original } angezeigt)

## What a tool has to show or to be set to
setting-never-within = Kein Wert liegt nachweislich im Soll.
setting-within-up-to = Im Soll bis { $high } am Werkzeug.
setting-within-from = Im Soll von { $low } bis { $high } am Werkzeug.
setting-cautions = { $tool }: { $cautions }
setting-same = { $tool }: { $within }
setting-shows = { $tool } zeigt dort { $value }. { $within }
setting-has-to-be-set = Worauf { $tool } einzustellen ist
setting-has-to-show = Was { $tool } anzeigen muss
setting-set = { $tool } auf { $value } einstellen
setting-read = { $value } an { $tool } ablesen
setting-for = für { $aim } an der Schraubstelle
setting-for-with = für { $aim } an der Schraubstelle, mit { $fitted }
setting-own-scale = Das sind { $value }, wenn seine Skale N·m hat.
setting-clicked = Auf { $value } eingestellt, hat geknackt
adapter-on = Auf { $tool }: { $adapter }
adapter-off-again = Wieder abgenommen
adapter-is-on = Ist aufgesteckt
adapter-is-off = Ist abgenommen
adapter-of = Adapter von { $tool }
adapter-put-on = <b>Auf { $tool } stecken: </b>{ $adapter }
adapter-put-on-instead = <b>Auf { $tool } stecken: </b>{ $adapter }. Jetzt darauf: { $fitted }
adapter-take-off = <b>Von { $tool } abnehmen: </b>{ $adapter }
adapter = Adapter
adapter-changes = er verändert das Drehmoment
adapter-keeps = das Drehmoment bleibt gleich: einstellen und ablesen wie ohne ihn
rule = Regel

## The board of all builds
flag-alarms = { $n ->
        [one] { $n } Alarm „zu fest“
       *[other] { $n } Alarme „zu fest“
    } nicht quittiert
flag-check-alarms = { $n ->
        [one] { $n } Alarm „zu hoch“ einer Messung
       *[other] { $n } Alarme „zu hoch“ von Messungen
    } nicht quittiert
flag-over = { $n } zu fest: entscheiden
flag-may-be-over = { $n } vielleicht zu fest: entscheiden
flag-held = { $n } zuzuordnen
flag-held-checks = { $n ->
        [one] { $n } Messung
       *[other] { $n } Messungen
    } zuzuordnen
flag-checks-out = { $n ->
        [one] { $n } Messung
       *[other] { $n } Messungen
    } außerhalb der Grenzen
laid-aside = beiseitegestellt
board-title = { $n ->
        [one] { $n } Aufbau am Platz
       *[other] { $n } Aufbauten am Platz
    }
board-close = Zum Montageplatz
board-empty = Kein Aufbau ist offen.
board-progress-fasteners = { $done } von { $all } Schraubstellen fertig
board-progress-checks = { $done } von { $all } Messungen gemacht
board-done-fasteners = <b>{ $done } von { $all }</b> fertig
board-done-checks = <b>{ $done } von { $all }</b> Messungen gemacht
board-finished = Abgeschlossen
board-gone = { $tool }: nicht verbunden
board-no-tool = Kein Werkzeug zugeteilt
in-hands = Bei { $name }
next-flag = dran
next-nothing = Nichts ist dran

## What a tool shows during a pull
pull-of = Anziehen mit { $tool }
pull-nothing-expected = Nichts wird erwartet
pull-aim = Ziel { $aim }; { $limits }
pull-past-range = über dem Bereich
pull-over = ZU FEST
pull-no-limits = keine Grenzen
pull-above = über der Grenze dieses Durchgangs
pull-below = unter den Grenzen
pull-between = zwischen den Grenzen

## The whole build and the hand-over
build-facts = Rahmen { $frame }. Plan { $plan }, Ausgabe { $edition }. Begonnen von { $by } am { $day }{ $moved ->
        [yes] , jetzt bei { $hands }
       *[no] { "" }
    }.
this-build = Dieser Aufbau…
stage-passes = Durchgänge { $passes }
stage-loosen = Abschnitt lösen…
may-be-missed = vielleicht ausgelassen
before-alarms = { $n ->
        [one] { $n } Alarm „zu fest“ ist
       *[other] { $n } Alarme „zu fest“ sind
    } nicht quittiert
before-held = { $n ->
        [one] { $n } Messwert wartet
       *[other] { $n } Messwerte warten
    } auf Zuordnung
before-over = { $n ->
        [one] { $n } zu fester Wert wartet
       *[other] { $n } zu feste Werte warten
    } auf eine Entscheidung
before-may-be-over = { $n ->
        [one] { $n } Messwert ist vielleicht zu fest und wartet
       *[other] { $n } Messwerte sind vielleicht zu fest und warten
    } auf eine Entscheidung
before-undecided = { $n ->
        [one] { $n } Schraubstelle ist
       *[other] { $n } Schraubstellen sind
    } nahe der unteren Grenze ungewiss: noch einmal anziehen
before-open = { $n ->
        [one] { $n } Schraubstelle ist
       *[other] { $n } Schraubstellen sind
    } offen: anziehen oder zurückstellen
handover = Übergabe
record-is-sealed = Das Protokoll ist versiegelt.
record-not-sealed = Der Aufbau ist abgeschlossen. Sein Protokoll ist noch nicht versiegelt.
before-finish = Bevor dieser Aufbau abgeschlossen werden kann:
doubts-first = { $n ->
        [one] { $n } Schraubstelle wurde
       *[other] { $n } Schraubstellen wurden
    } vielleicht ausgelassen: Zuerst wird noch einmal angezogen.
finish-build = Aufbau abschließen
recalled-title = Rückruf
recalled-on = Rückruf vom { $day }
recalled-what = Bei { $tool } wurde eine Veränderung festgestellt. { $out ->
        [one] { $out } Messwert liegt
       *[other] { $out } Messwerte liegen
    } jetzt außerhalb der Grenzen, { $doubtful } weitere nicht mehr sicher im Soll. Das Protokoll muss berichtigt werden.
recalled-row = <b>{ $title }</b>: { $finding }
seal-amended = Berichtigtes Protokoll versiegeln
now-within = nicht mehr sicher im Soll
now-undecided = jetzt ungewiss
now-under = jetzt zu schwach
now-over = jetzt zu fest
finding = { $value }, { $answer }
finding-uncounted = { $value }, { $answer }; dieser Messwert zählt nicht mehr
record = Protokoll
readings-csv = Messwerte als CSV
seal-record = Protokoll versiegeln
build-finished = Aufbau abgeschlossen
on-at = am { $day } um { $clock }
recalled-amend = { $recalled }; das Protokoll muss berichtigt werden
no-proof = Ein Drehmoment im Soll beweist noch keine sichere Verbindung.

## Checks of the plan
check-readings = { $done } von { $all } Messwerten
check-computed = berechnet: { $formula }
check-in-formula = „{ $title }“
note-deferred = zurückgestellt: { $reason }
note-waits-for = wartet auf: { $what }
checks-within = { $within } von { $all ->
        [one] { $all } Messung
       *[other] { $all } Messungen
    } im Soll
checks-kept = { $n } geprüft und belassen
checks-out = { $n } außerhalb der Grenzen
checks-deferred = { $n } zurückgestellt
checks-open = { $n } noch zu messen
before-check-alarms = { $n ->
        [one] { $n } Alarm „zu hoch“ einer Messung ist
       *[other] { $n } Alarme „zu hoch“ von Messungen sind
    } nicht quittiert
before-check-held = { $n ->
        [one] { $n } Messwert einer Messung wartet
       *[other] { $n } Messwerte von Messungen warten
    } auf Zuordnung
before-checks-out = { $n ->
        [one] { $n } Messung liegt
       *[other] { $n } Messungen liegen
    } außerhalb der Grenzen: richtig einstellen und neu messen, oder entscheiden
before-checks-open = { $n ->
        [one] { $n } Messung ist
       *[other] { $n } Messungen sind
    } offen: messen oder zurückstellen
held = Wartet
no-check = Keine Messung
last-measurement = Letzte Messung
more-than-shown = mehr, als das Werkzeug anzeigen kann
waits-for-person = wartet, bis jemand sagt, wohin er gehört
belongs-to-no-check = gehört zu keiner Messung dieses Aufbaus
which-check = Zu welcher Messung gehört { $value }?
which-check-past = Zu welcher Messung gehört der Wert über dem Bereich des Werkzeugs?
held-measurement = Messung ohne Zuordnung
held-first-of = Wartet, 1 von { $n }
which-unit = Ein Blick auf die Anzeige: welche Einheit?
check-held-why = { $clock }, { $tool }: { $why }.
check-held-unclear = keine Messung ist eindeutig die richtige
check-held-no-build = das Werkzeug ist keinem Aufbau zugeteilt
check-held-no-such-check = der Plan hat keine Messung dieser Größe
check-held-nothing-open = alle Messungen dieser Größe sind gemacht
check-held-implausible = der Wert kann hier nicht stimmen: Anzeige und Einheit ansehen
check-held-unsteady = der Wert war noch nicht zur Ruhe gekommen
check-other-unit = Es kam als { $value }. Die Zahl würde zu { $title } ({ $limits }) passen, wenn sie in { $fits } wäre, nicht in { $unit }: Anzeige richtig einstellen, „Keine Messung“ berühren und neu messen.
would-fit-in = es würde in { $unit } passen
then-measure-again = dann neu messen
another-check = Eine andere Messung…
check-reading-number = { $title }, Messwert { $number }
disposition-of = Entscheidung: { $title }
check-over-decide = Zu hoch, eine Entscheidung ist nötig
check-may-be-over-decide = Vielleicht zu hoch, eine Entscheidung ist nötig
check-counts-now = <b>{ $value }</b> zählt jetzt; die Grenzen sind { $limits }. Ein niedrigerer Messwert erledigt nicht, was darüber lag.
check-none-counts = Jetzt zählt kein Messwert; die Grenzen sind { $limits }. Ein niedrigerer Messwert erledigt nicht, was darüber lag.
check-limits = { $quantity }: { $limits }
counts-now = zählt jetzt: { $value }
counts-now-shown = zählt jetzt: { $value }, angezeigt { $shown }
build-is-finished = Der Aufbau ist abgeschlossen.
notes = Notizen
notes-and-photos = Notizen und Fotos
next-measurement-here = Die nächste Messung gehört hierher
take-up = Wieder aufnehmen
enter-by-hand = Messwert von Hand eingeben…
defer-ask = Zurückstellen…
decide-about = Darüber entscheiden…
measure-anew = Neu messen…
note-ask = Notiz oder Foto…
check-decide-at-top = Es war zu hoch und wartet auf eine Entscheidung: dies schließen und oben auf der Seite entscheiden.
no-tool-measures = Kein Werkzeug dieses Aufbaus misst die Größe { $quantity }. Ein Lineal oder Messgerät mit „pullmark tool add“ bekannt machen: In seiner Datei steht quantity = "{ $code }".
back = Zurück
write-value-with-unit = Den Wert mit Einheit schreiben, zum Beispiel { $example }.
may-be-thousands = { $value } kann auch eine Zahl in Tausendern sein. Tausender ohne Zeichen schreiben, wie 1200, einen Bruchteil mit weniger Ziffern oder einer mehr, wie 1,1 oder 1,1000.
enter-reading = Messwert eingeben
tool = Werkzeug
what-did-it-show = Was hat es angezeigt? Mit Einheit, zum Beispiel { $example }
write-why-deferred = Schreiben, warum es zurückgestellt wird.
defer = Zurückstellen
why-deferred = Warum wird es zurückgestellt?
quick-no-tool = Werkzeug nicht da
quick-back-order = Teil bestellt, nicht da
quick-customer = Kunde entscheidet
waits-for-what = Worauf wartet es: ein Teil, ein Werkzeug, eine Antwort? (darf leer bleiben)
quantity-torque = Drehmoment
quantity-length = Länge
quantity-mass = Masse
quantity-force = Kraft
quantity-pressure = Druck
quantity-temperature = Temperatur
check-limits-range = { $lower } bis { $upper }
check-limits-least = mindestens { $value }
check-limits-most = höchstens { $value }
check-limits-none = keine Grenzen
check-limits-aim = { $limits }, Ziel { $aim }
past-tools-range = über dem Bereich des Werkzeugs

## Process figures
stats = Prozesskennzahlen
stats-by-kind = Nach Art der Schraubstelle
stats-by-tool = Nach Werkzeug
stats-by-mechanic = Nach Mechaniker
stats-what = Jedes Drehmoment zählt als seine Lage zwischen den eigenen Grenzen: 0 % ist die untere, 100 % die obere Grenze. Von jeder Schraubstelle zählt der höchste gültige Wert.
stats-nothing = Noch nichts zu zählen: Keine Schraubstelle mit zwei Grenzen wurde angezogen.
fasteners = { $n ->
        [one] { $n } Schraubstelle
       *[other] { $n } Schraubstellen
    }
stats-too-few = <b>Zu wenige für Kennzahlen. </b>{ $why }
stats-mean = Mittelwert bei { $mean }, Standardabweichung { $deviation } der Toleranz
stats-spread-within = die Streuung innerhalb eines Rads
stats-spread-whole = die gesamte Streuung
stats-fits-middle = { $fits ->
        [yes] { $spread } passt zwischen die Grenzen, wenn sie in der Mitte läge
        [no] { $spread } passt nicht zwischen die Grenzen, auch wenn sie in der Mitte läge
       *[open] es ist nicht gezeigt, ob { $spread } zwischen die Grenzen passt, wenn sie in der Mitte läge
    }
stats-fits-nearer = { $fits ->
        [yes] { $spread } passt dort, wo sie liegt, innerhalb der näheren Grenze
        [no] { $spread } passt dort, wo sie liegt, nicht innerhalb der näheren Grenze
       *[open] es ist nicht gezeigt, ob { $spread } dort, wo sie liegt, innerhalb der näheren Grenze passt
    }
stats-index = <b>{ $index }</b>: mit 95 % Vertrauen zwischen { $from } und { $to }, also: { $said } (ab 1 passt es)
asking = Der Dienst wird gefragt …
no-answer = Keine Antwort vom Dienst.
answered-with-status = Der Dienst antwortete mit Status { $status }.

## The pulls on a fastener
history = Verlauf
history-pulls = Hier angezogen
none-yet = Noch keine.
raised-alarm = löste den Alarm „zu fest“ aus
trace-last = Das letzte Anziehen, Drehmoment über der Zeit
trace-alt = Drehmoment über der Zeit, mit Spitze und Grenzen

## One tool
tool-check = { $tool } prüfen
battery = Batterie { $battery } %
battery-low = Batterie { $battery } %: fast leer
battery-unsaid = Batterie: keine Angabe
certificate-none = Kein Kalibrierschein hinterlegt
certificate-past = Kalibrierung überfällig seit { $day }
certificate-due = Kalibrierung fällig am { $day }
certificate-soon = Kalibrierung fällig am { $day }: bald
certificate-no-date = Kalibrierschein: kein Fälligkeitsdatum angegeben
never-checked = Noch nie gegen eine Referenz geprüft
last-check-quiet = Letzte Prüfung { $day }: gut innerhalb der Grenze
last-check-warns = Letzte Prüfung { $day }: läuft davon
last-check-beyond = Letzte Prüfung { $day }: außerhalb der Grenze
certificate-number = Kalibrierschein { $number }
certificate-number-due = Kalibrierschein { $number }, fällig am { $day }
accuracy-stands-in = Kein Kalibrierschein hinterlegt: es gilt die angegebene Genauigkeit
nothing-stated = Nirgends steht, wie genau es ist
past-due-calibrate = Überfällig seit { $day }: kalibrieren lassen
last-check-do-not-use = Die letzte Prüfung: außerhalb der Grenze: nicht benutzen, bis es kalibriert ist
tool-serves = Zugeteilt: { $bike }
tool-serves-none = Keinem Aufbau zugeteilt
serial-number = Seriennummer { $serial }
tool-measures-length = Misst Längen
tool-measures-mass = Misst Massen
tool-measures-force = Misst Kräfte
tool-measures-pressure = Misst Drücke
tool-measures-temperature = Misst Temperaturen
tool-range = Bereich { $lowest } bis { $highest }
tool-range-none = Kein Bereich angegeben
tool-class = Klasse { $class }: Abweichung bis { $percent } zulässig
tool-class-none = Klasse nicht angegeben: Abweichung bis { $percent } zulässig
tool-lever = Hebel { $length } mm, vom Antrieb zur Hand
tool-lever-none = Hebellänge nicht hinterlegt: versetzte Adapter lassen sich nicht umrechnen
let-it-serve = { $bike } zuteilen
adapter-now = Jetzt darauf
fitted-offset = { $adapter }. Er verändert das Drehmoment, jeder Messwert wird umgerechnet.
fitted-in-line = { $adapter }. Er sitzt in der Achse und ändert nichts.
certificate = Kalibrierschein
certificate-class-limit = Kein Kalibrierschein hinterlegt: Es gilt die Grenze der Klasse, { $percent }.
certificate-of = { $laboratory }, { $date }; fällig am { $due }
certificate-was-due = { $laboratory }, { $date }; <b>war fällig am { $due }</b>
certificate-no-points = Seine Punkte sind nicht hinterlegt: Es gilt die Grenze der Klasse, { $percent }.
certificate-points = Seine Punkte in Zahlen
point-reference = Referenz
point-display = Anzeige
point-uncertainty = Erweiterte Messunsicherheit

## A tool against a reference
check-state-quiet = Gut innerhalb der Grenze
check-state-warns = Läuft auf die Grenze zu: bald kalibrieren lassen
check-state-beyond = Außerhalb der Grenze: nicht benutzen, bis es kalibriert ist
reference-checks = Prüfungen gegen eine Referenz
reference-last = Letzte: { $check }
reference-never = Hier noch nie geprüft. Ab und zu ein paar Messungen gegen eine Referenz zeigen vor der nächsten Kalibrierung, ob ein Schlüssel davonläuft.
reference-enter = Prüfung eingeben…
reference-begin = Prüfung beginnen
reference-begin-what = Von da an gelten seine Messwerte als gegen die Referenz gezogen und zählen für keine Schraubstelle, bis die Prüfung eingegeben oder aufgegeben ist.
reference-which = Referenz: welches Gerät, und sein Kalibrierschein
reference-shown = angezeigt, { $unit }
reference-value = Referenz, { $unit }
reference-set = eingestellt, { $unit }
reference-under-way = Prüfung läuft
reference-begun-by = Prüfung läuft, begonnen von { $name }
reference-pull = Das Werkzeug etwa fünfmal gegen die Referenz ziehen. Jeder Messwert erscheint hier.
reference-so-far = Bisher { $n ->
        [one] { $n } Messwert
       *[other] { $n } Messwerte
    }. Neben jeden schreiben, was die Referenz anzeigte.
reference-send = Prüfung eingeben
reference-give-up = Prüfung aufgeben
reference-write-one = Mindestens eine Zeile schreiben: worauf das Werkzeug eingestellt war und was die Referenz anzeigte.
reference-write-set = Bei Nummer { $pull } schreiben, worauf das Werkzeug eingestellt war.
reference-write-reference = Bei Nummer { $pull } schreiben, was die Referenz anzeigte.
reference-write-which = Schreiben, gegen welche Referenz gezogen wurde, und ihren Kalibrierschein.
reference-pairs = Etwa fünfmal gegen die Referenz ziehen und jedes Mal beide Zahlen schreiben. Leere Zeilen zählen nicht.
reference-more = Noch eine Zeile

## Plots
plot-torque = Drehmoment, { $unit }
plot-deviation = Abweichung, %
plot-certificate = Abweichung der Anzeige des Werkzeugs nach Kalibrierschein { $number }
plot-certificate-point = bei { $torque } { $off } %, plus oder minus { $expanded } %
plot-certificate-told = { $points }. Die Grenze der Klasse ist { $limit } nach beiden Seiten.
plot-certificate-legend = Punkt des Kalibrierscheins mit erweiterter Messunsicherheit
plot-class-limit = Grenze der Klasse, ± { $percent }
plot-checks = Regelkarte der Prüfungen des Werkzeugs gegen eine Referenz
plot-checks-told = { $n ->
        [one] { $n } Prüfung
       *[other] { $n } Prüfungen
    } von { $first } bis { $last }. Die letzte: mittlere Abweichung { $deviation } %, gewichtetes Mittel { $average } %, Warnung ab { $warning }, Grenze der Klasse { $limit }.
plot-check = Prüfung
plot-check-point = mittlere Abweichung einer Prüfung, über das hinaus, was der Kalibrierschein angibt
plot-check-warns = dasselbe, läuft davon: eine Warnung
plot-check-beyond = dasselbe, außerhalb der Grenze
plot-weighted = gewichtetes Mittel bisher (EWMA)
plot-warning = Warnung, ± { $percent }
plot-pulls = Messwerte an { $title }
plot-pull-told = { $number }: { $torque }, { $answer }
plot-pull = Messwert
plot-places = Wo die Drehmomente von { $group } zwischen ihren Grenzen liegen
plot-places-told = { $n ->
        [one] { $n } Schraubstelle
       *[other] { $n } Schraubstellen
    }. Anzahlen je Zehntel der Toleranz, von einer halben Toleranz unter der unteren bis zu einer halben über der oberen Grenze: { $counts }.
plot-place = Lage zwischen den Grenzen, %
plot-fasteners = Schraubstellen
plot-lower = untere Grenze
plot-upper = obere Grenze
plot-outside = außerhalb
plot-spread = Mittelwert und drei Standardabweichungen (s) nach beiden Seiten
check-in-words = { $day } { $clock }, { $n ->
        [one] { $n } Messwert
       *[other] { $n } Messwerte
    } gegen { $against }: { $deviation }

## Notes and photographs
photo-other-kind = { $file } ist kein JPEG, PNG oder WebP: Andere Bilder können nicht aufbewahrt werden.
photo-too-large = { $file } hat mehr als 8 MiB: verkleinern.
note-needed = Eine Notiz schreiben oder ein Foto hinzufügen.
photo-keep = Foto aufbewahren
note-keep = Notiz aufbewahren
photo-shows = Was zeigt es? (darf leer bleiben)
note = Notiz
photo-stays = Ein Foto bleibt für immer im Journal: nachsehen, wer und was darauf zu sehen ist.
photo-take = Foto aufnehmen
photo-choose = Bild auswählen
photo-choose-other = Anderes Bild auswählen
photo-none = Ohne Bild

## Another edition of the plan
plan-too-large = { $file } ist zu groß für einen Plan.
edition-title = Andere Ausgabe des Plans
edition-what = Es gilt { $plan }, Ausgabe { $edition }. Die Datei der anderen Ausgabe auswählen: Zuerst wird gezeigt, was sie bedeuten würde, geändert wird nichts.
edition-choose = Plandatei auswählen
edition-choose-other = Andere Datei auswählen
edition-against = Was dagegen spricht
edition-problem = <b>{ $file }: </b>{ $problem }
finding-line = Zeile { $line }: { $what }. { $advice }
edition-mean = Was sie bedeuten würde
edition-name = { $file }: { $plan }, Ausgabe { $edition }
edition-before = Anstelle der Ausgabe { $edition }.
edition-alarms = { $n ->
        [one] { $n } Messwert ist danach zu fest: Er löst den Alarm aus.
       *[other] { $n } Messwerte sind danach zu fest: Sie lösen den Alarm aus.
    }
edition-different = Was anders ist
edition-same = Nichts, was die Seite zeigt.
edition-judged = Neu bewertet
edition-judged-row = <b>{ $title }: </b>vorher { $before }, jetzt { $now }
edition-judged-alarm = <b>{ $title }: </b>vorher { $before }, jetzt { $now }, löst den Alarm aus
not-judged = nicht bewertet
edition-again = Muss noch einmal gemacht werden
edition-dropped = Nicht mehr im Plan; die Messwerte bleiben und zählen nicht mehr
edition-write-why = Schreiben, warum der Plan gewechselt wird: Es steht im Protokoll.
edition-change = Zu dieser Ausgabe wechseln
why-needed = Warum? (nötig)

## The bike map
short-over-kept = zu fest, belassen
short-undecided-kept = belassen
short-kept = belassen
done-of = { $done } von { $all }
bike-map = Bild des Rads
larger = Größer
smaller = Kleiner
map-make-larger = Bild des Rads vergrößern
map-node = { $title }: { $word }
map-several = { $title }, { $n ->
        [one] { $n } Stelle zum Arbeiten
       *[other] { $n } Stellen zum Arbeiten
    }
close = Schließen
map-beside = Ohne Platz im Bild

## What happened, and taking it back
what-happened = Was geschah
what-happened-newest = Was geschah, das Neueste zuerst
nothing-yet = Noch nichts.
entry = Eintrag { $entry }
taken-back = <b>Zurückgenommen von { $by }</b>, { $moment }
taken-back-because = <b>Zurückgenommen von { $by }</b>, { $moment }: { $reason }
take-back-ask = Zurücknehmen…
photo-label = Foto: { $words }. Öffnet sich in einem neuen Tab
photo-no-words = ohne Worte
after-loosened = Was dadurch gelöst war, zählt wieder, auch ein zu fester Wert.
after-part-swapped = Das vorherige Teil gilt wieder als verbaut, und was durch den Tausch gelöst war, zählt wieder, auch ein zu fester Wert.
after-disposed = Der zu feste Wert verlangt wieder eine Entscheidung.
after-noted = Sie steht nicht mehr bei den Notizen; ein Foto bleibt bei seinem Eintrag gespeichert.
take-back-write-why = Schreiben, warum es zurückgenommen wird: Es bleibt im Verlauf, mit dem Grund daneben.
take-back-title = Dies zurücknehmen?
take-back-stays = Es bleibt durchgestrichen im Verlauf. { $after }
take-back = Zurücknehmen
quick-wrong-fastener = falsche Schraubstelle
quick-wrong-build = falscher Aufbau
quick-mistake = aus Versehen berührt

## What comes next and what waits
laid-aside-title = Beiseitegestellt
go-on = Weitermachen
next = Als Nächstes
next-once-more = Als Nächstes: noch einmal anziehen
next-stage = { $stage }, { $pass }
at-the-fastener = An der Schraubstelle
left-hand = Linksgewinde
left-hand-what = gegen den Uhrzeigersinn anziehen
carbon-here = Carbon
carbon-here-what = ein zu fester Wert verlangt hier eine Entscheidung
drive = Antrieb
prep = Vorbereitung
prep-none = keine angegeben
nothing-next-over = Ein zu fester Wert wartet auf eine Entscheidung.
nothing-next-undecided = Ein ungewisser Messwert wartet.
nothing-next-open = { $n ->
        [one] { $n } Schraubstelle ist
       *[other] { $n } Schraubstellen sind
    } noch offen: in der Liste auf eine zeigen.
nothing-next-deferred = { $n ->
        [one] { $n } Schraubstelle ist
       *[other] { $n } Schraubstellen sind
    } zurückgestellt; der Rest ist fertig.
nothing-next-done = Alle Schraubstellen des Plans sind fertig.
nothing-next-checks-done = Alle Messungen des Plans sind gemacht.
nothing-next-checks-deferred = { $n ->
        [one] { $n } Messung ist
       *[other] { $n } Messungen sind
    } zurückgestellt; der Rest ist fertig.
next-measure = Messen
checks-next = { $n ->
        [one] { $n } Messung ist offen.
       *[other] { $n } Messungen sind offen, in beliebiger Folge.
    }
checks-next-out = { $n ->
        [one] { $n } Messung liegt außerhalb der Grenzen: richten und neu messen, oder entscheiden.
       *[other] { $n } Messungen liegen außerhalb der Grenzen: richten und neu messen, oder entscheiden.
    }
doubts-may-be = { $n ->
        [one] { $n } Schraubstelle wurde
       *[other] { $n } Schraubstellen wurden
    } vielleicht ausgelassen.
one-more-pull-ask = Noch einmal anziehen…
prep-on-state = vorbereitet
prep-is-on = Ist vorbereitet
no-tool-serves = Diesem Aufbau ist kein Werkzeug zugeteilt.
no-tool-known = Es ist noch keines bekannt. Bekannt gemacht wird es in der Befehlszeile am Rechner des Montageplatzes:
let-tool-serve = { $tool } zuteilen
tool-checked-now = <b>{ $tool } wird gerade gegen eine Referenz geprüft</b>. Seine Messwerte zählen für keine Schraubstelle.
to-the-check = Zur Prüfung
tool-gone-now = <b>{ $tool } ist nicht verbunden</b>. Ein Messwert kommt jetzt nicht an.
tool-gone-because = <b>{ $tool } ist nicht verbunden</b>: { $why }. Ein Messwert kommt jetzt nicht an.
no-reading-yet = Noch kein Messwert
last-reading = Letzter Messwert
shown = angezeigt
trace = Drehmoment über der Zeit
say-now = Jetzt sagen, wohin er gehört
undecided-high = Die Messunsicherheit reicht über die obere Grenze: Das kann nur eine Person entscheiden
undecided-low = Die Messunsicherheit reicht unter die untere Grenze: noch einmal anziehen
counts-for-none = zählt für keine Schraubstelle dieses Aufbaus
waits-for-pull = wartet auf das nächste Anziehen
held-reading = Messwert ohne Zuordnung
held-why = { $clock }: { $why }.
another-fastener = Eine andere Schraubstelle…
unit-came-as = { $clock }: Es kam als { $value }. Die letzten Messwerte passen nur zum Plan, wenn ihre Zahlen in einer anderen Einheit gelesen werden.
unit-set = Wenn es nicht { $unit } ist, auf { $unit } stellen.
unit-touch = „Keine Schraubstelle: Anzeige in einer anderen Einheit“ berühren.
unit-pull-again = Noch einmal anziehen.
unit-is-right = Wenn es { $unit } ist: Wohin gehört der Messwert?
then-pull-again = dann noch einmal anziehen
under-one-percent = unter 1 %
over-decide = Zu fest, eine Entscheidung ist nötig
may-be-over-decide = Vielleicht zu fest, eine Entscheidung ist nötig
over-figures = <b>{ $value }</b> die Grenze ist { $limit }
may-be-over-figures = <b>{ $value }</b> liegt so nah an der Grenze von { $limit }, dass die Messunsicherheit des Werkzeugs darüber reicht. Noch einmal anziehen klärt es nicht.

## The frame of the page
bench = Montageplatz
page-title = { $bench } · Pullmark
alarm-page-title = ZU FEST: { $title }
label-tools = Werkzeuge
label-builds = Aufbauten
label-board = Übersicht aller Aufbauten
label-next = Was als Nächstes kommt
label-list = Schraubstellen und Messungen
tool-serves-small = zugeteilt: { $bike }
tool-serves-none-small = keinem Aufbau zugeteilt
sound-on = Ton ist an
sound-off = Ton ist aus: berühren, um ihn einzuschalten
who-are-you = Wer arbeitet?
your-name = Name
tool-flag-checking = wird geprüft
tool-flag-past-due = überfällig
tool-flag-beyond = Prüfung außerhalb
tool-flag-drift = Prüfungen laufen davon
bench-trouble = Der Dienst kann den Montageplatz nicht zeigen: { $trouble }
no-connection = Keine Verbindung zum Dienst.
no-connection-old = Keine Verbindung zum Dienst: Was hier steht, kann veraltet sein.
keeps-trying = Seit { $since }. Die Seite versucht es weiter.
board = Übersicht
board-what = alle Aufbauten, groß
card-may-be-over = { $n } vielleicht zu fest
card-finished = abgeschlossen { $day }
card-done-fasteners = { $done } von { $all } fertig
card-done-checks = { $done } von { $all } Messungen gemacht
finished-count = { $n ->
        [one] { $n } abgeschlossener Aufbau
       *[other] { $n } abgeschlossene Aufbauten
    }
finished-row = { $bike }, { $day }
finished-row-unsealed = { $bike }, { $day }, nicht versiegelt
service-after = Service nach { $day } ({ $build })
service-after-build = Service nach { $build }
finished-builds = Abgeschlossene Aufbauten
not-done = Nicht getan.
done = Getan.
empty-title = Noch kein Aufbau
empty-what = Ein Aufbau ist ein Rad, das nach einem Plan zusammengebaut wird. Drei Schritte führen zum ersten:
first-tool = 1. Ein Schlüssel
first-tool-what = In der Befehlszeile am Rechner des Montageplatzes; in der Datei steht, was er ist und wie er verbunden ist.
first-people = 2. Personen
first-people-what = Wer hier arbeitet. Mit einer PIN signieren sie Aufzeichnungen. Es kann warten: Bis dahin gilt jeder Name, wie er angegeben wird.
first-plan = 3. Ein Plan
first-plan-what = Was angezogen wird, in welcher Folge und in welchen Grenzen. Mit ihm wird ein Aufbau begonnen.
first-there = Schon da: { $names }
empty-then = Diese Seite zeigt den Aufbau, sobald er begonnen hat.
unclaimed-label = Messwert von { $tool }
unclaimed = { $tool } hat { $value } gemessen und ist keinem Aufbau zugeteilt
unclaimed-past = { $tool } hat mehr gemessen, als es anzeigen kann, und ist keinem Aufbau zugeteilt
unclaimed-times = bisher { $n } Messwerte
unclaimed-kept = im Journal aufbewahrt, mit nichts verglichen
unclaimed-none-open = kein Aufbau ist offen
write-name-first = Zuerst den Namen schreiben: Alles wird mit dem Namen aufbewahrt, wer es getan hat.
touch-name-first = Zuerst den Namen berühren: Alles wird mit dem Namen aufbewahrt, wer es getan hat.
no-answer-maybe-done = Keine Antwort vom Dienst. Es kann getan sein oder nicht: in der Liste nachsehen, bevor es noch einmal versucht wird.
spoken = { $word }. { $value }. { $where }
spoken-waits = Wartet auf das nächste Anziehen.
no-fastener = Keine Stelle

## The over alarm
check-alarm = ZU HOCH
alarm-above = über der Grenze
alarm-judged = Bewertet mit { $value }.
alarm-judged-at = { $judged }, an der Schraubstelle.
alarm-limit = Die Grenze ist { $limit }.
by = Von
acknowledge = Quittieren
alarm-more = { $n ->
        [one] Danach wartet noch { $n } Alarm
       *[other] Danach warten noch { $n } Alarme
    }.

## Forms
who = Wer?
choose-decision = Auswählen, was entschieden wurde: { $choices }.
one-of = { $first } oder { $last }
write-reason = Den Grund schreiben: Er steht im Protokoll neben der Entscheidung.
keep-decision = So entscheiden
what-decided = Was wurde entschieden?
reason-needed = Grund (nötig)
file = Datei

## Keys and pedal
keys = Tasten und Pedal
key-next-sheet = Zum Blatt der nächsten Schraubstelle
key-map = Zum Bild des Rads
key-list = Zur Liste der Schraubstellen
key-decide = Zu dem, was auf eine Entscheidung wartet
key-say-now = Jetzt sagen, wohin der wartende Messwert gehört
key-digits = 1 bis 9
key-answers = Die erste bis neunte Antwort zum wartenden Messwert
key-board = Zur Übersicht aller Aufbauten und zurück
key-next-build = Zum nächsten offenen Aufbau
key-this-build = Zu diesem Aufbau: Probemontage, Teile, Notizen, Verlauf
key-tools = Zu den Werkzeugen
key-name = Zum Namen
key-handover = Zur Übergabe: abschließen, versiegeln, Protokoll
key-sound = Ton einschalten
key-keys = Diese Tasten
key-tab = Tab, Pfeile
key-tab-what = Vom einen zum nächsten
key-enter = Eingabe, Leer
key-enter-what = Drücken, was den Rahmen hat
pedal-kept = { $key } wird gebraucht, um sich auf der Seite zu bewegen: das Pedal auf eine andere Taste einstellen.
pedal-answers = beantwortet „{ $question }“ mit { $title }
pedal-confirms = bestätigt: vorbereitet ({ $title }: { $prep })
pedal-idle-held = tut nichts: jemand muss sagen, wohin der Messwert gehört
pedal-idle = tut nichts: nichts wartet darauf
pedal = Pedal
pedal-press = Jetzt das Pedal drücken
pedal-press-what = Die nächste Taste gilt als Pedal. Mit Escape bleibt es, wie es war.
keys-letters = Buchstaben und Ziffern sind Kurzbefehle
foot-pedal = Fußpedal
pedal-is = Das Pedal ist die Taste { $key }. Es bestätigt die Vorbereitung dessen, was dran ist, und die Seite sagt es vorher. Es quittiert nie einen Alarm.
pedal-none = Kein Pedal ist angelernt. Es bestätigt die Vorbereitung dessen, was dran ist, und die Seite sagt es vorher. Es quittiert nie einen Alarm.
pedal-may-place = Es darf auch sagen, wohin ein wartender Messwert gehört, mit der wahrscheinlichsten Schraubstelle
pedal-teach = Pedal anlernen
pedal-teach-other = Andere Taste anlernen
pedal-forget = Kein Pedal

## The sheet of a build
this-build-title = Dieser Aufbau: { $bike }
laid-aside-by = Beiseitegestellt von { $by } am { $day } um { $clock }
laid-aside-because = Beiseitegestellt von { $by } am { $day } um { $clock }: { $reason }
go-on-what = er wartet nicht länger auf einen anderen Tag
lay-aside-ask = Beiseitestellen…
lay-aside-what = er wartet auf einen anderen Tag
hand-ask = An jemand anderen weitergeben…
hand-what = er ist bei { $name }
dry-fit-ask = Alles war eine Probemontage…
dry-fit-what = alle Schraubstellen sind wieder offen; die Messwerte bleiben
note-build-what = zum ganzen Rad
edition-ask = Andere Ausgabe des Plans…
edition-ask-what = zuerst wird gezeigt, was sie bedeuten würde
whole-history = Ganzer Verlauf
whole-history-open = und was sich zurücknehmen lässt
whole-history-finished = Eintrag für Eintrag
service-ask = Einen Service beginnen
service-what = ein neuer Aufbau desselben Rads nach demselben Plan, im Anschluss an diesen
write-why-loosened = Schreiben, warum gelöst wurde: Die Messwerte bleiben und zählen nicht mehr.
quick-dry-fit = Probemontage
quick-part = Teil getauscht
quick-adjustment = Einstellung
quick-found-loose = lose vorgefunden
quick-other-first = ein anderes Teil kommt zuerst
undone-nothing = Dort zählt nichts: Es wird nichts gelöst.
undone-title = Was gelöst wird
undone-fasteners = { $n ->
        [one] { $n } Schraubstelle muss
       *[other] { $n } Schraubstellen müssen
    } neu angezogen werden, auch Vorbereitung und Zweitkontrolle. Die Messwerte bleiben und zählen nicht mehr:
undone-checks = { $n ->
        [one] { $n } Messung muss
       *[other] { $n } Messungen müssen
    } wiederholt werden. Die Messwerte bleiben und zählen nicht mehr:
dry-fit-title = Alles war eine Probemontage
dry-fit-send = Alles ist gelöst
loosen-stage-title = Diesen Abschnitt lösen: { $stage }
loosen-stage-send = Der Abschnitt ist gelöst
write-why-aside = Schreiben, warum er beiseitegestellt wird: Wer weitermacht, liest es.
lay-aside-title = Für einen anderen Tag beiseitestellen
lay-aside-note = Wer als Nächstes daran arbeitet, macht weiter. Angezogenes zählt trotzdem.
lay-aside-send = Beiseitestellen
lay-aside-why = Warum, und worauf wartet er? (nötig)
quick-a-back-order = ein Teil ist bestellt
quick-the-customer = der Kunde entscheidet
quick-end-of-day = Feierabend
hand-write-name = Den Namen schreiben, wer ihn bekommt.
hand-title = An jemand anderen weitergeben
hand-note = Er ist bei { $name }. Von hier an gehören die Messwerte der anderen Person. Wer an dieser Seite weitermacht, sagt oben, wer es ist.
hand-send = Weitergeben
hand-who = Wer bekommt ihn?
hand-tell = Was muss die andere Person wissen? (darf leer bleiben)
parts = Teile
part-serial = Seriennummer { $serial }
part-none-entered = noch keins eingetragen
part-replaced-times = { $n }-mal ersetzt
part-fit-ask = Wird montiert…
part-swap-ask = Ersatz kommt rein…
part-write-serial = Die Seriennummer des Teils schreiben, oder woran es sonst zu erkennen ist.
part-fit-title = { $part } wird montiert
part-fit-send = Ist montiert
part-serial-label = Seriennummer, oder woran es sonst zu erkennen ist
part-kind-label = Eine andere Art Teil als { $kind }? Welche? (darf leer bleiben)
part-kind-label-plan = Eine andere Art Teil, als der Plan sagt? Welche? (darf leer bleiben)
part-write-spare = Die Seriennummer des Ersatzteils schreiben, oder woran es sonst zu erkennen ist.
part-write-why = Schreiben, warum das Teil ersetzt wurde: Es steht im Protokoll.
part-swap-title = Ersatz für { $part }
part-swap-send = Der Ersatz ist drin
part-spare-label = Seriennummer des Ersatzteils
part-goes-out = Kommt raus: <b>{ $serial }</b>
part-out-label = Seriennummer des Teils, das rauskommt (darf leer bleiben)
note-title = Notiz oder Foto

## Parts of several places
tool-set-by-hand = von Hand eingestellt und eingegeben
tool-by-hand = von Hand eingegeben
tool-battery = Batterie bei { $battery } %
tool-other-serial = meldet die Seriennummer { $serial }
tool-connected = verbunden
tool-gone = nicht verbunden
tool-gone-why = nicht verbunden: { $why }
tool-cut-off = { $now }; es verschwand mitten in einem Messwert, der nicht zählt: noch einmal anziehen
where-belongs = Wohin gehört { $value }?
where-belongs-past = Wohin gehört der Messwert über dem Bereich des Werkzeugs?
passes-done = Durchgang { $done } von { $passes } fertig
look-done = Zweitkontrolle gemacht
look-open = Zweitkontrolle offen
notes-count = { $n ->
        [one] { $n } Notiz
       *[other] { $n } Notizen
    }
photos-count = { $n ->
        [one] { $n } Foto
       *[other] { $n } Fotos
    }
to-be-known = Zu wissen
known-row = { $title }: { $what }
known-deferred = zurück{"\u00AD"}gestellt
known-not-measured = nicht gemessen
known-waits-for = wartet auf { $what }
known-no-look = keine Zweitkontrolle
known-no-prep = Vorbereitung nicht bestätigt

## The sheets of a fastener and of the end
sheet-prep-on = Vorbereitung: { $prep } (ist gemacht)
sheet-prep-open = Vorbereitung: { $prep } (nicht bestätigt)
sheet-highest = höchster Wert { $value }
comes-next = Kommt als Nächstes
comes-next-once-more = Kommt als Nächstes: noch einmal anziehen
look-ask = Zweitkontrolle…
loosened-ask = Gelöst…
decide-at-top = Ein zu fester Wert wartet auf eine Entscheidung: dies schließen und oben auf der Seite entscheiden.
decide-at-top-maybe = Ein vielleicht zu fester Wert wartet auf eine Entscheidung: dies schließen und oben auf der Seite entscheiden.
why-loosened = Warum wurde gelöst?
loosened = Gelöst
write-why-its-loosened = Schreiben, warum gelöst wurde: Die Messwerte bleiben und zählen nicht mehr.
look-seen = Was war zu sehen? (darf leer bleiben)
look-send = Ich habe nachgesehen
enter-label = Worauf war das Werkzeug eingestellt, oder was hat es angezeigt?
enter-needs = Das Drehmoment mit Einheit schreiben, zum Beispiel { $example }.
look-write-name = Den Namen der anderen Person schreiben, die nachgesehen hat.
look-who = Wer hat nachgesehen? Eine andere Person als die, die angezogen hat
finish-title = { $bike } abschließen?
doubts-title = { $n ->
        [one] Diese noch einmal anziehen
       *[other] Jede von diesen noch einmal anziehen
    }
doubts-what = { $n ->
        [one] Sie gilt als fertig und wurde vielleicht ausgelassen: Etwa gleiche Drehmomente sehen gleich aus. Berühren, dann kommt sie als Nächstes.
       *[other] Sie gelten als fertig, und eine davon wurde vielleicht ausgelassen: Etwa gleiche Drehmomente sehen gleich aus. Eine berühren, dann kommt sie als Nächstes.
    }
doubt-probability = ausgelassen mit einer Wahrscheinlichkeit von { $percent }
sure-needed = Jede noch einmal anziehen, oder schreiben, warum sicher nichts ausgelassen wurde.
sure-label = Sicher wurde nichts ausgelassen, weil …

## People, devices and PINs
people = Personen und Geräte
people-elsewhere = Personen und Geräte werden am Rechner des Montageplatzes eingetragen.
pin-none = noch keine PIN
pin-locked = PIN nach falschen Eingaben für { $n ->
        [one] { $n } Minute
       *[other] { $n } Minuten
    } gesperrt
pin-has = hat eine PIN
people-title = Personen
people-nobody = Niemand ist eingetragen: Jeder Name gilt, wie er geschrieben wird. Ab der ersten Person trägt alles, was getan wird, eine der Personen, und Unterschreiben und Entscheiden verlangen ihre PIN.
pin-change-ask = PIN ändern…
rename-ask = Anderer Name…
pin-forgotten = Eine vergessene PIN setzt der Benutzer, unter dem der Dienst läuft, am Rechner des Montageplatzes in der Befehlszeile neu: pullmark people reset-pin
leave-ask = Ausgeschieden…
person-ask = Person eintragen…
devices = Geräte
devices-none = Der Montageplatz ist nur auf diesem Rechner. Mit { $setting } in den Einstellungen können Tablets und Telefone zugelassen werden.
devices-at = Im Netz unter <b>{ $addresses }</b>
device-let-in = zugelassen von { $by } am { $day }
revoke-ask = Ausschließen…
pair-ask = Gerät zulassen…
fingerprint = Fingerabdruck des Zertifikats, SHA-256
fingerprint-until = gültig bis { $day }, 30 Tage vorher neu erstellt
pin-new = Neue PIN: 4 bis 12 Ziffern, besser sechs oder mehr
pin-again = Noch einmal
pins-differ = Die beiden PINs sind verschieden.
person-write-name = Den Namen schreiben, wie er gezeigt werden soll.
person-title = Person eintragen
person-send = Eintragen
person-name = Name, wie er gezeigt werden soll
rename-title = Anderer Name für { $name }
rename-what = Es bleibt dieselbe Person. Unterschriebene Protokolle behalten den Namen, mit dem sie unterschrieben wurden.
rename-send = Diesen Namen zeigen
pin-change-title = Andere PIN für { $name }
pin-change-send = Ändern
pin-before = Bisherige PIN
leave-title = { $name } arbeitet nicht mehr hier?
leave-what = Was sie getan hat, bleibt ihres. Ihre PIN wird vergessen.
leave-send = Ausgeschieden
pair-type = Dies am Gerät eintippen
pair-open = { $addresses } in seinem Browser öffnen. Der Code gilt { $n } Minuten und für ein Gerät; drei falsche machen ihn ungültig.
pair-or = {" "}oder{" "}
pair-fingerprint = Der Browser kennt das Zertifikat nicht und sagt es. Nur durchlassen, wenn er diesen Fingerabdruck zeigt:
pair-write-name = Schreiben, wie die Werkstatt das Gerät nennt.
pair-title = Gerät zulassen
pair-send = Code zeigen
pair-name = Wie heißt es? Zum Beispiel: Tablet an Ständer 2
revoke-title = { $device } ausschließen?
revoke-what = Sofort, mit allem, was es offen hat. Mit einem neuen Code kann es wieder zugelassen werden.
revoke-send = Ausschließen
why-optional = Warum? (darf leer bleiben)
pin-for-seal = Damit wird das Protokoll unterschrieben.
pin-for-amend = Damit wird das berichtigte Protokoll unterschrieben.
pin-for-dispose = Damit wird die Entscheidung aufbewahrt.
pin-for-place = Der Messwert war dort zu fest: Dass er weggenommen wird, wird damit aufbewahrt.
pin-too-short = Eine PIN hat mindestens vier Ziffern.
pin-of = PIN von { $name }
pin-typed = { $n } Ziffern getippt
one-moment = Einen Moment…
pin-delete = Löschen
ok = OK
give-up = Abbrechen

## Language and units
display = Sprache und Einheiten
display-what = Nur für dieses Gerät. Was aufbewahrt und unterschrieben wird, ändert sich dadurch nicht.
display-language = Sprache
display-unit = Einheit des Drehmoments
display-unit-what = Zahlen behalten jede Stelle, die nötig ist, um zwei zu unterscheiden. Was ein Werkzeug in einer anderen Einheit angezeigt hat, steht daneben.
display-decimal = Dezimalzeichen
display-shop = Wie in der Werkstatt ({ $value })
display-shop-none = Wie in der Werkstatt
display-send = So zeigen

## What the daemon says in English: what happened, what follows, what differs
daemon-too-few = { $n ->
        [one] { $n } Messwert sagt
       *[other] { $n } Messwerte sagen
    } nichts über die Fähigkeit: { $least } sind das Mindeste, 30 eine gute Zahl
daemon-no-scatter = alle Messwerte sind gleich: Die Anzeige ist zu grob, um etwas über die Fähigkeit zu sagen
daemon-because = { $what }: { $why }
daemon-how-confirmed-by-pin = mit PIN bestätigt
daemon-pulled = { $about }: { $place }
daemon-moved = der Messwert von Eintrag { $about }: { $place }
daemon-on-none = noch an keiner Schraubstelle
daemon-at-none = noch bei keiner Messung
daemon-placed = { $answer }: { $title }
daemon-reading = Messwert { $number }
daemon-over-alarm = Alarm
daemon-begun = begonnen nach { $plan }, { $edition }
daemon-over-now = beim Anziehen zu fest: { $title }
daemon-acknowledged = der Alarm von Eintrag { $entry } quittiert
daemon-taken-back = Eintrag { $entry } zurückgenommen
daemon-resumed = weitergemacht
daemon-resumed-by-it = er war beiseitegestellt, und es geht weiter
daemon-plan = von hier an gilt der Plan { $plan }, { $edition }
daemon-note = Notiz
daemon-note-on = Notiz zu { $title }
daemon-photograph = Foto
daemon-photograph-on = Foto zu { $title }
daemon-handed = weitergegeben an { $name }
daemon-finished = abgeschlossen
daemon-sealed = Protokoll versiegelt
daemon-recall = ein Rückruf von { $tool } fand { $n ->
        [one] { $n } Messwert
       *[other] { $n } Messwerte
    } neu anzusehen
daemon-prepared = Vorbereitung bestätigt: { $title }
daemon-decided = { $title }: { $decision }: { $why }
daemon-no-longer-counts = { $title }: die Messwerte zählen nicht mehr
daemon-judged-now = { $title }: der Messwert von Eintrag { $entry } ist jetzt { $answer }
daemon-raises-alarm = löst den Alarm aus
daemon-loose = { $title } ist lose und muss neu angezogen werden
daemon-measure-again = { $title } muss neu gemessen werden
daemon-pull-again = { $title } muss noch einmal angezogen werden
daemon-next = { $title } kommt als Nächstes
daemon-loosened = { $title } gelöst
daemon-deferred = { $title } zurückgestellt
daemon-taken-up = { $title } wieder aufgenommen
daemon-looked = { $title } nachgesehen
daemon-fitted = { $part } montiert, Seriennummer { $serial }
daemon-swapped = { $part } getauscht, { $out } raus, { $serial } rein
daemon-no-serial = eins ohne hinterlegte Seriennummer
daemon-is = { $title } ist { $now }
daemon-plan-new = { $title }: neu im Plan
daemon-plan-gone = { $title }: nicht mehr im Plan
daemon-plan-passes = { $title }: Durchgänge bei { $now } statt { $before }
daemon-plan-readings = { $title }: { $now } Messwerte statt { $before }
daemon-plan-computed = { $title }: jetzt berechnet als { $now }
daemon-plan-measured = { $title }: jetzt gemessen und nicht berechnet
daemon-plan-rule = { $title }: entschieden nach der Regel { $now } statt { $before }
daemon-plan-left = { $title }: jetzt ein Linksgewinde
daemon-plan-right = { $title }: jetzt ein Rechtsgewinde
daemon-plan-order = { $title }: andere Reihenfolge beim Anziehen
daemon-plan-stage = { $title }: jetzt im Abschnitt { $now }
daemon-plan-no-prep = { $title }: keine Vorbereitung mehr
daemon-plan-prep = { $title }: Vorbereitung ist jetzt { $now }
daemon-plan-look = { $title }: jetzt muss eine andere Person nachsehen
daemon-plan-no-look = { $title }: niemand sonst muss mehr nachsehen
daemon-plan-sources = { $title }: dieselben Grenzen, aus anderen Quellen
daemon-plan-words = { $title }: nur Worte, Antrieb, Adapter oder Platz
daemon-plan-parts = { $title }: eine andere Liste der Teile
daemon-plan-limits = { $title }: { $now } statt { $before }
daemon-gone-hung-up = das Werkzeug an { $port } hat aufgelegt
daemon-gone-lost = die Verbindung zu { $port } ist verloren
daemon-gone-broker = der Broker antwortet nicht
daemon-gone-unplugged = { $port } wurde abgezogen, oder das Werkzeug wurde ausgeschaltet
daemon-gone-closed = { $port } hat die Verbindung geschlossen
daemon-gone-link = { $port } hat die Verbindung verloren: außer Reichweite oder ausgeschaltet
daemon-gone-not-heard = { $port } ist nicht zu hören: Werkzeug einschalten und in die Nähe bringen

## The cautions at the foot
foot-caution-1 = Die Anleitungen der Teilehersteller gehen vor; dieses Protokoll unterstützt ausgebildete Mechaniker und ersetzt sie nicht.
foot-caution-2 = Ein Drehmoment innerhalb seiner Grenzen beweist keine sichere Verbindung.
foot-caution-3 = Nach einem zu festen Anziehen an Carbon darf mit dem Teil nicht gefahren werden, bis eine sachkundige Person es angesehen hat.
foot-caution-4 = Es gelten die örtlichen Vorschriften.

## Refusals
refusal-act-bad-text = Ein Text ist leer oder zu lang.
refusal-act-not-known = Diesen Eintrag hat der Aufbau nicht.
refusal-act-not-withdrawable = Dieser Eintrag lässt sich nicht zurücknehmen: Er bleibt, und was ihn ändert, wird neu eingetragen.
refusal-act-plan-changed-since = Der Eintrag lässt sich nicht zurücknehmen: Der Plan wurde seither gewechselt, und was er löste, wurde nach der vorigen Ausgabe bewertet. Neu anziehen.
refusal-act-placed-since = Der Eintrag lässt sich nicht zurücknehmen: Ein Messwert, über den er entscheidet, war vor dem Planwechsel zu fest und wurde seither neu zugeordnet. Neu entscheiden.
refusal-act-withdrawn-already = Der Eintrag wurde schon zurückgenommen; war er richtig, dann noch einmal tun.
refusal-alarm-acknowledged-before = Dieser Alarm wurde schon quittiert.
refusal-alarm-not-known = Dieser Eintrag hat keinen Alarm ausgelöst.
refusal-build-finished = Der Aufbau „{ $name }“ ist abgeschlossen: mit „pullmark build reopen“ wieder aufnehmen oder für dieses Rad einen neuen Aufbau beginnen.
refusal-build-laid-aside = Der Aufbau „{ $name }“ ist schon beiseitegestellt.
refusal-build-may-be-missed = Einige gelten als fertig, und eine davon wurde vielleicht ausgelassen: auf jede zeigen und noch einmal anziehen, oder schreiben, warum sicher nichts ausgelassen wurde.
refusal-build-not-finished = Der Aufbau „{ $name }“ ist nicht abgeschlossen: erst abschließen, dann das Protokoll versiegeln.
refusal-build-not-known = Den Aufbau „{ $name }“ gibt es nicht.
refusal-build-not-laid-aside = Der Aufbau „{ $name }“ ist nicht beiseitegestellt.
refusal-build-open-already = Der Aufbau „{ $name }“ ist nicht abgeschlossen: Er muss nicht wieder aufgenommen werden.
refusal-build-other-hands = Der Aufbau „{ $name }“ ist bei jemand anderem: Diese Person muss ihn weitergeben.
refusal-build-same-hands = Diese Person hat ihn schon.
refusal-build-still-open = Der Aufbau kann noch nicht abgeschlossen werden: Unter „Übergabe“ steht, was noch offen ist.
refusal-check-computed = „{ $name }“ wird aus anderen Messungen berechnet: diese messen.
refusal-check-none-there = „{ $name }“ ist eine Schraubstelle, und der Wert ist kein Drehmoment: eine Messung des Plans nennen.
refusal-check-other-decision = „{ $name }“: Das passt hier nicht. Eine Messung wird gemessen, richtig eingestellt und neu gemessen; eine Schraubstelle wird angezogen, gelöst und neu angezogen.
refusal-check-other-quantity = „{ $name }“ misst eine andere Größe als der eingegebene Wert.
refusal-daemon-broken = Der Dienst ist gestört und kann nichts aufbewahren: nicht weiterarbeiten, bis er neu gestartet ist.
refusal-daemon-going-down = Der Dienst wird gerade beendet: noch einmal versuchen, wenn er wieder da ist.
refusal-device-not-known = Dieses Gerät ist nicht bekannt.
refusal-entry-not-known = Diesen Eintrag gibt es nicht.
refusal-fastener-bad-scope = Sagen, was gelöst wurde: einzelne Schraubstellen, ein Abschnitt oder alles.
refusal-fastener-done-already = „{ $name }“ ist fertig: erst lösen, wenn es warten muss.
refusal-fastener-not-deferred = „{ $name }“ ist nicht zurückgestellt.
refusal-fastener-not-known = Der Plan dieses Aufbaus hat keine Schraubstelle oder Messung „{ $name }“.
refusal-fastener-nothing-to-decide = Bei „{ $name }“ wartet nichts auf eine Entscheidung.
refusal-fastener-nothing-to-loosen = Dort zählt nichts: Es gibt nichts zu lösen.
refusal-fastener-pass-not-known = Diesen Durchgang hat „{ $name }“ nicht.
refusal-fastener-same-person = Die Zweitkontrolle braucht eine andere Person als die, die angezogen hat oder das Rad aufbaut.
refusal-fastener-stage-not-known = Der Plan dieses Aufbaus hat keinen Abschnitt „{ $name }“.
refusal-part-fitted-already = „{ $name }“ ist schon montiert: gegen ein anderes tauschen.
refusal-part-not-known = Der Plan dieses Aufbaus hat kein Teil „{ $name }“.
refusal-part-other-serial = „{ $name }“ hat eine andere Seriennummer als die, die rauskommen soll: Ist es das richtige Teil?
refusal-part-same-serial = „{ $name }“ mit dieser Seriennummer ist das Teil, das schon montiert ist.
refusal-person-by-missing = Sagen, wer von den Personen hier es tut.
refusal-person-needs-pin = Das verlangt die PIN der Person, die es tut.
refusal-person-not-known = Niemand hier heißt „{ $name }“.
refusal-person-name-taken = „{ $name }“ ist oder war hier schon der Name einer Person: einen anderen nehmen, damit die Protokolle eindeutig bleiben.
refusal-person-wrong-pin = Falsche PIN.
refusal-person-locked = Die PIN ist nach falschen Eingaben gesperrt: warten oder am Rechner des Montageplatzes neu setzen.
refusal-person-no-pin = Diese Person hat noch keine PIN: am Rechner des Montageplatzes setzen.
refusal-photo-not-a-picture = Die Datei ist kein Bild in JPEG, PNG oder WebP.
refusal-photo-too-large = Das Foto ist größer als 8 MiB: verkleinern.
refusal-plan-drops-undecided = Die neue Ausgabe hat nicht mehr, was auf eine Entscheidung wartet. Zuerst entscheiden.
refusal-plan-has-errors = Der Plan hat Fehler. Der erste: { $detail }
refusal-plan-over-in-other-passes = Die neue Ausgabe hat andere Durchgänge und eine niedrigere Grenze, wo schon mehr gezogen wurde. Zuerst die niedrigere Grenze mit den jetzigen Durchgängen, dann entscheiden, dann die Durchgänge ändern.
refusal-plan-same-edition = Für den Aufbau „{ $name }“ gilt genau diese Datei schon.
refusal-reading-bad-value = Dieser Wert lässt sich nicht lesen: Zahl und Einheit schreiben, zum Beispiel 5 N·m. ({ $detail })
refusal-reading-not-known = Dieser Eintrag ist kein Messwert eines Aufbaus: Kam er von einem nicht zugeteilten Werkzeug, noch einmal anziehen.
refusal-reading-over-before-edition = Der Messwert lässt sich nicht neu zuordnen: Er war vor dem Planwechsel zu fest. Zuerst entscheiden, was folgt, oder zu jener Ausgabe zurückgehen.
refusal-record-not-sealed = Das Protokoll kann nicht versiegelt werden: { $detail }
refusal-record-nothing-to-amend = Der Aufbau „{ $name }“ hat noch kein Protokoll, das zu berichtigen wäre: zuerst das erste versiegeln.
refusal-record-sealed-before = Der Aufbau „{ $name }“ hat schon ein Protokoll: Es wird mit einem Grund berichtigt.
refusal-tool-bad-adapter = Dieser Adapter lässt sich nicht umrechnen: { $detail }
refusal-tool-check-under-way = Das Werkzeug wird schon geprüft: eingeben, was die Referenz anzeigte, oder die Prüfung aufgeben.
refusal-tool-no-check = Für das Werkzeug wurde keine Prüfung begonnen: eine beginnen, oder zu jedem Zug sagen, was es anzeigte.
refusal-tool-no-torque-wrench = „{ $name }“ misst kein Drehmoment: Was man von ihm weiß, steht in seiner Werkzeugdatei.
refusal-tool-not-known = Das Werkzeug „{ $name }“ ist nicht bekannt: mit „pullmark tool add“ bekannt machen.
refusal-tool-pulls-do-not-match = Anzeige und Referenz haben nicht gleich viele Werte: zu jedem Mal gehört von beiden genau einer.
refusal-person-bad-pin = Diese PIN geht nicht: 4 bis 12 Ziffern, keine Reihen und keine Wiederholungen; besser sechs oder mehr.
refusal-person-not-needed = Das verlangt keine PIN.
refusal-device-no-network = Der Montageplatz ist nicht im Netz: Geräte können erst zugelassen werden, wenn „lan“ in den Einstellungen steht.
refusal-access-prompt-only = Eine PIN wird mit der bisherigen geändert. Eine vergessene setzt der Benutzer, unter dem der Dienst läuft, am Rechner des Montageplatzes in der Befehlszeile neu: pullmark people reset-pin
refusal-person-returns-at-prompt = „{ $name }“ hat hier schon gearbeitet: Wieder aufgenommen wird die Person vom Benutzer, unter dem der Dienst läuft, am Rechner des Montageplatzes in der Befehlszeile: pullmark people add
refusal-access-bench-only = Das geht nur am Rechner des Montageplatzes selbst.
daemon-goes-on-from = als Fortsetzung von { $build }
daemon-ridden = { $kilometres } km seit der Übergabe
daemon-due-done = { $title }: erledigt
daemon-due-open = { $title }: doch nicht erledigt

## Plans
plans = Pläne
label-plans = Pläne
plans-not-loaded = Die Pläne kamen nicht vom Dienst: Läuft er?
make-a-plan = Einen Plan machen
or-at-a-prompt = Mit einer Plandatei beginnt ein Aufbau auch in der Befehlszeile:
limits = Grenzen
limits-from = Grenzen nach: { $sources }
common-practice = Werkstattbrauch, die Angabe des Teileherstellers prüfen

## What is due after handing over
due = Was fällig ist
due-what = Was nach der Übergabe eines Rads noch einmal angesehen wird, wie sein Plan es sagt. Die Angaben der Teilehersteller gehen vor.
due-nothing = Kein Plan eines übergebenen Rads sagt, dass etwas fällig wird.
due-row = { $standing }: { $title }
due-due = Fällig
due-waiting = Noch nicht
due-done = Erledigt
due-whole = das ganze Rad
due-today = heute
due-on = am { $day }, { $n ->
    [one] morgen
   *[other] in { $n } Tagen
}
due-since = seit { $day }, { $n ->
    [one] einen Tag zu spät
   *[other] { $n } Tage zu spät
}
due-far = nach { $far } km
due-far-gone = nach { $far } km, bisher { $gone } km
due-or = { $on }, oder { $far }, je nachdem, was zuerst kommt
due-done-by = von { $name }
due-done-in = in { $build }
due-in-service = { $build } ist dabei.
due-done-ask = Erledigt …
due-undo-ask = Doch nicht erledigt …
due-ridden-ask = Gefahren …
due-service-ask = Wartung beginnen
due-found = Was wurde gefunden? (kann leer bleiben)
due-done-send = Es ist erledigt
due-undo-send = Es ist wieder fällig
due-ridden-label = Kilometer seit der Übergabe
due-ridden-number = Ganze Kilometer schreiben, zum Beispiel 160.
due-ridden-send = Notieren
due-calendar = Kalenderdatei mit allem, was fällig wird (iCalendar)

## Places of the bike map
place-headset = Steuersatz
place-steerer = Gabelschaft
place-stem-rear = Vorbau, am Schaft
place-stem-front = Vorbau, am Lenker
place-bar = Lenker
place-bar-left = Lenkerende links
place-bar-right = Lenkerende rechts
place-lever-left = Bremsgriff links
place-lever-right = Bremsgriff rechts
place-lamp-front = Vorderlicht
place-fork = Gabel
place-fork-left = Gabel, linkes Bein
place-fork-right = Gabel, rechtes Bein
place-hub-front = Vorderachse
place-rotor-front = Bremsscheibe vorn
place-calliper-front = Bremssattel vorn
place-guard-front = Schutzblech vorn
place-saddle = Sattel
place-seat-post = Sattelstütze
place-seat-clamp = Sattelklemme
place-lamp-rear = Rücklicht
place-frame = Rahmen
place-top-tube = Oberrohr
place-down-tube = Unterrohr
place-seat-tube = Sitzrohr
place-seat-stay = Sitzstrebe
place-chain-stay = Kettenstrebe
place-dropout = Ausfallende
place-pivot = Schwingenlager
place-shock = Dämpfer
place-battery = Akku
place-motor = Motor
place-bottle-cage = Flaschenhalter
place-bottom-bracket = Tretlager
place-chainring = Kettenblatt
place-crank-left = Kurbel links
place-crank-right = Kurbel rechts
place-pedal-left = Pedal links
place-pedal-right = Pedal rechts
place-mech-front = Umwerfer
place-mech-rear = Schaltwerk
place-chain-guard = Kettenschutz
place-hub-rear = Hinterachse
place-rotor-rear = Bremsscheibe hinten
place-calliper-rear = Bremssattel hinten
place-guard-rear = Schutzblech hinten
place-rack = Gepäckträger
place-stand = Ständer
place-box = Kasten
place-boom = Ausleger
place-steering = Lenkgestänge
place-steering-rear = Lenkgestänge, am Lenker
place-head-front = Steuerkopf vorn
place-saddle-stoker = Sattel hinten (Tandem)
place-seat-post-stoker = Sattelstütze hinten (Tandem)
place-seat-clamp-stoker = Sattelklemme hinten (Tandem)
place-stem-stoker = Vorbau hinten (Tandem)
place-bar-stoker = Lenker hinten (Tandem)
place-bottom-bracket-stoker = Tretlager hinten (Tandem)
place-chainring-stoker = Kettenblatt hinten (Tandem)
place-crank-left-stoker = Kurbel hinten links (Tandem)
place-crank-right-stoker = Kurbel hinten rechts (Tandem)
place-pedal-left-stoker = Pedal hinten links (Tandem)
place-pedal-right-stoker = Pedal hinten rechts (Tandem)
place-hub-front-left = Achse vorn links
place-hub-front-right = Achse vorn rechts
place-hub-rear-left = Achse hinten links
place-hub-rear-right = Achse hinten rechts
place-rotor-front-left = Scheibe vorn links
place-rotor-front-right = Scheibe vorn rechts
place-rotor-rear-left = Scheibe hinten links
place-rotor-rear-right = Scheibe hinten rechts
place-calliper-front-left = Bremssattel vorn links
place-calliper-front-right = Bremssattel vorn rechts
place-calliper-rear-left = Bremssattel hinten links
place-calliper-rear-right = Bremssattel hinten rechts
place-guard-front-left = Schutzblech vorn links
place-guard-front-right = Schutzblech vorn rechts
place-guard-rear-left = Schutzblech hinten links
place-guard-rear-right = Schutzblech hinten rechts
place-arm-front-left = Querlenker vorn links
place-arm-front-right = Querlenker vorn rechts
place-arm-rear-left = Querlenker hinten links
place-arm-rear-right = Querlenker hinten rechts
place-seat = Sitz
place-cab = Kabine
place-door-left = Tür links
place-door-right = Tür rechts
place-screen = Scheibe
place-roof = Dach
place-chain-tensioner = Kettenspanner
place-shaft-rear = Hinterwelle
place-parking-brake = Feststellbremse
place-no-kind-stated = ohne Angabe der Art
