//! The objects on the bus. Discovery walks the introspection data, so the paths are those of `BlueZ`: `serviceXXXX` below the
//! device, `charXXXX` below that, `descXXXX` below that.

#![expect(
    clippy::used_underscore_binding,
    reason = "the bus calls with arguments that a simulated adapter has no use for"
)]

use super::{BluezError, Tool, lock};
use std::collections::{BTreeSet, HashMap};
use std::sync::{Arc, Mutex};
use std::time::Duration;
use thiserror::Error;
use zbus::object_server::SignalEmitter;
use zbus::{Connection, DBusError, ObjectServer, interface};
use zbus::{ObjectPath, OwnedObjectPath, OwnedVariant};

/// The adapter's path.
pub(super) const ADAPTER: &str = "/org/bluez/hci0";
/// A real device's services are known so long after it was connected.
const RESOLVE: Duration = Duration::from_millis(30);

/// A path that cannot be made.
#[derive(Debug, Error)]
#[error("{0:?} cannot be part of a path on the bus")]
pub struct TreeError(String);

/// As `BlueZ` names its errors.
#[derive(Debug, DBusError)]
#[zbus(prefix = "org.bluez.Error")]
pub(super) enum Refused {
    #[zbus(error)]
    ZBus(zbus::Error),
    Failed(String),
}

/// What changes about a tool.
#[derive(Debug, Default)]
pub(super) struct State {
    pub(super) is_connected: bool,
    pub(super) is_resolved: bool,
    pub(super) is_exported: bool,
    pub(super) connects: u32,
    pub(super) refuse: u32,
    pub(super) notifying: BTreeSet<String>,
    pub(super) written: Vec<u8>,
    values: HashMap<String, Vec<u8>>,
}

impl State {
    pub(super) fn is_subscribed(&self, tool: &Tool) -> bool {
        let mut notifying = tool
            .services
            .iter()
            .flat_map(|service| &service.characteristics)
            .filter(|characteristic| {
                characteristic
                    .flags
                    .iter()
                    .any(|flag| flag == "notify" || flag == "indicate")
            });
        self.is_connected
            && notifying.all(|characteristic| self.notifying.contains(&characteristic.uuid))
    }
}

/// A tool in reach.
#[derive(Debug)]
pub(super) struct Live {
    pub(super) tool: Tool,
    pub(super) state: Mutex<State>,
}

impl Live {
    pub(super) fn new(tool: Tool) -> Self {
        Self {
            tool,
            state: Mutex::default(),
        }
    }

    pub(super) fn path(&self) -> String {
        format!("{ADAPTER}/dev_{}", self.tool.address.replace(':', "_"))
    }

    fn characteristic_path(&self, uuid: &str) -> Option<String> {
        for (number, service) in self.tool.services.iter().enumerate() {
            let found = service
                .characteristics
                .iter()
                .position(|known| known.uuid == uuid);
            if let Some(at) = found {
                return Some(format!("{}/service{number:04x}/char{at:04x}", self.path()));
            }
        }
        None
    }

    /// Exports the services, once.
    async fn export(self: &Arc<Self>, server: &ObjectServer) -> Result<(), zbus::Error> {
        if std::mem::replace(&mut lock(&self.state).is_exported, true) {
            return Ok(());
        }
        for (number, service) in self.tool.services.iter().enumerate() {
            let path = format!("{}/service{number:04x}", self.path());
            let object = GattService {
                uuid: service.uuid.clone(),
                device: owned(&self.path())?,
            };
            server.at(path.as_str(), object).await?;
            for (at, characteristic) in service.characteristics.iter().enumerate() {
                let below = format!("{path}/char{at:04x}");
                let object = GattCharacteristic {
                    live: Arc::clone(self),
                    uuid: characteristic.uuid.clone(),
                    flags: characteristic.flags.clone(),
                    service: owned(&path)?,
                    value: characteristic.value.clone(),
                };
                server.at(below.as_str(), object).await?;
                for (nth, descriptor) in characteristic.descriptors.iter().enumerate() {
                    let object = GattDescriptor {
                        uuid: descriptor.uuid.clone(),
                        characteristic: owned(&below)?,
                        value: descriptor.value.clone(),
                    };
                    server.at(format!("{below}/desc{nth:04x}"), object).await?;
                }
            }
        }
        Ok(())
    }

    pub(super) async fn notify(
        &self,
        connection: &Connection,
        uuid: &str,
        bytes: &[u8],
    ) -> Result<bool, BluezError> {
        {
            let mut state = lock(&self.state);
            if !state.is_connected || !state.notifying.contains(uuid) {
                return Ok(false);
            }
            state.values.insert(uuid.to_owned(), bytes.to_vec());
        }
        let path = self
            .characteristic_path(uuid)
            .ok_or_else(|| TreeError(uuid.to_owned()))?;
        let object = connection
            .object_server()
            .interface::<_, GattCharacteristic>(path)
            .await?;
        let characteristic = object.get().await;
        characteristic
            .value_changed(object.signal_emitter())
            .await?;
        Ok(true)
    }

    pub(super) async fn disconnect(&self, connection: &Connection) -> Result<(), BluezError> {
        {
            let mut state = lock(&self.state);
            (state.is_connected, state.is_resolved) = (false, false);
            state.notifying.clear();
        }
        let object = connection
            .object_server()
            .interface::<_, Device>(self.path())
            .await?;
        let device = object.get().await;
        device
            .services_resolved_changed(object.signal_emitter())
            .await?;
        device.connected_changed(object.signal_emitter()).await?;
        Ok(())
    }
}

fn owned(path: &str) -> Result<OwnedObjectPath, zbus::Error> {
    Ok(ObjectPath::try_from(path)?.into())
}

/// The adapter.
#[derive(Debug, Default)]
pub(super) struct Adapter {
    is_off: bool,
    is_discovering: bool,
}

#[interface(name = "org.bluez.Adapter1")]
#[expect(clippy::unused_self, reason = "what the bus asks for")]
impl Adapter {
    #[zbus(property)]
    fn address(&self) -> String {
        "02:00:00:00:00:00".to_owned()
    }

    #[zbus(property)]
    fn address_type(&self) -> String {
        "public".to_owned()
    }

    #[zbus(property)]
    fn name(&self) -> String {
        "simulated".to_owned()
    }

    #[zbus(property)]
    fn alias(&self) -> String {
        "simulated".to_owned()
    }

    #[zbus(property)]
    fn modalias(&self) -> String {
        "usb:v1D6Bp0246d0557".to_owned()
    }

    #[zbus(property)]
    fn powered(&self) -> bool {
        !self.is_off
    }

    #[zbus(property)]
    fn set_powered(&mut self, powered: bool) {
        self.is_off = !powered;
    }

    #[zbus(property)]
    fn discovering(&self) -> bool {
        self.is_discovering
    }

    fn set_discovery_filter(&self, _filter: HashMap<String, OwnedVariant>) {}

    fn start_discovery(&mut self) {
        self.is_discovering = true;
    }

    fn stop_discovery(&mut self) {
        self.is_discovering = false;
    }
}

/// A device.
#[derive(Debug)]
pub(super) struct Device(pub(super) Arc<Live>);

#[interface(name = "org.bluez.Device1")]
#[expect(clippy::unused_self, reason = "what the bus asks for")]
impl Device {
    async fn connect(
        &self,
        #[zbus(object_server)] server: &ObjectServer,
        #[zbus(signal_emitter)] emitter: SignalEmitter<'_>,
    ) -> Result<(), Refused> {
        {
            let mut state = lock(&self.0.state);
            if state.refuse > 0 {
                state.refuse -= 1;
                return Err(Refused::Failed("le-connection-abort-by-local".to_owned()));
            }
            if state.is_connected {
                return Ok(());
            }
            state.is_connected = true;
            state.connects += 1;
        }
        self.connected_changed(&emitter).await?;
        tokio::time::sleep(RESOLVE).await;
        self.0.export(server).await?;
        lock(&self.0.state).is_resolved = true;
        self.services_resolved_changed(&emitter).await?;
        Ok(())
    }

    async fn disconnect(
        &self,
        #[zbus(signal_emitter)] emitter: SignalEmitter<'_>,
    ) -> Result<(), Refused> {
        {
            let mut state = lock(&self.0.state);
            (state.is_connected, state.is_resolved) = (false, false);
            state.notifying.clear();
        }
        self.services_resolved_changed(&emitter).await?;
        self.connected_changed(&emitter).await?;
        Ok(())
    }

    #[zbus(property)]
    fn address(&self) -> String {
        self.0.tool.address.clone()
    }

    #[zbus(property)]
    fn address_type(&self) -> String {
        "public".to_owned()
    }

    #[zbus(property)]
    fn name(&self) -> String {
        self.0.tool.name.clone()
    }

    #[zbus(property)]
    fn alias(&self) -> String {
        self.0.tool.name.clone()
    }

    #[zbus(property)]
    fn appearance(&self) -> u16 {
        self.0.tool.appearance
    }

    #[zbus(property, name = "RSSI")]
    fn rssi(&self) -> i16 {
        -50
    }

    #[zbus(property, name = "UUIDs")]
    fn uuids(&self) -> Vec<String> {
        self.0
            .tool
            .services
            .iter()
            .map(|service| service.uuid.clone())
            .collect()
    }

    #[zbus(property)]
    fn paired(&self) -> bool {
        false
    }

    #[zbus(property)]
    fn trusted(&self) -> bool {
        false
    }

    #[zbus(property)]
    fn blocked(&self) -> bool {
        false
    }

    #[zbus(property)]
    fn legacy_pairing(&self) -> bool {
        false
    }

    #[zbus(property)]
    fn connected(&self) -> bool {
        lock(&self.0.state).is_connected
    }

    #[zbus(property)]
    fn services_resolved(&self) -> bool {
        lock(&self.0.state).is_resolved
    }
}

#[derive(Debug)]
struct GattService {
    uuid: String,
    device: OwnedObjectPath,
}

#[interface(name = "org.bluez.GattService1")]
#[expect(clippy::unused_self, reason = "what the bus asks for")]
impl GattService {
    #[zbus(property, name = "UUID")]
    fn uuid(&self) -> String {
        self.uuid.clone()
    }

    #[zbus(property)]
    fn primary(&self) -> bool {
        true
    }

    #[zbus(property)]
    fn device(&self) -> OwnedObjectPath {
        self.device.clone()
    }
}

#[derive(Debug)]
struct GattCharacteristic {
    live: Arc<Live>,
    uuid: String,
    flags: Vec<String>,
    service: OwnedObjectPath,
    value: Vec<u8>,
}

impl GattCharacteristic {
    fn linked(&self) -> Result<(), Refused> {
        if lock(&self.live.state).is_connected {
            Ok(())
        } else {
            Err(Refused::Failed("Not connected".to_owned()))
        }
    }
}

#[interface(name = "org.bluez.GattCharacteristic1")]
#[expect(clippy::unused_self, reason = "what the bus asks for")]
impl GattCharacteristic {
    #[zbus(property, name = "UUID")]
    fn uuid(&self) -> String {
        self.uuid.clone()
    }

    #[zbus(property)]
    fn flags(&self) -> Vec<String> {
        self.flags.clone()
    }

    #[zbus(property)]
    fn service(&self) -> OwnedObjectPath {
        self.service.clone()
    }

    #[zbus(property, name = "MTU")]
    fn mtu(&self) -> u16 {
        23
    }

    #[zbus(property)]
    fn value(&self) -> Vec<u8> {
        let state = lock(&self.live.state);
        state.values.get(&self.uuid).unwrap_or(&self.value).clone()
    }

    /// As the real one, a read is announced as a change of the value too.
    async fn read_value(
        &self,
        _options: HashMap<String, OwnedVariant>,
        #[zbus(signal_emitter)] emitter: SignalEmitter<'_>,
    ) -> Result<Vec<u8>, Refused> {
        self.linked()?;
        self.value_changed(&emitter).await?;
        Ok(self.value())
    }

    fn write_value(
        &self,
        value: Vec<u8>,
        _options: HashMap<String, OwnedVariant>,
    ) -> Result<(), Refused> {
        self.linked()?;
        lock(&self.live.state).written.extend(value);
        Ok(())
    }

    fn start_notify(&self) -> Result<(), Refused> {
        self.linked()?;
        lock(&self.live.state).notifying.insert(self.uuid.clone());
        Ok(())
    }

    fn stop_notify(&self) {
        lock(&self.live.state).notifying.remove(&self.uuid);
    }
}

#[derive(Debug)]
struct GattDescriptor {
    uuid: String,
    characteristic: OwnedObjectPath,
    value: Vec<u8>,
}

#[interface(name = "org.bluez.GattDescriptor1")]
#[expect(clippy::unused_self, reason = "what the bus asks for")]
impl GattDescriptor {
    #[zbus(property, name = "UUID")]
    fn uuid(&self) -> String {
        self.uuid.clone()
    }

    #[zbus(property)]
    fn characteristic(&self) -> OwnedObjectPath {
        self.characteristic.clone()
    }

    fn read_value(&self, _options: HashMap<String, OwnedVariant>) -> Vec<u8> {
        self.value.clone()
    }

    fn write_value(&self, _value: Vec<u8>, _options: HashMap<String, OwnedVariant>) {}
}
