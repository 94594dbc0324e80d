//! Composing errors point at file and line, name what is wrong and what to do.

mod support;

use spanwise::checklist::Library;
use support::{AIRFRAME, MODULE, PROGRAMME, SUPPLEMENT, compose_with, source, texts};

fn faults(programme: &str, supplements: &[(&str, &str)], module: &str, airframe: &str) -> String {
    let mut sources = vec![source("small", "1.0.0", programme), source("tail", "1.0.0", module)];
    sources.extend(supplements.iter().map(|(id, text)| source(id, "1.0.0", text)));
    match compose_with(&Library::read(&sources), airframe) {
        Ok(_) => panic!("composed without a fault"),
        Err(faults) => texts(&faults),
    }
}

fn with_supplement(change: &str) -> String {
    faults(PROGRAMME, &[("ostrel-supplement", &format!("{SUPPLEMENT}{change}"))], MODULE, AIRFRAME)
}

/// 1-based line of the first occurrence.
fn line_of(text: &str, needle: &str) -> usize {
    let at = text.find(needle).unwrap_or_else(|| panic!("{needle} is not in the text"));
    text[..at].matches('\n').count() + 1
}

fn assert_at(found: &str, file: &str, line: usize, words: &[&str]) {
    assert!(found.contains(&format!("{file}:{line}:")), "wanted {file}:{line} in\n{found}");
    for word in words {
        assert!(found.contains(word), "wanted \"{word}\" in\n{found}");
    }
}

#[test]
fn the_plan_holds_what_the_reports_select_and_says_why() {
    let plan = support::small_plan();
    let flex = plan.step("tail.flex").unwrap_or_else(|| panic!("no targeted step"));
    assert_eq!(flex.because, ["r1"]);
    assert_eq!(flex.origin.checklist, "tail");
    assert!(plan.step("oxygen.bottle").is_some());
    let without = AIRFRAME.replace("kind = \"odd-yaw\"", "kind = \"radio-fault\"");
    let plan = compose_with(&support::small_library(), &without)
        .unwrap_or_else(|faults| panic!("{}", texts(&faults)));
    assert!(plan.step("tail.flex").is_none());
}

#[test]
fn the_same_input_gives_the_same_hash_and_the_plan_survives_its_bytes() {
    let bytes = |plan: &spanwise::plan::Plan| plan.to_bytes().unwrap_or_else(|error| panic!("{error}"));
    let (one, two) = (support::small_plan(), support::small_plan());
    assert_eq!(bytes(&one), bytes(&two));
    let read = spanwise::plan::Plan::from_bytes(&bytes(&one)).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(bytes(&read), bytes(&one), "a plan read back hashes to the same");
    let other = AIRFRAME.replace("1200.5", "1200.50");
    let plan =
        compose_with(&support::small_library(), &other).unwrap_or_else(|faults| panic!("{}", texts(&faults)));
    assert_ne!(bytes(&plan), bytes(&one), "a trailing zero is kept as typed");
}

#[test]
fn an_unknown_step_is_named_with_a_suggestion() {
    let module = MODULE.replace("after = [\"prep.clean\"]", "after = [\"prep.claen\"]");
    let found = faults(PROGRAMME, &[("ostrel-supplement", SUPPLEMENT)], &module, AIRFRAME);
    assert_at(
        &found,
        "tail/1.0.0.toml",
        line_of(&module, "prep.claen"),
        &["prep.claen", "did you mean \"prep.clean\"?"],
    );
}

#[test]
fn a_circle_is_told_step_by_step() {
    let programme = PROGRAMME.replace("basis = [\"43D(a)\"]", "basis = [\"43D(a)\"]\nafter = [\"fin.look\"]");
    let found = faults(&programme, &[("ostrel-supplement", SUPPLEMENT)], MODULE, AIRFRAME);
    assert!(
        found.contains("circular-dependency") && found.contains("prep.clean after fin.look after prep.clean"),
        "{found}"
    );
    assert_at(&found, "small/1.0.0.toml", line_of(&programme, "after = [\"prep.clean\"]"), &[]);
}

#[test]
fn a_long_circle_over_several_files_is_found() {
    let programme =
        PROGRAMME.replace("basis = [\"43D(a)\"]", "basis = [\"43D(a)\"]\nafter = [\"tail.flex\"]");
    let found = faults(&programme, &[("ostrel-supplement", SUPPLEMENT)], MODULE, AIRFRAME);
    assert!(found.contains("circular-dependency"), "{found}");
}

#[test]
fn two_supplements_that_fight_over_one_limit() {
    let tighten = |max: &str| {
        format!(
            "\n[[tighten]]\nstep = \"wing.play\"\nmeasure = \"play\"\nmax = \"{max}\"\nlimit_source = \"x\"\nreason = \"y\"\n"
        )
    };
    let one = format!("{SUPPLEMENT}{}", tighten("0.3"));
    let two = format!("{}{}", SUPPLEMENT.replace("ostrel-supplement", "ostrel-fleet"), tighten("0.2"));
    let found = faults(PROGRAMME, &[("ostrel-supplement", &one), ("ostrel-fleet", &two)], MODULE, AIRFRAME);
    assert_at(
        &found,
        "ostrel-supplement/1.0.0.toml",
        line_of(&one, "step = \"wing.play\""),
        &["supplements-fight", "ostrel-fleet"],
    );
}

#[test]
fn one_supplement_withdraws_what_another_tightens() {
    let one = format!("{SUPPLEMENT}\n[[withdraw]]\nstep = \"wing.play\"\nreason = \"bonded\"\n");
    let two = format!(
        "{}\n[[tighten]]\nstep = \"wing.play\"\nmandatory = true\nreason = \"y\"\n",
        SUPPLEMENT.replace("ostrel-supplement", "ostrel-fleet")
    );
    let found = faults(PROGRAMME, &[("ostrel-supplement", &one), ("ostrel-fleet", &two)], MODULE, AIRFRAME);
    assert!(found.contains("supplements-fight"), "{found}");
}

#[test]
fn a_version_that_is_not_satisfied_says_what_is_at_hand() {
    let supplement = SUPPLEMENT.replace("small = \"^1.0\"", "small = \"^2.0\"");
    let found = faults(PROGRAMME, &[("ostrel-supplement", &supplement)], MODULE, AIRFRAME);
    assert_at(
        &found,
        "ostrel-supplement/1.0.0.toml",
        line_of(&supplement, "small = "),
        &["version-not-satisfied", "1.0.0"],
    );
}

#[test]
fn a_tightening_of_an_unknown_measure_or_step() {
    let found = with_supplement(
        "\n[[tighten]]\nstep = \"wing.play\"\nmeasure = \"paly\"\nmax = \"1\"\nlimit_source = \"x\"\nreason = \"y\"\n",
    );
    assert!(found.contains("unknown-measure") && found.contains("did you mean \"play\"?"), "{found}");
    let found = with_supplement("\n[[tighten]]\nstep = \"wing.pley\"\nmandatory = true\nreason = \"y\"\n");
    assert!(found.contains("unknown-step") && found.contains("did you mean \"wing.play\"?"), "{found}");
}

#[test]
fn a_supplement_cannot_loosen() {
    let found = with_supplement("\n[[tighten]]\nstep = \"wing.play\"\nmandatory = false\nreason = \"y\"\n");
    assert!(found.contains("tightening-loosens"), "{found}");
}

#[test]
fn a_tightening_applies_and_leaves_its_trace() {
    let supplement = format!(
        "{SUPPLEMENT}\n[[tighten]]\nstep = \"wing.play\"\nmeasure = \"play\"\nnominal = \"0.20\"\ntolerance = \"0.10\"\nlimit_source = \"manual\"\nreason = \"worn pins\"\n[[withdraw]]\nstep = \"oxygen.bottle\"\nreason = \"never fitted to this type\"\n"
    );
    let library = Library::read(&[
        source("small", "1.0.0", PROGRAMME),
        source("ostrel-supplement", "1.0.0", &supplement),
        source("tail", "1.0.0", MODULE),
    ]);
    let plan = compose_with(&library, AIRFRAME).unwrap_or_else(|faults| panic!("{}", texts(&faults)));
    let play = plan.step("wing.play").unwrap_or_else(|| panic!("gone"));
    assert_eq!(play.step.measures[0].limit_words().as_deref(), Some("0.10 to 0.30 mm"));
    assert_eq!(play.changes[0].reason, "worn pins");
    assert_eq!(plan.withdrawn[0].id, "oxygen.bottle");
}

#[test]
fn an_unknown_type_points_into_the_airframe_record() {
    let airframe = AIRFRAME.replace("type = \"ostrel\"", "type = \"ostrl\"");
    let found = faults(PROGRAMME, &[("ostrel-supplement", SUPPLEMENT)], MODULE, &airframe);
    assert_at(&found, "airframes/ZZ-01.toml", 3, &["did you mean \"ostrel\"?"]);
}

#[test]
fn every_fault_of_a_file_comes_in_one_pass_and_in_order() {
    let bad = PROGRAMME
        .replace("title = \"A small programme\"", "titel = \"Zürich\"")
        .replace("mandatory = true", "")
        .replace("unit = \"mm\"", "unit = \"milimetre\"")
        .replace("max = \"0.50\"", "max = 0.5")
        .replace("tailplane = \"off\"", "tailplane = \"half\"");
    let found = faults(&bad, &[("ostrel-supplement", SUPPLEMENT)], MODULE, AIRFRAME);
    let lines: Vec<&str> = found.lines().filter(|line| line.starts_with("small/")).collect();
    assert_eq!(lines.len(), 4, "one message each, no follow-on noise:\n{found}");
    assert!(lines[0].contains("\"titel\"") && lines[0].contains("did you mean \"title\"?"));
    assert!(lines[1].contains("\"half\""));
    assert!(lines[2].contains("milimetre"));
    assert!(lines[3].contains("in quotes"));
}

#[test]
fn broken_toml_is_pointed_at() {
    let bad = PROGRAMME.replace("kind = \"programme\"", "kind = \"programme");
    let found = faults(&bad, &[("ostrel-supplement", SUPPLEMENT)], MODULE, AIRFRAME);
    assert!(found.contains("small/1.0.0.toml:3:"), "{found}");
}

#[test]
fn a_file_that_does_not_stand_where_it_says() {
    let sources = [source("small", "1.0.1", PROGRAMME)];
    let library = Library::read(&sources);
    assert!(texts(&library.faults).contains("small/1.0.0.toml"), "{}", texts(&library.faults));
}
