//! What holds of the comparison whatever was changed.

use std::collections::BTreeMap;

use proptest::prelude::*;
use spanwise::checklist::{
    Aspect, Checklist, Condition, EvidenceDemand, EvidenceKind, Kind, MeasureKind, OnFailure, Setting,
    Severity,
};
use spanwise::edition::{EditionDifference, Nature, compare_editions};
use spanwise::quantity::{Limit, Quantity};
use spanwise::source::Located;

use crate::{FIN_ROOT, SUPPLEMENT, read};

/// A change of one step, or of the whole; applied in the order of this list, so that none undoes an earlier one.
type Change = fn(&mut Checklist, usize);

fn step_at(of: &mut Checklist, at: usize) -> &mut spanwise::checklist::Step {
    let at = at % of.steps.len();
    &mut of.steps[at].value
}

const CHANGES: &[Change] = &[
    |of, at| step_at(of, at).title.push_str(" anew"),
    |of, at| step_at(of, at).instruction.push_str("\nSlowly."),
    |of, at| step_at(of, at).instruction.push_str("  "),
    |of, at| step_at(of, at).instruction.push_str(" Not above 99 mm."),
    |of, at| step_at(of, at).caution = None,
    |of, at| step_at(of, at).mandatory ^= true,
    |of, at| step_at(of, at).may_be_not_applicable ^= true,
    |of, at| step_at(of, at).independent ^= true,
    |of, at| step_at(of, at).loads ^= true,
    |of, at| step_at(of, at).minutes += 7,
    |of, at| step_at(of, at).people += 1,
    |of, at| step_at(of, at).kit.push("new lamp".to_string()),
    |of, at| step_at(of, at).kit.reverse(),
    |of, at| step_at(of, at).basis.clear(),
    // A basis that no file has: one that a cleared list had alone would only undo the clearing.
    |of, at| step_at(of, at).basis.push(Located::new("another rule".to_string(), 0..0)),
    |of, at| step_at(of, at).after.push(Located::new("elsewhere.step".to_string(), 0..0)),
    |of, at| step_at(of, at).configuration.set(Aspect::Power, Setting::On),
    |of, at| step_at(of, at).when.push(Condition::LaunchesAtLeast(77)),
    |of, at| step_at(of, at).evidence.clear(),
    |of, at| {
        let what = "the place".to_string();
        let id = "new".to_string();
        step_at(of, at).evidence.push(EvidenceDemand { id, kind: EvidenceKind::Photo, count: 1, what });
    },
    |of, at| {
        let failure = step_at(of, at).on_failure.get_or_insert(OnFailure {
            severity: Severity::Minor,
            hint: None,
            follow: Vec::new(),
            may_defer: false,
        });
        failure.severity =
            if failure.severity == Severity::Grounding { Severity::Minor } else { Severity::Grounding };
    },
    |of, at| {
        for measure in &mut step_at(of, at).measures {
            measure.readings += 1;
        }
    },
    |of, at| {
        for measure in &mut step_at(of, at).measures {
            measure.instrument ^= true;
        }
    },
    |of, at| {
        for measure in &mut step_at(of, at).measures {
            if let MeasureKind::Number { unit, limit } = &mut measure.kind {
                *limit = match limit.take() {
                    Some(_) => None,
                    None => {
                        let most = Quantity::new(5.into(), *unit);
                        Some(Limit::new(None, Some(most)).unwrap_or_else(|error| panic!("{error}")))
                    }
                };
            }
        }
    },
    |of, at| step_at(of, at).measures.reverse(),
    |of, _| of.about.push_str(" More words."),
    |of, _| of.requires.clear(),
    |of, at| {
        if let Kind::Supplement(content) = &mut of.kind
            && !content.tighten.is_empty()
        {
            let at = at % content.tighten.len();
            content.tighten[at].value.readings = Some(9);
        }
    },
    |of, _| {
        if let Kind::Supplement(content) = &mut of.kind {
            content.withdraw.pop();
        }
    },
    |of, at| {
        if let Kind::Supplement(content) = &mut of.kind {
            let items = &mut content.of_type.hidden_items;
            if !items.is_empty() {
                let at = at % items.len();
                items[at].tolerance_mm = 99.into();
            }
        }
    },
    |of, at| {
        if let Kind::Module(selection) = &mut of.kind {
            selection.occurrences.push(Located::new(format!("kind-{at}"), 0..0));
        }
    },
    |of, at| {
        let mut step = step_at(of, at).clone();
        step.id.push_str("-new");
        if of.step(&step.id).is_none() {
            of.steps.push(Located::new(step, 0..0));
        }
    },
    |of, _| {
        let last = of.steps.len() - 1;
        of.steps.swap(0, last);
    },
    |of, at| {
        let at = at % of.steps.len();
        if of.steps.len() > 2 {
            of.steps.remove(at);
        }
    },
];

fn make(base: &Checklist, changes: &[(usize, usize)]) -> Checklist {
    let mut sorted = changes.to_vec();
    sorted.sort_unstable();
    sorted.dedup();
    let mut made = base.clone();
    for (change, at) in sorted {
        CHANGES[change](&mut made, at);
    }
    made
}

/// All that an edition says, for telling whether two are equal: written down by the compiler, not by the comparison.
fn content(of: &Checklist) -> String {
    let Checklist {
        source: _,
        id,
        version: _,
        title,
        issued: _,
        author,
        about,
        requires,
        kind,
        sections,
        steps,
    } = of;
    format!("{id:?} {title:?} {author:?} {about:?} {requires:?} {kind:?} {sections:?} {steps:?}")
}

fn some_changes() -> impl Strategy<Value = Vec<(usize, usize)>> {
    prop::collection::vec((0..CHANGES.len(), 0..4usize), 0..5)
}

fn bases() -> impl Strategy<Value = Checklist> {
    prop_oneof![Just(read("old", FIN_ROOT)), Just(read("old", SUPPLEMENT))]
}

fn counts(of: &EditionDifference, turned: bool) -> BTreeMap<Nature, usize> {
    let mut found = BTreeMap::new();
    // How many steps have to be moved is the same either way, which ones need not be.
    for change in of.changes() {
        let nature = if turned { change.nature.turned() } else { change.nature };
        *found.entry(nature).or_insert(0) += 1;
    }
    found
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn nothing_is_told_of_equal_editions_and_something_of_unequal_ones(
        base in bases(),
        one in some_changes(),
        other in some_changes(),
    ) {
        let (one, other) = (make(&base, &one), make(&base, &other));
        let difference = compare_editions(&one, &other);
        prop_assert_eq!(difference.is_empty(), content(&one) == content(&other), "{:#?}", difference);
        prop_assert_eq!(difference.demands().is_none(), difference.is_empty());
    }

    #[test]
    fn a_further_change_never_demands_less(base in bases(), some in some_changes(), more in some_changes()) {
        let all: Vec<_> = some.iter().chain(&more).copied().collect();
        let demands = |changes: &[(usize, usize)]| compare_editions(&base, &make(&base, changes)).demands();
        prop_assert!(demands(&some) <= demands(&all), "{:?} {:?}", demands(&some), demands(&all));
    }

    #[test]
    fn turned_round_added_and_withdrawn_tightened_and_loosened_change_places(
        base in bases(),
        one in some_changes(),
        other in some_changes(),
    ) {
        let (one, other) = (make(&base, &one), make(&base, &other));
        let (there, back) = (compare_editions(&one, &other), compare_editions(&other, &one));
        prop_assert_eq!(counts(&there, false), counts(&back, true), "{:#?}\n{:#?}", there, back);
    }
}
