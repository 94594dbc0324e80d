//! Issuing a draft: checked, its version held to what it changes, frozen byte for byte, entered into the register.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::NaiveDate;
use semver::Version;

use super::editions::{OwnChecklists, own_checklists};
use super::judge::{judge_draft, library_beside};
use super::{Hangar, HangarError, try_out};
use crate::bench::Reading;
use crate::checklist::{Checklist, Kind, read_checklist};
use crate::diagnostic::{Diagnostic, Source};
use crate::edition::{
    DRAFT, EditionDifference, Issued, UNWRITTEN, VersionStep, compare_editions, file_hash, with_entry,
    with_value,
};
use crate::store::Disk;
use crate::store::replace::replace;
use crate::store::texts::read_text;

pub struct IssueRequest<'a> {
    pub draft: &'a Path,
    /// As it is entered into the register.
    pub by: &'a str,
    /// Put into the draft before it is issued.
    pub version: Option<Version>,
    /// Issue it although other files no longer fit it.
    pub despite_others: bool,
}

/// An edition that now exists.
pub struct IssueDone {
    pub id: String,
    pub version: Version,
    pub file: PathBuf,
    pub sha256: String,
    /// The edition below it, where there is one.
    pub base: Option<Version>,
    pub demanded: Option<VersionStep>,
    pub difference: EditionDifference,
    /// What the author should know.
    pub notes: Vec<String>,
}

/// Issues a draft.
///
/// The order of writing survives a power cut at any moment: first the edition's file, then its entry in the register, last
/// the draft goes. Issuing the same draft once more finishes what was begun.
///
/// # Errors
/// Faults of the draft or of plans with it; a version that is taken, not later, or a smaller step than the changes
/// demand; an altered edition in the folder; the disk. Nothing is issued then.
pub fn issue(hangar: &Hangar, request: &IssueRequest<'_>) -> Result<IssueDone, HangarError> {
    let own = own_checklists(&hangar.folder);
    if !own.faults.is_empty() {
        return Err(HangarError::Files(own.faults));
    }
    let library = library_beside(&[], std::slice::from_ref(&hangar.root));
    let (draft, judged) = read_draft(request, &library, hangar.today())?;
    let (id, version) = (draft.id.value.clone(), draft.version.value.clone());
    if !version.pre.is_empty() || !version.build.is_empty() {
        return Err(HangarError::declined(
            format!("{version} is no version of an issued edition"),
            "three numbers, such as 1.1.0",
        ));
    }
    let file = hangar.folder.checklists().join(&id).join(format!("{version}.toml"));
    let entry = Issued {
        id: id.clone(),
        version: version.clone(),
        sha256: file_hash(&draft.source.text),
        on: hangar.today(),
        by: request.by.to_string(),
        at: 0,
    };
    let is_begun = refuse_taken(hangar, &own, &entry, &file)?;
    let base = hangar.library().below(&id, &version).cloned();
    let difference = base.as_ref().map(|base| compare_editions(base, &draft)).unwrap_or_default();
    if let Some(base) = &base {
        refuse_small_step(base, &version, &difference)?;
    }
    let errors = errors_of(&judged);
    if !errors.is_empty() {
        return Err(HangarError::Files(errors));
    }
    refuse_unfinished(&draft)?;
    let mut notes = fit_the_library(hangar, &draft, request)?;
    notes.extend(new_advice(&judged, base.as_deref(), &library, hangar.today()));
    notes.extend(date_note(draft.issued, entry.on));
    write(hangar.disk.as_ref(), request, &draft, &own, &entry, &file, is_begun)?;
    Ok(IssueDone {
        id,
        version,
        file,
        sha256: entry.sha256,
        base: base.map(|base| base.version.value.clone()),
        demanded: difference.demands(),
        difference,
        notes,
    })
}

/// Reads the draft, with the wanted version in it where one is given, and judges it as `spanwise check` does.
///
/// # Errors
/// It cannot be read; all that the check calls an error is told in one pass.
fn read_draft(
    request: &IssueRequest<'_>,
    library: &[Reading],
    today: NaiveDate,
) -> Result<(Checklist, Vec<Diagnostic>), HangarError> {
    let name = request.draft.to_string_lossy();
    let mut source = read_text(request.draft, &name).map_err(|fault| HangarError::Files(vec![fault]))?;
    if let Some(version) = &request.version {
        let text = with_value(&source.text, "version", &format!("\"{version}\""))
            .map_err(|why| HangarError::declined(why, "correct the draft first"))?;
        source = Source::new(source.name.clone(), text);
    }
    let judged = judge_draft(&source, library, today);
    match read_checklist(&source) {
        Ok(draft) => Ok((draft, judged)),
        Err(_) => Err(HangarError::Files(errors_of(&judged))),
    }
}

fn errors_of(judged: &[Diagnostic]) -> Vec<Diagnostic> {
    judged.iter().filter(|fault| fault.is_error()).cloned().collect()
}

/// Refuses a version that is there already. True where this very edition was written and not yet entered.
fn refuse_taken(
    hangar: &Hangar,
    own: &OwnChecklists,
    entry: &Issued,
    file: &Path,
) -> Result<bool, HangarError> {
    let Issued { id, version, .. } = entry;
    let next = "give the draft a later version";
    if let Some(old) = own.issued.iter().find(|old| old.id == *id && old.version == *version) {
        return Err(HangarError::declined(
            format!("{id} {version} was issued on {} by {}", old.on, old.by),
            format!("an issued edition is never edited; {next}"),
        ));
    }
    let name = file.to_string_lossy();
    if let Some(there) = own.editions.iter().find(|source| source.name == name) {
        if file_hash(&there.text) == entry.sha256 {
            return Ok(true);
        }
        return Err(HangarError::declined(format!("{name} is there already, with another content"), next));
    }
    if hangar.library().edition(id, version).is_some() {
        return Err(HangarError::declined(format!("{id} {version} is built into the program"), next));
    }
    Ok(false)
}

/// A report that selects a module without steps would count as looked into, and nothing would be done.
fn refuse_unfinished(draft: &Checklist) -> Result<(), HangarError> {
    let id = &draft.id.value;
    if matches!(draft.kind, Kind::Module(_)) && draft.steps.is_empty() {
        let next = "write the first: spanwise edition add-step DRAFT_FILE";
        return Err(HangarError::declined(format!("the module {id} has no step"), next));
    }
    if draft.about.trim() == UNWRITTEN {
        let next = "say there what the checklist is for and where its order and figures come from";
        return Err(HangarError::declined(format!("about of {id} is still to be written"), next));
    }
    Ok(())
}

fn refuse_small_step(
    base: &Checklist,
    version: &Version,
    difference: &EditionDifference,
) -> Result<(), HangarError> {
    let (id, from) = (&base.id.value, &base.version.value);
    let Some(demanded) = difference.demands() else {
        return Err(HangarError::declined(
            format!("the draft says the same as {id} {from}"),
            "make the change first; an edition that changes nothing would only be confused with the other",
        ));
    };
    let Some(made) = VersionStep::between(from, version).filter(|made| *made < demanded) else {
        return Ok(());
    };
    let because = difference
        .groups
        .iter()
        .flat_map(|group| group.changes.iter().map(move |change| (group, change)))
        .find(|(_, change)| change.demands == demanded)
        .map(|(group, change)| format!("{}: {} ({})", group.title, change.words, change.nature.word()))
        .unwrap_or_default();
    Err(HangarError::declined(
        format!(
            "{from} to {version} is a {made} step, and what was changed demands a {demanded} one; for one, {because}"
        ),
        format!(
            "issue it as {}: --version {}; all changes: spanwise edition compare {id}@{from} DRAFT",
            demanded.after(from),
            demanded.after(from)
        ),
    ))
}

/// Every plan with the new edition must compose. What only other files would have to follow may be left for later.
fn fit_the_library(
    hangar: &Hangar,
    draft: &Checklist,
    request: &IssueRequest<'_>,
) -> Result<Vec<String>, HangarError> {
    let Err(faults) = try_out(hangar, draft) else { return Ok(Vec::new()) };
    let is_own = |fault: &Diagnostic| {
        Arc::ptr_eq(&fault.place.source, &draft.source) || fault.place.source.name == draft.source.name
    };
    if request.despite_others && !faults.iter().any(is_own) {
        return Ok(faults
            .iter()
            .map(|fault| format!("no plan composes until this is mended: {fault}"))
            .collect());
    }
    Err(HangarError::Files(faults))
}

/// Advice about the draft that the edition before it did not have already.
fn new_advice(
    judged: &[Diagnostic],
    base: Option<&Checklist>,
    library: &[Reading],
    today: NaiveDate,
) -> Vec<String> {
    let before = base.map(|base| judge_draft(&base.source, library, today)).unwrap_or_default();
    let is_new = |advice: &&Diagnostic| before.iter().all(|old| old.message != advice.message);
    judged
        .iter()
        .filter(|found| !found.is_error())
        .filter(is_new)
        .map(|advice| format!("advice: {advice}"))
        .collect()
}

fn date_note(said: NaiveDate, today: NaiveDate) -> Option<String> {
    (said != today).then(|| format!("the file says issued = {said}; the register says {today}"))
}

fn write(
    disk: &dyn Disk,
    request: &IssueRequest<'_>,
    draft: &Checklist,
    own: &OwnChecklists,
    entry: &Issued,
    file: &Path,
    is_begun: bool,
) -> Result<(), HangarError> {
    let nothing = "nothing was issued";
    if !is_begun {
        let bytes = draft.source.text.as_bytes();
        replace(disk, file, bytes).map_err(|error| HangarError::store(&error, nothing))?;
    }
    let register = with_entry(&own.register.text, entry);
    let half = "the file stands, and is not entered yet; issue the same draft again";
    replace(disk, Path::new(&own.register.name), register.as_bytes())
        .map_err(|error| HangarError::store(&error, half))?;
    // Only the folder's own draft goes; a file that a person keeps elsewhere is theirs.
    let is_draft = request.draft.file_name().is_some_and(|name| name == DRAFT)
        && crate::store::texts::absolute(request.draft).is_some_and(|draft| {
            file.parent()
                .and_then(crate::store::texts::absolute)
                .is_some_and(|folder| draft.parent() == Some(folder.as_path()))
        });
    if is_draft {
        crate::store::texts::remove(request.draft)
            .map_err(|error| HangarError::store(&error, "it is issued; take the draft away by hand"))?;
    }
    Ok(())
}
