//! Where text goes, and which exit code a failure has. A closed pipe is no error.

use std::fmt;
use std::io::{self, Write};

use serde::Serialize;

use crate::diagnostic::render;
use crate::hangar::HangarError;

/// Exit codes; documented in the README and in `--help`.
pub mod exit {
    pub const DONE: u8 = 0;
    pub const FAILED: u8 = 1;
    pub const USAGE: u8 = 2;
    pub const REFUSED: u8 = 3;
    pub const DAMAGED: u8 = 4;
    /// `compute`: cannot decide, cannot tell.
    pub const UNDECIDED: u8 = 5;
}

/// Standard output and error, or a buffer where another command listens.
pub struct Output {
    captured: Option<String>,
    report: Option<Report>,
}

/// What a command that was asked for JSON told, until its end.
#[derive(Default)]
struct Report {
    facts: serde_json::Map<String, serde_json::Value>,
    said: String,
    errors: Vec<String>,
}

impl Output {
    pub fn terminal() -> Self {
        Output { captured: None, report: None }
    }

    /// Collects what would be printed.
    pub fn captured() -> Self {
        Output { captured: Some(String::new()), report: None }
    }

    /// Standard output gets one JSON object at the end: `code`, `said` (lines), `errors`, and the facts. For commands that
    /// do something and have no table of their own to tell. Errors go to standard error as well.
    pub fn reporting() -> Self {
        Output { captured: None, report: Some(Report::default()) }
    }

    /// A fact for the JSON object; said in words elsewhere.
    pub fn fact(&mut self, key: &str, value: impl Into<serde_json::Value>) {
        if let Some(report) = &mut self.report {
            report.facts.insert(key.to_string(), value.into());
        }
    }

    /// Ends a report. Without one there is nothing to do.
    pub fn finish(&mut self, code: u8) {
        if let Some(Report { mut facts, said, errors }) = self.report.take() {
            facts.insert("code".to_string(), code.into());
            facts.insert("said".to_string(), said.lines().collect());
            facts.insert("errors".to_string(), errors.into());
            self.json(&facts);
        }
    }

    pub fn take(&mut self) -> String {
        self.captured.as_mut().map(std::mem::take).unwrap_or_default()
    }

    pub fn text(&mut self, text: &str) {
        if let Some(report) = &mut self.report {
            return report.said.push_str(text);
        }
        match &mut self.captured {
            Some(captured) => captured.push_str(text),
            // Whoever listens may have gone (`| head`): then there is nobody to tell.
            None => drop(io::stdout().lock().write_all(text.as_bytes())),
        }
    }

    /// Bytes of a file, such as a PDF. A captured answer takes them as text.
    pub fn bytes(&mut self, bytes: &[u8]) {
        match &mut self.captured {
            Some(captured) => captured.push_str(&String::from_utf8_lossy(bytes)),
            None => drop(io::stdout().lock().write_all(bytes)),
        }
    }

    pub fn line(&mut self, line: &str) {
        self.text(&format!("{line}\n"));
    }

    pub fn json(&mut self, value: &impl Serialize) {
        match serde_json::to_string_pretty(value) {
            Ok(json) => self.line(&json),
            Err(error) => self.error(&say!("this cannot be written as JSON: {error}", error = error)),
        }
    }

    pub fn error(&mut self, text: &str) {
        if let Some(report) = &mut self.report {
            report.errors.push(text.to_string());
        }
        match &mut self.captured {
            Some(captured) => captured.push_str(&format!("{text}\n")),
            None => drop(writeln!(io::stderr().lock(), "{text}")),
        }
    }
}

/// Why a command did not do what it should.
#[derive(Debug)]
pub struct Failure {
    code: u8,
    text: String,
}

impl Failure {
    pub fn usage(text: &str) -> Self {
        Failure { code: exit::USAGE, text: text.to_string() }
    }

    pub fn failed(error: impl fmt::Display) -> Self {
        Failure { code: exit::FAILED, text: error.to_string() }
    }

    pub fn refused(text: impl Into<String>) -> Self {
        Failure { code: exit::REFUSED, text: text.into() }
    }

    pub fn damaged(text: impl Into<String>) -> Self {
        Failure { code: exit::DAMAGED, text: text.into() }
    }

    pub fn hangar(error: HangarError) -> Self {
        let code = match &error {
            HangarError::Declined(_) => exit::REFUSED,
            HangarError::Damaged { .. } => exit::DAMAGED,
            _ => exit::FAILED,
        };
        let text = match &error {
            HangarError::Files(faults) => render(faults, false),
            HangarError::Full { .. } => say!(
                "NOT RECORDED, the disk is full: {error}. For a pause or sign-off without other room: spanwise make-room \
                 <session>; to another disk: spanwise rescue <session> --into <folder>",
                error = error
            ),
            other => other.to_string(),
        };
        Failure { code, text }
    }

    pub fn code(&self) -> u8 {
        self.code
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}
