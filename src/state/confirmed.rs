//! Who confirmed how the airframe stands, and when.

use super::{Stamp, State, Told};
use crate::checklist::{Aspect, Configuration, Setting};
use crate::event::EntryNumber;

impl State {
    /// The last confirmation of one aspect: its setting, who and when. Nothing where nobody confirmed it.
    pub fn confirmed(&self, aspect: Aspect) -> Option<(Setting, &Stamp)> {
        let told = self.confirmations.iter().rev().filter(|told| told.struck.is_none());
        told.into_iter().find_map(|told| Some((told.what.get(aspect)?, &told.stamp)))
    }
}

impl State {
    /// A setting other than `needs` that stood at `entry` or was confirmed after it, and by which confirmation. What
    /// nobody confirmed is no other setting, and what was taken back does not count.
    pub fn undone_since(
        &self,
        needs: &Configuration,
        entry: EntryNumber,
    ) -> Option<(Aspect, Setting, &Stamp)> {
        let told = || self.confirmations.iter().filter(|told| told.struck.is_none());
        needs.iter().find_map(|(aspect, needed)| {
            let set = |told: &'_ Told<Configuration>| told.what.get(aspect).is_some();
            let at_entry = told().rev().find(|told| told.stamp.entry < entry && set(told));
            let later = told().filter(|told| told.stamp.entry > entry);
            at_entry.into_iter().chain(later).find_map(|told| {
                let setting = told.what.get(aspect).filter(|setting| *setting != needed)?;
                Some((aspect, setting, &told.stamp))
            })
        })
    }
}
