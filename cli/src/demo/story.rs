//! What happens in the demo: an ordinary build with seven things that go otherwise.

use super::mechanic::{Measures, Mechanic, TO_A_REPEAT, TO_THE_NEXT};
use super::{MECHANIC, SECOND};
use miette::{ensure, miette};
use pullmark_schema::api::{Act, NextView};
use pullmark_schema::entry::{Decision, Entry, Event};

/// More pulls than this means that the demo goes round in circles.
const MOST_PULLS: usize = 60;

/// How far each pull lands from its aim, in per mille; a steady hand.
const HAND: [i64; 7] = [4, -7, 9, -3, 0, 12, -9];

/// Works until nothing is open.
pub(crate) async fn work(mechanic: &mut Mechanic<'_>) -> miette::Result<()> {
    let mut has_slipped = false;
    let mut has_jerked = false;
    let mut stage = String::new();
    for number in 0..MOST_PULLS {
        let Some(next) = mechanic.look().await?.next else {
            measure(mechanic).await?;
            return one_more_pull(mechanic).await;
        };
        if next.stage != stage {
            stage.clone_from(&next.stage);
            mechanic.say(&format!("\n{stage}"));
        }
        prepare(mechanic, &next).await?;
        let aim = steady(&next, number);
        match next.fastener.as_str() {
            "brakes.front-lower" if !has_slipped => {
                has_slipped = true;
                slip(mechanic).await?;
            }
            "seat.clamp" if !has_jerked => {
                has_jerked = true;
                jerk(mechanic).await?;
            }
            "brakes.front-upper" => {
                for (torque, after) in [(aim, TO_THE_NEXT), (aim * 1.01, TO_A_REPEAT)] {
                    let entry = mechanic.pull(torque, after).await?;
                    settle(mechanic, &entry, &next.fastener).await?;
                }
            }
            "drive.light" => defer(mechanic, &next).await?,
            _ => {
                let entry = mechanic.pull(aim, TO_THE_NEXT).await?;
                settle(mechanic, &entry, &next.fastener).await?;
            }
        }
    }
    Err(miette!("the build does not come to an end"))
}

/// What is no torque: how deep the post sits, what the tyres are pumped to. The calliper is still set to inches, and the plan
/// speaks of psi where the gauge shows bar.
async fn measure(mechanic: &mut Mechanic<'_>) -> miette::Result<()> {
    mechanic
        .say("\nMeasured: the post with a calliper set to inches, the tyres with a gauge in bar");
    for (tool, value, unit) in [
        (Measures::Calliper, "3.365", "in"),
        (Measures::Gauge, "3.98", "bar"),
        (Measures::Gauge, "4.31", "bar"),
    ] {
        let entry = mechanic.measure(tool, value, unit).await?;
        let Event::CheckMeasured(measured) = &entry.event else {
            return Err(miette!("no reading came"));
        };
        ensure!(
            measured.placement.place().is_some(),
            "{value} {unit} was not placed"
        );
    }
    Ok(())
}

/// What may have been missed is pulled once more before the bike leaves.
async fn one_more_pull(mechanic: &mut Mechanic<'_>) -> miette::Result<()> {
    let view = mechanic.look().await?;
    if view.doubts.is_empty() {
        return Ok(());
    }
    mechanic.say("\nOne more pull where something may have been missed");
    for doubt in &view.doubts {
        let mut fasteners = view.stages.iter().flat_map(|stage| &stage.fasteners);
        let Some(fastener) = fasteners.find(|fastener| fastener.id == doubt.fastener) else {
            continue;
        };
        let point_at = Act::PointAt {
            build: mechanic.build.clone(),
            fastener: fastener.id.clone(),
            by: MECHANIC.to_owned(),
        };
        mechanic.act(point_at).await?;
        let aim = fastener.limits.aim().newton_metres();
        let entry = mechanic.pull(aim, TO_THE_NEXT).await?;
        settle(mechanic, &entry, &fastener.id).await?;
    }
    Ok(())
}

/// What this pull reaches, in N·m.
fn steady(next: &NextView, number: usize) -> f64 {
    let offset = HAND.get(number % HAND.len()).copied().unwrap_or(0);
    let small = next.aim_millinewton_metre * (1000 + offset) / 1000;
    pullmark_schema::quantity::Torque::from_small_units(small).newton_metres()
}

async fn prepare(mechanic: &mut Mechanic<'_>, next: &NextView) -> miette::Result<()> {
    if next.prep.is_empty() || next.prepared {
        return Ok(());
    }
    let (build, fastener) = (mechanic.build.clone(), next.fastener.clone());
    mechanic
        .act(Act::Prepare {
            build,
            fastener,
            by: MECHANIC.to_owned(),
        })
        .await?;
    Ok(())
}

/// An under reading; the next round of the loop repairs it.
async fn slip(mechanic: &mut Mechanic<'_>) -> miette::Result<()> {
    let entry = mechanic.pull(5.83, TO_THE_NEXT).await?;
    settle(mechanic, &entry, "brakes.front-lower").await?;
    mechanic.say("  The key had slipped. Once more:");
    Ok(())
}

/// An over reading on carbon: the alarm first, then where it belongs, then what follows from it.
async fn jerk(mechanic: &mut Mechanic<'_>) -> miette::Result<()> {
    let entry = mechanic.pull(6.92, TO_THE_NEXT).await?;
    let Event::Pulled(pulled) = &entry.event else {
        return Err(miette!("no reading came"));
    };
    ensure!(pulled.alarm.is_some(), "an over reading raised no alarm");
    settle(mechanic, &entry, "seat.clamp").await?;
    let by = || MECHANIC.to_owned();
    let (build, fastener) = (mechanic.build.clone(), "seat.clamp".to_owned());
    mechanic
        .act(Act::Acknowledge {
            alarm: entry.sequence,
            by: by(),
        })
        .await?;
    let reason =
        "the laminate under the clamp cannot be judged from outside; new seat post from stock"
            .to_owned();
    let decision = Decision::PartReplaced;
    let dispose = Act::Dispose {
        build: build.clone(),
        fastener: fastener.clone(),
        decision,
        by: by(),
        reason,
    };
    mechanic.act(dispose).await?;
    mechanic
        .act(Act::Prepare {
            build: build.clone(),
            fastener: fastener.clone(),
            by: by(),
        })
        .await?;
    let entry = mechanic.pull(5.02, 10 * TO_THE_NEXT).await?;
    settle(mechanic, &entry, "seat.clamp").await?;
    let reason = Some("post at its mark, clamp square".to_owned());
    mechanic
        .act(Act::Look {
            build,
            fastener,
            by: SECOND.to_owned(),
            reason,
        })
        .await?;
    Ok(())
}

/// A value that fits another fastener as well is held, and the mechanic answers.
async fn settle(mechanic: &mut Mechanic<'_>, entry: &Entry, fastener: &str) -> miette::Result<()> {
    let Event::Pulled(pulled) = &entry.event else {
        return Ok(());
    };
    if !pulled.placement.is_held() {
        return Ok(());
    }
    let place = Act::Place {
        reading: entry.sequence,
        fastener: Some(fastener.to_owned()),
        pass: None,
        by: MECHANIC.to_owned(),
        reason: None,
    };
    mechanic.act(place).await?;
    Ok(())
}

async fn defer(mechanic: &mut Mechanic<'_>, next: &NextView) -> miette::Result<()> {
    let (build, fastener) = (mechanic.build.clone(), next.fastener.clone());
    let reason = "the bracket is on back order, due next week".to_owned();
    mechanic
        .act(Act::Defer {
            build,
            fastener,
            by: MECHANIC.to_owned(),
            reason,
            waits_for: None,
        })
        .await?;
    Ok(())
}
