//! The built program called as a person or a script would: a sealed environment, a hangar folder of its own.

#![allow(dead_code, reason = "each test file uses its part")]
#![allow(clippy::disallowed_methods, reason = "a test looks at what lies on the disk")]

use std::collections::{BTreeMap, BTreeSet};
use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use serde_json::Value;

pub mod routine;

pub const INSPECTOR: &str = "tamsin-orrel";
pub const SECOND: &str = "bram-tolvik";
/// Invented, the glider of the demo with the soft fin.
pub const GLIDER: &str = "XX-VA7";
/// The airframe of [`Place::small`].
pub const SMALL: &str = "XX-SM1";

/// Opens the keys of everybody in these hangars.
pub const PASSPHRASE: &str = "keys/passphrase-of-the-demo.txt";

/// What a command answered.
#[derive(Debug)]
pub struct Answer {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Answer {
    #[track_caller]
    pub fn expect(self, code: i32) -> Answer {
        assert_eq!(self.code, code, "output: {}\nerrors: {}", self.out, self.err);
        self
    }

    /// Insists on the exit code, and on words in what a person reads of it.
    #[track_caller]
    pub fn tells(self, code: i32, words: &[&str]) -> Answer {
        let answer = self.expect(code);
        let text = format!("{}{}", answer.out, answer.err);
        for word in words {
            assert!(text.contains(word), "\"{word}\" is missing in: {text}");
        }
        assert!(!text.contains("panicked"), "{text}");
        answer
    }

    #[track_caller]
    pub fn json(&self) -> Value {
        serde_json::from_str(&self.out).unwrap_or_else(|error| panic!("{error}: {}", self.out))
    }

    /// Number of the entry that it says was saved.
    #[track_caller]
    pub fn entry(&self) -> u64 {
        let told = self.out.split("saved, entry ").nth(1).expect("an entry was saved");
        let digits: String = told.chars().take_while(char::is_ascii_digit).collect();
        digits.parse().expect("its number")
    }
}

/// A hangar folder in a temporary place, gone with the value.
pub struct Place {
    temporary: tempfile::TempDir,
}

impl Place {
    pub fn empty() -> Place {
        Place { temporary: tempfile::tempdir().expect("a temporary folder") }
    }

    /// The invented hangar of the demo.
    pub fn demo() -> Place {
        let place = Place::empty();
        let root = place.root();
        let answer = place.bare([OsStr::new("demo"), OsStr::new("--into"), root.as_os_str()]);
        answer.tells(0, &["The invented hangar is in"]);
        place
    }

    /// The invented hangar with the glider's annual begun.
    pub fn begun() -> Place {
        let place = Place::demo();
        place.run(&["begin", GLIDER]).expect(0);
        place
    }

    /// A hangar of one invented airframe with a programme of four steps; its annual is begun by "ada".
    pub fn small() -> Place {
        Place::empty().made_small()
    }

    /// As [`Place::small`], in a place that is at hand, such as a disk of its own.
    pub fn made_small(self) -> Place {
        let place = self;
        for (name, text) in [
            ("checklists/composite-sailplane/9.0.0.toml", include_str!("small/programme.toml")),
            ("checklists/type-small-1/1.0.0.toml", include_str!("small/supplement.toml")),
            ("airframes/XX-SM1.toml", include_str!("small/airframe.toml")),
            ("people.toml", include_str!("small/people.toml")),
            // The published keys of the demo's invented people.
            ("keys/ada", include_str!("../../demo/hangar/keys/tamsin-orrel")),
            ("keys/bo", include_str!("../../demo/hangar/keys/bram-tolvik")),
            ("keys/cy", include_str!("../../demo/hangar/keys/edwin-hask")),
            (PASSPHRASE, include_str!("../../demo/hangar/keys/passphrase-of-the-demo.txt")),
            ("instruments.toml", include_str!("small/instruments.toml")),
        ] {
            place.write(name, text);
        }
        place.run_by("ada", &["begin", SMALL]).tells(0, &["4 steps"]);
        place
    }

    pub fn root(&self) -> PathBuf {
        self.temporary.path().join("hangar")
    }

    /// Beside the hangar, in the same temporary folder.
    pub fn beside(&self, name: &str) -> PathBuf {
        self.temporary.path().join(name)
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.root().join(name)
    }

    /// The variables that the program sees: nothing of whoever runs the tests.
    pub fn environment(&self) -> Vec<(&'static str, PathBuf)> {
        let home = self.temporary.path().to_path_buf();
        let phrase = self.path(PASSPHRASE);
        vec![
            ("HOME", home.clone()),
            ("TMPDIR", home),
            ("TZ", "UTC".into()),
            ("SPANWISE_PASSPHRASE_FILE", phrase),
        ]
    }

    pub fn command(&self) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_spanwise"));
        command.env_clear().envs(self.environment()).current_dir(self.temporary.path()).stdin(Stdio::null());
        command
    }

    /// Runs the program with these arguments alone.
    pub fn bare<A: AsRef<OsStr>>(&self, args: impl IntoIterator<Item = A>) -> Answer {
        let output = self.command().args(args).output().expect("the program starts");
        Answer {
            code: output.status.code().expect("it was not ended by a signal"),
            out: String::from_utf8(output.stdout).expect("UTF-8"),
            err: String::from_utf8(output.stderr).expect("UTF-8"),
        }
    }

    pub fn run_by(&self, by: &str, args: &[&str]) -> Answer {
        let root = self.root();
        let head = [OsStr::new("--hangar"), root.as_os_str(), OsStr::new("--by"), OsStr::new(by)];
        self.bare(head.into_iter().chain(args.iter().map(OsStr::new)))
    }

    /// As the demo's inspector.
    pub fn run(&self, args: &[&str]) -> Answer {
        self.run_by(INSPECTOR, args)
    }

    /// Every entry by its number.
    #[track_caller]
    pub fn entries(&self, session: &str) -> BTreeMap<u64, Value> {
        let shown = self.run(&["show", session, "--entries", "--json"]).expect(0).json();
        let entries = shown["entries"].as_array().expect("a list of entries");
        entries
            .iter()
            .map(|entry| (entry["entry"].as_u64().expect("a number"), entry["event"].clone()))
            .collect()
    }

    /// Numbers of the refusals that stand against the release.
    #[track_caller]
    pub fn refused_for(&self, signer: &str, session: &str) -> BTreeSet<u64> {
        let status = self.run_by(signer, &["status", session, "--json"]).json();
        let refusals = status["refusals"].as_array().expect("a list of refusals");
        refusals.iter().map(|refusal| refusal["number"].as_u64().expect("a number")).collect()
    }

    /// Folder of the only or newest session of this airframe.
    #[track_caller]
    pub fn session_folder(&self, registration: &str) -> PathBuf {
        let list = self.run(&["list", "--json"]).expect(0).json();
        let sessions = list["sessions"].as_array().expect("a list of sessions");
        let found = sessions
            .iter()
            .find(|session| session["registration"] == registration)
            .unwrap_or_else(|| panic!("no session of {registration}"));
        self.path("sessions").join(found["session"].as_str().expect("its id"))
    }

    pub fn write(&self, name: &str, text: &str) {
        let path = self.path(name);
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("made");
        std::fs::write(path, text).expect("written");
    }

    pub fn edit(&self, name: &str, change: impl Fn(&str) -> String) {
        let text = std::fs::read_to_string(self.path(name)).expect("read");
        let changed = change(&text);
        assert_ne!(text, changed, "the edit of {name} changes nothing");
        std::fs::write(self.path(name), changed).expect("written");
    }
}

/// Every file below the folder with its bytes, to show that nothing was written.
pub fn contents(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut found = BTreeMap::new();
    let mut folders = vec![folder.to_path_buf()];
    while let Some(dir) = folders.pop() {
        for item in std::fs::read_dir(dir).expect("listed") {
            let path = item.expect("listed").path();
            if path.is_dir() {
                folders.push(path);
            } else {
                found.insert(path.clone(), std::fs::read(path).expect("read"));
            }
        }
    }
    found
}
