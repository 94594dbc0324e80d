//! `[[step]]` and what stands in it.

use super::checklist::words;
use super::{Form, Key, Shape, key};
use crate::checklist::{EvidenceKind, Guard, LaidOpen, Severity, read, read_measure};
use crate::vocabulary::{COMPUTATIONS, EQUIPMENT, OCCURRENCES, REPORTS};

pub static STEP: Shape = Shape {
    name: "step",
    heading: "`[[step]]`",
    what: "a step",
    about: mark!("One thing to do and to answer: passed, failed, or not applicable where that is allowed."),
    keys: STEP_KEYS,
    count: None,
};

const STEP_KEYS: &[Key] = &[
    key(
        "id",
        Form::Id { dots: true },
        mark!("Stays the same through all editions: records, tightenings and comparisons name it."),
        "\"tail.flex\"",
    )
    .required(),
    key("section", Form::Text, mark!("Id of a section, of this file or of the programme."), "\"tail\"")
        .required(),
    key(
        "title",
        Form::Line(read::TITLE_LIMIT),
        mark!("What is done, in a line."),
        "\"Flex the fin sideways\"",
    )
    .required(),
    key(
        "instruction",
        Form::Text,
        mark!("How to look, what good and bad look like, what to record."),
        "\"Push the fin top to each side and watch the skin.\"",
    )
    .required(),
    key(
        "caution",
        Form::Text,
        mark!("The danger; demanded where the step loads the structure. It defers to the type's manual."),
        "\"The type's manual governs the load.\"",
    ),
    key("mandatory", Form::Flag, mark!("Open, it stands against the sign-off."), "false").default("true"),
    key(
        "may_be_not_applicable",
        Form::Flag,
        mark!("It may be answered \"not applicable\", with a reason."),
        "true",
    )
    .default("false"),
    key(
        "basis",
        Form::Texts(0, usize::MAX),
        mark!("Ids of the rules that it answers, or \"common practice\"."),
        "[\"43D(f)\", \"common practice\"]",
    )
    .default("[]"),
    key(
        "configuration",
        Form::Configuration,
        mark!("How the airframe must stand."),
        "{ tailplane = \"off\" }",
    )
    .default("{}"),
    key("after", Form::Texts(0, usize::MAX), mark!("Steps that are answered before it."), "[\"prep.clean\"]")
        .default("[]"),
    key("last", Form::Flag, mark!("It comes after every step that is not last itself."), "true")
        .default("false"),
    key(
        "looks_at",
        Form::Words(|| LaidOpen::ALL.iter().map(|place| place.word()).collect()),
        mark!("Places that only some configuration lays open; the check holds `configuration` to them."),
        "[\"tailplane-fittings\"]",
    )
    .default("[]"),
    key("people", Form::Whole(1), mark!("Hands that it needs."), "2").default("1").unit(mark!("people")),
    key("minutes", Form::Whole(0), mark!("Time that it takes; for the hangar order, never a demand."), "15")
        .default("5")
        .unit("min"),
    key("kit", Form::Texts(0, usize::MAX), mark!("What must be at hand."), "[\"spring balance\"]")
        .default("[]"),
    key("loads", Form::Flag, mark!("The structure is loaded; a caution is then demanded."), "true")
        .default("false"),
    key("independent", Form::Flag, mark!("A second person inspects it independently."), "true")
        .default("false"),
    key(
        "when",
        Form::Tables(&CONDITION),
        mark!("The step applies where all of these hold."),
        "[{ equipment = \"flaps\" }]",
    )
    .default("[]"),
    key(
        "evidence",
        Form::Tables(&EVIDENCE),
        mark!("Files that are demanded."),
        "[{ id = \"photo\", kind = \"photo\", what = \"the fin root\" }]",
    )
    .default("[]"),
    key(
        "measure",
        Form::Tables(&MEASURE),
        mark!("What is measured."),
        "[{ id = \"note\", title = \"Remark\", kind = \"text\" }]",
    )
    .default("[]"),
    key(
        "on_failure",
        Form::Table(&ON_FAILURE),
        mark!("What a failure usually means."),
        "{ severity = \"grounding\" }",
    ),
];

static CONDITION: Shape = Shape {
    name: "condition",
    heading: "`[[step.when]]`",
    what: "a condition",
    about: mark!("One row, one key: `when = [{ … }, { … }]`."),
    keys: &[
        key("equipment", Form::Word(|| EQUIPMENT.to_vec()), mark!("The airframe carries it."), "\"flaps\""),
        key(
            "without_equipment",
            Form::Word(|| EQUIPMENT.to_vec()),
            mark!("The airframe does not carry it."),
            "\"flaps\"",
        ),
        key("build_standard", Form::Text, mark!("The airframe has this build standard."), "\"BS-2\""),
        key(
            "without_build_standard",
            Form::Text,
            mark!("The airframe has another build standard."),
            "\"BS-2\"",
        ),
        key("hours_at_least", Form::Number, mark!("Flown so long."), "\"3000\"").unit("h"),
        key("launches_at_least", Form::Whole(0), mark!("Launched so often."), "5000").unit(mark!("launches")),
        key(
            "report",
            Form::Word(|| words(REPORTS)),
            mark!("A report of this kind is there."),
            "\"tail-noise\"",
        ),
        key(
            "occurrence",
            Form::Word(|| words(OCCURRENCES)),
            mark!("An occurrence of this kind is there."),
            "\"ground-loop\"",
        ),
        key(
            "any",
            Form::Tables(&CONDITION),
            mark!("At least one of these holds."),
            "[{ equipment = \"flaps\" }, { report = \"vibration\" }]",
        ),
    ],
    count: Some((1, 1)),
};

static EVIDENCE: Shape = Shape {
    name: "evidence",
    heading: "`[[step.evidence]]`",
    what: "an evidence demand",
    about: mark!("A file that the record must hold before the sign-off."),
    keys: &[
        key("id", Form::Text, mark!("Named when the file is taken in."), "\"photo\"").required(),
        key("kind", Form::Word(|| words(&EvidenceKind::WORDS)), mark!("What kind of file."), "\"film\"")
            .required(),
        key("what", Form::Text, mark!("What it must show."), "\"the fin root while it is flexed\"")
            .required(),
        key("count", Form::Whole(1), mark!("How many."), "2").default("1").unit(mark!("files")),
    ],
    count: None,
};

static ON_FAILURE: Shape = Shape {
    name: "on_failure",
    heading: "`[step.on_failure]`",
    what: "on_failure",
    about: mark!("A hint for the inspector, never a verdict."),
    keys: &[
        key(
            "severity",
            Form::Word(|| words(&Severity::WORDS)),
            mark!("How bad a defect found here usually is."),
            "\"major\"",
        )
        .required(),
        key("hint", Form::Text, mark!("What to think of."), "\"Look at the ribs ahead of the cut-out.\""),
        key("follow", Form::Texts(0, usize::MAX), mark!("Steps worth pulling forward."), "[\"boom.tap\"]")
            .default("[]"),
        key("may_defer", Form::Flag, mark!("Such a defect may be deferred with a limit."), "true")
            .default("false"),
    ],
    count: None,
};

static MEASURE: Shape = Shape {
    name: "measure",
    heading: "`[[step.measure]]`",
    what: "a measurement",
    about: mark!(
        "What is read and judged. Limits stand as `min` and `max`, or as `nominal` and `tolerance`, and say where they come from."
    ),
    keys: MEASURE_KEYS,
    count: None,
};

const LIMITS: &[&str] = &["number", "pair"];
const SERIES: &[&str] = &["load-deflection"];
const SOURCE: &[&str] = &["limit_source"];

const MEASURE_KEYS: &[Key] = &[
    key("id", Form::Text, mark!("Named when it is read; one of its kind in the step."), "\"play\"").required(),
    key("title", Form::Text, mark!("What is read."), "\"Play of the lift pin\"").required(),
    key("kind", Form::Word(|| words(read_measure::KINDS)), mark!("What a reading is: one number; left and right; a count; a choice; a text; a date; a load–deflection series; a table judged by a computation."), "\"number\"").required(),
    key("readings", Form::Whole(0), mark!("How many are demanded; judged by their mean. 0 counts as 1."), "3").default("1").unit(mark!("readings")),
    key("instrument", Form::Flag, mark!("The instrument must be named, and in calibration on the day."), "true").default("false"),
    key("demanded", Form::Flag, mark!("Missing, it stands against the sign-off."), "false").default("true"),
    key("guard", Form::Word(|| words(&Guard::WORDS)), mark!("Decision rule at a limit once the instrument's uncertainty is known."), "\"expanded-2\"").default("\"conformance-95\""),
    key("limit_source", Form::Text, mark!("Manual and chapter, or \"common practice, no source\"; demanded beside a limit."), "\"common practice, no source\""),
    key("unit", Form::Unit, mark!("Unit of the reading and of the limits."), "\"mm\"").required().only(LIMITS),
    key("unit", Form::Unit, mark!("Unit of the count."), "\"launches\"").only(&["count"]).default("\"count\""),
    key("min", Form::Number, mark!("Smallest value within the limit."), "\"0.10\"").unit("`unit`").only(LIMITS).with(SOURCE),
    key("max", Form::Number, mark!("Largest value within the limit."), "\"0.50\"").unit("`unit`").only(LIMITS).with(SOURCE),
    key("min", Form::Whole(0), mark!("Smallest count within the limit."), "1").unit("`unit`").only(&["count"]),
    key("max", Form::Whole(0), mark!("Largest count within the limit."), "4").unit("`unit`").only(&["count"]),
    key("nominal", Form::Number, mark!("Middle of the limit."), "\"25\"").unit("`unit`").only(LIMITS).with(&["tolerance", "limit_source"]),
    key("tolerance", Form::Number, mark!("Half width of the limit."), "\"2\"").unit("`unit`").only(LIMITS).with(&["nominal"]),
    key("max_difference", Form::Number, mark!("Largest difference of left and right."), "\"2\"").unit("`unit`").only(&["pair"]).with(SOURCE),
    key("choices", Form::Texts(2, usize::MAX), mark!("What can be chosen."), "[\"none\", \"felt\", \"seen\"]").required().only(&["choice"]),
    key("accept", Form::Texts(0, usize::MAX), mark!("What passes; without it every choice does."), "[\"none\"]").default("[]").only(&["choice"]),
    key("not_before_today", Form::Flag, mark!("The date must not be past on the day of the inspection."), "true").default("false").only(&["date"]),
    key("not_before", Form::Date, mark!("The date must not be before this one."), "2026-01-01").only(&["date"]),
    key("compute", Form::Word(|| COMPUTATIONS.to_vec()), mark!("The computation that judges the table."), "\"tap\"").required().only(&["table"]),
    key("load_unit", Form::Unit, mark!("Unit of the loads."), "\"N\"").required().only(SERIES),
    key("deflection_unit", Form::Unit, mark!("Unit of the deflections."), "\"mm\"").required().only(SERIES),
    key("directions", Form::Texts(1, 2), mark!("One or two directions of the load."), "[\"left\", \"right\"]").required().only(SERIES),
    key("min_levels", Form::Whole(0), mark!("Fewest levels of load."), "4").default("3").unit(mark!("levels")).only(SERIES),
    key("max_load", Form::Number, mark!("Ceiling that no load may exceed; the type's manual governs."), "\"150\"").unit("`load_unit`").required().only(SERIES),
    key("take_up", Form::Number, mark!("Readings below this load only take up play and are left out of the stiffness; those below a tenth of the largest load always are."), "\"20\"").unit("`load_unit`").only(SERIES),
    key("unloading", Form::Flag, mark!("Readings are demanded on the way down, too."), "false").default("true").only(SERIES),
    key("min_stiffness", Form::Number, mark!("Least stiffness within the limit."), "\"6.5\"").unit("`load_unit`/`deflection_unit`").only(SERIES).with(SOURCE),
    key("max_side_difference_percent", Form::Number, mark!("Largest difference of the two directions."), "\"10\"").unit("%").only(SERIES).with(SOURCE),
];
