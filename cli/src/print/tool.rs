//! What is known about one tool's error.

use super::budget::percent;
use pullmark_schema::api::{CheckState, CheckView, ToolView};
use pullmark_schema::certificate::{Certificate, Point};
use pullmark_schema::check::MeasuringTool;

/// Its certificate point by point, its checks, what is on it.
pub(crate) fn tool(view: &ToolView) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(measures) = &view.tool.measures {
        return measuring(measures);
    }
    match &view.tool.certificate {
        Some(certificate) => lines.extend(self::certificate(certificate)),
        None => lines.push(format!(
            "  no certificate: ±{} % of its class stands in",
            f64::from(view.class_ppm) / 10_000.0
        )),
    }
    if let Some(fitted) = &view.fitted {
        lines.push(format!("  on it: {}", fitted.text));
    }
    if let Some(checking) = &view.checking {
        lines.push(format!(
            "  {} is checking it: {} pull(s) so far",
            checking.by,
            checking.shown_micronewton_metre.len()
        ));
    }
    lines.extend(view.checks.iter().map(check));
    lines
}

/// A tool that measures no torque.
fn measuring(known: &MeasuringTool) -> Vec<String> {
    let text = |value: i64| known.unit.step_text(value);
    let mut lines = vec![format!("  measures {}", known.unit)];
    if let Some(resolution) = known.resolution {
        lines.push(format!("  smallest step {}", text(resolution)));
    }
    let part = known
        .accuracy_ppm
        .map(|ppm| format!("{} %", f64::from(ppm) / 10_000.0));
    let stated: Vec<String> = part.into_iter().chain(known.accuracy.map(text)).collect();
    match (&known.certificate, stated.is_empty()) {
        (Some(certificate), _) => lines.push(format!(
            "  certificate {} of {}, U = {} (k = {})",
            certificate.number,
            certificate.date,
            text(certificate.expanded),
            f64::from(certificate.coverage_thousandths) / 1_000.0
        )),
        (None, false) => lines.push(format!(
            "  no certificate: its stated accuracy, ±{}, stands in",
            stated.join(" + ")
        )),
        (None, true) => lines.push("  nothing states how good it is".to_owned()),
    }
    lines
}

fn certificate(certificate: &Certificate) -> Vec<String> {
    let head = format!(
        "  {} of {} by {}, due {}",
        certificate.number, certificate.date, certificate.laboratory, certificate.due
    );
    let is_bare = certificate.points.is_empty();
    let note = is_bare.then(|| "  without points: the limit of its class stands in".to_owned());
    std::iter::once(head)
        .chain(certificate.points.iter().map(point))
        .chain(note)
        .collect()
}

fn point(point: &Point) -> String {
    format!(
        "    shows {}, reference {}, U = {} (k = {})",
        point.indicated,
        point.reference,
        point.expanded,
        point.coverage_factor()
    )
}

fn check(check: &CheckView) -> String {
    let state = match check.state {
        CheckState::Quiet => "well inside",
        CheckState::Warns => "WARNS: comes close to the limit of its class",
        CheckState::Beyond => {
            "BEYOND the limit of its class: take it out of use and have it calibrated"
        }
    };
    format!(
        "  check {} against {}: {} over {} pull(s), average {}, {state}",
        check.time.get(..10).unwrap_or(&check.time),
        check.against,
        percent(check.deviation_ppm),
        check.pulls,
        percent(check.average_ppm),
    )
}
