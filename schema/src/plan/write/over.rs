//! Writes a draft over a text that is there: what says the same stays as it stands.
//!
//! The text is cut before every `[[stage]]`, `[[stage.fastener]]`, `[[stage.check]]`, `[[part]]` and `[[due]]`, each with the comment
//! lines right above it. A piece that says what a table of the draft says is taken as it is; of another one with the same
//! id the comment above it stays.

use super::super::draft::{CheckDraft, DueDraft, FastenerDraft, PartDraft, PlanDraft, StageDraft};
use serde::Deserialize;
use serde::de::DeserializeOwned;

/// A draft as the text of a plan file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Written {
    /// The text.
    pub text: String,
    /// How many lines with a comment the earlier text had and this one has no longer.
    pub comments_lost: usize,
}

/// What a piece of the earlier text says.
#[derive(Debug, Clone, PartialEq)]
enum Says {
    Head(PlanDraft),
    Stage(StageDraft),
    Fastener(Box<FastenerDraft>),
    Check(Box<CheckDraft>),
    Part(PartDraft),
    Due(DueDraft),
    /// Nothing that stands alone.
    Unknown,
}

#[derive(Debug)]
struct Piece {
    /// Comment lines right above it.
    comment: String,
    /// The rest, from the header to its last line that is not blank.
    body: String,
    says: Says,
    is_used: bool,
}

pub(super) fn write(draft: &PlanDraft, base: &str) -> Written {
    let merged = merged(draft, base);
    let says_the_same = PlanDraft::of_toml(&merged).as_ref() == Some(draft);
    let text = if says_the_same {
        merged
    } else {
        draft.to_toml()
    };
    let comments_lost = comments(base).saturating_sub(comments(&text));
    Written {
        text,
        comments_lost,
    }
}

/// Lines that look like a comment, or end in one.
fn comments(text: &str) -> usize {
    let is_comment = |line: &&str| {
        let line = line.trim_start();
        line.starts_with('#')
            || line
                .rsplit_once('#')
                .is_some_and(|(before, after)| before.ends_with(' ') && !after.contains('"'))
    };
    text.lines().filter(is_comment).count()
}

fn merged(draft: &PlanDraft, base: &str) -> String {
    let mut pieces = cut(base);
    let head = PlanDraft {
        stage: Vec::new(),
        part: Vec::new(),
        due: Vec::new(),
        ..draft.clone()
    };
    let mut out = vec![taken(&mut pieces, &Says::Head(head), || super::head(draft))];
    for stage in &draft.stage {
        let alone = StageDraft {
            fastener: Vec::new(),
            check: Vec::new(),
            ..stage.clone()
        };
        out.push(taken(&mut pieces, &Says::Stage(alone), || {
            super::stage_head(stage)
        }));
        for fastener in &stage.fastener {
            out.push(taken(
                &mut pieces,
                &Says::Fastener(Box::new(fastener.clone())),
                || super::fastener(fastener),
            ));
        }
        for check in &stage.check {
            out.push(taken(
                &mut pieces,
                &Says::Check(Box::new(check.clone())),
                || super::check(check),
            ));
        }
    }
    for part in &draft.part {
        out.push(taken(&mut pieces, &Says::Part(part.clone()), || {
            super::part(part)
        }));
    }
    for due in &draft.due {
        out.push(taken(&mut pieces, &Says::Due(due.clone()), || {
            super::due(due)
        }));
    }
    out.join("\n")
}

/// The piece that says this, or the table written anew below the comment that stood above it.
fn taken(pieces: &mut [Piece], says: &Says, anew: impl Fn() -> String) -> String {
    let free = |piece: &&mut Piece| !piece.is_used;
    if let Some(piece) = pieces
        .iter_mut()
        .filter(free)
        .find(|piece| piece.says == *says)
    {
        piece.is_used = true;
        return format!("{}{}\n", piece.comment, piece.body);
    }
    let is_same = |piece: &&mut Piece| key(&piece.says).is_some_and(|of| Some(of) == key(says));
    let comment = pieces
        .iter_mut()
        .filter(free)
        .find(is_same)
        .map(|piece| {
            piece.is_used = true;
            piece.comment.clone()
        })
        .unwrap_or_default();
    format!("{comment}{}", anew())
}

/// What makes two pieces the same table, whatever else they say.
fn key(says: &Says) -> Option<(u8, &str)> {
    match says {
        Says::Head(_) => Some((0, "")),
        Says::Stage(stage) => Some((1, &stage.id)),
        Says::Fastener(fastener) => Some((2, &fastener.id)),
        Says::Check(check) => Some((3, &check.id)),
        Says::Part(part) => Some((4, &part.id)),
        Says::Due(due) => Some((5, &due.id)),
        Says::Unknown => None,
    }
}

const HEADERS: [&str; 5] = [
    "[[stage]]",
    "[[stage.fastener]]",
    "[[stage.check]]",
    "[[part]]",
    "[[due]]",
];

fn header_of(line: &str) -> Option<usize> {
    HEADERS
        .iter()
        .position(|header| line.trim_start().starts_with(header))
}

fn cut(base: &str) -> Vec<Piece> {
    let lines: Vec<&str> = base.trim_start_matches('\u{feff}').lines().collect();
    let is_comment = |line: &str| line.trim_start().starts_with('#');
    let mut starts: Vec<(usize, usize)> = vec![(0, 0)]; // of the comment, and of the header
    for (at, line) in lines.iter().enumerate() {
        if header_of(line).is_none() {
            continue;
        }
        let above = lines.get(..at).unwrap_or_default().iter().rev();
        let comment = at - above.take_while(|line| is_comment(line)).count();
        let before = starts.last().map_or(0, |(_, header)| *header);
        starts.push((comment.max(before), at));
    }
    let ends = starts.iter().skip(1).map(|(comment, _)| *comment);
    let ends: Vec<usize> = ends.chain([lines.len()]).collect();
    starts
        .iter()
        .zip(ends)
        .map(|(&(comment, header), end)| piece(&lines, comment, header, end))
        .collect()
}

fn piece(lines: &[&str], comment: usize, header: usize, end: usize) -> Piece {
    let of = |from: usize, to: usize| lines.get(from..to).unwrap_or_default();
    let (mut above, mut rest) = (of(comment, header).to_vec(), of(header, end));
    let kind = rest.first().and_then(|line| header_of(line));
    if kind.is_none() {
        // The head of the file: the comment it opens with stays when the rest is written anew.
        let opening = rest
            .iter()
            .take_while(|line| line.trim().is_empty() || line.trim_start().starts_with('#'))
            .count();
        let (opening, body) = rest.split_at(opening);
        above = opening.to_vec();
        rest = body;
    }
    let body = rest.join("\n").trim_end().to_owned();
    Piece {
        comment: above.iter().flat_map(|line| [*line, "\n"]).collect(),
        says: says(kind, &body),
        body,
        is_used: false,
    }
}

/// Inside a stage whose own table stands elsewhere in the text.
#[derive(Debug, Deserialize)]
struct Inside {
    stage: Members,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct Members {
    fastener: Vec<FastenerDraft>,
    check: Vec<CheckDraft>,
}

/// Whole tables.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct Tables {
    stage: Vec<StageDraft>,
    part: Vec<PartDraft>,
    due: Vec<DueDraft>,
}

fn read<T: DeserializeOwned>(body: &str) -> Option<T> {
    toml::from_str(body).ok()
}

fn says(kind: Option<usize>, body: &str) -> Says {
    let said = match kind {
        None => read(body).map(Says::Head),
        Some(0) => read(body)
            .and_then(|tables: Tables| tables.stage.into_iter().next())
            .map(Says::Stage),
        Some(1) => read(body)
            .and_then(|inside: Inside| inside.stage.fastener.into_iter().next())
            .map(|fastener| Says::Fastener(Box::new(fastener))),
        Some(2) => read(body)
            .and_then(|inside: Inside| inside.stage.check.into_iter().next())
            .map(|check| Says::Check(Box::new(check))),
        Some(3) => read(body)
            .and_then(|tables: Tables| tables.part.into_iter().next())
            .map(Says::Part),
        Some(_) => read(body)
            .and_then(|tables: Tables| tables.due.into_iter().next())
            .map(Says::Due),
    };
    said.unwrap_or(Says::Unknown)
}
