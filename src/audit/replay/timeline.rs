//! The record folded once, with states kept on the way.

use std::collections::BTreeMap;

use super::elapsed::Elapsed;
use super::mark::{Mark, Marks};
use crate::checklist::Configuration;
use crate::event::{EntryNumber, Event};
use crate::journal::ShortCode;
use crate::plan::{Plan, Plans};
use crate::state::{ApplyFault, Judgement, Stamped, State};

/// States kept on the way. Each holds all that came before it, so their sum is about half as many last states:
/// memory stays bounded, however long the record is.
const CHECKPOINTS: usize = 8;
/// A short record needs no more than the empty state: folding so many known entries is cheap.
const LEAST_INTERVAL: usize = 256;

/// A record to step through: entry `k` is the one with the number `k`.
#[derive(Debug, Clone)]
pub struct Timeline {
    plans: Plans,
    entries: Vec<Stamped>,
    judgements: BTreeMap<EntryNumber, Judgement>,
    /// In their order; the first is the empty state.
    checkpoints: Vec<State>,
    /// After all entries.
    last: State,
    /// From which entry on the later plans hold, by their hashes.
    plans_from: Vec<(usize, String)>,
    /// From which entry on each configuration was in force.
    configurations: Vec<(usize, Configuration)>,
    marks: Vec<Marks>,
    elapsed: Vec<Option<Elapsed>>,
    fault: Option<ApplyFault>,
    /// Number of the first entry that is not to be relied on, where the record was found damaged.
    damaged_from: Option<EntryNumber>,
}

/// How everything stood after one entry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Moment {
    state: State,
}

impl Moment {
    pub fn state(&self) -> &State {
        &self.state
    }

    /// Number of the last entry that is in it; `None` before the first.
    pub fn entry(&self) -> Option<usize> {
        usize::try_from(self.state.entries).ok()?.checked_sub(1)
    }
}

impl Timeline {
    /// Folds and judges every entry once. A record that does not fold is taken as far as it does;
    /// [`Timeline::fault`] then tells why.
    pub fn new(plans: &Plans, entries: &[Stamped]) -> Timeline {
        Timeline::fold(plans, entries, BTreeMap::new())
    }

    /// As [`Timeline::new`], without judging anew what `folded`, the state after these entries, has judged.
    pub fn over(plans: &Plans, entries: &[Stamped], folded: &State) -> Timeline {
        let readings = folded.steps.values().flat_map(|step| &step.readings);
        let known = readings.map(|reading| (reading.stamp.entry, reading.judgement.clone())).collect();
        Timeline::fold(plans, entries, known)
    }

    fn fold(plans: &Plans, entries: &[Stamped], known: BTreeMap<EntryNumber, Judgement>) -> Timeline {
        let mut state = State::new(plans.first());
        let mut line = Timeline {
            plans: plans.clone(),
            entries: Vec::with_capacity(entries.len()),
            judgements: known,
            checkpoints: vec![state.clone()],
            last: State::default(),
            plans_from: Vec::new(),
            configurations: Vec::new(),
            marks: Vec::with_capacity(entries.len()),
            elapsed: Vec::with_capacity(entries.len()),
            fault: None,
            damaged_from: None,
        };
        let interval = (entries.len() / CHECKPOINTS).max(LEAST_INTERVAL);
        for stamped in entries {
            if let Err(fault) = line.take(&mut state, stamped) {
                line.fault = Some(fault);
                break;
            }
            if line.entries.len().is_multiple_of(interval) {
                line.checkpoints.push(state.clone());
            }
        }
        line.last = state;
        line
    }

    fn take(&mut self, state: &mut State, stamped: &Stamped) -> Result<(), ApplyFault> {
        let at = self.entries.len();
        if let Event::PlanRevised(revised) = &stamped.event {
            if self.plans.of(&revised.plan).is_none() {
                let why = say!("its new plan is not there").to_string();
                return Err(ApplyFault { entry: stamped.entry, why });
            }
            self.plans_from.push((at, revised.plan.clone()));
        }
        let known = self.judgements.get(&stamped.entry);
        state.apply_known(self.plan_at(at), stamped, known)?;
        if let Event::ReadingTaken(taken) = stamped.event.inner()
            && let Some(reading) = state.step(&taken.step).and_then(|step| step.readings.last())
        {
            self.judgements.entry(stamped.entry).or_insert_with(|| reading.judgement.clone());
        }
        // Taking a confirmation back changes it, too.
        if self.configurations.last().is_none_or(|(_, before)| *before != state.configuration) {
            self.configurations.push((at, state.configuration.clone()));
        }
        let round = stamped.event.step().and_then(|id| state.step(id)).map_or(0, |step| step.round);
        self.marks.push(Marks::of(stamped, self.judgements.get(&stamped.entry), round > 0));
        self.elapsed.push(self.entries.last().and_then(|before| Elapsed::between(before, stamped)));
        self.entries.push(stamped.clone());
        Ok(())
    }

    pub fn entries(&self) -> &[Stamped] {
        &self.entries
    }

    /// Why the record could not be followed to its end.
    pub fn fault(&self) -> Option<&ApplyFault> {
        self.fault.as_ref()
    }

    /// Tells that the record was found damaged, and which entry is the first that is not to be relied on.
    #[must_use]
    pub fn damaged_from(mut self, first_bad: EntryNumber) -> Timeline {
        self.damaged_from = Some(first_bad);
        self
    }

    /// The first entry that cannot be told or relied on; `None` where the record is told to its end.
    pub fn first_bad(&self) -> Option<EntryNumber> {
        [self.damaged_from, self.fault.as_ref().map(|fault| fault.entry)].into_iter().flatten().min()
    }

    /// The state after the last entry.
    pub fn last(&self) -> &State {
        &self.last
    }

    /// Every plan that held, in the order in which they did.
    pub(super) fn plans(&self) -> impl Iterator<Item = &Plan> {
        let later = self.plans_from.iter().filter_map(|(_, hash)| self.plans.of(hash));
        std::iter::once(self.plans.first()).chain(later)
    }

    /// The plan that held after this entry.
    pub fn plan_at(&self, entry: usize) -> &Plan {
        let earlier = self.plans_from.partition_point(|(from, _)| *from <= entry);
        let hash = earlier.checked_sub(1).and_then(|at| self.plans_from.get(at)).map(|(_, hash)| hash);
        hash.and_then(|hash| self.plans.of(hash)).unwrap_or(self.plans.first())
    }

    /// The configuration in force at this entry, as last confirmed; empty before the first confirmation.
    pub fn configuration_at(&self, entry: usize) -> Configuration {
        let earlier = self.configurations.partition_point(|(from, _)| *from <= entry);
        let found = earlier.checked_sub(1).and_then(|at| self.configurations.get(at));
        found.map(|(_, configuration)| configuration.clone()).unwrap_or_default()
    }

    /// Time since the entry before.
    pub fn elapsed(&self, entry: usize) -> Option<Elapsed> {
        self.elapsed.get(entry).copied().flatten()
    }

    /// What was judged of the reading that this entry is.
    pub fn judgement(&self, entry: usize) -> Option<&Judgement> {
        self.judgements.get(&(entry as u64))
    }

    /// The code that stands on paper for this entry: at pauses and signatures, where it is written down.
    pub fn paper_code(&self, entry: usize) -> Option<String> {
        let stamped = self.entries.get(entry)?;
        let is_written =
            matches!(stamped.event, Event::Paused { .. } | Event::SignedOff(_) | Event::Countersigned(_));
        ShortCode::of_text(&stamped.hash).filter(|_| is_written).map(|code| code.to_string())
    }

    /// How everything stood after this entry; past the end, after the last one.
    pub fn moment(&self, entry: usize) -> Moment {
        let wanted = (entry + 1).min(self.entries.len());
        let mut moment = Moment { state: self.nearest(wanted).clone() };
        self.follow(&mut moment.state, wanted);
        moment
    }

    /// Moves a moment of this timeline to another entry, from where it stands or from the nearest kept state.
    pub fn go(&self, moment: &mut Moment, entry: usize) {
        let wanted = (entry + 1).min(self.entries.len());
        let nearest = self.nearest(wanted);
        let now = moment.state.entries;
        if now > wanted as u64 || now < nearest.entries {
            moment.state.clone_from(nearest);
        }
        self.follow(&mut moment.state, wanted);
    }

    /// The kept state with the most entries, but not more than wanted.
    fn nearest(&self, wanted: usize) -> &State {
        if wanted as u64 >= self.last.entries {
            return &self.last;
        }
        let after = self.checkpoints.partition_point(|kept| kept.entries <= wanted as u64);
        self.checkpoints.get(after.saturating_sub(1)).unwrap_or(&self.last)
    }

    fn follow(&self, state: &mut State, wanted: usize) {
        let from = usize::try_from(state.entries).unwrap_or(wanted);
        for (at, stamped) in self.entries.iter().enumerate().take(wanted).skip(from) {
            // Every entry here was applied once already, and the fold is pure: it cannot fail now.
            if state.apply_known(self.plan_at(at), stamped, self.judgements.get(&stamped.entry)).is_err() {
                return;
            }
        }
    }

    pub fn is(&self, entry: usize, mark: Mark) -> bool {
        self.marks.get(entry).is_some_and(|marks| marks.has(mark))
    }

    /// The next entry of the kind after this one.
    pub fn next(&self, mark: Mark, entry: usize) -> Option<usize> {
        (entry + 1..self.entries.len()).find(|at| self.is(*at, mark))
    }

    /// The last entry of the kind before this one.
    pub fn previous(&self, mark: Mark, entry: usize) -> Option<usize> {
        (0..entry.min(self.entries.len())).rev().find(|at| self.is(*at, mark))
    }

    /// How many there are of the kind, and how many of them stand up to and with this entry.
    pub fn count(&self, mark: Mark, entry: usize) -> (usize, usize) {
        let of_kind = |range: std::ops::Range<usize>| range.filter(|at| self.is(*at, mark)).count();
        (of_kind(0..self.entries.len()), of_kind(0..(entry + 1).min(self.entries.len())))
    }
}
