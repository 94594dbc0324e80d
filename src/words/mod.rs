//! Every word that a person reads, in the language that was chosen. The English text stands where it is used and is the key
//! of the catalogue; `de/*.po` hold the German (gettext's PO format). What goes into a record stays out of here: ids, codes,
//! keys and figures are the same in every language.
//!
//! - [`say!`] for a text in the code, with or without placeholders, with a plural or a context;
//! - [`mark!`] for a text in a constant or a table, which [`said`] translates where it is shown;
//! - [`of_checklist`] for what an author wrote in a checklist;
//! - [`number`], [`date`] and their kin for figures and days.
//!
//! `tests/words.rs` holds the catalogue to the code: no text without its German, no German without its text.

mod catalogue;
mod figures;
mod language;
mod merge;
mod proof;

pub use catalogue::{
    Fault, Translation, add_of_checklist, all_of_checklist, of_checklist, read_translations, said, said_as,
    said_by_count,
};
pub use figures::{date, date_and_time, day, day_of, figure, has_decimal_comma, moment_of, neutral, number};
pub use language::{LANGUAGES, Language, current, of_locale, speak, with_language};
pub use merge::{Merged, merged};

/// A text in the chosen language.
///
/// - `say!("Defects")` is a `&'static str`;
/// - `say!("step {} of {}", at, count)`, `say!("no step {id}", id = id)` are a `String`. A placeholder is `{}`, `{0}` or
///   `{name}`; how a value is to look (`{:.2}`, `{:>5}`) is settled before, by `format_args!` or by [`number`];
/// - `say!("one defect" | "{n} defects" % count)` chooses by the count, which `{n}` shows;
/// - `say!("of a step" => "open")` names the context where one English word is two in another language.
macro_rules! say {
    ($text:literal) => { $crate::words::said($text) };
    ($context:literal => $text:literal) => { $crate::words::said_as($context, $text) };
    ($one:literal | $many:literal % $n:expr, $($values:tt)+) => {{
        let n = $n;
        ::tr::runtime_format!($crate::words::said_by_count(n as u64, $one, $many), $($values)+, n = n)
    }};
    ($one:literal | $many:literal % $n:expr) => {{
        let n = $n;
        ::tr::runtime_format!($crate::words::said_by_count(n as u64, $one, $many), n = n)
    }};
    ($context:literal => $text:literal, $($values:tt)+) => {
        ::tr::runtime_format!($crate::words::said_as($context, $text), $($values)+)
    };
    ($text:literal, $($values:tt)+) => { ::tr::runtime_format!($crate::words::said($text), $($values)+) };
}

/// A text of the catalogue that is shown elsewhere, through [`said`] (with a context: [`said_as`]); it stays as it is.
macro_rules! mark {
    ($context:literal => $text:literal) => {
        $text
    };
    ($text:literal) => {
        $text
    };
}
