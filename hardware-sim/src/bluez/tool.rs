//! What a simulated Bluetooth tool offers.

/// A tool.
#[derive(Debug, Clone, Default)]
pub struct Tool {
    /// Such as `02:00:00:00:00:01`.
    pub address: String,
    /// Its name.
    pub name: String,
    /// What it says it is.
    pub appearance: u16,
    /// What it offers.
    pub services: Vec<Service>,
}

/// A service.
#[derive(Debug, Clone, Default)]
pub struct Service {
    /// Its UUID.
    pub uuid: String,
    /// In its order.
    pub characteristics: Vec<Characteristic>,
}

/// A characteristic.
#[derive(Debug, Clone, Default)]
pub struct Characteristic {
    /// Its UUID.
    pub uuid: String,
    /// As `BlueZ` spells them: `read`, `write`, `notify`, `indicate`.
    pub flags: Vec<String>,
    /// What a read gives.
    pub value: Vec<u8>,
    /// In their order.
    pub descriptors: Vec<Descriptor>,
}

/// A descriptor.
#[derive(Debug, Clone, Default)]
pub struct Descriptor {
    /// Its UUID.
    pub uuid: String,
    /// What a read gives.
    pub value: Vec<u8>,
}

/// The UUID of an assigned number.
pub fn assigned(short: u16) -> String {
    format!("0000{short:04x}-0000-1000-8000-00805f9b34fb")
}

impl Service {
    /// A service by its assigned number.
    pub fn assigned(short: u16, characteristics: Vec<Characteristic>) -> Self {
        Self {
            uuid: assigned(short),
            characteristics,
        }
    }
}

impl Characteristic {
    /// One that notifies.
    pub fn notifies(uuid: String) -> Self {
        Self {
            uuid,
            flags: vec!["read".to_owned(), "notify".to_owned()],
            ..Self::default()
        }
    }

    /// One that is read.
    pub fn reads(short: u16, value: &[u8]) -> Self {
        Self {
            uuid: assigned(short),
            flags: vec!["read".to_owned()],
            value: value.to_vec(),
            ..Self::default()
        }
    }

    /// With a Characteristic Presentation Format.
    #[must_use]
    pub fn presented(mut self, format: [u8; 7]) -> Self {
        self.descriptors.push(Descriptor {
            uuid: assigned(0x2904),
            value: format.to_vec(),
        });
        self
    }
}

impl Tool {
    /// A torque wrench by the adopted service, with battery and device information.
    pub fn wrench(address: &str, serial: &str) -> Self {
        Self {
            address: address.to_owned(),
            name: format!("Wrench {serial}"),
            appearance: 0x14C8,
            services: vec![
                Service::assigned(0x185A, vec![Characteristic::notifies(assigned(0x2C0B))]),
                Service::assigned(0x180F, vec![Characteristic::reads(0x2A19, &[87])]),
                Service::assigned(
                    0x180A,
                    vec![
                        Characteristic::reads(0x2A25, serial.as_bytes()),
                        Characteristic::reads(0x2A24, b"simulated"),
                    ],
                ),
            ],
        }
    }

    /// The UUID of the adopted torque characteristic.
    pub fn torque() -> String {
        assigned(0x2C0B)
    }

    /// Serial over GATT: the UUIDs of the service, of what notifies and of what is written to.
    pub fn serial(address: &str, service: &str, notify: &str, write: &str) -> Self {
        let writes = Characteristic {
            uuid: write.to_owned(),
            flags: vec!["write-without-response".to_owned(), "write".to_owned()],
            ..Characteristic::default()
        };
        Self {
            address: address.to_owned(),
            name: "Serial wrench".to_owned(),
            appearance: 0,
            services: vec![Service {
                uuid: service.to_owned(),
                characteristics: vec![Characteristic::notifies(notify.to_owned()), writes],
            }],
        }
    }
}
