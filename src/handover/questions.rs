//! What the inspector asks the repairer: what the record leaves open. Common practice, no source.

use super::check::{Check, Outcome};
use crate::checklist::HiddenItem;
use crate::plan::Plan;
use crate::state::Defect;
use crate::words::of_checklist;

/// Questions in the order in which work would need them answered.
pub(super) fn questions(
    plan: &Plan,
    defects: &[&Defect],
    items: &[HiddenItem],
    openings: &[Check],
) -> Vec<String> {
    let mut asked = Vec::new();
    for defect in defects {
        asked.push(say!(
            "{id}: how far does the damage reach beyond what was seen, and does the type's repair manual allow its repair? \
             By which drawing and chapter?",
            id = defect.id
        ));
        if defect.raised.station_mm.is_none() || defect.raised.component.is_none() {
            asked.push(say!("{id}: its place is not fully recorded; where exactly is it?", id = defect.id));
        }
    }
    if plan.airframe.build_standard.is_empty() {
        asked.push(say!("The build standard is not on record: what does the part itself show?").to_string());
    }
    if items.is_empty() {
        asked.push(
            say!("The type's data hold no hidden item here: what do the drawings show behind the skin?")
                .to_string(),
        );
    } else {
        asked.push(
            say!(
                "Do the drawings confirm the hidden items listed, for this serial number and build standard?"
            )
            .to_string(),
        );
    }
    for check in openings {
        let opening = &check.opening;
        match check.outcome {
            Outcome::Clear => {}
            Outcome::NotMapped => asked.push(say!(
                "What lies behind the skin at {opening}? The type's data are not complete there.",
                opening
            )),
            Outcome::Cuts | Outcome::Near => {
                let met: Vec<&str> = check
                    .cuts
                    .iter()
                    .chain(&check.near)
                    .map(|conflict| of_checklist(&conflict.item.title))
                    .collect();
                asked.push(say!(
                    "The opening at {opening} does not stay clear of: {items}. Is there another way in?",
                    opening,
                    items = met.join("; ")
                ));
            }
        }
    }
    asked
        .push(say!("Can the damage be reached through an opening that exists, without cutting?").to_string());
    asked.push(
        say!("Which mass is added and where? Are a weighing and the control surfaces' balance needed afterwards?")
            .to_string(),
    );
    let mut steps: Vec<&str> = defects.iter().filter_map(|defect| defect.raised.step.as_deref()).collect();
    steps.dedup();
    if !steps.is_empty() {
        asked.push(say!(
            "After the repair the steps {steps} are worked again: from when on, and under which limits?",
            steps = steps.join(", ")
        ));
    }
    asked
}
