//! `[type]`, `[[tighten]]` and `[[withdraw]]` of a supplement.

use super::read::{at_least_one, read_configuration};
use super::read_hidden::{into_type, read_hidden, read_length};
use super::read_outline::read_outline;
use super::supplement::{BuildStandard, StatedVariation, Supplement, Tightening, TypeData, Withdrawal};
use crate::quantity::{Number, Quantity};
use crate::source::{Located, Table};

pub(super) fn read_supplement(root: &Table<'_>) -> Supplement {
    let of_type = root.table("type", "type");
    if of_type.is_none() && !root.has("type") {
        root.reject::<()>(
            "missing-key",
            0..0,
            say!("a supplement lacks its [type] table"),
            say!("add [type] with id, name, seats and datum"),
        );
    }
    let mut of_type = of_type.and_then(read_type);
    let hidden = read_hidden(root);
    if let Some(of_type) = &mut of_type {
        into_type(root, hidden, of_type);
    }
    let tighten =
        root.tables("tighten", mark!("a tightening")).into_iter().filter_map(read_tightening).collect();
    let withdraw =
        root.tables("withdraw", mark!("a withdrawal")).into_iter().filter_map(read_withdrawal).collect();
    Supplement { of_type: of_type.unwrap_or_default(), tighten, withdraw }
}

fn read_type(table: Table<'_>) -> Option<TypeData> {
    let id = table.required_text("id");
    let name = table.required_text("name");
    let datum = table.required_text("datum");
    let seats = at_least_one(&table, "seats", 1);
    let ceiling = table.text("fin_side_load_ceiling").and_then(|text| match Quantity::parse(&text.value) {
        Ok(quantity) => Some(quantity),
        Err(error) => {
            table.reject("not-a-quantity", text.span, error.to_string(), say!("write it like \"150 N\""))
        }
    });
    let build_standards = table
        .tables("build_standards", mark!("a build standard"))
        .into_iter()
        .filter_map(|row| {
            let (id, title) = (row.required_text("id"), row.required_text("title"));
            row.finish();
            Some(BuildStandard { id: id?.value, title: title?.value })
        })
        .collect();
    let stated_variation =
        table.table("stated_variation", mark!("a stated variation")).and_then(read_variation);
    let height_datum = table.text("height_datum").map(|text| text.value);
    let opening_margin_mm = read_length(&table, "opening_margin", false);
    let outline = table.table("outline", mark!("an outline")).and_then(read_outline);
    table.finish();
    Some(TypeData {
        id: id?.value,
        name: name?.value,
        seats,
        datum: datum?.value,
        fin_side_load_ceiling: ceiling,
        build_standards,
        stated_variation,
        height_datum,
        opening_margin_mm,
        hidden_items: Vec::new(),
        mapped_areas: Vec::new(),
        outline,
    })
}

fn read_variation(table: Table<'_>) -> Option<StatedVariation> {
    let percent = table.number("percent");
    let doubt_percent = table.number("doubt_percent").map_or_else(|| Number::from(25), |number| number.value);
    let measurement_percent =
        table.number("measurement_percent").map_or_else(|| Number::from(0), |number| number.value);
    let by = table.required_text("by");
    let is_possible = percent.as_ref().is_some_and(|percent| percent.value > Number::from(0))
        && doubt_percent > Number::from(0)
        && doubt_percent <= Number::from(100)
        && measurement_percent >= Number::from(0);
    if !is_possible {
        table.reject::<()>(
            "variation-form",
            table.span(),
            say!("a stated variation needs percent above 0, doubt_percent above 0 up to 100, measurement_percent of 0 or more"),
            say!("state how much sound airframes of the type differ, and who says so"),
        );
    }
    table.finish();
    Some(StatedVariation { percent: percent?.value, doubt_percent, measurement_percent, by: by?.value })
}

fn read_tightening(table: Table<'_>) -> Option<Located<Tightening>> {
    let step = table.required_text("step");
    let reason = table.required_text("reason");
    let tightening = Tightening {
        step: step.clone().unwrap_or_default(),
        measure: table.text("measure"),
        min: table.number("min").map(|number| number.value),
        max: table.number("max").map(|number| number.value),
        nominal: table.number("nominal").map(|number| number.value),
        tolerance: table.number("tolerance").map(|number| number.value),
        max_difference: table.number("max_difference").map(|number| number.value),
        min_stiffness: table.number("min_stiffness").map(|number| number.value),
        max_load: table.number("max_load").map(|number| number.value),
        readings: table.whole("readings").map(|number| number.value),
        instrument: table.flag("instrument"),
        limit_source: table.text("limit_source").map(|text| text.value),
        mandatory: table.flag("mandatory"),
        may_be_not_applicable: table.flag("may_be_not_applicable"),
        independent: table.flag("independent"),
        caution: table.text("caution").map(|text| text.value),
        configuration: read_configuration(&table),
        minutes: table.whole("minutes").map(|number| number.value),
        people: table.whole("people").map(|number| number.value),
        kit: table.texts("kit").into_iter().map(|item| item.value).collect(),
        reason: reason.map(|text| text.value).unwrap_or_default(),
    };
    check_tightening(&table, &tightening);
    let span = step.as_ref().map_or(table.span(), |step| step.span.clone());
    table.finish();
    step.map(|_| Located::new(tightening, span))
}

/// A tightening may not make the programme easier, and a limit needs its measure and its source.
fn check_tightening(table: &Table<'_>, tightening: &Tightening) {
    let span = table.span();
    if tightening.mandatory == Some(false) || tightening.may_be_not_applicable == Some(true) {
        table.reject::<()>(
            "tightening-loosens",
            span.clone(),
            say!("this would make \"{}\" easier than the programme", tightening.step.value),
            say!("withdraw the step with a reason instead, or leave the key out"),
        );
    }
    let gives_limit = tightening.min.is_some() || tightening.max.is_some() || tightening.nominal.is_some();
    if gives_limit && tightening.measure.is_none() {
        table.reject::<()>(
            "measure-missing",
            span.clone(),
            say!("a limit is given, but not for which measurement"),
            say!("add measure = \"…\""),
        );
    }
    if gives_limit && tightening.limit_source.is_none() {
        table.reject::<()>(
            "limit-source-missing",
            span.clone(),
            say!("a limit is given without its source"),
            say!("add limit_source = \"…\": the manual and chapter, or \"common practice, no source\""),
        );
    }
    if tightening.nominal.is_some() != tightening.tolerance.is_some() {
        table.reject::<()>(
            "limit-form",
            span,
            say!("nominal and tolerance belong together"),
            say!("give both, or min and max"),
        );
    }
}

fn read_withdrawal(table: Table<'_>) -> Option<Located<Withdrawal>> {
    let step = table.required_text("step");
    let reason = table.required_text("reason");
    table.finish();
    let step = step?;
    let span = step.span.clone();
    let reason = reason.map(|reason| reason.value).unwrap_or_default();
    Some(Located::new(Withdrawal { step, reason }, span))
}
