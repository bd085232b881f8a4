//! What is due, as the page and the command line see it.

use crate::due::DueStanding;
use crate::entry::Bike;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A fastener or check that is looked at.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DueFastenerView {
    /// Its id.
    pub id: String,
    /// For people.
    pub title: String,
}

/// Something that is looked at again after a bike was handed over.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DueView {
    /// Which build.
    pub build: String,
    /// Its bike.
    pub bike: Bike,
    /// Its id in the plan.
    pub id: String,
    /// For people.
    pub title: String,
    /// How it stands today.
    pub standing: DueStanding,
    /// The day on which the bike was handed over.
    pub handed_over: String,
    /// The day on which it is due; none where it is due by distance alone.
    pub on: Option<String>,
    /// Days until then; below 0 it is late.
    pub days_left: Option<i64>,
    /// After so many kilometres, if that comes first.
    pub kilometres: Option<u32>,
    /// How far the bike has gone, as far as somebody has said so.
    pub ridden: Option<u32>,
    /// What is looked at; the whole bike if there are none.
    pub fasteners: Vec<DueFastenerView>,
    /// Who says that it is due.
    pub source: Option<String>,
    /// Who said that it is done.
    pub done_by: Option<String>,
    /// What was found.
    pub done_reason: Option<String>,
    /// The later build that does it.
    pub in_build: Option<String>,
}
