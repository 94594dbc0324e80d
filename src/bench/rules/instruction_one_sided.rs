//! An instruction says what good or bad looks like, or what to record.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::bench::text::words;
use crate::diagnostic::{Diagnostic, Weight};

pub const RULE: Rule = Rule {
    code: "instruction-one-sided",
    weight: Weight::Advice,
    doc: mark!("An instruction says what good or bad looks like, or what to record."),
    why: mark!("Without it two inspectors judge the same thing differently."),
    bad: r#"instruction = "How: rock the tailplane at its tip up and down, fore and aft, with a light hand."
"#,
    good: r#"instruction = "How: rock the tailplane at its tip up and down, fore and aft. Good: no click. Bad: a knock."
"#,
    found_by: FoundBy::Bench(find),
};

const JUDGING: &[&str] = &[
    "good",
    "bad",
    "record",
    "sound",
    "note",
    "write",
    "enter",
    "measure",
    "compare",
    "limit",
    "must",
    "fail",
    "pass",
    "worn",
    "none",
    "no",
    "free",
    "read",
    "list",
    "reject",
    "acceptable",
];

/// Each holds a judging word as a whole word.
const HEADS: &[&str] = &["Good:", "Bad:", "Record:"];

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    for step in subject.steps().filter(|step| !step.value.instruction.is_empty()) {
        // Most texts have the heads of their parts, found without taking the text to words.
        if HEADS.iter().any(|head| step.value.instruction.contains(head)) {
            continue;
        }
        let judges = |word: &str| JUDGING.iter().any(|known| known.eq_ignore_ascii_case(word));
        let mut count = 0;
        if words(&step.value.instruction).inspect(|_| count += 1).any(judges) || count < 8 {
            continue;
        }
        let message =
            say!("the instruction of \"{}\" says neither what is good nor what to record", step.value.id);
        found.push(
            subject
                .fault(RULE.code, subject.at(step, "instruction"), message)
                .advice()
                .hint(say!("add what good and bad look like, and what to record")),
        );
    }
}
