//! The author's bench on the command line: steps and modules written, a file previewed.

use super::edition::{DRAFT, ISSUED, drafted};
use crate::binary::{GLIDER, Place, contents};

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
    place.run(&["edition", "issue", &draft]).tells(3, &["tail-tick has no step", "edition add-step"]);
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
            "How: lift the tail and shake the wheel sideways. Good: it turns free. Bad: it ticks. Record: what ticks.",
            "--caution",
            "Nobody under the airframe.",
        ])
        .tells(0, &["section = \"tail-tick\"", "basis = [\"common practice\"]"]);
    place.run(&["edition", "issue", &draft]).tells(3, &["about of tail-tick is still to be written"]);
    place.edit("checklists/tail-tick/draft.toml", |text| {
        text.replace("To be written before this edition is issued.", "Invented: the ticking of a tail wheel.")
    });
    let own = |place: &Place| place.run(&["library"]).expect(0).out.contains("tail-tick");
    assert!(!own(&place), "a draft is no edition");
    place.run(&["edition", "issue", &draft]).tells(0, &["the first edition of this checklist"]);
    assert!(own(&place));
    place.run(&["edition", "draft", "tail-tick"]).expect(0);
    let pack = place.beside("tick.pack").to_string_lossy().into_owned();
    place.run(&["pack", "export", &pack, "--only", "tail-tick"]).tells(0, &["pack tick of one edition"]);
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
fn a_step_is_judged_by_the_whole_check_before_it_is_written() {
    let (place, draft) = drafted();
    let before = std::fs::read_to_string(place.path(DRAFT)).expect("a draft");
    let step = |more: &[&str]| {
        let args = ["edition", "add-step", &draft].into_iter().chain(STEP[..10].iter().copied());
        place.run(&args.chain(more.iter().copied()).collect::<Vec<_>>())
    };
    let told = step(&[
        "--basis",
        "43D(x)",
        "--after",
        "fin-root.camera-lef",
        "--configuration",
        "wings=derigged, support=trestles",
    ]);
    told.tells(
        3,
        &[
            "basis-unknown",
            "unknown-step",
            "did you mean \"fin-root.camera-left\"?",
            "impossible-configuration",
            "nothing was written",
        ],
    );
    assert_eq!(std::fs::read_to_string(place.path(DRAFT)).expect("a draft"), before);
    let told = step(&[
        "--basis",
        "43D(g)",
        "--evidence",
        "id=film; kind=film; count=2; what=both sides",
        "--measure",
        "id=push; title=Push; kind=load-deflection; load_unit=N; deflection_unit=mm; directions=left|right; max_load=100; take_up=10",
    ]);
    told.tells(0, &["evidence = [{ id = \"film\"", "count = 2", "take_up = \"10\""]);
}

#[test]
fn what_the_check_calls_an_error_is_neither_previewed_nor_issued() {
    let place = Place::demo();
    place.run(&["edition", "draft", "drovel-2-supplement"]).expect(0);
    let file = "checklists/drovel-2-supplement/draft.toml";
    let step = "[[step]]\nid = \"drovel-2.push\"\nsection = \"drovel-2\"\ntitle = \"Push at the fin top\"\n\
        instruction = \"How: push the fin top to each side. Good: a straight line. Bad: it gives. Record: every level.\"\n\
        caution = \"The type's manual governs.\"\nbasis = [\"common practice\"]\nloads = true\n\n[[step.measure]]\n\
        id = \"push\"\ntitle = \"Push\"\nkind = \"load-deflection\"\nload_unit = \"N\"\ndeflection_unit = \"mm\"\n\
        directions = [\"left\", \"right\"]\nmax_load = \"150\"\n\n";
    let marker = "# Tightened programme steps.";
    place.edit(file, |text| text.replacen(marker, &format!("{step}{marker}"), 1));
    let draft = place.path(file).to_string_lossy().into_owned();
    let ceiling = ["load-above-ceiling", "150 N is above the type's ceiling of 120 N"];
    place.run(&["edition", "preview", &draft]).tells(3, &ceiling);
    place.run(&["edition", "issue", &draft]).tells(1, &ceiling);
    assert!(place.path(file).exists() && !place.path("checklists/issued.toml").exists());
    place.edit(file, |text| text.replacen("max_load = \"150\"", "max_load = \"120\"", 1));
    place.run(&["edition", "issue", &draft]).tells(0, &["issued: drovel-2-supplement 1.3.0"]);
}
