//! What keys do, from the first answer to the signature.

use spanwise::command::{Id, Place};
use spanwise::event::{InstrumentUse, Outcome, ReadingValue, StepResult};
use spanwise::screen::desk::Wish;
use spanwise::screen::{Start, Target};
use spanwise::session::Request;
use spanwise::state::{ReadingVerdict, StepStanding};

use crate::fake::FakeDesk;
use crate::hand::{Hand, SERIES};

fn standing(hand: &Hand, step: &str) -> StepStanding {
    hand.desk.state().standing(step)
}

#[test]
fn a_pass_is_one_key_and_says_its_entry() {
    let mut hand = Hand::at_work();
    hand.keys("p");
    assert_eq!(hand.message(), "saved, entry 1");
    assert_eq!(standing(&hand, "intake.papers"), StepStanding::Passed);
}

#[test]
fn capital_letters_count_too() {
    let mut hand = Hand::at_work();
    hand.keys("P");
    assert_eq!(standing(&hand, "intake.papers"), StepStanding::Passed);
}

#[test]
fn a_fail_leads_to_a_defect_with_the_hinted_severity() {
    let mut hand = Hand::at_work();
    hand.keys("<Down><Down>f");
    assert_eq!(hand.app.key_place(), Place::Form);
    assert_eq!(standing(&hand, "fin.skin"), StepStanding::Failed, "the fail is recorded before the form");
    hand.keys("crack at the root<Enter><Enter>fin<Enter>1<Enter>4250<Enter>");
    let defect = hand.desk.state().defect("d1").expect("raised");
    assert_eq!(defect.raised.what, "crack at the root");
    assert_eq!(defect.raised.severity.word(), "grounding");
    assert_eq!(defect.raised.side.as_deref(), Some("left"));
    assert_eq!(defect.raised.station_mm.map(|station| station.to_string()).as_deref(), Some("4250"));
    assert!(hand.sees("NOT AIRWORTHY"));
}

#[test]
fn escaping_the_defect_form_keeps_the_fail_and_the_text() {
    let mut hand = Hand::at_work();
    hand.keys("<Down><Down>fcrack<Esc>");
    assert_eq!(standing(&hand, "fin.skin"), StepStanding::Failed);
    assert!(hand.message().contains("kept as a draft"), "{}", hand.message());
    assert_eq!(hand.app.drafts(), ["defect of fin.skin"]);
    hand.keys("d");
    assert!(hand.sees("crack"), "the same key brings the text back");
    hand.keys(" at the root<C-s>");
    assert_eq!(hand.desk.state().defect("d1").map(|d| d.raised.what.as_str()), Some("crack at the root"));
    assert!(hand.app.drafts().is_empty());
}

#[test]
fn not_applicable_asks_for_a_reason_and_keeps_what_was_typed_on_a_refusal() {
    let mut hand = Hand::at_work();
    hand.keys("x<Enter>");
    assert!(hand.sees("\"not applicable\" needs a reason"));
    assert_eq!(standing(&hand, "intake.papers"), StepStanding::Open);
    hand.keys("no papers on board<Enter>");
    assert_eq!(standing(&hand, "intake.papers"), StepStanding::NotApplicable);
}

#[test]
fn a_step_that_must_be_worked_says_so() {
    let mut hand = Hand::at_work();
    hand.keys("<Down><Down>x");
    assert!(hand.message().contains("may not be answered as not applicable"), "{}", hand.message());
    assert!(hand.message().contains("type supplement"), "what next is told too");
}

#[test]
fn an_answered_step_is_corrected_with_a_reason_and_stays_struck_through() {
    let mut hand = Hand::at_work();
    hand.keys("pppp");
    assert_eq!(hand.message(), "passed already; c corrects it", "a key held too long does no harm");
    hand.keys("f<Enter>");
    hand.keys("<C-s>");
    assert!(hand.sees("a correction needs a reason"));
    hand.keys("<Tab><Tab>the placard is missing<C-s><Esc>");
    assert_eq!(standing(&hand, "intake.papers"), StepStanding::Failed);
    let answers = &hand.desk.state().step("intake.papers").expect("planned").answers;
    assert_eq!(answers[0].struck.as_ref().map(|struck| struck.why.as_str()), Some("the placard is missing"));
    assert!(hand.sees("struck by Ines Marlow"));
}

#[test]
fn a_reading_is_judged_while_it_is_typed() {
    let mut hand = Hand::at_work();
    hand.keys("<End>ra 2.9");
    assert!(hand.sees("✓ within"));
    hand.keys("<Bs><Bs><Bs>3.4");
    assert!(hand.sees("✗ outside"));
    hand.keys("<C-s>");
    assert!(hand.message().starts_with("saved, entry 1; outside"), "{}", hand.message());
    let reading = &hand.desk.state().step("controls.rudder").expect("planned").readings[0];
    assert_eq!(reading.judgement.verdict, ReadingVerdict::Outside);
    // Corrected: the earlier one is offered, prefilled, and asks for the reason.
    hand.keys("c12.4<C-s>");
    assert!(hand.sees("a correction needs a reason"));
    hand.keys("<Tab><Tab>read at the wrong edge<C-s>");
    let readings = &hand.desk.state().step("controls.rudder").expect("planned").readings;
    assert!(readings[0].struck.is_some());
    assert_eq!(readings[1].judgement.verdict, ReadingVerdict::Within);
}

#[test]
fn a_unit_that_does_not_fit_is_told_and_the_text_stays() {
    let mut hand = Hand::at_work();
    hand.keys("<End>ra3 kg<C-s>");
    assert!(hand.sees("✗ value:"));
    assert!(hand.sees("3 kg"));
    assert!(hand.desk.state().step("controls.rudder").expect("planned").readings.is_empty());
}

#[test]
fn a_pair_and_a_choice() {
    let mut hand = Hand::at_work();
    hand.keys("<End>rb30<Enter>33");
    assert!(hand.sees("✗ outside"));
    hand.keys("<C-s>");
    let reading = &hand.desk.state().step("controls.rudder").expect("planned").readings[0];
    assert!(matches!(reading.taken.value, ReadingValue::Pair { .. }));
    hand.keys("<Home><Down><Down>r<Enter>");
    assert!(hand.sees("nothing is chosen yet"), "a stray Enter records nothing");
    hand.keys("2<Enter>");
    let reading = &hand.desk.state().step("fin.skin").expect("planned").readings[0];
    assert_eq!(reading.taken.value, ReadingValue::Choice { choice: "felt".into() });
}

#[test]
fn a_series_is_typed_with_enter_and_follows_the_load() {
    let mut hand = Hand::at_work();
    hand.keys("<Down><Down><Down>r");
    assert!(hand.sees("at most 130 N by the type"), "the ceiling is in sight");
    hand.keys("50<Enter>1.2<Enter>100<Enter>2.4<Enter>50<Enter>1.3<Enter>");
    hand.keys("/40<Enter>1.0<Enter>");
    hand.keys("<Enter>1<Enter>1<C-s>");
    let step = hand.desk.state().step("fin.flex").expect("planned");
    let ReadingValue::Series { points } = &step.readings[0].taken.value else { panic!("no series") };
    let told: Vec<(&str, bool, String)> =
        points.iter().map(|p| (p.direction.as_str(), p.loading, p.load.to_string())).collect();
    let expected =
        [("left", true, "50 N"), ("left", true, "100 N"), ("left", false, "50 N"), ("right", true, "40 N")];
    assert_eq!(told, expected.map(|(direction, loading, load)| (direction, loading, load.to_string())));
    assert_eq!(step.readings[0].taken.used().ids().as_deref(), Some("dg-2 and sb-1"));
}

#[test]
fn a_load_above_the_ceiling_is_shown_at_once_declined_and_correctable() {
    let mut hand = Hand::at_work();
    hand.keys("<Down><Down><Down>r50<Enter>1.2<Enter>140<Enter>3.6<Enter>");
    assert!(hand.sees("above 130 N"));
    hand.keys("<C-s>");
    assert!(hand.sees("line 2: 140 N is above the type's ceiling"));
    hand.keys("<Up><Bs><Bs><Bs>120<C-s>");
    let step = hand.desk.state().step("fin.flex").expect("planned");
    assert_eq!(step.readings.len(), 1);
    assert!(hand.message().contains("NO INSTRUMENT is named"), "{}", hand.message());
}

#[test]
fn a_correction_of_a_series_keeps_both_instruments() {
    let mut hand = Hand::at_work();
    hand.keys("<Down><Down><Down>r50<Enter>1.2<Enter>100<Enter>2.4<Down>1<Down>1<C-s>");
    let recorded = |hand: &Hand| {
        let reading = hand.desk.state().step("fin.flex").expect("planned").readings.last().expect("read");
        let id = |used: &Option<InstrumentUse>| used.as_ref().map(|used| used.id.clone());
        (id(&reading.taken.instrument), id(&reading.taken.load_instrument))
    };
    let first = recorded(&hand);
    assert!(first.0.is_some() && first.1.is_some(), "{first:?}: {}", hand.picture());
    hand.keys("c1<Down><Down><Down><Down>misread<C-s>");
    assert_eq!(hand.desk.state().step("fin.flex").expect("planned").readings.len(), 2, "{}", hand.picture());
    assert_eq!(recorded(&hand), first);
}

#[test]
fn a_table_left_half_way_comes_back() {
    let mut hand = Hand::at_work();
    hand.keys("<Down><Down><Down>r50<Enter>1.2<Enter>77<Esc>");
    assert_eq!(hand.app.key_place(), Place::Worksheet);
    hand.keys("r");
    assert!(hand.sees("77"));
    // Throwing it away takes the key twice.
    hand.keys("<C-x>");
    assert!(hand.sees("once more"));
    hand.keys("<C-x>");
    assert_eq!(hand.app.key_place(), Place::Worksheet);
    assert!(hand.app.drafts().is_empty());
}

#[test]
fn a_row_that_is_no_number_is_told_at_once() {
    let mut hand = Hand::at_work();
    hand.keys("<Down><Down><Down>r50<Enter>1.2<Enter>");
    assert!(!hand.sees("no number"));
    hand.keys("ten<Enter>1.9<Enter>");
    assert!(hand.sees("✗ no number"), "{}", hand.picture());
}

/// A flex test is typed while people hold the glider: a killed program must not lose it.
#[test]
fn a_table_outlives_the_program_until_it_is_saved_or_thrown_away() {
    let mut hand = Hand::at_work();
    hand.keys("<Down><Down><Down>r50<Enter>1,2<Enter>/77<Enter>1.9 m");
    let unsaved = hand.desk.unsaved.clone();
    assert!(
        unsaved.as_ref().is_some_and(|text| text.contains("1,2") && text.contains("1.9 m")),
        "{unsaved:?}"
    );
    // Killed here; another run opens the same session.
    let again = |unsaved: Option<String>| {
        let mut desk = FakeDesk::at_work();
        desk.unsaved = unsaved;
        Hand::with(desk, Start::Worksheet)
    };
    let mut hand = again(unsaved);
    assert!(hand.message().contains("NOT recorded"), "{}", hand.message());
    assert_eq!(hand.app.drafts().len(), 1);
    hand.keys("<Down><Down><Down>r");
    for typed in ["50", "1,2", "right", "77", "1.9 m"] {
        assert!(hand.sees(typed), "{typed} is missing in {}", hand.picture());
    }
    hand.keys("<C-x><C-x>");
    assert_eq!(hand.desk.unsaved, None, "thrown away is gone");
    // What is no table of this plan is left alone and ends nothing.
    for absurd in ["table\t\t\t\n", "table\tno.step\tx\t\nrow\t9\t\t\t\t\n", "row\n\u{0}", "table"] {
        assert!(again(Some(absurd.to_string())).app.drafts().is_empty(), "{absurd:?}");
    }
}

#[test]
fn a_step_out_of_configuration_asks_before_it_is_answered() {
    let mut hand = Hand::at_work();
    hand.keys("<Down><Down>p<Down>p");
    assert!(hand.sees("Its configuration is not confirmed: support trestles, tailplane off"));
    hand.keys("<Esc>");
    assert_eq!(standing(&hand, "fin.flex"), StepStanding::Open);
    hand.keys("k<Enter>");
    assert_eq!(hand.desk.state().configuration, Default::default(), "a stray k and Enter confirm nothing");
    hand.keys("k1");
    assert!(hand.message().contains("confirmed: support trestles"), "{}", hand.message());
    hand.keys("p");
    assert_eq!(standing(&hand, "fin.flex"), StepStanding::Passed);
    let answer = hand.desk.state().step("fin.flex").and_then(|state| state.answer().cloned());
    assert!(answer.is_some_and(|answer| answer.unmet.is_empty()));
}

#[test]
fn notes_evidence_pause_and_search() {
    let mut hand = Hand::at_work();
    hand.keys("nlow light needed<Enter>");
    assert!(hand.sees("low light needed"));
    hand.keys("<Down><Down>ephotos/root.png<Enter><Enter>");
    assert!(hand.sees("cannot be read"), "the refusal keeps the form");
    hand.keys("<Up><Bs><Bs><Bs>jpg<C-s>");
    assert!(hand.sees("photo: the fin root, both sides (1 of 1)"));
    hand.keys("/rudder<Enter>");
    assert_eq!(hand.app.selected(), 5);
    hand.keys("z<Enter>");
    assert!(hand.sees("PAUSED"));
    hand.keys("p");
    assert!(hand.message().contains("paused"), "{}", hand.message());
    hand.keys("zp");
    assert_eq!(standing(&hand, "controls.rudder"), StepStanding::Passed);
}

#[test]
fn the_next_open_step_and_sections_are_one_key_away() {
    let mut hand = Hand::at_work();
    hand.keys("o");
    assert_eq!(hand.app.selected(), 2, "the optional step is passed over");
    // "fin.flex" depends on the skin that is still open: answered now, it could not be signed.
    hand.keys("o");
    assert_eq!(hand.app.selected(), 4, "its turn has not come");
    hand.keys("]");
    assert_eq!(hand.app.selected(), 5);
    hand.keys("[[");
    assert_eq!(hand.app.selected(), 0);
}

#[test]
fn nothing_is_recorded_while_it_is_shown_only_or_nobody_works() {
    let mut desk = FakeDesk::at_work();
    desk.read_only = Some("opened elsewhere".into());
    let mut hand = Hand::with(desk, Start::Worksheet);
    hand.keys("p");
    assert!(hand.message().contains("opened elsewhere"), "{}", hand.message());
    assert!(hand.sees("shown only: opened elsewhere"));
    assert_eq!(standing(&hand, "intake.papers"), StepStanding::Open);

    let mut hand = Hand::with(FakeDesk::new(), Start::Hangar);
    assert_eq!(hand.app.selected(), 2, "the session that is under way");
    hand.keys("<Enter>");
    assert_eq!(hand.app.key_place(), Place::Choose, "opening a session asks who works");
    hand.keys("<Esc>p");
    assert!(hand.message().contains("who works"), "{}", hand.message());
    hand.keys("w1p");
    assert_eq!(standing(&hand, "intake.papers"), StepStanding::Passed);
}

#[test]
fn a_helper_initials_and_the_certifier_accepts() {
    let mut hand = Hand::at_work();
    hand.keys("w2p");
    assert_eq!(hand.app.key_place(), Place::Form, "pass is the certifier's word");
    assert!(hand.sees("the certifier accepts it"));
    hand.keys("read the papers<Enter>");
    assert_eq!(standing(&hand, "intake.papers"), StepStanding::Open);
    assert!(hand.sees("initialled by") && hand.sees("not accepted yet"));
    hand.keys("w1p");
    assert_eq!(standing(&hand, "intake.papers"), StepStanding::Passed);
    assert!(hand.sees("read the papers"), "both stand there");
}

#[test]
fn a_full_disk_keeps_the_text_and_offers_a_rescue_copy() {
    let mut hand = Hand::at_work();
    hand.desk.disk_is_full = true;
    hand.keys("nlong note<Enter>");
    assert!(hand.message().starts_with("NOT RECORDED"), "{}", hand.message());
    assert!(hand.sees("long note"));
    // Room on the same disk: asked for, and the note lies below the question.
    hand.keys("<C-f>");
    assert!(hand.sees("It helps once"), "{}", hand.picture());
    hand.keys("1");
    assert!(!hand.desk.wishes.contains(&Wish::MakeRoom), "no is no");
    hand.keys("<C-f>2");
    assert_eq!(hand.desk.wishes.last(), Some(&Wish::MakeRoom));
    assert!(hand.sees("long note"));
    hand.keys("<C-f>");
    assert!(hand.message().contains("kept for that moment"), "it is given back: {}", hand.message());
    hand.keys("<C-r>/media/stick<Enter>");
    assert_eq!(hand.desk.wishes.last(), Some(&Wish::Rescue { folder: "/media/stick".into() }));
    assert!(hand.sees("long note"), "the note is still there below");
}

#[test]
fn leaving_with_something_typed_is_asked_and_escape_stays() {
    let mut hand = Hand::at_work();
    hand.keys("nabc<Esc>q");
    assert!(hand.sees("NOT recorded: note on intake.papers"));
    hand.keys("<Esc>");
    assert_eq!(hand.app.key_place(), Place::Worksheet);
    hand.keys("<Esc>");
    assert_eq!(hand.app.place(), Place::Worksheet, "the session is not left over a draft");
}

#[test]
fn mouse_clicks_select_press_and_scroll() {
    let mut hand = Hand::at_work();
    hand.click(Target::Item(2));
    assert_eq!(hand.app.selected(), 2);
    hand.keys("w");
    hand.click(Target::Choice(1));
    hand.click(Target::Choice(1));
    assert_eq!(hand.message(), "Tomas Reed is working", "the second click takes it");
    hand.click(Target::Command(Id::Note));
    assert_eq!(hand.app.key_place(), Place::Form);
    hand.keys("<Esc>");
    let (_, seen) = hand.look();
    let list = seen.place_of(Target::List).expect("a list");
    hand.mouse(crossterm::event::MouseEventKind::ScrollDown, list.x, list.y);
    assert_eq!(hand.app.selected(), 3);
    let (_, seen) = hand.look();
    let detail = seen.place_of(Target::Detail).expect("details");
    let before = hand.picture();
    hand.mouse(crossterm::event::MouseEventKind::ScrollDown, detail.x, detail.y);
    assert_ne!(hand.picture(), before, "the details have moved");
}

#[test]
fn every_size_down_to_the_smallest_can_be_drawn() {
    let mut hand = Hand::at_work();
    for keys in ["", "?", "<Esc>2", "3", "s", "5", "1", "<End>ra", "<Esc><Home><Down><Down><Down>r"] {
        hand.size = (80, 24);
        hand.keys(keys);
        for size in [(1, 1), (20, 5), (30, 10), (31, 11), (50, 14), (104, 30), (300, 100)] {
            hand.size = size;
            hand.picture();
        }
    }
}

/// From refused to signed: each refusal is jumped to and cleared.
#[test]
fn refused_then_cleared_then_signed() {
    let mut hand = Hand::at_work();
    hand.keys("s<Enter>");
    assert!(hand.message().contains("cannot be signed yet"), "{}", hand.message());
    hand.keys("<Down><Down><Enter>");
    assert_eq!(hand.app.place(), Place::Worksheet);
    assert_eq!(hand.app.selected(), 0, "jumped to the first open step");
    hand.keys("p<Esc>");
    assert_eq!(hand.app.place(), Place::SignOff, "back to where the jump began");
    hand.keys("1<Home><Down><Down>r1<C-s>e/a/root.jpg<Enter><Enter>p");
    hand.keys("ok1");
    hand.keys(SERIES).keys("p");
    hand.keys("oxno opening without cutting<Enter>");
    hand.keys("ora2.0<Enter>1<Enter>rb30<Enter>30<Enter><C-s>p");
    // The independent inspection is by another person.
    hand.keys("w2irudder circuit<Enter>1234<Enter>1<Enter>four words<Enter>w1");
    hand.keys("s<Home><Down><Down>");
    assert!(hand.sees("10 · report not dealt with"), "{}", hand.picture());
    hand.keys("<Enter><Enter>not about the structure<Enter>");
    hand.keys("<Down><Enter>3<C-s>");
    assert!(hand.message().starts_with("saved"), "{}", hand.message());
    hand.keys("<Down><Enter>1<C-s>");
    hand.keys("s<Home>");
    assert!(hand.sees("✓ Release: airworthy: can be signed"), "{}", hand.picture());
    hand.keys("<Enter>X-WREN<Enter>four words");
    assert!(hand.sees("••••••••••") && !hand.sees("four words"), "{}", hand.picture());
    hand.keys("<Enter>");
    assert!(hand.sees("is not the registration"));
    assert!(hand.desk.state().signed.is_none());
    hand.keys("<Up><Bs><Bs><Bs><Bs><Bs><Bs>x-lark<Enter><Enter>");
    assert!(hand.sees("no passphrase is typed"), "a passphrase is typed anew each time: {}", hand.picture());
    hand.keys("four words<Enter>");
    let signed = hand.desk.state().signed.as_ref().expect("signed");
    assert_eq!(signed.what.outcome, Outcome::Release);
    assert!(hand.message().starts_with("saved, entry"), "{}", hand.message());
    assert!(hand.sees("signed: released"));
}

#[test]
fn a_defect_is_decided_rectified_and_reinspected_by_its_step() {
    let mut hand = Hand::at_work();
    hand.keys("f<Home>placard torn<C-s>2a1<C-s>");
    assert!(hand.message().starts_with("saved"), "{}", hand.message());
    hand.keys("rnew placard fitted<Enter><Enter>");
    assert!(hand.sees("whether a flight control was disturbed is not said yet"));
    hand.keys("1<Enter>");
    assert!(hand.sees("rectified, re-inspection open"));
    // No form is offered that would be declined when it is filled.
    hand.keys("i");
    assert!(hand.message().contains("work its step again"), "{}", hand.message());
    assert_eq!(hand.app.key_place(), Place::Defects);
    hand.keys("<Enter>");
    assert_eq!(hand.app.place(), Place::Worksheet);
    assert!(hand.sees("↻ re-inspect"));
    hand.keys("p2");
    assert!(hand.sees("rectified and re-inspected"));
}

#[test]
fn a_deferral_needs_a_date_that_is_one() {
    let mut hand = Hand::at_work();
    hand.keys("2dscratch in the canopy<C-s>a3<Enter>soon<C-s>");
    assert!(hand.sees("\"soon\" is no date"));
    hand.keys("<Up><Down><Bs><Bs><Bs><Bs>2027-03-01<C-s>");
    assert!(hand.message().starts_with("saved"), "{}", hand.message());
    assert!(hand.sees("deferred"));
}

#[test]
fn a_deferral_that_the_checklist_forbids_is_told_at_the_defect() {
    let mut hand = Hand::at_work();
    hand.keys("<Home><Down><Down>dcrack along the joint<Enter>2<C-s>2a3<Enter>2027-03-01<C-s>");
    assert!(hand.message().starts_with("saved"), "{}", hand.message());
    assert!(hand.sees("may not be deferred by this checklist"), "{}", hand.picture());
    assert!(!hand.sees("it may wait until its limit"));
}

#[test]
fn the_way_back_stays_short() {
    let mut hand = Hand::at_work();
    hand.keys("2121231s<Esc><Esc>");
    assert_eq!(hand.app.place(), Place::Hangar, "sign-off, worksheet, hangar");
}

#[test]
fn the_desk_is_asked_for_nothing_by_looking_around() {
    let mut hand = Hand::at_work();
    hand.keys("2<Down>3<Down><Down>s<End>5<Home>?<PgDn><Esc>1<End><PgDn>/fin<Enter>w<Esc>n<Esc>c");
    assert_eq!(hand.desk.wishes, []);
}

#[test]
fn wide_characters_keep_the_columns() {
    let mut hand = Hand::at_work();
    hand.keys("n検査記録検査記録検査記録検査記録検査記録検査記録検査記録検査記録検査記録検査記録<Enter>");
    let note = hand.desk.state().step("intake.papers").expect("planned").notes[0].text.clone();
    assert_eq!(note.chars().count(), 40);
    hand.picture();
    let (terminal, _) = hand.look();
    let buffer = terminal.backend().buffer();
    let shown: usize = buffer.content.iter().filter(|cell| "検査記録".contains(cell.symbol())).count();
    assert_eq!(shown, 40, "no character is cut off");
}

#[test]
fn a_correction_takes_an_answer_back() {
    let mut hand = Hand::at_work();
    hand.keys("pc2<Enter>");
    assert!(hand.sees("taking an entry back needs a reason"));
    hand.keys("wrong papers<Enter>");
    assert_eq!(standing(&hand, "intake.papers"), StepStanding::Open);
    assert!(hand.sees("struck by Ines Marlow · 2026-11-25 09:02 (entry 2): wrong papers"));
}

#[test]
fn the_second_look_by_the_first_person_is_warned_of() {
    let mut hand = Hand::at_work();
    hand.keys("<End>pi");
    assert!(hand.sees("Ines Marlow answered this step and is at the keys"));
    hand.keys("<Esc>w2i");
    assert!(!hand.sees("is at the keys: another"));
}

#[test]
fn a_stray_enter_out_of_configuration_answers_nothing() {
    let mut hand = Hand::at_work();
    hand.keys("<Down><Down><Down>p<Enter>");
    assert_eq!(standing(&hand, "fin.flex"), StepStanding::Open);
    assert_eq!(hand.desk.wishes, []);
}

#[test]
fn a_finding_leads_to_its_entry_and_esc_comes_back() {
    let mut desk = FakeDesk::at_work();
    let answer = |result, why: Option<&str>| Request::Answer {
        step: "intake.papers".into(),
        result,
        reason: None,
        why: why.map(ToString::to_string),
    };
    desk.record(answer(StepResult::Failed, None));
    desk.record(answer(StepResult::Passed, Some("it turned up")));
    let mut hand = Hand::with(desk, Start::Worksheet);
    hand.keys("8<Enter>");
    assert_eq!((hand.app.place(), hand.app.selected()), (Place::Replay, 1));
    hand.keys("<Esc>");
    assert_eq!(hand.app.place(), Place::Findings);
    // From the replay to the findings and back into it: the way out is the same.
    hand.keys("78");
    assert_eq!(hand.app.place(), Place::Findings);
    hand.keys("<Enter>");
    assert_eq!((hand.app.place(), hand.app.selected()), (Place::Replay, 1));
    hand.keys("<Esc>");
    assert_eq!(hand.app.place(), Place::Findings);
    hand.keys("5h");
    assert_eq!(hand.app.place(), Place::Replay);
    assert!(hand.sees("only intake.papers"), "{}", hand.picture());
}

/// A note is typed with cold fingers: a killed program must not lose it.
#[test]
fn a_form_outlives_the_program_until_it_is_saved_or_thrown_away() {
    let again = |unsaved: Option<String>| {
        let mut desk = FakeDesk::at_work();
        desk.unsaved = unsaved;
        Hand::with(desk, Start::Worksheet)
    };
    let mut hand = Hand::at_work();
    hand.keys("ncreak at the root<Esc><Down>dcracked<Tab><Tab>boom<Tab>2");
    let unsaved = hand.desk.unsaved.clone();
    // Killed here. Both are told, and stay kept while only one of them is opened.
    let mut hand = again(unsaved);
    assert!(hand.message().contains("NOT recorded: note on"), "{}", hand.message());
    assert!(hand.message().contains("; defect of"), "{}", hand.message());
    assert_eq!(hand.app.not_recorded().len(), 2);
    hand.keys("<Down>d");
    for typed in ["cracked", "boom", "■ right"] {
        assert!(hand.sees(typed), "{typed} is missing in {}", hand.picture());
    }
    hand.keys("<C-x><C-x>");
    let unsaved = hand.desk.unsaved.clone();
    assert!(unsaved.as_ref().is_some_and(|text| text.contains("creak") && !text.contains("cracked")));
    let mut hand = again(unsaved);
    hand.keys("n");
    assert!(hand.sees("creak at the root"), "{}", hand.picture());
    hand.keys(" again<Enter>");
    assert!(hand.message().contains("saved, entry"), "{}", hand.message());
    assert_eq!(hand.desk.unsaved, None, "what is recorded is not kept twice");
    assert_eq!(hand.app.not_recorded(), Vec::<String>::new());
}

/// The registration that confirms a signature is typed by whoever signs, in the run that signs.
#[test]
fn what_is_pasted_is_kept_and_a_signature_is_not() {
    let mut hand = Hand::at_work();
    hand.keys("n");
    hand.app.paste("from the log");
    hand.keys("<Esc>");
    assert!(hand.desk.unsaved.as_ref().is_some_and(|text| text.contains("from the log")));
    hand.keys("n<C-x><C-x>/abc");
    assert_eq!(hand.desk.unsaved, None, "a search is nothing to keep");
}

/// What is kept for another run is a file that anybody may read.
#[test]
fn a_passphrase_is_never_kept() {
    let mut hand = Hand::at_work();
    hand.keys("<End>w2irudder circuit<Enter>1234<Enter>1<Enter>four words<Esc>");
    let kept = hand.desk.unsaved.clone().unwrap_or_default();
    assert!(kept.contains("rudder circuit") && !kept.contains("four"), "{kept}");
    hand.keys("i");
    assert!(hand.sees("rudder circuit") && !hand.sees("•"), "{}", hand.picture());
}
