//! Reading the copied check values.

use chrono::NaiveDate;
use toml::{Table, Value};

/// One worked example or table, with its name for the failure message.
#[derive(Clone)]
pub struct Row(Table);

fn parse(text: &str) -> Table {
    text.parse().expect("the reference file is TOML")
}

/// All rows of one kind in the handbook values.
pub fn handbook(kind: &str) -> Vec<Row> {
    let all = parse(include_str!("../reference/handbook-values.toml"));
    let rows = all[kind].as_array().expect("an array of tables");
    assert!(!rows.is_empty());
    rows.iter().map(|row| Row(row.as_table().expect("a table").clone())).collect()
}

/// The row of that kind and name.
pub fn example(kind: &str, name: &str) -> Row {
    handbook(kind).into_iter().find(|row| row.text("name") == name).unwrap_or_else(|| panic!("{kind} {name}"))
}

/// One block of the signal values, such as `frequency`, `steady_tone`.
pub fn signal(group: &str, name: &str) -> Row {
    let all = parse(include_str!("../reference/signal-values.toml"));
    Row(all[group][name].as_table().expect("a table").clone())
}

fn number(value: &Value) -> f64 {
    value
        .as_float()
        .or_else(|| value.as_integer().map(|i| i as f64))
        .unwrap_or_else(|| panic!("{value} is no number"))
}

impl Row {
    pub fn has(&self, key: &str) -> bool {
        self.0.contains_key(key)
    }

    pub fn text(&self, key: &str) -> &str {
        self.0[key].as_str().expect("a text")
    }

    pub fn number(&self, key: &str) -> f64 {
        number(&self.0[key])
    }

    pub fn flag(&self, key: &str) -> bool {
        self.0[key].as_bool().expect("true or false")
    }

    pub fn numbers(&self, key: &str) -> Vec<f64> {
        self.0[key].as_array().expect("a list").iter().map(number).collect()
    }

    pub fn indices(&self, key: &str) -> Vec<usize> {
        self.numbers(key).into_iter().map(|x| x as usize).collect()
    }

    pub fn texts(&self, key: &str) -> Vec<String> {
        self.0[key]
            .as_array()
            .expect("a list")
            .iter()
            .map(|v| v.as_str().expect("a text").to_owned())
            .collect()
    }

    pub fn table(&self, key: &str) -> Vec<Vec<f64>> {
        let rows = self.0[key].as_array().expect("a list of lists");
        rows.iter().map(|row| row.as_array().expect("a list").iter().map(number).collect()).collect()
    }

    pub fn cases(&self) -> Vec<Row> {
        let rows = self.0["cases"].as_array().expect("a list of tables");
        rows.iter().map(|row| Row(row.as_table().expect("a table").clone())).collect()
    }

    pub fn date(&self, key: &str) -> NaiveDate {
        self.0[key].as_datetime().expect("a date").to_string().parse().expect("an ISO date")
    }

    /// Fails unless `got` is within `tolerance` of the value under `key`.
    #[track_caller]
    pub fn check(&self, key: &str, got: f64, tolerance: f64) {
        let want = self.number(key);
        let name = self.0.get("name").and_then(Value::as_str).unwrap_or("");
        assert!((got - want).abs() <= tolerance, "{name} {key}: got {got}, want {want} within {tolerance}");
    }

    /// Fails unless `got` is within a share of the value under `key`.
    #[track_caller]
    pub fn check_relative(&self, key: &str, got: f64, share: f64) {
        self.check(key, got, share * self.number(key).abs());
    }
}
