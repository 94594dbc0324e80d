//! The cover: which airframe, how it ended, who signed, and the code that fixes the record.

use super::{Source, heading, notice, or_not_recorded, para, quiet_para, when};
use crate::report::facts::{Facts, Status};
use crate::report::model::{Block, Part, Row, Style, Table, Text, Tone, column, number_column};
use crate::report::{local, words};
use crate::state::StepStanding;
use crate::words::{day_of, moment_of, of_checklist, said};

pub(super) fn part(source: &Source<'_>) -> Part {
    let facts = source.facts;
    let mut blocks = vec![outcome(facts)];
    if !facts.grounded_by.is_empty() {
        blocks.push(Block::List(facts.grounded_by.iter().map(Text::plain).collect()));
    }
    for fault in &facts.record_faults {
        blocks.push(notice(Tone::Grave, fault.clone()));
    }
    blocks.push(Block::Facts(airframe(facts)));
    blocks.push(heading(2, "cover-signature", say!("Sign-off")));
    signature(facts, &mut blocks);
    blocks.push(heading(2, "cover-code", say!("Code on paper")));
    codes(facts, &mut blocks);
    blocks.push(heading(2, "cover-summary", say!("At a glance")));
    blocks.push(summary(facts));
    blocks.push(heading(2, "cover-people", say!("People")));
    blocks.push(people(facts));
    blocks.push(quiet_para(said(words::GOVERNS)));
    Part {
        id: words::COVER.0,
        title: say!(
            "{title} of {registration}",
            title = said(words::COVER.1),
            registration = crate::report::model::shown(&facts.airframe.registration)
        ),
        starts_page: true,
        blocks,
    }
}

pub(super) fn outcome(facts: &Facts) -> Block {
    let open =
        facts.sections.iter().flat_map(|section| &section.steps).filter(|step| step.standing.is_open());
    let open = open.count();
    match facts.status {
        Status::Released => notice(Tone::Good, Text::strong(format!("✓ {}", said(words::AIRWORTHY)))),
        Status::NotAirworthy => notice(
            Tone::Grave,
            Text::strong(format!("✗ {}", said(words::NOT_AIRWORTHY)))
                .and(say!(": inspection completed; the list of discrepancies is part of this document.")),
        ),
        Status::Draft if facts.grounded => notice(
            Tone::Grave,
            Text::strong(format!("✗ {}.", said(words::GROUNDED_DRAFT))).and(still_open(open)),
        ),
        Status::Draft => {
            notice(Tone::Caution, Text::strong(format!("○ {}.", said(words::DRAFT))).and(still_open(open)))
        }
    }
}

fn still_open(open: usize) -> String {
    match open {
        0 => say!(" No step is open; the session waits for its sign-off.").to_string(),
        open => say!(" 1 step is open." | " {n} steps are open." % open),
    }
}

fn airframe(facts: &Facts) -> Vec<(String, Text)> {
    let frame = &facts.airframe;
    let of_type = match &frame.type_name {
        Some(name) => format!("{} ({})", of_checklist(name), frame.type_id),
        None => frame.type_id.clone(),
    };
    let standard = if frame.build_standard.is_empty() {
        said(words::NOT_RECORDED).to_string()
    } else {
        frame.build_standard.join(", ")
    };
    let mut rows = vec![
        (say!("Registration").to_string(), Text::strong(&frame.registration)),
        (say!("Type").to_string(), of_type.into()),
        (say!("Serial number").to_string(), frame.serial.clone().into()),
        (say!("Build standard").to_string(), standard.into()),
        (
            say!("Manufactured").to_string(),
            or_not_recorded(frame.manufactured.as_ref().map(|day| day_of(day)).as_ref()).into(),
        ),
        (say!("Total time in service").to_string(), local::totals(&frame.hours, frame.launches).into()),
        (say!("Owner or operator").to_string(), or_not_recorded(frame.owner.as_ref()).into()),
    ];
    if let Some(begun) = &facts.begun {
        rows.push((say!("Begun").to_string(), Text::plain(&begun.name).and(", ").joined(when(begun))));
    }
    rows.push((say!("Session").to_string(), Text::mono(&facts.session)));
    rows
}

fn signature(facts: &Facts, blocks: &mut Vec<Block>) {
    let Some(signed) = &facts.sign_off else {
        blocks.push(notice(
            Tone::Caution,
            Text::strong(said(words::DRAFT)).and(say!(". Nobody has signed this session.")),
        ));
        return;
    };
    let key = match &signed.key {
        Some(key) => Text::mono(key),
        None => Text::plain(say!("not sealed by a key")),
    };
    blocks.push(Block::Facts(vec![
        (say!("Outcome").to_string(), Text::strong(said(&signed.outcome))),
        (say!("Signed by").to_string(), Text::plain(&signed.mark.name)),
        (
            say!("of a person" => "Certificate").to_string(),
            format!("{} {}", signed.certificate, signed.authorisation).into(),
        ),
        (
            say!("Date").to_string(),
            Text::plain(day_of(&signed.date)).quiet(say!("  entry {entry}", entry = signed.mark.entry)),
        ),
        (say!("of a signature" => "Key").to_string(), key),
        (say!("Statement").to_string(), super::statement(signed)),
    ]));
    blocks.extend(super::statement_in_words(facts));
    for second in &facts.countersignatures {
        let how = if second.agrees { say!("Countersigned") } else { say!("Seen and NOT agreed") };
        let note = if second.note.is_empty() { String::new() } else { format!(": {}", second.note) };
        let key = second
            .key
            .as_ref()
            .map_or_else(Text::default, |key| Text::plain(say!(", key ")).with(key, Style::MONO));
        blocks.push(para(
            Text::strong(how)
                .and(say!(" by {name}, ", name = second.mark.name))
                .joined(when(&second.mark))
                .and(note)
                .joined(key),
        ));
    }
    blocks.push(para(
        Text::plain(say!("How to check the signatures: "))
            .link(said(words::VERIFY.1), words::VERIFY.0)
            .and("."),
    ));
}

fn codes(facts: &Facts, blocks: &mut Vec<Block>) {
    if facts.anchors.is_empty() {
        blocks.push(para(said(words::NOTHING)));
        return;
    }
    let rows = facts
        .anchors
        .iter()
        .map(|anchor| {
            Row::cells(vec![
                Text::plain(said(anchor.what)),
                Text::plain(anchor.entry.to_string()),
                Text::plain(moment_of(&anchor.when)),
                Text::plain(&anchor.by),
                Text::default().with(&anchor.code, Style { strong: true, mono: true, ..Style::PLAIN }),
            ])
        })
        .collect();
    blocks.push(Block::Table(Table {
        caption: say!("Codes for the paper worksheet").to_string(),
        columns: vec![
            column(say!("of a code" => "At"), 16.0),
            number_column(say!("Entry"), 8.0),
            column(say!("When"), 17.0),
            column(say!("By"), 19.0),
            column(say!("Code"), 40.0),
        ],
        rows,
    }));
    blocks.push(quiet_para(said(words::ANCHOR_WHY)));
}

fn summary(facts: &Facts) -> Block {
    let steps = || facts.sections.iter().flat_map(|section| &section.steps);
    let count = |wanted: StepStanding| steps().filter(|step| step.standing == wanted).count();
    let struck = steps().flat_map(|step| &step.answers).filter(|answer| answer.struck.is_some()).count();
    let dealt = facts.reports.iter().filter(|report| report.is_dealt_with()).count();
    let open_defects = facts.defects.iter().filter(|defect| defect.is_open).count();
    let readings = steps().flat_map(|step| &step.readings).filter(|reading| reading.struck.is_none()).count();
    Block::Facts(vec![
        (
            say!("Steps").to_string(),
            say!(
                "{all} in all: {passed} passed, {failed} failed, {not} not applicable, {open} open, {again} to re-inspect",
                all = steps().count(),
                passed = count(StepStanding::Passed),
                failed = count(StepStanding::Failed),
                not = count(StepStanding::NotApplicable),
                open = count(StepStanding::Open),
                again = count(StepStanding::Reinspect)
            )
            .into(),
        ),
        (
            say!("Readings").to_string(),
            say!("{readings}, beside {files} evidence files", readings, files = facts.evidence.len()).into(),
        ),
        (say!("Answers struck").to_string(), struck.to_string().into()),
        (say!("Defects").to_string(), say!("{all}, of which {open} open", all = facts.defects.len(), open = open_defects).into()),
        (say!("of pilots" => "Reports").to_string(), say!("{all}, of which {dealt} dealt with", all = facts.reports.len(), dealt).into()),
    ])
}

fn people(facts: &Facts) -> Block {
    Block::Table(Table {
        caption: say!("Who entered something, with the initials used here").to_string(),
        columns: vec![column(say!("Initials"), 14.0), column(say!("Name"), 46.0), column(say!("Id"), 40.0)],
        rows: facts
            .people
            .iter()
            .map(|person| {
                Row::cells(vec![
                    Text::strong(&person.initials),
                    Text::plain(&person.name),
                    Text::plain(&person.id),
                ])
            })
            .collect(),
    })
}
