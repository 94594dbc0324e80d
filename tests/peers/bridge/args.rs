//! The arguments of one case, read with a message where one is missing, and numbers that JSON has no word for.

use serde_json::Value;

/// The result as JSON, or why there is none.
pub type Answer = Result<Value, String>;

pub struct Args(Value);

impl Args {
    pub fn new(case: Value) -> Self {
        Self(case)
    }

    fn get(&self, key: &str) -> Result<&Value, String> {
        self.0.get(key).ok_or_else(|| format!("argument \"{key}\" is missing"))
    }

    pub fn text(&self, key: &str) -> Result<String, String> {
        self.get(key)?.as_str().map(str::to_owned).ok_or_else(|| wrong(key, "a text"))
    }

    pub fn whole(&self, key: &str) -> Result<u64, String> {
        self.get(key)?.as_u64().ok_or_else(|| wrong(key, "a whole number"))
    }

    pub fn size(&self, key: &str) -> Result<usize, String> {
        usize::try_from(self.whole(key)?).map_err(|e| format!("{key}: {e}"))
    }

    pub fn truth(&self, key: &str) -> Result<bool, String> {
        self.get(key)?.as_bool().ok_or_else(|| wrong(key, "true or false"))
    }

    pub fn number(&self, key: &str) -> Result<f64, String> {
        to_number(self.get(key)?).ok_or_else(|| wrong(key, "a number"))
    }

    /// `None` where the value is null.
    pub fn maybe(&self, key: &str) -> Result<Option<f64>, String> {
        if self.get(key)?.is_null() { Ok(None) } else { self.number(key).map(Some) }
    }

    fn array(&self, key: &str) -> Result<&Vec<Value>, String> {
        self.get(key)?.as_array().ok_or_else(|| wrong(key, "a list"))
    }

    pub fn numbers(&self, key: &str) -> Result<Vec<f64>, String> {
        let found: Option<Vec<f64>> = self.array(key)?.iter().map(to_number).collect();
        found.ok_or_else(|| wrong(key, "a list of numbers"))
    }

    pub fn cells(&self, key: &str) -> Result<Vec<Option<f64>>, String> {
        let cell = |v: &Value| if v.is_null() { Some(None) } else { to_number(v).map(Some) };
        let found: Option<Vec<Option<f64>>> = self.array(key)?.iter().map(cell).collect();
        found.ok_or_else(|| wrong(key, "a list of numbers and nulls"))
    }

    pub fn counts(&self, key: &str) -> Result<Vec<u64>, String> {
        let found: Option<Vec<u64>> = self.array(key)?.iter().map(Value::as_u64).collect();
        found.ok_or_else(|| wrong(key, "a list of whole numbers"))
    }

    pub fn tables(&self, key: &str) -> Result<Vec<Args>, String> {
        Ok(self.array(key)?.iter().cloned().map(Args).collect())
    }

    pub fn table(&self, key: &str) -> Result<Args, String> {
        self.get(key).cloned().map(Args)
    }

    pub fn has(&self, key: &str) -> bool {
        self.0.get(key).is_some_and(|v| !v.is_null())
    }

    pub fn rows(&self, key: &str) -> Result<Vec<Vec<f64>>, String> {
        let row = |v: &Value| v.as_array()?.iter().map(to_number).collect::<Option<Vec<f64>>>();
        let found: Option<Vec<Vec<f64>>> = self.array(key)?.iter().map(row).collect();
        found.ok_or_else(|| wrong(key, "a list of lists of numbers"))
    }
}

fn wrong(key: &str, wanted: &str) -> String {
    format!("argument \"{key}\" is not {wanted}")
}

/// A number, or one of the texts `inf`, `-inf` and `nan`.
fn to_number(value: &Value) -> Option<f64> {
    match value {
        Value::String(text) => text.parse().ok(),
        other => other.as_f64(),
    }
}

/// A number as JSON; what JSON cannot write becomes a text that Python's `float` reads.
pub fn number(x: f64) -> Value {
    serde_json::Number::from_f64(x).map_or_else(|| Value::String(x.to_string()), Value::Number)
}

pub fn numbers(values: &[f64]) -> Value {
    values.iter().copied().map(number).collect()
}

pub fn maybe(x: Option<f64>) -> Value {
    x.map_or(Value::Null, number)
}

/// An error of the program as the reason of a refusal.
pub fn refused(error: impl std::fmt::Display) -> String {
    error.to_string()
}
