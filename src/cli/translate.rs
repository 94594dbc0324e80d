//! `translate`: the translation file of a checklist, begun or brought up to date.

use std::path::{Path, PathBuf};

use clap::Args;

use super::output::{Failure, Output, exit};
use crate::checklist::prose::prose;
use crate::checklist::read_checklist;
use crate::diagnostic::render;
use crate::store::RealDisk;
use crate::store::replace::replace;
use crate::store::texts::read_text;
use crate::words::{Merged, merged};

#[derive(Debug, Args)]
pub struct TranslateArgs {
    /// The checklist whose texts are to be translated: a draft or an edition.
    #[arg(value_name = "CHECKLIST.toml")]
    pub file: PathBuf,
    /// The language; the file is named by it and lies beside the checklist.
    #[arg(long, value_name = "TAG", default_value = "de", value_parser = ["de"])]
    pub to: String,
    /// Only tell what is missing or differs; write nothing.
    #[arg(long)]
    pub check: bool,
}

pub(super) fn translate(args: &TranslateArgs, out: &mut Output) -> Result<u8, Failure> {
    let name = args.file.to_string_lossy();
    let source = read_text(&args.file, &name).map_err(|fault| Failure::failed(render(&[fault], false)))?;
    if let Err(faults) = read_checklist(&source) {
        out.error(&render(&faults, false));
        out.error(say!("the checklist has faults; mend them first, then translate it"));
        return Ok(exit::REFUSED);
    }
    let beside = args.file.parent().unwrap_or(Path::new("")).join(format!("{}.po", args.to));
    let shown = beside.to_string_lossy().into_owned();
    let old = match beside.exists() {
        true => {
            read_text(&beside, &shown).map_err(|fault| Failure::failed(render(&[fault], false)))?.text.clone()
        }
        false => String::new(),
    };
    let texts: Vec<(String, String)> = prose(&source).into_iter().map(|one| (one.place, one.text)).collect();
    let told = merged(&texts, &old, &args.to).map_err(|fault| {
        Failure::failed(say!(
            "{file}: this is no translation file in PO format: {why}",
            file = shown,
            why = fault.0
        ))
    })?;
    if !args.check && told.po != old {
        replace(&RealDisk, &beside, told.po.as_bytes()).map_err(Failure::failed)?;
    }
    tell(&told, &shown, out);
    let is_whole = told.missing.is_empty() && told.differing.is_empty();
    Ok(if args.check && !is_whole { exit::REFUSED } else { exit::DONE })
}

fn tell(told: &Merged, file: &str, out: &mut Output) {
    out.line(&say!(
        "{file}: {translated} of {all} texts are translated",
        file = file,
        translated = told.translated,
        all = told.all
    ));
    for text in &told.missing {
        out.line(&say!("  not translated: {text}", text = begin(text)));
    }
    for (text, translation) in &told.differing {
        out.line(&say!(
            "  other figures: \"{text}\" – \"{translation}\"",
            text = begin(text),
            translation = begin(translation)
        ));
    }
    if !told.unused.is_empty() {
        out.line(&say!(
            "  one translated text is not in this edition; it is kept at the end of the file"
                | "  {n} translated texts are not in this edition; they are kept at the end of the file"
                    % told.unused.len()
        ));
    }
    if !told.missing.is_empty() {
        out.line(say!("Write each translation behind msgstr, with any editor or a program for PO files; what is missing is shown in English."));
    }
}

/// The first line of a text, shortened.
fn begin(text: &str) -> String {
    let line = text.lines().next().unwrap_or_default();
    match line.chars().nth(90) {
        None if line.len() == text.trim_end().len() => line.to_string(),
        _ => format!("{} …", line.chars().take(90).collect::<String>().trim_end()),
    }
}
