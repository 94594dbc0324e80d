//! Rates and trends against scipy, statsmodels and full enumeration
//! (sources beside the values in `reference/rates.toml`, `reference/trend.toml`).

use crate::values::{block, cases, close, get, list, parse, rows};
use spanwise::measure::burst_comparison::{Answer as Bursts, Doubt, Recording, compare_bursts};
use spanwise::measure::rates::{
    Count, RateError, clustered_ratio, clustering, fewest_events, mean_interval, p_not_above, rate_ratio,
    upper_rate_without_event,
};
use spanwise::measure::trend::{Annual, Answer, TrendError, change, mann_kendall, theil_sen, trend};
use toml::Table;

fn rates() -> Table {
    parse(include_str!("../reference/rates.toml"))
}

fn trends() -> Table {
    parse(include_str!("../reference/trend.toml"))
}

fn counts(table: &Table) -> (Count, Count) {
    let count = |k: &str, n: &str| Count { events: get(table, k) as u64, exposure: get(table, n) };
    (count("k1", "n1"), count("k2", "n2"))
}

#[test]
fn exact_rate_ratios_agree_with_scipy() {
    let root = rates();
    let mut all = cases(block(&root, "poisson.cases"), "cases");
    all.push(block(&root, "poisson.seed_example"));
    assert_eq!(all.len(), 7);
    for case in all {
        let (first, second) = counts(case);
        let found = rate_ratio(first, second, 0.95).unwrap();
        close(found.p_value, get(case, "p_doubled_tail"), 1e-9, "p");
        close(found.ratio, get(case, "ratio"), 1e-12, "ratio");
        close(found.interval.lower, list(case, "ratio_ci")[0], 1e-9, "interval");
        close(found.interval.upper, list(case, "ratio_ci")[1], 1e-9, "interval");
        // The mirror image: same p, inverted interval.
        let mirror = rate_ratio(second, first, 0.95).unwrap();
        close(mirror.p_value, found.p_value, 1e-9, "p of the mirror image");
        close(1.0 / mirror.interval.upper, found.interval.lower, 1e-9, "inverted interval");
    }
    let table = block(&root, "poisson.statsmodels_crosscheck");
    let (first, second) = counts(table);
    close(rate_ratio(first, second, 0.95).unwrap().p_value, get(table, "p_exact_cond"), 1e-9, "exact-cond");
}

#[test]
fn fewest_events_and_limits_of_a_poisson_mean() {
    let root = rates();
    for row in rows(block(&root, "poisson.smallest_p_equal_exposure"), "rows") {
        let one_side = Count { events: row[0] as u64, exposure: 6.0 };
        let none = Count { events: 0, exposure: 6.0 };
        close(rate_ratio(one_side, none, 0.95).unwrap().p_value, row[1], 1e-12, "all on one side");
    }
    assert_eq!(fewest_events(6.0, 6.0, 0.05), Ok(6), "K < 6 can never give p < 0.05");
    let expected = get(block(&root, "poisson.zero_count_upper"), "rate_upper_times_exposure");
    close(upper_rate_without_event(1.0, 0.95).unwrap(), expected, 1e-12, "no event");
    close(upper_rate_without_event(6.0, 0.95).unwrap(), expected / 6.0, 1e-12, "no event in 6 cycles");
    for row in rows(block(&root, "poisson.exact_ci95"), "rows") {
        let found = mean_interval(row[0] as u64, 0.95);
        close(found.lower, row[1], 1e-9, "Garwood");
        close(found.upper, row[2], 1e-9, "Garwood");
    }
}

#[test]
fn clustering_and_widened_ratio() {
    let root = rates();
    for case in cases(block(&root, "poisson.dispersion"), "cases") {
        let per_cycle: Vec<u64> = list(case, "counts_per_cycle").iter().map(|x| *x as u64).collect();
        let found = clustering(&per_cycle).unwrap();
        close(found.index, get(case, "index"), 1e-12, "index");
        close(found.phi, get(case, "phi"), 1e-12, "phi");
        assert_eq!(found.degrees_of_freedom as f64, get(case, "df"));
        close(found.p_value, get(case, "p"), 1e-8, "p");
    }
    let table = block(&root, "poisson.overdispersed");
    let (first, second) = counts(table);
    let found = clustered_ratio(first, second, get(table, "phi"), 0.95).unwrap();
    close(found.ratio.ln(), get(table, "log_ratio"), 1e-12, "log ratio");
    close(found.interval.lower, list(table, "ci")[0], 1e-11, "interval");
    close(found.interval.upper, list(table, "ci")[1], 1e-11, "interval");
    close(found.p_value, get(table, "p"), 1e-10, "p");
    assert_eq!(clustering(&[1, 2, 3]), Err(RateError::TooFewCycles { found: 3 }));
    assert_eq!(clustering(&[0; 6]), Err(RateError::NoEvent));
    let none = Count { events: 0, exposure: 6.0 };
    assert_eq!(clustered_ratio(first, none, 2.0, 0.95), Err(RateError::NoEventOnOneSide));
    let empty = Count { events: 0, exposure: 0.0 };
    assert_eq!(rate_ratio(empty, first, 0.95), Err(RateError::Exposure { value: 0.0 }));
}

fn recording(counts_per_cycle: &[u64]) -> Recording {
    Recording {
        exposure_cycles: counts_per_cycle.len() as f64,
        counts_per_cycle: counts_per_cycle.to_vec(),
        masked_share: 0.05,
        quiet_floor_db: -60.0,
        set_up: "contact microphone, boom top, 44.1 kHz".to_string(),
        control: None,
    }
}

#[test]
fn bursts_doubts_come_before_the_test() {
    // Counts of the first case of `poisson.cases`: 18 and 5 in 6 cycles, p = 0.0106.
    let loud = recording(&[5, 3, 2, 3, 1, 4]);
    let quiet = recording(&[1, 0, 1, 1, 2, 0]);
    let answer = |a: &Recording, b: &Recording| compare_bursts(a, b).unwrap().answer;
    assert_eq!(answer(&loud, &quiet), Bursts::More);
    assert_eq!(answer(&quiet, &loud), Bursts::Fewer);
    assert_eq!(answer(&loud, &loud), Bursts::NoDifferenceShown);
    let masked = Recording { masked_share: 0.34, ..loud.clone() };
    assert_eq!(answer(&masked, &quiet), Bursts::CannotTell(Doubt::Masked));
    let other = Recording { quiet_floor_db: -53.0, ..quiet.clone() };
    assert_eq!(answer(&loud, &other), Bursts::CannotTell(Doubt::RecordingsDiffer));
    let few = recording(&[1, 0, 1, 0, 1, 0]);
    assert_eq!(answer(&few, &recording(&[0; 6])), Bursts::CannotTell(Doubt::TooFew { found: 3, needed: 6 }));
    let control = Some(Count { events: 12, exposure: 6.0 });
    let drowned = Recording { control, ..loud.clone() };
    assert_eq!(answer(&drowned, &quiet), Bursts::CannotTell(Doubt::Background));
    let control = Some(Count { events: 0, exposure: 6.0 });
    let proven = Recording { control, ..loud };
    assert_eq!(answer(&proven, &quiet), Bursts::More);
    // Second case of `poisson.dispersion`: phi 14.8 against 0.7, mean 7.7.
    let train = recording(&[19, 3, 1, 0, 0, 0]);
    let found = compare_bursts(&train, &quiet).unwrap();
    assert_eq!(found.answer, Bursts::CannotTell(Doubt::Clustered));
    assert!(found.phi > 5.0);
}

#[test]
fn one_sided_control_test() {
    // By hand: 6 events against none at equal exposure, 0.5^6.
    let six = Count { events: 6, exposure: 5.0 };
    let none = Count { events: 0, exposure: 5.0 };
    close(p_not_above(six, none).unwrap(), 0.015625, 1e-12, "one-sided p");
}

#[test]
fn mann_kendall_and_theil_sen_agree_with_scipy() {
    let root = trends();
    let table = block(&root, "trend.frequency");
    let (years, values) = (list(table, "year"), list(table, "value_Hz"));
    let test = mann_kendall(&values);
    assert_eq!(test.s as f64, get(table, "S"));
    assert!(test.exact);
    close(test.tau, get(table, "tau"), 1e-12, "tau");
    close(test.p_value, get(table, "p_exact_two_sided"), 1e-12, "p");
    let line = theil_sen(&years, &values, 0.95).unwrap();
    close(line.slope, get(table, "slope_per_year"), 1e-11, "slope");
    close(line.intercept, get(table, "intercept_at_year_zero"), 1e-11, "intercept");
    close(line.slope_interval.lower, list(table, "slope_ci95")[0], 1e-11, "slope interval");
    close(line.slope_interval.upper, list(table, "slope_ci95")[1], 1e-11, "slope interval");
}

#[test]
fn ties_are_kept_in_the_exact_p() {
    let root = trends();
    let table = block(&root, "trend.ties");
    let values = list(table, "value");
    let test = mann_kendall(&values);
    assert_eq!(test.s as f64, get(table, "S"));
    close(test.p_value, get(table, "p_exact_two_sided"), 1e-12, "p");
    let line = theil_sen(&[0.0, 1.0, 2.0, 3.0, 4.0], &values, 0.95).unwrap();
    close(line.slope, get(table, "slope"), 1e-12, "slope");
}

/// |S| >= |s| counted over every order of the values, the definition itself.
fn enumerated_p(values: &[f64]) -> f64 {
    fn orders(rest: &mut Vec<f64>, from: usize, visit: &mut impl FnMut(&[f64])) {
        if from == rest.len() {
            return visit(rest);
        }
        for i in from..rest.len() {
            rest.swap(from, i);
            orders(rest, from + 1, visit);
            rest.swap(from, i);
        }
    }
    let s = |v: &[f64]| -> i64 {
        (0..v.len())
            .map(|i| (i + 1..v.len()).map(|j| i64::from(v[j] > v[i]) - i64::from(v[j] < v[i])).sum::<i64>())
            .sum()
    };
    let observed = s(values).abs();
    let (mut extreme, mut all) = (0_u32, 0_u32);
    orders(&mut values.to_vec(), 0, &mut |order| {
        all += 1;
        extreme += u32::from(s(order).abs() >= observed);
    });
    f64::from(extreme) / f64::from(all)
}

#[test]
fn exact_p_is_that_of_full_enumeration() {
    let sets: [&[f64]; 5] = [
        &[1.0, 2.0, 2.0, 3.0, 3.0, 3.0, 5.0],
        &[4.0, 4.0, 1.0, 1.0, 2.0, 2.0],
        &[7.0, 7.0, 7.0, 7.0, 7.0],
        &[1.0, 1.0, 2.0, 1.0, 2.0, 2.0, 2.0],
        &[3.0, 1.0, 4.0, 1.5, 9.0, 2.6],
    ];
    for values in sets {
        close(mann_kendall(values).p_value, enumerated_p(values), 1e-12, &format!("{values:?}"));
    }
}

#[test]
fn smallest_p_and_critical_s() {
    let root = trends();
    for row in rows(block(&root, "trend.smallest_p"), "rows") {
        let rising: Vec<f64> = (0..row[0] as usize).map(|i| i as f64).collect();
        let test = mann_kendall(&rising);
        assert_eq!(test.s as f64, row[1]);
        close(test.p_value, row[2], 1e-12, "2/n!");
    }
    for row in rows(block(&root, "trend.critical_S_two_sided_5pct"), "rows") {
        let (n, critical) = (row[0] as usize, row[1] as i64);
        close(mann_kendall(&order_with_s(n, critical)).p_value, row[2], 1e-12, "p at the critical S");
        assert!(
            mann_kendall(&order_with_s(n, critical - 2)).p_value > 0.05,
            "one step lower is not significant"
        );
    }
}

/// An order of 0..n with the wanted S: each inversion takes 2 from the largest S.
fn order_with_s(n: usize, s: i64) -> Vec<f64> {
    let mut order: Vec<f64> = (0..n).map(|i| i as f64).collect();
    let mut inversions = ((n * (n - 1) / 2) as i64 - s) / 2;
    for pass in 0..n {
        for i in 0..n - 1 - pass {
            if inversions > 0 {
                order.swap(i, i + 1);
                inversions -= 1;
            }
        }
    }
    order
}

fn annual(year: f64, value: f64, u: f64) -> Annual {
    Annual { year, value, standard_uncertainty: u, starts_new_series: None }
}

#[test]
fn two_annuals_are_a_change_and_no_trend() {
    let root = trends();
    let table = block(&root, "trend.two_annuals");
    let first = annual(2024.0, get(table, "first"), get(table, "u_first"));
    let latest = annual(2025.0, get(table, "latest"), get(table, "u_latest"));
    let found = change(&first, &latest);
    close(found.difference, get(table, "difference"), 1e-12, "difference");
    close(found.standard_uncertainty, get(table, "u_difference"), 1e-12, "u");
    close(found.ratio, get(table, "ratio"), 1e-12, "ratio");
    let changed = table.get("changed").unwrap().as_bool().unwrap();
    let answer = trend(&[first.clone(), latest.clone()]).unwrap().answer;
    assert_eq!(matches!(answer, Answer::Changed(_)), changed);
    let coarse = Annual { standard_uncertainty: 0.05, ..latest };
    let answer = trend(&[first.clone(), coarse]).unwrap().answer;
    assert!(matches!(answer, Answer::NoChangeLarger { than, .. } if than > 0.1));
    assert_eq!(trend(&[first]).unwrap().answer, Answer::InsufficientData { annuals: 1 });
    assert_eq!(trend(&[]).unwrap().answer, Answer::InsufficientData { annuals: 0 });
}

#[test]
fn trend_breaks_and_uncertainty() {
    let root = trends();
    let table = block(&root, "trend.frequency");
    let series = |u: f64| -> Vec<Annual> {
        list(table, "year").iter().zip(list(table, "value_Hz")).map(|(y, v)| annual(*y, v, u)).collect()
    };
    let found = trend(&series(0.02)).unwrap();
    assert_eq!(found.answer, Answer::TrendDown);
    assert!(found.next_year_change.is_some());
    assert_eq!(trend(&series(0.2)).unwrap().answer, Answer::BelowMeasurementUncertainty);
    let mut broken = series(0.02);
    broken[3].starts_new_series = Some("fin repaired".to_string());
    let found = trend(&broken).unwrap();
    assert_eq!((found.annuals, found.breaks.len()), (4, 1));
    assert!(found.mann_kendall.is_none(), "four annuals never make a trend");
    broken[5].year = 2020.0;
    assert_eq!(trend(&broken), Err(TrendError::NotInOrder { index: 5 }));
}

#[test]
fn many_annuals_use_the_normal_distribution() {
    let values: Vec<f64> = (0..12).map(|i| f64::from(i % 3)).collect();
    let found = mann_kendall(&values);
    assert!(!found.exact && found.p_value > 0.05);
    // From the published variance n(n-1)(2n+5)/18 = 3828/18 at n = 12, S = 66: z = 65/14.583.
    let rising: Vec<f64> = (0..12).map(f64::from).collect();
    let p = mann_kendall(&rising).p_value;
    assert!((p / 8.3e-6 - 1.0).abs() < 0.02, "two-sided normal tail beyond 4.457: {p}");
}
