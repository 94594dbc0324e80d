//! `handover` and `opening`: what the composite repairer gets, and whether a proposed opening would be clear.

use clap::{Args, ValueEnum};

use super::args::SessionArg;
use super::output::{Failure, Output, exit};
use crate::checklist::Side;
use crate::handover::{
    CAUTION, Check, Margin, Material, Opening, Outcome, brief, brief_text, check_opening, check_text,
    choose_defects,
};
use crate::hangar::{Hangar, Viewing, find_session, preview};
use crate::plan::Plan;
use crate::quantity::{Number, Unit, read_typed};

const CODES: &str = "Exit codes:
  0  every opening is clear by the type's data, or none was proposed
  3  an opening cuts a hidden item or comes nearer than margin and tolerance; or no defect is to be handed over
  4  the record is damaged
  5  cannot tell: the type's data are not complete there

For an approved composite repairer: drawings, repair manual and the part itself decide.

Example:
  spanwise opening XX-VA7 --component fin --side left --station 4250..4310 --height 120..180
  spanwise handover XX-VA7 --defect d1 --opening \"fin left 4250..4310 x 120..180\"";

#[derive(Debug, Args)]
#[command(after_help = CODES)]
pub struct HandoverArgs {
    #[command(flatten)]
    pub session: SessionArg,
    /// Defect to hand over; again for more. By default all that are referred or keep the airframe on the ground.
    #[arg(long, value_name = "DEFECT")]
    pub defect: Vec<String>,
    /// Proposed opening, as "fin left 4250..4310 x 120..180"; again for more.
    #[arg(long, value_name = "OPENING")]
    pub opening: Vec<String>,
    /// Room to keep from hidden items; by default the type's own, else 20 mm (common practice, no source).
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub margin: Option<String>,
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
#[command(after_help = CODES)]
pub struct OpeningArgs {
    /// A session's id or its beginning, or a registration: its newest session, else the plan as it would be composed now.
    #[arg(value_name = "SESSION | REGISTRATION")]
    pub of: String,
    /// As the type's data call it: fin, "tail boom".
    #[arg(long)]
    pub component: String,
    #[arg(long, value_enum, default_value_t = SideWord::Both)]
    pub side: SideWord,
    /// From the type's datum, such as 4250..4310 or "4.25..4.31 m"; bare numbers are mm.
    #[arg(long, value_name = "FROM..TO", allow_hyphen_values = true)]
    pub station: String,
    /// From the type's height datum.
    #[arg(long, value_name = "FROM..TO", allow_hyphen_values = true)]
    pub height: String,
    /// Room to keep from hidden items; by default the type's own, else 20 mm (common practice, no source).
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub margin: Option<String>,
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum SideWord {
    Left,
    Right,
    Both,
}

impl SideWord {
    fn side(self) -> Option<Side> {
        match self {
            SideWord::Left => Some(Side::Left),
            SideWord::Right => Some(Side::Right),
            SideWord::Both => None,
        }
    }
}

/// Prints the brief for the chosen defects.
pub fn handover(hangar: &Hangar, args: &HandoverArgs, out: &mut Output) -> Result<u8, Failure> {
    let openings = args
        .opening
        .iter()
        .map(|text| Opening::parse(text).map_err(|error| Failure::usage(&error.to_string())))
        .collect::<Result<Vec<_>, _>>()?;
    let sid = find_session(hangar, &args.session.session)?;
    let view = Viewing::open(hangar, &sid)?;
    let margin = margin_of(args.margin.as_deref(), &view.plan)?;
    let defects =
        choose_defects(&view.state, &args.defect).map_err(|error| Failure::refused(error.to_string()))?;
    let material = Material {
        session: &sid,
        plan: &view.plan,
        plan_hash: &view.plan_hash,
        state: &view.state,
        record_faults: &view.integrity,
    };
    let brief = brief(&material, &defects, &openings, &margin);
    if args.json {
        out.json(&brief);
    } else {
        out.text(&brief_text(&brief));
    }
    for problem in &view.integrity {
        out.error(&say!("the record is damaged: {problem}", problem = problem));
    }
    if !view.integrity.is_empty() {
        return Ok(exit::DAMAGED);
    }
    Ok(worst(&brief.openings))
}

/// Checks one opening.
pub fn opening(hangar: &Hangar, args: &OpeningArgs, out: &mut Output) -> Result<u8, Failure> {
    let opening = Opening::new(&args.component, args.side.side(), &args.station, &args.height)
        .map_err(|error| Failure::usage(&error.to_string()))?;
    let (plan, session, damaged) = plan_of(hangar, &args.of)?;
    let margin = margin_of(args.margin.as_deref(), &plan)?;
    let check = check_opening(&opening, &margin, plan.of_type.as_ref());
    if args.json {
        out.json(&serde_json::json!({
            "caution": CAUTION,
            "registration": plan.airframe.registration,
            "type": plan.airframe.type_id,
            "session": session,
            "check": check,
        }));
    } else {
        let data = match &session {
            Some(sid) => say!("data: {}, plan of session {sid}", plan.airframe.type_id, sid = sid),
            None => say!("data: {}, as the plan would be composed now", plan.airframe.type_id),
        };
        out.text(&check_text(&check));
        out.line(&data);
        if plan.of_type.as_ref().is_none_or(|data| data.mapped_areas.is_empty()) {
            out.line(say!("this plan holds no mapped area; a newer type supplement may: spanwise take-up"));
        }
    }
    for problem in &damaged {
        out.error(&say!("the record is damaged: {problem}", problem = problem));
    }
    if !damaged.is_empty() {
        return Ok(exit::DAMAGED);
    }
    Ok(worst(std::slice::from_ref(&check)))
}

/// The plan of the session found; of an airframe without a session the one that it would get now.
fn plan_of(hangar: &Hangar, word: &str) -> Result<(Plan, Option<String>, Vec<String>), Failure> {
    match find_session(hangar, word) {
        Ok(sid) => {
            let view = Viewing::open(hangar, &sid)?;
            Ok((view.plan, Some(sid), view.integrity))
        }
        Err(no_session) => match hangar.airframe(word) {
            Ok(_) => Ok((preview(hangar, word)?, None, Vec::new())),
            Err(_) => Err(no_session.into()),
        },
    }
}

fn margin_of(typed: Option<&str>, plan: &Plan) -> Result<Margin, Failure> {
    let typed_mm = typed.map(typed_margin_mm).transpose()?;
    Margin::choose(typed_mm, plan.of_type.as_ref()).map_err(|error| Failure::usage(&error))
}

fn typed_margin_mm(text: &str) -> Result<Number, Failure> {
    read_typed(text, Unit::Millimetre, false)
        .and_then(|quantity| quantity.to(Unit::Millimetre))
        .map(|quantity| quantity.value)
        .map_err(|error| Failure::usage(&say!("--margin: {error}", error = error)))
}

/// Known trouble goes before not knowing, not knowing before clear.
fn worst(checks: &[Check]) -> u8 {
    let any = |wanted: &[Outcome]| checks.iter().any(|check| wanted.contains(&check.outcome));
    if any(&[Outcome::Cuts, Outcome::Near]) {
        exit::REFUSED
    } else if any(&[Outcome::NotMapped]) {
        exit::UNDECIDED
    } else {
        exit::DONE
    }
}
