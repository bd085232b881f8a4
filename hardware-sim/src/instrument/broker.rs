//! A broker for one listener, which delivers what it is told to, with the marks that it is told to set. A real broker sets the
//! mark of a repeated delivery only where an acknowledgement was lost; here a test says when.

use super::locked;
use super::mqtt::{
    CONNECT, CONNECT_ANSWER, PING, PING_ANSWER, PUBLISH_ANSWER, Packet, SUBSCRIBE,
    SUBSCRIBE_ANSWER, publish,
};
use std::io;
use std::net::{Shutdown, SocketAddr, TcpListener, TcpStream};
use std::sync::{Arc, Mutex};

#[derive(Debug, Default)]
struct State {
    peer: Option<TcpStream>,
    is_subscribed: bool,
    connections: usize,
    acknowledged: Vec<u16>,
    is_ending: bool,
}

/// A broker.
#[derive(Debug)]
pub struct Broker {
    state: Arc<Mutex<State>>,
    address: SocketAddr,
}

impl Broker {
    /// Starts it.
    pub fn start() -> io::Result<Self> {
        let listener = TcpListener::bind(("127.0.0.1", 0))?;
        let address = listener.local_addr()?;
        let state = Arc::new(Mutex::new(State::default()));
        let shared = Arc::clone(&state);
        std::thread::spawn(move || {
            for stream in listener.incoming().map_while(Result::ok) {
                if locked(&shared).is_ending {
                    return;
                }
                // A listener that goes is no error, and what it subscribed to went with it.
                let _ = serve(stream, &shared);
                locked(&shared).is_subscribed = false;
            }
        });
        Ok(Self { state, address })
    }

    /// Where it is.
    pub const fn address(&self) -> SocketAddr {
        self.address
    }

    /// Whether the listener that is connected has subscribed, and how often one has connected: from then on it takes messages.
    pub fn subscribed(&self) -> (bool, usize) {
        let state = locked(&self.state);
        (state.is_subscribed, state.connections)
    }

    /// Delivers a message at least once, under a number, marked as delivered again or as kept where that is asked.
    pub fn deliver(
        &self,
        topic: &str,
        payload: &str,
        number: u16,
        is_again: bool,
        is_retained: bool,
    ) -> io::Result<()> {
        let mut state = locked(&self.state);
        let peer = state.peer.as_mut().ok_or(io::ErrorKind::NotConnected)?;
        publish(
            topic,
            payload.as_bytes(),
            Some(number),
            is_again,
            is_retained,
        )
        .write(peer)
    }

    /// The numbers of the messages that were acknowledged.
    pub fn acknowledged(&self) -> Vec<u16> {
        locked(&self.state).acknowledged.clone()
    }

    /// Breaks the connection off.
    pub fn hang_up(&self) {
        let mut state = locked(&self.state);
        state.is_subscribed = false;
        if let Some(peer) = state.peer.take() {
            // It may be gone already.
            let _ = peer.shutdown(Shutdown::Both);
        }
    }
}

impl Drop for Broker {
    fn drop(&mut self) {
        self.hang_up();
        locked(&self.state).is_ending = true;
        // Wakes the thread that waits for a listener.
        let _ = TcpStream::connect(self.address);
    }
}

fn serve(mut stream: TcpStream, state: &Mutex<State>) -> io::Result<()> {
    {
        let mut state = locked(state);
        state.peer = Some(stream.try_clone()?);
        state.connections += 1;
        state.is_subscribed = false;
    }
    loop {
        let packet = Packet::read(&mut stream)?;
        let number = || packet.body.get(..2).unwrap_or_default().to_vec();
        match packet.kind {
            CONNECT => Packet::new(CONNECT_ANSWER, 0, vec![0, 0]).write(&mut stream)?,
            SUBSCRIBE => {
                let body = [number().as_slice(), &[1]].concat();
                Packet::new(SUBSCRIBE_ANSWER, 0, body).write(&mut stream)?;
                locked(state).is_subscribed = true;
            }
            PING => Packet::new(PING_ANSWER, 0, Vec::new()).write(&mut stream)?,
            PUBLISH_ANSWER => {
                if let [high, low] = *number() {
                    let number = u16::from_be_bytes([high, low]);
                    locked(state).acknowledged.push(number);
                }
            }
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    /// What the broker answers to a packet.
    fn asked(stream: &mut TcpStream, kind: u8, body: Vec<u8>) -> u8 {
        Packet::new(kind, 0, body).write(stream).unwrap();
        Packet::read(stream).unwrap().kind
    }

    #[test]
    fn who_comes_back_has_to_subscribe_again_before_anything_is_delivered() {
        let broker = Broker::start().unwrap();
        let mut first = TcpStream::connect(broker.address()).unwrap();
        assert_eq!(asked(&mut first, CONNECT, Vec::new()), CONNECT_ANSWER);
        assert_eq!(broker.subscribed(), (false, 1));
        assert_eq!(asked(&mut first, SUBSCRIBE, vec![0, 1]), SUBSCRIBE_ANSWER);
        // Ahead of its answer to the next packet it has taken in the one before.
        assert_eq!(asked(&mut first, PING, Vec::new()), PING_ANSWER);
        assert_eq!(broker.subscribed(), (true, 1));
        drop(first);
        let mut second = TcpStream::connect(broker.address()).unwrap();
        assert_eq!(asked(&mut second, CONNECT, Vec::new()), CONNECT_ANSWER);
        assert_eq!(broker.subscribed(), (false, 2));
        broker.deliver("scale", "5.08", 9, true, false).unwrap();
        assert_eq!(
            Packet::read(&mut second).unwrap(),
            publish("scale", b"5.08", Some(9), true, false)
        );
    }
}
