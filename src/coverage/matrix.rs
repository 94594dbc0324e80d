//! Rules against steps.

use serde::{Serialize, Serializer};

use super::lists::{Applies, RuleList, RuleRow};
use crate::checklist::{Checklist, Condition, Step};
use crate::plan::Plan;
use crate::words::{Language, of_checklist, with_language};

/// The steps under view, and what was taken out of them.
#[derive(Debug, Clone, Default)]
pub struct Subject {
    /// Each with where it was written.
    pub steps: Vec<(Step, String)>,
    pub left_out: Vec<(Step, LeftOut)>,
}

/// Why a step of the programme is in no worksheet here.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "left_out")]
pub enum LeftOut {
    Withdrawn {
        by: String,
        reason: String,
    },
    /// Its conditions do not hold for this airframe.
    Condition {
        #[serde(serialize_with = "in_english")]
        when: Vec<Condition>,
    },
}

impl LeftOut {
    pub fn words(&self) -> String {
        match self {
            LeftOut::Withdrawn { by, reason } => {
                say!("withdrawn by {by}: {reason}", by, reason = of_checklist(reason))
            }
            LeftOut::Condition { when } => {
                say!("left out, it belongs to an annual {when}", when = conditions(when))
            }
        }
    }
}

impl Subject {
    /// The steps of one checklist by itself.
    pub fn of_checklist(checklist: &Checklist) -> Subject {
        let steps = checklist.steps.iter().map(|step| {
            let line = checklist.source.line_column(step.span.start).0;
            (step.value.clone(), format!("{}/{}.toml:{line}", checklist.id.value, checklist.version.value))
        });
        Subject { steps: steps.collect(), left_out: Vec::new() }
    }

    /// The steps of a plan. What the plan leaves out is known from the editions it was made from, as far as they are at
    /// hand.
    pub fn of_plan(plan: &Plan, editions: &[&Checklist]) -> Subject {
        let steps = plan.steps.iter().map(|planned| {
            let origin = &planned.origin;
            let place = format!("{}/{}.toml:{}", origin.checklist, origin.version, origin.line);
            (planned.step.clone(), place)
        });
        let mut left_out = Vec::new();
        for step in editions.iter().flat_map(|edition| &edition.steps).map(|step| &step.value) {
            if plan.step(&step.id).is_some() {
                continue;
            }
            let withdrawn = plan.withdrawn.iter().find(|known| known.id == step.id);
            let why = match withdrawn {
                Some(known) => LeftOut::Withdrawn { by: known.by.clone(), reason: known.reason.clone() },
                None => LeftOut::Condition { when: step.when.clone() },
            };
            left_out.push((step.clone(), why));
        }
        Subject { steps: steps.collect(), left_out }
    }
}

/// As JSON the same words in every language.
fn in_english<S: Serializer>(rows: &[Condition], serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(&with_language(Language::English, || conditions(rows)))
}

fn conditions(rows: &[Condition]) -> String {
    rows.iter().map(condition).collect::<Vec<_>>().join(say!(", and "))
}

fn condition(row: &Condition) -> String {
    match row {
        Condition::Equipment(id) => say!("with {id}", id),
        Condition::WithoutEquipment(id) => say!("without {id}", id),
        Condition::BuildStandard(id) => say!("of build standard {id}", id),
        Condition::WithoutBuildStandard(id) => say!("not of build standard {id}", id),
        Condition::HoursAtLeast(hours) => say!("from {hours} h on", hours),
        Condition::LaunchesAtLeast(launches) => say!("from {launches} launches on", launches),
        Condition::Reported(kind) => say!("after {kind}", kind),
        Condition::Any(rows) => rows.iter().map(condition).collect::<Vec<_>>().join(say!(" or ")),
    }
}

/// How a rule stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Standing {
    /// At least one mandatory step answers it.
    Covered,
    /// Only steps that may be left open.
    OptionalOnly,
    /// No step here, and it applies only where the thing is fitted.
    NotFitted,
    /// No step here, because the type's supplement withdrew it with a reason.
    Withdrawn,
    /// No step here: the conditions of those that would answer it do not hold for this airframe.
    LeftOut,
    NotCovered,
    DoesNotApply,
}

impl Standing {
    pub fn words(self) -> &'static str {
        match self {
            Standing::Covered => mark!("covered"),
            Standing::OptionalOnly => mark!("by optional steps only"),
            Standing::NotFitted => mark!("only if fitted, no step here"),
            Standing::Withdrawn => mark!("withdrawn for the type"),
            Standing::LeftOut => mark!("no step for this airframe"),
            Standing::NotCovered => mark!("NOT COVERED"),
            Standing::DoesNotApply => mark!("does not apply"),
        }
    }
}

/// One step that answers a rule.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Answer {
    pub step: String,
    pub title: String,
    pub mandatory: bool,
    /// `<id>/<version>.toml:<line>`, where it is in a worksheet.
    pub source: Option<String>,
    #[serde(flatten)]
    pub left_out: Option<LeftOut>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct RuleCoverage {
    pub list: &'static str,
    #[serde(flatten)]
    pub rule: RuleRow,
    pub standing: Standing,
    /// Steps in the worksheet first, then those left out.
    pub answers: Vec<Answer>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Coverage {
    pub rules: Vec<RuleCoverage>,
    /// Rules that steps name and no list here has, each with its steps.
    pub beyond: Vec<(String, Vec<String>)>,
}

impl Coverage {
    pub fn of_standing(&self, standing: Standing) -> impl Iterator<Item = &RuleCoverage> {
        self.rules.iter().filter(move |rule| rule.standing == standing)
    }

    /// Rules that apply and that nothing mandatory answers.
    pub fn is_whole(&self) -> bool {
        !self.rules.iter().any(|rule| matches!(rule.standing, Standing::NotCovered | Standing::OptionalOnly))
    }
}

/// Holds the steps to the lists.
pub fn cover(lists: &[RuleList], subject: &Subject) -> Coverage {
    let rules = lists.iter().flat_map(|list| list.rows.iter().map(|rule| of_rule(list.name, rule, subject)));
    let known = |id: &str| lists.iter().flat_map(|list| &list.rows).any(|rule| rule.id == id);
    let mut beyond: Vec<(String, Vec<String>)> = Vec::new();
    for (step, _) in &subject.steps {
        for rule in step.basis.iter().map(|rule| &rule.value).filter(|rule| !known(rule)) {
            match beyond.iter_mut().find(|(id, _)| id == rule) {
                Some((_, steps)) => steps.push(step.id.clone()),
                None => beyond.push((rule.clone(), vec![step.id.clone()])),
            }
        }
    }
    beyond.sort();
    Coverage { rules: rules.collect(), beyond }
}

fn of_rule(list: &'static str, rule: &RuleRow, subject: &Subject) -> RuleCoverage {
    let answers_it = |step: &Step| step.basis.iter().any(|basis| basis.value == rule.id);
    let answer = |step: &Step, source: Option<String>, left_out: Option<LeftOut>| Answer {
        step: step.id.clone(),
        title: step.title.clone(),
        mandatory: step.mandatory,
        source,
        left_out,
    };
    let here = subject.steps.iter().filter(|(step, _)| answers_it(step));
    let mut answers: Vec<Answer> =
        here.map(|(step, source)| answer(step, Some(source.clone()), None)).collect();
    let standing_here = match (answers.is_empty(), answers.iter().any(|answer| answer.mandatory)) {
        (_, true) => Some(Standing::Covered),
        (false, false) => Some(Standing::OptionalOnly),
        (true, false) => None,
    };
    let gone = subject.left_out.iter().filter(|(step, _)| answers_it(step));
    answers.extend(gone.map(|(step, why)| answer(step, None, Some(why.clone()))));
    let is_withdrawn =
        answers.iter().any(|answer| matches!(answer.left_out, Some(LeftOut::Withdrawn { .. })));
    let standing = match (standing_here, rule.applies) {
        (_, Applies::Never) => Standing::DoesNotApply,
        (Some(standing), _) => standing,
        (None, _) if is_withdrawn => Standing::Withdrawn,
        (None, Applies::IfFitted) => Standing::NotFitted,
        (None, Applies::Always) if !answers.is_empty() => Standing::LeftOut,
        (None, Applies::Always) => Standing::NotCovered,
    };
    RuleCoverage { list, rule: rule.clone(), standing, answers }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn why_a_step_is_left_out_is_the_same_for_other_programs_and_translated_for_people() {
        let left_out = LeftOut::Condition { when: vec![Condition::Equipment("oxygen".into())] };
        let told = |language| {
            with_language(language, || (left_out.words(), serde_json::to_string(&left_out).expect("JSON")))
        };
        let json = "{\"left_out\":\"condition\",\"when\":\"with oxygen\"}";
        let english = told(Language::English);
        assert_eq!(english, ("left out, it belongs to an annual with oxygen".to_string(), json.to_string()));
        let german = told(Language::German);
        assert!(german.0.ends_with("mit oxygen"), "{}", german.0);
        assert_eq!(german.1, json);
    }
}
