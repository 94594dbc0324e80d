//! The comparison in plain words, with what it does not say.

use super::{CannotTell, Comparison, Scale, Verdict};
use crate::measure::sentence;
use crate::words::figure;

impl Comparison {
    /// One statement a line.
    pub fn summary(&self) -> String {
        let mut lines = vec![self.verdict_line()];
        if let (Some(mean), Some(interval)) = (self.reference_mean, &self.prediction_interval) {
            let n = self.n;
            lines.push(say!("{n} reference airframe(s), mean {mean}; one more sound airframe would lie between {} and {}.", figure(format_args!("{:.2}", interval.lower)), figure(format_args!("{:.2}", interval.upper)), n, mean = figure(format_args!("{:.2}", mean))));
        }
        if let Some(loss) = self.smallest_loss {
            let power = 100.0 * self.question.power;
            lines.push(say!(
                "Smallest loss this comparison would have shown ({power} times in 100): {}.",
                self.size(loss),
                power = figure(format_args!("{:.0}", power))
            ));
        }
        if let Some(stated) = &self.stated {
            let by = &stated.stated_by;
            let spread = self.size(stated.spread);
            lines.push(if self.statement_contradicted {
                say!("The variation of {spread} stated by {by} is contradicted by the references and was not used.", spread, by)
            } else {
                say!("Rests on a variation of {spread} between sound airframes, stated by {by}.", spread, by)
            });
        }
        if self.spread_from_measurement {
            lines.push(
                say!("The references agree better than they were measured; their uncertainty was used.")
                    .to_string(),
            );
        }
        for beside in &self.shown_beside {
            let reasons: Vec<String> = beside.reasons.iter().map(ToString::to_string).collect();
            lines.push(say!(
                "Shown beside, not used: {} ({}): {}.",
                beside.reference.airframe,
                figure(format_args!("{:.2}", beside.reference.value)),
                reasons.join("; ")
            ));
        }
        if self.n > 0 {
            lines.push(
                say!(
                    "Different does not mean unairworthy, and references may share the same defect: \
                 the type's manual and the licensed person decide."
                )
                .to_string(),
            );
        }
        lines.join("\n")
    }

    fn verdict_line(&self) -> String {
        let by = self.relative_difference().map_or(String::new(), |d| self.size(d.abs()));
        match self.verdict {
            Verdict::Softer => say!("Softer than the references by {by}.", by),
            Verdict::Stiffer => say!("Stiffer than the references by {by}.", by),
            Verdict::Consistent => {
                let matters = self.size(self.question.loss_that_matters);
                say!("Consistent with the references: no loss as large as {matters}.", matters)
            }
            Verdict::CannotTell(CannotTell::LossTooSmallToShow) => {
                let matters = self.size(self.question.loss_that_matters);
                say!(
                    "Cannot tell: no difference shown, but a loss of {matters} would not have been found either.",
                    matters
                )
            }
            Verdict::CannotTell(_) => sentence(&self.verdict.to_string()),
        }
    }

    fn size(&self, amount: f64) -> String {
        match self.question.scale {
            Scale::Logarithmic => figure(format_args!("{:.1} %", 100.0 * amount)),
            Scale::Plain => figure(format_args!("{amount:.2}")),
        }
    }
}
