//! The command itself: exit codes, standard input, examples, JSON.

use std::io::Write;
use std::process::{Command, Output, Stdio};

use serde_json::Value;
use spanwise::compute::KINDS;

fn spanwise(arguments: &[&str], input: &str) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_spanwise"))
        .arg("compute")
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    // A program that reads nothing closes its end; that is no failure of the test.
    let _ = child.stdin.take().expect("standard input").write_all(input.as_bytes());
    child.wait_with_output().expect("the program ends")
}

fn text(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("UTF-8")
}

#[test]
fn every_example_computes_and_its_json_is_one_object_with_the_same_verdict() {
    // What the invented examples come to; 3 where they show a finding.
    let findings = ["compare", "trend", "rates", "tap", "noise"];
    for kind in KINDS {
        let example = spanwise(&[kind.name, "--example"], "");
        assert_eq!(example.status.code(), Some(0));
        let example = text(&example);
        assert!(
            example.starts_with("# ") && example.to_lowercase().contains("invented") || kind.name == "noise"
        );
        let words = spanwise(&[kind.name, "-"], &example);
        let wanted = if findings.contains(&kind.name) { 3 } else { 0 };
        assert_eq!(
            words.status.code(),
            Some(wanted),
            "{}: {}",
            kind.name,
            String::from_utf8_lossy(&words.stderr)
        );
        let json = spanwise(&[kind.name, "-", "--json"], &example);
        assert_eq!(json.status.code(), words.status.code());
        let object: Value = serde_json::from_slice(&json.stdout).expect("one JSON object");
        let again: Value =
            serde_json::from_str(&serde_json::to_string(&object).expect("JSON")).expect("JSON");
        assert_eq!(object, again, "numbers survive writing and reading");
        assert_eq!(object["kind"], kind.name);
        for key in ["file", "outcome", "verdict", "experimental", "figures", "methods", "cautions"] {
            assert!(!object[key].is_null(), "{} lacks {key}", kind.name);
        }
        let verdict = object["verdict"].as_str().expect("a verdict");
        assert!(text(&words).contains(verdict), "{}", kind.name);
        assert!(
            text(&words).contains(&format!("Method: {}", object["methods"][0].as_str().expect("a method")))
        );
        assert_eq!(object["experimental"], kind.name == "noise");
        assert!(object["cautions"].as_array().is_some_and(|cautions| cautions.iter().all(Value::is_string)));
    }
}

#[test]
fn the_experimental_label_stands_first() {
    let example = text(&spanwise(&["noise", "--example"], ""));
    assert!(text(&spanwise(&["noise", "-"], &example)).starts_with("EXPERIMENTAL"));
}

#[test]
fn exit_codes_tell_the_outcome() {
    let limit = "value,upper,uncertainty\n";
    for (row, code) in [
        ("1 mm,2 mm,0.1 mm\n", 0),
        ("3 mm,2 mm,0.1 mm\n", 3),
        ("1.95 mm,2 mm,0.1 mm\n", 5),
        ("1 mm,2 N,\n", 1),
    ] {
        assert_eq!(spanwise(&["limit", "-"], &format!("{limit}{row}")).status.code(), Some(code), "{row}");
    }
    assert_eq!(spanwise(&["limit"], "").status.code(), Some(2));
    assert_eq!(spanwise(&["nothing", "-"], "").status.code(), Some(2));
    assert_eq!(spanwise(&["limit", "/no/such/file.csv"], "").status.code(), Some(1));
}

#[test]
fn faults_go_to_standard_error_with_file_line_and_column() {
    let output = spanwise(&["limit", "-"], "value,upper\n1 mm,2 N\n");
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(told.contains("--> -:2:6"), "{told}");
    assert!(output.stdout.is_empty());
}

#[test]
fn a_recording_is_read_beside_the_file_that_names_it_and_alone() {
    let folder = tempfile::tempdir().expect("a folder");
    let wav = folder.path().join("tone.wav");
    let spec = hound::WavSpec {
        channels: 1,
        sample_rate: 100,
        bits_per_sample: 16,
        sample_format: hound::SampleFormat::Int,
    };
    let mut writer = hound::WavWriter::create(&wav, spec).expect("a WAV file");
    // x[i] = sin(2 pi f0 i/fs + 0.4), the steady tone of the signal check values.
    for i in 0..1024 {
        let x = (2.0 * std::f64::consts::PI * 6.37 * f64::from(i) / 100.0 + 0.4).sin();
        writer.write_sample((x * 20_000.0) as i16).expect("a sample");
    }
    writer.finalize().expect("the file ends");
    let toml = folder.path().join("wing.toml");
    let text = "band_low = \"2 Hz\"\nband_high = \"15 Hz\"\n[[recording]]\nfile = \"tone.wav\"\n";
    write(&toml, text);
    let named = spanwise(&["frequency", &toml.to_string_lossy(), "--json"], "");
    let alone = spanwise(
        &[
            "frequency",
            &wav.to_string_lossy(),
            "--json",
            "--set",
            "band_low=2 Hz",
            "--set",
            "band_high=15 Hz",
        ],
        "",
    );
    for output in [named, alone] {
        let object: Value = serde_json::from_slice(&output.stdout)
            .unwrap_or_else(|_| panic!("{}", String::from_utf8_lossy(&output.stderr)));
        let hz = object["figures"]["frequency_hz"].as_f64().expect("a frequency");
        // The interpolation's bound for a steady tone: 0.02 bins of 100/1024 Hz.
        assert!((hz - 6.37).abs() < 0.02 * 100.0 / 1024.0, "{hz}");
    }
    let without = spanwise(&["frequency", &wav.to_string_lossy()], "");
    assert!(String::from_utf8_lossy(&without.stderr).contains("add --set band_low=value"));
}

#[allow(clippy::disallowed_methods, reason = "a test writes its own input")]
fn write(path: &std::path::Path, text: &str) {
    std::fs::write(path, text).expect("the folder is writable");
}

#[test]
fn the_keys_of_every_kind_are_listed() {
    for kind in KINDS {
        let output = text(&spanwise(&[kind.name, "--keys"], ""));
        for key in kind.schema.settings.iter().chain(kind.schema.tables.iter().flat_map(|rows| rows.keys)) {
            assert!(output.contains(key.name), "{} {}", kind.name, key.name);
        }
    }
}
