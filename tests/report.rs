//! The report of a session in every form: the walkthrough of the invented hangar, sessions in memory, hostile texts.
#![allow(clippy::disallowed_methods, reason = "a test looks at what lies on the disk")]

mod binary;
mod support;

mod report {
    mod accessible;
    mod forms;
    mod hostile;
    mod html;
    mod json;
    mod language;
    mod made;
    mod outcomes;
    mod paper;
    mod sheet;
    mod trends;
}
