//! What was recorded for a step: what was struck stays, crossed out, with who, when and why.

use ratatui::style::Style;

use super::desk::SessionView;
use super::look::{sign_of_defect, sign_of_standing, sign_of_verdict};
use super::picture;
use super::reading::limit_line;
use super::text::{Page, statements};
use super::verdict;
use super::words::minute;
use crate::checklist::Measure;
use crate::event::{ControlCheck, StepResult, initialled_words};
use crate::order::configuration_words;
use crate::plan::PlanStep;
use crate::session::value_words;
use crate::state::{Answer, Reading, Stamp, StepStanding, StepState, Struck};
use crate::words::{self, figure, of_checklist, said};

/// Who struck it, when and why.
fn struck_words(view: &SessionView<'_>, struck: &Struck) -> String {
    let by = view.entries.iter().find(|stamped| stamped.entry == struck.by_entry);
    let when = by.map_or(String::new(), |by| format!(" · {}", minute(&by.wall)));
    say!("struck by {}{when} (entry {}): {}", struck.who, struck.by_entry, struck.why, when)
}

pub fn answers(page: &mut Page, view: &SessionView<'_>, planned: &PlanStep) {
    let Some(state) = view.state.step(&planned.step.id).filter(|state| !state.answers.is_empty()) else {
        return;
    };
    page.head(say!("Answers"));
    for answer in &state.answers {
        one_answer(page, view, state, answer);
    }
}

/// Whose hands it was. What was struck, and what was done before a rectification, stays and says so.
pub fn initials(page: &mut Page, view: &SessionView<'_>, planned: &PlanStep) {
    let Some(state) = view.state.step(&planned.step.id).filter(|state| !state.initials.is_empty()) else {
        return;
    };
    page.head(say!("Initials"));
    let look = page.look;
    for initials in &state.initials {
        let stamp = &initials.stamp;
        let text = say!(
            "{} · {} · {} (entry {})",
            stamp.hand().name,
            initialled_words(&initials.work),
            stamp.short(),
            stamp.entry
        );
        match &initials.struck {
            Some(struck) => {
                page.hanging(look.struck(), "· ", &text);
                page.hanging(look.quiet(), "    ", &struck_words(view, struck));
            }
            None if initials.round < state.round => {
                page.hanging(look.quiet(), "· ", &say!("{text} · before the rectification", text));
            }
            None => page.hanging(Style::new(), "· ", &text),
        }
        from_paper(page, "    ", stamp);
    }
    if state.answer().is_none() && state.initials().next().is_some() {
        page.hanging(look.doubt(), "○ ", say!("not accepted yet: the certifier answers the step"));
    }
}

fn one_answer(page: &mut Page, view: &SessionView<'_>, state: &StepState, answer: &Answer) {
    let look = page.look;
    let standing = match answer.answered.result {
        StepResult::Passed => StepStanding::Passed,
        StepResult::Failed => StepStanding::Failed,
        StepResult::NotApplicable => StepStanding::NotApplicable,
    };
    let reason = answer.answered.reason.as_ref().map_or(String::new(), |reason| format!("; {reason}"));
    let text = say!(
        "{} · {} · {} (entry {}){reason}",
        said(answer.answered.result.word()),
        answer.stamp.by.name,
        answer.stamp.short(),
        answer.stamp.entry,
        reason
    );
    let lead = format!("{} ", sign_of_standing(standing));
    match &answer.struck {
        Some(struck) => {
            page.hanging(look.struck(), &lead, &text);
            page.hanging(look.quiet(), "    ", &struck_words(view, struck));
        }
        None if answer.round < state.round => {
            page.hanging(look.quiet(), &lead, &say!("{text} · before the rectification", text));
        }
        None => page.hanging(look.of_standing(standing), &lead, &text),
    }
    from_paper(page, "    ", &answer.stamp);
    if answer.struck.is_none() && !answer.unmet.is_empty() {
        page.hanging(look.bad(), "    ", &say!("answered without: {}", configuration_words(&answer.unmet)));
    }
    if answer.struck.is_none() && !answer.before_its_turn.is_empty() {
        page.hanging(look.bad(), "    ", &say!("answered before: {}", answer.before_its_turn.join(", ")));
    }
}

pub fn readings(page: &mut Page, view: &SessionView<'_>, planned: &PlanStep) {
    if planned.step.measures.is_empty() {
        return;
    }
    page.head(say!("Readings"));
    let state = view.state.step(&planned.step.id);
    for measure in &planned.step.measures {
        measure_head(page, state, measure);
        earlier_readings(page, view, planned, measure);
        let all = state.into_iter().flat_map(|state| &state.readings);
        for reading in all.filter(|reading| reading.taken.measure == measure.id) {
            one_reading(page, view, state.map_or(0, |state| state.round), reading);
        }
        if let Some(state) = state {
            mean_of_repeats(page, state, measure);
        }
    }
}

fn measure_head(page: &mut Page, state: Option<&StepState>, measure: &Measure) {
    let taken = state.map_or(0, |state| state.readings_of(&measure.id).count());
    let need = if measure.demanded {
        say!("{taken} of {} taken", measure.readings, taken)
    } else {
        say!("{taken} taken, none demanded", taken)
    };
    let missing =
        state.map_or(if measure.demanded { measure.readings } else { 0 }, |state| state.missing(measure));
    let style = if missing > 0 { page.look.doubt() } else { Style::new() };
    let lead = if missing > 0 { "○ " } else { "· " };
    page.hanging(
        style,
        lead,
        &format!("{} ({}): {need}", of_checklist(&measure.title), said(measure.kind_word())),
    );
    let limit = limit_line(measure);
    let text = match measure.instrument {
        true => say!("{limit} · an instrument must be named", limit),
        false => limit,
    };
    page.hanging(page.look.quiet(), "    ", &text);
}

/// Where several numbers were read, their mean is what counts.
fn mean_of_repeats(page: &mut Page, state: &StepState, measure: &Measure) {
    if state.readings_of(&measure.id).count() < 2 {
        return;
    }
    if let [mean] = state.judgements(measure).as_slice() {
        let sign = sign_of_verdict(mean.verdict);
        let text = say!("together, {}: {}", mean.headline(), mean.words);
        page.hanging(page.look.of_verdict(mean.verdict), &format!("    {sign} "), &text);
    }
}

/// What earlier annuals of this airframe read.
fn earlier_readings(page: &mut Page, view: &SessionView<'_>, planned: &PlanStep, measure: &Measure) {
    for earlier in &view.plan.airframe.earlier_readings {
        if earlier.step == planned.step.id && earlier.measure == measure.id {
            let text = say!(
                "earlier, on {}: {} {}",
                words::date(earlier.date),
                figure(earlier.value),
                earlier.unit.symbol()
            );
            page.hanging(page.look.quiet(), "    ", &text);
        }
    }
}

pub fn one_reading(page: &mut Page, view: &SessionView<'_>, round: u32, reading: &Reading) {
    let look = page.look;
    let judged = &reading.judgement;
    let instrument = reading.taken.used().ids().map_or(String::new(), |ids| say!(", with {ids}", ids));
    let text = say!(
        "{} · {}{instrument} · {} · {} (entry {})",
        value_words(&reading.taken.value),
        reading.judgement.headline(),
        reading.stamp.by.name,
        reading.stamp.short(),
        reading.stamp.entry,
        instrument
    );
    let lead = format!("    {} ", verdict::sign(judged));
    match &reading.struck {
        Some(struck) => {
            page.hanging(look.struck(), &lead, &text);
            page.hanging(look.quiet(), "        ", &struck_words(view, struck));
        }
        None if reading.round < round => {
            page.hanging(look.quiet(), &lead, &say!("{text} · before the rectification", text));
        }
        None => {
            let style = verdict::style(judged, look);
            page.hanging(style, &lead, &text);
            if let Some((plot, _)) = picture::of_reading(view, reading) {
                page.lines.extend(picture::lines(&plot, page.width(), picture::DETAIL_LINES, look));
            }
            let table = picture::of_table(view, reading, page.width(), look);
            page.lines.extend(table);
            for statement in statements(&judged.words) {
                page.hanging(style, "        ", statement);
            }
        }
    }
    from_paper(page, "        ", &reading.stamp);
}

/// Of what stood on a printed sheet first: where, when, by whom, and who entered it.
pub(super) fn from_paper(page: &mut Page, margin: &str, stamp: &Stamp) {
    if let Some(words) = stamp.paper_words() {
        page.hanging(page.look.quiet(), margin, &words);
    }
}

pub fn evidence(page: &mut Page, view: &SessionView<'_>, planned: &PlanStep) {
    let id = planned.step.id.as_str();
    let of_step: Vec<_> =
        view.state.evidence.iter().filter(|told| told.what.step.as_deref() == Some(id)).collect();
    if planned.step.evidence.is_empty() && of_step.is_empty() {
        return;
    }
    page.head(say!("Evidence"));
    for demand in &planned.step.evidence {
        let given = view.state.evidence_for(id, &demand.id).count();
        let is_enough = u32::try_from(given).is_ok_and(|given| given >= demand.count);
        let (lead, style) = if is_enough { ("✓ ", page.look.good()) } else { ("○ ", page.look.doubt()) };
        let text = say!(
            "{}: {} ({given} of {})",
            said(demand.kind.word()),
            of_checklist(&demand.what),
            demand.count,
            given
        );
        page.hanging(style, lead, &text);
    }
    for told in of_step {
        let text = say!(
            "{} · {} bytes · {} · {} (entry {})",
            told.what.name,
            told.what.bytes,
            told.stamp.by.name,
            told.stamp.short(),
            told.stamp.entry
        );
        match &told.struck {
            Some(struck) => {
                page.hanging(page.look.struck(), "    ", &text);
                page.hanging(page.look.quiet(), "        ", &struck_words(view, struck));
            }
            None => page.hanging(Style::new(), "    ", &text),
        }
    }
}

pub fn defects(page: &mut Page, view: &SessionView<'_>, planned: &PlanStep) {
    let id = Some(planned.step.id.as_str());
    let of_step: Vec<_> =
        view.state.defects.iter().filter(|defect| defect.raised.step.as_deref() == id).collect();
    if of_step.is_empty() {
        return;
    }
    page.head(say!("Defects"));
    for defect in of_step {
        let standing = defect.standing();
        let lead = format!("{} ", sign_of_defect(standing));
        let severity = said(defect.raised.severity.word());
        let text = format!("{} {}: {} · {severity}", defect.id, said(standing.word()), defect.raised.what);
        page.hanging(page.look.of_defect(standing), &lead, &text);
    }
}

pub fn inspections(page: &mut Page, view: &SessionView<'_>, planned: &PlanStep) {
    let Some(state) = view.state.step(&planned.step.id) else { return };
    let is_demanded = planned.step.independent || state.controls_disturbed;
    if !is_demanded && state.inspections.is_empty() {
        return;
    }
    page.head(say!("Independent inspection"));
    if is_demanded && state.inspections.is_empty() {
        page.hanging(
            page.look.doubt(),
            "○ ",
            say!("demanded: by a second person, after this step is answered (i)"),
        );
    }
    for inspection in &state.inspections {
        let checks: Vec<&str> =
            inspection.inspected.checked.iter().map(|check| said(ControlCheck::word(*check))).collect();
        let (lead, result, style) = if inspection.inspected.satisfactory {
            ("✓ ", say!("satisfactory"), page.look.good())
        } else {
            ("✗ ", say!("not satisfactory"), page.look.bad())
        };
        let text = format!(
            "{result}: {}; {} · {} · {}",
            inspection.inspected.connections,
            checks.join(", "),
            inspection.stamp.by.name,
            inspection.stamp.short()
        );
        page.hanging(style, lead, &text);
    }
}

pub fn notes(page: &mut Page, view: &SessionView<'_>, planned: &PlanStep) {
    let Some(state) = view.state.step(&planned.step.id).filter(|state| !state.notes.is_empty()) else {
        return;
    };
    page.head(say!("Notes"));
    for note in &state.notes {
        let text = format!("{} · {} · {}", note.text, note.stamp.by.name, note.stamp.short());
        page.hanging(Style::new(), "· ", &text);
        from_paper(page, "    ", &note.stamp);
    }
}
