//! TOML source → [`Checklist`], with every fault of the file in one pass.

use std::sync::Arc;

use semver::{Version, VersionReq};

use super::read_measure::read_measure;
use super::read_supplement::read_supplement;
use super::step::{EvidenceDemand, EvidenceKind, OnFailure, Section, Step};
use super::{Aspect, Checklist, Condition, Configuration, FORMAT, Kind, LaidOpen, Requirement, Selection};
use crate::diagnostic::{Diagnostic, Source};
use crate::source::{Located, Table, read_through, read_toml};
use crate::vocabulary::{EQUIPMENT, OCCURRENCES, REPORTS, Severity, is_id};
use crate::words::said;

const ID_HINT: &str = mark!("use lower-case words joined by \".\" or \"-\", such as wing.lift-pins");
/// Most characters of a step's title, so that it fits on one line of the worksheet.
pub const TITLE_LIMIT: usize = 60;

#[derive(Clone, Copy)]
pub(super) enum KindWord {
    Programme,
    Supplement,
    Module,
}

pub(super) const KINDS: &[(&str, KindWord)] =
    &[("programme", KindWord::Programme), ("supplement", KindWord::Supplement), ("module", KindWord::Module)];

/// Reads one checklist file. The error holds all its faults in file order.
pub fn read_checklist(source: &Arc<Source>) -> Result<Checklist, Vec<Diagnostic>> {
    read_toml(source, |root| read_root(source, root))
}

/// Reads as much of a checklist as can be read, with all faults that reading shows. What could not be read stands in it
/// empty: only where there are no faults is it a checklist to compose from.
pub fn read_checklist_through(source: &Arc<Source>) -> (Option<Checklist>, Vec<Diagnostic>) {
    read_through(source, |root| read_root(source, root))
}

fn read_root(source: &Arc<Source>, root: Table<'_>) -> Option<Checklist> {
    if let Some(format) = root.whole("format").filter(|format| format.value != FORMAT) {
        return root.reject(
            "format-unknown",
            format.span,
            say!("this program reads checklist format {FORMAT}, not {}", format.value, FORMAT = FORMAT),
            say!("use a program that knows this format"),
        );
    }
    let kind_word = root.required_choice("kind", KINDS);
    let id = root.required_text("id");
    let version = root.required_text("version").and_then(|text| read_version(&root, text));
    let title = root.required_text("title");
    let issued = root.required_date("issued");
    let author = root.text("author").map_or_else(String::new, |text| text.value);
    let about = root.text("about").map_or_else(String::new, |text| text.value);
    let requires = read_requires(&root);
    let sections = root.tables("section", mark!("a section")).into_iter().filter_map(read_section).collect();
    let steps: Vec<Located<Step>> =
        root.tables("step", mark!("a step")).into_iter().filter_map(read_step).collect();
    let kind = read_kind(&root, kind_word.map(|kind| kind.value));
    if let Some(id) = &id {
        check_id(&root, id, &['-']);
    }
    report_duplicates(&root, &steps);
    root.finish();
    Some(Checklist {
        source: Arc::clone(source),
        // What is missing was told; an empty value keeps the rest in reach of a check.
        id: id.unwrap_or_default(),
        version: version.unwrap_or(Located { value: Version::new(0, 0, 0), span: 0..0 }),
        title: title.map(|title| title.value).unwrap_or_default(),
        issued: issued.map(|issued| issued.value).unwrap_or_default(),
        author,
        about,
        requires,
        kind,
        sections,
        steps,
    })
}

/// What belongs to the kind alone. Without a kind, or with a misspelt one, it is guessed from what stands there, so that
/// no key is called unknown which only the missing word explains.
fn read_kind(root: &Table<'_>, word: Option<KindWord>) -> Kind {
    let guessed = word.unwrap_or_else(|| {
        root.know(&["selected_by", "type", "tighten", "withdraw", "hidden_item", "mapped_area"]);
        match (root.has("selected_by"), root.has("type")) {
            (true, _) => KindWord::Module,
            (_, true) => KindWord::Supplement,
            _ => KindWord::Programme,
        }
    });
    match guessed {
        KindWord::Programme => Kind::Programme,
        // A type that cannot be read was told.
        KindWord::Supplement => Kind::Supplement(Box::new(read_supplement(root))),
        KindWord::Module => Kind::Module(read_selection(root)),
    }
}

fn check_id(table: &Table<'_>, id: &Located<String>, joints: &[char]) {
    if !is_id(&id.value, joints) {
        table.reject::<()>(
            "id-form",
            id.span.clone(),
            say!("\"{}\" cannot be an id", id.value),
            said(ID_HINT),
        );
    }
}

fn report_duplicates(root: &Table<'_>, steps: &[Located<Step>]) {
    let mut seen: std::collections::BTreeMap<&str, &Located<Step>> = std::collections::BTreeMap::new();
    for step in steps.iter().filter(|step| !step.value.id.is_empty()) {
        match seen.get(step.value.id.as_str()) {
            Some(first) => root.fault(
                Diagnostic::new(
                    "duplicate-step",
                    root.place(step.span.clone()),
                    say!("the step \"{}\" stands here a second time", step.value.id),
                )
                .related(root.place(first.span.clone()), say!("first here"))
                .hint(say!("give one of them another id")),
            ),
            None => {
                seen.insert(&step.value.id, step);
            }
        }
    }
}

fn read_version(table: &Table<'_>, text: Located<String>) -> Option<Located<Version>> {
    match Version::parse(&text.value) {
        Ok(version) => Some(Located::new(version, text.span)),
        Err(error) => table.reject(
            "version-form",
            text.span,
            say!("\"{}\" is no version: {error}", text.value, error = error),
            say!("write three numbers, such as 1.0.0"),
        ),
    }
}

fn read_requires(root: &Table<'_>) -> Vec<Requirement> {
    let Some(table) = root.table("requires", "requires") else { return Vec::new() };
    let mut requires = Vec::new();
    for (id, range) in table.all_texts() {
        match VersionReq::parse(&range.value) {
            Ok(req) => requires.push(Requirement { id, range: req }),
            Err(error) => {
                root.reject::<()>(
                    "version-form",
                    range.span,
                    say!("\"{}\" is no range of versions: {error}", range.value, error = error),
                    say!("write it like \"^1.0\""),
                );
            }
        }
    }
    requires
}

fn read_section(table: Table<'_>) -> Option<Located<Section>> {
    let id = table.required_text("id");
    let title = table.required_text("title");
    if let Some(id) = &id {
        check_id(&table, id, &['-', '.']);
    }
    let span = id.as_ref().map_or(table.span(), |id| id.span.clone());
    table.finish();
    let title = title.map(|title| title.value).unwrap_or_default();
    Some(Located::new(Section { id: id?.value, title }, span))
}

fn read_step(table: Table<'_>) -> Option<Located<Step>> {
    let id = table.required_text("id");
    let section = table.required_text("section");
    let title = table.required_text("title");
    let instruction = table.required_text("instruction");
    if let Some(id) = &id {
        check_id(&table, id, &['-', '.']);
    }
    if let Some(title) = title.as_ref().filter(|title| title.value.chars().count() > TITLE_LIMIT) {
        table.reject::<()>(
            "title-long",
            title.span.clone(),
            say!("the title has {} characters", title.value.chars().count()),
            say!(
                "keep it to {TITLE_LIMIT}, and put the rest into the instruction",
                TITLE_LIMIT = TITLE_LIMIT
            ),
        );
    }
    let span = id.as_ref().map_or(table.span(), |id| id.span.clone());
    let step = Step {
        id: id.map(|id| id.value).unwrap_or_default(),
        section: section.unwrap_or_default(),
        title: title.map(|title| title.value).unwrap_or_default(),
        instruction: instruction.map(|text| text.value).unwrap_or_default(),
        caution: table.text("caution").map(|text| text.value),
        mandatory: table.flag("mandatory").unwrap_or(true),
        may_be_not_applicable: table.flag("may_be_not_applicable").unwrap_or(false),
        basis: table.texts("basis"),
        configuration: read_configuration(&table),
        after: table.texts("after"),
        last: table.flag("last").unwrap_or(false),
        people: at_least_one(&table, "people", 1),
        minutes: table.whole("minutes").map_or(5, |minutes| minutes.value),
        kit: table.texts("kit").into_iter().map(|item| item.value).collect(),
        loads: table.flag("loads").unwrap_or(false),
        independent: table.flag("independent").unwrap_or(false),
        when: table.tables("when", mark!("a condition")).into_iter().filter_map(read_condition).collect(),
        evidence: table
            .tables("evidence", mark!("an evidence demand"))
            .into_iter()
            .filter_map(read_evidence)
            .collect(),
        measures: table
            .tables("measure", mark!("a measurement"))
            .into_iter()
            .filter_map(read_measure)
            .collect(),
        on_failure: table.table("on_failure", "on_failure").and_then(read_on_failure),
        looks_at: read_looks_at(&table),
    };
    check_step(&table, &step, &span);
    table.finish();
    Some(Located::new(step, span))
}

/// Faults of meaning that one step shows by itself.
fn check_step(table: &Table<'_>, step: &Step, span: &std::ops::Range<usize>) {
    if step.loads && !table.has("caution") {
        table.reject::<()>(
            "caution-missing",
            span.clone(),
            say!("\"{}\" loads the structure and has no caution", step.id),
            say!("add a caution that names the danger and defers to the type's manual"),
        );
    }
    let mut ids = std::collections::BTreeMap::new();
    for measure in &step.measures {
        // Their places are sought only where two are of one name.
        let index = ids.entry(measure.id.as_str()).or_insert(0);
        if *index > 0 {
            let places = table.texts_below("measure", "id", &measure.id);
            let place = |at: usize| places.get(at).unwrap_or(span).clone();
            table.fault(
                Diagnostic::new(
                    "duplicate-measure",
                    table.place(place(*index)),
                    say!("\"{}\" has two measurements called \"{}\"", step.id, measure.id),
                )
                .related(table.place(place(0)), say!("first here"))
                .hint(say!("give one of them another id")),
            );
        }
        *index += 1;
    }
    if let Some(own) = step.after.iter().find(|after| after.value == step.id) {
        table.reject::<()>(
            "circular-dependency",
            own.span.clone(),
            say!("\"{}\" waits for itself", step.id),
            say!("take it out of \"after\""),
        );
    }
}

#[cfg_attr(test, track_caller)]
pub(super) fn at_least_one(table: &Table<'_>, key: &'static str, default: u32) -> u32 {
    let Some(number) = table.whole(key) else { return default };
    if number.value == 0 {
        table.reject::<()>(
            "zero",
            number.span,
            say!("\"{key}\" cannot be 0", key = key),
            say!("give at least 1"),
        );
    }
    number.value
}

pub(super) fn read_configuration(step: &Table<'_>) -> Configuration {
    let mut configuration = Configuration::default();
    let Some(table) = step.table("configuration", mark!("a configuration")) else { return configuration };
    for (key, word) in table.all_texts() {
        let Some(aspect) = Aspect::parse(&key.value) else {
            table.unknown_word(
                "unknown-configuration",
                say!("part of a configuration"),
                &key,
                Aspect::ALL.map(Aspect::word),
            );
            continue;
        };
        match aspect.parse_setting(&word.value) {
            Some(setting) => configuration.set(aspect, setting),
            None => {
                let known = aspect.settings().iter().map(|setting| setting.word());
                table.unknown_word("unknown-configuration", say!("setting"), &word, known);
            }
        }
    }
    configuration
}

fn read_looks_at(step: &Table<'_>) -> Vec<LaidOpen> {
    let words = step.texts("looks_at");
    let mut places = Vec::with_capacity(words.len());
    for word in words {
        match LaidOpen::parse(&word.value) {
            Some(place) => places.push(place),
            None => step.unknown_word(
                "unknown-place",
                say!("place that a configuration lays open"),
                &word,
                LaidOpen::ALL.iter().map(|place| place.word()),
            ),
        }
    }
    places
}

fn read_condition(table: Table<'_>) -> Option<Condition> {
    let equipment = |word: Located<String>| {
        if !EQUIPMENT.contains(&word.value.as_str()) {
            table.unknown_word("unknown-equipment", say!("equipment"), &word, EQUIPMENT.iter().copied());
        }
        word.value
    };
    let kind = |word: Located<String>, known: &[(&'static str, &str)], what: &str| {
        if !known.iter().any(|(id, _)| *id == word.value) {
            table.unknown_word("unknown-kind", said(what), &word, known.iter().map(|(id, _)| *id));
        }
        word.value
    };
    let mut found = Vec::new();
    found.extend(table.text("equipment").map(|word| Condition::Equipment(equipment(word))));
    found.extend(table.text("without_equipment").map(|word| Condition::WithoutEquipment(equipment(word))));
    found.extend(table.text("build_standard").map(|word| Condition::BuildStandard(word.value)));
    found
        .extend(table.text("without_build_standard").map(|word| Condition::WithoutBuildStandard(word.value)));
    found.extend(table.number("hours_at_least").map(|hours| Condition::HoursAtLeast(hours.value)));
    found.extend(table.whole("launches_at_least").map(|count| Condition::LaunchesAtLeast(count.value)));
    found.extend(
        table.text("report").map(|word| Condition::Reported(kind(word, REPORTS, mark!("kind of report")))),
    );
    found.extend(
        table
            .text("occurrence")
            .map(|word| Condition::Reported(kind(word, OCCURRENCES, mark!("kind of occurrence")))),
    );
    let any = table.tables("any", mark!("a condition"));
    if !any.is_empty() {
        found.push(Condition::Any(any.into_iter().filter_map(read_condition).collect()));
    }
    let span = table.span();
    if found.len() != 1 && table.keys().len() != 1 {
        table.reject::<()>(
            "condition-form",
            span,
            say!("a condition row has exactly one key"),
            say!("write each condition as a row of its own: when = [{ … }, { … }]"),
        );
    }
    table.finish();
    found.into_iter().next()
}

fn read_evidence(table: Table<'_>) -> Option<EvidenceDemand> {
    let id = table.required_text("id");
    let kind = table.required_choice("kind", &EvidenceKind::WORDS);
    let what = table.required_text("what");
    let count = at_least_one(&table, "count", 1);
    table.finish();
    Some(EvidenceDemand { id: id?.value, kind: kind?.value, count, what: what?.value })
}

fn read_on_failure(table: Table<'_>) -> Option<OnFailure> {
    let severity = table.required_choice("severity", &Severity::WORDS);
    let on_failure = OnFailure {
        severity: severity.map_or(Severity::Major, |severity| severity.value),
        hint: table.text("hint").map(|text| text.value),
        follow: table.texts("follow"),
        may_defer: table.flag("may_defer").unwrap_or(false),
    };
    table.finish();
    Some(on_failure)
}

fn read_selection(root: &Table<'_>) -> Selection {
    let Some(table) = root.table("selected_by", "selected_by") else {
        root.reject::<()>(
            "module-unselected",
            0..0,
            say!("no report or occurrence selects this module"),
            say!("add [selected_by] with reports or occurrences"),
        );
        return Selection::default();
    };
    let selection = Selection {
        reports: known_kinds(&table, "reports", REPORTS, mark!("kind of report")),
        occurrences: known_kinds(&table, "occurrences", OCCURRENCES, mark!("kind of occurrence")),
    };
    if selection.reports.is_empty() && selection.occurrences.is_empty() {
        table.reject::<()>(
            "module-unselected",
            table.span(),
            say!("no report or occurrence selects this module"),
            say!("name at least one kind"),
        );
    }
    table.finish();
    selection
}

#[cfg_attr(test, track_caller)]
fn known_kinds(
    table: &Table<'_>,
    key: &'static str,
    known: &[(&'static str, &str)],
    what: &str,
) -> Vec<Located<String>> {
    let words = table.texts(key);
    for word in words.iter().filter(|word| !known.iter().any(|(id, _)| *id == word.value)) {
        table.unknown_word("unknown-kind", said(what), word, known.iter().map(|(id, _)| *id));
    }
    words
}
