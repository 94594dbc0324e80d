//! All sessions of a hangar in one line each, and finding one by what a person types.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use super::{Hangar, HangarError, Viewing};
use crate::diagnostic::nearest;
use crate::event::Outcome;
use crate::state::{grounding, minute};
use crate::store::SessionFolder;
use crate::words::{date, said};

const RUNNING: &str = mark!("running");
const PAUSED: &str = mark!("paused");
const INTERRUPTED: &str = mark!("interrupted while being created; nothing was recorded in it");

/// One session as a list shows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SessionSummary {
    pub sid: String,
    pub registration: String,
    /// Wall clock of the first entry, for sorting; empty where it cannot be read.
    pub begun_at: String,
    /// As the language writes it.
    pub begun: String,
    pub by: String,
    /// A word that is the same in every language, or what is wrong; [`SessionSummary::standing_words`] is for showing.
    pub standing: String,
    pub progress: Option<(usize, usize)>,
    pub open_mandatory: usize,
    pub grounded: bool,
    /// Why it is on the ground, a line each.
    pub grounding: Vec<String>,
    /// Day and outcome of its sign-off.
    pub signed: Option<(NaiveDate, Outcome)>,
    pub can_open: bool,
    /// Id of the session that this one continues, and of the one that continues it.
    pub continues: Option<String>,
    pub continued_by: Option<String>,
}

/// Every session of the hangar, newest first.
pub fn summaries(hangar: &Hangar) -> Vec<SessionSummary> {
    let mut found: Vec<SessionSummary> = listed(hangar)
        .into_iter()
        .map(|folder| if folder.finished { summary(hangar, &folder.sid) } else { unfinished(folder.sid) })
        .collect();
    let followers: Vec<(String, String)> =
        found.iter().filter_map(|later| Some((later.continues.clone()?, later.sid.clone()))).collect();
    for earlier in &mut found {
        let follower = followers.iter().find(|(sid, _)| *sid == earlier.sid);
        earlier.continued_by = follower.map(|(_, later)| later.clone());
    }
    found.sort_by(|a, b| b.begun_at.cmp(&a.begun_at).then_with(|| a.sid.cmp(&b.sid)));
    found
}

fn listed(hangar: &Hangar) -> Vec<SessionFolder> {
    hangar.folder.list_sessions(hangar.disk.as_ref()).unwrap_or_default()
}

/// A creation that a crash interrupted: listed, never deleted by itself.
fn unfinished(name: String) -> SessionSummary {
    blank(name, INTERRUPTED)
}

fn blank(sid: String, standing: impl Into<String>) -> SessionSummary {
    SessionSummary {
        sid,
        registration: "?".to_string(),
        begun_at: String::new(),
        begun: "?".to_string(),
        by: "?".to_string(),
        standing: standing.into(),
        progress: None,
        open_mandatory: 0,
        grounded: false,
        grounding: Vec::new(),
        signed: None,
        can_open: false,
        continues: None,
        continued_by: None,
    }
}

fn summary(hangar: &Hangar, sid: &str) -> SessionSummary {
    let view = match Viewing::open(hangar, sid) {
        Ok(view) => view,
        Err(error) => return blank(sid.to_string(), say!("cannot be read: {}", error.parts().0)),
    };
    let state = &view.state;
    let damage = view.integrity.first();
    let standing = if let Some(problem) = damage {
        say!("damaged: {problem}", problem = problem)
    } else if let Some(signed) = &state.signed {
        format!("{} on {}", signed.what.outcome.word(), signed.what.date)
    } else if state.paused.is_some() {
        PAUSED.to_string()
    } else {
        RUNNING.to_string()
    };
    let answered = view.plan.steps.iter().filter(|step| !state.standing(&step.step.id).is_open()).count();
    let opened = state.opened.as_ref();
    let grounding = grounding(state, day_of_standing(&view));
    SessionSummary {
        sid: sid.to_string(),
        registration: view.plan.airframe.registration.clone(),
        begun_at: opened.map(|told| told.stamp.wall.clone()).unwrap_or_default(),
        begun: opened.map_or("?".to_string(), |told| told.stamp.short()),
        by: opened.map_or("?".to_string(), |told| told.stamp.by.name.clone()),
        standing,
        // What follows a damaged place is unknown, so its counts would be false.
        progress: damage.is_none().then_some((answered, view.plan.steps.len())),
        open_mandatory: if damage.is_some() { 0 } else { state.open_mandatory(&view.plan).count() },
        grounded: !grounding.is_empty(),
        grounding,
        signed: state
            .signed
            .as_ref()
            .filter(|_| damage.is_none())
            .map(|told| (told.what.date, told.what.outcome)),
        can_open: true,
        continues: opened.and_then(|told| told.what.continues.as_ref()).map(|earlier| earlier.sid.clone()),
        continued_by: None,
    }
}

/// A signed session tells what held when it was signed; a running one what holds today.
fn day_of_standing(view: &Viewing) -> NaiveDate {
    view.state.signed.as_ref().map_or(view.today, |told| told.what.date)
}

impl SessionSummary {
    /// When it was begun, the same in every language, for other programs; "?" where it cannot be read.
    pub fn begun_minute(&self) -> String {
        if self.begun_at.is_empty() { self.begun.clone() } else { minute(&self.begun_at) }
    }

    pub fn is_under_way(&self) -> bool {
        matches!(self.standing.as_str(), RUNNING | PAUSED)
    }

    /// A crash interrupted its creation.
    pub fn is_unfinished(&self) -> bool {
        self.standing == INTERRUPTED
    }

    /// How it stands, and its neighbours where one continues the other.
    pub fn standing_words(&self) -> String {
        let mut words = match &self.signed {
            Some((day, outcome)) => say!("{} on {}", said(outcome.word()), date(*day)),
            None => said(&self.standing).to_string(),
        };
        if let Some(earlier) = &self.continues {
            words.push_str(&say!("; continues {earlier}", earlier = format_args!("{:.8}", earlier)));
        }
        if let Some(later) = &self.continued_by {
            words.push_str(&say!("; continued by {later}", later = format_args!("{:.8}", later)));
        }
        words
    }
}

/// No id and no registration has a separator in it.
pub(super) fn is_path(word: &str) -> bool {
    word == "." || word.contains(['/', std::path::MAIN_SEPARATOR])
}

/// A session's folder that was handed over: it is looked at where it lies.
fn folder_of(hangar: &Hangar, word: &str) -> Result<String, HangarError> {
    let missing = || {
        HangarError::not_found(
            say!("{word} is no session's folder", word = word),
            say!("name the folder that holds journal.jsonl and plan.json"),
        )
    };
    let found = crate::store::texts::absolute(std::path::Path::new(word)).ok_or_else(missing)?;
    match hangar.disk.exists(&found.join(crate::store::session_dir::JOURNAL)) {
        Ok(true) => Ok(found.to_string_lossy().into_owned()),
        _ => Err(missing()),
    }
}

fn no_session(all: &[SessionSummary], word: &str) -> HangarError {
    let known: BTreeSet<&str> =
        all.iter().filter(|session| session.can_open).map(|session| session.registration.as_str()).collect();
    let meant = nearest(word, known)
        .map(|found| say!("did you mean \"{found}\"? ", found = found))
        .unwrap_or_default();
    let unreadable = all.iter().filter(|session| !session.can_open).count();
    let hidden = match unreadable {
        0 => String::new(),
        1 => say!(" (one cannot be read, so its airframe is not known)").to_string(),
        more => say!(" ({more} cannot be read, so their airframes are not known)", more = more),
    };
    HangarError::not_found(
        say!("there is no session \"{word}\"", word = word),
        say!(
            "{meant}list them with: spanwise list{hidden}; begin one with: spanwise begin <registration>",
            meant = meant,
            hidden = hidden
        ),
    )
}

/// An annual of this airframe that is begun, sound and not signed: the work belongs there.
pub fn unfinished_annual(hangar: &Hangar, registration: &str) -> Option<SessionSummary> {
    summaries(hangar)
        .into_iter()
        .find(|session| session.registration.eq_ignore_ascii_case(registration) && session.is_under_way())
}

/// The session of this id or beginning of an id, the newest one of this registration, or the folder of one that lies
/// anywhere: a path, told by its separators.
pub fn find_session(hangar: &Hangar, word: &str) -> Result<String, HangarError> {
    if is_path(word) {
        return folder_of(hangar, word);
    }
    let listed = listed(hangar);
    let wanted = word.to_lowercase();
    let by_id: Vec<&String> = listed
        .iter()
        .filter(|folder| folder.finished && folder.sid.starts_with(&wanted))
        .map(|folder| &folder.sid)
        .collect();
    match by_id[..] {
        [one] => return Ok(one.clone()),
        [_, _, ..] if wanted.len() >= 4 => {
            return Err(HangarError::not_found(
                say!("{} sessions begin with \"{word}\"", by_id.len(), word = word),
                say!("give more of the id; spanwise list shows them"),
            ));
        }
        _ => {}
    }
    let all = summaries(hangar);
    let mut of_airframe = all.iter().filter(|session| session.registration.eq_ignore_ascii_case(word));
    match of_airframe.next() {
        Some(newest) => Ok(newest.sid.clone()),
        None => Err(no_session(&all, word)),
    }
}
