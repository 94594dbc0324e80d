//! Arguments of `check`.

use std::path::PathBuf;

use clap::Args;

const HELP: &str = "Exit codes:
  0  no error; advice alone changes nothing, unless --strict
  1  a path cannot be read
  3  at least one error (with --strict also: at least one advice)

Examples:
  spanwise check                          the built-in library
  spanwise check fin-root/1.0.1.toml      one edition, together with the library that it will be used with
  spanwise check ./club                   a hangar: checklists, airframe records, people.toml, instruments.toml
  spanwise check --explain unknown-step   what a code means, with a bad and a good example";

#[derive(Debug, Args)]
#[command(after_help = HELP)]
pub struct CheckArgs {
    /// Files or folders; the built-in library by default.
    #[arg(value_name = "PATH")]
    pub paths: Vec<PathBuf>,
    /// Advice counts as an error.
    #[arg(long)]
    pub strict: bool,
    /// As JSON; its shape stands in DEVELOPERS.md.
    #[arg(long, conflicts_with = "sarif")]
    pub json: bool,
    /// As SARIF 2.1.0, for editors and continuous integration.
    #[arg(long)]
    pub sarif: bool,
    /// Explain a code, or list all codes.
    #[arg(long, value_name = "CODE", num_args = 0..=1, default_missing_value = "", conflicts_with_all = ["paths", "json", "sarif", "strict", "rule_ids"])]
    pub explain: Option<String>,
    /// List the rule ids that a step's basis may name, with how far each was compared with a text.
    #[arg(long, conflicts_with_all = ["paths", "json", "sarif", "strict"])]
    pub rule_ids: bool,
}
