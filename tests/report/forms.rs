//! The command: forms, parts, files, and what it refuses.

use super::made::{steps_of_the_walk, text_of, walked, written};
use crate::binary::{GLIDER, Place};

#[test]
fn the_walkthrough_in_every_form_names_every_step() {
    let steps = steps_of_the_walk();
    assert!(steps.len() > 100);
    let html = text_of(GLIDER, "every.html", &["--form", "html"]);
    let csv = text_of(GLIDER, "every.csv", &["--form", "csv", "--only", "steps"]);
    for (id, title) in &steps {
        assert!(html.contains(&title.replace('\'', "&#39;")), "{title}");
        assert!(csv.contains(id) && csv.contains(title), "{id}");
    }
    let words: String = text_of(GLIDER, "every.txt", &["--form", "text"]).split_whitespace().collect();
    for (_, title) in &steps {
        let title: String = title.split_whitespace().collect();
        // A title that wraps stands beside other columns: its first words are enough.
        let first: String = title.chars().take(12).collect();
        assert!(words.contains(&first), "{title}");
    }
}

#[test]
fn text_keeps_to_eighty_columns_but_for_commands_to_be_copied() {
    use unicode_width::UnicodeWidthStr;
    let text = text_of(GLIDER, "columns.txt", &["--form", "text"]);
    for line in text.lines().filter(|line| line.width() > 80) {
        assert!(line.starts_with("  ssh-keygen") || line.starts_with("    -O "), "{line}");
    }
    assert!(!text.contains("\n\n\n"), "no two empty lines in a row");
}

#[test]
fn demo_and_draft_are_told_in_every_form() {
    let draft = text_of("XX-DR4", "draft.txt", &["--form", "text"]);
    let parts = draft.matches("*** DRAFT, NOT SIGNED: this is no release to service ***").count();
    assert_eq!(parts, 11 + 2, "before every part, at the head and at the end");
    assert_eq!(draft.matches("*** INVENTED").count(), parts);
    let html = text_of("XX-DR4", "draft.html", &["--form", "html"]);
    assert!(html.matches("DRAFT, NOT SIGNED").count() > 11);
    let json = walked().run(&["report", "XX-DR4", "--form", "json"]).expect(0).json();
    assert_eq!((&json["status"], &json["invented"]), (&"draft".into(), &true.into()));
    let released = text_of(GLIDER, "released.txt", &["--form", "text"]);
    assert!(!released.contains("DRAFT") && released.contains("*** INVENTED"));
}

#[test]
fn readings_stand_as_they_were_entered() {
    let csv = text_of(GLIDER, "series.csv", &["--form", "csv", "--only", "series"]);
    let table = include_str!("../../demo/flex/soft-fin.csv");
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let rows: Vec<csv::StringRecord> = reader.records().map(|row| row.expect("a row")).collect();
    assert!(rows.len() > 20);
    for row in rows {
        let [load, load_unit, deflection, deflection_unit, direction, branch] =
            [0, 1, 2, 3, 4, 5].map(|at| row.get(at).expect("a column"));
        let way = if branch == "loading" { "up" } else { "down" };
        let wanted = format!("{direction},{way},{load},{load_unit},{deflection},{deflection_unit}");
        assert!(csv.contains(&wanted), "{wanted}");
    }
}

#[test]
fn tables_go_one_to_a_file_or_all_into_a_folder() {
    let place = walked();
    place.run(&["report", GLIDER, "--form", "csv"]).tells(2, &["name it by --only", "readings"]);
    place.run(&["report", GLIDER, "--form", "csv", "--only", "steps,due"]).tells(2, &["holds one table"]);
    let one = place.run(&["report", GLIDER, "--form", "csv", "--only", "due"]).expect(0);
    assert!(one.out.starts_with("registration,session,kind,id,title,"), "{}", one.out);
    let folder = place.beside("tables");
    let into = folder.to_str().expect("a path");
    place.run(&["report", GLIDER, "--form", "csv", "--out", into]).expect(0);
    let files = std::fs::read_dir(&folder).expect("a folder").count();
    assert_eq!(files, spanwise::report::csv::TABLES.len());
    place.run(&["report", GLIDER, "--form", "csv", "--out", into]).tells(3, &["nothing is overwritten"]);
    for file in std::fs::read_dir(&folder).expect("a folder").flatten() {
        let mut reader = csv::Reader::from_path(file.path()).expect("CSV");
        let columns = reader.headers().expect("a head").len();
        assert!(reader.records().all(|row| row.expect("a row").len() == columns), "{:?}", file.path());
    }
}

#[test]
fn parts_are_chosen_and_wrong_names_told() {
    let place = walked();
    let text = place.run(&["report", GLIDER, "--form", "text", "--only", "logbook,due"]).expect(0).out;
    assert!(text.contains("Logbook entry") && text.contains("What falls due next"));
    assert!(!text.contains("Worksheet record"));
    place.run(&["report", GLIDER, "--only", "defect"]).tells(2, &["did you mean \"defects\"?", "worksheet"]);
    place.run(&["report", GLIDER, "--form", "csv", "--only", "reading"]).tells(2, &["readings"]);
    place.run(&["report", GLIDER, "--form", "json", "--only", "due"]).tells(2, &["always whole"]);
    place.run(&["report"]).tells(2, &["SESSION"]);
    place.run(&["report", "XX-NONE"]).expect(1);
    place.bare(["report", "--schema"]).tells(0, &["\"$schema\""]);
}

#[test]
fn a_pdf_goes_into_a_file_named_after_the_airframe() {
    let answer = walked().run(&["report", GLIDER]).tells(0, &["written: annual-XX-VA7-"]);
    let name = answer.out.split_whitespace().nth(1).expect("a name").to_string();
    let bytes = std::fs::read(walked().beside(&name)).expect("it is there");
    assert!(bytes.starts_with(b"%PDF-"));
}

#[test]
fn nothing_of_the_hangar_is_changed() {
    let place = walked();
    let before = crate::binary::contents(&place.root());
    written(GLIDER, "unchanged.pdf", &[]);
    written("XX-DR4", "unchanged.html", &["--form", "html"]);
    assert_eq!(before, crate::binary::contents(&place.root()));
}

#[test]
fn outside_the_demo_nothing_is_called_invented() {
    let place = Place::small();
    let text = place.run_by("ada", &["report", crate::binary::SMALL, "--form", "text"]).expect(0).out;
    assert!(!text.contains("INVENTED: people") && text.contains("DRAFT, NOT SIGNED"));
}

#[test]
fn the_commands_for_openssh_check_every_signature() {
    if !super::made::is_there("ssh-keygen") {
        return;
    }
    let place = walked();
    let check = place.beside("check");
    let into = check.to_str().expect("a path");
    place.run(&["seal-files", GLIDER, "--into", into]).expect(0);
    let text = text_of(GLIDER, "verify.txt", &["--form", "text", "--only", "verify"]);
    // A line that ends with a backslash goes on below, as in a shell.
    let text = text.replace("\\\n", " ");
    let commands: Vec<&str> =
        text.lines().filter(|line| line.trim_start().starts_with("ssh-keygen")).collect();
    assert!(commands.len() >= 3, "{text}");
    for command in commands {
        let done = std::process::Command::new("sh").current_dir(&check).args(["-c", command]).output();
        let done = done.expect("a shell");
        assert!(done.status.success(), "{command}: {}", String::from_utf8_lossy(&done.stderr));
    }
    let hash = text.lines().find(|line| line.starts_with("  N=")).expect("the command for the hash");
    let folder = place.session_folder(GLIDER);
    let done =
        std::process::Command::new("sh").current_dir(folder).args(["-c", hash]).output().expect("a shell");
    let found = String::from_utf8_lossy(&done.stdout).trim().to_string();
    assert_eq!(found.len(), 64);
    assert!(text.contains(&format!("  {found}\n")), "{found}");
}
