# English words of the bench page. One message a line of the page; languages.md says how they are written and tried.

## How things stand
standing-open = open
standing-part-way = part way
standing-under = under
standing-within = within
standing-over = over
standing-over-kept = over, inspected and kept
standing-undecided = undecided
standing-undecided-kept = undecided, inspected and kept
standing-deferred = deferred
check-standing-open = open
check-standing-part-way = part way
check-standing-within = within
check-standing-under = under
check-standing-over = over
check-standing-undecided = undecided
check-standing-kept = out of limits, inspected and kept
check-standing-deferred = deferred
answer-within = within
answer-under = under
answer-over = over
answer-undecided = undecided
answer-held = held
check-answer-within = within
check-answer-under = under
check-answer-over = over
check-answer-undecided = undecided

## Cautions
carbon-caution = After an over reading on carbon the part is not to be ridden until a competent person has looked at it.
carbon-joint = Carbon: the part is not to be ridden until a competent person has looked at it.
carbon-maybe = Carbon: it may have been over. The part is not to be ridden until a competent person has looked at it.
caution-no-certificate = no calibration certificate on file
caution-certificate-past = the tool is past its calibration date
caution-below-tool-range = below the tool's usable range
caution-above-tool-range = above the tool's usable range
caution-past-tool-range = more torque than the tool can show
caution-battery-low = battery nearly empty
caution-no-lower-limit = only a maximum is stated
caution-attested = attested by a person, not measured
caution-outside-certificate = outside the certificate's points: the class limit stands in
caution-no-points = the certificate's points are not on file: the class limit stands in
caution-with-adapter = pulled with an offset adapter
caution-other-adapter = the plan asks for another adapter than the one fitted
caution-lever-not-known = the tool's lever is not on file: the adapter's effect is not converted
caution-check-warns = the tool's checks drift towards the limit of its class
caution-check-beyond = the tool's last check was beyond its limit
caution-tool-not-fit = the tool's uncertainty is too large for these limits
caution-first-peak-only = the tool showed where it gave way, not the highest of the pull
check-caution-accuracy-stands-in = no certificate on file: the tool's stated accuracy stands in
check-caution-nothing-stated = nothing states how good the tool is
check-caution-certificate-past = the tool is past its calibration date
check-caution-below-tool-range = below the tool's range
check-caution-above-tool-range = above the tool's range
check-caution-past-tool-range = more than the tool can show
check-caution-battery-low = battery nearly empty
check-caution-attested = attested by a person, not sent by a tool
check-caution-unsteady = the value had not settled
check-caution-tool-not-fit = the tool's uncertainty is too large for these limits

## Decisions and questions
decision-part-replaced = Part replaced
decision-part-replaced-meaning = The fastener starts anew.
decision-inspected-and-kept = Inspected and kept
decision-inspected-and-kept-meaning = A competent person inspected the part and kept it.
decision-tightened-again = Undone and tightened again
decision-tightened-again-meaning = The fastener starts anew, with the same part.
decision-set-right = Set right
decision-measured-anew = It is measured anew.
decision-set-right-meaning = It is measured anew, with the same part.
held-because-unclear = no fastener is clearly the right one
held-because-no-build = the tool serves no build
held-because-nothing-planned = nothing is open in the build
held-because-wrong-way = it turned against the thread
held-because-pass-skipped = the whole torque in an early pass
held-because-earlier-held = where it belongs depends on an earlier answer
held-because-other-unit = the numbers fit only in another unit
pull-next = next of the plan
pull-repeat = the same fastener once more
pull-out-of-order = out of order
pull-again = a tight fastener once more
pull-test = no fastener
pull-other-build = not on this one
nowhere-test = Test pull
nowhere-other-build = Another bike
nowhere-other-unit = No fastener: display in another unit

## Figures in words
percent-tiny = less than { $percent }
between = { "; " }
limits-range = { $lower } to { $upper }
limits-most = at most { $upper }, no lower limit stated
pass-of = pass { $pass } of { $passes }, { $percent } %
pass-one = one pass
pass-number = pass { $pass }
frame = Frame { $frame }
judged = judged { $value }
outside-over = over with a probability of { $percent }
outside-under = under with a probability of { $percent }
rule-guarded = both limits are moved in by the tool's uncertainty
rule-guarded-upper = the upper limit is moved in by the tool's uncertainty
rule-name-guarded = guarded
rule-name-guarded-upper = guarded-upper
recalled = Recalled: { $n ->
        [one] { $n } reading
       *[other] { $n } readings
    } to look at again
summary-within = { $within } of { $all } within
summary-over-kept = { $n } over, inspected and kept
summary-over = { $n } over
summary-undecided-kept = { $n } undecided, inspected and kept
summary-undecided = { $n } undecided
summary-deferred = { $n } deferred
summary-open = { $n } open
shown-and-original = { $value } ({ $original } on the display)

## What a tool has to show or to be set to
setting-never-within = No value can be shown to be within.
setting-within-up-to = Within up to { $high } on it.
setting-within-from = Within from { $low } to { $high } on it.
setting-cautions = { $tool }: { $cautions }
setting-same = { $tool }: { $within }
setting-shows = { $tool } shows { $value } there. { $within }
setting-has-to-be-set = What { $tool } has to be set to
setting-has-to-show = What { $tool } has to show
setting-set = Set { $tool } to { $value }
setting-read = Read { $value } on { $tool }
setting-for = for { $aim } at the fastener
setting-for-with = for { $aim } at the fastener, with { $fitted }
setting-own-scale = That is { $value } where its scale is in N·m.
setting-clicked = Set to { $value }, clicked
adapter-on = On { $tool }: { $adapter }
adapter-off-again = It is off again
adapter-is-on = It is on
adapter-is-off = It is off
adapter-of = Adapter of { $tool }
adapter-put-on = <b>Put on { $tool }: </b>{ $adapter }
adapter-put-on-instead = <b>Put on { $tool }: </b>{ $adapter }. On it now: { $fitted }
adapter-take-off = <b>Take off { $tool }: </b>{ $adapter }
adapter = Adapter
adapter-changes = it changes the torque
adapter-keeps = the torque stays the same: set and read as without it
rule = Rule

## The board of all builds
flag-alarms = { $n ->
        [one] { $n } over alarm
       *[other] { $n } over alarms
    } not acknowledged
flag-check-alarms = { $n ->
        [one] { $n } over alarm of a check
       *[other] { $n } over alarms of checks
    } not acknowledged
flag-over = { $n } over: decide
flag-may-be-over = { $n } may be over: decide
flag-held = { $n } held
flag-held-checks = { $n ->
        [one] { $n } measurement
       *[other] { $n } measurements
    } held
flag-checks-out = { $n ->
        [one] { $n } check
       *[other] { $n } checks
    } out of limits
laid-aside = laid aside
board-title = { $n ->
        [one] { $n } build on the bench
       *[other] { $n } builds on the bench
    }
board-close = To the bench
board-empty = No build is open.
board-progress-fasteners = { $done } of { $all } fasteners done
board-progress-checks = { $done } of { $all } checks done
board-done-fasteners = <b>{ $done } of { $all }</b> done
board-done-checks = <b>{ $done } of { $all }</b> checks done
board-finished = Finished
board-gone = { $tool }: gone
board-no-tool = No tool serves it
in-hands = In the hands of { $name }
next-flag = next
next-nothing = Nothing is next

## What a tool shows during a pull
pull-of = Pull of { $tool }
pull-nothing-expected = Nothing is expected
pull-aim = aim at { $aim }; { $limits }
pull-past-range = past its range
pull-over = OVER
pull-no-limits = no limits
pull-above = above the limit of this pass
pull-below = below the limits
pull-between = between the limits

## The whole build and the hand-over
build-facts = Frame { $frame }. Plan { $plan }, edition { $edition }. Begun by { $by } on { $day }{ $moved ->
        [yes] , in the hands of { $hands } now
       *[no] { "" }
    }.
this-build = This build…
stage-passes = passes { $passes }
stage-loosen = Loosen this stage…
may-be-missed = may have been missed
before-alarms = { $n ->
        [one] { $n } over alarm is
       *[other] { $n } over alarms are
    } not acknowledged
before-held = { $n ->
        [one] { $n } reading is
       *[other] { $n } readings are
    } held
before-over = { $n ->
        [one] { $n } over reading waits
       *[other] { $n } over readings wait
    } for a disposition
before-may-be-over = { $n ->
        [one] { $n } reading may be over and waits
       *[other] { $n } readings may be over and wait
    } for a disposition
before-undecided = { $n ->
        [one] { $n } fastener is
       *[other] { $n } fasteners are
    } undecided near the lower limit: pull again
before-open = { $n ->
        [one] { $n } fastener is
       *[other] { $n } fasteners are
    } open: tighten or defer
handover = Hand-over
record-is-sealed = The record is sealed.
record-not-sealed = The build is finished. Its record is not sealed yet.
before-finish = Before this build can be finished:
doubts-first = { $n ->
        [one] { $n } fastener
       *[other] { $n } fasteners
    } may have been missed: one more pull is asked for first.
finish-build = Finish build
recalled-title = Recalled
recalled-on = Recalled on { $day }
recalled-what = { $tool } was found changed. { $out ->
        [one] { $out } reading is
       *[other] { $out } readings are
    } out of the limits now, { $doubtful } more no longer surely within. The record has to be amended.
recalled-row = <b>{ $title }</b>: { $finding }
seal-amended = Seal the amended record
now-within = no longer surely within
now-undecided = undecided now
now-under = under now
now-over = over now
finding = { $value }, { $answer }
finding-uncounted = { $value }, { $answer }; that reading no longer counts
record = Record
readings-csv = Readings as CSV
seal-record = Seal record
build-finished = Build finished
on-at = on { $day } at { $clock }
recalled-amend = { $recalled }; the record has to be amended
no-proof = A torque within spec is not proof of a sound joint.

## Checks of the plan
check-readings = { $done } of { $all } readings
check-computed = computed: { $formula }
check-in-formula = “{ $title }”
note-deferred = deferred: { $reason }
note-waits-for = waits for: { $what }
checks-within = { $within } of { $all ->
        [one] { $all } check
       *[other] { $all } checks
    } within
checks-kept = { $n } inspected and kept
checks-out = { $n } out of limits
checks-deferred = { $n } deferred
checks-open = { $n } to be measured
before-check-alarms = { $n ->
        [one] { $n } over alarm of a check is
       *[other] { $n } over alarms of checks are
    } not acknowledged
before-check-held = { $n ->
        [one] { $n } reading of a check is
       *[other] { $n } readings of checks are
    } held
before-checks-out = { $n ->
        [one] { $n } check is
       *[other] { $n } checks are
    } out of limits: set right and measure again, or decide
before-checks-open = { $n ->
        [one] { $n } check is
       *[other] { $n } checks are
    } open: measure or defer
held = Held
no-check = No check
last-measurement = Last measurement
more-than-shown = more than the tool can show
waits-for-person = waits for a person to say where it belongs
belongs-to-no-check = belongs to no check of this build
which-check = Which check is { $value }?
which-check-past = Which check is the reading past the tool's range?
held-measurement = Held measurement
held-first-of = Held, 1 of { $n }
which-unit = Look at the display: which unit?
check-held-why = { $clock }, { $tool }: { $why }.
check-held-unclear = no check is clearly the right one
check-held-no-build = the tool serves no build
check-held-no-such-check = the plan has no check of this quantity
check-held-nothing-open = every check of this quantity is done
check-held-implausible = the value cannot be right here: look at the display and its unit
check-held-unsteady = the value had not settled
check-other-unit = It came as { $value }. The number would fit { $title } ({ $limits }) if it were in { $fits }, not { $unit }: set the display right, touch “No check”, and measure again.
would-fit-in = it would fit in { $unit }
then-measure-again = then measure again
another-check = Another check…
check-reading-number = { $title }, reading { $number }
disposition-of = Disposition: { $title }
check-over-decide = Over, a disposition is needed
check-may-be-over-decide = May be over, a disposition is needed
check-counts-now = <b>{ $value }</b> counts now; the limits are { $limits }. A lower reading does not settle what was above them.
check-none-counts = No reading counts now; the limits are { $limits }. A lower reading does not settle what was above them.
check-limits = { $quantity }: { $limits }
counts-now = counts now: { $value }
counts-now-shown = counts now: { $value }, shown { $shown }
build-is-finished = The build is finished.
notes = Notes
notes-and-photos = Notes and photographs
next-measurement-here = The next measurement belongs here
take-up = Take up again
enter-by-hand = Enter a reading by hand…
defer-ask = Defer…
decide-about = Decide about it…
measure-anew = Measure it anew…
note-ask = Note or photograph…
check-decide-at-top = It was over and waits for a disposition: close this and decide at the top of the page.
no-tool-measures = No tool that serves this build measures a { $quantity }. Make a ruler or gauge known with “pullmark tool add”: its file says quantity = "{ $code }".
back = Back
write-value-with-unit = Write the value with its unit, for example { $example }.
may-be-thousands = { $value } may be a number of thousands. Write those without a mark, like 1200, and a fraction with fewer digits or one more, like 1.1 or 1.1000.
enter-reading = Enter reading
tool = Tool
what-did-it-show = What did it show? With its unit, for example { $example }
write-why-deferred = Write why it is deferred.
defer = Defer
why-deferred = Why is it deferred?
quick-no-tool = tool not at hand
quick-back-order = part on back order
quick-customer = customer decides
waits-for-what = What does it wait for: a part, a tool, an answer? (may be left empty)
quantity-torque = torque
quantity-length = length
quantity-mass = mass
quantity-force = force
quantity-pressure = pressure
quantity-temperature = temperature
check-limits-range = { $lower } to { $upper }
check-limits-least = at least { $value }
check-limits-most = at most { $value }
check-limits-none = no limits
check-limits-aim = { $limits }, aim { $aim }
past-tools-range = past the tool's range

## Process figures
stats = Process figures
stats-by-kind = By kind of fastener
stats-by-tool = By tool
stats-by-mechanic = By mechanic
stats-what = Each torque is taken as its place between its own limits: 0 % is the lower limit, 100 % the upper one. The highest pull that counts of every fastener is taken.
stats-nothing = Nothing to count yet: no fastener with two limits was tightened.
fasteners = { $n ->
        [one] { $n } fastener
       *[other] { $n } fasteners
    }
stats-too-few = <b>Too few for figures. </b>{ $why }
stats-mean = Mean at { $mean }, standard deviation { $deviation } of the tolerance
stats-spread-within = the spread within a bike
stats-spread-whole = the whole spread
stats-fits-middle = { $fits ->
        [yes] { $spread } fits between the limits, if it lay in the middle
        [no] { $spread } does not fit between the limits, if it lay in the middle
       *[open] it is not shown whether { $spread } fits between the limits, if it lay in the middle
    }
stats-fits-nearer = { $fits ->
        [yes] { $spread }, where it lies, fits inside the nearer limit
        [no] { $spread }, where it lies, does not fit inside the nearer limit
       *[open] it is not shown whether { $spread }, where it lies, fits inside the nearer limit
    }
stats-index = <b>{ $index }</b>: with 95 % confidence between { $from } and { $to }, so { $said } (1 is the least that fits)
asking = Asking the daemon …
no-answer = No answer from the daemon.
answered-with-status = The daemon answered with status { $status }.

## The pulls on a fastener
history = History
history-pulls = Pulls on it
none-yet = None yet.
raised-alarm = raised the over alarm
trace-last = The last pull, torque over time
trace-alt = Torque over time, with peak and limits

## One tool
tool-check = Check { $tool }
battery = Battery { $battery } %
battery-low = Battery { $battery } %: nearly empty
battery-unsaid = Battery: it does not say
certificate-none = No certificate on file
certificate-past = Certificate past due since { $day }
certificate-due = Certificate due { $day }
certificate-soon = Certificate due { $day }: soon
certificate-no-date = Certificate: no due date stated
never-checked = Never checked against a reference
last-check-quiet = Last check { $day }: well inside its limit
last-check-warns = Last check { $day }: drifting
last-check-beyond = Last check { $day }: beyond its limit
certificate-number = Certificate { $number }
certificate-number-due = Certificate { $number }, due { $day }
accuracy-stands-in = No certificate on file: its stated accuracy stands in
nothing-stated = Nothing states how good it is
past-due-calibrate = Past due since { $day }: have it calibrated
last-check-do-not-use = The last check: beyond its limit: do not use it until it is calibrated
tool-serves = Serves { $bike }
tool-serves-none = Serves no build
serial-number = Serial number { $serial }
tool-measures-length = Measures lengths
tool-measures-mass = Measures masses
tool-measures-force = Measures forces
tool-measures-pressure = Measures pressures
tool-measures-temperature = Measures temperatures
tool-range = Range { $lowest } to { $highest }
tool-range-none = No range stated
tool-class = Class { $class }: may be off by { $percent }
tool-class-none = Class not stated: may be off by { $percent }
tool-lever = Lever { $length } mm, from the drive to the hand
tool-lever-none = Lever not on file: offset adapters cannot be reckoned with
let-it-serve = Let it serve { $bike }
adapter-now = On it now
fitted-offset = { $adapter }. It changes the torque, and every reading is converted.
fitted-in-line = { $adapter }. It is in line, and changes nothing.
certificate = Certificate
certificate-class-limit = No calibration certificate on file: the class limit, { $percent }, stands in.
certificate-of = { $laboratory }, { $date }; due { $due }
certificate-was-due = { $laboratory }, { $date }; <b>was due { $due }</b>
certificate-no-points = Its points are not on file: the class limit, { $percent }, stands in.
certificate-points = Its points in figures
point-reference = Reference
point-display = Display
point-uncertainty = Expanded uncertainty

## A tool against a reference
check-state-quiet = Well inside its limit
check-state-warns = Drifting towards its limit: have it calibrated soon
check-state-beyond = Beyond its limit: do not use it until it is calibrated
reference-checks = Checks against a reference
reference-last = Last: { $check }
reference-never = Never checked here. A few pulls against a reference now and then show a wrench that drifts before its next calibration.
reference-enter = Enter a check…
reference-begin = Begin check
reference-begin-what = From then on its pulls are taken for pulls against the reference, and count for no fastener, until the check is entered or given up.
reference-which = Reference: which device, and its certificate
reference-shown = shown, { $unit }
reference-value = reference, { $unit }
reference-set = set to, { $unit }
reference-under-way = Check under way
reference-begun-by = Check under way, begun by { $name }
reference-pull = Pull the tool against the reference, five times or so. Each pull appears here.
reference-so-far = { $n ->
        [one] { $n } pull
       *[other] { $n } pulls
    } so far. Write beside each what the reference showed.
reference-send = Enter check
reference-give-up = Give the check up
reference-write-one = Write at least one pull: what the tool was set to, and what the reference showed.
reference-write-set = Write what the tool was set to at pull { $pull }.
reference-write-reference = Write what the reference showed at pull { $pull }.
reference-write-which = Write which reference it was pulled against, and its certificate.
reference-pairs = Pull against the reference, five times or so, and write both figures of each pull. Rows that stay empty are no pulls.
reference-more = One more pull

## Plots
plot-torque = torque, { $unit }
plot-deviation = deviation, %
plot-certificate = How far the tool's display is off, after certificate { $number }
plot-certificate-point = at { $torque } { $off } %, plus or minus { $expanded } %
plot-certificate-told = { $points }. The class limit is { $limit } to both sides.
plot-certificate-legend = point of the certificate, with its expanded uncertainty
plot-class-limit = class limit, ± { $percent }
plot-checks = Control chart of the tool's checks against a reference
plot-checks-told = { $n ->
        [one] { $n } check
       *[other] { $n } checks
    } from { $first } to { $last }. The last one: mean deviation { $deviation } %, weighted mean { $average } %, warning from { $warning }, class limit { $limit }.
plot-check = check
plot-check-point = mean deviation of one check, beyond what the certificate states
plot-check-warns = the same, drifting: a warning
plot-check-beyond = the same, beyond its limit
plot-weighted = weighted mean so far (EWMA)
plot-warning = warning, ± { $percent }
plot-pulls = Pulls on { $title }
plot-pull-told = { $number }: { $torque }, { $answer }
plot-pull = pull
plot-places = Where the torques of { $group } lie between their limits
plot-places-told = { $n ->
        [one] { $n } fastener
       *[other] { $n } fasteners
    }. Counts in tenths of the tolerance, from half a tolerance below the lower limit to half above the upper one: { $counts }.
plot-place = place between the limits, %
plot-fasteners = fasteners
plot-lower = lower limit
plot-upper = upper limit
plot-outside = outside of them
plot-spread = mean and three standard deviations (s) to both sides
check-in-words = { $day } { $clock }, { $n ->
        [one] { $n } pull
       *[other] { $n } pulls
    } against { $against }: { $deviation }

## Notes and photographs
photo-other-kind = { $file } is no JPEG, PNG or WebP: other pictures cannot be kept.
photo-too-large = { $file } has more than 8 MiB: make it smaller.
note-needed = Write a note, or add a photograph.
photo-keep = Keep the photograph
note-keep = Keep the note
photo-shows = What does it show? (may be left empty)
note = Note
photo-stays = A photograph stays in the ledger for good: look who and what can be seen on it.
photo-take = Take a photograph
photo-choose = Choose a picture
photo-choose-other = Choose another picture
photo-none = Without a picture

## Another edition of the plan
plan-too-large = { $file } is too large for a plan.
edition-title = Another edition of the plan
edition-what = Held to { $plan }, edition { $edition }. Choose the file of the other edition: what it would mean is shown first, and nothing is changed.
edition-choose = Choose the plan file
edition-choose-other = Choose another file
edition-against = What speaks against it
edition-problem = <b>{ $file }: </b>{ $problem }
finding-line = Line { $line }: { $what }. { $advice }
edition-mean = What it would mean
edition-name = { $file }: { $plan }, edition { $edition }
edition-before = In the place of edition { $edition }.
edition-alarms = { $n ->
        [one] { $n } reading is over after it: it raises the over alarm.
       *[other] { $n } readings are over after it: they raise the over alarm.
    }
edition-different = What is different
edition-same = Nothing that the page shows.
edition-judged = Judged again
edition-judged-row = <b>{ $title }: </b>{ $before } before, { $now } now
edition-judged-alarm = <b>{ $title }: </b>{ $before } before, { $now } now, raises the over alarm
not-judged = not judged
edition-again = Has to be done again
edition-dropped = No longer in the plan; its readings stay and no longer count
edition-write-why = Write why the plan is changed: it stands in the record.
edition-change = Change to this edition
why-needed = Why? (needed)

## The bike map
short-over-kept = over, kept
short-undecided-kept = kept
short-kept = kept
done-of = { $done } of { $all }
bike-map = Bike map
larger = Larger
smaller = Smaller
map-make-larger = Make the bike map larger
map-node = { $title }: { $word }
map-several = { $title }, { $n ->
        [one] { $n } place to work at
       *[other] { $n } places to work at
    }
close = Close
map-beside = Without a place on the map

## What happened, and taking it back
what-happened = What happened
what-happened-newest = What happened, the newest first
nothing-yet = Nothing yet.
entry = entry { $entry }
taken-back = <b>Taken back by { $by }</b>, { $moment }
taken-back-because = <b>Taken back by { $by }</b>, { $moment }: { $reason }
take-back-ask = Take back…
photo-label = Photograph: { $words }. Opens in a new tab
photo-no-words = no words
after-loosened = What it undid counts again, an over reading too.
after-part-swapped = The part from before is the one that is on, and what the swap undid counts again, an over reading too.
after-disposed = The over reading asks for a decision again.
after-noted = It is no longer shown among the notes; the bytes of a photograph stay with their entry.
take-back-write-why = Write why it is taken back: it stays in the history, and the reason beside it.
take-back-title = Take this back?
take-back-stays = It stays in the history, struck through. { $after }
take-back = Take it back
quick-wrong-fastener = wrong fastener
quick-wrong-build = wrong build
quick-mistake = touched by mistake

## What comes next and what waits
laid-aside-title = Laid aside
go-on = Go on with it
next = Next
next-once-more = Next: one more pull
next-stage = { $stage }, { $pass }
at-the-fastener = At the fastener
left-hand = Left-hand thread
left-hand-what = tighten anticlockwise
carbon-here = Carbon joint
carbon-here-what = an over reading here needs a disposition
drive = Drive
prep = Prep
prep-none = none stated
nothing-next-over = An over reading waits for a disposition.
nothing-next-undecided = An undecided reading waits.
nothing-next-open = { $n ->
        [one] { $n } fastener is
       *[other] { $n } fasteners are
    } still open: point at one in the list.
nothing-next-deferred = { $n ->
        [one] { $n } fastener is
       *[other] { $n } fasteners are
    } deferred; the rest is done.
nothing-next-done = Every fastener of the plan is done.
nothing-next-checks-done = Every check of the plan is done.
nothing-next-checks-deferred = { $n ->
        [one] { $n } check is
       *[other] { $n } checks are
    } deferred; the rest is done.
next-measure = Measure
checks-next = { $n ->
        [one] { $n } check is open: measure it.
       *[other] { $n } checks are open: measure them in any order.
    }
checks-next-out = { $n ->
        [one] { $n } check is out of limits: set it right and measure again, or decide.
       *[other] { $n } checks are out of limits: set them right and measure again, or decide.
    }
doubts-may-be = { $n ->
        [one] { $n } fastener
       *[other] { $n } fasteners
    } may have been missed.
one-more-pull-ask = One more pull…
prep-on-state = prep is on
prep-is-on = Prep is on
no-tool-serves = No tool serves this build.
no-tool-known = None is known yet. It is made known at a prompt on the bench's machine:
let-tool-serve = Let { $tool } serve it
tool-checked-now = <b>{ $tool } is being checked against a reference</b>. Its pulls count for no fastener.
to-the-check = To the check
tool-gone-now = <b>{ $tool } is gone</b>. A pull now is not received.
tool-gone-because = <b>{ $tool } is gone</b>: { $why }. A pull now is not received.
no-reading-yet = No reading yet
last-reading = Last reading
shown = shown
trace = Torque over time
say-now = Say now where it belongs
undecided-high = The uncertainty straddles the upper limit: only a person can settle it
undecided-low = The uncertainty straddles the lower limit: pull again
counts-for-none = counts for no fastener of this build
waits-for-pull = waits for the next pull
held-reading = Held reading
held-why = { $clock }: { $why }.
another-fastener = Another fastener…
unit-came-as = { $clock }: this came as { $value }. The last readings fit the plan only when their numbers are read in another unit.
unit-set = If it is not { $unit }, set it to { $unit }.
unit-touch = Touch “No fastener: display in another unit”.
unit-pull-again = Pull again.
unit-is-right = If it is { $unit }: where does the reading belong?
then-pull-again = then pull again
under-one-percent = under 1 %
over-decide = Over, a disposition is needed
may-be-over-decide = May be over, a disposition is needed
over-figures = <b>{ $value }</b> the limit is { $limit }
may-be-over-figures = <b>{ $value }</b> is so near the limit, { $limit }, that the tool's uncertainty straddles it. Another pull cannot settle it.

## The frame of the page
bench = Bench
page-title = { $bench } · Pullmark
alarm-page-title = OVER: { $title }
label-tools = Tools
label-builds = Builds
label-board = Board of all builds
label-next = What comes next
label-list = Fasteners and checks
tool-serves-small = serves { $bike }
tool-serves-none-small = serves no build
sound-on = Sound is on
sound-off = Sound is off: touch to switch it on
who-are-you = Who are you?
your-name = Your name
tool-flag-checking = being checked
tool-flag-past-due = past due
tool-flag-beyond = check beyond limit
tool-flag-drift = checks drift
bench-trouble = The daemon cannot show the bench: { $trouble }
no-connection = No connection to the daemon.
no-connection-old = No connection to the daemon: what you see may be old.
keeps-trying = Since { $since }. The page keeps trying.
board = Board
board-what = all builds, large
card-may-be-over = { $n } may be over
card-finished = finished { $day }
card-done-fasteners = { $done } of { $all } done
card-done-checks = { $done } of { $all } checks done
finished-count = { $n ->
        [one] { $n } finished build
       *[other] { $n } finished builds
    }
finished-row = { $bike }, { $day }
finished-row-unsealed = { $bike }, { $day }, not sealed
service-after = service after { $day } ({ $build })
service-after-build = service after { $build }
finished-builds = Finished builds
not-done = Not done.
done = Done.
empty-title = No build yet
empty-what = A build is one bike that is put together after one plan. Three steps lead to the first one:
first-tool = 1. A wrench
first-tool-what = At a prompt on the bench's machine; the file says what it is and how it is connected.
first-people = 2. People
first-people-what = Who works here. With a PIN they sign records. It can wait: until then every name is taken as it is given.
first-plan = 3. A plan
first-plan-what = What is tightened, in which order and to which limits. A build is begun with it.
first-there = There already: { $names }
empty-then = This page shows the build as soon as it has begun.
unclaimed-label = Reading of { $tool }
unclaimed = { $tool } pulled { $value } and serves no build
unclaimed-past = { $tool } pulled more than it can show and serves no build
unclaimed-times = { $n } readings so far
unclaimed-kept = kept in the ledger, judged against nothing
unclaimed-none-open = no build is open
write-name-first = Write your name first: every act is kept with the name of who did it.
touch-name-first = Touch your name first: every act is kept with the name of who did it.
no-answer-maybe-done = No answer from the daemon. It may have been done or not: look at the list before you try again.
spoken = { $word }. { $value }. { $where }
spoken-waits = Waits for the next pull.
no-fastener = No fastener

## The over alarm
check-alarm = OVER
alarm-above = above the limit
alarm-judged = Judged { $value }.
alarm-judged-at = { $judged }, at the fastener.
alarm-limit = The limit is { $limit }.
by = By
acknowledge = Acknowledge
alarm-more = { $n ->
        [one] { $n } more over alarm waits
       *[other] { $n } more over alarms wait
    } after this one.

## Forms
who = Who?
choose-decision = Choose what was decided: { $choices }.
one-of = { $first }, or { $last }
write-reason = Write the reason: it stands in the record beside the decision.
keep-decision = Keep this decision
what-decided = What was decided?
reason-needed = Reason (needed)
file = File

## Keys and pedal
keys = Keys and pedal
key-next-sheet = To the next fastener's sheet
key-map = To the bike map
key-list = To the list of fasteners
key-decide = To what waits for a decision
key-say-now = Say now where the held reading belongs
key-digits = 1 to 9
key-answers = The first to ninth answer of the held reading
key-board = To the board of all builds, and back
key-next-build = To the next open build
key-this-build = To this build: dry fit, parts, notes, history
key-tools = To the tools
key-name = To your name
key-handover = To the hand-over: finish, seal, record
key-sound = Switch the sound on
key-keys = These keys
key-tab = Tab, arrows
key-tab-what = From one thing to the next
key-enter = Enter, space
key-enter-what = Press what has the frame around it
pedal-kept = { $key } is needed to get around the page: set the pedal to another key.
pedal-answers = answers “{ $question }” with { $title }
pedal-confirms = confirms: prep is on ({ $title }: { $prep })
pedal-idle-held = does nothing: a person has to say where the reading belongs
pedal-idle = does nothing: nothing waits for it
pedal = Pedal
pedal-press = Press the pedal now
pedal-press-what = Whatever key comes next is taken for the pedal. Escape leaves it as it was.
keys-letters = Letters and digits are shortcuts
foot-pedal = Foot pedal
pedal-is = The pedal is the key { $key }. It confirms the prep of what comes next, and the page says so before. It never acknowledges an over alarm.
pedal-none = No pedal is taught. It confirms the prep of what comes next, and the page says so before. It never acknowledges an over alarm.
pedal-may-place = It may also answer where a held reading belongs, with the likeliest fastener
pedal-teach = Teach the pedal
pedal-teach-other = Teach another key
pedal-forget = No pedal

## The sheet of a build
this-build-title = This build: { $bike }
laid-aside-by = Laid aside by { $by } on { $day } at { $clock }
laid-aside-because = Laid aside by { $by } on { $day } at { $clock }: { $reason }
go-on-what = it no longer waits for another day
lay-aside-ask = Lay it aside…
lay-aside-what = it waits for another day
hand-ask = Hand it to another mechanic…
hand-what = it is in the hands of { $name }
dry-fit-ask = All of this was a dry fit…
dry-fit-what = every fastener is open again; the readings stay
note-build-what = about the bike as a whole
edition-ask = Another edition of the plan…
edition-ask-what = what it would mean is shown first
whole-history = Whole history
whole-history-open = and what can be taken back
whole-history-finished = entry after entry
service-ask = Begin a service
service-what = a new build of the same bike after the same plan, which goes on from this one
write-why-loosened = Write why it was loosened: the readings stay, and no longer count.
quick-dry-fit = dry fit
quick-part = part exchanged
quick-adjustment = adjustment
quick-found-loose = found loose
quick-other-first = another part goes on first
undone-nothing = Nothing counts there: nothing is undone by it.
undone-title = What is undone
undone-fasteners = { $n ->
        [one] { $n } fastener has
       *[other] { $n } fasteners have
    } to be tightened again, prep and second look too. The readings stay and no longer count:
undone-checks = { $n ->
        [one] { $n } check has
       *[other] { $n } checks have
    } to be measured again. The readings stay and no longer count:
dry-fit-title = All of this was a dry fit
dry-fit-send = All of it is loosened
loosen-stage-title = Loosen this stage: { $stage }
loosen-stage-send = The stage is loosened
write-why-aside = Write why it is laid aside: whoever goes on reads it.
lay-aside-title = Lay it aside for another day
lay-aside-note = Whoever works at it next goes on with it. A pull still counts.
lay-aside-send = Lay it aside
lay-aside-why = Why, and what does it wait for? (needed)
quick-a-back-order = a part on back order
quick-the-customer = the customer decides
quick-end-of-day = end of the day
hand-write-name = Write the name of the mechanic who gets it.
hand-title = Hand it to another mechanic
hand-note = It is in the hands of { $name }. From here on the pulls are those of the other. Whoever goes on at this page says who they are at the top.
hand-send = Hand it over
hand-who = Who gets it?
hand-tell = What does the other have to know? (may be left empty)
parts = Parts
part-serial = serial { $serial }
part-none-entered = none entered yet
part-replaced-times = replaced { $n ->
        [one] { $n } time
       *[other] { $n } times
    }
part-fit-ask = It goes on…
part-swap-ask = A spare goes in…
part-write-serial = Write the part's serial number, or what else it can be known by.
part-fit-title = { $part } goes on
part-fit-send = It is on
part-serial-label = Serial number, or what else it can be known by
part-kind-label = Another kind of part than { $kind }? Which? (may be left empty)
part-kind-label-plan = Another kind of part than the plan says? Which? (may be left empty)
part-write-spare = Write the serial number of the spare, or what else it can be known by.
part-write-why = Write why the part was replaced: it stands in the record.
part-swap-title = A spare for { $part }
part-swap-send = The spare is in
part-spare-label = Serial number of the spare
part-goes-out = Goes out: <b>{ $serial }</b>
part-out-label = Serial number of the one that goes out (may be left empty)
note-title = Note or photograph

## Parts of several places
tool-set-by-hand = set and entered by hand
tool-by-hand = entered by hand
tool-battery = battery at { $battery } %
tool-other-serial = says that its serial number is { $serial }
tool-connected = connected
tool-gone = gone
tool-gone-why = gone: { $why }
tool-cut-off = { $now }; it went in the middle of a reading, which does not count: pull again
where-belongs = Where does { $value } belong?
where-belongs-past = Where does the reading past the tool's range belong?
passes-done = pass { $done } of { $passes } done
look-done = second look done
look-open = second look open
notes-count = { $n ->
        [one] { $n } note
       *[other] { $n } notes
    }
photos-count = { $n ->
        [one] { $n } photograph
       *[other] { $n } photographs
    }
to-be-known = To be known
known-row = { $title }: { $what }
known-deferred = deferred
known-not-measured = not measured
known-waits-for = waits for { $what }
known-no-look = no second look
known-no-prep = prep not confirmed

## The sheets of a fastener and of the end
sheet-prep-on = prep: { $prep } (is on)
sheet-prep-open = prep: { $prep } (not confirmed)
sheet-highest = highest { $value }
comes-next = Comes next
comes-next-once-more = Comes next: one more pull
look-ask = Second look…
loosened-ask = Loosened…
decide-at-top = An over reading waits for a disposition: close this and decide at the top of the page.
decide-at-top-maybe = A reading that may be over waits for a disposition: close this and decide at the top of the page.
why-loosened = Why was it loosened?
loosened = Loosened
write-why-its-loosened = Write why it was loosened: its readings stay, and no longer count.
look-seen = What was seen? (may be left empty)
look-send = I have looked
enter-label = What was the tool set to, or what did it show?
enter-needs = Write the torque with its unit, for example { $example }.
look-write-name = Write the name of the other person who looked.
look-who = Who looked? Another person than the one who tightened
finish-title = Finish { $bike }?
doubts-title = { $n ->
        [one] One more pull on this one
       *[other] One more pull on each of these
    }
doubts-what = { $n ->
        [one] It is shown done and may have been missed: pulls to about the same torque look the same. Touch it and it comes next.
       *[other] They are shown done, and one of them may have been missed: pulls to about the same torque look the same. Touch one and it comes next.
    }
doubt-probability = missed with a probability of { $percent }
sure-needed = Pull each of them once more, or write why you are sure that nothing was missed.
sure-label = I am sure nothing was missed, because …

## People, devices and PINs
people = People and devices
people-elsewhere = People are entered and devices are let in on the bench's own machine.
pin-none = no PIN yet
pin-locked = PIN locked for { $n ->
        [one] { $n } minute
       *[other] { $n } minutes
    } after wrong ones
pin-has = has a PIN
people-title = People
people-nobody = Nobody is entered: every name is taken as it is given. From the first person on, every act carries one of the people, and signing and deciding need their PIN.
pin-change-ask = Change PIN…
rename-ask = Another name…
pin-forgotten = A PIN that was forgotten is set anew at a prompt on the bench's own machine, by the user that the daemon runs as: pullmark people reset-pin
leave-ask = Left…
person-ask = Enter a person…
devices = Devices
devices-none = The bench is on this machine alone. With { $setting } in the settings, tablets and phones can be let in.
devices-at = On the network at <b>{ $addresses }</b>
device-let-in = let in by { $by } on { $day }
revoke-ask = Shut out…
pair-ask = Let a device in…
fingerprint = The certificate's fingerprint, SHA-256
fingerprint-until = good until { $day }, made anew 30 days before
pin-new = New PIN: 4 to 12 digits, six or more are better
pin-again = Once more
pins-differ = The two PINs differ.
person-write-name = Write the name as it is to be shown.
person-title = Enter a person
person-send = Enter
person-name = Name as it is to be shown
rename-title = Another name for { $name }
rename-what = It stays the same person. Records that are signed keep the name that they were signed with.
rename-send = Show this name
pin-change-title = Another PIN for { $name }
pin-change-send = Change
pin-before = PIN before
leave-title = { $name } works here no longer?
leave-what = What they did stays theirs. Their PIN is forgotten.
leave-send = Left
pair-type = Type this on the device
pair-open = Open { $addresses } in its browser. The code is good for { $n } minutes and for one device; three wrong ones make it void.
pair-or = {" "}or{" "}
pair-fingerprint = The browser does not know the certificate and says so. Let it through only where it shows this fingerprint:
pair-write-name = Write what the shop calls the device.
pair-title = Let a device in
pair-send = Show a code
pair-name = What is it called? For example: tablet at stand 2
revoke-title = Shut { $device } out?
revoke-what = At once, with everything that it has open. It can be let in again with a new code.
revoke-send = Shut out
why-optional = Why? (may be left empty)
pin-for-seal = The record is signed with it.
pin-for-amend = The amended record is signed with it.
pin-for-dispose = The decision is kept with it.
pin-for-place = The reading went over where it stands: taking it away is kept with it.
pin-too-short = A PIN has at least four digits.
pin-of = PIN of { $name }
pin-typed = { $n } digits typed
one-moment = One moment…
pin-delete = Delete
ok = OK
give-up = Give up

## Language and units
display = Language and units
display-what = For this device alone. What is kept and signed does not change by it.
display-language = Language
display-unit = Unit of torque
display-unit-what = Figures keep every digit that it takes to tell two apart. What a tool displayed in another unit stands beside it.
display-decimal = Decimal mark
display-shop = As the shop has it ({ $value })
display-shop-none = As the shop has it
display-send = Show it so

## Plans
plans = Plans
label-plans = Plans
plans-not-loaded = The plans could not be loaded from the daemon: is it running?
make-a-plan = Make a plan
or-at-a-prompt = With a plan file, a build is begun at a prompt, too:
limits = Limits
limits-from = limits from: { $sources }
common-practice = common practice, check the part maker's figure

## What is due after handing over
due = What is due
due-what = What is looked at again after a bike was handed over, as its plan says. The part makers' instructions come first.
due-nothing = No plan of a bike that was handed over says that anything is due.
due-row = { $standing }: { $title }
due-due = Due
due-waiting = Waiting
due-done = Done
due-whole = the whole bike
due-today = today
due-on = on { $day }, { $n ->
    [one] tomorrow
   *[other] in { $n } days
}
due-since = since { $day }, { $n ->
    [one] one day late
   *[other] { $n } days late
}
due-far = after { $far } km
due-far-gone = after { $far } km, { $gone } km so far
due-or = { $on }, or { $far }, whichever comes first
due-done-by = by { $name }
due-done-in = in { $build }
due-in-service = { $build } is doing it.
due-done-ask = Done…
due-undo-ask = Not done after all…
due-ridden-ask = Ridden…
due-service-ask = Begin a service
due-found = What was found? (may be left empty)
due-done-send = It is done
due-undo-send = It is due again
due-ridden-label = Kilometres since it was handed over
due-ridden-number = Write whole kilometres, for example 160.
due-ridden-send = Note it
due-calendar = Calendar file of what is due (iCalendar)

## Places of the bike map
