//! Published handbook and manual values through `compute`: controls, mass, air, rigging, tap, dates; the sources stand beside
//! the copied values in `reference/handbook-values.toml` and `reference/signal-values.toml`, rows from memory are flagged there.

use std::fmt::Write as _;

use crate::common::{at, json, near};
use crate::handbook_values::{example, handbook as rows_of, signal};

/// A composite sailplane manual prints degrees and mm of one aileron; its chord agrees within 0.5 mm.
#[test]
fn deflection_in_both_units() {
    for row in rows_of("deflection") {
        for (convention, key) in [
            ("chord", "expected_chord_mm"),
            ("arc", "expected_arc_mm"),
            ("perpendicular", "expected_perp_mm"),
        ] {
            let text = format!(
                "name,radius [mm],angle,convention\ns,{},{} °,{convention}\n",
                row.number("radius_mm"),
                row.number("angle_deg")
            );
            let found = json("deflection", "d.csv", &text);
            row.check(key, at(&found, "figures.surfaces.0.travel_mm"), 6e-4);
        }
    }
    let row = example("deflection", "aileron_up_min");
    let text = format!(
        "name,radius [mm],travel [mm],nominal,tolerance\ns,165,{},21 °,0.5 °\n",
        row.number("printed_mm")
    );
    let found = json("deflection", "d.csv", &text);
    row.check("expected_angle_from_printed_mm", at(&found, "figures.surfaces.0.angle_deg"), 1e-4);
    assert_eq!(found["outcome"], "within", "judged in degrees, the unit of the print");
    for row in rows_of("free_play").iter().filter(|row| row.has("expected_deg")) {
        let text = format!(
            "[[free_play]]\nname = \"p\"\nradius = \"{} mm\"\nplay = \"{} mm\"\nplay_max = \"2.5 mm\"\n",
            row.number("radius_mm"),
            row.number("play_mm")
        );
        let found = json("deflection", "p.toml", &text);
        row.check("expected_deg", at(&found, "figures.free_play.0.play_deg"), 1e-5);
        assert_eq!(found["outcome"], "within", "on the limit is within");
    }
}

/// Linear interpolation (derived numbers; the chart of the handbook was not read).
#[test]
fn tension_between_two_rows() {
    let row = example("cable_tension", "linear_interpolation");
    let (temperatures, tensions) = (row.numbers("temps_f"), row.numbers("tensions_lb"));
    let text = format!(
        "@temperature,{} °F\n@measured,72 lbf\n@tolerance,2 lbf\ntemperature [°F],tension [lbf]\n{},{}\n{},{}\n",
        row.number("at_f"),
        temperatures[0],
        tensions[0],
        temperatures[1],
        tensions[1]
    );
    let found = json("tension", "t.csv", &text);
    row.check("expected_tension_lb", at(&found, "figures.wanted_lbf"), 1e-9);
    assert_eq!(found["outcome"], "outside");
}

/// FAA AC 43.13-1B figure 10-11: the sum of masses and moments, lb and in.
#[test]
fn weighing_sums_moments_and_keeps_tare_apart() {
    let row = example("mass_balance", "most_rearward_extreme_check");
    let mut text = format!(
        "aft_limit = \"{} in\"\nmax_mass = \"{} lb\"\n",
        row.number("aft_limit"),
        row.number("max_mass")
    );
    for (mass, arm) in row.numbers("masses").iter().zip(row.numbers("arms")) {
        let _ = write!(text, "[[item]]\nmass = \"{mass} lb\"\narm = \"{arm} in\"\n");
    }
    let found = json("weighing", "w.toml", &text);
    row.check("expected_total_mass", at(&found, "figures.loaded_mass_kg") / 0.453_592_37, 1e-9);
    row.check("expected_cg", at(&found, "figures.loaded_cg_mm") / 25.4, 0.005);
    assert_eq!(found["outcome"], "within");
    // Derived from the tare rule of AC 43.13-1B and the formula of FAA-H-8083-1.
    let row = example("glider_weighing", "two_seat_glider_tail_reaction_with_tare");
    let mut text =
        format!("leading_edge = \"{} m\"\nchord = \"{} m\"\n", row.number("lemac"), row.number("mac"));
    for ((gross, tare), arm) in row.numbers("gross").iter().zip(row.numbers("tare")).zip(row.numbers("arms"))
    {
        let _ =
            write!(text, "[[support]]\ngross = \"{gross} kg\"\ntare = \"{tare} kg\"\narm = \"{arm} m\"\n");
    }
    let found = json("weighing", "w.toml", &text);
    row.check("expected_cg_datum_wing_le", at(&found, "figures.empty_cg_mm") / 1000.0, 1e-6);
    row.check("expected_percent_mac", at(&found, "figures.empty_cg_of_chord_percent"), 1e-5);
}

/// Moment balance of a repair mass at the rudder (derived); placards round to the safe side.
#[test]
fn weighing_after_a_repair() {
    let row = example("tail_repair", "repair_mass_at_rudder");
    let text = format!(
        "empty_mass = \"{} kg\"\nempty_cg = \"{} m\"\ncockpit_arm = \"{} m\"\nforward_limit = \"0.15 m\"\naft_limit = \"{} m\"\nmax_mass = \"525 kg\"\nseat_max = \"120 kg\"\n[[added]]\nmass = \"{} kg\"\narm = \"{} m\"\n",
        row.number("empty_mass"),
        row.number("empty_cg"),
        row.number("pilot_arm"),
        row.number("aft_limit"),
        row.number("repair_mass"),
        row.number("repair_arm")
    );
    let found = json("weighing", "w.toml", &text);
    row.check("expected_new_cg", at(&found, "figures.after_cg_mm") / 1000.0, 1e-6);
    row.check("expected_cg_shift_mm", at(&found, "figures.cg_shift_mm"), 1e-6);
    row.check("expected_min_pilot_before", at(&found, "figures.cockpit.0.min_kg"), 1e-6);
    row.check("expected_min_pilot_after", at(&found, "figures.after_cockpit.0.min_kg"), 1e-6);
    row.check("expected_placard_before_ceil", at(&found, "figures.cockpit.0.placard_min_kg"), 0.0);
    row.check("expected_placard_after_ceil", at(&found, "figures.after_cockpit.0.placard_min_kg"), 0.0);
}

/// A printed table made from the constants of NASA RP-1046, water at 20 °C; and the formula in Pa.
#[test]
fn airspeed_table() {
    for (name, unit) in [("published_kt", "kt"), ("published_mph", "mph")] {
        let row = example("asi_table", name);
        for (speed, column) in row.numbers("speeds").iter().zip(row.numbers("mm_h2o_20c")) {
            let found = json("airspeed", "a.csv", &format!("@water,20C\nindicated\n{speed} {unit}\n"));
            near(at(&found, "figures.points.0.column_mmh2o"), column, row.number("tol_mm"));
        }
    }
    let row = example("asi_table", "computed_kmh");
    for (speed, pa) in row.numbers("speeds").iter().zip(row.numbers("pa")) {
        let text = format!("@error_max,2 km/h\npressure,indicated\n{pa} Pa,{speed} km/h\n");
        let found = json("airspeed", "a.csv", &text);
        near(at(&found, "figures.points.0.error_km_per_h"), 0.0, 1e-3);
        assert_eq!(found["outcome"], "within");
    }
}

/// Set-up of 14 CFR 23.1325(b)(2)(i) (2014) and 25.1325; the 100 ft limit was read in secondary texts only.
#[test]
fn leak_boundary_is_inclusive() {
    for (loss, wanted) in [(60, "within"), (100, "within"), (101, "outside")] {
        let text = format!(
            "@loss_max,100 ft\n@hold_time,1 min\nstart,end,duration\n1000 ft,{} ft,60 s\n",
            1000 - loss
        );
        assert_eq!(json("leak", "l.csv", &text)["outcome"], wanted, "{loss}");
    }
}

/// US Navy training manual, wing twist: 1 deg 35 min longitudinal allows 1 deg 15 min to 2 deg 15 min, 12 min apart.
#[test]
fn symmetry_of_wing_twist() {
    let row = example("symmetry", "wing_twist_limits");
    let twist = |left: i32, right: i32| {
        let text = format!(
            "left [arcmin],right [arcmin],nominal [arcmin],minus [arcmin],plus [arcmin],difference_max [arcmin]\n{left},{right},95,{},{},{}\n",
            row.number("lower_offset_min"),
            row.number("upper_offset_min"),
            row.number("max_left_right_difference_min")
        );
        json("symmetry", "s.csv", &text)["outcome"].clone()
    };
    assert_eq!(twist(75, 87), "within");
    assert_eq!(twist(135, 123), "within");
    assert_eq!(twist(74, 80), "outside");
    assert_eq!(twist(100, 113), "outside");
}

/// numpy median and scipy median_abs_deviation.
#[test]
fn tap_map_and_mirrored_sides() {
    let row = signal("tap", "outlier_map");
    let mut text = "frequency [Hz],heard\n".to_string();
    for hz in row.numbers("f_Hz") {
        let _ = writeln!(text, "{hz},");
    }
    let found = json("tap", "t.csv", &text);
    assert_eq!(found["outcome"], "outside");
    assert_eq!(found["figures"]["flagged"], 1);
    assert_eq!(found["figures"]["points"][8]["flagged"], "differs from the area");
    let row = signal("tap", "mirror");
    let mut text = "frequency [Hz],mirror_frequency [Hz]\n".to_string();
    for (left, right) in row.numbers("f_left").iter().zip(row.numbers("f_right")) {
        let _ = writeln!(text, "{left},{right}");
    }
    let found = json("tap", "t.csv", &text);
    row.check("median", at(&found, "figures.side_offset_ln"), 1e-12);
    for (index, delta) in row.numbers("delta").iter().enumerate() {
        near(at(&found, &format!("figures.points.{index}.mirror_ln_ratio")), *delta, 1e-12);
    }
    let flag = found["figures"]["points"][4]["flagged"].as_str().unwrap();
    assert!(flag.contains("mirrored"), "{flag}");
}

/// 14 CFR 91.409(a) in calendar months and the European review certificate, as quoted in secondary texts.
#[test]
fn life_in_calendar_months_and_certificates() {
    for row in rows_of("calendar_month_due") {
        let done = row.date("done");
        let text = format!(
            "today = {done}\n[[item]]\nname = \"i\"\ninstalled = {done}\ncalendar_months = {}\n",
            row.number("calendar_months")
        );
        let found = json("life", "l.toml", &text);
        assert_eq!(
            found["figures"]["items"][0]["valid_through"],
            row.date("expected_valid_through").to_string()
        );
    }
    // The clip rule for months, as printed in the documentation of month-delta libraries.
    for row in rows_of("add_months").iter().filter(|row| row.has("months") && row.number("months") > 0.0) {
        let start = row.date("start");
        let text =
            format!("today = {start}\n[[item]]\ninstalled = {start}\nmonths = {}\n", row.number("months"));
        let found = json("life", "l.toml", &text);
        assert_eq!(found["figures"]["items"][0]["valid_through"], row.date("expected").to_string());
    }
    for row in rows_of("arc_renewal") {
        let text = format!(
            "[[certificate]]\nexpiry = {}\ndone = {}\nrenewal = \"{}\"\n",
            row.date("current_expiry"),
            row.date("done"),
            row.text("kind")
        );
        let found = json("life", "l.toml", &text);
        let certificate = &found["figures"]["certificates"][0];
        assert_eq!(certificate["new_expiry"], row.date("expected_new_expiry").to_string(), "{text}");
        assert_eq!(certificate["pattern_kept"], row.flag("expected_pattern_kept"));
        near(at(certificate, "days_early"), row.number("expected_days_early"), 0.0);
    }
}
