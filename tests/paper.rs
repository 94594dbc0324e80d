//! What was written on a printed worksheet first: the record tells it for ever, and the rules of the screen hold for it.
//!
//! Who accepts: 14 CFR 43.7 and ML.A.801(b); who is no independent second: AMC M.A.402, older wording; tools in calibration on the
//! day: ML.A.402(b)(4) (all from memory).

mod support;

use chrono::{DateTime, FixedOffset};
use spanwise::event::{Carried, Event, FromPaper, OnPaper, ReadingValue, StepResult};
use spanwise::order::{HangarOrder, Task, hangar_order};
use spanwise::paper::{
    Checked, LineOf, NoSheet, Passage, SheetCode, Typed, check, code_at, code_before, find_sheet, lines,
    written,
};
use spanwise::plan::Plans;
use spanwise::session::{Facts, decide};
use spanwise::state::{StepStanding, replay};
use support::{Bench, compose_with, day, small_library};

fn order(bench: &Bench) -> HangarOrder {
    hangar_order(&bench.plan, &Task::of_session(&bench.plan, &bench.state))
        .unwrap_or_else(|fault| panic!("{fault}"))
}

fn printed(bench: &Bench) -> String {
    code_at(&bench.state.head, &bench.plan, &order(bench)).to_string()
}

fn label(bench: &Bench, code: &str, wanted: &str) -> String {
    let sheet = find(bench, code).unwrap_or_else(|fault| panic!("{fault:?}"));
    let is_it = |of: &LineOf| match of {
        LineOf::Step { step } => step == wanted,
        LineOf::Measure { step, measure } => format!("{step}/{measure}") == wanted,
        LineOf::Block { configuration } => configuration.to_string() == wanted,
    };
    let found = sheet.lines.iter().find(|line| is_it(&line.of));
    found.unwrap_or_else(|| panic!("no line for {wanted}: {:?}", sheet.lines)).label.clone()
}

fn find(bench: &Bench, code: &str) -> Result<spanwise::paper::Sheet, NoSheet> {
    find_sheet(&Plans::new(bench.plan.clone()), &bench.entries, code)
}

fn passage(bench: &Bench, code: &str, by: &str, on: &str, accept: bool) -> Passage {
    let sheet = find(bench, code).unwrap_or_else(|fault| panic!("{fault:?}"));
    let (written_on, written_at) = written(on).unwrap_or_else(|why| panic!("{why}"));
    Passage { sheet, written_by: bench.person(by).clone(), written_on, written_at, accept }
}

fn noon(bench: &Bench) -> DateTime<FixedOffset> {
    format!("{}T12:00:00+01:00", bench.today).parse().unwrap_or_else(|error| panic!("{error}"))
}

fn checked(bench: &Bench, by: &str, passage: &Passage, rows: &[String]) -> Checked {
    let rows: Vec<Typed> =
        rows.iter().enumerate().map(|(at, text)| Typed { number: at + 1, text: text.clone() }).collect();
    let facts = Facts { today: bench.today, people: &bench.people, instruments: &bench.instruments };
    let no_file = |path: &str| Err(format!("{path}: there are no files here"));
    check((&bench.plan, &bench.state), &bench.actor(by), passage, &rows, (&facts, noon(bench)), &no_file)
}

/// Records what was checked, as the hangar does.
fn enter(bench: &mut Bench, by: &str, passage: &Passage, rows: &[String]) -> usize {
    let checked = checked(bench, by, passage, rows);
    assert!(checked.is_sound(), "{checked:#?}");
    let mut count = 0;
    for done in checked.rows.iter().filter_map(|row| row.outcome.as_ref().ok()) {
        for (request, paper) in &done.requests {
            let facts = Facts { today: bench.today, people: &bench.people, instruments: &bench.instruments };
            let event = decide(&bench.plan, &bench.state, &bench.actor(by), request.clone(), &facts)
                .unwrap_or_else(|declined| panic!("{declined}"));
            bench.append(Event::FromPaper(FromPaper { paper: paper.clone(), event: Box::new(event) }));
            count += 1;
        }
    }
    count
}

fn faults(checked: &Checked) -> Vec<String> {
    let of_rows = checked.rows.iter().filter_map(|row| row.outcome.as_ref().err());
    checked.against_all.iter().chain(of_rows).map(ToString::to_string).collect()
}

fn remarks(checked: &Checked) -> Vec<String> {
    checked
        .rows
        .iter()
        .filter_map(|row| row.outcome.as_ref().ok())
        .flat_map(|done| done.remarks.clone())
        .collect()
}

#[test]
fn an_entry_from_paper_comes_back_as_it_was_written() {
    let mut bench = Bench::new();
    let code = printed(&bench);
    let play = label(&bench, &code, "wing.play/play");
    let passage = passage(&bench, &code, "ada", "2026-11-25 11:30", false);
    enter(&mut bench, "ada", &passage, &[format!("{play} 0.20 mm with gauge")]);
    let event = &bench.entries.last().unwrap().event;
    let (kind, body) = event.to_parts().unwrap();
    assert_eq!(kind, "from_paper");
    assert_eq!(body["paper"]["sheet"], code.as_str());
    assert_eq!(body["paper"]["line"], play.as_str());
    assert_eq!(body["paper"]["written_on"], "2026-11-25");
    assert_eq!(body["paper"]["written_at"], "11:30:00");
    assert_eq!(body["event"]["kind"], "reading_taken");
    assert_eq!(&Event::from_parts(&kind, &body).unwrap(), event);
    assert_eq!(event.actor().unwrap().id, "ada");
    assert_eq!(event.step(), Some("wing.play"));
    assert!(matches!(event.inner(), Event::ReadingTaken(_)));
    let stamp = &bench.state.step("wing.play").unwrap().readings[0].stamp;
    let words = stamp.paper_words().unwrap();
    assert_eq!(
        words,
        format!(
            "from paper, written 2026-11-25 11:30 by Ada Finch, sheet {code} line {play}; entered 2026-11-25 10:00 by Ada Finch"
        )
    );
}

/// An entry as records before this one have it: it reads, has no paper, and gets none when it is written again.
#[test]
fn an_old_entry_reads_as_it_did_and_stays_the_same() {
    let body = serde_json::json!({
        "by": { "id": "ada", "name": "Ada Finch" }, "step": "prep.clean", "result": "passed",
        "reason": null, "corrects": null, "reinspects": null,
    });
    let event = Event::from_parts("answered", &body).unwrap();
    assert_eq!(event.paper(), None);
    assert_eq!(event.to_parts().unwrap(), ("answered".to_string(), body));
    let bare = serde_json::json!({
        "sheet": "K7Q2-M3XD-07", "written_by": { "id": "ada", "name": "Ada Finch" }, "written_on": "2026-11-24",
    });
    let paper: OnPaper = serde_json::from_value(bare.clone()).unwrap();
    assert_eq!((paper.line.as_deref(), paper.written_at), (None, None));
    assert_eq!(serde_json::to_value(&paper).unwrap(), bare, "what is not told is left out");
}

#[test]
fn a_fold_over_the_entries_gives_the_same_state() {
    let mut bench = Bench::new();
    let code = printed(&bench);
    let rows = [format!("{} p", label(&bench, &code, "prep.clean"))];
    let passage = passage(&bench, &code, "ada", "2026-11-25", false);
    enter(&mut bench, "ada", &passage, &rows);
    assert_eq!(replay(&Plans::new(bench.plan.clone()), &bench.entries).unwrap(), bench.state);
}

#[test]
fn a_line_means_its_step_whatever_was_done_since() {
    let mut bench = Bench::new();
    let code = printed(&bench);
    let at_printing = find(&bench, &code).unwrap().lines;
    bench.answer("prep.clean", StepResult::Passed);
    bench.confirm("tailplane=off");
    assert_ne!(printed(&bench), code, "a sheet printed now is another one");
    let found = find(&bench, &code).unwrap();
    assert_eq!(found.lines, at_printing);
    assert_eq!(found.printed_after.as_deref(), Some("2026-11-25T10:00:00+01:00"));
    // Spaces, small letters and look-alikes come from typing, not from another sheet.
    let loose = code.to_lowercase().replace('-', " ").replace('o', "0");
    assert_eq!(find(&bench, &loose).unwrap().code.to_string(), code);
}

#[test]
fn a_sheet_from_before_the_annual_is_found_in_it() {
    let bench = Bench::new();
    let order = hangar_order(&bench.plan, &Task::of_plan(&bench.plan)).unwrap();
    let code = code_before(&bench.plan, &order).to_string();
    let found = find(&bench, &code).unwrap();
    assert_eq!((found.printed_after, found.lines), (None, lines(&bench.plan, &order)));
}

#[test]
fn a_mistyped_code_and_that_of_another_plan_are_told_apart() {
    let bench = Bench::new();
    let code = printed(&bench);
    let first = if code.starts_with('A') { 'B' } else { 'A' };
    let slip = format!("{first}{}", &code[1..]);
    assert!(matches!(find(&bench, &slip), Err(NoSheet::Mistyped(why)) if why.contains("check digits")));
    assert!(matches!(find(&bench, "K7Q2"), Err(NoSheet::Mistyped(why)) if why.contains("4 letters")));
    let other = compose_with(&small_library(), &support::AIRFRAME.replace("ZZ-01", "ZZ-02")).unwrap();
    let order = hangar_order(&other, &Task::of_plan(&other)).unwrap();
    let code = code_before(&other, &order).to_string();
    assert!(SheetCode::read(&code).is_ok());
    assert!(matches!(find(&bench, &code), Err(NoSheet::Another(_))));
}

#[test]
fn every_fault_is_told_and_nothing_passes_in_part() {
    let bench = Bench::new();
    let code = printed(&bench);
    let play = label(&bench, &code, "wing.play/play");
    let clean = label(&bench, &code, "prep.clean");
    let passage = passage(&bench, &code, "ada", "2026-11-25", false);
    let rows = [
        format!("{clean} p"),
        format!("{clean} f dusty"),
        format!("{clean} n no need"),
        clean.clone(),
        format!("{clean} hm"),
        format!("{play} 0.20 kg"),
        format!("{play} 0.20 with nothing-such"),
        "99 p".to_string(),
        "- x".to_string(),
    ];
    let told = faults(&checked(&bench, "ada", &passage, &rows));
    for words in [
        "is answered already (passed); to correct it, end the line with !",
        "may not be answered as not applicable",
        "nothing stands behind",
        "\"hm\" is no result of line",
        "0.20 kg",
        "no instrument \"nothing-such\"",
        "has no line \"99\"",
        "neither a note nor a defect",
    ] {
        assert!(told.iter().any(|fault| fault.contains(words)), "no \"{words}\" in {told:#?}");
    }
    assert_eq!(told.len(), 8);
}

#[test]
fn what_the_screen_has_is_corrected_only_with_a_reason() {
    let mut bench = Bench::new();
    let code = printed(&bench);
    let clean = label(&bench, &code, "prep.clean");
    let at_screen = bench.answer("prep.clean", StepResult::Passed);
    let passage = passage(&bench, &code, "ada", "2026-11-25", false);
    let told = faults(&checked(&bench, "ada", &passage, &[format!("{clean} f wet")]));
    assert!(told[0].contains("answered already"), "{told:?}");
    enter(&mut bench, "ada", &passage, &[format!("{clean} f wet ! the paper says so")]);
    let state = bench.state.step("prep.clean").unwrap();
    assert_eq!(state.answers[0].stamp.entry, at_screen);
    assert!(state.answers[0].struck.as_ref().is_some_and(|struck| struck.why == "the paper says so"));
    assert_eq!(state.standing(), StepStanding::Failed);
}

#[test]
fn the_same_rows_again_are_recorded_once() {
    let mut bench = Bench::new();
    let code = printed(&bench);
    let (clean, play) = (label(&bench, &code, "prep.clean"), label(&bench, &code, "wing.play/play"));
    let passage = passage(&bench, &code, "ada", "2026-11-25", false);
    let first = vec![format!("{clean} p"), format!("{play} 0.20 mm with gauge")];
    assert_eq!(enter(&mut bench, "ada", &passage, &first), 2);
    let more = [first, vec![format!("{clean} t a drip")]].concat();
    assert_eq!(enter(&mut bench, "ada", &passage, &more), 1, "the note alone is new");
    assert_eq!(enter(&mut bench, "ada", &passage, &more), 0);
}

/// "di" certifies nothing: what di ticked is what di did, until somebody who certifies accepts it.
#[test]
fn what_a_helper_ticked_accepts_nothing_by_itself() {
    let mut bench = Bench::new();
    let code = printed(&bench);
    let row = [format!("{} p all dry", label(&bench, &code, "prep.clean"))];
    let by_helper = passage(&bench, &code, "di", "2026-11-25", false);
    assert!(remarks(&checked(&bench, "ada", &by_helper, &row))[0].contains("does not certify"));
    enter(&mut bench, "ada", &by_helper, &row);
    assert_eq!(bench.state.standing("prep.clean"), StepStanding::Open);
    let initials = bench.state.step("prep.clean").unwrap().initials().next().unwrap().clone();
    assert_eq!((initials.stamp.hand().id.as_str(), initials.stamp.by.id.as_str()), ("di", "ada"));
    assert_eq!(initials.work, "ticked on paper: passed; all dry");
    let accepted = Passage { accept: true, ..by_helper };
    assert_eq!(enter(&mut bench, "ada", &accepted, &row), 1, "the initials are there already");
    let answer = bench.state.step("prep.clean").unwrap().answer().unwrap().clone();
    assert_eq!((answer.answered.by.id.as_str(), answer.stamp.hand().id.as_str()), ("ada", "di"));
}

#[test]
fn a_helper_at_the_keyboard_cannot_accept_what_the_certifier_ticked() {
    let bench = Bench::new();
    let code = printed(&bench);
    let row = [format!("{} p", label(&bench, &code, "prep.clean"))];
    let of_ada = passage(&bench, &code, "ada", "2026-11-25", false);
    let told = faults(&checked(&bench, "di", &of_ada, &row));
    assert!(told[0].contains("no valid authorisation"), "{told:?}");
    let accept = passage(&bench, &code, "di", "2026-11-25", true);
    assert!(faults(&checked(&bench, "di", &accept, &row))[0].contains("no valid authorisation"));
}

/// Whoever worked a step by paper is no independent second, whoever typed it in.
#[test]
fn who_wrote_it_on_paper_cannot_inspect_it_independently() {
    for (writer, refused) in [("bo", true), ("di", false)] {
        let mut bench = Bench::new();
        bench.complete();
        let entry = bench.state.step("rudder.connect").unwrap().answer().unwrap().stamp.entry;
        bench.done(
            "ada",
            spanwise::session::Request::Withdraw { entry, why: "to be entered from paper".into() },
        );
        let code = printed(&bench);
        let row = [format!("{} p", label(&bench, &code, "rudder.connect"))];
        let passage = passage(&bench, &code, writer, "2026-11-25", true);
        assert!(
            remarks(&checked(&bench, "ada", &passage, &row))
                .iter()
                .any(|told| told.contains("their own key"))
        );
        enter(&mut bench, "ada", &passage, &row);
        bench.inspect("bo");
        assert_eq!(bench.refused().contains(&8), refused, "written by {writer}");
    }
}

#[test]
fn calibration_is_judged_as_of_the_day_written() {
    for (day_written, is_refused) in [("2026-11-20", false), ("2027-01-10", true)] {
        let mut bench = Bench::new();
        bench.today = day("2026-11-20");
        bench.answer("prep.clean", StepResult::Passed);
        let code = printed(&bench);
        let play = label(&bench, &code, "wing.play/play");
        // The gauge is in calibration until 2027-01-01: entered in any case after that.
        bench.today = day("2027-02-01");
        let passage = passage(&bench, &code, "ada", day_written, false);
        let row = [format!("{play} 0.20 mm with gauge")];
        let told = remarks(&checked(&bench, "ada", &passage, &row));
        assert_eq!(
            told.iter().any(|told| told.contains("out of calibration on 2027-01-10")),
            is_refused,
            "{told:?}"
        );
        enter(&mut bench, "ada", &passage, &row);
        bench.answer("wing.play", StepResult::Passed);
        assert_eq!(bench.refused().contains(&7), is_refused, "written {day_written}");
    }
}

#[test]
fn nothing_was_written_before_it_was_printed_nor_tomorrow() {
    let bench = Bench::new();
    let code = printed(&bench);
    for (on, words) in [
        ("2026-11-24", "was printed after 2026-11-25 10:00"),
        ("2026-11-25 09:59", "was printed after"),
        ("2026-11-26", "cannot have been written"),
        ("2026-11-25 12:01", "cannot have been written"),
    ] {
        let told = faults(&checked(&bench, "ada", &passage(&bench, &code, "ada", on, false), &[]));
        assert!(told.len() == 1 && told[0].contains(words), "{on}: {told:?}");
    }
    assert_eq!(
        faults(&checked(&bench, "ada", &passage(&bench, &code, "ada", "2026-11-25 10:00", false), &[])).len(),
        0
    );
    for bad in ["yesterday", "2026-13-01", "2026-11-24 25:00", ""] {
        assert!(written(bad).is_err(), "{bad}");
    }
}

#[test]
fn the_airframe_stood_as_the_block_says() {
    let mut bench = Bench::new();
    let code = printed(&bench);
    let look = label(&bench, &code, "fin.look");
    let clean = label(&bench, &code, "prep.clean");
    let sheet = find(&bench, &code).unwrap();
    let block = sheet
        .lines
        .iter()
        .find(|line| matches!(&line.of, LineOf::Block { configuration } if configuration.to_string().contains("tailplane off")))
        .unwrap_or_else(|| panic!("{:?}", sheet.lines))
        .label
        .clone();
    let passage = passage(&bench, &code, "ada", "2026-11-25", false);
    let without = checked(&bench, "ada", &passage, &[format!("{look} p")]);
    let told = remarks(&without);
    assert!(
        told.iter().any(|told| told.contains("not confirmed"))
            && told.iter().any(|told| told.contains("answered before prep.clean"))
    );
    // Typed in any order, recorded in that of the sheet.
    enter(&mut bench, "ada", &passage, &[format!("{look} p"), format!("{block} p"), format!("{clean} p")]);
    let answer = bench.state.step("fin.look").unwrap().answer().unwrap();
    assert!(answer.unmet.is_empty() && answer.before_its_turn.is_empty());
    assert_eq!(answer.stamp.paper.as_ref().unwrap().line.as_deref(), Some(look.as_str()));
}

#[test]
fn choices_defects_and_notes_are_taken_as_they_stand_on_paper() {
    let mut bench = Bench::new();
    let code = printed(&bench);
    let bulge = label(&bench, &code, "tail.flex/bulge");
    let flex = label(&bench, &code, "tail.flex");
    let passage = passage(&bench, &code, "ada", "2026-11-25", false);
    let rows = [
        format!("{bulge} 2"),
        format!("{flex} f felt on the left"),
        format!("{flex} d grounding; bulge that moves; fin; left; 4250 mm"),
        "- t rain came in".to_string(),
        "- d minor; scratch".to_string(),
    ];
    enter(&mut bench, "ada", &passage, &rows);
    let state = bench.state.step("tail.flex").unwrap();
    assert_eq!(state.readings[0].taken.value, ReadingValue::Choice { choice: "felt".into() });
    assert_eq!(state.answer().unwrap().answered.reason.as_deref(), Some("felt on the left"));
    let defect = &bench.state.defects[0];
    assert_eq!(
        (defect.raised.severity.word(), defect.raised.component.as_deref()),
        ("grounding", Some("fin"))
    );
    assert_eq!(defect.raised.station_mm.map(|station| station.to_string()).as_deref(), Some("4250"));
    assert_eq!(bench.state.defects[1].raised.step, None);
    assert_eq!(bench.state.notes[0].what, "rain came in");
    assert_eq!(bench.state.notes[0].stamp.paper.as_ref().unwrap().line, None);
}

/// What was ticked answers the step as it was printed: a newer edition of it is another question.
#[test]
fn a_step_that_changed_after_the_printing_is_not_answered_by_the_old_paper() {
    let bench = Bench::new();
    let code = printed(&bench);
    let (clean, play) = (label(&bench, &code, "prep.clean"), label(&bench, &code, "wing.play"));
    let passage = passage(&bench, &code, "ada", "2026-11-25", false);
    let mut plan = bench.plan.clone();
    for planned in plan.steps.iter_mut().filter(|planned| planned.step.id == "prep.clean") {
        planned.step.instruction = "Clean it with the new agent.".into();
    }
    plan.steps.retain(|planned| planned.step.id != "wing.play");
    let facts = Facts { today: bench.today, people: &bench.people, instruments: &bench.instruments };
    let rows = [clean, play].map(|label| Typed { number: 1, text: format!("{label} p") });
    let no_file = |path: &str| Err(path.to_string());
    let by = bench.actor("ada");
    let checked = check((&plan, &bench.state), &by, &passage, &rows, (&facts, noon(&bench)), &no_file);
    let told = faults(&checked);
    assert!(told.iter().any(|fault| fault.contains("changed by a newer edition")), "{told:?}");
    assert!(told.iter().any(|fault| fault.contains("no step \"wing.play\" any longer")), "{told:?}");
}

/// A session that continues another keeps what was paper there, and the time of entering.
#[test]
fn what_is_carried_over_stays_told_as_from_paper() {
    let mut bench = Bench::new();
    let paper = OnPaper {
        sheet: "K7Q2-M3XD-07".into(),
        line: Some("17".into()),
        written_by: bench.actor("di"),
        written_on: day("2026-10-01"),
        written_at: None,
    };
    let note = Event::Noted { by: bench.actor("ada"), step: Some("fin.look".into()), text: "damp".into() };
    let entered = Event::FromPaper(FromPaper { paper: paper.clone(), event: Box::new(note) });
    bench.append(Event::Carried(Carried {
        sid: "earlier".into(),
        from: 4,
        wall: "2026-10-02T08:00:00+02:00".into(),
        hash: "00".into(),
        event: Box::new(entered),
    }));
    let stamp = &bench.state.step("fin.look").unwrap().notes[0].stamp;
    assert_eq!(stamp.paper.as_ref(), Some(&paper));
    assert_eq!((stamp.short().as_str(), stamp.day()), ("2026-10-02 08:00", Some(day("2026-10-01"))));
}
