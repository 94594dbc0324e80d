//! May this be signed? The verdict with its reasons, and the only maker of the proof that sign-off takes.
//!
//! Fourteen refusals stand in `refusals/`, one file each. Each finding names what it is about, the rule, and
//! what would clear it.

pub mod answered;
pub mod refusals;
pub mod totals;

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::Serialize;

use crate::airframe::Person;
use crate::event::{Discrepancy, Outcome};
use crate::plan::Plan;
use crate::state::State;
use crate::words::{Language, with_language};

/// What the verdict is asked about, besides plan and events: facts that only the world outside knows.
pub struct Context<'a> {
    pub plan: &'a Plan,
    pub state: &'a State,
    /// The day of signing, on the inspector's calendar.
    pub today: NaiveDate,
    /// Who wants to sign; nobody yet is a refusal too.
    pub signer: Option<&'a Person>,
    /// Problems found when journal and plan were read and verified; empty when they are sound.
    pub integrity: &'a [String],
    /// Every evidence hash that was looked for, and how the file was found.
    pub evidence: &'a BTreeMap<String, EvidenceFile>,
}

/// How an evidence file was found on the disk.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EvidenceFile {
    Present,
    Missing,
    Changed,
}

/// What a refusal is about, so that a screen can jump to it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(tag = "about", content = "id", rename_all = "snake_case")]
pub enum Subject {
    Step(String),
    Defect(String),
    Report(String),
    Directive(String),
    LifeItem(String),
    Record,
    Signer,
}

impl Subject {
    pub fn words(&self) -> String {
        match self {
            Subject::Step(id) => say!("step {id}", id = id),
            Subject::Defect(id) => say!("defect {id}", id = id),
            Subject::Report(id) => say!("report {id}", id = id),
            Subject::Directive(id) => say!("directive {id}", id = id),
            Subject::LifeItem(id) => say!("life-limited item {id}", id = id),
            Subject::Record => say!("the record").to_string(),
            Subject::Signer => say!("the signer").to_string(),
        }
    }
}

/// One reason why the session cannot be signed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Refusal {
    /// 1 to 14, stable.
    pub number: u8,
    /// As the catalogue has it; `said` translates it where it is shown.
    pub name: &'static str,
    pub subject: Subject,
    pub why: String,
    pub clears: String,
    /// It keeps the airframe from being released, but "completed, not airworthy, with the list of
    /// discrepancies" can be signed all the same.
    pub release_only: bool,
}

/// The answer: every reason found, in the order of the refusals and the plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Verdict {
    refusals: Vec<Refusal>,
    discrepancies: Vec<Discrepancy>,
    plan_positions: (u64, String),
}

/// Proof that nothing stood against this outcome at this very state of the record.
///
/// Only [`Verdict::prove`] makes one. It names the number of entries and the head that it was made for, so
/// that any later event voids it.
#[derive(Debug, PartialEq, Eq)]
pub struct Proof {
    outcome: Outcome,
    count: u64,
    head: String,
    discrepancies: Vec<Discrepancy>,
}

impl Proof {
    pub fn outcome(&self) -> Outcome {
        self.outcome
    }

    pub fn count(&self) -> u64 {
        self.count
    }

    pub fn head(&self) -> &str {
        &self.head
    }

    pub fn discrepancies(&self) -> &[Discrepancy] {
        &self.discrepancies
    }
}

impl Verdict {
    /// Every reason against a release.
    pub fn refusals(&self) -> &[Refusal] {
        &self.refusals
    }

    /// The reasons against this outcome.
    pub fn against(&self, outcome: Outcome) -> impl Iterator<Item = &Refusal> {
        self.refusals.iter().filter(move |refusal| outcome == Outcome::Release || !refusal.release_only)
    }

    pub fn allows(&self, outcome: Outcome) -> bool {
        self.against(outcome).next().is_none()
            && (outcome == Outcome::Release || !self.discrepancies.is_empty())
    }

    /// What would stand on the list of discrepancies.
    pub fn discrepancies(&self) -> &[Discrepancy] {
        &self.discrepancies
    }

    /// The proof for this outcome, or the reasons against it.
    ///
    /// "Not airworthy" needs at least one discrepancy: without one there is nothing to hand to the owner.
    pub fn prove(&self, outcome: Outcome) -> Result<Proof, Vec<Refusal>> {
        let against: Vec<Refusal> = self.against(outcome).cloned().collect();
        if !against.is_empty() {
            return Err(against);
        }
        if outcome == Outcome::NotAirworthy && self.discrepancies.is_empty() {
            return Err(vec![nothing_to_list()]);
        }
        Ok(Proof {
            outcome,
            count: self.plan_positions.0,
            head: self.plan_positions.1.clone(),
            discrepancies: if outcome == Outcome::NotAirworthy {
                self.discrepancies.clone()
            } else {
                Vec::new()
            },
        })
    }
}

fn nothing_to_list() -> Refusal {
    Refusal {
        number: 14,
        name: refusals::airworthiness_defect::NAME,
        subject: Subject::Record,
        why: say!("no discrepancy is open, so there is no list to hand over").to_string(),
        clears: say!("sign the release, or raise the defect that makes the airframe unairworthy").to_string(),
        release_only: false,
    }
}

/// Runs all fourteen checks.
pub fn verdict(context: &Context<'_>) -> Verdict {
    let mut found = Vec::new();
    for check in refusals::ALL {
        (check.find)(context, &mut found);
    }
    Verdict {
        refusals: found,
        discrepancies: discrepancies(context),
        plan_positions: (context.state.entries, context.state.head.clone()),
    }
}

/// Defects that keep the airframe on the ground and directives and items that are overdue (14 CFR 43.11(b)). The list goes
/// into the record, which is the same in every language.
fn discrepancies(context: &Context<'_>) -> Vec<Discrepancy> {
    with_language(Language::English, || discrepancies_of_record(context))
}

fn discrepancies_of_record(context: &Context<'_>) -> Vec<Discrepancy> {
    let mut list: Vec<Discrepancy> = context
        .state
        .standing_defects()
        .filter(|defect| defect.grounds())
        .map(|defect| {
            let place = [defect.raised.component.as_deref(), defect.raised.side.as_deref()];
            let place: Vec<&str> = place.into_iter().flatten().collect();
            let place = if place.is_empty() { String::new() } else { format!("{}: ", place.join(", ")) };
            Discrepancy {
                from: defect.id.clone(),
                text: format!("{place}{} ({})", defect.raised.what, defect.standing().word()),
            }
        })
        .collect();
    for (id, text) in refusals::overdue::overdue(context) {
        list.push(Discrepancy { from: id, text });
    }
    list
}
