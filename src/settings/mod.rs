//! What a person sets once for all calls: the table of keys, the reader of the config file, and which of several places
//! a value comes from. Pure: text and variables are handed in.

mod read;
mod template;

pub use read::{FileSettings, read_settings};
pub use template::template;

use crate::diagnostic::suggest;

/// How a key is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    Text,
    /// A folder: from the root, or from the home folder as `~/…`. From wherever one stands it would be another each time.
    Folder,
    Flag,
    /// From 1.
    Whole,
    Choice(&'static [&'static str]),
}

/// One key of the config file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Key {
    pub key: &'static str,
    pub form: Form,
    /// Empty: nothing is set.
    pub default: &'static str,
    /// The environment variable that goes before the file.
    pub variable: &'static str,
    /// The argument that goes before the variable; empty where there is none.
    pub argument: &'static str,
    /// As the catalogue has it; `said` translates it where it is shown.
    pub about: &'static str,
    /// As written into the file.
    pub example: &'static str,
}

pub const HANGAR: &str = "hangar";
pub const PERSON: &str = "person";
pub const THEME: &str = "theme";
pub const ASCII: &str = "ascii";
pub const COLOUR: &str = "colour";
pub const BIG_TARGETS: &str = "big_targets";
pub const PEOPLE: &str = "people";
pub const LANGUAGE: &str = "language";
pub const PAPER: &str = "paper";
pub const LOG_LEVEL: &str = "log_level";

/// Its variable is one that many programs know: any text means "never".
const NO_COLOUR: &str = "NO_COLOR";

/// Every key, in the order in which they are shown.
pub const KEYS: &[Key] = &[
    Key {
        key: HANGAR,
        form: Form::Folder,
        default: "",
        variable: "SPANWISE_HANGAR",
        argument: "--hangar",
        about: mark!(
            "folder with airframes, registers, checklists and sessions; without it the account's data folder"
        ),
        example: "\"~/club/hangar\"",
    },
    Key {
        key: PERSON,
        form: Form::Text,
        default: "",
        variable: "SPANWISE_PERSON",
        argument: "--by",
        about: mark!(
            "who works here, an id of the people register; not for a computer that several people use"
        ),
        example: "\"tamsin-orrel\"",
    },
    Key {
        key: THEME,
        form: Form::Choice(&["auto", "dark", "sun", "colour-blind"]),
        default: "auto",
        variable: "SPANWISE_THEME",
        argument: "--theme",
        about: mark!("colours of the screens; auto: as they were left last"),
        example: "\"dark\"",
    },
    Key {
        key: ASCII,
        form: Form::Flag,
        default: "no",
        variable: "SPANWISE_ASCII",
        argument: "",
        about: mark!("draw with plain ASCII characters; without it only on a console that has no others"),
        example: "true",
    },
    Key {
        key: COLOUR,
        form: Form::Choice(&["auto", "never"]),
        default: "auto",
        variable: NO_COLOUR,
        argument: "",
        about: mark!("colours on the screens; results are told by word and sign as well"),
        example: "\"never\"",
    },
    Key {
        key: BIG_TARGETS,
        form: Form::Flag,
        default: "no",
        variable: "SPANWISE_BIG",
        argument: "--big",
        about: mark!("larger fields for fingers and gloves on a touch screen"),
        example: "true",
    },
    Key {
        key: PEOPLE,
        form: Form::Whole,
        default: "",
        variable: "SPANWISE_PEOPLE",
        argument: "--people of order",
        about: mark!("how many people are usually at hand, the inspector among them"),
        example: "3",
    },
    Key {
        key: LANGUAGE,
        form: Form::Choice(&["auto", "en", "de", "de-CH", "qps"]),
        default: "auto",
        variable: "SPANWISE_LANGUAGE",
        argument: "--language",
        about: mark!(
            "language of screens and paper; auto: as the account's locale says, else English; qps marks every translated word"
        ),
        example: "\"de\"",
    },
    Key {
        key: PAPER,
        form: Form::Choice(&["a4", "letter"]),
        default: "a4",
        variable: "SPANWISE_PAPER",
        argument: "--paper",
        about: mark!("size of printed pages, of report and worksheet"),
        example: "\"a4\"",
    },
    Key {
        key: LOG_LEVEL,
        form: Form::Choice(&["off", "error", "info", "debug"]),
        default: "info",
        variable: "SPANWISE_LOG",
        argument: "",
        about: mark!("what is kept in the log file: nothing, what went wrong, what was done, every call"),
        example: "\"info\"",
    },
];

/// Where a value comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    Argument,
    Environment,
    /// The line of the config file, from 1.
    Config(usize),
    Default,
}

/// One key with the value that holds. Flags are "yes" or "no".
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Setting {
    pub key: &'static Key,
    /// `None`: nothing is set, and nothing is set by default.
    pub value: Option<String>,
    pub origin: Origin,
}

impl Setting {
    /// Where it comes from, in words.
    pub fn origin_words(&self) -> String {
        match self.origin {
            Origin::Argument => say!("argument {}", self.key.argument),
            Origin::Environment => say!("environment {}", self.key.variable),
            Origin::Config(line) => say!("config file, line {line}", line = line),
            Origin::Default => say!("default").to_string(),
        }
    }
}

/// Every key of [`KEYS`] with the value that holds, in that order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Settings(Vec<Setting>);

impl Default for Settings {
    fn default() -> Self {
        let bare = |key: &'static Key| Setting { key, value: by_default(key), origin: Origin::Default };
        Settings(KEYS.iter().map(bare).collect())
    }
}

fn by_default(key: &Key) -> Option<String> {
    (!key.default.is_empty()).then(|| key.default.to_string())
}

impl Settings {
    pub fn all(&self) -> &[Setting] {
        &self.0
    }

    /// The value of one of the keys above.
    pub fn value(&self, key: &str) -> Option<&str> {
        self.setting(key).and_then(|setting| setting.value.as_deref())
    }

    pub fn is_set(&self, key: &str) -> bool {
        self.setting(key).is_some_and(|setting| setting.origin != Origin::Default)
    }

    pub fn flag(&self, key: &str) -> bool {
        self.value(key) == Some("yes")
    }

    pub fn whole(&self, key: &str) -> Option<u32> {
        self.value(key).and_then(|value| value.parse().ok())
    }

    fn setting(&self, key: &str) -> Option<&Setting> {
        self.0.iter().find(|setting| setting.key.key == key)
    }

    /// Chooses for each key: argument before environment before file before default. The second list tells which
    /// variables cannot be used, a line each; what comes after them holds then.
    pub fn choose(
        argument: impl Fn(&Key) -> Option<String>,
        variable: impl Fn(&str) -> Option<String>,
        file: &FileSettings,
    ) -> (Settings, Vec<String>) {
        let mut troubles = Vec::new();
        let mut chosen = Vec::with_capacity(KEYS.len());
        for key in KEYS {
            let from_environment = variable(key.variable).filter(|text| !text.is_empty()).and_then(|text| {
                of_variable(key, &text)
                    .map_err(|why| troubles.push(say!("the variable {}: {why}", key.variable, why = why)))
                    .ok()
            });
            let from_file = || file.value(key.key).map(|(value, line)| (value, Origin::Config(line)));
            let (value, origin) = argument(key)
                .map(|value| (value, Origin::Argument))
                .or_else(|| from_environment.map(|value| (value, Origin::Environment)))
                .or_else(from_file)
                .map_or((by_default(key), Origin::Default), |(value, origin)| (Some(value), origin));
            chosen.push(Setting { key, value, origin });
        }
        (Settings(chosen), troubles)
    }
}

/// What a variable says. A folder is taken as the shell gives it; of a flag only a clear no is one.
fn of_variable(key: &Key, text: &str) -> Result<String, String> {
    match key.form {
        Form::Folder | Form::Text => Ok(text.to_string()),
        Form::Flag => {
            let is_no = ["0", "no", "false", "off"].contains(&text.to_ascii_lowercase().as_str());
            Ok(if is_no { "no" } else { "yes" }.to_string())
        }
        Form::Choice(_) if key.variable == NO_COLOUR => Ok("never".to_string()),
        Form::Whole | Form::Choice(_) => checked(key, text),
    }
}

/// A typed value in the form that is kept.
///
/// # Errors
/// What is wrong with it and how it is written.
pub fn checked(key: &Key, text: &str) -> Result<String, String> {
    let text = text.trim();
    match key.form {
        _ if text.is_empty() => Err(say!("nothing is given").to_string()),
        Form::Text => Ok(text.to_string()),
        Form::Folder if text.starts_with('/') || text.starts_with("~/") || has_drive(text) => {
            Ok(text.to_string())
        }
        Form::Folder => Err(say!(
            "\"{text}\" depends on where the program is called; write the folder from the root, or as ~/{text}",
            text = text
        )),
        Form::Flag => match text {
            "yes" | "true" => Ok("yes".to_string()),
            "no" | "false" => Ok("no".to_string()),
            _ => Err(say!("\"{text}\" is neither true nor false", text = text)),
        },
        Form::Whole => match text.parse::<u32>() {
            Ok(number) if number > 0 => Ok(number.to_string()),
            _ => Err(say!("\"{text}\" is no whole number from 1", text = text)),
        },
        Form::Choice(words) if words.contains(&text) => Ok(text.to_string()),
        Form::Choice(words) => {
            let hint =
                suggest(text, words.iter().copied()).unwrap_or_else(|| say!("known: {}", words.join(", ")));
            Err(say!("\"{text}\" is no known {}; {hint}", key.key, text = text, hint = hint))
        }
    }
}

/// `C:\…` and `\\server\…`, where the root is written so.
fn has_drive(text: &str) -> bool {
    text.starts_with("\\\\") || text.as_bytes().get(1) == Some(&b':')
}

/// The key of this name.
pub fn key_of(name: &str) -> Option<&'static Key> {
    KEYS.iter().find(|key| key.key == name)
}

#[cfg(test)]
mod tests;
