//! Steps written into a file.

use proptest::prelude::*;
use spanwise::edition::{Insertion, NewStep, insert_step};

use crate::{FIN_ROOT, read};

/// The text without the piece, which must be the text before.
fn without(made: &Insertion) -> String {
    format!("{}{}", &made.text[..made.at], &made.text[made.at + made.length..])
}

#[test]
fn a_step_goes_behind_the_last_of_its_section_and_nothing_else_changes() {
    let text = "# head\n[[step]] # first\nid = \"a.one\" # why\nsection = \"a\"\ntext = '''\n[[step]]\nid = \"no.step\"\n'''   # end of one\n\n\
                [[step.measure]]\nid = \"x\"\n\n# of two\n[[step]]\nid = \"b.two\"\nsection = \"b\"\n\n# last words\n[[withdraw]]\nstep = \"c\"\n";
    let block = "[[step]]\nid = \"a.new\"\n";
    let made = insert_step(text, "a", block).unwrap_or_else(|why| panic!("{why}"));
    assert_eq!(without(&made), text);
    assert!(made.text.contains("id = \"x\"\n\n[[step]]\nid = \"a.new\"\n\n# of two\n"), "{}", made.text);
    // A section without steps: behind the last step, and before the comment of what follows.
    let made = insert_step(text, "z", block).unwrap_or_else(|why| panic!("{why}"));
    assert_eq!(without(&made), text);
    assert!(
        made.text.contains("section = \"b\"\n\n[[step]]\nid = \"a.new\"\n\n# last words\n"),
        "{}",
        made.text
    );
    // No steps at all, no end of line, and the line ends of another system.
    let made = insert_step("id = 1\r\nx = 2", "a", block).unwrap_or_else(|why| panic!("{why}"));
    assert_eq!(made.text, "id = 1\r\nx = 2\r\n\r\n[[step]]\r\nid = \"a.new\"\r\n");
    assert!(insert_step("step = [ { id = \"a\" } ]", "a", block).is_err());
}

proptest! {
    /// Whatever is typed stands in the file as it was typed.
    #[test]
    fn typed_words_are_read_back(words in "[ -~äß\n]{1,80}", id in "[a-z]{1,9}") {
        prop_assume!(!words.trim().is_empty());
        let step = NewStep {
            id: format!("fin-root.new-{id}"),
            section: "fin-root".to_string(),
            title: "Title".to_string(),
            instruction: words.clone(),
            caution: words.clone(),
            basis: vec![words.clone()],
            people: 1,
            ..Default::default()
        };
        let made = insert_step(FIN_ROOT, &step.section, &step.to_toml());
        let made = made.unwrap_or_else(|why| panic!("{why}"));
        prop_assert_eq!(without(&made), FIN_ROOT);
        let checklist = read("made", &made.text);
        let found = &checklist.step(&step.id).unwrap_or_else(|| panic!("it is there")).value;
        prop_assert_eq!(&found.instruction, words.trim());
        prop_assert_eq!(found.caution.as_deref(), Some(words.trim()));
        prop_assert_eq!(found.basis[0].value.trim(), words.trim());
    }
}
