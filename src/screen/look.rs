//! Palette and signs. A state is always told by word and sign too; colour only helps the eye along.
//!
//! Blue against orange rather than green against red, so that the common kinds of colour blindness keep them
//! apart. Without colour, bold, underline and reverse carry the emphasis.

use ratatui::buffer::Buffer;
use ratatui::style::{Color, Modifier, Style};

use crate::state::{ReadingVerdict, Standing, StepStanding};

const BLUE: Color = Color::Indexed(75);
const ORANGE: Color = Color::Indexed(208);
const YELLOW: Color = Color::Indexed(221);
const GREY: Color = Color::Indexed(246);

/// How the terminal may be drawn on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    pub colour: bool,
    pub ascii: bool,
}

impl Look {
    /// From environment variables: `NO_COLOR`, `SPANWISE_ASCII`, `TERM`.
    pub fn of_environment(variable: impl Fn(&str) -> Option<String>) -> Look {
        let given = |name: &str| variable(name).is_some_and(|value| !value.is_empty());
        let wants_ascii = variable("SPANWISE_ASCII").is_some_and(|value| !value.is_empty() && value != "0");
        let plain_console = variable("TERM").is_some_and(|term| term == "linux");
        Look { colour: !given("NO_COLOR"), ascii: wants_ascii || plain_console }
    }

    fn tinted(self, colour: Color, modifier: Modifier) -> Style {
        let style = Style::new().add_modifier(modifier);
        if self.colour { style.fg(colour) } else { style }
    }

    pub fn good(self) -> Style {
        self.tinted(BLUE, Modifier::empty())
    }

    pub fn bad(self) -> Style {
        self.tinted(ORANGE, Modifier::BOLD)
    }

    pub fn doubt(self) -> Style {
        self.tinted(YELLOW, Modifier::BOLD)
    }

    /// Less important text.
    pub fn quiet(self) -> Style {
        if self.colour { Style::new().fg(GREY) } else { Style::new().add_modifier(Modifier::DIM) }
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
        if self.colour {
            Style::new().fg(Color::Indexed(16)).bg(ORANGE).add_modifier(Modifier::BOLD)
        } else {
            Style::new().add_modifier(Modifier::BOLD | Modifier::REVERSED)
        }
    }

    pub fn caution(self) -> Style {
        if self.colour {
            Style::new().fg(Color::Indexed(16)).bg(YELLOW).add_modifier(Modifier::BOLD)
        } else {
            Style::new().add_modifier(Modifier::BOLD | Modifier::REVERSED)
        }
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
        "▲" => "!",
        "■" => "#",
        "↩" => "<",
        "“" | "”" => "\"",
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
        assert_eq!(look(&[]), Look { colour: true, ascii: false });
        // no-color.org: present and not empty.
        assert!(look(&[("NO_COLOR", "")]).colour);
        assert!(!look(&[("NO_COLOR", "1")]).colour);
        assert!(look(&[("TERM", "linux")]).ascii);
        assert!(look(&[("SPANWISE_ASCII", "1")]).ascii);
        assert!(!look(&[("SPANWISE_ASCII", "0"), ("TERM", "xterm")]).ascii);
    }

    #[test]
    fn without_colour_no_style_sets_one() {
        let look = Look { colour: false, ascii: false };
        for style in [look.good(), look.bad(), look.doubt(), look.quiet(), look.alarm(), look.caution()] {
            assert_eq!((style.fg, style.bg), (None, None));
        }
    }
}
