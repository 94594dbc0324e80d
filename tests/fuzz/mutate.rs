//! Makes new inputs from seeds: flips, blocks, tokens, numbers, lines, deep nesting, cross-over.
//!
//! Why an engine of its own: the engines that measure coverage need a nightly compiler, `bolero` without one draws
//! plain random bytes and forgets the seeds, `mutatis` changes typed values, not texts, and wants a newer compiler
//! than this crate promises. What is needed here is small: the same inputs for the same seed, on a stable compiler.

use std::ops::Range;

/// No input grows beyond this: what is larger tests the machine, not the parser.
const LARGEST: usize = 192 * 1024;

/// What any text format may trip over, whatever the parser.
#[rustfmt::skip]
const ANYWHERE: &[&str] = &[
    "\0", "\u{feff}", "\r", "\r\n", "\n", "\n\n", "\t", " ", "\"", "'", "\"\"\"", "'''", "\\", "\\u0000",
    "\\ud800", "\\U0010FFFF", "#", "=", ",", ";", "/", ".", "[", "]", "[[", "]]", "{", "}", "{}", "[]",
    "[[]]", "null", "true", "false", "nan", "inf", "-inf", "\u{200b}", "\u{202e}",
    "\u{1f469}\u{200d}\u{1f527}", "e\u{301}", "\u{fffd}", "ß", "İ", "\u{1b}[2J", "-", "--", "\u{2212}",
    "%", "°", "µm", "1979-05-27T07:32:00Z",
];

/// Numbers and dates at the edges of what types and calendars hold.
const EDGES: &str = "0 -0 -1 1 2 3 0.0 0.5 1e3 1e999999 1E-999999 -1e400 255 256 32767 65535 65536 2147483647 2147483648 \
    4000000000 4294967295 4294967296 9007199254740991 9007199254740992 9223372036854775807 \
    -9223372036854775808 18446744073709551615 79228162514264337593543950335 \
    -79228162514264337593543950335 79228162514264337593543950336 0.0000000000000000000000000001 \
    7.9228162514264337593543950335 99999999999999999999999999999999 9999-12-31 0000-01-01 0001-01-01 \
    -262144-01-01 262143-12-31 262142-12-31 2024-02-29 2023-02-29 0x10 1_000 1,500 1.5.5 .5 5. +7 0.1 \
    1e-7 100000000000000000000 999999999999999999999999999 000000000000000000000000000000000000001 1.0.0 \
    0.0.0 18446744073709551615.0.0 99999999999999999999.0.0";

pub struct Mutator<'a> {
    pub random: fastrand::Rng,
    pub tokens: &'a [String],
    pub seeds: &'a [Vec<u8>],
}

impl Mutator<'_> {
    /// A new input: a seed with one to eight changes.
    pub fn next(&mut self) -> Vec<u8> {
        let mut input = self.seed().to_vec();
        let changes = 1 + self.random.usize(0..4) * self.random.usize(0..3);
        for _ in 0..changes {
            self.change(&mut input);
        }
        input.truncate(LARGEST);
        input
    }

    fn seed(&mut self) -> &[u8] {
        let index = self.random.usize(0..self.seeds.len().max(1));
        self.seeds.get(index).map_or(&[], Vec::as_slice)
    }

    fn change(&mut self, input: &mut Vec<u8>) {
        match self.random.u8(0..20) {
            0 => self.flip(input),
            1 => self.set_byte(input),
            2 => self.insert_bytes(input),
            3 => drop(input.drain(self.block(input.len()))),
            4 => self.repeat_block(input),
            5 => self.splice(input),
            6 => self.nest(input),
            7 => self.long_run(input),
            8 => input.truncate(self.random.usize(0..=input.len())),
            9..=10 => self.lines(input),
            11..=13 => self.number(input),
            14..=16 => self.quoted(input),
            _ => {
                let token = self.token();
                let range =
                    if self.random.bool() { self.block(input.len()) } else { self.point(input.len()) };
                input.splice(range, token.into_bytes());
            }
        }
    }

    fn token(&mut self) -> String {
        let own = self.tokens.len();
        let pick = self.random.usize(0..2 * own + ANYWHERE.len() + EDGES.split(' ').count());
        match pick.checked_sub(2 * own) {
            None => self.tokens[pick / 2].clone(),
            Some(rest) => {
                ANYWHERE.iter().copied().chain(EDGES.split(' ')).nth(rest).unwrap_or("0").to_string()
            }
        }
    }

    fn edge(&mut self) -> &'static str {
        let pick = self.random.usize(0..EDGES.split(' ').count());
        EDGES.split(' ').nth(pick).unwrap_or("0")
    }

    fn point(&mut self, len: usize) -> Range<usize> {
        let at = self.random.usize(0..=len);
        at..at
    }

    /// A stretch of the input, mostly short.
    fn block(&mut self, len: usize) -> Range<usize> {
        let from = self.random.usize(0..=len);
        let most = [4, 32, 256, len][self.random.usize(0..4)].min(len - from);
        from..from + self.random.usize(0..=most)
    }

    fn flip(&mut self, input: &mut [u8]) {
        if !input.is_empty() {
            let at = self.random.usize(0..input.len());
            input[at] ^= 1 << self.random.u8(0..8);
        }
    }

    fn set_byte(&mut self, input: &mut [u8]) {
        if !input.is_empty() {
            let at = self.random.usize(0..input.len());
            let edge = [0, 1, 0x7f, 0x80, 0xc0, 0xfe, 0xff, b'\n', b'"'][self.random.usize(0..9)];
            input[at] = if self.random.bool() { edge } else { self.random.u8(..) };
        }
    }

    fn insert_bytes(&mut self, input: &mut Vec<u8>) {
        let count = self.random.usize(1..9);
        let bytes: Vec<u8> = (0..count).map(|_| self.random.u8(..)).collect();
        let at = self.point(input.len());
        input.splice(at, bytes);
    }

    /// Mostly a few copies, at times thousands: rows, columns, keys without end.
    fn repeat_block(&mut self, input: &mut Vec<u8>) {
        let block = input[self.block(input.len())].to_vec();
        let times =
            if self.random.u8(0..12) == 0 { self.random.usize(1..4000) } else { self.random.usize(1..4) };
        let room = LARGEST.saturating_sub(input.len()) / block.len().max(1);
        let at = self.point(input.len());
        input.splice(at, block.repeat(times.min(room)));
    }

    fn splice(&mut self, input: &mut Vec<u8>) {
        let other = self.seed().to_vec();
        if self.random.bool() {
            // Cross-over: the head of one, the tail of the other.
            input.truncate(self.random.usize(0..=input.len()));
            input.extend_from_slice(&other[self.random.usize(0..=other.len())..]);
        } else {
            let from = self.block(other.len());
            let to = self.block(input.len());
            input.splice(to, other[from].to_vec());
        }
    }

    /// One of the sizes; the last, which takes a parser's time, comes seldom.
    fn mostly_small(&mut self, sizes: &[usize]) -> usize {
        let most = self.random.usize(1..=sizes.len());
        sizes[self.random.usize(0..most)]
    }

    fn nest(&mut self, input: &mut Vec<u8>) {
        let pairs = [
            ("[", "]"),
            ("{\"a\":", "}"),
            ("{a=", "}"),
            ("a.", "a=1"),
            ("[[a.", "]]"),
            ("(", ")"),
            ("-", "1"),
        ];
        let (open, close) = pairs[self.random.usize(0..pairs.len())];
        let depth = self.mostly_small(&[3, 40, 130, 2_000, 20_000]);
        let closed = if self.random.bool() { depth } else { 1 };
        let text = format!("{}1{}", open.repeat(depth), close.repeat(closed));
        let at = self.point(input.len());
        input.splice(at, text.into_bytes());
    }

    fn long_run(&mut self, input: &mut Vec<u8>) {
        let part = self.token();
        let times = self.mostly_small(&[50, 300, 5_000, 60_000]) / part.len().max(1);
        let at = self.point(input.len());
        input.splice(at, part.repeat(times).into_bytes());
    }

    /// Takes a line out, doubles it, swaps it with another or replaces it by one of another seed.
    fn lines(&mut self, input: &mut Vec<u8>) {
        let mut lines: Vec<Vec<u8>> =
            input.split_inclusive(|byte| *byte == b'\n').map(<[u8]>::to_vec).collect();
        if lines.is_empty() {
            return;
        }
        let at = self.random.usize(0..lines.len());
        let other = self.random.usize(0..lines.len());
        match self.random.u8(0..5) {
            0 => drop(lines.remove(at)),
            1 => lines.insert(other, lines[at].clone()),
            2 => lines.swap(at, other),
            3 => lines.drain(at.min(other)..at.max(other)).for_each(drop),
            _ => {
                let foreign: Vec<Vec<u8>> =
                    self.seed().split_inclusive(|b| *b == b'\n').map(<[u8]>::to_vec).collect();
                if !foreign.is_empty() {
                    lines[at].clone_from(&foreign[self.random.usize(0..foreign.len())]);
                }
            }
        }
        *input = lines.concat();
    }

    /// Another number where one stands.
    fn number(&mut self, input: &mut Vec<u8>) {
        let is_number = |byte: u8| byte.is_ascii_digit() || byte == b'.' || byte == b'-';
        let edge = if self.random.u8(0..4) == 0 { self.token() } else { self.edge().to_string() };
        if let Some(found) = self.run_of(input, is_number) {
            input.splice(found, edge.into_bytes());
        }
    }

    /// A run of bytes of one class that begins at or after a random place.
    fn run_of(&mut self, input: &[u8], is_in: impl Fn(u8) -> bool) -> Option<Range<usize>> {
        let from = self.random.usize(0..=input.len());
        let start = from + input[from..].iter().position(|byte| is_in(*byte))?;
        let len = input[start..].iter().position(|byte| !is_in(*byte)).unwrap_or(input.len() - start);
        Some(start..start + len)
    }

    /// Another text between two quotes: a token, or what stands between two others.
    fn quoted(&mut self, input: &mut Vec<u8>) {
        let Some(text) = self.between_quotes(input) else { return };
        let other = match self.random.u8(0..3) {
            0 => self.edge().as_bytes().to_vec(),
            1 => self.token().into_bytes(),
            _ => self.between_quotes(input).map_or(Vec::new(), |range| input[range].to_vec()),
        };
        input.splice(text, other);
    }

    fn between_quotes(&mut self, input: &[u8]) -> Option<Range<usize>> {
        let from = self.random.usize(0..=input.len());
        let open = from + input[from..].iter().position(|byte| *byte == b'"')? + 1;
        let len = input[open..].iter().position(|byte| *byte == b'"')?;
        Some(open..open + len)
    }
}
