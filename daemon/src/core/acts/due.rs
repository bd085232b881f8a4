//! After handing over: what is due is done, and how far a bike has gone.

use super::{known_build, maybe, name};
use crate::core::bench::Bench;
use crate::core::decide::Decided;
use crate::core::refusal::Refusal;
use pullmark_schema::build::Build;
use pullmark_schema::due::{DueTold, Follows, Ridden, done};
use pullmark_schema::entry::{Bike, Event};

pub(super) fn tell(
    bench: &Bench,
    build: String,
    due: String,
    is_done: bool,
    by: String,
    reason: Option<String>,
) -> Result<Vec<Decided>, Refusal> {
    let known = handed_over(bench, &build)?;
    of_the_plan(known, &due)?;
    if done(known, &due).is_some() == is_done {
        return Err(Refusal::DueToldBefore { due, is_done });
    }
    let told = DueTold {
        build,
        due,
        done: is_done,
        by: name(by)?,
        reason: maybe(reason)?,
    };
    Ok(vec![Event::DueTold(told).into()])
}

pub(super) fn ridden(
    bench: &Bench,
    build: String,
    kilometres: u32,
    by: String,
) -> Result<Vec<Decided>, Refusal> {
    handed_over(bench, &build)?;
    let ridden = Ridden {
        build,
        kilometres,
        by: name(by)?,
    };
    Ok(vec![Event::Ridden(ridden).into()])
}

/// The build that another one goes on from: of the same bike, and handed over.
pub(super) fn follows(
    bench: &Bench,
    build: String,
    due: Vec<String>,
    bike: &Bike,
) -> Result<Follows, Refusal> {
    let known = handed_over(bench, &build)?;
    if known.bike.frame != bike.frame {
        return Err(Refusal::OtherFrame {
            build,
            frame: known.bike.frame.clone(),
        });
    }
    for id in &due {
        of_the_plan(known, id)?;
    }
    Ok(Follows {
        record: known.record,
        build,
        due,
    })
}

fn handed_over<'b>(bench: &'b Bench, build: &str) -> Result<&'b Build, Refusal> {
    let known = known_build(bench, build)?;
    match known.finished {
        Some(_) => Ok(known),
        None => Err(Refusal::NotHandedOver(build.to_owned())),
    }
}

fn of_the_plan(build: &Build, due: &str) -> Result<(), Refusal> {
    match build.plan.due(due) {
        Some(_) => Ok(()),
        None => Err(Refusal::DueNotKnown {
            build: build.id.clone(),
            due: due.to_owned(),
        }),
    }
}
