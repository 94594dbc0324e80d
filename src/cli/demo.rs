//! `demo`: a fresh copy of the invented hangar, with one annual half done.

use std::cell::OnceCell;
use std::path::{Path, PathBuf};

use chrono::{Days, NaiveDate};
use include_dir::{Dir, include_dir};

use super::args::{Cli, DemoArgs};
use super::desk::HangarDesk;
use super::output::{Failure, Output, exit};
use super::routine::Crew;
use super::walkthrough;
use super::{has_terminal, screens};
use crate::event::StepResult;
use crate::hangar::{Hangar, Work, begin};
use crate::screen::Start;
use crate::session::Request;
use crate::store::unpack::{is_free, write_file};

static DEMO: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/demo");

/// The day on which the invented scenario is written; its dates are moved so that it always plays today.
const WRITTEN_ON: NaiveDate = match NaiveDate::from_ymd_opt(2026, 11, 25) {
    Some(date) => date,
    None => NaiveDate::MIN,
};

pub(super) const INSPECTOR: &str = "tamsin-orrel";
pub(super) const SECOND: &str = "bram-tolvik";
const HALF_DONE: &str = "XX-DR4";
/// How many steps of the half-done annual are answered.
const HALF_DONE_STEPS: usize = 30;

pub(super) fn demo(cli: &Cli, args: &DemoArgs, out: &mut Output) -> Result<u8, Failure> {
    let folder = target_folder(args)?;
    unpack(&folder)?;
    half_done_annual(&Hangar::load(&folder))?;
    if args.walkthrough {
        return walkthrough::walk(&folder, out);
    }
    // A script that only wants the folder has no terminal, and that is no failure.
    let left = if args.into.is_some() && !has_terminal() {
        Ok(())
    } else {
        let mut desk = HangarDesk::new(Hangar::load(&folder), Some(INSPECTOR))?;
        screens(cli, &mut desk, Start::Hangar)
    };
    out.line(&say!("The invented hangar is in {}", folder.display()));
    out.line(&say!(
        "Open it again with: spanwise --hangar {} --by {INSPECTOR}",
        folder.display(),
        INSPECTOR = INSPECTOR
    ));
    left.map(|()| exit::DONE)
}

fn target_folder(args: &DemoArgs) -> Result<PathBuf, Failure> {
    match &args.into {
        Some(folder) if is_free(folder) => Ok(folder.clone()),
        Some(folder) => Err(Failure::refused(say!(
            "{0} holds something already, and nothing is overwritten; go on in it with: spanwise --hangar {0}; or name a new or empty folder",
            folder.display()
        ))),
        None => {
            tempfile::Builder::new().prefix("spanwise-demo-").tempdir().map(tempfile::TempDir::keep).map_err(
                |error| {
                    Failure::failed(say!(
                        "no temporary folder can be made: {error}; name one with --into",
                        error = error
                    ))
                },
            )
        }
    }
}

/// Writes the invented hangar, its dates moved to today, and its paper tables.
fn unpack(folder: &Path) -> Result<(), Failure> {
    let today = Hangar::load(folder).today();
    let days = (today - WRITTEN_ON).num_days();
    let mut folders = vec![&DEMO];
    while let Some(dir) = folders.pop() {
        folders.extend(dir.dirs());
        for file in dir.files() {
            let path = file.path();
            let target = match path.strip_prefix("hangar") {
                Ok(inside) => folder.join(inside),
                Err(_) if path == Path::new("README.md") => folder.join("INVENTED.md"),
                Err(_) => folder.join(path),
            };
            let text = file.contents_utf8().map(|text| move_dates(text, days));
            let bytes = text.as_ref().map_or(file.contents(), String::as_bytes);
            write_file(&target, bytes).map_err(Failure::failed)?;
        }
    }
    Ok(())
}

/// Every `YYYY-MM-DD` in the text, moved by so many days.
fn move_dates(text: &str, days: i64) -> String {
    let mut moved = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, date, after)) = next_date(rest) {
        moved.push_str(before);
        let by = Days::new(days.unsigned_abs());
        let new = if days < 0 { date.checked_sub_days(by) } else { date.checked_add_days(by) };
        moved.push_str(&new.unwrap_or(date).to_string());
        rest = after;
    }
    moved.push_str(rest);
    moved
}

fn next_date(text: &str) -> Option<(&str, NaiveDate, &str)> {
    text.char_indices().find_map(|(at, _)| {
        let candidate = text.get(at..at + 10)?;
        let digits = candidate.bytes().enumerate().all(|(index, byte)| match index {
            4 | 7 => byte == b'-',
            _ => byte.is_ascii_digit(),
        });
        let date = digits.then(|| candidate.parse().ok()).flatten()?;
        Some((&text[..at], date, &text[at + 10..]))
    })
}

/// The flex table of this name, as written on paper.
pub(super) fn paper_table(name: &str) -> Result<&'static str, Failure> {
    DEMO.get_file(format!("flex/{name}.csv"))
        .and_then(include_dir::File::contents_utf8)
        .ok_or_else(|| Failure::failed(say!("the demo lacks its table {name}", name = name)))
}

/// Begins the annual of one airframe and works its first steps, so that the demo has one under way.
fn half_done_annual(hangar: &Hangar) -> Result<(), Failure> {
    let inspector = hangar.actor(INSPECTOR)?;
    let begun = begin(hangar, HALF_DONE, &inspector)?;
    let mut work = Work::open(hangar, &begun.sid)?;
    let crew = Crew {
        hangar,
        inspector: inspector.clone(),
        second: hangar.actor(SECOND)?,
        second_key: OnceCell::new(),
        flex_table: paper_table("sound-fin")?,
    };
    let steps: Vec<String> =
        work.view.plan.steps.iter().take(HALF_DONE_STEPS).map(|step| step.step.id.clone()).collect();
    for id in &steps {
        if ready(&work, id) {
            crew.pass(&mut work, id)?;
        }
    }
    // One slip of the pen, corrected, so that there is something struck through to look at.
    if let Some(first) = steps.first().filter(|id| !work.view.state.standing(id).is_open()) {
        let correct = |result, why: &str| Request::Answer {
            step: first.clone(),
            result,
            reason: None,
            why: Some(why.to_string()),
        };
        work.record(hangar, &inspector, correct(StepResult::Failed, "read the wrong line (invented)"))?;
        work.record(
            hangar,
            &inspector,
            correct(StepResult::Passed, "that was the wrong line, not this one (invented)"),
        )?;
    }
    let note = Request::Pause { note: Some("too dark in the hangar (invented)".to_string()) };
    work.record(hangar, &inspector, note)?;
    Ok(())
}

/// True when every step that this one depends on is answered.
pub(super) fn ready(work: &Work, id: &str) -> bool {
    let view = &work.view;
    view.plan.step(id).is_some_and(|planned| view.state.open_before(&view.plan, planned).is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_move_with_the_day_and_nothing_else_does() {
        assert_eq!(move_dates("due = 2028-02-28 # 12345-67", 2), "due = 2028-03-01 # 12345-67");
        assert_eq!(move_dates("zwölf 2026-01-01", -1), "zwölf 2025-12-31");
    }
}
