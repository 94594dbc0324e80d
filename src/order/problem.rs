//! The bare problem: jobs with needs and predecessors, a stand, and what each change costs.
//!
//! Two facts make the search small. What is ready and fits is done at once: it costs nothing and can only open
//! more. And a change touches only what the next job needs: bringing an aspect into a setting costs the same from
//! everywhere, so no change is cheaper for having been made earlier or by a detour.

use crate::checklist::{Aspect, Configuration};

use super::costs::ChangeTable;

/// Number of aspects of a configuration.
pub const ASPECTS: usize = Aspect::ALL.len();

/// How the airframe stands: for each of [`Aspect::ALL`] the index of its setting in [`Aspect::settings`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Stand(pub [u8; ASPECTS]);

/// What a job needs, aspect by aspect; `None` where it does not matter.
pub type Needs = [Option<u8>; ASPECTS];

/// One step, as the search sees it. Its index in [`Problem::jobs`] is its rank: lower ones come first where it
/// costs nothing.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Job {
    pub needs: Needs,
    /// Indices of the jobs that must be done before.
    pub after: Vec<usize>,
}

/// Jobs to be ordered so that the changes cost the fewest person-minutes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    pub jobs: Vec<Job>,
    pub start: Stand,
    /// Person-minutes to bring an aspect into a setting, by aspect and setting index.
    pub costs: [[u32; 3]; ASPECTS],
    /// For each job the lowest rank among those that wait for it.
    unlocks: Vec<usize>,
}

/// The jobs done so far, one bit each.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Done(Vec<u64>);

impl Done {
    pub fn none(jobs: usize) -> Done {
        Done(vec![0; jobs.div_ceil(64)])
    }

    pub fn has(&self, job: usize) -> bool {
        self.0[job / 64] & (1 << (job % 64)) != 0
    }

    pub fn add(&mut self, job: usize) {
        self.0[job / 64] |= 1 << (job % 64);
    }

    pub fn count(&self) -> usize {
        self.0.iter().map(|word| word.count_ones() as usize).sum()
    }
}

/// The person-minutes of a table, by aspect and setting index.
pub fn costs_of(table: &ChangeTable) -> [[u32; 3]; ASPECTS] {
    Aspect::ALL.map(|aspect| {
        let mut row = [0; 3];
        for (cost, setting) in row.iter_mut().zip(aspect.settings()) {
            *cost = table.of(aspect, *setting).person_minutes();
        }
        row
    })
}

/// A configuration as needs.
pub fn needs_of(configuration: &Configuration) -> Needs {
    Aspect::ALL.map(|aspect| {
        let setting = configuration.get(aspect)?;
        let index = aspect.settings().iter().position(|known| *known == setting)?;
        u8::try_from(index).ok()
    })
}

impl Stand {
    /// The stand that has every aspect of `configuration`; one that is absent has its first setting.
    pub fn of(configuration: &Configuration) -> Stand {
        Stand(needs_of(configuration).map(|need| need.unwrap_or(0)))
    }

    pub fn configuration(&self) -> Configuration {
        let mut configuration = Configuration::default();
        for (aspect, index) in Aspect::ALL.into_iter().zip(self.0) {
            if let Some(setting) = aspect.settings().get(usize::from(index)) {
                configuration.set(aspect, *setting);
            }
        }
        configuration
    }

    pub fn fits(&self, needs: &Needs) -> bool {
        self.0.iter().zip(needs).all(|(now, need)| need.is_none_or(|need| need == *now))
    }

    /// The stand after changing only what does not fit.
    pub fn changed_for(&self, needs: &Needs) -> Stand {
        let mut stand = *self;
        for (now, need) in stand.0.iter_mut().zip(needs) {
            *now = need.unwrap_or(*now);
        }
        stand
    }
}

impl Problem {
    pub fn new(jobs: Vec<Job>, start: Stand, costs: [[u32; 3]; ASPECTS]) -> Problem {
        let mut unlocks = vec![usize::MAX; jobs.len()];
        for (index, job) in jobs.iter().enumerate() {
            for before in &job.after {
                unlocks[*before] = unlocks[*before].min(index);
            }
        }
        Problem { jobs, start, costs, unlocks }
    }

    /// Person-minutes from one stand to another.
    pub fn change_cost(&self, from: &Stand, to: &Stand) -> u32 {
        from.0
            .iter()
            .zip(&to.0)
            .zip(&self.costs)
            .filter(|((from, to), _)| from != to)
            .fold(0, |sum, ((_, to), row)| sum.saturating_add(row[usize::from(*to)]))
    }

    pub fn ready(&self, job: usize, done: &Done) -> bool {
        self.jobs[job].after.iter().all(|before| done.has(*before))
    }

    /// Does everything that is ready and that `fits`, lowest rank first, and tells each job done to `tell`.
    pub fn close(&self, done: &mut Done, fits: impl Fn(&Needs) -> bool, mut tell: impl FnMut(usize)) {
        let mut job = 0;
        while job < self.jobs.len() {
            if !done.has(job) && fits(&self.jobs[job].needs) && self.ready(job, done) {
                done.add(job);
                tell(job);
                // Something of a lower rank may have waited for this one.
                job = self.unlocks[job].min(job + 1);
            } else {
                job += 1;
            }
        }
    }

    /// Ready jobs that are not done.
    pub fn ready_jobs<'a>(&'a self, done: &'a Done) -> impl Iterator<Item = usize> + 'a {
        (0..self.jobs.len()).filter(move |job| !done.has(*job) && self.ready(*job, done))
    }

    /// The order by rank alone: always the lowest that is ready. `None` where some wait for each other in a circle.
    pub fn by_rank(&self) -> Option<Vec<usize>> {
        let mut done = Done::none(self.jobs.len());
        let mut order = Vec::with_capacity(self.jobs.len());
        self.close(&mut done, |_| true, |job| order.push(job));
        (order.len() == self.jobs.len()).then_some(order)
    }

    /// The blocks of an order: how the airframe stands, and the jobs worked so. No block is empty.
    pub fn blocks(&self, order: &[usize]) -> Vec<(Stand, Vec<usize>)> {
        let mut blocks: Vec<(Stand, Vec<usize>)> = vec![(self.start, Vec::new())];
        for job in order {
            let stand = blocks.last().map_or(self.start, |(stand, _)| *stand);
            let needs = &self.jobs[*job].needs;
            if !stand.fits(needs) {
                blocks.push((stand.changed_for(needs), Vec::new()));
            }
            if let Some((_, jobs)) = blocks.last_mut() {
                jobs.push(*job);
            }
        }
        blocks.retain(|(_, jobs)| !jobs.is_empty());
        blocks
    }

    /// Person-minutes of changes along an order.
    pub fn cost_of(&self, order: &[usize]) -> u32 {
        let mut stand = self.start;
        let mut sum = 0u32;
        for (next, _) in self.blocks(order) {
            sum = sum.saturating_add(self.change_cost(&stand, &next));
            stand = next;
        }
        sum
    }
}
