//! What is wrong with a file is told with its line and column, and all of it in one pass.

use crate::common::{json, refused, run, run_bytes, told};

#[test]
fn csv_faults_point_to_the_field() {
    let text = "@resolution,0.1 mm\nload,deflection\n2 kgf,1 mm\n4 kfg,2 mm\n6 mm,3\n";
    assert_eq!(
        refused("flex", "fin.csv", text),
        [
            "fin.csv:4:1: unit \"kfg\" is not known; did you mean \"kgf\"? [value]",
            "fin.csv:5:1: unit \"mm\" in \"6 mm\" is a length; wanted here is a force, for example \"6 N\" [value]",
            "fin.csv:5:6: value \"3\" has no unit; type it with its unit, for example \"3 mm\" [value]",
        ]
    );
}

#[test]
fn a_misspelt_column_and_setting_are_told_once() {
    assert_eq!(
        refused("flex", "fin.csv", "@resolutoin,0.1 mm\nload,deflecton\n2 kgf,1 mm\n"),
        [
            "fin.csv:1:1: the file lacks \"resolution\" [missing-key]; add a line @resolution,value, or --set key=value",
            "fin.csv:1:1: \"resolutoin\" is no setting [unknown-key]; did you mean \"resolution\"?",
            "fin.csv:2:6: \"deflecton\" is no column of a reading [unknown-key]; did you mean \"deflection\"?",
        ]
    );
    assert_eq!(
        refused("flex", "fin.csv", "@resolution,0.1 mm\nload,direction\n2 kgf,left\n"),
        ["fin.csv:2:1: the column \"deflection\" is missing [missing-key]; add the deflection"]
    );
}

#[test]
fn toml_faults_point_to_the_value() {
    assert_eq!(
        refused(
            "flex",
            "fin.toml",
            "resolution = \"0.1 mm\"\n[[reading]]\nload = \"nan N\"\ndeflection = inf\n"
        ),
        [
            "fin.toml:3:8: value \"nan N\" is not a number; type digits with at most one decimal point, like \"12.5\" [value]",
            "fin.toml:4:14: value \"inf\" is not a number; type digits with at most one decimal point, like \"12.5\" [value]",
        ]
    );
    assert_eq!(
        refused("life", "l.toml", "today = 2026-13-01\n"),
        [
            "l.toml:1:9: invalid date, expected month between 01 and 12 [toml-syntax]; repair the TOML here, then check the file again"
        ]
    );
    let unknown = refused("leak", "l.toml", "loss_maks = \"100 ft\"\n[[hold]]\nstart = \"1 ft\"\n");
    assert_eq!(
        unknown,
        ["l.toml:1:1: \"loss_maks\" is not a key of the file [unknown-key]; did you mean \"loss_max\"?"]
    );
}

#[test]
fn mixed_dimensions_are_refused_where_they_stand() {
    let cases = [
        (
            "limit",
            "value,upper\n2 mm,3 N\n",
            "x.csv:2:6: unit \"N\" in \"3 N\" is a force; wanted here is a length, for example \"3 mm\" [value]",
        ),
        (
            "tension",
            "@temperature,80 °C\ntemperature,tension\n0 °C,1 N\n10 °C,2 kg\n",
            "x.csv:4:7: unit \"kg\" in \"2 kg\" is a mass; wanted here is a force, for example \"2 N\" (a spring balance marked kg shows kgf) [value]",
        ),
        (
            "trend",
            "year,value,uncertainty\n2020,1 Hz,0.1 Hz\n2021,1 N,0.1 Hz\n",
            "x.csv:3:6: unit \"N\" in \"1 N\" is a force; wanted here is a frequency, for example \"1 Hz\" [value]",
        ),
        (
            "symmetry",
            "left,right,difference_max\n1 mm,1 °,2 mm\n",
            "x.csv:2:6: unit \"°\" in \"1 °\" is an angle; wanted here is a length, for example \"1 mm\" [value]",
        ),
        (
            "airspeed",
            "pressure\n3 mm\n",
            "x.csv:2:1: unit \"mm\" in \"3 mm\" is a length; wanted here is a pressure, for example \"3 Pa\" [value]",
        ),
        (
            "weighing",
            "@empty_mass,300 kgf\n@empty_cg,1 m\n",
            "x.csv:1:13: unit \"kgf\" in \"300 kgf\" is a force; wanted here is a mass, for example \"300 kg\" [value]",
        ),
    ];
    for (kind, text, wanted) in cases {
        assert_eq!(refused(kind, "x.csv", text), [wanted], "{kind}");
    }
}

#[test]
fn what_a_computation_refuses_is_told_at_its_place() {
    let cases = [
        (
            "flex",
            "@resolution,0.1 mm\n@pull_angle,75 °\nload [N],deflection [mm]\n10,1\n20,2\n30,3\n40,4.1\n",
            "x.csv:2:13: setting pull_angle_deg is 75; it must be between -60 and 60 degrees [refused]",
        ),
        (
            "flex",
            "@resolution,0.1 mm\nload [N],deflection [mm],support [mm]\n10,1,0.1\n20,2,\n30,3,0.2\n",
            "x.csv:4:1: reading 2: the support's movement is missing though other readings have it; add it or leave it out everywhere [refused]",
        ),
        (
            "limit",
            "value,lower,upper\n2 mm,3 mm,1 mm\n",
            "x.csv:2:11: smallest value \"3 mm\" is above largest value \"1 mm\"; exchange them or correct one [refused]",
        ),
        (
            "trend",
            "year,value,uncertainty\n2020,1 Hz,0.1 Hz\n2019,1 Hz,0.1 Hz\n",
            "x.csv:3:1: annual 2 is not later than the one before it; put the annuals in order [refused]",
        ),
        (
            "rates",
            "events,cycles\n3,0\n",
            "x.csv:2:3: insufficient data: 0 load cycles; mark at least one unmasked load cycle [refused]",
        ),
        (
            "deflection",
            "radius,travel,convention\n100 mm,300 mm,perpendicular\n",
            "x.csv:2:8: travel \"300 mm\" lies outside -100 to 100 mm; check it and its unit [refused]",
        ),
        (
            "airspeed",
            "indicated\n2000 km/h\n",
            "x.csv:2:1: airspeed \"555.5555555555555 m/s\" lies outside 0 to 340.294 m/s; check it and its unit [refused]",
        ),
        (
            "frequency",
            "cycles,time\n0,3 s\n",
            "x.csv:1:1: counted cycles \"0\" has to be above zero; enter it again [refused]",
        ),
        (
            "leak",
            "@loss_max,100 ft\n@hold_time,60 s\nstart,end,duration\n1 ft,1 ft,0 s\n",
            "x.csv:4:1: duration of the hold \"0 s\" has to be above zero; enter it again [refused]",
        ),
        (
            "tap",
            "frequency\n-1 Hz\n",
            "x.csv:1:1: tap frequency \"-1 Hz\" has to be above zero; enter it again [refused]",
        ),
    ];
    for (kind, text, wanted) in cases {
        assert_eq!(refused(kind, "x.csv", text), [wanted], "{kind}");
    }
}

#[test]
fn csv_form_is_checked() {
    assert_eq!(
        refused("limit", "x.csv", "value,upper\n1,5 mm,2 mm\n"),
        [
            "x.csv:2:1: value \"1\" has no unit; type it with its unit, for example \"1 mm\" [value]",
            "x.csv:2:8: the row has more fields than the header has columns (2) [csv-fields]; put a field with a comma in quotes, or write a decimal point",
        ]
    );
    let quote = refused("limit", "x.csv", "value,upper\n1 mm,\"2 mm\n");
    assert_eq!(quote[0], "x.csv:2:6: this quote is never closed [csv-quote]; close it with \"");
    let unit = refused("limit", "x.csv", "value [furlong],upper\n1,2 mm\n");
    assert_eq!(
        unit,
        [
            "x.csv:1:1: unit \"furlong\" is not known; type a unit such as \"mm\", \"kgf\" or \"bar\" [unknown-unit]"
        ]
    );
    let twice = refused(
        "tension",
        "x.csv",
        "@temperature,1 °C\n@temperature,2 °C\ntemperature [°C],tension [N]\n0,1\n9,2\n",
    );
    assert_eq!(twice, ["x.csv:2:1: \"temperature\" stands twice [twice]; keep one of them"]);
}

#[test]
fn many_faults_are_cut_short_and_counted() {
    let text = format!("value,upper\n{}", "1 mmm,2 mm\n".repeat(50));
    let faults = refused("limit", "x.csv", &text);
    assert_eq!(faults.len(), 21);
    assert_eq!(faults[20], "x.csv:22:1: 30 more faults from here on [more-faults]");
}

#[test]
fn columns_count_characters_and_semicolons_part_decimal_commas() {
    let fault = refused("limit", "x.csv", "name,value,upper\nÜberprüfung,3 mmm,4 mm\n");
    assert_eq!(fault, ["x.csv:2:13: unit \"mmm\" is not known; did you mean \"mm\"? [value]"]);
    let found = json("limit", "x.csv", "\u{feff}value [mm];upper;resolution\r\n1,5;2,25 mm;0,1 mm\r\n");
    assert_eq!(found["figures"]["checks"][0]["value_mm"], 1.5);
    assert_eq!(found["figures"]["checks"][0]["upper_limit_mm"], 2.25);
}

#[test]
fn a_load_above_the_ceiling_is_refused_before_anything_is_computed() {
    let text = "@resolution,0.1 mm\n@ceiling,10 kgf\nload [kgf],deflection [mm]\n5,1\n10,2\n10.1,3\n";
    let report = run("flex", "x.csv", text).unwrap_or_else(|faults| panic!("{:?}", told(&faults)));
    assert!(
        report.verdict.starts_with("Refused, at x.csv:6:1: 99.0 N is above the ceiling of 98.1 N."),
        "{}",
        report.verdict
    );
    let found = report.json("x.csv");
    assert_eq!(found["outcome"], "refused");
    assert!(found["figures"].get("stiffness_n_per_mm").is_none());
    assert_eq!(found["figures"]["above_ceiling"].as_array().map(Vec::len), Some(1));
}

#[test]
fn typed_settings_go_before_those_of_the_file_and_are_checked_alike() {
    let text = b"@resolution,0.1 mm\nload [N],deflection [mm]\n10,1\n20,2\n30,3\n40,4.1\n";
    let faults = |set: &[&str]| match run_bytes("flex", "x.csv", text, set) {
        Ok(report) => vec![report.outcome.word().to_string()],
        Err(faults) => told(&faults),
    };
    assert_eq!(faults(&["ceiling=20 N"]), ["refused"]);
    assert_eq!(faults(&["ceiling=50 N", "stiffness_min = 20 N/mm"]), ["outside"]);
    assert_eq!(
        faults(&["ceiling"]),
        ["--set:1:1: \"ceiling\" has no value [set]; write --set \"ceiling=value\""]
    );
    assert_eq!(
        faults(&["celing=1 N"]),
        ["--set:1:1: \"celing\" is no setting of flex [unknown-key]; did you mean \"ceiling\"?"]
    );
    assert_eq!(
        faults(&["ceiling=1 mm"]),
        [
            "--set:1:9: unit \"mm\" in \"1 mm\" is a length; wanted here is a force, for example \"1 N\" [value]"
        ]
    );
}

#[test]
fn undecided_is_an_answer_and_no_fault() {
    for (kind, text, begins) in [
        ("flex", "@resolution,0.1 mm\nload [N],deflection [mm]\n10,1\n", "Cannot tell: insufficient data"),
        (
            "tension",
            "@temperature,80 °C\ntemperature [°C],tension [N]\n0,1\n10,2\n",
            "Cannot tell: temperature \"80\" lies outside",
        ),
        ("repeats", "value\n3 mm\n", "Cannot tell: insufficient data: one reading"),
        (
            "leak",
            "@loss_max,100 ft\n@hold_time,60 s\nstart,end,duration\n1000 ft,980 ft,20 s\n",
            "Cannot tell: the hold was shorter",
        ),
        ("tap", "frequency\n1000 Hz\n1010 Hz\n", "Cannot tell: insufficient data: 2 points"),
        ("rates", "events,cycles\n1,5\n0,5\n", "Cannot tell (too few)"),
        (
            "frequency",
            "@earlier,6.4 Hz\n@earlier_uncertainty,0.3 Hz\ncycles,time\n20,3.13 s\n",
            "Cannot tell: no change shown",
        ),
        ("trend", "year,value,uncertainty\n2020,1 Hz,0.1 Hz\n", "Insufficient data: 1 annual(s)"),
    ] {
        let report = run(kind, "x.csv", text).unwrap_or_else(|faults| panic!("{kind}: {:?}", told(&faults)));
        assert_eq!(report.outcome.word(), "cannot-decide", "{kind}: {}", report.verdict);
        assert!(report.verdict.starts_with(begins), "{kind}: {}", report.verdict);
    }
}

#[test]
fn no_text_at_all_is_told_for_every_kind() {
    for kind in spanwise::compute::KINDS {
        for (file, text) in [("x.csv", ""), ("x.toml", ""), ("x.csv", "\n\n# nothing\n")] {
            assert!(!refused(kind.name, file, text).is_empty(), "{}", kind.name);
        }
        let not_text = run_bytes(kind.name, "x.csv", b"a,b\n\xff\n", &[]);
        let faults = not_text.map(|report| report.verdict).unwrap_err();
        assert_eq!(
            told(&faults),
            ["x.csv:2:1: from here on the file is no UTF-8 text [not-utf8]; save it as UTF-8"]
        );
    }
}

/// One number of each kind's example, spoilt in turn.
#[test]
fn what_is_no_finite_number_is_refused_by_every_kind() {
    let numbers = [
        ("flex", "12.0,11.5", "12.0"),
        ("limit", "\"0.12 mm\"", "0.12"),
        ("repeats", "\"8.13 mm\"", "8.13"),
        ("compare", "\"10.5 N/mm\"", "10.5"),
        ("trend", "3.21,0.02", "3.21"),
        ("rates", "[4, 3", "4"),
        ("frequency", "\"19.5 s\"", "19.5"),
        ("deflection", "\"61 mm\"", "61"),
        ("tension", "10,148", "148"),
        ("weighing", "\"303.0 kg\"", "303.0"),
        ("airspeed", "60,111", "111"),
        ("leak", "\"940 ft\"", "940"),
        ("symmetry", "7950.5,7946", "7946"),
        ("tap", "1510,1506", "1510"),
        ("noise", "\"4 s\"", "4"),
        ("life", "\"2310.5\"", "2310.5"),
    ];
    assert_eq!(numbers.len(), spanwise::compute::KINDS.len());
    for (kind, place, number) in numbers {
        let example = spanwise::compute::kind(kind).unwrap().example;
        assert!(example.contains(place), "{kind}");
        for spoilt in ["NaN", "inf", "-inf", "1e400", "", "99999999999999999999999999999999999999"] {
            let text = example.replacen(place, &place.replacen(number, spoilt, 1), 1);
            let file = if example.contains("[[") { "x.toml" } else { "x.csv" };
            // An empty tone is an empty cell of a tap map; a pressure alone is asked for its speed.
            if spoilt.is_empty() && matches!(kind, "tap" | "airspeed") {
                continue;
            }
            assert!(run(kind, file, &text).is_err(), "{kind} takes {spoilt:?}");
        }
    }
}
