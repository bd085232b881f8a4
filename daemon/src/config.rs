//! How a daemon is set up: a TOML file, every setting with a default.

use crate::core::place::habits::Habits;
use crate::edge::crier::Means;
use crate::edge::shelf::Shelf;
use crate::edge::stamping::Authority;
use crate::shop::Shop;
use serde::Deserialize;
use std::net::SocketAddr;
use std::path::{Path, PathBuf};

/// The settings of a daemon.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Config {
    /// The bench's name; it stands in every entry and record.
    pub bench: String,
    /// Where ledger, key and socket are kept.
    pub data: PathBuf,
    /// The port of the bench page on loopback; 0 takes a free one.
    pub port: u16,
    /// Where the bench is served on the network, over HTTPS and to paired devices alone; nowhere if left out. `0.0.0.0:8461`
    /// is every address of this machine.
    pub lan: Option<SocketAddr>,
    /// Further names by which this machine is reached on the network.
    pub lan_names: Vec<String>,
    /// The socket for the command line; `pullmark.sock` in the data folder if left out.
    pub socket: Option<PathBuf>,
    /// A folder with line profiles of your own.
    pub profiles: Option<PathBuf>,
    /// The folder of the shop's plans; `plans` in the data folder if left out.
    pub plans: Option<PathBuf>,
    /// A folder with joint templates of your own.
    pub templates: Option<PathBuf>,
    /// From which probability on a reading is placed by itself, from 0.5 to 1.
    pub clear: f64,
    /// Before a build is finished, one more pull is asked for on each fastener that was missed with more than this
    /// probability, from 0 to 1.
    pub doubt: f64,
    /// Rings the bell of the terminal that the daemon was started in while an over alarm waits and no bench page is open.
    pub bell: bool,
    /// Shows an over alarm as a notification on the desktop while it waits and no bench page is open.
    pub desktop_alarm: bool,
    /// An authority that stamps signed heads with its time (RFC 3161), as `http://host:port/path`; none if left out.
    pub time_authority: Option<Authority>,
    /// Language, unit of torque and decimal mark of the bench page.
    pub shop: Shop,
    /// Makes the clock run so many times as fast, for practice with the simulated wrench. Everything recorded is marked.
    pub practice_speed: Option<u32>,
}

impl Default for Config {
    fn default() -> Self {
        Self {
            bench: "bench-1".to_owned(),
            data: data_folder(),
            port: 8460,
            lan: None,
            lan_names: Vec::new(),
            socket: None,
            profiles: None,
            plans: None,
            templates: None,
            clear: Habits::default().clear,
            doubt: Habits::default().doubt,
            bell: true,
            desktop_alarm: false,
            time_authority: None,
            shop: Shop::default(),
            practice_speed: None,
        }
    }
}

/// Why the settings cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum ConfigError {
    /// The file cannot be read.
    #[error("the settings {}: {error}", path.display())]
    File {
        /// Which file.
        path: PathBuf,
        /// What went wrong.
        error: std::io::Error,
    },
    /// A probability is none.
    #[error("the settings {}: `clear` goes from 0.5 to 1, `doubt` from 0 to 1", path.display())]
    Range {
        /// Which file.
        path: PathBuf,
    },
    /// The file is not what it should be.
    #[error("the settings {}: {error}", path.display())]
    Text {
        /// Which file.
        path: PathBuf,
        /// What is wrong with it, with line and column.
        error: Box<toml::de::Error>,
    },
}

impl Config {
    /// Reads a file; without one, the file in the XDG configuration folder if it is there, else the defaults.
    pub fn read(path: Option<&Path>) -> Result<Self, ConfigError> {
        let usual = config_folder().join("pullmarkd.toml");
        let path = match path {
            Some(path) => path.to_owned(),
            None if usual.exists() => usual,
            None => return Ok(Self::default()),
        };
        let text = std::fs::read_to_string(&path).map_err(|error| ConfigError::File {
            path: path.clone(),
            error,
        })?;
        let config: Self = toml::from_str(&text).map_err(|error| ConfigError::Text {
            path: path.clone(),
            error: Box::new(error),
        })?;
        if (0.5..=1.0).contains(&config.clear) && (0.0..=1.0).contains(&config.doubt) {
            Ok(config)
        } else {
            Err(ConfigError::Range { path })
        }
    }

    /// What the shop has set for the placing.
    pub fn habits(&self) -> Habits {
        Habits {
            clear: self.clear,
            doubt: self.doubt,
            ..Habits::default()
        }
    }

    /// Where an over alarm is called out when no bench page is open.
    pub fn means(&self) -> Means {
        Means {
            bell: self.bell,
            desktop: self.desktop_alarm,
        }
    }

    /// The shop's plans and templates.
    pub fn shelf(&self) -> Shelf {
        let usual = || self.data.join("plans");
        Shelf::new(
            self.plans.clone().unwrap_or_else(usual),
            self.templates.clone(),
        )
    }

    /// The socket for the command line.
    pub fn socket_path(&self) -> PathBuf {
        self.socket
            .clone()
            .unwrap_or_else(|| self.data.join("pullmark.sock"))
    }
}

fn home(variable: &str, below: &str) -> PathBuf {
    let set = std::env::var_os(variable)
        .filter(|value| !value.is_empty())
        .map(PathBuf::from);
    let home = std::env::var_os("HOME").map_or_else(|| PathBuf::from("."), PathBuf::from);
    set.unwrap_or_else(|| home.join(below)).join("pullmark")
}

/// The data folder (XDG base directories).
pub fn data_folder() -> PathBuf {
    home("XDG_DATA_HOME", ".local/share")
}

/// The configuration folder (XDG base directories).
pub fn config_folder() -> PathBuf {
    home("XDG_CONFIG_HOME", ".config")
}
