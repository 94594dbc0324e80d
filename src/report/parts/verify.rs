//! How somebody else checks the record behind this report.

use super::{Source, heading, para};
use crate::report::facts::SignatureFile;
use crate::report::model::{Block, Part};
use crate::report::words;

pub(super) fn part(source: &Source<'_>) -> Part {
    let facts = source.facts;
    let named = |text: &str| text.replace("SESSION", &facts.session);
    let mut blocks: Vec<Block> = vec![
        para(named(words::VERIFY_STEPS[0])),
        para(named(words::VERIFY_STEPS[1])),
        heading(2, "verify-openssh", "With OpenSSH alone"),
    ];
    if facts.signatures.is_empty() {
        blocks.push(para(words::NOTHING_SIGNED));
    } else {
        blocks.push(para(named(words::VERIFY_STEPS[2])));
        blocks.push(Block::Lines(facts.signatures.iter().map(command).collect()));
        blocks.push(para(words::VERIFY_STEPS[3]));
        blocks.push(para(words::VERIFY_HASH));
        let count = facts.sign_off.as_ref().map_or(facts.as_of.entries, |signed| signed.count);
        blocks.push(Block::Lines(vec![format!(
            "N={count}; {{ printf 'spanwise/event/v1\\0'; sed -n \"${{N}}p\" journal.jsonl | tr -d '\\n' | tail -c +6 | head -c -72; }} | sha256sum | cut -c1-64"
        )]));
        if let Some(signed) = &facts.sign_off {
            blocks.push(para("It must print"));
            blocks.push(Block::Lines(vec![signed.head.clone()]));
        }
    }
    blocks.push(para(words::VERIFY_PROVES));
    blocks.push(heading(2, "verify-head", "As of"));
    blocks.push(para(format!("Entry {}, recorded {}; its hash:", facts.as_of.entries, facts.as_of.wall)));
    blocks.push(Block::Lines(vec![facts.as_of.head.clone()]));
    Part { id: words::VERIFY.0, title: words::VERIFY.1.to_string(), starts_page: true, blocks }
}

fn command(signature: &SignatureFile) -> String {
    let SignatureFile { file, person, namespace, verify_time } = signature;
    format!(
        "ssh-keygen -Y verify -f signers -I {person} -n {namespace} -O verify-time={verify_time} -s {file}.json.sig < {file}.json"
    )
}
