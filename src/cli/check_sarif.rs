//! What `check` found, as SARIF 2.1.0 (OASIS Standard, 27 March 2020), for editors and continuous integration.
//!
//! The names and required properties follow the standard from memory; `tests/command_line/check.rs` lists those that it holds the
//! output to. Columns are counted in UTF-16 code units, as `columnKind` says.

use std::collections::BTreeSet;

use serde_json::{Value, json};

use super::check_json::Files;
use crate::bench::{Report, Rule, rules};
use crate::diagnostic::{Diagnostic, Place, Weight};
use crate::words::said;

/// The base of paths that were given from the root.
const ROOT: &str = "ROOT";

const SCHEMA: &str = "https://json.schemastore.org/sarif-2.1.0.json";

pub(super) fn document(report: &Report) -> Value {
    let used: BTreeSet<&str> = report.found.iter().map(|fault| fault.code).collect();
    let of_driver: Vec<&Rule> = rules::ALL.iter().filter(|rule| used.contains(rule.code)).collect();
    let mut files = Files::default();
    let results: Vec<Value> =
        report.found.iter().map(|fault| result(fault, &of_driver, &mut files)).collect();
    json!({
        "$schema": SCHEMA,
        "version": "2.1.0",
        "runs": [{
            "tool": { "driver": {
                "name": env!("CARGO_PKG_NAME"),
                "version": env!("CARGO_PKG_VERSION"),
                "semanticVersion": env!("CARGO_PKG_VERSION"),
                "rules": of_driver.iter().map(|rule| descriptor(rule)).collect::<Vec<_>>(),
            }},
            "columnKind": "utf16CodeUnits",
            "originalUriBaseIds": { (ROOT): { "uri": "file:///" } },
            "results": results,
        }],
    })
}

fn descriptor(rule: &Rule) -> Value {
    let examples = match rule.bad {
        "" => String::new(),
        bad => format!(
            "\n\n{}\n\n```toml\n{bad}```\n\n{}\n\n```toml\n{}```",
            say!("Bad:"),
            say!("Good:"),
            rule.good
        ),
    };
    let (doc, why) = (said(rule.doc), said(rule.why));
    json!({
        "id": rule.code,
        "shortDescription": { "text": doc },
        "fullDescription": { "text": format!("{doc} {why}") },
        "help": {
            "text": format!("{doc} {why}"),
            "markdown": format!("{doc}\n\n{why}{examples}"),
        },
        "defaultConfiguration": { "level": level(rule.weight) },
    })
}

fn level(weight: Weight) -> &'static str {
    match weight {
        Weight::Error => "error",
        Weight::Advice => "note",
    }
}

fn result<'a>(fault: &'a Diagnostic, rules: &[&Rule], files: &mut Files<'a>) -> Value {
    let text = match &fault.hint {
        Some(hint) => say!("{}. Next: {hint}", fault.message.trim_end_matches('.'), hint = hint),
        None => fault.message.clone(),
    };
    let mut result = json!({
        "ruleId": fault.code,
        "level": level(fault.weight),
        "message": { "text": text },
        "locations": [location(&fault.place, files)],
    });
    if let Some(index) = rules.iter().position(|rule| rule.code == fault.code) {
        result["ruleIndex"] = json!(index);
    }
    let related: Vec<Value> = fault
        .related
        .iter()
        .map(|beside| {
            let mut location = location(&beside.place, files);
            location["message"] = json!({ "text": beside.label });
            location
        })
        .collect();
    if !related.is_empty() {
        result["relatedLocations"] = json!(related);
    }
    result
}

fn location<'a>(place: &'a Place, files: &mut Files<'a>) -> Value {
    let (start, end) = files.ends(place);
    json!({ "physicalLocation": {
        "artifactLocation": artifact(&place.source.name),
        "region": {
            "startLine": start.line,
            "startColumn": start.column_utf16,
            "endLine": end.line,
            "endColumn": end.column_utf16,
            "byteOffset": start.byte,
            "byteLength": end.byte - start.byte,
        },
    }})
}

/// A path from the root is given relative to the root.
fn artifact(name: &str) -> Value {
    match std::path::Path::new(name).is_absolute() {
        true => json!({ "uri": relative_uri(name), "uriBaseId": ROOT }),
        false => json!({ "uri": relative_uri(name) }),
    }
}

/// A relative reference (RFC 3986): the path as given, without root, drive or `./`, what is not allowed in a path
/// written as %XX. A first segment with a colon would be read as a scheme, so colons are written so, too.
fn relative_uri(name: &str) -> String {
    let path = name.replace('\\', "/");
    let path = path.strip_prefix("built in: ").map(|rest| format!("checklists/{rest}")).unwrap_or(path);
    let path = path.trim_start_matches("./").trim_start_matches('/');
    let mut uri = String::with_capacity(path.len());
    for byte in path.bytes() {
        match byte {
            b'A'..=b'Z' | b'a'..=b'z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' | b'/' => {
                uri.push(char::from(byte))
            }
            _ => uri.push_str(&format!("%{byte:02X}")),
        }
    }
    uri
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_uri_is_relative_and_holds_only_what_a_path_may() {
        assert_eq!(relative_uri("./club/ä b.toml"), "club/%C3%A4%20b.toml");
        assert_eq!(relative_uri("C:\\club\\x.toml"), "C%3A/club/x.toml");
        assert_eq!(relative_uri("built in: fin-root/1.0.0.toml"), "checklists/fin-root/1.0.0.toml");
    }
}
