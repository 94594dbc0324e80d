//! The cover: which airframe, how it ended, who signed, and the code that fixes the record.

use super::{Source, heading, notice, or_not_recorded, para, quiet_para, when};
use crate::report::facts::{Facts, Status};
use crate::report::model::{Block, Part, Row, Style, Table, Text, Tone, column, number_column};
use crate::report::words;
use crate::state::StepStanding;

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
    blocks.push(heading(2, "cover-signature", "Sign-off"));
    signature(facts, &mut blocks);
    blocks.push(heading(2, "cover-code", "Code on paper"));
    codes(facts, &mut blocks);
    blocks.push(heading(2, "cover-summary", "At a glance"));
    blocks.push(summary(facts));
    blocks.push(heading(2, "cover-people", "People"));
    blocks.push(people(facts));
    blocks.push(quiet_para(words::GOVERNS));
    Part {
        id: words::COVER.0,
        title: format!("{} of {}", words::COVER.1, crate::report::model::shown(&facts.airframe.registration)),
        starts_page: true,
        blocks,
    }
}

pub(super) fn outcome(facts: &Facts) -> Block {
    let open =
        facts.sections.iter().flat_map(|section| &section.steps).filter(|step| step.standing.is_open());
    let open = open.count();
    match facts.status {
        Status::Released => notice(Tone::Good, Text::strong(format!("✓ {}", words::AIRWORTHY))),
        Status::NotAirworthy => notice(
            Tone::Grave,
            Text::strong(format!("✗ {}", words::NOT_AIRWORTHY))
                .and(": inspection completed; the list of discrepancies is part of this document."),
        ),
        Status::Draft if facts.grounded => {
            notice(Tone::Grave, Text::strong(format!("✗ {}.", words::GROUNDED_DRAFT)).and(still_open(open)))
        }
        Status::Draft => {
            notice(Tone::Caution, Text::strong(format!("○ {}.", words::DRAFT)).and(still_open(open)))
        }
    }
}

fn still_open(open: usize) -> String {
    match open {
        0 => " No step is open; the session waits for its sign-off.".to_string(),
        1 => " 1 step is open.".to_string(),
        more => format!(" {more} steps are open."),
    }
}

fn airframe(facts: &Facts) -> Vec<(String, Text)> {
    let frame = &facts.airframe;
    let of_type = match &frame.type_name {
        Some(name) => format!("{name} ({})", frame.type_id),
        None => frame.type_id.clone(),
    };
    let standard = if frame.build_standard.is_empty() {
        words::NOT_RECORDED.to_string()
    } else {
        frame.build_standard.join(", ")
    };
    let mut rows = vec![
        ("Registration".to_string(), Text::strong(&frame.registration)),
        ("Type".to_string(), of_type.into()),
        ("Serial number".to_string(), frame.serial.clone().into()),
        ("Build standard".to_string(), standard.into()),
        ("Manufactured".to_string(), or_not_recorded(frame.manufactured.as_ref()).into()),
        (
            "Total time in service".to_string(),
            format!("{} h, {} launches", frame.hours, frame.launches).into(),
        ),
        ("Owner or operator".to_string(), or_not_recorded(frame.owner.as_ref()).into()),
    ];
    if let Some(begun) = &facts.begun {
        rows.push(("Begun".to_string(), Text::plain(&begun.name).and(", ").joined(when(begun))));
    }
    rows.push(("Session".to_string(), Text::mono(&facts.session)));
    rows
}

fn signature(facts: &Facts, blocks: &mut Vec<Block>) {
    let Some(signed) = &facts.sign_off else {
        blocks
            .push(notice(Tone::Caution, Text::strong(words::DRAFT).and(". Nobody has signed this session.")));
        return;
    };
    let key = match &signed.key {
        Some(key) => Text::mono(key),
        None => Text::plain("not sealed by a key"),
    };
    blocks.push(Block::Facts(vec![
        ("Outcome".to_string(), Text::strong(&signed.outcome)),
        ("Signed by".to_string(), Text::plain(&signed.mark.name)),
        ("Certificate".to_string(), format!("{} {}", signed.certificate, signed.authorisation).into()),
        ("Date".to_string(), Text::plain(&signed.date).quiet(format!("  entry {}", signed.mark.entry))),
        ("Key".to_string(), key),
        ("Statement".to_string(), signed.statement.clone().into()),
    ]));
    for second in &facts.countersignatures {
        let how = if second.agrees { "Countersigned" } else { "Seen and NOT agreed" };
        let note = if second.note.is_empty() { String::new() } else { format!(": {}", second.note) };
        let key = second
            .key
            .as_ref()
            .map_or_else(Text::default, |key| Text::plain(", key ").with(key, Style::MONO));
        blocks.push(para(
            Text::strong(how)
                .and(format!(" by {}, ", second.mark.name))
                .joined(when(&second.mark))
                .and(note)
                .joined(key),
        ));
    }
    blocks.push(para(
        Text::plain("How to check the signatures: ").link(words::VERIFY.1, words::VERIFY.0).and("."),
    ));
}

fn codes(facts: &Facts, blocks: &mut Vec<Block>) {
    if facts.anchors.is_empty() {
        blocks.push(para(words::NOTHING));
        return;
    }
    let rows = facts
        .anchors
        .iter()
        .map(|anchor| {
            Row::cells(vec![
                Text::plain(anchor.what),
                Text::plain(anchor.entry.to_string()),
                Text::plain(&anchor.when),
                Text::plain(&anchor.by),
                Text::default().with(&anchor.code, Style { strong: true, mono: true, ..Style::PLAIN }),
            ])
        })
        .collect();
    blocks.push(Block::Table(Table {
        caption: "Codes for the paper worksheet".to_string(),
        columns: vec![
            column("At", 16.0),
            number_column("Entry", 8.0),
            column("When", 17.0),
            column("By", 19.0),
            column("Code", 40.0),
        ],
        rows,
    }));
    blocks.push(quiet_para(words::ANCHOR_WHY));
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
            "Steps".to_string(),
            format!(
                "{} in all: {} passed, {} failed, {} not applicable, {} open, {} to re-inspect",
                steps().count(),
                count(StepStanding::Passed),
                count(StepStanding::Failed),
                count(StepStanding::NotApplicable),
                count(StepStanding::Open),
                count(StepStanding::Reinspect),
            )
            .into(),
        ),
        (
            "Readings".to_string(),
            format!("{readings}, beside {} evidence files", facts.evidence.len()).into(),
        ),
        ("Answers struck".to_string(), struck.to_string().into()),
        ("Defects".to_string(), format!("{}, of which {open_defects} open", facts.defects.len()).into()),
        ("Reports".to_string(), format!("{}, of which {dealt} dealt with", facts.reports.len()).into()),
    ])
}

fn people(facts: &Facts) -> Block {
    Block::Table(Table {
        caption: "Who entered something, with the initials used here".to_string(),
        columns: vec![column("Initials", 14.0), column("Name", 46.0), column("Id", 40.0)],
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
