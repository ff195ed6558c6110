//! Bytes as instructions: which text to begin with, and how to spoil it, so that most of it still means something.

/// Numbers that mean nothing, and numbers at the edge of meaning.
const NUMBERS: &[&str] = &[
    "0",
    "-0",
    "1",
    "-1",
    "2",
    "0.5",
    "1e-9",
    "1e9",
    "1e30",
    "-1e30",
    "1e300",
    "1e-300",
    "1e308",
    "5e-324",
    "NaN",
    "inf",
    "90",
    "180",
    "359.999",
    "3-1/2",
    "1/0",
    "6' 4\"",
    "",
    "99999999999999999999",
];

/// Pieces of the languages of layouts and spreadsheets, where they do not belong.
const PIECES: &[&str] = &[
    "\"", "'", "\"\"\"", "'''", "[", "]", "[[", "]]", "{", "}", ",", ";", ":", "=", ".", "#", "\\",
    "\n", "\r", "\r\n", "\t", " ", "\0", "\u{feff}", "\u{2028}", "½", "木", "’", "×", "·", "−",
    "-", "e", "null", "true", "{}", "[]", "\"\"", "0", " at ", " start", " end", " ft", " mm",
    " kN", " kPa", " deg", " %",
];

/// The instructions that are left.
struct Instructions<'a>(&'a [u8]);

impl Instructions<'_> {
    fn next(&mut self) -> Option<usize> {
        let (first, rest) = self.0.split_first()?;
        self.0 = rest;
        Some(usize::from(*first))
    }

    /// One of so many, without favour for the first few.
    fn below(&mut self, count: usize) -> Option<usize> {
        let two = (self.next()? << 8) | self.next()?;
        Some(two % count.max(1))
    }

    fn one_of<T: Copy>(&mut self, all: &[T]) -> Option<T> {
        let at = self.below(all.len())?;
        all.get(at).copied()
    }
}

/// One of the texts, spoilt as the bytes say.
pub fn spoilt(bytes: &[u8], texts: &[String]) -> String {
    let mut instructions = Instructions(bytes);
    let first = instructions.below(texts.len()).unwrap_or_default();
    let mut text = texts[first].clone();
    while let Some(next) = edit(&text, &mut instructions) {
        text = next;
    }
    text
}

fn edit(text: &str, instructions: &mut Instructions<'_>) -> Option<String> {
    match instructions.next()? % 12 {
        0 | 1 => number(text, instructions),
        2 => value(text, instructions),
        3 => units(text, instructions, "\n", Unit::Away),
        4 => units(text, instructions, "\n", Unit::Twice),
        5 => units(text, instructions, "\n", Unit::Swapped),
        6 => units(text, instructions, "\n\n", Unit::Away),
        7 => units(text, instructions, "\n\n", Unit::Twice),
        8 => key(text, instructions),
        9 => character(text, instructions),
        10 => cut(text, instructions),
        _ => piece(text, instructions),
    }
}

/// Another number in the place of one.
fn number(text: &str, instructions: &mut Instructions<'_>) -> Option<String> {
    let digit = |c: char| c.is_ascii_digit() || c == '.';
    let starts: Vec<usize> = text
        .char_indices()
        .filter(|&(at, c)| {
            c.is_ascii_digit() && !text[..at].ends_with(|c: char| digit(c) || c.is_alphabetic())
        })
        .map(|(at, _)| at)
        .collect();
    let with = instructions.one_of(NUMBERS)?;
    let at = instructions.one_of(&starts)?;
    let end = text[at..]
        .find(|c| !digit(c))
        .map_or(text.len(), |length| at + length);
    Some(format!("{}{with}{}", &text[..at], &text[end..]))
}

/// One text in quotes in the place of another.
fn value(text: &str, instructions: &mut Instructions<'_>) -> Option<String> {
    let quotes: Vec<usize> = text.match_indices('"').map(|(at, _)| at).collect();
    let quoted: Vec<(usize, usize)> = quotes
        .chunks_exact(2)
        .map(|pair| (pair[0], pair[1]))
        .collect();
    let (start, end) = instructions.one_of(&quoted)?;
    let (from, to) = instructions.one_of(&quoted)?;
    Some(format!(
        "{}{}{}",
        &text[..start],
        &text[from..to],
        &text[end..]
    ))
}

/// What becomes of a line or a table.
#[derive(Clone, Copy)]
enum Unit {
    Away,
    Twice,
    Swapped,
}

fn units(
    text: &str,
    instructions: &mut Instructions<'_>,
    between: &str,
    unit: Unit,
) -> Option<String> {
    let mut units: Vec<&str> = text.split(between).collect();
    let one = instructions.below(units.len())?;
    match unit {
        Unit::Away => {
            units.remove(one);
        }
        Unit::Twice => units.insert(one, units[one]),
        Unit::Swapped => {
            let other = instructions.below(units.len())?;
            units.swap(one, other);
        }
    }
    Some(units.join(between))
}

/// The key of one line before the value of another.
fn key(text: &str, instructions: &mut Instructions<'_>) -> Option<String> {
    let mut lines: Vec<String> = text.split('\n').map(str::to_owned).collect();
    let separator = if text.starts_with('{') { ':' } else { '=' };
    let keyed: Vec<usize> = (0..lines.len())
        .filter(|&line| lines[line].contains(separator))
        .collect();
    let (one, other) = (instructions.one_of(&keyed)?, instructions.one_of(&keyed)?);
    let (key, _) = lines[other].split_once(separator)?;
    let (_, value) = lines[one].split_once(separator)?;
    lines[one] = format!("{key}{separator}{value}");
    Some(lines.join("\n"))
}

fn character(text: &str, instructions: &mut Instructions<'_>) -> Option<String> {
    let (at, to) = (instructions.below(text.len())?, instructions.next()?);
    let mut bytes = text.as_bytes().to_vec();
    *bytes.get_mut(at)? ^= u8::try_from(to).ok()?.max(1);
    Some(String::from_utf8_lossy(&bytes).into_owned())
}

fn cut(text: &str, instructions: &mut Instructions<'_>) -> Option<String> {
    let (at, length) = (instructions.below(text.len())?, instructions.next()?);
    let bytes = text.as_bytes();
    let rest = bytes.get(at + length..).unwrap_or_default();
    Some(String::from_utf8_lossy(&[&bytes[..at], rest].concat()).into_owned())
}

fn piece(text: &str, instructions: &mut Instructions<'_>) -> Option<String> {
    let (at, with) = (
        instructions.below(text.len())?,
        instructions.one_of(PIECES)?,
    );
    let at = (0..=at).rev().find(|&at| text.is_char_boundary(at))?;
    Some(format!("{}{with}{}", &text[..at], &text[at..]))
}
