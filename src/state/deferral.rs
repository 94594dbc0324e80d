//! Whether a defect may be deferred, and until when: the checklist and the airframe's own rules must both allow it.

use chrono::NaiveDate;

use super::Defect;
use crate::airframe::DeferralRules;
use crate::checklist::Severity;
use crate::measure::life::add_months;
use crate::plan::Plan;
use crate::words::{date, said};

/// Why a deferral does not stand, and what to do instead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Objection {
    pub why: String,
    pub clears: String,
}

fn objection(why: impl Into<String>, clears: &str) -> Objection {
    Objection { why: why.into(), clears: said(clears).to_string() }
}

const INSTEAD: &str = mark!("rectify, refer, or declare not airworthy");

/// Why this defect may not be deferred until that day, or at all where `until` is not given; `None` where it may.
pub fn deferral_objection(plan: &Plan, defect: &Defect, until: Option<NaiveDate>) -> Option<Objection> {
    if defect.raised.severity == Severity::Grounding {
        return Some(objection(say!("affects airworthiness and cannot be deferred"), INSTEAD));
    }
    let allowed = match defect.raised.step.as_deref().and_then(|id| plan.step(id)) {
        Some(planned) => planned.step.on_failure.as_ref().is_some_and(|failure| failure.may_defer),
        None => defect.raised.severity == Severity::Minor,
    };
    if !allowed {
        return Some(objection(say!("may not be deferred by this checklist"), INSTEAD));
    }
    let rules = plan.airframe.deferral.as_ref()?;
    by_rules(rules, defect).or_else(|| too_long(plan, defect, until?))
}

fn by_rules(rules: &DeferralRules, defect: &Defect) -> Option<Objection> {
    let source = source_words(rules);
    if rules.forbidden {
        return Some(objection(
            say!("may not be deferred: the airframe's rules allow no deferral{source}", source = source),
            INSTEAD,
        ));
    }
    if rules.not_on.is_empty() {
        return None;
    }
    let Some(component) = defect.raised.component.as_deref() else {
        // A field left empty must not get round the rule.
        return Some(objection(
            say!(
                "names no component, and the airframe's rules allow no deferral on {}{source}",
                rules.not_on.join(", "),
                source = source
            ),
            mark!(
                "take it back and raise it again with its component; or rectify, refer, or declare not airworthy"
            ),
        ));
    };
    let named = component.to_lowercase();
    let forbidden = rules.not_on.iter().find(|part| names_part(&named, &part.to_lowercase()))?;
    Some(objection(
        say!(
            "is on \"{component}\", and the airframe's rules allow no deferral on {forbidden}{source}",
            component = component,
            forbidden = forbidden,
            source = source
        ),
        INSTEAD,
    ))
}

/// "left wing spar" is on the spar; "spare wheel" is not.
fn names_part(component: &str, part: &str) -> bool {
    let words = |text: &str| -> Vec<String> {
        text.split(|c: char| !c.is_alphanumeric())
            .filter(|word| !word.is_empty())
            .map(str::to_string)
            .collect()
    };
    let (component, part) = (words(component), words(part));
    !part.is_empty() && component.windows(part.len()).any(|window| window == part)
}

fn too_long(plan: &Plan, defect: &Defect, until: NaiveDate) -> Option<Objection> {
    let rules = plan.airframe.deferral.as_ref()?;
    let latest = deferral_latest(plan, defect)?;
    if until <= latest {
        return None;
    }
    let months = rules.longest_months.unwrap_or_default();
    let found = defect.found_on().map_or(String::new(), |day| say!(" of {day}", day = date(day)));
    Some(objection(
        say!(
            "is deferred until {until}, beyond {latest}: {months} months from its first finding{found}, by the airframe's \
             rules{}",
            source_words(rules),
            until = date(until),
            latest = date(latest),
            months = months,
            found = found
        ),
        mark!("defer it again with an earlier date, or rectify, refer, or declare not airworthy"),
    ))
}

/// The last day to which the airframe's rules allow it: counted from the first finding, however often it is renewed.
pub fn deferral_latest(plan: &Plan, defect: &Defect) -> Option<NaiveDate> {
    let months = plan.airframe.deferral.as_ref()?.longest_months?;
    add_months(defect.found_on()?, i32::try_from(months).ok()?).ok()
}

fn source_words(rules: &DeferralRules) -> String {
    rules.source.as_ref().map_or_else(String::new, |source| format!(" ({source})"))
}

#[cfg(test)]
mod tests {
    use super::names_part;

    #[test]
    fn a_part_is_named_by_whole_words() {
        assert!(names_part("left wing spar", "spar") && names_part("spar, left", "spar"));
        assert!(names_part("wing spar stub", "wing spar"));
        assert!(!names_part("spare wheel", "spar") && !names_part("fin", "") && !names_part("", "fin"));
    }
}
