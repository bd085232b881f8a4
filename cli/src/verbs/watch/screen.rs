//! The bench on a terminal's screen, for benches without a browser: what comes next, what the last pull was, what happened.
//!
//! [`draw`] is a function of what is known; nothing here asks the daemon anything.

use crate::print;
use pullmark_schema::api::{BenchView, BuildView, LastView, NextView};
use pullmark_schema::quantity::Torque;
use pullmark_schema::verdict::Answer;
use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Rect};
use ratatui::style::{Modifier, Style, Stylize as _};
use ratatui::text::{Line, Span};
use ratatui::widgets::{Block, Borders, Clear, Paragraph, Wrap};
use std::collections::VecDeque;

/// So many lines of what happened are kept.
const KEPT: usize = 200;
/// A screen that is narrower shows builds below one another.
const NARROW: u16 = 76;

/// What the screen knows.
#[derive(Debug, Default)]
pub(super) struct Screen {
    /// The bench as it was last heard of.
    pub(super) bench: Option<BenchView>,
    /// What happened, the oldest first.
    pub(super) happened: VecDeque<String>,
    /// Whether the daemon answers.
    pub(super) is_connected: bool,
}

impl Screen {
    /// One more line of what happened.
    pub(super) fn say(&mut self, line: String) {
        if self.happened.len() == KEPT {
            self.happened.pop_front();
        }
        self.happened.push_back(line);
    }

    /// Whether an over alarm waits for somebody.
    pub(super) fn is_alarmed(&self) -> bool {
        self.open()
            .any(|build| !build.alarms.is_empty() || !build.check_alarms.is_empty())
    }

    fn open(&self) -> impl Iterator<Item = &BuildView> {
        let builds = self.bench.iter().flat_map(|bench| &bench.builds);
        builds.filter(|build| build.finished.is_none())
    }
}

/// Draws everything.
pub(super) fn draw(frame: &mut Frame<'_>, screen: &Screen) {
    let [head, body, foot] = Layout::vertical([
        Constraint::Length(1),
        Constraint::Fill(1),
        Constraint::Length(1),
    ])
    .areas(frame.area());
    frame.render_widget(heading(screen), head);
    let [builds, happened] =
        Layout::vertical([Constraint::Percentage(60), Constraint::Fill(1)]).areas(body);
    draw_builds(frame, screen, builds);
    draw_happened(frame, screen, happened);
    frame.render_widget(
        Line::from("q ends. What is acknowledged or decided is entered on the bench page, or with pullmark.").dim(),
        foot,
    );
    if screen.is_alarmed() {
        draw_alarm(frame, screen);
    }
}

fn heading(screen: &Screen) -> Line<'_> {
    let bench = screen.bench.as_ref();
    let name = bench.map_or("Bench", |bench| bench.bench.as_str());
    let gone: Vec<&str> = bench
        .iter()
        .flat_map(|bench| &bench.tools)
        .filter(|tool| tool.tool.connection.is_some() && !tool.connected)
        .map(|tool| tool.tool.title.as_str())
        .collect();
    let mut spans = vec![Span::from(name.to_owned()).bold(), Span::from("  ")];
    if !screen.is_connected {
        spans.push(Span::from("the daemon is away: what you see may be old  ").reversed());
    }
    if !gone.is_empty() {
        spans.push(Span::from(format!("not connected: {}", gone.join(", "))));
    }
    Line::from(spans)
}

fn draw_builds(frame: &mut Frame<'_>, screen: &Screen, area: Rect) {
    let builds: Vec<&BuildView> = screen.open().collect();
    if builds.is_empty() {
        let text = Paragraph::new(
            "No build is open. pullmark build start PLAN.toml --frame SERIAL --by NAME begins one.",
        );
        frame.render_widget(text.wrap(Wrap { trim: true }), area);
        return;
    }
    let shares = vec![Constraint::Fill(1); builds.len()];
    let areas = if area.width < NARROW {
        Layout::vertical(shares).split(area)
    } else {
        Layout::horizontal(shares).split(area)
    };
    for (build, area) in builds.into_iter().zip(areas.iter()) {
        let title = build.bike.label.as_ref().unwrap_or(&build.bike.frame);
        let done = build.summary.within + build.summary.over_kept + build.summary.undecided_kept;
        let block = Block::new().borders(Borders::TOP).title(format!(
            " {title}: {done} of {} done ",
            build.summary.fasteners
        ));
        let text = Paragraph::new(build_lines(build)).wrap(Wrap { trim: true });
        frame.render_widget(text.block(block), *area);
    }
}

fn build_lines(build: &BuildView) -> Vec<Line<'static>> {
    let mut lines = Vec::new();
    if let Some(aside) = &build.laid_aside {
        lines.push(
            Line::from(format!(
                "laid aside: {}",
                aside.reason.as_deref().unwrap_or("")
            ))
            .italic(),
        );
    }
    match &build.next {
        Some(next) => lines.extend(next_lines(next)),
        None if build.check_summary.wants_work() => {
            lines.push(Line::from("No fastener is open; checks are.").bold());
        }
        None => lines.push(Line::from("Nothing is left to pull.").bold()),
    }
    lines.push(Line::default());
    lines.extend(build.last.as_ref().map(last_line));
    if !build.held.is_empty() {
        let question = format!(
            "? {} held: say on the page where it belongs",
            build.held.len()
        );
        lines.push(Line::from(question).bold());
    }
    lines
}

fn newton_metres(milli: i64) -> String {
    print::torque(Torque::from_small_units(milli))
}

fn next_lines(next: &NextView) -> Vec<Line<'static>> {
    let lower = next.limits.lower.map_or_else(
        || format!("at most {}", next.limits.upper),
        |lower| format!("{lower} to {}", next.limits.upper),
    );
    let mut lines = vec![
        Line::from(next.title.clone()).bold(),
        Line::from(format!(
            "{}, pass {} of {}",
            next.stage,
            u16::from(next.pass) + 1,
            next.passes
        ))
        .dim(),
        Line::from(vec![
            Span::from(newton_metres(next.aim_millinewton_metre)).bold(),
            Span::from(format!("   {lower}")),
        ]),
    ];
    if !next.prep.is_empty() {
        let word = if next.prepared { "done" } else { "first" };
        lines.push(Line::from(format!("prep {word}: {}", next.prep.join(", "))));
    }
    if next.left_hand {
        lines.push(Line::from("left-hand thread: tighten anticlockwise").bold());
    }
    lines
}

/// Told by its sign and its word, in whatever colours the terminal has.
fn last_line(last: &LastView) -> Line<'static> {
    let (sign, word) = match last.answer {
        Some(Answer::Within) => ("●", "within"),
        Some(Answer::Under) => ("▽", "under: pull again"),
        Some(Answer::Over) => ("▲", "OVER"),
        Some(Answer::Undecided) => ("◇", "undecided"),
        None => ("?", "held"),
    };
    let shown = last.displayed.as_deref().unwrap_or("past the tool's range");
    let place = last.title.as_deref().unwrap_or("no fastener");
    let text = format!("{sign} {word}  {shown}  {place}");
    let style = if last.answer == Some(Answer::Over) {
        Style::new().add_modifier(Modifier::REVERSED | Modifier::BOLD)
    } else {
        Style::new().add_modifier(Modifier::BOLD)
    };
    Line::styled(text, style)
}

fn draw_happened(frame: &mut Frame<'_>, screen: &Screen, area: Rect) {
    let block = Block::new().borders(Borders::TOP).title(" What happened ");
    let room = usize::from(area.height.saturating_sub(1));
    let from = screen.happened.len().saturating_sub(room);
    let lines: Vec<Line<'_>> = screen
        .happened
        .iter()
        .skip(from)
        .map(|line| Line::from(line.as_str()))
        .collect();
    frame.render_widget(Paragraph::new(lines).block(block), area);
}

/// One alarm: what it is on, what was shown, and how it is acknowledged.
fn alarm_lines(
    bike: &str,
    title: &str,
    shown: Option<&str>,
    upper: &str,
    sequence: u64,
) -> [Line<'static>; 4] {
    let shown = shown.unwrap_or("more than the tool can show");
    [
        Line::default(),
        Line::from(format!("{bike}: {title}")).bold().centered(),
        Line::from(format!("{shown}; the limit is {upper}")).centered(),
        Line::from(format!(
            "pullmark alarm acknowledge {sequence} --by NAME, or on the bench page"
        ))
        .centered(),
    ]
}

/// Over all else, until somebody has acknowledged it.
fn draw_alarm(frame: &mut Frame<'_>, screen: &Screen) {
    let area = frame.area();
    let mut lines = vec![Line::default(), Line::from("▲  OVER  ▲").bold().centered()];
    for build in screen.open() {
        let bike = build.bike.label.as_ref().unwrap_or(&build.bike.frame);
        for alarm in &build.alarms {
            let upper = newton_metres(alarm.upper_millinewton_metre);
            let shown = alarm.displayed.as_deref();
            lines.extend(alarm_lines(
                bike,
                &alarm.title,
                shown,
                &upper,
                alarm.sequence,
            ));
        }
        for alarm in &build.check_alarms {
            let shown = alarm.displayed.as_deref();
            let upper = &alarm.upper_text;
            lines.extend(alarm_lines(
                bike,
                &alarm.title,
                shown,
                upper,
                alarm.sequence,
            ));
        }
    }
    frame.render_widget(Clear, area);
    let text = Paragraph::new(lines).wrap(Wrap { trim: true });
    frame.render_widget(
        text.style(Style::new().add_modifier(Modifier::REVERSED)),
        area,
    );
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
