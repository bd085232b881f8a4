//! Holding the name of a link, so that two simulated tools never fight over it.
//!
//! The name is taken as a socket in Linux's abstract namespace (unix(7)). Nothing is left in the folder, and the kernel
//! forgets it with the process, however that ends. It keeps out only processes of the same network namespace.

use std::fs;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::io;
use std::os::linux::net::SocketAddrExt;
use std::os::unix::net::{SocketAddr, UnixListener};
use std::path::Path;

use super::PtyError;

/// Takes the name until the answer is dropped.
pub(super) fn hold(link: &Path) -> Result<UnixListener, PtyError> {
    let error = |source| PtyError::Link {
        link: link.to_owned(),
        source,
    };
    let folder = match link.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    // The whole path, so that two ways to write it are one name. Not the number of the folder (inode): it is given to
    // another folder as soon as this one is removed. The hash is there because a socket name has only 107 bytes.
    let folder = fs::canonicalize(folder).map_err(error)?;
    let mut hasher = DefaultHasher::new();
    (folder, link.file_name()).hash(&mut hasher);
    let name = format!("pullmark-sim {:016x}", hasher.finish());
    let address = SocketAddr::from_abstract_name(name).map_err(error)?;
    UnixListener::bind_addr(&address).map_err(|source| match source.kind() {
        io::ErrorKind::AddrInUse => PtyError::NameHeld {
            link: link.to_owned(),
        },
        _ => error(source),
    })
}
