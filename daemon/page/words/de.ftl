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
standing-deferred = zurückgestellt
check-standing-open = offen
check-standing-part-way = angefangen
check-standing-within = im Soll
check-standing-under = zu niedrig
check-standing-over = zu hoch
check-standing-undecided = ungewiss
check-standing-kept = außerhalb der Grenzen, geprüft und belassen
check-standing-deferred = zurückgestellt
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
board-progress = { $done } von { $all } Schraubstellen fertig
board-done = <b>{ $done } von { $all }</b> fertig
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
nothing-next-checks = Alle Schraubstellen des Plans sind fertig; Messungen sind noch offen.
nothing-next-done = Alle Schraubstellen des Plans sind fertig.
doubts-may-be = { $n ->
        [one] { $n } Schraubstelle wurde
       *[other] { $n } Schraubstellen wurden
    } vielleicht ausgelassen.
one-more-pull-ask = Noch einmal anziehen…
prep-on-state = vorbereitet
prep-is-on = Ist vorbereitet
no-tool-serves = Diesem Aufbau ist kein Werkzeug zugeteilt.
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
