//! Every bit of a signed session flipped and every file cut at every byte: `verify` finds each, and names the first
//! bad entry. Then lines cut out, doubled, swapped, spliced; and a second verifier in another language beside ours.
#![allow(clippy::disallowed_methods, reason = "tests write sessions that they have damaged")]

#[path = "verify/session.rs"]
mod session;
mod support;

use std::process::Command;

use session::{EVIDENCE, OTHER, REVISED, SID, SIGNED, Session, signed, signed_under};
use spanwise::audit::verify::{Listed, NoAnchor, Report, Soundness, across, anchors, match_code, text};
use spanwise::journal::short_code::{ShortCode, TypingSlip};
use spanwise::journal::verify as chain;
use spanwise::words::{Language, with_language};

/// Names, kinds of entries, and words that the record holds.
const DATA: &[&str] = &["invented", "ostrel", "released"];

/// Figures are shown by every run: the tests' own output is caught unless something fails.
macro_rules! say {
    ($($words:tt)*) => {{
        use std::io::Write as _;
        let _ = writeln!(std::io::stderr(), $($words)*);
    }};
}

#[track_caller]
fn is_damaged(report: &Report, file: &str, entry: Option<u64>) {
    assert_eq!(report.verdict, Soundness::Damaged, "{file}: {:?}", report.checks);
    let fault = report.fault.as_ref().expect("a fault");
    assert_eq!((fault.file.as_str(), fault.entry), (file, entry), "{fault:?}");
    assert!(!fault.stands.is_empty() && !fault.should.is_empty() && !fault.next.is_empty());
}

/// Number and beginning of the line in which this byte lies.
fn line_at(session: &Session, byte: usize) -> (u64, usize) {
    let mut start = 0;
    for (number, line) in session.lines.iter().enumerate() {
        if byte < start + line.len() {
            return (number as u64, start);
        }
        start += line.len();
    }
    (session.lines.len() as u64, start)
}

/// Runs over all these in two threads; each value is one altered session.
fn sweep(count: usize, try_one: impl Fn(usize) + Sync) {
    std::thread::scope(|scope| {
        for half in 0..2 {
            let try_one = &try_one;
            scope.spawn(move || (half..count).step_by(2).for_each(try_one));
        }
    });
}

fn flipped(bytes: &[u8], bit: usize) -> Vec<u8> {
    let mut changed = bytes.to_vec();
    changed[bit / 8] ^= 1 << (bit % 8);
    changed
}

#[test]
fn the_session_itself_is_sound_and_sealed() {
    let whole = signed(SID, "nothing seen").report();
    assert_eq!((whole.verdict, &whole.fault), (Soundness::Sealed, &None), "{:#?}", whole.checks);
    assert_eq!(whole.sign_off.as_ref().map(|place| place.entry), Some(SIGNED));
    let bare = signed_under(SID, "nothing seen", &|_, _| ()).report();
    assert_eq!((bare.verdict, &bare.fault), (Soundness::Unsealed, &None), "{:#?}", bare.checks);
    assert!(bare.check("seal").is_some_and(|check| check.words.contains("NOT SEALED")));
    let session = signed(SID, "nothing seen");
    for count in 1..=session.lines.len() {
        let report = session.cut(count).report();
        assert!(!report.verdict.is_damaged(), "{count} entries: {:#?}", report.checks);
    }
}

#[test]
fn every_bit_and_every_cut_of_the_journal() {
    let session = signed(SID, "nothing seen");
    let bits = session.journal.len() * 8;
    sweep(bits, |bit| {
        // Without its plan the session is damaged anyhow, but the fault told first must be the journal's: that spares
        // folding the entries for each bit. The whole session is tried at some bits.
        let plan = if bit % 101 == 0 { session.plan.clone() } else { Vec::new() };
        let altered = Session { journal: flipped(&session.journal, bit), plan, ..session.clone() };
        let (entry, start) = line_at(&session, bit / 8);
        let report = altered.report();
        is_damaged(&report, "journal.jsonl", Some(entry));
        assert_eq!(report.fault.and_then(|fault| fault.byte), Some(start), "bit {bit}");
    });
    sweep(session.journal.len(), |len| {
        let altered = Session { journal: session.journal[..len].to_vec(), ..session.clone() };
        let (entry, start) = line_at(&session, len);
        let report = altered.report();
        is_damaged(&report, "journal.jsonl", Some(entry));
        assert_eq!(report.fault.as_ref().and_then(|fault| fault.byte), Some(start), "cut at {len}");
        if len + 1 == session.journal.len() {
            let words = &report.check("chain").expect("the chain").words;
            assert!(
                words.contains("only its line feed is missing") && words.contains("nothing is lost"),
                "{words}"
            );
        }
    });
    say!("journal: {bits} bits and {} cuts, all found", session.journal.len());
}

#[test]
fn every_bit_and_every_cut_of_the_register() {
    let session = signed(SID, "nothing seen");
    let bits = session.register.len() * 8;
    sweep(bits, |bit| {
        // As above: the register's fault is told before the plan's.
        let plan = if bit % 101 == 0 { session.plan.clone() } else { Vec::new() };
        let altered = Session { register: flipped(&session.register, bit), plan, ..session.clone() };
        let report = altered.report();
        is_damaged(&report, "acked.reg", None);
        assert_eq!(report.fault.and_then(|fault| fault.byte), Some(bit / 8), "bit {bit}");
    });
    sweep(session.register.len(), |len| {
        let altered = Session { register: session.register[..len].to_vec(), ..session.clone() };
        is_damaged(&altered.report(), "acked.reg", None);
    });
    say!("register: {bits} bits and {} cuts, all found", session.register.len());
}

/// While a session runs, one torn note is what an interrupted write leaves: told, no damage.
#[test]
fn a_torn_note_of_a_running_session_is_told() {
    let session = signed(SID, "nothing seen").cut(6);
    for byte in [0, 300, 600, 1000] {
        let altered = Session { register: flipped(&session.register, byte * 8), ..session.clone() };
        let report = altered.report();
        assert_eq!(report.verdict, Soundness::Unsigned, "{:?}", report.checks);
        let words = &report.check("register").expect("it").words;
        assert!(words.contains("an interrupted write could leave this"), "{words}");
    }
}

#[test]
fn every_bit_and_every_cut_of_plans_and_evidence() {
    let session = signed(SID, "nothing seen");
    // Only the entry that names a plan is needed to find it altered; the whole session is tried at some bits.
    let opened = session.cut(1);
    let with = |session: &Session, plan: Vec<u8>| Session { plan, ..session.clone() }.report();
    sweep(session.plan.len() * 8, |bit| {
        let of = if bit % 101 == 0 { &session } else { &opened };
        is_damaged(&with(of, flipped(&session.plan, bit)), "plan.json", Some(0));
    });
    sweep(session.plan.len(), |len| {
        is_damaged(&with(&opened, session.plan[..len].to_vec()), "plan.json", Some(0));
    });
    let (hash, later) = session.later.first_key_value().expect("a later plan");
    let file = format!("plans/{hash}.json");
    let revised = session.cut(REVISED as usize + 1);
    let with = |bytes: Vec<u8>| Session { later: [(hash.clone(), bytes)].into(), ..revised.clone() };
    sweep(later.len() * 8, |bit| is_damaged(&with(flipped(later, bit)).report(), &file, Some(REVISED)));
    sweep(later.len(), |len| is_damaged(&with(later[..len].to_vec()).report(), &file, Some(REVISED)));
    let mut tried = (session.plan.len() + later.len()) * 9;
    for entry in EVIDENCE {
        let line: serde_json::Value = serde_json::from_slice(&session.lines[entry as usize]).expect("JSON");
        let hash = line["e"]["body"]["sha256"].as_str().expect("a hash");
        let (file, bytes) = (format!("evidence/{}/{hash}", &hash[..2]), &session.evidence[hash]);
        let with = |changed: Vec<u8>| {
            let mut altered = session.clone();
            altered.evidence.insert(hash.to_string(), changed);
            altered.report()
        };
        (0..bytes.len() * 8).for_each(|bit| is_damaged(&with(flipped(bytes, bit)), &file, Some(entry)));
        (0..bytes.len()).for_each(|len| is_damaged(&with(bytes[..len].to_vec()), &file, Some(entry)));
        let mut gone = session.clone();
        gone.evidence.remove(hash);
        is_damaged(&gone.report(), &file, Some(entry));
        tried += bytes.len() * 9;
    }
    say!("plans and evidence: {tried} flips and cuts, all found");
}

/// Lines cut out, doubled, swapped, spliced: name, altered session, first bad entry.
fn rearranged(session: &Session) -> Vec<(String, Session, u64)> {
    let lines: Vec<&[u8]> = session.lines.iter().map(Vec::as_slice).collect();
    let other = signed(OTHER, "nothing seen");
    let mut made = Vec::new();
    for at in 0..lines.len() {
        let put = |name: &str, lines: Vec<&[u8]>, bad: usize| {
            (format!("{name} {at}"), session.with_lines(&lines), bad as u64)
        };
        made.push(put("without", [&lines[..at], &lines[at + 1..]].concat(), at));
        made.push(put("doubled", [&lines[..=at], &lines[at..]].concat(), at + 1));
        let spliced = [&lines[..at], &[other.lines[at].as_slice()], &lines[at + 1..]].concat();
        // A foreign opening entry is only known by the line after it.
        made.push(put("spliced", spliced, at.max(1)));
        if at + 1 < lines.len() {
            let mut swapped = lines.clone();
            swapped.swap(at, at + 1);
            made.push(put("swapped", swapped, at));
        }
    }
    made
}

#[test]
fn lines_cut_out_doubled_swapped_and_spliced() {
    let session = signed(SID, "nothing seen");
    let all = rearranged(&session);
    for (name, altered, bad) in &all {
        let report = altered.report();
        assert!(report.verdict.is_damaged(), "{name}");
        assert_eq!(
            report.fault.as_ref().and_then(|fault| fault.entry),
            Some(*bad),
            "{name}: {:?}",
            report.fault
        );
    }
    let words = |name: &str| {
        let (_, altered, _) = all.iter().find(|(known, _, _)| known == name).expect("made above");
        altered.report().check("chain").map(|check| check.words.clone()).unwrap_or_default()
    };
    assert!(words("without 5").contains("entry 5 is missing") && words("without 5").contains("cut out"));
    assert!(words("swapped 5").contains("the order was changed"), "{}", words("swapped 5"));
    assert!(words("doubled 5").contains("once more"), "{}", words("doubled 5"));
}

/// Text changed, or the hash at the line's end: told apart by what the next entry names.
#[test]
fn an_altered_word_is_told_with_what_the_line_reads_now() {
    let session = signed(SID, "nothing seen");
    let text = String::from_utf8(session.journal.clone()).expect("text");
    let altered =
        Session { journal: text.replacen("nothing seen", "nothing felt", 1).into_bytes(), ..session.clone() };
    let report = altered.report();
    let words = &report.check("chain").expect("the chain").words;
    assert!(words.contains("does not have the hash that entry 6 names"), "{words}");
    let fault = report.fault.expect("a fault");
    assert!(fault.stands.contains("nothing felt") && fault.stands.contains("noted"), "{fault:?}");
    let mut journal = session.journal.clone();
    let end = line_at(&session, session.lines[..6].concat().len()).1 - 5;
    journal[end] = if journal[end] == b'0' { b'1' } else { b'0' };
    let report = Session { journal, ..session.clone() }.report();
    let words = &report.check("chain").expect("the chain").words;
    assert!(words.contains("the hash at the end of its line was changed"), "{words}");
}

/// Whoever can write every file can write another record that agrees with itself. The paper finds it.
/// Whoever writes the whole record anew, chain, register and all, cannot sign for ada without her key.
#[test]
fn a_record_written_anew_without_the_key_does_not_bear_the_seal() {
    let session = signed(SID, "nothing seen");
    let seal = session.sign_off().seal;
    let borrowed = signed_under(SID, "nothing felt", &|_, signed| signed.seal.clone_from(&seal));
    let report = borrowed.report();
    is_damaged(&report, "journal.jsonl", Some(SIGNED));
    assert!(
        report.check("seal").is_some_and(|check| check.words.contains("NOT good")),
        "{:#?}",
        report.checks
    );
    let own_key = signed_under(SID, "nothing felt", &|sid, signed| {
        spanwise::seal::seal_sign_off(sid, signed, &support::key_of("mallory")).unwrap();
    });
    let report = own_key.report();
    assert_eq!(report.verdict, Soundness::SealedByUnknownKey);
    assert!(report.check("seal").is_some_and(|check| check.words.contains("NOT in the people register")));
    // The seal of one session in another one: the text names the session.
    let moved = signed_under(OTHER, "nothing seen", &|_, signed| signed.seal.clone_from(&seal));
    is_damaged(&moved.report(), "journal.jsonl", Some(SIGNED));
}

/// Whoever holds the key can: then paper alone tells.
#[test]
fn a_record_written_anew_with_the_key_is_found_by_paper_alone() {
    let (session, forged) = (signed(SID, "nothing seen"), signed(SID, "nothing felt"));
    assert!(!forged.report().verdict.is_damaged());
    let code = ShortCode::of(&session.heads[6]).to_string();
    let (own, other) = (chain(&session.journal).entries, chain(&forged.journal).entries);
    assert_eq!(
        match_code(&code.to_lowercase(), &own).map(|anchor| (anchor.entry, anchor.what)),
        Ok((6, "pause"))
    );
    assert!(matches!(match_code(&code, &other), Err(NoAnchor::Nowhere(_))));
    let slip = match_code(&code[1..], &own);
    assert!(matches!(slip, Err(NoAnchor::Slip(TypingSlip::Length { found: 26 }))));
    let told: Vec<&str> = anchors(&own).iter().map(|anchor| anchor.what).collect();
    assert_eq!(told, ["pause", "sign-off", "countersignature"]);
    // With the old register beside it, it does not even agree with itself.
    let report = Session { register: session.register.clone(), ..forged }.report();
    is_damaged(&report, "journal.jsonl", Some(13));
}

#[test]
fn copies_older_copies_and_forks_in_one_folder() {
    let session = signed(SID, "nothing seen");
    let listed = |path: &str, session: &Session| Listed { path: path.to_string(), report: session.report() };
    let all = [listed("a", &session), listed("b", &session), listed("c", &session.cut(7))];
    let words: Vec<String> = across(&all).into_iter().map(|one| one.words).collect();
    assert!(words.iter().any(|words| words.contains("equal copy")), "{words:?}");
    assert!(
        words.iter().any(|words| words.contains("older copy") && words.contains("7 of its 14")),
        "{words:?}"
    );
    let torn = Session { journal: flipped(&session.journal, session.journal.len() * 4), ..session.clone() };
    let words: Vec<String> =
        across(&[listed("a", &session), listed("b", &torn)]).into_iter().map(|one| one.words).collect();
    assert!(words.iter().any(|words| words.contains("b is a damaged copy of a")), "{words:?}");
    let fork = across(&[listed("a", &session), listed("b", &signed(SID, "nothing felt"))]);
    assert!(fork[0].contradicts && fork[0].words.contains("they part at entry 5"), "{fork:?}");
}

/// Every session of this list to both verifiers: they agree on sound or damaged, and in the journal on the entry.
#[test]
fn a_second_verifier_in_another_language_agrees() {
    if Command::new("python3").arg("--version").output().is_err() {
        say!("skipped: python3 is not installed, so there is no second verifier");
        return;
    }
    let session = signed(SID, "nothing seen; läuft frei \u{1}\"\\");
    let place = tempfile::tempdir().expect("a folder");
    let corpus = corpus(&session);
    let folders: Vec<_> = (0..corpus.len()).map(|number| place.path().join(format!("{number}"))).collect();
    corpus.iter().zip(&folders).for_each(|(altered, folder)| altered.write(folder));
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/audit/verify_session.py");
    let output = Command::new("python3").arg(script).args(&folders).output().expect("it runs");
    let told = String::from_utf8(output.stdout).expect("text");
    let told: Vec<&str> = told.lines().collect();
    assert_eq!(told.len(), corpus.len(), "{}", String::from_utf8_lossy(&output.stderr));
    let mut sound = 0;
    for (altered, words) in corpus.iter().zip(told) {
        let report = altered.report();
        assert_eq!(report.verdict.is_damaged(), words != "sound", "{words}: {:?}", report.fault);
        sound += usize::from(words == "sound");
        if let Some(entry) = words.strip_prefix("damaged journal.jsonl ") {
            let ours = report.fault.and_then(|fault| fault.entry).map(|entry| entry.to_string());
            assert_eq!(ours.as_deref(), Some(entry), "{words}");
        }
    }
    assert_eq!(sound, 14);
    say!("both agree on {} sessions, {sound} of them sound", corpus.len());
}

fn corpus(session: &Session) -> Vec<Session> {
    let mut all: Vec<Session> = (1..=14).map(|count| session.cut(count)).collect();
    for bit in (0..session.journal.len() * 8).step_by(331) {
        all.push(Session { journal: flipped(&session.journal, bit), ..session.clone() });
    }
    for len in (0..session.journal.len()).step_by(97).chain([session.journal.len() - 1]) {
        all.push(Session { journal: session.journal[..len].to_vec(), ..session.clone() });
    }
    for bit in (0..session.register.len() * 8).step_by(211) {
        all.push(Session { register: flipped(&session.register, bit), ..session.clone() });
    }
    for bit in (0..session.plan.len() * 8).step_by(4001) {
        all.push(Session { plan: flipped(&session.plan, bit), ..session.clone() });
    }
    for (hash, bytes) in session.later.clone() {
        all.push(Session { later: [(hash, flipped(&bytes, 999))].into(), ..session.clone() });
    }
    for (hash, bytes) in &session.evidence {
        let mut altered = session.clone();
        altered.evidence.insert(hash.clone(), flipped(bytes, 7));
        all.push(altered);
    }
    all.extend(rearranged(session).into_iter().map(|(_, altered, _)| altered));
    all
}

/// Behind the first fault nothing is said to be absent: what follows cannot be told from a forgery.
#[test]
fn what_lies_behind_the_first_fault_cannot_be_told() {
    let session = signed(SID, "nothing seen");
    let start = session.lines[..2].concat().len();
    let altered = Session { journal: flipped(&session.journal, (start + 30) * 8), ..session.clone() };
    let report = altered.report();
    let expected = format!("cannot be told: {} bytes follow the first fault", session.journal.len() - start);
    assert_eq!(report.standing, expected);
    for name in ["sign-off", "seal", "evidence", "evidence files"] {
        let check = report.check(name).unwrap_or_else(|| panic!("{name}"));
        assert_eq!(check.found.word(), "unknown", "{name}: {}", check.words);
        assert!(check.words.contains(&expected), "{name}: {}", check.words);
    }
    let text = spanwise::audit::verify::text(&report);
    assert!(!text.contains("running") && !text.contains("it is not signed"), "{text}");
    // After the sign-off: that it was signed stands, what came later does not.
    let last = session.lines[..session.lines.len() - 1].concat().len() + 30;
    let report = Session { journal: flipped(&session.journal, last * 8), ..session.clone() }.report();
    assert!(report.standing.contains("what came later cannot be told"), "{}", report.standing);
}

/// Entries written anew with a sound chain: the sign-off finds that one changed, not which.
#[test]
fn a_chain_written_anew_does_not_tell_which_entry_was_changed() {
    let report = signed_under(SID, "nothing felt", &|_, signed| signed.head = "00".repeat(32)).report();
    is_damaged(&report, "journal.jsonl", Some(SIGNED));
    let words = &report.check("sign-off").expect("it").words;
    assert!(words.contains("any of the entries before it may be the changed one"), "{words}");
}

/// Bytes behind a signed record's end: told in every form, and whole lines are no interrupted write.
#[test]
fn bytes_after_the_end_of_a_signed_record() {
    let session = signed(SID, "nothing seen");
    let with =
        |tail: &[u8]| Session { journal: [&session.journal, tail].concat(), ..session.clone() }.report();
    let ended = with(b"{\"e\":\"one more\"}\n");
    is_damaged(&ended, "journal.jsonl", Some(session.lines.len() as u64));
    let words = &ended.check("chain").expect("it").words;
    assert!(words.contains("behind the sign-off") && !words.contains("unfinished"), "{words}");
    let open = with(b"{\"e\":");
    assert_eq!((open.verdict, open.trailing_bytes), (Soundness::Sealed, 5), "{:?}", open.checks);
    assert!(open.check("chain").is_some_and(|check| check.words.contains("look at them")));
    let running = session.cut(6);
    let journal = [running.journal.as_slice(), b"junk\n"].concat();
    let running = Session { journal, ..running }.report();
    assert!(running.check("chain").is_some_and(|check| !check.words.contains("unfinished")));
    assert_eq!((running.verdict, running.trailing_bytes), (Soundness::Unsigned, 5));
}

/// The session's countersignature, with nobody's key known: the verdict says so beside the seal's.
#[test]
fn second_signatures_by_unshown_keys_are_in_the_verdict() {
    let session = signed(SID, "nothing seen");
    let report = session.report();
    assert!(report.second_signatures > 0 && report.second_unshown == 0, "{:#?}", report.checks);
    assert!(report.is_sealed_throughout());
    let signer = session.sign_off().by.id;
    let only: Vec<_> = session::keys().into_iter().filter(|known| known.person == signer).collect();
    let report = session.report_by(&only);
    assert_eq!((report.verdict, report.second_unshown), (Soundness::Sealed, report.second_signatures));
    assert!(!report.is_sealed_throughout());
    assert!(report.verdict_words().contains("SECOND SIGNATURES"), "{}", report.verdict_words());
}

/// Words of four letters and more that are shown without the catalogue: in the proof language every word of it has letters
/// that no English has. Ids, codes, hashes, times and names of files are data.
fn leftovers<'a>(text: &'a str, data: &[&str]) -> Vec<&'a str> {
    text.split_whitespace()
        .map(|word| word.trim_matches(|sign: char| !sign.is_alphanumeric()))
        .filter(|word| word.len() >= 4 && word.chars().all(|letter| letter.is_ascii_alphabetic()))
        .filter(|word| !data.contains(word))
        .collect()
}

#[test]
fn what_verify_tells_is_german_where_german_is_spoken_and_nothing_is_left_in_english() {
    let whole = signed(SID, "nothing seen");
    let mut cut = whole.clone();
    cut.journal.truncate(whole.journal.len() - 20);
    let told = |session: &Session, language| with_language(language, || text(&session.report()));
    let german = told(&whole, Language::German);
    assert!(german.starts_with(&format!("Prüfung    {SID}\n")), "{german}");
    assert!(
        german.contains("Urteil     unversehrt; mit dem Schlüssel des Unterzeichners gesiegelt\n"),
        "{german}"
    );
    assert!(
        german.contains("Kette        14 Einträge, jeder nennt den vorigen mit seinem Hash\n"),
        "{german}"
    );
    let damaged = told(&cut, Language::German);
    assert!(damaged.contains("BESCHÄDIGT ODER VERÄNDERT"), "{damaged}");
    assert!(damaged.contains("  da müsste stehen "), "{damaged}");
    assert!(damaged.contains("  was zu tun ist   nichts ändern; den ganzen Ordner kopieren"), "{damaged}");
    // What another program reads is the same in every language.
    let code = |language| with_language(language, || serde_json::to_value(cut.report()).expect("JSON"));
    let (english, german) = (code(Language::English), code(Language::German));
    assert_eq!(english["verdict"], german["verdict"]);
    for (one, other) in english["checks"]
        .as_array()
        .into_iter()
        .flatten()
        .zip(german["checks"].as_array().into_iter().flatten())
    {
        assert_eq!((&one["name"], &one["found"]), (&other["name"], &other["found"]));
    }
    for session in [&whole, &cut] {
        let proof = told(session, Language::Proof);
        assert_eq!(leftovers(&proof, DATA), [""; 0], "{proof}");
    }
}
