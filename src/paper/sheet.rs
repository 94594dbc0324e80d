//! Which sheet a typed code names: the record is searched for the place at which it was printed.

use super::code::SheetCode;
use super::lines::{Line, lines};
use crate::event::Event;
use crate::order::{HangarOrder, Task, hangar_order};
use crate::plan::{Plan, Plans};
use crate::session::Declined;
use crate::state::{Stamped, State};

/// A printed sheet as its code names it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sheet {
    pub code: SheetCode,
    pub lines: Vec<Line>,
    /// Wall clock of the last entry before it was printed; none of a sheet from before the annual began.
    pub printed_after: Option<String>,
    /// The plan that was printed.
    pub plan: Plan,
}

/// Why a typed code names no sheet of this session.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoSheet {
    Mistyped(String),
    /// Rightly typed, and of another session, airframe or edition.
    Another(SheetCode),
}

/// Code of the sheet that is printed of a session now. `head` is the hash of its last entry.
pub fn code_at(head: &str, plan: &Plan, order: &HangarOrder) -> SheetCode {
    SheetCode::new(head, plan, &lines(plan, order))
}

/// Code of the sheet that is printed before the annual begins.
pub fn code_before(plan: &Plan, order: &HangarOrder) -> SheetCode {
    SheetCode::new(&place_before(plan), plan, &lines(plan, order))
}

/// What stands for the place in the record while there is none.
fn place_before(plan: &Plan) -> String {
    let frame = &plan.airframe;
    format!("before {} {} {}", frame.registration, frame.type_id, frame.serial)
}

/// Finds the sheet of a typed code in the record of a session.
///
/// # Errors
/// The code is mistyped, or belongs to something else.
pub fn find_sheet(plans: &Plans, entries: &[Stamped], typed: &str) -> Result<Sheet, NoSheet> {
    let code = SheetCode::read(typed).map_err(NoSheet::Mistyped)?;
    let first = plans.first();
    if code.may_be_at(&place_before(first)) {
        let found = printed(first, &Task::of_plan(first), |order| code_before(first, order) == code);
        if let Some(lines) = found {
            return Ok(Sheet { code, lines, printed_after: None, plan: first.clone() });
        }
    }
    let candidates: Vec<&Stamped> = entries.iter().filter(|stamped| code.may_be_at(&stamped.hash)).collect();
    if candidates.is_empty() {
        return Err(NoSheet::Another(code));
    }
    let mut plan = first;
    let mut state = State::new(plan);
    for stamped in entries {
        if let Event::PlanRevised(revised) = &stamped.event {
            plan = plans.of(&revised.plan).unwrap_or(plan);
        }
        if state.apply(plan, stamped).is_err() {
            break;
        }
        if !candidates.iter().any(|candidate| candidate.entry == stamped.entry) {
            continue;
        }
        let task = Task::of_session(plan, &state);
        if let Some(lines) = printed(plan, &task, |order| code_at(&stamped.hash, plan, order) == code) {
            let printed_after = Some(stamped.wall.clone());
            return Ok(Sheet { code, lines, printed_after, plan: plan.clone() });
        }
    }
    Err(NoSheet::Another(code))
}

impl NoSheet {
    /// The same in words, for this session.
    pub fn declined(self, sid: &str, registration: &str) -> Declined {
        match self {
            NoSheet::Mistyped(why) => {
                Declined { why, next: say!("it stands at the foot of every page of the sheet").to_string() }
            }
            NoSheet::Another(code) => Declined {
                why: say!(
                    "sheet {code} was not printed of session {sid} of {registration}",
                    code,
                    sid = format_args!("{:.8}", sid),
                    registration
                ),
                next: say!("look at the registration and session on the paper; nothing was recorded")
                    .to_string(),
            },
        }
    }
}

fn printed(plan: &Plan, task: &Task, is_it: impl Fn(&HangarOrder) -> bool) -> Option<Vec<Line>> {
    let order = hangar_order(plan, task).ok()?;
    is_it(&order).then(|| lines(plan, &order))
}

impl Sheet {
    /// The line of this label, however its letters were typed.
    pub fn line(&self, label: &str) -> Option<&Line> {
        self.lines.iter().find(|line| line.label.eq_ignore_ascii_case(label))
    }

    /// How many steps it has.
    pub fn steps(&self) -> usize {
        self.lines.iter().filter(|line| matches!(line.of, super::LineOf::Step { .. })).count()
    }
}
