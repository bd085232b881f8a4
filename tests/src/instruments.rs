//! A shop with instruments that measure something else than torque, and a build with checks for all of it.

use crate::http::Events;
use crate::{MECHANIC, PATIENCE, Shop};
use pullmark_schema::api::Act;
use pullmark_schema::check::{CheckMeasured, CheckPlacement};
use pullmark_schema::entry::{Bike, Event, Unreadable};
use pullmark_schema::tool::Tool;
use std::time::{Duration, Instant};

/// Checks of every quantity, each of which takes more readings than a test sends.
const PLAN: &str = r#"
title = "Ferry commuter 54"
edition = "checks"
[[stage]]
id = "all"
title = "What is measured"
[[stage.check]]
id = "post"
title = "Seat post, diameter"
spec = { target = "31.6 mm", lower = "20 mm", upper = "40 mm" }
readings = 9
[[stage.check]]
id = "tyre"
title = "Tyre pressure"
spec = { target = "6 bar", lower = "5 bar", upper = "7 bar" }
readings = 9
[[stage.check]]
id = "spokes"
title = "Spoke tension"
spec = { target = "1150 N", lower = "1000 N", upper = "1300 N" }
readings = 9
[[stage.check]]
id = "mass"
title = "Mass of the bike"
spec = { target = "8.2 kg", lower = "7 kg", upper = "10 kg" }
readings = 9
"#;

/// A shop with tools, and a build that all of them serve.
#[derive(Debug)]
pub struct Bench {
    /// The shop.
    pub shop: Shop,
    /// What the daemon says.
    pub events: Events,
    tools: Vec<String>,
}

impl Bench {
    /// Without profiles of its own.
    pub fn open() -> Self {
        Self::with_profiles(&[])
    }

    /// With profiles of its own.
    pub fn with_profiles(profiles: &[String]) -> Self {
        let mut shop = Shop::closed(&[]);
        let folder = shop.folder().join("profiles");
        std::fs::create_dir(&folder).unwrap();
        for (number, profile) in profiles.iter().enumerate() {
            std::fs::write(folder.join(format!("{number}.toml")), profile).unwrap();
        }
        let config = format!("profiles = {:?}\n", folder.display().to_string());
        let config = shop.write("pullmarkd.toml", &config);
        shop.with_variable("PULLMARK_CONFIG", &config.display().to_string());
        shop.start();
        let events = shop.http().events(None).unwrap();
        Self {
            shop,
            events,
            tools: Vec::new(),
        }
    }

    /// Makes a tool known.
    pub fn add(&mut self, id: &str, quantity: &str, port: &str, profile: &str) {
        let text = format!(
            "id = \"{id}\"\ntitle = \"{id}\"\nserial = \"{id}-1\"\nquantity = \"{quantity}\"\n[connection]\nport = \"{port}\"\nprofile = \"{profile}\"\n"
        );
        let tool = Box::new(Tool::read(&text).unwrap());
        self.shop.act(&Act::AddTool { by: None, tool });
        self.tools.push(id.to_owned());
    }

    /// Begins a build that all tools serve.
    pub fn begin(&mut self) {
        self.shop.act(&Act::StartBuild {
            build: None,
            bike: Bike {
                frame: "FC-0311".to_owned(),
                label: None,
            },
            plan: PLAN.to_owned(),
            by: MECHANIC.to_owned(),
            tools: self.tools.clone(),
            follows: None,
            due: Vec::new(),
        });
    }

    /// Waits until a tool is connected.
    pub fn connected(&mut self, tool: &str) {
        self.events.wait_for(|heard| {
            matches!(heard.entry().event, Event::ToolConnected { tool: ref known, .. } if known == tool)
        });
    }

    /// Waits until the tool is gone; why.
    pub fn gone(&mut self, tool: &str) -> String {
        let all = self.events.wait_for(|heard| {
            matches!(heard.entry().event, Event::ToolGone { tool: ref known, .. } if known == tool)
        });
        match all.last().unwrap().entry().event {
            Event::ToolGone { why, .. } => why,
            _ => unreachable!(),
        }
    }

    /// Waits for the next value of another quantity than torque.
    pub fn measured(&mut self) -> CheckMeasured {
        match self.events.wait_for_kind("check-measured").entry().event {
            Event::CheckMeasured(measured) => *measured,
            _ => unreachable!(),
        }
    }

    /// The next value, which has to land on a check.
    #[track_caller]
    pub fn lands(&mut self, check: &str, shown: &str) {
        let measured = self.measured();
        assert_eq!(
            measured.reading.displayed.as_ref().unwrap().to_string(),
            shown
        );
        let CheckPlacement::ByPlan { place } = measured.placement else {
            panic!("{shown} waits for a person: {:?}", measured.placement)
        };
        assert_eq!(place.check, check);
    }

    /// Waits for bytes that count for nothing, for this reason.
    pub fn unreadable(&mut self, wanted: Unreadable) {
        self.events.wait_for(
            |heard| matches!(heard.entry().event, Event::Unreadable { why, .. } if why == wanted),
        );
    }

    /// Every value that is stored for a tool, as it was displayed. To be asked once a test.
    pub fn stored(&self, tool: &str) -> Vec<String> {
        let mut events = self.shop.http().events(Some(0)).unwrap();
        // An entry after everything that is to be seen.
        self.shop.act(&Act::BeginCheck {
            tool: "end".to_owned(),
            by: MECHANIC.to_owned(),
        });
        let mut all = Vec::new();
        loop {
            let (of, displayed) = match events.hear().unwrap().entry().event {
                Event::CheckMeasured(measured) => {
                    (measured.reading.tool, measured.reading.displayed)
                }
                Event::Pulled(pulled) => (pulled.reading.tool, pulled.reading.displayed),
                Event::CheckBegun { .. } => return all,
                _ => continue,
            };
            if of == tool {
                all.push(displayed.map_or_else(String::new, |shown| shown.to_string()));
            }
        }
    }

    /// A tool that measures nothing; a check of it marks where to stop looking.
    pub fn add_end(&mut self) {
        let text = "id = \"end\"\ntitle = \"end\"\nserial = \"end\"\n";
        let tool = Box::new(Tool::read(text).unwrap());
        self.shop.act(&Act::AddTool { by: None, tool });
    }
}

/// Waits until something is so.
pub fn until(what: &str, mut is: impl FnMut() -> bool) {
    let end = Instant::now() + PATIENCE;
    while !is() {
        assert!(Instant::now() < end, "{what}");
        std::thread::sleep(Duration::from_millis(10));
    }
}
