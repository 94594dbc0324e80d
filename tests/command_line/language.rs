//! The command line in German: help, faults and answers; commands, ids and JSON words are the same in every language.

use crate::binary::{GLIDER, INSPECTOR, Place};

#[test]
fn help_and_faults_are_told_in_the_language_that_is_asked_for() {
    let place = Place::empty();
    let top = place
        .run(&["--language", "de", "--help"])
        .tells(0, &["Aufruf: spanwise", "Befehle:", "Optionen:"])
        .out;
    assert!(!top.contains("Commands:") && !top.contains("Print help"), "{top}");
    place
        .run(&["--language=de", "defect", "raise", "-h"])
        .tells(0, &["Argumente:", "Beispiele:", "--severity"]);
    place.run(&["--language", "de", "help", "due"]).tells(0, &["Aufruf: spanwise due", "Rückgabewerte:"]);
    place
        .run(&["--language", "de", "status", GLIDER, "--outcome", "perhaps"])
        .tells(2, &["Fehler: ungültiger Wert „perhaps“", "[möglich: release, not-airworthy]"]);
    place
        .run(&["status", GLIDER, "--outcome", "perhaps"])
        .tells(2, &["error: invalid value 'perhaps'", "For more information"]);
}

#[test]
fn answers_are_german_and_what_a_script_reads_stays() {
    let place = Place::demo();
    place
        .run(&["--language", "de", "due", GLIDER])
        .tells(0, &["nach der Akte", "nächste Jahresnachprüfung am"]);
    place
        .run(&["--language", "de", "list"])
        .tells(0, &["Diese Halle ist erfunden", "Werknummer", "Prüfungen"]);
    place.run(&["--language", "de", "begin", GLIDER, "--by", INSPECTOR]).tells(0, &["begonnen:"]);
    let status = place.run(&["--language", "de", "status", GLIDER]);
    status.tells(3, &["Der Abschluss", "gesperrt", "Pflichtschritte offen"]);
    let words = |language: &str| {
        let json = place.run(&["--language", language, "status", GLIDER, "--json"]).json();
        (json["open_mandatory"].clone(), json["release_possible"].clone())
    };
    assert_eq!(words("de"), words("en"));
}
