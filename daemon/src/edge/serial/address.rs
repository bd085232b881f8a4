//! Where a serial tool is: a path, or a USB device by its ids and its place on the hub.
//!
//! `usb:0403:6001`, `usb:0403:6001:SERIAL`, `usb:0403:6001@1-2.3`: vendor and product in hexadecimal digits, the adapter's serial
//! number where it has one, the place on the bus where two of the same have none. What the kernel tells is read below
//! `/sys/class/tty`; no library for it is needed.

use std::fs;
use std::path::{Path, PathBuf};

/// Where the kernel lists terminals.
const TERMINALS: &str = "/sys/class/tty";

/// Why an address leads nowhere.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum AddressError {
    /// It is no address.
    #[error(
        "{address:?} is no address of a USB device: write usb:VENDOR:PRODUCT in hexadecimal digits, with :SERIAL or @PLACE where there are several"
    )]
    NotReadable {
        /// As written.
        address: String,
    },
    /// No such device is plugged in.
    #[error("{address} is not plugged in: plug the tool in, or look at `pullmark tool ports`")]
    NotThere {
        /// As written.
        address: String,
    },
    /// Several fit.
    #[error("{address} fits {}: add @PLACE to say which", places.join(" and "))]
    Several {
        /// As written.
        address: String,
        /// Each that fits, with its place.
        places: Vec<String>,
    },
}

/// A USB device with a serial port.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UsbPort {
    /// The port's path.
    pub path: PathBuf,
    /// Vendor and product, in hexadecimal digits.
    pub ids: String,
    /// Its serial number.
    pub serial: Option<String>,
    /// Its place on the bus, for example `1-2.3`: port 3 of the hub at port 2 of bus 1.
    pub place: String,
}

impl UsbPort {
    /// The address that leads here and to no other.
    pub fn address(&self) -> String {
        match &self.serial {
            Some(serial) => format!("usb:{}:{serial}", self.ids),
            None => format!("usb:{}@{}", self.ids, self.place),
        }
    }
}

/// The path of an address.
pub fn resolve(address: &str) -> Result<PathBuf, AddressError> {
    resolve_in(address, Path::new(TERMINALS))
}

fn resolve_in(address: &str, terminals: &Path) -> Result<PathBuf, AddressError> {
    let Some(wanted) = address.strip_prefix("usb:") else {
        return Ok(PathBuf::from(address));
    };
    let wrong = || AddressError::NotReadable {
        address: address.to_owned(),
    };
    let (wanted, place) = match wanted.split_once('@') {
        Some((wanted, place)) => (wanted, Some(place)),
        None => (wanted, None),
    };
    let mut parts = wanted.splitn(3, ':');
    let (vendor, product) = (
        parts.next().unwrap_or_default(),
        parts.next().ok_or_else(wrong)?,
    );
    let serial = parts.next();
    let is_id = |id: &str| id.len() == 4 && id.bytes().all(|byte| byte.is_ascii_hexdigit());
    if !is_id(vendor) || !is_id(product) {
        return Err(wrong());
    }
    let ids = format!("{vendor}:{product}").to_lowercase();
    let mut found: Vec<UsbPort> = usb_ports_in(terminals)
        .into_iter()
        .filter(|port| port.ids == ids)
        .filter(|port| serial.is_none_or(|serial| port.serial.as_deref() == Some(serial)))
        .filter(|port| place.is_none_or(|place| port.place == place))
        .collect();
    match (found.pop(), found.is_empty()) {
        (Some(only), true) => Ok(only.path),
        (Some(last), false) => {
            found.push(last);
            let places = found
                .iter()
                .map(|port| format!("{} @{}", port.path.display(), port.place))
                .collect();
            Err(AddressError::Several {
                address: address.to_owned(),
                places,
            })
        }
        (None, _) => Err(AddressError::NotThere {
            address: address.to_owned(),
        }),
    }
}

/// Every USB device with a serial port, by its place.
pub fn usb_ports() -> Vec<UsbPort> {
    usb_ports_in(Path::new(TERMINALS))
}

fn usb_ports_in(terminals: &Path) -> Vec<UsbPort> {
    let Ok(list) = fs::read_dir(terminals) else {
        return Vec::new();
    };
    let mut ports: Vec<UsbPort> = list
        .flatten()
        .filter_map(|item| usb_port(&item.path()))
        .collect();
    ports.sort_by(|a, b| (&a.place, &a.path).cmp(&(&b.place, &b.path)));
    ports
}

/// The terminal's device lies some folders below the USB device that it belongs to.
fn usb_port(terminal: &Path) -> Option<UsbPort> {
    let device = fs::canonicalize(terminal.join("device")).ok()?;
    let usb = device
        .ancestors()
        .take(8)
        .find(|folder| folder.join("idVendor").is_file())?;
    let word = |name: &str| {
        let text = fs::read_to_string(usb.join(name)).ok()?;
        let text = text.trim();
        (!text.is_empty()).then(|| text.to_owned())
    };
    Some(UsbPort {
        path: Path::new("/dev").join(terminal.file_name()?),
        ids: format!("{}:{}", word("idVendor")?, word("idProduct")?).to_lowercase(),
        serial: word("serial"),
        place: usb.file_name()?.to_str()?.to_owned(),
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    /// A kernel's tree with adapters at these places.
    fn tree(adapters: &[(&str, &str, &str, Option<&str>)]) -> tempfile::TempDir {
        let root = tempfile::tempdir().unwrap();
        let terminals = root.path().join("class/tty");
        fs::create_dir_all(terminals.join("ttyS0")).unwrap();
        for (name, place, ids, serial) in adapters {
            let usb = root.path().join("devices/usb1").join(place);
            let device = usb.join(format!("{place}:1.0")).join(name);
            fs::create_dir_all(&device).unwrap();
            let (vendor, product) = ids.split_once(':').unwrap();
            fs::write(usb.join("idVendor"), format!("{vendor}\n")).unwrap();
            fs::write(usb.join("idProduct"), format!("{product}\n")).unwrap();
            if let Some(serial) = serial {
                fs::write(usb.join("serial"), format!("{serial}\n")).unwrap();
            }
            fs::create_dir_all(terminals.join(name)).unwrap();
            std::os::unix::fs::symlink(&device, terminals.join(name).join("device")).unwrap();
        }
        root
    }

    #[test]
    fn two_of_the_same_on_one_hub_are_told_apart() {
        let root = tree(&[
            ("ttyUSB0", "1-2.1", "0403:6001", None),
            ("ttyUSB1", "1-2.3", "0403:6001", None),
            ("ttyACM0", "1-4", "16c0:0483", Some("W-7")),
        ]);
        let find = |address: &str| resolve_in(address, &root.path().join("class/tty"));
        assert_eq!(
            find("usb:0403:6001@1-2.3").unwrap(),
            Path::new("/dev/ttyUSB1")
        );
        assert_eq!(find("usb:16C0:0483").unwrap(), Path::new("/dev/ttyACM0"));
        assert_eq!(
            find("usb:16c0:0483:W-7").unwrap(),
            Path::new("/dev/ttyACM0")
        );
        assert_eq!(
            find("/dev/serial/by-id/x").unwrap(),
            Path::new("/dev/serial/by-id/x")
        );
        let several = find("usb:0403:6001").unwrap_err();
        assert!(several.to_string().contains("@1-2.1 and"), "{several}");
        assert!(matches!(
            find("usb:16c0:0483:W-8"),
            Err(AddressError::NotThere { .. })
        ));
        assert!(matches!(
            find("usb:0403:6001@1-2.2"),
            Err(AddressError::NotThere { .. })
        ));
        for wrong in ["usb:", "usb:0403", "usb:403:6001", "usb:xyzw:6001"] {
            assert!(
                matches!(find(wrong), Err(AddressError::NotReadable { .. })),
                "{wrong}"
            );
        }
    }

    #[test]
    fn every_port_has_an_address_that_leads_back_to_it() {
        let root = tree(&[
            ("ttyUSB0", "1-2.1", "0403:6001", None),
            ("ttyUSB1", "1-2.3", "0403:6001", None),
            ("ttyACM0", "1-4", "16c0:0483", Some("W-7")),
        ]);
        let terminals = root.path().join("class/tty");
        let ports = usb_ports_in(&terminals);
        assert_eq!(ports.len(), 3);
        for port in ports {
            assert_eq!(resolve_in(&port.address(), &terminals).unwrap(), port.path);
        }
        assert!(usb_ports_in(Path::new("/nowhere")).is_empty());
    }
}
