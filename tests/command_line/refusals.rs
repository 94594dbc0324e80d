//! Each of the fourteen refusals provoked and cleared by commands alone, on an annual of four steps.

use std::collections::BTreeSet;

use crate::binary::{Answer, Place, SMALL};

struct Annual {
    place: Place,
}

impl Annual {
    fn begun() -> Annual {
        let place = Place::small();
        place.write("photo.txt", "stands in for a photo");
        Annual { place }
    }

    /// Everything done, nothing stands against the release.
    fn complete() -> Annual {
        let annual = Annual::begun();
        annual.done(&["set-aside", SMALL, "r1", "a loose plug, reseated and tried"]);
        annual.done(&["directive", SMALL, "INV-1", "complied", "--next-due", "2099-12-31"]);
        annual.done(&["life-item", SMALL, "harness", "within-life"]);
        annual.done(&["answer", SMALL, "prep.clean", "pass"]);
        annual.done(&["confirm", SMALL, "tailplane=off"]);
        annual.photo();
        annual.done(&["answer", SMALL, "fin.look", "pass"]);
        annual.read("0.20 mm", "gauge");
        annual.done(&["answer", SMALL, "wing.play", "pass"]);
        annual.done(&["answer", SMALL, "rudder.connect", "pass"]);
        annual.second("bo");
        assert_eq!(annual.refused(), BTreeSet::new());
        annual.run(&["status", SMALL]).tells(0, &["Nothing stands against the sign-off (released)"]);
        annual
    }

    fn run(&self, args: &[&str]) -> Answer {
        self.place.run_by("ada", args)
    }

    #[track_caller]
    fn done(&self, args: &[&str]) -> u64 {
        self.run(args).expect(0).entry()
    }

    #[track_caller]
    fn photo(&self) -> u64 {
        let file = self.place.path("photo.txt").to_string_lossy().into_owned();
        self.done(&["evidence", SMALL, &file, "--step", "fin.look", "--demand", "photo"])
    }

    #[track_caller]
    fn read(&self, value: &str, instrument: &str) -> u64 {
        self.done(&["read", SMALL, "wing.play", "play", value, "--instrument", instrument])
    }

    #[track_caller]
    fn second(&self, by: &str) {
        self.place
            .run_by(
                by,
                &[
                    "inspect",
                    SMALL,
                    "rudder.connect",
                    "rudder cables",
                    "--checked",
                    "assembly,locking,sense,range",
                ],
            )
            .expect(0);
    }

    #[track_caller]
    fn refused(&self) -> BTreeSet<u64> {
        self.place.refused_for("ada", SMALL)
    }

    #[track_caller]
    fn refuses(&self, wanted: &[u64]) {
        assert_eq!(self.refused(), wanted.iter().copied().collect());
        let code = if wanted.is_empty() { 0 } else { 3 };
        self.run(&["status", SMALL]).expect(code);
    }

    /// The refusal is told with its number, and the signature is refused for it.
    #[track_caller]
    fn sign_is_refused(&self, number: u64, words: &[&str]) {
        let before = self.place.entries(SMALL).len();
        let answer = self.run(&["sign", SMALL, "release", "--confirm", SMALL]);
        let number = format!("{number:>2}. ");
        answer.tells(3, &[&[number.as_str(), "clears it:"], words].concat());
        assert_eq!(self.place.entries(SMALL).len(), before, "a refused signature records nothing");
    }
}

#[test]
fn one_and_ten_and_eleven_on_a_fresh_session() {
    let annual = Annual::begun();
    annual.refuses(&[1, 10, 11]);
    annual.sign_is_refused(1, &["Clean the airframe", "answer the step"]);
    annual.sign_is_refused(10, &["report r1"]);
    annual.sign_is_refused(11, &["INV-1", "harness"]);
    annual.done(&["set-aside", SMALL, "r1", "a loose plug, reseated and tried"]);
    annual.refuses(&[1, 11]);
    annual.done(&["directive", SMALL, "INV-1", "not-yet-due", "--next-due", "2020-01-01"]);
    annual.done(&["life-item", SMALL, "harness", "replaced", "--note", "new", "--next-due", "2099-01-01"]);
    annual.sign_is_refused(11, &["fell due on 2020-01-01"]);
    annual.done(&["directive", SMALL, "INV-1", "complied", "--next-due", "2099-12-31"]);
    annual.refuses(&[1]);
}

#[test]
fn one_an_answer_taken_back() {
    let annual = Annual::complete();
    let entry = annual.done(&["answer", SMALL, "prep.clean", "pass", "--correct", "looked once more"]);
    annual.refuses(&[]);
    annual.done(&["withdraw", SMALL, &entry.to_string(), "that was another glider"]);
    annual.refuses(&[1]);
    annual.done(&["answer", SMALL, "prep.clean", "pass"]);
    annual.refuses(&[]);
    annual.run(&["show", SMALL]).tells(0, &["[struck by entry", "that was another glider"]);
}

#[test]
fn two_missing_reading_and_evidence() {
    let annual = Annual::complete();
    let shown = annual.run(&["show", SMALL, "--entries", "--json"]).json();
    let of_kind = |kind: &str| {
        let entries = shown["entries"].as_array().expect("a list");
        let found = entries.iter().find(|entry| entry["event"]["kind"] == kind).expect("there is one");
        found["entry"].to_string()
    };
    annual.done(&["withdraw", SMALL, &of_kind("reading_taken"), "the gauge slipped"]);
    annual.sign_is_refused(2, &["wing.play"]);
    annual.read("0.20 mm", "gauge");
    annual.refuses(&[]);
    annual.done(&["withdraw", SMALL, &of_kind("evidence_added"), "another glider"]);
    annual.sign_is_refused(2, &["fin.look"]);
    annual.photo();
    annual.refuses(&[]);
}

#[test]
fn three_outside_its_limit_and_four_until_the_defect_is_settled() {
    let annual = Annual::complete();
    let shown = annual.place.entries(SMALL);
    let (first, _) = shown.iter().find(|(_, event)| event["kind"] == "reading_taken").expect("there is one");
    let correct = |entry: u64, value: &str| {
        let entry = entry.to_string();
        let what = ["read", SMALL, "wing.play", "play", value, "--instrument", "gauge"];
        annual.run(&[&what[..], &["--correct", &entry, "--why", "the gauge slipped"]].concat())
    };
    let entry = correct(*first, "0.61 mm").tells(0, &["outside", "0.61 mm", "0.50 mm"]).entry();
    annual.sign_is_refused(3, &["wing.play", "0.61"]);
    correct(entry, "0.21 mm").tells(0, &["within"]);
    annual.refuses(&[]);
    annual.done(&["answer", SMALL, "wing.play", "fail", "--correct", "felt a click"]);
    annual.sign_is_refused(4, &["wing.play"]);
    annual.done(&["defect", "raise", SMALL, "play at the drag pin", "--step", "wing.play", "--side", "left"]);
    annual.refuses(&[4]);
    annual.run(&["defect", "dispose", SMALL, "d1", "defer"]).tells(3, &["a deferral needs a limit"]);
    annual.done(&["defect", "dispose", SMALL, "d1", "defer", "--until", "2099-01-01"]);
    annual.refuses(&[]);
    annual.done(&["defect", "dispose", SMALL, "d1", "rectify"]);
    annual.refuses(&[4]);
    annual.done(&["defect", "rectify", SMALL, "d1", "bush replaced by approved data"]);
    annual.refuses(&[1, 4]);
    annual.read("0.10 mm", "gauge");
    annual.done(&["answer", SMALL, "wing.play", "pass"]);
    annual.refuses(&[]);
}

#[test]
fn four_a_defect_that_no_step_found() {
    let annual = Annual::complete();
    annual.done(&["defect", "raise", SMALL, "scratch on the canopy", "--severity", "minor"]);
    annual.refuses(&[4]);
    annual.done(&["defect", "dispose", SMALL, "d1", "rectify"]);
    annual.done(&["defect", "rectify", SMALL, "d1", "polished"]);
    annual.done(&["defect", "reinspect", SMALL, "d1", "still there", "--not-satisfactory"]);
    annual.refuses(&[4]);
    annual.done(&["defect", "rectify", SMALL, "d1", "polished again"]);
    annual.done(&["defect", "reinspect", SMALL, "d1", "clear all over"]);
    annual.refuses(&[]);
}

#[test]
fn five_out_of_configuration_and_six_out_of_turn() {
    let annual = Annual::begun();
    annual.done(&["answer", SMALL, "fin.look", "pass"]);
    annual.sign_is_refused(5, &["fin.look", "tailplane"]);
    annual.sign_is_refused(6, &["fin.look", "prep.clean"]);
    annual.done(&["answer", SMALL, "prep.clean", "pass"]);
    annual.done(&["answer", SMALL, "fin.look", "pass", "--correct", "looked again after cleaning"]);
    assert!(annual.refused().contains(&5) && !annual.refused().contains(&6));
    annual.done(&["confirm", SMALL, "tailplane=off"]);
    assert!(annual.refused().contains(&5), "to confirm afterwards is no second look");
    annual.done(&["answer", SMALL, "fin.look", "pass", "--correct", "looked again with the tailplane off"]);
    assert!(!annual.refused().contains(&5));
}

#[test]
fn seven_the_instrument() {
    let annual = Annual::complete();
    let correct = |entry: u64, rest: &[&str]| {
        let entry = entry.to_string();
        let head =
            ["read", SMALL, "wing.play", "play", "0.20 mm", "--correct", &entry, "--why", "instrument"];
        annual.done(&[&head[..], rest].concat())
    };
    let shown = annual.place.entries(SMALL);
    let (first, _) = shown.iter().find(|(_, event)| event["kind"] == "reading_taken").expect("there is one");
    let unnamed = correct(*first, &[]);
    annual.sign_is_refused(7, &["wing.play"]);
    let overdue = correct(unnamed, &["--instrument", "old-gauge"]);
    annual.sign_is_refused(7, &["wing.play", "2020-12-31"]);
    correct(overdue, &["--instrument", "gauge"]);
    annual.refuses(&[]);
}

#[test]
fn eight_the_independent_inspection() {
    let annual = Annual::complete();
    annual.done(&["answer", SMALL, "rudder.connect", "pass", "--correct", "split pin replaced"]);
    annual.sign_is_refused(8, &["rudder.connect"]);
    annual.second("ada");
    annual.refuses(&[8]);
    let some = ["inspect", SMALL, "rudder.connect", "rudder cables", "--checked", "assembly,locking"];
    annual.place.run_by("bo", &some).expect(0);
    annual.refuses(&[8]);
    annual.second("bo");
    annual.refuses(&[]);
}

#[test]
fn nine_the_evidence_on_the_disk() {
    let annual = Annual::complete();
    let folder = annual.place.session_folder(SMALL).join("evidence");
    let files = crate::binary::contents(&folder);
    let (path, bytes) = files.iter().next().expect("the photo");
    std::fs::remove_file(path).expect("taken away");
    annual.sign_is_refused(9, &["photo.txt"]);
    std::fs::write(path, b"another picture").expect("exchanged");
    annual.sign_is_refused(9, &["photo.txt"]);
    std::fs::remove_file(path).expect("taken away");
    std::fs::write(path, bytes).expect("put back");
    annual.refuses(&[]);
}

#[test]
fn twelve_the_record_itself() {
    let annual = Annual::complete();
    let plan = annual.place.session_folder(SMALL).join("plan.json");
    let sound = std::fs::read_to_string(&plan).expect("read");
    std::fs::write(&plan, sound.replace("0.50 mm", "0.90 mm")).expect("altered");
    let status = annual.run(&["status", SMALL]);
    status.tells(
        4,
        &["12. record does not verify", "the plan is not the one that this session was begun with"],
    );
    annual.run(&["sign", SMALL, "release", "--confirm", SMALL]).tells(4, &["the record is damaged"]);
    std::fs::write(&plan, sound).expect("put back");
    annual.refuses(&[]);
}

#[test]
fn thirteen_who_signs() {
    let annual = Annual::complete();
    let sign = |by: &str| annual.place.run_by(by, &["sign", SMALL, "release", "--confirm", SMALL]);
    // The second inspection bears bo's own key, so it would not be independent of bo as the signer.
    assert_eq!(annual.place.refused_for("bo", SMALL), BTreeSet::from([8, 13]));
    sign("bo").tells(3, &["13. ", "clears it:"]);
    sign("cy").tells(3, &["13. ", "2020-12-31"]);
    let wrong = annual.run(&["sign", SMALL, "release", "--confirm", "XX-SM2"]);
    wrong.tells(2, &["is not the registration", "--confirm XX-SM1"]);
    sign("ada").tells(0, &["signed off", "released"]);
    annual.run(&["status", SMALL]).tells(3, &["Signed off"]);
    // A second signature would not fit the record, and so damage it.
    sign("ada").tells(3, &["signed and closed"]);
    for late in [&["answer", SMALL, "prep.clean", "fail", "--correct", "x"][..], &["note", SMALL, "x"]] {
        annual.run(late).tells(3, &["signed and closed"]);
    }
}

#[test]
fn fourteen_grounds_and_leaves_the_list_of_discrepancies() {
    let annual = Annual::complete();
    let not_airworthy = ["sign", SMALL, "not-airworthy", "--confirm", SMALL];
    annual.run(&not_airworthy).tells(3, &["no discrepancy is open"]);
    annual.done(&["answer", SMALL, "fin.look", "fail", "--correct", "a crack across the fibres"]);
    annual.done(&["defect", "raise", SMALL, "crack at the fin root", "--step", "fin.look"]);
    annual.done(&["defect", "dispose", SMALL, "d1", "refer", "--note", "to the repairer"]);
    annual.refuses(&[14]);
    annual.sign_is_refused(14, &["d1", "It can be signed as: completed, not airworthy"]);
    annual.run(&["status", SMALL]).tells(3, &["NOT AIRWORTHY"]);
    annual.run(&["status", SMALL, "--outcome", "not-airworthy"]).expect(0);
    annual.run(&not_airworthy).tells(0, &["completed, not airworthy"]);
    annual.run(&["show", SMALL]).tells(0, &["discrepancy d1", "crack at the fin root"]);
    annual.run(&["list"]).tells(0, &["not airworthy on"]);
}
