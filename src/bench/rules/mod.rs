//! One file per rule: its stable code, what it asks, why, an example that breaks it and one that keeps it. The examples are
//! the tests (`tests/bench_rules.rs`).

mod basis_missing;
mod basis_other;
mod basis_unknown;
mod caution_advised;
mod caution_missing;
mod ceiling_missing;
mod choice_decides_nothing;
mod choices_few;
mod circular_dependency;
mod condition_always;
mod condition_form;
mod condition_never;
mod dependency_never;
mod dependency_repeated;
mod directions_form;
mod doubtful_configuration;
mod duplicate_evidence;
mod duplicate_hidden_item;
mod duplicate_id;
mod duplicate_key;
mod duplicate_measure;
mod duplicate_section;
mod duplicate_step;
mod edition_changed;
mod empty_text;
mod file_large;
mod file_name;
mod file_unreadable;
mod format_unknown;
mod height_datum_missing;
mod id_form;
mod impossible_configuration;
mod instruction_one_sided;
mod instruction_thin;
mod issued_before_previous;
mod issued_in_future;
mod key_form;
mod limit_empty;
mod limit_form;
mod limit_impossible;
mod limit_point;
mod limit_source_missing;
mod load_above_ceiling;
mod load_above_some_type;
mod looked_at_hidden;
mod looked_at_unsettled;
mod measure_missing;
mod missing_key;
mod module_step_prefix;
mod module_unselected;
mod negative_length;
mod not_a_number;
mod not_a_quantity;
mod not_a_range;
mod not_utf8;
mod programme_not_required;
mod programme_unknown;
mod range_upside_down;
mod supplements_fight;
mod text_against_configuration;
mod tightening_impossible;
mod tightening_loosens;
mod tightening_without_effect;
mod title_long;
mod toml_syntax;
mod type_unknown;
mod unit_kind;
mod unit_missing;
mod unknown_build_standard;
mod unknown_choice;
mod unknown_computation;
mod unknown_configuration;
mod unknown_equipment;
mod unknown_key;
mod unknown_kind;
mod unknown_measure;
mod unknown_place;
mod unknown_section;
mod unknown_step;
mod unknown_unit;
mod unknown_word;
mod variation_form;
mod version_form;
mod version_not_satisfied;
mod withdrawn_not_programme;
mod wrong_type;
mod zero;

use super::Rule;

/// All rules by code.
pub const ALL: &[Rule] = &[
    basis_missing::RULE,
    basis_other::RULE,
    basis_unknown::RULE,
    caution_advised::RULE,
    caution_missing::RULE,
    ceiling_missing::RULE,
    choice_decides_nothing::RULE,
    choices_few::RULE,
    circular_dependency::RULE,
    condition_always::RULE,
    condition_form::RULE,
    condition_never::RULE,
    dependency_never::RULE,
    dependency_repeated::RULE,
    directions_form::RULE,
    doubtful_configuration::RULE,
    duplicate_evidence::RULE,
    duplicate_hidden_item::RULE,
    duplicate_id::RULE,
    duplicate_key::RULE,
    duplicate_measure::RULE,
    duplicate_section::RULE,
    duplicate_step::RULE,
    edition_changed::RULE,
    empty_text::RULE,
    file_large::RULE,
    file_name::RULE,
    file_unreadable::RULE,
    format_unknown::RULE,
    height_datum_missing::RULE,
    id_form::RULE,
    impossible_configuration::RULE,
    instruction_one_sided::RULE,
    instruction_thin::RULE,
    issued_before_previous::RULE,
    issued_in_future::RULE,
    key_form::RULE,
    limit_empty::RULE,
    limit_form::RULE,
    limit_impossible::RULE,
    limit_point::RULE,
    limit_source_missing::RULE,
    load_above_ceiling::RULE,
    load_above_some_type::RULE,
    looked_at_hidden::RULE,
    looked_at_unsettled::RULE,
    measure_missing::RULE,
    missing_key::RULE,
    module_step_prefix::RULE,
    module_unselected::RULE,
    negative_length::RULE,
    not_a_number::RULE,
    not_a_quantity::RULE,
    not_a_range::RULE,
    not_utf8::RULE,
    programme_not_required::RULE,
    programme_unknown::RULE,
    range_upside_down::RULE,
    supplements_fight::RULE,
    text_against_configuration::RULE,
    tightening_impossible::RULE,
    tightening_loosens::RULE,
    tightening_without_effect::RULE,
    title_long::RULE,
    toml_syntax::RULE,
    type_unknown::RULE,
    unit_kind::RULE,
    unit_missing::RULE,
    unknown_build_standard::RULE,
    unknown_choice::RULE,
    unknown_computation::RULE,
    unknown_configuration::RULE,
    unknown_equipment::RULE,
    unknown_key::RULE,
    unknown_kind::RULE,
    unknown_measure::RULE,
    unknown_place::RULE,
    unknown_section::RULE,
    unknown_step::RULE,
    unknown_unit::RULE,
    unknown_word::RULE,
    variation_form::RULE,
    version_form::RULE,
    version_not_satisfied::RULE,
    withdrawn_not_programme::RULE,
    wrong_type::RULE,
    zero::RULE,
];

/// The rule of this code.
pub fn find(code: &str) -> Option<&'static Rule> {
    ALL.iter().find(|rule| rule.code == code)
}
