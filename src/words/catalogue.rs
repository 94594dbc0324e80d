//! The catalogue: gettext PO files, embedded, read when a language that needs them is first spoken.

use std::borrow::Cow;
use std::collections::HashMap;
use std::sync::{LazyLock, OnceLock, RwLock};

use include_dir::{Dir, include_dir};

use super::language::{Language, current};
use super::proof::proof;
use crate::embedded::CHECKLISTS;

static GERMAN: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/src/words/de");

/// Parts the context from the text, as compiled gettext catalogues do.
const CONTEXT: char = '\u{4}';

/// Text of the code → text to show; for a plural the singular is the key.
type Texts = HashMap<String, Vec<&'static str>>;

/// One text of a translation file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Translation {
    pub text: String,
    pub context: Option<String>,
    /// The text for other counts than one, where there is one.
    pub plural: Option<String>,
    /// Singular and plural; one where the text knows no plural, none where nothing is translated yet.
    pub forms: Vec<String>,
    /// A translation that somebody marked as fuzzy: kept in the file, and shown to nobody.
    pub unsure: Option<String>,
}

/// Why a translation file cannot be used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault(pub String);

/// Reads a PO file. Texts that are marked fuzzy count as not translated: somebody must look at them first.
///
/// # Errors
/// What the file has that is no PO format.
pub fn read_translations(po: &str) -> Result<Vec<Translation>, Fault> {
    let catalogue =
        polib::po_file::parse_from_reader(po.as_bytes()).map_err(|error| Fault(error.to_string()))?;
    Ok(catalogue
        .messages()
        .map(|message| {
            let written = match message.is_plural() {
                true => message.msgstr_plural().cloned().unwrap_or_default(),
                false => message.msgstr().map(|text| vec![text.to_string()]).unwrap_or_default(),
            };
            let (forms, unsure) = match (message.is_translated(), message.is_fuzzy()) {
                (true, false) => (written, None),
                (_, true) => (Vec::new(), written.into_iter().next()),
                (false, false) => (Vec::new(), None),
            };
            let context = Some(message.msgctxt().unwrap_or_default()).filter(|context| !context.is_empty());
            let plural = message.is_plural().then(|| message.msgid_plural().unwrap_or_default().to_string());
            Translation {
                text: message.msgid().to_string(),
                context: context.map(str::to_string),
                plural,
                forms,
                unsure,
            }
        })
        .collect())
}

/// Texts live as long as the program: a label is shown in every frame.
fn kept(texts: Vec<Translation>) -> impl Iterator<Item = (String, Vec<&'static str>)> {
    texts.into_iter().filter(|text| !text.forms.is_empty()).map(|text| {
        let forms = text.forms.into_iter().map(|form| &*form.leak()).collect();
        (key(text.context.as_deref(), &text.text).into_owned(), forms)
    })
}

/// The reader of checklists trims what an author wrote; a translation file keeps the line's end of a text of several lines.
fn kept_of_checklist(texts: Vec<Translation>) -> impl Iterator<Item = (String, Vec<&'static str>)> {
    let trimmed = |mut text: Translation| {
        text.text = text.text.trim().to_string();
        text.forms = text.forms.iter().map(|form| form.trim().to_string()).collect();
        text
    };
    kept(texts.into_iter().map(trimmed).collect())
}

fn key<'a>(context: Option<&str>, text: &'a str) -> Cow<'a, str> {
    match context {
        None => Cow::Borrowed(text),
        Some(context) => Cow::Owned(format!("{context}{CONTEXT}{text}")),
    }
}

/// The program's own German. A file that cannot be read is left out here; a test reads them all.
fn german() -> &'static Texts {
    static TEXTS: OnceLock<Texts> = OnceLock::new();
    TEXTS.get_or_init(|| {
        let files = GERMAN.files().filter_map(|file| file.contents_utf8());
        files.filter_map(|po| read_translations(po).ok()).flat_map(kept).collect()
    })
}

static OF_CHECKLISTS: LazyLock<RwLock<Texts>> = LazyLock::new(|| {
    let files = CHECKLISTS.dirs().flat_map(Dir::files);
    let po = files.filter(|file| file.path().file_name().is_some_and(|name| name == "de.po"));
    let texts = po.filter_map(|file| file.contents_utf8()).filter_map(|po| read_translations(po).ok());
    RwLock::new(texts.flat_map(kept_of_checklist).collect())
});

/// The text in the language that is spoken; itself where the catalogue does not know it.
pub fn said(text: &str) -> &str {
    looked_up(None, text).unwrap_or(text)
}

/// As [`said`], where the context settles which of two meanings is meant.
pub fn said_as<'a>(context: &str, text: &'a str) -> &'a str {
    looked_up(Some(context), text).unwrap_or(text)
}

fn looked_up(context: Option<&str>, text: &str) -> Option<&'static str> {
    match current() {
        Language::English => None,
        Language::Proof => Some(proved(text)),
        _ => german().get(&*key(context, text)).and_then(|forms| forms.first()).copied(),
    }
}

/// What an author wrote in a checklist, in the language that is spoken; the original where no translation of exactly this text
/// is known. A changed original never meets the translation of its old wording.
pub fn of_checklist(text: &str) -> &str {
    let language = current();
    match language.catalogue() {
        None if language == Language::Proof => proved(text),
        None => text,
        Some(_) => {
            let texts = OF_CHECKLISTS.read().unwrap_or_else(std::sync::PoisonError::into_inner);
            texts.get(text).and_then(|forms| forms.first()).copied().unwrap_or_else(|| said(text))
        }
    }
}

/// As [`of_checklist`], of several words, parted by commas.
pub fn all_of_checklist(texts: &[String]) -> String {
    texts.iter().map(|text| of_checklist(text)).collect::<Vec<_>>().join(", ")
}

/// Takes in a hangar's own translations of its checklists; what is known already stays.
pub fn add_of_checklist(texts: Vec<Translation>) {
    let mut known = OF_CHECKLISTS.write().unwrap_or_else(std::sync::PoisonError::into_inner);
    // What is kept is kept for ever: a hangar that is read again must not keep its texts anew.
    let new = texts.into_iter().filter(|text| !known.contains_key(text.text.trim())).collect();
    let new: Vec<_> = kept_of_checklist(new).collect();
    for (text, forms) in new {
        known.entry(text).or_insert(forms);
    }
}

/// A text of the proof language; kept, since a label lives as long as the program.
fn proved(text: &str) -> &'static str {
    static TEXTS: LazyLock<RwLock<HashMap<String, &'static str>>> = LazyLock::new(RwLock::default);
    if let Some(known) = TEXTS.read().unwrap_or_else(std::sync::PoisonError::into_inner).get(text) {
        return known;
    }
    let mut texts = TEXTS.write().unwrap_or_else(std::sync::PoisonError::into_inner);
    texts.entry(text.to_string()).or_insert_with(|| proof(text).leak())
}

/// As [`said`], chosen by a count. English and German part one from all else: gettext's `plural=(n != 1)`.
pub fn said_by_count<'a>(n: u64, one: &'a str, many: &'a str) -> &'a str {
    let (at, english) = if n == 1 { (0, one) } else { (1, many) };
    match current() {
        Language::English => english,
        Language::Proof => proved(english),
        _ => german().get(one).and_then(|forms| forms.get(at)).copied().unwrap_or(english),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PO: &str = "msgid \"\"\nmsgstr \"\"\n\"Language: de\\n\"\n\"Plural-Forms: nplurals=2; plural=(n != 1);\\n\"\n\n\
        msgid \"one \\\"step\\\"\\n\"\nmsgstr \"ein „Schritt“\\n\"\n\n\
        msgctxt \"of a step\"\nmsgid \"open\"\nmsgstr \"offen\"\n\n\
        #, fuzzy\nmsgid \"unsure\"\nmsgstr \"unsicher\"\n\n\
        msgid \"one defect\"\nmsgid_plural \"{n} defects\"\nmsgstr[0] \"ein Mangel\"\nmsgstr[1] \"{n} Mängel\"\n";

    #[test]
    fn a_translation_file_is_read_as_gettext_writes_it() {
        let texts = read_translations(PO).expect("PO format");
        let find = |text: &str| texts.iter().find(|known| known.text == text).expect("the text");
        assert_eq!(find("one \"step\"\n").forms, ["ein „Schritt“\n"]);
        assert_eq!(find("open").context.as_deref(), Some("of a step"));
        assert!(find("unsure").forms.is_empty());
        assert_eq!(find("unsure").unsure.as_deref(), Some("unsicher"));
        assert_eq!(find("one defect").forms, ["ein Mangel", "{n} Mängel"]);
        assert!(read_translations("msgid nothing").is_err());
    }
}
