//! How somebody else checks the record behind this report.

use super::{Source, heading, para, short_hash, when};
use crate::report::facts::{Facts, SignatureFile};
use crate::report::model::{Block, Part, Row, Style, Table, Text, column};
use crate::report::words;
use crate::words::{of_checklist, said};

pub(super) fn part(source: &Source<'_>) -> Part {
    let facts = source.facts;
    let named = |text: &str| said(text).replace("SESSION", &facts.session);
    let mut blocks: Vec<Block> = vec![
        para(named(words::VERIFY_STEPS[0])),
        para(named(words::VERIFY_STEPS[1])),
        heading(2, "verify-openssh", say!("With OpenSSH alone")),
    ];
    if facts.signatures.is_empty() {
        blocks.push(para(said(words::NOTHING_SIGNED)));
    } else {
        blocks.push(para(named(words::VERIFY_STEPS[2])));
        blocks.push(Block::Lines(facts.signatures.iter().flat_map(command).collect()));
        blocks.push(para(said(words::VERIFY_STEPS[3])));
        blocks.push(para(said(words::VERIFY_HASH)));
        let count = facts.sign_off.as_ref().map_or(facts.as_of.entries, |signed| signed.count);
        blocks.push(Block::Lines(vec![
            format!("N={count}; {{ printf 'spanwise/event/v1\\0'; sed -n \"${{N}}p\" journal.jsonl \\"),
            "  | tr -d '\\n' | tail -c +6 | head -c -72; } | sha256sum | cut -c1-64".to_string(),
        ]));
        if let Some(signed) = &facts.sign_off {
            blocks.push(para(say!("It must print")));
            blocks.push(Block::Lines(vec![signed.head.clone()]));
        }
    }
    blocks.push(para(said(words::VERIFY_PROVES)));
    blocks.push(heading(2, "verify-head", say!("As of")));
    blocks.push(para(say!(
        "{entries} entries, the last one recorded {wall}; its hash:",
        entries = facts.as_of.entries,
        wall = facts.as_of.wall
    )));
    blocks.push(Block::Lines(vec![facts.as_of.head.clone()]));
    blocks.push(heading(2, "verify-plan", say!("The plan by which it was worked")));
    plan(facts, &mut blocks);
    Part { id: words::VERIFY.0, title: said(words::VERIFY.1).to_string(), starts_page: true, blocks }
}

/// On two lines, so that no page breaks it where a shell would not go on.
fn command(signature: &SignatureFile) -> [String; 2] {
    let SignatureFile { file, person, namespace, verify_time } = signature;
    [
        format!("ssh-keygen -Y verify -f signers -I {person} -n {namespace} \\"),
        format!("  -O verify-time={verify_time} -s {file}.json.sig < {file}.json"),
    ]
}

fn plan(facts: &Facts, blocks: &mut Vec<Block>) {
    blocks.push(Block::Table(Table {
        caption: say!("Checklist editions in the frozen plan").to_string(),
        columns: vec![
            column(say!("Checklist"), 30.0),
            column(say!("Edition"), 12.0),
            column(say!("Kind"), 16.0),
            column(say!("Title"), 28.0),
            column(say!("SHA-256"), 22.0),
        ],
        rows: facts
            .plan
            .editions
            .iter()
            .map(|edition| {
                Row::cells(vec![
                    Text::plain(&edition.id),
                    Text::plain(&edition.version),
                    Text::plain(said(&edition.kind)),
                    Text::plain(of_checklist(&edition.title)),
                    Text::mono(short_hash(&edition.sha256)),
                ])
            })
            .collect(),
    }));
    for revision in &facts.plan.revisions {
        blocks.push(para(
            Text::strong(said(&revision.cause))
                .and(say!(" by {name}, ", name = revision.mark.name))
                .joined(when(&revision.mark))
                .and(format!(": {}", revision.why)),
        ));
    }
    for step in &facts.plan.withdrawn {
        blocks.push(para(say!(
            "Step {id} ({title}) withdrawn by {by}: {reason}",
            id = step.id,
            title = of_checklist(&step.title),
            by = step.by,
            reason = of_checklist(&step.reason)
        )));
    }
    blocks.push(para(Text::plain(say!("Plan ")).with(&facts.plan.hash, Style::MONO)));
}
