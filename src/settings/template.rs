//! The config file as `config init` writes it: every key explained, none set.

use std::fmt::Write as _;

use super::{Form, KEYS};
use crate::words::said;

/// A commented file that sets nothing.
pub fn template() -> String {
    let mut text = String::from(say!(
        "# Settings of spanwise for this account. What stands behind a # is a remark: take the # away to set a key.\n\
         # An argument goes before an environment variable, that before this file. What holds now: spanwise config\n"
    ));
    for key in KEYS {
        let words = match key.form {
            Form::Choice(words) => say!(" One of: {}.", words.join(", ")),
            _ => String::new(),
        };
        let before = match key.argument {
            "" => key.variable.to_string(),
            argument => format!("{argument}, {}", key.variable),
        };
        // Writing into a string cannot fail.
        let _ = text.write_str(&say!(
            "\n# {}.{words}\n# Before it: {before}.\n# {} = {}\n",
            said(key.about),
            key.key,
            key.example,
            words = words,
            before = before
        ));
    }
    text
}
