//! Spoils texts: lines and tokens lost, doubled and exchanged, strange bytes and known words
//! put in, the end torn off.

use trunnion_syntax::token::tokens;

/// A source of numbers that gives the same row for the same seed (SplitMix64).
pub struct Dice(u64);

impl Dice {
    /// Begins a row.
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The next number.
    pub fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut it = self.0;
        it = (it ^ (it >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        it = (it ^ (it >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        it ^ (it >> 31)
    }

    /// A number below `end`, which is not 0.
    pub fn below(&mut self, end: usize) -> usize {
        (self.roll() % end as u64) as usize
    }

    /// One of several.
    pub fn one_of<'a, T>(&mut self, all: &'a [T]) -> &'a T {
        &all[self.below(all.len())]
    }
}

/// What is put in beside words of the texts themselves.
const STRANGE: &[&str] = &[
    "{",
    "}",
    "[",
    "]",
    "(",
    ")",
    "{ }",
    ",",
    ".",
    "..",
    "\"",
    "\"x",
    "“",
    "„x“",
    "\\",
    "//",
    "///",
    "\n",
    "\r",
    "\r\n",
    "\n\n",
    "\t",
    " ",
    "\u{a0}",
    "\u{feff}",
    "\u{0}",
    "\u{1b}[31m",
    "\u{7f}",
    "\u{85}",
    "\u{2028}",
    "\u{202e}",
    "\u{2066}",
    "e\u{301}",
    "ß",
    "漢",
    "🚐",
    "\u{10ffff}",
    "0",
    "-1",
    "1e308",
    "1e999",
    "-0",
    "99999999999999999999",
    "0.000000000001",
    "1/0",
    "0/0",
    "½",
    "1 1/4",
    "0,5",
    "1.450,00",
    "2013-02-30",
    "0000-00",
    "9999-12-31",
    "2013-08",
    "31.12.1999",
    "13/2013",
    "±",
    "+/-",
    "± 0",
    "to",
    "to 5 mm",
    "..5",
    "-",
    " - ",
    "+",
    "*",
    "/",
    "=",
    "!=",
    "<=",
    ">",
    "within",
    "2 %",
    "-300 °C",
    "1e300 km",
    "5 mm",
    "3 V",
    "0 kg",
    "-5 Nm",
    "0 mm",
    "M12x1.5",
    "M0",
    "M12x0",
    "G1/4",
    "205/65 R16",
    "0/0 R0",
    "999/999 R99",
    "AWG",
    "0 AWG",
    "40 AWG",
    "°F",
    "EUR",
    "XYZ",
    "%",
    "Ω",
    "per",
    "per per",
    "because",
    "because \"\"",
    "by",
    "from",
    "is",
    "fills",
    "with",
    "none",
    "unknown",
    "4 of",
    "both sides",
    "0 of",
    "1000000000 of",
    "use \"x\"",
    "use \".\"",
    "use \"\"",
    "use \"..\"",
    "§",
    "%s",
    "<script>",
    "=1+1",
    "a.b.c[1].d",
    "a[",
    "[0]",
    "x_y-z",
];

/// Spoils a text once or several times.
pub fn spoil(text: &str, words: &[String], dice: &mut Dice) -> String {
    let mut text = text.to_owned();
    let times = 1 + dice.below(6);
    for _ in 0..times {
        text = once(&text, words, dice);
    }
    text
}

fn once(text: &str, words: &[String], dice: &mut Dice) -> String {
    match dice.below(16) {
        0 | 1 => lines(text, dice, |lines, at, _| {
            lines.remove(at);
        }),
        2 => lines(text, dice, |lines, at, _| lines.insert(at, lines[at])),
        3 => lines(text, dice, |lines, at, other| lines.swap(at, other)),
        4 => lines(text, dice, |lines, at, other| {
            let line = lines.remove(at);
            lines.insert(other.min(lines.len()), line);
        }),
        5 | 6 => replace_token(text, dice, |_, _| String::new()),
        7 => replace_token(text, dice, |it, _| format!("{it} {it}")),
        8 | 9 => replace_token(text, dice, |_, dice| dice.one_of(words).clone()),
        10 => replace_token(text, dice, |_, dice| (*dice.one_of(STRANGE)).to_owned()),
        11 => swap_tokens(text, dice),
        12 | 13 => put(text, dice, |dice| (*dice.one_of(STRANGE)).to_owned()),
        14 => put(text, dice, |dice| {
            let bytes: Vec<u8> = (0..1 + dice.below(4)).map(|_| dice.roll() as u8).collect();
            String::from_utf8_lossy(&bytes).into_owned()
        }),
        _ if dice.below(4) == 0 => text[..edge(text, dice)].to_owned(),
        _ => put(text, dice, |dice| format!(" {} ", dice.one_of(words))),
    }
}

/// A place between two characters.
pub fn edge(text: &str, dice: &mut Dice) -> usize {
    let mut at = dice.below(text.len() + 1);
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

fn put(text: &str, dice: &mut Dice, what: impl FnOnce(&mut Dice) -> String) -> String {
    let at = edge(text, dice);
    format!("{}{}{}", &text[..at], what(dice), &text[at..])
}

fn lines(text: &str, dice: &mut Dice, change: impl FnOnce(&mut Vec<&str>, usize, usize)) -> String {
    let mut lines: Vec<&str> = text.split_inclusive('\n').collect();
    if lines.is_empty() {
        return text.to_owned();
    }
    let (at, other) = (dice.below(lines.len()), dice.below(lines.len()));
    change(&mut lines, at, other);
    lines.concat()
}

fn replace_token(text: &str, dice: &mut Dice, by: impl FnOnce(&str, &mut Dice) -> String) -> String {
    let tokens = tokens(text);
    if tokens.is_empty() {
        return text.to_owned();
    }
    let range = dice.one_of(&tokens).span.range();
    let put = by(&text[range.clone()], dice);
    format!("{}{put}{}", &text[..range.start], &text[range.end..])
}

fn swap_tokens(text: &str, dice: &mut Dice) -> String {
    let tokens = tokens(text);
    if tokens.len() < 2 {
        return text.to_owned();
    }
    let (a, b) = (dice.below(tokens.len()), dice.below(tokens.len()));
    let (a, b) = (tokens[a.min(b)].span.range(), tokens[a.max(b)].span.range());
    if a.start == b.start {
        return text.to_owned();
    }
    let middle = &text[a.end..b.start];
    format!("{}{}{middle}{}{}", &text[..a.start], &text[b.clone()], &text[a], &text[b.end..])
}
