# Mots français de la page de l’établi.

## How things stand
standing-open = à faire
standing-part-way = en cours
standing-under = trop faible
standing-within = conforme
standing-over = trop serré
standing-over-kept = trop serré, contrôlé et gardé
standing-undecided = incertain
standing-undecided-kept = incertain, contrôlé et gardé
standing-deferred = reporté
check-standing-open = à faire
check-standing-part-way = en cours
check-standing-within = conforme
check-standing-under = trop bas
check-standing-over = trop élevé
check-standing-undecided = incertain
check-standing-kept = hors limites, contrôlé et gardé
check-standing-deferred = reporté
answer-within = conforme
answer-under = trop faible
answer-over = trop serré
answer-undecided = incertain
answer-held = en attente
check-answer-within = conforme
check-answer-under = trop bas
check-answer-over = trop élevé
check-answer-undecided = incertain

## Cautions
carbon-caution = Après un serrage excessif sur du carbone, on ne roule pas avec la pièce avant qu’une personne compétente l’ait examinée.
carbon-joint = Carbone : on ne roule pas avec la pièce avant qu’une personne compétente l’ait examinée.
carbon-maybe = Carbone : le serrage a peut-être été excessif. On ne roule pas avec la pièce avant qu’une personne compétente l’ait examinée.
caution-no-certificate = aucun certificat d’étalonnage au dossier
caution-certificate-past = la date d’étalonnage de l’outil est dépassée
caution-below-tool-range = sous la plage utile de l’outil
caution-above-tool-range = au-dessus de la plage utile de l’outil
caution-past-tool-range = couple supérieur à ce que l’outil peut afficher
caution-battery-low = pile presque vide
caution-no-lower-limit = seul un maximum est indiqué
caution-attested = attesté par une personne, non mesuré
caution-outside-certificate = hors des points du certificat : la limite de la classe s’applique
caution-no-points = les points du certificat ne sont pas au dossier : la limite de la classe s’applique
caution-with-adapter = serré avec un embout déporté
caution-other-adapter = le plan demande un autre adaptateur que celui qui est monté
caution-lever-not-known = le bras de levier de l’outil n’est pas au dossier : l’effet de l’adaptateur n’est pas converti
caution-check-warns = les contrôles de l’outil dérivent vers la limite de sa classe
caution-check-beyond = le dernier contrôle de l’outil dépassait sa limite
caution-tool-not-fit = l’incertitude de l’outil est trop grande pour ces limites
caution-first-peak-only = l’outil a montré où il a déclenché, pas le maximum du serrage
check-caution-accuracy-stands-in = aucun certificat au dossier : la précision indiquée de l’outil s’applique
check-caution-nothing-stated = rien n’indique la précision de l’outil
check-caution-certificate-past = la date d’étalonnage de l’outil est dépassée
check-caution-below-tool-range = sous la plage de l’outil
check-caution-above-tool-range = au-dessus de la plage de l’outil
check-caution-past-tool-range = plus que l’outil ne peut afficher
check-caution-battery-low = pile presque vide
check-caution-attested = attesté par une personne, non envoyé par un outil
check-caution-unsteady = la valeur n’était pas stabilisée
check-caution-tool-not-fit = l’incertitude de l’outil est trop grande pour ces limites

## Decisions and questions
decision-part-replaced = Pièce remplacée
decision-part-replaced-meaning = La fixation repart de zéro.
decision-inspected-and-kept = Contrôlée et gardée
decision-inspected-and-kept-meaning = Une personne compétente a contrôlé la pièce et l’a gardée.
decision-tightened-again = Desserrée et resserrée
decision-tightened-again-meaning = La fixation repart de zéro, avec la même pièce.
decision-set-right = Réglée
decision-measured-anew = On mesure de nouveau.
decision-set-right-meaning = On mesure de nouveau, avec la même pièce.
held-because-unclear = aucune fixation n’est clairement la bonne
held-because-no-build = l’outil n’est attribué à aucun montage
held-because-nothing-planned = il ne reste rien à faire dans le montage
held-because-wrong-way = ça a tourné à l’envers du filetage
held-because-pass-skipped = le couple entier dans un passage intermédiaire
held-because-earlier-held = sa place dépend d’une réponse précédente
held-because-other-unit = les chiffres ne conviennent que dans une autre unité
pull-next = la suivante du plan
pull-repeat = la même fixation encore une fois
pull-out-of-order = hors de l’ordre
pull-again = une fixation déjà serrée, encore une fois
pull-test = aucune fixation
pull-other-build = pas sur celui-ci
nowhere-test = Serrage d’essai
nowhere-other-build = Un autre vélo
nowhere-other-unit = Aucune fixation : affichage dans une autre unité

## Figures in words
percent-tiny = moins de { $percent }
between = { " ; " }
limits-range = { $lower } à { $upper }
limits-most = { $upper } au plus, pas de limite inférieure indiquée
pass-of = passage { $pass } sur { $passes }, { $percent } %
pass-one = un seul passage
pass-number = passage { $pass }
frame = Cadre { $frame }
judged = évalué { $value }
outside-over = trop serré avec une probabilité de { $percent }
outside-under = trop faible avec une probabilité de { $percent }
rule-guarded = les deux limites sont resserrées de l’incertitude de l’outil
rule-guarded-upper = la limite supérieure est abaissée de l’incertitude de l’outil
rule-name-guarded = avec marge de sécurité
rule-name-guarded-upper = avec marge de sécurité en haut
recalled = Rappel : { $n ->
        [one] { $n } mesure
       *[other] { $n } mesures
    } à revoir
summary-within = { $within } sur { $all } conformes
summary-over-kept = { $n } trop serrées, contrôlées et gardées
summary-over = { $n ->
        [one] { $n } trop serrée
       *[other] { $n } trop serrées
    }
summary-undecided-kept = { $n } incertaines, contrôlées et gardées
summary-undecided = { $n ->
        [one] { $n } incertaine
       *[other] { $n } incertaines
    }
summary-deferred = { $n ->
        [one] { $n } reportée
       *[other] { $n } reportées
    }
summary-open = { $n } à faire
shown-and-original = { $value } ({ $original } affiché)

## What a tool has to show or to be set to
setting-never-within = Aucune valeur ne peut être dite conforme à coup sûr.
setting-within-up-to = Conforme jusqu’à { $high } sur l’outil.
setting-within-from = Conforme de { $low } à { $high } sur l’outil.
setting-cautions = { $tool } : { $cautions }
setting-same = { $tool } : { $within }
setting-shows = { $tool } affiche alors { $value }. { $within }
setting-has-to-be-set = Réglage de { $tool }
setting-has-to-show = Ce que { $tool } doit afficher
setting-set = Régler { $tool } sur { $value }
setting-read = Lire { $value } sur { $tool }
setting-for = pour { $aim } à la fixation
setting-for-with = pour { $aim } à la fixation, avec { $fitted }
setting-own-scale = Soit { $value } si son échelle est en N·m.
setting-clicked = Réglé sur { $value }, a déclenché
adapter-on = Sur { $tool } : { $adapter }
adapter-off-again = Il est retiré
adapter-is-on = C’est monté
adapter-is-off = C’est retiré
adapter-of = Adaptateur de { $tool }
adapter-put-on = <b>Monter sur { $tool } : </b>{ $adapter }
adapter-put-on-instead = <b>Monter sur { $tool } : </b>{ $adapter }. Dessus actuellement : { $fitted }
adapter-take-off = <b>Retirer de { $tool } : </b>{ $adapter }
adapter = Adaptateur
adapter-changes = il modifie le couple
adapter-keeps = le couple reste le même : régler et lire comme sans lui
rule = Règle

## The board of all builds
flag-alarms = { $n ->
        [one] { $n } alarme « trop serré » non acquittée
       *[other] { $n } alarmes « trop serré » non acquittées
    }
flag-check-alarms = { $n ->
        [one] { $n } alarme « trop élevé » d’un contrôle non acquittée
       *[other] { $n } alarmes « trop élevé » de contrôles non acquittées
    }
flag-over = { $n ->
        [one] { $n } trop serrée
       *[other] { $n } trop serrées
    } : décider
flag-may-be-over = { $n ->
        [one] { $n } peut-être trop serrée
       *[other] { $n } peut-être trop serrées
    } : décider
flag-held = { $n } à attribuer
flag-held-checks = { $n ->
        [one] { $n } contrôle
       *[other] { $n } contrôles
    } à attribuer
flag-checks-out = { $n ->
        [one] { $n } contrôle
       *[other] { $n } contrôles
    } hors limites
laid-aside = mis de côté
board-title = { $n ->
        [one] { $n } montage à l’établi
       *[other] { $n } montages à l’établi
    }
board-close = Retour à l’établi
board-empty = Aucun montage en cours.
board-progress-fasteners = { $done } fixations faites sur { $all }
board-progress-checks = { $done } contrôles faits sur { $all }
board-done-fasteners = <b>{ $done } sur { $all }</b> faites
board-done-checks = <b>{ $done } sur { $all }</b> contrôles faits
board-finished = Terminé
board-gone = { $tool } : déconnecté
board-no-tool = Aucun outil attribué
in-hands = Entre les mains de { $name }
next-flag = suivant
next-nothing = Rien à faire ensuite

## What a tool shows during a pull
pull-of = Serrage avec { $tool }
pull-nothing-expected = Rien n’est attendu
pull-aim = viser { $aim } ; { $limits }
pull-past-range = hors plage
pull-over = TROP SERRÉ
pull-no-limits = pas de limites
pull-above = au-dessus de la limite de ce passage
pull-below = sous les limites
pull-between = entre les limites

## The whole build and the hand-over
build-facts = Cadre { $frame }. Plan { $plan }, édition { $edition }. Commencé par { $by } le { $day }{ $moved ->
        [yes] , maintenant entre les mains de { $hands }
       *[no] { "" }
    }.
this-build = Ce montage…
stage-passes = passages { $passes }
stage-loosen = Desserrer cette étape…
may-be-missed = peut-être oubliée
before-alarms = { $n ->
        [one] { $n } alarme « trop serré » n’est pas acquittée
       *[other] { $n } alarmes « trop serré » ne sont pas acquittées
    }
before-held = { $n ->
        [one] { $n } mesure reste
       *[other] { $n } mesures restent
    } à attribuer
before-over = { $n ->
        [one] { $n } serrage excessif attend
       *[other] { $n } serrages excessifs attendent
    } une décision
before-may-be-over = { $n ->
        [one] { $n } mesure est peut-être trop serrée et attend
       *[other] { $n } mesures sont peut-être trop serrées et attendent
    } une décision
before-undecided = { $n ->
        [one] { $n } fixation est incertaine
       *[other] { $n } fixations sont incertaines
    } près de la limite inférieure : resserrer
before-open = { $n ->
        [one] { $n } fixation reste
       *[other] { $n } fixations restent
    } à faire : serrer ou reporter
handover = Remise
record-is-sealed = Le procès-verbal est scellé.
record-not-sealed = Le montage est terminé. Son procès-verbal n’est pas encore scellé.
before-finish = Avant de pouvoir terminer ce montage :
doubts-first = { $n ->
        [one] { $n } fixation a peut-être été oubliée
       *[other] { $n } fixations ont peut-être été oubliées
    } : il faut d’abord resserrer une fois.
finish-build = Terminer le montage
recalled-title = Rappel
recalled-on = Rappel du { $day }
recalled-what = Un changement a été constaté sur { $tool }. { $out ->
        [one] { $out } mesure est
       *[other] { $out } mesures sont
    } maintenant hors limites, { $doubtful } de plus ne sont plus conformes à coup sûr. Le procès-verbal doit être rectifié.
recalled-row = <b>{ $title }</b> : { $finding }
seal-amended = Sceller le procès-verbal rectifié
now-within = n’est plus conforme à coup sûr
now-undecided = incertain maintenant
now-under = trop faible maintenant
now-over = trop serré maintenant
finding = { $value }, { $answer }
finding-uncounted = { $value }, { $answer } ; cette mesure ne compte plus
record = Procès-verbal
readings-csv = Mesures en CSV
seal-record = Sceller le procès-verbal
build-finished = Montage terminé
on-at = le { $day } à { $clock }
recalled-amend = { $recalled } ; le procès-verbal doit être rectifié
no-proof = Un couple conforme ne prouve pas que l’assemblage est sain.

## Checks of the plan
check-readings = { $done } mesures sur { $all }
check-computed = calculé : { $formula }
check-in-formula = « { $title } »
note-deferred = reporté : { $reason }
note-waits-for = attend : { $what }
checks-within = { $within } sur { $all ->
        [one] { $all } contrôle conforme
       *[other] { $all } contrôles conformes
    }
checks-kept = { $n ->
        [one] { $n } contrôlé et gardé
       *[other] { $n } contrôlés et gardés
    }
checks-out = { $n } hors limites
checks-deferred = { $n ->
        [one] { $n } reporté
       *[other] { $n } reportés
    }
checks-open = { $n } à mesurer
before-check-alarms = { $n ->
        [one] { $n } alarme « trop élevé » d’un contrôle n’est pas acquittée
       *[other] { $n } alarmes « trop élevé » de contrôles ne sont pas acquittées
    }
before-check-held = { $n ->
        [one] { $n } mesure d’un contrôle reste
       *[other] { $n } mesures de contrôles restent
    } à attribuer
before-checks-out = { $n ->
        [one] { $n } contrôle est
       *[other] { $n } contrôles sont
    } hors limites : régler et mesurer de nouveau, ou décider
before-checks-open = { $n ->
        [one] { $n } contrôle reste
       *[other] { $n } contrôles restent
    } à faire : mesurer ou reporter
held = En attente
no-check = Aucun contrôle
last-measurement = Dernier contrôle
more-than-shown = plus que l’outil ne peut afficher
waits-for-person = attend qu’une personne dise où la placer
belongs-to-no-check = n’appartient à aucun contrôle de ce montage
which-check = À quel contrôle appartient { $value } ?
which-check-past = À quel contrôle appartient la mesure hors de la plage de l’outil ?
held-measurement = Contrôle à attribuer
held-first-of = En attente, 1 sur { $n }
which-unit = Regarder l’affichage : quelle unité ?
check-held-why = { $clock }, { $tool } : { $why }.
check-held-unclear = aucun contrôle n’est clairement le bon
check-held-no-build = l’outil n’est attribué à aucun montage
check-held-no-such-check = le plan n’a pas de contrôle de cette grandeur
check-held-nothing-open = tous les contrôles de cette grandeur sont faits
check-held-implausible = la valeur ne peut pas être juste ici : regarder l’affichage et son unité
check-held-unsteady = la valeur n’était pas stabilisée
check-other-unit = Reçu comme { $value }. Le chiffre conviendrait à { $title } ({ $limits }) s’il était en { $fits } et non en { $unit } : régler l’affichage, toucher « Aucun contrôle » et mesurer de nouveau.
would-fit-in = conviendrait en { $unit }
then-measure-again = puis mesurer de nouveau
another-check = Un autre contrôle…
check-reading-number = { $title }, mesure { $number }
disposition-of = Décision : { $title }
check-over-decide = Trop élevé, une décision est nécessaire
check-may-be-over-decide = Peut-être trop élevé, une décision est nécessaire
check-counts-now = <b>{ $value }</b> compte maintenant ; les limites sont { $limits }. Une mesure plus basse ne règle pas ce qui les dépassait.
check-none-counts = Aucune mesure ne compte maintenant ; les limites sont { $limits }. Une mesure plus basse ne règle pas ce qui les dépassait.
check-limits = { $quantity } : { $limits }
counts-now = compte maintenant : { $value }
counts-now-shown = compte maintenant : { $value }, affiché { $shown }
build-is-finished = Le montage est terminé.
notes = Notes
notes-and-photos = Notes et photos
next-measurement-here = La prochaine mesure est pour celui-ci
take-up = Reprendre
enter-by-hand = Saisir une mesure à la main…
defer-ask = Reporter…
decide-about = Décider…
measure-anew = Mesurer de nouveau…
note-ask = Note ou photo…
check-decide-at-top = C’était trop élevé et une décision est attendue : fermer ceci et décider en haut de la page.
no-tool-measures = Aucun outil de ce montage ne mesure la grandeur { $quantity }. Déclarer une règle ou un instrument avec « pullmark tool add » : son fichier dit quantity = "{ $code }".
back = Retour
write-value-with-unit = Écrire la valeur avec son unité, par exemple { $example }.
may-be-thousands = { $value } peut aussi être un nombre de milliers. Écrire les milliers sans séparateur, comme 1200, et une fraction avec moins de chiffres ou un de plus, comme 1,1 ou 1,1000.
enter-reading = Saisir la mesure
tool = Outil
what-did-it-show = Qu’a-t-il affiché ? Avec l’unité, par exemple { $example }
write-why-deferred = Écrire pourquoi c’est reporté.
defer = Reporter
why-deferred = Pourquoi reporter ?
quick-no-tool = outil pas disponible
quick-back-order = pièce en commande
quick-customer = le client décide
waits-for-what = Qu’attend-on : une pièce, un outil, une réponse ? (peut rester vide)
quantity-torque = couple
quantity-length = longueur
quantity-mass = masse
quantity-force = force
quantity-pressure = pression
quantity-temperature = température
check-limits-range = { $lower } à { $upper }
check-limits-least = au moins { $value }
check-limits-most = au plus { $value }
check-limits-none = pas de limites
check-limits-aim = { $limits }, viser { $aim }
past-tools-range = hors de la plage de l’outil

## Process figures
stats = Statistiques de serrage
stats-by-kind = Par type de fixation
stats-by-tool = Par outil
stats-by-mechanic = Par mécanicien
stats-what = Chaque couple est pris comme sa position entre ses propres limites : 0 % est la limite inférieure, 100 % la supérieure. De chaque fixation on prend la plus haute mesure qui compte.
stats-nothing = Rien à compter encore : aucune fixation à deux limites n’a été serrée.
fasteners = { $n ->
        [one] { $n } fixation
       *[other] { $n } fixations
    }
stats-too-few = <b>Trop peu pour des statistiques. </b>{ $why }
stats-mean = Moyenne à { $mean }, écart type { $deviation } de la tolérance
stats-spread-within = la dispersion au sein d’un vélo
stats-spread-whole = la dispersion totale
stats-fits-middle = { $fits ->
        [yes] { $spread } tient entre les limites, si elle était centrée
        [no] { $spread } ne tient pas entre les limites, même si elle était centrée
       *[open] il n’est pas montré si { $spread } tient entre les limites, si elle était centrée
    }
stats-fits-nearer = { $fits ->
        [yes] { $spread }, là où elle est, tient dans la limite la plus proche
        [no] { $spread }, là où elle est, ne tient pas dans la limite la plus proche
       *[open] il n’est pas montré si { $spread }, là où elle est, tient dans la limite la plus proche
    }
stats-index = <b>{ $index }</b> : avec 95 % de confiance entre { $from } et { $to }, donc : { $said } (1 est le minimum qui tient)
asking = Le service est interrogé …
no-answer = Pas de réponse du service.
answered-with-status = Le service a répondu avec le statut { $status }.

## The pulls on a fastener
history = Historique
history-pulls = Serrages effectués
none-yet = Aucun encore.
raised-alarm = a déclenché l’alarme « trop serré »
trace-last = Le dernier serrage, couple en fonction du temps
trace-alt = Couple en fonction du temps, avec pic et limites

## One tool
tool-check = Vérifier { $tool }
battery = Pile { $battery } %
battery-low = Pile { $battery } % : presque vide
battery-unsaid = Pile : pas d’indication
certificate-none = Aucun certificat au dossier
certificate-past = Étalonnage échu depuis le { $day }
certificate-due = Étalonnage à refaire le { $day }
certificate-soon = Étalonnage à refaire le { $day } : bientôt
certificate-no-date = Certificat : pas d’échéance indiquée
never-checked = Jamais vérifié contre une référence
last-check-quiet = Dernière vérification { $day } : bien en deçà de la limite
last-check-warns = Dernière vérification { $day } : dérive
last-check-beyond = Dernière vérification { $day } : au-delà de la limite
certificate-number = Certificat { $number }
certificate-number-due = Certificat { $number }, à refaire le { $day }
accuracy-stands-in = Aucun certificat au dossier : sa précision indiquée s’applique
nothing-stated = Rien n’indique sa précision
past-due-calibrate = Échu depuis le { $day } : faire étalonner
last-check-do-not-use = La dernière vérification : au-delà de la limite : ne pas l’utiliser avant étalonnage
tool-serves = Attribué à { $bike }
tool-serves-none = Attribué à aucun montage
serial-number = Numéro de série { $serial }
tool-measures-length = Mesure des longueurs
tool-measures-mass = Mesure des masses
tool-measures-force = Mesure des forces
tool-measures-pressure = Mesure des pressions
tool-measures-temperature = Mesure des températures
tool-range = Plage { $lowest } à { $highest }
tool-range-none = Plage non indiquée
tool-class = Classe { $class } : écart admis de { $percent }
tool-class-none = Classe non indiquée : écart admis de { $percent }
tool-lever = Bras de levier { $length } mm, du carré à la main
tool-lever-none = Bras de levier absent du dossier : les adaptateurs déportés ne peuvent pas être pris en compte
let-it-serve = L’attribuer à { $bike }
adapter-now = Monté actuellement
fitted-offset = { $adapter }. Il modifie le couple, et chaque mesure est convertie.
fitted-in-line = { $adapter }. Il est dans l’axe et ne change rien.
certificate = Certificat
certificate-class-limit = Aucun certificat d’étalonnage au dossier : la limite de la classe, { $percent }, s’applique.
certificate-of = { $laboratory }, { $date } ; à refaire le { $due }
certificate-was-due = { $laboratory }, { $date } ; <b>était à refaire le { $due }</b>
certificate-no-points = Ses points ne sont pas au dossier : la limite de la classe, { $percent }, s’applique.
certificate-points = Ses points en chiffres
point-reference = Référence
point-display = Affichage
point-uncertainty = Incertitude élargie

## A tool against a reference
check-state-quiet = Bien en deçà de sa limite
check-state-warns = Dérive vers sa limite : faire étalonner bientôt
check-state-beyond = Au-delà de sa limite : ne pas l’utiliser avant étalonnage
reference-checks = Vérifications contre une référence
reference-last = Dernière : { $check }
reference-never = Jamais vérifié ici. Quelques serrages contre une référence de temps en temps montrent une clé qui dérive avant son prochain étalonnage.
reference-enter = Saisir une vérification…
reference-begin = Commencer la vérification
reference-begin-what = Dès lors ses serrages valent contre la référence et ne comptent pour aucune fixation, jusqu’à ce que la vérification soit saisie ou abandonnée.
reference-which = Référence : quel appareil, et son certificat
reference-shown = affiché, { $unit }
reference-value = référence, { $unit }
reference-set = réglé sur, { $unit }
reference-under-way = Vérification en cours
reference-begun-by = Vérification en cours, commencée par { $name }
reference-pull = Tirer l’outil contre la référence, environ cinq fois. Chaque serrage apparaît ici.
reference-so-far = { $n ->
        [one] { $n } serrage
       *[other] { $n } serrages
    } jusqu’ici. Écrire à côté de chacun ce que la référence a affiché.
reference-send = Saisir la vérification
reference-give-up = Abandonner la vérification
reference-write-one = Écrire au moins un serrage : le réglage de l’outil et ce que la référence a affiché.
reference-write-set = Écrire le réglage de l’outil au serrage { $pull }.
reference-write-reference = Écrire ce que la référence a affiché au serrage { $pull }.
reference-write-which = Écrire contre quelle référence, et son certificat.
reference-pairs = Tirer contre la référence, environ cinq fois, et écrire les deux chiffres de chaque serrage. Les lignes vides ne comptent pas.
reference-more = Encore un serrage

## Plots
plot-torque = couple, { $unit }
plot-deviation = écart, %
plot-certificate = Écart de l’affichage de l’outil d’après le certificat { $number }
plot-certificate-point = à { $torque } { $off } %, plus ou moins { $expanded } %
plot-certificate-told = { $points }. La limite de la classe est de { $limit } des deux côtés.
plot-certificate-legend = point du certificat, avec son incertitude élargie
plot-class-limit = limite de la classe, ± { $percent }
plot-checks = Carte de contrôle des vérifications de l’outil contre une référence
plot-checks-told = { $n ->
        [one] { $n } vérification
       *[other] { $n } vérifications
    } du { $first } au { $last }. La dernière : écart moyen { $deviation } %, moyenne pondérée { $average } %, avertissement à partir de { $warning }, limite de la classe { $limit }.
plot-check = vérification
plot-check-point = écart moyen d’une vérification, en plus de ce que dit le certificat
plot-check-warns = idem, dérive : un avertissement
plot-check-beyond = idem, au-delà de la limite
plot-weighted = moyenne pondérée jusqu’ici (EWMA)
plot-warning = avertissement, ± { $percent }
plot-pulls = Serrages de { $title }
plot-pull-told = { $number } : { $torque }, { $answer }
plot-pull = serrage
plot-places = Où les couples de { $group } se situent entre leurs limites
plot-places-told = { $n ->
        [one] { $n } fixation
       *[other] { $n } fixations
    }. Nombres par dixième de la tolérance, d’une demi-tolérance sous la limite inférieure à une demie au-dessus de la supérieure : { $counts }.
plot-place = position entre les limites, %
plot-fasteners = fixations
plot-lower = limite basse
plot-upper = limite haute
plot-outside = en dehors
plot-spread = moyenne et trois écarts types (s) des deux côtés
check-in-words = { $day } { $clock }, { $n ->
        [one] { $n } serrage
       *[other] { $n } serrages
    } contre { $against } : { $deviation }

## Notes and photographs
photo-other-kind = { $file } n’est ni JPEG, ni PNG, ni WebP : d’autres images ne peuvent pas être gardées.
photo-too-large = { $file } dépasse 8 MiB : la réduire.
note-needed = Écrire une note ou ajouter une photo.
photo-keep = Garder la photo
note-keep = Garder la note
photo-shows = Que montre-t-elle ? (peut rester vide)
note = Note
photo-stays = Une photo reste pour toujours au journal : regarder qui et quoi on y voit.
photo-take = Prendre une photo
photo-choose = Choisir une image
photo-choose-other = Choisir une autre image
photo-none = Sans image

## Another edition of the plan
plan-too-large = { $file } est trop grand pour un plan.
edition-title = Une autre édition du plan
edition-what = Le plan suivi est { $plan }, édition { $edition }. Choisir le fichier de l’autre édition : ses conséquences sont d’abord montrées, et rien n’est changé.
edition-choose = Choisir le fichier du plan
edition-choose-other = Choisir un autre fichier
edition-against = Ce qui s’y oppose
edition-problem = <b>{ $file } : </b>{ $problem }
finding-line = Ligne { $line } : { $what }. { $advice }
edition-mean = Ce qu’elle changerait
edition-name = { $file } : { $plan }, édition { $edition }
edition-before = À la place de l’édition { $edition }.
edition-alarms = { $n ->
        [one] { $n } mesure serait alors trop serrée~: elle déclenche l’alarme.
       *[other] { $n } mesures seraient alors trop serrées~: elles déclenchent l’alarme.
    }
edition-different = Ce qui diffère
edition-same = Rien de ce que montre la page.
edition-judged = Réévalué
edition-judged-row = <b>{ $title } : </b>{ $before } avant, { $now } maintenant
edition-judged-alarm = <b>{ $title } : </b>{ $before } avant, { $now } maintenant, déclenche l’alarme
not-judged = non évalué
edition-again = À refaire
edition-dropped = N’est plus au plan ; ses mesures restent et ne comptent plus
edition-write-why = Écrire pourquoi le plan change : cela figure au procès-verbal.
edition-change = Passer à cette édition
why-needed = Pourquoi ? (nécessaire)

## The bike map
short-over-kept = trop serré, gardé
short-undecided-kept = gardé
short-kept = gardé
done-of = { $done } sur { $all }
bike-map = Schéma du vélo
larger = Agrandir
smaller = Réduire
map-make-larger = Agrandir le schéma du vélo
map-node = { $title } : { $word }
map-several = { $title }, { $n ->
        [one] { $n } point à traiter
       *[other] { $n } points à traiter
    }
close = Fermer
map-beside = Sans place sur le schéma

## What happened, and taking it back
what-happened = Ce qui s’est passé
what-happened-newest = Ce qui s’est passé, le plus récent d’abord
nothing-yet = Rien encore.
entry = entrée { $entry }
taken-back = <b>Annulé par { $by }</b>, { $moment }
taken-back-because = <b>Annulé par { $by }</b>, { $moment } : { $reason }
take-back-ask = Annuler…
photo-label = Photo : { $words }. S’ouvre dans un nouvel onglet
photo-no-words = sans texte
after-loosened = Ce qui était desserré compte de nouveau, un serrage excessif aussi.
after-part-swapped = La pièce d’avant est de nouveau celle qui est montée, et ce que l’échange avait défait compte de nouveau, un serrage excessif aussi.
after-disposed = Le serrage excessif demande de nouveau une décision.
after-noted = Elle n’apparaît plus parmi les notes ; les données d’une photo restent avec leur entrée.
take-back-write-why = Écrire pourquoi c’est annulé : cela reste dans l’historique, avec la raison.
take-back-title = Annuler ceci ?
take-back-stays = Cela reste dans l’historique, barré. { $after }
take-back = Annuler
quick-wrong-fastener = mauvaise fixation
quick-wrong-build = mauvais montage
quick-mistake = touché par erreur

## What comes next and what waits
laid-aside-title = Mis de côté
go-on = Reprendre le montage
next = Ensuite
next-once-more = Ensuite : resserrer une fois
next-stage = { $stage }, { $pass }
at-the-fastener = À la fixation
left-hand = Filetage à gauche
left-hand-what = serrer dans le sens antihoraire
carbon-here = Carbone
carbon-here-what = un serrage excessif exige ici une décision
drive = Empreinte
prep = Préparation
prep-none = aucune indiquée
nothing-next-over = Un serrage excessif attend une décision.
nothing-next-undecided = Une mesure incertaine attend.
nothing-next-open = { $n ->
        [one] { $n } fixation reste
       *[other] { $n } fixations restent
    } à faire : en désigner une dans la liste.
nothing-next-deferred = { $n ->
        [one] { $n } fixation est reportée
       *[other] { $n } fixations sont reportées
    } ; le reste est fait.
nothing-next-done = Toutes les fixations du plan sont faites.
nothing-next-checks-done = Tous les contrôles du plan sont faits.
nothing-next-checks-deferred = { $n ->
        [one] { $n } contrôle est reporté
       *[other] { $n } contrôles sont reportés
    } ; le reste est fait.
next-measure = Mesurer
checks-next = { $n ->
        [one] { $n } contrôle reste à faire.
       *[other] { $n } contrôles restent à faire, dans n’importe quel ordre.
    }
checks-next-out = { $n ->
        [one] { $n } contrôle est hors limites : corriger et mesurer à nouveau, ou décider.
       *[other] { $n } contrôles sont hors limites : corriger et mesurer à nouveau, ou décider.
    }
doubts-may-be = { $n ->
        [one] { $n } fixation a peut-être été oubliée
       *[other] { $n } fixations ont peut-être été oubliées
    }.
one-more-pull-ask = Resserrer une fois…
prep-on-state = préparation faite
prep-is-on = Préparation faite
no-tool-serves = Aucun outil n’est attribué à ce montage.
no-tool-known = Aucun n’est encore connu. Il se déclare en ligne de commande sur la machine de l’établi :
let-tool-serve = Attribuer { $tool }
tool-checked-now = <b>{ $tool } est en cours de vérification contre une référence</b>. Ses serrages ne comptent pour aucune fixation.
to-the-check = À la vérification
tool-gone-now = <b>{ $tool } est déconnecté</b>. Un serrage ne serait pas reçu.
tool-gone-because = <b>{ $tool } est déconnecté</b> : { $why }. Un serrage ne serait pas reçu.
no-reading-yet = Pas encore de mesure
last-reading = Dernière mesure
shown = affiché
trace = Couple en fonction du temps
say-now = Dire maintenant où la placer
undecided-high = L’incertitude chevauche la limite supérieure : seule une personne peut trancher
undecided-low = L’incertitude chevauche la limite inférieure : resserrer
counts-for-none = ne compte pour aucune fixation de ce montage
waits-for-pull = attend le prochain serrage
held-reading = Mesure à attribuer
held-why = { $clock } : { $why }.
another-fastener = Une autre fixation…
unit-came-as = { $clock } : reçu comme { $value }. Les dernières mesures ne conviennent au plan que si leurs chiffres sont lus dans une autre unité.
unit-set = Si ce n’est pas { $unit }, le régler sur { $unit }.
unit-touch = Toucher « Aucune fixation : affichage dans une autre unité ».
unit-pull-again = Resserrer.
unit-is-right = Si c’est { $unit } : où placer la mesure ?
then-pull-again = puis resserrer
under-one-percent = moins de 1 %
over-decide = Trop serré, une décision est nécessaire
may-be-over-decide = Peut-être trop serré, une décision est nécessaire
over-figures = <b>{ $value }</b> la limite est { $limit }
may-be-over-figures = <b>{ $value }</b> est si près de la limite, { $limit }, que l’incertitude de l’outil la chevauche. Resserrer ne peut pas trancher.

## The frame of the page
bench = Établi
page-title = { $bench } · Pullmark
alarm-page-title = TROP SERRÉ : { $title }
label-tools = Outils
label-builds = Montages
label-board = Tableau de tous les montages
label-next = Ce qui vient ensuite
label-list = Fixations et contrôles
tool-serves-small = attribué à { $bike }
tool-serves-none-small = attribué à aucun montage
sound-on = Le son est activé
sound-off = Le son est coupé : toucher pour l’activer
who-are-you = Qui travaille ?
your-name = Votre nom
tool-flag-checking = en vérification
tool-flag-past-due = étalonnage échu
tool-flag-beyond = vérification hors limite
tool-flag-drift = vérifications en dérive
bench-trouble = Le service ne peut pas montrer l’établi : { $trouble }
no-connection = Pas de connexion au service.
no-connection-old = Pas de connexion au service : ce qui est affiché peut être périmé.
keeps-trying = Depuis { $since }. La page réessaie.
board = Tableau
board-what = tous les montages, en grand
card-may-be-over = { $n ->
        [one] { $n } peut-être trop serrée
       *[other] { $n } peut-être trop serrées
    }
card-finished = terminé le { $day }
card-done-fasteners = { $done } sur { $all } faites
card-done-checks = { $done } contrôles faits sur { $all }
finished-count = { $n ->
        [one] { $n } montage terminé
       *[other] { $n } montages terminés
    }
finished-row = { $bike }, { $day }
finished-row-unsealed = { $bike }, { $day }, non scellé
service-after = révision après { $day } ({ $build })
service-after-build = révision après { $build }
finished-builds = Montages terminés
not-done = Non fait.
done = Fait.
empty-title = Pas encore de montage
empty-what = Un montage est un vélo assemblé selon un plan. Trois étapes mènent au premier :
first-tool = 1. Une clé
first-tool-what = En ligne de commande sur la machine de l’établi ; le fichier dit ce que c’est et comment elle est reliée.
first-people = 2. Des personnes
first-people-what = Qui travaille ici. Avec un code PIN, elles signent les relevés. Cela peut attendre : d’ici là, tout nom est pris tel qu’il est donné.
first-plan = 3. Un plan
first-plan-what = Ce qui se serre, dans quel ordre et dans quelles limites. Un montage se commence avec lui.
first-there = Déjà là : { $names }
empty-then = Cette page montre le montage dès qu’il a commencé.
unclaimed-label = Mesure de { $tool }
unclaimed = { $tool } a mesuré { $value } et n’est attribué à aucun montage
unclaimed-past = { $tool } a mesuré plus qu’il ne peut afficher et n’est attribué à aucun montage
unclaimed-times = { $n } mesures jusqu’ici
unclaimed-kept = gardé au journal, comparé à rien
unclaimed-none-open = aucun montage en cours
write-name-first = Écrire d’abord votre nom : chaque acte est gardé avec le nom de son auteur.
touch-name-first = Toucher d’abord votre nom : chaque acte est gardé avec le nom de son auteur.
no-answer-maybe-done = Pas de réponse du service. C’est peut-être fait, peut-être pas : regarder la liste avant de réessayer.
spoken = { $word }. { $value }. { $where }
spoken-waits = Attend le prochain serrage.
no-fastener = Aucune fixation

## The over alarm
check-alarm = TROP ÉLEVÉ
alarm-above = au-dessus de la limite
alarm-judged = Évalué à { $value }.
alarm-judged-at = { $judged }, à la fixation.
alarm-limit = La limite est { $limit }.
by = Par
acknowledge = Acquitter
alarm-more = { $n ->
        [one] { $n } autre alarme attend
       *[other] { $n } autres alarmes attendent
    } après celle-ci.

## Forms
who = Qui ?
choose-decision = Choisir ce qui a été décidé : { $choices }.
one-of = { $first } ou { $last }
write-reason = Écrire la raison : elle figure au procès-verbal à côté de la décision.
keep-decision = Enregistrer cette décision
what-decided = Qu’a-t-on décidé ?
reason-needed = Raison (nécessaire)
file = Fichier

## Keys and pedal
keys = Touches et pédale
key-next-sheet = À la fiche de la fixation suivante
key-map = Au schéma du vélo
key-list = À la liste des fixations
key-decide = À ce qui attend une décision
key-say-now = Dire maintenant où placer la mesure en attente
key-digits = 1 à 9
key-answers = La première à la neuvième réponse pour la mesure en attente
key-board = Au tableau de tous les montages, et retour
key-next-build = Au montage en cours suivant
key-this-build = À ce montage : montage à blanc, pièces, notes, historique
key-tools = Aux outils
key-name = À votre nom
key-handover = À la remise : terminer, sceller, procès-verbal
key-sound = Activer le son
key-keys = Ces touches
key-tab = Tab, flèches
key-tab-what = D’un élément au suivant
key-enter = Entrée, espace
key-enter-what = Appuyer sur ce qui est encadré
pedal-kept = { $key } sert à se déplacer dans la page : régler la pédale sur une autre touche.
pedal-answers = répond à « { $question } » par { $title }
pedal-confirms = confirme : préparation faite ({ $title } : { $prep })
pedal-idle-held = ne fait rien : une personne doit dire où placer la mesure
pedal-idle = ne fait rien : rien ne l’attend
pedal = Pédale
pedal-press = Appuyer maintenant sur la pédale
pedal-press-what = La prochaine touche est prise pour la pédale. Échap laisse tout comme avant.
keys-letters = Lettres et chiffres sont des raccourcis
foot-pedal = Pédale au pied
pedal-is = La pédale est la touche { $key }. Elle confirme la préparation de ce qui suit, et la page le dit avant. Elle n’acquitte jamais une alarme.
pedal-none = Aucune pédale n’est apprise. Elle confirme la préparation de ce qui suit, et la page le dit avant. Elle n’acquitte jamais une alarme.
pedal-may-place = Elle peut aussi dire où placer une mesure en attente, à la fixation la plus probable
pedal-teach = Apprendre la pédale
pedal-teach-other = Apprendre une autre touche
pedal-forget = Pas de pédale

## The sheet of a build
this-build-title = Ce montage : { $bike }
laid-aside-by = Mis de côté par { $by } le { $day } à { $clock }
laid-aside-because = Mis de côté par { $by } le { $day } à { $clock } : { $reason }
go-on-what = il n’attend plus un autre jour
lay-aside-ask = Mettre de côté…
lay-aside-what = il attend un autre jour
hand-ask = Confier à un autre mécanicien…
hand-what = il est entre les mains de { $name }
dry-fit-ask = Tout cela était un montage à blanc…
dry-fit-what = toutes les fixations sont de nouveau à faire ; les mesures restent
note-build-what = sur le vélo entier
edition-ask = Une autre édition du plan…
edition-ask-what = ses conséquences sont d’abord montrées
whole-history = Historique complet
whole-history-open = et ce qui peut être annulé
whole-history-finished = entrée par entrée
service-ask = Commencer une révision
service-what = un nouveau montage du même vélo selon le même plan, à la suite de celui-ci
write-why-loosened = Écrire pourquoi c’est desserré : les mesures restent et ne comptent plus.
quick-dry-fit = montage à blanc
quick-part = pièce échangée
quick-adjustment = réglage
quick-found-loose = trouvée desserrée
quick-other-first = une autre pièce d’abord
undone-nothing = Rien ne compte là : rien n’est défait.
undone-title = Ce qui est défait
undone-fasteners = { $n ->
        [one] { $n } fixation est à resserrer
       *[other] { $n } fixations sont à resserrer
    }, préparation et second contrôle aussi. Les mesures restent et ne comptent plus :
undone-checks = { $n ->
        [one] { $n } contrôle est à refaire
       *[other] { $n } contrôles sont à refaire
    }. Les mesures restent et ne comptent plus :
dry-fit-title = Tout cela était un montage à blanc
dry-fit-send = Tout est desserré
loosen-stage-title = Desserrer cette étape : { $stage }
loosen-stage-send = L’étape est desserrée
write-why-aside = Écrire pourquoi il est mis de côté : la personne qui reprend le lira.
lay-aside-title = Mettre de côté pour un autre jour
lay-aside-note = La prochaine personne qui y travaille le reprend. Un serrage compte quand même.
lay-aside-send = Mettre de côté
lay-aside-why = Pourquoi, et qu’attend-il ? (nécessaire)
quick-a-back-order = une pièce en commande
quick-the-customer = le client décide
quick-end-of-day = fin de journée
hand-write-name = Écrire le nom du mécanicien qui le reçoit.
hand-title = Confier à un autre mécanicien
hand-note = Il est entre les mains de { $name }. À partir d’ici les serrages sont ceux de l’autre. La personne qui continue sur cette page dit en haut qui elle est.
hand-send = Confier
hand-who = Qui le reçoit ?
hand-tell = Que doit savoir l’autre ? (peut rester vide)
parts = Pièces
part-serial = n° de série { $serial }
part-none-entered = aucune saisie encore
part-replaced-times = remplacée { $n } fois
part-fit-ask = Monter…
part-swap-ask = Remplacer…
part-write-serial = Écrire le numéro de série de la pièce, ou ce qui permet de la reconnaître.
part-fit-title = Montage de { $part }
part-fit-send = C’est monté
part-serial-label = Numéro de série, ou ce qui permet de la reconnaître
part-kind-label = Une autre sorte de pièce que { $kind } ? Laquelle ? (peut rester vide)
part-kind-label-plan = Une autre sorte de pièce que celle du plan ? Laquelle ? (peut rester vide)
part-write-spare = Écrire le numéro de série de la pièce de rechange, ou ce qui permet de la reconnaître.
part-write-why = Écrire pourquoi la pièce a été remplacée : cela figure au procès-verbal.
part-swap-title = Pièce de rechange pour { $part }
part-swap-send = La pièce est remplacée
part-spare-label = Numéro de série de la pièce de rechange
part-goes-out = Sort : <b>{ $serial }</b>
part-out-label = Numéro de série de celle qui sort (peut rester vide)
note-title = Note ou photo

## Parts of several places
tool-set-by-hand = réglé et saisi à la main
tool-by-hand = saisi à la main
tool-battery = pile à { $battery } %
tool-other-serial = annonce le numéro de série { $serial }
tool-connected = connecté
tool-gone = déconnecté
tool-gone-why = déconnecté : { $why }
tool-cut-off = { $now } ; il est parti au milieu d’une mesure, qui ne compte pas : resserrer
where-belongs = Où placer { $value } ?
where-belongs-past = Où placer la mesure hors de la plage de l’outil ?
passes-done = passage { $done } sur { $passes } fait
look-done = second contrôle fait
look-open = second contrôle à faire
notes-count = { $n ->
        [one] { $n } note
       *[other] { $n } notes
    }
photos-count = { $n ->
        [one] { $n } photo
       *[other] { $n } photos
    }
to-be-known = À savoir
known-row = { $title } : { $what }
known-deferred = reporté
known-not-measured = non mesuré
known-waits-for = attend { $what }
known-no-look = pas de second contrôle
known-no-prep = préparation non confirmée

## The sheets of a fastener and of the end
sheet-prep-on = préparation : { $prep } (faite)
sheet-prep-open = préparation : { $prep } (non confirmée)
sheet-highest = maximum { $value }
comes-next = La suivante
comes-next-once-more = La suivante : resserrer une fois
look-ask = Second contrôle…
loosened-ask = Desserrée…
decide-at-top = Un serrage excessif attend une décision : fermer ceci et décider en haut de la page.
decide-at-top-maybe = Un serrage peut-être excessif attend une décision : fermer ceci et décider en haut de la page.
why-loosened = Pourquoi l’avoir desserrée ?
loosened = Desserrée
write-why-its-loosened = Écrire pourquoi elle est desserrée : ses mesures restent et ne comptent plus.
look-seen = Qu’a-t-on vu ? (peut rester vide)
look-send = J’ai regardé
enter-label = Sur quoi l’outil était-il réglé, ou qu’a-t-il affiché ?
enter-needs = Écrire le couple avec son unité, par exemple { $example }.
look-write-name = Écrire le nom de l’autre personne qui a regardé.
look-who = Qui a regardé ? Une autre personne que celle qui a serré
finish-title = Terminer { $bike } ?
doubts-title = { $n ->
        [one] Resserrer celle-ci une fois
       *[other] Resserrer chacune de celles-ci une fois
    }
doubts-what = { $n ->
        [one] Elle est donnée comme faite et a peut-être été oubliée~: des couples voisins se ressemblent. La toucher, et c’est la suivante.
       *[other] Elles sont données comme faites, et l’une d’elles a peut-être été oubliée~: des couples voisins se ressemblent. En toucher une, et c’est la suivante.
    }
doubt-probability = oubliée avec une probabilité de { $percent }
sure-needed = Resserrer chacune une fois, ou écrire pourquoi il est sûr que rien n’a été oublié.
sure-label = Il est sûr que rien n’a été oublié, car …

## People, devices and PINs
people = Personnes et appareils
people-elsewhere = Les personnes et les appareils s’inscrivent sur la machine de l’établi.
pin-none = pas encore de code PIN
pin-locked = code PIN bloqué pour { $n ->
        [one] { $n } minute
       *[other] { $n } minutes
    } après des erreurs
pin-has = a un code PIN
people-title = Personnes
people-nobody = Personne n’est inscrit : chaque nom vaut tel qu’il est donné. Dès la première personne, chaque acte porte l’une d’elles, et signer ou décider exige son code PIN.
pin-change-ask = Changer le code PIN…
rename-ask = Autre nom…
pin-forgotten = Un code PIN oublié se refait sur la machine de l’établi, en ligne de commande, par l’utilisateur du service : pullmark people reset-pin
leave-ask = A quitté…
person-ask = Inscrire une personne…
devices = Appareils
devices-none = L’établi n’est que sur cette machine. Avec { $setting } dans les réglages, tablettes et téléphones peuvent être admis.
devices-at = Sur le réseau à <b>{ $addresses }</b>
device-let-in = admis par { $by } le { $day }
revoke-ask = Exclure…
pair-ask = Admettre un appareil…
fingerprint = Empreinte du certificat, SHA-256
fingerprint-until = valable jusqu’au { $day }, refaite 30 jours avant
pin-new = Nouveau code PIN : 4 à 12 chiffres, plutôt six ou plus
pin-again = Encore une fois
pins-differ = Les deux codes PIN diffèrent.
person-write-name = Écrire le nom tel qu’il doit apparaître.
person-title = Inscrire une personne
person-send = Inscrire
person-name = Nom tel qu’il doit apparaître
rename-title = Autre nom pour { $name }
rename-what = Cela reste la même personne. Les procès-verbaux signés gardent le nom de leur signature.
rename-send = Afficher ce nom
pin-change-title = Autre code PIN pour { $name }
pin-change-send = Changer
pin-before = Code PIN actuel
leave-title = { $name } ne travaille plus ici ?
leave-what = Ce que cette personne a fait reste sien. Son code PIN est oublié.
leave-send = A quitté
pair-type = Saisir ceci sur l’appareil
pair-open = Ouvrir { $addresses } dans son navigateur. Le code vaut { $n } minutes et pour un appareil ; trois erreurs l’annulent.
pair-or = {" "}ou{" "}
pair-fingerprint = Le navigateur ne connaît pas le certificat et le dit. Ne l’accepter que s’il montre cette empreinte :
pair-write-name = Écrire comment l’atelier appelle l’appareil.
pair-title = Admettre un appareil
pair-send = Montrer un code
pair-name = Comment s’appelle-t-il ? Par exemple : tablette au pied 2
revoke-title = Exclure { $device } ?
revoke-what = Tout de suite, avec tout ce qu’il a d’ouvert. Un nouveau code permet de le réadmettre.
revoke-send = Exclure
why-optional = Pourquoi ? (peut rester vide)
pin-for-seal = Il signe le procès-verbal.
pin-for-amend = Il signe le procès-verbal rectifié.
pin-for-dispose = Il accompagne la décision.
pin-for-place = La mesure était trop serrée là où elle est : la retirer est gardé avec lui.
pin-too-short = Un code PIN a au moins quatre chiffres.
pin-of = Code PIN de { $name }
pin-typed = { $n } chiffres saisis
one-moment = Un instant…
pin-delete = Effacer
ok = OK
give-up = Abandonner

## Language and units
display = Langue et unités
display-what = Pour cet appareil seul. Ce qui est gardé et signé n’en change pas.
display-language = Langue
display-unit = Unité de couple
display-unit-what = Les chiffres gardent toutes les décimales qui en distinguent deux. Ce qu’un outil a affiché dans une autre unité figure à côté.
display-decimal = Signe décimal
display-shop = Comme l’atelier ({ $value })
display-shop-none = Comme l’atelier
display-send = Afficher ainsi

## What the daemon says in English: what happened, what follows, what differs
daemon-too-few = { $n ->
        [one] { $n } mesure ne dit
       *[other] { $n } mesures ne disent
    } rien sur la capabilité : il en faut au moins { $least }, 30 est un bon nombre
daemon-no-scatter = toutes les mesures sont égales : l’affichage est trop grossier pour dire quoi que ce soit de la capabilité
daemon-because = { $what } : { $why }
daemon-how-confirmed-by-pin = confirmé par code PIN
daemon-pulled = { $about } : { $place }
daemon-moved = la mesure de l’entrée { $about } : { $place }
daemon-on-none = sur aucune fixation encore
daemon-at-none = à aucun contrôle encore
daemon-placed = { $answer } : { $title }
daemon-reading = mesure { $number }
daemon-over-alarm = alarme
daemon-begun = commencé d’après { $plan }, { $edition }
daemon-over-now = trop serré pendant le serrage : { $title }
daemon-acknowledged = l’alarme de l’entrée { $entry } acquittée
daemon-taken-back = entrée { $entry } annulée
daemon-resumed = repris
daemon-resumed-by-it = il était mis de côté, et il est repris
daemon-plan = à partir d’ici le plan est { $plan }, { $edition }
daemon-note = note
daemon-note-on = note sur { $title }
daemon-photograph = photo
daemon-photograph-on = photo de { $title }
daemon-handed = confié à { $name }
daemon-finished = terminé
daemon-sealed = procès-verbal scellé
daemon-recall = un rappel de { $tool } a trouvé { $n ->
        [one] { $n } mesure
       *[other] { $n } mesures
    } à revoir
daemon-prepared = préparation confirmée : { $title }
daemon-decided = { $title } : { $decision } : { $why }
daemon-no-longer-counts = { $title } : les mesures ne comptent plus
daemon-judged-now = { $title } : la mesure de l’entrée { $entry } est maintenant : { $answer }
daemon-raises-alarm = déclenche l’alarme
daemon-loose = { $title } est desserrée et doit être resserrée
daemon-measure-again = { $title } est à mesurer de nouveau
daemon-pull-again = { $title } est à resserrer
daemon-next = { $title } est la suivante
daemon-loosened = { $title } desserrée
daemon-deferred = { $title } reportée
daemon-taken-up = { $title } reprise
daemon-looked = { $title } regardée
daemon-fitted = { $part } monté, n° de série { $serial }
daemon-swapped = { $part } échangé, { $out } sorti, { $serial } monté
daemon-no-serial = un sans numéro de série au dossier
daemon-is = { $title } : { $now }
daemon-plan-new = { $title } : nouveau dans le plan
daemon-plan-gone = { $title } : n’est plus au plan
daemon-plan-passes = { $title } : passages à { $now } au lieu de { $before }
daemon-plan-readings = { $title } : { $now } mesures au lieu de { $before }
daemon-plan-computed = { $title } : calculé maintenant comme { $now }
daemon-plan-measured = { $title } : maintenant mesuré et non calculé
daemon-plan-rule = { $title } : décidé selon la règle { $now } au lieu de { $before }
daemon-plan-left = { $title } : maintenant un filetage à gauche
daemon-plan-right = { $title } : maintenant un filetage à droite
daemon-plan-order = { $title } : l’ordre de serrage est un autre
daemon-plan-stage = { $title } : maintenant dans l’étape { $now }
daemon-plan-no-prep = { $title } : plus de préparation
daemon-plan-prep = { $title } : la préparation est maintenant { $now }
daemon-plan-look = { $title } : une autre personne doit maintenant regarder
daemon-plan-no-look = { $title } : personne d’autre ne doit plus regarder
daemon-plan-sources = { $title } : les mêmes limites, d’autres sources
daemon-plan-words = { $title } : seulement les mots, l’empreinte, l’adaptateur ou la place
daemon-plan-parts = { $title } : la liste des pièces est une autre
daemon-plan-limits = { $title } : { $now } au lieu de { $before }
daemon-gone-hung-up = l’outil sur { $port } a raccroché
daemon-gone-lost = la connexion à { $port } est perdue
daemon-gone-broker = le broker ne répond pas
daemon-gone-unplugged = { $port } a été débranché, ou l’outil a été éteint
daemon-gone-closed = { $port } a fermé la connexion
daemon-gone-link = { $port } a perdu la liaison : hors de portée ou éteint
daemon-gone-not-heard = { $port } n’est pas capté : allumer l’outil et l’approcher

## The cautions at the foot
foot-caution-1 = Les notices des fabricants passent d’abord ; ce procès-verbal aide un mécanicien formé et ne les remplace pas.
foot-caution-2 = Un couple dans ses limites ne prouve pas que l’assemblage est sain.
foot-caution-3 = Après un serrage excessif sur du carbone, on ne roule pas avec la pièce avant qu’une personne compétente l’ait examinée.
foot-caution-4 = Les règles et codes locaux s’appliquent.

## Refusals
refusal-act-bad-text = Un texte est vide ou trop long.
refusal-act-not-known = Le montage n’a pas cette entrée.
refusal-act-not-withdrawable = Cette entrée ne peut pas être annulée : elle reste, et ce qui la change est saisi à nouveau.
refusal-act-plan-changed-since = L’entrée ne peut pas être annulée : le plan a changé depuis, et ce qu’elle a défait avait été évalué d’après l’édition précédente. Resserrer.
refusal-act-placed-since = L’entrée ne peut pas être annulée : une mesure dont elle décide était trop serrée avant le changement de plan et a été replacée depuis. Décider de nouveau.
refusal-act-withdrawn-already = L’entrée a déjà été annulée ; si elle était juste, refaire l’acte.
refusal-alarm-acknowledged-before = Cette alarme a déjà été acquittée.
refusal-alarm-not-known = Cette entrée n’a déclenché aucune alarme.
refusal-build-finished = Le montage « { $name } » est terminé : le reprendre avec « pullmark build reopen » ou commencer un nouveau montage pour ce vélo.
refusal-build-laid-aside = Le montage « { $name } » est déjà mis de côté.
refusal-build-may-be-missed = Certaines sont données comme faites, et l’une d’elles a peut-être été oubliée : désigner chacune et la resserrer une fois, ou dire pourquoi il est sûr que rien n’a été oublié.
refusal-build-not-finished = Le montage « { $name } » n’est pas terminé : le terminer avant de sceller son procès-verbal.
refusal-build-not-known = Le montage « { $name } » n’existe pas.
refusal-build-not-laid-aside = Le montage « { $name } » n’est pas mis de côté.
refusal-build-open-already = Le montage « { $name } » n’est pas terminé : inutile de le reprendre.
refusal-build-other-hands = Le montage « { $name } » est entre d’autres mains : c’est à cette personne de le confier.
refusal-build-same-hands = Cette personne l’a déjà.
refusal-build-still-open = Le montage ne peut pas encore être terminé : ce qui reste figure sous « Remise ».
refusal-check-computed = « { $name } » est calculé d’après d’autres contrôles : mesurer ceux-là.
refusal-check-none-there = « { $name } » est une fixation, et la valeur n’est pas un couple : nommer un contrôle du plan.
refusal-check-other-decision = « { $name } » : cela ne s’applique pas ici. Un contrôle se mesure, se règle et se mesure de nouveau ; une fixation se serre, se desserre et se resserre.
refusal-check-other-quantity = « { $name } » mesure une autre grandeur que la valeur saisie.
refusal-daemon-broken = Le service est en panne et ne peut rien garder : ne pas continuer avant son redémarrage.
refusal-daemon-going-down = Le service s’arrête : réessayer quand il sera de retour.
refusal-device-not-known = Cet appareil n’est pas connu.
refusal-entry-not-known = Cette entrée n’existe pas.
refusal-fastener-bad-scope = Dire ce qui est desserré : des fixations, une étape ou tout.
refusal-fastener-done-already = « { $name } » est faite : la desserrer d’abord si elle doit attendre.
refusal-fastener-not-deferred = « { $name } » n’est pas reportée.
refusal-fastener-not-known = Le plan de ce montage n’a ni fixation ni contrôle « { $name } ».
refusal-fastener-nothing-to-decide = Rien n’attend de décision pour « { $name } ».
refusal-fastener-nothing-to-loosen = Rien ne compte là : il n’y a rien à desserrer.
refusal-fastener-pass-not-known = « { $name } » n’a pas ce passage.
refusal-fastener-same-person = Le second contrôle demande une autre personne que celle qui a serré ou qui fait le montage.
refusal-fastener-stage-not-known = Le plan de ce montage n’a pas d’étape « { $name } ».
refusal-part-fitted-already = « { $name } » est déjà montée : l’échanger contre une autre.
refusal-part-not-known = Le plan de ce montage n’a pas de pièce « { $name } ».
refusal-part-other-serial = « { $name } » porte un autre numéro de série que celui qui doit sortir : est-ce la bonne pièce ?
refusal-part-same-serial = « { $name } » avec ce numéro de série est la pièce déjà montée.
refusal-person-by-missing = Dire laquelle des personnes d’ici le fait.
refusal-person-needs-pin = Cela demande le code PIN de la personne qui le fait.
refusal-person-not-known = Personne ici ne s’appelle « { $name } ».
refusal-person-name-taken = « { $name } » est ou a été le nom de quelqu’un ici : en prendre un autre, pour que les procès-verbaux restent clairs.
refusal-person-wrong-pin = Code PIN faux.
refusal-person-locked = Le code PIN est bloqué après des erreurs : attendre ou le refaire sur la machine de l’établi.
refusal-person-no-pin = Cette personne n’a pas encore de code PIN : le définir sur la machine de l’établi.
refusal-photo-not-a-picture = Le fichier n’est pas une image JPEG, PNG ou WebP.
refusal-photo-too-large = La photo dépasse 8 MiB : la réduire.
refusal-plan-drops-undecided = La nouvelle édition n’a plus ce qui attend une décision. Décider d’abord.
refusal-plan-has-errors = Le plan a des erreurs. La première : { $detail }
refusal-plan-over-in-other-passes = La nouvelle édition a d’autres passages et une limite plus basse là où on a déjà serré davantage. D’abord la limite plus basse avec les passages actuels, puis décider, puis changer les passages.
refusal-plan-same-edition = Le montage « { $name } » suit déjà exactement ce fichier.
refusal-reading-bad-value = Cette valeur ne peut pas être lue : écrire le nombre et l’unité, par exemple 5 N·m. ({ $detail })
refusal-reading-not-known = Cette entrée n’est pas une mesure d’un montage : si elle venait d’un outil non attribué, resserrer.
refusal-reading-over-before-edition = La mesure ne peut pas être replacée : elle était trop serrée avant le changement de plan. Décider d’abord ce qui suit, ou revenir à cette édition.
refusal-record-not-sealed = Le procès-verbal ne peut pas être scellé : { $detail }
refusal-record-nothing-to-amend = Le montage « { $name } » n’a pas de procès-verbal à rectifier : sceller d’abord le premier.
refusal-record-sealed-before = Le montage « { $name } » a déjà un procès-verbal : le rectifier, avec la raison.
refusal-tool-bad-adapter = Cet adaptateur ne peut pas être pris en compte : { $detail }
refusal-tool-check-under-way = L’outil est déjà en vérification : saisir ce que la référence a affiché, ou abandonner la vérification.
refusal-tool-no-check = Aucune vérification n’a été commencée pour l’outil : en commencer une, ou dire ce qu’il affichait à chaque serrage.
refusal-tool-no-torque-wrench = « { $name } » ne mesure pas de couple : ce qu’on en sait est dans son fichier d’outil.
refusal-tool-not-known = L’outil « { $name } » n’est pas connu : le déclarer avec « pullmark tool add ».
refusal-tool-pulls-do-not-match = L’affichage et la référence n’ont pas autant de valeurs : il en faut une de chaque par serrage.
refusal-person-bad-pin = Ce code PIN ne convient pas : 4 à 12 chiffres, ni suites ni répétitions ; plutôt six ou plus.
refusal-person-not-needed = Cela ne demande pas de code PIN.
refusal-device-no-network = L’établi n’est pas sur le réseau : les appareils ne peuvent être admis que si « lan » figure dans les réglages.
refusal-access-prompt-only = Un code PIN se change avec le code actuel. S’il est oublié, l’utilisateur du service le refait sur la machine de l’établi, en ligne de commande : pullmark people reset-pin
refusal-person-returns-at-prompt = « { $name } » a déjà travaillé ici : c’est l’utilisateur du service qui l’inscrit de nouveau, sur la machine de l’établi, en ligne de commande : pullmark people add
refusal-access-bench-only = Cela ne se fait que sur la machine de l’établi.
daemon-goes-on-from = à la suite de { $build }
daemon-ridden = { $kilometres } km depuis la remise
daemon-due-done = { $title } : fait
daemon-due-open = { $title } : finalement pas fait

## Plans
plans = Plans
label-plans = Plans
plans-not-loaded = Les plans ne sont pas venus du service : tourne-t-il ?
make-a-plan = Faire un plan
or-at-a-prompt = Avec un fichier de plan, un montage se commence aussi en ligne de commande :
limits = Limites
limits-from = limites d'après : { $sources }
common-practice = usage du métier, vérifier l'indication du fabricant de la pièce

## What is due after handing over
due = Ce qui est à revoir
due-what = Ce qui se revoit après la remise d'un vélo, selon son plan. Les consignes des fabricants des pièces passent avant.
due-nothing = Aucun plan d'un vélo remis ne dit que quelque chose est à revoir.
due-row = { $standing } : { $title }
due-due = À revoir
due-waiting = Pas encore
due-done = Fait
due-whole = tout le vélo
due-today = aujourd'hui
due-on = le { $day }, { $n ->
    [one] demain
   *[other] dans { $n } jours
}
due-since = depuis le { $day }, { $n ->
    [one] un jour de retard
   *[other] { $n } jours de retard
}
due-far = après { $far } km
due-far-gone = après { $far } km, { $gone } km jusqu'ici
due-or = { $on }, ou { $far }, selon ce qui vient d'abord
due-done-by = par { $name }
due-done-in = dans { $build }
due-in-service = { $build } s'en occupe.
due-done-ask = Fait…
due-undo-ask = Pas fait, finalement…
due-ridden-ask = Parcouru…
due-service-ask = Commencer un entretien
due-found = Qu'a-t-on trouvé ? (peut rester vide)
due-done-send = C'est fait
due-undo-send = C'est de nouveau à revoir
due-ridden-label = Kilomètres depuis la remise
due-ridden-number = Écrire des kilomètres entiers, par exemple 160.
due-ridden-send = Noter
due-calendar = Fichier de calendrier de ce qui est à revoir (iCalendar)

## Places of the bike map
place-headset = jeu de direction
place-steerer = pivot de fourche
place-stem-rear = potence, côté pivot
place-stem-front = potence, côté cintre
place-bar = cintre
place-bar-left = cintre, bout gauche
place-bar-right = cintre, bout droit
place-lever-left = levier de frein gauche
place-lever-right = levier de frein droit
place-lamp-front = feu avant
place-fork = fourche
place-fork-left = fourche, fourreau gauche
place-fork-right = fourche, fourreau droit
place-hub-front = axe avant
place-rotor-front = disque avant
place-calliper-front = étrier avant
place-guard-front = garde-boue avant
place-saddle = selle
place-seat-post = tige de selle
place-seat-clamp = collier de selle
place-lamp-rear = feu arrière
place-frame = cadre
place-top-tube = tube supérieur
place-down-tube = tube diagonal
place-seat-tube = tube de selle
place-seat-stay = hauban
place-chain-stay = base
place-dropout = patte
place-pivot = pivot de suspension
place-shock = amortisseur
place-battery = batterie
place-motor = moteur
place-bottle-cage = porte-bidon
place-bottom-bracket = boîtier de pédalier
place-chainring = plateau
place-crank-left = manivelle gauche
place-crank-right = manivelle droite
place-pedal-left = pédale gauche
place-pedal-right = pédale droite
place-mech-front = dérailleur avant
place-mech-rear = dérailleur arrière
place-chain-guard = carter
place-hub-rear = axe arrière
place-rotor-rear = disque arrière
place-calliper-rear = étrier arrière
place-guard-rear = garde-boue arrière
place-rack = porte-bagages
place-stand = béquille
place-box = caisse
place-boom = longeron avant
place-steering = tringlerie
place-steering-rear = tringlerie, côté cintre
place-head-front = direction avant
place-saddle-stoker = selle du passager
place-seat-post-stoker = tige de selle du passager
place-seat-clamp-stoker = collier de selle du passager
place-stem-stoker = potence du passager
place-bar-stoker = cintre du passager
place-bottom-bracket-stoker = boîtier du passager
place-chainring-stoker = plateau du passager
place-crank-left-stoker = manivelle gauche du passager
place-crank-right-stoker = manivelle droite du passager
place-pedal-left-stoker = pédale gauche du passager
place-pedal-right-stoker = pédale droite du passager
place-hub-front-left = axe avant gauche
place-hub-front-right = axe avant droit
place-hub-rear-left = axe arrière gauche
place-hub-rear-right = axe arrière droit
place-rotor-front-left = disque avant gauche
place-rotor-front-right = disque avant droit
place-rotor-rear-left = disque arrière gauche
place-rotor-rear-right = disque arrière droit
place-calliper-front-left = étrier avant gauche
place-calliper-front-right = étrier avant droit
place-calliper-rear-left = étrier arrière gauche
place-calliper-rear-right = étrier arrière droit
place-guard-front-left = garde-boue avant gauche
place-guard-front-right = garde-boue avant droit
place-guard-rear-left = garde-boue arrière gauche
place-guard-rear-right = garde-boue arrière droit
place-arm-front-left = bras avant gauche
place-arm-front-right = bras avant droit
place-arm-rear-left = bras arrière gauche
place-arm-rear-right = bras arrière droit
place-seat = siège
place-cab = cabine
place-door-left = porte gauche
place-door-right = porte droite
place-screen = pare-brise
place-roof = toit
place-chain-tensioner = tendeur de chaîne
place-shaft-rear = arbre arrière
place-parking-brake = frein de stationnement
place-no-kind-stated = type non indiqué
