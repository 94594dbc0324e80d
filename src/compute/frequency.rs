//! Natural frequency from counted cycles or recordings, and its change as a change of stiffness.

use super::Kind;
use super::input::{Failed, Input, Record, Rows, Schema, complete, key};
use super::report::{Figures, Outcome, Report, shown};
use crate::measure::estimate::Estimate;
use crate::measure::frequency::{
    Change, ChangeVerdict, Count, Frequency, HAND_STOPWATCH_U_S, METHOD, SET_UP_U_REL, SILENT_COUNT_U,
    change, from_counts, from_recordings,
};
use crate::measure::spectrum::{self, Band, Peak, natural_frequency};
use crate::measure::wav;
use crate::quantity::Unit;

/// Recordings of one set-up; each may hold a quarter of an hour.
const MOST_RECORDINGS: usize = 20;

pub const KIND: Kind = Kind {
    name: "frequency",
    about: mark!("Frequency from counted cycles or a WAV recording; its change as stiffness"),
    schema: Schema {
        settings: &[
            key("name", mark!("which vibration")),
            key("band_low", mark!("recordings: lowest frequency looked at")),
            key("band_high", mark!("recordings: highest frequency looked at")),
            key("earlier", mark!("earlier frequency of the same airframe and set-up")),
            key("earlier_uncertainty", mark!("its standard uncertainty")),
            key("same_set_up", mark!("no when support or mass differ from the earlier measurement")),
            key("set_up_u", mark!("relative standard uncertainty of repeating the set-up (1 %)")),
            key("change_that_matters", mark!("share of stiffness (15 %)")),
        ],
        tables: &[
            Rows {
                name: "count",
                what: mark!("a count"),
                keys: &[
                    key("cycles", mark!("counted cycles")),
                    key("time", mark!("time for them")),
                    key("time_uncertainty", mark!("standard uncertainty of the time (0.15 s by hand)")),
                    key("aloud", mark!("yes when whole cycles were counted aloud (yes)")),
                ],
            },
            Rows {
                name: "recording",
                what: mark!("a recording"),
                keys: &[key("file", mark!("WAV file of one excitation"))],
            },
        ],
    },
    example: include_str!("../../demo/compute/frequency.toml"),
    takes_recording: true,
    run,
};

fn run(input: &Input) -> Result<Report, Failed> {
    let settings = &input.settings;
    let counts = input.rows("count");
    let recordings = input.rows("recording");
    let mut report = Report::new(KIND.name, METHOD);
    let found = if let Some(bytes) = input.recording {
        by_recordings(input, &[bytes.to_vec()], &mut report)?
    } else if counts.is_empty() && recordings.is_empty() {
        return Err(input.refuse("no-rows", say!("there is neither a count nor a recording; add one")));
    } else if !counts.is_empty() && !recordings.is_empty() {
        return Err(recordings[0]
            .refuse(say!("counts and recordings are not mixed; compute them one after the other")));
    } else if recordings.is_empty() {
        let counts: Vec<Option<Count>> = counts.iter().map(count).collect();
        from_counts(&complete(counts.into_iter().collect::<Option<Vec<_>>>())?)
            .map_err(|error| input.refuse("refused", error))?
    } else {
        if recordings.len() > MOST_RECORDINGS {
            return Err(recordings[MOST_RECORDINGS]
                .refuse(say!("more than {MOST_RECORDINGS} recordings are given", MOST_RECORDINGS)));
        }
        let mut bytes = Vec::new();
        for row in recordings {
            bytes.push(input.fetch(complete(row.required_text("file"))?)?);
        }
        by_recordings(input, &bytes, &mut report)?
    };
    let estimate = Estimate::new(found.hz, found.u_hz, f64::INFINITY);
    report.figures.estimate("frequency", say!("Frequency"), &estimate, "Hz");
    report.figures.whole("repeats", say!("Counts or recordings"), found.repeats as u64);
    judge_change(settings, found, &mut report)?;
    if found.repeats < 3 {
        report.caution(say!("fewer than 3 repeats: their scatter is not known"));
    }
    report.caution(say!("use changes against the same set-up only: supports, tyres, trim masses and temperature move the frequency, and a repair mass lowers it without any loss of stiffness"));
    Ok(report)
}

fn count(row: &Record) -> Option<Count> {
    let cycles = row.required("cycles", row.number("cycles"));
    let time_s = row.required_value("time", Unit::Second);
    let u_time_s =
        row.or("time_uncertainty", HAND_STOPWATCH_U_S, row.value("time_uncertainty", Unit::Second));
    let aloud = row.or("aloud", true, row.flag("aloud"));
    Some(Count {
        cycles: cycles?,
        time_s: time_s?,
        u_time_s: u_time_s?,
        u_cycles: if aloud? { 0.0 } else { SILENT_COUNT_U },
    })
}

fn by_recordings(input: &Input, recordings: &[Vec<u8>], report: &mut Report) -> Result<Frequency, Failed> {
    let s = &input.settings;
    let low = s.required_value("band_low", Unit::Hertz);
    let high = s.required_value("band_high", Unit::Hertz);
    let band = Band { low_hz: complete(low)?, high_hz: complete(high)? };
    report.method(spectrum::METHOD);
    report.method(wav::METHOD);
    let rows = input.rows("recording");
    let refuse = |index: usize, error: String| match rows.get(index) {
        Some(row) => row.refuse_key("file", error),
        None => input.refuse("refused", error),
    };
    let mut peaks: Vec<Peak> = Vec::new();
    for (index, bytes) in recordings.iter().enumerate() {
        let recording = wav::read(bytes.as_slice()).map_err(|error| refuse(index, error.to_string()))?;
        let samples = recording.to_f64();
        let peak = natural_frequency(&samples, recording.sample_rate_hz, band)
            .map_err(|error| refuse(index, error.to_string()))?;
        let mut row = Figures::new();
        row.estimate(
            "frequency",
            say!("Frequency"),
            &Estimate::new(peak.frequency_hz, peak.u_hz, f64::INFINITY),
            "Hz",
        );
        row.value("prominence", say!("Height above the rest of the band"), peak.prominence_db, "dB");
        row.value("duration", say!("Length"), recording.duration_s(), "s");
        if let Some(second) = peak.second_hz {
            row.value("second", say!("Another mode nearly as strong"), second, "Hz");
        }
        report.row("recordings", say!("recording {}", index + 1), row);
        peaks.push(peak);
    }
    from_recordings(&peaks).map_err(|error| input.refuse("refused", error))
}

fn judge_change(s: &Record, new: Frequency, report: &mut Report) -> Result<(), Failed> {
    let earlier = s.optional("earlier", s.value("earlier", Unit::Hertz));
    let u = s.or("earlier_uncertainty", None, s.value("earlier_uncertainty", Unit::Hertz).map(Some));
    let set_up_u = s.or("set_up_u", SET_UP_U_REL, s.share("set_up_u"));
    let same = s.or("same_set_up", true, s.flag("same_set_up"));
    let matters = s.or("change_that_matters", 0.15, s.share("change_that_matters"));
    let (earlier, u, set_up_u) = (complete(earlier)?, complete(u)?, complete(set_up_u)?);
    let (same, matters) = (complete(same)?, complete(matters)?);
    let measured = format!("{} Hz", shown(new.hz));
    let Some(hz) = earlier else {
        report.say(say!("Computed: {measured}; no earlier frequency to compare with.", measured));
        return Ok(());
    };
    let u_hz = complete(s.required("earlier_uncertainty", u))?;
    let found = change(new, Frequency { hz, u_hz, repeats: 1 }, set_up_u, same)
        .map_err(|error| s.refuse_key("earlier", error))?;
    let resolves = new.resolves(matters, set_up_u);
    report.outcome = match found.verdict {
        ChangeVerdict::Lower => Outcome::Outside,
        ChangeVerdict::Higher => Outcome::Within,
        ChangeVerdict::NoneShown if resolves => Outcome::Within,
        ChangeVerdict::NoneShown | ChangeVerdict::CannotTellSetUpDiffers => Outcome::CannotDecide,
    };
    report.say(words(&found, &measured, resolves, matters));
    let figures = &mut report.figures;
    figures.value("earlier", say!("Earlier frequency"), hz, "Hz");
    figures.estimate(
        "ln_ratio",
        say!("ln(new/earlier)"),
        &Estimate::new(found.ln_ratio, found.u, f64::INFINITY),
        "",
    );
    figures.share("stiffness_change", say!("Change of stiffness at equal mass"), found.stiffness_change);
    figures.share(
        "smallest_found",
        say!("Smallest change of frequency found 8 times in 10"),
        found.smallest_found,
    );
    figures.flag("resolves_what_matters", say!("Would show a change that matters"), resolves);
    Ok(())
}

fn words(found: &Change, measured: &str, resolves: bool, matters: f64) -> String {
    let stiffness = shown(100.0 * found.stiffness_change);
    let matters = shown(100.0 * matters);
    match found.verdict {
        ChangeVerdict::Lower => {
            say!(
                "Lower: {measured}; at equal mass the stiffness changed by {stiffness} %.",
                measured,
                stiffness
            )
        }
        ChangeVerdict::Higher => {
            say!(
                "Higher: {measured}; at equal mass the stiffness changed by {stiffness} %.",
                measured,
                stiffness
            )
        }
        ChangeVerdict::NoneShown if resolves => {
            say!(
                "No change shown: {measured}; a change of stiffness of {matters} % would have shown.",
                measured,
                matters
            )
        }
        ChangeVerdict::NoneShown => say!(
            "Cannot tell: no change shown ({measured}), but a change of stiffness of {matters} % would not have shown either; take a recording.",
            measured,
            matters
        ),
        ChangeVerdict::CannotTellSetUpDiffers => {
            say!("Cannot tell: support or mass differ from the earlier measurement ({measured}).", measured)
        }
    }
}
