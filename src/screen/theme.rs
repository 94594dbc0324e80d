//! Themes: which colours the screens are drawn in, for a dark hangar, bright sun, and eyes that see few hues.
//!
//! A theme paints its own paper, so that its contrast does not hang on what the terminal has behind the text.
//! Tests compute the contrast (WCAG 2.x) of everything drawn, and how far the colours stay apart for
//! colour-blind eyes. Colour never tells anything alone: each state has its word and its sign.

use ratatui::buffer::{Buffer, Cell};
use ratatui::style::{Color, Modifier, Style};

use super::look::Look;

/// The environment variable that names the theme.
pub const VARIABLE: &str = "SPANWISE_THEME";

#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Theme {
    /// Light text on black.
    #[default]
    Dark,
    /// Black on white, two colours, for the sun on the screen.
    Sun,
    /// Light on black with colours farther apart, and what is wrong underlined.
    ColourBlind,
}

impl Theme {
    pub const ALL: [Theme; 3] = [Theme::Dark, Theme::Sun, Theme::ColourBlind];

    /// As it is written in options.
    pub fn name(self) -> &'static str {
        match self {
            Theme::Dark => mark!("dark"),
            Theme::Sun => mark!("sun"),
            Theme::ColourBlind => mark!("colour-blind"),
        }
    }

    /// By its name, capitals or not.
    pub fn named(name: &str) -> Option<Theme> {
        Theme::ALL.into_iter().find(|theme| theme.name().eq_ignore_ascii_case(name.trim()))
    }

    pub fn next(self) -> Theme {
        match self {
            Theme::Dark => Theme::Sun,
            Theme::Sun => Theme::ColourBlind,
            Theme::ColourBlind => Theme::Dark,
        }
    }

    pub fn palette(self) -> &'static Palette {
        match self {
            Theme::Dark => &DARK,
            Theme::Sun => &SUN,
            Theme::ColourBlind => &COLOUR_BLIND,
        }
    }
}

/// How many colours the terminal shows, and what it makes of bold and underlined.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Depth {
    /// The Linux console: 16 colours for signs and 8 behind them; bold, faint and underlined are told by other colours.
    Console,
    Sixteen,
    #[default]
    Cube,
    True,
}

impl Depth {
    /// From `TERM` and `COLORTERM`.
    pub fn of_environment(variable: impl Fn(&str) -> Option<String>) -> Depth {
        let term = variable("TERM").unwrap_or_default();
        let told = variable("COLORTERM").unwrap_or_default();
        if term == "linux" {
            Depth::Console
        } else if told == "truecolor" || told == "24bit" || term.ends_with("-direct") {
            Depth::True
        } else if term.is_empty() || term.contains("256") || !told.is_empty() {
            Depth::Cube
        } else {
            Depth::Sixteen
        }
    }
}

/// A colour as an index of the 256-colour cube (16 to 255, which terminals leave alone) and, where there are
/// only 16, as one of those.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shade {
    pub cube: u8,
    pub sixteen: u8,
}

impl Shade {
    pub fn at(self, depth: Depth) -> Color {
        match depth {
            Depth::Console | Depth::Sixteen => Color::Indexed(self.sixteen),
            Depth::Cube => Color::Indexed(self.cube),
            Depth::True => {
                let (r, g, b) = cube_rgb(self.cube);
                Color::Rgb(r, g, b)
            }
        }
    }
}

/// Red, green and blue of an index from 16 on: six steps each, then 24 greys (the scheme of xterm, from memory).
pub fn cube_rgb(index: u8) -> (u8, u8, u8) {
    const STEPS: [u8; 6] = [0, 95, 135, 175, 215, 255];
    let step = |at: u8| STEPS.get(usize::from(at % 6)).copied().unwrap_or(255);
    match index {
        232..=255 => {
            let grey = 8 + 10 * (index - 232);
            (grey, grey, grey)
        }
        _ => {
            let at = index.saturating_sub(16);
            (step(at / 36), step(at / 6), step(at))
        }
    }
}

/// How a state or a word of warning looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Mark {
    pub ink: Shade,
    /// Nothing: the theme's paper.
    pub paper: Option<Shade>,
    pub modifier: Modifier,
}

impl Mark {
    const fn plain(ink: Shade, modifier: Modifier) -> Mark {
        Mark { ink, paper: None, modifier }
    }

    const fn block(ink: Shade, paper: Shade) -> Mark {
        Mark { ink, paper: Some(paper), modifier: Modifier::BOLD }
    }

    pub fn style(&self, depth: Depth) -> Style {
        let style = Style::new().fg(self.ink.at(depth)).add_modifier(self.modifier);
        self.paper.map_or(style, |paper| style.bg(paper.at(depth)))
    }
}

#[derive(Debug, PartialEq, Eq)]
pub struct Palette {
    pub paper: Shade,
    pub ink: Shade,
    pub quiet: Mark,
    pub good: Mark,
    pub bad: Mark,
    pub doubt: Mark,
    pub alarm: Mark,
    pub caution: Mark,
}

const fn shade(cube: u8, sixteen: u8) -> Shade {
    Shade { cube, sixteen }
}

const BLACK: Shade = shade(16, 0);
const WHITE: Shade = shade(231, 15);
const PALE: Shade = shade(255, 15);
const YELLOW: Shade = shade(228, 11);
const PLAIN: Modifier = Modifier::empty();
const BOLD: Modifier = Modifier::BOLD;

static DARK: Palette = Palette {
    paper: BLACK,
    ink: PALE,
    quiet: Mark::plain(shade(248, 7), PLAIN),
    good: Mark::plain(shade(75, 6), PLAIN),
    bad: Mark::plain(shade(208, 9), BOLD),
    doubt: Mark::plain(YELLOW, BOLD),
    // Of the 16 colours a bright one behind the text would come out dark on the Linux console.
    alarm: Mark::block(shade(16, 15), shade(208, 1)),
    caution: Mark::block(shade(16, 0), shade(228, 7)),
};

/// Blue is what is in order, white on dark red what is not, underlined what is in doubt: nothing pale.
static SUN: Palette = Palette {
    paper: WHITE,
    ink: BLACK,
    quiet: Mark::plain(shade(238, 0), PLAIN),
    good: Mark::plain(shade(19, 4), BOLD),
    bad: Mark::block(WHITE, shade(88, 1)),
    doubt: Mark::plain(BLACK, Modifier::BOLD.union(Modifier::UNDERLINED)),
    alarm: Mark::block(WHITE, shade(88, 1)),
    caution: Mark::block(WHITE, BLACK),
};

static COLOUR_BLIND: Palette = Palette {
    paper: BLACK,
    ink: PALE,
    // Of 16 colours grey and the cyan of what is good are one for some eyes.
    quiet: Mark::plain(shade(246, 15), PLAIN),
    good: Mark::plain(shade(69, 6), PLAIN),
    bad: Mark::plain(shade(202, 9), Modifier::BOLD.union(Modifier::UNDERLINED)),
    doubt: Mark::plain(YELLOW, BOLD),
    alarm: Mark::block(shade(16, 15), shade(202, 1)),
    caution: Mark::block(shade(16, 0), shade(228, 7)),
};

/// Puts ink and paper under everything that was drawn without a colour, and takes away what the Linux console
/// would make unreadable. Without colour only the latter.
pub fn finish(buffer: &mut Buffer, look: Look) {
    let palette = look.theme.palette();
    let (ink, paper) = (palette.ink.at(look.depth), palette.paper.at(look.depth));
    for cell in &mut buffer.content {
        if look.colour {
            if cell.fg == Color::Reset {
                cell.fg = ink;
            }
            if cell.bg == Color::Reset {
                cell.bg = paper;
            }
        }
        if look.depth == Depth::Console {
            for_console(cell, look, ink, paper);
        }
    }
}

/// The console shows faint as dark grey, underlined as cyan, and bold black, also where it comes from a light
/// paper reversed, as dark grey (Linux `drivers/tty/vt/vt.c`). So faint goes, what is reversed is painted, and on
/// light paper what is underlined becomes a block.
fn for_console(cell: &mut Cell, look: Look, ink: Color, paper: Color) {
    cell.modifier.remove(Modifier::DIM | Modifier::CROSSED_OUT);
    if cell.modifier.contains(Modifier::REVERSED) {
        cell.modifier.remove(Modifier::BOLD | Modifier::UNDERLINED);
        if look.colour {
            cell.modifier.remove(Modifier::REVERSED);
            if cell.bg == paper {
                (cell.fg, cell.bg) = (paper, ink);
            }
        }
    }
    if cell.fg == BLACK.at(Depth::Console) {
        cell.modifier.remove(Modifier::BOLD);
    }
    if !look.colour || look.theme != Theme::Sun {
        return;
    }
    let is_underlined = cell.modifier.contains(Modifier::UNDERLINED);
    let is_head = is_underlined && cell.modifier.contains(Modifier::BOLD);
    cell.modifier.remove(Modifier::UNDERLINED | Modifier::BOLD);
    if is_underlined && !is_head && cell.bg == paper {
        (cell.fg, cell.bg) = (paper, ink);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn depth(pairs: &[(&str, &str)]) -> Depth {
        Depth::of_environment(|name| {
            pairs.iter().find(|(key, _)| *key == name).map(|(_, value)| (*value).to_string())
        })
    }

    #[test]
    fn the_terminal_tells_how_many_colours_it_has() {
        assert_eq!(depth(&[("TERM", "linux"), ("COLORTERM", "truecolor")]), Depth::Console);
        assert_eq!(depth(&[("TERM", "xterm-256color")]), Depth::Cube);
        assert_eq!(depth(&[("TERM", "xterm-256color"), ("COLORTERM", "24bit")]), Depth::True);
        assert_eq!(depth(&[("TERM", "xterm-direct")]), Depth::True);
        assert_eq!(depth(&[("TERM", "screen")]), Depth::Sixteen);
    }

    #[test]
    fn every_theme_is_found_by_its_name_and_by_cycling() {
        let mut theme = Theme::default();
        for _ in Theme::ALL {
            assert_eq!(Theme::named(&theme.name().to_uppercase()), Some(theme));
            theme = theme.next();
        }
        assert_eq!(theme, Theme::default());
        assert_eq!(Theme::named("pink"), None);
    }

    #[test]
    fn the_cube_has_its_corners() {
        assert_eq!(cube_rgb(16), (0, 0, 0));
        assert_eq!(cube_rgb(231), (255, 255, 255));
        assert_eq!(cube_rgb(208), (255, 135, 0));
        assert_eq!(cube_rgb(232), (8, 8, 8));
        assert_eq!(cube_rgb(255), (238, 238, 238));
    }
}
