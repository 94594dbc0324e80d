//! The table as the reference of the format, in Markdown.

use super::{CHECKLIST, Form, Key, Shape};
use crate::checklist::Aspect;
use crate::words::said;

const HEAD: &str = mark!("# Checklist format 1

Made from the program's own table by `spanwise schema --reference`; do not edit it by hand. `spanwise check FILE` is the judge of a
file: it also finds what needs more than one key or more than one file.

One file is one issued edition, `checklists/<id>/<version>.toml`, in TOML. Unknown keys are errors. Numbers that people decide stand in
quotes, so that `\"12.50\"` stays `12.50`. Dates stand without quotes. Names and figures in the examples are invented.

For completion and marks while you write, put this comment into the first line. It names the schema from the file's place, and the
reader passes over it as over every comment:

```toml
#:schema ../schema/checklist.schema.json
```

The schema lies in `checklists/schema/`; into a hangar of your own it comes with
`mkdir -p checklists/schema && spanwise schema checklist > checklists/schema/checklist.schema.json`. It is JSON Schema
draft-07, which TOML language servers
understand most widely.
");

/// The whole reference.
pub fn reference() -> String {
    let mut text = said(HEAD).to_string();
    for shape in CHECKLIST.all() {
        text.push_str(&format!("\n## {}\n\n{}\n\n", said(shape.heading), said(shape.about)));
        text.push_str(say!("| key | type | needed | default | unit | meaning | example |"));
        text.push_str("\n| --- | --- | --- | --- | --- | --- | --- |\n");
        for key in shape.keys {
            text.push_str(&row(shape, key));
        }
    }
    text.push_str(&configuration());
    text
}

fn row(shape: &Shape, key: &Key) -> String {
    let cell = |text: String| if text.is_empty() { "–".to_string() } else { text.replace('|', "\\|") };
    let code = |text: &str| if text.is_empty() { String::new() } else { format!("`{text}`") };
    format!(
        "| `{}` | {} | {} | {} | {} | {} | {} |\n",
        key.name,
        cell(kind_of(key.form)),
        needed(shape, key),
        cell(code(key.default)),
        cell(said(key.unit).to_string()),
        cell(said(key.meaning).to_string()),
        cell(code(key.example))
    )
}

fn needed(shape: &Shape, key: &Key) -> String {
    let mut text = if key.is_required { say!("yes") } else { say!("no") }.to_string();
    if !key.only.is_empty() && shape.kinds().len() > key.only.len() {
        text.push_str(&say!("; only for {}", key.only.join(", ")));
    }
    if !key.with.is_empty() {
        let with: Vec<String> = key.with.iter().map(|name| format!("`{name}`")).collect();
        text.push_str(&say!("; with {}", with.join(", ")));
    }
    text
}

fn kind_of(form: Form) -> String {
    let listed = |words: Vec<&str>| words.join(", ");
    match form {
        Form::Text => say!("text").to_string(),
        Form::Line(most) => say!("text, up to {most} characters", most = most),
        Form::Id { dots: false } => say!("id: lower-case words joined by \"-\"").to_string(),
        Form::Id { dots: true } => say!("id: lower-case words joined by \".\" or \"-\"").to_string(),
        Form::Version => say!("version in quotes").to_string(),
        Form::Word(words) => say!("one of {}", listed(words())),
        Form::Flag => say!("true or false").to_string(),
        Form::Whole(0) => say!("whole number").to_string(),
        Form::Whole(least) => say!("whole number from {least} on", least = least),
        Form::Number => say!("number in quotes").to_string(),
        Form::Unit => say!("unit").to_string(),
        Form::Quantity => say!("number and unit in quotes").to_string(),
        Form::Range => say!("range and unit of length in quotes").to_string(),
        Form::Date => say!("date").to_string(),
        Form::Texts(0, _) => say!("list of texts").to_string(),
        Form::Texts(fewest, usize::MAX) => say!("list of at least {fewest} texts", fewest = fewest),
        Form::Texts(fewest, most) => {
            say!("list of {fewest} to {most} texts", fewest = fewest, most = most)
        }
        Form::Words(words) => say!("list of {}", listed(words())),
        Form::Requirements => say!("table: id = \"range of versions\"").to_string(),
        Form::Configuration => say!("table, see Configuration").to_string(),
        Form::Table(below) => say!("table, see {}", said(below.heading)),
        Form::Tables(below) => say!("list of tables, see {}", said(below.heading)),
    }
}

fn configuration() -> String {
    let mut text = format!(
        "\n## {}\n\n{}\n\n{}\n| --- | --- |\n",
        say!("Configuration"),
        say!("What is not named does not matter."),
        say!("| key | one of |")
    );
    for aspect in Aspect::ALL {
        let settings: Vec<&str> = aspect.settings().iter().map(|setting| setting.word()).collect();
        text.push_str(&format!("| `{}` | {} |\n", aspect.word(), settings.join(", ")));
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::{Language, with_language};

    #[test]
    fn every_meaning_of_the_table_has_its_german_in_the_reference() {
        with_language(Language::German, || {
            let text = reference();
            for shape in CHECKLIST.all() {
                for english in shape.keys.iter().map(|key| key.meaning).chain([shape.about]) {
                    let german = said(english);
                    assert!(german != english && text.contains(german), "{}: {english}", shape.name);
                }
            }
        });
    }

    /// Outside of code and lists of the format's own words nothing is left in plain letters.
    #[test]
    fn every_word_of_the_reference_comes_from_the_catalogue() {
        let text = with_language(Language::Proof, reference);
        let mut is_code = false;
        let mut left = Vec::new();
        for line in text.lines() {
            is_code ^= line.starts_with("```");
            let outside: String = line.split('`').step_by(2).collect();
            // What stands in a list of words, behind the colon of its kind or in a column of its own.
            let words = outside.split(|c: char| !c.is_alphanumeric());
            let is_plain = |word: &&str| word.len() > 3 && word.chars().all(|c| c.is_ascii_alphabetic());
            if !is_code && !line.starts_with("```") {
                left.extend(words.filter(is_plain).map(str::to_string));
            }
        }
        let known: Vec<&str> = CHECKLIST
            .all()
            .iter()
            .flat_map(|shape| shape.keys)
            .flat_map(|key| match key.form {
                Form::Word(words) | Form::Words(words) => words(),
                _ => Vec::new(),
            })
            .chain(Aspect::ALL.iter().flat_map(|aspect| aspect.settings()).map(|setting| setting.word()))
            .flat_map(|word| word.split('-'))
            .collect();
        left.retain(|word| !known.contains(&word.as_str()));
        assert!(left.is_empty(), "{left:?}");
    }
}
