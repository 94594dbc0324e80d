//! A computer of its own on which guides are followed: home folder, shell, hangar.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use super::{Block, Kind, Told, blocks, matches, picture, renewed};
use crate::binary::routine::Routine;
use crate::binary::{PASSPHRASE, Place};

/// Set, the guides are written anew instead of compared.
const RENEW: &str = "SPANWISE_RENEW_GUIDES";

pub struct World {
    place: Place,
    told: Told,
    variables: BTreeMap<String, String>,
    plan: Option<serde_json::Value>,
    /// Exit code of the last command, and whether the guide has told one that is not 0.
    code: i32,
    is_told: bool,
    faults: Vec<String>,
}

impl World {
    pub fn new() -> World {
        let place = Place::empty();
        let told = Told::new(place.root().parent().expect("the temporary folder"));
        let faults = Vec::new();
        World { place, told, variables: BTreeMap::new(), plan: None, code: 0, is_told: true, faults }
    }

    /// Does everything that the guide shows, and compares; or renews it.
    pub fn follow(&mut self, name: &str) {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(name);
        let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{name}: {error}"));
        let mut lines: Vec<String> = text.lines().map(String::from).collect();
        let found = blocks(&lines);
        assert!(found.len() > 9, "{name} shows nearly nothing: {}", found.len());
        let is_renewing = std::env::var_os(RENEW).is_some_and(|value| value == "1");
        let mut changes = Vec::new();
        for block in found {
            let shown = &lines[block.from..block.to];
            let said = self.done(name, &block, shown);
            if said != shown {
                changes.push((block, said));
            }
        }
        self.settle_code(name, lines.len());
        for (block, said) in changes.into_iter().rev() {
            if is_renewing {
                lines.splice(block.from..block.to, said);
            }
        }
        if is_renewing {
            std::fs::write(&path, lines.join("\n") + "\n").expect("the guide is written");
        }
    }

    /// The test ends here: every fault of the guides followed, at once.
    pub fn finish(self) {
        let how = format!(
            "\nif the program is right: {RENEW}=1 cargo test --test guides, then read the difference"
        );
        assert!(self.faults.is_empty(), "{}{how}", self.faults.join("\n\n"));
    }

    /// The block as it is to be shown.
    fn done(&mut self, name: &str, block: &Block, shown: &[String]) -> Vec<String> {
        match &block.kind {
            Kind::Console => self.console(name, block.from, shown),
            Kind::File(file) => {
                let path = self.home().join(file);
                std::fs::create_dir_all(path.parent().expect("a folder")).expect("made");
                std::fs::write(path, self.told.real(&shown.join("\n")) + "\n").expect("written");
                shown.to_vec()
            }
            Kind::Screen(steps) => {
                let steps: Vec<String> = steps.iter().map(|step| self.told.real(step)).collect();
                // What is waited for in vain is a fault like another: the guide goes on.
                let place = &self.place;
                let seen = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| picture(place, &steps)));
                let Ok(picture) = seen else {
                    self.faults.push(format!("{name}:{}: the screen is not reached, see above", block.from));
                    return shown.to_vec();
                };
                self.see_sessions();
                let said =
                    self.told.shown(&picture).lines().map(|line| line.trim_end().to_string()).collect();
                self.compared(&format!("{name}:{}: the screen", block.from), shown, said)
            }
            Kind::Unshown(what) => {
                self.unshown(what);
                shown.to_vec()
            }
        }
    }

    fn console(&mut self, name: &str, from: usize, shown: &[String]) -> Vec<String> {
        let mut made = Vec::new();
        let mut at = 0;
        while at < shown.len() {
            let first = at;
            while shown[at].ends_with('\\') {
                at += 1;
            }
            at += 1;
            let line = shown[first..at].iter().map(|line| line.trim_end_matches('\\')).collect::<String>();
            let Some(command) = line.strip_prefix("$ ") else {
                panic!("{name}:{}: no command", from + first + 1)
            };
            let length = shown[at..].iter().take_while(|line| !line.starts_with("$ ")).count();
            let said = match command.contains("ssh-keygen") && !self.has_openssh() {
                true => {
                    eprintln!("SKIPPED: {command}: there is no ssh-keygen");
                    shown[at..at + length].to_vec()
                }
                false => self.command(name, from + first + 1, command),
            };
            made.extend_from_slice(&shown[first..at]);
            let whereto = format!("{name}:{}: {command}", from + first + 1);
            made.extend(self.compared(&whereto, &shown[at..at + length], said));
            at += length;
        }
        made
    }

    /// What the command prints, in the guide's words.
    fn command(&mut self, name: &str, line: usize, command: &str) -> Vec<String> {
        if command == "echo $?" {
            self.is_told = true;
            return vec![self.code.to_string()];
        }
        self.settle_code(name, line);
        let command = self.told.real(command);
        if let Some((variable, value)) = command.strip_prefix("export ").and_then(|rest| rest.split_once('='))
        {
            let value = value.replace('~', &self.home().to_string_lossy());
            self.variables.insert(variable.to_string(), value);
            return Vec::new();
        }
        let output = self.shell(&command);
        self.code = output.status.code().expect("it was not ended by a signal");
        self.is_told = self.code == 0;
        if let Some(folder) = command.split("demo --into ").nth(1) {
            self.move_days_of(folder.split_whitespace().next().expect("a folder"));
        }
        self.see_sessions();
        let text = String::from_utf8(output.stdout).expect("UTF-8");
        assert!(!text.contains("panicked"), "{name}:{line}: {text}");
        self.told.shown(text.trim_end()).lines().map(|line| line.trim_end().to_string()).collect()
    }

    /// A code that is not 0 must be told by `echo $?`, else an example could fail unseen.
    fn settle_code(&mut self, name: &str, line: usize) {
        if !std::mem::replace(&mut self.is_told, true) {
            self.faults
                .push(format!("{name}:{line}: the command before ended with {} and no echo $?", self.code));
        }
    }

    fn has_openssh(&self) -> bool {
        self.shell("command -v ssh-keygen").status.success()
    }

    fn shell(&self, command: &str) -> std::process::Output {
        let program = Path::new(env!("CARGO_BIN_EXE_spanwise"));
        let folder = program.parent().expect("a folder").to_string_lossy().into_owned();
        Command::new("sh")
            .args(["-c", &format!("exec 2>&1\n{command}")])
            .env_clear()
            .env("PATH", format!("{folder}:/usr/local/bin:/usr/bin:/bin"))
            .env("HOME", self.home())
            .env("TMPDIR", self.home())
            .env("TZ", "UTC")
            .envs(&self.variables)
            .current_dir(self.home())
            .stdin(Stdio::null())
            .output()
            .expect("a shell")
    }

    fn home(&self) -> PathBuf {
        self.place.root().parent().expect("the temporary folder").to_path_buf()
    }

    fn see_sessions(&mut self) {
        let Ok(items) = std::fs::read_dir(self.place.path("sessions")) else { return };
        for item in items.filter_map(Result::ok) {
            let name = item.file_name().to_string_lossy().into_owned();
            if name.len() == 32 {
                self.told.session(&name);
            }
        }
    }

    /// The demo plays today, and its records are shown as if it played on the day of the guides.
    fn move_days_of(&self, folder: &str) {
        let root = self.home().join(folder);
        let mut files = vec![root.join("people.toml"), root.join("instruments.toml")];
        let airframes = std::fs::read_dir(root.join("airframes")).expect("the demo's airframes");
        files.extend(airframes.map(|item| item.expect("listed").path()));
        for file in files {
            let text = std::fs::read_to_string(&file).expect("read");
            std::fs::write(&file, self.told.demo(&text)).expect("written");
        }
    }

    fn unshown(&mut self, what: &str) {
        if what == "another account" {
            self.variables.clear();
            std::fs::remove_dir_all(self.home().join(".config")).expect("the settings are gone");
            return;
        }
        let phrase = self.home().join("phrase.txt");
        let keys = self.place.path(PASSPHRASE);
        std::fs::copy(phrase, &keys).expect("the passphrase of the guide");
        let (what, registration) =
            what.rsplit_once(" of ").expect("what is to be done, and of which airframe");
        let plan = self
            .plan
            .get_or_insert_with(|| self.place.run(&["plan", registration, "--json"]).expect(0).json());
        let mut routine = Routine::of(&self.place, registration, plan.clone());
        match what.split_once(" but ") {
            None if what == "answer the papers" => routine.papers(),
            None if what == "work the open steps" => {
                routine.steps();
            }
            Some(("work the open steps", left)) => {
                routine.steps_but(&left.split_whitespace().collect::<Vec<_>>());
            }
            _ => panic!("\"{what}\" is nothing that the test can do"),
        }
        std::fs::remove_file(keys).expect("removed");
    }

    /// What is shown where that is what was said; else a fault is kept, and what should be shown comes back.
    fn compared(&mut self, whereto: &str, shown: &[String], said: Vec<String>) -> Vec<String> {
        if matches(shown, &said) {
            return shown.to_vec();
        }
        let is_renewing = std::env::var_os(RENEW).is_some_and(|value| value == "1");
        match renewed(shown, &said) {
            Some(new) if is_renewing => new,
            _ => {
                let text = |lines: &[String]| lines.join("\n");
                self.faults.push(format!(
                    "{whereto}\nthe guide shows:\n{}\nsaid:\n{}",
                    text(shown),
                    text(&said)
                ));
                shown.to_vec()
            }
        }
    }
}

/// Words as a shell splits them; double quotes hold words together.
pub fn words(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (number, part) in line.split('"').enumerate() {
        if number % 2 == 1 {
            words.push(part.to_string());
        } else {
            words.extend(part.split_whitespace().map(String::from));
        }
    }
    words
}
