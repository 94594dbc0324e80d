//! The file's own keys, its sections, and what selects a module.

use super::step::STEP;
use super::supplement::{HIDDEN_ITEM, MAPPED_AREA, TIGHTEN, TYPE, WITHDRAW};
use super::{Form, Key, Shape, key};
use crate::checklist::read;
use crate::vocabulary::{OCCURRENCES, REPORTS};

pub(super) fn words<T>(known: &[(&'static str, T)]) -> Vec<&'static str> {
    known.iter().map(|(word, _)| *word).collect()
}

const SUPPLEMENT: &[&str] = &["supplement"];

pub static CHECKLIST: Shape = Shape {
    name: "checklist",
    heading: mark!("The file"),
    what: "the file",
    about: mark!(
        "One issued edition: `checklists/<id>/<version>.toml`. An issued edition is never edited; a change is a new version."
    ),
    keys: FILE,
    count: None,
};

const FILE: &[Key] = &[
    key("format", Form::Whole(1), mark!("Format of the file; this program reads 1."), "1").default("1"),
    key("kind", Form::Word(|| words(read::KINDS)), mark!("A programme is the general annual; a supplement fits it to an airframe type; a module is selected by reports and occurrences."), "\"module\"").required(),
    key("id", Form::Id { dots: false }, mark!("Names the checklist in all its editions; the folder has the same name."), "\"fin-root\"").required(),
    key("version", Form::Version, mark!("Three numbers; the file has the same name. The newest fitting edition is used."), "\"1.0.0\"").required(),
    key("title", Form::Text, mark!("What a person reads in the plan."), "\"Fin root: lateral flex test\"").required(),
    key("issued", Form::Date, mark!("Day of issue, without quotes."), "2026-03-01").required(),
    key("author", Form::Text, mark!("Who answers for its content."), "\"Technical office\""),
    key("about", Form::Text, mark!("When it is used, what it rests on, what it does not cover."), "\"After a ground loop or a knock to the tail.\""),
    key("requires", Form::Requirements, mark!("Other checklists that it builds on, with the range of their versions."), "{ composite-sailplane = \"^1.0\" }"),
    key("section", Form::Tables(&SECTION), mark!("Parts that steps are shown under."), "[{ id = \"tail\", title = \"Tail\" }]"),
    key("step", Form::Tables(&STEP), mark!("What is to be done."), "[{ id = \"tail.look\", section = \"tail\", title = \"Look at the tail\", instruction = \"Look for cracks.\" }]"),
    key("selected_by", Form::Table(&SELECTED_BY), mark!("What selects the module."), "{ reports = [\"odd-yaw\"] }").required().only(&["module"]),
    key("type", Form::Table(&TYPE), mark!("The airframe type that the supplement is for."), "{ id = \"varn-15\", name = \"Varn 15 (invented)\", datum = \"wing leading edge at the root\", height_datum = \"fuselage centre line\" }").required().only(SUPPLEMENT),
    key("tighten", Form::Tables(&TIGHTEN), mark!("Stricter or more exact demands on steps of the programme."), "[{ step = \"wing.play\", minutes = 20, reason = \"two pins\" }]").only(SUPPLEMENT),
    key("withdraw", Form::Tables(&WITHDRAW), mark!("Steps of the programme that the type has no use for."), "[{ step = \"gear.retract\", reason = \"fixed wheel\" }]").only(SUPPLEMENT),
    key("hidden_item", Form::Tables(&HIDDEN_ITEM), mark!("What lies behind the skin."), "[]").only(SUPPLEMENT),
    key("mapped_area", Form::Tables(&MAPPED_AREA), mark!("Where every hidden item is entered: only inside is an opening called clear."), "[]").only(SUPPLEMENT),
];

static SECTION: Shape = Shape {
    name: "section",
    heading: "`[[section]]`",
    what: "a section",
    about: mark!("A part of the checklist."),
    keys: &[
        key("id", Form::Id { dots: true }, mark!("Named by the steps of this part."), "\"tail\"").required(),
        key("title", Form::Text, mark!("Heading on the Worksheet."), "\"Tail\"").required(),
    ],
    count: None,
};

static SELECTED_BY: Shape = Shape {
    name: "selected_by",
    heading: "`[selected_by]`",
    what: "selected_by",
    about: mark!("At least one kind of report or occurrence."),
    keys: &[
        key(
            "reports",
            Form::Words(|| words(REPORTS)),
            mark!("What a pilot says."),
            "[\"odd-yaw\", \"tail-noise\"]",
        )
        .default("[]"),
        key(
            "occurrences",
            Form::Words(|| words(OCCURRENCES)),
            mark!("What happened to the airframe."),
            "[\"ground-loop\"]",
        )
        .default("[]"),
    ],
    count: Some((1, 2)),
};
