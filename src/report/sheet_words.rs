//! The fixed wording of the paper worksheet, in English; shown as the catalogue has it in the language that is spoken.

pub const TITLE: &str = mark!("Paper worksheet of the annual inspection");
pub const STEPS: &str = mark!("Steps in hangar order");
pub const NO_RECORD: &str = mark!("PAPER WORKSHEET: enter what is written here into the record");
pub const NOT_BEGUN: &str = mark!("before the annual begins");
pub const REGISTRATION_AND_SHEET: &str = mark!("Registration, sheet");
pub const ENTERED_BY: &str = mark!("   to enter it afterwards: spanwise worksheet enter");
pub const RULES: [&str; 4] = [
    mark!(
        "By ink. A mistake is struck through so that it stays readable, with initials, time and reason; nothing is erased."
    ),
    mark!(
        "Tick one box: ✓ passed, ✗ failed (raise a defect), n/a not applicable (write why). Put initials, day and time."
    ),
    mark!(
        "Readings as read, with unit and instrument's id. Words that go elsewhere: with the number of their line."
    ),
    mark!(
        "At each pause write the code that the program shows, with time and initials: it fixes the record by ink."
    ),
];
pub const GOVERNS: &str = mark!("The type's manual, local rules and the licensed person govern.");
pub const TRESTLES: &str =
    mark!("Trestle only at the stations of the type's manual; nobody under an airframe on trestles.");
pub const NOTHING_OPEN: &str = mark!("No step is open.");
pub const BOXES: &str = "☐ ✓   ☐ ✗";
/// Of a third box, where a step may be so.
pub const NOT_APPLICABLE: &str = mark!("n/a");
pub const LINE: &str = "______________";
pub const SHORT_LINE: &str = "________";
