//! One picture of each screen at 80×24, and one of the worksheet at 140×45.

use spanwise::screen::{App, Look, Start};

use crate::fake::FakeDesk;
use crate::hand::Hand;

#[test]
fn worksheet_80() {
    let mut hand = Hand::at_work();
    insta::assert_snapshot!(hand.picture());
}
