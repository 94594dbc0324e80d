//! Every applicable row of 14 CFR 43 Appendix D and of the minimum inspection programme for sailplanes is
//! answered by at least one step. The id lists and their sources stand in `tests/reference`.

use std::collections::{BTreeMap, BTreeSet};

use serde::Deserialize;
use spanwise::checklist::{Checklist, Kind, Library, builtin_sources};
use spanwise::diagnostic::render;
use spanwise::vocabulary::{OCCURRENCES, REPORTS};

#[derive(Deserialize)]
struct Rows {
    row: Vec<Row>,
}

#[derive(Deserialize)]
struct Row {
    id: String,
    item: String,
    applies: String,
}

const APPENDIX_D: &str = include_str!("reference/appendix-d.toml");
const MINIMUM_PROGRAMME: &str = include_str!("reference/minimum-inspection-programme.toml");

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

fn rows(text: &str) -> Vec<Row> {
    toml::from_str::<Rows>(text).unwrap_or_else(|error| panic!("{error}")).row
}

#[test]
fn the_lists_are_whole() {
    // 43 App. D: (a), 3 of (b), 7 of (c), 11 of (d), 10 of (e), (f), (g), 4 of (h), 4 of (i), (j).
    assert_eq!(rows(APPENDIX_D).len(), 43);
    // G 4, A 7, C 10, L 6, W 9, E 6, V 5, M 3, and power plants, which a pure glider does not have.
    let sailplane = rows(MINIMUM_PROGRAMME).into_iter().filter(|row| row.applies != "N").count();
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
        .filter(|row| row.applies != "N" && !answered.contains(row.id.as_str()))
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
