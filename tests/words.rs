//! The catalogue against the code: every text that the code marks has its German, every German text is still used, and
//! placeholders are the same on both sides. The texts of the help are held to `help.po` beside the command line itself.
#![allow(clippy::disallowed_methods, reason = "tests read the source tree")]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::str::FromStr;

use proc_macro2::{Delimiter, TokenStream, TokenTree};
use spanwise::checklist::prose::prose;
use spanwise::checklist::{Library, builtin_sources};
use spanwise::coverage::lists;
use spanwise::words::{Language, Translation, merged, of_checklist, read_translations, with_language};

/// Context, text, and the plural where there is one.
type Key = (Option<String>, String);

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).expect("a folder").flatten() {
        let path = entry.path();
        if path.is_dir() {
            found.extend(files(&path, ending));
        } else if path.extension().is_some_and(|known| known == ending) {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// What `say!` and `mark!` name in the code, with the plural and the file.
fn marked() -> BTreeMap<Key, (Option<String>, PathBuf)> {
    let mut found = BTreeMap::new();
    for path in files(&root().join("src"), "rs") {
        let code = fs::read_to_string(&path).expect("source");
        let tokens = TokenStream::from_str(&code).expect("Rust source");
        walk(tokens, &mut |context, text, plural| {
            found.entry((context, text)).or_insert((plural, path.clone()));
        });
    }
    found
}

/// The texts of the code, and those of the data that the code shows through `said`: the rows of the rule lists.
fn shown() -> BTreeMap<Key, (Option<String>, PathBuf)> {
    let mut found = marked();
    for list in lists().unwrap_or_else(|error| panic!("{error}")) {
        assert!(!list.rows.is_empty(), "{}: no row was found", list.name);
        for row in list.rows {
            let place = root().join("src/coverage").join(row.id);
            found.entry((None, row.item)).or_insert((None, place));
        }
    }
    found
}

fn walk(tokens: TokenStream, see: &mut dyn FnMut(Option<String>, String, Option<String>)) {
    let tokens: Vec<TokenTree> = tokens.into_iter().collect();
    for (at, token) in tokens.iter().enumerate() {
        let TokenTree::Group(group) = token else { continue };
        let called = at >= 2
            && matches!(&tokens[at - 2], TokenTree::Ident(name) if name == "say" || name == "mark")
            && matches!(&tokens[at - 1], TokenTree::Punct(sign) if sign.as_char() == '!');
        if called && group.delimiter() == Delimiter::Parenthesis {
            seen(&group.stream().into_iter().collect::<Vec<_>>(), see);
        }
        walk(group.stream(), see);
    }
}

fn seen(tokens: &[TokenTree], see: &mut dyn FnMut(Option<String>, String, Option<String>)) {
    let sign = |at: usize| match tokens.get(at) {
        Some(TokenTree::Punct(sign)) => sign.as_char(),
        _ => ' ',
    };
    let Some(first) = tokens.first().and_then(text_of) else { return };
    let (context, text, next) = if sign(1) == '=' && sign(2) == '>' {
        (Some(first), tokens.get(3).and_then(text_of).expect("a text after the context"), 4)
    } else {
        (None, first, 1)
    };
    let plural = (sign(next) == '|').then(|| tokens.get(next + 1).and_then(text_of).expect("a plural"));
    see(context, text, plural);
}

fn text_of(token: &TokenTree) -> Option<String> {
    let TokenTree::Literal(literal) = token else { return None };
    syn::parse_str::<syn::LitStr>(&literal.to_string()).ok().map(|text| text.value())
}

fn german() -> Vec<(PathBuf, Vec<Translation>)> {
    files(&root().join("src/words/de"), "po")
        .into_iter()
        .map(|path| {
            let texts = read_translations(&fs::read_to_string(&path).expect("a catalogue"));
            let texts = texts.unwrap_or_else(|fault| panic!("{}: {}", path.display(), fault.0));
            (path, texts)
        })
        .collect()
}

fn is_of_help(path: &Path) -> bool {
    path.file_name().is_some_and(|name| name == "help.po")
}

#[test]
fn every_text_has_its_german_and_every_german_text_its_place_in_code_or_data() {
    let marked = shown();
    assert!(!marked.is_empty(), "no text was found in the code");
    let mut known = BTreeSet::new();
    let mut stale = Vec::new();
    for (path, texts) in german() {
        for text in texts {
            let key = (text.context.clone(), text.text.clone());
            let wanted = marked.get(&key);
            if wanted.is_none() && !is_of_help(&path) {
                stale.push(format!("{}: {:?}", path.display(), text.text));
            }
            let forms = if wanted.is_some_and(|(plural, _)| plural.is_some()) { 2 } else { 1 };
            if text.forms.len() == forms && text.forms.iter().all(|form| !form.is_empty()) {
                known.insert(key);
            }
        }
    }
    let missing: Vec<String> = marked
        .iter()
        .filter(|(key, _)| !known.contains(*key))
        .map(|(key, (_, path))| format!("{}: {:?}", path.display(), key.1))
        .collect();
    assert!(missing.is_empty(), "{} texts without German:\n{}", missing.len(), missing.join("\n"));
    assert!(stale.is_empty(), "{} German texts that nothing uses:\n{}", stale.len(), stale.join("\n"));
}

#[test]
fn a_text_that_stands_in_two_files_is_translated_in_one_way() {
    let mut known: BTreeMap<Key, Vec<String>> = BTreeMap::new();
    for (path, texts) in german() {
        for text in texts {
            let forms = text.forms;
            let first = known.entry((text.context, text.text.clone())).or_insert_with(|| forms.clone());
            assert_eq!(*first, forms, "{}: {:?} is translated twice", path.display(), text.text);
        }
    }
}

/// `{}`, `{0}`, `{name}` of a text, sorted.
fn placeholders(text: &str) -> Vec<String> {
    let mut found: Vec<String> = text
        .replace("{{", "")
        .replace("}}", "")
        .split('{')
        .skip(1)
        .filter_map(|rest| rest.split_once('}').map(|(name, _)| name.to_string()))
        .collect();
    found.sort();
    found
}

/// `{}` and `{}` may become `{1}` and `{0}`.
fn numbered(names: Vec<String>) -> Vec<String> {
    let mut names: Vec<String> = names
        .iter()
        .enumerate()
        .map(|(at, name)| if name.is_empty() { at.to_string() } else { name.clone() })
        .collect();
    names.sort();
    names
}

#[test]
fn a_translation_has_the_placeholders_of_its_text() {
    let mut wrong = Vec::new();
    for (path, texts) in german() {
        for text in texts {
            for (at, form) in text.forms.iter().enumerate() {
                let of = if at == 0 { &text.text } else { text.plural.as_ref().expect("a plural") };
                let (wanted, has) = (numbered(placeholders(of)), numbered(placeholders(form)));
                // "one defect" may be "{n} Mangel", and the other way round.
                let but_the_count =
                    |names: &[String]| names.iter().filter(|name| *name != "n").cloned().collect::<Vec<_>>();
                let is_right = match text.plural.is_some() && at == 0 {
                    true => but_the_count(&has) == but_the_count(&wanted),
                    false => has == wanted,
                };
                if !is_right {
                    wrong.push(format!("{}: {of:?} → {form:?}", path.display()));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_built_in_checklist_is_translated_in_its_newest_edition_and_keeps_its_figures() {
    let mut newest = BTreeMap::new();
    for source in builtin_sources() {
        let name = source.name.trim_start_matches("built in: ").to_string();
        let Some((id, version)) = name.trim_end_matches(".toml").split_once('/') else { continue };
        newest.insert(id.to_string(), (version.to_string(), source));
    }
    assert!(newest.len() > 20, "the built-in checklists were not found");
    for (id, (version, source)) in newest {
        let po = fs::read_to_string(root().join("checklists").join(&id).join("de.po"))
            .unwrap_or_else(|error| panic!("{id}: {error}"));
        let texts: Vec<(String, String)> =
            prose(&source).into_iter().map(|one| (one.place, one.text)).collect();
        let told = merged(&texts, &po, "de").unwrap_or_else(|fault| panic!("{id}: {}", fault.0));
        assert!(told.missing.is_empty(), "{id} {version}: {:?}", told.missing);
        assert!(told.differing.is_empty(), "{id} {version}: {:?}", told.differing);
        assert!(!texts.is_empty(), "{id} {version} has no text");
    }
}

/// The reader trims what stands between a TOML text's quotes; its translation must be found all the same.
#[test]
fn every_instruction_caution_and_hint_that_is_read_is_shown_in_german() {
    let library = Library::read(&builtin_sources());
    let mut seen = 0;
    with_language(Language::German, || {
        for checklist in library.newest() {
            for step in &checklist.steps {
                let hint = step.value.on_failure.as_ref().and_then(|failure| failure.hint.as_deref());
                let texts = [Some(step.value.instruction.as_str()), step.value.caution.as_deref(), hint];
                for text in texts.into_iter().flatten() {
                    assert_ne!(of_checklist(text), text, "{} {}", checklist.id.value, step.value.id);
                    seen += 1;
                }
            }
        }
    });
    assert!(seen > 500, "{seen}");
}

#[test]
fn the_search_for_texts_sees_every_way_of_writing_them() {
    let code = "fn f() { g(say!(\"one\")); vec![say!(\"two {}\", say!(\"three\"))]; \
        say!(\"of a step\" => \"open\"); say!(\"a\" | \"{n} b\" % n, x); const C: &str = mark!(\"four\"); other!(\"five\") }";
    let mut found = Vec::new();
    walk(TokenStream::from_str(code).expect("Rust"), &mut |context, text, plural| {
        found.push((context, text, plural));
    });
    let plain = |text: &str| (None, text.to_string(), None);
    assert_eq!(
        found,
        [
            plain("one"),
            plain("two {}"),
            plain("three"),
            (Some("of a step".to_string()), "open".to_string(), None),
            (None, "a".to_string(), Some("{n} b".to_string())),
            plain("four"),
        ]
    );
}
