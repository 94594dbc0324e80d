//! The fixed wording of the report, in English; shown as the catalogue has it in the language that is spoken.

use super::facts::AirframeFacts;
use crate::words::{moment_of, of_checklist};

pub const DRAFT: &str = mark!("DRAFT, NOT SIGNED");
pub const NOT_AIRWORTHY: &str = mark!("NOT AIRWORTHY");
/// On every page of what is signed by nobody, or not as a release.
pub const DRAFT_MARK: &str = mark!("DRAFT, NOT SIGNED: this is no release to service");
pub const NOT_AIRWORTHY_MARK: &str = mark!("NOT AIRWORTHY: this is no release to service");
pub const INVENTED: &str =
    mark!("INVENTED: people, types, registrations and figures of this document are made up");
pub const DAMAGED: &str = mark!("THE RECORD IS DAMAGED: what follows its first fault is unknown");
pub const AIRWORTHY: &str = mark!("Released: found in airworthy condition at this inspection");
pub const GROUNDED_DRAFT: &str =
    mark!("NOT AIRWORTHY as it stands: at least one open defect keeps the airframe on the ground");

pub const GOVERNS: &str = mark!(
    "The type's manual, local rules and the licensed person govern. A pass is a record of what was seen, \
     not proof that nothing is there."
);

pub const TITLE: &str = mark!("Annual inspection");
pub const CONTENTS: &str = mark!("Contents");
pub const SKIP: &str = mark!("Skip to the content");

/// Ids and titles of the parts, in their order.
pub const COVER: (&str, &str) = ("cover", mark!("Annual inspection"));
pub const LOGBOOK: (&str, &str) = ("logbook", mark!("Logbook entry"));
pub const DISCREPANCIES: (&str, &str) = ("discrepancies", mark!("List of discrepancies"));
pub const DEFECTS: (&str, &str) = ("defects", mark!("Defects"));
pub const DUE: (&str, &str) = ("due", mark!("What falls due next"));
pub const REPORTS: (&str, &str) = ("reports", mark!("Reports and how each was dealt with"));
pub const RECORDS: (&str, &str) = ("records", mark!("Directives and life-limited items"));
pub const WORKSHEET: (&str, &str) = ("worksheet", mark!("Worksheet record"));
pub const MEASUREMENTS: (&str, &str) = ("measurements", mark!("Measurement record"));
pub const HANDOVER: (&str, &str) = ("handover", mark!("Hand-over to the repairer"));
pub const VERIFY: (&str, &str) = ("verify", mark!("How to verify this record"));

/// Every part with what it holds, for help and messages.
pub const PARTS: [(&str, &str); 11] = [
    COVER,
    LOGBOOK,
    DISCREPANCIES,
    DEFECTS,
    DUE,
    REPORTS,
    RECORDS,
    WORKSHEET,
    MEASUREMENTS,
    HANDOVER,
    VERIFY,
];

pub const STRUCK_RULE: &str =
    mark!("What was taken back or corrected stays, struck through, with who did it, when and why.");
pub const CLOCK_RULE: &str = mark!(
    "Times are those of the inspector's clock as recorded; numbers in brackets are entries of the record."
);
/// Of a picture of earlier annuals, for whoever cannot see it.
pub fn trend_description(count: usize, first: &str) -> String {
    match count {
        1 => say!(
            "The value of the annual of {first} and that of this one; bars are two standard uncertainties.",
            first
        ),
        count => say!(
            "The values of {count} earlier annuals since {first}, and that of this one; bars are two standard uncertainties.",
            count,
            first
        ),
    }
}

pub const NO_TREND: &str = mark!("Earlier readings that stand beside none of today");
pub const NO_SUCH_STEP: &str = mark!("this plan has no step of that name.");
pub const NO_SUCH_MEASURE: &str = mark!("the step has no measurement of that name in this plan.");
pub const NOT_READ_TODAY: &str = mark!("there is no reading of it at this annual.");
pub const NOT_COMPARABLE: &str =
    mark!("it is of the same day or later, or in a unit that does not fit today's.");
pub const RENAMED: &str = mark!(
    "Checklists do not tell which name a step or a measurement had before. Where one was renamed, change step \
     and measure of these earlier readings in the airframe's record; the trend is drawn from then on."
);
pub const AS_ENTERED: &str =
    mark!("Readings stand as they were entered, in the unit in which they were entered.");
pub const NOTHING: &str = mark!("None.");
pub const NO_PLACE: &str = mark!("place not recorded");
pub const NOT_RECORDED: &str = mark!("not on record");
pub const UNANSWERED: &str = mark!("UNANSWERED");
pub const NOT_DEALT_WITH: &str = mark!("NOT DEALT WITH");

pub const ENTRY_43_11: &str = mark!(
    "Elements after 14 CFR 43.11(a): type of inspection and its extent; date and total time in service; \
     signature, certificate number and kind of certificate; statement."
);
pub const ENTRY_43_9: &str = mark!(
    "Defects rectified at this inspection need an entry of their own for that work (14 CFR 43.9), by whoever \
     approved it."
);
pub const ENTRY_ML: &str = mark!(
    "Elements after ML.A.801(e) (from memory, to be compared with the current text): basic details of the \
     maintenance; date of completion; identity and authorisation of who releases; limitations."
);
pub const ML_STATEMENT: &str = mark!(
    "Certifies that the work specified, except as otherwise specified, was carried out in accordance \
     with Part-ML, and in respect to that work, the aircraft is considered ready for release to service."
);
pub const ML_STATEMENT_SOURCE: &str = mark!(
    "Wording of the certificate of release to service for certifying staff, after the text for \
     Part-M with the name replaced; punctuation from memory. A person must compare it with the current official text. It is printed \
     for the certifier to sign by hand where Part-ML applies; the electronic signature covers the statement above only."
);
pub const ML_WITHHELD: &str =
    mark!("No certificate of release to service is printed: the inspection was not signed as a release.");
pub const STATEMENT_SOURCE: &str =
    mark!("Wording after 14 CFR 43.11(a)(4) and (5); local rules may ask for another.");
pub const DRAFT_ENTRY: &str = mark!(
    "There is no entry yet: the session is not signed. This page shows what the entry would be made of."
);

pub const LIST_RULE: &str = mark!(
    "A separate document, signed and dated, for the owner or operator (14 CFR 43.11(b)). Items that may stay \
     inoperative are placarded \"Inoperative\" and stand on this list, too. Keep it until the items are put right and \
     approved (91.417(b)(3), from memory)."
);
pub const LIST_EMPTY_RELEASE: &str = mark!("Released without discrepancies: there is no list to hand over.");
pub const LIST_DRAFT: &str =
    mark!("Not signed: this is the list as it stands now, not the list of 14 CFR 43.11(b).");

pub const DUE_RULE: &str = mark!(
    "Computed from the airframe's record and the answers of this annual, whichever limit comes first. The rule \
     that applies, and any tolerance, come from the programme, the manual or the authority."
);

pub const NOTHING_HANDED_OVER: &str = mark!(
    "No defect is referred to a repairer or keeps the airframe on the ground: there is nothing to hand over."
);
pub const HANDOVER_OPENING: &str = mark!(
    "Whether a proposed opening would be clear of what is entered here: spanwise opening. It is checked against \
     the type's data alone."
);
pub const NOTHING_BEHIND: &str = mark!(
    "The plan of this session holds no hidden item and no mapped area: nothing can be said from the data."
);
pub const ALL_COMPONENTS: &str =
    mark!("A defect names no component of these data: the items of all components are listed.");
pub const NO_MAPPED_AREA: &str =
    mark!("The type's data hold no mapped area here: what lies behind the skin is not completely known.");
pub const OUTSIDE_MAPPED: &str = mark!("Outside of these areas there may be items that nobody has entered.");

pub const ANCHOR_WHY: &str = mark!(
    "The code fixes everything before it: write it on the paper worksheet by ink, with time and initials."
);

pub const VERIFY_STEPS: [&str; 4] = [
    mark!("Is it whole, unaltered, signed, and by whom: spanwise verify SESSION --people people.toml"),
    mark!("Does a code on paper belong to it: spanwise anchor SESSION CODE"),
    mark!(
        "With OpenSSH alone: spanwise seal-files SESSION --into check writes each signed text, its signature and the list of signers. In \
     that folder, one command for each signature:"
    ),
    mark!("Take the list of signers from whoever keeps the people register, not from the one who signed."),
];
pub const VERIFY_PROVES: &str = mark!(
    "What this proves. The chain shows that nothing was changed without changing everything after it. The \
     signature shows that the holder of the key signed this and nothing else. Whoever holds the key could write another record and \
     sign that; only ink helps against it. This document is drawn from the record and proves nothing by itself."
);
pub const VERIFY_HASH: &str = mark!(
    "The signed text names the number of entries before it and the hash of the last of them; that hash is \
     found again in the session's folder with"
);
pub const NOTHING_SIGNED: &str = mark!("Nothing is signed in this session.");

/// The aircraft as every paper names it.
pub fn aircraft(frame: &AirframeFacts) -> String {
    say!(
        "{registration}, {type}, serial {serial}",
        registration = frame.registration,
        type = frame.type_name.as_deref().map_or(frame.type_id.as_str(), of_checklist),
        serial = frame.serial
    )
}

/// "page 2 of 9".
pub fn page_of(page: usize, of: usize) -> String {
    say!("page {page} of {of}", page, of)
}

/// Over lines at the head of a page that belong to a row of the page before.
pub fn continued(name: &str) -> String {
    say!("{name} (continued)", name)
}

/// A struck thing in plain text, where no line can be drawn through it.
pub fn struck_in_text(text: &str) -> String {
    say!("[struck: {text}]", text)
}

/// Who struck it, when and why.
pub fn struck_by(entry: u64, when: &str, by: &str, why: &str) -> String {
    say!("struck by {by}, {when} [{entry}]: {why}", by, when = moment_of(when), entry, why)
}

pub const BEFORE_RECTIFICATION: &str = mark!("before the rectification");
