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
board-progress = { $done } of { $all } fasteners done
board-done = <b>{ $done } of { $all }</b> done
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
nothing-next-checks = Every fastener of the plan is done; checks are still open.
nothing-next-done = Every fastener of the plan is done.
doubts-may-be = { $n ->
        [one] { $n } fastener
       *[other] { $n } fasteners
    } may have been missed.
one-more-pull-ask = One more pull…
prep-on-state = prep is on
prep-is-on = Prep is on
no-tool-serves = No tool serves this build.
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
