//! The profiles that come with the program, and how those of users join them.

use super::dialect::{Dialect, ProfileError};
use std::collections::BTreeMap;

/// The profile files in the binary.
const BUILT_IN: [&str; 29] = [
    include_str!("profiles/pullmark-line.toml"),
    include_str!("profiles/pullmark-gauge.toml"),
    include_str!("profiles/pullmark-scale.toml"),
    include_str!("profiles/plain-line.toml"),
    include_str!("profiles/comma-line.toml"),
    include_str!("profiles/status-line.toml"),
    include_str!("profiles/framed-line.toml"),
    include_str!("profiles/counted-line.toml"),
    include_str!("profiles/turn-line.toml"),
    include_str!("profiles/asked-line.toml"),
    include_str!("profiles/silent-line.toml"),
    include_str!("profiles/instrument-line.toml"),
    include_str!("profiles/trace-line.toml"),
    include_str!("profiles/trace-frames.toml"),
    include_str!("profiles/register-frames.toml"),
    include_str!("profiles/caliper-line.toml"),
    include_str!("profiles/scale-line.toml"),
    include_str!("profiles/gauge-line.toml"),
    include_str!("profiles/registers-pressure.toml"),
    include_str!("profiles/registers-torque.toml"),
    include_str!("profiles/questions-torque.toml"),
    include_str!("profiles/questions-force.toml"),
    include_str!("profiles/senml.toml"),
    include_str!("profiles/json-mass.toml"),
    include_str!("profiles/typed-line-us.toml"),
    include_str!("profiles/typed-line-de.toml"),
    include_str!("profiles/bluetooth.toml"),
    include_str!("profiles/bluetooth-stream.toml"),
    include_str!("profiles/bluetooth-line.toml"),
];

/// Profiles by name.
#[derive(Debug, Clone, Default)]
pub struct Profiles(BTreeMap<String, Dialect>);

impl Profiles {
    /// Those in the binary.
    pub fn built_in() -> Result<Self, ProfileError> {
        let mut profiles = Self::default();
        for text in BUILT_IN {
            profiles.add(text)?;
        }
        Ok(profiles)
    }

    /// Adds a profile file's text; one of the same name is replaced.
    pub fn add(&mut self, text: &str) -> Result<(), ProfileError> {
        let dialect = Dialect::from_toml(text)?;
        self.0.insert(dialect.profile().name.clone(), dialect);
        Ok(())
    }

    /// A profile by its name.
    pub fn find(&self, name: &str) -> Option<&Dialect> {
        self.0.get(name)
    }

    /// Every name.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.0.keys().map(String::as_str)
    }
}
