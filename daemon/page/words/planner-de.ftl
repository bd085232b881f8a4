# Deutsche Wörter der Pläne und ihres Formulars.

## The list of plans
planner-new = Neuer Plan
planner-asking = Der Dienst wird gefragt …
planner-ask-again = Noch einmal fragen
planner-drafts = Entwürfe
planner-drafts-here = Entwürfe in diesem Browser, noch nicht gespeichert
planner-shops = Pläne der Werkstatt
planner-none-yet = Noch kein Plan. Ein neuer entsteht in wenigen Minuten aus Vorlagen; die Werte trägt die Werkstatt danach selbst ein.
planner-not-used = Nicht benutzt
planner-files-not-used = Dateien, die nicht benutzt werden
planner-folder = Die Dateien liegen in { $folder }
planner-untitled = Ohne Titel
planner-no-file = noch keine Datei
planner-go-on = Weitermachen
planner-discard = Wegwerfen
planner-discard-sure = Noch einmal berühren: endgültig weg
planner-fasteners = { $n ->
        [one] { $n } Schraubstelle
       *[other] { $n } Schraubstellen
    }
planner-checks = { $n ->
        [one] { $n } Messung
       *[other] { $n } Messungen
    }
planner-pulls = { $n }-mal anziehen
planner-nothing-in-it = noch nichts darin
planner-edition = Ausgabe { $edition }
planner-row-errors = { $n } Fehler: kein Aufbau kann ihm folgen
planner-row-practice = { $n ->
        [one] { $n } Wert ist nur Werkstattbrauch
       *[other] { $n } Werte sind nur Werkstattbrauch
    }
planner-open = Öffnen
planner-start = Aufbau beginnen
planner-duplicate = Verdoppeln
planner-copy-of = { $title } (Kopie)
planner-no-form = { $file } ist keine Plandatei, die als Formular gezeigt werden kann. In der Befehlszeile nennt „pullmark plan check“ die Zeile.

## A new plan
planner-practice = <b>Die Werte sind ein Anfang für das Formular und nicht für den Schlüssel.</b> Bei jedem steht „{ $source }“, bis eingetragen ist, was auf dem Teil oder in seiner Anleitung steht.
planner-starters = Fertige Anfänge
planner-begin-whole = Mit einem ganzen Rad anfangen
planner-templates = Vorlagen
planner-by-joint = Oder Verbindung für Verbindung auswählen
planner-begin-empty = Mit einem leeren Plan anfangen
planner-make-of = { $n ->
        [one] Einen Plan aus { $n } Vorlage machen
       *[other] Einen Plan aus { $n } Vorlagen machen
    }
planner-not-used-file = <b>{ $file } wird nicht benutzt:</b> { $why }
planner-choose-what = Auswählen, was dazukommt
planner-add = { $n ->
        [one] { $n } Vorlage hinzufügen
       *[other] { $n } Vorlagen hinzufügen
    }
planner-add-nothing = Nichts hinzufügen

## From a table
planner-from-table = Aus einer Tabelle
planner-table-what = Eine Tabelle, als CSV gespeichert: je Zeile eine Schraubstelle. Die erste Zeile nennt die Spalten; { $columns } und { $last } werden am meisten gebraucht. Strichpunkte und Dezimalkommas werden verstanden.
planner-table-choose = Tabelle auswählen
planner-table-refused = { $n ->
        [one] { $file } wurde nicht übernommen: { $n } Stelle ist falsch.
       *[other] { $file } wurde nicht übernommen: { $n } Stellen sind falsch.
    }
planner-line = Zeile { $line }:
planner-line-column = Zeile { $line }, Spalte { $column }:
planner-table-large = { $file } ist zu groß für die Tabelle eines Plans.

## A build begins
planner-write-frame = Die Seriennummer schreiben, die auf dem Rahmen steht.
planner-start-what = Nach { $plan }, Ausgabe { $edition }. Für den Aufbau gilt der Plan, wie er jetzt ist, was auch immer aus der Datei wird.
planner-frame-serial = Seriennummer am Rahmen (nötig)
planner-bike-label = Wie die Werkstatt das Rad nennt
planner-your-name = Name (nötig)
planner-start-send = Aufbau beginnen

## The editor
planner-to-list = Zur Liste
planner-stage = Abschnitt
planner-stage-untitled = Abschnitt ohne Titel
planner-another-stage = Weiterer Abschnitt
planner-add-templates = Aus Vorlagen ergänzen
planner-another-fastener = Weitere Schraubstelle
planner-another-check = Weitere Messung
planner-rows = { $n ->
        [one] { $n } Zeile
       *[other] { $n } Zeilen
    }
planner-move = { $title } verschieben
planner-up = Nach oben
planner-down = Nach unten
planner-take-out = Entfernen
planner-parts = Teile, deren Seriennummern festgehalten werden
planner-another-part = Weiteres Teil
planner-to-undo = { $n } zu lösen
planner-due = Fällig nach der Übergabe
planner-another-due = Etwas, das fällig wird
planner-days = { $n ->
        [one] { $n } Tag
       *[other] { $n } Tage
    }
planner-months = { $n ->
        [one] { $n } Monat
       *[other] { $n } Monate
    }
planner-or = { $first } oder { $second }
planner-no-time = noch ohne Zeitpunkt
planner-file-text = Der Text der Datei
planner-as-table = Als Tabelle (CSV)
planner-no-table = Die Tabelle konnte nicht gemacht werden: keine Antwort vom Dienst.

## What was found
planner-error = Fehler
planner-look = Ansehen
planner-note = Hinweis
planner-severity = { $severity }:
planner-found = Was gefunden wurde
planner-field-of = { ": " }
planner-placed = { $place }: { $value }
planner-found-count = { $n ->
        [0] Nichts wurde gefunden
        [one] Gefunden: { $n } Stelle
       *[other] Gefunden: { $n } Stellen
    }
planner-comments-lost = { $n ->
        [one] { $n } Zeile mit einem Kommentar fällt aus der Datei: Kommentare bleiben, wo nichts geändert wurde.
       *[other] { $n } Zeilen mit Kommentaren fallen aus der Datei: Kommentare bleiben, wo nichts geändert wurde.
    }
planner-on-practice = { $n ->
        [one] <b>{ $n } Wert ist nur Werkstattbrauch.</b> Die Angaben der Teilehersteller prüfen, bevor jemand danach anzieht.
       *[other] <b>{ $n } Werte sind nur Werkstattbrauch.</b> Die Angaben der Teilehersteller prüfen, bevor jemand danach anzieht.
    }
planner-errors = { $n } Fehler
planner-to-look-at = { $n } anzusehen
planner-not-looked-at = Keine Antwort vom Dienst: Was geschrieben wird, ist nicht angesehen.
planner-not-yet-looked = Noch nicht angesehen
planner-not-yet-kept = { $n } Fehler: noch nicht zu speichern
found-too-large = Der Plan hat mehr als 1 MiB. Etwas herausnehmen.
found-empty-plan = Der Plan hat keinen Abschnitt. Einen mit mindestens einer Schraubstelle oder Messung hinzufügen.
found-empty-stage = Der Abschnitt hat weder Schraubstelle noch Messung. Eine hinzufügen oder den Abschnitt entfernen.
found-duplicate-id = „{ $value }“ gibt es zweimal. Einem davon einen anderen Kurznamen geben.
found-bad-id = „{ $value }“ geht nicht. 1 bis 64 kleine Buchstaben a bis z, Ziffern, Punkte und Bindestriche schreiben.
found-unknown-fastener = „{ $value }“ ist nicht mehr im Plan. Den Haken wegnehmen.
found-not-a-torque = „{ $value }“ ist kein Drehmoment. Eine Zahl und eine Einheit des Drehmoments schreiben, zum Beispiel 5 N·m oder 44 lbf·in; lb und kg sind keine.
found-no-torque = Ein Wert hier ist kein Drehmoment. Eine Zahl und eine Einheit des Drehmoments schreiben, zum Beispiel 5 N·m oder 44 lbf·in.
found-not-a-value = „{ $value }“ ist nichts, was sich messen lässt. Eine Zahl mit ihrer Einheit schreiben, zum Beispiel 70 mm, 6.5 bar, 1100 N, 8.2 kg oder 21 °C.
found-no-value = Ein Wert hier ist nichts, was sich messen lässt. Eine Zahl mit ihrer Einheit schreiben, zum Beispiel 70 mm, 6.5 bar, 1100 N, 8.2 kg oder 21 °C.
found-torque-at-check = { $value } ist ein Drehmoment. Es gehört zu einer Schraubstelle; gemessen werden Länge, Masse, Druck, Kraft oder Temperatur.
found-out-of-range = { $value } ist kein Drehmoment für eine Schraubstelle am Rad. Mehr als 0 und höchstens 2000 N·m schreiben.
found-not-measured = { $value } lässt sich hier nicht messen. Druck, Kraft und Masse sind nicht kleiner als nichts, und nichts in einer Werkstatt ist größer als eine Tonne oder ein Kilometer.
found-no-limits = „{ $aim }“ und „{ $most }“ sind leer: Eines davon wird gebraucht. Den Wert schreiben, der auf dem Teil oder in seiner Anleitung steht.
found-no-limit-check = Es gibt keine Grenze. Unter „{ $least }“ oder „{ $most }“ schreiben, was das Teil oder seine Anleitung sagt; „{ $aim }“ allein bekommt die Toleranz des Plans, nicht aber bei einer Temperatur.
found-conflict = Beides zugleich geht nicht: { $first }; { $second }. Eines berichtigen oder unter „{ $settle }“ schreiben, wer was entschieden hat und warum.
found-settled-unsigned = Der Entscheidung fehlt der Name oder der Grund. Schreiben, wer entschieden hat und warum.
found-bad-passes = Diese Durchgänge steigen nicht bis 100. Ganze Prozent schreiben, die steigen, zuletzt 100: zum Beispiel 60 100.
found-bad-tolerance = „{ $value }“ ist kein Prozentsatz von 1 bis 50. Wie 10 % schreiben.
found-bad-kind = „{ $value }“ geht nicht. Bis zu 64 kleine Buchstaben a bis z und Ziffern schreiben, Wörter mit einzelnen Bindestrichen, zum Beispiel seat-clamp.
found-bad-note = Das ist kein Satz, der neben einer Schraubstelle stehen kann. 1 bis 240 Zeichen in einer Zeile schreiben oder leer lassen.
found-adapter-title = Der Adapter hat keinen Namen. Ihn nennen, wie er am Montageplatz heißt, mit 1 bis 64 Zeichen.
found-adapter-angle = { $value } Grad sind kein Winkel eines Adapters. 0 für geradeaus, 90 für quer zum Griff, 180 für unter ihn zurückgeklappt schreiben.
found-adapter-no-length = Der Adapter hat einen Winkel und keine Länge. Von der Mitte des Antriebs zur Mitte der Schraubstelle messen; eine gerade Verlängerung hat beides nicht.
found-adapter-length = Das ist keine Länge eines Adapters. Mehr als 0 und höchstens 1 m schreiben, zum Beispiel 30 mm.
found-engagement = Das ist keine Länge, auf der ein Gewinde greift. Mehr als 0 und höchstens 200 mm schreiben, zum Beispiel 8 mm.
found-friction = Das sind keine Reibungszahlen. Die kleinste und die größte schreiben, von 0.01 bis 1 mit höchstens drei Stellen: zum Beispiel 0.10 0.16.
found-no-thread = „{ $value }“ ist kein Gewinde. Durchmesser und Steigung schreiben, zum Beispiel M5x0.8, oder wie seine Norm es nennt.
found-upper-only = Nur „{ $most }“ ist angegeben: Nichts sagt, wann es fest genug ist. In der Anleitung des Teileherstellers nach einem Zielwert suchen.
found-carbon-without-paste = Geklemmt wird Carbon, und keine Montagepaste wird aufgetragen. Hinzufügen, wenn der Teilehersteller sie will, oder dort schreiben, warum nicht.
found-no-prep = Nichts sagt, was zuerst aufgetragen wird. Fett, Paste oder Schraubensicherung nennen oder „dry“ schreiben: Gefettet klemmt dasselbe Drehmoment stärker.
found-past-proof-load = { $torque } kann nicht stimmen: Selbst bei der höchsten glaubhaften Reibungszahl, { $friction }, zieht es an der Schraube mit { $preload }, und die trägt { $load } (Prüfkraft, { $standard }). Auf ein verrutschtes Komma oder eine falsche Einheit sehen; sonst das Gewinde oder was aufgetragen wird berichtigen.
found-near-proof-load = { $torque } ist wohl zu viel: Bei einer Reibungszahl von { $friction } zieht es an der Schraube mit { $preload }, und die trägt { $load } (Prüfkraft, { $standard }). Stimmt das Gewinde? Sagt es der Teilehersteller so, unter „{ $settle }“ bestätigen.
found-thread-strips = { $torque } kann nicht stimmen: Selbst bei der höchsten glaubhaften Reibungszahl, { $friction }, zieht es mit { $preload }, und das Gewinde reißt bei etwa { $load } aus ({ $standard }). Auf ein verrutschtes Komma oder eine falsche Einheit sehen; sonst das Gewinde oder was aufgetragen wird berichtigen.
found-thread-may-strip = { $torque } ist wohl zu viel: Bei einer Reibungszahl von { $friction } zieht es mit { $preload }, und das Gewinde reißt bei etwa { $load } aus ({ $standard }). Stimmt das Gewinde? Sagt es der Teilehersteller so, unter „{ $settle }“ bestätigen.
found-class = Die Klasse „{ $value }“ ist hier nicht bekannt, also wird keine Vorspannkraft geschätzt. Bekannt sind 5.6, 8.8, 10.9 und 12.9 und A1 bis A5 mit -50, -70 oder -80; jede andere bleibt stehen.
found-pitch = Diese Steigung ist bei diesem Durchmesser nicht bekannt, also wird keine Vorspannkraft geschätzt. Die Steigung schreiben oder weglassen; die Länge der Schraube ist nicht gefragt.
found-unusual-torque = { $value } liegt weit von dem, was diese Art Schraubstelle sonst bekommt: { $low } bis { $high } (Werkstattbrauch, ohne Quelle). Auf ein verrutschtes Komma oder eine falsche Einheit sehen; sagt es der Teilehersteller so, unter „{ $settle }“ bestätigen.
found-outside-tool-range = { $value } ist verlangt, und kein Werkzeug am Montageplatz erreicht es. Ein anderes Werkzeug holen oder auf ein verrutschtes Komma oder eine falsche Einheit sehen.
found-unreachable-pass = Durchgang { $pass } mit { $percent } % verlangt { $value }, und kein Werkzeug am Montageplatz erreicht es. Den Durchgang anheben, bis eines es tut, oder ein kleineres Werkzeug holen.
found-tool-too-coarse = Die Grenzen lassen { $room } um { $value }, und kein Werkzeug hat einen Schein, dass es das unterscheiden kann. Das Werkzeug kalibrieren lassen und seinen Schein hinzufügen oder ein feineres holen: Das ist kein Fehler der Schraubstelle.
found-check-too-coarse = Kein Werkzeug am Montageplatz unterscheidet { $value }. Ein besseres holen oder einen Kalibrierschein mit kleinerer Unsicherheit.
found-unknown-place = Das Bild dieser Art Rahmen hat keinen Platz „{ $value }“. Einen wählen, den es hat; sonst steht es neben dem Bild.
found-mixed-quantities = Diese Werte sind von mehreren Größen. Alle Werte einer Messung in Einheiten einer Größe angeben; zwei Messungen machen, wo zweierlei gemessen wird.
found-readings-computed = Eine berechnete Messung nimmt keine Messwerte. Die Zahl bei den Messungen schreiben, die in der Formel stehen.
found-bad-readings = Keine Messung braucht { $n } Messwerte. Eine Zahl von 1 bis 64 schreiben, etwa die Speichen einer Seite.
found-formula-unknown = Eine Messung „{ $value }“ gibt es nicht. Messungen mit ihren Kurznamen nennen; einen mit Bindestrichen in geschweifte Klammern setzen.
found-bad-formula = Diese Formel lässt sich nicht berechnen. Kurznamen von Messungen einer Größe, Zahlen, + - * / ( ), abs, min, max, mean und spread verwenden; Grenzen eines Temperaturunterschieds stehen in K.
found-never-due = Nichts sagt, wann es fällig ist. Tage (1 bis 3660) oder Monate (1 bis 120) schreiben oder Kilometer (1 bis 100000), oder eines der ersten beiden und Kilometer: was zuerst kommt.
found-due-unclear = Es ist nicht klar, wann es fällig ist. Tage (1 bis 3660) oder Monate (1 bis 120) schreiben, nicht beides, oder Kilometer (1 bis 100000), oder eines der ersten beiden und Kilometer.
found-no-title = Es ist leer. Schreiben, wie ein Mechaniker dazu sagt: Listen und Aufzeichnung nennen es so.
found-no-edition = Sie ist leer. Die Ausgabe benennen, zum Beispiel mit ihrem Datum: Die Aufzeichnung unterscheidet Ausgaben danach.
found-same-title = „{ $value }“ gibt es in diesem Abschnitt zweimal. Einem davon einen Titel geben, der es vom anderen unterscheidet, etwa links und rechts.
found-no-place = Beim Wert steht nirgends, woher er ist. Schreiben, was ihn angibt: die Beschriftung auf dem Teil, seine Anleitung und Seite.
found-own-no-place = Bei den eigenen Werten des Plans steht nirgends, woher sie sind. Unter „{ $source }“ schreiben, was sie angibt, oder wer entschieden hat.
found-thousands = { $value } kann auch eine Zahl in Tausendern sein. Tausender ohne Zeichen schreiben, wie 1200, einen Bruchteil mit weniger Ziffern oder einer mehr, wie 1,1 oder 1,1000.

## Keeping it
planner-kept = gespeichert
planner-draft-here = noch nicht gespeichert; der Entwurf liegt in diesem Browser
planner-other-tab = auch ein anderer Tab hat einen Entwurf dieses Plans: beide bleiben, jeder für sich
planner-no-drafts = nicht gespeichert, auch nicht als Entwurf: Dieser Browser behält keine Entwürfe oder hat schon { $n }
planner-undo = Rückgängig
planner-keep = Plan speichern
planner-file-name = Name der Datei
planner-not-kept = Nicht gespeichert.
planner-keep-mine = Meinen unter anderem Namen speichern
planner-open-theirs = Den anderen öffnen; meiner wird weggeworfen
planner-maybe-kept = Keine Antwort vom Dienst. Er kann gespeichert sein oder nicht: in der Liste der Pläne nachsehen, bevor es noch einmal versucht wird.

## Figures, and where they are written
planner-figures = Werte, und woher sie sind
planner-where = Woher der Wert ist
planner-place-marking = Beschriftung auf dem Teil
planner-place-leaflet = Anleitung des Teileherstellers
planner-place-shop = Wert unserer Werkstatt
planner-nobodys = Werkstattbrauch und niemandes Angabe: eintragen, was auf dem Teil oder in seiner Anleitung steht, und wo.
planner-aim = Ziel
planner-least = Mindestens
planner-most = Höchstens
planner-no-figure = kein Wert
planner-in-unit = In der Einheit dieser Seite: { $value }
planner-and-stated = { $value } ({ $stated })
planner-bare-unit = Einheit einer bloßen Zahl
planner-source-out = Diese Quelle herausnehmen
planner-another-source = Weitere Quelle
planner-own = Eigene Werte des Plans
planner-own-out = Eigene Werte des Plans herausnehmen
planner-settle = Entscheiden: Quellen widersprechen sich, oder ein Wert sieht falsch aus und ist es nicht
planner-settled = Was entschieden wurde; Werte hier gelten allein, ohne solche sind die angegebenen bestätigt
planner-settled-by = Wer entschieden hat
planner-settled-why = Warum
planner-settled-out = Entscheidung herausnehmen

## A fastener, a check
planner-title = Titel
planner-id = Kurzname, einmal im Plan
planner-place = Platz im Bild des Rads
planner-place-none = keiner: neben dem Bild
planner-off-map = { $place } (nicht in diesem Bild)
planner-sentence = Ein Satz für den Mechaniker
planner-rule = Wie Messwerte entschieden werden
planner-rule-usual = wie der Plan, sonst üblich
planner-rule-simple = einfach: gegen die Grenzen, wie sie angegeben sind
planner-rule-guarded = mit Sicherheitsabstand: beide Grenzen um die Messunsicherheit nach innen gerückt
planner-rule-upper = mit Sicherheitsabstand nach oben: die obere Grenze nach innen gerückt
planner-rule-default = mit Sicherheitsabstand nach oben auf Carbon, sonst einfach (üblich)
planner-prep = Was zuerst aufgetragen wird, je eine Zeile
planner-prep-grease = Fett am Gewinde
planner-prep-threadlock = Schraubensicherung, mittelfest
planner-prep-paste = Carbonpaste an der Klemmung
planner-prep-dry = trocken
planner-drive = Worauf das Werkzeug passen muss
planner-drive-hex = Innensechskant { $size }
planner-drive-lobe = Innensechsrund { $size }
planner-drive-open = Maulschlüssel { $size }
planner-drive-cassette = Kassettenabzieher
planner-drive-cup = Lagerschalenschlüssel
planner-joint = Woraus die Verbindung ist
planner-not-stated = nicht angegeben
planner-metal = Metall
planner-carbon = Carbon
planner-second-look = Eine andere Person bestätigt es: Zweitkontrolle
planner-more-fastener = Mehr: Gewinde, Art, Platz im Bild, Adapter, Regel, Kurzname
planner-kind = Art der Schraubstelle, für Kennzahlen und dafür, was glaubhaft ist
planner-thread = Gewinde
planner-thread-size = Größe, zum Beispiel M5x0.8
planner-bolt-class = Festigkeitsklasse der Schraube, zum Beispiel 8.8 oder A2-70
planner-cut-into = Worin es geschnitten ist
planner-steel = Stahl
planner-aluminium = Aluminium
planner-brass = Messing
planner-titanium = Titan
planner-magnesium = Magnesium
planner-insert = ein Gewindeeinsatz
planner-engagement = Wie tief es greift, zum Beispiel 8 mm
planner-friction = Reibungszahl, kleinste und größte, zum Beispiel 0.10 0.16
planner-left-hand = Linksgewinde: wird gegen den Uhrzeigersinn angezogen
planner-adapter = Adapter zwischen Schlüssel und Schraubstelle
planner-adapter-title = Wie er heißt, zum Beispiel Krähenfuß, 15 mm
planner-adapter-length = Vom Antrieb zur Schraubstelle, zum Beispiel 32 mm; leer bei einer geraden Verlängerung
planner-adapter-angle = Winkel zum Griff in Grad
planner-readings = Wie viele Messwerte es braucht; leer: einer
planner-more-check = Mehr: Formel, Platz im Bild, Regel, Kurzname
planner-formula = Berechnet aus anderen Messungen mit ihren Kurznamen, zum Beispiel tyres.rear - tyres.front

## A stage, a part, what is due, the plan
planner-way = Der Weg von Schraube zu Schraube
planner-way-listed = wie aufgeführt
planner-way-sides = von Seite zu Seite
planner-way-cross = über Kreuz
planner-passes = Durchgänge in Prozent des Drehmoments, zum Beispiel 60 100; leer: ein voller Durchgang
planner-more-id = Mehr: Kurzname
planner-gone = { $id } (nicht mehr im Plan)
planner-after-days = Nach Tagen
planner-or-months = oder Monaten
planner-after-km = Nach Kilometern
planner-due-source = Wo das steht
planner-due-what = Was angesehen wird; das ganze Rad, wenn nichts angehakt ist
planner-part-what = Was gelöst oder neu gemessen wird, wenn es ersetzt wird
planner-more-part = Mehr: Art, Kurzname
planner-part-kind = Art des Teils, zum Beispiel seat-post
planner-for = Wofür der Plan ist
planner-edition-field = Ausgabe, zum Beispiel ein Datum
planner-frame = Art des Rahmens, für das Bild des Rads
planner-frame-usual = Rennlenker (üblich)
planner-frame-road = Rennlenker
planner-frame-flat = gerader Lenker
planner-frame-cargo = Lastenrad
planner-frame-tandem = Tandem
planner-frame-four = vier Räder
planner-more-plan = Mehr: Toleranz, Regel
planner-tolerance = Gilt, wo nur ein Zielwert angegeben ist, zum Beispiel 8 %; leer: 10 %

# Was der Dienst von Plandateien nicht annimmt.
refusal-plans-bad-name = „{ $name }“ kann kein Name einer Plandatei sein: Buchstaben a bis z, Ziffern, Bindestriche, Unterstriche und einzelne Punkte, höchstens 80, am Ende .toml.
refusal-plans-not-known = Im Planordner gibt es keine Plandatei „{ $name }“.
refusal-plans-changed-meanwhile = „{ $name }“ hat jemand anderes geändert, seit die Datei geöffnet wurde; sie wurde nicht überschrieben. Neu öffnen oder die eigene Fassung unter anderem Namen speichern.
refusal-plans-name-taken = Eine Plandatei „{ $name }“ gibt es schon: einen anderen Namen wählen oder jene öffnen.
refusal-plans-not-readable = Das ist keine Plandatei: Sie ist kein Text oder zu groß.
refusal-plans-folder = Der Planordner lässt sich nicht lesen oder beschreiben: { $detail }
refusal-plans-not-sound = Der Plan hat Fehler, und kein Aufbau kann ihm folgen; er wurde nicht gespeichert.
