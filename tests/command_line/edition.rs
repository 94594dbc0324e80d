//! The author's bench on the command line: compare, draft, issue, list; an issued edition is never edited.

use crate::binary::{GLIDER, INSPECTOR, Place, contents};

const DRAFT: &str = "checklists/fin-root/draft.toml";
const ISSUED: &str = "checklists/fin-root/1.1.0.toml";
const REGISTER: &str = "checklists/issued.toml";
const BUILT_IN: &str = include_str!("../../checklists/fin-root/1.0.0.toml");

/// A demo hangar with a draft of fin-root whose ceiling of the load is lower.
fn drafted() -> (Place, String) {
    let place = Place::demo();
    place.run(&["edition", "draft", "fin-root"]).tells(0, &["draft:", "takes part in no plan"]);
    place.edit(DRAFT, |text| text.replacen("max_load = \"15\"", "max_load = \"14\"", 1));
    let path = place.path(DRAFT).to_string_lossy().into_owned();
    (place, path)
}

fn issued() -> Place {
    let (place, draft) = drafted();
    place.run(&["edition", "issue", &draft]).tells(0, &["issued: fin-root 1.1.0", "sha256", "minor step"]);
    place
}

#[test]
fn two_editions_are_compared_in_words_and_json() {
    let place = Place::demo();
    let (old, new) = ("varn-15-supplement@1.0.0", "varn-15-supplement@1.1.0");
    place
        .run(&["edition", "compare", old, new])
        .tells(0, &["hidden item fin-rib-2", "added", "demands a minor step: 1.0.0 to 1.1.0"]);
    let json = place.run(&["edition", "compare", old, new, "--json"]).expect(0).json();
    assert_eq!((json["demands"].as_str(), json["least_version"].as_str()), (Some("minor"), Some("1.1.0")));
    place.run(&["edition", "compare", "varn-15-supplement"]).tells(0, &["old: varn-15-supplement 1.0.0"]);
    place.run(&["edition", "compare", old, old]).tells(0, &["No difference"]);
    place.run(&["edition", "compare", "fin-rot"]).tells(1, &["did you mean \"fin-root\"?"]);
    place.run(&["edition", "compare", "fin-root@9.0.0", old]).tells(1, &["at hand: 1.0.0"]);
    place.run(&["edition", "compare", "fin-root@x", old]).tells(3, &["is no version"]);
    place.run(&["edition", "compare", "fin-root"]).tells(1, &["no edition of fin-root below 1.0.0"]);
}

#[test]
fn a_draft_keeps_every_other_byte_and_is_in_no_plan() {
    let place = Place::demo();
    place.run(&["edition", "draft", "fin-root"]).expect(0);
    let text = std::fs::read_to_string(place.path(DRAFT)).expect("a draft");
    let other: Vec<(&str, &str)> = BUILT_IN.lines().zip(text.lines()).filter(|(a, b)| a != b).collect();
    assert!(
        matches!(other[..], [(_, "version = \"1.1.0\""), (_, issued)] if issued.starts_with("issued = ")),
        "{other:?}"
    );
    assert_eq!(BUILT_IN.lines().count(), text.lines().count());
    let before = place.run(&["plan", GLIDER]).expect(0).out;
    assert!(before.contains("module fin-root 1.0.0"), "{before}");
    place.run(&["edition", "draft", "fin-root"]).tells(3, &["there is a draft of fin-root already"]);
    // Not even a broken one keeps anybody from beginning an annual.
    place.write(DRAFT, "no checklist");
    assert_eq!(place.run(&["plan", GLIDER]).expect(0).out, before);
    place.run(&["edition", "list", "fin-root"]).tells(0, &["cannot be read"]);
}

#[test]
fn an_edition_is_issued_byte_for_byte_and_entered() {
    let (place, draft) = drafted();
    let text = std::fs::read(place.path(DRAFT)).expect("a draft");
    place.run(&["edition", "issue", &draft]).tells(0, &["issued: fin-root 1.1.0", "tightened"]);
    assert_eq!(std::fs::read(place.path(ISSUED)).expect("issued"), text);
    assert!(!place.path(DRAFT).exists());
    let register = std::fs::read_to_string(place.path(REGISTER)).expect("a register");
    assert!(register.contains("id = \"fin-root\"") && register.contains(INSPECTOR), "{register}");
    place.run(&["plan", GLIDER]).tells(0, &["module fin-root 1.1.0"]);
    place.run(&["edition", "list", "fin-root"]).tells(0, &["1.1.0    as issued"]);
    let json = place.run(&["edition", "list", "--json"]).expect(0).json();
    assert_eq!(json["faults"].as_array().map(Vec::len), Some(0));
    let folder = place.path("checklists").to_string_lossy().into_owned();
    place.run(&["check", &folder]).tells(0, &["no fault found"]);
}

#[test]
fn nothing_is_issued_with_too_small_a_step_or_without_a_change() {
    let (place, draft) = drafted();
    let before = contents(&place.root());
    place
        .run(&["edition", "issue", &draft, "--version", "1.0.1"])
        .tells(3, &["is a patch step", "demands a minor one", "load at most 14 kgf", "--version 1.1.0"]);
    place.run(&["edition", "issue", &draft, "--version", "1.0.0"]).tells(3, &["built into the program"]);
    place.run(&["edition", "issue", &draft, "--version", "1.1.0-rc1"]).tells(3, &["three numbers"]);
    assert_eq!(contents(&place.root()), before, "a refusal wrote something");
    place.edit(DRAFT, |text| text.replacen("max_load = \"14\"", "max_load = \"16\"", 1));
    place.run(&["edition", "issue", &draft]).tells(3, &["a minor step", "demands a major one", "loosened"]);
    place.edit(DRAFT, |text| text.replacen("max_load = \"16\"", "max_load = \"15\"", 1));
    place.run(&["edition", "issue", &draft]).tells(3, &["says the same as fin-root 1.0.0"]);
    place.edit(DRAFT, |text| text.replacen("\ntitle =", "\ntitel =", 1));
    place.run(&["edition", "issue", &draft]).tells(1, &["did you mean \"title\"?", "draft.toml:5:1"]);
    assert!(!place.path(REGISTER).exists() && !place.path(ISSUED).exists());
}

#[test]
fn what_would_break_a_plan_is_not_issued() {
    let (place, draft) = drafted();
    place.edit(DRAFT, |text| text.replacen("section = \"fin-root\"", "section = \"fin-rot\"", 1));
    place.run(&["edition", "issue", &draft]).tells(1, &["the section \"fin-rot\" does not exist"]);
    // A programme that lost a step which a supplement tightens: the fault is the supplement's.
    place.run(&["edition", "draft", "composite-sailplane", "--version", "1.1.0"]).expect(0);
    let programme = "checklists/composite-sailplane/draft.toml";
    place.edit(programme, |text| text.replace("\"wing.pins-play\"", "\"wing.pin-play\""));
    let path = place.path(programme).to_string_lossy().into_owned();
    place.run(&["edition", "issue", &path, "--version", "1.2.0"]).tells(3, &["demands a major one"]);
    place.run(&["edition", "issue", &path, "--version", "2.0.0"]).tells(1, &["^1.0"]);
}

#[test]
fn an_edited_edition_is_refused_by_every_plan_until_it_is_put_back() {
    let place = issued();
    let whole = std::fs::read_to_string(place.path(ISSUED)).expect("issued");
    place.edit(ISSUED, |text| format!("{text}\n"));
    let told =
        ["fin-root/1.1.0.toml was altered after it was issued", "its sha256 is", "and was", "never edited"];
    place.run(&["edition", "list"]).tells(4, &told);
    for args in [&["plan", GLIDER][..], &["begin", GLIDER]] {
        place.run(args).tells(1, &told);
    }
    place.run(&["list"]).tells(0, &told[..1]);
    place.write(ISSUED, &whole);
    place.run(&["plan", GLIDER]).expect(0);
    std::fs::remove_file(place.path(ISSUED)).expect("removed");
    place.run(&["edition", "list"]).tells(4, &["fin-root/1.1.0.toml was issued on", "missing"]);
    place.run(&["plan", GLIDER]).tells(1, &["missing"]);
}

#[test]
fn an_issue_that_was_cut_off_is_finished_by_doing_it_again() {
    let (place, draft) = drafted();
    // The power went after the edition's file was written and before its entry was.
    std::fs::copy(place.path(DRAFT), place.path(ISSUED)).expect("copied");
    place.run(&["edition", "list", "fin-root"]).tells(0, &["not in the register"]);
    place.run(&["edition", "issue", &draft]).tells(0, &["issued: fin-root 1.1.0"]);
    place.run(&["edition", "list", "fin-root"]).tells(0, &["1.1.0    as issued"]);
    // With another content it is another edition.
    place.run(&["edition", "draft", "fin-root", "--version", "1.1.0"]).expect(0);
    place.run(&["edition", "issue", &draft]).tells(3, &["was issued on", "never edited"]);
}

#[test]
fn coverage_of_a_plan_a_session_and_a_checklist() {
    let place = Place::begun();
    let plan = place.run(&["coverage", GLIDER]).expect(0).out;
    place.run(&["coverage", GLIDER]).tells(
        0,
        &[
            "43D(c)(2)",
            "harness.webbing",
            "withdrawn by varn-15-supplement",
            "only if fitted",
            "0 NOT COVERED",
        ],
    );
    let folder = place.session_folder(GLIDER);
    let sid = folder.file_name().and_then(|name| name.to_str()).expect("an id");
    let of_session = place.run(&["coverage", sid]).expect(0).out;
    let body = |text: &str| text.split_once('\n').map(|(_, rest)| rest.to_string());
    assert_eq!(body(&of_session), body(&plan));
    place.run(&["coverage", "--checklist", "fin-root"]).tells(0, &["module fin-root 1.0.0", "NOT COVERED"]);
    let rows = place.run(&["coverage", "--csv"]).expect(0).out;
    let mut reader = csv::Reader::from_reader(rows.as_bytes());
    let lines: Vec<csv::StringRecord> = reader.records().collect::<Result<_, _>>().expect("CSV");
    assert!(
        lines
            .iter()
            .any(|line| &line[1] == "43D(a)" && &line[6] == "preparation.clean" && &line[4] == "seen")
    );
    let json = place.run(&["coverage", GLIDER, "--json"]).expect(0).json();
    assert_eq!(json["whole"], true);
    place.run(&["coverage", "nowhere"]).tells(1, &["neither an airframe nor a session"]);
}

#[test]
fn coverage_tells_what_an_own_programme_leaves_out() {
    let place = Place::demo();
    place.run(&["edition", "draft", "composite-sailplane"]).expect(0);
    let programme = "checklists/composite-sailplane/draft.toml";
    place.edit(programme, |text| {
        text.replace("\"43D(c)(2)\", ", "").replace("\"43D(c)(2)\"", "\"common practice\"")
    });
    let path = place.path(programme).to_string_lossy().into_owned();
    place.run(&["coverage", "--checklist", &path]).tells(3, &["1 NOT COVERED: 43D(c)(2)"]);
}

/// Arguments of a whole step.
const STEP: &[&str] = &[
    "--section",
    "fin-root",
    "--id",
    "fin-root.drain",
    "--title",
    "Drain hole of the fin",
    "--instruction",
    "How: look and feel.\nGood: open.\nBad: \"blocked\" \\ dirty.",
    "--basis",
    "common practice",
    "--configuration",
    "tailplane=off",
    "--measure",
    "id=bore; title=Bore; kind=number; unit=mm; min=4; limit_source=common practice, no source",
];

#[test]
fn a_step_is_added_and_every_other_byte_stays() {
    let (place, draft) = drafted();
    let before = std::fs::read_to_string(place.path(DRAFT)).expect("a draft");
    let args: Vec<&str> = ["edition", "add-step", &draft].into_iter().chain(STEP.iter().copied()).collect();
    place.run(&args).tells(0, &["[[step]]", "written at", "draft.toml:"]);
    let after = std::fs::read_to_string(place.path(DRAFT)).expect("a draft");
    let at = after.find("\n[[step]]\nid = \"fin-root.drain\"").expect("the step stands in the file");
    let more = after.len() - before.len();
    assert_eq!(format!("{}{}", &after[..at], &after[at + more..]), before, "more than the step changed");
    place
        .run(&["edition", "compare", &draft])
        .tells(0, &["step fin-root.drain", "new step in section fin-root"]);
    place
        .run(&["edition", "preview", &draft])
        .tells(0, &["» Drain hole of the fin", "at least 4 mm", "\"blocked\" \\ dirty."]);
    // Once more it is a second one of the same id.
    place.run(&args).tells(3, &["there is a step \"fin-root.drain\" already"]);
    assert_eq!(std::fs::read_to_string(place.path(DRAFT)).expect("a draft"), after);
}

#[test]
fn a_faulty_step_is_not_written_and_an_issued_file_is_not_touched() {
    let (place, draft) = drafted();
    let before = contents(&place.root());
    let long = "A title that goes on and on far beyond what fits on one line of a worksheet";
    let with = |file: &str, more: &[&str]| {
        let args = ["edition", "add-step", file].into_iter().chain(STEP.iter().copied());
        let args: Vec<String> = args.chain(more.iter().copied()).map(str::to_string).collect();
        // A flag given twice would be a mistake of the command line: the later one stands for the earlier.
        let mut kept: Vec<String> = Vec::new();
        for arg in args {
            if arg.starts_with("--")
                && let Some(at) = kept.iter().position(|known| *known == arg)
            {
                kept.drain(at..at + 2);
            }
            kept.push(arg);
        }
        place.run(&kept.iter().map(String::as_str).collect::<Vec<_>>())
    };
    with(&draft, &["--title", long]).tells(3, &["--title: the title has"]);
    with(&draft, &["--measure", "id=x; titel=X"]).tells(3, &["did you mean \"title\"?"]);
    with(&draft, &["--measure", "id=x; title=X; kind=number; unit=mm; max=3"])
        .tells(3, &["without its source", "nothing was written", "id = \"fin-root.drain\""]);
    with(&draft, &["--configuration", "wings=riged"]).tells(3, &["rigged, derigged"]);
    with(&draft, &["--loads"]).tells(2, &["--caution is missing"]);
    place.run(&["edition", "add-step", &draft]).tells(2, &["--id is missing"]);
    assert_eq!(contents(&place.root()), before);
    place.run(&["edition", "issue", &draft]).expect(0);
    let issued = place.path(ISSUED).to_string_lossy().into_owned();
    let whole = contents(&place.root());
    with(&issued, &[])
        .tells(3, &["never edited", "make a draft first", "spanwise edition draft fin-root@1.1.0"]);
    assert_eq!(contents(&place.root()), whole);
}

#[test]
fn a_new_module_is_written_filled_issued_and_selected() {
    let place = Place::demo();
    let new = ["edition", "new-module", "tail-tick", "--title", "Ticking tail", "--report", "tail-noise"];
    place.run(&new).tells(0, &["draft:"]);
    place.run(&new).tells(3, &["there is a draft already"]);
    place
        .run(&["edition", "new-module", "fin-root", "--title", "x", "--report", "tail-noise"])
        .tells(3, &["fin-root 1.0.0 already"]);
    place
        .run(&["edition", "new-module", "x", "--title", "x", "--report", "tail-nois"])
        .tells(3, &["did you mean \"tail-noise\"?"]);
    let draft = place.path("checklists/tail-tick/draft.toml").to_string_lossy().into_owned();
    place
        .run(&[
            "edition",
            "add-step",
            &draft,
            "--id",
            "tail-tick.axle",
            "--title",
            "Axle",
            "--instruction",
            "How: shake it.",
        ])
        .tells(0, &["section = \"tail-tick\"", "basis = [\"common practice\"]"]);
    place.run(&["edition", "issue", &draft]).tells(0, &["the first edition of this checklist"]);
    place.run(&["plan", GLIDER]).tells(0, &["module tail-tick 1.0.0", "tail-tick/1.0.0.toml:"]);
}

#[test]
fn a_preview_shows_the_worksheet_or_the_faults() {
    let (place, draft) = drafted();
    place
        .run(&["edition", "preview", &draft])
        .tells(0, &["PREVIEW of fin-root 1.1.0", "an invented airframe", "Records  0/"]);
    place
        .run(&["edition", "preview", &draft, "--airframe", GLIDER])
        .tells(0, &["PREVIEW of fin-root 1.1.0 on XX-VA7", "» "]);
    // This airframe has no report that selects the module.
    place.run(&["edition", "preview", &draft, "--airframe", "XX-VA3"]).tells(0, &["takes no part"]);
    place.run(&["edition", "preview", &draft, "--watch"]).tells(2, &["terminal"]);
    place.run(&["edition", "preview", &draft, "--airframe", "XX-VA8"]).tells(1, &["did you mean"]);
    place.edit(DRAFT, |text| text.replacen("section = \"fin-root\"", "section = \"fin-rot\"", 1));
    place
        .run(&["edition", "preview", &draft])
        .tells(3, &["draft.toml:", "fin-rot", "^", "did you mean \"fin-root\"?"]);
    place.run(&["edition", "preview", "nowhere.toml"]).tells(1, &["nowhere.toml", "cannot be read"]);
}

#[test]
fn a_plan_tells_the_line_of_each_step_and_of_what_a_supplement_changed() {
    let place = Place::demo();
    let plan = place.run(&["plan", GLIDER, "--json"]).expect(0).json();
    let supplement: Vec<&str> =
        include_str!("../../checklists/varn-15-supplement/1.1.0.toml").lines().collect();
    let line = |value: &serde_json::Value| {
        let line = value["line"].as_u64().expect("a line");
        supplement[usize::try_from(line).expect("small") - 1]
    };
    let mut changes = 0;
    for step in plan["steps"].as_array().expect("steps") {
        for change in step["changes"].as_array().expect("changes") {
            assert_eq!(line(change), format!("step = {}", step["id"]));
            changes += 1;
        }
    }
    assert!(changes > 20, "{changes}");
    for step in plan["withdrawn"].as_array().expect("withdrawn") {
        assert_eq!(line(step), format!("step = {}", step["id"]));
    }
    place.run(&["plan", GLIDER]).tells(
        0,
        &["changed by varn-15-supplement/1.1.0.toml:", "withdrawn by varn-15-supplement/1.1.0.toml:"],
    );
}
