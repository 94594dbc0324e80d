//! The table, the reader and the schema say the same of every key.

use std::collections::BTreeSet;

use include_dir::{Dir, include_dir};
use jsonschema::Validator;
use serde_json::{Value, json};

use super::{CHECKLIST, Form, Key, Shape, reference, schema};
use crate::checklist::{Checklist, Kind, builtin_sources, read_checklist};
use crate::diagnostic::Source;
use crate::source::asked::{self, Asked};

static READERS: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/src/checklist");
const TABLE: &str = include_str!("../../source/table.rs");

fn validator() -> Validator {
    let schema: Value = serde_json::from_str(&schema()).unwrap();
    // Held to the meta-schema of JSON Schema draft-07 by the library.
    jsonschema::draft7::new(&schema).unwrap()
}

fn as_json(value: toml::Value) -> Value {
    match value {
        toml::Value::String(text) => json!(text),
        toml::Value::Integer(number) => json!(number),
        toml::Value::Float(number) => json!(number),
        toml::Value::Boolean(flag) => json!(flag),
        toml::Value::Datetime(date) => json!(date.to_string()),
        toml::Value::Array(items) => items.into_iter().map(as_json).collect(),
        toml::Value::Table(table) => table.into_iter().map(|(key, value)| (key, as_json(value))).collect(),
    }
}

fn is_valid(validator: &Validator, text: &str) -> bool {
    let table: toml::Table = text.parse().unwrap_or_else(|error| panic!("{error}: {text}"));
    validator.is_valid(&as_json(toml::Value::Table(table)))
}

fn read(text: &str) -> Result<Checklist, String> {
    read_checklist(&Source::new("tail/1.0.0.toml", text))
        .map_err(|faults| faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))
}

/// One table of a file under test: where it stands, of which kind it is, and what is done to it.
#[derive(Clone, Copy)]
struct Case<'c> {
    shape: &'static Shape,
    kind: Option<&'static str>,
    without: &'c str,
    /// Keys beside the required ones, as TOML.
    more: &'c [(&'static str, &'c str)],
}

impl<'c> Case<'c> {
    fn of(shape: &'static Shape, kind: Option<&'static str>) -> Case<'c> {
        Case { shape, kind, without: "", more: &[] }
    }

    /// Every table of the format, in each of its kinds.
    fn all() -> Vec<Case<'c>> {
        let kinds = |shape: &'static Shape| match shape.kinds() {
            kinds if kinds.is_empty() => vec![None],
            kinds => kinds.into_iter().map(Some).collect(),
        };
        let shapes = CHECKLIST.all().into_iter();
        shapes.flat_map(|shape| kinds(shape).into_iter().map(move |kind| Case::of(shape, kind))).collect()
    }

    fn keys(&self) -> impl Iterator<Item = &'static Key> {
        let kind = self.kind.unwrap_or_default();
        self.shape.keys.iter().filter(move |key| key.is_for(kind))
    }

    /// The smallest file that holds the table.
    fn file(&self) -> String {
        let kinds = CHECKLIST.kinds().into_iter().rev();
        let fits = |kind: &&str| {
            let is_root = self.shape.name == CHECKLIST.name;
            if is_root { self.kind == Some(kind) } else { lead(&CHECKLIST, Some(kind), self.shape).is_some() }
        };
        let kind = kinds.into_iter().find(fits).unwrap();
        let rows = self.rows(&CHECKLIST, Some(kind));
        rows.iter().map(|(name, value)| format!("{name} = {value}\n")).collect()
    }

    fn rows(&self, shape: &'static Shape, kind: Option<&'static str>) -> Vec<(&'static str, String)> {
        let is_it = shape.name == self.shape.name;
        let next = if is_it { None } else { lead(shape, kind, self.shape) };
        let first = shape.keys.iter().position(|_| shape.count.is_some());
        let mut rows = Vec::new();
        for (at, key) in shape.keys.iter().enumerate().filter(|(_, key)| key.is_for(kind.unwrap_or_default()))
        {
            let is_next = next.is_some_and(|next| std::ptr::eq(next, key));
            let given = self.more.iter().find(|(name, _)| is_it && *name == key.name);
            let is_alone = first == Some(at) && (!is_it || self.more.is_empty());
            if is_it && key.name == self.without
                || !(key.is_required || is_next || is_alone || given.is_some())
            {
                continue;
            }
            rows.push((
                key.name,
                match given {
                    Some((_, value)) => (*value).to_string(),
                    None => self.value(key, kind, is_next),
                },
            ));
        }
        let unknown =
            self.more.iter().filter(|(name, _)| is_it && !rows.iter().any(|(known, _)| known == name));
        let unknown: Vec<_> = unknown.map(|(name, value)| (*name, (*value).to_string())).collect();
        rows.extend(unknown);
        rows
    }

    fn value(&self, key: &'static Key, kind: Option<&'static str>, is_next: bool) -> String {
        if key.name == "kind"
            && let Some(kind) = kind
        {
            return format!("\"{kind}\"");
        }
        let (below, is_list) = match key.form {
            Form::Table(below) if is_next => (below, false),
            Form::Tables(below) if is_next => (below, true),
            _ => return key.example.to_string(),
        };
        let kind = match below.name == self.shape.name {
            true => self.kind,
            false => below.kinds().first().copied(),
        };
        let rows: Vec<String> =
            self.rows(below, kind).iter().map(|(name, value)| format!("{name} = {value}")).collect();
        let table = format!("{{ {} }}", rows.join(", "));
        if is_list { format!("[{table}]") } else { table }
    }
}

/// The key of `from` that leads to the wanted table.
fn lead(from: &'static Shape, kind: Option<&str>, wanted: &Shape) -> Option<&'static Key> {
    from.keys.iter().filter(|key| key.is_for(kind.unwrap_or_default())).find(|key| match key.form {
        Form::Table(below) | Form::Tables(below) => below.all().iter().any(|shape| shape.name == wanted.name),
        _ => false,
    })
}

/// Reader and schema on one file: whether both accept or both refuse.
#[track_caller]
fn agree(validator: &Validator, text: &str, wanted: bool) {
    let told = read(text);
    assert_eq!(told.is_ok(), wanted, "reader: {told:?}\n{text}");
    assert_eq!(is_valid(validator, text), wanted, "schema:\n{text}");
}

#[test]
fn the_schema_and_the_reference_that_are_handed_out_are_current() {
    let hint = "run: cargo run -- schema checklist > checklists/schema/checklist.schema.json, and \
                cargo run -- schema --reference > checklists/FORMAT.md";
    assert!(schema() == include_str!("../../../checklists/schema/checklist.schema.json"), "{hint}");
    assert!(reference() == include_str!("../../../checklists/FORMAT.md"), "{hint}");
}

#[test]
fn every_built_in_checklist_is_valid() {
    let validator = validator();
    let sources = builtin_sources();
    assert!(sources.len() >= 25);
    for source in sources {
        let table: toml::Table = source.text.parse().unwrap();
        let value = as_json(toml::Value::Table(table));
        let errors: Vec<String> = validator
            .iter_errors(&value)
            .map(|error| format!("{}: {error}", error.instance_path()))
            .collect();
        assert!(errors.is_empty(), "{}: {errors:?}", source.name);
    }
}

#[test]
fn what_is_needed_is_needed_and_what_is_unknown_is_refused_by_both() {
    let validator = validator();
    for case in Case::all() {
        agree(&validator, &case.file(), true);
        let unknown = Case { more: &[("not_a_key", "1")], ..case };
        agree(&validator, &unknown.file(), false);
        for key in case.keys().filter(|key| key.is_required && key.name != "kind") {
            agree(&validator, &Case { without: key.name, ..case }.file(), false);
        }
    }
}

#[test]
fn every_example_is_accepted_and_every_other_type_refused_by_both() {
    let validator = validator();
    let mut tried = 0;
    for case in Case::all() {
        for key in case.keys().filter(|key| key.name != "kind") {
            let mut more = vec![(key.name, key.example)];
            // The one rule of the reader about the value of another key.
            if key.name == "loads" {
                more.push(("caution", "\"The manual governs.\""));
            }
            let beside = case
                .keys()
                .filter(|other| key.with.contains(&other.name) || all_with(&case, key).contains(&other.name));
            more.extend(beside.map(|other| (other.name, other.example)));
            agree(&validator, &Case { more: &more, ..case }.file(), true);
            more[0].1 = "[[]]";
            agree(&validator, &Case { more: &more, ..case }.file(), false);
            for other in key.with {
                let fewer: Vec<_> = more.iter().copied().filter(|(name, _)| name != other).collect();
                let fewer: Vec<_> = fewer
                    .into_iter()
                    .map(|(name, value)| (name, if name == key.name { key.example } else { value }))
                    .collect();
                agree(&validator, &Case { more: &fewer, ..case }.file(), false);
            }
            tried += 1;
        }
    }
    assert!(tried > 150, "{tried}");
}

/// What stands beside a key that stands beside it.
fn all_with(case: &Case<'_>, key: &Key) -> Vec<&'static str> {
    case.keys().filter(|other| key.with.contains(&other.name)).flat_map(|other| other.with).copied().collect()
}

/// A word outside of its list, and a kind's key under another kind.
#[test]
fn words_and_keys_of_another_kind_are_refused_by_both() {
    let validator = validator();
    for case in Case::all() {
        for key in case.keys() {
            let value = match key.form {
                Form::Word(_) if key.name != "kind" => "\"no-such-word\"",
                Form::Words(_) => "[\"no-such-word\"]",
                Form::Configuration => "{ wings = \"folded\" }",
                Form::Id { .. } => "\"Not an id\"",
                Form::Version => "\"1.0\"",
                Form::Range => "\"4250 mm\"",
                Form::Number => "12.5",
                _ => continue,
            };
            let mut more = vec![(key.name, value)];
            more.extend(
                case.keys()
                    .filter(|other| {
                        all_with(&case, key).contains(&other.name) || key.with.contains(&other.name)
                    })
                    .map(|other| (other.name, other.example)),
            );
            agree(&validator, &Case { more: &more, ..case }.file(), false);
        }
        let foreign = case.shape.keys.iter().filter(|key| !case.keys().any(|own| own.name == key.name));
        for key in foreign {
            agree(&validator, &Case { more: &[(key.name, key.example)], ..case }.file(), false);
        }
    }
}

/// Stated defaults are the reader's: written out they change nothing.
#[test]
fn defaults_are_those_of_the_reader() {
    let content = |text: &str| {
        let read = read(text).unwrap_or_else(|why| panic!("{why}\n{text}"));
        let of_type = match &read.kind {
            Kind::Supplement(supplement) => serde_json::to_value(&supplement.of_type).unwrap(),
            _ => Value::Null,
        };
        (serde_json::to_value(&read.steps).unwrap(), of_type)
    };
    let mut tried = 0;
    for case in Case::all().into_iter().filter(|case| case.shape.count.is_none()) {
        for key in case.keys().filter(|key| !key.default.is_empty()) {
            let with = Case { more: &[(key.name, key.default)], ..case };
            assert_eq!(content(&case.file()), content(&with.file()), "{} of {}", key.name, case.shape.name);
            tried += 1;
        }
    }
    assert!(tried > 25, "{tried}");
}

#[test]
fn the_editors_line_is_a_comment() {
    let text = Case::of(&CHECKLIST, Some("module")).file();
    read(&format!("#:schema ../schema/checklist.schema.json\n{text}")).unwrap();
    assert!(reference().contains("\n#:schema ../schema/checklist.schema.json\n"));
}

/// Every file in which each key of each table stands once, and what its reading asked for.
fn asked_of_all() -> Vec<(Case<'static>, Vec<Asked>)> {
    let mut found = Vec::new();
    for case in Case::all() {
        let more: Vec<_> =
            case.keys().filter(|key| key.name != "kind").map(|key| (key.name, key.example)).collect();
        asked::take();
        let _ = read(&Case { more: &more, ..case }.file());
        found.push((Case { more: &[], without: "", ..case }, asked::take()));
    }
    found
}

/// The reader asks for exactly the keys of the table, in each kind of it.
#[test]
fn the_reader_asks_for_every_key_and_for_no_other() {
    for (case, asked) in asked_of_all() {
        let of_it = asked.iter().filter(|asked| asked.what == case.shape.what);
        let asked: BTreeSet<&str> = of_it.map(|asked| asked.key).collect();
        let told: BTreeSet<&str> = case.keys().map(|key| key.name).collect();
        assert_eq!(asked, told, "{} {:?}", case.shape.name, case.kind);
    }
}

/// Every place in the readers' source where a key is asked for was reached above: none escapes the comparison.
#[test]
fn no_place_that_asks_for_a_key_is_left_out() {
    let sources: Vec<(String, &str)> = READERS
        .files()
        .filter_map(|file| Some((file.path().to_str()?.to_string(), file.contents_utf8()?)))
        .filter(|(name, _)| name.starts_with("read") && name.ends_with(".rs"))
        .collect();
    assert!(sources.len() >= 4);
    let askers: BTreeSet<String> =
        sources.iter().map(|(_, text)| *text).chain([TABLE]).flat_map(functions_with_key).collect();
    assert!(askers.contains("required_text") && askers.contains("at_least_one"), "{askers:?}");
    let asked: BTreeSet<(String, u32, &str)> = asked_of_all()
        .into_iter()
        .flat_map(|(_, asked)| asked)
        .map(|asked| {
            (asked.file.replace('\\', "/").rsplit('/').next().unwrap().to_string(), asked.line, asked.key)
        })
        .collect();
    let mut sites = 0;
    for (name, text) in &sources {
        for (line, key) in askers.iter().flat_map(|asker| calls(text, asker)) {
            assert!(
                asked.contains(&(name.clone(), line, key)),
                "{name}:{line} asks for \"{key}\", and no file did that"
            );
            sites += 1;
        }
    }
    assert!(sites > 110, "{sites}");
}

/// Names of the functions that take `key: &'static str`.
fn functions_with_key(text: &str) -> Vec<String> {
    let heads = text.match_indices("fn ").map(|(at, _)| &text[at + 3..]);
    heads
        .filter(|head| head.split('{').next().is_some_and(|head| head.contains("key: &'static str")))
        .map(|head| head.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect())
        .collect()
}

/// Lines where this function is called with a key in quotes, as its first argument or after the table.
fn calls<'t>(text: &'t str, name: &str) -> Vec<(u32, &'t str)> {
    let mut found = Vec::new();
    for (at, _) in text.match_indices(&format!("{name}(")) {
        if text[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_') {
            continue;
        }
        let arguments = text[at + name.len() + 1..].trim_start();
        let after_table =
            arguments.trim_start_matches('&').trim_start_matches(|c: char| c.is_alphanumeric() || c == '_');
        let after_table = after_table.strip_prefix(',').map_or(arguments, str::trim_start);
        if let Some(key) = after_table.strip_prefix('"').and_then(|rest| rest.split('"').next()) {
            found.push((text[..at].matches('\n').count() as u32 + 1, key));
        }
    }
    found
}

/// Every key of the format that holds a text is either prose or named here as what stays the same in every language.
#[test]
fn every_text_of_the_format_is_prose_or_is_decided_not_to_be() {
    const SAME_IN_ALL: &[&str] = &[
        "accept",
        "after",
        "author",
        "basis",
        "build_standard",
        "by",
        "equipment",
        "follow",
        "id",
        "measure",
        "section",
        "step",
        "without_build_standard",
    ];
    let prose = super::super::prose::PROSE;
    for shape in CHECKLIST.all() {
        for key in shape.keys {
            if matches!(key.form, Form::Text | Form::Line(_) | Form::Texts(..)) {
                let places = [prose.contains(&key.name), SAME_IN_ALL.contains(&key.name)];
                assert_eq!(places.iter().filter(|is| **is).count(), 1, "{} of {}", key.name, shape.heading);
            }
        }
    }
}
