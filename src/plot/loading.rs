//! The centre-of-gravity envelope: mass against centre of gravity, with the limits and the loadings.

use super::{Geometry, Plot, Role, Shape, axis_around};
use crate::measure::loading::Loading;

/// One loading: a name, its centre of gravity in the unit of the limits, its mass in kg.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadingPoint {
    pub name: String,
    pub cg: f64,
    pub mass_kg: f64,
}

/// The permitted box from the forward to the aft limit up to the largest mass, the line that the cockpit load
/// moves along, and the given loadings.
pub fn loading_plot(loading: &Loading, unit: &str, points: &[LoadingPoint]) -> Plot {
    let (forward, aft) = (loading.forward_limit, loading.aft_limit);
    let (bottom, top) = (loading.empty_kg, loading.max_mass_kg);
    let box_corners = vec![(forward, bottom), (aft, bottom), (aft, top), (forward, top)];
    let with_load = |kg: f64| {
        let mass = loading.empty_kg + kg;
        ((loading.empty_kg * loading.empty_cg + kg * loading.cockpit_arm) / mass, mass)
    };
    let heaviest = (loading.max_mass_kg - loading.empty_kg).max(0.0);
    let path: Vec<(f64, f64)> = (0..=40).map(|step| with_load(heaviest * f64::from(step) / 40.0)).collect();
    let mut shapes = vec![
        Shape {
            role: Role::Reference,
            name: say!("permitted").to_string(),
            geometry: Geometry::Area(box_corners),
        },
        Shape { role: Role::Fit, name: say!("cockpit load").to_string(), geometry: Geometry::Line(path) },
    ];
    shapes.extend(points.iter().map(|point| Shape {
        role: Role::Marked,
        name: point.name.clone(),
        geometry: Geometry::Points(vec![(point.cg, point.mass_kg)]),
    }));
    let cgs = [forward, aft, loading.empty_cg].into_iter().chain(points.iter().map(|point| point.cg));
    let masses = [bottom, top].into_iter().chain(points.iter().map(|point| point.mass_kg));
    Plot {
        title: say!("Centre of gravity").to_string(),
        x: axis_around(&say!("centre of gravity, {unit}", unit), cgs, false),
        y: axis_around(say!("mass, kg"), masses, false),
        shapes,
    }
}
