//! The link to one Bluetooth tool: find, connect, listen, notice that it is gone, begin anew.
//!
//! Nothing tells by itself that `BlueZ` or the bus has died: streams stay open and silent. So the tool's state is asked for
//! every few seconds with a short patience, and where no answer comes everything is made anew.

use super::tool::{self, Source};
use super::{Address, BluetoothError, in_time, open_adapters};
use crate::core::{About, Input};
use crate::edge::listening::{Over, Teller, Telling, since_1970};
use crate::intake::{Arrival, Intake, QUIET_US};
use btleplug::api::{Central as _, CentralEvent, Peripheral as _, ScanFilter, ValueNotification};
use btleplug::platform::{Adapter, Peripheral};
use std::time::Duration;
use tokio::time::{Instant, timeout};
use tokio_stream::{Stream, StreamExt as _};

/// How long to wait before a tool is tried again: at first, and at most.
const RETRY_FIRST: Duration = Duration::from_millis(250);
const RETRY_LONGEST: Duration = Duration::from_secs(15);
/// A link that lasted this long was a good one: the next try comes at once.
const GOOD: Duration = Duration::from_secs(10);
/// A device that was not heard within this time is not there.
const SEARCH: Duration = Duration::from_secs(10);
const LOOK_EVERY: Duration = Duration::from_millis(100);
const CONNECT: Duration = Duration::from_secs(15);
const DISCOVER: Duration = Duration::from_secs(15);
/// How often a link is asked whether it is there still, and how long it may take to say so.
const HEARTBEAT: Duration = Duration::from_secs(2);
const ANSWER: Duration = Duration::from_millis(2500);
/// The battery is asked for at every so many heartbeats.
const BATTERY_EVERY: u32 = 30;

/// Listens until the loop is gone, or whoever started it wants it to end.
pub(in crate::edge) async fn listen(mut teller: Teller, address: Address) {
    let _ = keep_listening(&mut teller, &address).await;
}

async fn keep_listening(teller: &mut Teller, address: &Address) -> Result<(), Over> {
    let mut wait = RETRY_FIRST;
    loop {
        let began = Instant::now();
        match open(teller, address).await {
            Ok(link) => {
                teller.connected()?;
                link.run(teller).await?;
            }
            Err(why) => teller.gone(why, None)?,
        }
        if began.elapsed() >= GOOD {
            wait = RETRY_FIRST;
        }
        tokio::time::sleep(wait).await;
        wait = (wait * 2).min(RETRY_LONGEST);
    }
}

/// A tool that is connected and listened to.
struct Link {
    tool: Peripheral,
    sources: Vec<Source>,
    values: std::pin::Pin<Box<dyn Stream<Item = ValueNotification> + Send>>,
    events: std::pin::Pin<Box<dyn Stream<Item = CentralEvent> + Send>>,
    intake: Intake,
    about: About,
}

async fn open(teller: &Teller, address: &Address) -> Result<Link, String> {
    let adapters = in_time(open_adapters())
        .await
        .map_err(|error| error.to_string())?;
    let (adapter, device) = find(&adapters, address).await?;
    let in_words = |what: &str, error: &dyn std::fmt::Display| {
        format!("{}: {what}: {error}", teller.port.path)
    };
    let events = adapter
        .events()
        .await
        .map_err(|error| in_words("the adapter cannot be listened at", &error))?;
    timeout(CONNECT, device.connect())
        .await
        .map_err(|_| in_words("it does not let itself be connected", &"no answer"))?
        .map_err(|error| in_words("it does not let itself be connected", &error))?;
    timeout(DISCOVER, device.discover_services())
        .await
        .map_err(|_| in_words("what it offers cannot be read", &"no answer"))?
        .map_err(|error| in_words("what it offers cannot be read", &error))?;
    let dialect = teller.port.dialect.clone();
    let sources = tool::sources(&device, &dialect)
        .await
        .map_err(|why| in_words("it cannot be read", &why))?;
    // Before the first is subscribed to: the first values would be lost.
    let values = device
        .notifications()
        .await
        .map_err(|error| in_words("it cannot be listened to", &error))?;
    for source in &sources {
        timeout(ANSWER, device.subscribe(source.characteristic()))
            .await
            .map_err(|_| in_words("it does not notify", &"no answer"))?
            .map_err(|error| in_words("it does not notify", &error))?;
    }
    for command in dialect.start() {
        tool::write(&device, &dialect, command)
            .await
            .map_err(|why| in_words("it does not take a command", &why))?;
    }
    Ok(Link {
        about: tool::about(&device).await,
        intake: Intake::new(dialect),
        tool: device,
        sources,
        values,
        events,
    })
}

/// Looks among the devices that are known already, then listens for new ones.
async fn find(adapters: &[Adapter], address: &Address) -> Result<(Adapter, Peripheral), String> {
    let no_answer = || BluetoothError::NoAnswer.to_string();
    let until = Instant::now() + SEARCH;
    let mut is_scanning = false;
    loop {
        for adapter in adapters {
            let known = timeout(ANSWER, adapter.peripherals())
                .await
                .map_err(|_| no_answer())?;
            let known = known.map_err(|_| no_answer())?;
            let wanted = known
                .into_iter()
                .find(|device| device.address().to_string() == address.0);
            if let Some(device) = wanted {
                if is_scanning {
                    // It ends with the connection anyway.
                    let _ = timeout(ANSWER, adapter.stop_scan()).await;
                }
                return Ok((adapter.clone(), device));
            }
            if !is_scanning {
                let begun = timeout(ANSWER, adapter.start_scan(ScanFilter::default())).await;
                begun
                    .map_err(|_| no_answer())?
                    .map_err(|error| format!("the adapter does not search: {error}"))?;
            }
        }
        is_scanning = true;
        if Instant::now() >= until {
            return Err(format!(
                "{} is not heard: switch the tool on, and bring it near",
                address.0
            ));
        }
        tokio::time::sleep(LOOK_EVERY).await;
    }
}

impl Link {
    /// Listens until the link is gone.
    async fn run(mut self, teller: &mut Teller) -> Result<(), Over> {
        self.say(teller)?;
        let why = self.listen(teller).await?;
        let partial = self.intake.partial();
        // Most likely it is gone already.
        let _ = timeout(ANSWER, self.tool.disconnect()).await;
        teller.gone(format!("{} {why}", teller.port.path), partial)
    }

    fn say(&self, teller: &mut Teller) -> Result<(), Over> {
        if self.about == About::default() {
            return Ok(());
        }
        teller.tell(Input::Said {
            tool: teller.port.tool.clone(),
            about: self.about.clone(),
        })
    }

    async fn listen(&mut self, teller: &mut Teller) -> Result<String, Over> {
        let dialect = self.intake.dialect().clone();
        let silence = self
            .intake
            .silence_ms()
            .map_or(QUIET_US, |ms| u64::from(ms) * 1000);
        let mut quiet = tokio::time::interval(Duration::from_micros(silence));
        let mut beat = tokio::time::interval(HEARTBEAT);
        let every = dialect
            .profile()
            .poll
            .as_ref()
            .map_or(86_400_000, |poll| poll.every_ms.max(1));
        let mut ask = tokio::time::interval(Duration::from_millis(every.into()));
        for timer in [&mut quiet, &mut beat, &mut ask] {
            timer.set_missed_tick_behavior(tokio::time::MissedTickBehavior::Delay);
        }
        let (mut beats, mut last) = (0_u32, Instant::now());
        loop {
            tokio::select! {
                biased;
                value = self.values.next() => {
                    let Some(value) = value else { return Ok("is gone: Bluetooth was restarted".to_owned()) };
                    last = Instant::now();
                    self.take(teller, &value)?;
                    teller.show(self.intake.newest())?;
                    teller.catch_up().await?;
                }
                event = self.events.next() => match event {
                    Some(CentralEvent::DeviceDisconnected(id)) if id == self.tool.id() => {
                        return Ok("has lost the link: it is out of reach, or was switched off".to_owned());
                    }
                    Some(_) => {}
                    None => return Ok("is gone: Bluetooth was restarted".to_owned()),
                },
                _ = beat.tick() => {
                    if let Some(why) = self.beat(teller, beats).await? {
                        return Ok(why);
                    }
                    beats = beats.wrapping_add(1);
                }
                _ = ask.tick(), if dialect.poll().is_some() => {
                    if let Err(why) = tool::write(&self.tool, &dialect, dialect.poll().unwrap_or_default()).await {
                        return Ok(format!("cannot be asked: {why}"));
                    }
                }
                _ = quiet.tick() => {
                    if last.elapsed() >= Duration::from_micros(silence) {
                        let at_us = teller.now_us();
                        let mut telling = Telling::new(teller);
                        self.intake.quiet(at_us, |received| telling.tell(received));
                        telling.end()?;
                        teller.show(self.intake.newest())?;
                    }
                }
            }
        }
    }

    fn take(&mut self, teller: &mut Teller, value: &ValueNotification) -> Result<(), Over> {
        let source = self.sources.iter().find(|source| {
            let known = source.characteristic();
            known.uuid == value.uuid && known.service_uuid == value.service_uuid
        });
        let at_us = teller.now_us();
        let mut telling = Telling::new(teller);
        let mut out = |received: crate::intake::Received<'_>| telling.tell(received);
        match source {
            Some(Source::Carrier(_, carrier)) => {
                self.intake
                    .characteristic(*carrier, &value.value, at_us, &mut out);
            }
            Some(Source::Bytes(_)) => {
                let arrival = Arrival {
                    at_us,
                    after_silence: false,
                    since_1970: Some(since_1970()),
                };
                self.intake.feed(&value.value, arrival, &mut out);
            }
            // A value that was read, such as the battery's.
            None => {}
        }
        telling.end().map(|_| ())
    }

    /// Whether the link is there still; says why not.
    async fn beat(&mut self, teller: &mut Teller, beats: u32) -> Result<Option<String>, Over> {
        let why = match timeout(ANSWER, self.tool.is_connected()).await {
            Ok(Ok(true)) => {
                if beats > 0 && beats.is_multiple_of(BATTERY_EVERY) {
                    let battery = tool::battery(&self.tool).await;
                    if battery.is_some() && battery != self.about.battery_percent {
                        self.about.battery_percent = battery;
                        self.say(teller)?;
                    }
                }
                return Ok(None);
            }
            Ok(Ok(false)) => "has lost the link: it is out of reach, or was switched off",
            Ok(Err(_)) => "cannot be reached: the Bluetooth service (BlueZ) is gone",
            Err(_) => "cannot be reached: Bluetooth does not answer",
        };
        Ok(Some(why.to_owned()))
    }
}
