//! Why a step is here: which report, by which module.

use super::{Edition, Plan, PlanStep, PlannedReport};

/// A module that a report selected, with its steps in this plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SelectedModule<'a> {
    pub id: &'a str,
    /// Empty where the plan names no edition of it.
    pub title: &'a str,
    pub steps: Vec<&'a PlanStep>,
}

impl Plan {
    /// The edition of a checklist that went into the plan.
    pub fn edition(&self, id: &str) -> Option<&Edition> {
        self.editions.iter().find(|edition| edition.id == id)
    }

    /// The modules of a report, each with the steps that it brought.
    pub fn selected_by<'a>(&'a self, report: &'a PlannedReport) -> Vec<SelectedModule<'a>> {
        let steps_of = |module: &str| {
            self.steps.iter().filter(|planned| planned.origin.checklist == module).collect::<Vec<_>>()
        };
        report
            .modules
            .iter()
            .map(|id| SelectedModule {
                id,
                title: self.edition(id).map_or("", |edition| edition.title.as_str()),
                steps: steps_of(id),
            })
            .collect()
    }

    /// Every report for which the step is here; a report that the plan does not hold is left out.
    pub fn reports_behind<'a>(&'a self, planned: &'a PlanStep) -> impl Iterator<Item = &'a PlannedReport> {
        planned.because.iter().filter_map(|id| self.reports.iter().find(|report| report.id == *id))
    }

    /// The module that brought the step, in words: `module fin-root "Fin root after odd yaw"`.
    pub fn module_words(&self, planned: &PlanStep) -> String {
        let id = &planned.origin.checklist;
        match self.edition(id) {
            Some(edition) => format!("{} {id} \"{}\"", edition.kind, edition.title),
            None => id.clone(),
        }
    }
}
