//! What of a file with broken syntax can still be read.
//!
//! An error in TOML drags others behind it: an array that is not closed swallows the tables below it, a multi-line text
//! that is not closed swallows them whole. So the file is cut at its table headers, the block with the first error is
//! blanked out, and the rest is parsed again, until it parses. Blanking keeps every byte's place.

use std::ops::Range;

use toml::de::DeTable;

/// More broken blocks than these are not sought: each costs a parse of the file.
const MOST_ERRORS: usize = 20;

/// Of larger files hardly any block is sought: the parses would take minutes.
const LARGE_BYTES: usize = 512 * 1024;

/// The text with its broken blocks blanked out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Recovered {
    pub text: String,
    /// The error of each blanked line, and the first one of each blanked block, in the order found.
    pub errors: Vec<SyntaxError>,
    /// The blanked bytes.
    pub broken: Vec<Range<usize>>,
    /// Blocks that lack a line which could not be parsed.
    pub wounds: Vec<Wound>,
}

/// A block without one of its lines.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wound {
    pub block: Range<usize>,
    /// What stands before the "=" of the line.
    pub key: String,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SyntaxError {
    pub span: Range<usize>,
    pub message: String,
}

/// Blanks out what cannot be parsed. A sound text comes back as it is.
pub fn recover(text: &str) -> Recovered {
    let mut recovered =
        Recovered { text: text.to_string(), errors: Vec::new(), broken: Vec::new(), wounds: Vec::new() };
    let blocks = blocks(text);
    let most = if text.len() > LARGE_BYTES { 2 } else { MOST_ERRORS };
    while recovered.errors.len() < most {
        let Some(error) = first_error(&recovered.text) else { return recovered };
        let (from, error) = broken_block(&recovered.text, &blocks, error);
        if let Some((line, key)) = broken_line(&recovered.text, &blocks[from].span, &error) {
            blank(&mut recovered.text, &line);
            recovered.errors.push(error);
            recovered.broken.push(line);
            recovered.wounds.push(Wound { block: blocks[from].span.clone(), key });
            continue;
        }
        let to = end_of(&blocks, from);
        let span = blocks[from].span.start..blocks[to].span.end;
        if recovered.text[span.clone()].trim().is_empty() {
            break;
        }
        blank(&mut recovered.text, &span);
        recovered.errors.push(error);
        recovered.broken.push(span);
    }
    if let Some(error) = first_error(&recovered.text) {
        let whole = 0..recovered.text.len();
        blank(&mut recovered.text, &whole);
        recovered.errors.push(error);
        recovered.broken.push(whole);
    }
    recovered
}

/// The block that breaks the syntax: the first up to which the text alone cannot be parsed. What is not closed in it shows
/// as an error only further down.
fn broken_block(text: &str, blocks: &[Block<'_>], error: SyntaxError) -> (usize, SyntaxError) {
    let at = blocks.iter().rposition(|block| block.span.start <= error.span.start).unwrap_or(0);
    let error_up_to = |index: usize| first_error(&text[..blocks[index].span.end]);
    if at == 0 || error_up_to(at - 1).is_none() {
        return (at, error);
    }
    let (mut sound, mut broken) = (None, at - 1);
    while sound.map_or(0, |sound: usize| sound + 1) < broken {
        let middle = sound.map_or(0, |sound: usize| sound + 1).midpoint(broken - 1);
        match error_up_to(middle) {
            Some(_) => broken = middle,
            None => sound = Some(middle),
        }
    }
    let block = &blocks[broken].span;
    if let Some(span) = unclosed_text(text, block) {
        let message = say!("this text of several lines is opened and not closed").to_string();
        return (broken, SyntaxError { span, message });
    }
    let mut told = error_up_to(broken).unwrap_or(error);
    // Behind the last line the caret would stand under the next table.
    let end = block.start + text[block.clone()].trim_end().len();
    if told.span.start > end {
        told.span = end..end;
    }
    (broken, told)
}

/// The line with the error and its key, where the block's text before it is sound and the line is whole by itself: the next
/// one begins a key or a table of its own.
fn broken_line(text: &str, block: &Range<usize>, error: &SyntaxError) -> Option<(Range<usize>, String)> {
    let at = error.span.start.clamp(block.start, block.end);
    let start = text[..at].rfind('\n').map_or(0, |newline| newline + 1).max(block.start);
    let end = text[at..block.end].find('\n').map_or(block.end, |newline| at + newline);
    let line = text.get(start..end)?;
    let key = key_of(line).filter(|_| !line.contains("\"\"\"") && !line.contains("'''"))?;
    let next = text[end..block.end].lines().map(str::trim).find(|line| !line.is_empty());
    let is_whole = next.is_none_or(|next| next.starts_with('#') || key_of(next).is_some());
    if !is_whole || first_error(&text[..start]).is_some() {
        return None;
    }
    let mut mended = text[..block.end].to_string();
    blank(&mut mended, &(start..end));
    let is_better = first_error(&mended).is_none_or(|next| next.span.start >= end);
    is_better.then(|| (start..end, key.to_string()))
}

/// What stands before the "=" of a line, where that is a bare or dotted key.
fn key_of(line: &str) -> Option<&str> {
    let key = line.split_once('=')?.0.trim();
    let is_key = !key.is_empty() && key.chars().all(|c| c.is_alphanumeric() || "-_.".contains(c));
    is_key.then_some(key)
}

fn first_error(text: &str) -> Option<SyntaxError> {
    let (_, errors) = DeTable::parse_recoverable(text);
    let first = errors.iter().min_by_key(|error| error.span().map_or(0, |span| span.start))?;
    let message = first.message().lines().next().unwrap_or(say!("the TOML cannot be read")).to_string();
    Some(SyntaxError { span: first.span().unwrap_or(0..0), message })
}

/// The lines from one table header to the next. The first block is what stands before any header.
struct Block<'t> {
    span: Range<usize>,
    /// The header's path, such as `step.measure`.
    path: &'t str,
}

fn blocks(text: &str) -> Vec<Block<'_>> {
    let mut blocks = vec![Block { span: 0..text.len(), path: "" }];
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        if let Some(path) = header(line) {
            if let Some(last) = blocks.last_mut() {
                last.span.end = start;
            }
            blocks.push(Block { span: start..text.len(), path });
        }
        start += line.len();
    }
    blocks
}

/// The path of a table header; broken ones count, or their keys would be taken for the table's above.
fn header(line: &str) -> Option<&str> {
    let inner = line.strip_prefix("[[").or_else(|| line.strip_prefix('['))?;
    let end = inner.find([']', '#', '\n', '\r']).unwrap_or(inner.len());
    let path = inner[..end].trim();
    let is_path = !path.is_empty() && path.chars().all(|c| c.is_alphanumeric() || "-_.\"' ".contains(c));
    is_path.then_some(path)
}

/// The last block that belongs to a broken one: tables below it would be taken for another's.
fn end_of(blocks: &[Block<'_>], from: usize) -> usize {
    let path = blocks[from].path;
    let belongs = |block: &&Block<'_>| {
        !path.is_empty() && block.path.strip_prefix(path).is_some_and(|rest| rest.starts_with('.'))
    };
    from + blocks[from + 1..].iter().take_while(belongs).count()
}

/// The opening quotes of a multi-line text that does not end in its block.
fn unclosed_text(text: &str, block: &Range<usize>) -> Option<Range<usize>> {
    ["\"\"\"", "'''"].into_iter().find_map(|quotes| {
        let found: Vec<usize> = text[block.clone()].match_indices(quotes).map(|(at, _)| at).collect();
        let last = found.last().filter(|_| found.len() % 2 == 1)?;
        Some(block.start + last..block.start + last + quotes.len())
    })
}

/// Overwrites with blanks, keeping line ends and the number of bytes.
fn blank(text: &mut String, span: &Range<usize>) {
    let blanks: String =
        text[span.clone()].bytes().map(|byte| if byte == b'\n' { '\n' } else { ' ' }).collect();
    text.replace_range(span.clone(), &blanks);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn places(text: &str) -> Vec<&str> {
        let recovered = recover(text);
        assert_eq!(recovered.text.len(), text.len());
        assert!(first_error(&recovered.text).is_none(), "{}", recovered.text);
        recovered.errors.iter().map(|error| text[..error.span.start].lines().last().unwrap_or("")).collect()
    }

    #[test]
    fn an_array_that_is_not_closed_costs_one_error_and_its_own_line() {
        let text = "a = 1\n[[step]]\nx = [1, 2\n[[step.measure]]\nid = \"m\"\n[[step]]\nid = \"e\"\n";
        assert_eq!(places(text).len(), 1);
        let recovered = recover(text);
        assert!(recovered.text.contains("id = \"e\"") && recovered.text.contains("id = \"m\""));
        assert_eq!(recovered.wounds[0].key, "x");
    }

    #[test]
    fn an_array_of_several_lines_that_is_not_closed_costs_its_block() {
        let text = "[[step]]\nx = [\n  1,\n  2\ny = 3\n[[step]]\nid = \"e\"\n";
        assert_eq!(places(text).len(), 1);
        let recovered = recover(text);
        assert!(
            recovered.text.contains("id = \"e\"") && !recovered.text.contains("y = 3"),
            "{}",
            recovered.text
        );
    }

    #[test]
    fn every_broken_line_of_a_block_is_told() {
        let text = "[[step]]\ntitle = \"Kamera ü\nloads = yes\nid = \"e\"\nid = \"f\"\nkit = [\"a\" \"b\"]\npeople = 2\n";
        assert_eq!(places(text), ["title = \"Kamera ü", "loads = ", "id = \"e\"", "kit = [\"a\" "]);
        let recovered = recover(text);
        assert!(recovered.text.contains("id = \"e\"") && recovered.text.contains("people = 2"));
        assert!(!recovered.text.contains("\"f\""));
    }

    #[test]
    fn a_text_that_is_not_closed_is_told_where_it_is_opened() {
        let text = "[[step]]\nid = \"a\"\nt = \"\"\"\nfoo\n[[step]]\nid = \"b\"\nt = \"\"\" bar \"\"\"\n[[step]]\nid = \"c\"\n";
        assert_eq!(places(text), ["t = "]);
        assert!(recover(text).text.contains("id = \"b\""));
    }

    #[test]
    fn every_broken_line_and_header_is_told_once() {
        let text = "[a]\nx = \"é\nb = [\n[b]\ny = 1\n[[c]\nz = 2\n[d]\nw = 3\n";
        assert_eq!(places(text).len(), 3);
        assert!(recover(text).text.contains("w = 3") && recover(text).text.contains("y = 1"));
    }
}
