//! The rule ids that a step's `basis` may name, with how far each was compared with a text.
//!
//! - `S`: the text of the rule was read; `P`: part of it was read, the rest is from memory; `M`: from memory.
//! - `R` after it: number or wording must still be compared by a person with the current official text.
//!
//! `43D(…)` are the items of 14 CFR part 43 Appendix D. `MIP-S-…` are the rows of AMC1 ML.A.302(d) for sailplanes, numbered
//! by this project in the order of sections and rows: no official numbers. `ML.A.…` is Annex Vb to Regulation (EU) No
//! 1321/2014, `CS-22.…` the certification specifications for sailplanes, `AC43.13-1B(…)` a paragraph of that advisory circular.
//! `tests/bench_rules.rs` holds the list to the id lists under `tests/reference`. It is no list of all rules: a directive or a
//! manual's chapter is a good basis, too, and gets advice only.

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RuleId {
    pub id: &'static str,
    pub status: &'static str,
}

const fn row(id: &'static str, status: &'static str) -> RuleId {
    RuleId { id, status }
}

/// Where a fact of the trade has no published source.
pub const COMMON_PRACTICE: &str = "common practice";

/// How the ids of the known families begin.
pub const FAMILIES: &[&str] =
    &["43D", "43.", "65.", "91.", "MIP", "ML.A", "CS-22", "CS 22", "CS22", "AC43", "AC 43", "common"];

#[rustfmt::skip]
pub const RULE_IDS: &[RuleId] = &[
    row("43D(a)", "S"), row("43D(b)(1)", "P R"), row("43D(b)(2)", "P R"), row("43D(b)(3)", "M R"),
    row("43D(c)(1)", "M R"), row("43D(c)(2)", "M R"), row("43D(c)(3)", "M R"), row("43D(c)(4)", "P R"),
    row("43D(c)(5)", "P R"), row("43D(c)(6)", "P R"), row("43D(c)(7)", "P R"), row("43D(d)(1)", "M R"),
    row("43D(d)(2)", "M R"), row("43D(d)(3)", "P R"), row("43D(d)(4)", "M R"), row("43D(d)(5)", "M R"),
    row("43D(d)(6)", "M R"), row("43D(d)(7)", "P R"), row("43D(d)(8)", "M R"), row("43D(d)(9)", "M R"),
    row("43D(d)(10)", "M R"), row("43D(d)(11)", "M R"), row("43D(e)(1)", "M R"), row("43D(e)(2)", "M R"),
    row("43D(e)(3)", "M R"), row("43D(e)(4)", "M R"), row("43D(e)(5)", "M R"), row("43D(e)(6)", "M R"),
    row("43D(e)(7)", "P R"), row("43D(e)(8)", "M R"), row("43D(e)(9)", "M R"), row("43D(e)(10)", "M R"),
    row("43D(f)", "M R"), row("43D(g)", "P R"), row("43D(h)(1)", "P R"), row("43D(h)(2)", "M R"),
    row("43D(h)(3)", "P R"), row("43D(h)(4)", "M R"), row("43D(i)(1)", "M R"), row("43D(i)(2)", "M R"),
    row("43D(i)(3)", "M R"), row("43D(i)(4)", "M R"), row("43D(j)", "S R"), row("MIP-S-G1", "P R"),
    row("MIP-S-G2", "P"), row("MIP-S-G3", "P"), row("MIP-S-G4", "M"), row("MIP-S-A1", "M"), row("MIP-S-A2", "M"),
    row("MIP-S-A3", "M"), row("MIP-S-A4", "M"), row("MIP-S-A5", "M"), row("MIP-S-A6", "M"), row("MIP-S-A7", "M"),
    row("MIP-S-C1", "M"), row("MIP-S-C2", "M"), row("MIP-S-C3", "M"), row("MIP-S-C4", "M"), row("MIP-S-C5", "M"),
    row("MIP-S-C6", "M"), row("MIP-S-C7", "M"), row("MIP-S-C8", "M R"), row("MIP-S-C9", "M"), row("MIP-S-C10", "M"),
    row("MIP-S-L1", "M"), row("MIP-S-L2", "M"), row("MIP-S-L3", "M"), row("MIP-S-L4", "M"), row("MIP-S-L5", "M"),
    row("MIP-S-L6", "M"), row("MIP-S-W1", "M"), row("MIP-S-W2", "M"), row("MIP-S-W3", "M"), row("MIP-S-W4", "M"),
    row("MIP-S-W5", "M R"), row("MIP-S-W6", "M"), row("MIP-S-W7", "M"), row("MIP-S-W8", "M"), row("MIP-S-W9", "M"),
    row("MIP-S-E1", "M"), row("MIP-S-E2", "M"), row("MIP-S-E3", "M"), row("MIP-S-E4", "M"), row("MIP-S-E5", "M"),
    row("MIP-S-E6", "M R"), row("MIP-S-V1", "M"), row("MIP-S-V2", "M"), row("MIP-S-V3", "M"), row("MIP-S-V4", "M"),
    row("MIP-S-V5", "M R"), row("MIP-S-M1", "M"), row("MIP-S-M2", "M"), row("MIP-S-M3", "M"), row("MIP-S-P*", "M R"),
    row("43.7", "M"), row("43.11(a)(1)", "S"), row("43.11(a)(2)", "S"), row("43.11(a)(3)", "S"),
    row("43.11(a)(4)", "S"), row("43.11(a)(5)", "S"), row("43.11(a)(7)", "M"), row("43.11(b)", "S"),
    row("43.13(a)", "P"), row("43.13(b)", "M"), row("43.15(a)(1)", "S"), row("43.15(c)(1)", "S"),
    row("65.95(a)(1)", "M"), row("65.95(a)(2)", "P"), row("91.409(a)", "P"), row("91.409(b)", "P"),
    row("91.409(c)", "P R"), row("ML.A.202", "P R"), row("ML.A.302(c)(2)", "P"), row("ML.A.302(c)(3)", "S"),
    row("ML.A.302(c)(4)", "S"), row("ML.A.302(c)(5)", "S"), row("ML.A.302(c)(7)", "S"), row("ML.A.302(c)(9)", "M R"),
    row("ML.A.302(d)(1)", "P R"), row("ML.A.302(d)(2)", "M R"), row("ML.A.305(a)", "P R"), row("ML.A.305(b)", "M R"),
    row("ML.A.305(c)", "M R"), row("ML.A.305(d)", "M R"), row("ML.A.305(g)", "M R"), row("ML.A.305(h)(1)", "P R"),
    row("ML.A.307(c)", "S"), row("ML.A.401(a)", "S"), row("ML.A.402(a)", "S"), row("ML.A.402(b)(1)", "S"),
    row("ML.A.402(b)(2)", "S"), row("ML.A.402(b)(3)", "S"), row("ML.A.402(b)(4)", "S"), row("ML.A.402(b)(5)", "M"),
    row("ML.A.402(b)(6)", "M"), row("ML.A.402(b)(7)", "M R"), row("ML.A.402(b)(8)", "M R"),
    row("ML.A.402(b)(9)", "M R"), row("ML.A.402(b)(10)", "M R"), row("ML.A.403(a)", "P"), row("ML.A.403(b)", "P R"),
    row("ML.A.403(c)", "P"), row("ML.A.403(d)", "P R"), row("ML.A.801", "S"), row("ML.A.801(a)", "S"),
    row("ML.A.801(b)", "S"), row("ML.A.801(c)", "S"), row("ML.A.801(d)", "S"), row("ML.A.801(e)(1)", "M R"),
    row("ML.A.801(e)(2)", "M R"), row("ML.A.801(e)(3)", "M R"), row("ML.A.801(e)(4)", "M R"),
    row("ML.A.801(f)", "P R"), row("ML.A.801(g)", "M R"), row("ML.A.901(a)", "S"), row("ML.A.901(b)", "S"),
    row("ML.A.901(c)", "M R"), row("ML.A.902", "M R"), row("ML.A.903(a)(2)", "P R"), row("ML.A.903(a)(5)", "P R"),
    row("ML.A.903(a)(6)", "P R"), row("ML.A.903(a)(7)", "P R"), row("ML.A.903(a)(9)", "P R"), row("ML.A.903(b)", "P"),
    row("ML.A.903(c)", "P"), row("ML.A.903(d)", "M R"), row("ML.A.904", "M R"), row("ML.A.907", "M R"),
    row("AC43.13-1B(5-1)", "S"), row("AC43.13-1B(5-2)", "S"), row("AC43.13-1B(5-15)", "S"),
    row("AC43.13-1B(5-16)", "P R"), row("AC43.13-1B(5-17)", "P R"), row("AC43.13-1B(5-18)", "P R"),
    row("AC43.13-1B(5-94)", "P"), row("AC43.13-1B(5-95)", "S"), row("AC43.13-1B(5-105)", "S"),
    row("CS-22.23(a)", "S"), row("CS-22.23(b)", "S"), row("CS-22.29", "M R"), row("CS-22.143(c)", "M R"),
    row("CS-22.397", "M R"), row("CS-22.411", "M R"), row("CS-22.501", "M R"), row("CS-22.583", "P"),
    row("CS-22.605", "M"), row("CS-22.607", "M"), row("CS-22.609", "M"), row("CS-22.611", "M"), row("CS-22.612", "M"),
    row("CS-22.613", "M R"), row("CS-22.629", "M"), row("CS-22.655", "M"), row("CS-22.657", "M"),
    row("CS-22.659", "M"), row("CS-22.675", "M"), row("CS-22.677", "M R"), row("CS-22.683", "M R"),
    row("CS-22.685(a)", "S"), row("CS-22.685(b)", "S"), row("CS-22.685(c)", "S"), row("CS-22.685(d)", "S"),
    row("CS-22.685(e)", "S"), row("CS-22.689", "M"), row("CS-22.697", "M R"), row("CS-22.699", "M R"),
    row("CS-22.701", "M R"), row("CS-22.711(a)", "S"), row("CS-22.711(c)", "S"), row("CS-22.711(d)", "S"),
    row("CS-22.711(e)", "S"), row("CS-22.711(g)", "S"), row("CS-22.721", "M"), row("CS-22.735", "M"),
    row("CS-22.775", "M"), row("CS-22.780", "M R"), row("CS-22.785", "M"), row("CS-22.786", "M"),
    row("CS-22.807", "M"), row("CS-22.1323", "M R"), row("CS-22.1325", "M"), row("CS-22.1505", "P R"),
    row("CS-22.1519", "M"), row("CS-22.1541", "M"), row("CS-22.1543", "M"), row("CS-22.1545", "M R"),
    row("CS-22.1555", "M R"), row("CS-22.1557", "M R"), row("CS-22.1561", "M R"), row("CS-22.1567", "M R"),
    row("CS-22.1583", "M"),
];
