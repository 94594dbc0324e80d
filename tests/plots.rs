//! The pictures show what the figures say: drawn as text, looked at by their parts.

use spanwise::measure::load_deflection::{Branch, Direction, Reading, Settings, analyse};
use spanwise::measure::loading::Loading;
use spanwise::plot::{
    Geometry, LoadingPoint, Plot, Role, TapCell, flex_plot, loading_plot, raster, tap_grid,
};

fn readings(stiffness: f64) -> Vec<Reading> {
    let mut readings = Vec::new();
    for sign in [1.0, -1.0] {
        for (load, branch) in [
            (40.0, Branch::Loading),
            (80.0, Branch::Loading),
            (120.0, Branch::Loading),
            (80.0, Branch::Unloading),
            (40.0, Branch::Unloading),
        ] {
            readings.push(Reading {
                load_n: sign * load,
                deflection_mm: sign * load / stiffness,
                support_mm: None,
                direction: Some(if sign > 0.0 { Direction::Positive } else { Direction::Negative }),
                branch: Some(branch),
            });
        }
    }
    readings
}

fn text(plot: &Plot, width: usize, height: usize, ascii: bool) -> Vec<String> {
    raster(plot, width, height, ascii).iter().map(|row| row.iter().map(|cell| cell.sign).collect()).collect()
}

#[test]
fn the_fitted_line_runs_through_an_exact_series() {
    let readings = readings(12.0);
    let result =
        analyse(&readings, &Settings::for_resolution(0.01)).unwrap_or_else(|error| panic!("{error}"));
    let plot = flex_plot(&readings, Some(&result), None);
    let fits: Vec<&Vec<(f64, f64)>> = plot
        .shapes
        .iter()
        .filter(|shape| shape.role == Role::Fit)
        .filter_map(|shape| match &shape.geometry {
            Geometry::Line(line) => Some(line),
            _ => None,
        })
        .collect();
    assert_eq!(fits.len(), 2, "one for each direction");
    for fit in fits {
        let (deflection, load) = fit[1];
        assert!((deflection - load / 12.0).abs() < 1e-9, "{deflection} mm at {load} N");
    }
}

#[test]
fn a_plot_fits_its_room_and_too_little_room_is_no_failure() {
    let readings = readings(12.0);
    let plot = flex_plot(&readings, None, None);
    for (width, height) in [(80, 24), (40, 12), (16, 6), (3, 2), (0, 0)] {
        let drawn = raster(&plot, width, height, false);
        assert_eq!(drawn.len(), height);
        assert!(drawn.iter().all(|row| row.len() == width));
    }
    let drawn = text(&plot, 60, 16, true).join("\n");
    assert!(drawn.contains('o') && drawn.contains('u') && drawn.contains("deflection, mm"), "{drawn}");
    assert!(drawn.is_ascii());
}

#[test]
fn no_reading_and_odd_readings_still_draw() {
    for readings in [vec![], vec![Reading::new(f64::NAN, f64::INFINITY)], vec![Reading::new(0.0, 0.0)]] {
        let plot = flex_plot(&readings, None, None);
        assert_eq!(text(&plot, 50, 12, false).len(), 12);
    }
}

#[test]
fn the_envelope_holds_a_permitted_loading_and_not_another() {
    // The arithmetic is checked in tests/handbook; here only where the points are drawn.
    let loading = Loading {
        empty_kg: 250.0,
        empty_cg: 600.0,
        cockpit_arm: -500.0,
        forward_limit: 200.0,
        aft_limit: 400.0,
        max_mass_kg: 380.0,
        lifting_parts_kg: None,
        max_non_lifting_kg: None,
        seat_min_kg: 55.0,
        seat_max_kg: 110.0,
    };
    let point = LoadingPoint { name: "pilot 80 kg".to_string(), cg: 333.3, mass_kg: 330.0 };
    let plot = loading_plot(&loading, "mm", &[point]);
    let drawn = text(&plot, 70, 18, false);
    let marked = drawn.iter().find(|row| row.contains('▲')).unwrap_or_else(|| panic!("{}", drawn.join("\n")));
    assert!(marked.contains('░'), "inside the permitted area:\n{}", drawn.join("\n"));
}

#[test]
fn a_tap_map_tells_dull_from_higher_and_empty() {
    let z = [Some(0.1), Some(-4.0), Some(3.6), None, Some(-3.5), Some(3.5)];
    let grid = tap_grid(&z, 3, 3.5);
    assert_eq!(grid[0], [TapCell::Even, TapCell::Lower, TapCell::Higher]);
    assert_eq!(grid[1], [TapCell::Empty, TapCell::Even, TapCell::Even]);
}
