//! The screens' wish to record what was written on a printed sheet.

use super::{HangarDesk, Told};
use crate::hangar::HangarError;
use crate::hangar::paper::check_rows;
use crate::paper::{Passage, Typed};
use crate::session::Declined;

impl HangarDesk {
    /// All rows, or none where one cannot be recorded.
    pub(super) fn enter_paper(&mut self, passage: &Passage, rows: &[Typed]) -> Told {
        self.with_work(|work, hangar, actor, _| {
            let checked = check_rows(hangar, &work.view, actor, passage, rows, &hangar.root);
            if let Some(fault) = checked.against_all.first() {
                return Err(HangarError::Declined(fault.clone()));
            }
            let faulty =
                checked.rows.iter().find_map(|row| row.outcome.as_ref().err().map(|fault| (row, fault)));
            if let Some((row, fault)) = faulty {
                return Err(HangarError::Declined(Declined {
                    why: format!("\"{}\": {}", row.typed.text, fault.why),
                    next: fault.next.clone(),
                }));
            }
            let entries = work.enter_from_paper(hangar, actor, &checked)?;
            Ok(match entries.last() {
                Some(last) => {
                    Told::Saved { entry: *last, note: Some(say!("from paper: {} entries", entries.len())) }
                }
                None => Told::Done { note: Some(say!("all of it stands in the record already").to_string()) },
            })
        })
    }
}
