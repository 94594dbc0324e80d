//! What of the Web Content Accessibility Guidelines 2.2 (W3C Recommendation; the numbers are its success criteria, from
//! memory) can be told from the page alone. What needs a browser is asked by tests/accessibility/run.

use std::collections::BTreeMap;

use super::html::{contrast, elements};
use super::made::{bench, forms, text_of, walked};
use crate::binary::GLIDER;

type Element = (String, BTreeMap<String, String>);

/// The airframe whose annual the demo leaves half done.
const HALF_DONE: &str = "XX-DR4";

/// A released annual, a running one, a grounded draft with struck entries, a paper worksheet.
fn pages(test: &str) -> Vec<(&'static str, String)> {
    let place = walked();
    let sheet = place.beside(&format!("{test}-sheet.html"));
    let out = sheet.to_str().expect("a path");
    place.run(&["worksheet", HALF_DONE, "--form", "html", "--out", out]).tells(0, &["written"]);
    let of = |registration, name: &str| text_of(registration, &format!("{test}-{name}"), &["--form", "html"]);
    vec![
        ("released", of(GLIDER, "released.html")),
        ("running", of(HALF_DONE, "running.html")),
        ("grounded", forms(&bench("rib broken")).html),
        ("worksheet", std::fs::read_to_string(&sheet).expect("text")),
    ]
}

fn of_name<'e>(elements: &'e [Element], name: &'e str) -> impl Iterator<Item = &'e Element> {
    elements.iter().filter(move |(found, _)| found == name)
}

fn has(element: &Element, key: &str, value: &str) -> bool {
    element.1.get(key).is_some_and(|found| found == value)
}

/// What stands between the tag that holds `mark` and the next tag.
fn words_behind(page: &str, mark: &str) -> String {
    let rest = page.split_once(mark).unwrap_or_else(|| panic!("no {mark}")).1;
    let rest = rest.split_once('>').expect("the end of the tag").1;
    rest.split('<').next().unwrap_or_default().trim().to_string()
}

#[test]
fn criterion_1_1_1_pictures_are_told_in_words() {
    let mut pictures = 0;
    for (name, page) in pages("pictures") {
        for svg in of_name(&elements(&page), "svg") {
            pictures += 1;
            assert!(has(svg, "role", "img"), "{name}: {svg:?}");
            let ids: Vec<&str> = svg.1["aria-labelledby"].split(' ').collect();
            assert_eq!(ids.len(), 2, "{name}: title and description");
            for id in ids {
                let words = words_behind(&page, &format!("id=\"{id}\""));
                assert!(words.chars().count() > 10, "{name}, {id}: {words:?}");
            }
        }
    }
    assert!(pictures >= 4, "{pictures} pictures");
}

#[test]
fn criterion_1_3_1_one_title_and_headings_that_skip_no_level() {
    for (name, page) in pages("headings") {
        let elements = elements(&page);
        assert_eq!(of_name(&elements, "h1").count(), 1, "{name}");
        let mut last = 0;
        for (tag, _) in &elements {
            let level = tag.strip_prefix('h').and_then(|digits| digits.parse::<u32>().ok());
            if let Some(level) = level {
                assert!(level <= last + 1, "{name}: h{level} after h{last}");
                last = level;
            }
        }
        assert!(last > 1, "{name} has headings");
    }
}

/// Every row has as many columns as the head, counted with what cells reach over, and every row of cells one name.
#[test]
fn criterion_1_3_1_tables_are_regular_and_every_cell_has_its_heads() {
    for (name, page) in pages("tables") {
        let mut rows = 0;
        for table in page.split("<table>").skip(1).map(|rest| rest.split("</table>").next().expect("its end"))
        {
            let (caption, table) = table.split_once("</caption>").expect("a caption");
            assert!(caption.len() > "<caption>".len() + 3, "{name}: {caption}");
            let (head, bodies) = table.split_once("</thead>").expect("a head");
            let columns = head.matches("<th scope=\"col\"").count();
            assert!(columns > 0 && !head.contains("<td"), "{name}: {head}");
            for row in bodies.split("<tr").skip(1).map(|rest| rest.split("</tr>").next().expect("its end")) {
                rows += 1;
                let cells = row.matches("<td").count() + row.matches("<th").count();
                let over: usize = row
                    .split("colspan=\"")
                    .skip(1)
                    .map(|rest| {
                        rest.split('"').next().expect("a number").parse::<usize>().expect("whole") - 1
                    })
                    .sum();
                assert_eq!(cells + over, columns, "{name}: {row}");
                let names = row.matches("<th scope=\"row").count();
                let is_extra = ["note", "detail", "blank"]
                    .iter()
                    .any(|class| row.contains(&format!("class=\"{class}\"")));
                assert_eq!(names, usize::from(!is_extra), "{name}: {row}");
            }
        }
        assert!(rows > 10, "{name}: {rows} rows");
    }
}

/// A step is named by its title, not by how it was answered, and what is told about it stands in its own group of rows.
#[test]
fn criterion_1_3_1_a_step_names_its_rows() {
    let page = text_of(GLIDER, "steps.html", &["--form", "html", "--only", "worksheet"]);
    assert!(page.contains("<th scope=\"rowgroup\"><strong>Hours and launches</strong>"), "{page}");
    assert!(
        !page.contains("<th scope=\"row\">✓ passed") && !page.contains("<th scope=\"rowgroup\">✓ passed")
    );
}

#[test]
fn criterion_1_4_3_words_in_pictures_are_dark_enough() {
    let mut checked = 0;
    for (name, page) in pages("contrast") {
        for text in of_name(&elements(&page), "text") {
            let found = contrast(&text.1["fill"], "#ffffff");
            assert!(found >= 4.5, "{name}: {} has {found:.2}", text.1["fill"]);
            checked += 1;
        }
    }
    assert!(checked > 40, "{checked} words");
}

#[test]
fn criterion_2_1_1_and_2_4_3_keys_reach_everything_in_the_order_of_the_page() {
    for (name, page) in pages("keys") {
        let elements = elements(&page);
        let mut stops = elements.iter().filter(|(tag, found)| tag == "a" || found.contains_key("tabindex"));
        // 2.4.1: the first stop leads past everything that comes again.
        let first = stops.next().expect("a stop");
        assert!(has(first, "class", "skip") && has(first, "href", "#content"), "{name}: {first:?}");
        assert!(of_name(&elements, "main").all(|main| has(main, "id", "content")), "{name}");
        for stop in stops {
            assert!(stop.0 == "a" || has(stop, "tabindex", "0"), "{name}: {stop:?}");
        }
        // What is wider than the window is moved about by keys.
        for wide in elements
            .iter()
            .filter(|(_, found)| found.get("class").is_some_and(|class| class.starts_with("wide")))
        {
            assert!(has(wide, "tabindex", "0") && has(wide, "role", "group"), "{name}: {wide:?}");
            assert!(
                wide.1.contains_key("aria-label") || wide.1.contains_key("aria-labelledby"),
                "4.1.2, {name}"
            );
        }
    }
}

#[test]
fn criterion_2_4_1_everything_stands_in_one_of_four_landmarks() {
    for (name, page) in pages("landmarks") {
        let elements = elements(&page);
        for landmark in ["header", "nav", "main", "footer"] {
            assert_eq!(of_name(&elements, landmark).count(), 1, "{name}: {landmark}");
        }
        assert!(elements.iter().all(|element| !has(element, "role", "region")), "{name}");
    }
}

#[test]
fn criteria_2_4_2_2_4_4_and_3_1_1_title_links_and_language() {
    for (name, page) in pages("words") {
        assert!(page.contains("<html lang=\"en\">"), "{name}");
        let title = words_behind(&page, "<title");
        assert!(title.contains(": ") && title.len() > 12, "{name}: {title}");
        for link in page.split("<a ").skip(1) {
            let words = link.split_once('>').expect("its end").1.split("</a>").next().expect("its words");
            assert!(words.chars().any(char::is_alphanumeric), "{name}: {words:?}");
        }
    }
}

/// 1.4.4 and 1.4.10: sizes follow the reader's own, and nobody is kept from enlarging.
#[test]
fn criteria_1_4_4_and_1_4_10_the_page_can_be_enlarged() {
    for (name, page) in pages("zoom") {
        assert!(page.contains("content=\"width=device-width, initial-scale=1\""), "{name}");
        let style =
            page.split("<style>").nth(1).and_then(|rest| rest.split("@page").next()).expect("a style");
        for rule in style.split(['{', ';']).filter(|rule| rule.trim_start().starts_with("font-size")) {
            assert!(rule.contains("rem") || rule.contains("em") || rule.contains('%'), "{name}: {rule}");
        }
    }
}
