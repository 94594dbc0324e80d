//! Records and registers by keys alone, on a real folder that is empty at first.
#![allow(clippy::disallowed_methods, reason = "a test looks at what lies on the disk")]

use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::DateTime;
use spanwise::cli::HangarDesk;
use spanwise::hangar::Hangar;
use spanwise::screen::Start;
use spanwise::screen::desk::{Desk, Wish};
use spanwise::store::FakeClock;

use crate::hand::Hand;

/// An empty folder with a path that is the same everywhere: it stands in the pictures.
pub fn empty(name: &str) -> PathBuf {
    let folder = Path::new("target/tmp").join(name);
    let _ = std::fs::remove_dir_all(&folder);
    folder
}

fn desk(folder: &Path) -> HangarDesk {
    let mut hangar = Hangar::load(folder);
    let now = DateTime::parse_from_rfc3339("2026-11-25T09:00:00+01:00").expect("a time");
    hangar.clock = Arc::new(FakeClock::fixed(now));
    HangarDesk::new(hangar, None).expect("a desk")
}

fn hand(folder: &Path) -> Hand<HangarDesk> {
    Hand::with(desk(folder), Start::Hangar)
}

/// At work in a folder as it was left, by whoever stands first in its register.
pub fn reopened(folder: &Path) -> Hand<HangarDesk> {
    let mut hand = hand(folder);
    hand.desk.carry_out(Wish::ActAs("ada-example".into()));
    hand
}

/// The registers, and there a person.
const PERSON: &str = "ra";

/// Person, authorisation, airframe, three reports.
pub fn entered(folder: &Path, size: (u16, u16)) -> Hand<HangarDesk> {
    let mut hand = hand(folder);
    hand.size = size;
    hand.keys(PERSON).keys("ada-example<Enter>Ada Example<Enter>1<Enter>");
    assert!(hand.message().starts_with("written: "), "{}", hand.message());
    hand.keys("t1<Enter>EX-1<Enter>invented certificate<Enter>*<Enter>2030-12-31<Enter>");
    assert!(hand.message().starts_with("written: "), "{}", hand.message());
    hand.keys("<Esc>nXX-EX1<Enter>varn-15<Enter>0107<Enter><Enter>Example Club<Enter><Enter>10.5<C-s>");
    assert!(hand.message().starts_with("written: "), "{}", hand.message());
    hand.keys("e]");
    for (kind, date, text) in [
        ("tail-noise", "2026-09-06", "it creaks when the tail is lifted"),
        ("ground-loop", "2026-08-30", "half a turn in long grass"),
        ("odd-yaw", "2026-08-02", "the tail follows late"),
    ] {
        hand.keys("a")
            .keys(kind)
            .keys("<Enter>")
            .keys(date)
            .keys("<Enter>a pilot<Enter>")
            .keys(text)
            .keys("<C-s>");
        assert!(hand.message().starts_with("written: "), "{}", hand.message());
    }
    hand
}

#[test]
fn from_an_empty_folder_to_three_reports() {
    let folder = empty("screens-empty");
    let mut hand = entered(&folder, (80, 24));
    insta::assert_snapshot!("airframe_with_three_reports", hand.picture());
    let people = std::fs::read_to_string(folder.join("people.toml")).expect("written");
    assert!(
        people.contains("[[person.authorisation]]") && people.contains("valid_until = 2030-12-31"),
        "{people}"
    );
    let fresh = Hangar::load(&folder);
    let file = fresh.airframe("XX-EX1").expect("there");
    let airframe = file.airframe.as_ref().expect("sound");
    let ids: Vec<&str> = airframe.reports.iter().map(|report| report.id.as_str()).collect();
    assert_eq!((ids, airframe.serial.as_str()), (vec!["r1", "r2", "r3"], "0107"));
    hand.keys("<Esc>");
    assert!(hand.sees("3 reports"), "{}", hand.picture());
    hand.keys("r");
    insta::assert_snapshot!("registers", hand.picture());
}

#[test]
fn the_same_on_a_wide_window() {
    let mut hand = entered(&empty("screens-wide"), (140, 45));
    insta::assert_snapshot!("airframe_with_three_reports_wide", hand.picture());
    hand.keys("<Esc>r<Down>");
    insta::assert_snapshot!("registers_wide", hand.picture());
}

#[test]
fn an_empty_hangar_says_what_comes_first() {
    let mut hand = hand(&empty("screens-first"));
    insta::assert_snapshot!("empty_hangar", hand.picture());
    hand.keys("w");
    assert!(hand.message().contains("r opens the registers"), "{}", hand.message());
}

/// The field at hand is on the screen, at every one of them, whichever way one goes.
#[test]
fn a_long_form_shows_the_field_at_hand() {
    let mut hand = entered(&empty("screens-long"), (80, 24));
    hand.keys("<Home>");
    (0..40).for_each(|_| {
        if !hand.sees("▶Life-limited") {
            hand.keys("]");
        }
    });
    hand.keys("a");
    for field in 2..=24 {
        assert!(hand.sees(&format!("field {field} of 24")), "{field}: {}", hand.picture());
        assert!(hand.sees(" ▶ "), "{field}: {}", hand.picture());
        if field == 12 {
            insta::assert_snapshot!("long_form", hand.picture());
        }
        hand.keys("<Tab>");
    }
    // What is wrong is told at its field, not below a form that ends far outside of the window.
    hand.keys("<Tab>tow release<C-s>");
    assert!(hand.message().starts_with("written"), "{}", hand.message());
    hand.keys("<Enter><Tab><Tab><Tab><Tab>not a day<C-s>");
    let picture = hand.picture();
    assert!(picture.contains("✗ manufactured on: \"not a day\" does not fit"), "{picture}");
}

#[test]
fn kinds_are_found_by_typing_words() {
    let mut hand = entered(&empty("screens-kinds"), (80, 24));
    hand.keys("aheavy");
    insta::assert_snapshot!("finding_a_kind", hand.picture());
    hand.keys("<C-s>");
    assert!(hand.message().contains("nothing is chosen"), "{}", hand.message());
    hand.keys("<Right><Right><Tab>2026-09-07<Tab><Tab>bounced twice<C-s>");
    assert!(hand.message().starts_with("written"), "{}", hand.message());
    assert!(hand.sees("heavy-landing"), "{}", hand.picture());
}

#[test]
fn another_hand_is_noticed_and_nothing_typed_is_lost() {
    let folder = empty("screens-other");
    let mut hand = entered(&folder, (80, 24));
    let path = folder.join("airframes/XX-EX1.toml");
    // At the third report; its form lies open while an editor changes owner and text.
    hand.keys("<Enter>");
    let text = std::fs::read_to_string(&path).expect("there");
    std::fs::write(
        &path,
        text.replace("Example Club", "Another Club").replace("follows late", "FOLLOWS late"),
    )
    .expect("written");
    hand.keys("<Tab><Tab><Tab><Tab>, always<C-s>");
    let picture = hand.picture();
    assert!(picture.contains("changed by another hand meanwhile"), "{picture}");
    assert!(picture.contains("the tail follows late, always") && picture.contains("FOLLOWS"), "{picture}");
    insta::assert_snapshot!("another_hand", picture);
    let now = std::fs::read_to_string(&path).expect("there");
    assert!(now.contains("FOLLOWS late") && !now.contains("always"), "nothing was written: {now}");
    hand.keys("<C-s>");
    let now = std::fs::read_to_string(&path).expect("there");
    assert!(now.contains("the tail follows late, always") && now.contains("Another Club"), "{now}");
}

#[test]
fn what_is_typed_outlives_the_program() {
    let folder = empty("screens-kept");
    let mut hand = entered(&folder, (80, 24));
    hand.keys("ahail<Enter>2026-09-09<Enter>");
    drop(hand);
    let mut hand = self::hand(&folder);
    assert!(hand.message().contains("typed before and NOT written: new report"), "{}", hand.message());
    hand.keys("e]a");
    assert!(hand.sees("2026-09-09") && hand.sees("hail: hail"), "{}", hand.picture());
    hand.keys("<Tab><Tab><Tab>stones of 2 cm<C-s>");
    assert!(hand.message().starts_with("written"), "{}", hand.message());
    assert!(!folder.join("unsaved.txt").exists(), "nothing is left to be kept");
}

#[test]
fn a_passphrase_is_never_kept_and_the_key_signs() {
    let folder = empty("screens-key");
    let mut hand = entered(&folder, (80, 24));
    hand.keys("<Esc>r<Down>kfour long words<Tab>four other words<C-s>");
    assert!(hand.message().contains("do not agree"), "{}", hand.message());
    assert!(!folder.join("unsaved.txt").exists());
    hand.keys("<BackTab>four long words<Tab>four long words<C-s>");
    assert!(hand.message().contains("has the key SHA256:"), "{}", hand.message());
    assert!(hand.sees("1 key"), "{}", hand.picture());
    let hangar = Hangar::load(&folder);
    let person = hangar.person("ada-example").expect("there");
    assert!(spanwise::hangar::keys::unlock(&hangar, person, None, "four long words").is_ok());
    hand.keys("x2");
    assert!(hand.message().contains("holds a key"), "{}", hand.message());
}

#[test]
fn a_faulty_record_is_shown_with_its_faults_and_put_right() {
    let folder = empty("screens-fault");
    let mut hand = entered(&folder, (80, 24));
    let path = folder.join("airframes/XX-EX1.toml");
    let text = std::fs::read_to_string(&path).expect("there");
    std::fs::write(&path, text.replace("\"ground-loop\"", "\"ground-lop\"")).expect("written");
    drop(hand);
    hand = self::hand(&folder);
    hand.keys("<Home>e");
    let picture = hand.picture();
    assert!(picture.contains("XX-EX1.toml:16:8"), "{picture}");
    insta::assert_snapshot!("airframe_with_a_fault", picture);
    hand.keys("<Down><Down><Down><Down><Enter>");
    assert!(hand.sees("ground-loop") || hand.sees("r2"), "{}", hand.picture());
    hand.keys("<Tab>ground-loop<C-s>");
    assert!(hand.message().starts_with("written"), "{}", hand.message());
    assert!(!hand.sees("✗"), "{}", hand.picture());
}

#[test]
fn taking_out_asks_first_and_names_what_is_better() {
    let folder = empty("screens-out");
    let mut hand = entered(&folder, (80, 24));
    hand.keys("x");
    insta::assert_snapshot!("taking_a_report_out", hand.picture());
    hand.keys("<Enter>");
    assert!(hand.sees("r3"), "the first choice keeps it");
    hand.keys("x2");
    assert!(hand.message().starts_with("written") && !hand.sees("r3 ·"), "{}", hand.picture());
}

#[test]
fn a_question_to_begin_tells_the_plan_before_it_is_frozen() {
    let mut hand = entered(&empty("screens-begin"), (80, 24));
    hand.keys("<Esc><Home><Enter>");
    // Whoever has not said yet who works is asked first.
    hand.keys("1<Enter>");
    let picture = hand.picture();
    for told in [
        "Begin an annual on XX-EX1?",
        "varn-15-supplement",
        "noise from the tail or the fin: selects fin-root (14 steps)",
        "ground loop: selects fin-root, ground-loop",
    ] {
        assert!(picture.contains(told), "{told}: {picture}");
    }
    // Where no plan can be made, the reason comes before anything is begun.
    hand.keys("<Esc>e<Home><Enter><Tab><C-u>Varn 15<C-s>");
    assert!(hand.message().starts_with("written"), "{}", hand.message());
    hand.keys("<Esc><Enter>");
    let picture = hand.picture();
    assert!(picture.contains("no type supplement describes \"Varn 15\""), "{picture}");
    assert!(picture.contains("did you mean") && !picture.contains("1 begin"), "{picture}");
}

#[test]
fn the_key_is_made_on_an_authorisation_too() {
    let mut hand = entered(&empty("screens-key"), (80, 24));
    hand.keys("<Esc>r<Down><Down>");
    assert!(hand.sees("▶     ") || hand.sees("Authorisations ·"), "{}", hand.picture());
    hand.keys("k");
    assert!(hand.sees("Key of Ada Example"), "{}", hand.picture());
}

#[test]
fn every_line_of_a_long_list_of_ticks_can_be_reached_and_says_how() {
    let mut hand = entered(&empty("screens-ticks"), (80, 24));
    hand.keys("<Home><Enter>");
    (0..10).for_each(|_| {
        hand.keys("<Tab>");
    });
    assert!(hand.sees("▶ equipment") && hand.sees("Space ticks it"), "{}", hand.picture());
    // Digits tick nothing here: 12 would be the first and the second.
    hand.keys("12w ");
    assert!(hand.sees("▸ [x] water-ballast"), "{}", hand.picture());
    hand.keys("<C-s>");
    assert!(hand.message().starts_with("written"), "{}", hand.message());
    let fresh = Hangar::load(Path::new("target/tmp/screens-ticks"));
    let file = fresh.airframe("XX-EX1").expect("there");
    assert_eq!(file.airframe.as_ref().expect("sound").equipment, ["water-ballast"]);
}

#[test]
fn a_typed_search_goes_to_the_step_of_that_title_first() {
    let mut hand = entered(&empty("screens-search"), (80, 24));
    hand.keys("<Esc><Home><Enter>1<Enter>1");
    assert!(hand.sees("Worksheet"), "{}", hand.picture());
    // The placards' step, which comes earlier, speaks of it too.
    hand.keys("/tyre pressure<Enter><Enter>");
    assert!(hand.sees("▶○ open           Tyre pressure"), "{}", hand.picture());
    hand.keys("/<Enter>");
    assert!(!hand.sees("▶○ open           Tyre pressure"), "Enter alone goes on: {}", hand.picture());
}
