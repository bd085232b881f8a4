//! The plans of the study, and a bike of each as the mechanic sees it. Shops, bikes and figures are invented.

use miette::miette;
use pullmark_schema::plan::{self, Plan};
use pullmark_schema::verdict::Rule;
use pullmark_sim::mechanic::{Bike, Bolt, Pass, Stage};

/// The plan with the most fasteners, for the figure of time.
pub(super) const LARGEST: &str = "fleet-200";

macro_rules! files {
    ($($name:literal),+ $(,)?) => {
        [$(($name, include_str!(concat!("../../../../plans/", $name, ".toml")))),+]
    };
}

/// Name and text of each file in `tests/plans`.
const FILES: [(&str, &str); 7] = files![
    "harbour-road",
    "fjord-gravel",
    "ridge-trail",
    "ferry-city",
    "quay-cargo",
    "lagoon-time-trial",
    "fleet-200",
];

/// A plan of the study.
#[derive(Debug)]
pub(super) struct Planned {
    pub(super) name: &'static str,
    pub(super) plan: Plan,
    pub(super) bike: Bike,
}

/// All plans, or the one of a name.
pub(super) fn read(only: Option<&str>) -> miette::Result<Vec<Planned>> {
    let wanted = |name: &str| only.is_none_or(|only| only == name);
    let plans: Vec<Planned> = FILES
        .into_iter()
        .filter(|(name, _)| wanted(name))
        .map(|(name, text)| {
            let mut plan = plan::read(text)
                .plan
                .ok_or_else(|| miette!("the plan {name} has errors: run `pullmark plan check`"))?;
            // What is asked is where a reading belongs, not how surely it lies within its limits.
            let stages = plan.stages.iter_mut();
            for fastener in stages.flat_map(|stage| &mut stage.fasteners) {
                fastener.rule = Rule::Simple;
            }
            let bike = bike(&plan);
            Ok(Planned { name, plan, bike })
        })
        .collect::<miette::Result<_>>()?;
    if plans.is_empty() {
        let names: Vec<&str> = FILES.into_iter().map(|(name, _)| name).collect();
        return Err(miette!(
            "there is no such plan; there are {}",
            names.join(", ")
        ));
    }
    Ok(plans)
}

fn bike(plan: &Plan) -> Bike {
    let stages = plan.stages.iter().map(|stage| Stage {
        passes: stage
            .passes
            .iter()
            .map(|&percent| Pass {
                part: f64::from(percent) / 100.0,
                order: stage.pattern.order(stage.fasteners.len()),
            })
            .collect(),
        bolts: stage
            .fasteners
            .iter()
            .map(|fastener| {
                let limits = &fastener.spec.limits;
                Bolt {
                    target: limits
                        .target
                        .map(pullmark_schema::quantity::Torque::newton_metres),
                    lower: limits
                        .lower
                        .map(pullmark_schema::quantity::Torque::newton_metres),
                    upper: limits.upper.newton_metres(),
                }
            })
            .collect(),
    });
    Bike {
        stages: stages.collect(),
    }
}
