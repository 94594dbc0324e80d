//! The table: Markdown, with the machine and the day, as it stands in `docs/benchmarks.md`.

use super::ratio::{Pair, quantile};

struct Row {
    what: String,
    ours: String,
    peer: String,
    ratio: String,
    turns: usize,
    peer_is: String,
}

pub struct Table {
    rows: Vec<Row>,
    /// The machine before anything was measured.
    load: String,
}

impl Table {
    pub fn new() -> Table {
        Table { rows: Vec::new(), load: first_words(&file("/proc/loadavg"), 1) }
    }

    /// A row of samples in this unit.
    pub fn row(&mut self, what: &str, peer_is: &str, unit: &str, pair: &Pair) {
        let middle = |samples: &[f64]| format!("{} {unit}", short(quantile(samples, 0.5)));
        let [low, half, high] = [0.25, 0.5, 0.75].map(|share| short(quantile(&pair.ratios, share)));
        self.rows.push(Row {
            what: what.to_string(),
            ours: middle(&pair.ours),
            peer: middle(&pair.peer),
            ratio: format!("**{half}** ({low} to {high})"),
            turns: pair.ratios.len(),
            peer_is: peer_is.to_string(),
        });
    }

    /// A row of two counts; the peer's may be nothing, and then there is no ratio.
    pub fn counts(&mut self, what: &str, peer_is: &str, unit: &str, (ours, peer): (f64, f64)) {
        let ratio = match (ours, peer) {
            (0.0, 0.0) => "**equal**: none".to_string(),
            (_, 0.0) => "**the peer has none**".to_string(),
            _ => format!("**{}**", short(ours / peer)),
        };
        let counted = |count: f64| format!("{} {unit}", short(count));
        let (ours, peer) = (counted(ours), counted(peer));
        let (what, peer_is) = (what.to_string(), peer_is.to_string());
        self.rows.push(Row { what, ours, peer, ratio, turns: 1, peer_is });
    }

    pub fn print(&self) {
        println!("{}\n", machine(&self.load));
        println!("| what | spanwise | the peer | ratio, median (middle half) | turns | what the peer is |");
        println!("| --- | ---: | ---: | ---: | ---: | --- |");
        for Row { what, ours, peer, ratio, turns, peer_is } in &self.rows {
            println!("| {what} | {ours} | {peer} | {ratio} | {turns} | {peer_is} |");
        }
    }
}

/// Three digits that count.
fn short(value: f64) -> String {
    match value.abs() {
        0.0 => "0".to_string(),
        size if size >= 100.0 => format!("{value:.0}"),
        size if size >= 10.0 => format!("{value:.1}"),
        size if size >= 0.1 => format!("{value:.2}"),
        _ => format!("{value:.4}"),
    }
}

fn machine(load: &str) -> String {
    let cores = std::thread::available_parallelism().map_or(0, usize::from);
    let processor = entry(&file("/proc/cpuinfo"), "model name");
    let memory_kb: f64 = first_words(&entry(&file("/proc/meminfo"), "MemTotal"), 1).parse().unwrap_or(0.0);
    let kernel = first_words(&file("/proc/sys/kernel/osrelease"), 1);
    let day = chrono::Local::now().format("%Y-%m-%d");
    format!(
        "{day}, spanwise {}: {processor}, {cores} cores, {:.0} GiB, {} {kernel}; load average at the start {load}",
        env!("CARGO_PKG_VERSION"),
        memory_kb / 1024.0 / 1024.0,
        std::env::consts::OS,
    )
}

/// Empty where the system has no such file.
fn file(path: &str) -> String {
    std::fs::read_to_string(path).unwrap_or_default()
}

fn entry(text: &str, key: &str) -> String {
    let line = text.lines().find_map(|line| line.strip_prefix(key)?.split_once(':'));
    line.map_or("unknown".to_string(), |(_, value)| value.trim().to_string())
}

fn first_words(text: &str, count: usize) -> String {
    text.split_whitespace().take(count).collect::<Vec<_>>().join(" ")
}
