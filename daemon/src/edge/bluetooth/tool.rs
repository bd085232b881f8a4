//! What a connected tool offers: which of its characteristics are listened to, what it says about itself.

use crate::core::About;
use crate::intake::dialect::Dialect;
use crate::intake::gatt::{self, Carrier, Presentation};
use btleplug::api::{CharPropFlags, Characteristic, Peripheral as _, WriteType};
use btleplug::platform::Peripheral;
use std::time::Duration;
use uuid::Uuid;

/// A tool that does not answer a question within this time is not asked further.
const PATIENCE: Duration = Duration::from_secs(3);
/// What a write brings at the least, without asking for more.
const SLICE: usize = 20;

/// Where a tool's values come from.
#[derive(Debug)]
pub(super) enum Source {
    /// A characteristic that says what it carries.
    Carrier(Characteristic, Carrier),
    /// A stream of bytes.
    Bytes(Characteristic),
}

impl Source {
    pub(super) const fn characteristic(&self) -> &Characteristic {
        match self {
            Self::Carrier(characteristic, _) | Self::Bytes(characteristic) => characteristic,
        }
    }
}

/// What is known of devices by their services and what they say they are (Bluetooth SIG, Assigned Numbers).
pub(super) fn hints(services: &[Uuid], appearance: Option<u16>) -> Vec<&'static str> {
    let known = [
        (gatt::INDUSTRIAL_MEASUREMENT, "industrial measurement"),
        (gatt::WEIGHT_SCALE, "weight scale"),
        (gatt::ENVIRONMENTAL_SENSING, "environmental sensing"),
    ];
    let offers = known
        .into_iter()
        .filter(|(service, _)| services.contains(&Uuid::from_u128(*service)))
        .map(|(_, name)| name);
    let is = match appearance {
        Some(0x14C8) => Some("torque wrench"),
        Some(0x14C9) => Some("torque screwdriver"),
        Some(0x1481) => Some("torque testing device"),
        Some(0x1482) => Some("caliper"),
        Some(0x1486) => Some("force gauge"),
        Some(0x0C80) => Some("weight scale"),
        _ => None,
    };
    offers.chain(is).collect()
}

const fn tells_by_itself(characteristic: &Characteristic) -> bool {
    characteristic.properties.contains(CharPropFlags::NOTIFY)
        || characteristic.properties.contains(CharPropFlags::INDICATE)
}

/// What to listen to. In this order: what the profile names; what is adopted; what a descriptor explains.
pub(super) async fn sources(tool: &Peripheral, dialect: &Dialect) -> Result<Vec<Source>, String> {
    let all: Vec<Characteristic> = tool
        .characteristics()
        .into_iter()
        .filter(tells_by_itself)
        .collect();
    if !dialect.is_adopted() {
        return named(all, dialect).map(|source| vec![source]);
    }
    let adopted = all.iter().filter_map(|characteristic| {
        let carrier = Carrier::adopted(
            characteristic.service_uuid.as_u128(),
            characteristic.uuid.as_u128(),
        )?;
        Some(Source::Carrier(characteristic.clone(), carrier))
    });
    let mut sources: Vec<Source> = adopted.collect();
    if sources.is_empty() {
        for characteristic in all {
            if let Some(presentation) = presented(tool, &characteristic).await {
                sources.push(Source::Carrier(
                    characteristic,
                    Carrier::Presented(presentation),
                ));
            }
        }
    }
    if sources.is_empty() {
        return Err("it offers nothing that can be read without a profile: see what its maker says about its services, and name a profile with [gatt] service and notify".to_owned());
    }
    Ok(sources)
}

fn named(all: Vec<Characteristic>, dialect: &Dialect) -> Result<Source, String> {
    let gatt = dialect.profile().gatt.clone().unwrap_or_default();
    let (service, notify) = (
        read_uuid(gatt.service.as_deref())?,
        read_uuid(gatt.notify.as_deref())?,
    );
    all.into_iter()
        .find(|characteristic| characteristic.service_uuid == service && characteristic.uuid == notify)
        .map(Source::Bytes)
        .ok_or_else(|| format!("it has no characteristic {notify} in a service {service} that notifies: the profile is for another tool"))
}

fn read_uuid(text: Option<&str>) -> Result<Uuid, String> {
    let text = text.unwrap_or_default();
    if let Ok(short) = u16::from_str_radix(text, 16)
        && text.len() == 4
    {
        return Ok(Uuid::from_u128(gatt::assigned(short)));
    }
    text.parse()
        .map_err(|_| format!("its profile's [gatt] has {text:?} where a UUID has to be"))
}

async fn presented(tool: &Peripheral, characteristic: &Characteristic) -> Option<Presentation> {
    let format = Uuid::from_u128(gatt::PRESENTATION_FORMAT);
    let descriptor = characteristic
        .descriptors
        .iter()
        .find(|descriptor| descriptor.uuid == format)?;
    let read = tokio::time::timeout(PATIENCE, tool.read_descriptor(descriptor)).await;
    Presentation::read_descriptor(&read.ok()?.ok()?)
}

async fn read(tool: &Peripheral, characteristic: u128) -> Option<Vec<u8>> {
    let uuid = Uuid::from_u128(characteristic);
    let found = tool
        .characteristics()
        .into_iter()
        .find(|known| known.uuid == uuid)?;
    tokio::time::timeout(PATIENCE, tool.read(&found))
        .await
        .ok()?
        .ok()
}

/// What is left in the battery, in per cent.
pub(super) async fn battery(tool: &Peripheral) -> Option<u8> {
    match read(tool, gatt::BATTERY_LEVEL).await?.as_slice() {
        [percent @ 0..=100] => Some(*percent),
        _ => None,
    }
}

/// What the tool says about itself.
pub(super) async fn about(tool: &Peripheral) -> About {
    let mut words = Vec::new();
    for characteristic in [gatt::MANUFACTURER, gatt::MODEL, gatt::FIRMWARE] {
        words.extend(
            read(tool, characteristic)
                .await
                .and_then(|bytes| gatt::text(&bytes)),
        );
    }
    About {
        serial: read(tool, gatt::SERIAL_NUMBER)
            .await
            .and_then(|bytes| gatt::text(&bytes)),
        what: (!words.is_empty()).then(|| words.join(", ")),
        battery_percent: battery(tool).await,
    }
}

/// Sends a command to a tool that takes them.
pub(super) async fn write(
    tool: &Peripheral,
    dialect: &Dialect,
    command: &[u8],
) -> Result<(), String> {
    let gatt = dialect.profile().gatt.clone().unwrap_or_default();
    let uuid = read_uuid(gatt.write.as_deref())?;
    let target = tool
        .characteristics()
        .into_iter()
        .find(|characteristic| characteristic.uuid == uuid)
        .ok_or_else(|| format!("it has no characteristic {uuid} to be asked by"))?;
    let kind = if target
        .properties
        .contains(CharPropFlags::WRITE_WITHOUT_RESPONSE)
    {
        WriteType::WithoutResponse
    } else {
        WriteType::WithResponse
    };
    for slice in command.chunks(SLICE) {
        let written = tokio::time::timeout(PATIENCE, tool.write(&target, slice, kind)).await;
        match written {
            Ok(Ok(())) => {}
            Ok(Err(error)) => return Err(error.to_string()),
            Err(_) => return Err("it does not answer".to_owned()),
        }
    }
    Ok(())
}
