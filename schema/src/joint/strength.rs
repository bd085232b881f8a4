//! What a bolt bears: property classes of steel and stainless steel bolts. Not titanium or aluminium bolts, which have
//! no class of these standards.

use super::MetricThread;
use std::fmt;

/// A property class, for bolts up to M16.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PropertyClass {
    /// Steel 5.6.
    Steel5_6,
    /// Steel 8.8.
    Steel8_8,
    /// Steel 10.9.
    Steel10_9,
    /// Steel 12.9.
    Steel12_9,
    /// Austenitic stainless steel, class 50, any of the grades A1 to A5.
    Stainless50,
    /// Austenitic stainless steel, class 70.
    Stainless70,
    /// Austenitic stainless steel, class 80.
    Stainless80,
}

impl PropertyClass {
    /// Every class that is known.
    pub const ALL: [Self; 7] = [
        Self::Steel5_6,
        Self::Steel8_8,
        Self::Steel10_9,
        Self::Steel12_9,
        Self::Stainless50,
        Self::Stainless70,
        Self::Stainless80,
    ];

    /// Reads "8.8", "12.9", "A2-70", "A4-80". Nothing for a class that is not known here.
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.trim().to_ascii_uppercase();
        match text.as_str() {
            "5.6" => Some(Self::Steel5_6),
            "8.8" => Some(Self::Steel8_8),
            "10.9" => Some(Self::Steel10_9),
            "12.9" => Some(Self::Steel12_9),
            _ => {
                let (grade, class) = text.split_once('-')?;
                if !matches!(grade, "A1" | "A2" | "A3" | "A4" | "A5") {
                    return None;
                }
                match class {
                    "50" => Some(Self::Stainless50),
                    "70" => Some(Self::Stainless70),
                    "80" => Some(Self::Stainless80),
                    _ => None,
                }
            }
        }
    }

    /// Proof stress, N/mm²: ISO 898-1:2013, table 3 (from memory, the loads that follow from it compared with its tables
    /// 5 and 7). ISO 3506-1 states none; there the stress at 0.2 % stands in.
    pub const fn proof_stress(self) -> f64 {
        match self {
            Self::Steel5_6 => 280.0,
            Self::Steel8_8 => 580.0,
            Self::Steel10_9 => 830.0,
            Self::Steel12_9 => 970.0,
            Self::Stainless50 | Self::Stainless70 | Self::Stainless80 => self.yield_stress(),
        }
    }

    /// Stress at 0.2 % non-proportional elongation (5.6: lower yield stress), N/mm²: ISO 898-1:2013, table 3; ISO 3506-1
    /// (from memory).
    pub const fn yield_stress(self) -> f64 {
        match self {
            Self::Steel5_6 => 300.0,
            Self::Steel8_8 => 640.0,
            Self::Steel10_9 => 940.0,
            Self::Steel12_9 => 1_100.0,
            Self::Stainless50 => 210.0,
            Self::Stainless70 => 450.0,
            Self::Stainless80 => 600.0,
        }
    }

    /// Least tensile strength, N/mm²: ISO 898-1:2013, table 3 (from memory); ISO 3506-1.
    pub const fn tensile_strength(self) -> f64 {
        match self {
            Self::Steel5_6 | Self::Stainless50 => 500.0,
            Self::Steel8_8 | Self::Stainless80 => 800.0,
            Self::Steel10_9 => 1_040.0,
            Self::Steel12_9 => 1_220.0,
            Self::Stainless70 => 700.0,
        }
    }

    /// The load that a bolt has to bear without staying longer, N.
    pub fn proof_load(self, thread: MetricThread) -> f64 {
        self.proof_stress() * thread.stress_area()
    }

    /// The load at which a bolt has to hold at the least before it breaks, N.
    pub fn ultimate_load(self, thread: MetricThread) -> f64 {
        self.tensile_strength() * thread.stress_area()
    }

    /// The standard that states the figures.
    pub const fn standard(self) -> &'static str {
        match self {
            Self::Steel5_6 | Self::Steel8_8 | Self::Steel10_9 | Self::Steel12_9 => "ISO 898-1",
            Self::Stainless50 | Self::Stainless70 | Self::Stainless80 => "ISO 3506-1",
        }
    }
}

/// "8.8"; "stainless 70" without its grade, which changes no figure here.
impl fmt::Display for PropertyClass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Steel5_6 => "5.6",
            Self::Steel8_8 => "8.8",
            Self::Steel10_9 => "10.9",
            Self::Steel12_9 => "12.9",
            Self::Stainless50 => "stainless 50",
            Self::Stainless70 => "stainless 70",
            Self::Stainless80 => "stainless 80",
        })
    }
}
