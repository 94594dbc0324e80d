//! Every command of the built program: exit codes, words, JSON, and what it does with faulty files.
#![allow(clippy::disallowed_methods, reason = "a test looks at what lies on the disk")]

mod binary;
mod command_line {
    mod by_hand;
    mod check;
    mod commands;
    mod coverage;
    mod damage;
    mod defects;
    mod due;
    mod edition;
    mod edition_bench;
    mod exchange;
    mod files;
    mod findings;
    mod handover;
    mod json;
    mod json_everywhere;
    mod language;
    mod order;
    mod pack;
    mod pack_trust;
    mod pages;
    mod paper;
    mod record;
    mod refusals;
    mod replay;
    mod report;
    mod rescue;
    mod schema;
    mod sealing;
    mod settings;
    mod verify;
    mod whole_job;
}
