//! The study's arguments. Defaults are invented: a hangar with a hand-held pull and a dial gauge.

use clap::Parser;
use spanwise::measure::compare::{DEFAULT_RELATIVE_DOUBT, Question, StatedVariation};
use spanwise::measure::detection::{Hangar, Study};
use spanwise::measure::noncentral_t::Sides;

/// False alarms and power of a comparison with reference airframes, simulated and exact.
#[derive(Debug, Clone, Parser)]
#[command(name = "detection")]
pub struct Arguments {
    #[arg(long, default_value_t = 1)]
    pub seed: u64,
    /// Inspections simulated for each number of references and loss
    #[arg(long, default_value_t = 1000)]
    pub repetitions: usize,
    /// Standard deviation of the load applied against the load written down, N
    #[arg(long, default_value_t = 2.0)]
    pub load_noise: f64,
    /// Standard deviation of the gauge, mm
    #[arg(long, default_value_t = 0.1)]
    pub gauge_noise: f64,
    /// Step to which the gauge is read, mm; 0 for none
    #[arg(long, default_value_t = 0.1)]
    pub resolution: f64,
    /// Relative standard deviation of the stiffness from one set-up to the next
    #[arg(long, default_value_t = 0.01)]
    pub set_up: f64,
    /// Coefficient of variation between sound airframes
    #[arg(long, default_value_t = 0.04)]
    pub between_airframes: f64,
    /// Width of the loop, mm
    #[arg(long, default_value_t = 0.9)]
    pub hysteresis: f64,
    #[arg(long, default_value_t = 1.6)]
    pub lost_motion: f64,
    /// Share of readings that are missing
    #[arg(long, default_value_t = 0.05)]
    pub missing: f64,
    /// Coefficient of variation between sound airframes that a named person states beforehand
    #[arg(long)]
    pub stated_cv: Option<f64>,
    /// Relative measurement uncertainty that goes with the statement
    #[arg(long, default_value_t = 0.02)]
    pub stated_measurement: f64,
    /// Relative doubt of the statement
    #[arg(long, default_value_t = DEFAULT_RELATIVE_DOUBT)]
    pub stated_doubt: f64,
    #[arg(long, value_delimiter = ',', default_values_t = [1, 2, 3, 5, 10])]
    pub references: Vec<usize>,
    /// True losses of stiffness as shares
    #[arg(long, value_delimiter = ',', default_values_t = [0.0, 0.05, 0.10, 0.15, 0.20, 0.30])]
    pub losses: Vec<f64>,
    /// Mean stiffness of sound airframes, N/mm
    #[arg(long, default_value_t = 12.5)]
    pub stiffness: f64,
    /// Load levels of the card, N, both ways
    #[arg(long, value_delimiter = ',', default_values_t = [50.0, 100.0, 150.0])]
    pub load_levels: Vec<f64>,
    /// Only softening is looked for (fixed on the card beforehand)
    #[arg(long)]
    pub one_sided: bool,
    #[arg(long)]
    pub json: bool,
}

impl Arguments {
    pub fn study(&self) -> Study {
        let hangar = Hangar {
            load_noise_n: self.load_noise,
            gauge_noise_mm: self.gauge_noise,
            gauge_step_mm: self.resolution,
            set_up_relative: self.set_up,
            between_airframe_cv: self.between_airframes,
            hysteresis_mm: self.hysteresis,
            lost_motion_mm: self.lost_motion,
            missing_share: self.missing,
        };
        let sides = if self.one_sided { Sides::One } else { Sides::Two };
        Study {
            references: self.references.clone(),
            losses: self.losses.clone(),
            question: Question { sides, ..Question::stiffness() },
            stated: self.stated_cv.map(|spread| StatedVariation {
                spread,
                relative_doubt: self.stated_doubt,
                measurement_u: self.stated_measurement,
                stated_by: "argument of the study".to_owned(),
            }),
            repetitions: self.repetitions,
            ..Study::of(hangar, self.stiffness, self.load_levels.clone(), self.seed)
        }
    }
}
