//! Deferring only where the checklist and the airframe's own rules allow it, counted from the first finding.
#![allow(clippy::disallowed_methods, reason = "a test looks at what lies on the disk")]
#![allow(dead_code, reason = "the place of the carrying tests is used in part")]

mod carrying;
mod support;

use carrying::Place;
use spanwise::checklist::Severity;
use spanwise::completion::Subject;
use spanwise::event::Disposition;
use spanwise::hangar::Work;
use spanwise::session::{NewDefect, Request};
use spanwise::state::{deferral_latest, deferral_objection, grounding};
use support::day;

fn raise(
    place: &Place,
    work: &mut Work,
    step: Option<&str>,
    component: Option<&str>,
    severity: Severity,
) -> String {
    let id = work.view.state.next_defect_id();
    let defect = NewDefect {
        step: step.map(Into::into),
        what: "worn".into(),
        component: component.map(Into::into),
        side: None,
        station_mm: None,
        severity,
    };
    place.done(work, Request::RaiseDefect(defect));
    id
}

/// The words of refusal 4 about this defect.
fn refused(work: &Work, id: &str) -> Option<String> {
    let about = Subject::Defect(id.to_string());
    let verdict = work.view.verdict(None);
    verdict
        .refusals()
        .iter()
        .find(|found| found.number == 4 && found.subject == about)
        .map(|found| found.why.clone())
}

fn deferred(place: &Place, work: &mut Work, id: &str, until: &str) -> Option<String> {
    place.dispose(work, id, Disposition::Defer, Some(until));
    refused(work, id)
}

#[test]
fn the_checklist_allows_or_not() {
    let place = Place::new();
    let mut work = place.begin();
    let allowed = raise(&place, &mut work, Some("wing.play"), Some("wing root"), Severity::Minor);
    assert_eq!(deferred(&place, &mut work, &allowed, "2027-02-01"), None);
    let not = raise(&place, &mut work, Some("fin.look"), Some("fin"), Severity::Minor);
    assert!(
        deferred(&place, &mut work, &not, "2027-02-01").is_some_and(|why| why.contains("by this checklist"))
    );
    let minor = raise(&place, &mut work, None, Some("cockpit"), Severity::Minor);
    assert_eq!(deferred(&place, &mut work, &minor, "2027-02-01"), None);
    let major = raise(&place, &mut work, None, Some("cockpit"), Severity::Major);
    assert!(deferred(&place, &mut work, &major, "2027-02-01").is_some());
    let grounding = raise(&place, &mut work, Some("wing.play"), Some("wing"), Severity::Grounding);
    assert!(
        deferred(&place, &mut work, &grounding, "2027-02-01")
            .is_some_and(|why| why.contains("airworthiness"))
    );
}

#[test]
fn the_airframes_rules_count_from_the_first_finding_and_forbid_components() {
    let place = Place::new();
    let mut work = place.begin();
    let id = raise(&place, &mut work, Some("wing.play"), Some("wing root"), Severity::Minor);
    // Six months from 2026-11-25.
    let defect = work.view.state.defect(&id).cloned().expect("raised");
    assert_eq!(deferral_latest(&work.view.plan, &defect), Some(day("2027-05-25")));
    assert_eq!(deferred(&place, &mut work, &id, "2027-05-25"), None);
    let why = deferred(&place, &mut work, &id, "2027-05-26").expect("a day too long");
    assert!(why.contains("beyond 2027-05-25") && why.contains("invented programme, chapter 3"), "{why}");
    let spar = raise(&place, &mut work, Some("wing.play"), Some("Left wing spar"), Severity::Minor);
    let why = deferred(&place, &mut work, &spar, "2027-01-01").expect("on the spar");
    assert!(why.contains("no deferral on spar"), "{why}");
    let spare = raise(&place, &mut work, Some("wing.play"), Some("spare wheel"), Severity::Minor);
    assert_eq!(deferred(&place, &mut work, &spare, "2027-01-01"), None);
    let unnamed = raise(&place, &mut work, Some("wing.play"), None, Severity::Minor);
    let why = deferred(&place, &mut work, &unnamed, "2027-01-01").expect("the field was left empty");
    assert!(why.contains("names no component"), "{why}");
}

#[test]
fn an_airframe_that_allows_none_refuses_every_deferral() {
    let record = include_str!("carrying/airframe.toml").replace("longest_months = 6", "forbidden = true");
    let place = Place::with_record(&record);
    let mut work = place.begin();
    let id = raise(&place, &mut work, Some("wing.play"), Some("wing root"), Severity::Minor);
    let why = deferred(&place, &mut work, &id, "2026-12-01").expect("forbidden");
    assert!(why.contains("allow no deferral"), "{why}");
    let defect = work.view.state.defect(&id).cloned().expect("raised");
    assert!(deferral_objection(&work.view.plan, &defect, None).is_some(), "told before it is chosen, too");
}

#[test]
fn a_renewed_deferral_counts_from_the_first_finding_and_an_overdue_one_grounds() {
    let record = format!(
        "{}\n[[defect]]\nid = \"2026-d1\"\nwhat = \"pin worn\"\ncomponent = \"wing root\"\nseverity = \"minor\"\nstanding = \
         \"deferred\"\nfound = 2026-08-01\nuntil = 2026-11-24\nstep = \"wing.play\"\n",
        include_str!("carrying/airframe.toml")
    );
    let place = Place::with_record(&record);
    let mut work = place.begin();
    let today = day("2026-11-25");
    assert!(refused(&work, "d1").is_some_and(|why| why.contains("until 2026-11-24, which has passed")));
    assert_eq!(grounding(&work.view.state, today).len(), 1);
    // Counted from 2026-08-01, not from today.
    assert_eq!(deferred(&place, &mut work, "d1", "2027-02-01"), None);
    assert!(grounding(&work.view.state, today).is_empty());
    assert!(
        deferred(&place, &mut work, "d1", "2027-02-02")
            .is_some_and(|why| why.contains("first finding of 2026-08-01"))
    );
    // Beyond its limit it grounds again, with nothing recorded since.
    assert_eq!(grounding(&work.view.state, day("2027-02-03")).len(), 1);
}

#[test]
fn a_referred_or_not_airworthy_entry_grounds_until_it_is_decided_anew() {
    let entry = |standing: &str| {
        format!(
            "{}\n[[defect]]\nid = \"x\"\nwhat = \"loose skin\"\ncomponent = \"tail boom\"\nseverity = \"minor\"\nstanding = \
             \"{standing}\"\nfound = 2026-08-01\nstep = \"no.such-step\"\n",
            include_str!("carrying/airframe.toml")
        )
    };
    for standing in ["referred", "not-airworthy"] {
        let place = Place::with_record(&entry(standing));
        let mut work = place.begin();
        assert_eq!(work.view.state.defect("d1").and_then(|defect| defect.raised.step.clone()), None);
        assert_eq!(grounding(&work.view.state, day("2026-11-25")).len(), 1, "{standing}");
        place.rectify(&mut work, "d1", "bonded again (invented)");
        assert_eq!(grounding(&work.view.state, day("2026-11-25")).len(), 1, "not inspected again yet");
        let look = Request::ReinspectDefect { defect: "d1".into(), satisfactory: true, note: "firm".into() };
        place.done(&mut work, look);
        assert!(grounding(&work.view.state, day("2026-11-25")).is_empty());
    }
}
