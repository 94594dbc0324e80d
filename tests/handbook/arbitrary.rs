//! Any numbers whatever give a result or an error, never a panic; and a result is finite.

use proptest::prelude::*;
use spanwise::measure::{
    airspeed, deflection, frequency, leak, loading, noise, symmetry, tap, tap_map, tension, weighing,
};

/// Ordinary magnitudes with the extreme ones among them.
fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![4 => -2000.0f64..2000.0, 1 => proptest::num::f64::ANY]
}

fn finite<E>(result: Result<f64, E>) -> bool {
    result.map_or(true, f64::is_finite)
}

proptest! {
    #[test]
    fn simple_formulas(a in any_number(), b in any_number(), c in any_number(), d in any_number(), e in any_number()) {
        for convention in deflection::Convention::ALL {
            prop_assert!(finite(deflection::travel_mm(a, b, convention)));
            prop_assert!(finite(deflection::angle_deg(a, b, convention)));
            let _ = deflection::tolerance_band_mm(a, b, c, d, convention);
            let _ = deflection::implied_radius_mm(a, b, convention);
        }
        prop_assert!(finite(airspeed::impact_pressure_pa(a)));
        prop_assert!(finite(airspeed::speed_mps(a)));
        prop_assert!(finite(leak::pressure_pa(a)));
        prop_assert!(finite(leak::pressure_altitude_ft(a)));
        let _ = leak::judge(leak::Hold { start: a, end: b, seconds: c }, leak::LeakLimit { loss: d, hold_s: e });
        let _ = weighing::cg_from_reaction(a, b, c, d);
        let _ = weighing::chord_from_two_positions([a, b], [c, d]);
        let _ = weighing::mass_to_move_kg(a, b, c, d, e);
        if let Ok(table) = tension::TensionTable::new(vec![(a, b), (c, d)]) {
            let _ = table.judge(e, a, b);
        }
        let nominal = Some(symmetry::Nominal { value: c, minus: d, plus: e });
        let _ = symmetry::compare(a, b, symmetry::SymmetryLimit { nominal, side_to_side: Some(e) });
        let frequency = |hz, u_hz| frequency::Frequency { hz, u_hz, repeats: 1 };
        let _ = frequency::change(frequency(a, b), frequency(c, d), e, true);
        let _ = frequency::from_counts(&[frequency::Count { cycles: a, time_s: b, u_time_s: c, u_cycles: d }]);
    }

    #[test]
    fn loads(v in proptest::collection::vec(any_number(), 10)) {
        let glider = loading::Loading {
            empty_kg: v[0], empty_cg: v[1], cockpit_arm: v[2], forward_limit: v[3], aft_limit: v[4], max_mass_kg: v[5],
            lifting_parts_kg: Some(v[6]), max_non_lifting_kg: Some(v[7]), seat_min_kg: v[8], seat_max_kg: v[9],
        };
        let _ = glider.cockpit_loads();
        let _ = glider.with_mass_added(v[3], v[7], true);
    }

    #[test]
    fn maps_and_taps(v in proptest::collection::vec(proptest::option::of(any_number()), 0..20), u in any_number()) {
        let _ = tap_map::outliers(&v, u);
        let _ = tap_map::mirror(&v, &v, u);
        let samples: Vec<f64> = v.iter().map(|x| x.unwrap_or(0.0)).collect();
        let _ = tap::point_from_recording(&samples, u, &tap::TapSettings::default());
    }

    #[test]
    fn noise_recordings(v in proptest::collection::vec(proptest::num::f32::ANY, 0..400), fs in 1.0f64..100.0, s in any_number()) {
        let settings = noise::NoiseSettings { band_low_hz: 0.1 * fs, hop_s: s.abs() / 100.0, ..Default::default() };
        let _ = noise::detect(&v, fs, &settings);
        let _ = noise::detect(&v, fs, &noise::NoiseSettings { floor_window_s: s, quiet_percentile: s, ..settings });
    }
}
