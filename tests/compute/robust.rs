//! No input makes a computation panic, run away or give figures that are no JSON.

use std::time::{Duration, Instant};

use crate::common::{refused, run_bytes};
use proptest::prelude::*;
use spanwise::compute::{KINDS, Kind};
use spanwise::diagnostic::render;

/// Runs and writes everything that could be written.
fn exercise(kind: &Kind, file: &str, bytes: &[u8]) {
    match run_bytes(kind.name, file, bytes, &[]) {
        Ok(report) => {
            assert!(!report.text().is_empty());
            let json = serde_json::to_string(&report.json(file)).expect("JSON");
            assert!(serde_json::from_str::<serde_json::Value>(&json).is_ok());
        }
        Err(faults) => {
            assert!(!faults.is_empty(), "refused without a word");
            assert!(!render(&faults, false).is_empty());
        }
    }
}

/// Cells that people and broken programs write.
const CELLS: &[&str] = &[
    "",
    "1",
    "-1",
    "0",
    "0 mm",
    "1e308 mm",
    "NaN",
    "inf",
    "9999999999999999999999999999 N",
    "0.0000000000000000000000000001 mm",
    "10 kgf",
    "10 mm",
    "3 Hz",
    "2 °C",
    "-300 °C",
    "12 s",
    "5 kg",
    "7 %",
    "100 %",
    "left",
    "right",
    "loading",
    "unloading",
    "yes",
    "2026-02-30",
    "2026-02-28",
    "1900-01-01",
    "2199-12-31",
    "1; 2; 3",
    "1 Hz; 2 Hz",
    "\"",
    "\"a\"\"b\"",
    "@x",
    "#",
    "ft",
    "1000 ft",
    "18446744073709551615",
];

fn cell() -> impl Strategy<Value = &'static str> {
    prop::sample::select(CELLS)
}

/// A file of a kind with its own keys and wild cells.
fn wild(kind: &'static Kind) -> impl Strategy<Value = (String, String)> {
    let settings: Vec<&'static str> = kind.schema.settings.iter().map(|key| key.name).collect();
    let columns: Vec<&'static str> = kind.schema.tables[0].keys.iter().map(|key| key.name).collect();
    let width = columns.len();
    let settings = prop::collection::vec(
        (prop::sample::select(if settings.is_empty() { vec!["x"] } else { settings }), cell()),
        0..8,
    );
    let rows = prop::collection::vec(prop::collection::vec(cell(), width), 0..12);
    (settings, rows, any::<bool>()).prop_map(move |(settings, rows, toml)| {
        if toml {
            let quote = |cell: &str| cell.replace('"', "'");
            let mut text: String =
                settings.iter().map(|(k, v)| format!("{k} = \"{}\"\n", quote(v))).collect();
            for row in &rows {
                text += &format!("[[{}]]\n", kind.schema.tables[0].name);
                for (column, cell) in columns.iter().zip(row).filter(|(_, cell)| !cell.is_empty()) {
                    text += &format!("{column} = \"{}\"\n", quote(cell));
                }
            }
            ("x.toml".to_string(), text)
        } else {
            let mut text: String = settings.iter().map(|(k, v)| format!("@{k},{v}\n")).collect();
            text += &format!("{}\n", columns.join(","));
            for row in &rows {
                text += &format!("{}\n", row.join(","));
            }
            ("x.csv".to_string(), text)
        }
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn arbitrary_bytes_never_panic(bytes in prop::collection::vec(any::<u8>(), 0..400), name in prop::sample::select(vec!["-", "x.csv", "x.toml", "x.wav"])) {
        for kind in KINDS {
            exercise(kind, name, &bytes);
        }
    }

    #[test]
    fn arbitrary_text_never_panics(text in "(\\PC|[\n\r\t,;\"@#=\\[\\]]){0,200}", name in prop::sample::select(vec!["-", "x.csv", "x.toml"])) {
        for kind in KINDS {
            exercise(kind, name, text.as_bytes());
        }
    }

    #[test]
    fn known_keys_with_wild_cells_never_panic((index, (name, text)) in (0..KINDS.len()).prop_flat_map(|i| (Just(i), wild(&KINDS[i])))) {
        exercise(&KINDS[index], &name, text.as_bytes());
    }

    #[test]
    fn a_spoilt_example_never_panics(index in 0..KINDS.len(), at in any::<prop::sample::Index>(), with in cell()) {
        let example = KINDS[index].example;
        let mut place = at.index(example.len());
        while !example.is_char_boundary(place) {
            place -= 1;
        }
        let (before, after) = example.split_at(place);
        exercise(&KINDS[index], "-", format!("{before}{with}{after}").as_bytes());
        exercise(&KINDS[index], "-", before.as_bytes());
    }
}

#[test]
fn a_wav_file_cut_anywhere_is_refused_or_read() {
    let whole = include_bytes!("../../demo/compute/creaks.wav");
    for length in (0..whole.len()).step_by(3001).chain([12, 44, 45]) {
        for kind in KINDS {
            exercise(kind, "x.wav", &whole[..length]);
        }
    }
}

#[test]
fn huge_tables_end_soon() {
    let tables: &[(&str, &str, &str)] = &[
        ("flex", "@resolution,0.1 mm\nload [N],deflection [mm]\n", "{i},{i}.1\n"),
        ("limit", "value,upper\n", "{i} mm,3 mm\n"),
        ("repeats", "value [mm]\n", "{i}\n"),
        ("tap", "frequency [Hz],mirror_frequency [Hz]\n", "1{i},1{i}\n"),
        ("symmetry", "left [mm],right [mm],difference_max [mm]\n", "{i},{i},1\n"),
        ("trend", "year,value [Hz],uncertainty [Hz]\n", "{i},{i},1\n"),
        (
            "compare",
            "@airframe,x\n@type,T\n@build_standard,A\n@card,c\n@value,10 mm\n@uncertainty,1 mm\nairframe,type,build_standard,card,value [mm],uncertainty [mm],record,believed_sound_because\n",
            "{i},T,A,c,1{i},1,r,b\n",
        ),
    ];
    for (kind, head, row) in tables {
        let text = |rows: usize| {
            (1..=rows).fold(head.to_string(), |text, i| text + &row.replace("{i}", &i.to_string()))
        };
        let begun = now();
        exercise(spanwise::compute::kind(kind).unwrap(), "x.csv", text(2_000).as_bytes());
        assert!(begun.elapsed() < Duration::from_secs(60), "{kind} took {:?}", begun.elapsed());
        let faults = refused(kind, "x.csv", &text(2_001));
        assert!(faults.iter().any(|fault| fault.contains("more than 2000 rows")), "{kind}: {faults:?}");
    }
}

#[allow(clippy::disallowed_methods, reason = "a test of time needs the clock")]
fn now() -> Instant {
    Instant::now()
}
