//! Which format a file has: by its ending, else by its content.

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Format {
    Toml,
    Csv,
    Recording,
}

pub(super) fn of(name: &str, bytes: &[u8]) -> Format {
    let ending = name.rsplit_once('.').map(|(_, ending)| ending.to_ascii_lowercase());
    match ending.as_deref() {
        Some("toml") => Format::Toml,
        Some("csv" | "tsv") => Format::Csv,
        Some("wav") => Format::Recording,
        _ if bytes.starts_with(b"RIFF") => Format::Recording,
        _ => by_content(bytes),
    }
}

/// TOML begins with a table or with `key =`; everything else is read as a table of cells.
fn by_content(bytes: &[u8]) -> Format {
    let text = String::from_utf8_lossy(&bytes[..bytes.len().min(64 * 1024)]);
    let text = text.trim_start_matches('\u{feff}');
    let first = text.lines().map(str::trim).find(|line| !line.is_empty() && !line.starts_with('#'));
    match first {
        Some(line) if line.starts_with('[') => Format::Toml,
        Some(line) => match line.find(['=', ',', ';', '\t']) {
            Some(at) if line[at..].starts_with('=') => Format::Toml,
            _ => Format::Csv,
        },
        None => Format::Csv,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ending_decides_and_else_the_content() {
        assert_eq!(of("a.toml", b"x,y"), Format::Toml);
        assert_eq!(of("a.CSV", b"x = 1"), Format::Csv);
        assert_eq!(of("-", b"# note\n[[reading]]\n"), Format::Toml);
        assert_eq!(of("-", b"limit = \"3 mm\"\n"), Format::Toml);
        assert_eq!(of("-", b"load,deflection\n"), Format::Csv);
        assert_eq!(of("-", b"@note,a=b\n"), Format::Csv);
        assert_eq!(of("-", b"RIFF...."), Format::Recording);
        assert_eq!(of("-", b""), Format::Csv);
    }
}
