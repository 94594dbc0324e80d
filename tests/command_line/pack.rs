//! Checklist packs: handed from one hangar to another, and everything that must not pass on the way.

use std::path::Path;

use chrono::NaiveDate;
use spanwise::checklist::{Checklist, read_checklist};
use spanwise::diagnostic::Source;
use spanwise::pack::{Author, Draft, MAX_BYTES, PackFault, make, open};
use spanwise::seal::SecretKey;

use crate::binary::{Place, contents};

pub const AUTHOR: &str = "tamsin-orrel";

/// An invented module, small enough to try every byte of a pack that holds it.
fn module(version: &str, title: &str) -> String {
    format!(
        "#:schema ../schema/checklist.schema.json\nformat = 1\nkind = \"module\"\nid = \"invented-look\"\n\
         version = \"{version}\"\ntitle = \"{title}\"\nissued = 2026-02-01\n[requires]\ncomposite-sailplane = \"^1.0\"\n\
         [selected_by]\nreports = [\"odd-yaw\"]\n[[section]]\nid = \"look\"\ntitle = \"Look\"\n[[step]]\n\
         id = \"look.once\"\nsection = \"look\"\ntitle = \"Look once\"\ninstruction = \"Look.\"\n\
         basis = [\"common practice\"]\n"
    )
}

pub fn edition(version: &str, title: &str) -> Checklist {
    let name = format!("invented-look/{version}.toml");
    read_checklist(&Source::new(name, module(version, title))).expect("a module without fault")
}

fn day(text: &str) -> NaiveDate {
    text.parse().expect("a day")
}

/// The published key of an invented person of the demo.
pub fn demo_key(person: &str) -> SecretKey {
    let keys = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo/hangar/keys");
    let phrase = std::fs::read_to_string(keys.join("passphrase-of-the-demo.txt")).expect("the phrase");
    let file = std::fs::read(keys.join(person)).expect("the key");
    SecretKey::unlock(&file, phrase.lines().next().unwrap_or_default()).expect("unlocked")
}

pub fn pack_of(editions: &[Checklist], made_on: &str, key: &SecretKey) -> Vec<u8> {
    let author = Author { id: AUTHOR.to_string(), name: "Tamsin Orrel".to_string() };
    let draft = Draft { name: "looks", made_on: day(made_on), author, editions: editions.iter().collect() };
    make(draft, key).expect("a pack")
}

pub fn put(place: &Place, name: &str, bytes: &[u8]) -> String {
    let path = place.beside(name);
    std::fs::write(&path, bytes).expect("written");
    path.to_string_lossy().into_owned()
}

/// The demo's hangar with two editions of its own, and the file of a pack of them.
pub fn exported() -> (Place, String) {
    let place = Place::demo();
    place.write("checklists/invented-look/1.0.0.toml", &module("1.0.0", "Look"));
    place.write("checklists/invented-look/1.1.0.toml", &module("1.1.0", "Look again"));
    let out = place.beside("looks.pack").to_string_lossy().into_owned();
    place.run(&["pack", "export", &out]).tells(
        0,
        &["pack looks of 2 editions", "invented-look 1.1.0", "must be at hand", "composite-sailplane ^1.0"],
    );
    (place, out)
}

fn row(place: &Place, code: i32, version: &str) -> serde_json::Value {
    let told = place.run(&["library", "--json"]).expect(code).json();
    let rows = told["editions"].as_array().expect("rows").clone();
    let is_it = |row: &&serde_json::Value| row["id"] == "invented-look" && row["version"] == version;
    rows.iter().find(is_it).cloned().unwrap_or_else(|| panic!("no {version} in {told}"))
}

#[test]
fn from_one_hangar_to_another_and_the_library_tells_where_from() {
    let (first, pack) = exported();
    first
        .run(&["pack", "verify", &pack])
        .tells(0, &["whole and unaltered", "signed by Tamsin Orrel", "valid on"]);
    let second = Place::demo();
    let told = second.run_by("bram-tolvik", &["pack", "install", &pack]);
    told.tells(0, &["invented-look 1.0.0 installed", "invented-look 1.1.0 installed", "from-looks-"]);
    let row = row(&second, 0, "1.1.0");
    let file = row["file"].as_str().expect("a file");
    assert_eq!(std::fs::read_to_string(file).expect("read"), module("1.1.0", "Look again"));
    assert_eq!((&row["from"], &row["altered"]), (&"pack".into(), &false.into()));
    let origin = &row["origin"];
    assert_eq!((&origin["pack"], &origin["author"]["id"]), (&"looks".into(), &AUTHOR.into()));
    assert_eq!(
        (&origin["installed_by"]["id"], &origin["standing"]),
        (&"bram-tolvik".into(), &"vouched".into())
    );
    let verified = first.run(&["pack", "verify", &pack, "--json"]).expect(0).json();
    assert_eq!((&verified["sha256"], &verified["key"]), (&origin["pack_sha256"], &origin["key"]));
    second
        .run(&["library"])
        .tells(0, &["from pack looks", "signed with key SHA256:", "by Bram Tolvik", "built in"]);
    second.run(&["check", &second.path("checklists").to_string_lossy()]).tells(0, &["2 editions"]);
    second.run(&["plan", "XX-VA7"]).tells(0, &["invented-look 1.1.0"]);
    // Once more changes nothing; and what came from another is not handed on under a new signature.
    let before = contents(&second.path("checklists"));
    second.run(&["pack", "install", &pack]).tells(0, &["is already there", "nothing was changed"]);
    assert_eq!(contents(&second.path("checklists")), before);
    let again = second.beside("again.pack").to_string_lossy().into_owned();
    second.run(&["pack", "export", &again]).tells(3, &["no checklists of its own"]);
    second.write("checklists/invented-look/2.0.0.toml", &module("2.0.0", "Own"));
    second
        .run(&["pack", "export", &again, "--only", "invented-look@1.1.0"])
        .tells(3, &["was installed from a pack", "hand on the pack that is kept"]);
    second.run(&["pack", "export", &again]).tells(0, &["one edition", "invented-look 2.0.0"]);
    let kept = before.iter().find(|(path, _)| path.ends_with("kept.pack")).expect("the pack is kept");
    assert_eq!(kept.1, &std::fs::read(&pack).expect("read"));
}

#[test]
fn an_installed_edition_that_is_altered_or_gone_is_marked() {
    let (_first, pack) = exported();
    let second = Place::demo();
    second.run(&["pack", "install", &pack]).expect(0);
    let file = row(&second, 0, "1.1.0")["file"].as_str().expect("a file").to_string();
    let text = std::fs::read_to_string(&file).expect("read");
    std::fs::write(&file, text.replace("Look again", "Look never")).expect("written");
    second.run(&["library"]).tells(4, &["ALTERED since it was installed"]);
    assert_eq!(row(&second, 4, "1.1.0")["altered"], true);
    second.run(&["pack", "install", &pack]).tells(3, &["at hand with another content"]);
    // Its origin edited to fit: the kept pack bears the signature and does not.
    let origin = Path::new(&file).parent().and_then(Path::parent).expect("a folder").join("origin.json");
    let was = row(&second, 4, "1.1.0");
    let (old, new) =
        (was["installed_sha256"].as_str().expect("a hash"), was["sha256"].as_str().expect("a hash"));
    let told = std::fs::read_to_string(&origin).expect("read");
    std::fs::write(&origin, told.replace(old, new)).expect("written");
    second.run(&["library"]).tells(4, &["no longer shows where these editions came from"]);
    std::fs::write(&origin, &told).expect("written");
    std::fs::remove_file(&file).expect("removed");
    second.run(&["library"]).tells(4, &["is GONE"]);
    std::fs::write(&file, &text).expect("written");
    second.run(&["library"]).expect(0);
    std::fs::write(&origin, "{").expect("written");
    second.run(&["library"]).tells(4, &["where these editions came from cannot be read"]);
}

/// Each byte changed, many in three ways, each cut, and bytes put in: never taken, and the edition is named.
#[test]
fn every_altered_byte_and_every_cut_is_found() {
    let editions = [edition("1.0.0", "Look"), edition("1.1.0", "Look again")];
    let pack = pack_of(&editions, "2026-02-02", &demo_key(AUTHOR));
    open(&pack).expect("it is good as it stands");
    let text = String::from_utf8(pack.clone()).expect("text");
    let second = text.find("== invented-look/1.1.0.toml").expect("the second edition");
    for at in 0..pack.len() {
        let others = [0x80, b'\n' ^ pack[at]];
        for change in others.into_iter().filter(|_| at % 7 == 0).chain([1]) {
            let mut altered = pack.clone();
            altered[at] ^= change;
            if altered != pack {
                let faults = open(&altered).expect_err("an altered byte passes");
                assert!(
                    at < second
                        || faults == [PackFault::Altered { edition: "invented-look/1.1.0.toml".into() }]
                );
            }
        }
        assert!(open(&pack[..at]).is_err(), "cut at {at}");
        if at % 5 == 0 {
            let longer = [&pack[..at], b"x", &pack[at..]].concat();
            assert!(open(&longer).is_err(), "a byte more at {at}");
        }
    }
    assert_eq!(open(&[&pack[..], b"\n"].concat()).expect_err("too long"), [PackFault::TooLong { extra: 1 }]);
}

#[test]
fn what_is_wrong_is_told_in_words_and_codes() {
    let (place, pack) = exported();
    let good = std::fs::read(&pack).expect("read");
    let text = String::from_utf8(good.clone()).expect("text");
    let before = contents(&place.root());
    let cases: [(&str, Vec<u8>, &[&str]); 7] = [
        (
            "edition",
            text.replace("Look again", "Look never").into(),
            &["invented-look/1.1.0.toml is altered"],
        ),
        ("header", text.replace("\"name\":\"looks\"", "\"name\":\"hooks\"").into(), &["header is altered"]),
        (
            "cut",
            good[..good.len() - 40].to_vec(),
            &["truncated: 40 bytes are missing", "invented-look/1.1.0.toml"],
        ),
        ("head", good[..100].to_vec(), &["truncated or altered"]),
        ("mail", text.replace('\n', "\r\n").into(), &["line ends were changed"]),
        ("empty", Vec::new(), &["is no pack"]),
        ("other", b"format = 1\n".to_vec(), &["is no pack"]),
    ];
    for (name, bytes, words) in cases {
        let file = put(&place, &format!("{name}.bad"), &bytes);
        place.run(&["pack", "verify", &file]).tells(4, words);
        place.run(&["pack", "install", &file]).tells(4, words);
        let told = place.run(&["pack", "verify", &file, "--json"]).expect(4).json();
        assert_eq!(told["whole"], false, "{told}");
    }
    // Larger than a pack may be: told by its size, never read whole.
    let huge = place.beside("huge.bad");
    std::fs::File::create(&huge).and_then(|file| file.set_len(MAX_BYTES + 1)).expect("a sparse file");
    place.run(&["pack", "verify", &huge.to_string_lossy()]).tells(4, &["more than the 16777216 bytes"]);
    place.run(&["pack", "verify", &place.root().to_string_lossy()]).tells(1, &["it is a folder"]);
    place.run(&["pack", "verify", "nowhere.pack"]).tells(1, &["nowhere.pack"]);
    assert_eq!(contents(&place.root()), before);
}

#[test]
fn a_key_that_the_register_does_not_vouch_for() {
    let place = Place::demo();
    let editions = [edition("1.0.0", "Look")];
    let stranger = SecretKey::from_seed(&[9; 32]).expect("a key");
    let unknown = put(&place, "unknown.pack", &pack_of(&editions, "2026-02-02", &stranger));
    place.run(&["pack", "verify", &unknown]).tells(3, &["does not know", "proves nothing"]);
    place
        .run(&["pack", "install", &unknown])
        .tells(3, &["does not know", "--trust-unknown-key", "nothing was changed"]);
    place.run(&["pack", "install", &unknown, "--trust-unknown-key"]).expect(2);
    place.run(&["pack", "install", &unknown, "--trust-unknown-key", "--why", " "]).tells(2, &["no reason"]);
    assert!(!place.path("checklists/invented-look").exists());
    place
        .run(&["pack", "install", &unknown, "--trust-unknown-key", "--why", "read out to me by telephone"])
        .tells(0, &["installed"]);
    place.run(&["library"]).tells(0, &["did not vouch", "read out to me by telephone"]);

    // Somebody else's key under the author's name.
    let other = put(&place, "other.pack", &pack_of(&editions, "2026-02-02", &demo_key("bram-tolvik")));
    place.run(&["pack", "verify", &other]).tells(3, &["names for Bram Tolvik"]);
    place.run(&["pack", "install", &other, "--trust-unknown-key", "--why", "x"]).tells(3, &["contradict"]);
    // A register of one's own choosing.
    let good = put(&place, "good.pack", &pack_of(&editions, "2026-02-02", &demo_key(AUTHOR)));
    place.write("empty.toml", "# nobody\n");
    let empty = place.path("empty.toml").to_string_lossy().into_owned();
    place.run(&["pack", "verify", &good]).expect(0);
    place.run(&["pack", "verify", &good, "--people", &empty]).tells(3, &["does not know"]);
    assert_eq!(
        place.run(&["pack", "verify", &good, "--people", &empty, "--json"]).json()["state"],
        "unknown-key"
    );
}

#[test]
fn a_key_that_has_ended() {
    let place = Place::demo();
    let key = demo_key(AUTHOR);
    let end = |text: &str| {
        text.replacen(
            "valid_from = 2024-01-15",
            "valid_from = 2024-01-15\nvalid_until = 2026-03-31\nended_because = \"lost (invented)\"",
            1,
        )
    };
    place.edit("people.toml", end);
    let editions = [edition("1.0.0", "Look")];
    let late = put(&place, "late.pack", &pack_of(&editions, "2026-04-01", &key));
    let before = put(&place, "before.pack", &pack_of(&editions, "2026-03-31", &key));
    let early = put(&place, "early.pack", &pack_of(&editions, "2024-01-14", &key));
    place.run(&["pack", "verify", &late]).tells(3, &["does not count on 2026-04-01", "lost (invented)"]);
    place.run(&["pack", "verify", &early]).tells(3, &["valid only from 2024-01-15"]);
    for file in [&late, &early] {
        place
            .run(&["pack", "install", file, "--trust-unknown-key", "--why", "x"])
            .tells(3, &["does not count"]);
    }
    // Whoever holds a lost key can write an earlier day.
    place
        .run(&["pack", "verify", &before])
        .tells(3, &["the day that the pack itself tells", "lost (invented)"]);
    place.run(&["pack", "install", &before]).tells(3, &["nothing shows that it was signed before"]);
    place.run(&["pack", "install", &before, "--trust-unknown-key", "--why", "had it in March"]).expect(0);
    let out = place.beside("new.pack").to_string_lossy().into_owned();
    place.write("checklists/invented-look/3.0.0.toml", &module("3.0.0", "Own"));
    place.run(&["pack", "export", &out]).tells(3, &["the key ended on 2026-03-31"]);
}

#[test]
fn an_older_pack_and_another_content() {
    let place = Place::demo();
    let key = demo_key(AUTHOR);
    let older = put(&place, "older.pack", &pack_of(&[edition("0.9.0", "Taken back")], "2026-02-01", &key));
    let newer = put(&place, "newer.pack", &pack_of(&[edition("1.0.0", "Look")], "2026-03-01", &key));
    let other = put(
        &place,
        "other.pack",
        &pack_of(&[edition("1.0.0", "Look away"), edition("1.1.0", "New")], "2026-03-02", &key),
    );
    place.run(&["pack", "install", &newer]).expect(0);
    place.run(&["pack", "install", &older]).tells(3, &["a later pack of this name", "2026-03-01", "--older"]);
    let before = contents(&place.root());
    let sha = |pack: &str| {
        open(&std::fs::read(pack).expect("read")).expect("good").header.editions[0].sha256.clone()
    };
    place.run(&["pack", "install", &other]).tells(
        3,
        &[
            "invented-look 1.0.0 is at hand with another content",
            &sha(&newer),
            &sha(&other),
            "never overwritten",
        ],
    );
    assert_eq!(contents(&place.root()), before, "all or nothing");
    place.run(&["pack", "install", &older, "--older", "--why", "for the old annuals"]).expect(0);

    // A built-in edition is at hand as well.
    let name = "bird-strike/1.0.0.toml";
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("checklists").join(name);
    let text = std::fs::read_to_string(path).expect("read");
    let same = read_checklist(&Source::new(name, text.clone())).expect("no fault");
    let file = put(&place, "same.pack", &pack_of(&[same], "2026-03-03", &key));
    place.run(&["pack", "install", &file]).tells(0, &["is already there"]);
    let changed =
        read_checklist(&Source::new(name, text.replacen("title = \"", "title = \"X ", 1))).expect("no fault");
    let file = put(&place, "changed.pack", &pack_of(&[changed], "2026-03-03", &key));
    place.run(&["pack", "install", &file]).tells(3, &["another content: built in: bird-strike/1.0.0.toml"]);
    place.write("checklists/bird-strike/1.0.0.toml", &text.replacen("title = \"", "title = \"X ", 1));
    place.run(&["library"]).tells(0, &["OVERRIDES the built-in one"]);
}

#[test]
fn requirements_faults_and_names() {
    let place = Place::demo();
    let key = demo_key(AUTHOR);
    let text = module("1.0.0", "Look").replace("composite-sailplane = \"^1.0\"", "invented-base = \"^2.0\"");
    let needs = read_checklist(&Source::new("invented-look/1.0.0.toml", text)).expect("no fault");
    let file = put(&place, "needs.pack", &pack_of(&[needs], "2026-02-02", &key));
    place.run(&["pack", "verify", &file]).expect(0);
    place
        .run(&["pack", "install", &file])
        .tells(3, &["invented-base", "^2.0", "requires what is not at hand"]);
    let out = place.beside("out.pack").to_string_lossy().into_owned();
    place.run(&["pack", "export", &out]).tells(3, &["no checklists of its own"]);
    place.write(
        "checklists/invented-look/1.0.0.toml",
        &module("1.0.0", "Look").replace("section = \"look\"\n", ""),
    );
    place.run(&["pack", "export", &out]).tells(3, &["lacks \"section\"", "correct them first"]);
    let good = put(&place, "good.pack", &pack_of(&[edition("2.0.0", "Look")], "2026-02-02", &key));
    place.run(&["pack", "install", &good]).tells(3, &["lacks \"section\"", "nothing was changed"]);
    place.write("checklists/invented-look/1.0.0.toml", &module("1.0.0", "Look"));
    place.run(&["pack", "export", &out, "--only", "fin-root"]).tells(3, &["it is built in"]);
    place.run(&["pack", "export", &out, "--only", "invented-lok"]).tells(3, &["invented-look"]);
    place.run(&["pack", "export", &out, "--only", "invented-look@one"]).tells(2, &["no version"]);
    place.run(&["pack", "export", &out, "--name", "../up"]).tells(2, &["cannot be a pack's name"]);
    assert!(!Path::new(&out).exists());
    place.run(&["pack", "export", &out, "--only", "invented-look@1.0.0"]).expect(0);
    let bytes = std::fs::read(&out).expect("read");
    place.run(&["pack", "export", &out]).tells(3, &["nothing is overwritten"]);
    assert_eq!(std::fs::read(&out).expect("read"), bytes);
    place.bare(["--hangar", &place.root().to_string_lossy(), "pack", "install", &out]).tells(2, &["--by"]);
}
