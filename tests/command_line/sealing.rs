//! Signatures: OpenSSH alone confirms them, and a record changed after signing no longer bears them.
//!
//! Held to `ssh-keygen` of OpenSSH (PROTOCOL.sshsig) and to GNU coreutils' `sha256sum`; where one is not installed, the
//! test says so and ends.

use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};

use super::refusals::Annual;
use crate::binary::{Answer, PASSPHRASE, SMALL, contents};

fn has(program: &str) -> bool {
    let found = Command::new("sh").args(["-c", &format!("command -v {program}")]).output();
    let found = found.is_ok_and(|output| output.status.success());
    if !found {
        eprintln!("skipped: {program} is not installed");
    }
    found
}

fn shell(folder: &Path, line: &str) -> (bool, String) {
    let output = Command::new("sh").args(["-c", line]).current_dir(folder).output().expect("a shell");
    let text =
        format!("{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr));
    (output.status.success(), text)
}

fn signed() -> Annual {
    let annual = Annual::complete();
    annual.run(&["sign", SMALL, "release", "--confirm", SMALL]).tells(0, &["signed off", "paper code: "]);
    annual
}

fn by(annual: &Annual, person: &str, args: &[&str]) -> Answer {
    annual.place.run_by(person, args)
}

/// The commands that `seal-files` prints are run as they stand.
fn verify_commands(annual: &Annual, folder: &str) -> Vec<String> {
    let answer = annual.run(&["seal-files", SMALL, "--into", folder]).expect(0);
    let commands: Vec<String> =
        answer.out.lines().filter(|line| line.starts_with("ssh-keygen")).map(str::to_string).collect();
    assert!(!commands.is_empty(), "{}", answer.out);
    commands
}

#[test]
fn openssh_alone_confirms_every_signature_and_refuses_a_changed_text() {
    if !has("ssh-keygen") {
        return;
    }
    let annual = signed();
    by(&annual, "bo", &["countersign", SMALL]).tells(0, &["countersigned"]);
    let folder = annual.place.path("for-the-auditor");
    let commands = verify_commands(&annual, &folder.to_string_lossy());
    let told = include_str!("../../README.md").lines().find(|line| line.starts_with("ssh-keygen -Y verify"));
    let shape = |line: &str| {
        let words =
            line.split_whitespace().filter(|word| word.starts_with('-') || word.starts_with("spanwise-"));
        words.map(str::to_string).collect::<Vec<_>>()
    };
    let sign_off = commands.iter().find(|line| line.contains("sign-off")).expect("the sign-off's command");
    assert_eq!(told.map(shape), Some(shape(sign_off)), "the README shows another command");
    assert_eq!(commands.len(), 3, "inspection, sign-off, countersignature: {commands:?}");
    for command in &commands {
        let (good, text) = shell(&folder, command);
        assert!(good && text.contains("Good"), "{command}: {text}");
        let as_another = command.replace("-I ada", "-I cy").replace("-I bo", "-I ada");
        assert!(!shell(&folder, &as_another).0, "the key is not that person's: {as_another}");
        let other_purpose = command.replace("-n spanwise-", "-n other-");
        assert!(!shell(&folder, &other_purpose).0, "{other_purpose}");
        let file = command.rsplit("< ").next().expect("the text's file");
        let path = folder.join(file);
        let text = std::fs::read(&path).expect("the signed text");
        let mut changed = text.clone();
        let at = changed.len() / 2;
        changed[at] ^= 1;
        std::fs::write(&path, changed).expect("written");
        assert!(!shell(&folder, command).0, "a changed text passes: {command}");
        std::fs::write(&path, text).expect("written");
    }
}

/// The signed text names the record's head; it is found again with `sha256sum`, as the documentation shows.
#[test]
fn the_signed_head_is_found_again_by_the_shell() {
    if !has("sha256sum") || !has("ssh-keygen") {
        return;
    }
    let annual = signed();
    let folder = annual.place.path("seal");
    verify_commands(&annual, &folder.to_string_lossy());
    let entries = annual.place.entries(SMALL);
    let count = entries.len() - 1;
    let session = annual.place.session_folder(SMALL);
    // The README's own line, for this session's number.
    let line = include_str!("../../README.md").lines().find(|line| line.starts_with("N=412; "));
    let line = line.expect("the README tells how").replace("N=412", &format!("N={count}"));
    let (good, head) = shell(&session, &line);
    assert!(good);
    let text = std::fs::read_to_string(folder.join(format!("sign-off-entry-{count}.json"))).expect("text");
    assert!(text.contains(&format!("\"head\":\"{}\"", head.trim())), "{head} in {text}");
    assert!(text.contains(&format!("\"count\":{count}")), "{text}");
}

#[test]
fn a_key_made_by_ssh_keygen_signs_and_its_passphrase_is_demanded() {
    if !has("ssh-keygen") {
        return;
    }
    let annual = Annual::complete();
    let root = annual.place.root();
    let make = |name: &str, phrase: &str| {
        let line = format!("ssh-keygen -q -t ed25519 -N '{phrase}' -f {name}");
        assert!(shell(&root, &line).0, "{line}");
        root.join(name).to_string_lossy().into_owned()
    };
    let own = make("own", "larkmoor invented demo");
    let bare = make("bare", "");
    let sign = |key: &str| annual.run(&["sign", SMALL, "release", "--confirm", SMALL, "--key", key]);
    sign(&own).tells(3, &["does not name this key", "spanwise key add"]);
    annual.run(&["key", "add", "ada", "--public", &format!("{own}.pub")]).tells(0, &["SHA256:"]);
    annual.run(&["key", "add", "ada", "--public", &format!("{bare}.pub")]).expect(0);
    sign(&bare).tells(3, &["not protected by a passphrase"]);
    annual.place.write("wrong.txt", "another phrase");
    let wrong = annual.place.path("wrong.txt").to_string_lossy().into_owned();
    annual
        .run(&["sign", SMALL, "release", "--confirm", SMALL, "--key", &own, "--passphrase-file", &wrong])
        .tells(3, &["does not open this key", "nothing was signed"]);
    sign(&own).tells(0, &["signed off"]);
    annual.run(&["key", "end", "ada", "--because", "replaced (invented)"]).tells(0, &["3 keys"]);
    annual.run(&["key", "list"]).tells(0, &["ada"]);
}

#[test]
fn new_keys_and_keys_that_two_people_share() {
    let annual = Annual::begun();
    annual.place.write("phrase.txt", "four words are easy");
    let phrase = annual.place.path("phrase.txt").to_string_lossy().into_owned();
    annual.place.write("short.txt", "abc");
    let short = annual.place.path("short.txt").to_string_lossy().into_owned();
    let register = std::fs::read_to_string(annual.place.path("people.toml")).expect("register");
    annual.run(&["key", "new", "ada", "--passphrase-file", &phrase]).tells(3, &["has a key file already"]);
    std::fs::remove_file(annual.place.path("keys/ada")).expect("moved away");
    annual.run(&["key", "new", "ada", "--passphrase-file", &short]).tells(3, &["at least 8"]);
    annual.run(&["key", "new", "ada", "--passphrase-file", &phrase]).tells(0, &["SHA256:", "people.toml"]);
    let after = std::fs::read_to_string(annual.place.path("people.toml")).expect("register");
    assert!(after.starts_with("# Invented people"), "comments stay: {after}");
    assert_eq!(after.lines().count(), register.lines().count() + 4, "{after}");
    // The same public key under two names would let one person sign for both.
    let line = after.lines().find(|line| line.starts_with("public")).expect("a key").to_string();
    let public = line.split('"').nth(1).expect("the key").to_string();
    annual.place.write("shared.pub", &public);
    let shared = annual.place.path("shared.pub").to_string_lossy().into_owned();
    annual.run(&["key", "add", "bo", "--public", &shared]).tells(1, &["have the same key"]);
    assert_eq!(std::fs::read_to_string(annual.place.path("people.toml")).expect("register"), after);
    annual.place.write("nonsense.pub", "ssh-ed25519 nonsense");
    let nonsense = annual.place.path("nonsense.pub").to_string_lossy().into_owned();
    annual.run(&["key", "add", "bo", "--public", &nonsense]).tells(3, &["no key in OpenSSH's form"]);
    annual.run(&["key", "new", "nobody", "--passphrase-file", &phrase]).tells(1, &["nobody called"]);
}

#[test]
fn a_countersignature_is_by_another_person_with_another_key() {
    let annual = Annual::complete();
    by(&annual, "bo", &["countersign", SMALL]).tells(3, &["not signed off yet"]);
    annual.run(&["sign", SMALL, "release", "--confirm", SMALL]).expect(0);
    annual.run(&["countersign", SMALL]).tells(3, &["signed it"]);
    // ada's key under bo's name.
    let ada = annual.place.path("keys/ada").to_string_lossy().into_owned();
    by(&annual, "bo", &["countersign", SMALL, "--key", &ada]).tells(3, &["does not name this key"]);
    by(&annual, "bo", &["countersign", SMALL, "--disagree"]).tells(3, &["no reason is given"]);
    by(&annual, "bo", &["countersign", SMALL, "--disagree", "--note", "pin not seen"])
        .tells(0, &["countersigned"]);
    by(&annual, "bo", &["countersign", SMALL]).tells(3, &["has countersigned it already"]);
    annual.run(&["show", SMALL, "--entries"]).tells(0, &["does not agree", "pin not seen"]);
    annual.run(&["note", SMALL, "late"]).tells(3, &["signed and closed"]);
}

#[test]
fn a_signed_annual_is_not_continued_beside_a_running_one_unasked() {
    let annual = signed();
    let folder = annual.place.session_folder(SMALL);
    let sid = folder.file_name().expect("a name").to_string_lossy().into_owned();
    annual.run(&["begin", SMALL, "--anyway"]).expect(0);
    let again = ["begin", SMALL, "--continues", &sid, "--reason", "wrong pin"];
    annual.run(&again).tells(3, &["is running already", "--another"]);
    annual.run(&[&again[..], &["--another"]].concat()).tells(0, &["continues session"]);
}

#[test]
fn a_correction_after_signing_is_a_new_session_and_both_show_it() {
    let annual = signed();
    let folder = annual.place.session_folder(SMALL);
    let before = contents(&folder);
    let name = |folder: &Path| folder.file_name().expect("a name").to_string_lossy().into_owned();
    let sid = name(&folder);
    annual.run(&["begin", SMALL, "--continues", &sid]).expect(2);
    by(&annual, "bo", &["begin", SMALL, "--continues", &sid, "--reason", "I say so"])
        .tells(3, &["no authorisation"]);
    annual
        .run(&["begin", SMALL, "--continues", &sid, "--reason", "play was read on the wrong pin"])
        .tells(0, &["continues session", "4 steps"]);
    let later = name(&annual.place.session_folder(SMALL));
    assert_ne!(later, sid);
    assert_eq!(contents(&folder), before, "the signed session was touched");
    annual.run(&["show", &sid]).tells(0, &["is continued by", "wrong pin"]);
    annual.run(&["verify", &sid]).tells(0, &[&format!("continued by {later}")]);
    annual.run(&["verify", &later]).tells(0, &["named, and not verified here", "which is here: sound"]);
    annual.run(&["verify"]).tells(0, &["continued by", "which is here: sound"]);
    annual.run(&["show", &later]).tells(0, &["continues", "wrong pin", "passed"]);
    annual.run(&["list"]).tells(0, &["continued by", "continues"]);
    annual
        .run(&["findings", &later])
        .tells(0, &["carried over from session", "judged there: spanwise findings"]);
    let found = annual.run(&["findings", &later, "--json"]).expect(0).json();
    assert_eq!(found["continues"], sid.as_str());
    assert!(found["carried"].as_u64().is_some_and(|count| count > 0), "{found}");
    annual.run(&["begin", SMALL, "--continues", &sid, "--reason", "again"]).tells(3, &["continued already"]);
    annual.run(&["begin", SMALL, "--continues", &later, "--reason", "again"]).tells(3, &["is not signed"]);
    // Everything holds there, so it could be signed; a correction names the entry of this session.
    annual.run(&["status", &later]).tells(0, &["Nothing stands against the sign-off"]);
    let reading = annual
        .place
        .entries(&later)
        .iter()
        .find(|(_, event)| event["body"]["event"]["kind"] == "reading_taken")
        .map(|(entry, _)| *entry)
        .expect("the reading was carried over");
    annual.done(&[
        "read",
        &later,
        "wing.play",
        "play",
        "0.30 mm",
        "--instrument",
        "gauge",
        "--correct",
        &reading.to_string(),
        "--why",
        "the right pin",
    ]);
    annual.run(&["show", &later]).tells(0, &["struck by entry", "the right pin"]);
    annual.run(&["sign", &later, "release", "--confirm", SMALL]).tells(0, &["signed off"]);
}

#[test]
fn a_newer_edition_is_taken_up_by_one_event() {
    let annual = Annual::complete();
    annual.run(&["take-up", SMALL]).tells(0, &["nothing to take up"]);
    let edition = include_str!("../binary/small/programme.toml");
    let newer = edition
        .replace("version = \"9.0.0\"", "version = \"9.1.0\"")
        .replace("max = \"0.50\"", "max = \"0.40\"")
        + "\n[[step]]\nid = \"wing.bolt\"\nsection = \"all\"\ntitle = \"Look at the bolt\"\ninstruction = \"Look at it.\"\nbasis = [\"43D(f)\"]\n";
    assert_ne!(newer.len(), edition.len());
    annual.place.write("checklists/composite-sailplane/9.1.0.toml", &newer);
    annual
        .run(&["take-up", SMALL])
        .tells(0, &["9.0.0 -> 9.1.0", "new      wing.bolt", "changed  wing.play", "nothing was recorded"]);
    by(&annual, "bo", &["take-up", SMALL, "--why", " "]).expect(3);
    annual.run(&["take-up", SMALL, "--why", "fleet finding (invented)"]).tells(0, &["taken up, entry"]);
    let open = annual.run(&["status", SMALL]).expect(3);
    for word in ["Look at the bolt", "wing.play"] {
        assert!(open.out.contains(word), "{word}: {}", open.out);
    }
    assert!(!open.out.contains("Look at the fin"), "its answer holds: {}", open.out);
    annual.done(&["answer", SMALL, "wing.bolt", "pass"]);
    annual.done(&["read", SMALL, "wing.play", "play", "0.20 mm", "--instrument", "gauge"]);
    annual.done(&["answer", SMALL, "wing.play", "pass"]);
    annual.run(&["sign", SMALL, "release", "--confirm", SMALL]).tells(0, &["signed off"]);
    // Without the plan that it took up the record cannot be judged, and says so.
    let session = annual.place.session_folder(SMALL);
    std::fs::remove_dir_all(session.join("plans")).expect("removed");
    annual.run(&["show", SMALL]).tells(4, &["plans/"]);
}

#[test]
fn without_a_terminal_a_passphrase_file_is_demanded() {
    let annual = Annual::complete();
    let mut command = annual.place.command();
    let root = annual.place.root().to_string_lossy().into_owned();
    command.env_remove("SPANWISE_PASSPHRASE_FILE").args([
        "--hangar",
        &root,
        "--by",
        "ada",
        "sign",
        SMALL,
        "release",
        "--confirm",
        SMALL,
    ]);
    let mut child =
        command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("started");
    child.stdin.take().expect("input").write_all(b"larkmoor invented demo\n").expect("written");
    let output = child.wait_with_output().expect("ended");
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("--passphrase-file"));
    assert!(annual.place.path(PASSPHRASE).exists());
}

/// An auditor is handed a folder under any name: everything but writing works on it where it lies.
#[test]
fn a_copied_folder_is_looked_at_where_it_lies() {
    let annual = signed();
    let copy = annual.place.path("handed/over");
    for (name, bytes) in contents(&annual.place.session_folder(SMALL)) {
        let target = copy.join(name.strip_prefix(annual.place.session_folder(SMALL)).unwrap_or(&name));
        std::fs::create_dir_all(target.parent().expect("a folder")).expect("made");
        std::fs::write(target, bytes).expect("written");
    }
    let before = contents(&copy);
    let path = copy.to_string_lossy().into_owned();
    for (args, words) in [
        (&["show", &path][..], "Signed off"),
        (&["replay", &path, "--step", "wing.play"], "passed by"),
        (&["findings", &path], "Observations"),
        (&["verify", &path], "sound"),
        (&["status", &path], "Signed off"),
    ] {
        let answer = annual.run(args);
        assert!(answer.out.contains(words), "{args:?}: {} {}", answer.out, answer.err);
    }
    let check = annual.place.path("check").to_string_lossy().into_owned();
    annual.run(&["seal-files", &path, "--into", &check]).tells(0, &["ssh-keygen"]);
    annual.run(&["note", &path, "late"]).tells(3, &["only looked at"]);
    annual.run(&["show", "./nowhere"]).tells(1, &["is no session's folder"]);
    assert_eq!(contents(&copy), before, "looking wrote something");
}
