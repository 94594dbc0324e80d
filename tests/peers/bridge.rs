//! Computes the cases of `compare_with_scipy.py` with this program's own functions.
//!
//! One JSON object a line on standard input, `{"id", "statistic", ...}`; one a line out, `{"id", "result"}` or
//! `{"id", "refused"}`. A line that is no case ends the program with an error: a silent skip would look like agreement.

#[path = "bridge/args.rs"]
mod args;
#[path = "bridge/comparison.rs"]
mod comparison;
#[path = "bridge/distributions.rs"]
mod distributions;
#[path = "bridge/load_deflection.rs"]
mod load_deflection;
#[path = "bridge/order.rs"]
mod order;
#[path = "bridge/regression.rs"]
mod regression;
#[path = "bridge/series.rs"]
mod series;
#[path = "bridge/signal.rs"]
mod signal;
#[path = "bridge/taps.rs"]
mod taps;
#[path = "bridge/uncertainty.rs"]
mod uncertainty;

use args::{Answer, Args};
use serde_json::{Value, json};
use std::io::{self, BufRead, Write};
use std::process::ExitCode;

type Statistic = (&'static str, fn(&Args) -> Answer);

fn main() -> ExitCode {
    match answer_all() {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("bridge: {message}");
            ExitCode::FAILURE
        }
    }
}

fn answer_all() -> Result<(), String> {
    let tables: [&[Statistic]; 9] = [
        distributions::ALL,
        regression::ALL,
        load_deflection::ALL,
        uncertainty::ALL,
        comparison::ALL,
        series::ALL,
        signal::ALL,
        taps::ALL,
        order::ALL,
    ];
    let statistics: Vec<&Statistic> = tables.iter().flat_map(|table| table.iter()).collect();
    let mut out = io::BufWriter::new(io::stdout().lock());
    for (number, line) in io::stdin().lock().lines().enumerate() {
        let place = |what: String| format!("line {}: {what}", number + 1);
        let line = line.map_err(|e| place(e.to_string()))?;
        let case: Value = serde_json::from_str(&line).map_err(|e| place(e.to_string()))?;
        let args = Args::new(case);
        let name = args.text("statistic").map_err(place)?;
        let (_, compute) = statistics
            .iter()
            .find(|(known, _)| *known == name)
            .ok_or_else(|| place(format!("no statistic \"{name}\"")))?;
        let id = args.whole("id").map_err(place)?;
        let reply = match compute(&args) {
            Ok(result) => json!({ "id": id, "result": result }),
            Err(refused) => json!({ "id": id, "refused": refused }),
        };
        writeln!(out, "{reply}").map_err(|e| place(e.to_string()))?;
    }
    out.flush().map_err(|e| e.to_string())
}
