//! `rescue` and `make-room`: when the disk fails, is full, or holds a damaged record.
//!
//! Giving the ballast back is a command of its own and no flag of the recording ones: it helps once, so it must not
//! become a habit of scripts that is used up before the day on which it is needed.

use super::args::{RescueArgs, SessionArg};
use super::output::{Failure, Output, exit};
use crate::hangar::{Hangar, find_session, make_room, rescue};

/// The code is that of a failure when something could not be read: the copy is then not whole.
pub(super) fn rescue_session(hangar: &Hangar, args: &RescueArgs, out: &mut Output) -> Result<u8, Failure> {
    let sid = find_session(hangar, &args.session.session)?;
    let done = rescue(hangar, &sid, &args.into)?;
    for problem in &done.problems {
        out.error(&say!("not whole: {problem}", problem = problem));
    }
    if let Some(damage) = &done.damage {
        out.error(&say!("the record itself is damaged, and the copy like it: {damage}", damage = damage));
    }
    out.line(&done.words());
    out.line(&say!("to {}", done.session.display()));
    out.line(&done.next());
    Ok(if done.problems.is_empty() { exit::DONE } else { exit::FAILED })
}

pub(super) fn give_ballast_back(hangar: &Hangar, args: &SessionArg, out: &mut Output) -> Result<u8, Failure> {
    let sid = find_session(hangar, &args.session)?;
    let bytes = make_room(hangar, &sid)?;
    out.line(&say!(
        "{bytes} bytes given back: give the answer again, pause or sign, then make room; it helps only once",
        bytes = bytes
    ));
    Ok(exit::DONE)
}
