//! The register of issued editions, and the built-in one.

use std::sync::Arc;

use semver::Version;
use spanwise::checklist::{Library, builtin_register, builtin_sources};
use spanwise::diagnostic::Source;
use spanwise::edition::{
    Issued, Kept, VersionStep, check_kept, compare_editions, file_hash, kept, read_register, with_entry,
    with_value,
};

#[test]
fn every_built_in_edition_is_as_the_register_says() {
    let (sources, register) = (builtin_sources(), builtin_register());
    let entries = read_register(&register).unwrap_or_else(|faults| panic!("{faults:?}"));
    let faults = check_kept(&register, &entries, &sources);
    assert!(faults.is_empty(), "an issued edition was edited: {faults:?}");
    let entered: Vec<String> = entries.iter().map(Issued::file).collect();
    for source in &sources {
        let file = source.name.trim_start_matches("built in: ").to_string();
        assert!(entered.contains(&file), "{file} is not in checklists/issued.toml");
    }
    assert_eq!(entered.len(), sources.len());
}

#[test]
fn every_step_of_a_built_in_version_is_at_least_the_one_demanded() {
    let library = Library::read(&builtin_sources());
    let mut pairs = 0;
    for new in library.all() {
        let Some(old) = library.below(&new.id.value, &new.version.value) else { continue };
        let made = VersionStep::between(&old.version.value, &new.version.value);
        let demanded = compare_editions(old, new).demands();
        assert!(made >= demanded, "{} {}: {demanded:?}", new.id.value, new.version.value);
        pairs += 1;
    }
    assert!(pairs >= 2, "{pairs}");
}

fn entry(text: &str) -> Issued {
    Issued {
        id: "fin-root".to_string(),
        version: Version::new(1, 0, 0),
        sha256: file_hash(text),
        on: chrono::NaiveDate::from_ymd_opt(2026, 3, 1).expect("a day"),
        by: "Ada \"the pen\" Orrel\\".to_string(),
        at: 0,
    }
}

#[test]
fn an_entry_is_appended_and_read_back() {
    let first = with_entry("", &entry("a"));
    let second = with_entry(&first, &Issued { version: Version::new(1, 1, 0), ..entry("b") });
    assert!(second.starts_with(&first), "an entry changed what stands before it");
    let read = read_register(&Source::new("issued.toml", second.as_str()))
        .unwrap_or_else(|faults| panic!("{faults:?}"));
    assert_eq!(read.len(), 2);
    assert_eq!(
        (read[0].by.as_str(), read[1].version.to_string().as_str()),
        ("Ada \"the pen\" Orrel\\", "1.1.0")
    );
    let twice = with_entry(&first, &entry("a"));
    let faults = read_register(&Source::new("issued.toml", twice)).expect_err("entered twice");
    assert!(faults[0].to_string().contains("entered twice"), "{faults:?}");
}

#[test]
fn an_altered_or_missing_edition_is_a_fault_with_both_hashes() {
    let register = Source::new("checklists/issued.toml", with_entry("", &entry("as issued")));
    let file = |text: &str| vec![Source::new("checklists/fin-root/1.0.0.toml", text)];
    let check = |sources: &[Arc<Source>]| {
        let entries = read_register(&register).unwrap_or_else(|faults| panic!("{faults:?}"));
        check_kept(&register, &entries, sources).iter().map(ToString::to_string).collect::<Vec<_>>()
    };
    assert!(check(&file("as issued")).is_empty());
    let told = check(&file("as issued ")).join("");
    for part in ["fin-root/1.0.0.toml", &file_hash("as issued"), &file_hash("as issued "), "2026-03-01"] {
        assert!(told.contains(part), "{told}");
    }
    assert!(check(&[]).join("").contains("missing"));
    assert_eq!(kept(&entry("x"), &file("x")), Kept::AsIssued);
}

/// FIPS 180-2, appendix B.1: the SHA-256 of "abc".
#[test]
fn the_hash_is_sha_256() {
    let published = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
    assert_eq!(file_hash("abc"), published);
}

#[test]
fn a_value_is_changed_and_every_other_byte_stays() {
    let text = "# head\r\nversion   =  \"1.0.0\"   # wanted\r\ntext = '''\nversion = \"9\"\n'''\r\n";
    let changed = with_value(text, "version", "\"1.1.0\"").unwrap_or_else(|why| panic!("{why}"));
    assert_eq!(changed, text.replacen("1.0.0", "1.1.0", 1));
    assert!(with_value(text, "title", "1").expect_err("no such key").contains("title"));
}
