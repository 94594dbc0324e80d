//! `edition add-step` and `edition new-module`.

use std::path::Path;
use std::sync::Arc;

use super::super::output::{Failure, Output, exit};
use super::form::Form;
use super::probe::Probe;
use super::{AddStepArgs, NewModuleArgs};
use crate::checklist::{Checklist, Configuration, Kind, TITLE_LIMIT, read_checklist};
use crate::diagnostic::{Diagnostic, Source, render};
use crate::edition::{DRAFT, NewStep, new_module, parse_evidence, parse_measure};
use crate::hangar::{Hangar, HangarError, PROGRAMME, issued_as, library_beside, own_checklists};
use crate::store::RealDisk;
use crate::store::replace::replace;
use crate::store::texts::read_text;
use crate::vocabulary::{OCCURRENCES, REPORTS, is_id};

pub(super) fn add_step(hangar: &Hangar, args: &AddStepArgs, out: &mut Output) -> Result<u8, Failure> {
    let read = || read_text(&args.file, &args.file.to_string_lossy());
    let source = read().map_err(|fault| HangarError::Files(vec![fault]))?;
    let checklist = read_checklist(&source).map_err(HangarError::Files)?;
    refuse_issued(&args.file, &checklist)?;
    let further = std::slice::from_ref(&hangar.root);
    let library = library_beside(std::slice::from_ref(&args.file), further);
    let mut probe = Probe { source, library, today: hangar.today() };
    let step = ask(&Form::new(), &checklist, args, &probe)?;
    // The form takes minutes, and the author has the file open in an editor: what was saved meanwhile stays.
    let fresh = read().map_err(|fault| lost_nothing(&step, HangarError::Files(vec![fault]).into(), out))?;
    let is_changed = fresh.text != probe.source.text;
    probe.source = fresh;
    let name = &probe.source.name;
    let made = probe.make(&step).map_err(|why| {
        lost_nothing(&step, Failure::failed(format!("{name}: {why}\n{}", say!("nothing was written"))), out)
    })?;
    if made.found.iter().any(Diagnostic::is_error) {
        // What was typed is not lost: it can be put into the file by hand and mended there.
        out.text(made.piece());
        return Err(Failure::refused(format!(
            "{}\n{}",
            render(&made.found, false),
            say!("nothing was written: the step as answered has these faults")
        )));
    }
    replace(&RealDisk, &args.file, made.insertion.text.as_bytes())
        .map_err(|error| Failure::hangar(HangarError::store(&error, say!("nothing was changed"))))?;
    out.text(made.piece());
    let line = made.source.line_column(made.insertion.at).0 + 1;
    out.line(&format!("\n{}", say!("written at {name}:{line}", name, line)));
    if is_changed {
        out.line(say!("the file was saved by somebody else meanwhile; the step stands in it as it is now"));
    }
    if !made.found.is_empty() {
        out.text(&render(&made.found, false));
    }
    out.line(&say!("look at it: spanwise edition preview {name}", name));
    Ok(exit::DONE)
}

/// Prints the step before a failure is told: it can be put into the file by hand.
fn lost_nothing(step: &NewStep, failure: Failure, out: &mut Output) -> Failure {
    out.text(&step.to_toml());
    failure
}

fn refuse_issued(file: &Path, checklist: &Checklist) -> Result<(), Failure> {
    let (id, version) = (&checklist.id.value, &checklist.version.value);
    match issued_as(file, id, version)? {
        None => Ok(()),
        Some(entry) => Err(Failure::refused(say!(
            "{id} {version} was issued on {} by {}, and an issued edition is never edited; make a draft first: \
             spanwise edition draft {id}@{version}",
            entry.on,
            entry.by,
            id,
            version
        ))),
    }
}

fn ask(form: &Form, checklist: &Checklist, args: &AddStepArgs, probe: &Probe) -> Result<NewStep, Failure> {
    form.say(&say!("A new step for {} {}.", checklist.id.value, checklist.version.value));
    // At a terminal each answer is judged at once; of flags all faults are told together, with carets.
    let judged = |step: &NewStep, key: &str| if form.asks() { probe.key(step, key) } else { Ok(()) };
    let sections: Vec<&str> = checklist.sections.iter().map(|section| section.value.id.as_str()).collect();
    let known = if sections.is_empty() { say!("none of its own").to_string() } else { sections.join(", ") };
    let question = say!("Section, where it stands on the worksheet ({known})", known);
    let mut step = NewStep { people: 1, ..NewStep::default() };
    step.section =
        form.read("--section", args.section.as_deref(), &question, sections.last().copied(), |section| {
            let tried = NewStep { section: section.to_string(), ..step.clone() };
            judged(&tried, "section").map(|()| section.to_string())
        })?;
    step.id = ask_id(form, checklist, &step.section, args)?;
    let question = say!("Title, what is looked at, up to {TITLE_LIMIT} characters", TITLE_LIMIT);
    step.title = form.read("--title", args.title.as_deref(), &question, None, |title| {
        let length = title.chars().count();
        if length > TITLE_LIMIT {
            return Err(say!(
                "the title has {length} characters; keep it to {TITLE_LIMIT}",
                length,
                TITLE_LIMIT
            ));
        }
        Ok(title.to_string())
    })?;
    step.instruction = form.lines(
        "--instruction",
        args.instruction.as_deref(),
        say!("Instruction: how to look, what good and bad look like, what to record."),
        |text| judged(&NewStep { instruction: text.to_string(), ..step.clone() }, "instruction"),
    )?;
    step.loads = form.yes("--loads", args.loads, say!("Is a load applied to the structure?"))?;
    let default = if step.loads { None } else { Some("") };
    step.caution = form.answer(
        "--caution",
        args.caution.as_deref(),
        say!("Caution: what can hurt somebody or break something; the type's manual comes first"),
        default,
    )?;
    step.basis = form.list(
        "--basis",
        &args.basis,
        say!("Rules that it answers, with commas, such as 43D(f), MIP-S-W2"),
        "common practice",
        |basis| judged(&NewStep { basis: basis.to_vec(), ..step.clone() }, "basis"),
    )?;
    step.configuration = ask_configuration(form, args, |configuration| {
        judged(&NewStep { configuration: configuration.to_vec(), ..step.clone() }, "configuration")
    })?;
    let question = say!("Steps to be answered before it, with commas");
    step.after = form.list("--after", &args.after, question, "", |after| {
        judged(&NewStep { after: after.to_vec(), ..step.clone() }, "after")
    })?;
    step.people = number(form, "--people", args.people, say!("Hands needed"), 1)?;
    step.minutes = number(form, "--minutes", args.minutes, say!("Minutes"), 5)?;
    step.kit =
        form.list("--kit", &args.kit, say!("Kit, with commas, such as torch, mirror"), "", |_| Ok(()))?;
    step.independent =
        form.yes("--independent", args.independent, say!("Must a second person inspect what it disturbs?"))?;
    step.optional = args.optional;
    let question =
        say!("A file that must be taken in, such as id=film; kind=film; count=2; what=both sides of the rib");
    step.evidence = ask_rows(form, "--evidence", &args.evidence, question, parse_evidence, |rows| {
        judged(&NewStep { evidence: rows.to_vec(), ..step.clone() }, "evidence")
    })?;
    let question = say!(
        "A measurement, such as id=play; title=Play; kind=number; unit=mm; max=0.3; limit_source=type \
                    manual, chapter 3"
    );
    step.measures = ask_rows(form, "--measure", &args.measure, question, parse_measure, |rows| {
        judged(&NewStep { measures: rows.to_vec(), ..step.clone() }, "measure")
    })?;
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
        &say!("Id, never changed later, such as {prefix}.lift-pins", prefix),
        None,
        |id| match checklist.step(id) {
            Some(_) => Err(say!("there is a step \"{id}\" already; give another id", id)),
            None if !is_id(id, &['-', '.']) => {
                Err(say!("\"{id}\" cannot be an id; lower-case words joined by \".\" or \"-\"", id))
            }
            None => Ok(id.to_string()),
        },
    )
}

fn ask_configuration(
    form: &Form,
    args: &AddStepArgs,
    judge: impl Fn(&[(String, String)]) -> Result<(), String>,
) -> Result<Vec<(String, String)>, Failure> {
    form.read(
        "--configuration",
        args.configuration.as_deref(),
        say!("How the airframe has to stand, such as wings=rigged, tailplane=off; empty where it does not matter"),
        Some(""),
        |typed| {
            let configuration = Configuration::parse(typed)?;
            let pairs = configuration.iter();
            let pairs: Vec<(String, String)> = pairs
                .map(|(aspect, setting)| (aspect.word().to_string(), setting.word().to_string()))
                .collect();
            judge(&pairs).map(|()| pairs)
        },
    )
}

fn number(form: &Form, flag: &str, given: Option<u32>, question: &str, default: u32) -> Result<u32, Failure> {
    let given = given.map(|number| number.to_string());
    form.read(flag, given.as_deref(), question, Some(&default.to_string()), |typed| {
        typed.parse().map_err(|_| say!("\"{typed}\" is no whole number", typed))
    })
}

type Row = Vec<(String, String)>;

/// Rows of keys and values: from flags, else asked until an empty answer.
fn ask_rows(
    form: &Form,
    flag: &str,
    given: &[String],
    question: &str,
    parse: impl Fn(&str) -> Result<Row, String>,
    judge: impl Fn(&[Row]) -> Result<(), String>,
) -> Result<Vec<Row>, Failure> {
    let read = |text: &String| parse(text).map_err(|why| Failure::refused(format!("{flag}: {why}")));
    let mut rows = given.iter().map(read).collect::<Result<Vec<_>, _>>()?;
    while form.asks() && given.is_empty() {
        let typed =
            form.answer(flag, None, &say!("{question}. Empty for none, or no more", question), Some(""))?;
        if typed.is_empty() {
            break;
        }
        let added = parse(&typed).and_then(|row| {
            let mut more = rows.clone();
            more.push(row);
            judge(&more).map(|()| more)
        });
        match added {
            Ok(more) => rows = more,
            Err(why) => form.say(&why),
        }
    }
    Ok(rows)
}

pub(super) fn module(
    author: Option<&str>,
    hangar: &Hangar,
    args: &NewModuleArgs,
    out: &mut Output,
) -> Result<u8, Failure> {
    if let Some(version) = hangar.library().versions(&args.id).last() {
        return Err(Failure::refused(say!(
            "there is a checklist {} {version} already; begin from it: spanwise edition draft {}",
            args.id,
            args.id,
            version
        )));
    }
    let path = hangar.folder.checklists().join(&args.id).join(DRAFT);
    if own_checklists(&hangar.folder).drafts.iter().any(|draft| draft.name == path.to_string_lossy()) {
        return Err(Failure::refused(say!("there is a draft already: {}", path.display())));
    }
    let form = Form::new();
    let title =
        form.answer("--title", args.title.as_deref(), say!("Title, such as After a ground loop"), None)?;
    let kinds = |known: &[(&str, &str)]| known.iter().map(|(id, _)| *id).collect::<Vec<_>>().join(", ");
    let asked = args.report.is_empty() && args.occurrence.is_empty();
    let reports = match asked && form.asks() {
        true => {
            form.list("--report", &[], &say!("Reports that select it: {}", kinds(REPORTS)), "", |_| Ok(()))?
        }
        false => args.report.clone(),
    };
    let occurrences = match asked && form.asks() {
        true => form.list(
            "--occurrence",
            &[],
            &say!("Occurrences that select it: {}", kinds(OCCURRENCES)),
            "",
            |_| Ok(()),
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
        return Err(Failure::refused(format!("{}\n{}", render(&faults, false), say!("nothing was written"))));
    }
    replace(hangar.disk.as_ref(), &path, source.text.as_bytes())
        .map_err(|error| Failure::hangar(HangarError::store(&error, say!("nothing was changed"))))?;
    out.line(&say!("draft: {}", path.display()));
    out.line(&say!("Next: spanwise edition add-step {}", path.display()));
    Ok(exit::DONE)
}
