//! What the screens wish around an annual: reports that come in, another plan, bringing the record forward.

use super::{Access, HangarDesk, declined, saved, told_error};
use crate::audit::compare::PlanDifference;
use crate::cli::follow::difference_lines;
use crate::cli::intake::not_brought_words;
use crate::forward::repairs_without_report;
use crate::hangar::{Hangar, HangarError, NewReport, Offer, add_report, bring_forward, not_brought_forward};
use crate::screen::desk::{ReportWish, Told};

impl HangarDesk {
    /// After a signature: brings the record forward and says so behind what was told. The signature stands either way.
    pub(super) fn then_bring_forward(&mut self, told: Told) -> Told {
        let Told::Saved { entry, .. } = told else { return told };
        let Some(sid) = self.open.as_ref().map(|open| open.session.view().sid.clone()) else { return told };
        let note = match bring_forward(&self.hangar, &sid) {
            Ok(brought) => brought.summary(),
            Err(error) => not_brought_words(&sid, &error),
        };
        self.hangar.reload_airframes();
        Told::Saved { entry, note: Some(note) }
    }

    pub(super) fn bring_forward(&mut self) -> Told {
        let Some(sid) = self.open.as_ref().map(|open| open.session.view().sid.clone()) else {
            return declined(say!("no session is open"), say!("open one on the Hangar screen"));
        };
        let told = match bring_forward(&self.hangar, &sid) {
            Ok(brought) => Told::Done { note: Some(brought.summary()) },
            Err(error) => told_error(error),
        };
        self.hangar.reload_airframes();
        told
    }

    /// Why an annual should not be begun yet.
    pub(super) fn not_yet(&self, registration: &str) -> Option<Told> {
        let missing = not_brought_forward(&self.hangar, registration)?;
        let next = say!(
            "open that session and press b on its Sign-off screen, or {}; begin all the same: spanwise begin {registration} --anyway",
            missing.next(),
            registration = registration
        );
        Some(declined(&missing.why(), &next))
    }

    /// What a person may want to enter first, behind a message.
    pub(super) fn advice(&self, registration: &str) -> Option<String> {
        let record = self.hangar.airframe(registration).ok()?.airframe.as_ref().ok()?;
        let advice = repairs_without_report(record);
        (!advice.is_empty()).then(|| format!("; {}", advice.join("; ")))
    }

    /// Writes the report into the airframe's record and looks what would change for the session at hand.
    pub(super) fn new_report(&mut self, wish: ReportWish) -> Told {
        let Some(registration) = self.registration() else {
            return declined(say!("no session is open"), say!("open one on the Hangar screen"));
        };
        let report = NewReport {
            kind: wish.kind,
            date: wish.date,
            by: wish.by,
            text: wish.text,
            modules: wish.modules,
            log: None,
        };
        let id = match add_report(&self.hangar, &registration, &report) {
            Ok(id) => id,
            Err(error) => return told_error(error),
        };
        self.hangar.reload_airframes();
        let note =
            say!("entered as {id} into the record of {registration}", id = id, registration = registration);
        match self.look_for_offer() {
            Told::Done { note: Some(more) } => Told::Done { note: Some(format!("{note}; {more}")) },
            Told::Declined { why, .. } => Told::Done { note: Some(format!("{note}; {why}")) },
            _ => Told::Done { note: Some(note) },
        }
    }

    fn registration(&self) -> Option<String> {
        self.open.as_ref().map(|open| open.session.view().plan.airframe.registration.clone())
    }

    /// Keeps the plan that could be taken up, for [`crate::screen::desk::Desk::offered`].
    pub(super) fn look_for_offer(&mut self) -> Told {
        let offer = match &self.open {
            Some(open) => offer_of(&open.session, &self.hangar),
            None => return declined(say!("no session is open"), say!("open one on the Hangar screen")),
        };
        let (found, told) = match offer {
            Ok(Some(offer)) => {
                let note = say!("the plan would change: {}", counts(&offer.difference));
                (Some(offer), Told::Done { note: Some(note) })
            }
            Ok(None) => (
                None,
                declined(say!("the plan would be the same as now"), say!("there is nothing to take up")),
            ),
            Err(error) => (None, told_error(error)),
        };
        if let Some(open) = &mut self.open {
            open.offered = found.as_ref().map(difference_lines).unwrap_or_default();
            open.offer = found.map(Box::new);
        }
        told
    }

    /// Takes up what was shown, never something that changed since.
    pub(super) fn take_up(&mut self, why: &str) -> Told {
        let Some(shown) = self.open.as_mut().and_then(|open| open.offer.take()) else {
            return declined(say!("no other plan was shown"), say!("look first at what would change (v)"));
        };
        let told = self.with_work(|work, hangar, actor, _| {
            let now = work.offer(hangar)?;
            if now.as_ref() != Some(&*shown) {
                return Ok(declined(
                    say!("the files were changed since it was shown"),
                    say!("look again at what would change"),
                ));
            }
            work.take_up(hangar, actor, &shown, why).map(saved)
        });
        if let Some(open) = &mut self.open {
            match &told {
                Told::Saved { .. } => open.offered.clear(),
                _ => open.offer = Some(shown),
            }
        }
        told
    }
}

fn offer_of(session: &Access, hangar: &Hangar) -> Result<Option<Offer>, HangarError> {
    match session {
        Access::Writing(work) => work.offer(hangar),
        Access::Looking(_) => Ok(None),
    }
}

fn counts(difference: &PlanDifference) -> String {
    let reopened = difference.reopened().count();
    say!(
        "{} new, {} changed ({reopened} to be worked again), {} gone",
        difference.added.len(),
        difference.changed.len(),
        difference.gone.len(),
        reopened = reopened
    )
}
