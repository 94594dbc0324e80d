//! The pictures show what the figures say: drawn as text, looked at by their parts.

use spanwise::measure::load_deflection::{Branch, Direction, Reading, Settings, analyse};
use spanwise::measure::loading::Loading;
use spanwise::measure::noise::{Burst, Bursts, Span};
use spanwise::plot::{
    Geometry, LoadingPoint, Plot, Role, TapCell, TrendPoint, flex_plot, loading_plot, noise_plot, plot_text,
    raster, tap_grid, tap_text, trend_plot,
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

fn marked(name: &str, cg: f64, mass_kg: f64) -> LoadingPoint {
    LoadingPoint { name: name.to_string(), cg, mass_kg }
}

fn larkspur_loading() -> Loading {
    Loading {
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
    }
}

fn widest(text: &str) -> usize {
    text.lines().map(|line| line.chars().count()).max().unwrap_or(0)
}

#[test]
fn the_text_of_an_envelope_tells_its_loadings_apart() {
    let points = [marked("lightest pilot", 401.6, 305.0), marked("heaviest pilot", 264.0, 360.0)];
    let plot = loading_plot(&larkspur_loading(), "mm", &points);
    for ascii in [false, true] {
        let text = plot_text(&plot, 72, 20, ascii);
        println!("{text}");
        assert_eq!(text.lines().next(), Some("Centre of gravity"));
        assert!(text.contains("mass, kg") && text.contains("centre of gravity, mm"), "{text}");
        assert!(text.contains("1 lightest pilot") && text.contains("2 heaviest pilot"), "{text}");
        // Each digit stands in the permitted area's rows, above the axis, and again in the legend.
        let field: String = text.lines().skip(2).take(14).map(|line| &line[line.len().min(4)..]).collect();
        assert!(field.contains('1') && field.contains('2'), "{text}");
        assert!(widest(&text) <= 72 && text.lines().count() <= 20, "{text}");
        assert_eq!(text.is_ascii(), ascii);
        assert!(text.lines().all(|line| line == line.trim_end()), "blanks at a line's end");
    }
}

#[test]
fn the_text_of_a_recording_marks_bursts_and_masks() {
    let span = |start_s, end_s| Span { start_s, end_s };
    let found = Bursts {
        bursts: [3.0, 3.2, 14.0].map(|at| Burst { span: span(at, at + 0.02), height_db: 14.0 }).to_vec(),
        masked: vec![span(6.0, 9.0)],
        masked_share: 0.15,
        quiet_db: -70.0,
        duration_s: 20.0,
        envelope_db: Vec::new(),
    };
    let level = |index: usize| match index {
        15 | 16 | 70 => -48.0,
        30..=45 => -55.0,
        _ => -68.0,
    };
    let envelope: Vec<f64> = (0..100).map(level).collect();
    let text = plot_text(&noise_plot(&envelope, &found, &[span(2.0, 5.0), span(12.0, 16.0)]), 80, 18, true);
    println!("{text}");
    assert!(text.contains("^ 3 bursts") && text.contains("# masked, not counted (15 %)"), "{text}");
    let rows: Vec<&str> = text.lines().collect();
    // The uppermost row of the field holds the bursts' marks: 3.0 s and 14.0 s of 20 s.
    let top = rows[2];
    let at: Vec<usize> = top.match_indices('^').map(|(at, _)| at).collect();
    assert!(at.len() >= 2, "{text}");
    let field = rows.iter().map(|row| row.len()).max().unwrap_or(0) as f64;
    assert!(
        (at[0] as f64 / field - 0.20).abs() < 0.07 && (at[at.len() - 1] as f64 / field - 0.73).abs() < 0.07
    );
    let touching = noise_plot(&envelope, &found, &[span(2.0, 8.0), span(8.0, 14.0)]);
    let touching = plot_text(&touching, 80, 18, true);
    let cycles = touching
        .lines()
        .rev()
        .find(|line| line.contains("---"))
        .map_or(0, |line| line.split(|sign| sign != '-').filter(|run| run.len() > 2).count());
    assert_eq!(cycles, 2, "two cycles are seen as two:\n{touching}");
    let quiet = Bursts { bursts: vec![], masked: vec![], masked_share: 0.0, ..found };
    assert!(
        !plot_text(&noise_plot(&envelope, &quiet, &[]), 80, 18, true).contains("burst "),
        "no mark, no legend"
    );
    // A silent recording, and none at all.
    for envelope in [vec![f64::NEG_INFINITY; 4], vec![]] {
        let nothing = Bursts { duration_s: 0.0, ..quiet.clone() };
        assert!(plot_text(&noise_plot(&envelope, &nothing, &[]), 60, 12, false).contains("time, s"));
    }
}

#[test]
fn the_text_of_a_tap_map_counts_what_it_shows() {
    let z: Vec<Option<f64>> = (0..36)
        .map(|index| match index {
            14 | 15 => Some(-5.0),
            29 => Some(4.2),
            35 => None,
            _ => Some(0.3),
        })
        .collect();
    let grid = tap_grid(&z, 12, 3.5);
    let text = tap_text(&grid, 80, false);
    println!("{text}");
    let rows: Vec<&str> = text.lines().collect();
    assert_eq!(
        rows[0].split_whitespace().collect::<Vec<_>>(),
        (1..=12).map(|n| n.to_string()).collect::<Vec<_>>()
    );
    assert_eq!(
        rows[2].split_whitespace().collect::<Vec<_>>(),
        "2 · · ▼ ▼ · · · · · · · ·".split(' ').collect::<Vec<_>>()
    );
    // A sign stands under the last digit of its column's number.
    let column = |row: &str, wanted: char| row.chars().position(|c| c == wanted);
    assert_eq!(column(rows[2], '▼'), column(rows[0], '3'));
    assert!(
        text.contains("dull, look again (2)") && text.contains("higher than its surroundings (1)"),
        "{text}"
    );
    assert!(text.contains("no clear tone, or not tapped (1)"), "{text}");
    let narrow = tap_text(&grid, 12, true);
    println!("{narrow}");
    assert!(narrow.is_ascii() && narrow.contains("columns 9 to 12 found no room"), "{narrow}");
    assert_eq!(tap_text(&[], 80, true), "\nno point was tapped\n");
    assert!(tap_text(&grid, 0, true).contains("columns 1 to 12 found no room"));
}

#[test]
fn a_narrow_band_keeps_a_line_and_a_wide_one_does_not_press_the_readings_together() {
    let line = Plot {
        title: String::new(),
        x: spanwise::plot::Axis { label: "x".into(), min: 0.0, max: 10.0 },
        y: spanwise::plot::Axis { label: "y".into(), min: 0.0, max: 10.0 },
        shapes: vec![spanwise::plot::Shape {
            role: Role::Reference,
            name: "band".into(),
            geometry: Geometry::Area(vec![(5.01, 0.0), (5.02, 10.0), (5.03, 10.0)]),
        }],
    };
    let drawn = text(&line, 40, 14, true);
    let with_band = drawn.iter().filter(|row| row.contains(':')).count();
    assert!(with_band >= 10, "{}", drawn.join("\n"));
}

#[test]
fn absurd_figures_still_draw_and_keep_their_numbers_short() {
    let far = vec![Reading::new(1e18, 1e18), Reading::new(-1e18, 3.0), Reading::new(1e18, 1e18)];
    for readings in [far, vec![Reading::new(0.0, 0.0); 5], vec![Reading::new(50.0, 1.0); 3]] {
        let drawn = text(&flex_plot(&readings, None, None), 60, 14, true);
        assert!(drawn.iter().any(|row| row.contains('o')), "{}", drawn.join("\n"));
    }
    let point = |year, value| TrendPoint { year, value, standard_uncertainty: None };
    for earlier in [vec![], vec![point(2024.5, 1e18); 3], vec![point(f64::NAN, 1.0)]] {
        let drawn = text(&trend_plot("play, mm", &earlier, Some(point(2026.9, 0.0))), 50, 12, true);
        assert_eq!(drawn.len(), 12);
        assert!(drawn.iter().any(|row| row.contains("now")), "{}", drawn.join("\n"));
    }
}

#[test]
fn a_trend_shows_every_annual_with_its_doubt_and_marks_today() {
    let point = |year, value| TrendPoint { year, value, standard_uncertainty: Some(0.2) };
    let earlier = [point(2022.9, 14.4), point(2023.9, 14.2), point(2024.9, 14.3), point(2025.9, 13.9)];
    let drawn = plot_text(&trend_plot("stiffness, N/mm", &earlier, Some(point(2026.9, 10.5))), 60, 14, true);
    println!("{drawn}");
    let field: Vec<&str> = drawn.lines().take_while(|line| !line.contains("2023")).collect();
    assert_eq!(field.iter().skip(2).map(|line| line.matches('o').count()).sum::<usize>(), 4, "{drawn}");
    assert!(drawn.contains("2023") && drawn.contains("2026") && drawn.contains("^ now"), "{drawn}");
}

#[test]
fn a_reading_on_the_way_down_does_not_hide_the_one_on_the_way_up() {
    // An exact series: both ways read the same at 40 N and 80 N, the turning point was read once.
    let drawn = text(&flex_plot(&readings(12.0), None, None), 60, 16, true);
    let field = &drawn[1..drawn.len() - 2];
    let count = |sign: char| field.iter().map(|row| row.matches(sign).count()).sum::<usize>();
    assert_eq!((count('8'), count('u'), count('o')), (4, 0, 2), "{}", drawn.join("\n"));
    assert!(drawn[drawn.len() - 1].contains("o up  u down  8 both"), "{}", drawn.join("\n"));
}
