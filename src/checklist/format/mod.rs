//! The checklist format as one table of keys. The schema for editors and the reference are made from it; a test holds
//! it to the reader, key by key. The words that a key may have are the reader's own constants.
//!
//! The table tells form. What needs more than one key or file (a step that waits for another one, a limit that is
//! empty) tells the reader alone: `spanwise check`.

mod checklist;
mod reference;
mod schema;
mod step;
mod supplement;
#[cfg(test)]
mod tests;

pub use checklist::CHECKLIST;
pub use reference::reference;
pub use schema::schema;

/// One kind of table of the file.
#[derive(Debug)]
pub struct Shape {
    /// Its name in the schema.
    pub name: &'static str,
    /// As it stands in a file: `[[step]]`.
    pub heading: &'static str,
    /// As messages of the reader call it.
    pub what: &'static str,
    pub about: &'static str,
    pub keys: &'static [Key],
    /// Fewest and most keys, where the reader counts them.
    pub count: Option<(usize, usize)>,
}

#[derive(Debug)]
pub struct Key {
    pub name: &'static str,
    pub form: Form,
    pub is_required: bool,
    /// Only for tables whose `kind` is one of these; empty means all.
    pub only: &'static [&'static str],
    /// Keys that must stand beside it.
    pub with: &'static [&'static str],
    pub default: &'static str,
    pub unit: &'static str,
    pub meaning: &'static str,
    /// A value as it is written in TOML.
    pub example: &'static str,
}

/// What may stand behind a key.
#[derive(Debug, Clone, Copy)]
pub enum Form {
    Text,
    /// A text of at most so many characters.
    Line(usize),
    /// Lower-case words joined by "-", or by "." as well.
    Id {
        dots: bool,
    },
    Version,
    Word(fn() -> Vec<&'static str>),
    Flag,
    /// A whole number from the least one on.
    Whole(u32),
    /// A decided number: a decimal in quotes, or a whole number.
    Number,
    Unit,
    /// A number with its unit.
    Quantity,
    /// Two ends and a unit of length: "4250..4310 mm".
    Range,
    Date,
    /// A list of texts, with its fewest and most.
    Texts(usize, usize),
    Words(fn() -> Vec<&'static str>),
    /// A table of checklist ids with ranges of versions.
    Requirements,
    /// A table of the airframe's aspects with their settings.
    Configuration,
    Table(&'static Shape),
    Tables(&'static Shape),
}

const fn key(name: &'static str, form: Form, meaning: &'static str, example: &'static str) -> Key {
    Key { name, form, is_required: false, only: &[], with: &[], default: "", unit: "", meaning, example }
}

impl Key {
    const fn required(self) -> Key {
        Key { is_required: true, ..self }
    }

    const fn only(self, only: &'static [&'static str]) -> Key {
        Key { only, ..self }
    }

    const fn with(self, with: &'static [&'static str]) -> Key {
        Key { with, ..self }
    }

    const fn default(self, default: &'static str) -> Key {
        Key { default, ..self }
    }

    const fn unit(self, unit: &'static str) -> Key {
        Key { unit, ..self }
    }

    /// Whether it belongs into a table of this kind.
    pub fn is_for(&self, kind: &str) -> bool {
        self.only.is_empty() || self.only.contains(&kind)
    }
}

impl Shape {
    /// The kinds that `kind` chooses between, where keys depend on them.
    pub fn kinds(&self) -> Vec<&'static str> {
        let depends = self.keys.iter().any(|key| !key.only.is_empty());
        let words = self.keys.iter().find_map(|key| match key.form {
            Form::Word(words) if key.name == "kind" => Some(words()),
            _ => None,
        });
        words.filter(|_| depends).unwrap_or_default()
    }

    /// This table and all below it, each once, in the order of a file.
    pub fn all(&'static self) -> Vec<&'static Shape> {
        let mut found: Vec<&'static Shape> = Vec::new();
        let mut waiting = vec![self];
        while let Some(shape) = waiting.pop() {
            if found.iter().any(|known| known.name == shape.name) {
                continue;
            }
            found.push(shape);
            let below = shape.keys.iter().rev().filter_map(|key| match key.form {
                Form::Table(below) | Form::Tables(below) => Some(below),
                _ => None,
            });
            waiting.extend(below);
        }
        found
    }
}
