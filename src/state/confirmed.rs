//! Who confirmed how the airframe stands, and when.

use super::{Stamp, State};
use crate::checklist::{Aspect, Setting};

impl State {
    /// The last confirmation of one aspect: its setting, who and when. Nothing where nobody confirmed it.
    pub fn confirmed(&self, aspect: Aspect) -> Option<(Setting, &Stamp)> {
        let told = self.confirmations.iter().rev().filter(|told| told.struck.is_none());
        told.into_iter().find_map(|told| Some((told.what.get(aspect)?, &told.stamp)))
    }
}
