//! Programme + supplements + selected modules → one frozen plan, or clear messages with file and line.

use std::collections::BTreeSet;
use std::sync::Arc;

use sha2::{Digest, Sha256};

use super::tighten::{Claims, tighten};
use super::{Change, Edition, Origin, PLAN_FORMAT, Plan, PlanStep, PlannedReport, WithdrawnStep, hex, order};
use crate::airframe::{Airframe, Report};
use crate::checklist::{Checklist, Circumstances, Kind, Library, Section, Step, Withdrawal};
use crate::diagnostic::{Diagnostic, Place, Source, in_file_order, suggest};
use crate::source::Located;

/// What a plan is composed from.
pub struct ComposeInput<'a> {
    pub library: &'a Library,
    pub airframe: &'a Airframe,
    /// The airframe's file, for messages that point into it.
    pub airframe_source: &'a Arc<Source>,
    /// Id of the programme, such as "composite-sailplane".
    pub programme: &'a str,
}

/// A step on its way into the plan.
pub(super) struct Draft {
    pub step: Step,
    pub source: Arc<Source>,
    pub span: std::ops::Range<usize>,
    pub checklist: String,
    pub version: String,
    pub because: Vec<String>,
    pub changes: Vec<Change>,
}

impl Draft {
    pub(super) fn place_of(&self, span: std::ops::Range<usize>) -> Place {
        Place::new(&self.source, span)
    }
}

/// Composes the plan. The error holds every fault found, in file order.
pub fn compose(input: &ComposeInput<'_>) -> Result<Plan, Vec<Diagnostic>> {
    let mut faults = input.library.faults.clone();
    let Some(chosen) = choose(input, &mut faults) else { return Err(sorted(faults)) };
    let mut drafts = draft_steps(&chosen, &mut faults);
    let sections = collect_sections(&chosen, &drafts, &mut faults);
    let withdrawn = apply_supplements(&chosen, &mut drafts, &mut faults);
    let mut known: Vec<String> = drafts.iter().map(|draft| draft.step.id.clone()).collect();
    known.extend(withdrawn.iter().map(|step| step.id.clone()));
    faults.extend(order::check(&drafts, &known));
    if !faults.is_empty() {
        return Err(sorted(faults));
    }
    keep_applicable(input.airframe, &mut drafts);
    drafts.sort_by_key(|draft| sections.iter().position(|section| section.id == draft.step.section.value));
    Ok(freeze(input, &chosen, sections, drafts, withdrawn))
}

fn sorted(mut faults: Vec<Diagnostic>) -> Vec<Diagnostic> {
    in_file_order(&mut faults);
    faults.dedup();
    faults
}

struct Chosen {
    programme: Arc<Checklist>,
    supplements: Vec<Arc<Checklist>>,
    /// Each module with the ids of the reports that selected it.
    modules: Vec<(Arc<Checklist>, Vec<String>)>,
    reports: Vec<PlannedReport>,
}

impl Chosen {
    fn all(&self) -> impl Iterator<Item = &Arc<Checklist>> {
        std::iter::once(&self.programme)
            .chain(&self.supplements)
            .chain(self.modules.iter().map(|(module, _)| module))
    }
}

fn choose(input: &ComposeInput<'_>, faults: &mut Vec<Diagnostic>) -> Option<Chosen> {
    let library = input.library;
    let start = Place::new(input.airframe_source, 0..0);
    let programme = library.find(input.programme, &semver::VersionReq::STAR).cloned();
    if programme.is_none() {
        faults.push(
            Diagnostic::new(
                "programme-unknown",
                start.clone(),
                say!("the library has no programme \"{}\"", input.programme),
            )
            .maybe_hint(suggest(input.programme, library.ids())),
        );
    }
    let supplements: Vec<Arc<Checklist>> =
        library.supplements_of(&input.airframe.type_id).into_iter().cloned().collect();
    if supplements.is_empty() {
        let place =
            Place::new(input.airframe_source, value_span(input.airframe_source, &input.airframe.type_id));
        faults.push(
            Diagnostic::new(
                "type-unknown",
                place,
                say!("no type supplement describes \"{}\"", input.airframe.type_id),
            )
            .maybe_hint(
                suggest(&input.airframe.type_id, library.types())
                    .or(Some(say!("write a supplement for this type, or correct the type").to_string())),
            ),
        );
    }
    let mut modules: Vec<(Arc<Checklist>, Vec<String>)> = Vec::new();
    let mut reports = Vec::new();
    for report in input.airframe.open_reports() {
        let mut selected = library.modules_for(&report.kind.value);
        add_named_modules(input, report, &mut selected, faults);
        for module in &selected {
            match modules.iter_mut().find(|(chosen, _)| chosen.id.value == module.id.value) {
                Some((_, because)) => because.push(report.id.clone()),
                None => modules.push((Arc::clone(module), vec![report.id.clone()])),
            }
        }
        reports.push(PlannedReport {
            id: report.id.clone(),
            kind: report.kind.value.clone(),
            date: report.date,
            by: report.by.clone(),
            text: report.text.clone(),
            modules: selected.iter().map(|module| module.id.value.clone()).collect(),
        });
    }
    modules.sort_by(|(a, _), (b, _)| a.id.value.cmp(&b.id.value));
    let chosen = Chosen { programme: programme?, supplements, modules, reports };
    check_requirements(library, &chosen, faults);
    Some(chosen)
}

/// Modules that the inspector named for a report, besides those that its kind selects.
fn add_named_modules<'a>(
    input: &ComposeInput<'a>,
    report: &Report,
    selected: &mut Vec<&'a Arc<Checklist>>,
    faults: &mut Vec<Diagnostic>,
) {
    for named in &report.modules {
        let module = input
            .library
            .find(&named.value, &semver::VersionReq::STAR)
            .filter(|found| matches!(found.kind, Kind::Module(_)));
        match module {
            Some(module) if selected.iter().any(|known| known.id.value == module.id.value) => {}
            Some(module) => selected.push(module),
            None => {
                let modules = input.library.newest().filter(|found| matches!(found.kind, Kind::Module(_)));
                faults.push(
                    Diagnostic::new(
                        "module-unknown",
                        Place::new(input.airframe_source, named.span.clone()),
                        say!("the library has no module \"{}\"", named.value),
                    )
                    .maybe_hint(suggest(&named.value, modules.map(|found| found.id.value.as_str()))),
                );
            }
        }
    }
}

/// Where a value stands in a file, for pointing at it; the start of the file when it is not found.
fn value_span(source: &Source, value: &str) -> std::ops::Range<usize> {
    source.text.find(&format!("\"{value}\"")).map_or(0..0, |at| at..at + value.len() + 2)
}

/// Every requirement is met by an edition that is at hand, and by the very edition that takes part.
fn check_requirements(library: &Library, chosen: &Chosen, faults: &mut Vec<Diagnostic>) {
    for checklist in chosen.all() {
        for (index, requirement) in checklist.requires.iter().enumerate() {
            let taking_part = chosen.all().find(|other| other.id.value == requirement.id.value);
            match (library.satisfy(checklist, index), taking_part) {
                (Err(fault), _) => faults.push(fault),
                (Ok(_), Some(other)) if !requirement.range.matches(&other.version.value) => faults.push(
                    Diagnostic::new(
                        "version-not-satisfied",
                        Place::new(&checklist.source, requirement.id.span.clone()),
                        say!(
                            "\"{}\" requires {} {}, but {} takes part",
                            checklist.id.value,
                            requirement.id.value,
                            requirement.range,
                            other.version.value
                        ),
                    )
                    .related(Place::new(&other.source, other.version.span.clone()), say!("this edition"))
                    .hint(say!("issue an edition that fits the newer one")),
                ),
                _ => {}
            }
        }
    }
}

fn draft_steps(chosen: &Chosen, faults: &mut Vec<Diagnostic>) -> Vec<Draft> {
    let mut drafts: Vec<Draft> = Vec::new();
    let with_reasons = std::iter::once((&chosen.programme, Vec::new()))
        .chain(chosen.supplements.iter().map(|supplement| (supplement, Vec::new())))
        .chain(chosen.modules.iter().map(|(module, because)| (module, because.clone())));
    for (checklist, because) in with_reasons {
        for step in &checklist.steps {
            if let Some(first) = drafts.iter().find(|draft| draft.step.id == step.value.id) {
                faults.push(
                    Diagnostic::new(
                        "duplicate-step",
                        Place::new(&checklist.source, step.span.clone()),
                        say!(
                            "\"{}\" and \"{}\" both have a step \"{}\"",
                            checklist.id.value,
                            first.checklist,
                            step.value.id
                        ),
                    )
                    .related(first.place_of(first.span.clone()), say!("first here"))
                    .hint(say!("give one of them another id; a module's steps begin with the module's id")),
                );
                continue;
            }
            drafts.push(Draft {
                step: step.value.clone(),
                source: Arc::clone(&checklist.source),
                span: step.span.clone(),
                checklist: checklist.id.value.clone(),
                version: checklist.version.value.to_string(),
                because: because.clone(),
                changes: Vec::new(),
            });
        }
    }
    drafts
}

fn collect_sections(chosen: &Chosen, drafts: &[Draft], faults: &mut Vec<Diagnostic>) -> Vec<Section> {
    let mut sections: Vec<Section> = Vec::new();
    for checklist in chosen.all() {
        for section in &checklist.sections {
            if !sections.iter().any(|known| known.id == section.value.id) {
                sections.push(section.value.clone());
            }
        }
    }
    for draft in drafts {
        let wanted = &draft.step.section;
        if !sections.iter().any(|section| section.id == wanted.value) {
            faults.push(
                Diagnostic::new(
                    "unknown-section",
                    draft.place_of(wanted.span.clone()),
                    say!("the section \"{}\" does not exist", wanted.value),
                )
                .maybe_hint(suggest(&wanted.value, sections.iter().map(|section| section.id.as_str()))),
            );
        }
    }
    sections
}

/// Withdrawals first, then tightenings; a supplement may not tighten what another one withdraws.
fn apply_supplements(
    chosen: &Chosen,
    drafts: &mut Vec<Draft>,
    faults: &mut Vec<Diagnostic>,
) -> Vec<WithdrawnStep> {
    let mut withdrawn = Vec::new();
    let mut places: Vec<(String, Place)> = Vec::new();
    for supplement in &chosen.supplements {
        let Kind::Supplement(content) = &supplement.kind else { continue };
        for withdrawal in &content.withdraw {
            match withdraw(drafts, &chosen.programme, supplement, withdrawal) {
                Ok(step) => {
                    places.push((step.id.clone(), Place::new(&supplement.source, withdrawal.span.clone())));
                    withdrawn.push(step);
                }
                Err(fault) => faults.push(fault),
            }
        }
    }
    let mut claims = Claims::new();
    for supplement in &chosen.supplements {
        let Kind::Supplement(content) = &supplement.kind else { continue };
        for tightening in &content.tighten {
            let step = &tightening.value.step.value;
            if let Some((_, place)) = places.iter().find(|(id, _)| id == step) {
                faults.push(
                    Diagnostic::new(
                        "supplements-fight",
                        Place::new(&supplement.source, tightening.span.clone()),
                        say!("\"{step}\" is tightened here and withdrawn elsewhere", step = step),
                    )
                    .related(place.clone(), say!("withdrawn here"))
                    .hint(say!("a withdrawn step cannot be tightened; take one of the two out")),
                );
                continue;
            }
            faults.extend(tighten(drafts, supplement, tightening, &mut claims));
        }
    }
    withdrawn
}

fn withdraw(
    drafts: &mut Vec<Draft>,
    programme: &Checklist,
    supplement: &Checklist,
    withdrawal: &Located<Withdrawal>,
) -> Result<WithdrawnStep, Diagnostic> {
    let id = &withdrawal.value.step.value;
    let place = Place::new(&supplement.source, withdrawal.span.clone());
    let position =
        drafts.iter().position(|draft| draft.step.id == *id && draft.checklist == programme.id.value);
    let Some(position) = position else {
        let known = drafts.iter().filter(|draft| draft.checklist == programme.id.value);
        return Err(Diagnostic::new(
            "unknown-step",
            place,
            say!("the programme has no step \"{id}\" that could be withdrawn", id = id),
        )
        .maybe_hint(suggest(id, known.map(|draft| draft.step.id.as_str()))));
    };
    let draft = drafts.remove(position);
    Ok(WithdrawnStep {
        id: draft.step.id,
        title: draft.step.title,
        by: supplement.id.value.clone(),
        reason: withdrawal.value.reason.clone(),
        line: u32::try_from(place.line()).ok(),
    })
}

/// Leaves out the steps whose conditions do not hold, and what waited for them no longer waits.
fn keep_applicable(airframe: &Airframe, drafts: &mut Vec<Draft>) {
    let reported: Vec<String> = airframe.open_reports().map(|report| report.kind.value.clone()).collect();
    let facts = Circumstances {
        equipment: &airframe.equipment,
        build_standard: &airframe.build_standard,
        hours: &airframe.hours,
        launches: airframe.launches,
        reported: &reported,
    };
    drafts.retain(|draft| draft.step.when.iter().all(|condition| condition.holds(&facts)));
    let present: BTreeSet<String> = drafts.iter().map(|draft| draft.step.id.clone()).collect();
    for draft in drafts {
        draft.step.after.retain(|after| present.contains(&after.value));
        if let Some(failure) = &mut draft.step.on_failure {
            failure.follow.retain(|follow| present.contains(&follow.value));
        }
    }
}

fn freeze(
    input: &ComposeInput<'_>,
    chosen: &Chosen,
    sections: Vec<Section>,
    drafts: Vec<Draft>,
    withdrawn: Vec<WithdrawnStep>,
) -> Plan {
    let used: BTreeSet<&str> = drafts.iter().map(|draft| draft.step.section.value.as_str()).collect();
    let sections = sections.iter().filter(|section| used.contains(section.id.as_str())).cloned().collect();
    let of_type = chosen.supplements.iter().find_map(|supplement| match &supplement.kind {
        Kind::Supplement(content) => Some(content.of_type.clone()),
        _ => None,
    });
    let editions = chosen.all().map(|checklist| Edition {
        id: checklist.id.value.clone(),
        version: checklist.version.value.to_string(),
        kind: checklist.kind.word().to_string(),
        title: checklist.title.clone(),
        sha256: hex(&Sha256::digest(checklist.source.text.as_bytes())),
        source: checklist.source.name.clone(),
    });
    let steps = drafts.into_iter().map(|draft| PlanStep {
        origin: Origin {
            checklist: draft.checklist.clone(),
            version: draft.version.clone(),
            line: u32::try_from(draft.place_of(draft.span.clone()).line()).unwrap_or(u32::MAX),
        },
        step: draft.step,
        because: draft.because,
        changes: draft.changes,
    });
    Plan {
        format: PLAN_FORMAT,
        airframe: input.airframe.clone(),
        of_type,
        editions: editions.collect(),
        reports: chosen.reports.clone(),
        sections,
        steps: steps.collect(),
        withdrawn,
    }
}
