//! The inputs of every kind of computation: TOML, CSV and recordings.

use spanwise::compute::{KINDS, Kind, Request};

use super::{Target, tell};
use crate::keep::file;

pub fn targets() -> Vec<Target> {
    let demo = demo_files();
    KINDS
        .iter()
        .map(|kind| {
            let name: &'static str = Box::leak(format!("compute-{}", kind.name).into_boxed_str());
            let seeds = seeds(kind, &demo);
            Target::new(name, 60, move |input| run(kind, input))
                .seeds(move || seeds.clone())
                .tokens(move || tokens(kind))
        })
        .collect()
}

const CREAKS: &[u8] = include_bytes!("../../../demo/compute/creaks.wav");
const QUIET: &[u8] = include_bytes!("../../../demo/compute/quiet.wav");

fn run(kind: &Kind, input: &[u8]) -> bool {
    // A recording that is named is the input itself, one of the examples, or a short one.
    let fetch = |name: &str| match name {
        "itself" => Ok(input.to_vec()),
        _ if name.ends_with("creaks.wav") => Ok(CREAKS.to_vec()),
        _ if name.ends_with("quiet.wav") => Ok(QUIET.to_vec()),
        _ => Ok(super::wav::short_recording()),
    };
    let made = kind.compute(&Request { file: "-", bytes: input, set: &[], fetch: &fetch });
    match made {
        Ok(report) => {
            let (text, json) = (report.text(), report.json("-"));
            assert!(!text.is_empty() && !json.is_null());
            for picture in &report.pictures {
                let _ = picture.text(60, 15, false);
            }
            true
        }
        Err(faults) => {
            assert!(!faults.is_empty(), "refused without a word");
            tell(&faults);
            false
        }
    }
}

fn demo_files() -> Vec<(String, Vec<u8>)> {
    KINDS
        .iter()
        .flat_map(|kind| {
            ["toml", "csv"].map(|ending| (kind.name, format!("demo/compute/{}.{ending}", kind.name)))
        })
        .filter(|(_, path)| std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(path).exists())
        .map(|(name, path)| (name.to_string(), file(&path)))
        .collect()
}

fn seeds(kind: &Kind, demo: &[(String, Vec<u8>)]) -> Vec<Vec<u8>> {
    let mut seeds = vec![kind.example.as_bytes().to_vec(), as_csv(kind)];
    seeds.extend(demo.iter().filter(|(name, _)| name == kind.name).map(|(_, bytes)| bytes.clone()));
    if kind.takes_recording {
        seeds.push(super::wav::short_recording());
    }
    seeds
}

/// A table with every column of the kind, so that both forms are reached.
fn as_csv(kind: &Kind) -> Vec<u8> {
    let Some(rows) = kind.schema.tables.first() else { return Vec::new() };
    let names: Vec<&str> = rows.keys.iter().map(|key| key.name).collect();
    let settings: String = kind.schema.settings.iter().map(|key| format!("@{},1\n", key.name)).collect();
    format!("{settings}{}\n{}\n", names.join(","), vec!["1"; names.len()].join(",")).into_bytes()
}

fn tokens(kind: &Kind) -> Vec<String> {
    let keys = |keys: &[spanwise::compute::input::Key]| {
        keys.iter().map(|key| key.name.to_string()).collect::<Vec<_>>()
    };
    let mut tokens = keys(kind.schema.settings);
    for table in kind.schema.tables {
        tokens.extend(keys(table.keys));
        tokens.push(format!("\n[[{}]]\n", table.name));
    }
    tokens.extend(super::words(kind.example.as_bytes()));
    tokens.extend(tokens.clone().iter().map(|key| format!("\n@{key},")));
    tokens.extend(
        ["itself", " mm", " kgf", " N/mm", " km/h", " years", " months", " launches", " %"].map(String::from),
    );
    tokens
}
