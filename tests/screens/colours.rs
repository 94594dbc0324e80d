//! Colours computed: contrast, and how far apart two colours are for colour-blind eyes.

use ratatui::buffer::Cell;
use ratatui::style::{Color, Modifier};
use spanwise::screen::theme::cube_rgb;

pub type Rgb = (u8, u8, u8);

/// sRGB to linear light (IEC 61966-2-1; WCAG 2.x prints 0.03928 for 0.04045, which no 8-bit value tells apart).
fn linear(channel: u8) -> f64 {
    let c = f64::from(channel) / 255.0;
    if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
}

fn luminance((r, g, b): Rgb) -> f64 {
    0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b)
}

/// Contrast ratio, 1 to 21: W3C, Web Content Accessibility Guidelines 2.1, definition "contrast ratio" (from memory).
pub fn contrast(a: Rgb, b: Rgb) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// Whose eyes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Eyes {
    Usual,
    Protanopia,
    Deuteranopia,
}

impl Eyes {
    pub const ALL: [Eyes; 3] = [Eyes::Usual, Eyes::Protanopia, Eyes::Deuteranopia];

    /// On linear RGB: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A physiologically-based model for simulation of
    /// color vision deficiency", IEEE TVCG 15(6), 2009, severity 1.0 (from memory).
    fn matrix(self) -> [[f64; 3]; 3] {
        match self {
            Eyes::Usual => [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
            Eyes::Protanopia => [
                [0.152_286, 1.052_583, -0.204_868],
                [0.114_503, 0.786_281, 0.099_216],
                [-0.003_882, -0.048_116, 1.051_998],
            ],
            Eyes::Deuteranopia => [
                [0.367_322, 0.860_646, -0.227_968],
                [0.280_085, 0.672_501, 0.047_413],
                [-0.011_820, 0.042_940, 0.968_881],
            ],
        }
    }
}

/// CIE 1976 L*a*b*, white D65 (ISO/CIE 11664-4, from memory).
fn lab((r, g, b): Rgb, eyes: Eyes) -> [f64; 3] {
    let light = [linear(r), linear(g), linear(b)];
    let seen = eyes
        .matrix()
        .map(|row| row.iter().zip(light).map(|(weight, light)| weight * light).sum::<f64>().clamp(0.0, 1.0));
    let [r, g, b] = seen;
    let f = |t: f64| if t > 216.0 / 24389.0 { t.cbrt() } else { (24389.0 / 27.0 * t + 16.0) / 116.0 };
    let x = f((0.4124 * r + 0.3576 * g + 0.1805 * b) / 0.95047);
    let y = f(0.2126 * r + 0.7152 * g + 0.0722 * b);
    let z = f((0.0193 * r + 0.1192 * g + 0.9505 * b) / 1.08883);
    [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
}

/// Colour difference CIE 1976. About 2.3 can just be told apart (M. Mahy and others, 1994, from memory).
pub fn difference(a: Rgb, b: Rgb, eyes: Eyes) -> f64 {
    let squares = lab(a, eyes).into_iter().zip(lab(b, eyes)).map(|(a, b)| (a - b) * (a - b));
    squares.sum::<f64>().sqrt()
}

/// The 16 colours of the Linux console, those of VGA (Linux `drivers/tty/vt/vt.c`, `default_red` and its fellows, from memory).
pub const VGA: [Rgb; 16] = [
    (0, 0, 0),
    (170, 0, 0),
    (0, 170, 0),
    (170, 85, 0),
    (0, 0, 170),
    (170, 0, 170),
    (0, 170, 170),
    (170, 170, 170),
    (85, 85, 85),
    (255, 85, 85),
    (85, 255, 85),
    (255, 255, 85),
    (85, 85, 255),
    (255, 85, 255),
    (85, 255, 255),
    (255, 255, 255),
];

/// An index or direct colour; the first 16 as of VGA.
pub fn rgb(color: Color) -> Option<Rgb> {
    match color {
        Color::Indexed(index @ 0..16) => Some(VGA[usize::from(index)]),
        Color::Indexed(index) => Some(cube_rgb(index)),
        Color::Rgb(r, g, b) => Some((r, g, b)),
        _ => None,
    }
}

/// Text and what is behind it, as most terminals show them.
pub fn shown(cell: &Cell) -> Option<(Rgb, Rgb)> {
    let (fg, bg) = (rgb(cell.fg)?, rgb(cell.bg)?);
    Some(if cell.modifier.contains(Modifier::REVERSED) { (bg, fg) } else { (fg, bg) })
}

/// The same on the Linux console (`drivers/tty/vt/vt.c`: `rgb_foreground`, `rgb_background`, `build_attr`, read in a copy of it): eight
/// colours behind, bold as brightness, faint dark grey, underlined cyan, reversed without the brightness.
pub fn shown_on_console(cell: &Cell) -> Option<(Rgb, Rgb)> {
    let index = |color: Color, default: u8| match color {
        Color::Reset => Some(default),
        Color::Indexed(index @ 0..16) => Some(index),
        _ => None,
    };
    let (mut fg, behind) = (index(cell.fg, 7)?, index(cell.bg, 0)?);
    let (r, g, b) = VGA[usize::from(behind)];
    let mut bg = u8::from(r >= 0x80) + 2 * u8::from(g >= 0x80) + 4 * u8::from(b >= 0x80);
    if cell.modifier.contains(Modifier::UNDERLINED) {
        fg = 6;
    } else if cell.modifier.contains(Modifier::DIM) {
        fg = 8;
    }
    if cell.modifier.contains(Modifier::REVERSED) {
        (fg, bg) = (bg | (fg & 8), fg & 7);
    }
    if cell.modifier.contains(Modifier::BOLD) {
        fg |= 8;
    }
    Some((VGA[usize::from(fg)], VGA[usize::from(bg)]))
}

#[test]
fn the_formulas_give_known_values() {
    assert!((contrast((0, 0, 0), (255, 255, 255)) - 21.0).abs() < 1e-9);
    // The grey just dark enough for 4.5:1 on white is #767676 (W3C, understanding of criterion 1.4.3, from memory).
    assert!(contrast((0x76, 0x76, 0x76), (255, 255, 255)) >= 4.5);
    assert!(contrast((0x77, 0x77, 0x77), (255, 255, 255)) < 4.5);
    // White is L* 100, black 0.
    assert!((difference((255, 255, 255), (0, 0, 0), Eyes::Usual) - 100.0).abs() < 0.05);
    for eyes in Eyes::ALL {
        // Grey stays grey: each row of a matrix adds up to one.
        for row in eyes.matrix() {
            assert!((row.iter().sum::<f64>() - 1.0).abs() < 1e-5, "{eyes:?}");
        }
    }
}

#[test]
fn red_against_green_would_be_found_out() {
    let (red, green) = ((215, 0, 0), (95, 135, 0));
    assert!(difference(red, green, Eyes::Usual) > 100.0);
    assert!(difference(red, green, Eyes::Deuteranopia) < 10.0);
}
