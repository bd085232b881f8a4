# English words of the plans and their editor, fetched when somebody opens them. One message a line; languages.md says how they are
# written and tried.

## The list of plans
planner-new = New plan
planner-asking = Asking the daemon…
planner-ask-again = Ask again
planner-drafts = Drafts
planner-drafts-here = Drafts in this browser, not kept yet
planner-shops = Plans of the shop
planner-none-yet = No plan yet. A new one is made of templates in a few minutes; the figures are then yours to fill in.
planner-not-used = Not used
planner-files-not-used = Files that are not used
planner-folder = The files lie in { $folder }
planner-untitled = Without a title
planner-no-file = no file yet
planner-go-on = Go on
planner-discard = Throw away
planner-discard-sure = Touch again: gone for good
planner-fasteners = { $n ->
        [one] { $n } fastener
       *[other] { $n } fasteners
    }
planner-checks = { $n ->
        [one] { $n } check
       *[other] { $n } checks
    }
planner-pulls = { $n ->
        [one] { $n } pull
       *[other] { $n } pulls
    }
planner-nothing-in-it = nothing in it yet
planner-edition = edition { $edition }
planner-row-errors = { $n ->
        [one] { $n } error: no build can follow it
       *[other] { $n } errors: no build can follow it
    }
planner-row-practice = { $n ->
        [one] { $n } figure is common practice
       *[other] { $n } figures are common practice
    }
planner-open = Open
planner-start = Start a build
planner-duplicate = Duplicate
planner-copy-of = { $title } (copy)
planner-no-form = { $file } is no plan file that can be shown as a form. At a prompt, "pullmark plan check" names the line.

## A new plan
planner-practice = <b>The figures are a start for the form and not for a wrench.</b> Each one says “{ $source }” until you write down what the part or its leaflet says.
planner-starters = Starter sets
planner-begin-whole = Begin with a whole bike
planner-templates = Templates
planner-by-joint = Or choose joint by joint
planner-begin-empty = Begin with an empty plan
planner-make-of = { $n ->
        [one] Make a plan of { $n } template
       *[other] Make a plan of { $n } templates
    }
planner-not-used-file = <b>{ $file } is not used:</b> { $why }
planner-choose-what = Choose what to add
planner-add = { $n ->
        [one] Add { $n } template
       *[other] Add { $n } templates
    }
planner-add-nothing = Add nothing

## From a table
planner-from-table = From a table
planner-table-what = A table of a spreadsheet, saved as CSV: a row a fastener. The first row names the columns; { $columns } and { $last } are the most wanted. Semicolons and decimal commas are understood.
planner-table-choose = Choose the table
planner-table-refused = { $n ->
        [one] { $file } was not taken: { $n } thing is wrong with it.
       *[other] { $file } was not taken: { $n } things are wrong with it.
    }
planner-line = Line { $line }:
planner-line-column = Line { $line }, column { $column }:
planner-table-large = { $file } is too large for a table of a plan.

## A build begins
planner-write-frame = Write the serial number that is on the frame.
planner-start-what = After { $plan }, edition { $edition }. The build is held to the plan as it is now, whatever becomes of the file.
planner-frame-serial = Serial number on the frame (needed)
planner-bike-label = What the shop calls the bike
planner-your-name = Your name (needed)
planner-start-send = Start the build

## The editor
planner-to-list = To the list
planner-stage = Stage
planner-stage-untitled = Stage without a title
planner-another-stage = Another stage
planner-add-templates = Add from templates
planner-another-fastener = Another fastener
planner-another-check = Another check
planner-rows = { $n ->
        [one] { $n } row
       *[other] { $n } rows
    }
planner-move = Move { $title }
planner-up = Up
planner-down = Down
planner-take-out = Take out
planner-parts = Parts whose serial numbers are kept
planner-another-part = Another part
planner-to-undo = { $n } to undo
planner-due = Due after handing over
planner-another-due = Something that is due
planner-days = { $n ->
        [one] { $n } day
       *[other] { $n } days
    }
planner-months = { $n ->
        [one] { $n } month
       *[other] { $n } months
    }
planner-or = { $first } or { $second }
planner-no-time = no time yet
planner-file-text = The text of the file
planner-as-table = As a table (CSV)
planner-no-table = The table could not be made: no answer from the daemon.

## What was found
planner-error = Error
planner-look = Look
planner-note = Note
planner-severity = { $severity }:
planner-found = What was found
planner-field-of = { ": " }
planner-placed = { $place }: { $value }
planner-found-count = { $n ->
        [0] Nothing was found
        [one] Found: { $n } thing
       *[other] Found: { $n } things
    }
planner-comments-lost = { $n ->
        [one] { $n } line with a comment goes from the file: comments stay where nothing was changed.
       *[other] { $n } lines with comments go from the file: comments stay where nothing was changed.
    }
planner-on-practice = { $n ->
        [one] <b>{ $n } figure is common practice.</b> Check the part makers' figures before anybody tightens to them.
       *[other] <b>{ $n } figures are common practice.</b> Check the part makers' figures before anybody tightens to them.
    }
planner-errors = { $n ->
        [one] { $n } error
       *[other] { $n } errors
    }
planner-to-look-at = { $n } to look at
planner-not-looked-at = No answer from the daemon: what is typed is not looked at.
planner-not-yet-looked = Not looked at yet
planner-not-yet-kept = { $n ->
        [one] { $n } error: it cannot be kept yet
       *[other] { $n } errors: it cannot be kept yet
    }
found-too-large = The plan has more than 1 MiB. Take something out of it.
found-empty-plan = The plan has no stage. Add one with at least one fastener or check.
found-empty-stage = The stage has no fastener and no check. Add one, or take the stage out.
found-duplicate-id = “{ $value }” stands twice. Give one of them another short name.
found-bad-id = “{ $value }” cannot be used. Write 1 to 64 small letters a to z, digits, dots and dashes.
found-unknown-fastener = “{ $value }” is not in the plan any more. Take its tick away.
found-not-a-torque = “{ $value }” is no torque. Write a number and a unit of torque, for example 5 N·m or 44 lbf·in; lb and kg are none.
found-no-torque = A figure here is no torque. Write a number and a unit of torque, for example 5 N·m or 44 lbf·in.
found-not-a-value = “{ $value }” is nothing that can be measured. Write a number with its unit, for example 70 mm, 6.5 bar, 1100 N, 8.2 kg or 21 °C.
found-no-value = A figure here is nothing that can be measured. Write a number with its unit, for example 70 mm, 6.5 bar, 1100 N, 8.2 kg or 21 °C.
found-torque-at-check = { $value } is a torque. It belongs to a fastener; a check is a length, mass, pressure, force or temperature.
found-out-of-range = { $value } is no torque for a fastener on a bike. Write more than 0 and at most 2000 N·m.
found-not-measured = { $value } cannot be measured here. A pressure, force or mass is not below nothing, and nothing in a workshop is larger than a tonne or a kilometre.
found-no-limits = “{ $aim }” and “{ $most }” are empty: one of them is needed. Write the figure that stands on the part or in its leaflet.
found-no-limit-check = There is no limit. Write what the part or its leaflet says under “{ $least }” or “{ $most }”; “{ $aim }” alone gets the plan's tolerance, but not for a temperature.
found-conflict = These cannot both hold: { $first }; { $second }. Correct one of them, or write under “{ $settle }” who decided what, and why.
found-settled-unsigned = The decision has no name or no reason. Write who decided, and why.
found-bad-passes = These passes do not rise to 100. Write whole per cent that rise, the last one 100: for example 60 100.
found-bad-tolerance = “{ $value }” is no percentage from 1 to 50. Write it like 10 %.
found-bad-kind = “{ $value }” cannot be used. Write up to 64 small letters a to z and digits, words joined by single dashes, for example seat-clamp.
found-bad-note = This is no sentence that can be shown beside a fastener. Write 1 to 240 characters on one line, or leave it empty.
found-adapter-title = The adapter has no name. Call it what it is called on the bench, in 1 to 64 characters.
found-adapter-angle = { $value } degrees are no angle of an adapter. Write 0 for straight out, 90 for square to the handle, 180 for folded back under it.
found-adapter-no-length = The adapter has an angle and no length. Measure from the centre of the drive to the centre of the fastener; an extension in line with the drive has neither.
found-adapter-length = This is no length of an adapter. Write more than 0 and at most 1 m, for example 30 mm.
found-engagement = This is no length of engagement. Write more than 0 and at most 200 mm, for example 8 mm.
found-friction = This is no range of coefficients of friction. Write the least and the greatest, from 0.01 to 1 with at most three decimals: for example 0.10 0.16.
found-no-thread = “{ $value }” is no thread. Write its diameter and pitch, for example M5x0.8, or what its standard calls it.
found-upper-only = Only “{ $most }” is stated: nothing says when it is tight enough. Look for a figure to aim at in the part maker's leaflet.
found-carbon-without-paste = It clamps carbon, and no assembly paste goes on first. Add it if the part's maker wants it, or write there why not.
found-no-prep = Nothing is said about what goes on first. Name grease, paste or threadlock, or write dry: the same torque clamps harder when greased.
found-past-proof-load = { $torque } cannot be right: even at the highest plausible friction, { $friction }, it pulls the bolt with { $preload }, and that bears { $load } (proof load, { $standard }). Look for a slipped point or a wrong unit; else correct the thread or what goes on first.
found-near-proof-load = { $torque } is likely too much: at a friction of { $friction } it pulls the bolt with { $preload }, and that bears { $load } (proof load, { $standard }). Is the thread as it says? If the part's maker says so, confirm it under “{ $settle }”.
found-thread-strips = { $torque } cannot be right: even at the highest plausible friction, { $friction }, it pulls with { $preload }, and the thread strips at about { $load } ({ $standard }). Look for a slipped point or a wrong unit; else correct the thread or what goes on first.
found-thread-may-strip = { $torque } is likely too much: at a friction of { $friction } it pulls with { $preload }, and the thread strips at about { $load } ({ $standard }). Is the thread as it says? If the part's maker says so, confirm it under “{ $settle }”.
found-class = The class “{ $value }” is not known here, so no preload is estimated. Known are 5.6, 8.8, 10.9 and 12.9, and A1 to A5 with -50, -70 or -80; any other is kept.
found-pitch = This pitch is none that is known at this diameter, so no preload is estimated. Write the pitch or leave it out; the length of a bolt is not asked for.
found-unusual-torque = { $value } is far from what this kind of fastener commonly gets: { $low } to { $high } (common practice, no source). Look for a slipped point or a wrong unit; if the part's maker says so, confirm it under “{ $settle }”.
found-outside-tool-range = { $value } is wanted, and no tool of the bench reaches it. Bring another tool, or look for a slipped point or a wrong unit.
found-unreachable-pass = Pass { $pass } at { $percent } % wants { $value }, and no tool of the bench reaches it. Raise the pass until a tool does, or bring a smaller tool.
found-tool-too-coarse = The limits leave { $room } around { $value }, and no tool has a certificate that says it can tell. Have the tool calibrated and add its certificate, or bring a finer tool: this is no fault of the fastener.
found-check-too-coarse = No tool of the bench tells { $value } apart. Bring a better tool, or a calibration certificate that states less uncertainty.
found-unknown-place = The map of this kind of frame has no place “{ $value }”. Choose one that it has; else it is listed beside the map.
found-mixed-quantities = These figures are of several quantities. State all figures of a check in units of one quantity; make two checks where two things are measured.
found-readings-computed = A check that is computed takes no readings. Write how many at the checks that the formula names.
found-bad-readings = No check wants { $n } readings. Write a number from 1 to 64, such as the spokes on one side.
found-formula-unknown = There is no check “{ $value }”. Name checks by their short names; put one with dashes in curly braces.
found-bad-formula = This formula cannot be computed. Use short names of checks of one quantity, numbers, + - * / ( ), abs, min, max, mean and spread; limits of a difference of temperatures are in K.
found-never-due = Nothing says when it is due. Write days (1 to 3660) or months (1 to 120), or kilometres (1 to 100000), or one of the first two and kilometres: whichever comes first.
found-due-unclear = It is not clear when it is due. Write days (1 to 3660) or months (1 to 120), not both, or kilometres (1 to 100000), or one of the first two and kilometres.
found-no-title = It is empty. Write what a mechanic calls it: lists and the record name it so.
found-no-edition = It is empty. Name the edition, for example by its date: the record tells editions apart by it.
found-same-title = “{ $value }” stands twice in this stage. Give one of them a title that tells it from the other, such as left and right.
found-no-place = The figure says nowhere where it is written. Write what states it: the marking on the part, its leaflet and page.
found-own-no-place = The plan's own figures say nowhere where they are written. Write what states them under “{ $source }”, or who decided.
found-thousands = { $value } may be a number of thousands. Write those without a mark, like 1200, and a fraction with fewer digits or one more, like 1.1 or 1.1000.

## Keeping it
planner-kept = kept
planner-draft-here = not kept yet; the draft is in this browser
planner-other-tab = another tab has a draft of this plan, too: both are kept, each for itself
planner-no-drafts = not kept, and no draft of it in this browser: it keeps none, or has { $n } already
planner-undo = Undo
planner-keep = Keep the plan
planner-file-name = Name of the file
planner-not-kept = Not kept.
planner-keep-mine = Keep mine under another name
planner-open-theirs = Open theirs; mine is thrown away
planner-maybe-kept = No answer from the daemon. It may have been kept or not: look at the list of plans before you try again.

## Figures, and where they are written
planner-figures = Figures, and where they are written
planner-where = Where it is written
planner-place-marking = marking on the part
planner-place-leaflet = part maker's leaflet
planner-place-shop = our own shop's figure
planner-nobodys = Nobody's figure: put in what the part or its leaflet says, and say where.
planner-aim = Aim
planner-least = At least
planner-most = At most
planner-no-figure = no figure
planner-in-unit = In the unit of this page: { $value }
planner-and-stated = { $value } ({ $stated })
planner-bare-unit = Unit of a bare number
planner-source-out = Take this source out
planner-another-source = Another source
planner-own = The plan's own figures
planner-own-out = Take the plan's own figures out
planner-settle = Settle it: sources disagree, or a figure looks wrong and is not
planner-settled = What was decided; figures here stand alone, without any the stated ones are confirmed
planner-settled-by = Who decided
planner-settled-why = Why
planner-settled-out = Take the decision out

## A fastener, a check
planner-title = Title
planner-id = Short name, once in the plan
planner-place = Place on the bike map
planner-place-none = none: listed beside the map
planner-off-map = { $place } (not on this map)
planner-sentence = A sentence for the mechanic
planner-rule = How readings are decided
planner-rule-usual = as the plan, or the usual one
planner-rule-simple = simple: against the limits as stated
planner-rule-guarded = guarded: both limits moved in by the uncertainty
planner-rule-upper = guarded above: the upper limit moved in
planner-rule-default = guarded above on carbon, else simple (usual)
planner-prep = What goes on first, a line each
planner-prep-grease = grease on the thread
planner-prep-threadlock = threadlock, medium
planner-prep-paste = carbon paste where it clamps
planner-prep-dry = dry
planner-drive = What the tool has to fit
planner-drive-hex = hex { $size }
planner-drive-lobe = 6-lobe { $size }
planner-drive-open = open { $size }
planner-drive-cassette = cassette tool
planner-drive-cup = cup tool
planner-joint = What the joint is made of
planner-not-stated = not stated
planner-metal = metal
planner-carbon = carbon
planner-second-look = Another person confirms it: second look
planner-more-fastener = More: thread, kind, place on the map, adapter, rule, short name
planner-kind = Kind of fastener, for statistics and what is plausible
planner-thread = Thread
planner-thread-size = Size, for example M5x0.8
planner-bolt-class = Class of the bolt, for example 8.8 or A2-70
planner-cut-into = What it is cut into
planner-steel = steel
planner-aluminium = aluminium
planner-brass = brass
planner-titanium = titanium
planner-magnesium = magnesium
planner-insert = an insert
planner-engagement = How deep it engages, for example 8 mm
planner-friction = Friction, least and greatest, for example 0.10 0.16
planner-left-hand = Left-hand thread: tightened anticlockwise
planner-adapter = Adapter between wrench and fastener
planner-adapter-title = What it is called, for example crow-foot, 15 mm
planner-adapter-length = From drive to fastener, for example 32 mm; empty for a straight extension
planner-adapter-angle = Angle to the handle in degrees
planner-readings = How many readings it wants; one if left empty
planner-more-check = More: formula, place on the map, rule, short name
planner-formula = Computed from other checks by their short names, for example tyres.rear - tyres.front

## A stage, a part, what is due, the plan
planner-way = The way from bolt to bolt
planner-way-listed = as listed
planner-way-sides = from side to side
planner-way-cross = crosswise
planner-passes = Passes in per cent of the torque, for example 60 100; one full pass if left empty
planner-more-id = More: short name
planner-gone = { $id } (not in the plan any more)
planner-after-days = After days
planner-or-months = or months
planner-after-km = After kilometres
planner-due-source = Where that is written
planner-due-what = What is looked at; the whole bike if nothing is ticked
planner-part-what = What is undone or measured again when it is replaced
planner-more-part = More: kind, short name
planner-part-kind = Kind of part, for example seat-post
planner-for = What the plan is for
planner-edition-field = Edition, for example a date
planner-frame = Kind of frame, for the bike map
planner-frame-usual = road (usual)
planner-frame-road = road
planner-frame-flat = flat bar
planner-frame-cargo = cargo
planner-frame-tandem = tandem
planner-frame-four = four wheels
planner-more-plan = More: tolerance, rule
planner-tolerance = Stands in where only a target is stated, for example 8 %; 10 % if left empty
