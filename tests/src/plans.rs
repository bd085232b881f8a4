//! Plans and tool files of invented shops. Never tighten a real bike to their figures.

use std::fmt::Write as _;
use std::path::Path;

/// A small plan: one bolt, a pair of bolts in two passes, a carbon clamp that wants a second look.
pub const SMALL: &str = r#"title = "Ferry commuter 54"
edition = "2026-11"

[[stage]]
id = "rack"
title = "Rear rack"

[[stage.fastener]]
id = "rack.left"
title = "Rack, left eyelet"
spec = { target = "2 N·m" }
prep = ["threadlock, medium"]

[[stage]]
id = "crank"
title = "Left crank arm"
pattern = "alternate"
passes = [0.6, 1.0]

[[stage.fastener]]
id = "crank.front"
title = "Left crank, front pinch bolt"
spec = { target = "13 N·m", lower = "12 N·m", upper = "14 N·m" }
sources = [{ where = "marking on the crank arm", lower = "12 N·m", upper = "14 N·m" }]
prep = ["grease on the thread"]

[[stage.fastener]]
id = "crank.rear"
title = "Left crank, rear pinch bolt"
spec = { target = "13 N·m", lower = "12 N·m", upper = "14 N·m" }
prep = ["grease on the thread"]

[[stage]]
id = "seat"
title = "Seat post"

[[stage.fastener]]
id = "seat.clamp"
title = "Seat clamp bolt"
joint = "carbon"
spec = { target = "5 N·m", lower = "4.5 N·m", upper = "5.5 N·m" }
prep = ["carbon paste on the post"]
second_look = true
"#;

/// A plan of `stages` stages of three fasteners each. Neighbours differ so much in torque that a pull for one is never
/// taken for a repeat of the one before, however quickly it comes. Every third stage has two passes.
pub fn long(stages: usize) -> String {
    let mut text = "title = \"Long day\"\nedition = \"kill\"\ntolerance = \"10 %\"\n".to_owned();
    let torques = ["2 N·m", "14 N·m"];
    let mut count = 0;
    for stage in 1..=stages {
        let passes = if stage % 3 == 0 {
            "passes = [0.5, 1.0]\n"
        } else {
            ""
        };
        let _ = write!(
            text,
            "\n[[stage]]\nid = \"s{stage}\"\ntitle = \"Stage {stage}\"\n{passes}"
        );
        for fastener in 1..=3 {
            let torque = torques[count % 2];
            count += 1;
            let _ = write!(
                text,
                "\n[[stage.fastener]]\nid = \"s{stage}.f{fastener}\"\ntitle = \"Fastener {stage}.{fastener}\"\n\
                 spec = {{ target = \"{torque}\" }}\nprep = [\"dry\"]\n"
            );
        }
    }
    text
}

/// The file of a wrench at a port.
pub fn wrench(id: &str, serial: &str, port: &Path, profile: &str) -> String {
    let port = port.display();
    format!(
        "id = \"{id}\"\ntitle = \"Simulated wrench {id}\"\nserial = \"{serial}\"\n\
         lowest = \"1 N·m\"\nhighest = \"25 N·m\"\nresolution = \"0.01 N·m\"\n\n\
         [certificate]\nnumber = \"TM-0418 (invented)\"\nlaboratory = \"Tarn Metrology (invented)\"\n\
         date = \"2026-05-04\"\ndue = \"2099-05-04\"\ndrift_per_year = \"0.1 %\"\n\n\
         \n[[certificate.point]]\nindicated = \"0.1 N·m\"\nreference = \"0.1 N·m\"\nexpanded = \"0.8 %\"\nk = 2\n\n[[certificate.point]]\nindicated = \"100 N·m\"\nreference = \"100 N·m\"\nexpanded = \"0.8 %\"\nk = 2\n\n\
         [connection]\nport = \"{port}\"\nprofile = \"{profile}\"\n"
    )
}

/// The file of a click wrench, whose readings are entered by hand.
pub fn click_wrench(id: &str) -> String {
    format!(
        "id = \"{id}\"\ntitle = \"Click wrench {id}\"\nserial = \"CW-77\"\nkind = \"setting\"\n"
    )
}

/// A plan of checks alone.
pub const CHECKS: &str = r#"
title = "Ferry, checks"
edition = "1"

[[stage]]
id = "seat"
title = "Seat"

[[stage.check]]
id = "seat.depth"
title = "Seat post in the frame"
spec = { lower = "80 mm" }

[[stage]]
id = "tyres"
title = "Tyres"

[[stage.check]]
id = "tyres.front"
title = "Front tyre"
spec = { lower = "54 psi", upper = "62 psi" }

[[stage.check]]
id = "tyres.rear"
title = "Rear tyre"
spec = { lower = "59 psi", upper = "65 psi" }

[[stage.check]]
id = "tyres.apart"
title = "Rear above front"
spec = { lower = "0 psi", upper = "8 psi" }
formula = "tyres.rear - tyres.front"

[[stage]]
id = "wheel"
title = "Wheel"

[[stage.check]]
id = "wheel.mass"
title = "Front wheel"
spec = { lower = "1200 g", upper = "1400 g" }
"#;

/// A calliper with a certificate; the connection is to be added.
pub const CALLIPER: &str = r#"
id = "c1"
title = "Calliper"
serial = "SIM-C-1"
quantity = "length"
highest = "200 mm"
resolution = "0.01 mm"
accuracy = "0.03 mm"

[certificate]
number = "TM-1 (invented)"
date = "2026-05-06"
expanded = "0.02 mm"
"#;

/// A pressure gauge without one.
pub const GAUGE: &str = r#"
id = "g1"
title = "Gauge"
serial = "SIM-G-1"
quantity = "pressure"
highest = "11 bar"
resolution = "0.01 bar"
accuracy = "1 % + 0.02 bar"
"#;

/// A scale.
pub const SCALE: &str = r#"
id = "s1"
title = "Scale"
serial = "SIM-S-1"
quantity = "mass"
resolution = "0.1 g"
accuracy = "1 g"
"#;

/// A ruler: no connection.
pub const RULER: &str = r#"
id = "ruler"
title = "Steel rule"
serial = "SIM-R-1"
quantity = "length"
resolution = "0.5 mm"
accuracy = "0.3 mm"
"#;
