//! The hangar order as text of 80 columns.

use std::fmt::Write as _;

use unicode_width::UnicodeWidthStr;

use crate::checklist::{Aspect, Setting, aspect_words, configuration_words};
use crate::order::{Block, HangarOrder, Totals};
use crate::words::{all_of_checklist, of_checklist};

const COLUMNS: usize = 80;

pub fn text(session: Option<&str>, registration: &str, order: &HangarOrder) -> String {
    let mut out = String::new();
    head(&mut out, session, registration, order);
    if order.blocks.is_empty() {
        out.push_str(&format!("{}\n", say!("No step is open.")));
        return out;
    }
    costs(&mut out, order);
    if order
        .blocks
        .iter()
        .flat_map(|block| &block.changes)
        .any(|change| change.cost.aspect == Aspect::Support)
    {
        paragraph(
            &mut out,
            "",
            say!(
                "CAUTION: trestle only at the stations of the type's manual; nobody under an airframe on trestles."
            ),
        );
    }
    for pulled in &order.pulled {
        let words = say!(
            "pulled forward: {}, because {} failed (block {})",
            pulled.step,
            pulled.because.join(", "),
            pulled.block + 1
        );
        paragraph(&mut out, "", &words);
    }
    for short in &order.beyond_hands {
        let people = order.people.unwrap_or(0);
        let words = say!(
            "TOO FEW HANDS in block {}: {} needs {} people, {people} at hand",
            short.block + 1,
            short.what,
            short.people,
            people = people
        );
        paragraph(&mut out, "", &words);
    }
    for (index, block) in order.blocks.iter().enumerate() {
        told(&mut out, index, block, order);
    }
    out
}

fn head(out: &mut String, session: Option<&str>, registration: &str, order: &HangarOrder) {
    let whose = match session {
        Some(sid) => {
            say!(
                "Hangar order for {registration}, session {}: open steps",
                sid.get(..12).unwrap_or(sid),
                registration = registration
            )
        }
        None => {
            say!("Hangar order for {registration}, as an annual would begin", registration = registration)
        }
    };
    paragraph(out, "", &whose);
    paragraph(out, "", &say!("begins with: {}", configuration_words(&order.start)));
    if !order.assumed.is_empty() {
        let words: Vec<&str> = order.assumed.iter().map(|aspect| aspect_words(*aspect)).collect();
        let words = say!("assumed, because not confirmed: {} (state it with --from)", words.join(", "));
        paragraph(out, "", &words);
    }
}

fn costs(out: &mut String, order: &HangarOrder) {
    let steps: usize = order.blocks.iter().map(|block| block.steps.len()).sum();
    let _ = writeln!(
        out,
        "{}",
        say!(
            "{steps} steps, {} min of work, {} person-minutes",
            order.work_minutes,
            order.work_person_minutes,
            steps = steps
        )
    );
    let proof = if order.optimal {
        say!("proved least ({} states)", order.states)
    } else {
        let gap = order.changing.person_minutes.saturating_sub(order.lower_bound);
        say!("not proved least: none is below {}, so at most {gap} too many", order.lower_bound, gap = gap)
    };
    paragraph(out, "", &say!("changing configuration: {}; {proof}", totals(order.changing), proof = proof));
    paragraph(
        out,
        "",
        &say!("in the checklist's order: {}; saved {}", totals(order.checklist_order), order.saved),
    );
    paragraph(
        out,
        "",
        say!("What a change costs is common practice, no source: rough figures of this program."),
    );
}

fn totals(totals: Totals) -> String {
    say!(
        "{n} time, {} person-minutes" | "{n} times, {} person-minutes" % totals.changes,
        totals.person_minutes
    )
}

fn told(out: &mut String, index: usize, block: &Block, order: &HangarOrder) {
    let _ = writeln!(
        out,
        "\n{}",
        say!(
            "Block {}: {n} step, {} min, {}" | "Block {}: {n} steps, {} min, {}" % block.steps.len(),
            index + 1,
            block.minutes,
            hands(block.hands)
        )
    );
    for change in &block.changes {
        let cost = &change.cost;
        let mut words = say!("change {}: {}, {} min", change.words(), people(cost.people), cost.minutes);
        if (cost.aspect, cost.to) == (Aspect::Controls, Setting::Connected) {
            words.push_str(say!("; an independent inspection follows"));
        }
        paragraph(out, "  ", &words);
    }
    paragraph(out, "  ", &say!("stands: {}", configuration_words(&block.configuration)));
    if !block.kit.is_empty() {
        paragraph(out, "  ", &say!("kit: {}", all_of_checklist(&block.kit)));
    }
    for step in &block.steps {
        let mut words = format!("{}  {}", step.id, of_checklist(&step.title));
        if step.people > 1 {
            let _ = write!(words, " {}", say!("({} people)", step.people));
        }
        if !step.because.is_empty() {
            let _ = write!(words, " {}", say!("(after the failure of {})", step.because.join(", ")));
        }
        if order.people.is_some_and(|people| step.people > people) {
            words.push_str(say!(" TOO FEW HANDS"));
        }
        paragraph(out, "    ", &words);
    }
}

fn people(count: u32) -> String {
    say!("1 person" | "{n} people" % count)
}

fn hands(people: u32) -> String {
    say!("1 pair of hands" | "{n} pairs of hands" % people)
}

/// Wrapped at [`COLUMNS`]; further lines stand two columns deeper. A longer word stands alone and whole.
pub(super) fn paragraph(out: &mut String, indent: &str, text: &str) {
    let mut line = indent.to_string();
    let mut empty = true;
    for word in text.split(' ') {
        if !empty && line.width() + 1 + word.width() > COLUMNS {
            let _ = writeln!(out, "{}", line.trim_end());
            line = format!("{indent}  ");
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    let _ = writeln!(out, "{}", line.trim_end());
}
