//! Checksums over bytes. The CRCs are checked against the check values of their catalogue entries: "123456789" gives 0x4B37
//! (CRC-16/MODBUS) and 0x29B1 (CRC-16/IBM-3740, also called CCITT-FALSE).

use pullmark_schema::profile::ChecksumKind;

/// The checksum of bytes.
pub(super) fn sum(kind: ChecksumKind, bytes: &[u8]) -> u16 {
    let add = |sum: u8, byte: &u8| sum.wrapping_add(*byte);
    match kind {
        ChecksumKind::Xor => bytes.iter().fold(0_u8, |sum, byte| sum ^ byte).into(),
        ChecksumKind::Sum => bytes.iter().fold(0_u8, add).into(),
        ChecksumKind::TwosComplement => bytes.iter().fold(0_u8, add).wrapping_neg().into(),
        ChecksumKind::Crc16Modbus => bytes.iter().fold(0xFFFF, |crc, byte| {
            (0..8).fold(crc ^ u16::from(*byte), |crc, _| {
                if crc & 1 == 1 {
                    crc >> 1 ^ 0xA001
                } else {
                    crc >> 1
                }
            })
        }),
        ChecksumKind::Crc16Ccitt => bytes.iter().fold(0xFFFF, |crc, byte| {
            (0..8).fold(crc ^ u16::from(*byte) << 8, |crc: u16, _| {
                if crc & 0x8000 == 0 {
                    crc << 1
                } else {
                    crc << 1 ^ 0x1021
                }
            })
        }),
    }
}

/// How many bytes it takes.
pub(super) const fn size(kind: ChecksumKind) -> usize {
    match kind {
        ChecksumKind::Xor | ChecksumKind::Sum | ChecksumKind::TwosComplement => 1,
        ChecksumKind::Crc16Modbus | ChecksumKind::Crc16Ccitt => 2,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_are_as_published() {
        let check = b"123456789";
        assert_eq!(sum(ChecksumKind::Crc16Modbus, check), 0x4B37);
        assert_eq!(sum(ChecksumKind::Crc16Ccitt, check), 0x29B1);
        // an NMEA 0183 sentence that is printed in many places, from memory
        let sentence = b"GPGLL,5057.970,N,00146.110,E,142451,A";
        assert_eq!(sum(ChecksumKind::Xor, sentence), 0x27);
        assert_eq!(sum(ChecksumKind::Sum, b"\xFF\x02"), 1);
        assert_eq!(sum(ChecksumKind::TwosComplement, b"\xFF\x02"), 0xFF);
    }
}
