//! Beginning an annual: what its plan would be is told before it is frozen.

use super::desk::HangarView;
use super::pick::{Pick, Then};
use super::text::count;
use crate::plan::{Plan, PlannedReport};
use crate::vocabulary::kind_words;

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
        session.registration == registration && matches!(session.standing.as_str(), "running" | "paused")
    });
    let (pick, begin) = match under_way {
        None => (Pick::new(format!("Begin an annual on {registration}?")), "begin"),
        Some(session) => {
            let pick = Pick::new(format!("An annual on {registration} is {} already", session.standing))
                .intro(format!(
                    "Begun {} by {}. A second one does not show what the first found.",
                    session.begun, session.by
                ))
                .option("open that one", Then::Open { sid: session.sid.clone() })
                .option("back", Then::Nothing);
            (pick, "begin another one all the same")
        }
    };
    let is_first = under_way.is_none();
    let plan = match plan {
        Ok(plan) => plan,
        Err(why) => {
            let pick = pick.intro(format!("No plan can be made now: {why}"));
            return if is_first { pick.option("back", Then::Nothing) } else { pick };
        }
    };
    let mut pick = pick.intro(format!("It is begun in the name of {name}; the plan is frozen into it."));
    for line in plan_lines(plan) {
        pick = pick.intro(line);
    }
    pick = pick.option(begin, Then::Begin { registration });
    if is_first { pick.option("back", Then::Nothing) } else { pick }
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
        vec![format!("{} from {}", count(plan.steps.len(), "step", "steps"), editions.join(", "))];
    lines.extend(plan.reports.iter().take(REPORTS_TOLD).map(|report| report_line(plan, report)));
    if plan.reports.len() > REPORTS_TOLD {
        lines.push(format!(
            "… and {}",
            count(plan.reports.len() - REPORTS_TOLD, "further report", "further reports")
        ));
    }
    lines
}

fn report_line(plan: &Plan, report: &PlannedReport) -> String {
    let what = if report.modules.is_empty() {
        "✗ selects no step; it must be set aside in writing".to_string()
    } else {
        let steps = plan.steps.iter().filter(|planned| planned.because.contains(&report.id)).count();
        format!("selects {} ({})", report.modules.join(", "), count(steps, "step", "steps"))
    };
    format!("{} {}, {}: {what}", report.id, report.date, kind_words(&report.kind))
}
