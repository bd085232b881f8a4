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
carbon-joint = Carbone : on ne roule pas avec la pièce avant qu’une personne compétente l’ait examinée.
carbon-maybe = Carbone : le serrage a peut-être été excessif. On ne roule pas avec la pièce avant qu’une personne compétente l’ait examinée.
caution-no-certificate = aucun certificat d’étalonnage au dossier
caution-certificate-past = la date d’étalonnage de l’outil est dépassée
caution-below-tool-range = sous la plage utile de l’outil
caution-above-tool-range = au-dessus de la plage utile de l’outil
caution-past-tool-range = couple supérieur à ce que l’outil peut afficher
caution-battery-low = pile presque vide
caution-no-lower-limit = seul un maximum est indiqué
caution-attested = attesté par une personne, non mesuré
caution-outside-certificate = hors des points du certificat : la limite de la classe s’applique
caution-no-points = les points du certificat ne sont pas au dossier : la limite de la classe s’applique
caution-with-adapter = serré avec un embout déporté
caution-other-adapter = le plan demande un autre adaptateur que celui qui est monté
caution-lever-not-known = le bras de levier de l’outil n’est pas au dossier : l’effet de l’adaptateur n’est pas converti
caution-check-warns = les contrôles de l’outil dérivent vers la limite de sa classe
caution-check-beyond = le dernier contrôle de l’outil dépassait sa limite
caution-tool-not-fit = l’incertitude de l’outil est trop grande pour ces limites
caution-first-peak-only = l’outil a montré où il a déclenché, pas le maximum du serrage
check-caution-accuracy-stands-in = aucun certificat au dossier : la précision indiquée de l’outil s’applique
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
held-because-no-build = l’outil ne sert aucun montage
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
nowhere-other-unit = Aucune fixation : affichage dans une autre unité

## Figures in words
percent-tiny = moins de { $percent }
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
        [one] { $n } alarme « trop serré » non acquittée
       *[other] { $n } alarmes « trop serré » non acquittées
    }
flag-check-alarms = { $n ->
        [one] { $n } alarme « trop élevé » d’un contrôle non acquittée
       *[other] { $n } alarmes « trop élevé » de contrôles non acquittées
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
board-progress = { $done } fixations faites sur { $all }
board-done = <b>{ $done } sur { $all }</b> faites
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
        [one] { $n } alarme « trop serré » n’est pas acquittée
       *[other] { $n } alarmes « trop serré » ne sont pas acquittées
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
        [one] { $n } alarme « trop élevé » d’un contrôle n’est pas acquittée
       *[other] { $n } alarmes « trop élevé » de contrôles ne sont pas acquittées
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
check-held-no-build = l’outil ne sert aucun montage
check-held-no-such-check = le plan n’a pas de contrôle de cette grandeur
check-held-nothing-open = tous les contrôles de cette grandeur sont faits
check-held-implausible = la valeur ne peut pas être juste ici : regarder l’affichage et son unité
check-held-unsteady = la valeur n’était pas stabilisée
check-other-unit = Reçu comme { $value }. Le chiffre conviendrait à { $title } ({ $limits }) s’il était en { $fits } et non en { $unit } : régler l’affichage, toucher « Aucun contrôle » et mesurer de nouveau.
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
no-tool-measures = Aucun outil de ce montage ne mesure la grandeur { $quantity }. Déclarer une règle ou un instrument avec « pullmark tool add » : son fichier dit quantity = "{ $code }".
back = Retour
write-value-with-unit = Écrire la valeur avec son unité, par exemple { $example }.
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
raised-alarm = a déclenché l’alarme « trop serré »
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
tool-serves = Sert à { $bike }
tool-serves-none = Ne sert à aucun montage
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
nothing-next-checks = Toutes les fixations du plan sont faites ; il reste des contrôles.
nothing-next-done = Toutes les fixations du plan sont faites.
doubts-may-be = { $n ->
        [one] { $n } fixation a peut-être été oubliée
       *[other] { $n } fixations ont peut-être été oubliées
    }.
one-more-pull-ask = Resserrer une fois…
prep-on-state = préparation faite
prep-is-on = Préparation faite
no-tool-serves = Aucun outil n’est attribué à ce montage.
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
unit-touch = Toucher « Aucune fixation : affichage dans une autre unité ».
unit-pull-again = Resserrer.
unit-is-right = Si c’est { $unit } : où placer la mesure ?
then-pull-again = puis resserrer
under-one-percent = moins de 1 %
over-decide = Trop serré, une décision est nécessaire
may-be-over-decide = Peut-être trop serré, une décision est nécessaire
over-figures = <b>{ $value }</b> la limite est { $limit }
may-be-over-figures = <b>{ $value }</b> est si près de la limite, { $limit }, que l’incertitude de l’outil la chevauche. Resserrer ne peut pas trancher.
