//! The dull rest of an annual by the program's own commands: confirm, read, film, answer, have inspected.
//!
//! The figures are invented; each lies within the limit that the plan gives, or is a plausible one without.

use std::collections::BTreeMap;

use serde_json::Value;

use super::{Answer, INSPECTOR, Place, SECOND};

pub struct Routine<'a> {
    place: &'a Place,
    session: String,
    plan: Value,
    configuration: BTreeMap<String, String>,
}

impl<'a> Routine<'a> {
    /// Of an airframe whose session is begun.
    pub fn new(place: &'a Place, registration: &str) -> Routine<'a> {
        Routine::of(place, registration, place.run(&["plan", registration, "--json"]).expect(0).json())
    }

    /// By the plan that the session has, where another would be composed by now.
    pub fn of(place: &'a Place, registration: &str, plan: Value) -> Routine<'a> {
        Routine { place, session: registration.to_string(), plan, configuration: BTreeMap::new() }
    }

    fn run(&self, args: &[&str]) -> Answer {
        self.run_by(INSPECTOR, args)
    }

    /// `args` with the session put behind the command's name.
    fn run_by(&self, by: &str, args: &[&str]) -> Answer {
        let words = if args[0] == "defect" { 2 } else { 1 };
        let mut all = args.to_vec();
        all.insert(words, &self.session);
        self.place.run_by(by, &all)
    }

    /// Reports without a module, directives, life-limited items.
    pub fn papers(&self) {
        for report in list(&self.plan["reports"]) {
            if list(&report["modules"]).is_empty() {
                self.run(&["set-aside", text(&report["id"]), "traced and put right (invented)"]).expect(0);
            }
        }
        for directive in list(&self.plan["airframe"]["directives"]) {
            let id = text(&directive["id"]);
            if directive["applies"] == true {
                let next = ["--note", "done today (invented)", "--next-due", "2099-12-31"];
                self.run(&[&["directive", id, "complied"][..], &next].concat()).expect(0);
            } else {
                self.run(&["directive", id, "not-applicable", "--note", "other airframes"]).expect(0);
            }
        }
        for item in list(&self.plan["airframe"]["life_items"]) {
            self.run(&["life-item", text(&item["id"]), "within-life"]).expect(0);
        }
    }

    /// Works every open step whose turn has come until none is open. Returns how many.
    pub fn steps(&mut self) -> usize {
        self.steps_but(&[])
    }

    /// As [`Routine::steps`], leaving these and what waits for them to somebody else.
    pub fn steps_but(&mut self, left: &[&str]) -> usize {
        let mut worked = 0;
        loop {
            let status = self.run(&["status", "--json"]).json();
            let open: Vec<&str> = list(&status["open_mandatory"]).iter().map(text).collect();
            if open.is_empty() {
                return worked;
            }
            let mut still_open = open.clone();
            for step in list(&self.plan["steps"]).to_vec() {
                let id = text(&step["id"]);
                let waits_for_all = (step["last"] == true && self.others_open(&still_open))
                    || (step["independent"] == true && self.apart_is_open(&still_open));
                let has_its_turn = !waits_for_all
                    && !list(&step["after"]).iter().any(|after| still_open.contains(&text(after)));
                if still_open.contains(&id) && has_its_turn && !left.contains(&id) {
                    self.step(&step);
                    still_open.retain(|open| *open != id);
                    worked += 1;
                }
            }
            if !left.is_empty() && still_open.len() == open.len() {
                return worked;
            }
            assert!(still_open.len() < open.len(), "no step has its turn: {still_open:?}");
        }
    }

    /// A step that needs something taken apart is open: what a second person inspected would be undone by it.
    fn apart_is_open(&self, open: &[&str]) -> bool {
        let apart = ["off", "derigged", "disconnected", "out"];
        list(&self.plan["steps"]).iter().any(|step| {
            let needed = step["configuration"].as_object();
            open.contains(&text(&step["id"]))
                && needed.is_some_and(|needed| {
                    needed.iter().any(|(aspect, setting)| aspect != "power" && apart.contains(&text(setting)))
                })
        })
    }

    /// A step that is not among the last ones is open.
    fn others_open(&self, open: &[&str]) -> bool {
        list(&self.plan["steps"]).iter().any(|step| step["last"] != true && open.contains(&text(&step["id"])))
    }

    fn step(&mut self, step: &Value) {
        let id = text(&step["id"]);
        self.configure(step);
        for measure in list(&step["measures"]) {
            for _ in 0..measure["readings"].as_u64().unwrap_or(1) {
                self.read(id, measure);
            }
        }
        for demand in list(&step["evidence"]) {
            for number in 0..demand["count"].as_u64().unwrap_or(1) {
                let (demand, name) = (text(&demand["id"]), format!("films/{id}-{number}.txt"));
                self.place.write(&name, &format!("stands in for a film of {id}, {demand}, {number}"));
                let file = self.place.path(&name).to_string_lossy().into_owned();
                self.run(&["evidence", &file, "--step", id, "--demand", demand]).expect(0);
            }
        }
        self.run(&["answer", id, "pass"]).expect(0);
        if step["independent"] == true {
            self.run_by(
                SECOND,
                &["inspect", id, "all connections of this step", "--checked", "assembly,locking,sense,range"],
            )
            .expect(0);
        }
    }

    fn configure(&mut self, step: &Value) {
        let Some(needed) = step["configuration"].as_object() else { return };
        let word = |word: &str| word.replace('_', "-");
        let needed: BTreeMap<String, String> =
            needed.iter().map(|(aspect, setting)| (word(aspect), word(text(setting)))).collect();
        if needed.iter().any(|(aspect, setting)| self.configuration.get(aspect) != Some(setting)) {
            let settings: Vec<String> =
                needed.iter().map(|(aspect, setting)| format!("{aspect}={setting}")).collect();
            self.run(&["confirm", &settings.join(", ")]).expect(0);
            self.configuration.extend(needed);
        }
    }

    /// A file with the example of a table's computation, its dull point made sound; nothing for other kinds.
    fn example(&self, kind: &Value) -> String {
        let Some(compute) = kind["compute"].as_str() else { return String::new() };
        let printed = self.place.bare(["compute", compute, "--example"]).expect(0).out;
        let name = format!("tables/{compute}.txt");
        self.place.write(&name, &printed.replace("1207,1511,dull", "1507,1511,clear"));
        self.place.path(&name).to_string_lossy().into_owned()
    }

    /// A measurement that has all its readings already is left as it is.
    fn read(&self, step: &str, measure: &Value) {
        let kind = &measure["kind"];
        let unit = kind["unit"].as_str().unwrap_or_default();
        let table = self.place.path("flex/sound-fin.csv").to_string_lossy().into_owned();
        let value = value(kind);
        let mut args = vec!["read", step, text(&measure["id"])];
        let example = self.example(kind);
        match kind["kind"].as_str() {
            Some("load-deflection") => args.extend(["--file", &table]),
            Some("table") => args.extend(["--file", &example]),
            _ => args.push(&value),
        }
        if measure["instrument"] == true {
            let is_series = kind["kind"] == "load-deflection";
            args.extend(["--instrument", if is_series { "dial-25 + balance-20" } else { instrument(unit) }]);
        }
        let answer = self.run(&args);
        if answer.code != 0 {
            answer.tells(3, &["all demanded readings of this measurement are taken"]);
        }
    }
}

/// Of the demo's register, all in calibration.
fn instrument(unit: &str) -> &'static str {
    match unit {
        "mm" => "calliper-150",
        "bar" => "tyre-gauge",
        "°" => "protractor",
        "N" | "daN" | "kgf" => "balance-20",
        "kg" => "scales",
        "km/h" => "speed-tester",
        "V" => "multimeter-v",
        "A" => "multimeter-a",
        "Ω" => "multimeter-ohm",
        _ => "dial-25",
    }
}

fn value(kind: &Value) -> String {
    let unit = kind["unit"].as_str().unwrap_or_default();
    match kind["kind"].as_str() {
        // A little above the airframe's record: totals only grow.
        Some("number") if unit == "h" => "3190.5 h".to_string(),
        Some("count") if unit == "launches" => "2970".to_string(),
        Some("number") => format!("{} {unit}", within(&kind["limit"])),
        Some("pair") => format!("{0} {unit} ; {0} {unit}", within(&kind["limit"])),
        Some("count") => kind["min"].as_u64().unwrap_or(0).to_string(),
        Some("choice") => text(&list(&kind["accept"])[0]).to_string(),
        Some("date") => "2099-12-31".to_string(),
        _ => "nothing unusual (invented)".to_string(),
    }
}

/// Amid the limits, well clear of each, so that the instrument's uncertainty leaves no doubt.
fn within(limit: &Value) -> String {
    let number = |name: &str| -> Option<f64> { limit[name].as_str()?.split(' ').next()?.parse().ok() };
    let value = match (number("min"), number("max")) {
        (Some(min), Some(max)) => f64::midpoint(min, max),
        (Some(min), None) => min + min.abs() / 4.0,
        (None, Some(max)) => max / 2.0,
        (None, None) => 40.0,
    };
    format!("{value:.3}")
}

pub fn list(value: &Value) -> &[Value] {
    value.as_array().map(Vec::as_slice).unwrap_or_default()
}

pub fn text(value: &Value) -> &str {
    value.as_str().unwrap_or_default()
}
