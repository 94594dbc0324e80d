//! Questions on the terminal, one by one, each with what it is for; flags answer them for scripts.

use std::io::{BufRead, IsTerminal, Write};

use super::super::output::Failure;

/// Asks, or insists on flags where nobody can be asked.
pub(super) struct Form {
    asks: bool,
}

impl Form {
    pub fn new() -> Form {
        Form { asks: std::io::stdin().is_terminal() && std::io::stdout().is_terminal() }
    }

    /// Somebody sits at a terminal.
    pub fn asks(&self) -> bool {
        self.asks
    }

    pub fn say(&self, text: &str) {
        if self.asks {
            // Whoever closed the terminal reads nothing more.
            drop(writeln!(std::io::stdout().lock(), "{text}"));
        }
    }

    /// The flag's answer, else what is typed, else the default. Without any a script is told which flag is missing.
    pub fn answer(
        &self,
        flag: &str,
        given: Option<&str>,
        question: &str,
        default: Option<&str>,
    ) -> Result<String, Failure> {
        if let Some(given) = given {
            return Ok(given.to_string());
        }
        if !self.asks {
            return default.map(str::to_string).ok_or_else(|| {
                Failure::usage(&say!(
                    "{flag} is missing, and there is no terminal to ask on ({question})",
                    flag,
                    question
                ))
            });
        }
        loop {
            let shown = default.filter(|default| !default.is_empty()).map(|default| format!(" [{default}]"));
            let mut out = std::io::stdout().lock();
            drop(write!(out, "\n{question}{}\n> ", shown.unwrap_or_default()));
            drop(out.flush());
            drop(out);
            let typed = read_line()?;
            match (typed.trim(), default) {
                ("", Some(default)) => return Ok(default.to_string()),
                ("", None) => self.say(say!("This cannot be left out.")),
                (typed, _) => return Ok(typed.to_string()),
            }
        }
    }

    /// As [`Form::answer`], with words that must be understood: at a terminal a person is told and asked once more.
    ///
    /// # Errors
    /// A flag that is not understood, as a refusal that names it.
    pub fn read<T>(
        &self,
        flag: &str,
        given: Option<&str>,
        question: &str,
        default: Option<&str>,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> Result<T, Failure> {
        loop {
            match read(&self.answer(flag, given, question, default)?) {
                Ok(value) => return Ok(value),
                Err(why) if given.is_none() && self.asks => self.say(&why),
                Err(why) => return Err(Failure::refused(format!("{flag}: {why}"))),
            }
        }
    }

    /// Several lines, up to an empty one; told and asked once more where `judge` declines them.
    pub fn lines(
        &self,
        flag: &str,
        given: Option<&str>,
        question: &str,
        judge: impl Fn(&str) -> Result<(), String>,
    ) -> Result<String, Failure> {
        if let Some(given) = given {
            return Ok(given.to_string());
        }
        loop {
            let first =
                self.answer(flag, None, &say!("{question} End with an empty line.", question), None)?;
            let mut lines = vec![first];
            loop {
                let line = read_line()?;
                if line.trim().is_empty() {
                    break;
                }
                lines.push(line.trim_end().to_string());
            }
            let typed = lines.join("\n");
            match judge(&typed) {
                Ok(()) => return Ok(typed),
                Err(why) => self.say(&why),
            }
        }
    }

    /// A list: flags given several times, or one typed line with commas, asked once more where `judge` declines it.
    pub fn list(
        &self,
        flag: &str,
        given: &[String],
        question: &str,
        default: &str,
        judge: impl Fn(&[String]) -> Result<(), String>,
    ) -> Result<Vec<String>, Failure> {
        if !given.is_empty() {
            return Ok(given.to_vec());
        }
        loop {
            let typed = self.answer(flag, None, question, Some(default))?;
            let items: Vec<String> =
                typed.split(',').map(str::trim).filter(|item| !item.is_empty()).map(str::to_string).collect();
            match judge(&items) {
                Err(why) if self.asks => self.say(&why),
                _ => return Ok(items),
            }
        }
    }

    pub fn yes(&self, flag: &str, given: bool, question: &str) -> Result<bool, Failure> {
        if given || !self.asks {
            return Ok(given);
        }
        let typed = self.answer(flag, None, &say!("{question} (y/n)", question), Some("n"))?;
        Ok(typed.to_lowercase().starts_with(['y', 'j']))
    }
}

/// One line; the end of the input ends the form, and nothing was written.
fn read_line() -> Result<String, Failure> {
    let mut line = String::new();
    match std::io::stdin().lock().read_line(&mut line) {
        Ok(0) => Err(Failure::refused(say!("the form was left; nothing was written"))),
        Ok(_) => Ok(line),
        Err(error) => Err(Failure::failed(say!("the terminal cannot be read: {error}", error))),
    }
}
