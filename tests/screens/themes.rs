//! Themes on every screen: contrast, colour-blind eyes, no colour at all, few signs.

use std::collections::{BTreeMap, BTreeSet};

use ratatui::style::Color;
use spanwise::screen::Look;
use spanwise::screen::look::{sign_of_defect, sign_of_standing, sign_of_verdict};
use spanwise::screen::theme::{Depth, Mark, Theme};
use spanwise::state::{ReadingVerdict, Standing, StepStanding};

use crate::colours::{Eyes, Rgb, contrast, difference, rgb, shown, shown_on_console};
use crate::hand::Hand;
use crate::walk::{each_screen, text};

/// WCAG 2.1, 1.4.3 (level AA) and 1.4.6 (level AAA), normal text (from memory).
const AA: f64 = 4.5;
const AAA: f64 = 7.0;
/// Ten times what can just be told apart: to be seen at a glance, in the cold. Common practice, no source.
const APART: f64 = 23.0;

fn least_contrast(look: Look, folder: &str) -> (f64, String) {
    let mut least = (f64::INFINITY, String::new());
    each_screen(look, (80, 24), folder, |name, buffer, _| {
        for (at, cell) in buffer.content.iter().enumerate().filter(|(_, cell)| cell.symbol().trim() != "") {
            let seen = if look.depth == Depth::Console { shown_on_console(cell) } else { shown(cell) };
            let (ink, paper) = seen.unwrap_or_else(|| panic!("{name}: {cell:?} leaves it to the terminal"));
            let found = contrast(ink, paper);
            if found < least.0 {
                let width = usize::from(buffer.area.width);
                least = (found, format!("{name}, line {}, column {}: {cell:?}", at / width, at % width));
            }
        }
    });
    least
}

#[test]
fn everything_drawn_can_be_read() {
    for (theme, wanted) in [(Theme::Dark, AA), (Theme::Sun, AAA), (Theme::ColourBlind, AA)] {
        // 16 colours are the terminal's own; those of VGA stand for them here.
        for depth in [Depth::Cube, Depth::True, Depth::Sixteen] {
            let look = Look { theme, depth, ..Look::default() };
            let (found, at) = least_contrast(look, &format!("theme-{}", theme.name()));
            assert!(found >= wanted, "{theme:?}, {depth:?}: {found:.2}:1 at {at}");
        }
    }
}

#[test]
fn everything_drawn_can_be_read_on_the_linux_console() {
    for theme in Theme::ALL {
        let look = Look { theme, depth: Depth::Console, ascii: true, ..Look::default() };
        let (found, at) = least_contrast(look, &format!("console-{}", theme.name()));
        assert!(found >= AA, "{theme:?}: {found:.2}:1 at {at}");
    }
    let look = Look { colour: false, depth: Depth::Console, ascii: true, ..Look::default() };
    let (found, at) = least_contrast(look, "console-no-colour");
    assert!(found >= AA, "{found:.2}:1 at {at}");
}

/// What the eye takes a mark for: its block where it has one, else its ink.
fn hue(mark: &Mark, depth: Depth) -> Rgb {
    rgb(mark.paper.unwrap_or(mark.ink).at(depth)).expect("an index")
}

#[test]
fn good_bad_and_doubt_stay_apart_for_colour_blind_eyes() {
    for depth in [Depth::Cube, Depth::True, Depth::Sixteen, Depth::Console] {
        let palette = Theme::ColourBlind.palette();
        let ink = rgb(palette.ink.at(depth)).expect("an index");
        let marks = [&palette.good, &palette.bad, &palette.doubt].map(|mark| hue(mark, depth));
        let all = [ink, marks[0], marks[1], marks[2]];
        for eyes in Eyes::ALL {
            for (index, a) in all.iter().enumerate() {
                for b in &all[index + 1..] {
                    let found = difference(*a, *b, eyes);
                    assert!(found >= APART, "{depth:?}, {eyes:?}: {a:?} and {b:?} are {found:.0} apart");
                }
            }
        }
    }
}

#[test]
fn no_theme_sets_good_against_bad_by_red_and_green() {
    for (theme, depth) in Theme::ALL.into_iter().flat_map(|t| [Depth::Cube, Depth::Sixteen].map(|d| (t, d))) {
        let palette = theme.palette();
        for eyes in Eyes::ALL {
            let found = difference(hue(&palette.good, depth), hue(&palette.bad, depth), eyes);
            assert!(found >= APART, "{theme:?}, {depth:?}, {eyes:?}: {found:.0}");
        }
    }
}

#[test]
fn the_sun_has_few_colours() {
    let mut colours: BTreeSet<String> = BTreeSet::new();
    let look = Look { theme: Theme::Sun, ..Look::default() };
    each_screen(look, (80, 24), "sun-colours", |_, buffer, _| {
        colours.extend(buffer.content.iter().flat_map(|cell| [cell.fg, cell.bg]).map(|c| format!("{c:?}")));
    });
    // Black, white, dark grey, blue, dark red.
    assert!(colours.len() <= 5, "{colours:?}");
}

#[test]
fn without_colour_every_screen_says_the_same() {
    for size in [(80, 24), (140, 45)] {
        let mut with: BTreeMap<String, String> = BTreeMap::new();
        each_screen(Look::default(), size, "with-colour", |name, buffer, _| {
            with.insert(name.to_string(), text(buffer));
        });
        let without = Look { colour: false, ..Look::default() };
        each_screen(without, size, "without-colour", |name, buffer, _| {
            let is_plain = |color: Color| color == Color::Reset;
            assert!(buffer.content.iter().all(|cell| is_plain(cell.fg) && is_plain(cell.bg)), "{name}");
            let told = text(buffer).replace("without-colour", "with-colour");
            assert_eq!(with.get(name), Some(&told), "{name}");
        });
    }
}

#[test]
fn every_state_has_a_word_of_its_own_and_what_is_good_a_sign_of_its_own() {
    use Standing as D;
    use StepStanding as S;
    let steps = [S::Open, S::Reinspect, S::Passed, S::Failed, S::NotApplicable];
    let signs: BTreeSet<&str> = steps.map(sign_of_standing).into();
    let words: BTreeSet<&str> = steps.map(StepStanding::word).into();
    assert_eq!((signs.len(), words.len()), (steps.len(), steps.len()));
    let verdicts = [
        ReadingVerdict::Within,
        ReadingVerdict::Outside,
        ReadingVerdict::CannotDecide,
        ReadingVerdict::Recorded,
    ];
    assert_eq!(BTreeSet::from(verdicts.map(sign_of_verdict)).len(), verdicts.len());
    let defects = [
        D::Undecided,
        D::Rectifying,
        D::AwaitingReinspection,
        D::Closed,
        D::Deferred,
        D::Referred,
        D::NotAirworthy,
        D::Struck,
    ];
    assert_eq!(BTreeSet::from(defects.map(Standing::word)).len(), defects.len());
    let good = sign_of_defect(D::Closed);
    assert!(defects.iter().all(|standing| (*standing == D::Closed) == (sign_of_defect(*standing) == good)));
}

#[test]
fn plain_signs_reach_every_screen() {
    let look = Look { colour: false, ascii: true, ..Look::default() };
    for (look, size) in [(look, (80, 24)), (look, (140, 45)), (Look { big: true, ..look }, (80, 24))] {
        each_screen(look, size, "plain-signs", |name, buffer, _| {
            // A unit keeps its degree sign, which the console's font has (0xf8): it belongs to the figure.
            let told = text(buffer).replace('°', " ");
            assert!(told.is_ascii(), "{name}:\n{told}");
        });
    }
}

/// The Linux console's own font is VGA's with the map of code page 437 (Linux `drivers/tty/vt/cp437.uni`, read in a copy of it).
/// It lacks the very signs that tell pass from fail, so plain ones are taken there.
#[test]
fn the_consoles_font_lacks_our_signs_and_plain_ones_are_taken() {
    const IN_CP437: &str = "•○▶■▲▼→↑·»×│─┌┐└┘├┤┬┴┼█░▒";
    const SIGNS: [&str; 6] = ["○", "↻", "✓", "✗", "–", "…"];
    let lacking: Vec<&str> = SIGNS.into_iter().filter(|sign| !IN_CP437.contains(sign)).collect();
    assert_eq!(lacking, ["↻", "✓", "✗", "–", "…"]);
    let on = |pairs: &'static [(&str, &str)]| {
        Look::of_environment(|name| {
            pairs.iter().find(|(key, _)| *key == name).map(|(_, value)| (*value).to_string())
        })
    };
    assert!(on(&[("TERM", "linux")]).ascii);
    assert!(!on(&[("TERM", "linux"), ("SPANWISE_ASCII", "0")]).ascii, "told otherwise");
}

#[test]
fn one_key_goes_through_the_themes_also_while_typing() {
    let mut hand = Hand::at_work();
    hand.keys("nhalf<F12>");
    assert!(hand.message().starts_with("theme sun"), "{}", hand.message());
    assert!(hand.desk.look.as_deref().is_some_and(|kept| kept.starts_with("theme = sun\n")), "remembered");
    let (terminal, _) = hand.look();
    let paper = rgb(terminal.backend().buffer()[(0, 0)].bg);
    assert_eq!(paper, Some((255, 255, 255)));
    hand.keys("<F12><F12> done<C-s>");
    assert!(hand.sees("half done"), "{}", hand.picture());
    let (terminal, _) = hand.look();
    assert_eq!(rgb(terminal.backend().buffer()[(0, 0)].bg), Some((0, 0, 0)));
}

#[test]
fn where_there_is_no_colour_the_key_says_so() {
    let mut hand = Hand::looking(Look { colour: false, ..Look::default() });
    assert!(hand.keys("<F12>").message().contains("without colour"));
}
