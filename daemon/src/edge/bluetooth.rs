//! Bluetooth LE tools, with `btleplug` over `BlueZ`: whether this machine can hear any, which there are, and `listen`ing.

mod link;
mod tool;

pub(super) use link::listen;

use btleplug::api::{Central as _, Manager as _, Peripheral as _, ScanFilter};
use btleplug::platform::{Adapter, Manager};
use std::time::Duration;

/// A bus that hangs answers after this long at the latest.
const PATIENCE: Duration = Duration::from_secs(3);

/// Why Bluetooth tools cannot be heard.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum BluetoothError {
    /// No system message bus.
    #[error(
        "there is no system message bus (D-Bus) here, so Bluetooth cannot be reached; serial tools work without it"
    )]
    NoBus,
    /// The bus is there and the Bluetooth service is not.
    #[error(
        "the Bluetooth service (BlueZ) is not running: install the package bluez, or start its service"
    )]
    NoService,
    /// The service is there and no adapter is.
    #[error("no Bluetooth adapter was found: plug one in, or switch it on")]
    NoAdapter,
    /// No answer.
    #[error("the Bluetooth service does not answer")]
    NoAnswer,
}

/// The adapters of this machine.
pub async fn adapters() -> Result<Vec<String>, BluetoothError> {
    let list = in_time(open_adapters()).await?;
    let mut names = Vec::new();
    for adapter in list {
        names.push(
            adapter
                .adapter_info()
                .await
                .map_err(|_| BluetoothError::NoAnswer)?,
        );
    }
    Ok(names)
}

/// A bus or a service that hangs is no answer.
async fn in_time<T>(
    asked: impl Future<Output = Result<T, BluetoothError>>,
) -> Result<T, BluetoothError> {
    tokio::time::timeout(PATIENCE, asked)
        .await
        .unwrap_or(Err(BluetoothError::NoAnswer))
}

/// Everything is made anew each time: after the bus was gone, what was made before never works again.
async fn open_adapters() -> Result<Vec<Adapter>, BluetoothError> {
    let manager = Manager::new().await.map_err(|_| BluetoothError::NoBus)?;
    let adapters = manager
        .adapters()
        .await
        .map_err(|_| BluetoothError::NoService)?;
    if adapters.is_empty() {
        return Err(BluetoothError::NoAdapter);
    }
    Ok(adapters)
}

/// Where a Bluetooth tool is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Address(String);

impl Address {
    /// `bluetooth:02:00:00:00:00:01`; nothing where it is another kind of address.
    pub fn read(text: &str) -> Option<Self> {
        text.strip_prefix("bluetooth:")
            .map(|address| Self(address.to_uppercase()))
    }
}

/// A device that was heard.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Heard {
    /// What a tool's connection names as its port.
    pub address: String,
    /// Its name.
    pub name: Option<String>,
    /// How strong it is, in dBm.
    pub signal: Option<i16>,
    /// What it offers that can be read without a profile, and what it says it is; a hint, and no proof.
    pub hints: Vec<&'static str>,
}

/// Listens for devices for so long. Those that look like tools come first, then the strongest.
pub async fn scan(time: Duration) -> Result<Vec<Heard>, BluetoothError> {
    let adapters = in_time(open_adapters()).await?;
    for adapter in &adapters {
        in_time(async {
            adapter
                .start_scan(ScanFilter::default())
                .await
                .map_err(|_| BluetoothError::NoAnswer)
        })
        .await?;
    }
    tokio::time::sleep(time).await;
    let mut heard = Vec::new();
    for adapter in &adapters {
        let found = in_time(async {
            adapter
                .peripherals()
                .await
                .map_err(|_| BluetoothError::NoAnswer)
        })
        .await?;
        for device in found {
            if let Ok(Some(properties)) = device.properties().await {
                heard.push(Heard {
                    address: format!("bluetooth:{}", properties.address),
                    name: properties.local_name,
                    signal: properties.rssi,
                    hints: tool::hints(&properties.services, properties.appearance),
                });
            }
        }
        // It ends with the connection anyway.
        let _ = adapter.stop_scan().await;
    }
    heard.sort_by_key(|device| {
        (
            device.hints.is_empty(),
            std::cmp::Reverse(device.signal),
            device.address.clone(),
        )
    });
    Ok(heard)
}
