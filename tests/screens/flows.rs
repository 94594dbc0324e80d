//! What keys do, from the first to the signature.

use crate::hand::Hand;

#[test]
fn a_pass_is_one_key_and_says_its_entry() {
    let mut hand = Hand::at_work();
    hand.keys("p");
    assert_eq!(hand.message(), "saved, entry 1");
}
