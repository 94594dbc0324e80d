//! What a signed annual leaves in the airframe's record, and what the next one opens with: two annuals on real files.
#![allow(clippy::disallowed_methods, reason = "a test looks at what lies on the disk")]

mod carrying;
mod support;

use carrying::{Place, REGISTRATION, ok};
use spanwise::airframe::DefectStanding;
use spanwise::checklist::Severity;
use spanwise::due::{Horizon, directive_due, part_words};
use spanwise::event::{Disposition, Outcome};
use spanwise::forward::{carried, repairs_without_report};
use spanwise::hangar::{
    HangarError, NewReport, Viewing, Work, add_report, airframe_grounding, bring_forward, continue_session,
    last_annual_of, not_brought_forward, summaries,
};
use spanwise::session::{NewDefect, Request};
use spanwise::state::{grounding, readings_before};
use support::day;

/// The first annual: a deferral, a rectified defect, every paper answered, released.
fn first_annual(place: &Place) -> String {
    let mut work = place.begin();
    let sid = work.view.sid.clone();
    place.routine(&mut work, "1234.5 h", "950");
    place.pass(&mut work, "fin.look");
    place.read(&mut work, "wing.play", "play", "0.40 mm", Some("gauge"));
    place.fail(&mut work, "wing.play");
    let defect = |step: Option<&str>, what: &str, component: &str| {
        Request::RaiseDefect(NewDefect {
            step: step.map(Into::into),
            what: what.into(),
            component: Some(component.into()),
            side: Some("left".into()),
            station_mm: None,
            severity: Severity::Minor,
        })
    };
    place.done(&mut work, defect(Some("wing.play"), "pin worn", "wing root"));
    place.dispose(&mut work, "d1", Disposition::Defer, Some("2027-03-01"));
    place.done(&mut work, defect(None, "placard faded", "cockpit"));
    place.rectify(&mut work, "d2", "placard renewed (invented)");
    let look = Request::ReinspectDefect { defect: "d2".into(), satisfactory: true, note: "legible".into() };
    place.done(&mut work, look);
    place.sign(&mut work, Outcome::Release);
    sid
}

#[test]
fn a_release_brings_the_record_up_to_date_and_twice_changes_nothing() {
    let mut place = Place::new();
    let sid = first_annual(&place);
    assert_eq!(
        not_brought_forward(&place.hangar, REGISTRATION).map(|missing| missing.sid),
        Some(sid.clone())
    );
    let brought = ok(bring_forward(&place.hangar, &sid));
    assert!(!brought.already && !brought.words.is_empty());
    let text = place.record_text();
    for comment in
        ["this comment must survive every annual", "# as of the last annual", "# Nobody defers for longer"]
    {
        assert!(text.contains(comment), "{text}");
    }
    let record = place.record();
    assert_eq!((record.hours.to_string(), record.launches), ("1234.5".into(), 950));
    assert_eq!(record.totals_on, Some(day("2026-11-25")));
    assert_eq!(record.last_annual, Some(day("2026-11-25")));
    assert_eq!(record.hours_at_last_annual.map(|hours| hours.to_string()), Some("1234.5".into()));
    assert_eq!(record.launches_at_last_annual, Some(950));
    let annual = &record.annuals[0];
    assert_eq!((annual.session.as_deref(), annual.outcome.as_str()), (Some(sid.as_str()), "released"));
    // Reports: by which steps, or set aside and why.
    let how = |at: usize| record.reports[at].dealt_with_how.clone().unwrap_or_default();
    assert!(
        how(0).contains("doubted-instrument.compare") && how(1).contains("loose plug, reseated"),
        "{}",
        how(1)
    );
    assert_eq!(record.open_reports().count(), 0);
    // Directives: compliances with counters, the next due day, a one-time one without a day.
    assert_eq!(record.compliances.len(), 2);
    let done = record.last_compliance("ad1").expect("complied");
    assert_eq!((done.on, done.launches), (day("2026-11-25"), Some(950)));
    // The day of ad1 follows from its interval of 12 months; written down beside it, it would outlast the next compliance.
    assert_eq!((record.directives[0].due, record.directives[1].due), (None, None));
    let seen = Horizon::of_record(&record, day("2026-11-25")).expect("a horizon");
    let ad1 = directive_due(&record, &record.directives[0], &seen.now).expect("counted").expect("due");
    assert_eq!(ad1.parts.len(), 1);
    assert!(part_words(&ad1.parts[0]).starts_with("2027-11-25"), "{ad1:?}");
    // Lives: the replaced one begins anew and keeps its note; the other is untouched.
    let harness = &record.life_items[0];
    assert_eq!(harness.due, Some(day("2026-11-25") + chrono::Days::new(4000)));
    assert_eq!(harness.note.as_deref(), Some("fitted 2015; 2026-11-25: new webbing, serial H-77 (invented)"));
    assert_eq!(record.life_items[1].life.as_ref().and_then(|life| life.installed), Some(day("2023-04-01")));
    // Defects and repairs.
    let [defect] = record.defects.as_slice() else { panic!("{:?}", record.defects) };
    assert_eq!((defect.standing, defect.found), (DefectStanding::Deferred, day("2026-11-25")));
    assert_eq!((defect.until, defect.step.as_deref()), (Some(day("2027-03-01")), Some("wing.play")));
    assert!(record.repairs[0].what.contains("placard renewed"), "{:?}", record.repairs);
    // By hand from the example: (303.0 - 2.4) + (41.8 - 3.4) = 339.0 kg; (300.6 × 120 + 38.4 × 4325) / 339.0 = 596.3 mm.
    let [weighing] = record.weighings.as_slice() else { panic!("{:?}", record.weighings) };
    let figures = (weighing.empty_mass_kg.to_f64(), weighing.empty_cg_mm.map(|arm| arm.to_string()));
    assert_eq!(figures, (339.0, Some("596.3".into())));
    place.reload();
    assert_eq!(not_brought_forward(&place.hangar, REGISTRATION), None);
    let again = ok(bring_forward(&place.hangar, &sid));
    assert!(again.already && again.words.is_empty() && again.summary().contains("already there"));
    assert_eq!(place.record_text(), text);
}

#[test]
fn readings_stand_in_the_record_with_their_units_and_uncertainties() {
    let place = Place::new();
    let sid = first_annual(&place);
    ok(bring_forward(&place.hangar, &sid));
    let record = place.record();
    let of = |step: &str, measure: &str| {
        let found = record.earlier_readings.iter().find(|r| r.step == step && r.measure == measure);
        found.unwrap_or_else(|| panic!("{step} {measure}: {:?}", record.earlier_readings))
    };
    let play = of("wing.play", "play");
    assert_eq!((play.value.to_string(), play.unit.symbol()), ("0.40".into(), "mm"));
    // U = 0.02 mm with k = 2 and a digital step of 0.01 mm: hypot(0.010, 0.01/sqrt(12)) = 0.01041 (JCGM 100:2008, 4.3.7 and
    // F.2.2.1, from memory).
    assert_eq!(play.standard_uncertainty.map(|u| u.to_string()), Some("0.010".into()));
    assert_eq!(of("rudder.travel", "travel.left").value.to_string(), "30.5");
    assert_eq!(of("rudder.travel", "travel.right").value.to_string(), "29.5");
    // 40 N for each 3 mm: about 13.3 N/mm each way and together, by hand.
    for measure in ["top", "top.left", "top.right"] {
        let stiffness = of("fin.flex", measure);
        assert_eq!(stiffness.unit.symbol(), "N/mm");
        assert!((13.0..13.7).contains(&stiffness.value.to_f64()), "{measure} {}", stiffness.value);
        assert!(stiffness.standard_uncertainty.is_some());
    }
}

#[test]
fn the_next_annual_opens_with_it_and_the_whole_chain_is_brought_forward() {
    let mut place = Place::new();
    let first = first_annual(&place);
    ok(bring_forward(&place.hangar, &first));

    // The second annual, after the deferral's limit: the airframe is on the ground before anything is worked.
    place.on("2027-04-10");
    let why = airframe_grounding(&place.record(), &summaries(&place.hangar), place.hangar.today());
    assert!(why.iter().any(|why| why.contains("was deferred until 2027-03-01, which has passed")), "{why:?}");
    let mut work = place.begin();
    let second = work.view.sid.clone();
    let raised = work.view.state.defect("d1").expect("from the record").clone();
    let from = raised.raised.from_record.clone().expect("told");
    assert_eq!((from.found, from.session.as_deref()), (day("2026-11-25"), Some(first.as_str())));
    assert_eq!(raised.raised.step.as_deref(), Some("wing.play"));
    assert!(raised.record_words(day("2027-04-10")).is_some_and(|words| words.contains("OVERDUE")));
    assert!(!grounding(&work.view.state, day("2027-04-10")).is_empty());
    // Readings stand beside the new field, and what failed is told.
    assert_eq!(readings_before(&work.view.plan, "wing.play", "play"), ["0.40 mm (u 0.010) on 2026-11-25"]);
    let before = last_annual_of(&place.hangar, REGISTRATION).expect("signed");
    let told = carried(&place.record(), place.hangar.today(), Some((&before.plan, &before.state)));
    assert_eq!(told.failed_before[0].step, "wing.play");
    assert!(told.defects[0].overdue);
    // Taking it back would lose it.
    let back = Request::Withdraw { entry: raised.stamp.entry, why: "wrong".into() };
    assert!(matches!(place.ask(&mut work, back), Err(HangarError::Declined(_))));

    place.routine(&mut work, "1260.0 h", "990");
    place.read(&mut work, "wing.play", "play", "0.45 mm", Some("gauge"));
    place.pass(&mut work, "wing.play");
    place.fail(&mut work, "fin.look");
    place.raise_crack(&mut work);
    place.dispose(&mut work, "d2", Disposition::Refer, None);
    place.dispose(&mut work, "d1", Disposition::Refer, None);
    place.sign(&mut work, Outcome::NotAirworthy);
    drop(work);
    ok(bring_forward(&place.hangar, &second));
    let record = place.record();
    assert_eq!(record.last_annual, Some(day("2026-11-25")), "no approval for return to service");
    assert_eq!(record.annuals[1].outcome, "completed, not airworthy");
    assert_eq!(record.defects.len(), 2);
    assert!(
        record.defects.iter().all(|defect| defect.standing == DefectStanding::Referred && defect.is_open())
    );
    assert_eq!(record.grounded_on(day("2027-04-10")).len(), 2);

    // Back from the repairer: a session that continues it.
    place.on("2027-05-05");
    let by = ok(place.hangar.actor("ada"));
    let begun = ok(continue_session(&place.hangar, &second, &by, "repaired (invented)"));
    let declined = bring_forward(&place.hangar, &second);
    assert!(
        matches!(&declined, Err(HangarError::Declined(why)) if why.why.contains("is continued by")),
        "{declined:?}"
    );
    let mut work = ok(Work::open(&place.hangar, &begun.sid));
    for (defect, step) in [("d1", "wing.play"), ("d2", "fin.look")] {
        place.rectify(&mut work, defect, "put right by the repairer's data (invented)");
        if step == "wing.play" {
            place.read(&mut work, step, "play", "0.05 mm", Some("gauge"));
        }
        place.pass(&mut work, step);
    }
    assert!(grounding(&work.view.state, day("2027-05-05")).is_empty());
    place.sign(&mut work, Outcome::Release);
    drop(work);
    ok(bring_forward(&place.hangar, &begun.sid));
    let record = place.record();
    assert_eq!(record.open_defects().count(), 0, "{:?}", record.defects);
    assert_eq!(record.defects[0].closed, Some(day("2027-05-05")));
    assert!(
        record.defects[1].closed_by.as_deref().is_some_and(|how| how.contains("re-inspected by Ada Finch"))
    );
    assert_eq!(record.last_annual, Some(day("2027-04-10")), "the inspection counts from its own day");
    assert_eq!(record.hours_at_last_annual.map(|hours| hours.to_string()), Some("1260.0".into()));
    assert_eq!(record.annuals.len(), 3);
    // The reading that the repair made void is gone, the new one begins a series of its own, the rest stands once.
    let play: Vec<_> = record.earlier_readings.iter().filter(|reading| reading.step == "wing.play").collect();
    assert_eq!(play.iter().map(|reading| reading.value.to_string()).collect::<Vec<_>>(), ["0.40", "0.05"]);
    assert!(play[1].starts_new_series.is_some() && play[0].starts_new_series.is_none());
    let flex = record.earlier_readings.iter().filter(|reading| reading.measure == "top").count();
    assert_eq!(flex, 2, "one for each annual");
    assert_eq!(record.compliances.len(), 4);
    assert_eq!(repairs_without_report(&record), Vec::<String>::new());
    place.reload();
    assert_eq!(not_brought_forward(&place.hangar, REGISTRATION), None);
    assert!(airframe_grounding(&record, &summaries(&place.hangar), place.hangar.today()).is_empty());
}

#[test]
fn a_record_that_cannot_be_changed_leaves_the_signature_and_is_brought_later() {
    let mut place = Place::new();
    let sound = place.record_text();
    let mut work = place.begin();
    let sid = work.view.sid.clone();
    let early = bring_forward(&place.hangar, &sid);
    assert!(matches!(&early, Err(HangarError::Declined(why)) if why.why.contains("not signed")), "{early:?}");
    place.routine(&mut work, "1234.5 h", "950");
    place.pass(&mut work, "fin.look");
    place.read(&mut work, "wing.play", "play", "0.10 mm", Some("gauge"));
    place.pass(&mut work, "wing.play");
    place.sign(&mut work, Outcome::Release);
    place.write_record(&format!("{sound}\nhourz = \"1\"\n"));
    let faulty = place.record_text();
    assert!(matches!(bring_forward(&place.hangar, &sid), Err(HangarError::Files(_))));
    assert_eq!(place.record_text(), faulty, "a faulty record is left as it is");
    assert!(ok(Viewing::open(&place.hangar, &sid)).state.signed.is_some());
    place.write_record(&sound);
    assert!(!ok(bring_forward(&place.hangar, &sid)).already);
    assert_eq!(place.record().annuals.len(), 1);
}

#[test]
fn a_report_that_came_in_later_waits_and_a_running_annual_keeps_those_that_target_it() {
    let mut place = Place::new();
    let mut work = place.begin();
    let report = |kind: &str, date: &str| NewReport {
        kind: kind.into(),
        date: day(date),
        by: "P. W. (invented)".into(),
        text: "it sticks again".into(),
        modules: vec![],
        log: None,
    };
    let wrong = add_report(&place.hangar, REGISTRATION, &report("radio-fualt", "2026-11-01"));
    assert!(
        matches!(&wrong, Err(HangarError::Declined(why)) if why.next.contains("radio-fault")),
        "{wrong:?}"
    );
    assert!(
        add_report(&place.hangar, REGISTRATION, &report("radio-fault", "2026-12-24")).is_err(),
        "it lies ahead"
    );
    assert_eq!(ok(add_report(&place.hangar, REGISTRATION, &report("other-report", "2026-11-20"))), "r3");
    place.reload();
    let offer = ok(work.offer(&place.hangar)).expect("a report came in");
    assert_eq!(offer.difference.reports_added, ["r3"]);
    // A helper takes nothing up.
    let second = ok(place.hangar.actor("di"));
    let declined = work.take_up(&place.hangar, &second, &offer, "came in");
    assert!(
        matches!(&declined, Err(HangarError::Declined(why)) if why.why.contains("no valid authorisation"))
    );
    place.routine(&mut work, "1234.5 h", "950");
    place.pass(&mut work, "fin.look");
    place.read(&mut work, "wing.play", "play", "0.10 mm", Some("gauge"));
    place.pass(&mut work, "wing.play");
    place.sign(&mut work, Outcome::Release);
    let sid = work.view.sid.clone();
    drop(work);
    ok(bring_forward(&place.hangar, &sid));
    let open: Vec<String> = place.record().open_reports().map(|report| report.id.clone()).collect();
    assert_eq!(open, ["r3"], "it was not in the plan: it waits for the next annual");
    // A session that continues it is still targeted by what its plan targets, though the record has it dealt with by now.
    place.reload();
    let by = ok(place.hangar.actor("ada"));
    let begun = ok(continue_session(&place.hangar, &sid, &by, "a slip of the pen"));
    let work = ok(Work::open(&place.hangar, &begun.sid));
    let offer = ok(work.offer(&place.hangar)).expect("the later report");
    assert!(offer.difference.gone.is_empty(), "{:?}", offer.difference);
    assert_eq!(offer.difference.reports_added, ["r3"]);
}

#[test]
fn a_repair_without_a_report_is_told() {
    let record = format!(
        "{}\n[[repair]]\nid = \"p1\"\ndate = 2026-03-01\nwhat = \"rudder patch\"\nby = \"invented\"\n",
        include_str!("carrying/airframe.toml")
    );
    let place = Place::with_record(&record);
    let advice = repairs_without_report(&place.record());
    assert!(
        advice.len() == 1 && advice[0].contains("rudder patch") && advice[0].contains("repair-done"),
        "{advice:?}"
    );
    let told = record.replace("kind = \"radio-fault\"", "kind = \"repair-done\"");
    assert!(repairs_without_report(&Place::with_record(&told).record()).is_empty());
    let before = record.replace("date = 2026-03-01", "date = 2025-03-01");
    assert!(repairs_without_report(&Place::with_record(&before).record()).is_empty());
}
