//! Editions beside each other: what is told, which step of the version it demands, and the register.

use semver::Version;
use spanwise::checklist::{Checklist, read_checklist};
use spanwise::diagnostic::Source;
use spanwise::edition::{FieldChange, Nature, VersionStep, compare_editions};
use spanwise::words::{Language, with_language};

const FIN_ROOT: &str = include_str!("../checklists/fin-root/1.0.0.toml");
const SUPPLEMENT: &str = include_str!("../checklists/varn-15-supplement/1.1.0.toml");

fn read(name: &str, text: &str) -> Checklist {
    read_checklist(&Source::new(name, text)).unwrap_or_else(|faults| panic!("{faults:?}"))
}

fn edited(text: &str, from: &str, to: &str) -> Checklist {
    assert!(text.contains(from), "\"{from}\" is not in the file");
    read("edited", &text.replacen(from, to, 1))
}

/// The one change that an edit of a file makes.
fn only(text: &str, from: &str, to: &str) -> FieldChange {
    let difference = compare_editions(&read("old", text), &edited(text, from, to));
    let changes: Vec<&FieldChange> = difference.changes().collect();
    let [change] = changes[..] else { panic!("{from} to {to}: {difference:#?}") };
    change.clone()
}

/// From, to, nature, step, words.
type Case = (&'static str, &'static str, Nature, VersionStep, &'static str);

const OF_A_MODULE: &[Case] = &[
    (
        "max_load = \"15\"",
        "max_load = \"14\"",
        Nature::Tightened,
        VersionStep::Minor,
        "limit tightened from load at most 15 kgf to load at most 14 kgf",
    ),
    (
        "max_load = \"15\"",
        "max_load = \"16\"",
        Nature::Loosened,
        VersionStep::Major,
        "limit loosened from load at most 15 kgf to load at most 16 kgf",
    ),
    ("minutes = 20", "minutes = 25", Nature::Changed, VersionStep::Minor, "minutes: 20, now 25"),
    (
        "title = \"Fin root and",
        "title = \"The fin root and",
        Nature::Reworded,
        VersionStep::Patch,
        "\"Fin\" is now \"The fin\"",
    ),
    (
        "composite-sailplane = \"^1.0\"",
        "composite-sailplane = \"^1.1\"",
        Nature::Changed,
        VersionStep::Minor,
        "builds on composite-sailplane ^1.1 instead of ^1.0",
    ),
];

const OF_A_SUPPLEMENT: &[Case] = &[
    (
        "max = \"0.25\"\nreadings = 3",
        "max = \"0.20\"\nreadings = 3",
        Nature::Tightened,
        VersionStep::Minor,
        "limit tightened from at most 0.25 to at most 0.20",
    ),
    (
        "max = \"0.25\"\nreadings = 3",
        "max = \"0.25\"\nreadings = 2",
        Nature::Loosened,
        VersionStep::Major,
        "readings: 3, now 2",
    ),
    (
        "fin_side_load_ceiling = \"150 N\"",
        "fin_side_load_ceiling = \"140 N\"",
        Nature::Tightened,
        VersionStep::Minor,
        "hand load on the fin top at most",
    ),
    (
        "nominal = \"152\"",
        "nominal = \"150\"",
        Nature::Changed,
        VersionStep::Major,
        "nominal value: 152, now 150",
    ),
    (
        "station = \"4110..4660 mm\"",
        "station = \"4100..4670 mm\"",
        Nature::Tightened,
        VersionStep::Minor,
        "station: 4110 to 4660 mm, now 4100 to 4670 mm",
    ),
    (
        "a nose hook cannot be fitted",
        "no nose hook can be fitted",
        Nature::Reworded,
        VersionStep::Patch,
        "reason reworded",
    ),
    (
        "accept = [\"whole\"]",
        "accept = [\"whole\", \"white line\"]",
        Nature::Loosened,
        VersionStep::Major,
        "good: whole, now whole, white line",
    ),
    (
        "when = [ { without_build_standard = \"B\" } ]\n",
        "",
        Nature::Tightened,
        VersionStep::Minor,
        "the conditions under which it belongs to an annual changed",
    ),
    // The words of an instruction may change; a figure in it is a demand.
    (
        "about 400 mm below",
        "about 450 mm below",
        Nature::Changed,
        VersionStep::Major,
        "instruction reworded: \"400\" is now \"450\"",
    ),
    (
        "Look at \\\nthe bond",
        "Look closely at \\\nthe bond",
        Nature::Reworded,
        VersionStep::Patch,
        "instruction reworded: new: \"closely\"",
    ),
    (
        "severity = \"grounding\", hint = \"The bolt",
        "severity = \"major\", hint = \"The bolt",
        Nature::Loosened,
        VersionStep::Major,
        "a failure was usually grounding and is now usually major",
    ),
    (
        "configuration = { tailplane = \"off\" }",
        "configuration = { tailplane = \"off\", wings = \"rigged\" }",
        Nature::Tightened,
        VersionStep::Minor,
        "configuration: now wings rigged",
    ),
    (
        "configuration = { tailplane = \"off\" }\n",
        "",
        Nature::Loosened,
        VersionStep::Major,
        "configuration: tailplane off no longer needed",
    ),
    (
        "kind = \"film\", count = 2",
        "kind = \"film\", count = 1",
        Nature::Loosened,
        VersionStep::Major,
        "evidence: 2 film",
    ),
    (
        "basis = [\"43.13(a)\", \"MIP-S-G3\"]",
        "basis = [\"43.13(a)\"]",
        Nature::Withdrawn,
        VersionStep::Major,
        "basis: gone \"MIP-S-G3\"",
    ),
];

mod editions {
    mod properties;
    mod register;
    mod written;
}

#[test]
fn each_change_is_told_with_its_nature_and_the_step_that_it_demands() {
    for (text, cases) in [(FIN_ROOT, OF_A_MODULE), (SUPPLEMENT, OF_A_SUPPLEMENT)] {
        for (from, to, nature, demands, words) in cases {
            let change = only(text, from, to);
            assert_eq!((change.nature, change.demands), (*nature, *demands), "{from}: {change:?}");
            assert!(change.words.contains(words), "{change:?}");
        }
    }
}

#[test]
fn a_moved_limit_is_told_whole_in_german() {
    with_language(Language::German, || {
        let change = only(FIN_ROOT, "max = \"15\"", "max = \"14.5\"");
        assert!(change.words.contains("höchstens 15 kgf auf höchstens 14,5 kgf"), "{change:?}");
    });
}

#[test]
fn a_withdrawal_and_its_return_change_places() {
    let gone = "[[withdraw]]\nstep = \"release.nose-hook\"\nreason = \"The Varn 15 has a centre-of-gravity hook only; a nose hook cannot be fitted.\"\n";
    let (with, without) = (read("with", SUPPLEMENT), edited(SUPPLEMENT, gone, ""));
    let back = compare_editions(&with, &without);
    assert_eq!(back.changes().map(|change| change.nature).collect::<Vec<_>>(), [Nature::Added]);
    let out = compare_editions(&without, &with);
    assert_eq!(out.demands(), Some(VersionStep::Major));
    assert!(out.changes().any(|change| change.words.contains("a nose hook cannot be fitted")), "{out:?}");
}

#[test]
fn a_step_that_only_changed_its_id_is_pointed_out() {
    let difference = compare_editions(
        &read("old", FIN_ROOT),
        &edited(FIN_ROOT, "id = \"fin-root.boom-twist\"", "id = \"fin-root.twist\""),
    );
    assert_eq!(difference.demands(), Some(VersionStep::Major));
    let words = "with the instruction of fin-root.boom-twist, which is gone";
    assert!(difference.changes().any(|change| change.words.contains(words)), "{difference:#?}");
}

#[test]
fn comments_and_the_date_of_issue_are_no_difference() {
    let other = FIN_ROOT.replacen("issued = 2026-03-01", "# a comment\nissued = 2026-12-24", 1);
    let other = other.replacen("version = \"1.0.0\"", "version = \"1.0.1\"", 1);
    assert!(compare_editions(&read("old", FIN_ROOT), &read("new", &other)).is_empty());
}

#[test]
fn the_steps_of_a_version() {
    let version = |text: &str| Version::parse(text).unwrap_or_else(|error| panic!("{error}"));
    for (from, to, step) in [
        ("1.0.0", "1.0.1", Some(VersionStep::Patch)),
        ("1.0.9", "1.1.0", Some(VersionStep::Minor)),
        ("1.9.9", "2.0.0", Some(VersionStep::Major)),
        ("1.0.0", "3.4.5", Some(VersionStep::Major)),
        ("1.0.0", "1.0.0", None),
        ("2.0.0", "1.9.0", None),
    ] {
        assert_eq!(VersionStep::between(&version(from), &version(to)), step, "{from} {to}");
    }
    assert_eq!(VersionStep::Minor.after(&version("1.2.3")).to_string(), "1.3.0");
}

#[test]
fn a_plan_frozen_before_lines_were_kept_keeps_its_bytes() {
    let old = r#"{"by":"s","reason":"r","what":"at most 1"}"#;
    let change: spanwise::plan::Change = serde_json::from_str(old).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(change.line, None);
    let again = serde_json_canonicalizer::to_string(&change).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(again, old);
}
