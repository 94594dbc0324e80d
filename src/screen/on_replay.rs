//! Commands of the replay.

use super::app::{App, Tone};
use super::desk::Desk;
use super::forms;
use super::list::Cursor;
use super::purpose::Purpose;
use super::readings;
use super::replay::Replay;
use crate::audit::replay::Mark;
use crate::command::{Id, Place};
use crate::words::said;

impl App {
    /// Carries out what belongs to the replay; false where the command is another screen's.
    pub(super) fn on_replay(&mut self, desk: &mut dyn Desk, id: Id) -> bool {
        let is_here = matches!(self.place, Place::Replay | Place::ReplaySheet);
        match id {
            Id::GoReplay => self.open_replay(desk),
            Id::Story if !is_here => self.story_from(desk),
            _ if !is_here => return false,
            Id::Story => self.story_here(),
            Id::OtherSide => self.other_side(),
            Id::Back if self.place == Place::ReplaySheet => self.other_side(),
            Id::Back if self.replay.as_ref().is_some_and(|replay| replay.story.is_some()) => {
                self.leave_story()
            }
            Id::NextMark => self.seek(true),
            Id::PreviousMark => self.seek(false),
            Id::NextHit => self.next_hit(true),
            Id::PreviousHit => self.next_hit(false),
            Id::Search => self.open_form(forms::search_record(&self.last_search)),
            Id::GoToStep => self.open_form(forms::to_step()),
            Id::GoToEntry => {
                let last = self.replay.as_ref().map_or(0, |replay| replay.line().entries().len());
                self.open_form(forms::to_entry(last.saturating_sub(1)));
            }
            _ => match mark_of(id) {
                Some(mark) => self.look_for(mark),
                None => return false,
            },
        }
        true
    }

    /// Builds the timeline where the record has grown since; else everything is as it was left.
    fn prepare(&mut self, desk: &dyn Desk) -> bool {
        let Some(view) = desk.session() else { return false };
        if self.replay.as_ref().is_some_and(|replay| replay.is_of(&view)) {
            return true;
        }
        let before = self.replay.take().map(|replay| (replay.kind, replay.story.map(|story| story.step)));
        let entry = self.cursors.get(&Place::Replay).map(|cursor| cursor.at);
        self.replay = Replay::open(desk).map(Box::new);
        let Some(replay) = &mut self.replay else { return false };
        let last = replay.len().saturating_sub(1);
        let at = match before {
            // The record has grown: what was looked at is looked at again.
            Some((kind, story)) => {
                replay.kind = kind;
                replay.story = story.and_then(|step| replay.line().of_step(&step));
                entry.unwrap_or(last).min(replay.len().saturating_sub(1))
            }
            None => last,
        };
        self.cursors.insert(Place::Replay, Cursor { at, scroll: 0 });
        let entry = self.stands_at();
        if let Some(replay) = &mut self.replay {
            replay.stand_at(entry);
        }
        true
    }

    /// Coming back to the replay after something was recorded elsewhere.
    pub(super) fn refresh_replay(&mut self, desk: &dyn Desk) {
        if matches!(self.place, Place::Replay | Place::ReplaySheet) {
            self.prepare(desk);
        }
    }

    fn open_replay(&mut self, desk: &mut dyn Desk) {
        if self.place == Place::ReplaySheet {
            return self.other_side();
        }
        if self.prepare(desk) {
            self.go(desk, Place::Replay);
            self.tell_fault();
        }
    }

    /// The first entry of the selected finding; Esc comes back to the findings.
    pub(super) fn show_entry(&mut self, desk: &dyn Desk) {
        let found = desk.findings();
        let entry = found.get(self.cursor().at).and_then(|finding| finding.entries.first());
        let Some(entry) = entry.and_then(|entry| usize::try_from(*entry).ok()) else {
            return self.say(Tone::Plain, say!("it names no entry"));
        };
        if !self.prepare(desk) {
            return;
        }
        // Where the findings were opened from the replay, the way back still leads through the findings.
        self.back.retain(|place| !matches!(place, Place::Replay | Place::ReplaySheet));
        self.go(desk, Place::Replay);
        if let Some(replay) = &mut self.replay {
            replay.story = None;
        }
        self.go_to(desk, entry);
    }

    fn tell_fault(&mut self) {
        let fault = self.replay.as_ref().and_then(|replay| replay.line().fault().map(ToString::to_string));
        if let Some(fault) = fault {
            self.say(Tone::Bad, say!("followed only so far: {fault}", fault));
        }
    }

    /// From a selected step of another screen straight to its story.
    fn story_from(&mut self, desk: &mut dyn Desk) {
        let at = self.cursor().at;
        let Some(view) = desk.session() else { return };
        let step = match self.place {
            Place::Readings => {
                readings::items(&view, self.readings).get(at).map(|item| item.planned.step.id.clone())
            }
            Place::History => {
                let step = view.entries.get(at).and_then(|stamped| stamped.event.step());
                let Some(step) = step else {
                    return self.say(Tone::Plain, say!("the entry is about no step"));
                };
                Some(step.to_string())
            }
            _ => view.plan.steps.get(at).map(|planned| planned.step.id.clone()),
        };
        let Some(step) = step else {
            return self.say(Tone::Plain, say!("nothing is selected"));
        };
        if self.prepare(desk) {
            self.go(desk, Place::Replay);
            self.tell_story(&step);
        }
    }

    fn story_here(&mut self) {
        let at = self.cursor().at;
        let Some(replay) = &self.replay else { return };
        if self.place == Place::ReplaySheet {
            let step = replay.plan().steps.get(at).map(|planned| planned.step.id.clone());
            self.other_side();
            if let Some(step) = step {
                self.tell_story(&step);
            }
            return;
        }
        if replay.story.is_some() {
            return self.leave_story();
        }
        let stamped = replay.entry(at).and_then(|entry| replay.line().entries().get(entry));
        match stamped.and_then(|stamped| stamped.event.step()).map(ToString::to_string) {
            Some(step) => self.tell_story(&step),
            None => self.say(Tone::Plain, say!("it is about no step; t goes to a step")),
        }
    }

    fn tell_story(&mut self, step: &str) {
        let from = self.stands_at();
        let Some(replay) = &mut self.replay else { return };
        let Some(story) = replay.line().of_step(step) else {
            return self.say(Tone::Bad, say!("no plan of this session has the step \"{step}\"", step));
        };
        let is_empty = story.happenings.is_empty();
        replay.story = Some(story);
        let at = replay.row(from);
        self.cursors.insert(Place::Replay, Cursor { at, scroll: 0 });
        if is_empty {
            self.say(Tone::Plain, say!("nothing has happened to this step yet"));
        }
    }

    fn leave_story(&mut self) {
        let entry = self.stands_at();
        if let Some(replay) = &mut self.replay {
            replay.story = None;
        }
        self.cursors.insert(Place::Replay, Cursor { at: entry, scroll: 0 });
    }

    /// The entry at which the replay stands.
    pub(super) fn stands_at(&self) -> usize {
        let Some(replay) = &self.replay else { return 0 };
        let row = self.cursors.get(&Place::Replay).map_or(0, |cursor| cursor.at);
        let last = replay.line().entries().len().saturating_sub(1);
        replay.entry(row).unwrap_or(last)
    }

    /// Between the entries and the worksheet of that moment.
    fn other_side(&mut self) {
        let entry = self.stands_at();
        if self.place == Place::ReplaySheet {
            self.place = Place::Replay;
            return;
        }
        let Some(replay) = &mut self.replay else { return };
        replay.stand_at(entry);
        let stamped = replay.line().entries().get(entry);
        let step = stamped.and_then(|stamped| stamped.event.step());
        // The step that the entry is about is what one wants to see.
        if let Some(at) = step.and_then(|step| replay.plan().position(step)) {
            self.cursors.insert(Place::ReplaySheet, Cursor { at, scroll: 0 });
        }
        self.place = Place::ReplaySheet;
        self.keep_step();
    }

    fn look_for(&mut self, mark: Mark) {
        if let Some(replay) = &mut self.replay {
            replay.kind = mark;
        }
        if mark == Mark::Any {
            return self.say(Tone::Plain, say!("every entry is stepped through"));
        }
        self.seek(true);
    }

    fn seek(&mut self, forward: bool) {
        let from = self.stands_at();
        let Some(replay) = &self.replay else { return };
        let kind = replay.kind;
        match replay.seek(from, forward) {
            Some(entry) => {
                let (all, so_far) = replay.line().count(kind, entry);
                let is_whole = replay.story.is_none() && kind != Mark::Any;
                self.stand_at(entry);
                if is_whole {
                    self.say(Tone::Plain, say!("{}: {so_far} of {all}", said(kind.word()), so_far, all));
                }
            }
            None => {
                let what = said(kind.one());
                let text = match forward {
                    true => say!("no {what} after this entry", what),
                    false => say!("no {what} before this entry", what),
                };
                self.say(Tone::Plain, text);
            }
        }
    }

    /// Goes to an entry; the worksheet, where it is shown, follows.
    fn stand_at(&mut self, entry: usize) {
        let Some(replay) = &mut self.replay else { return };
        let at = replay.row(entry);
        self.cursors.insert(Place::Replay, Cursor { at, scroll: 0 });
        if self.place == Place::ReplaySheet {
            replay.stand_at(entry);
            self.keep_step();
        }
    }

    /// A plan of that moment may have fewer steps.
    fn keep_step(&mut self) {
        let steps = self.replay.as_ref().map_or(0, |replay| replay.plan().steps.len());
        let cursor = self.cursors.entry(Place::ReplaySheet).or_default();
        cursor.at = cursor.at.min(steps.saturating_sub(1));
    }

    /// Searches the record; an empty text means the last one.
    pub(super) fn find_in_record(&mut self, text: &str) {
        if !text.is_empty() {
            self.last_search = text.to_string();
        }
        let text = self.last_search.clone();
        if let Some(replay) = &mut self.replay {
            replay.search(&text);
        }
        self.next_hit(true);
    }

    fn next_hit(&mut self, forward: bool) {
        let from = self.stands_at();
        let Some(replay) = &mut self.replay else { return };
        match replay.hit(from, forward) {
            Some((entry, place, all)) => {
                // A hit may lie outside the story.
                if replay
                    .story
                    .as_ref()
                    .is_some_and(|story| !story.happenings.iter().any(|t| t.entry == entry))
                {
                    replay.story = None;
                }
                self.stand_at(entry);
                self.say(
                    Tone::Plain,
                    say!("\"{}\": {place} of {all}; n next, b before", self.last_search, place, all),
                );
            }
            None if self.last_search.is_empty() => {
                self.say(Tone::Plain, say!("nothing is searched for; / searches"))
            }
            None => self.say(Tone::Plain, say!("no entry contains \"{}\"", self.last_search)),
        }
    }

    /// What a form of the replay asked for.
    pub(super) fn replay_asked(&mut self, _desk: &dyn Desk, purpose: &Purpose, text: &str) {
        let Some(replay) = &mut self.replay else { return };
        if *purpose == Purpose::ToStep {
            return match replay.step_named(text) {
                Ok(step) => {
                    self.place = Place::Replay;
                    self.tell_story(&step);
                }
                Err(why) => self.say(Tone::Bad, why),
            };
        }
        let last = replay.line().entries().len().saturating_sub(1);
        match text.trim().parse::<usize>() {
            Ok(entry) if entry <= last => {
                replay.story = None;
                self.stand_at(entry);
            }
            Ok(entry) => {
                self.say(Tone::Bad, say!("there is no entry {entry}; the last one is {last}", entry, last))
            }
            Err(_) => {
                self.say(
                    Tone::Bad,
                    say!("\"{}\" is no number of an entry; type 0 to {last}", text.trim(), last),
                );
            }
        }
    }
}

fn mark_of(id: Id) -> Option<Mark> {
    Some(match id {
        Id::SeekAny => Mark::Any,
        Id::SeekFailure => Mark::Failure,
        Id::SeekCorrection => Mark::Correction,
        Id::SeekPause => Mark::Pause,
        Id::SeekConfiguration => Mark::Configuration,
        Id::SeekReading => Mark::Reading,
        Id::SeekRevision => Mark::Revision,
        Id::SeekDefect => Mark::Defect,
        Id::SeekSignOff => Mark::SignOff,
        _ => return None,
    })
}
