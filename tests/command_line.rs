//! Every command of the built program: exit codes, words, JSON, and what it does with faulty files.
#![allow(clippy::disallowed_methods, reason = "a test looks at what lies on the disk")]

mod binary;
mod command_line {
    mod commands;
    mod damage;
    mod files;
    mod findings;
    mod handover;
    mod json;
    mod order;
    mod refusals;
    mod replay;
    mod report;
    mod rescue;
    mod sealing;
    mod verify;
}
