//! Counted events per load cycle, alone or against a reference.

use super::Kind;
use super::input::{Failed, Input, Record, Rows, Schema, complete, key};
use super::report::{Figures, Outcome, Report, shown};
use crate::measure::burst_comparison::{self, Answer, BurstComparison, Recording, compare_bursts};
use crate::measure::estimate::Interval;
use crate::measure::rates::{Count, METHOD, RateError, mean_interval, upper_rate_without_event};
use crate::measure::sentence;
use crate::words::said;

/// More than a person or a recorder counts, and bounds the time of the exact test.
const MOST_EVENTS: u64 = 1_000_000;

pub const KIND: Kind = Kind {
    name: "rates",
    about: mark!("Counts per load cycle: rate with interval, exact comparison of two"),
    schema: Schema {
        settings: &[],
        tables: &[Rows {
            name: "count",
            what: mark!("a count"),
            keys: &[
                key("name", mark!("which airframe or run; the second is the reference of the first")),
                key("counts", mark!("events in each unmasked load cycle, the first cycle left out: 0; 2; 1")),
                key("events", mark!("instead of the single counts: their sum")),
                key("cycles", mark!("unmasked load cycles (the number of counts)")),
                key("masked_share", mark!("share of the load time that was masked")),
                key("quiet_floor_db", mark!("level of the quiet seconds, dB")),
                key("set_up", mark!("microphone, place and distance in one text")),
                key("control_events", mark!("events of the same movements without load")),
                key("control_cycles", mark!("cycles of that control")),
            ],
        }],
    },
    example: include_str!("../../demo/compute/rates.toml"),
    takes_recording: false,
    run,
};

struct Counted {
    name: String,
    recording: Recording,
}

impl Counted {
    fn count(&self) -> Count {
        let events = self.recording.counts_per_cycle.iter().sum();
        Count { events, exposure: self.recording.exposure_cycles }
    }
}

fn run(input: &Input) -> Result<Report, Failed> {
    let rows = input.required_rows("count")?;
    let counted: Vec<Option<Counted>> = rows.iter().enumerate().map(|(i, row)| counted(row, i)).collect();
    let counted: Vec<Counted> = complete(counted.into_iter().collect())?;
    match counted.as_slice() {
        [only] => alone(&rows[0], only),
        [first, second] => against(rows, first, second),
        _ => Err(rows[2]
            .refuse(say!("two counts can be compared; take this one out or compare it in a run of its own"))),
    }
}

fn counted(row: &Record, index: usize) -> Option<Counted> {
    let counts = match (row.has("counts"), row.has("events")) {
        (true, false) => row.wholes("counts", MOST_EVENTS)?,
        (false, true) => vec![row.whole("events", MOST_EVENTS)?],
        _ => {
            row.refuse(say!("give either counts (one for each cycle) or events (their sum)"));
            return None;
        }
    };
    if counts.len() > super::input::MOST_ROWS || counts.iter().sum::<u64>() > MOST_EVENTS {
        row.refuse(say!(
            "more than {MOST_EVENTS} events or {} cycles are given; check the counts",
            super::input::MOST_ROWS,
            MOST_EVENTS
        ));
        return None;
    }
    let cycles = if row.has("counts") {
        row.or("cycles", counts.len() as f64, row.number("cycles"))?
    } else {
        row.required("cycles", row.number("cycles"))?
    };
    let control = match (row.has("control_events"), row.has("control_cycles")) {
        (false, false) => None,
        _ => {
            let events = row.required("control_events", row.whole("control_events", MOST_EVENTS))?;
            Some(Count { events, exposure: row.required("control_cycles", row.number("control_cycles"))? })
        }
    };
    let recording = Recording {
        counts_per_cycle: counts,
        exposure_cycles: cycles,
        masked_share: row.or("masked_share", 0.0, row.share("masked_share"))?,
        quiet_floor_db: row.or("quiet_floor_db", 0.0, row.number("quiet_floor_db"))?,
        set_up: row.text_or("set_up", ""),
        control,
    };
    Some(Counted { name: row.text_or("name", &say!("count {}", index + 1)), recording })
}

fn refused(row: &Record, error: &RateError) -> Failed {
    match error {
        RateError::Exposure { .. } => row.refuse_key("cycles", error),
        _ => row.refuse(error),
    }
}

fn figures_of(row: &Record, counted: &Counted) -> Result<Figures, Failed> {
    let count = counted.count();
    let upper = upper_rate_without_event(count.exposure, 0.95).map_err(|error| refused(row, &error))?;
    let mut figures = Figures::new();
    figures.whole("events", say!("Events"), count.events);
    figures.value("exposure_cycles", say!("Load cycles"), count.exposure, "");
    figures.value("rate_per_cycle", say!("Rate per cycle"), count.rate(), "");
    let mean = mean_interval(count.events, 0.95);
    let per_cycle = Interval { lower: mean.lower / count.exposure, upper: mean.upper / count.exposure };
    figures.interval("rate_interval_per_cycle", say!("  interval (95 %)"), &per_cycle, "");
    if count.events == 0 {
        figures.value("rate_below_per_cycle", say!("No event: the rate is below (95 %)"), upper, "");
    }
    Ok(figures)
}

const CAUTION: &str =
    mark!("a count is no size of a defect, and the events of one crack are not independent of each other");

fn alone(row: &Record, counted: &Counted) -> Result<Report, Failed> {
    let mut report = Report::new(KIND.name, METHOD);
    let count = counted.count();
    let figures = figures_of(row, counted)?;
    report.say(say!(
        "Computed: {} events in {} load cycles, {} per cycle; no reference to compare with.",
        count.events,
        shown(count.exposure),
        shown(count.rate())
    ));
    report.row("counts", counted.name.clone(), figures);
    report.caution(said(CAUTION));
    Ok(report)
}

fn against(rows: &[Record], first: &Counted, second: &Counted) -> Result<Report, Failed> {
    let found = (figures_of(&rows[0], first), figures_of(&rows[1], second));
    let (first_figures, second_figures) = (found.0?, found.1?);
    let found =
        compare_bursts(&first.recording, &second.recording).map_err(|error| refused(&rows[0], &error))?;
    let mut report = comparison(KIND.name, METHOD, &found, &first.name, &second.name);
    report.row("counts", first.name.clone(), first_figures);
    report.row("counts", second.name.clone(), second_figures);
    report.caution(said(CAUTION));
    Ok(report)
}

/// The comparison of two counts as a report; used for counts by ear and from recordings.
pub(super) fn comparison(
    kind: &'static str,
    method: &'static str,
    found: &BurstComparison,
    first: &str,
    second: &str,
) -> Report {
    let mut report = Report::new(kind, method);
    report.method(burst_comparison::METHOD);
    report.outcome = match found.answer {
        Answer::More => Outcome::Outside,
        Answer::Fewer | Answer::NoDifferenceShown => Outcome::Within,
        Answer::CannotTell(_) => Outcome::CannotDecide,
    };
    report.say(match found.answer {
        Answer::CannotTell(_) => sentence(&found.answer.to_string()),
        Answer::More => say!("More: {first} has more events per cycle than {second}.", first, second),
        Answer::Fewer => say!("Fewer: {first} has fewer events per cycle than {second}.", first, second),
        Answer::NoDifferenceShown => say!("No difference shown between {first} and {second}.", first, second),
    });
    let figures = &mut report.figures;
    figures.told("answer", say!("Answer"), || found.answer.to_string());
    figures.value("ratio", say!("Ratio of the rates"), found.ratio.ratio, "");
    figures.interval("ratio_interval", say!("  interval (95 %)"), &found.ratio.interval, "");
    figures.value("p_value", say!("p (two-sided)"), found.ratio.p_value, "");
    figures.value("widened_by", say!("Widened for events in trains by"), found.phi, "");
    for (name, clustering) in [first, second].into_iter().zip(&found.clustering) {
        if let Some(clustering) = clustering {
            let mut row = Figures::new();
            row.value("dispersion_index", say!("Dispersion index"), clustering.index, "");
            row.value("phi", say!("Dispersion factor"), clustering.phi, "");
            row.value("p_value", say!("p of clustering"), clustering.p_value, "");
            report.row("clustering", name, row);
        }
    }
    report
}
