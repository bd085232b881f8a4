//! The few packets of MQTT 3.1.1 (OASIS standard; from memory) that a sensor and its counterpart need.

use std::io::{self, Read, Write};

pub(super) const CONNECT: u8 = 1;
pub(super) const CONNECT_ANSWER: u8 = 2;
pub(super) const PUBLISH: u8 = 3;
pub(super) const PUBLISH_ANSWER: u8 = 4;
pub(super) const SUBSCRIBE: u8 = 8;
pub(super) const SUBSCRIBE_ANSWER: u8 = 9;
pub(super) const PING: u8 = 12;
pub(super) const PING_ANSWER: u8 = 13;
/// A longer packet is none of ours.
const LONGEST: usize = 1 << 20;

/// A packet: its kind, its four marks and what is in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Packet {
    pub(super) kind: u8,
    pub(super) marks: u8,
    pub(super) body: Vec<u8>,
}

impl Packet {
    pub(super) const fn new(kind: u8, marks: u8, body: Vec<u8>) -> Self {
        Self { kind, marks, body }
    }

    pub(super) fn write(&self, to: &mut impl Write) -> io::Result<()> {
        let mut bytes = vec![self.kind << 4 | self.marks];
        let mut left = self.body.len();
        loop {
            // The lowest seven bits.
            let low = u8::try_from(left & 0x7F).unwrap_or_default();
            left >>= 7;
            bytes.push(if left > 0 { low | 0x80 } else { low });
            if left == 0 {
                break;
            }
        }
        bytes.extend_from_slice(&self.body);
        to.write_all(&bytes)
    }

    pub(super) fn read(from: &mut impl Read) -> io::Result<Self> {
        let mut byte = [0];
        from.read_exact(&mut byte)?;
        let [head] = byte;
        let mut length = 0;
        for place in 0..4 {
            from.read_exact(&mut byte)?;
            length |= usize::from(byte[0] & 0x7F) << (7 * place);
            if byte[0] & 0x80 == 0 {
                break;
            }
        }
        if length > LONGEST {
            return Err(io::ErrorKind::InvalidData.into());
        }
        let mut body = vec![0; length];
        from.read_exact(&mut body)?;
        Ok(Self::new(head >> 4, head & 0x0F, body))
    }
}

/// A text with its length before it.
pub(super) fn text(text: &str) -> Vec<u8> {
    let length = u16::try_from(text.len()).unwrap_or_default();
    [&length.to_be_bytes(), text.as_bytes()].concat()
}

/// A message.
pub(super) fn publish(
    topic: &str,
    payload: &[u8],
    packet: Option<u16>,
    is_again: bool,
    is_retained: bool,
) -> Packet {
    let number = packet.map_or_else(Vec::new, |number| number.to_be_bytes().to_vec());
    let quality = u8::from(packet.is_some()) << 1;
    let marks = u8::from(is_again) << 3 | quality | u8::from(is_retained);
    Packet::new(
        PUBLISH,
        marks,
        [text(topic).as_slice(), &number, payload].concat(),
    )
}
