//! One file as read: what it holds, its faults, and where everything stands in it.

use std::sync::{Arc, OnceLock};

use crate::airframe::{Airframe, read_airframe, read_instruments, read_people};
use crate::checklist::{Checklist, misplaced, read_checklist_through};
use crate::diagnostic::{Diagnostic, Source};
use crate::source::Outline;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileKind {
    Checklist,
    Airframe,
    People,
    Instruments,
}

pub struct Reading {
    pub source: Arc<Source>,
    pub kind: FileKind,
    pub checklist: Option<Checklist>,
    pub airframe: Option<Airframe>,
    /// What reading showed, in file order.
    pub faults: Vec<Diagnostic>,
    outline: OnceLock<Outline>,
}

impl Reading {
    pub fn of(source: &Arc<Source>) -> Reading {
        Reading::at(source, &source.name)
    }

    /// Of a file whose full path is not its name: `1.0.1.toml`, checked from within its folder.
    pub fn at(source: &Arc<Source>, path: &str) -> Reading {
        let kind = kind_of(source, path);
        let (mut checklist, mut airframe) = (None, None);
        let faults = match kind {
            FileKind::Checklist => {
                let (read, mut faults) = read_checklist_through(source);
                let is_named = |found: &Checklist| !found.id.value.is_empty() && found.version.span != (0..0);
                faults.extend(
                    read.as_ref().filter(|found| is_named(found)).and_then(|found| misplaced(found, path)),
                );
                checklist = read;
                faults
            }
            FileKind::Airframe => match read_airframe(source) {
                Ok(read) => {
                    airframe = Some(read);
                    Vec::new()
                }
                Err(faults) => faults,
            },
            FileKind::People => read_people(source).err().unwrap_or_default(),
            FileKind::Instruments => read_instruments(source).err().unwrap_or_default(),
        };
        Reading { source: Arc::clone(source), kind, checklist, airframe, faults, outline: OnceLock::new() }
    }

    /// Made when first asked for: a sound file is never pointed into.
    pub fn outline(&self) -> &Outline {
        self.outline.get_or_init(|| Outline::of(&self.source))
    }

    pub fn has_broken_syntax(&self) -> bool {
        self.faults.iter().any(|fault| fault.code == "toml-syntax")
    }
}

/// By its name where that says it, else by the first key or table that only one kind of file has.
fn kind_of(source: &Source, path: &str) -> FileKind {
    let name = path.replace('\\', "/");
    if name.ends_with("people.toml") {
        return FileKind::People;
    }
    if name.ends_with("instruments.toml") {
        return FileKind::Instruments;
    }
    let of_line = |line: &str| {
        let line = line.trim();
        let key = line.split(['=', '#']).next().unwrap_or_default().trim();
        match key {
            "format" | "kind" | "version" | "issued" | "[requires]" | "[[section]]" | "[[step]]" => {
                Some(FileKind::Checklist)
            }
            "registration" | "serial" | "hours" | "launches" => Some(FileKind::Airframe),
            "[[person]]" => Some(FileKind::People),
            "[[instrument]]" => Some(FileKind::Instruments),
            _ => None,
        }
    };
    let by_place =
        if name.rsplit('/').nth(1) == Some("airframes") { FileKind::Airframe } else { FileKind::Checklist };
    source.text.lines().find_map(of_line).unwrap_or(by_place)
}
