//! Tools behind a broker, with the `rumqttc` client (MQTT 3.1.1, OASIS standard): `mqtt://broker:1883/topic/filter`.
//!
//! What can be known of a message, and what not:
//! - one that the broker had kept for whoever comes (its retain mark) may be of last year: it is told as stale, once;
//! - one that is delivered once more (its DUP mark) and was taken in before by this process, with the same packet
//!   identifier, topic and bytes, is the same one;
//! - one that is delivered once more and is not remembered may or may not have been stored before this process began. It is
//!   taken in and marked as sent again; a count in the message, where there is one, tells. Without a count nobody can know.
//!
//! A message is acknowledged to the broker only after it is stored here.

use super::listening::{Over, Teller, Telling, since_1970};
use crate::intake::{Arrival, Delivery, Intake};
use rumqttc::{
    AsyncClient, ConnectReturnCode, ConnectionError, Event, EventLoop, MqttOptions, Packet,
    Publish, QoS, SubscribeReasonCode,
};
use std::collections::VecDeque;
use std::time::Duration;

/// How long to wait before a broker is tried again: at first, and at most.
const RETRY_FIRST: Duration = Duration::from_millis(250);
const RETRY_LONGEST: Duration = Duration::from_secs(5);
/// A broker that says nothing for longer than this is gone.
const KEEP_ALIVE: Duration = Duration::from_secs(5);
/// A longer message ends the connection.
const LONGEST: usize = 1 << 20;
/// So many requests may wait for the client.
const REQUESTS: usize = 256;
/// So many messages are remembered, to know one that comes once more.
const REMEMBERED: usize = 256;

/// Where a tool is: which broker, and which topics.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Address {
    host: String,
    port: u16,
    filter: String,
}

impl Address {
    /// Nothing where it is another kind of address. What it lacks is found when it is used, and told.
    pub(super) fn read(text: &str) -> Option<Self> {
        let rest = text.strip_prefix("mqtt://")?;
        let (broker, filter) = rest.split_once('/').unwrap_or((rest, ""));
        let (host, port) = match broker.rsplit_once(':') {
            Some((host, port)) => (host, port.parse().unwrap_or_default()),
            None => (broker, 1883),
        };
        Some(Self {
            host: host.to_owned(),
            port,
            filter: filter.to_owned(),
        })
    }

    fn fault(&self) -> Option<&'static str> {
        if self.host.is_empty() || self.port == 0 {
            Some("names no broker: write mqtt://NAME:PORT/TOPIC")
        } else if self.filter.is_empty() || !rumqttc::valid_filter(&self.filter) {
            Some(
                "names no topic: write mqtt://NAME:PORT/TOPIC, with + for any one level and # for all that follow",
            )
        } else {
            None
        }
    }
}

/// Listens until the loop is gone, or whoever started it wants it to end.
pub(super) async fn listen(mut teller: Teller, address: Address) {
    let _ = keep_listening(&mut teller, &address).await;
}

async fn keep_listening(teller: &mut Teller, address: &Address) -> Result<(), Over> {
    if let Some(fault) = address.fault() {
        let why = format!("{} {fault}", teller.port.path);
        return teller.gone(why, None);
    }
    let mut wait = RETRY_FIRST;
    let options = loop {
        match options(teller, address) {
            Ok(options) => break options,
            Err(why) => {
                teller.gone(why, None)?;
                tokio::time::sleep(wait).await;
                wait = (wait * 2).min(RETRY_LONGEST);
            }
        }
    };
    let (client, events) = AsyncClient::new(options, REQUESTS);
    let settings = teller
        .port
        .dialect
        .profile()
        .mqtt
        .clone()
        .unwrap_or_default();
    let mut link = Link {
        intake: Intake::new(teller.port.dialect.clone()),
        filter: address.filter.clone(),
        quality: if settings.at_most_once {
            QoS::AtMostOnce
        } else {
            QoS::AtLeastOnce
        },
        client,
        events,
        taken: VecDeque::new(),
        retained: VecDeque::new(),
    };
    link.run(teller).await
}

fn options(teller: &Teller, address: &Address) -> Result<MqttOptions, String> {
    let settings = teller
        .port
        .dialect
        .profile()
        .mqtt
        .clone()
        .unwrap_or_default();
    let name = settings.client.clone().unwrap_or_else(|| {
        let mut random = [0; 8];
        // Without it the name is the same for all, and the broker tells.
        let _ = getrandom::fill(&mut random);
        format!("pullmark-{}", hex::encode(random))
    });
    let mut options = MqttOptions::new(name, address.host.clone(), address.port);
    options
        .set_keep_alive(KEEP_ALIVE)
        .set_max_packet_size(LONGEST, LONGEST)
        .set_clean_session(settings.client.is_none())
        .set_manual_acks(true);
    if let Some(user) = settings.user {
        options.set_credentials(user, password(settings.password_file.as_deref())?);
    }
    Ok(options)
}

fn password(file: Option<&str>) -> Result<String, String> {
    let Some(file) = file else {
        return Ok(String::new());
    };
    let text = std::fs::read_to_string(file)
        .map_err(|error| format!("the password file {file} cannot be read: {error}"))?;
    Ok(text.lines().next().unwrap_or_default().to_owned())
}

/// A broker that is listened to.
struct Link {
    client: AsyncClient,
    events: EventLoop,
    filter: String,
    quality: QoS,
    intake: Intake,
    /// Messages that were taken in, the newest last.
    taken: VecDeque<(u16, String, Vec<u8>)>,
    /// What the broker keeps and was told of.
    retained: VecDeque<(String, Vec<u8>)>,
}

impl Link {
    async fn run(&mut self, teller: &mut Teller) -> Result<(), Over> {
        let mut wait = RETRY_FIRST;
        loop {
            match self.events.poll().await {
                Ok(Event::Incoming(packet)) => {
                    wait = RETRY_FIRST;
                    self.take(teller, packet).await?;
                }
                Ok(Event::Outgoing(_)) => {}
                Err(error) => {
                    tracing::debug!(tool = teller.port.tool, %error, "broker gone");
                    let why = format!("{}: {}", teller.port.path, in_words(&error));
                    teller.gone(why, None)?;
                    tokio::time::sleep(wait).await;
                    wait = (wait * 2).min(RETRY_LONGEST);
                }
            }
        }
    }

    async fn take(&mut self, teller: &mut Teller, packet: Packet) -> Result<(), Over> {
        match packet {
            Packet::ConnAck(_) => {
                // A session that the broker kept has its subscription; asking once more costs nothing but what it keeps.
                let asked = self.client.try_subscribe(self.filter.clone(), self.quality);
                if let Err(error) = asked {
                    tracing::warn!(tool = teller.port.tool, %error, "the subscription is not sent");
                }
                Ok(())
            }
            Packet::SubAck(answer) => {
                if answer.return_codes.contains(&SubscribeReasonCode::Failure) {
                    let why = format!(
                        "{}: the broker does not let this user read the topic",
                        teller.port.path
                    );
                    return teller.gone(why, None);
                }
                teller.connected()
            }
            Packet::Publish(message) => self.message(teller, message).await,
            _ => Ok(()),
        }
    }

    async fn message(&mut self, teller: &mut Teller, message: Publish) -> Result<(), Over> {
        let delivery = self.delivery(&message);
        if let Some(delivery) = delivery {
            let arrival = Arrival {
                at_us: teller.now_us(),
                after_silence: true,
                since_1970: Some(since_1970()),
            };
            let mut telling = Telling::new(teller);
            self.intake
                .message(&message.payload, delivery, arrival, |received| {
                    telling.tell(received);
                });
            telling.end()?;
            teller.show(self.intake.newest())?;
        }
        if message.qos == QoS::AtMostOnce {
            return teller.catch_up().await;
        }
        teller.stored().await?;
        if let Err(error) = self.client.try_ack(&message) {
            // The broker then delivers it once more, and it is known.
            tracing::warn!(tool = teller.port.tool, %error, "a message is not acknowledged");
        }
        Ok(())
    }

    /// How a message comes; nothing where it is one that the broker keeps and that was told before.
    fn delivery(&mut self, message: &Publish) -> Option<Delivery> {
        let topic = || message.topic.clone();
        if message.retain {
            let kept = (topic(), message.payload.to_vec());
            if self.retained.contains(&kept) {
                return None;
            }
            remember(&mut self.retained, kept);
            return Some(Delivery::Retained);
        }
        // What the broker keeps of this topic from now on is another message, or this one again.
        self.retained.retain(|(kept, _)| *kept != message.topic);
        if message.qos == QoS::AtMostOnce {
            return Some(Delivery::Fresh);
        }
        let taken = (message.pkid, topic(), message.payload.to_vec());
        if message.dup && self.taken.contains(&taken) {
            return Some(Delivery::Again);
        }
        remember(&mut self.taken, taken);
        Some(if message.dup {
            Delivery::Doubtful
        } else {
            Delivery::Fresh
        })
    }
}

fn remember<T>(all: &mut VecDeque<T>, one: T) {
    all.push_back(one);
    if all.len() > REMEMBERED {
        all.pop_front();
    }
}

fn in_words(error: &ConnectionError) -> String {
    match error {
        ConnectionError::Io(error) if error.kind() == std::io::ErrorKind::ConnectionRefused => {
            "there is no broker: is it running, and is the port number right?".to_owned()
        }
        ConnectionError::ConnectionRefused(
            ConnectReturnCode::BadUserNamePassword | ConnectReturnCode::NotAuthorized,
        ) => {
            "the broker does not take this user and password: see [mqtt] in the profile".to_owned()
        }
        ConnectionError::ConnectionRefused(code) => format!("the broker says no: {code:?}"),
        ConnectionError::NetworkTimeout | ConnectionError::FlushTimeout => {
            "the broker does not answer".to_owned()
        }
        error => format!("the connection to the broker is lost: {error}"),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn an_address_names_broker_and_topic() {
        let read = |text: &str| Address::read(text).unwrap();
        assert_eq!(
            read("mqtt://bench.local:1884/shop/+/mass"),
            Address {
                host: "bench.local".to_owned(),
                port: 1884,
                filter: "shop/+/mass".to_owned()
            }
        );
        assert_eq!(read("mqtt://b/t").port, 1883);
        assert!(read("mqtt://b/shop/#").fault().is_none());
        for wrong in [
            "mqtt://",
            "mqtt://b",
            "mqtt://b/",
            "mqtt://:1/t",
            "mqtt://b:x/t",
            "mqtt://b/a#/b",
            "mqtt://b/a/b+",
        ] {
            assert!(read(wrong).fault().is_some(), "{wrong}");
        }
        assert_eq!(Address::read("/dev/ttyUSB0"), None);
    }
}
