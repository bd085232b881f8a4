//! A sensor that publishes to a broker.

use super::mqtt::{CONNECT, CONNECT_ANSWER, PUBLISH_ANSWER, Packet, publish, text};
use std::io;
use std::net::{SocketAddr, TcpStream};
use std::time::Duration;

/// A broker that does not answer within this time is gone.
const PATIENCE: Duration = Duration::from_secs(5);

/// A sensor.
#[derive(Debug)]
pub struct Publisher {
    stream: TcpStream,
    packet: u16,
    measured: Vec<String>,
}

impl Publisher {
    /// Connects to a broker under a name, with user and password where they are given.
    pub fn connect(broker: SocketAddr, name: &str, user: Option<(&str, &str)>) -> io::Result<Self> {
        let mut stream = TcpStream::connect_timeout(&broker, PATIENCE)?;
        stream.set_read_timeout(Some(PATIENCE))?;
        stream.set_nodelay(true)?;
        // A clean session; user and password where there are any; no message is kept alive for longer than a minute.
        let marks = 0b10 | if user.is_some() { 0b1100_0000 } else { 0 };
        let mut body = [text("MQTT").as_slice(), &[4, marks, 0, 60], &text(name)].concat();
        if let Some((user, password)) = user {
            body.extend(text(user));
            body.extend(text(password));
        }
        Packet::new(CONNECT, 0, body).write(&mut stream)?;
        let answer = Packet::read(&mut stream)?;
        if answer.kind != CONNECT_ANSWER || answer.body.get(1) != Some(&0) {
            return Err(io::Error::other(format!("the broker says no: {answer:?}")));
        }
        Ok(Self {
            stream,
            packet: 0,
            measured: Vec::new(),
        })
    }

    /// Publishes a reading at least once: it is on the broker when this returns.
    pub fn measure(&mut self, topic: &str, payload: &str) -> io::Result<()> {
        self.measured.push(payload.to_owned());
        self.publish(topic, payload, false)
    }

    /// The same with the mark that the broker keeps it for whoever comes.
    pub fn keep(&mut self, topic: &str, payload: &str) -> io::Result<()> {
        self.publish(topic, payload, true)
    }

    fn publish(&mut self, topic: &str, payload: &str, is_retained: bool) -> io::Result<()> {
        self.packet = self.packet.wrapping_add(1).max(1);
        publish(
            topic,
            payload.as_bytes(),
            Some(self.packet),
            false,
            is_retained,
        )
        .write(&mut self.stream)?;
        let answer = Packet::read(&mut self.stream)?;
        if answer.kind == PUBLISH_ANSWER && answer.body == self.packet.to_be_bytes() {
            Ok(())
        } else {
            Err(io::Error::other(format!("no acknowledgement: {answer:?}")))
        }
    }

    /// Every reading that was published.
    pub fn tally(&self) -> &[String] {
        &self.measured
    }
}
