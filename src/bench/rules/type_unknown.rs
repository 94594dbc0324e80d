//! The type of an airframe record is one that a type supplement of the library describes.

use crate::bench::reading::Reading;
use crate::bench::rule::{FoundBy, Rule};
use crate::bench::world::World;
use crate::diagnostic::{Diagnostic, Place, Weight, suggest};

pub const RULE: Rule = Rule {
    code: "type-unknown",
    weight: Weight::Error,
    doc: mark!("The type of an airframe record is one that a type supplement of the library describes."),
    why: mark!("No plan can be composed for it."),
    bad: r#"# file: airframes/XX-EXA.toml
registration = "XX-EXA"
type = "varn-16"
serial = "1"
hours = "10"
launches = 5
"#,
    good: r#"# file: airframes/XX-EXA.toml
registration = "XX-EXA"
type = "varn-15"
serial = "1"
hours = "10"
launches = 5
"#,
    found_by: FoundBy::Record(find),
};

fn find(reading: &Reading, world: &World<'_>, found: &mut Vec<Diagnostic>) {
    let Some(airframe) = &reading.airframe else { return };
    let mut types: Vec<&str> = world.supplements().map(|(_, of)| of.of_type.id.as_str()).collect();
    types.sort_unstable();
    types.dedup();
    if types.contains(&airframe.type_id.as_str()) {
        return;
    }
    let span = reading.outline().root.get("type").map_or(0..0, |node| node.span.clone());
    let message = say!("no type supplement describes \"{}\"", airframe.type_id);
    let hint = suggest(&airframe.type_id, types)
        .unwrap_or_else(|| say!("write a supplement for this type, or correct the type").to_string());
    found.push(Diagnostic::new(RULE.code, Place::new(&reading.source, span), message).hint(hint));
}
