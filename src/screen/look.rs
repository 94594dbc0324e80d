//! Styles and signs. A state is always told by word and sign too; colour only helps the eye along.
//!
//! The colours are the theme's. Without colour, bold, underline and reverse carry the emphasis.

use ratatui::buffer::Buffer;
use ratatui::style::{Modifier, Style};

use super::theme::{Depth, Mark, Palette, Theme};
use crate::command::Hand;
use crate::state::{ReadingVerdict, Standing, StepStanding};

/// How the screens are drawn, and for which hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    pub colour: bool,
    pub ascii: bool,
    pub theme: Theme,
    pub depth: Depth,
    /// Large buttons and rows, for gloves and fingers.
    pub big: bool,
    /// The one hand that is free.
    pub hand: Option<Hand>,
}

impl Default for Look {
    fn default() -> Look {
        Look {
            colour: true,
            ascii: false,
            theme: Theme::default(),
            depth: Depth::default(),
            big: false,
            hand: None,
        }
    }
}

/// Terminals that have no colours.
const COLOURLESS: [&str; 5] = ["dumb", "vt52", "vt100", "vt102", "vt220"];

impl Look {
    /// From environment variables: `NO_COLOR`, `SPANWISE_ASCII`, `TERM`, `COLORTERM`.
    ///
    /// The Linux console's own font has few of the signs, so plain ones are taken there unless `SPANWISE_ASCII`
    /// is 0.
    pub fn of_environment(variable: impl Fn(&str) -> Option<String>) -> Look {
        let given = |name: &str| variable(name).is_some_and(|value| !value.is_empty());
        let term = variable("TERM").unwrap_or_default();
        let wanted = variable("SPANWISE_ASCII").filter(|value| !value.is_empty());
        Look {
            colour: !given("NO_COLOR") && !COLOURLESS.contains(&term.as_str()),
            ascii: wanted.map_or(term == "linux" || term == "dumb", |value| value != "0"),
            depth: Depth::of_environment(&variable),
            ..Look::default()
        }
    }

    /// By the theme, or without colours by these.
    fn marked(self, mark: impl Fn(&'static Palette) -> Mark, without: Modifier) -> Style {
        if self.colour {
            mark(self.theme.palette()).style(self.depth)
        } else {
            Style::new().add_modifier(without)
        }
    }

    pub fn good(self) -> Style {
        self.marked(|palette| palette.good, Modifier::empty())
    }

    pub fn bad(self) -> Style {
        self.marked(|palette| palette.bad, Modifier::BOLD)
    }

    pub fn doubt(self) -> Style {
        self.marked(|palette| palette.doubt, Modifier::BOLD)
    }

    /// Less important text.
    pub fn quiet(self) -> Style {
        self.marked(|palette| palette.quiet, Modifier::DIM)
    }

    pub fn strong(self) -> Style {
        Style::new().add_modifier(Modifier::BOLD)
    }

    pub fn head(self) -> Style {
        Style::new().add_modifier(Modifier::BOLD | Modifier::UNDERLINED)
    }

    pub fn struck(self) -> Style {
        self.quiet().add_modifier(Modifier::CROSSED_OUT)
    }

    pub fn selected(self) -> Style {
        Style::new().add_modifier(Modifier::REVERSED)
    }

    /// The words that nobody may overlook: a caution, an airframe on the ground.
    pub fn alarm(self) -> Style {
        self.marked(|palette| palette.alarm, Modifier::BOLD | Modifier::REVERSED)
    }

    pub fn caution(self) -> Style {
        self.marked(|palette| palette.caution, Modifier::BOLD | Modifier::REVERSED)
    }

    pub fn of_standing(self, standing: StepStanding) -> Style {
        match standing {
            StepStanding::Open => Style::new(),
            StepStanding::Reinspect => self.doubt(),
            StepStanding::Passed => self.good(),
            StepStanding::Failed => self.bad(),
            StepStanding::NotApplicable => self.quiet(),
        }
    }

    pub fn of_verdict(self, verdict: ReadingVerdict) -> Style {
        match verdict {
            ReadingVerdict::Within => self.good(),
            ReadingVerdict::Outside => self.bad(),
            ReadingVerdict::CannotDecide => self.doubt(),
            ReadingVerdict::Recorded => Style::new(),
        }
    }

    pub fn of_defect(self, standing: Standing) -> Style {
        match standing {
            Standing::Undecided | Standing::NotAirworthy | Standing::Referred => self.bad(),
            Standing::Rectifying | Standing::AwaitingReinspection | Standing::Deferred => self.doubt(),
            Standing::Closed => self.good(),
            Standing::Struck => self.struck(),
        }
    }
}

pub fn sign_of_standing(standing: StepStanding) -> &'static str {
    match standing {
        StepStanding::Open => "○",
        StepStanding::Reinspect => "↻",
        StepStanding::Passed => "✓",
        StepStanding::Failed => "✗",
        StepStanding::NotApplicable => "–",
    }
}

pub fn sign_of_verdict(verdict: ReadingVerdict) -> &'static str {
    match verdict {
        ReadingVerdict::Within => "✓",
        ReadingVerdict::Outside => "✗",
        ReadingVerdict::CannotDecide => "?",
        ReadingVerdict::Recorded => "·",
    }
}

pub fn sign_of_defect(standing: Standing) -> &'static str {
    match standing {
        Standing::Undecided => "?",
        Standing::Rectifying | Standing::AwaitingReinspection => "↻",
        Standing::Closed => "✓",
        Standing::Deferred => "»",
        Standing::Referred | Standing::NotAirworthy => "✗",
        Standing::Struck => "–",
    }
}

/// What stands for a sign on a terminal that has none of them.
fn plain(symbol: &str) -> Option<&'static str> {
    Some(match symbol {
        "○" => "o",
        "↻" => "@",
        "✓" => "+",
        "✗" => "x",
        "–" | "—" | "─" | "−" => "-",
        "·" => ".",
        "»" => ">",
        "×" => "x",
        "▶" | "→" => ">",
        "…" => "~",
        "│" | "█" => "|",
        "┌" | "┐" | "└" | "┘" | "├" | "┤" | "┬" | "┴" | "┼" => "+",
        "▲" => "!",
        "▼" => "v",
        "•" => "*",
        // Of pictures that stand in a text, such as the brief's.
        "╲" => "\\",
        "╱" => "/",
        "◯" => "O",
        "●" => "o",
        "◐" => "8",
        "░" => ":",
        "▒" => "#",
        "┈" => ".",
        "┊" => ":",
        "↑" => "^",
        "■" => "#",
        "↩" => "<",
        "“" | "”" | "„" => "\"",
        "’" => "'",
        _ => return None,
    })
}

/// Replaces the program's signs by plain ones, all over the screen. Letters of names stay as they are.
pub fn to_ascii(buffer: &mut Buffer) {
    for cell in &mut buffer.content {
        if let Some(plain) = plain(cell.symbol()) {
            cell.set_symbol(plain);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn look(pairs: &[(&str, &str)]) -> Look {
        Look::of_environment(|name| {
            pairs.iter().find(|(key, _)| *key == name).map(|(_, value)| (*value).to_string())
        })
    }

    #[test]
    fn the_environment_takes_colour_and_signs_away() {
        assert_eq!(look(&[]), Look::default());
        // no-color.org: present and not empty.
        assert!(look(&[("NO_COLOR", "")]).colour);
        assert!(!look(&[("NO_COLOR", "1")]).colour);
        assert!(look(&[("TERM", "linux")]).ascii);
        assert!(look(&[("SPANWISE_ASCII", "1")]).ascii);
        assert!(!look(&[("SPANWISE_ASCII", "0"), ("TERM", "xterm")]).ascii);
        // Told otherwise, the console keeps the signs: it may have a font with them.
        assert!(!look(&[("SPANWISE_ASCII", "0"), ("TERM", "linux")]).ascii);
        assert!(!look(&[("TERM", "vt220")]).colour);
    }

    #[test]
    fn without_colour_no_style_sets_one() {
        let look = Look { colour: false, ..Look::default() };
        for style in [look.good(), look.bad(), look.doubt(), look.quiet(), look.alarm(), look.caution()] {
            assert_eq!((style.fg, style.bg), (None, None));
        }
    }
}
