//! What is refused although it can be read.

use super::toml_files::FILE;
use super::*;
