//! Every square of 1 mm looked at by itself, and what may never happen.

use proptest::prelude::*;
use spanwise::checklist::{Side, TypeData};
use spanwise::handover::{Opening, Outcome, check_opening};
use spanwise::quantity::{LengthRange, Number};

use crate::{area, item, margin, number, type_data};

/// Station and height of a rectangle with whole numbers, side and tolerance or margin.
type Box4 = (i64, i64, i64, i64);

fn boxes() -> impl Strategy<Value = Box4> {
    (0i64..24, 1i64..9, 0i64..24, 1i64..9).prop_map(|(s, ds, h, dh)| (s, s + ds, h, h + dh))
}

fn sides() -> impl Strategy<Value = Option<Side>> {
    prop_oneof![Just(None), Just(Some(Side::Left)), Just(Some(Side::Right))]
}

fn words(of: Box4) -> (String, String) {
    (format!("{}..{}", of.0, of.1), format!("{}..{}", of.2, of.3))
}

fn data_of(items: &[(Box4, Option<Side>, i64)], areas: &[(Box4, Option<Side>)]) -> TypeData {
    let items = items.iter().enumerate().map(|(index, (of, side, tolerance))| {
        let (station, height) = words(*of);
        item(&format!("i{index}"), *side, &station, &height, &tolerance.to_string())
    });
    let areas = areas.iter().map(|(of, side)| {
        let (station, height) = words(*of);
        area(*side, &station, &height)
    });
    type_data(items.collect(), areas.collect())
}

fn opening_of(of: Box4, side: Option<Side>) -> Opening {
    let (station, height) = words(of);
    Opening::new("fin", side, &station, &height).unwrap_or_else(|error| panic!("{error}"))
}

/// Squares of the rectangle grown by `by`.
fn squares(of: Box4, by: i64) -> impl Iterator<Item = (i64, i64)> {
    (of.0 - by..of.1 + by).flat_map(move |s| (of.2 - by..of.3 + by).map(move |h| (s, h)))
}

fn has(of: Box4, by: i64, square: (i64, i64)) -> bool {
    square.0 >= of.0 - by && square.0 < of.1 + by && square.1 >= of.2 - by && square.1 < of.3 + by
}

fn meet(a: Option<Side>, b: Option<Side>) -> bool {
    a.is_none() || b.is_none() || a == b
}

/// The outcome by looking at squares alone. Touching counts as cutting, so the opening is looked at one square larger.
fn by_raster(
    of: Box4,
    side: Option<Side>,
    margin: i64,
    items: &[(Box4, Option<Side>, i64)],
    areas: &[(Box4, Option<Side>)],
) -> Outcome {
    let met = |by: i64| {
        items.iter().any(|(at, on, tolerance)| {
            meet(side, *on) && squares(of, by).any(|square| has(*at, *tolerance, square))
        })
    };
    // One square more finds what only touches, edges and corners alike.
    if met(1) {
        return Outcome::Cuts;
    }
    if met(margin) {
        return Outcome::Near;
    }
    let both = [Side::Left, Side::Right];
    let covered = both.into_iter().filter(|one| side.is_none_or(|only| only == *one)).all(|one| {
        squares(of, margin)
            .all(|square| areas.iter().any(|(at, on)| meet(Some(one), *on) && has(*at, 0, square)))
    });
    if covered { Outcome::Clear } else { Outcome::NotMapped }
}

fn items() -> impl Strategy<Value = Vec<(Box4, Option<Side>, i64)>> {
    prop::collection::vec((boxes(), sides(), 0i64..4), 0..5)
}

fn areas() -> impl Strategy<Value = Vec<(Box4, Option<Side>)>> {
    let large =
        (-20i64..4, 16i64..60, -20i64..4, 16i64..60).prop_map(|(s, ds, h, dh)| (s, s + ds, h, h + dh));
    prop::collection::vec((large, sides()), 0..4)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn the_check_agrees_with_the_raster(
        of in boxes(), side in sides(), mm in 0i64..6, items in items(), areas in areas()
    ) {
        let found = check_opening(&opening_of(of, side), &margin(&mm.to_string()), Some(&data_of(&items, &areas)));
        prop_assert_eq!(found.outcome, by_raster(of, side, mm, &items, &areas));
    }

    /// The parts told as unmapped are those and no others, and they do not overlap.
    #[test]
    fn the_unmapped_parts_are_the_squares_that_no_area_has(of in boxes(), mm in 0i64..6, areas in areas()) {
        let found =
            check_opening(&opening_of(of, Some(Side::Left)), &margin(&mm.to_string()), Some(&data_of(&[], &areas)));
        for square in squares(of, mm) {
            let (s, h) = (format!("{}.5", square.0), format!("{}.5", square.1));
            let inside = |range: &LengthRange, text: &str| {
                // Whole numbers below 0 have their middle towards 0: -3 + 0.5.
                let middle = number(text.strip_prefix('-').unwrap_or(text));
                let middle = if text.starts_with('-') {
                    Number::from(rust_decimal::Decimal::ONE - middle.decimal())
                } else {
                    middle
                };
                range.from_mm() < middle && middle < range.to_mm()
            };
            let told = found.unmapped.iter().filter(|part| inside(&part.rect.station, &s) && inside(&part.rect.height, &h));
            let told: Vec<bool> = told.map(|part| part.only_margin).collect();
            let mapped = areas.iter().any(|(at, on)| meet(Some(Side::Left), *on) && has(*at, 0, square));
            let wanted = if mapped { vec![] } else { vec![!has(of, 0, square)] };
            prop_assert_eq!(told, wanted, "square {:?}", square);
        }
    }

    #[test]
    fn a_larger_opening_is_never_judged_milder(
        of in boxes(), more in (0i64..5, 0i64..5, 0i64..5, 0i64..5), side in sides(), mm in 0i64..6, wider in 0i64..4,
        items in items(), areas in areas()
    ) {
        let data = data_of(&items, &areas);
        let judge = |of, side, mm: i64| check_opening(&opening_of(of, side), &margin(&mm.to_string()), Some(&data)).outcome;
        let larger = (of.0 - more.0, of.1 + more.1, of.2 - more.2, of.3 + more.3);
        let small = judge(of, side, mm);
        for large in [judge(larger, side, mm), judge(larger, None, mm), judge(larger, side, mm + wider)] {
            prop_assert!(small != Outcome::Cuts || large == Outcome::Cuts);
            prop_assert!(small == Outcome::Clear || large != Outcome::Clear);
        }
    }

    #[test]
    fn with_less_data_nothing_unknown_gets_clear(
        of in boxes(), side in sides(), mm in 0i64..6, items in items(), areas in areas(), drop in 0usize..9
    ) {
        let judge = |items: &[_], areas: &[_]| {
            check_opening(&opening_of(of, side), &margin(&mm.to_string()), Some(&data_of(items, areas))).outcome
        };
        let all = judge(&items, &areas);
        let (mut fewer_items, mut fewer_areas) = (items.clone(), areas.clone());
        if drop < items.len() {
            fewer_items.remove(drop);
        } else if drop - items.len() < areas.len() {
            fewer_areas.remove(drop - items.len());
        }
        let less = judge(&fewer_items, &fewer_areas);
        prop_assert!(all != Outcome::NotMapped || less != Outcome::Clear);
        prop_assert!(all == Outcome::Clear || less != Outcome::Clear || fewer_areas == areas);
        prop_assert_ne!(judge(&items, &[]), Outcome::Clear);
    }

    #[test]
    fn no_text_of_an_opening_panics(text in "(fin |left |x |[0-9]{1,30}|\\.\\.|[-+., ]|mm|\\PC){0,12}") {
        let _ = Opening::parse(&text);
    }
}
