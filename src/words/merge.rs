//! A translation file brought up to date with the texts that it is for.

use std::collections::HashMap;
use std::io::BufWriter;

use polib::catalog::Catalog;
use polib::message::{Message, MessageFlags};
use polib::metadata::CatalogMetadata;

use super::catalogue::{Fault, Translation, read_translations};

/// What the file is like after it was brought up to date.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Merged {
    /// The file, in PO format.
    pub po: String,
    /// Texts that are translated, of `all`.
    pub translated: usize,
    pub all: usize,
    /// Texts without translation.
    pub missing: Vec<String>,
    /// Translations whose figures are not those of their text: text, translation.
    pub differing: Vec<(String, String)>,
    /// Translated texts that the file holds and nothing uses now; they are kept at its end, for older editions.
    pub unused: Vec<String>,
}

/// Puts `texts` (place, text) with the translations of `old` into one file. A translation belongs to exactly its text: where the
/// text was changed, it is missing again. Texts that somebody marked as fuzzy stay so and count as missing.
///
/// # Errors
/// What `old` has that is no PO format.
pub fn merged(texts: &[(String, String)], old: &str, language: &str) -> Result<Merged, Fault> {
    let old_texts = read_translations(old)?;
    let known: HashMap<&str, &Translation> = old_texts.iter().map(|old| (old.text.as_str(), old)).collect();
    let mut catalogue = Catalog::new(head(language)?);
    let mut told = Merged { all: texts.len(), ..Merged::default() };
    for (place, text) in texts {
        let old = known.get(text.as_str());
        let translation = old.and_then(|old| old.forms.first()).map(String::as_str);
        match translation {
            Some(translation) if figures(text) != figures(translation) => {
                told.differing.push((text.clone(), translation.to_string()));
                told.translated += 1;
            }
            Some(_) => told.translated += 1,
            None => told.missing.push(text.clone()),
        }
        let fuzzy = old.and_then(|old| old.unsure.as_deref());
        catalogue.append_or_update(message(place, text, translation.or(fuzzy), fuzzy.is_some()));
    }
    let older = old_texts
        .iter()
        .filter(|old| !old.forms.is_empty() && !texts.iter().any(|(_, text)| *text == old.text));
    for one in older {
        told.unused.push(one.text.clone());
        catalogue.append_or_update(message(
            "in no step of this edition",
            &one.text,
            one.forms.first().map(String::as_str),
            false,
        ));
    }
    told.po = written(&catalogue)?;
    Ok(told)
}

fn message(place: &str, text: &str, translation: Option<&str>, is_unsure: bool) -> Message {
    let mut builder = Message::build_singular();
    builder
        .with_extracted_comments(place.to_string())
        .with_msgid(text.to_string())
        .with_msgstr(translation.unwrap_or_default().to_string());
    if is_unsure {
        let mut flags = MessageFlags::new();
        flags.add_flag("fuzzy");
        builder.with_flags(flags);
    }
    builder.done()
}

fn head(language: &str) -> Result<CatalogMetadata, Fault> {
    let text = format!(
        "MIME-Version: 1.0\nContent-Type: text/plain; charset=UTF-8\nContent-Transfer-Encoding: 8bit\nLanguage: {language}\n\
         Plural-Forms: nplurals=2; plural=(n != 1);\n"
    );
    CatalogMetadata::parse(&text).map_err(|error| Fault(error.to_string()))
}

fn written(catalogue: &Catalog) -> Result<String, Fault> {
    let mut bytes = Vec::new();
    let mut writer = BufWriter::new(&mut bytes);
    polib::po_file::write(catalogue, &mut writer).map_err(|error| Fault(error.to_string()))?;
    drop(writer);
    String::from_utf8(bytes).map_err(|error| Fault(error.to_string()))
}

/// The digits of a text in groups, sorted: a translation that says 15 kgf where the text says 150 N is found. A decimal comma
/// parts the groups just as a point does.
fn figures(text: &str) -> Vec<&str> {
    let mut groups: Vec<&str> =
        text.split(|c: char| !c.is_ascii_digit()).filter(|group| !group.is_empty()).collect();
    groups.sort_unstable();
    groups
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(pairs: &[(&str, &str)]) -> Vec<(String, String)> {
        pairs.iter().map(|(place, text)| (place.to_string(), text.to_string())).collect()
    }

    #[test]
    fn translations_stay_with_their_text_and_a_changed_text_is_missing_again() {
        let first =
            merged(&texts(&[("a title", "Look"), ("b hint", "Push with 150 N.")]), "", "de").expect("a file");
        assert_eq!((first.translated, first.all), (0, 2));
        let filled =
            first.po.replace("msgid \"Look\"\nmsgstr \"\"", "msgid \"Look\"\nmsgstr \"Ansehen\"").replace(
                "msgid \"Push with 150 N.\"\nmsgstr \"\"",
                "msgid \"Push with 150 N.\"\nmsgstr \"Mit 15 N drücken.\"",
            );
        let second = merged(&texts(&[("a title", "Look"), ("b hint", "Push with 150 N.")]), &filled, "de")
            .expect("a file");
        assert_eq!((second.translated, second.missing.len()), (2, 0));
        assert_eq!(second.differing, [("Push with 150 N.".to_string(), "Mit 15 N drücken.".to_string())]);
        let third = merged(&texts(&[("a title", "Look closely")]), &second.po, "de").expect("a file");
        assert_eq!(third.missing, ["Look closely"]);
        assert_eq!(third.unused, ["Look", "Push with 150 N."]);
        let fourth = merged(&texts(&[("a title", "Look")]), &third.po, "de").expect("a file");
        assert_eq!((fourth.translated, fourth.all), (1, 1));
    }

    #[test]
    fn an_unsure_translation_stays_in_the_file_and_counts_as_missing() {
        let old =
            "msgid \"\"\nmsgstr \"\"\n\"Language: de\\n\"\n\n#, fuzzy\nmsgid \"Look\"\nmsgstr \"Sehen?\"\n";
        let told = merged(&texts(&[("a title", "Look")]), old, "de").expect("a file");
        assert_eq!(told.missing, ["Look"]);
        assert!(told.po.contains("#, fuzzy\nmsgid \"Look\"\nmsgstr \"Sehen?\""), "{}", told.po);
        assert!(merged(&[], "msgid broken", "de").is_err());
    }
}
