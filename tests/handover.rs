//! Openings checked against hidden items: hand-worked cases, a raster of 1 mm, and what may never happen.

mod support;

mod handover {
    mod language;
    mod raster;
}

use spanwise::checklist::{HiddenItem, HiddenKind, Kind, MappedArea, Side, TypeData, read_checklist};
use spanwise::handover::{
    CAUTION, Check, DEFAULT_MARGIN_MM, Margin, Material, NotChosen, Opening, Outcome, brief, brief_text,
    check_opening, check_text, choose_defects,
};
use spanwise::plan::Plan;
use spanwise::quantity::{LengthRange, Number};
use spanwise::state::State;
use support::{SUPPLEMENT, source, texts};

fn number(text: &str) -> Number {
    text.parse().unwrap_or_else(|error| panic!("{error}"))
}

fn range(text: &str) -> LengthRange {
    LengthRange::parse(text, false).unwrap_or_else(|error| panic!("{error}"))
}

fn item(id: &str, side: Option<Side>, station: &str, height: &str, tolerance_mm: &str) -> HiddenItem {
    HiddenItem {
        id: id.to_string(),
        title: format!("the {id}"),
        kind: HiddenKind::Rib,
        component: "fin".to_string(),
        side,
        station: range(station),
        height: range(height),
        tolerance_mm: number(tolerance_mm),
        source: "invented".to_string(),
        note: None,
    }
}

fn area(side: Option<Side>, station: &str, height: &str) -> MappedArea {
    MappedArea {
        component: "fin".to_string(),
        side,
        station: range(station),
        height: range(height),
        source: "invented".to_string(),
        note: None,
    }
}

fn type_data(items: Vec<HiddenItem>, areas: Vec<MappedArea>) -> TypeData {
    TypeData {
        id: "ostrel".to_string(),
        name: "Ostrel (invented)".to_string(),
        seats: 1,
        datum: "wing root".to_string(),
        fin_side_load_ceiling: None,
        build_standards: Vec::new(),
        stated_variation: None,
        height_datum: Some("boom centre line".to_string()),
        opening_margin_mm: None,
        hidden_items: items,
        mapped_areas: areas,
        outline: None,
    }
}

fn margin(mm: &str) -> Margin {
    Margin { mm: number(mm), source: "test".to_string() }
}

fn check(opening: &str, mm: &str, data: &TypeData) -> Check {
    let opening = Opening::parse(opening).unwrap_or_else(|error| panic!("{error}"));
    check_opening(&opening, &margin(mm), Some(data))
}

/// A rib over stations 100..104, heights 0..100, known to 2 mm, in an area of 0..300 by -100..300.
fn one_rib() -> TypeData {
    type_data(vec![item("rib", None, "100..104", "0..100", "2")], vec![area(None, "0..300", "-100..300")])
}

/// Worked by hand: gap = 100 - (end of the opening); room = gap - 2; clear from room = margin on.
#[test]
fn tolerance_and_margin_add_up_along_the_station() {
    for (opening, outcome) in [
        ("fin 50..77.9 x 20..60", Outcome::Clear),
        ("fin 50..78 x 20..60", Outcome::Clear),
        ("fin 50..78.001 x 20..60", Outcome::Near),
        ("fin 50..97.999 x 20..60", Outcome::Near),
        ("fin 50..98 x 20..60", Outcome::Cuts),
        ("fin 50..100 x 20..60", Outcome::Cuts),
        ("fin 101..103 x 20..60", Outcome::Cuts),
        ("fin 104..110 x 20..60", Outcome::Cuts),
        ("fin 126..150 x 20..60", Outcome::Clear),
        ("fin 90..110 x 122..140", Outcome::Clear),
        ("fin 90..110 x 121.9..140", Outcome::Near),
        ("fin 90..110 x -60..-22", Outcome::Clear),
    ] {
        assert_eq!(check(opening, "20", &one_rib()).outcome, outcome, "{opening}");
    }
}

#[test]
fn the_figures_are_exact_and_told() {
    let cut = check("fin 50..110.25 x 20..60", "20", &one_rib());
    let conflict = &cut.cuts[0];
    assert_eq!(conflict.gap_mm, number("-10.25"), "110.25 - 100 is the shorter way out");
    assert_eq!(conflict.room_mm, number("-12.25"));
    assert_eq!(conflict.short_mm, number("32.25"));
    let words = check_text(&cut);
    assert!(words.contains("by 10.25 mm as entered") && words.contains("up to 12.25 mm"), "{words}");
    assert!(words.contains("tolerance 2 mm") && words.contains("32.25 mm are missing"), "{words}");
    let near = check("fin 50..80.1 x 20..60", "20", &one_rib());
    assert_eq!(near.near[0].room_mm, number("17.9"));
    assert_eq!(near.near[0].short_mm, number("2.1"));
    let clear = check("fin 50..70.5 x 20..60", "20", &one_rib());
    let nearest = clear.nearest.unwrap_or_else(|| panic!("no nearest item"));
    assert_eq!((nearest.gap_mm, nearest.left_mm), (number("29.5"), number("7.5")));
    let inches = check("fin 2..3 in x 1..2 in", "20", &one_rib());
    assert_eq!(inches.nearest.map(|nearest| nearest.gap_mm), Some(number("23.8")), "100 - 76.2");
}

/// A corner 30 mm away both ways is 42 mm away straight; the check counts 30, on the safe side.
#[test]
fn over_a_corner_the_smaller_figure_counts() {
    let clear = check("fin 40..70 x 130..160", "28", &one_rib());
    assert_eq!((clear.outcome, clear.nearest.map(|one| one.gap_mm)), (Outcome::Clear, Some(number("30"))));
    assert_eq!(check("fin 40..70 x 130..160", "28.1", &one_rib()).outcome, Outcome::Near);
}

#[test]
fn all_items_are_told_worst_first() {
    let data = type_data(
        vec![
            item("a", None, "100..104", "0..100", "0"),
            item("b", None, "60..70", "0..100", "0"),
            item("c", None, "125..130", "0..100", "0"),
        ],
        vec![area(None, "0..300", "-100..300")],
    );
    let found = check("fin 40..110 x 20..60", "20", &data);
    let ids = |conflicts: &[spanwise::handover::Conflict]| -> Vec<String> {
        conflicts.iter().map(|conflict| conflict.item.id.clone()).collect()
    };
    assert_eq!(ids(&found.cuts), ["b", "a"], "30 mm deep, then 10");
    assert_eq!(ids(&found.near), ["c"]);
    assert_eq!(found.outcome, Outcome::Cuts);
}

#[test]
fn no_side_means_both() {
    let of = |items: Vec<HiddenItem>| type_data(items, vec![area(None, "0..300", "-100..300")]);
    let left = of(vec![item("cable", Some(Side::Left), "100..104", "0..100", "2")]);
    let middle = of(vec![item("rod", None, "100..104", "0..100", "2")]);
    for (data, opening, outcome) in [
        (&left, "fin left 90..110 x 20..60", Outcome::Cuts),
        (&left, "fin right 90..110 x 20..60", Outcome::Clear),
        (&left, "fin 90..110 x 20..60", Outcome::Cuts),
        (&left, "fin both 90..110 x 20..60", Outcome::Cuts),
        (&middle, "fin left 90..110 x 20..60", Outcome::Cuts),
        (&middle, "fin right 90..110 x 20..60", Outcome::Cuts),
    ] {
        assert_eq!(check(opening, "20", data).outcome, outcome, "{opening}");
    }
}

#[test]
fn nothing_is_clear_where_the_data_are_missing() {
    let mapped_left = type_data(Vec::new(), vec![area(Some(Side::Left), "0..300", "0..300")]);
    assert_eq!(check("fin left 100..200 x 100..200", "20", &mapped_left).outcome, Outcome::Clear);
    let right = check("fin right 100..200 x 100..200", "20", &mapped_left);
    assert_eq!(right.outcome, Outcome::NotMapped);
    let both = check("fin 100..200 x 100..200", "20", &mapped_left);
    assert_eq!((both.outcome, both.unmapped[0].side), (Outcome::NotMapped, Some(Side::Right)));
    // The margin has to be mapped as well: 20 mm from the edge are, 19 are not.
    assert_eq!(check("fin left 100..280 x 100..200", "20", &mapped_left).outcome, Outcome::Clear);
    let beyond = check("fin left 100..281 x 100..200", "20", &mapped_left);
    assert_eq!(beyond.outcome, Outcome::NotMapped);
    assert!(beyond.unmapped.iter().all(|part| part.only_margin));
    assert_eq!(beyond.unmapped[0].rect.station, range("300..301"));
    // Another component, and no data at all.
    let boom = check("tail-boom 100..200 x 100..200", "20", &mapped_left);
    assert_eq!((boom.outcome, boom.known_components), (Outcome::NotMapped, vec!["fin".to_string()]));
    let opening = Opening::parse("Fin left 1..2 x 1..2").unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(check_opening(&opening, &margin("0"), None).outcome, Outcome::NotMapped);
    // A known item that is cut is told although the place is not mapped.
    let unmapped = type_data(vec![item("rib", None, "100..104", "0..100", "2")], Vec::new());
    let cut = check("fin 90..110 x 20..60", "20", &unmapped);
    assert_eq!((cut.outcome, cut.unmapped.is_empty()), (Outcome::Cuts, false));
    assert!(check_text(&cut).contains("part of it is not mapped"));
}

#[test]
fn two_areas_that_touch_cover_together_and_a_gap_between_them_is_found() {
    let areas = |first: &str| {
        type_data(Vec::new(), vec![area(None, first, "0..300"), area(None, "150..300", "0..300")])
    };
    assert_eq!(check("fin 100..200 x 100..200", "20", &areas("0..150")).outcome, Outcome::Clear);
    let gap = check("fin 100..200 x 100..200", "0", &areas("0..149.5"));
    assert_eq!(gap.outcome, Outcome::NotMapped);
    assert_eq!(gap.unmapped.len(), 1);
    assert_eq!(gap.unmapped[0].rect.station, range("149.5..150"));
}

#[test]
fn the_margin_says_where_it_comes_from() {
    let mut data = one_rib();
    let choose = |typed: Option<&str>, data: &TypeData| Margin::choose(typed.map(number), Some(data));
    let default = choose(None, &data).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(default.mm, Number::from(DEFAULT_MARGIN_MM));
    assert!(default.source.contains("common practice, no source"));
    data.opening_margin_mm = Some(number("25"));
    assert_eq!(choose(None, &data).map(|margin| margin.mm), Ok(number("25")));
    assert!(
        choose(Some("24"), &data)
            .is_ok_and(|margin| margin.source.contains("LESS than the type's own 25 mm"))
    );
    assert!(choose(Some("25"), &data).is_ok_and(|margin| margin.source == "as typed"));
    assert!(choose(Some("-1"), &data).is_err_and(|error| error.contains("negative")));
}

#[test]
fn what_is_no_opening_says_how_one_is_typed() {
    for (text, words) in [
        ("fin left", "the station range is missing"),
        ("4250..4310 x 120..180", "the component is missing"),
        ("fin left 4250..4310", "the \"x\" between"),
        ("fin left 4250..4310 x", "the height range is missing"),
        ("fin left 4310..4250 x 120..180", "the smaller value comes first"),
        ("fin left 4250..4310 x 120..180 N", "is a force"),
    ] {
        let error =
            Opening::parse(text).map_or_else(|error| error.to_string(), |opening| panic!("{opening}"));
        assert!(error.contains(words) && error.contains("fin left 4250..4310 x 120..180"), "{error}");
    }
    let wing = Opening::parse("left wing 1..2 x -3..4 cm").unwrap_or_else(|error| panic!("{error}"));
    assert_eq!((wing.component.as_str(), wing.side), ("left wing", None));
    assert_eq!(wing.rect.height, range("-30..40"));
}

const ITEM: &str = r#"
[[hidden_item]]
id = "fin-rib-1"
title = "Rib 1"
kind = "rib"
component = "fin"
station = "4100..4650 mm"
height = "7..8 cm"
tolerance = "5 mm"
source = "invented"
"#;

const AREA: &str = r#"
[[mapped_area]]
component = "fin"
side = "left"
station = "4100..4650 mm"
height = "0..1 m"
source = "invented"
"#;

fn supplement(more: &str) -> String {
    let with_datum = SUPPLEMENT.replace("[type]", "[type]\nheight_datum = \"boom centre line\"");
    format!("{with_datum}{more}")
}

fn read(text: &str) -> Result<TypeData, String> {
    match read_checklist(&source("ostrel-supplement", "1.0.0", text)) {
        Ok(checklist) => match checklist.kind {
            Kind::Supplement(supplement) => Ok(supplement.of_type),
            _ => Err("no supplement".to_string()),
        },
        Err(faults) => Err(texts(&faults)),
    }
}

#[test]
fn items_and_areas_are_read_and_frozen_into_the_plan() {
    let data = read(&supplement(&format!("{ITEM}{AREA}"))).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(data.hidden_items[0].height, range("70..80"));
    assert_eq!(data.mapped_areas[0].side, Some(Side::Left));
    let mut plan = support::small_plan();
    let before = plan.to_bytes().unwrap_or_else(|error| panic!("{error}"));
    let words = String::from_utf8_lossy(&before).into_owned();
    assert!(!words.contains("hidden_items") && !words.contains("height_datum"), "an old plan keeps its hash");
    plan.of_type = Some(data);
    let bytes = plan.to_bytes().unwrap_or_else(|error| panic!("{error}"));
    let again = Plan::from_bytes(&bytes).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(again.of_type, plan.of_type);
    assert_eq!(again.to_bytes(), Ok(bytes), "a plan read back hashes to the same");
    assert_eq!(
        Plan::from_bytes(&before).map(|plan| plan.of_type.map(|of| of.hidden_items.len())),
        Ok(Some(0))
    );
}

#[test]
fn faults_of_items_and_areas_are_told_with_their_place() {
    for (from, to, code) in [
        ("title = \"Rib 1\"", "titel = \"Rib 1\"", "unknown-key"),
        ("source = \"invented\"\n", "", "missing-key"),
        ("\"4100..4650 mm\"", "\"4650..4100 mm\"", "range-upside-down"),
        ("\"4100..4650 mm\"", "\"4100..4650\"", "unit-missing"),
        ("\"4100..4650 mm\"", "\"4100 mm\"", "not-a-range"),
        ("\"7..8 cm\"", "\"7..8 kg\"", "not-a-range"),
        ("tolerance = \"5 mm\"", "tolerance = \"5\"", "not-a-quantity"),
        ("tolerance = \"5 mm\"", "tolerance = \"-5 mm\"", "negative-length"),
        ("kind = \"rib\"", "kind = \"ribs\"", "unknown-word"),
        ("component = \"fin\"", "component = \"fin\"\nside = \"both\"", "unknown-word"),
        ("id = \"fin-rib-1\"", "id = \"Fin rib\"", "id-form"),
    ] {
        let text = supplement(&ITEM.replacen(from, to, 1));
        assert_ne!(text, supplement(ITEM), "{from} is not in the text");
        let told = read(&text).map_or_else(|told| told, |_| panic!("read without a fault: {to}"));
        assert!(told.contains(code) && told.contains("ostrel-supplement/1.0.0.toml:"), "{code} in {told}");
    }
    let twice = read(&supplement(&format!("{ITEM}{ITEM}"))).map_or_else(|told| told, |_| panic!("read"));
    assert!(twice.contains("duplicate-hidden-item"), "{twice}");
    let area =
        read(&supplement(&AREA.replace("source", "sorce"))).map_or_else(|told| told, |_| panic!("read"));
    assert!(area.contains("\"sorce\" is not a key of a mapped area"), "{area}");
    let no_datum = read(&format!("{SUPPLEMENT}{ITEM}")).map_or_else(|told| told, |_| panic!("read"));
    assert!(no_datum.contains("height-datum-missing"), "{no_datum}");
    let module = read(&format!("{}{ITEM}", support::MODULE)).map_or_else(|told| told, |_| panic!("read"));
    assert!(module.contains("unknown-key"), "only a supplement has hidden items: {module}");
}

#[test]
fn a_session_without_a_defect_has_nothing_to_hand_over() {
    let plan = support::small_plan();
    let state = State::new(&plan);
    let none = choose_defects(&state, &[]);
    assert_eq!(none, Err(NotChosen::NoneGrounds { standing: Vec::new() }));
    let unknown = choose_defects(&state, &["d7".to_string()]);
    assert!(unknown.is_err_and(|error| error.to_string().contains("no defect \"d7\"")));
    let material = Material {
        session: "s",
        plan: &plan,
        plan_hash: "h",
        state: &state,
        record_faults: &["torn".to_string()],
    };
    let text = brief_text(&brief(&material, &[], &[], &margin("20")));
    assert!(text.contains("THE RECORD IS DAMAGED: torn"), "{text}");
    assert!(text.contains("holds no hidden item and no mapped area"), "{text}");
    assert!(text.replace('\n', " ").split_whitespace().collect::<Vec<_>>().join(" ").contains(CAUTION));
}
