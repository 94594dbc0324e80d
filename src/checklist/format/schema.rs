//! The table as a JSON Schema, draft-07: the one that TOML language servers understand most widely.
//!
//! Dates are TOML dates, which these servers hand to the schema as texts. So a date in quotes passes here and is
//! refused by the reader, as is everything that needs more than the form of one table.

use serde_json::{Map, Value, json};

use super::{CHECKLIST, Form, Key, Shape};
use crate::checklist::Aspect;
use crate::quantity::Unit;
use crate::words::said;

/// The schema of the three kinds of checklist, as text with a line end.
pub fn schema() -> String {
    let mut root = shape(&CHECKLIST);
    let definitions: Map<String, Value> =
        CHECKLIST.all().into_iter().skip(1).map(|below| (below.name.to_string(), shape(below))).collect();
    if let Value::Object(object) = &mut root {
        object.insert("$schema".into(), json!("http://json-schema.org/draft-07/schema#"));
        object.insert("title".into(), json!(say!("Spanwise checklist, format 1")));
        object.insert("definitions".into(), definitions.into());
    }
    // A map of texts and numbers alone is always written.
    let mut text = serde_json::to_string_pretty(&root).unwrap_or_default();
    text.push('\n');
    text
}

fn shape(of: &Shape) -> Value {
    let mut object = Map::new();
    object.insert("type".into(), json!("object"));
    object.insert("description".into(), json!(said(of.about)));
    object.insert("additionalProperties".into(), json!(false));
    let mut properties = Map::new();
    for key in of.keys {
        let variants: Vec<Value> =
            of.keys.iter().filter(|other| other.name == key.name).map(property).collect();
        let found = match variants.as_slice() {
            [one] => one.clone(),
            many => json!({ "anyOf": many }),
        };
        properties.insert(key.name.into(), found);
    }
    object.insert("properties".into(), properties.into());
    object.insert(
        "required".into(),
        names(of.keys.iter().filter(|key| key.is_required && key.only.is_empty())),
    );
    put_dependencies(&mut object, of.keys.iter().filter(|key| key.only.is_empty()));
    let kinds: Vec<Value> = of.kinds().into_iter().map(|kind| for_kind(of, kind)).collect();
    if !kinds.is_empty() {
        object.insert("allOf".into(), kinds.into());
    }
    if let Some((fewest, most)) = of.count {
        object.insert("minProperties".into(), json!(fewest));
        object.insert("maxProperties".into(), json!(most));
    }
    object.into()
}

fn names<'k>(keys: impl Iterator<Item = &'k Key>) -> Value {
    keys.map(|key| key.name).collect::<Vec<_>>().into()
}

fn put_dependencies<'k>(object: &mut Map<String, Value>, keys: impl Iterator<Item = &'k Key>) {
    let found: Map<String, Value> =
        keys.filter(|key| !key.with.is_empty()).map(|key| (key.name.to_string(), json!(key.with))).collect();
    if !found.is_empty() {
        object.insert("dependencies".into(), found.into());
    }
}

/// What holds of a table of one kind beyond what holds of all: keys that do not belong, keys that must be there.
fn for_kind(of: &Shape, kind: &str) -> Value {
    let mut properties = Map::new();
    for key in of.keys.iter().filter(|key| !key.only.is_empty()) {
        let own = of.keys.iter().find(|other| other.name == key.name && other.is_for(kind));
        properties.insert(key.name.into(), own.map_or(json!(false), |own| form(own.form)));
    }
    let own = || of.keys.iter().filter(|key| !key.only.is_empty() && key.is_for(kind));
    let mut then = Map::new();
    then.insert("properties".into(), properties.into());
    then.insert("required".into(), names(own().filter(|key| key.is_required)));
    put_dependencies(&mut then, own());
    json!({ "if": { "properties": { "kind": { "const": kind } }, "required": ["kind"] }, "then": then })
}

fn property(key: &Key) -> Value {
    let mut found = form(key.form);
    if let Value::Object(object) = &mut found {
        let mut meaning = said(key.meaning).to_string();
        if !key.unit.is_empty() {
            meaning.push_str(&say!(" Unit: {}.", said(key.unit)));
        }
        if !key.default.is_empty() {
            meaning.push_str(&say!(" Default: {}.", key.default));
        }
        // Beside "$ref" draft-07 reads nothing else, so the description goes round it.
        if object.contains_key("$ref") {
            return json!({ "description": meaning, "allOf": [found] });
        }
        object.insert("description".into(), json!(meaning));
    }
    found
}

fn reference(to: &Shape) -> Value {
    json!({ "$ref": format!("#/definitions/{}", to.name) })
}

fn form(of: Form) -> Value {
    // The reader trims texts, and refuses those that hold nothing else than blanks.
    let text = json!({ "type": "string", "pattern": "\\S" });
    match of {
        Form::Text => text,
        Form::Line(most) => json!({ "type": "string", "pattern": "\\S", "maxLength": most }),
        Form::Id { dots } => {
            let joint = if dots { "[-.]" } else { "-" };
            json!({ "type": "string", "pattern": format!("^[a-z0-9]+({joint}[a-z0-9]+)*$") })
        }
        Form::Version => {
            json!({ "type": "string", "pattern": "^[0-9]+\\.[0-9]+\\.[0-9]+([-+][0-9A-Za-z.+-]+)?$" })
        }
        Form::Word(words) => json!({ "type": "string", "enum": words() }),
        Form::Flag => json!({ "type": "boolean" }),
        Form::Whole(least) => json!({ "type": "integer", "minimum": least, "maximum": u32::MAX }),
        Form::Number => {
            json!({ "type": ["string", "integer"], "pattern": "^\\s*[+\u{2212}-]?[0-9.,]+\\s*$" })
        }
        // Other spellings are read, too; the list is for completion.
        Form::Unit => {
            let symbols: Vec<&str> = Unit::ALL.iter().map(|unit| unit.symbol()).collect();
            json!({ "type": "string", "anyOf": [{ "enum": symbols }, { "pattern": "\\S" }] })
        }
        Form::Quantity => json!({ "type": "string", "pattern": "^\\s*[+\u{2212}-]?[0-9][0-9.,]*\\s*\\S" }),
        Form::Range => json!({ "type": "string", "pattern": "[0-9].*\\.\\..*[0-9]\\s*\\S" }),
        Form::Date => {
            json!({ "type": "string", "format": "date", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$" })
        }
        Form::Texts(fewest, most) => texts(json!({ "type": "string" }), fewest, most),
        Form::Words(words) => texts(json!({ "type": "string", "enum": words() }), 0, usize::MAX),
        Form::Requirements => json!({ "type": "object", "additionalProperties": { "type": "string" } }),
        Form::Configuration => configuration(),
        Form::Table(below) => reference(below),
        Form::Tables(below) => json!({ "type": "array", "items": reference(below) }),
    }
}

fn texts(item: Value, fewest: usize, most: usize) -> Value {
    let mut list = json!({ "type": "array", "items": item });
    if fewest > 0 {
        list["minItems"] = json!(fewest);
    }
    if most < usize::MAX {
        list["maxItems"] = json!(most);
    }
    list
}

fn configuration() -> Value {
    let aspects: Map<String, Value> = Aspect::ALL
        .into_iter()
        .map(|aspect| {
            let settings: Vec<&str> = aspect.settings().iter().map(|setting| setting.word()).collect();
            (aspect.word().to_string(), json!({ "type": "string", "enum": settings }))
        })
        .collect();
    json!({ "type": "object", "additionalProperties": false, "properties": aspects })
}
