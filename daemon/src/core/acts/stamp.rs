//! An outside authority's time stamp of a signed head.

use crate::core::bench::Bench;
use crate::core::decide::Decided;
use crate::core::refusal::Refusal;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use pullmark_schema::canonical::Digest32;
use pullmark_schema::entry::{Event, HeadTimestamped};
use pullmark_stamp::{StampError, Stamped};

/// Keeps a stamp that holds and is of a head of this ledger. Whether its authority is to be trusted is for those to say who
/// check a record.
pub(super) fn stamp(bench: &Bench, answer: &str) -> Result<Vec<Decided>, Refusal> {
    let wrong = |error: StampError| Refusal::Timestamp(error.to_string());
    let answer = STANDARD
        .decode(answer.trim())
        .map_err(|_| Refusal::Timestamp("it is no base64 text".to_owned()))?;
    let token = pullmark_stamp::token_of(&answer).map_err(wrong)?;
    let (size, checkpoint, stamped) = head_of(bench, &token)?;
    if bench.stamped.contains_key(&size) {
        return Err(Refusal::Timestamp(format!(
            "the head of {size} entries has one already"
        )));
    }
    let event = HeadTimestamped {
        checkpoint: checkpoint.to_owned(),
        token: Digest32::of(&token),
        time: stamped.time.format("%Y-%m-%dT%H:%M:%SZ").to_string(),
        authority: stamped.authority,
    };
    Ok(vec![Decided {
        event: Event::HeadTimestamped(event),
        attached: Some(token),
    }])
}

/// The head that a token is about, the newest ones first.
fn head_of<'b>(bench: &'b Bench, token: &[u8]) -> Result<(u64, &'b str, Stamped), Refusal> {
    for (size, checkpoint) in bench.heads.iter().rev() {
        match pullmark_stamp::read(token, checkpoint.as_bytes()) {
            Ok(stamped) => return Ok((*size, checkpoint, stamped)),
            Err(StampError::OtherData) => {}
            Err(error) => return Err(Refusal::Timestamp(error.to_string())),
        }
    }
    let why = "it is of no signed head of this ledger";
    Err(Refusal::Timestamp(why.to_owned()))
}
