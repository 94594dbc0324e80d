//! The languages, and which of them is spoken: one for the program, chosen once at the start.

use std::cell::Cell;
use std::sync::atomic::{AtomicU8, Ordering};

/// A language with the way in which it writes numbers and days.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Language {
    English,
    German,
    /// German with the decimal point.
    SwissGerman,
    /// Every text of the catalogue with other letters: what stays readable does not come from the catalogue.
    Proof,
}

/// The words by which a language is chosen.
pub const LANGUAGES: [(&str, Language); 4] = [
    ("en", Language::English),
    ("de", Language::German),
    ("de-CH", Language::SwissGerman),
    ("qps", Language::Proof),
];

impl Language {
    /// The language tag (BCP 47), for the head of a document.
    pub fn tag(self) -> &'static str {
        LANGUAGES.iter().find(|(_, language)| *language == self).map_or("en", |(tag, _)| tag)
    }

    pub fn named(word: &str) -> Option<Language> {
        LANGUAGES.iter().find(|(tag, _)| tag.eq_ignore_ascii_case(word)).map(|(_, language)| *language)
    }

    /// The word by which the catalogues' files are named; `None` where the English in the code is what is shown.
    pub fn catalogue(self) -> Option<&'static str> {
        match self {
            Language::English | Language::Proof => None,
            Language::German | Language::SwissGerman => Some("de"),
        }
    }

    fn of_number(number: u8) -> Language {
        LANGUAGES.get(usize::from(number)).map_or(Language::English, |(_, language)| *language)
    }
}

/// The language that a POSIX locale name asks for (`de_CH.UTF-8`); `None` where it is none of ours.
pub fn of_locale(name: &str) -> Option<Language> {
    let name = name.split(['.', '@']).next().unwrap_or_default().replace('_', "-");
    Language::named(&name).filter(|language| *language != Language::Proof).or_else(|| {
        match name.split('-').next() {
            Some("de") => Some(Language::German),
            Some("en") => Some(Language::English),
            _ => None,
        }
    })
}

static SPOKEN: AtomicU8 = AtomicU8::new(0);

thread_local! {
    static HERE: Cell<Option<Language>> = const { Cell::new(None) };
}

/// Chooses the language of the whole program.
pub fn speak(language: Language) {
    let number = LANGUAGES.iter().position(|(_, known)| *known == language).unwrap_or(0);
    SPOKEN.store(u8::try_from(number).unwrap_or(0), Ordering::Relaxed);
}

/// Does `work` in another language, in this thread only: a document for somebody who reads another one, or a test.
pub fn with_language<T>(language: Language, work: impl FnOnce() -> T) -> T {
    struct Back(Option<Language>);
    impl Drop for Back {
        fn drop(&mut self) {
            HERE.set(self.0);
        }
    }
    let _back = Back(HERE.replace(Some(language)));
    work()
}

/// The language that is spoken here and now.
pub fn current() -> Language {
    HERE.get().unwrap_or_else(|| Language::of_number(SPOKEN.load(Ordering::Relaxed)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn locale_names_are_understood_as_posix_writes_them() {
        assert_eq!(of_locale("de_DE.UTF-8"), Some(Language::German));
        assert_eq!(of_locale("de_CH.UTF-8"), Some(Language::SwissGerman));
        assert_eq!(of_locale("de_AT@euro"), Some(Language::German));
        assert_eq!(of_locale("en_GB"), Some(Language::English));
        assert_eq!(of_locale("C.UTF-8"), None);
        assert_eq!(of_locale("qps"), None);
        assert_eq!(of_locale(""), None);
    }

    #[test]
    fn a_language_for_one_piece_of_work_is_left_again() {
        with_language(Language::German, || {
            assert_eq!(current(), Language::German);
            let failed = std::panic::catch_unwind(|| with_language(Language::Proof, || panic!("stop")));
            assert!(failed.is_err());
            assert_eq!(current(), Language::German);
        });
    }
}
