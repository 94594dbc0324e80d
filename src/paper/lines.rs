//! The lines of a sheet in the order in which they are printed: blocks, steps and measurements, each with its label.

use crate::checklist::{Configuration, Measure};
use crate::order::HangarOrder;
use crate::plan::{Plan, PlanStep};

/// One line on the paper that can be entered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// As printed: "B2" confirms how block 2 stands, "17" is a step, "17a" its first measurement.
    pub label: String,
    pub of: LineOf,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LineOf {
    Block { configuration: Configuration },
    Step { step: String },
    Measure { step: String, measure: String },
}

/// All lines of a sheet that prints this order.
pub fn lines(plan: &Plan, order: &HangarOrder) -> Vec<Line> {
    let mut found = Vec::new();
    let mut number = 0;
    for (index, block) in order.blocks.iter().enumerate() {
        let configuration = block.wanted(plan);
        // Where nothing has to stand in a certain way there is nothing to confirm.
        if !configuration.is_empty() {
            found.push(Line { label: block_label(index), of: LineOf::Block { configuration } });
        }
        for planned in block.steps.iter().filter_map(|step| plan.step(&step.id)) {
            number += 1;
            found.extend(of_step(number, planned));
        }
    }
    found
}

/// The number of the first step of each block.
pub fn lines_of_block(order: &HangarOrder, block: usize) -> usize {
    1 + order.blocks.iter().take(block).map(|block| block.steps.len()).sum::<usize>()
}

fn of_step(number: usize, planned: &PlanStep) -> impl Iterator<Item = Line> {
    let step = planned.step.id.clone();
    let head = Line { label: number.to_string(), of: LineOf::Step { step } };
    let measures = planned.step.measures.iter().enumerate().map(move |(at, measure)| Line {
        label: measure_label(number, at),
        of: LineOf::Measure { step: planned.step.id.clone(), measure: measure.id.clone() },
    });
    std::iter::once(head).chain(measures)
}

/// "B2" for the second block.
pub fn block_label(index: usize) -> String {
    format!("B{}", index + 1)
}

/// "17a" for the first measurement of line 17; beyond "z" two letters.
pub fn measure_label(number: usize, at: usize) -> String {
    let letter = |at: usize| char::from(b'a' + u8::try_from(at % 26).unwrap_or(0));
    match at / 26 {
        0 => format!("{number}{}", letter(at)),
        more => format!("{number}{}{}", letter(more - 1), letter(at)),
    }
}

impl Line {
    /// The step that it concerns.
    pub fn step(&self) -> Option<&str> {
        match &self.of {
            LineOf::Block { .. } => None,
            LineOf::Step { step } | LineOf::Measure { step, .. } => Some(step),
        }
    }

    /// The measurement of this plan that it is for.
    pub fn measure<'a>(&self, plan: &'a Plan) -> Option<&'a Measure> {
        match &self.of {
            LineOf::Measure { step, measure } => plan.step(step)?.step.measure(measure),
            _ => None,
        }
    }
}
