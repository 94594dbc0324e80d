//! Packs from a hostile author, and packs checked without this program.
//!
//! The signature is held to `ssh-keygen` of OpenSSH (PROTOCOL.sshsig), the hashes to GNU coreutils' `sha256sum`.

use std::path::Path;
use std::process::Command;

use spanwise::pack::{FIRST_LINE, PackFault, open};
use spanwise::seal::sign_pack;

use super::pack::{AUTHOR, demo_key, edition, exported, pack_of, put};
use crate::binary::{Answer, PASSPHRASE, Place};

/// A pack whose author signs any header and any bytes.
fn forged(header: &str, rest: &str) -> Vec<u8> {
    let header = format!("{header}\n");
    let seal = sign_pack(header.as_bytes(), &demo_key(AUTHOR)).expect("signed");
    format!("{FIRST_LINE}\n{header}{}{rest}", seal.signature).into_bytes()
}

#[test]
fn a_hostile_author_gets_no_path_no_memory_and_no_terminal() {
    let good = pack_of(&[edition("1.0.0", "Look")], "2026-02-02", &demo_key(AUTHOR));
    let text = String::from_utf8(good.clone()).expect("text");
    let header = text.lines().nth(1).expect("a header").to_string();
    let rest = text.split_once("-----END SSH SIGNATURE-----\n").expect("a signature").1.to_string();
    assert_eq!(forged(&header, &rest), good, "the forger writes as the program does");
    let bytes = open(&good).expect("good").header.editions[0].bytes;
    let changes = [
        ("\"id\":\"invented-look\"", "\"id\":\"../../evil\""),
        ("\"id\":\"invented-look\"", "\"id\":\"/etc/x\""),
        ("\"id\":\"invented-look\"", "\"id\":\"a/b\""),
        ("\"id\":\"invented-look\"", "\"id\":\"\""),
        ("\"version\":\"1.0.0\"", "\"version\":\"1.0.0/../../x\""),
        ("\"version\":\"1.0.0\"", "\"version\":\"..\""),
        ("\"name\":\"looks\"", "\"name\":\"../looks\""),
        ("Tamsin Orrel", "Tamsin \\u001b[2J"),
        ("Tamsin Orrel", "Tamsin \\u202e"),
        ("\"id\":\"tamsin-orrel\"", "\"id\":\"tamsin orrel\\n\""),
        ("\"kind\":\"module\"", "\"kind\":\"../x\""),
        ("\"purpose\":\"spanwise-pack-v1\"", "\"purpose\":\"spanwise-seal-v1\""),
        ("\"format\":1", "\"format\":2"),
        ("\"format\":1", "\"format\":1,\"more\":1"),
        (&format!("\"bytes\":{bytes}"), "\"bytes\":18446744073709551615"),
        (&format!("\"bytes\":{bytes}"), "\"bytes\":1048577"),
        (&format!("\"bytes\":{bytes}"), "\"bytes\":0"),
    ];
    for (from, to) in changes {
        let changed = header.replacen(from, to, 1);
        assert_ne!(changed, header, "{from}");
        let faults = open(&forged(&changed, &rest)).expect_err(to);
        assert!(matches!(faults[..], [PackFault::Header(_)]), "{to}: {faults:?}");
        assert!(!faults[0].to_string().contains('\u{1b}'));
    }
    let twice = header.replace("}],", "},{},").replacen(
        ",{},",
        &format!(
            ",{}],",
            &header[header.find("{\"bytes").expect("listed")..=header.find("}],").expect("its end")]
        ),
        1,
    );
    assert!(
        matches!(open(&forged(&twice, &rest)).expect_err("twice")[..], [PackFault::Header(_)]),
        "{twice}"
    );
    // The header says another id than the edition of itself: whole, and not installed.
    let place = Place::demo();
    let lies = forged(
        &header.replacen("invented-look", "bird-strike", 1),
        &rest.replacen("== invented-look/", "== bird-strike/", 1),
    );
    let file = put(&place, "lies.pack", &lies);
    place.run(&["pack", "verify", &file]).tells(3, &["this is another one"]);
    place.run(&["pack", "install", &file]).tells(3, &["this is another one", "nothing was changed"]);
    // What an interrupted install leaves is read by nobody.
    place.write("packs/tmp-00/invented-look/1.0.0.toml", "nonsense");
    place.run(&["library"]).expect(0);
}

fn has(program: &str) -> bool {
    let found = Command::new("sh").args(["-c", &format!("command -v {program}")]).output();
    let found = found.is_ok_and(|output| output.status.success());
    if !found {
        eprintln!("SKIPPED: {program} is not installed");
    }
    found
}

fn shell(place: &Place, folder: &Path, line: &str) -> Answer {
    let spanwise =
        Path::new(env!("CARGO_BIN_EXE_spanwise")).parent().expect("a folder").display().to_string();
    let path = format!("{spanwise}:{}", std::env::var("PATH").unwrap_or_default());
    let mut command = Command::new("sh");
    command.args(["-c", line]).current_dir(folder).env("PATH", path).env("SPANWISE_HANGAR", place.root());
    let output = command.output().expect("a shell");
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    Answer { code: output.status.code().unwrap_or(-1), out: text(&output.stdout), err: text(&output.stderr) }
}

/// The lines that DEVELOPERS.md shows, as they stand there.
#[test]
fn openssh_alone_checks_a_pack_as_the_documentation_shows() {
    if !has("ssh-keygen") || !has("sha256sum") {
        return;
    }
    let (place, pack) = exported();
    let folder = Path::new(&pack).parent().expect("a folder");
    let documentation = include_str!("../../DEVELOPERS.md");
    let shown = documentation.split_once("sed -n 2p looks.pack").expect("DEVELOPERS.md shows how").1;
    let lines = format!("sed -n 2p looks.pack{}", shown.split_once("```").expect("the block's end").0);
    let lines: Vec<&str> = lines.lines().filter(|line| !line.trim().is_empty()).collect();
    assert!(lines.iter().any(|line| line.starts_with("ssh-keygen -Y verify")), "{lines:?}");
    for line in &lines {
        shell(&place, folder, line).expect(0);
    }
    let verify = lines.iter().find(|line| line.starts_with("ssh-keygen -Y verify")).expect("the check");
    let told = shell(&place, folder, verify);
    assert!(told.out.contains("Good \"spanwise-pack-v1\" signature"), "{}", told.out);
    assert_ne!(shell(&place, folder, &verify.replace("-I tamsin-orrel", "-I bram-tolvik")).code, 0);
    assert_ne!(shell(&place, folder, &verify.replace("-n spanwise-pack-v1", "-n spanwise-seal-v1")).code, 0);
    // The hashes of the header are those of coreutils.
    let hash = shell(&place, &place.path("checklists/invented-look"), "sha256sum 1.1.0.toml").expect(0).out;
    let header = std::fs::read_to_string(folder.join("header.json")).expect("the header");
    assert!(header.contains(hash.split_whitespace().next().expect("a hash")), "{hash} in {header}");
    std::fs::write(folder.join("header.json"), header.replace("looks", "hooks")).expect("written");
    assert_ne!(shell(&place, folder, verify).code, 0);
    assert!(place.path(PASSPHRASE).exists());
}
