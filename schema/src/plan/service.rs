//! A plan for a bike that comes back: of the plan it was built after, what is done again.

use super::{Plan, read_pinned};
use std::collections::BTreeSet;
use toml::{Table, Value};

/// The text of a plan that has only these fasteners and checks of another plan; all of them where none is named.
///
/// Patterns, passes, limits and sources stay as they are. A computed check brings along what it is computed from. What is due
/// after the first build is not due after the service, and the comments of the file are not kept. Nothing where the text is no
/// plan, or nothing of it is left.
pub fn service(text: &str, wanted: &[String], title: &str) -> Option<String> {
    let plan = read_pinned(text).plan?;
    let kept = with_inputs(&plan, wanted);
    let mut file: Table = toml::from_str(text).ok()?;
    file.insert("title".to_owned(), Value::String(title.to_owned()));
    file.remove("due");
    if !kept.is_empty() {
        keep(&mut file, "stage", |stage| {
            for list in ["fastener", "check"] {
                keep(stage, list, |one| is_named(one, &kept));
            }
            stage.contains_key("fastener") || stage.contains_key("check")
        });
        keep(&mut file, "part", |part| {
            if let Some(Value::Array(held)) = part.get_mut("fasteners") {
                held.retain(|id| id.as_str().is_some_and(|id| kept.contains(id)));
            }
            let held = part.get("fasteners").and_then(Value::as_array);
            held.is_some_and(|held| !held.is_empty())
        });
    }
    let text = toml::to_string_pretty(&file).ok()?;
    read_pinned(&text).plan.map(|_| text)
}

fn with_inputs<'p>(plan: &'p Plan, wanted: &'p [String]) -> BTreeSet<&'p str> {
    let mut kept: BTreeSet<&str> = wanted.iter().map(String::as_str).collect();
    for (_, check) in plan.checks() {
        if let Some(formula) = check.formula.as_ref().filter(|_| kept.contains(&*check.id)) {
            kept.extend(formula.inputs.iter().map(String::as_str));
        }
    }
    kept
}

/// Keeps of an array of tables what is to be kept; an array that is empty then is taken out.
fn keep(table: &mut Table, name: &str, mut is_kept: impl FnMut(&mut Table) -> bool) {
    let Some(Value::Array(all)) = table.get_mut(name) else {
        return;
    };
    all.retain_mut(|one| one.as_table_mut().is_some_and(&mut is_kept));
    if all.is_empty() {
        table.remove(name);
    }
}

fn is_named(table: &Table, kept: &BTreeSet<&str>) -> bool {
    let id = table.get("id").and_then(Value::as_str);
    id.is_some_and(|id| kept.contains(id))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    const PLAN: &str = r#"
title = "Ford tourer 56"
edition = "3"
rule = "guarded"

[[stage]]
id = "stem"
title = "Stem"
pattern = "alternate"
passes = [0.6, 1.0]
fastener = [
  { id = "stem.1", title = "Upper", prep = ["dry"], spec = { target = "5 N·m" }, sources = [{ where = "Stem, cast figure", target = "5 N·m" }] },
  { id = "stem.2", title = "Lower", prep = ["dry"], spec = { target = "5 N·m" } },
]

[[stage]]
id = "wheels"
title = "Wheels"
fastener = [{ id = "axle", title = "Axle", prep = ["grease"], spec = { target = "12 N·m" } }]
check = [
  { id = "spokes", title = "Spokes", readings = 3, spec = { lower = "800 N", upper = "1200 N" } },
  { id = "even", title = "Spread", formula = "spread(spokes)", spec = { upper = "150 N" } },
]

[[part]]
id = "stem"
title = "Stem"
fasteners = ["stem.1", "stem.2"]

[[due]]
id = "first-rides"
title = "After the first rides"
days = 30
kilometres = 150
fasteners = ["stem.1", "even"]
"#;

    fn ids(plan: &Plan) -> Vec<&str> {
        let checks = plan.checks().map(|(_, check)| check.id.as_str());
        plan.fasteners()
            .map(|(_, fastener)| fastener.id.as_str())
            .chain(checks)
            .collect()
    }

    #[test]
    fn what_is_named_stays_as_it_was_planned() {
        let before = read_pinned(PLAN).plan.unwrap();
        let wanted = before.due("first-rides").unwrap().fasteners.clone();
        let text = service(PLAN, &wanted, "Ford tourer 56, service").unwrap();
        let plan = read_pinned(&text).plan.unwrap();
        assert_eq!(plan.title, "Ford tourer 56, service");
        assert_eq!(plan.edition, "3");
        assert_eq!(ids(&plan), ["stem.1", "spokes", "even"]);
        assert_eq!(
            plan.fastener("stem.1").unwrap().1,
            before.fastener("stem.1").unwrap().1
        );
        assert_eq!(plan.fastener("stem.1").unwrap().0.passes, [60, 100]);
        assert_eq!(plan.parts[0].fasteners, ["stem.1"]);
        assert!(plan.due.is_empty());
    }

    #[test]
    fn the_whole_bike_is_the_whole_plan() {
        let text = service(PLAN, &[], "again").unwrap();
        let (before, after) = (
            read_pinned(PLAN).plan.unwrap(),
            read_pinned(&text).plan.unwrap(),
        );
        assert_eq!(before.stages, after.stages);
        assert_eq!(before.parts, after.parts);
        assert_eq!(service(PLAN, &["nothing".to_owned()], "t"), None);
        assert_eq!(service("title = 5", &[], "t"), None);
    }
}
