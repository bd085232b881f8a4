//! From a table to a draft. Nothing is guessed: what cannot be read is named with its line and column.

mod cell;
mod heading;
mod ids;

use super::{LARGEST_TABLE, PlanDraft, TableFault, TableReading};
use crate::plan::draft::{CheckDraft, FastenerDraft, StageDraft};
use crate::plan::file::{AdapterFile, SettledFile, SourceFile, SpecFile, ThreadFile};
use crate::quantity::{Kind, Stated};
use cell::Cells;
use csv::StringRecord;
use heading::Heading;
use ids::Ids;
use std::collections::BTreeMap;

/// Reads a table of fasteners and checks. `;`, `,` or a tab may stand between the cells, and a decimal mark may be a comma.
pub fn read_table(text: &str) -> TableReading {
    let mut reader = Reader::default();
    reader.table(text);
    let Reader { draft, faults, .. } = reader;
    TableReading {
        draft: faults.is_empty().then_some(draft),
        faults,
    }
}

/// Where a row with an id that was there already belongs.
#[derive(Debug, Clone, Copy)]
enum Home {
    Fastener(usize, usize),
    Check(usize, usize),
}

#[derive(Default)]
struct Reader {
    draft: PlanDraft,
    faults: Vec<TableFault>,
    homes: BTreeMap<String, Home>,
    ids: Ids,
}

impl Reader {
    fn fault(&mut self, line: u64, column: Option<&str>, what: impl Into<String>, advice: &str) {
        self.faults.push(TableFault {
            line,
            column: column.map(str::to_owned),
            what: what.into(),
            advice: advice.to_owned(),
        });
    }

    fn table(&mut self, text: &str) {
        if text.len() > LARGEST_TABLE {
            let what = format!("the table has {} bytes", text.len());
            return self.fault(
                1,
                None,
                what,
                "a table has at most 1 MiB: is this the right file?",
            );
        }
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let (body, above) = self.head(text);
        let delimiter = heading::delimiter(body);
        let mut table = csv::ReaderBuilder::new()
            .delimiter(delimiter)
            .flexible(true)
            .has_headers(false)
            .trim(csv::Trim::All)
            .from_reader(body.as_bytes());
        let mut rows = table.records();
        let Some(Ok(first)) = rows.next() else {
            let advice = "the first row names the columns, for example: title;stage;target;lower;upper;unit;source";
            return self.fault(above + 1, None, "the table is empty", advice);
        };
        let heading = match Heading::of(&first, above + 1) {
            Ok(heading) => heading,
            Err(faults) => return self.faults.extend(faults),
        };
        let rows: Vec<_> = rows
            .map(|row| located(row, above))
            .filter(|(_, row)| {
                row.as_ref()
                    .is_none_or(|row| !row.iter().all(str::is_empty))
            })
            .collect();
        let read = || rows.iter().filter_map(|(_, row)| row.as_ref());
        // What rows state comes first: an id that is made keeps out of its way.
        for row in read() {
            if let Some(id) = heading.cells(row, 0).text("id") {
                self.ids.state(id);
            }
        }
        for row in read() {
            let (named, title) = stage_of(&mut heading.cells(row, 0));
            self.ids.stage(&named, title.as_deref());
        }
        // Only where commas part the cells, and none is a decimal mark, can a point be nothing else.
        let has_points =
            delimiter == b',' && !read().any(|row| heading.cells(row, 0).has_decimal_comma());
        for (line, row) in &rows {
            if let Some(row) = row {
                self.row(&mut heading.cells(row, *line).with_points(has_points));
            } else {
                let what = "the row cannot be read";
                self.fault(*line, None, what, "save the table as UTF-8");
            }
        }
        if self.draft.stage.is_empty() && self.faults.is_empty() {
            let what = "the table has a heading and no row";
            self.fault(above + 1, None, what, "add a row for each fastener");
        }
        if self.draft.edition.is_empty() {
            "1".clone_into(&mut self.draft.edition);
        }
    }

    /// Lines `# key: value` before the heading, and how many lines there were.
    fn head<'a>(&mut self, text: &'a str) -> (&'a str, u64) {
        let (mut rest, mut lines) = (text, 0);
        while rest.starts_with(['#', '\n', '\r']) {
            let (line, after) = rest.split_once('\n').unwrap_or((rest, ""));
            (rest, lines) = (after, lines + 1);
            let line = line.trim_end();
            if let Some((key, value)) = line.strip_prefix('#').and_then(|line| line.split_once(':'))
            {
                self.of_the_plan(key.trim(), value.trim(), lines);
            }
        }
        (rest, lines)
    }

    fn of_the_plan(&mut self, key: &str, value: &str, line: u64) {
        let wrong = match key {
            "title" => {
                value.clone_into(&mut self.draft.title);
                None
            }
            "edition" => {
                value.clone_into(&mut self.draft.edition);
                None
            }
            "tolerance" => {
                self.draft.tolerance = Some(value.to_owned());
                None
            }
            "frame" => {
                self.draft.frame = cell::word(value);
                self.draft
                    .frame
                    .is_none()
                    .then_some("road, flat-bar, cargo, tandem or four-wheel")
            }
            "rule" => {
                self.draft.rule = cell::word(value);
                self.draft
                    .rule
                    .is_none()
                    .then_some("simple, guarded or guarded-upper")
            }
            _ => Some("title, edition, frame, tolerance or rule before the colon"),
        };
        if let Some(known) = wrong {
            let what = format!("{key}: {value} is not understood");
            self.fault(line, None, what, &format!("write {known}"));
        }
    }

    fn row(&mut self, cells: &mut Cells<'_>) {
        let figures = figures(cells);
        let id = self.id(cells);
        let home = id.as_ref().and_then(|id| self.homes.get(id)).copied();
        if let (None, Some(id)) = (home, id) {
            self.new_row(cells, id, &figures);
        } else if let Some(home) = home {
            self.further(home, cells, figures);
        }
        self.faults.append(&mut cells.faults);
    }

    /// The id as stated, or made of the title; none where there is neither.
    fn id(&mut self, cells: &mut Cells<'_>) -> Option<String> {
        if let Some(id) = cells.text("id") {
            return Some(id);
        }
        let Some(title) = cells.peek("title") else {
            let advice = "write at least a title";
            cells.fault(None, "the row has neither an id nor a title", advice);
            return None;
        };
        Some(self.ids.row(&title, |id| self.homes.contains_key(id)))
    }

    fn new_row(&mut self, cells: &mut Cells<'_>, id: String, figures: &Figures) {
        let at = self.stage(cells);
        let title = cells.text("title").unwrap_or_else(|| id.clone());
        let is_check = match cells.text("what").as_deref() {
            Some("check") => true,
            Some("fastener") => false,
            Some(other) => {
                let what = format!("{other:?} is neither fastener nor check");
                cells.fault(Some("what"), &what, "write fastener or check");
                false
            }
            None => figures.is_no_torque() || cells.has("formula") || cells.has("readings"),
        };
        let Some(stage) = self.draft.stage.get_mut(at) else {
            return;
        };
        let home = if is_check {
            stage.check.push(check(cells, id.clone(), title));
            Home::Check(at, stage.check.len() - 1)
        } else {
            stage.fastener.push(fastener(cells, id.clone(), title));
            Home::Fastener(at, stage.fastener.len() - 1)
        };
        cells.nothing_left_over(if is_check { "check" } else { "fastener" });
        self.homes.insert(id, home);
        self.state(home, cells, figures.clone());
    }

    /// A further row of a fastener or check states figures and nothing else.
    fn further(&mut self, home: Home, cells: &mut Cells<'_>, figures: Figures) {
        for column in ["id", "stage", "title", "what"] {
            // Said again, as a spreadsheet fills it down.
            let _ = cells.text(column);
        }
        cells.nothing_left_over(
            "further row of the same id, which states the figures of a further source",
        );
        self.state(home, cells, figures);
    }

    fn state(&mut self, home: Home, cells: &mut Cells<'_>, figures: Figures) {
        let (spec, sources, settled) = match home {
            Home::Fastener(stage, at) => {
                let stage = self.draft.stage.get_mut(stage);
                let Some(of) = stage.and_then(|stage| stage.fastener.get_mut(at)) else {
                    return;
                };
                (&mut of.spec, &mut of.sources, &mut of.settled)
            }
            Home::Check(stage, at) => {
                let stage = self.draft.stage.get_mut(stage);
                let Some(of) = stage.and_then(|stage| stage.check.get_mut(at)) else {
                    return;
                };
                (&mut of.spec, &mut of.sources, &mut of.settled)
            }
        };
        let Figures {
            target,
            lower,
            upper,
            source,
            by,
            reason,
        } = figures;
        let twice = match (by, source) {
            (None, Some(place)) => {
                sources.push(SourceFile {
                    place,
                    target,
                    lower,
                    upper,
                });
                None
            }
            (Some(by), None) => settled
                .replace(SettledFile {
                    by,
                    reason: reason.unwrap_or_default(),
                    target,
                    lower,
                    upper,
                })
                .map(|_| "settled_by"),
            (Some(_), Some(_)) => {
                let what = "the row names a source and a decision";
                let advice = "give the decision a row of its own with the same id";
                return cells.fault(Some("settled_by"), what, advice);
            }
            (None, None) if target.is_none() && lower.is_none() && upper.is_none() => None,
            (None, None) => spec
                .replace(SpecFile {
                    target,
                    lower,
                    upper,
                })
                .map(|_| "source"),
        };
        if let Some(column) = twice {
            let what = "an earlier row of this id states the same already";
            cells.fault(
                Some(column),
                what,
                "name the source, or give the row another id",
            );
        }
    }

    /// The stage of a row: named by its id or its title, made where it is new.
    fn stage(&mut self, cells: &mut Cells<'_>) -> usize {
        let (named, title) = stage_of(cells);
        let id = self.ids.stage(&named, title.as_deref());
        let pattern = cells.of("pattern", "in-order, alternate or cross");
        let passes = cells.numbers("passes");
        let passes = passes.map(|percents| percents.into_iter().map(|of| of / 100.0).collect());
        let known = self.draft.stage.iter().position(|stage| stage.id == id);
        let at = known.unwrap_or_else(|| {
            self.draft.stage.push(StageDraft {
                title: title.clone().unwrap_or(named),
                id,
                ..StageDraft::default()
            });
            self.draft.stage.len() - 1
        });
        let is_new = known.is_none();
        if let Some(stage) = self.draft.stage.get_mut(at) {
            let differs = (pattern.is_some_and(|pattern| pattern != stage.pattern))
                || (passes.is_some() && passes != stage.passes);
            if is_new {
                stage.pattern = pattern.unwrap_or_default();
                stage.passes = passes;
            } else if differs {
                let what = "an earlier row of this stage says otherwise";
                let advice = "say pattern and passes in the first row of the stage";
                cells.fault(Some("pattern"), what, advice);
            }
        }
        at
    }
}

/// A row with its line; none where it cannot be read.
fn located(row: csv::Result<StringRecord>, above: u64) -> (u64, Option<StringRecord>) {
    let at = match &row {
        Ok(row) => row.position(),
        Err(error) => error.position(),
    };
    let line = above + at.map_or(1, csv::Position::line);
    (line, row.ok())
}

/// How a row names its stage, and the stage's title where it says one.
fn stage_of(cells: &mut Cells<'_>) -> (String, Option<String>) {
    let named = cells.text("stage").unwrap_or_else(|| "Build".to_owned());
    (named, cells.text("stage_title"))
}

/// What a row says of one place.
#[derive(Clone)]
struct Figures {
    target: Option<String>,
    lower: Option<String>,
    upper: Option<String>,
    source: Option<String>,
    by: Option<String>,
    reason: Option<String>,
}

impl Figures {
    /// Whether a figure is there whose unit is one of something else than torque.
    fn is_no_torque(&self) -> bool {
        let all = [&self.target, &self.lower, &self.upper];
        let mut stated = all.into_iter().flatten();
        stated.any(|text| Stated::parse(text).is_ok_and(|stated| stated.unit.kind != Kind::Torque))
    }
}

fn figures(cells: &mut Cells<'_>) -> Figures {
    let unit = cells.text("unit");
    Figures {
        target: cells.figure("target", unit.as_deref()),
        lower: cells.figure("lower", unit.as_deref()),
        upper: cells.figure("upper", unit.as_deref()),
        source: cells.text("source"),
        by: cells.text("settled_by"),
        reason: cells.text("settled_reason"),
    }
}

fn fastener(cells: &mut Cells<'_>, id: String, title: String) -> FastenerDraft {
    FastenerDraft {
        id,
        title,
        kind: cells.text("kind"),
        rule: cells.of("rule", "simple, guarded or guarded-upper"),
        note: cells.text("note"),
        adapter: adapter(cells),
        thread: thread(cells),
        joint: cells.of("joint", "carbon or metal"),
        prep: cells.list("prep"),
        drive: cells.text("drive"),
        at: cells.text("at"),
        second_look: cells.yes("second_look"),
        ..FastenerDraft::default()
    }
}

fn check(cells: &mut Cells<'_>, id: String, title: String) -> CheckDraft {
    CheckDraft {
        id,
        title,
        rule: cells.of("rule", "simple, guarded or guarded-upper"),
        readings: cells.whole("readings"),
        formula: cells.text("formula"),
        note: cells.text("note"),
        at: cells.text("at"),
        ..CheckDraft::default()
    }
}

fn thread(cells: &mut Cells<'_>) -> Option<ThreadFile> {
    let hand = cells.of("hand", "left or right");
    let size = cells.text("thread");
    let thread = ThreadFile {
        property_class: cells.text("class"),
        engages: cells.of(
            "engages",
            "steel, aluminium, brass, titanium, magnesium or insert",
        ),
        engagement: cells.text("engagement"),
        friction: cells.numbers("friction"),
        hand: hand.unwrap_or_default(),
        size: size.clone().unwrap_or_default(),
    };
    let says_something = size.is_some()
        || hand.is_some()
        || thread.property_class.is_some()
        || thread.engages.is_some()
        || thread.engagement.is_some()
        || thread.friction.is_some();
    says_something.then_some(thread)
}

fn adapter(cells: &mut Cells<'_>) -> Option<AdapterFile> {
    let title = cells.text("adapter");
    let length = cells.text("adapter_length");
    let angle = cells.whole("adapter_angle");
    (title.is_some() || length.is_some() || angle.is_some()).then(|| AdapterFile {
        title: title.unwrap_or_default(),
        length,
        angle: angle.unwrap_or_default(),
    })
}
