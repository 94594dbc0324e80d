//! What falls due: dates against handbook values (`tests/reference/handbook-values.toml`, sources there), and the rules
//! of whichever comes first by small records. All records are invented.

#[path = "due/language.rs"]
mod language;
#[path = "due/list.rs"]
mod list;
#[path = "due/properties.rs"]
mod properties;
#[path = "due/record.rs"]
mod record;
#[path = "due/refused.rs"]
mod refused;
mod support;
#[allow(dead_code, reason = "shared with the handbook tests")]
#[path = "handbook/values.rs"]
mod values;
