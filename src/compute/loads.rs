//! Cockpit loads of a weighed glider.

use super::input::{Failed, Input, Record};
use super::report::{Figures, Outcome, Picture, Report, shown};
use crate::measure::loading::{Governs, Loading, METHOD, placard_max_kg, placard_min_kg};
use crate::measure::weighing::Balance;
use crate::plot::{Geometry, Plot, Role, Shape, loading_plot};
use crate::quantity::Unit;

/// The type's limits for the cockpit load, kg and mm.
pub struct Type {
    cockpit_arm: f64,
    forward_limit: f64,
    aft_limit: f64,
    max_mass_kg: f64,
    seat_min_kg: f64,
    seat_max_kg: f64,
    lifting_parts_kg: Option<f64>,
    max_non_lifting_kg: Option<f64>,
}

/// Reads the type's limits where a cockpit load is asked for; the inner nothing means that it is not.
pub fn read_type(s: &Record) -> Option<Option<Type>> {
    let asked = ["cockpit_arm", "seat_min", "seat_max", "max_non_lifting", "lifting_parts"];
    let Some(_) = asked.iter().find(|key| s.has(key)) else { return Some(None) };
    let arm = |key: &'static str| s.required_value(key, Unit::Millimetre);
    let mass = |key: &'static str| s.value(key, Unit::Kilogram);
    let (cockpit_arm, forward, aft) = (arm("cockpit_arm"), arm("forward_limit"), arm("aft_limit"));
    let max_mass = s.required("max_mass", mass("max_mass"));
    let seat_max = s.required("seat_max", mass("seat_max"));
    let seat_min = s.or("seat_min", 0.0, mass("seat_min"));
    let lifting = s.optional("lifting_parts", mass("lifting_parts"));
    let non_lifting = s.optional("max_non_lifting", mass("max_non_lifting"));
    Some(Some(Type {
        cockpit_arm: cockpit_arm?,
        forward_limit: forward?,
        aft_limit: aft?,
        max_mass_kg: max_mass?,
        seat_min_kg: seat_min?,
        seat_max_kg: seat_max?,
        lifting_parts_kg: lifting?,
        max_non_lifting_kg: non_lifting?,
    }))
}

impl Type {
    pub fn loading(&self, empty: &Balance) -> Loading {
        Loading {
            empty_kg: empty.mass_kg,
            empty_cg: empty.cg,
            cockpit_arm: self.cockpit_arm,
            forward_limit: self.forward_limit,
            aft_limit: self.aft_limit,
            max_mass_kg: self.max_mass_kg,
            lifting_parts_kg: self.lifting_parts_kg,
            max_non_lifting_kg: self.max_non_lifting_kg,
            seat_min_kg: self.seat_min_kg,
            seat_max_kg: self.seat_max_kg,
        }
    }
}

/// Smallest and largest load with what sets each, under keys that begin with `key`.
pub fn cockpit_loads(
    input: &Input,
    report: &mut Report,
    key: &'static str,
    loading: Loading,
) -> Result<(), Failed> {
    let picture = loading_plot(&loading, "mm", &[]);
    let found = loading.cockpit_loads().map_err(|error| input.refuse("refused", error))?;
    report.method(METHOD);
    let mut figures = Figures::new();
    figures.value("min", say!("Smallest load"), found.min.kg, "kg");
    figures.word("min_set_by", say!("  set by"), governs(found.min.governs));
    figures.value("placard_min", say!("  on the placard, rounded up"), placard_min_kg(found.min.kg), "kg");
    figures.value("max", say!("Largest load"), found.max.kg, "kg");
    figures.word("max_set_by", say!("  set by"), governs(found.max.governs));
    figures.value("placard_max", say!("  on the placard, rounded down"), placard_max_kg(found.max.kg), "kg");
    if let Some(kg) = found.non_lifting_empty_kg {
        figures.value("non_lifting_empty", say!("Non-lifting parts, empty"), kg, "kg");
    }
    figures.flag("any_permitted", say!("Some load is permitted"), found.any_permitted());
    let when = if key == "cockpit" { say!("Cockpit load") } else { say!("Cockpit load after the repair") };
    report.row(key, when, figures);
    report.say(if found.any_permitted() {
        say!(
            "{when}: {} to {} kg.",
            shown(placard_min_kg(found.min.kg)),
            shown(placard_max_kg(found.max.kg)),
            when
        )
    } else {
        say!("{when}: no load is permitted; the glider needs ballast, or a weighing that is right.", when)
    });
    report.pictures.push(Picture::Plot(picture_with_loads(picture, &loading, [found.min.kg, found.max.kg])));
    let outcome = if found.any_permitted() { Outcome::Within } else { Outcome::Outside };
    report.outcome = report.outcome.graver(outcome);
    Ok(())
}

/// Marks the smallest and the largest load on the line that the cockpit load moves along.
fn picture_with_loads(mut plot: Plot, loading: &Loading, loads_kg: [f64; 2]) -> Plot {
    for (name, kg) in [say!("smallest load"), say!("largest load")].into_iter().zip(loads_kg) {
        let mass = loading.empty_kg + kg;
        let cg = (loading.empty_kg * loading.empty_cg + kg * loading.cockpit_arm) / mass;
        let geometry = Geometry::Points(vec![(cg, mass)]);
        plot.shapes.push(Shape { role: Role::Marked, name: name.to_string(), geometry });
    }
    plot
}

fn governs(by: Governs) -> &'static str {
    match by {
        Governs::AftLimit => mark!("the aft limit"),
        Governs::ForwardLimit => mark!("the forward limit"),
        Governs::MaxMass => mark!("the largest mass"),
        Governs::NonLiftingParts => mark!("the mass of the non-lifting parts"),
        Governs::Seat => mark!("the manual's limit of the seat"),
    }
}
