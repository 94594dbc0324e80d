//! The program: see `spanwise::cli`.

use std::process::ExitCode;

fn main() -> ExitCode {
    spanwise::cli::main()
}
