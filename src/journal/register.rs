//! The acknowledgement register: which line was last shown to the inspector as saved.
//!
//! Two 512-byte slots, written in turn, so a torn slot costs nothing: the other still holds the line before.

use super::hash::{Hash, sha256};

pub const SLOT_LEN: usize = 512;
pub const REGISTER_LEN: usize = 2 * SLOT_LEN;

const SEQ_DIGITS: usize = 20;
const HASH_HEX: usize = 64;
const CHECK_HEX: usize = 16;
const PAYLOAD: usize = SEQ_DIGITS + HASH_HEX;

/// One acknowledged line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Slot {
    pub seq: u64,
    pub hash: Hash,
}

impl Slot {
    /// Byte offset of this slot in the register.
    pub fn offset(&self) -> u64 {
        self.seq % 2 * SLOT_LEN as u64
    }

    /// 20 digits, 64 hexadecimal characters, 16 check characters (SHA-256 of the former, cut), LF up to 512 bytes.
    pub fn encode(&self) -> [u8; SLOT_LEN] {
        let payload = format!("{:020}{}", self.seq, self.hash);
        let check = sha256(payload.as_bytes()).to_string();
        let mut slot = [b'\n'; SLOT_LEN];
        slot[..PAYLOAD].copy_from_slice(payload.as_bytes());
        slot[PAYLOAD..PAYLOAD + CHECK_HEX].copy_from_slice(&check.as_bytes()[..CHECK_HEX]);
        slot
    }
}

/// A new register that acknowledges line 0.
pub fn first(hash: Hash) -> [u8; REGISTER_LEN] {
    let mut register = [b'\n'; REGISTER_LEN];
    register[..SLOT_LEN].copy_from_slice(&Slot { seq: 0, hash }.encode());
    register
}

/// A register that acknowledges one given line and nothing before it.
pub fn single(slot: Slot) -> [u8; REGISTER_LEN] {
    let mut register = [b'\n'; REGISTER_LEN];
    let at = slot.offset() as usize;
    register[at..at + SLOT_LEN].copy_from_slice(&slot.encode());
    register
}

/// Reads the slot in position 0 or 1. `None`: torn, blank, in the wrong position, or altered.
pub fn decode_slot(bytes: &[u8], position: u64) -> Option<Slot> {
    let digits = bytes.get(..SEQ_DIGITS)?;
    if !digits.iter().all(u8::is_ascii_digit) {
        return None;
    }
    let seq = std::str::from_utf8(digits).ok()?.parse().ok()?;
    let hash = std::str::from_utf8(bytes.get(SEQ_DIGITS..PAYLOAD)?).ok()?.parse().ok()?;
    let slot = Slot { seq, hash };
    (slot.encode() == bytes && seq % 2 == position).then_some(slot)
}

/// The valid slot with the highest number. A register longer than two slots has none: nothing writes one.
pub fn highest_valid(register: &[u8]) -> Option<Slot> {
    slots(register).max_by_key(|slot| slot.seq)
}

/// How many of the two slots are valid.
pub fn valid_slots(register: &[u8]) -> usize {
    slots(register).count()
}

fn slots(register: &[u8]) -> impl Iterator<Item = Slot> {
    let readable = if register.len() > REGISTER_LEN { &[] } else { register };
    readable.chunks(SLOT_LEN).zip(0..).filter_map(|(bytes, position)| decode_slot(bytes, position))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pair() -> ([u8; REGISTER_LEN], Slot, Slot) {
        let (low, high) = (Slot { seq: 6, hash: sha256(b"six") }, Slot { seq: 7, hash: sha256(b"seven") });
        let mut register = single(low);
        register[SLOT_LEN..].copy_from_slice(&high.encode());
        (register, low, high)
    }

    #[test]
    fn layout() {
        let slot = Slot { seq: 7, hash: Hash::ZERO }.encode();
        assert_eq!(&slot[..20], b"00000000000000000007");
        assert_eq!(&slot[20..84], [b'0'; 64]);
        assert_eq!(&slot[84..100], &sha256(&slot[..84]).to_string().as_bytes()[..16]);
        assert!(slot[100..].iter().all(|b| *b == b'\n'));
    }

    #[test]
    fn higher_slot_wins_and_a_torn_one_costs_nothing() {
        let (register, low, high) = pair();
        assert_eq!(highest_valid(&register), Some(high));
        for cut in 0..SLOT_LEN {
            let mut torn = register;
            let before = Slot { seq: 5, hash: sha256(b"five") }.encode();
            torn[SLOT_LEN + cut..].copy_from_slice(&before[cut..]);
            let found = highest_valid(&torn).unwrap();
            // Where old and new bytes happen to agree, the slot is whole.
            assert_eq!(found, if torn == register { high } else { low }, "torn at {cut}");
        }
    }

    #[test]
    fn every_bit_flip_voids_its_slot_only() {
        let (register, low, high) = pair();
        for position in 0..REGISTER_LEN {
            for bit in 0..8 {
                let mut changed = register;
                changed[position] ^= 1 << bit;
                let expected = if position < SLOT_LEN { high } else { low };
                assert_eq!(highest_valid(&changed), Some(expected), "byte {position} bit {bit}");
            }
        }
    }

    #[test]
    fn lost_registers() {
        assert_eq!(highest_valid(b""), None);
        assert_eq!(highest_valid(&[0; REGISTER_LEN]), None);
        assert_eq!(highest_valid(&[b'\n'; REGISTER_LEN]), None);
        let (register, low, _) = pair();
        assert_eq!(highest_valid(&register[..SLOT_LEN]), Some(low));
        assert_eq!(highest_valid(&[&register[..], b"\n"].concat()), None);
        let mut misplaced = [b'\n'; REGISTER_LEN];
        misplaced[SLOT_LEN..].copy_from_slice(&low.encode());
        assert_eq!(highest_valid(&misplaced), None);
        assert_eq!(highest_valid(&first(Hash::ZERO)), Some(Slot { seq: 0, hash: Hash::ZERO }));
    }
}
