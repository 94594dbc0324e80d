//! Beginning an annual: what its plan would be is told before it is frozen.

use super::desk::{HangarView, Stage};
use super::pick::{Pick, Then};
use crate::plan::{Plan, PlannedReport};
use crate::vocabulary::kind_words;
use crate::words::{date, said};

/// More reports than these are counted, not told one by one: the question itself must stay on a small screen.
const REPORTS_TOLD: usize = 6;

/// Where an annual of this airframe is under way, that one is offered first: two records of one annual would
/// hide each other's findings.
pub fn begin_pick(
    hangar: &HangarView,
    registration: String,
    name: &str,
    plan: &Result<Plan, String>,
) -> Pick {
    let under_way = hangar.sessions.iter().find(|session| {
        session.registration == registration && matches!(session.stage, Stage::Running | Stage::Paused)
    });
    let (pick, begin) = match under_way {
        None => (Pick::new(say!("Begin an annual on {registration}?", registration)), say!("begin")),
        Some(session) => {
            let pick = Pick::new(say!(
                "An annual on {registration} is {standing} already",
                registration,
                standing = said(&session.standing)
            ))
            .intro(say!(
                "Begun {} by {}. A second one does not show what the first found.",
                session.begun,
                session.by
            ))
            .option(say!("open that one"), Then::Open { sid: session.sid.clone() })
            .option(say!("back"), Then::Nothing);
            (pick, say!("begin another one all the same"))
        }
    };
    let is_first = under_way.is_none();
    let plan = match plan {
        Ok(plan) => plan,
        Err(why) => {
            let pick = pick.intro(say!("No plan can be made now: {why}", why));
            return if is_first { pick.option(say!("back"), Then::Nothing) } else { pick };
        }
    };
    let mut pick = pick.intro(say!("It is begun in the name of {name}; the plan is frozen into it.", name));
    for line in plan_lines(plan) {
        pick = pick.intro(line);
    }
    pick = pick.option(begin, Then::Begin { registration });
    if is_first { pick.option(say!("back"), Then::Nothing) } else { pick }
}

/// The steps and where they come from, and what each report selects.
fn plan_lines(plan: &Plan) -> Vec<String> {
    let editions: Vec<String> = plan
        .editions
        .iter()
        .filter(|edition| edition.kind != "module")
        .map(|edition| format!("{} {}", edition.id, edition.version))
        .collect();
    let mut lines =
        vec![say!("{n} step from {}" | "{n} steps from {}" % plan.steps.len(), editions.join(", "))];
    lines.extend(plan.reports.iter().take(REPORTS_TOLD).map(|report| report_line(plan, report)));
    if plan.reports.len() > REPORTS_TOLD {
        lines.push(say!(
            "… and {n} further report" | "… and {n} further reports" % plan.reports.len() - REPORTS_TOLD
        ));
    }
    lines
}

fn report_line(plan: &Plan, report: &PlannedReport) -> String {
    let what = if report.modules.is_empty() {
        say!("✗ selects no step; it must be set aside in writing").to_string()
    } else {
        let steps = plan.steps.iter().filter(|planned| planned.because.contains(&report.id)).count();
        say!("selects {} ({n} step)" | "selects {} ({n} steps)" % steps, report.modules.join(", "))
    };
    format!("{} {}, {}: {what}", report.id, date(report.date), said(kind_words(&report.kind)))
}
