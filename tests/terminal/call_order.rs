//! The order of the real program's system calls, by a tracer: journal written and flushed, register written and
//! flushed, and only then "saved". A kill cannot show this, because the system's cache outlives the program.

use std::path::{Path, PathBuf};
use std::process::Command;

use super::hand::Terminal;
use crate::binary::{Place, SMALL};

const TRACER: &[&str] =
    &["strace", "-f", "-y", "-s", "100000", "-e", "trace=write,pwrite64,fdatasync,fsync,writev"];

/// `None`, with the reason printed, where no tracer works: it may be missing or forbidden.
fn tracer(place: &Place) -> Option<PathBuf> {
    let trace = place.beside("trace.txt");
    let tried = Command::new(TRACER[0]).args(&TRACER[1..]).arg("-o").arg(&trace).arg("true").output();
    let why = match tried {
        Ok(output) if output.status.success() => return Some(trace),
        Ok(output) => String::from_utf8_lossy(&output.stderr).into_owned(),
        Err(error) => error.to_string(),
    };
    say!("SKIPPED: strace cannot trace here: {why}");
    None
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Call {
    WriteJournal,
    FlushJournal,
    WriteRegister,
    FlushRegister,
    Saved,
}
use Call::{FlushJournal, FlushRegister, Saved, WriteJournal, WriteRegister};

/// The calls that matter, in their order. `-y` puts the path behind each file's number; a call that is resumed
/// after another thread's is counted where it ends, which for a flush is what counts.
fn calls(trace: &Path, terminal: &str) -> Vec<Call> {
    let text = std::fs::read(trace).expect("a trace");
    let text = String::from_utf8_lossy(&text);
    let mut unfinished: Vec<(String, String)> = Vec::new();
    let mut found = Vec::new();
    for line in text.lines() {
        let (thread, rest) = line.trim_start().split_once(char::is_whitespace).unwrap_or(("", line));
        let rest = rest.trim_start();
        if rest.contains("<unfinished ...>") {
            unfinished.push((thread.to_string(), rest.to_string()));
            continue;
        }
        let began = unfinished.iter().position(|(of, _)| of == thread && rest.starts_with("<... "));
        let whole = began.map_or(rest.to_string(), |at| format!("{} {rest}", unfinished.remove(at).1));
        found.extend(call(&whole, terminal));
    }
    found
}

fn call(line: &str, terminal: &str) -> Option<Call> {
    let name = line.split('(').next()?;
    let target = line.split('<').nth(1)?.split('>').next()?;
    let is_flush = ["fdatasync", "fsync"].contains(&name) && line.contains("= 0");
    let is_write = ["write", "pwrite64", "writev"].contains(&name);
    match (is_write, is_flush) {
        (true, _) if target.ends_with("journal.jsonl") => Some(WriteJournal),
        (_, true) if target.ends_with("journal.jsonl") => Some(FlushJournal),
        (true, _) if target.ends_with("acked.reg") => Some(WriteRegister),
        (_, true) if target.ends_with("acked.reg") => Some(FlushRegister),
        (true, _) if target.contains(terminal) && line.contains("saved,") => Some(Saved),
        _ => None,
    }
}

/// What is wrong: each entry must be one whole group, and no "saved" may come before its group is complete.
fn fault(calls: &[Call], promises: usize) -> Option<String> {
    const GROUP: [Call; 4] = [WriteJournal, FlushJournal, WriteRegister, FlushRegister];
    if calls.iter().filter(|call| **call == Saved).count() != promises {
        return Some(format!("not {promises} times \"saved\": {calls:?}"));
    }
    // Opening writes the last acknowledgement once more; that belongs to no entry.
    let calls = calls.strip_prefix(&[WriteRegister, FlushRegister]).unwrap_or(calls);
    let recorded: Vec<Call> = calls.iter().copied().filter(|call| *call != Saved).collect();
    if recorded.is_empty() || recorded.chunks(4).any(|group| group != GROUP) {
        return Some(format!("an entry is not written, flushed, acknowledged, flushed: {calls:?}"));
    }
    let is_early = |at: usize| {
        let before = calls[..at].iter().filter(|call| **call != Saved).count();
        before == 0 || before % 4 != 0
    };
    let early = (0..calls.len()).any(|at| calls[at] == Saved && is_early(at));
    early.then(|| format!("\"saved\" before it was flushed: {calls:?}"))
}

#[test]
fn saved_is_said_after_both_flushes_by_a_command_or_skipped_without_strace() {
    let place = Place::small();
    let Some(trace) = tracer(&place) else { return };
    let commands: &[&[&str]] = &[
        &["note", SMALL, "traced"],
        &["answer", SMALL, "prep.clean", "pass"],
        &["read", SMALL, "wing.play", "play", "0.20 mm", "--instrument", "gauge"],
    ];
    for args in commands {
        let mut traced = Command::new(TRACER[0]);
        traced.args(&TRACER[1..]).arg("-o").arg(&trace).arg(env!("CARGO_BIN_EXE_spanwise"));
        traced.env_clear().envs(place.environment()).env("PATH", std::env::var("PATH").unwrap_or_default());
        let output = traced
            .arg("--hangar")
            .arg(place.root())
            .args(["--by", "ada"])
            .args(*args)
            .output()
            .expect("traced");
        assert!(String::from_utf8_lossy(&output.stdout).contains("saved, entry"), "{output:?}");
        assert_eq!(fault(&calls(&trace, "pipe:"), 1), None);
    }
}

#[test]
fn saved_is_said_after_both_flushes_on_the_screen_or_skipped_without_strace() {
    let place = Place::small();
    let Some(trace) = tracer(&place) else { return };
    let path = trace.to_string_lossy().into_owned();
    let path_variable = std::env::var("PATH").unwrap_or_default();
    let under = [TRACER, &["-o", &path]].concat();
    let mut terminal =
        Terminal::open_under(&under, &place, &["work", SMALL, "--by", "ada"], &[("PATH", &path_variable)]);
    terminal.see("? help").keys("none<Enter>");
    let first = terminal.see_saved_after(0);
    terminal.keys("p");
    terminal.see_saved_after(first);
    terminal.keys("q").see("Leave the program?").keys("2");
    assert!(terminal.ended().success());
    let calls = calls(&trace, "/dev/pts");
    // The second message differs by its digits alone, so only the first one is written out whole.
    let promises = calls.iter().filter(|call| **call == Saved).count();
    assert!(promises > 0, "{calls:?}");
    assert_eq!(fault(&calls, promises), None);
}

/// The check itself must fail for each wrong order.
#[test]
fn the_check_of_the_order_finds_each_fault() {
    let good = [WriteJournal, FlushJournal, WriteRegister, FlushRegister, Saved];
    assert_eq!(fault(&good, 1), None);
    let wrong: &[&[Call]] = &[
        &[WriteJournal, WriteRegister, FlushRegister, Saved],
        &[WriteJournal, FlushJournal, WriteRegister, Saved],
        &[WriteJournal, FlushJournal, Saved, WriteRegister, FlushRegister],
        &[WriteRegister, FlushRegister, WriteJournal, FlushJournal, WriteRegister, Saved, FlushRegister],
        &[Saved, WriteJournal, FlushJournal, WriteRegister, FlushRegister],
        &[WriteJournal, FlushJournal, WriteRegister, FlushRegister],
        &[Saved],
    ];
    for calls in wrong {
        assert!(fault(calls, 1).is_some(), "{calls:?} passed");
    }
}
