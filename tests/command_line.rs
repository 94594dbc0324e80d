//! Every command of the built program: exit codes, words, JSON, and what it does with faulty files.

mod binary;
mod command_line {
    mod commands;
    mod damage;
    mod files;
    mod json;
    mod refusals;
}
