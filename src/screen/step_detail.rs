//! Everything about one step: what to do, why it is here, what is demanded, what was recorded.

use ratatui::style::Style;
use ratatui::text::Line;

use super::desk::SessionView;
use super::look::{Look, sign_of_standing};
use super::order::confirmation;
use super::reading;
use super::step_record;
use super::text::Page;
use crate::checklist::MeasureKind;
use crate::order::configuration_words;
use crate::plan::PlanStep;
use crate::session::LOAD_CAUTION;
use crate::state::StepStanding;
use crate::vocabulary::kind_words;
use crate::words::{self, all_of_checklist, of_checklist, said};

pub fn detail(view: &SessionView<'_>, at: usize, look: Look, width: usize) -> Vec<Line<'static>> {
    let mut page = Page::new(look, width);
    let Some(planned) = view.plan.steps.get(at) else {
        page.plain(say!("The plan has no step."));
        return page.lines;
    };
    title(&mut page, view, planned);
    wants(&mut page, view, planned);
    caution(&mut page, view, planned);
    page.plain(of_checklist(&planned.step.instruction));
    configuration(&mut page, view, planned);
    step_record::initials(&mut page, view, planned);
    step_record::answers(&mut page, view, planned);
    step_record::readings(&mut page, view, planned);
    step_record::evidence(&mut page, view, planned);
    step_record::defects(&mut page, view, planned);
    step_record::inspections(&mut page, view, planned);
    step_record::notes(&mut page, view, planned);
    last_time(&mut page, view, planned);
    work(&mut page, view, planned);
    why_here(&mut page, view, planned);
    page.lines
}

fn title(page: &mut Page, view: &SessionView<'_>, planned: &PlanStep) {
    let standing = view.state.standing(&planned.step.id);
    page.text(page.look.strong(), of_checklist(&planned.step.title));
    let duty = if planned.step.mandatory { say!("mandatory") } else { say!("optional") };
    let applicable = if planned.step.may_be_not_applicable { say!(", may be not applicable") } else { "" };
    let style = page.look.of_standing(standing);
    let lead = format!("{} ", sign_of_standing(standing));
    page.hanging(
        style,
        &lead,
        &format!("{} · {duty}{applicable} · {}", said(standing.word()), planned.step.id),
    );
}

/// What is still to be done here, in one line: on a small screen the rest lies below the instruction.
fn wants(page: &mut Page, view: &SessionView<'_>, planned: &PlanStep) {
    let standing = view.state.standing(&planned.step.id);
    let Some(state) = view.state.step(&planned.step.id).filter(|_| standing != StepStanding::NotApplicable)
    else {
        return;
    };
    let mut wants = Vec::new();
    if standing.is_open() {
        let unmet = planned.step.configuration.unmet_in(&view.state.configuration);
        if !unmet.is_empty() {
            wants.push(say!("configuration {unmet} (k)", unmet = configuration_words(&unmet)));
        }
        let open = view.state.open_before(view.plan, planned).len();
        if open > 0 {
            wants.push(say!("{n} step before it" | "{n} steps before it" % open));
        }
    }
    for (measure, missing) in reading::missing(view.state, planned).filter(|(_, missing)| *missing > 0) {
        let times = if missing > 1 { format!("{missing} × ") } else { String::new() };
        wants.push(format!("{times}{} (r)", of_checklist(&measure.title)));
    }
    for demand in &planned.step.evidence {
        let given = view.state.evidence_for(&planned.step.id, &demand.id).count();
        if u32::try_from(given).is_ok_and(|given| given < demand.count) {
            wants.push(say!("{} of {} (e)", said(demand.kind.word()), of_checklist(&demand.what)));
        }
    }
    if (planned.step.independent || state.controls_disturbed) && state.inspections.is_empty() {
        wants.push(say!("a second person's look afterwards (i)").to_string());
    }
    if !wants.is_empty() {
        page.hanging(page.look.doubt(), "○ ", &say!("wants: {}", wants.join(", ")));
    }
}

fn caution(page: &mut Page, view: &SessionView<'_>, planned: &PlanStep) {
    if let Some(caution) = &planned.step.caution {
        page.block(page.look.caution(), &say!("▲ CAUTION: {caution}", caution = of_checklist(caution)));
    }
    let ceiling = planned.step.measures.iter().find_map(|measure| match &measure.kind {
        MeasureKind::LoadDeflection(demand) => Some(demand),
        _ => None,
    });
    if let Some(demand) = ceiling {
        let of_type = view.plan.of_type.as_ref().and_then(|of_type| of_type.fin_side_load_ceiling);
        let type_words =
            of_type.map_or(String::new(), |most| say!(", {most} by the type", most = most.shown()));
        page.block(
            page.look.caution(),
            &say!(
                "▲ LOAD at most {} {} by this step{type_words}: {LOAD_CAUTION}",
                demand.max_load.shown(),
                demand.load_unit.symbol(),
                type_words,
                LOAD_CAUTION = said(LOAD_CAUTION)
            ),
        );
    }
}

fn configuration(page: &mut Page, view: &SessionView<'_>, planned: &PlanStep) {
    if planned.step.configuration.is_empty() {
        return;
    }
    page.head(say!("Configuration"));
    for (aspect, setting) in planned.step.configuration.iter() {
        confirmation(page, view, aspect, setting);
    }
    if view.read_only.is_none() && !planned.step.configuration.unmet_in(&view.state.configuration).is_empty()
    {
        page.text(page.look.quiet(), say!("k confirms it, once the airframe stands so"));
    }
}

/// What the annual before says of the same step. The step may have asked for something else then.
fn last_time(page: &mut Page, view: &SessionView<'_>, planned: &PlanStep) {
    let Some(earlier) = view.earlier else { return };
    let Some(lines) = earlier.steps.get(&planned.step.id) else { return };
    page.head(&say!("Last time: {}", earlier.label));
    if let Some(how) = earlier.failed.get(&planned.step.id) {
        page.hanging(page.look.doubt(), "↩ ", how);
    }
    for line in lines {
        page.hanging(Style::new(), "· ", line);
    }
}

fn work(page: &mut Page, view: &SessionView<'_>, planned: &PlanStep) {
    let step = &planned.step;
    page.head(say!("Work"));
    let airframe = &view.plan.airframe;
    if !airframe.build_standard.is_empty() {
        page.field(say!("build standard by the record"), &all_of_checklist(&airframe.build_standard));
    }
    let hands = say!("{n} person" | "{n} people" % step.people);
    page.field(say!("needs"), &say!("{hands}, {} minutes", step.minutes, hands));
    if !step.kit.is_empty() {
        page.field(say!("kit"), &all_of_checklist(&step.kit));
    }
    if step.loads {
        page.field(say!("load"), say!("this step loads the structure"));
    }
    if step.last {
        page.field(say!("step" => "after"), say!("every step that is not last itself"));
    }
    for after in &step.after {
        let standing = view.state.standing(&after.value);
        let title =
            view.plan.step(&after.value).map_or(after.value.as_str(), |step| of_checklist(&step.step.title));
        let style = if standing.is_open() { page.look.doubt() } else { Style::new() };
        page.hanging(
            style,
            say!("after: "),
            &format!("{} {} ({})", sign_of_standing(standing), title, said(standing.word())),
        );
    }
    if let Some(failure) = &step.on_failure {
        let defer = if failure.may_defer {
            say!("may be deferred with a limit")
        } else {
            say!("may not be deferred")
        };
        page.field(
            say!("a failure is usually"),
            &say!("{}; it {defer}", said(failure.severity.word()), defer),
        );
        if let Some(hint) = &failure.hint {
            page.field(say!("hint"), of_checklist(hint));
        }
        for follow in &failure.follow {
            let title = view
                .plan
                .step(&follow.value)
                .map_or(follow.value.as_str(), |step| of_checklist(&step.step.title));
            page.field(say!("after a failure, look next at"), title);
        }
    }
}

fn why_here(page: &mut Page, view: &SessionView<'_>, planned: &PlanStep) {
    page.head(say!("Why it is here"));
    if planned.because.is_empty() {
        page.plain(say!("A step of every annual of this airframe."));
    }
    for report in view.plan.reports_behind(planned) {
        let by = if report.by.is_empty() { String::new() } else { format!(" ({})", report.by) };
        page.hanging(
            Style::new(),
            "· ",
            &say!(
                "here because of: {} of {} ({}: \"{}\"{by}): {}",
                report.kind,
                words::date(report.date),
                kind_words(&report.kind),
                report.text,
                view.plan.module_words(planned),
                by
            ),
        );
    }
    let basis: Vec<&str> = planned.step.basis.iter().map(|basis| of_checklist(&basis.value)).collect();
    if !basis.is_empty() {
        page.field(say!("basis"), &basis.join(", "));
    }
    let origin = &planned.origin;
    page.field(
        say!("checklist" => "from"),
        &say!("{} {}, line {}", origin.checklist, origin.version, origin.line),
    );
    for change in &planned.changes {
        page.field(
            say!("changed by"),
            &format!("{}: {}; {}", change.by, change.words(), of_checklist(&change.reason)),
        );
    }
}
