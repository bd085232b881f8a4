//! Bluetooth LE tools that are not there: a simulated `BlueZ` on a private message bus.
//!
//! [`Bus`] is a real `dbus-daemon` with a socket of its own; [`Bluez`] owns the name `org.bluez` on it and exports an adapter,
//! devices and their GATT objects, as far as a program that connects, reads, subscribes and listens needs them. A program under
//! test is started as a process of its own with [`Bus::variable`] in its environment: libdbus reads it once in a process.
//!
//! It is real up to the radio: the same bus, the same calls, the same signals in the same order. It proves nothing about
//! radios, pairing or encryption. Names and properties follow `BlueZ`'s D-Bus interfaces (`org.bluez.Adapter1`, `Device1`,
//! `GattService1`, `GattCharacteristic1`, `GattDescriptor1`).
//!
//! As the rest of this crate it blocks; a thread of its own does what is asynchronous.

mod bus;
mod objects;
mod tool;

pub use bus::Bus;
pub use tool::{Characteristic, Descriptor, Service, Tool, assigned};

use objects::{Adapter, Device, Live, State, TreeError};
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Duration;
use thiserror::Error;
use tokio::runtime::Runtime;
use zbus::Connection;

/// What can go wrong with the simulated `BlueZ`.
#[derive(Debug, Error)]
pub enum BluezError {
    /// There is no bus to be had.
    #[error("the private message bus: {0}. Is dbus-daemon installed (Debian package dbus)?")]
    Bus(std::io::Error),
    /// The bus says no.
    #[error("the simulated BlueZ: {0}")]
    Zbus(#[from] zbus::Error),
    /// Nobody has this address.
    #[error("there is no simulated tool at {0}")]
    NoTool(String),
    /// A name that cannot be part of the tree.
    #[error(transparent)]
    Tree(#[from] TreeError),
}

/// A simulated `BlueZ`. Dropping it is its death.
#[derive(Debug)]
pub struct Bluez {
    runtime: Runtime,
    connection: Option<Connection>,
    tools: BTreeMap<String, Arc<Live>>,
}

fn lock(state: &Mutex<State>) -> MutexGuard<'_, State> {
    state.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Bluez {
    /// With one adapter.
    pub fn start(bus: &Bus) -> Result<Self, BluezError> {
        Self::start_with(bus, true)
    }

    /// With no adapter, as where none is plugged in.
    pub fn start_without_adapter(bus: &Bus) -> Result<Self, BluezError> {
        Self::start_with(bus, false)
    }

    fn start_with(bus: &Bus, has_adapter: bool) -> Result<Self, BluezError> {
        let runtime = tokio::runtime::Builder::new_multi_thread()
            .worker_threads(1)
            .enable_all()
            .build()
            .map_err(BluezError::Bus)?;
        let connection = runtime.block_on(async {
            let connection = zbus::connection::Builder::address(bus.address())
                .build()
                .await?;
            let server = connection.object_server();
            server.at("/", zbus::fdo::ObjectManager).await?;
            if has_adapter {
                server.at(objects::ADAPTER, Adapter::default()).await?;
            }
            // Last, so that nobody sees half of it.
            connection.request_name("org.bluez").await?;
            Ok::<_, zbus::Error>(connection)
        })?;
        Ok(Self {
            runtime,
            connection: Some(connection),
            tools: BTreeMap::new(),
        })
    }

    fn connection(&self) -> Result<&Connection, BluezError> {
        self.connection
            .as_ref()
            .ok_or(BluezError::Zbus(zbus::Error::InterfaceNotFound))
    }

    /// A tool comes into reach and advertises.
    pub fn add(&mut self, tool: Tool) -> Result<(), BluezError> {
        let live = Arc::new(Live::new(tool));
        let connection = self.connection()?.clone();
        let device = Device(Arc::clone(&live));
        self.runtime
            .block_on(async { connection.object_server().at(live.path(), device).await })?;
        self.tools.insert(live.tool.address.clone(), live);
        Ok(())
    }

    fn tool(&self, address: &str) -> Result<&Arc<Live>, BluezError> {
        self.tools
            .get(address)
            .ok_or_else(|| BluezError::NoTool(address.to_owned()))
    }

    /// A characteristic notifies. False if nobody has subscribed to it or there is no link: then it is lost, as on air.
    pub fn notify(
        &self,
        address: &str,
        characteristic: &str,
        bytes: &[u8],
    ) -> Result<bool, BluezError> {
        let live = Arc::clone(self.tool(address)?);
        let connection = self.connection()?.clone();
        self.runtime
            .block_on(live.notify(&connection, characteristic, bytes))
    }

    /// Whether somebody has subscribed to all characteristics that notify. Waits at most so long.
    pub fn subscribed(&self, address: &str, wait: Duration) -> Result<bool, BluezError> {
        let live = self.tool(address)?;
        let until = std::time::Instant::now() + wait;
        loop {
            if lock(&live.state).is_subscribed(&live.tool) {
                return Ok(true);
            }
            if std::time::Instant::now() >= until {
                return Ok(false);
            }
            std::thread::sleep(Duration::from_millis(2));
        }
    }

    /// How often a program has connected to the tool.
    pub fn connects(&self, address: &str) -> Result<u32, BluezError> {
        Ok(lock(&self.tool(address)?.state).connects)
    }

    /// The bytes that were written to a tool.
    pub fn written(&self, address: &str) -> Result<Vec<u8>, BluezError> {
        Ok(lock(&self.tool(address)?.state).written.clone())
    }

    /// The link is lost.
    pub fn drop_link(&self, address: &str) -> Result<(), BluezError> {
        let live = Arc::clone(self.tool(address)?);
        let connection = self.connection()?.clone();
        self.runtime.block_on(live.disconnect(&connection))
    }

    /// The next so many connects are refused.
    pub fn refuse_connects(&self, address: &str, times: u32) -> Result<(), BluezError> {
        lock(&self.tool(address)?.state).refuse = times;
        Ok(())
    }

    /// It dies: the name is gone, and no signal says so to those who listen to devices.
    pub fn stop(mut self) {
        self.close();
    }

    fn close(&mut self) {
        if let Some(connection) = self.connection.take() {
            // Nobody is left to hear of an error.
            let _ = self.runtime.block_on(connection.close());
        }
    }
}

impl Drop for Bluez {
    fn drop(&mut self) {
        self.close();
    }
}
