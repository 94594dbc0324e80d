//! The document as one HTML file: no script, no other file, styles for screen and paper.

mod svg;
mod table;

use std::collections::BTreeSet;
use std::fmt::Write as _;

use super::model::{Block, Document, Figure, Part, Run, Text, Tone};
use super::words;
use crate::words::said;

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
         <a class=\"skip\" href=\"#content\">{}</a>\n<header>\n<h1>{title}</h1>\n<p class=\"about\">{}</p>\n",
        escape(document.language),
        margin_words(document),
        said(words::SKIP),
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
    let name = said(words::CONTENTS);
    let _ = writeln!(
        out,
        "<nav aria-labelledby=\"contents-title\">\n<h2 id=\"contents-title\">{name}</h2>\n<ol>"
    );
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
        "<section{} class=\"{class}\" aria-labelledby=\"{heading}\">\n<h2{}>{}</h2>",
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
            // The document's title is the one heading of the first level, a part's of the second.
            let level = (level + 1).clamp(3, 6);
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
        Block::Table(table) => table::lay_table(out, table, ids),
        Block::Figure(figure) => lay_figure(out, figure, ids),
        Block::Lines(lines) => {
            let lines: Vec<String> = lines.iter().map(|line| escape(&super::model::shown(line))).collect();
            let _ = writeln!(out, "<pre><code>{}</code></pre>", lines.join("\n"));
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
        let told = words::struck_in_text("\u{0}");
        let (before, behind) = told.split_once('\u{0}').unwrap_or_default();
        let unseen = |text: &str| format!("<span class=\"unseen\">{}</span>", escape(text));
        words = format!("{}<del>{words}</del>{}", unseen(before), unseen(behind));
    }
    if run.style.english {
        words = format!("<span lang=\"en\">{words}</span>");
    }
    match &run.link {
        Some(target) => format!("<a href=\"#{}\">{words}</a>", id(target)),
        None => words,
    }
}

fn lay_figure(out: &mut String, figure: &Figure, ids: &mut Ids) {
    ids.figures += 1;
    let name = format!("figure-{}", ids.figures);
    let drawn = svg::svg(figure, &name);
    let caption = escape(&figure.caption);
    // In a narrow window a picture keeps the size at which its words can be read, and is moved about.
    let _ = writeln!(
        out,
        "<figure>\n<figcaption id=\"{name}-caption\">{caption}</figcaption>\n\
         <div class=\"wide\" role=\"group\" aria-labelledby=\"{name}-caption\" tabindex=\"0\">\n{drawn}</div>\n</figure>"
    );
}

/// For text and attributes alike; what XML cannot hold is left out.
pub(super) fn escape(text: &str) -> String {
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
