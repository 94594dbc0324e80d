//! One step of the worksheet as rows: the result that holds, then everything else in the order of the record.

use super::{Source, perhaps_struck, short_hash, struck_words, who_when};
use crate::event::initialled_words;
use crate::report::facts::{AnswerFacts, InspectionFacts, ReadingFacts, StepFacts};
use crate::report::model::{Row, Style, Text};
use crate::report::{local, words};
use crate::state::StepStanding;
use crate::words::{of_checklist, said};

/// Anchor of a step, for links to it.
pub(super) fn step_id(step: &str) -> String {
    format!("step-{step}")
}

/// Sign before the word: results are never told by colour alone.
fn sign(standing: StepStanding) -> &'static str {
    match standing {
        StepStanding::Passed => "✓",
        StepStanding::Failed => "✗",
        StepStanding::NotApplicable => "–",
        StepStanding::Open => "○",
        StepStanding::Reinspect => "▲",
    }
}

pub(super) fn step_rows(source: &Source<'_>, step: &StepFacts) -> Vec<Row> {
    let holds = step.holds();
    let style = match step.standing {
        StepStanding::Passed | StepStanding::NotApplicable => Style::PLAIN,
        _ => Style::STRONG,
    };
    let optional = if step.mandatory { "" } else { say!(" (optional)") };
    let mut title = Text::strong(of_checklist(&step.title)).quiet(format!("  {}{optional}", step.id));
    if !step.because.is_empty() {
        title = title.and(format!(" → {}", step.because.join(", ")));
    }
    let by = holds.map_or_else(Text::default, |answer| Text::plain(source.initials(&answer.mark.by)));
    let when = holds.map_or_else(Text::default, |answer| super::when(&answer.mark));
    let result = Text::default().with(format!("{} {}", sign(step.standing), said(&step.result)), style);
    let mut rows = vec![Row::Cells { id: Some(step_id(&step.id)), cells: vec![result, title, by, when] }];
    rows.extend(details(source, step).into_iter().map(|(_, text)| Row::Detail { text }));
    rows
}

/// Everything beside the result that holds, in the order of the record.
fn details(source: &Source<'_>, step: &StepFacts) -> Vec<(u64, Text)> {
    let holds = step.holds().map(|answer| answer.mark.entry);
    let mut lines: Vec<(u64, Text)> = Vec::new();
    for answer in &step.answers {
        let is_holding = holds == Some(answer.mark.entry);
        lines.extend(
            answer_lines(source, answer, is_holding).into_iter().map(|text| (answer.mark.entry, text)),
        );
    }
    for initials in &step.initials {
        let text = Text::plain(say!("initialled: "))
            .joined(perhaps_struck(initialled_words(&initials.work), initials.struck.as_ref()))
            .and(" ")
            .joined(who_when(source, &initials.mark));
        lines.push((initials.mark.entry, with_round(text, initials.before_rectification)));
    }
    lines.extend(step.readings.iter().map(|reading| (reading.mark.entry, reading_line(source, reading))));
    lines.extend(step.inspections.iter().map(|look| (look.mark.entry, inspection_line(source, look))));
    for file in &step.evidence {
        let name = say!(
            "{name} ({bytes} bytes, sha256 {hash}…)",
            name = file.name,
            bytes = file.bytes,
            hash = short_hash(&file.sha256)
        );
        let text = Text::plain(say!("evidence "))
            .joined(perhaps_struck(name, file.struck.as_ref()))
            .and(" ")
            .joined(who_when(source, &file.mark));
        lines.push((file.mark.entry, text));
    }
    for note in &step.notes {
        let text = Text::plain(say!("note: ")).and(&note.text).and(" ").joined(who_when(source, &note.mark));
        lines.push((note.mark.entry, text));
    }
    for defect in source.facts.defects.iter().filter(|defect| defect.step.as_ref() == Some(&step.id)) {
        let what = format!("{}, {}: {}", said(&defect.severity), said(&defect.standing), defect.what);
        let text = Text::plain(say!("defect "))
            .link(&defect.id, format!("defect-{}", defect.id))
            .and(", ")
            .joined(perhaps_struck(what, defect.struck.as_ref()))
            .joined(super::from_paper(&defect.mark));
        lines.push((defect.mark.entry, text));
    }
    lines.sort_by_key(|(entry, _)| *entry);
    lines
}

/// An answer that holds already stands as the result: only its reason and what was wrong with its time are told.
fn answer_lines(source: &Source<'_>, answer: &AnswerFacts, is_holding: bool) -> Vec<Text> {
    let mut lines = Vec::new();
    let reason = answer.reason.as_ref().filter(|reason| !reason.is_empty());
    if is_holding {
        // Who entered it and when stand beside the result.
        lines.extend(answer.mark.from_paper.as_ref().map(|paper| Text::plain(local::from_paper(paper))));
        lines.extend(reason.map(|reason| Text::plain(say!("reason: {reason}", reason))));
    } else {
        let result = said(&answer.result);
        let words = reason.map_or_else(|| result.to_string(), |reason| format!("{result}: {reason}"));
        let told = match &answer.struck {
            Some(_) => Text::struck(words).and(" ").joined(who_when(source, &answer.mark)),
            None => Text::plain(words).and(" ").joined(who_when(source, &answer.mark)),
        };
        let told = with_round(told, answer.before_rectification && answer.struck.is_none());
        lines.push(match &answer.struck {
            Some(struck) => told.joined(struck_words(struck)),
            None => told,
        });
    }
    if answer.out_of_configuration.is_some() {
        lines.push(
            Text::strong(say!("▲ answered out of configuration"))
                .and(say!("; not confirmed then: {unmet}", unmet = answer.unmet)),
        );
    }
    if !answer.before_its_turn.is_empty() {
        lines.push(
            Text::strong(say!("▲ answered before its turn"))
                .and(say!("; open then: {steps}", steps = answer.before_its_turn.join(", "))),
        );
    }
    lines
}

fn with_round(text: Text, before_rectification: bool) -> Text {
    if before_rectification { text.quiet(format!(" ({})", said(words::BEFORE_RECTIFICATION))) } else { text }
}

/// The figures behind the verdict stand in the measurement record.
fn reading_line(source: &Source<'_>, reading: &ReadingFacts) -> Text {
    let value = match &reading.struck {
        None => Text::strong(&reading.value_shown),
        Some(_) => Text::struck(&reading.value_shown),
    };
    let ids: Vec<&str> = reading.instruments.iter().map(|instrument| instrument.id.as_str()).collect();
    let with = if ids.is_empty() {
        String::new()
    } else {
        say!(" with {ids}", ids = ids.join(say!("between instruments" => " and ")))
    };
    let verdict = match reading.verdict.as_str() {
        "within" | "recorded" | "consistent" => Style::PLAIN,
        _ => Style::STRONG,
    };
    let text = Text::plain(format!("{}: ", of_checklist(&reading.title)))
        .joined(value)
        .and(with)
        .and(" → ")
        .with(&reading.verdict_shown, if reading.struck.is_some() { Style::STRUCK } else { verdict })
        .and(" ")
        .joined(who_when(source, &reading.mark));
    let text = with_round(text, reading.before_rectification && reading.struck.is_none());
    match &reading.struck {
        Some(struck) => text.joined(struck_words(struck)),
        None => text,
    }
}

fn inspection_line(source: &Source<'_>, look: &InspectionFacts) -> Text {
    let found = if look.satisfactory { say!("satisfactory") } else { say!("NOT satisfactory") };
    let checked: Vec<&str> = look.checked.iter().map(|check| said(check)).collect();
    let number = look.authorisation.as_ref().map(|number| format!(", {number}")).unwrap_or_default();
    let sealed = if look.sealed { say!(", signed with a key") } else { "" };
    let text = Text::strong(say!("independent inspection"))
        .and(format!(": {} ({}), ", look.connections, checked.join(", ")))
        .with(found, if look.satisfactory { Style::PLAIN } else { Style::STRONG })
        .and(format!("; {}{number}{sealed} ", look.mark.name))
        .joined(who_when(source, &look.mark));
    with_round(text, look.before_rectification)
}
