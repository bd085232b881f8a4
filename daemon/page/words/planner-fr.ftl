# Mots français des plans et de leur formulaire.

## The list of plans
planner-new = Nouveau plan
planner-asking = Le service est interrogé…
planner-ask-again = Demander encore
planner-drafts = Brouillons
planner-drafts-here = Brouillons dans ce navigateur, pas encore enregistrés
planner-shops = Plans de l’atelier
planner-none-yet = Pas encore de plan. Un nouveau se fait en quelques minutes à partir de modèles ; les valeurs sont ensuite à saisir par l’atelier.
planner-not-used = Non utilisés
planner-files-not-used = Fichiers qui ne sont pas utilisés
planner-folder = Les fichiers sont dans { $folder }
planner-untitled = Sans titre
planner-no-file = pas encore de fichier
planner-go-on = Continuer
planner-discard = Jeter
planner-discard-sure = Toucher encore : perdu pour de bon
planner-fasteners = { $n ->
        [one] { $n } fixation
       *[other] { $n } fixations
    }
planner-checks = { $n ->
        [one] { $n } contrôle
       *[other] { $n } contrôles
    }
planner-pulls = { $n ->
        [one] { $n } serrage
       *[other] { $n } serrages
    }
planner-nothing-in-it = rien dedans pour l’instant
planner-edition = édition { $edition }
planner-row-errors = { $n ->
        [one] { $n } erreur : aucun montage ne peut le suivre
       *[other] { $n } erreurs : aucun montage ne peut le suivre
    }
planner-row-practice = { $n ->
        [one] { $n } valeur n’est qu’un usage du métier
       *[other] { $n } valeurs ne sont que des usages du métier
    }
planner-open = Ouvrir
planner-start = Commencer un montage
planner-duplicate = Dupliquer
planner-copy-of = { $title } (copie)
planner-no-form = { $file } n’est pas un fichier de plan qui puisse être montré en formulaire. En ligne de commande, « pullmark plan check » nomme la ligne.

## A new plan
planner-practice = <b>Les valeurs sont un début pour le formulaire et non pour la clé.</b> Chacune porte « { $source } » tant que l’indication de la pièce ou de sa notice n’est pas saisie.
planner-starters = Débuts tout prêts
planner-begin-whole = Commencer par un vélo entier
planner-templates = Modèles
planner-by-joint = Ou choisir assemblage par assemblage
planner-begin-empty = Commencer par un plan vide
planner-make-of = { $n ->
        [one] Faire un plan de { $n } modèle
       *[other] Faire un plan de { $n } modèles
    }
planner-not-used-file = <b>{ $file } n’est pas utilisé :</b> { $why }
planner-choose-what = Choisir ce qui s’ajoute
planner-add = { $n ->
        [one] Ajouter { $n } modèle
       *[other] Ajouter { $n } modèles
    }
planner-add-nothing = Ne rien ajouter

## From a table
planner-from-table = À partir d’un tableau
planner-table-what = Un tableau enregistré en CSV : une ligne par fixation. La première ligne nomme les colonnes ; { $columns } et { $last } servent le plus. Points-virgules et virgules décimales sont compris.
planner-table-choose = Choisir le tableau
planner-table-refused = { $n ->
        [one] { $file } n’a pas été repris : { $n } endroit est faux.
       *[other] { $file } n’a pas été repris : { $n } endroits sont faux.
    }
planner-line = Ligne { $line } :
planner-line-column = Ligne { $line }, colonne { $column } :
planner-table-large = { $file } est trop grand pour le tableau d’un plan.

## A build begins
planner-write-frame = Écrire le numéro de série qui figure sur le cadre.
planner-start-what = D’après { $plan }, édition { $edition }. Le montage suit le plan tel qu’il est maintenant, quoi que devienne le fichier.
planner-frame-serial = Numéro de série du cadre (nécessaire)
planner-bike-label = Comment l’atelier appelle le vélo
planner-your-name = Votre nom (nécessaire)
planner-start-send = Commencer le montage

## The editor
planner-to-list = À la liste
planner-stage = Étape
planner-stage-untitled = Étape sans titre
planner-another-stage = Une autre étape
planner-add-templates = Ajouter des modèles
planner-another-fastener = Une autre fixation
planner-another-check = Un autre contrôle
planner-rows = { $n ->
        [one] { $n } ligne
       *[other] { $n } lignes
    }
planner-move = Déplacer { $title }
planner-up = Monter
planner-down = Descendre
planner-take-out = Retirer
planner-parts = Pièces dont le numéro de série est noté
planner-another-part = Une autre pièce
planner-to-undo = { $n } à desserrer
planner-due = À revoir après la remise
planner-another-due = Un point à revoir
planner-days = { $n ->
        [one] { $n } jour
       *[other] { $n } jours
    }
planner-months = { $n } mois
planner-or = { $first } ou { $second }
planner-no-time = pas encore de délai
planner-file-text = Le texte du fichier
planner-as-table = En tableau (CSV)
planner-no-table = Le tableau n’a pas pu être fait : pas de réponse du service.

## What was found
planner-error = Erreur
planner-look = À regarder
planner-note = Remarque
planner-severity = { $severity } :
planner-found = Ce qui a été trouvé
planner-field-of = { " : " }
planner-placed = { $place } : { $value }
planner-found-count = { $n ->
        [0] Rien n’a été trouvé
        [one] Trouvé : { $n } point
       *[other] Trouvé : { $n } points
    }
planner-comments-lost = { $n ->
        [one] { $n } ligne de commentaire disparaît du fichier : les commentaires restent là où rien n’a changé.
       *[other] { $n } lignes de commentaire disparaissent du fichier : les commentaires restent là où rien n’a changé.
    }
planner-on-practice = { $n ->
        [one] <b>{ $n } valeur n’est qu’un usage du métier.</b> Vérifier les indications des fabricants des pièces avant que quelqu’un serre d’après elle.
       *[other] <b>{ $n } valeurs ne sont que des usages du métier.</b> Vérifier les indications des fabricants des pièces avant que quelqu’un serre d’après elles.
    }
planner-errors = { $n ->
        [one] { $n } erreur
       *[other] { $n } erreurs
    }
planner-to-look-at = { $n } à regarder
planner-not-looked-at = Pas de réponse du service : ce qui est saisi n’est pas examiné.
planner-not-yet-looked = Pas encore examiné
planner-not-yet-kept = { $n ->
        [one] { $n } erreur : ne peut pas encore être enregistré
       *[other] { $n } erreurs : ne peut pas encore être enregistré
    }
found-too-large = Le plan dépasse 1 Mio. En retirer quelque chose.
found-empty-plan = Le plan n’a pas d’étape. En ajouter une avec au moins une fixation ou un contrôle.
found-empty-stage = L’étape n’a ni fixation ni contrôle. En ajouter, ou retirer l’étape.
found-duplicate-id = « { $value } » existe deux fois. Donner un autre nom court à l’un des deux.
found-bad-id = « { $value } » ne convient pas. Écrire 1 à 64 minuscules a à z, chiffres, points et traits d’union.
found-unknown-fastener = « { $value } » n’est plus au plan. Le décocher.
found-not-a-torque = « { $value } » n’est pas un couple. Écrire un nombre et une unité de couple, par exemple 5 N·m ou 44 lbf·in ; lb et kg n’en sont pas.
found-no-torque = Une valeur ici n’est pas un couple. Écrire un nombre et une unité de couple, par exemple 5 N·m ou 44 lbf·in.
found-not-a-value = « { $value } » ne se mesure pas. Écrire un nombre avec son unité, par exemple 70 mm, 6.5 bar, 1100 N, 8.2 kg ou 21 °C.
found-no-value = Une valeur ici ne se mesure pas. Écrire un nombre avec son unité, par exemple 70 mm, 6.5 bar, 1100 N, 8.2 kg ou 21 °C.
found-torque-at-check = { $value } est un couple. Il appartient à une fixation ; un contrôle porte sur une longueur, une masse, une pression, une force ou une température.
found-out-of-range = { $value } n’est pas un couple pour une fixation de vélo. Écrire plus de 0 et au plus 2000 N·m.
found-not-measured = { $value } ne se mesure pas ici. Une pression, une force ou une masse n’est pas négative, et rien dans un atelier ne dépasse une tonne ou un kilomètre.
found-no-limits = « { $aim } » et « { $most } » sont vides : il faut l’un des deux. Écrire la valeur qui figure sur la pièce ou dans sa notice.
found-no-limit-check = Il n’y a pas de limite. Écrire sous « { $least } » ou « { $most } » ce que dit la pièce ou sa notice ; « { $aim } » seul reçoit la tolérance du plan, mais pas pour une température.
found-conflict = Les deux ne peuvent pas valoir : { $first } ; { $second }. Corriger l’un, ou écrire sous « { $settle } » qui a décidé quoi, et pourquoi.
found-settled-unsigned = Il manque à la décision le nom ou la raison. Écrire qui a décidé, et pourquoi.
found-bad-passes = Ces passages ne montent pas à 100. Écrire des pour cent entiers qui montent, le dernier 100 : par exemple 60 100.
found-bad-tolerance = « { $value } » n’est pas un pourcentage de 1 à 50. L’écrire comme 10 %.
found-bad-kind = « { $value } » ne convient pas. Écrire jusqu’à 64 minuscules a à z et chiffres, les mots liés par un trait d’union, par exemple seat-clamp.
found-bad-note = Ce n’est pas une phrase à montrer près d’une fixation. Écrire 1 à 240 caractères sur une ligne, ou laisser vide.
found-adapter-title = L’adaptateur n’a pas de nom. L’appeler comme à l’établi, en 1 à 64 caractères.
found-adapter-angle = { $value } degrés ne sont pas un angle d’adaptateur. Écrire 0 pour droit, 90 pour d’équerre avec la poignée, 180 pour replié dessous.
found-adapter-no-length = L’adaptateur a un angle et pas de longueur. Mesurer du centre du carré au centre de la fixation ; une rallonge droite n’a ni l’un ni l’autre.
found-adapter-length = Ce n’est pas une longueur d’adaptateur. Écrire plus de 0 et au plus 1 m, par exemple 30 mm.
found-engagement = Ce n’est pas une longueur en prise. Écrire plus de 0 et au plus 200 mm, par exemple 8 mm.
found-friction = Ce ne sont pas des coefficients de frottement. Écrire le plus faible et le plus fort, de 0.01 à 1, trois décimales au plus : par exemple 0.10 0.16.
found-no-thread = « { $value } » n’est pas un filetage. Écrire son diamètre et son pas, par exemple M5x0.8, ou le nom que lui donne sa norme.
found-upper-only = Seul « { $most } » est indiqué : rien ne dit quand c’est assez serré. Chercher une valeur à viser dans la notice du fabricant.
found-carbon-without-paste = Elle serre du carbone, et aucune pâte de montage ne s’applique d’abord. L’ajouter si le fabricant la veut, ou y écrire pourquoi pas.
found-no-prep = Rien ne dit ce qui s’applique d’abord. Nommer graisse, pâte ou frein-filet, ou écrire « dry » : graissé, le même couple serre plus fort.
found-past-proof-load = { $torque } ne peut pas être juste : même au frottement plausible le plus fort, { $friction }, il tire sur la vis avec { $preload }, et elle supporte { $load } (charge d’épreuve, { $standard }). Chercher une virgule déplacée ou une unité fausse ; sinon corriger le filetage ou ce qui s’applique d’abord.
found-near-proof-load = { $torque } est sans doute trop : à un frottement de { $friction }, il tire sur la vis avec { $preload }, et elle supporte { $load } (charge d’épreuve, { $standard }). Le filetage est-il juste ? Si le fabricant le dit ainsi, le confirmer sous « { $settle } ».
found-thread-strips = { $torque } ne peut pas être juste : même au frottement plausible le plus fort, { $friction }, il tire avec { $preload }, et le filetage s’arrache vers { $load } ({ $standard }). Chercher une virgule déplacée ou une unité fausse ; sinon corriger le filetage ou ce qui s’applique d’abord.
found-thread-may-strip = { $torque } est sans doute trop : à un frottement de { $friction }, il tire avec { $preload }, et le filetage s’arrache vers { $load } ({ $standard }). Le filetage est-il juste ? Si le fabricant le dit ainsi, le confirmer sous « { $settle } ».
found-class = La classe « { $value } » n’est pas connue ici, la précharge n’est donc pas estimée. Connues : 5.6, 8.8, 10.9 et 12.9, et A1 à A5 avec -50, -70 ou -80 ; toute autre est gardée.
found-pitch = Ce pas n’est pas connu pour ce diamètre, la précharge n’est donc pas estimée. Écrire le pas ou l’omettre ; la longueur de la vis n’est pas demandée.
found-unusual-torque = { $value } est loin de ce que reçoit d’habitude ce type de fixation : { $low } à { $high } (usage du métier, sans source). Chercher une virgule déplacée ou une unité fausse ; si le fabricant le dit ainsi, le confirmer sous « { $settle } ».
found-outside-tool-range = { $value } est demandé, et aucun outil de l’établi ne l’atteint. Apporter un autre outil, ou chercher une virgule déplacée ou une unité fausse.
found-unreachable-pass = Le passage { $pass } à { $percent } % demande { $value }, et aucun outil de l’établi ne l’atteint. Relever le passage jusqu’à ce qu’un outil l’atteigne, ou apporter un outil plus petit.
found-tool-too-coarse = Les limites laissent { $room } autour de { $value }, et aucun outil n’a de certificat qui dise qu’il le distingue. Faire étalonner l’outil et ajouter son certificat, ou apporter un outil plus fin : ce n’est pas un défaut de la fixation.
found-check-too-coarse = Aucun outil de l’établi ne distingue { $value }. Apporter un meilleur outil, ou un certificat d’étalonnage qui indique moins d’incertitude.
found-unknown-place = Le schéma de ce type de cadre n’a pas de place « { $value } ». En choisir une qu’il a ; sinon elle est listée hors du schéma.
found-mixed-quantities = Ces valeurs sont de plusieurs grandeurs. Donner toutes les valeurs d’un contrôle dans une seule grandeur ; faire deux contrôles si deux choses se mesurent.
found-readings-computed = Un contrôle calculé ne prend pas de mesures. Écrire leur nombre aux contrôles que nomme la formule.
found-bad-readings = Aucun contrôle ne demande { $n } mesures. Écrire un nombre de 1 à 64, par exemple les rayons d’un côté.
found-formula-unknown = Il n’y a pas de contrôle « { $value } ». Nommer les contrôles par leurs noms courts ; mettre entre accolades celui qui a des tirets.
found-bad-formula = Cette formule ne se calcule pas. Employer les noms courts de contrôles d’une seule grandeur, des nombres, + - * / ( ), abs, min, max, mean et spread ; les limites d’une différence de températures sont en K.
found-never-due = Rien ne dit quand c’est à revoir. Écrire des jours (1 à 3660) ou des mois (1 à 120), ou des kilomètres (1 à 100000), ou l’un des deux premiers et des kilomètres : le premier atteint.
found-due-unclear = Il n’est pas clair quand c’est à revoir. Écrire des jours (1 à 3660) ou des mois (1 à 120), pas les deux, ou des kilomètres (1 à 100000), ou l’un des deux premiers et des kilomètres.
found-no-title = C’est vide. Écrire comment un mécanicien l’appelle : les listes et le relevé le nomment ainsi.
found-no-edition = C’est vide. Nommer l’édition, par exemple par sa date : le relevé distingue ainsi les éditions.
found-same-title = « { $value } » existe deux fois dans cette étape. Donner à l’un un titre qui le distingue de l’autre, comme gauche et droite.
found-no-place = Rien ne dit où la valeur est écrite. Écrire ce qui l’indique : le marquage sur la pièce, sa notice et la page.
found-own-no-place = Rien ne dit où les valeurs propres au plan sont écrites. Écrire sous « { $source } » ce qui les indique, ou qui a décidé.
found-thousands = { $value } peut aussi être un nombre de milliers. Écrire les milliers sans séparateur, comme 1200, et une fraction avec moins de chiffres ou un de plus, comme 1,1 ou 1,1000.

## Keeping it
planner-kept = enregistré
planner-draft-here = pas encore enregistré ; le brouillon est dans ce navigateur
planner-other-tab = un autre onglet a aussi un brouillon de ce plan : les deux sont gardés, chacun à part
planner-no-drafts = non enregistré, et sans brouillon : ce navigateur n’en garde pas ou en a déjà { $n }
planner-undo = Annuler
planner-keep = Enregistrer le plan
planner-file-name = Nom du fichier
planner-not-kept = Non enregistré.
planner-keep-mine = Enregistrer le mien sous un autre nom
planner-open-theirs = Ouvrir l’autre ; le mien est jeté
planner-maybe-kept = Pas de réponse du service. Le plan est peut-être enregistré, ou non : regarder la liste des plans avant de réessayer.

## Figures, and where they are written
planner-figures = Valeurs, et où elles sont écrites
planner-where = Où c’est écrit
planner-place-marking = marquage sur la pièce
planner-place-leaflet = notice du fabricant de la pièce
planner-place-shop = valeur de notre atelier
planner-nobodys = Usage du métier, indication de personne : saisir ce que dit la pièce ou sa notice, et où.
planner-aim = Viser
planner-least = Au moins
planner-most = Au plus
planner-no-figure = pas de valeur
planner-in-unit = Dans l’unité de cette page : { $value }
planner-and-stated = { $value } ({ $stated })
planner-bare-unit = Unité d’un nombre seul
planner-source-out = Retirer cette source
planner-another-source = Une autre source
planner-own = Valeurs propres au plan
planner-own-out = Retirer les valeurs propres au plan
planner-settle = Trancher : des sources se contredisent, ou une valeur semble fausse et ne l’est pas
planner-settled = Ce qui a été décidé ; des valeurs ici valent seules, sans elles les valeurs indiquées sont confirmées
planner-settled-by = Qui a décidé
planner-settled-why = Pourquoi
planner-settled-out = Retirer la décision

## A fastener, a check
planner-title = Titre
planner-id = Nom court, unique dans le plan
planner-place = Place sur le schéma du vélo
planner-place-none = aucune : hors du schéma
planner-off-map = { $place } (pas sur ce schéma)
planner-sentence = Une phrase pour le mécanicien
planner-rule = Comment les mesures sont décidées
planner-rule-usual = du plan, sinon habituelle
planner-rule-simple = simple : contre les limites telles qu’indiquées
planner-rule-guarded = avec marge de sécurité : les deux limites resserrées de l’incertitude
planner-rule-upper = avec marge de sécurité en haut : la limite supérieure abaissée
planner-rule-default = avec marge de sécurité en haut sur le carbone, sinon simple (habituel)
planner-prep = Ce qui s’applique d’abord, une ligne chacun
planner-prep-grease = graisse sur le filetage
planner-prep-threadlock = frein-filet, moyen
planner-prep-paste = pâte carbone au serrage
planner-prep-dry = à sec
planner-drive = Ce que l’outil doit entraîner
planner-drive-hex = six pans { $size }
planner-drive-lobe = six lobes { $size }
planner-drive-open = clé plate { $size }
planner-drive-cassette = démonte-cassette
planner-drive-cup = clé de cuvettes
planner-joint = De quoi est fait l’assemblage
planner-not-stated = non indiqué
planner-metal = métal
planner-carbon = carbone
planner-second-look = Une autre personne le confirme : second contrôle
planner-more-fastener = Plus : filetage, type, place sur le schéma, adaptateur, règle, nom court
planner-kind = Type de fixation, pour les statistiques et ce qui est plausible
planner-thread = Filetage
planner-thread-size = Dimension, par exemple M5x0.8
planner-bolt-class = Classe de la vis, par exemple 8.8 ou A2-70
planner-cut-into = Dans quoi il est taillé
planner-steel = acier
planner-aluminium = aluminium
planner-brass = laiton
planner-titanium = titane
planner-magnesium = magnésium
planner-insert = un insert
planner-engagement = Sur quelle longueur il est en prise, par exemple 8 mm
planner-friction = Frottement, le plus faible et le plus fort, par exemple 0.10 0.16
planner-left-hand = Filetage à gauche : se serre dans le sens antihoraire
planner-adapter = Adaptateur entre la clé et la fixation
planner-adapter-title = Son nom, par exemple patte d’oie, 15 mm
planner-adapter-length = Du carré à la fixation, par exemple 32 mm ; vide pour une rallonge droite
planner-adapter-angle = Angle avec la poignée en degrés
planner-readings = Combien de mesures il faut ; vide : une
planner-more-check = Plus : formule, place sur le schéma, règle, nom court
planner-formula = Calculé d’après d’autres contrôles par leurs noms courts, par exemple tyres.rear - tyres.front

## A stage, a part, what is due, the plan
planner-way = L’ordre de vis en vis
planner-way-listed = comme dans la liste
planner-way-sides = d’un côté à l’autre
planner-way-cross = en croix
planner-passes = Passages en pour cent du couple, par exemple 60 100 ; vide : un passage entier
planner-more-id = Plus : nom court
planner-gone = { $id } (n’est plus au plan)
planner-after-days = Après jours
planner-or-months = ou mois
planner-after-km = Après kilomètres
planner-due-source = Où c’est écrit
planner-due-what = Ce qui est revu ; tout le vélo si rien n’est coché
planner-part-what = Ce qui est desserré ou mesuré de nouveau quand elle est remplacée
planner-more-part = Plus : type, nom court
planner-part-kind = Type de pièce, par exemple seat-post
planner-for = À quoi sert le plan
planner-edition-field = Édition, par exemple une date
planner-frame = Type de cadre, pour le schéma du vélo
planner-frame-usual = route (habituel)
planner-frame-road = route
planner-frame-flat = cintre plat
planner-frame-cargo = cargo
planner-frame-tandem = tandem
planner-frame-four = quatre roues
planner-more-plan = Plus : tolérance, règle
planner-tolerance = Vaut là où seule une cible est indiquée, par exemple 8 % ; vide : 10 %

# Ce que le service refuse d’un fichier de plan.
refusal-plans-bad-name = « { $name } » ne peut pas être le nom d’un fichier de plan : lettres a à z, chiffres, traits d’union, traits bas et points isolés, 80 au plus, et .toml à la fin.
refusal-plans-not-known = Le dossier des plans n’a pas de fichier « { $name } ».
refusal-plans-changed-meanwhile = « { $name } » a été modifié par quelqu’un d’autre depuis son ouverture ; rien n’a été écrasé. L’ouvrir de nouveau, ou enregistrer le vôtre sous un autre nom.
refusal-plans-name-taken = Un fichier de plan « { $name } » existe déjà : choisir un autre nom, ou ouvrir celui-là.
refusal-plans-not-readable = Ce n’est pas un fichier de plan : ce n’est pas du texte, ou il est trop grand.
refusal-plans-folder = Le dossier des plans ne se laisse pas lire ou écrire : { $detail }
refusal-plans-not-sound = Le plan a des erreurs, et aucun montage ne peut le suivre ; il n’a pas été enregistré.
