//! The logbook entry: exactly the elements of 14 CFR 43.11(a), and those of ML.A.801(e).

use super::{Source, heading, notice, para, quiet_para};
use crate::report::facts::{DefectFacts, Facts, SignOffFacts, Status};
use crate::report::model::{Block, Part, Text, Tone};
use crate::report::{local, words};
use crate::words::{day_of, said};

pub(super) fn part(source: &Source<'_>) -> Part {
    let facts = source.facts;
    let mut blocks = Vec::new();
    if facts.status == Status::Draft {
        blocks.push(notice(
            Tone::Caution,
            Text::strong(said(words::DRAFT)).and(format!(". {}", said(words::DRAFT_ENTRY))),
        ));
    }
    if facts.status == Status::NotAirworthy || facts.grounded {
        blocks.push(notice(Tone::Grave, Text::strong(format!("✗ {}", said(words::NOT_AIRWORTHY)))));
    }
    blocks.push(heading(2, "logbook-43-11", say!("Inspection entry")));
    blocks.push(Block::Facts(inspection(facts)));
    blocks.extend(super::statement_in_words(facts));
    if facts.sign_off.is_some() {
        blocks.push(Block::SignatureLines(vec![signer(facts)]));
    }
    blocks.push(quiet_para(said(words::ENTRY_43_11)));
    blocks.push(quiet_para(said(words::STATEMENT_SOURCE)));
    if facts.defects.iter().any(is_rectified) {
        blocks.push(para(said(words::ENTRY_43_9)));
    }
    blocks.push(heading(2, "logbook-ml-a-801", say!("Certificate of release to service, Part-ML")));
    release(facts, &mut blocks);
    Part { id: words::LOGBOOK.0, title: said(words::LOGBOOK.1).to_string(), starts_page: true, blocks }
}

/// 43.11(a)(1) to (5), in their order.
fn inspection(facts: &Facts) -> Vec<(String, Text)> {
    let frame = &facts.airframe;
    let signed = facts.sign_off.as_ref();
    let missing = || Text::strong(said(words::DRAFT));
    let of_signed = |words: &dyn Fn(&SignOffFacts) -> String| {
        signed.map_or_else(missing, |signed| Text::plain(words(signed)))
    };
    vec![
        (say!("Aircraft").to_string(), words::aircraft(frame).into()),
        (say!("Type and extent of inspection").to_string(), extent(facts).into()),
        (say!("Date").to_string(), of_signed(&|signed| day_of(&signed.date))),
        (say!("Total time in service").to_string(), Text::plain(local::totals(&frame.hours, frame.launches))),
        (say!("Signature").to_string(), of_signed(&|signed| signature(signed))),
        (say!("Certificate number").to_string(), of_signed(&|signed| signed.authorisation.clone())),
        (say!("Kind of certificate").to_string(), of_signed(&|signed| signed.certificate.clone())),
        (say!("Statement").to_string(), signed.map_or_else(missing, super::statement)),
    ]
}

/// By which hand or key: a name in print is none yet.
fn signature(signed: &SignOffFacts) -> String {
    match &signed.key {
        Some(key) => say!("{name}; signed electronically with the key {key}", name = signed.mark.name, key),
        None => say!(
            "{name}; not signed with a key: valid with the signature by hand below",
            name = signed.mark.name
        ),
    }
}

fn extent(facts: &Facts) -> String {
    let editions: Vec<String> =
        facts.plan.editions.iter().map(|edition| format!("{} {}", edition.id, edition.version)).collect();
    let steps = facts.sections.iter().map(|section| section.steps.len()).sum::<usize>();
    say!(
        "Annual inspection, {steps} steps by {editions}; worksheet: session {session}",
        steps,
        editions = editions.join(", "),
        session = facts.session
    )
}

fn is_rectified(defect: &DefectFacts) -> bool {
    defect.decisions.iter().any(|decision| decision.what == "rectified")
}

fn signer(facts: &Facts) -> String {
    facts.sign_off.as_ref().map_or_else(String::new, |signed| {
        let date = day_of(&signed.date);
        format!("{}, {} {}, {date}", signed.mark.name, signed.certificate, signed.authorisation)
    })
}

/// ML.A.801(e)(1) to (4), with the statement where it may be given: never with a known non-compliance (ML.A.801(g)).
fn release(facts: &Facts, blocks: &mut Vec<Block>) {
    let Some(signed) = facts.sign_off.as_ref().filter(|_| facts.status == Status::Released) else {
        blocks.push(notice(Tone::Caution, said(words::ML_WITHHELD)));
        return;
    };
    let deferred: Vec<String> = facts
        .defects
        .iter()
        .filter(|defect| defect.is_open)
        .map(|defect| format!("{} {} ({})", defect.id, defect.what, said(&defect.standing)))
        .collect();
    let limits = if deferred.is_empty() { say!("none recorded").to_string() } else { deferred.join("; ") };
    let rectified: Vec<String> = facts
        .defects
        .iter()
        .filter(|defect| defect.struck.is_none() && is_rectified(defect))
        .map(|defect| format!("{} {} ({})", defect.id, defect.what, said(&defect.standing)))
        .collect();
    let rectified =
        if rectified.is_empty() { say!("of defects" => "none").to_string() } else { rectified.join("; ") };
    blocks.push(Block::Facts(vec![
        (say!("Aircraft").to_string(), words::aircraft(&facts.airframe).into()),
        (say!("Maintenance carried out").to_string(), extent(facts).into()),
        (say!("Defects rectified").to_string(), rectified.into()),
        (
            say!("Completed").to_string(),
            say!(
                "{date}, at {totals}",
                date = day_of(&signed.date),
                totals = local::totals(&signed.hours, signed.launches)
            )
            .into(),
        ),
        (
            say!("Released by").to_string(),
            format!("{}, {} {}", signed.mark.name, signed.certificate, signed.authorisation).into(),
        ),
        (say!("Limitations").to_string(), limits.into()),
        (say!("Statement").to_string(), said(words::ML_STATEMENT).into()),
    ]));
    blocks.push(Block::SignatureLines(vec![signer(facts)]));
    blocks.push(quiet_para(said(words::ENTRY_ML)));
    blocks.push(quiet_para(said(words::ML_STATEMENT_SOURCE)));
}
