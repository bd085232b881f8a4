//! A shop with a simulated wrench on a real pseudo-terminal and a build under way, and the mechanic who works at it.

use crate::http::{Events, Heard};
use crate::shop::Shop;
use crate::{MECHANIC, SECOND, plans};
use pullmark_schema::api::{Act, BuildView, NextView};
use pullmark_schema::entry::{Bike, Entry, Event};
use pullmark_schema::quantity::Torque;
use pullmark_schema::tool::Tool;
use pullmark_sim::tool::PluggedWrench;
use std::path::PathBuf;

/// The tool's short name.
pub const WRENCH: &str = "w1";
/// More pulls than this mean that a build goes round in circles.
const MOST_PULLS: usize = 200;

/// Everything that a mechanic has before them.
#[derive(Debug)]
pub struct Stand {
    /// The shop.
    pub shop: Shop,
    /// The wrench.
    pub wrench: PluggedWrench,
    /// What the daemon says.
    pub events: Events,
    /// The build's name.
    pub build: String,
    /// The bytes of every line that the wrench has sent, greetings and all.
    pub sent: Vec<Vec<u8>>,
}

impl Stand {
    /// A fresh shop with the wrench connected and a build begun after a plan.
    pub fn begin(plan: &str) -> Self {
        Self::begin_in(Shop::open(), plan)
    }

    /// The same in a shop that is open already.
    pub fn begin_in(shop: Shop, plan: &str) -> Self {
        let wrench = shop.plug("wrench", "SIM-2207");
        let sent = vec![wrench.wrench.frame_ready()];
        let mut events = shop
            .http()
            .events(None)
            .expect("the daemon tells what happens");
        let tool = plans::wrench(WRENCH, "SIM-2207", wrench.port().link(), "pullmark-line");
        shop.act(&Act::AddTool {
            by: None,
            tool: Box::new(Tool::read(&tool).expect("the tool file is sound")),
        });
        events.wait_for_kind("tool-connected");
        let done = shop.act(&Act::StartBuild {
            build: None,
            bike: Bike {
                frame: "FC-0311".to_owned(),
                label: Some("Ferry".to_owned()),
            },
            plan: plan.to_owned(),
            by: MECHANIC.to_owned(),
            tools: vec![WRENCH.to_owned()],
            follows: None,
            due: Vec::new(),
        });
        let build = done.build.expect("a build has a name");
        events.wait_for_kind("tool-assigned");
        Self {
            shop,
            wrench,
            events,
            build,
            sent,
        }
    }

    /// How the build stands.
    pub fn look(&self) -> BuildView {
        let answer = self.shop.http().get(&format!("/v1/builds/{}", self.build));
        serde_json::from_slice(&answer.body).expect("a build is shown as the schema says")
    }

    /// Pulls once and waits for the reading's entry.
    #[track_caller]
    pub fn pull(&mut self, newton_metre: f64) -> Heard {
        self.wrench_sends(|wrench| {
            wrench
                .pull(newton_metre)
                .expect("the wrench is plugged in")
                .bytes
        });
        self.events.wait_for_kind("pulled")
    }

    /// Lets the wrench send something, and keeps what it sent.
    pub fn wrench_sends(&mut self, send: impl FnOnce(&mut PluggedWrench) -> Vec<u8>) {
        let bytes = send(&mut self.wrench);
        self.sent.push(bytes);
    }

    /// Prepares, pulls and says where the reading belongs, where that has to be said. Gives the reading's entry.
    #[track_caller]
    pub fn do_next(&mut self, next: &NextView) -> Entry {
        self.prepare(next);
        let heard = self.pull(aim(next));
        let entry = heard.entry();
        self.settle(&entry, &next.fastener);
        entry
    }

    /// Confirms the prep, where there is any to confirm.
    pub fn prepare(&self, next: &NextView) {
        if !next.prep.is_empty() && !next.prepared {
            let (build, fastener) = (self.build.clone(), next.fastener.clone());
            self.shop.act(&Act::Prepare {
                build,
                fastener,
                by: MECHANIC.to_owned(),
            });
        }
    }

    /// Says where a reading belongs, if it is held or was placed elsewhere: these tests pull within milliseconds, and
    /// two pulls of the same torque so shortly after one another are taken for one bolt that was clicked twice.
    pub fn settle(&self, entry: &Entry, fastener: &str) {
        let Event::Pulled(pulled) = &entry.event else {
            panic!("no reading: {entry:?}")
        };
        if pulled
            .placement
            .place()
            .is_none_or(|place| place.fastener != fastener)
        {
            self.shop.act(&Act::Place {
                reading: entry.sequence,
                fastener: Some(fastener.to_owned()),
                pass: None,
                by: MECHANIC.to_owned(),
                reason: None,
            });
        }
    }

    /// Works until nothing is open; another person looks where the plan asks for it.
    pub fn work_to_the_end(&mut self) {
        for _ in 0..MOST_PULLS {
            let Some(next) = self.look().next else {
                self.second_looks();
                return;
            };
            self.do_next(&next);
        }
        panic!("the build does not come to an end");
    }

    fn second_looks(&self) {
        for fastener in self
            .look()
            .stages
            .into_iter()
            .flat_map(|stage| stage.fasteners)
        {
            if fastener.second_look && !fastener.looked {
                let (build, fastener) = (self.build.clone(), fastener.id);
                self.shop.act(&Act::Look {
                    build,
                    fastener,
                    by: SECOND.to_owned(),
                    reason: None,
                });
            }
        }
    }

    /// Hands the build over and seals its record.
    pub fn finish(&self) {
        let (build, by) = (self.build.clone(), MECHANIC.to_owned());
        self.shop.act(&Act::Finish {
            build: build.clone(),
            by: by.clone(),
            // These pulls follow each other faster than hands move.
            sure: Some("counted twice".to_owned()),
        });
        self.shop.act(&Act::Seal { build, by });
    }

    /// Exports the sealed record into a folder of the shop's. Gives back the folder.
    #[track_caller]
    pub fn export(&self, folder: &str, more: &[&str]) -> PathBuf {
        let out = self.shop.folder().join(folder);
        let path = out.display().to_string();
        let words = ["record", "export", &self.build, "--out", &path];
        self.shop.pullmark([&words[..], more].concat()).ok();
        out
    }

    /// The bytes of the sealed record.
    pub fn record(&self) -> Vec<u8> {
        self.shop
            .http()
            .get(&format!("/v1/builds/{}/record", self.build))
            .body
    }
}

/// What a steady hand reaches in the next pull, in N·m.
pub fn aim(next: &NextView) -> f64 {
    Torque::from_small_units(next.aim_millinewton_metre).newton_metres()
}
