//! What a supplement alone may hold.

use super::checklist::words;
use super::{Form, Key, Shape, key};
use crate::checklist::{HiddenKind, Side, TailplanePlace};

pub static TYPE: Shape = Shape {
    name: "type",
    heading: "`[type]`",
    what: "type",
    about: mark!("Facts of the airframe type that steps and records are checked against."),
    keys: &[
        key("id", Form::Text, mark!("As the airframe's record names its type."), "\"varn-15\"").required(),
        key("name", Form::Text, mark!("What a person reads."), "\"Varn 15 (invented)\"").required(),
        key(
            "datum",
            Form::Text,
            mark!("From where stations are counted, and which way."),
            "\"wing leading edge at the root, positive aft\"",
        )
        .required(),
        key("seats", Form::Whole(1), mark!("Seats."), "2").default("1"),
        key(
            "fin_side_load_ceiling",
            Form::Quantity,
            mark!("Ceiling of a hand load on the fin top."),
            "\"150 N\"",
        ),
        key(
            "build_standards",
            Form::Tables(&BUILD_STANDARD),
            mark!("Sets of modifications that differ in stiffness."),
            "[{ id = \"BS-2\", title = \"second laminate layer\" }]",
        )
        .default("[]"),
        key(
            "stated_variation",
            Form::Table(&VARIATION),
            mark!("How much sound airframes differ, stated by a named person."),
            "{ percent = \"6\", by = \"Technical office\" }",
        ),
        key(
            "height_datum",
            Form::Text,
            mark!("From where heights are counted; demanded beside hidden items."),
            "\"fuselage centre line, positive up\"",
        ),
        key(
            "opening_margin",
            Form::Quantity,
            mark!("Least room between an opening and a hidden item; else 20 mm, common practice, no source."),
            "\"25 mm\"",
        ),
        key(
            "outline",
            Form::Table(&OUTLINE),
            mark!("The airframe's outline, for the picture that defects are marked on."),
            "{ nose = \"-2100 mm\", tail_end = \"4700 mm\", cockpit = \"-1700..-400 mm\", fuselage_width = \"640 mm\", fuselage_height = \"820 mm\", wing_root = \"0..900 mm\", wing_tip = \"250..620 mm\", semi_span = \"7500 mm\", fin_root = \"3700 mm\", fin_top = \"4000 mm\", fin_height = \"1250 mm\", rudder_hinge = \"4350 mm\", tailplane = \"3950..4400 mm\", tailplane_place = \"top\", tailplane_semi_span = \"1200 mm\", main_wheel = \"150 mm\", tail_wheel = \"4450 mm\", source = \"type manual (invented), drawing 2\" }",
        ),
    ],
    count: None,
};

static OUTLINE: Shape = Shape {
    name: "outline",
    heading: "`[type.outline]`",
    what: "an outline",
    about: mark!(
        "Stations from the type's datum, positive aft; without it a sailplane of common proportions is drawn, not to scale."
    ),
    keys: &[
        key("nose", Form::Quantity, mark!("Station of the nose."), "\"-2100 mm\"")
            .required()
            .unit(mark!("length")),
        key("tail_end", Form::Quantity, mark!("Station of the rearmost point."), "\"4700 mm\"")
            .required()
            .unit(mark!("length")),
        key("cockpit", Form::Range, mark!("Stations of the canopy."), "\"-1700..-400 mm\"")
            .required()
            .unit(mark!("length")),
        key("fuselage_width", Form::Quantity, mark!("Width of the fuselage at the cockpit."), "\"640 mm\"")
            .required()
            .unit(mark!("length")),
        key("fuselage_height", Form::Quantity, mark!("Height of the fuselage at the cockpit."), "\"820 mm\"")
            .required()
            .unit(mark!("length")),
        key(
            "wing_root",
            Form::Range,
            mark!("Stations of leading and trailing edge at the root."),
            "\"0..900 mm\"",
        )
        .required()
        .unit(mark!("length")),
        key(
            "wing_tip",
            Form::Range,
            mark!("Stations of leading and trailing edge at the tip."),
            "\"250..620 mm\"",
        )
        .required()
        .unit(mark!("length")),
        key("semi_span", Form::Quantity, mark!("From the plane of symmetry to the wing tip."), "\"7500 mm\"")
            .required()
            .unit(mark!("length")),
        key(
            "fin_root",
            Form::Quantity,
            mark!("Station of the fin's leading edge at the root."),
            "\"3700 mm\"",
        )
        .required()
        .unit(mark!("length")),
        key("fin_top", Form::Quantity, mark!("Station of the fin's leading edge at the top."), "\"4000 mm\"")
            .required()
            .unit(mark!("length")),
        key("fin_height", Form::Quantity, mark!("Height of the fin above the boom."), "\"1250 mm\"")
            .required()
            .unit(mark!("length")),
        key("rudder_hinge", Form::Quantity, mark!("Station of the rudder's hinge line."), "\"4350 mm\"")
            .required()
            .unit(mark!("length")),
        key("tailplane", Form::Range, mark!("Stations of the tailplane at its root."), "\"3950..4400 mm\"")
            .required()
            .unit(mark!("length")),
        key(
            "tailplane_place",
            Form::Word(|| words(&TailplanePlace::WORDS)),
            mark!("Where the tailplane sits."),
            "\"top\"",
        )
        .required(),
        key(
            "tailplane_semi_span",
            Form::Quantity,
            mark!("From the plane of symmetry to the tailplane's tip."),
            "\"1200 mm\"",
        )
        .required()
        .unit(mark!("length")),
        key("main_wheel", Form::Quantity, mark!("Station of the main wheel's axle."), "\"150 mm\"")
            .required()
            .unit(mark!("length")),
        key("nose_wheel", Form::Quantity, mark!("Station of the nose wheel's axle."), "\"-1500 mm\"")
            .unit(mark!("length")),
        key("tail_wheel", Form::Quantity, mark!("Station of the tail wheel or skid."), "\"4450 mm\"")
            .required()
            .unit(mark!("length")),
        key(
            "source",
            Form::Text,
            mark!("Where the figures come from."),
            "\"type manual (invented), drawing 2\"",
        )
        .required(),
    ],
    count: None,
};

static BUILD_STANDARD: Shape = Shape {
    name: "build_standard",
    heading: "`[[type.build_standards]]`",
    what: "a build standard",
    about: mark!("One build standard."),
    keys: &[
        key("id", Form::Text, mark!("As the airframe's record names it."), "\"BS-2\"").required(),
        key("title", Form::Text, mark!("What is different."), "\"second laminate layer in the fin\"")
            .required(),
    ],
    count: None,
};

static VARIATION: Shape = Shape {
    name: "stated_variation",
    heading: "`[type.stated_variation]`",
    what: "a stated variation",
    about: mark!("Used where too few reference airframes are at hand to tell the variation from them."),
    keys: &[
        key(
            "percent",
            Form::Number,
            mark!("Coefficient of variation of the stiffness between sound airframes; above 0."),
            "\"6\"",
        )
        .required()
        .unit("%"),
        key(
            "doubt_percent",
            Form::Number,
            mark!("How far that figure may itself be wrong; above 0, up to 100."),
            "\"30\"",
        )
        .default("25")
        .unit(mark!("% of it")),
        key("measurement_percent", Form::Number, mark!("Standard uncertainty of one measurement."), "\"2\"")
            .default("0")
            .unit("%"),
        key("by", Form::Text, mark!("Who states it."), "\"Technical office\"").required(),
    ],
    count: None,
};

pub static TIGHTEN: Shape = Shape {
    name: "tighten",
    heading: "`[[tighten]]`",
    what: "a tightening",
    about: mark!("Only the keys that are given change; nothing may become easier than the programme."),
    keys: TIGHTEN_KEYS,
    count: None,
};

const LIMIT: &[&str] = &["measure", "limit_source"];

const TIGHTEN_KEYS: &[Key] = &[
    key("step", Form::Text, mark!("Id of the programme's step."), "\"wing.play\"").required(),
    key("reason", Form::Text, mark!("Why; shown with the step."), "\"manual chapter 6 (invented)\"")
        .required(),
    key("measure", Form::Text, mark!("Id of the step's measurement that a limit is for."), "\"play\""),
    key("min", Form::Number, mark!("Smallest value within the limit."), "\"0.05\"")
        .unit(mark!("the measurement's"))
        .with(LIMIT),
    key("max", Form::Number, mark!("Largest value within the limit."), "\"0.30\"")
        .unit(mark!("the measurement's"))
        .with(LIMIT),
    key("nominal", Form::Number, mark!("Middle of the limit."), "\"25\"")
        .unit(mark!("the measurement's"))
        .with(&["measure", "limit_source", "tolerance"]),
    key("tolerance", Form::Number, mark!("Half width of the limit."), "\"2\"")
        .unit(mark!("the measurement's"))
        .with(&["nominal"]),
    key("max_difference", Form::Number, mark!("Largest difference of left and right."), "\"2\"")
        .unit(mark!("the measurement's")),
    key("min_stiffness", Form::Number, mark!("Least stiffness of the series."), "\"6.5\"")
        .unit(mark!("the measurement's")),
    key("max_load", Form::Number, mark!("Ceiling of the load."), "\"120\"").unit(mark!("the measurement's")),
    key("readings", Form::Whole(0), mark!("How many readings."), "3"),
    key("instrument", Form::Flag, mark!("The instrument must be named."), "true"),
    key("limit_source", Form::Text, mark!("Where the limit comes from."), "\"manual chapter 6 (invented)\""),
    key("mandatory", Form::Flag, mark!("Only true tightens."), "true"),
    key("may_be_not_applicable", Form::Flag, mark!("Only false tightens."), "false"),
    key("independent", Form::Flag, mark!("A second person inspects it independently."), "true"),
    key(
        "caution",
        Form::Text,
        mark!("Shown below the programme's caution."),
        "\"Support the boom at the manual's station.\"",
    ),
    key(
        "configuration",
        Form::Configuration,
        mark!("How the airframe must stand."),
        "{ wings = \"rigged\" }",
    ),
    key("minutes", Form::Whole(0), mark!("Time that it takes."), "20").unit("min"),
    key("people", Form::Whole(0), mark!("Hands that it needs."), "3").unit(mark!("people")),
    key("kit", Form::Texts(0, usize::MAX), mark!("Added to the programme's kit."), "[\"trestle pads\"]")
        .default("[]"),
];

pub static WITHDRAW: Shape = Shape {
    name: "withdraw",
    heading: "`[[withdraw]]`",
    what: "a withdrawal",
    about: mark!("A step that leaves the plan, with the reason in its place."),
    keys: &[
        key("step", Form::Text, mark!("Id of the programme's step."), "\"gear.retract\"").required(),
        key("reason", Form::Text, mark!("Why the type has no use for it."), "\"fixed wheel\"").required(),
    ],
    count: None,
};

pub static HIDDEN_ITEM: Shape = Shape {
    name: "hidden_item",
    heading: "`[[hidden_item]]`",
    what: "a hidden item",
    about: mark!("What lies behind the skin, from the type's data, never from memory."),
    keys: &[
        key("id", Form::Id { dots: true }, mark!("One of its kind in the file."), "\"fin-rib-2\"").required(),
        key("title", Form::Text, mark!("What it is."), "\"Second rib of the fin\"").required(),
        key("kind", Form::Word(|| words(&HiddenKind::WORDS)), mark!("What kind of thing."), "\"rib\"")
            .required(),
        key("component", Form::Text, mark!("Where on the airframe."), "\"fin\"").required(),
        key("side", Form::Word(|| words(&Side::WORDS)), mark!("Side; without it both."), "\"left\""),
        key("station", Form::Range, mark!("From `datum`."), "\"4250..4310 mm\"")
            .required()
            .unit(mark!("length")),
        key("height", Form::Range, mark!("From `height_datum`."), "\"120..480 mm\"")
            .required()
            .unit(mark!("length")),
        key("tolerance", Form::Quantity, mark!("How well the place is known."), "\"5 mm\"")
            .required()
            .unit(mark!("length")),
        key("source", Form::Text, mark!("Where the figures come from."), "\"drawing 15-310 (invented)\"")
            .required(),
        key("note", Form::Text, mark!("What else to know."), "\"glued, no flange\""),
    ],
    count: None,
};

pub static MAPPED_AREA: Shape = Shape {
    name: "mapped_area",
    heading: "`[[mapped_area]]`",
    what: "a mapped area",
    about: mark!("Where every hidden item is entered."),
    keys: &[
        key("component", Form::Text, mark!("Where on the airframe."), "\"fin\"").required(),
        key("side", Form::Word(|| words(&Side::WORDS)), mark!("Side; without it both."), "\"left\""),
        key("station", Form::Range, mark!("From `datum`."), "\"4100..4500 mm\"")
            .required()
            .unit(mark!("length")),
        key("height", Form::Range, mark!("From `height_datum`."), "\"0..900 mm\"")
            .required()
            .unit(mark!("length")),
        key("source", Form::Text, mark!("Where the figures come from."), "\"drawing 15-310 (invented)\"")
            .required(),
        key("note", Form::Text, mark!("What else to know."), "\"below the cut-out only\""),
    ],
    count: None,
};
