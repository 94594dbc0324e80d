//! Editions beside each other: what is told, which step of the version it demands, and the register.

use std::collections::BTreeMap;
use std::sync::Arc;

use proptest::prelude::*;
use semver::Version;
use spanwise::checklist::{
    Aspect, Checklist, Condition, EvidenceDemand, EvidenceKind, Kind, MeasureKind, OnFailure, Setting,
    Severity, builtin_register, builtin_sources, read_checklist,
};
use spanwise::diagnostic::Source;
use spanwise::edition::{
    EditionDifference, FieldChange, Issued, Kept, Nature, VersionStep, check_kept, compare_editions,
    file_hash, kept, read_register, with_entry, with_value,
};
use spanwise::quantity::{Limit, Quantity};
use spanwise::source::Located;

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

/// A change of one step, or of the whole; applied in the order of this list, so that none undoes an earlier one.
type Change = fn(&mut Checklist, usize);

fn step_at(of: &mut Checklist, at: usize) -> &mut spanwise::checklist::Step {
    let at = at % of.steps.len();
    &mut of.steps[at].value
}

const CHANGES: &[Change] = &[
    |of, at| step_at(of, at).title.push_str(" anew"),
    |of, at| step_at(of, at).instruction.push_str("\nSlowly."),
    |of, at| step_at(of, at).instruction.push_str("  "),
    |of, at| step_at(of, at).instruction.push_str(" Not above 99 mm."),
    |of, at| step_at(of, at).caution = None,
    |of, at| step_at(of, at).mandatory ^= true,
    |of, at| step_at(of, at).may_be_not_applicable ^= true,
    |of, at| step_at(of, at).independent ^= true,
    |of, at| step_at(of, at).loads ^= true,
    |of, at| step_at(of, at).minutes += 7,
    |of, at| step_at(of, at).people += 1,
    |of, at| step_at(of, at).kit.push("new lamp".to_string()),
    |of, at| step_at(of, at).kit.reverse(),
    |of, at| step_at(of, at).basis.clear(),
    |of, at| step_at(of, at).basis.push(Located::new("common practice".to_string(), 0..0)),
    |of, at| step_at(of, at).after.push(Located::new("elsewhere.step".to_string(), 0..0)),
    |of, at| step_at(of, at).configuration.set(Aspect::Power, Setting::On),
    |of, at| step_at(of, at).when.push(Condition::LaunchesAtLeast(77)),
    |of, at| step_at(of, at).evidence.clear(),
    |of, at| {
        let what = "the place".to_string();
        let id = "new".to_string();
        step_at(of, at).evidence.push(EvidenceDemand { id, kind: EvidenceKind::Photo, count: 1, what });
    },
    |of, at| {
        let failure = step_at(of, at).on_failure.get_or_insert(OnFailure {
            severity: Severity::Minor,
            hint: None,
            follow: Vec::new(),
            may_defer: false,
        });
        failure.severity =
            if failure.severity == Severity::Grounding { Severity::Minor } else { Severity::Grounding };
    },
    |of, at| {
        for measure in &mut step_at(of, at).measures {
            measure.readings += 1;
        }
    },
    |of, at| {
        for measure in &mut step_at(of, at).measures {
            measure.instrument ^= true;
        }
    },
    |of, at| {
        for measure in &mut step_at(of, at).measures {
            if let MeasureKind::Number { unit, limit } = &mut measure.kind {
                *limit = match limit.take() {
                    Some(_) => None,
                    None => {
                        let most = Quantity::new(5.into(), *unit);
                        Some(Limit::new(None, Some(most)).unwrap_or_else(|error| panic!("{error}")))
                    }
                };
            }
        }
    },
    |of, at| step_at(of, at).measures.reverse(),
    |of, _| of.about.push_str(" More words."),
    |of, _| of.requires.clear(),
    |of, at| {
        if let Kind::Supplement(content) = &mut of.kind
            && !content.tighten.is_empty()
        {
            let at = at % content.tighten.len();
            content.tighten[at].value.readings = Some(9);
        }
    },
    |of, _| {
        if let Kind::Supplement(content) = &mut of.kind {
            content.withdraw.pop();
        }
    },
    |of, at| {
        if let Kind::Supplement(content) = &mut of.kind {
            let items = &mut content.of_type.hidden_items;
            if !items.is_empty() {
                let at = at % items.len();
                items[at].tolerance_mm = 99.into();
            }
        }
    },
    |of, at| {
        if let Kind::Module(selection) = &mut of.kind {
            selection.occurrences.push(Located::new(format!("kind-{at}"), 0..0));
        }
    },
    |of, at| {
        let mut step = step_at(of, at).clone();
        step.id.push_str("-new");
        if of.step(&step.id).is_none() {
            of.steps.push(Located::new(step, 0..0));
        }
    },
    |of, _| {
        let last = of.steps.len() - 1;
        of.steps.swap(0, last);
    },
    |of, at| {
        let at = at % of.steps.len();
        if of.steps.len() > 2 {
            of.steps.remove(at);
        }
    },
];

fn make(base: &Checklist, changes: &[(usize, usize)]) -> Checklist {
    let mut sorted = changes.to_vec();
    sorted.sort_unstable();
    sorted.dedup();
    let mut made = base.clone();
    for (change, at) in sorted {
        CHANGES[change](&mut made, at);
    }
    made
}

/// All that an edition says, for telling whether two are equal: written down by the compiler, not by the comparison.
fn content(of: &Checklist) -> String {
    let Checklist {
        source: _,
        id,
        version: _,
        title,
        issued: _,
        author,
        about,
        requires,
        kind,
        sections,
        steps,
    } = of;
    format!("{id:?} {title:?} {author:?} {about:?} {requires:?} {kind:?} {sections:?} {steps:?}")
}

fn some_changes() -> impl Strategy<Value = Vec<(usize, usize)>> {
    prop::collection::vec((0..CHANGES.len(), 0..4usize), 0..5)
}

fn bases() -> impl Strategy<Value = Checklist> {
    prop_oneof![Just(read("old", FIN_ROOT)), Just(read("old", SUPPLEMENT))]
}

fn counts(of: &EditionDifference, turned: bool) -> BTreeMap<Nature, usize> {
    let mut found = BTreeMap::new();
    // How many steps have to be moved is the same either way, which ones need not be.
    for change in of.changes() {
        let nature = if turned { change.nature.turned() } else { change.nature };
        *found.entry(nature).or_insert(0) += 1;
    }
    found
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn nothing_is_told_of_equal_editions_and_something_of_unequal_ones(
        base in bases(),
        one in some_changes(),
        other in some_changes(),
    ) {
        let (one, other) = (make(&base, &one), make(&base, &other));
        let difference = compare_editions(&one, &other);
        prop_assert_eq!(difference.is_empty(), content(&one) == content(&other), "{:#?}", difference);
        prop_assert_eq!(difference.demands().is_none(), difference.is_empty());
    }

    #[test]
    fn a_further_change_never_demands_less(base in bases(), some in some_changes(), more in some_changes()) {
        let all: Vec<_> = some.iter().chain(&more).copied().collect();
        let demands = |changes: &[(usize, usize)]| compare_editions(&base, &make(&base, changes)).demands();
        prop_assert!(demands(&some) <= demands(&all), "{:?} {:?}", demands(&some), demands(&all));
    }

    #[test]
    fn turned_round_added_and_withdrawn_tightened_and_loosened_change_places(
        base in bases(),
        one in some_changes(),
        other in some_changes(),
    ) {
        let (one, other) = (make(&base, &one), make(&base, &other));
        let (there, back) = (compare_editions(&one, &other), compare_editions(&other, &one));
        prop_assert_eq!(counts(&there, false), counts(&back, true), "{:#?}\n{:#?}", there, back);
    }
}

#[test]
fn every_built_in_edition_is_as_the_register_says() {
    let (sources, register) = (builtin_sources(), builtin_register());
    let entries = read_register(&register).unwrap_or_else(|faults| panic!("{faults:?}"));
    let faults = check_kept(&register, &entries, &sources);
    assert!(faults.is_empty(), "an issued edition was edited: {faults:?}");
    let entered: Vec<String> = entries.iter().map(Issued::file).collect();
    for source in &sources {
        let file = source.name.trim_start_matches("built in: ").to_string();
        assert!(entered.contains(&file), "{file} is not in checklists/issued.toml");
    }
    assert_eq!(entered.len(), sources.len());
}

#[test]
fn every_step_of_a_built_in_version_is_at_least_the_one_demanded() {
    let library = spanwise::checklist::Library::read(&builtin_sources());
    let mut pairs = 0;
    for new in library.all() {
        let Some(old) = library.below(&new.id.value, &new.version.value) else { continue };
        let made = VersionStep::between(&old.version.value, &new.version.value);
        let demanded = compare_editions(old, new).demands();
        assert!(made >= demanded, "{} {}: {demanded:?}", new.id.value, new.version.value);
        pairs += 1;
    }
    assert!(pairs >= 2, "{pairs}");
}

fn entry(text: &str) -> Issued {
    Issued {
        id: "fin-root".to_string(),
        version: Version::new(1, 0, 0),
        sha256: file_hash(text),
        on: chrono::NaiveDate::from_ymd_opt(2026, 3, 1).expect("a day"),
        by: "Ada \"the pen\" Orrel\\".to_string(),
        at: 0,
    }
}

#[test]
fn an_entry_is_appended_and_read_back() {
    let first = with_entry("", &entry("a"));
    let second = with_entry(&first, &Issued { version: Version::new(1, 1, 0), ..entry("b") });
    assert!(second.starts_with(&first), "an entry changed what stands before it");
    let read = read_register(&Source::new("issued.toml", second.as_str()))
        .unwrap_or_else(|faults| panic!("{faults:?}"));
    assert_eq!(read.len(), 2);
    assert_eq!(
        (read[0].by.as_str(), read[1].version.to_string().as_str()),
        ("Ada \"the pen\" Orrel\\", "1.1.0")
    );
    let twice = with_entry(&first, &entry("a"));
    let faults = read_register(&Source::new("issued.toml", twice)).expect_err("entered twice");
    assert!(faults[0].to_string().contains("entered twice"), "{faults:?}");
}

#[test]
fn an_altered_or_missing_edition_is_a_fault_with_both_hashes() {
    let register = Source::new("checklists/issued.toml", with_entry("", &entry("as issued")));
    let file = |text: &str| vec![Source::new("checklists/fin-root/1.0.0.toml", text)];
    let check = |sources: &[Arc<Source>]| {
        let entries = read_register(&register).unwrap_or_else(|faults| panic!("{faults:?}"));
        check_kept(&register, &entries, sources).iter().map(ToString::to_string).collect::<Vec<_>>()
    };
    assert!(check(&file("as issued")).is_empty());
    let told = check(&file("as issued ")).join("");
    for part in ["fin-root/1.0.0.toml", &file_hash("as issued"), &file_hash("as issued "), "2026-03-01"] {
        assert!(told.contains(part), "{told}");
    }
    assert!(check(&[]).join("").contains("missing"));
    assert_eq!(kept(&entry("x"), &file("x")), Kept::AsIssued);
}

/// FIPS 180-2, appendix B.1: the SHA-256 of "abc".
#[test]
fn the_hash_is_sha_256() {
    let published = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
    assert_eq!(file_hash("abc"), published);
}

#[test]
fn a_value_is_changed_and_every_other_byte_stays() {
    let text = "# head\r\nversion   =  \"1.0.0\"   # wanted\r\ntext = '''\nversion = \"9\"\n'''\r\n";
    let changed = with_value(text, "version", "\"1.1.0\"").unwrap_or_else(|why| panic!("{why}"));
    assert_eq!(changed, text.replacen("1.0.0", "1.1.0", 1));
    assert!(with_value(text, "title", "1").expect_err("no such key").contains("title"));
}

/// The text without the piece, which must be the text before.
fn without(made: &spanwise::edition::Insertion) -> String {
    format!("{}{}", &made.text[..made.at], &made.text[made.at + made.length..])
}

#[test]
fn a_step_goes_behind_the_last_of_its_section_and_nothing_else_changes() {
    let text = "# head\n[[step]] # first\nid = \"a.one\" # why\nsection = \"a\"\ntext = '''\n[[step]]\nid = \"no.step\"\n'''   # end of one\n\n\
                [[step.measure]]\nid = \"x\"\n\n# of two\n[[step]]\nid = \"b.two\"\nsection = \"b\"\n\n# last words\n[[withdraw]]\nstep = \"c\"\n";
    let block = "[[step]]\nid = \"a.new\"\n";
    let made = spanwise::edition::insert_step(text, "a", block).unwrap_or_else(|why| panic!("{why}"));
    assert_eq!(without(&made), text);
    assert!(made.text.contains("id = \"x\"\n\n[[step]]\nid = \"a.new\"\n\n# of two\n"), "{}", made.text);
    // A section without steps: behind the last step, and before the comment of what follows.
    let made = spanwise::edition::insert_step(text, "z", block).unwrap_or_else(|why| panic!("{why}"));
    assert_eq!(without(&made), text);
    assert!(
        made.text.contains("section = \"b\"\n\n[[step]]\nid = \"a.new\"\n\n# last words\n"),
        "{}",
        made.text
    );
    // No steps at all, no end of line, and the line ends of another system.
    let made =
        spanwise::edition::insert_step("id = 1\r\nx = 2", "a", block).unwrap_or_else(|why| panic!("{why}"));
    assert_eq!(made.text, "id = 1\r\nx = 2\r\n\r\n[[step]]\r\nid = \"a.new\"\r\n");
    assert!(spanwise::edition::insert_step("step = [ { id = \"a\" } ]", "a", block).is_err());
}

proptest! {
    /// Whatever is typed stands in the file as it was typed.
    #[test]
    fn typed_words_are_read_back(words in "[ -~äß\n]{1,80}", id in "[a-z]{1,9}") {
        prop_assume!(!words.trim().is_empty());
        let step = spanwise::edition::NewStep {
            id: format!("fin-root.new-{id}"),
            section: "fin-root".to_string(),
            title: "Title".to_string(),
            instruction: words.clone(),
            caution: words.clone(),
            basis: vec![words.clone()],
            people: 1,
            ..Default::default()
        };
        let made = spanwise::edition::insert_step(FIN_ROOT, &step.section, &step.to_toml());
        let made = made.unwrap_or_else(|why| panic!("{why}"));
        prop_assert_eq!(without(&made), FIN_ROOT);
        let checklist = read("made", &made.text);
        let found = &checklist.step(&step.id).unwrap_or_else(|| panic!("it is there")).value;
        prop_assert_eq!(&found.instruction, words.trim());
        prop_assert_eq!(found.caution.as_deref(), Some(words.trim()));
        prop_assert_eq!(found.basis[0].value.trim(), words.trim());
    }
}
