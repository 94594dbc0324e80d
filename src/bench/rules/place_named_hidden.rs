//! A step whose words name a place to look at stands in a configuration that lays it open, also where it names no
//! `looks_at`.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::bench::text::{has_phrase, sentences, words};
use crate::checklist::{Aspect, LaidOpen, Setting, Step};
use crate::diagnostic::{Diagnostic, Weight};
use crate::source::Located;

pub const RULE: Rule = Rule {
    code: "place-named-hidden",
    weight: Weight::Advice,
    doc: mark!(
        "A step whose title names a place, or whose instruction begins by looking at one, stands in a configuration \
          that lays it open: tailplane fittings, lift pins, drag pins, spar stub, root rib. Words are a weak sign, so \
          this is advice; with looks_at the step says it for certain."
    ),
    why: mark!("A step that asks for a look at what nobody can see gets an answer all the same."),
    bad: r#"title = "Tailplane fittings, bolts and bushes"
configuration = { tailplane = "on" }
"#,
    good: r#"title = "Tailplane fittings, bolts and bushes"
configuration = { tailplane = "off" }
"#,
    found_by: FoundBy::Bench(find),
};

const NAMED: &[(LaidOpen, Aspect, Setting, &[&str])] = &[
    (
        LaidOpen::TailplaneFittings,
        Aspect::Tailplane,
        Setting::Off,
        &[
            "tailplane fitting",
            "tailplane fittings",
            "fitting of the tailplane",
            "fittings of the tailplane",
            "tailplane attachment",
            "tailplane attachments",
        ],
    ),
    (LaidOpen::LiftPins, Aspect::Wings, Setting::Derigged, &["lift pin", "lift pins"]),
    (LaidOpen::DragPins, Aspect::Wings, Setting::Derigged, &["drag pin", "drag pins"]),
    (LaidOpen::SparStub, Aspect::Wings, Setting::Derigged, &["spar stub", "spar stubs", "spar tongue"]),
    (LaidOpen::WingRoot, Aspect::Wings, Setting::Derigged, &["root rib", "root ribs"]),
];

/// Words by which a sentence asks for a look.
const LOOKING: &[&str] = &["look", "inspect", "examine", "clean", "check", "see", "magnifier"];
/// Words by which it tells of another time, of a look from outside, or of play and noise that can be felt there.
const OTHERWISE: &[&str] = &[
    "then", "before", "after", "until", "not", "never", "without", "through", "play", "noise", "noises",
    "rock", "listen", "outside", "secured", "locked",
];
/// Where an instruction begins.
const BEGINNING_BYTES: usize = 200;

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    for step in subject.steps().filter(|step| !step.value.configuration.is_empty()) {
        if !step.value.looks_at.is_empty() {
            continue;
        }
        for (place, aspect, wanted, phrases) in NAMED {
            let Some(setting) = step.value.configuration.get(*aspect).filter(|setting| setting != wanted)
            else {
                continue;
            };
            let Some((key, phrase)) = named(step, phrases) else { continue };
            let message = say!(
                "the {key} names \"{phrase}\", and with {} {} nobody gets to see {}",
                aspect.word(),
                setting.word(),
                place.words(),
                key = key,
                phrase = phrase
            );
            found.push(
                subject
                    .fault(RULE.code, subject.words(step, key, phrase), message)
                    .advice()
                    .related(
                        subject.place(subject.within(step, "configuration", aspect.word())),
                        say!("with this"),
                    )
                    .hint(say!(
                        "write {} = \"{}\", or say what is looked at from there with looks_at",
                        aspect.word(),
                        wanted.word()
                    )),
            );
        }
    }
}

/// The key and the phrase by which a step says that it looks at a place.
fn named(step: &Located<Step>, phrases: &[&'static str]) -> Option<(&'static str, &'static str)> {
    let in_text = |text: &str| {
        let lower = text.to_lowercase();
        let is_otherwise = words(&lower).any(|word| OTHERWISE.contains(&word));
        phrases.iter().find(|phrase| !is_otherwise && has_phrase(&lower, phrase)).copied()
    };
    if let Some(phrase) = in_text(&step.value.title) {
        return Some(("title", phrase));
    }
    let instruction = &step.value.instruction;
    let mut end = BEGINNING_BYTES.min(instruction.len());
    while !instruction.is_char_boundary(end) {
        end -= 1;
    }
    let beginning = &instruction[..end];
    let asks = |sentence: &&str| {
        words(sentence)
            .next()
            .is_some_and(|first| LOOKING.iter().any(|word| word.eq_ignore_ascii_case(first)))
    };
    sentences(beginning).filter(asks).find_map(in_text).map(|phrase| ("instruction", phrase))
}
