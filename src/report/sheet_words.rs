//! The fixed wording of the paper worksheet.

pub const TITLE: &str = "Paper worksheet of the annual inspection";
pub const STEPS: &str = "Steps in hangar order";
pub const NO_RECORD: &str = "PAPER WORKSHEET: enter what is written here into the record";
pub const NOT_BEGUN: &str = "before the annual begins";
pub const REGISTRATION_AND_SHEET: &str = "Registration, sheet";
pub const ENTERED_BY: &str = "   to enter it afterwards: spanwise worksheet enter";
pub const RULES: [&str; 4] = [
    "By ink. A mistake is struck through so that it stays readable, with initials, time and reason; nothing is erased.",
    "Tick one box: ✓ passed, ✗ failed (raise a defect), n/a not applicable (write why). Put initials, day and time.",
    "Readings as read, with unit and instrument's id. Words that go elsewhere: with the number of their line.",
    "At each pause write the code that the program shows, with time and initials: it fixes the record by ink.",
];
pub const GOVERNS: &str = "The type's manual, local rules and the licensed person govern.";
pub const TRESTLES: &str =
    "Trestle only at the stations of the type's manual; nobody under an airframe on trestles.";
pub const NOTHING_OPEN: &str = "No step is open.";
pub const BOXES: &str = "☐ ✓   ☐ ✗   ☐ n/a";
pub const LINE: &str = "______________";
pub const SHORT_LINE: &str = "________";
