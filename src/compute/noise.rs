//! Noise bursts per load cycle from a recording with marked cycles. Experimental.

use super::Kind;
use super::input::{Failed, Input, Key, Record, Rows, Schema, complete, key};
use super::rates::comparison;
use super::report::{Figures, Outcome, Picture, Report, shown};
use crate::measure::burst_comparison::{Recording, compare_bursts};
use crate::measure::noise::{
    Bursts, LABEL, METHOD, NoiseAnswer, NoiseCount, NoiseSettings, Span, count_per_cycle, detect,
};
use crate::measure::rates::Count;
use crate::measure::wav;
use crate::plot::noise_plot;
use crate::quantity::Unit;

const CYCLE: &[Key] =
    &[key("start", mark!("start of the load cycle in the recording")), key("end", mark!("its end"))];

pub const KIND: Kind = Kind {
    name: "noise",
    about: mark!("Bursts per load cycle from a WAV recording (experimental)"),
    schema: Schema {
        settings: &[
            key("recording", mark!("WAV file of the test")),
            key("set_up", mark!("microphone, place and distance in one text")),
            key("reference_recording", mark!("WAV file of a sound airframe")),
            key("reference_set_up", mark!("its microphone, place and distance")),
            key("control_events", mark!("bursts of the same movements without load")),
            key("control_cycles", mark!("cycles of that control")),
        ],
        tables: &[
            Rows { name: "cycle", what: mark!("a load cycle"), keys: CYCLE },
            Rows { name: "reference_cycle", what: mark!("a load cycle of the reference"), keys: CYCLE },
        ],
    },
    example: include_str!("../../demo/compute/noise.toml"),
    takes_recording: false,
    run,
};

struct Heard {
    bursts: Bursts,
    count: NoiseCount,
}

fn run(input: &Input) -> Result<Report, Failed> {
    let s = &input.settings;
    input.required_rows("cycle")?;
    let heard = listen(input, "recording", "cycle")?;
    let mut report = match s.has("reference_recording") {
        true => {
            let reference = listen(input, "reference_recording", "reference_cycle")?;
            let first = recording(&heard, s.text_or("set_up", ""), control(s)?);
            let second = recording(&reference, s.text_or("reference_set_up", &s.text_or("set_up", "")), None);
            let found = compare_bursts(&first, &second).map_err(|error| input.refuse("refused", error))?;
            let mut report = comparison(KIND.name, METHOD, &found, say!("the test"), say!("the reference"));
            report.row("counts", say!("reference"), figures_of(&reference));
            report
        }
        false => alone(&heard),
    };
    report.label = Some(LABEL);
    report.row("counts", say!("test"), figures_of(&heard));
    let cycles: Vec<Span> = heard.count.cycles.iter().map(|cycle| cycle.cycle).collect();
    let plot = noise_plot(&heard.bursts.envelope_db, &heard.bursts, &cycles);
    report.pictures.push(Picture::Plot(plot));
    for (index, cycle) in heard.count.cycles.iter().enumerate() {
        let mut figures = Figures::new();
        figures.whole("bursts", say!("Bursts"), cycle.bursts);
        figures.value("masked", say!("Masked"), cycle.masked_s, "s");
        // The first cycle settles the structure and is left out.
        report.row("cycles", say!("cycle {}", index + 2), figures);
    }
    report.method(wav::METHOD);
    report.caution(say!("experimental: the detector is proved on synthetic recordings only"));
    report.caution(say!("a count is no size of a defect, and silence does not clear the structure"));
    Ok(report)
}

fn listen(input: &Input, file: &'static str, table: &'static str) -> Result<Heard, Failed> {
    let s = &input.settings;
    let cell = complete(s.required_text(file))?;
    let cycles: Vec<Option<Span>> = input.rows(table).iter().map(span).collect();
    let cycles: Vec<Span> = complete(cycles.into_iter().collect())?;
    let bytes = input.fetch(cell)?;
    let refuse = |error: String| s.refuse_key(file, error);
    let recording = wav::read(bytes.as_slice()).map_err(|error| refuse(error.to_string()))?;
    recording.check_quality().map_err(|error| refuse(error.to_string()))?;
    let bursts = detect(&recording.samples, recording.sample_rate_hz, &NoiseSettings::default())
        .map_err(|error| refuse(error.to_string()))?;
    let count = count_per_cycle(&bursts, &cycles).map_err(|error| match input.rows(table).first() {
        Some(row) => row.refuse(error),
        None => refuse(error.to_string()),
    })?;
    Ok(Heard { bursts, count })
}

fn span(row: &Record) -> Option<Span> {
    let start = row.required_value("start", Unit::Second);
    let end = row.required_value("end", Unit::Second);
    Some(Span { start_s: start?, end_s: end? })
}

fn control(s: &Record) -> Result<Option<Count>, Failed> {
    if !s.has("control_events") && !s.has("control_cycles") {
        return Ok(None);
    }
    let events = s.required("control_events", s.whole("control_events", 1_000_000));
    let exposure = s.required("control_cycles", s.number("control_cycles"));
    Ok(Some(Count { events: complete(events)?, exposure: complete(exposure)? }))
}

fn recording(heard: &Heard, set_up: String, control: Option<Count>) -> Recording {
    Recording {
        counts_per_cycle: heard.count.cycles.iter().map(|cycle| cycle.bursts).collect(),
        exposure_cycles: heard.count.exposure_cycles,
        masked_share: heard.count.masked_share,
        quiet_floor_db: heard.bursts.quiet_db,
        set_up,
        control,
    }
}

fn figures_of(heard: &Heard) -> Figures {
    let mut figures = Figures::new();
    figures.whole("bursts", say!("Bursts in the cycles that count"), heard.count.bursts);
    figures.value(
        "exposure_cycles",
        say!("Load cycles, masked time left out"),
        heard.count.exposure_cycles,
        "",
    );
    figures.share("masked_share", say!("Masked share of the load time"), heard.count.masked_share);
    figures.value("quiet_floor", say!("Quiet level"), heard.bursts.quiet_db, "dB");
    figures.value("duration", say!("Length of the recording"), heard.bursts.duration_s, "s");
    figures
}

fn alone(heard: &Heard) -> Report {
    let mut report = Report::new(KIND.name, METHOD);
    match heard.count.answer {
        NoiseAnswer::CountValid => report.say(say!(
            "Computed: {} bursts in {} load cycles; no reference recording to compare with.",
            heard.count.bursts,
            shown(heard.count.exposure_cycles)
        )),
        NoiseAnswer::CannotTellMasked => {
            report.outcome = Outcome::CannotDecide;
            report.say(say!("Cannot tell (masked): more than a quarter of the load time; record again."));
        }
    }
    report
}
