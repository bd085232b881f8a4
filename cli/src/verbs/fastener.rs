//! `pullmark fastener`.

use super::{Context, life};
use crate::arguments::{FastenerVerb, LoosenArguments, Which};
use crate::report::Outcome;
use pullmark_schema::api::Act;

#[expect(clippy::too_many_lines, reason = "one short arm a verb")]
pub(crate) async fn run(context: &Context, verb: FastenerVerb) -> miette::Result<Outcome> {
    let (act, said) = match verb {
        FastenerVerb::Next(Which {
            build,
            fastener,
            by,
        }) => (
            Act::PointAt {
                build,
                fastener,
                by: by.by,
            },
            "it comes next",
        ),
        FastenerVerb::Prepare(Which {
            build,
            fastener,
            by,
        }) => (
            Act::Prepare {
                build,
                fastener,
                by: by.by,
            },
            "prep confirmed",
        ),
        FastenerVerb::Loosen(LoosenArguments {
            build,
            fasteners,
            stage,
            all,
            reason,
            by,
        }) => (
            Act::Loosen {
                build,
                fasteners,
                stage,
                all,
                by: by.by,
                reason,
            },
            "loosened; the readings stay and no longer count",
        ),
        FastenerVerb::Defer {
            which:
                Which {
                    build,
                    fastener,
                    by,
                },
            reason,
            waits_for,
        } => (
            Act::Defer {
                build,
                fastener,
                by: by.by,
                reason,
                waits_for,
            },
            "deferred",
        ),
        FastenerVerb::TakeUp(Which {
            build,
            fastener,
            by,
        }) => (
            Act::TakeUp {
                build,
                fastener,
                by: by.by,
            },
            "taken up again",
        ),
        FastenerVerb::Look {
            which:
                Which {
                    build,
                    fastener,
                    by,
                },
            reason,
        } => (
            Act::Look {
                build,
                fastener,
                by: by.by,
                reason,
            },
            "second look confirmed",
        ),
        FastenerVerb::Note {
            build,
            fastener,
            note,
        } => return life::note(context, build, Some(fastener), note).await,
        FastenerVerb::History { build, fastener } => {
            return life::history(context, &build, Some(&fastener)).await;
        }
        FastenerVerb::Dispose {
            which:
                Which {
                    build,
                    fastener,
                    by,
                },
            decision,
            reason,
            pin,
        } => {
            let act = Act::Dispose {
                build,
                fastener,
                decision: decision.into(),
                by: by.by,
                reason,
            };
            return context.act_with_pin(act, "decided", &pin).await;
        }
    };
    context.act(act, said).await
}
