//! Reports, what is carried from one annual to the next, and bringing forward, by the commands alone.

use std::collections::BTreeSet;

use super::refusals::Annual;
use crate::binary::{GLIDER, INSPECTOR, Place, SECOND, SMALL};

const RECORD: &str = "airframes/XX-SM1.toml";

#[test]
fn a_report_is_entered_and_its_steps_are_explained() {
    let place = Place::demo();
    let add = ["report", "add", GLIDER, "--kind", "heavy-landing", "--text", "Came down hard on the slope."];
    place.run(&[&add[..], &["--from", "P. W. (invented)", "--date", "2020-05-01"]].concat()).tells(
        0,
        &["entered as r4", "heavy-landing of 2020-05-01", "module heavy-landing \"", "because its kind is"],
    );
    place
        .run(&["report", "add", GLIDER, "--kind", "tail-nose", "--text", "x"])
        .tells(3, &["did you mean \"tail-noise\"?"]);
    place
        .run(&["report", "add", GLIDER, "--kind", "hail", "--text", " "])
        .tells(3, &["the report says nothing"]);
    place
        .run(&["report", "add", GLIDER, "--kind", "hail", "--text", "x", "--module", "fin-rot"])
        .tells(3, &["no module \"fin-rot\"", "did you mean \"fin-root\"?"]);
    place.run(&["report", "add", "XX-VA8", "--kind", "hail", "--text", "x"]).expect(1);
    place
        .run(&["report", "list", GLIDER])
        .tells(0, &["r4", "Came down hard", "open: it targets the next annual"]);
    place
        .run(&["report", "explain", GLIDER])
        .tells(0, &["fin-root.flex-tailplane-off", "also for r1", "selects no module"]);
    let json = place.run(&["report", "explain", GLIDER, "--json"]).expect(0).json();
    let report =
        json["reports"].as_array().expect("reports").iter().find(|report| report["id"] == "r4").expect("r4");
    assert_eq!(report["modules"][0]["id"], "heavy-landing");
    assert!(report["modules"][0]["steps"].as_array().is_some_and(|steps| !steps.is_empty()));
    // A module named by hand is worked for the report, too.
    place
        .run(&["report", "add", GLIDER, "--kind", "other-report", "--text", "odd", "--module", "hail"])
        .tells(0, &["module hail", "named by hand with the report"]);
}

#[test]
fn a_report_in_a_running_annual_is_offered_and_taken_up_by_the_certifier() {
    let place = Place::begun();
    let add = ["report", "add", GLIDER, "--kind", "hail", "--text", "Hail on the trailer and the wings."];
    let told = place
        .run(&add)
        .tells(0, &["entered as r4", "report r4 came in", "selects hail", "because of r4", "take-up"]);
    assert!(told.out.contains("nothing of it is taken up yet"), "{}", told.out);
    place.run(&["report", "list", GLIDER]).tells(0, &["came in after the plan of the running annual"]);
    place
        .run_by(SECOND, &["take-up", GLIDER, "--why", "x"])
        .tells(3, &["no valid authorisation to release annuals"]);
    place.run(&["take-up", GLIDER, "--why", "hail was reported (invented)"]).tells(0, &["taken up, entry"]);
    place.run(&["show", GLIDER]).tells(0, &["here because of: hail of", "module hail \""]);
    // The last valid authorisation counts: this one has expired.
    place.run_by("edwin-hask", &["set-aside", GLIDER, "r3", "x"]).tells(3, &["no valid authorisation"]);
    place.run_by(INSPECTOR, &["set-aside", GLIDER, "r3", "a loose plug"]).expect(0);
    place.run(&["report", "list", GLIDER]).tells(0, &["set aside by Tamsin Orrel: a loose plug"]);
}

#[test]
fn a_signature_brings_the_record_forward_and_the_next_annual_waits_for_it() {
    let annual = Annual::complete();
    annual.run(&["bring-forward", SMALL]).tells(3, &["the session is not signed"]);
    annual.run(&["sign", SMALL, "release", "--confirm", SMALL]).tells(
        0,
        &["signed off", "the record of XX-SM1 is brought forward", "last annual:", "report r1: dealt with"],
    );
    let record = std::fs::read_to_string(annual.place.path(RECORD)).expect("the record");
    for part in
        ["[[annual]]", "[[earlier_reading]]", "[[compliance]]", "dealt_with = ", "# An invented airframe"]
    {
        assert!(record.contains(part), "{part} is missing in {record}");
    }
    annual.run(&["bring-forward", SMALL]).tells(0, &["already there"]);
    let json = annual.run(&["carried", SMALL, "--json"]).expect(0).json();
    assert_eq!(json["readings"][0]["value"], "0.20");
    assert_eq!(json["reports"].as_array().map(Vec::len), Some(0));
    annual.run(&["carried", SMALL]).tells(0, &["Readings to be set beside", "wing.play play: 0.20 mm"]);

    // As if the record could not be written at the signature.
    let kept = |line: &&str| !line.starts_with("last_annual") && !line.contains("_at_last_annual");
    let head = record.split("[[annual]]").next().expect("what stands before");
    annual.place.write(RECORD, &head.lines().filter(kept).collect::<Vec<_>>().join("\n"));
    annual
        .run(&["begin", SMALL])
        .tells(3, &["was not brought forward", "spanwise bring-forward", "--anyway"]);
    annual.run(&["bring-forward", SMALL]).tells(0, &["is brought forward"]);
    annual.run(&["begin", SMALL]).tells(0, &["4 steps"]);
}

#[test]
fn a_defect_left_open_is_told_everywhere_until_it_is_closed() {
    let place = Place::small();
    place.edit(RECORD, |text| {
        format!(
            "{text}\n[[defect]]\nid = \"old\"\nwhat = \"pin worn\"\ncomponent = \"wing root\"\nseverity = \"minor\"\nstanding = \
             \"deferred\"\nfound = 2020-01-01\nuntil = 2020-06-30\nstep = \"wing.play\"\n\n[[repair]]\nid = \"p1\"\ndate = \
             2099-01-01\nwhat = \"patch\"\n"
        )
    });
    let words = "was deferred until 2020-06-30, which has passed";
    place.run_by("ada", &["begin", SMALL, "--another"]).tells(
        0,
        &["1 defect of the airframe's record", "advice: a repair of 2099-01-01 (\"patch\") has no report"],
    );
    place.run_by("ada", &["list"]).tells(0, &["NOT AIRWORTHY: ", words]);
    let json = place.run_by("ada", &["list", "--json"]).expect(0).json();
    assert!(json["airframes"][0]["grounded"].as_array().is_some_and(|why| !why.is_empty()));
    let grounded: BTreeSet<bool> = json["sessions"]
        .as_array()
        .expect("sessions")
        .iter()
        .map(|session| session["grounded"] == true)
        .collect();
    assert_eq!(
        grounded,
        BTreeSet::from([false, true]),
        "the annual begun before the defect was entered has it not"
    );
    place
        .run_by("ada", &["status", SMALL])
        .tells(3, &["NOT AIRWORTHY: d1 pin worn", words, "not decided at this annual"]);
    place.run_by("ada", &["show", SMALL]).tells(
        0,
        &[
            "NOT AIRWORTHY: ",
            "from the airframe's record (old): found 2020-01-01, deferred until 2020-06-30, OVERDUE",
        ],
    );
    place
        .run_by("ada", &["handover", SMALL, "--defect", "d1"])
        .tells(0, &["from the airframe's record (old)", "OVERDUE"]);
    place
        .run_by("ada", &["carried", SMALL])
        .tells(0, &["Defects that stand open", "old pin worn", "OVERDUE"]);
    place.run_by("ada", &["withdraw", SMALL, "1", "wrong"]).tells(3, &["taking it back would lose it"]);
}
