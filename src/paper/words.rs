//! The fixed wording of entering from paper, and its keys: English, and translated where it is shown.

/// Beside what stood on paper, where there is room for two words.
pub const FROM_PAPER: &str = mark!("from paper");
pub const NO_ROW: &str = mark!("nothing is entered");
pub const NO_ROW_NEXT: &str = mark!("type a line's number and what is written on it, such as 17 p");
pub const NEXT_LABEL: &str = mark!("take the number that stands before the line on the paper");
pub const NEXT_KEY: &str = mark!("p passed, f failed, n not applicable, i initials, t note, d defect");
pub const CORRECT: &str = mark!("to correct it, end the line with ! and the reason");
pub const SECOND_LOOK: &str = mark!(
    "the second person's look is not taken from paper: they inspect and sign with their own key (spanwise inspect)"
);
pub const ONLY_INITIALS: &str = mark!(
    "the writer does not certify: recorded as initials, the step stays open until the certifier accepts it"
);

/// The wording of the screen.
pub mod screen {
    pub const HEAD_TITLE: &str = mark!("From paper: which sheet?");
    pub const HEAD_INTRO: &str = mark!(
        "Every entry says for ever that it stood on paper: sheet, line, who wrote it, when, and who enters it."
    );
    pub const SHEET: &str = mark!("code of the sheet");
    pub const SHEET_HINT: &str = mark!("it stands at the foot of every page, such as K7Q2-M3XD-07");
    pub const WRITER: &str = mark!("who wrote on it");
    pub const WRITER_HINT: &str = mark!("whose hands and eyes it was");
    pub const NO_WRITER: &str = mark!("it is not told who wrote on the paper");
    pub const NO_WRITER_NEXT: &str = mark!("choose the person");
    pub const WRITTEN: &str = mark!("day that stands on it");
    pub const WRITTEN_HINT: &str = mark!("like 2026-11-24 or 2026-11-24 16:30; calibration is judged by it");
    pub const ACCEPT: &str = mark!("what a helper ticked");
    pub const ACCEPT_WORDS: [&str; 2] =
        [mark!("is recorded as the helper's initials"), mark!("I certify, looked, and accept it")];
    pub const ACCEPT_HINT: &str = mark!("without meaning where the writer certifies");
    pub const FREE: &str = mark!("note or defect of no line");
    pub const FREE_HINT: &str = mark!("t note, d severity; what; component; side; station in mm");
    pub const BLOCK_HINT: &str = mark!("p it stood as printed, or settings such as tailplane=off");
    pub const STANDS: &str = mark!("stood:");
    pub const NOTHING: &str = mark!("nothing is typed");
    pub const NOTHING_NEXT: &str = mark!("type what is written on the paper beside its line, such as p");
    pub const ALREADY: &str = mark!("· stands in the record already, from this line");
    pub const RECORDED: &str = mark!("· in the record:");
    pub const KEYS: &str = mark!("Enter: next, Ctrl-S: save all");
}
