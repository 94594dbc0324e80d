//! One row as typed: "17 p", "17a 12.5 mm". Values are read as everywhere else; here only the row is taken apart.

use super::lines::{Line, LineOf};
use super::sheet::Sheet;
use super::words;
use crate::checklist::{Configuration, Measure, MeasureKind, Severity};
use crate::event::{EntryNumber, StepResult};
use crate::plan::Plan;
use crate::quantity::Number;
use crate::session::{Declined, NewDefect, Request, parse_value};
use crate::state::State;
use crate::words::{of_checklist, said};

/// What a row asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Row {
    /// As printed; none for a row of no line.
    pub label: Option<String>,
    pub requests: Vec<Request>,
}

/// Where a row is read.
pub(super) struct Reader<'a> {
    pub sheet: &'a Sheet,
    /// The plan that holds now.
    pub plan: &'a Plan,
    pub state: &'a State,
    /// Text of a file named by `@FILE`.
    pub file: &'a dyn Fn(&str) -> Result<String, String>,
}

fn fault<T>(why: impl Into<String>, next: impl Into<String>) -> Result<T, Declined> {
    Err(Declined { why: why.into(), next: next.into() })
}

/// The line's label at the head of a row, and the rest.
pub fn label_of(text: &str) -> (&str, &str) {
    let text = text.trim();
    let (label, rest) = text.split_once(char::is_whitespace).unwrap_or((text, ""));
    (label.trim_end_matches([':', '.']), rest.trim())
}

impl Reader<'_> {
    pub fn row(&self, text: &str) -> Result<Row, Declined> {
        let (label, rest) = label_of(text);
        let (rest, why) = match rest.rsplit_once(" ! ") {
            Some((rest, why)) => (rest.trim(), Some(why.trim().to_string()).filter(|why| !why.is_empty())),
            None => (rest, None),
        };
        if label == "-" {
            return Ok(Row { label: None, requests: vec![of_nothing(rest)?] });
        }
        let Some(line) = self.sheet.line(label) else {
            return fault(
                say!("sheet {} has no line \"{label}\"", self.sheet.code, label),
                self.last_label().map_or_else(String::new, |last| {
                    say!("its lines end with {last}; {}", said(words::NEXT_LABEL), last)
                }),
            );
        };
        if let Some(step) = line.step() {
            self.is_as_printed(step)?;
        }
        if rest.is_empty() {
            return fault(say!("nothing stands behind {}", line.label), said(words::NEXT_KEY));
        }
        let requests = match &line.of {
            LineOf::Block { configuration } => vec![confirm(configuration, rest)?],
            LineOf::Step { step } => self.of_step(line, step, rest, why)?,
            LineOf::Measure { step, .. } => self.readings(line, step, rest, why)?,
        };
        Ok(Row { label: Some(line.label.clone()), requests })
    }

    fn last_label(&self) -> Option<&str> {
        self.sheet.lines.last().map(|line| line.label.as_str())
    }

    /// What was ticked on paper answers the step as it was printed, and nothing that it has become since.
    fn is_as_printed(&self, id: &str) -> Result<(), Declined> {
        let printed = self.sheet.plan.step(id);
        let Some(now) = self.plan.step(id) else {
            return fault(
                say!("the plan has no step \"{id}\" any longer", id),
                say!("write down what was found as a note of no line: - t TEXT"),
            );
        };
        if printed.is_some_and(|printed| printed.step != now.step) {
            return fault(
                say!(
                    "\"{}\" was changed by a newer edition after the sheet was printed",
                    of_checklist(&now.step.title)
                ),
                say!("work it as it stands now; what the paper says goes into a note of no line: - t TEXT"),
            );
        }
        Ok(())
    }

    fn of_step(
        &self,
        line: &Line,
        step: &str,
        rest: &str,
        why: Option<String>,
    ) -> Result<Vec<Request>, Declined> {
        let (key, text) = rest.split_once(char::is_whitespace).unwrap_or((rest, ""));
        let text = text.trim();
        let said = (!text.is_empty()).then(|| text.to_string());
        let answer = |result, why: Option<String>| {
            let why = why.filter(|_| self.state.step(step).is_some_and(|state| state.answer().is_some()));
            Ok(vec![Request::Answer { step: step.to_string(), result, reason: said.clone(), why }])
        };
        match key.to_lowercase().as_str() {
            "p" | "pass" | "passed" => answer(StepResult::Passed, why),
            "f" | "fail" | "failed" => answer(StepResult::Failed, why),
            "n" | "na" | "n/a" | "not-applicable" => answer(StepResult::NotApplicable, why),
            "i" => Ok(vec![Request::Initial { step: step.to_string(), work: text.to_string() }]),
            "t" => Ok(vec![Request::Note { step: Some(step.to_string()), text: text.to_string() }]),
            "d" => Ok(vec![defect(Some((step, self.plan)), text)?]),
            _ => self.only_measure(line, step, rest, why),
        }
    }

    /// A reading behind the number of a step that has one measurement is meant for that.
    fn only_measure(
        &self,
        line: &Line,
        step: &str,
        rest: &str,
        why: Option<String>,
    ) -> Result<Vec<Request>, Declined> {
        let of_step =
            |other: &&Line| other.step() == Some(step) && matches!(other.of, LineOf::Measure { .. });
        let measures: Vec<&Line> = self.sheet.lines.iter().filter(of_step).collect();
        match measures.as_slice() {
            [] => fault(say!("\"{rest}\" is no result of line {}", line.label, rest), said(words::NEXT_KEY)),
            [only] => self.readings(only, step, rest, why),
            [first, .., last] => fault(
                say!("\"{rest}\" is no result, and line {} has several measurements", line.label, rest),
                say!("{}; readings go behind {} to {}", said(words::NEXT_KEY), first.label, last.label),
            ),
        }
    }

    fn readings(
        &self,
        line: &Line,
        step: &str,
        rest: &str,
        why: Option<String>,
    ) -> Result<Vec<Request>, Declined> {
        let Some(measure) = line.measure(self.plan) else {
            return fault(say!("line {} is no measurement", line.label), said(words::NEXT_LABEL));
        };
        let (text, instrument) = with_instrument(measure, rest);
        let texts = self.values(measure, text)?;
        let corrects = self.replaced(step, measure, why.as_ref(), texts.len())?;
        let mut requests = Vec::new();
        for text in texts {
            let value = parse_value(measure, &text)
                .map_err(|why| Declined { why, next: say!("correct line {}", line.label) })?;
            requests.push(Request::Read {
                step: step.to_string(),
                measure: measure.id.clone(),
                value,
                instrument: instrument.map(str::to_string),
                corrects,
                why: why.clone().filter(|_| corrects.is_some()),
            });
        }
        Ok(requests)
    }

    /// The reading that a correction means: the only one that holds.
    fn replaced(
        &self,
        step: &str,
        measure: &Measure,
        why: Option<&String>,
        count: usize,
    ) -> Result<Option<EntryNumber>, Declined> {
        if why.is_none() {
            return Ok(None);
        }
        let holding: Vec<EntryNumber> = self.state.step(step).map_or_else(Vec::new, |state| {
            state.readings_of(&measure.id).map(|reading| reading.stamp.entry).collect()
        });
        match (holding.as_slice(), count) {
            ([], _) => Ok(None),
            ([entry], 1) => Ok(Some(*entry)),
            _ => fault(
                say!(
                    "it does not tell which of several readings of \"{}\" it corrects",
                    of_checklist(&measure.title)
                ),
                say!("correct it on the Worksheet, or by spanwise read --correct ENTRY"),
            ),
        }
    }

    /// The values of one row, each as [`parse_value`] takes it.
    fn values(&self, measure: &Measure, text: &str) -> Result<Vec<String>, Declined> {
        if let Some(path) = text.strip_prefix('@') {
            return match (self.file)(path.trim()) {
                Ok(text) => Ok(vec![text]),
                Err(why) => fault(why, say!("name the file of the table behind @")),
            };
        }
        let parted = || text.split('|').map(|part| part.trim().to_string()).collect();
        Ok(match &measure.kind {
            MeasureKind::LoadDeflection(_) | MeasureKind::Table { .. } => {
                vec![text.split('|').map(str::trim).collect::<Vec<_>>().join("\n")]
            }
            MeasureKind::Text if measure.readings < 2 => vec![text.to_string()],
            _ if text.contains('|') => parted(),
            MeasureKind::Number { .. } | MeasureKind::Count { .. } => numbers(text),
            MeasureKind::Pair { .. } => pairs(text),
            _ => vec![text.to_string()],
        })
    }
}

/// "12.5 mm with dial-25" names its instrument at the end.
fn with_instrument<'a>(measure: &Measure, text: &'a str) -> (&'a str, Option<&'a str>) {
    if matches!(measure.kind, MeasureKind::Text) {
        return (text, None);
    }
    match text.rsplit_once(" with ") {
        Some((value, instrument)) => (value.trim(), Some(instrument.trim())),
        None => (text, None),
    }
}

/// Each number begins a value; what follows is its unit.
fn numbers(text: &str) -> Vec<String> {
    let mut values: Vec<String> = Vec::new();
    for token in text.split_whitespace() {
        let begins = token.starts_with(|c: char| c.is_ascii_digit() || "+-.,".contains(c));
        match values.last_mut() {
            Some(last) if !begins => {
                last.push(' ');
                last.push_str(token);
            }
            _ => values.push(token.to_string()),
        }
    }
    values
}

/// "L 3 R 4 mm" is one pair, "L 3 R 4 L 3.1 R 4" are two; without letters it is left as it is typed: "3 / 4 mm".
fn pairs(text: &str) -> Vec<String> {
    let mut sides: Vec<(bool, String)> = Vec::new();
    for token in text.split_whitespace() {
        let head = token.chars().next().map(|c| c.to_ascii_lowercase());
        let rest = token.get(1..).unwrap_or_default();
        let is_side = rest.is_empty() || rest.starts_with(|c: char| c.is_ascii_digit() || "+-.".contains(c));
        match head {
            Some(side @ ('l' | 'r')) if is_side => sides.push((side == 'l', rest.to_string())),
            _ => match sides.last_mut() {
                Some((_, value)) if value.is_empty() => *value = token.to_string(),
                Some((_, value)) => *value = format!("{value} {token}"),
                None => return vec![text.to_string()],
            },
        }
    }
    let mut values = Vec::new();
    for pair in sides.chunks(2) {
        match pair {
            [(true, left), (false, right)] => values.push(format!("{left} ; {right}")),
            [(false, right), (true, left)] => values.push(format!("{left} ; {right}")),
            _ => return vec![text.to_string()],
        }
    }
    values
}

fn confirm(printed: &Configuration, text: &str) -> Result<Request, Declined> {
    if matches!(text.to_lowercase().as_str(), "p" | "pass" | "y" | "yes" | "ok" | "x") {
        return Ok(Request::Confirm(printed.clone()));
    }
    match Configuration::parse(text) {
        Ok(configuration) => Ok(Request::Confirm(configuration)),
        Err(why) => fault(why, say!("p where it stood as printed, else settings such as tailplane=off")),
    }
}

fn of_nothing(rest: &str) -> Result<Request, Declined> {
    let (key, text) = rest.split_once(char::is_whitespace).unwrap_or((rest, ""));
    match key.to_lowercase().as_str() {
        "t" => Ok(Request::Note { step: None, text: text.trim().to_string() }),
        "d" => defect(None, text),
        _ => fault(
            say!("\"- {rest}\" is neither a note nor a defect", rest),
            say!("write - t TEXT or - d SEVERITY; TEXT"),
        ),
    }
}

/// "major; crack; fin; left; 4250". Without a severity that of the step's failure, else major.
fn defect(step: Option<(&str, &Plan)>, text: &str) -> Result<Request, Declined> {
    let mut fields: Vec<&str> = text.split(';').map(str::trim).collect();
    let named = Severity::WORDS.iter().find(|(word, _)| fields[0].eq_ignore_ascii_case(word));
    if named.is_some() {
        fields.remove(0);
    }
    let hinted = step
        .and_then(|(step, plan)| plan.step(step))
        .and_then(|planned| planned.step.on_failure.as_ref())
        .map_or(Severity::Major, |failure| failure.severity);
    let field = |at: usize| fields.get(at).filter(|text| !text.is_empty()).map(ToString::to_string);
    if fields.len() > 4 {
        return fault(
            say!("{} parts stand here, and 5 are known", fields.len() + 1),
            say!("write severity; what; component; side; station in mm"),
        );
    }
    let station_mm = match field(3).map(|text| text.trim_end_matches("mm").trim().parse::<Number>()) {
        None => None,
        Some(Ok(station)) => Some(station),
        Some(Err(error)) => {
            return fault(say!("the station: {error}", error), say!("write it in mm, such as 4250"));
        }
    };
    Ok(Request::RaiseDefect(NewDefect {
        step: step.map(|(step, _)| step.to_string()),
        what: field(0).unwrap_or_default(),
        component: field(1),
        side: field(2),
        station_mm,
        severity: named.map_or(hinted, |(_, severity)| *severity),
    }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn several_numbers_in_a_row_keep_their_units() {
        assert_eq!(numbers("12.5 mm 12.7 mm"), ["12.5 mm", "12.7 mm"]);
        assert_eq!(numbers("12.5 12,7"), ["12.5", "12,7"]);
        assert_eq!(numbers("-0.2mm"), ["-0.2mm"]);
    }

    #[test]
    fn pairs_by_letter_in_either_order() {
        assert_eq!(pairs("L 3 R 4 mm"), ["3 ; 4 mm"]);
        assert_eq!(pairs("r4 l3.5 mm L 1 R 2"), ["3.5 mm ; 4", "1 ; 2"]);
        assert_eq!(pairs("3 / 4 mm"), ["3 / 4 mm"]);
        assert_eq!(pairs("L 3"), ["L 3"]);
    }

    #[test]
    fn a_label_ends_with_the_first_blank() {
        assert_eq!(label_of(" 17a:  12.5 mm "), ("17a", "12.5 mm"));
        assert_eq!(label_of("B2"), ("B2", ""));
    }
}
