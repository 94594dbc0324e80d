//! Every applicable row of 14 CFR 43 Appendix D and of the minimum inspection programme for sailplanes is
//! answered by at least one step. The id lists and their sources stand in `src/coverage`.

use std::collections::{BTreeMap, BTreeSet};

use spanwise::checklist::{Checklist, Kind, Library, builtin_sources};
use spanwise::coverage::{Applies, RuleRow, Standing, Subject, cover, lists};
use spanwise::diagnostic::render;
use spanwise::vocabulary::{OCCURRENCES, REPORTS};

fn library() -> Library {
    let library = Library::read(&builtin_sources());
    assert!(library.faults.is_empty(), "{}", render(&library.faults, false));
    library
}

fn programme(library: &Library) -> &Checklist {
    library
        .newest()
        .find(|checklist| matches!(checklist.kind, Kind::Programme))
        .unwrap_or_else(|| panic!("no programme"))
}

/// Rows of the list whose ids begin like this.
fn rows(begin: &str) -> Vec<RuleRow> {
    let lists = lists().unwrap_or_else(|error| panic!("{error}"));
    lists.into_iter().flat_map(|list| list.rows).filter(|row| row.id.starts_with(begin)).collect()
}

const APPENDIX_D: &str = "43D(";
const MINIMUM_PROGRAMME: &str = "MIP-S-";

#[test]
fn the_lists_are_whole() {
    // 43 App. D: (a), 3 of (b), 7 of (c), 11 of (d), 10 of (e), (f), (g), 4 of (h), 4 of (i), (j).
    assert_eq!(rows(APPENDIX_D).len(), 43);
    // G 4, A 7, C 10, L 6, W 9, E 6, V 5, M 3, and power plants, which a pure glider does not have.
    let sailplane = rows(MINIMUM_PROGRAMME).into_iter().filter(|row| row.applies != Applies::Never).count();
    assert_eq!(sailplane, 50);
}

#[test]
fn every_applicable_row_is_answered_by_a_step() {
    let library = library();
    let programme = programme(&library);
    let answered: BTreeSet<&str> =
        programme.steps.iter().flat_map(|step| &step.value.basis).map(|rule| rule.value.as_str()).collect();
    let open: Vec<String> = rows(APPENDIX_D)
        .into_iter()
        .chain(rows(MINIMUM_PROGRAMME))
        .filter(|row| row.applies != Applies::Never && !answered.contains(row.id.as_str()))
        .map(|row| format!("{} {}", row.id, row.item))
        .collect();
    assert!(open.is_empty(), "not answered:\n{}", open.join("\n"));
}

#[test]
fn no_step_names_a_row_that_does_not_exist() {
    let library = library();
    let known: BTreeSet<String> =
        rows(APPENDIX_D).into_iter().chain(rows(MINIMUM_PROGRAMME)).map(|row| row.id).collect();
    for checklist in library.all() {
        for rule in checklist.steps.iter().flat_map(|step| &step.value.basis) {
            let is_row = rule.value.starts_with("43D(") || rule.value.starts_with("MIP-S-");
            assert!(!is_row || known.contains(&rule.value), "{}: {}", checklist.id.value, rule.value);
        }
    }
}

#[test]
fn the_programme_is_a_real_one() {
    let library = library();
    let programme = programme(&library);
    assert!((100..=140).contains(&programme.steps.len()), "{} steps", programme.steps.len());
    for step in &programme.steps {
        let length = step.value.instruction.chars().count();
        assert!(length >= 120, "{} tells too little ({length} characters)", step.value.id);
        assert!(!step.value.basis.is_empty(), "{} names no rule and no \"common practice\"", step.value.id);
    }
    let mut seen: BTreeMap<&str, &str> = BTreeMap::new();
    for step in &programme.steps {
        if let Some(twin) = seen.insert(&step.value.instruction, &step.value.id) {
            panic!("{} repeats the instruction of {twin}", step.value.id);
        }
    }
}

#[test]
fn two_types_and_at_least_eight_modules() {
    let library = library();
    assert!(library.types().len() >= 2, "{:?}", library.types());
    let modules = library.newest().filter(|checklist| matches!(checklist.kind, Kind::Module(_))).count();
    assert!(modules >= 8, "{modules} modules");
}

#[test]
fn what_a_pilot_reports_selects_a_module_or_is_set_aside_on_purpose() {
    /// Answered by the programme's own steps or by a written reason.
    const WITHOUT_MODULE: &[&str] = &["other-report", "other-occurrence", "radio-fault", "instrument-doubt"];
    let library = library();
    for (kind, words) in REPORTS.iter().chain(OCCURRENCES) {
        let selected = !library.modules_for(kind).is_empty();
        assert_eq!(selected, !WITHOUT_MODULE.contains(kind), "{kind}: {words}");
    }
}

#[test]
fn a_step_that_loads_has_a_caution_and_a_ceiling() {
    let library = library();
    for checklist in library.all() {
        for step in checklist.steps.iter().map(|step| &step.value) {
            if step.loads {
                assert!(step.caution.is_some(), "{}", step.id);
            }
        }
    }
}

#[test]
fn each_row_says_how_far_it_was_compared_with_a_text() {
    for row in rows("") {
        assert!(!row.source.is_empty() && !row.item.is_empty(), "{}", row.id);
    }
    // (a) was read in its own text; (c)(1) is from memory (tests of the lists' own words).
    let words = |id: &str| rows(id).first().map(|row| row.compared.words());
    assert_eq!(words("43D(a)"), Some("seen"));
    assert_eq!(words("43D(c)(1)"), Some("from memory, to be compared"));
    assert_eq!(words("MIP-S-G2"), Some("partly seen"));
    assert_eq!(words("MIP-S-A1"), Some("from memory"));
}

#[test]
fn the_matrix_agrees_with_the_steps_and_misses_what_is_taken_out() {
    let library = library();
    let lists = lists().unwrap_or_else(|error| panic!("{error}"));
    let whole = Subject::of_checklist(programme(&library));
    let coverage = cover(&lists, &whole);
    assert!(coverage.is_whole());
    for rule in &coverage.rules {
        let by_hand: Vec<&str> = programme(&library)
            .steps
            .iter()
            .filter(|step| step.value.basis.iter().any(|basis| basis.value == rule.rule.id))
            .map(|step| step.value.id.as_str())
            .collect();
        let told: Vec<&str> = rule.answers.iter().map(|answer| answer.step.as_str()).collect();
        assert_eq!(told, by_hand, "{}", rule.rule.id);
    }
    // Without the steps that answer 43D(c)(2) it stands alone as not covered; where only optional ones do, that is told.
    let mut less = whole.clone();
    less.steps.retain(|(step, _)| !step.basis.iter().any(|basis| basis.value == "43D(c)(2)"));
    let standing = |subject: &Subject, id: &str| {
        cover(&lists, subject).rules.iter().find(|rule| rule.rule.id == id).map(|rule| rule.standing)
    };
    assert_eq!(standing(&less, "43D(c)(2)"), Some(Standing::NotCovered));
    assert!(!cover(&lists, &less).is_whole());
    let mut optional = whole;
    for (step, _) in &mut optional.steps {
        step.mandatory = false;
    }
    assert_eq!(standing(&optional, "43D(c)(2)"), Some(Standing::OptionalOnly));
}
