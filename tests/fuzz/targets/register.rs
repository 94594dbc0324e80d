//! The slots of the acknowledgement register.

use spanwise::journal::register::{
    REGISTER_LEN, Slot, decode_slot, first, highest_valid, single, valid_slots,
};
use spanwise::journal::sha256;

use super::Target;

pub fn target() -> Target {
    Target::new("register", 4_000, run).seeds(seeds)
}

fn run(input: &[u8]) -> bool {
    let highest = highest_valid(input);
    let valid = valid_slots(input);
    assert!(valid <= 2);
    for position in [0, 1, u64::MAX] {
        let _ = decode_slot(input, position);
    }
    if let Some(slot) = highest {
        assert_eq!(highest_valid(&single(slot)), Some(slot), "a slot reads back as written");
    }
    valid > 0
}

fn seeds() -> Vec<Vec<u8>> {
    let slot = |seq| Slot { seq, hash: sha256(b"a line") };
    let mut both = single(slot(6)).to_vec();
    both[REGISTER_LEN / 2..].copy_from_slice(&single(slot(7))[REGISTER_LEN / 2..]);
    vec![first(sha256(b"first")).to_vec(), both, single(slot(u64::MAX)).to_vec()]
}
