//! The document as one HTML file: no script, no other file, styles for screen and paper.

mod svg;

use std::collections::BTreeSet;
use std::fmt::Write as _;

use super::model::{Align, Block, Document, Figure, Part, Row, Run, Table, Text, Tone};

const STYLE: &str = include_str!("html/style.css");

/// The whole document.
pub fn html(document: &Document) -> String {
    let mut out = String::new();
    let title = escape(&document.title);
    let _ = write!(
        out,
        "<!DOCTYPE html>\n<html lang=\"{}\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta name=\"generator\" content=\"spanwise\">\n\
         <title>{title}</title>\n<style>\n{STYLE}{}</style>\n</head>\n<body>\n\
         <a class=\"skip\" href=\"#content\">Skip to the content</a>\n<header>\n<p class=\"about\">{}</p>\n",
        escape(document.language),
        margin_words(document),
        escape(&document.head)
    );
    marks(&mut out, document);
    out.push_str("</header>\n");
    contents(&mut out, document);
    out.push_str("<main id=\"content\">\n");
    let mut ids = Ids::default();
    for part in &document.parts {
        lay_part(&mut out, document, part, &mut ids);
    }
    let _ = write!(out, "</main>\n<footer>\n<p>{}</p>\n", escape(&document.foot));
    marks(&mut out, document);
    out.push_str("</footer>\n</body>\n</html>\n");
    out
}

/// What stands in the margin of every printed page.
fn margin_words(document: &Document) -> String {
    let marks: Vec<&str> = document.marks.iter().map(|mark| mark.text.as_str()).collect();
    let css = |text: &str| -> String {
        // Inside a style sheet a quote, a backslash, or the end of the element could break out.
        text.chars()
            .map(|c| match c {
                '"' | '\\' | '<' | '>' | '&' | '{' | '}' => format!("\\{:x} ", u32::from(c)),
                c if c.is_control() => " ".to_string(),
                c => c.to_string(),
            })
            .collect()
    };
    format!(
        "@page {{ @top-left {{ content: \"{}\" }} @top-right {{ content: \"{}\" }} @bottom-left {{ content: \"{}\" }} }}\n",
        css(&document.head),
        css(&marks.join(" · ")),
        css(&document.foot)
    )
}

fn marks(out: &mut String, document: &Document) {
    for mark in &document.marks {
        let _ = writeln!(
            out,
            "<p class=\"mark {}\"><strong>{}</strong></p>",
            tone(mark.tone),
            escape(&mark.text)
        );
    }
}

fn tone(tone: Tone) -> &'static str {
    match tone {
        Tone::Grave => "grave",
        Tone::Caution => "caution",
        Tone::Good => "good",
        Tone::Plain => "plain",
    }
}

fn contents(out: &mut String, document: &Document) {
    out.push_str("<nav aria-label=\"Contents\">\n<h2 class=\"contents\">Contents</h2>\n<ol>\n");
    for part in &document.parts {
        let _ = writeln!(out, "<li><a href=\"#{}\">{}</a></li>", id(part.id), escape(&part.title));
    }
    out.push_str("</ol>\n</nav>\n");
}

/// Ids already given: one that comes again is left off, links lead to the first.
#[derive(Default)]
struct Ids {
    taken: BTreeSet<String>,
    figures: usize,
}

impl Ids {
    fn attribute(&mut self, wanted: &str) -> String {
        let id = id(wanted);
        if self.taken.insert(id.clone()) { format!(" id=\"{id}\"") } else { String::new() }
    }
}

/// Letters, digits, hyphens and dots alone; everything else as its number, so that no two become one.
fn id(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            c if c.is_ascii_alphanumeric() || c == '-' || c == '.' => c.to_string(),
            c => format!("_{:x}_", u32::from(c)),
        })
        .collect()
}

fn lay_part(out: &mut String, document: &Document, part: &Part, ids: &mut Ids) {
    let class = if part.starts_page { "part page" } else { "part" };
    let heading = format!("{}-title", id(part.id));
    let _ = writeln!(
        out,
        "<section{} class=\"{class}\" aria-labelledby=\"{heading}\">\n<h1{}>{}</h1>",
        ids.attribute(part.id),
        ids.attribute(&heading),
        escape(&part.title)
    );
    out.push_str("<div class=\"again\" aria-hidden=\"true\">\n");
    marks(out, document);
    out.push_str("</div>\n");
    for block in &part.blocks {
        lay_block(out, block, ids);
    }
    out.push_str("</section>\n");
}

fn lay_block(out: &mut String, block: &Block, ids: &mut Ids) {
    match block {
        Block::Heading { level, id, text } => {
            let level = level.clamp(&2, &6);
            let _ = writeln!(out, "<h{level}{}>{}</h{level}>", ids.attribute(id), escape(text));
        }
        Block::Para(text) => {
            let _ = writeln!(out, "<p>{}</p>", inline(text));
        }
        Block::Notice { tone: how, text } => {
            let _ = writeln!(out, "<p class=\"notice {}\">{}</p>", tone(*how), inline(text));
        }
        Block::Facts(rows) => {
            out.push_str("<dl>\n");
            for (name, value) in rows {
                let _ = writeln!(out, "<div><dt>{}</dt><dd>{}</dd></div>", escape(name), inline(value));
            }
            out.push_str("</dl>\n");
        }
        Block::List(items) => {
            out.push_str("<ul>\n");
            for item in items {
                let _ = writeln!(out, "<li>{}</li>", inline(item));
            }
            out.push_str("</ul>\n");
        }
        Block::Table(table) => lay_table(out, table, ids),
        Block::Figure(figure) => lay_figure(out, figure, ids),
        Block::Lines(lines) => {
            let lines: Vec<String> = lines.iter().map(|line| escape(&super::model::shown(line))).collect();
            let _ = writeln!(out, "<pre tabindex=\"0\"><code>{}</code></pre>", lines.join("\n"));
        }
        Block::SignatureLines(lines) => {
            for line in lines {
                let _ = writeln!(out, "<p class=\"sign-here\">{}</p>", escape(&super::model::shown(line)));
            }
        }
    }
}

fn inline(text: &Text) -> String {
    text.0.iter().map(run).collect()
}

fn run(run: &Run) -> String {
    let mut words = escape(&run.text);
    if run.style.mono {
        words = format!("<code>{words}</code>");
    }
    if run.style.strong {
        words = format!("<strong>{words}</strong>");
    }
    if run.style.quiet {
        words = format!("<span class=\"quiet\">{words}</span>");
    }
    if run.style.struck {
        // Readers that do not tell the line through it tell the words.
        words = format!(
            "<span class=\"unseen\">[struck: </span><del>{words}</del><span class=\"unseen\">]</span>"
        );
    }
    match &run.link {
        Some(target) => format!("<a href=\"#{}\">{words}</a>", id(target)),
        None => words,
    }
}

fn lay_table(out: &mut String, table: &Table, ids: &mut Ids) {
    let span = table.columns.len().max(1);
    let name = escape(&table.caption);
    let _ = writeln!(out, "<div class=\"wide\" role=\"region\" aria-label=\"{name}\" tabindex=\"0\">");
    let _ = writeln!(out, "<table>\n<caption>{name}</caption>\n<thead>\n<tr>");
    for column in &table.columns {
        let _ = writeln!(out, "<th scope=\"col\"{}>{}</th>", align(column.align), escape(column.title));
    }
    out.push_str("</tr>\n</thead>\n<tbody>\n");
    for row in &table.rows {
        match row {
            Row::Cells { id, cells } => {
                let id = id.as_ref().map(|id| ids.attribute(id)).unwrap_or_default();
                let _ = write!(out, "<tr{id}>");
                for (index, column) in table.columns.iter().enumerate() {
                    let words = cells.get(index).map(inline).unwrap_or_default();
                    let align = align(column.align);
                    let _ = match index {
                        0 => write!(out, "<th scope=\"row\"{align}>{words}</th>"),
                        _ => write!(out, "<td{align}>{words}</td>"),
                    };
                }
                out.push_str("</tr>\n");
            }
            Row::Group { text } => {
                let words = inline(text);
                let _ = writeln!(
                    out,
                    "<tr class=\"group\"><th scope=\"rowgroup\" colspan=\"{span}\">{words}</th></tr>"
                );
            }
            Row::Note { text } => {
                let words = inline(text);
                let _ = writeln!(out, "<tr class=\"note\"><td colspan=\"{span}\">{words}</td></tr>");
            }
            Row::Blank => {
                let _ = writeln!(out, "<tr class=\"blank\">{}</tr>", "<td></td>".repeat(span));
            }
            Row::Detail { text } => {
                let words = inline(text);
                let _ = match span {
                    1 => writeln!(out, "<tr class=\"detail\"><td>{words}</td></tr>"),
                    _ => writeln!(
                        out,
                        "<tr class=\"detail\"><td></td><td colspan=\"{}\">{words}</td></tr>",
                        span - 1
                    ),
                };
            }
        }
    }
    out.push_str("</tbody>\n</table>\n</div>\n");
}

fn align(align: Align) -> &'static str {
    match align {
        Align::Left => "",
        Align::Right => " class=\"number\"",
    }
}

fn lay_figure(out: &mut String, figure: &Figure, ids: &mut Ids) {
    ids.figures += 1;
    let name = format!("figure-{}", ids.figures);
    let drawn = svg::svg(figure, &name);
    let _ = writeln!(out, "<figure>\n{drawn}<figcaption>{}</figcaption>\n</figure>", escape(&figure.caption));
}

/// For text and attributes alike; what XML cannot hold is left out.
fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\u{FFFE}' | '\u{FFFF}' => out.push('\u{FFFD}'),
            c if c.is_control() && c != '\n' => out.push('\u{FFFD}'),
            c => out.push(c),
        }
    }
    out
}
