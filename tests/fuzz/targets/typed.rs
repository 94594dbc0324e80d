//! What a person types: numbers, quantities, readings of every kind, tables.

use spanwise::checklist::{Measure, MeasureKind};
use spanwise::event::ReadingValue;
use spanwise::quantity::{Limit, Number, Quantity, Unit, read_entry};
use spanwise::session::{parse_value, taken_as, value_words};
use spanwise::state::{judge, judge_repeats};

use super::{Target, replay, text};

pub fn target() -> Target {
    let bench = replay::bench();
    let measures: Vec<Measure> =
        bench.plan.steps.iter().flat_map(|step| step.step.measures.clone()).collect();
    Target::new("typed", 200, move |input| run(&measures, &text(input)))
        .seeds(seeds)
        .tokens(|| Unit::ALL.iter().map(|unit| unit.symbol().to_string()).collect())
}

fn run(measures: &[Measure], typed: &str) -> bool {
    let mut accepted = number(typed);
    for unit in [Unit::Millimetre, Unit::Celsius, Unit::Month, Unit::Radian, Unit::Count] {
        match read_entry(typed, unit, false) {
            Ok(quantity) => converted(quantity),
            Err(why) => assert!(!why.to_string().is_empty()),
        }
    }
    for measure in measures {
        match parse_value(measure, typed) {
            Ok(value) => {
                accepted |= !takes_anything(measure);
                judged(measure, typed, &value);
            }
            Err(why) => assert!(!why.is_empty()),
        }
    }
    accepted
}

fn number(typed: &str) -> bool {
    let Ok(number) = typed.parse::<Number>() else { return false };
    assert!(number.to_f64().is_finite());
    let again: Result<Number, _> = number.to_string().parse();
    assert_eq!(again, Ok(number), "a number reads back as shown");
    true
}

fn takes_anything(measure: &Measure) -> bool {
    matches!(measure.kind, MeasureKind::Text | MeasureKind::Table { .. })
}

/// A quantity in every unit, compared and taken as a limit.
fn converted(quantity: Quantity) {
    let again = Quantity::parse(&quantity.to_string());
    assert_eq!(again, Ok(quantity), "a quantity reads back as shown");
    for unit in Unit::ALL {
        if let Ok(other) = quantity.to(*unit) {
            let _ = (quantity.compare(&other), quantity.converts_exactly(*unit), quantity.in_unit_f64(*unit));
            let _ = Limit::new(Some(quantity), Some(other)).map(|limit| limit.contains(&quantity));
            let _ = Limit::around(&quantity, &other, &other).map(|limit| limit.to_string());
        }
    }
}

fn judged(measure: &Measure, typed: &str, value: &ReadingValue) {
    let _ = taken_as(typed, value);
    assert!(!value_words(value).is_empty());
    // A table is judged by its computation, which has a target of its own.
    if !takes_anything(measure) {
        let _ = judge(measure, value, None, None).headline();
    }
    if let ReadingValue::Number { quantity } = value {
        let three = [*quantity, Quantity::new(Number::from(1), quantity.unit), *quantity];
        let _ = judge_repeats(None, &three, None, measure.guard);
    }
}

fn seeds() -> Vec<Vec<u8>> {
    let typed = [
        "12.5 kgf",
        "-0,5mm",
        "25 / 24",
        "100 km/h ; 101 km/h",
        "3",
        "felt",
        "2027-03-31",
        "31.3.2027",
        "left, up, 5, 3.40\nright; down; 49,03 N; 3,1 mm\n",
        "load,load_unit,deflection,deflection_unit,direction,branch\n2,kgf,1.4,mm,left,loading\n",
        "79228162514264337593543950335 in",
        "-273.15 °C",
        "0.0000000000000000000000000001 µm",
        "90°",
    ];
    let mut seeds: Vec<Vec<u8>> = typed.iter().map(|text| text.as_bytes().to_vec()).collect();
    seeds.push(crate::keep::file("demo/flex/soft-fin.csv"));
    seeds.push(crate::keep::file("demo/compute/weighing.toml"));
    seeds
}
