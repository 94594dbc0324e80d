//! Title and instruction do not say otherwise than the configuration how the airframe stands for this step.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::bench::text::{has_phrase, sentences, words};
use crate::checklist::{Aspect, Setting, Step};
use crate::diagnostic::{Diagnostic, Weight};
use crate::source::Located;

pub const RULE: Rule = Rule {
    code: "text-against-configuration",
    weight: Weight::Error,
    doc: mark!(
        "Title and instruction do not say otherwise than the configuration how the airframe stands for this \
          step. Only words about the step's own set-up count: a title that speaks of no change (\"Flex test, \
          tailplane off\"), a sentence of the instruction that begins \"With the tailplane off\"."
    ),
    why: mark!("One of the two is wrong, and whoever works the step follows one of them."),
    bad: r#"title = "Flex test, tailplane off"
configuration = { tailplane = "on" }
"#,
    good: r#"title = "Flex test, tailplane off"
configuration = { tailplane = "off" }
"#,
    found_by: FoundBy::Bench(find),
};

const PHRASES: &[(&str, Aspect, Setting)] = &[
    ("tailplane off", Aspect::Tailplane, Setting::Off),
    ("tailplane removed", Aspect::Tailplane, Setting::Off),
    ("tailplane on", Aspect::Tailplane, Setting::On),
    ("tailplane fitted", Aspect::Tailplane, Setting::On),
    ("wings rigged", Aspect::Wings, Setting::Rigged),
    ("wings on", Aspect::Wings, Setting::Rigged),
    ("rigged", Aspect::Wings, Setting::Rigged),
    ("wings derigged", Aspect::Wings, Setting::Derigged),
    ("wings off", Aspect::Wings, Setting::Derigged),
    ("derigged", Aspect::Wings, Setting::Derigged),
    ("on trestles", Aspect::Support, Setting::Trestles),
    ("on its belly dolly", Aspect::Support, Setting::BellyDolly),
    ("on the belly dolly", Aspect::Support, Setting::BellyDolly),
    ("on its wheel", Aspect::Support, Setting::Wheel),
    ("tail wheel clear", Aspect::TailWheel, Setting::Clear),
    ("tail wheel loaded", Aspect::TailWheel, Setting::Loaded),
    ("controls connected", Aspect::Controls, Setting::Connected),
    ("controls disconnected", Aspect::Controls, Setting::Disconnected),
    ("panels out", Aspect::Panels, Setting::Out),
    ("seat pan out", Aspect::Panels, Setting::Out),
    ("panels in", Aspect::Panels, Setting::In),
    ("seat pan in", Aspect::Panels, Setting::In),
    ("power on", Aspect::Power, Setting::On),
    ("power off", Aspect::Power, Setting::Off),
];

/// The last words of the phrases.
const ENDINGS: &[&str] = &[
    "off",
    "removed",
    "on",
    "fitted",
    "rigged",
    "derigged",
    "trestles",
    "dolly",
    "wheel",
    "clear",
    "loaded",
    "connected",
    "disconnected",
    "out",
    "in",
];

/// Words that tell of a change, a comparison or a denial: then the phrase may not be about this step's set-up.
const OTHER_TIMES: &[&str] = &[
    "then",
    "before",
    "after",
    "until",
    "not",
    "never",
    "without",
    "remove",
    "removal",
    "removing",
    "refit",
    "fit",
    "fitting",
    "versus",
    "against",
    "compare",
    "again",
    "later",
    "earlier",
    "first",
    "if",
    "when",
    "from",
    "to",
    "or",
    "on trestles as",
    "wing",
];

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    for step in subject.steps().filter(|step| !step.value.configuration.is_empty()) {
        judge(subject, step, "title", &step.value.title, found);
        // "with" is rare enough at the beginning of a sentence that most texts are done after one look.
        if !step.value.instruction.contains("ith ") {
            continue;
        }
        for sentence in sentences(&step.value.instruction) {
            if sentence.starts_with("With ") || sentence.starts_with("with ") {
                let clause = sentence.split([',', ';', '(']).next().unwrap_or_default();
                judge(subject, step, "instruction", clause, found);
            }
        }
    }
}

/// Whether one of the words stands in the text that a phrase ends with. Most texts have none, and are done.
fn has_ending(text: &str) -> bool {
    words(text).any(|word| ENDINGS.iter().any(|ending| ending.eq_ignore_ascii_case(word)))
}

fn judge(subject: &Subject<'_>, step: &Located<Step>, key: &str, text: &str, found: &mut Vec<Diagnostic>) {
    if !has_ending(text) {
        return;
    }
    let lower = text.to_ascii_lowercase();
    if words(&lower).any(|word| OTHER_TIMES.contains(&word)) {
        return;
    }
    let mut told = Vec::new();
    for (phrase, aspect, said) in PHRASES {
        let Some(setting) = step.value.configuration.get(*aspect) else { continue };
        if setting == *said || told.contains(aspect) || !has_phrase(&lower, phrase) {
            continue;
        }
        // Both ways in one text: it tells of more than one set-up.
        let is_both = PHRASES
            .iter()
            .any(|(other, of, way)| of == aspect && *way == setting && has_phrase(&lower, other));
        if is_both {
            continue;
        }
        told.push(*aspect);
        let message = say!(
            "the {key} says \"{phrase}\", the configuration {} = \"{}\"",
            aspect.word(),
            setting.word(),
            key = key,
            phrase = phrase
        );
        found.push(
            subject
                .fault(RULE.code, subject.words(step, key, phrase), message)
                .related(
                    subject.place(subject.within(step, "configuration", aspect.word())),
                    say!("says otherwise"),
                )
                .hint(say!("correct whichever is wrong")),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::{PHRASES, has_ending};

    #[test]
    fn no_phrase_is_passed_over() {
        for (phrase, _, _) in PHRASES {
            assert!(has_ending(phrase) && has_ending(&phrase.to_uppercase()), "{phrase}");
        }
        assert!(!has_ending("Skin and joint at place 7"));
    }
}
