//! Geometry against the given measures, words against stations, and no panic for anything.

use proptest::prelude::*;
use unicode_width::UnicodeWidthStr;

use super::*;
use crate::plot::{Geometry, Plot, Role};

/// Round measures of an invented type.
fn shape() -> AirframeShape {
    AirframeShape {
        nose: -2000.0,
        tail_end: 5000.0,
        cockpit: (-1500.0, -200.0),
        fuselage_width: 600.0,
        fuselage_height: 800.0,
        wing_root: (0.0, 900.0),
        wing_tip: (200.0, 600.0),
        semi_span: 7500.0,
        fin_root: 4070.0,
        fin_top: 4100.0,
        fin_height: 1200.0,
        rudder_hinge: 4700.0,
        tailplane: (4150.0, 4650.0),
        is_t_tail: true,
        tailplane_semi_span: 1200.0,
        main_wheel: 150.0,
        nose_wheel: None,
        tail_wheel: 4100.0,
        is_to_scale: true,
    }
}

fn mark(id: &str, component: &str, side: &str, station: Option<f64>) -> Mark {
    let text = |text: &str| (!text.is_empty()).then(|| text.to_string());
    Mark { id: id.to_string(), component: text(component), side: text(side), station_mm: station }
}

fn marked(plot: &Plot) -> Vec<(f64, f64)> {
    let shapes = plot.shapes.iter().filter(|shape| shape.role == Role::Marked);
    shapes
        .flat_map(|shape| match &shape.geometry {
            Geometry::Points(points) => points.clone(),
            _ => Vec::new(),
        })
        .collect()
}

fn view(mark: &Mark, view: View, wing_share: f64) -> Plot {
    let shape = shape();
    airframe_plot(&shape, &[place_mark(&shape, mark)], view, wing_share)
}

#[test]
fn a_mark_lies_at_its_station_in_both_views() {
    for station in [-1999.0, -900.0, 0.0, 450.5, 2500.0, 4250.0, 5000.0] {
        for component in ["fin", "tail boom", "left wing", "cockpit", "thing"] {
            for seen in [View::Side, View::Top] {
                let points = marked(&view(&mark("d1", component, "left", Some(station)), seen, 0.2));
                assert!(!points.is_empty(), "{component} {station}");
                assert!(points.iter().all(|point| point.0 == station), "{component} {station}: {points:?}");
            }
        }
    }
}

#[test]
fn the_outline_keeps_the_given_measures() {
    let extremes = |plot: &Plot| {
        let lines = plot.shapes.iter().filter_map(|shape| match &shape.geometry {
            Geometry::Line(points) => Some(points.clone()),
            _ => None,
        });
        let points: Vec<(f64, f64)> = lines.flatten().collect();
        let x = |pick: fn(f64, f64) -> f64, from: f64| {
            points.iter().fold(from, |best, point| pick(best, point.0))
        };
        let y = |pick: fn(f64, f64) -> f64, from: f64| {
            points.iter().fold(from, |best, point| pick(best, point.1))
        };
        (x(f64::min, 1e9), x(f64::max, -1e9), y(f64::min, 1e9), y(f64::max, -1e9))
    };
    let nothing = mark("d1", "", "", None);
    let (nose, tail, low, high) = extremes(&view(&nothing, View::Side, 1.0));
    assert_eq!((nose, tail, high), (-2000.0, 5000.0, 1200.0));
    assert!((-500.0..-300.0).contains(&low), "{low}");
    let (nose, tail, left, right) = extremes(&view(&nothing, View::Top, 1.0));
    assert_eq!((nose, tail, left, right), (-2000.0, 5000.0, -7500.0, 7500.0));
    // Shortened wings shorten nothing else.
    let (nose, tail, left, right) = extremes(&view(&nothing, View::Top, 0.2));
    assert_eq!((nose, tail), (-2000.0, 5000.0));
    assert!((left + 1500.0).abs() < 1e-9 && (right - 1500.0).abs() < 1e-9, "{left} {right}");
}

#[test]
fn left_and_right_are_mirrored_from_above_and_told_by_a_letter_from_the_side() {
    for component in ["wing", "tailplane", "aileron", "fin", "cockpit", "wing tip"] {
        for station in [Some(4300.0), None] {
            let left = marked(&view(&mark("d1", component, "left", station), View::Top, 0.3));
            let right = marked(&view(&mark("d1", component, "right", station), View::Top, 0.3));
            let mirrored: Vec<(f64, f64)> = right.iter().map(|(x, y)| (*x, -y)).collect();
            assert_eq!(left, mirrored, "{component}");
            // The nose to the left, seen from above: the left wing is below.
            assert!(left.iter().all(|point| point.1 < 0.0), "{component}: {left:?}");
        }
    }
    let picture = |side: &str| {
        airframe_picture(&shape(), &[mark("d3", "fin", side, Some(4250.0))], 70, 10, Prefer::Side, true)
            .lines()
            .join("\n")
    };
    assert!(picture("left").contains("3L") && picture("right").contains("3R"), "{}", picture("left"));
    assert!(picture("both").contains("3B") && !picture("").contains("3L"));
}

#[test]
fn from_above_the_side_is_seen_at_every_size() {
    for (width, height) in [(24, 8), (38, 8), (38, 12), (78, 10), (78, 20), (140, 40)] {
        let row_of = |side: &str| {
            let marks = [mark("d3", "tail boom", side, Some(3700.0))];
            let picture = airframe_picture(&shape(), &marks, width, height, Prefer::Top, true);
            // Where both views are drawn, the one from above comes last; below it stand the stations.
            let lines = picture.lines();
            lines.iter().take(lines.len() - 1).rposition(|line| line.contains('3'))
        };
        let rows = (row_of("right"), row_of("centre"), row_of("left"));
        assert!(rows.0.is_some() && rows.0 < rows.1 && rows.1 < rows.2, "{width} x {height}: {rows:?}");
    }
}

#[test]
fn the_drawing_has_the_mark_in_the_column_of_its_station() {
    let shape = shape();
    for station in [-1500.0, 0.0, 1000.0, 4250.0, 4900.0] {
        let marks = [mark("d7", "", "", Some(station))];
        let picture = airframe_picture(&shape, &marks, 71, 12, Prefer::Side, true);
        let lines = picture.lines();
        let column = |line: &str| line.chars().position(|c| c == '7');
        let found = lines.iter().take(lines.len() - 1).find_map(|line| column(line)).unwrap_or(999) as f64;
        // 7000 mm and twice one per cent of room over the columns that the picture takes.
        let plot = airframe_plot(&shape, &[], View::Side, 1.0);
        let widest = lines.iter().map(|line| line.width()).max().unwrap_or(1) as f64;
        let wanted = (station - plot.x.min) / (plot.x.max - plot.x.min) * (widest - 1.0);
        assert!(
            (found - wanted).abs() <= 1.5,
            "{station}: column {found}, wanted {wanted}\n{}",
            lines.join("\n")
        );
    }
}

/// A character is twice as high as wide: the fin's 1200 mm take half as many rows as 1200 mm take columns.
#[test]
fn heights_and_lengths_have_one_scale() {
    let lines = airframe_picture(&shape(), &[], 100, 40, Prefer::Side, true);
    let column_of = |station: f64| {
        let marks = [mark("d1", "nothing known", "", Some(station))];
        let drawn = airframe_picture(&shape(), &marks, 100, 40, Prefer::Side, true);
        let lines = drawn.lines();
        lines.iter().skip(1).find_map(|line| line.chars().position(|c| c == '1')).unwrap_or(0)
    };
    let columns = column_of(4900.0) - column_of(-1900.0);
    let mm_per_column = 6800.0 / columns as f64;
    let drawn = lines.lines();
    // From the T-tail's row down to the fuselage's lowest one in the side view, which comes first.
    let top = drawn.iter().position(|line| line.contains("----")).unwrap_or(0);
    let end = drawn.iter().position(|line| line.starts_with("from above")).unwrap_or(drawn.len());
    let rows = (end - 1 - top) as f64;
    let height = 1200.0 + 0.55 * 800.0;
    assert!(
        (rows * 2.0 * mm_per_column - height).abs() < 4.0 * mm_per_column,
        "{rows} rows\n{}",
        drawn.join("\n")
    );
}

#[test]
fn component_words_of_the_trade_find_their_part() {
    for (words, region) in [
        ("fin", Region::Fin),
        ("Fin root", Region::FinRoot),
        ("left wing", Region::Wing),
        ("wings", Region::Wing),
        ("wing root, right", Region::WingRoot),
        ("tail boom", Region::TailBoom),
        ("tail-boom", Region::TailBoom),
        ("rudder", Region::Rudder),
        ("rudder pedals", Region::Cockpit),
        ("tailplane", Region::Tailplane),
        ("elevator", Region::Elevator),
        ("aileron left", Region::Aileron),
        ("cockpit", Region::Cockpit),
        ("canopy frame", Region::Canopy),
        ("undercarriage", Region::MainWheel),
        ("tail wheel", Region::TailWheel),
        ("airbrakes", Region::Airbrake),
    ] {
        assert_eq!(recognise(words), Some(region), "{words}");
    }
    for words in ["", "radio", "finish of the paint", "swing"] {
        assert_eq!(recognise(words), None, "{words}");
    }
}

#[test]
fn a_station_is_told_by_the_part_it_lies_on() {
    let shape = shape();
    let told =
        |component: Option<&str>, station: f64| station_words(&shape, component, station).unwrap_or_default();
    assert_eq!(
        told(Some("fin"), 4250.0),
        ("station 4250 mm: fin, 180 mm behind its leading edge root".to_string(), false)
    );
    assert_eq!(
        told(Some("fin"), 9400.0),
        ("station 9400 mm lies behind the tail end (5000 mm)".to_string(), true)
    );
    assert_eq!(told(None, -2500.0), ("station -2500 mm lies ahead of the nose (-2000 mm)".to_string(), true));
    assert_eq!(
        told(Some("fin"), 1000.0),
        ("station 1000 mm lies off the fin (4070 to 4700 mm), at the tail boom".to_string(), true)
    );
    assert_eq!(told(None, 500.0), ("station 500 mm: wing".to_string(), false));
    assert_eq!(station_words(&AirframeShape::generic(), Some("fin"), 4250.0), None);
}

#[test]
fn what_cannot_be_placed_says_so() {
    let notes = |shape: &AirframeShape, mark: &Mark| place_mark(shape, mark).notes.join("; ");
    let shape = shape();
    assert!(notes(&shape, &mark("d1", "gubbins", "", Some(100.0))).contains("\"gubbins\" is not recognised"));
    assert!(notes(&shape, &mark("d1", "", "", None)).contains("not drawn"));
    assert!(notes(&shape, &mark("d1", "fin", "", None)).contains("no station"));
    assert!(notes(&shape, &mark("d1", "fin", "", Some(9400.0))).contains("behind the tail end (5000 mm)"));
    assert!(notes(&shape, &mark("d1", "left wing", "right", Some(100.0))).contains("different sides"));
    let generic = AirframeShape::generic();
    assert_eq!(place_mark(&generic, &mark("d1", "fin", "", Some(4250.0))).at, place::At::Whole);
    let legend = airframe_picture(&generic, &[], 70, 12, Prefer::Side, true).legend;
    assert_eq!(legend, ["not to scale: the type file has no outline; marked by component, not by station"]);
}

#[test]
fn marks_at_one_place_are_listed() {
    let marks = [mark("d1", "fin", "", Some(4250.0)), mark("d2", "fin", "", Some(4251.0))];
    let picture = airframe_picture(&shape(), &marks, 70, 12, Prefer::Side, true);
    assert!(picture.lines().join("\n").contains('+'), "{}", picture.lines().join("\n"));
    assert!(picture.legend.iter().any(|line| line == "+ at one place: d1, d2"), "{:?}", picture.legend);
    assert!(picture.legend.iter().any(|line| line.starts_with("2 d2: fin, station 4251 mm")));
}

#[test]
fn signs_follow_the_ids() {
    let signs: String = ["d1", "d9", "d10", "d35", "d36", "", "x"].iter().map(|id| sign_of_id(id)).collect();
    assert_eq!(signs, "19az***");
}

fn any_station() -> impl Strategy<Value = Option<f64>> {
    prop_oneof![
        Just(None),
        Just(Some(f64::NAN)),
        Just(Some(f64::INFINITY)),
        any::<f64>().prop_map(Some),
        (-3000.0..6000.0f64).prop_map(Some),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn no_size_no_text_and_no_station_panics(
        width in 0usize..160,
        height in 0usize..60,
        id in "\\PC{0,6}",
        component in prop_oneof![Just("left wing".to_string()), Just("fin".to_string()), "\\PC{0,20}"],
        side in prop_oneof![Just("both".to_string()), "\\PC{0,8}"],
        station in any_station(),
        ascii in any::<bool>(),
        prefer in prop_oneof![Just(Prefer::Marks), Just(Prefer::Side), Just(Prefer::Top)],
    ) {
        let marks = [mark(&id, &component, &side, station), mark("d2", "elevator", "left", None)];
        for shape in [shape(), AirframeShape::generic()] {
            let picture = airframe_picture(&shape, &marks, width, height, prefer, ascii);
            prop_assert!(picture.rows.len() <= height);
            prop_assert!(picture.rows.iter().all(|row| row.len() <= width));
            // Two marks, each told.
            prop_assert!(picture.legend.len() >= 2);
            let _ = station_words(&shape, Some(&component), station.unwrap_or(0.0));
        }
    }

    #[test]
    fn no_measures_panic(numbers in proptest::collection::vec(-1e6..1e6f64, 20), width in 0usize..100, height in 0usize..40) {
        let mut of = shape();
        of.nose = numbers[0];
        of.tail_end = numbers[1];
        of.cockpit = (numbers[2], numbers[3]);
        of.wing_root = (numbers[4], numbers[5]);
        of.wing_tip = (numbers[6], numbers[7]);
        of.semi_span = numbers[8];
        of.fin_root = numbers[9];
        of.fin_top = numbers[10];
        of.fin_height = numbers[11];
        of.rudder_hinge = numbers[12];
        of.tailplane = (numbers[13], numbers[14]);
        of.tailplane_semi_span = numbers[15];
        of.fuselage_width = numbers[16];
        of.fuselage_height = numbers[17];
        let marks = [mark("d1", "fin", "left", Some(numbers[18])), mark("d2", "left wing", "", None)];
        let picture = airframe_picture(&of, &marks, width, height, Prefer::Marks, false);
        prop_assert!(picture.rows.len() <= height);
    }
}

#[test]
#[ignore = "prints pictures to look at"]
fn look() {
    let marks = [
        mark("d1", "fin root", "left", Some(4250.0)),
        mark("d2", "left wing", "", None),
        mark("d3", "canopy", "", None),
        mark("d4", "right aileron", "", None),
        mark("d5", "tail boom", "right", Some(3000.0)),
    ];
    for (width, height) in [(38, 8), (60, 10), (76, 12), (78, 17), (138, 36)] {
        for prefer in [Prefer::Side, Prefer::Top] {
            let picture = airframe_picture(&shape(), &marks, width, height, prefer, false);
            println!("{width}x{height}\n{}\n{}\n", picture.lines().join("\n"), picture.legend.join("\n"));
        }
    }
    println!("{}", airframe_picture(&shape(), &marks, 76, 12, Prefer::Side, true).lines().join("\n"));
}
