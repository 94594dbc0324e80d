//! Programme, supplement, module and airframe together: composed where they read, then stored and read back.

use std::sync::Arc;

use spanwise::airframe::read_airframe;
use spanwise::checklist::{Library, read_checklist};
use spanwise::diagnostic::Source;
use spanwise::plan::{ComposeInput, Plan, compose};

use super::{Target, tell, text};
use crate::support::{AIRFRAME, MODULE, PROGRAMME, SUPPLEMENT};

/// Parts the files in an input.
const PARTING: &str = "\n#=====\n";

pub fn target() -> Target {
    Target::new("compose", 250, run).seeds(seeds).tokens_from_seeds()
}

fn run(input: &[u8]) -> bool {
    let all = text(input);
    let parts: Vec<&str> = all.split(PARTING).collect();
    let Some((airframe, checklists)) = parts.split_last() else { return false };
    let named = |text: &&str| {
        let source = Source::new("a/1.0.0.toml", *text);
        match read_checklist(&source) {
            Ok(read) => Source::new(format!("{}/{}.toml", read.id.value, read.version.value), *text),
            Err(_) => source,
        }
    };
    let sources: Vec<Arc<Source>> = checklists.iter().take(20).map(named).collect();
    let library = Library::read(&sources);
    let source = Source::new("airframe.toml", *airframe);
    let airframe = match read_airframe(&source) {
        Ok(airframe) => airframe,
        Err(faults) => {
            tell(&faults);
            return false;
        }
    };
    let input =
        ComposeInput { library: &library, airframe: &airframe, airframe_source: &source, programme: "small" };
    match compose(&input) {
        Err(faults) => {
            tell(&faults);
            false
        }
        Ok(plan) => {
            let bytes = plan.to_bytes().unwrap_or_else(|why| panic!("a plan that cannot be stored: {why}"));
            let again = Plan::from_bytes(&bytes).and_then(|plan| plan.to_bytes());
            assert_eq!(again.as_ref(), Ok(&bytes), "a plan reads back as written");
            true
        }
    }
}

fn seeds() -> Vec<Vec<u8>> {
    let measures = include_str!("../measures.toml");
    let tightening = format!(
        "{SUPPLEMENT}\n[[tighten]]\nstep = \"wing.play\"\nmeasure = \"play\"\nmax = \"0.40\"\nreason = \"invented\"\n\
         [[withdraw]]\nstep = \"oxygen.bottle\"\nreason = \"not carried\"\n"
    );
    [
        [PROGRAMME, SUPPLEMENT, MODULE, AIRFRAME],
        [PROGRAMME, SUPPLEMENT, measures, AIRFRAME],
        [PROGRAMME, tightening.as_str(), measures, AIRFRAME],
    ]
    .iter()
    .map(|parts| parts.join(PARTING).into_bytes())
    .collect()
}
