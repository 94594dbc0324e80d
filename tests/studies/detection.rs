//! How often a comparison with n reference airframes finds a true loss of stiffness, and how often it gives a false alarm.
//!
//! `cargo run --example detection -- --help`. Every noise level is an argument and none is a fact of the trade.
//! What one run says stands in `tests/studies/README.md`.

#[path = "detection/arguments.rs"]
mod arguments;
#[path = "detection/report.rs"]
mod report;

use arguments::Arguments;
use clap::Parser;
use spanwise::measure::detection::run;
use std::process::ExitCode;

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    match run(&arguments.study()) {
        Ok(outcomes) if arguments.json => println!("{}", report::json(&arguments, &outcomes)),
        Ok(outcomes) => print!("{}", report::table(&arguments, &outcomes)),
        Err(error) => {
            eprintln!("no study: {error}");
            return ExitCode::FAILURE;
        }
    }
    ExitCode::SUCCESS
}

#[cfg(test)]
mod tests {
    use super::*;
    use spanwise::measure::detection::Outcome;

    fn study(words: &str) -> (Arguments, Vec<Outcome>) {
        let arguments = Arguments::parse_from(std::iter::once("detection").chain(words.split_whitespace()));
        let outcomes = run(&arguments.study()).unwrap();
        (arguments, outcomes)
    }

    /// Airframes that scatter much more than their measurement: there the t test alone decides.
    const PLAIN: &str = "--seed 3 --repetitions 300 --load-noise 0.2 --gauge-noise 0.01 --resolution 0 --set-up 0 \
                         --between-airframes 0.05 --missing 0";

    fn agrees(outcome: &Outcome) {
        let exact = outcome.exact.unwrap().softer_with_floor;
        let (found, _) = outcome.softer_share();
        let allowed = 4.0 * (exact * (1.0 - exact) / outcome.repetitions as f64).sqrt();
        let (n, loss) = (outcome.references, outcome.true_loss);
        assert!((found - exact).abs() <= allowed.max(0.004), "n {n}, loss {loss}: {found}, exact {exact}");
    }

    #[test]
    fn simulated_and_exact_power_agree_within_four_standard_errors() {
        let (_, outcomes) = study(&format!("{PLAIN} --references 2,3,5 --losses 0,0.1,0.2,0.3"));
        assert_eq!(outcomes.len(), 3 * 4);
        outcomes.iter().for_each(agrees);
    }

    #[test]
    fn the_exact_power_holds_for_a_stated_variation_right_or_wrong() {
        for stated in ["0.05", "0.03", "0.1"] {
            let words = format!(
                "{PLAIN} --stated-cv {stated} --stated-measurement 0.002 --losses 0,0.15 --references 1,2,3"
            );
            let (_, outcomes) = study(&words);
            assert_eq!(outcomes.len(), 3 * 2);
            outcomes.iter().for_each(agrees);
        }
    }

    #[test]
    fn the_table_has_a_row_for_each_kind_and_the_json_the_same_counts() {
        let (arguments, outcomes) = study("--repetitions 20 --references 1,2 --losses 0,0.3");
        let table = report::table(&arguments, &outcomes);
        assert_eq!(table.lines().filter(|l| l.contains('%') && l.contains('±')).count(), 4, "{table}");
        let json: serde_json::Value = serde_json::from_str(&report::json(&arguments, &outcomes)).unwrap();
        let softer: Vec<u64> =
            json["outcomes"].as_array().unwrap().iter().map(|o| o["softer"].as_u64().unwrap()).collect();
        assert_eq!(softer, outcomes.iter().map(|o| o.softer as u64).collect::<Vec<_>>());
        assert_eq!(json["outcomes"][0]["exact_softer"], serde_json::Value::Null);
    }
}
