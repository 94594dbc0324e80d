//! `edition add-step` and `edition new-module`.

use std::path::Path;
use std::sync::Arc;

use super::super::output::{Failure, Output, exit};
use super::form::Form;
use super::{AddStepArgs, NewModuleArgs};
use crate::checklist::{Checklist, Configuration, Kind, TITLE_LIMIT, read_checklist};
use crate::diagnostic::{Source, render};
use crate::edition::{DRAFT, NewStep, insert_step, new_module, parse_measure};
use crate::hangar::{Hangar, HangarError, PROGRAMME, issued_as, own_checklists};
use crate::store::RealDisk;
use crate::store::replace::replace;
use crate::store::texts::read_text;
use crate::vocabulary::{OCCURRENCES, REPORTS, is_id};

pub(super) fn add_step(args: &AddStepArgs, out: &mut Output) -> Result<u8, Failure> {
    let source = read_text(&args.file, &args.file.to_string_lossy())
        .map_err(|fault| HangarError::Files(vec![fault]))?;
    let checklist = read_checklist(&source).map_err(HangarError::Files)?;
    refuse_issued(&args.file, &checklist)?;
    let form = Form::new();
    let step = ask(&form, &checklist, args)?;
    let insertion = insert_step(&source.text, &step.section, &step.to_toml())
        .map_err(|why| Failure::failed(format!("{}: {why}; write [[step]] tables first", source.name)))?;
    let piece = &insertion.text[insertion.at..insertion.at + insertion.length];
    let made = Source::new(source.name.clone(), insertion.text.clone());
    if let Err(faults) = read_checklist(&made) {
        // What was typed is not lost: it can be put into the file by hand and mended there.
        out.text(piece);
        return Err(Failure::refused(format!(
            "{}\nnothing was written: the step as answered has these faults",
            render(&faults, false)
        )));
    }
    replace(&RealDisk, &args.file, insertion.text.as_bytes())
        .map_err(|error| Failure::hangar(HangarError::store(&error, "nothing was changed")))?;
    out.text(piece);
    let line = made.line_column(insertion.at).0 + 1;
    out.line(&format!("\nwritten at {}:{line}", source.name));
    out.line(&format!("look at it: spanwise edition preview {}", source.name));
    Ok(exit::DONE)
}

fn refuse_issued(file: &Path, checklist: &Checklist) -> Result<(), Failure> {
    let (id, version) = (&checklist.id.value, &checklist.version.value);
    match issued_as(file, id, version)? {
        None => Ok(()),
        Some(entry) => Err(Failure::refused(format!(
            "{id} {version} was issued on {} by {}, and an issued edition is never edited; make a draft first: \
             spanwise edition draft {id}@{version}",
            entry.on, entry.by
        ))),
    }
}

fn ask(form: &Form, checklist: &Checklist, args: &AddStepArgs) -> Result<NewStep, Failure> {
    form.say(&format!("A new step for {} {}.", checklist.id.value, checklist.version.value));
    let sections: Vec<&str> = checklist.sections.iter().map(|section| section.value.id.as_str()).collect();
    let known = if sections.is_empty() { "none of its own".to_string() } else { sections.join(", ") };
    let section = form.answer(
        "--section",
        args.section.as_deref(),
        &format!("Section, where it stands on the worksheet ({known})"),
        sections.last().copied(),
    )?;
    let id = ask_id(form, checklist, &section, args)?;
    let question = format!("Title, what is looked at, up to {TITLE_LIMIT} characters");
    let title = form.read("--title", args.title.as_deref(), &question, None, |title| {
        let length = title.chars().count();
        if length > TITLE_LIMIT {
            return Err(format!("the title has {length} characters; keep it to {TITLE_LIMIT}"));
        }
        Ok(title.to_string())
    })?;
    let instruction = form.lines(
        "--instruction",
        args.instruction.as_deref(),
        "Instruction: how to look, what good and bad look like, what to record.",
    )?;
    let loads = form.yes("--loads", args.loads, "Is a load applied to the structure?")?;
    let default = if loads { None } else { Some("") };
    let caution = form.answer(
        "--caution",
        args.caution.as_deref(),
        "Caution: what can hurt somebody or break something; the type's manual comes first",
        default,
    )?;
    let basis = form.list(
        "--basis",
        &args.basis,
        "Rules that it answers, with commas, such as 43D(f), MIP-S-W2",
        "common practice",
    )?;
    let configuration = ask_configuration(form, args)?;
    let mut step = NewStep {
        section,
        id,
        title,
        instruction,
        caution,
        basis,
        configuration,
        loads,
        ..NewStep::default()
    };
    step.after = form.list("--after", &args.after, "Steps to be answered before it, with commas", "")?;
    step.people = number(form, "--people", args.people, "Hands needed", 1)?;
    step.minutes = number(form, "--minutes", args.minutes, "Minutes", 5)?;
    step.kit = form.list("--kit", &args.kit, "Kit, with commas, such as torch, mirror", "")?;
    step.independent =
        form.yes("--independent", args.independent, "Must a second person inspect what it disturbs?")?;
    step.optional = args.optional;
    step.measures = ask_measures(form, args)?;
    Ok(step)
}

/// An id that the file does not have yet, begun with the section's or the module's.
fn ask_id(form: &Form, checklist: &Checklist, section: &str, args: &AddStepArgs) -> Result<String, Failure> {
    let prefix = match checklist.kind {
        Kind::Programme => section,
        _ => section.split('.').next().unwrap_or(section),
    };
    form.read(
        "--id",
        args.id.as_deref(),
        &format!("Id, never changed later, such as {prefix}.lift-pins"),
        None,
        |id| match checklist.step(id) {
            Some(_) => Err(format!("there is a step \"{id}\" already; give another id")),
            None if !is_id(id, &['-', '.']) => {
                Err(format!("\"{id}\" cannot be an id; lower-case words joined by \".\" or \"-\""))
            }
            None => Ok(id.to_string()),
        },
    )
}

fn ask_configuration(form: &Form, args: &AddStepArgs) -> Result<Vec<(String, String)>, Failure> {
    let configuration = form.read(
        "--configuration",
        args.configuration.as_deref(),
        "How the airframe has to stand, such as wings=rigged, tailplane=off; empty where it does not matter",
        Some(""),
        Configuration::parse,
    )?;
    let pairs = configuration.iter();
    Ok(pairs.map(|(aspect, setting)| (aspect.word().to_string(), setting.word().to_string())).collect())
}

fn number(form: &Form, flag: &str, given: Option<u32>, question: &str, default: u32) -> Result<u32, Failure> {
    let given = given.map(|number| number.to_string());
    form.read(flag, given.as_deref(), question, Some(&default.to_string()), |typed| {
        typed.parse().map_err(|_| format!("\"{typed}\" is no whole number"))
    })
}

fn ask_measures(form: &Form, args: &AddStepArgs) -> Result<Vec<crate::edition::NewMeasure>, Failure> {
    let read = |text: &str| parse_measure(text).map_err(|why| Failure::refused(format!("--measure: {why}")));
    let mut measures = args.measure.iter().map(|text| read(text)).collect::<Result<Vec<_>, _>>()?;
    while form.asks() && args.measure.is_empty() {
        let typed = form.answer(
            "--measure",
            None,
            "A measurement, such as id=play; title=Play; kind=number; unit=mm; max=0.3; limit_source=type manual, \
             chapter 3. Empty for none, or no more",
            Some(""),
        )?;
        if typed.is_empty() {
            break;
        }
        match read(&typed) {
            Ok(measure) => measures.push(measure),
            Err(failure) => form.say(&failure.to_string()),
        }
    }
    Ok(measures)
}

pub(super) fn module(
    author: Option<&str>,
    hangar: &Hangar,
    args: &NewModuleArgs,
    out: &mut Output,
) -> Result<u8, Failure> {
    if let Some(version) = hangar.library().versions(&args.id).last() {
        return Err(Failure::refused(format!(
            "there is a checklist {} {version} already; begin from it: spanwise edition draft {}",
            args.id, args.id
        )));
    }
    let path = hangar.folder.checklists().join(&args.id).join(DRAFT);
    if own_checklists(&hangar.folder).drafts.iter().any(|draft| draft.name == path.to_string_lossy()) {
        return Err(Failure::refused(format!("there is a draft already: {}", path.display())));
    }
    let form = Form::new();
    let title = form.answer("--title", args.title.as_deref(), "Title, such as After a ground loop", None)?;
    let kinds = |known: &[(&str, &str)]| known.iter().map(|(id, _)| *id).collect::<Vec<_>>().join(", ");
    let asked = args.report.is_empty() && args.occurrence.is_empty();
    let reports = match asked && form.asks() {
        true => form.list("--report", &[], &format!("Reports that select it: {}", kinds(REPORTS)), "")?,
        false => args.report.clone(),
    };
    let occurrences = match asked && form.asks() {
        true => form.list(
            "--occurrence",
            &[],
            &format!("Occurrences that select it: {}", kinds(OCCURRENCES)),
            "",
        )?,
        false => args.occurrence.clone(),
    };
    let programme = hangar.library().newest().find(|checklist| checklist.id.value == PROGRAMME);
    let range = programme
        .map_or("^1.0".to_string(), |of| format!("^{}.{}", of.version.value.major, of.version.value.minor));
    let author = author.unwrap_or("to be named");
    let requires = (PROGRAMME.to_string(), range);
    let text = new_module(&args.id, &title, author, hangar.today(), &requires, &reports, &occurrences);
    let source: Arc<Source> = Source::new(path.to_string_lossy(), text);
    if let Err(faults) = read_checklist(&source) {
        return Err(Failure::refused(format!("{}\nnothing was written", render(&faults, false))));
    }
    replace(hangar.disk.as_ref(), &path, source.text.as_bytes())
        .map_err(|error| Failure::hangar(HangarError::store(&error, "nothing was changed")))?;
    out.line(&format!("draft: {}", path.display()));
    out.line(&format!("Next: spanwise edition add-step {}", path.display()));
    Ok(exit::DONE)
}
