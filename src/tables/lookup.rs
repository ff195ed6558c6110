//! Look-ups by name: forgiving of how a name is written, never guessing which row is meant.

use super::reader::TableError;
use crate::units::Length;
use crate::units::edits;
use std::collections::BTreeSet;
use std::ops::Deref;
use std::sync::OnceLock;

/// Most near names offered for one that fits nothing.
const NEAR: usize = 5;

/// A look-up that did not end at one row.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum LookupError {
    /// Nothing has the name.
    #[error("there is no {table} called \"{name}\"{}", near_words(.near))]
    Unknown {
        /// What was looked for.
        table: String,
        /// The name asked for.
        name: String,
        /// Names that would be found, nearest first; at most five.
        near: Vec<String>,
    },
    /// Several rows have the name.
    #[error("\"{name}\" may be several rows of the {table} table: {}", .candidates.join("; "))]
    Ambiguous {
        /// What was looked for.
        table: String,
        /// The name asked for.
        name: String,
        /// Every row that fits, each by a name that finds it alone.
        candidates: Vec<String>,
    },
    /// The name is known, but no row of it holds for the size.
    #[error("{name} has no row for {}; rows hold for {}", length_words(*.size), range_words(.ranges))]
    NoSize {
        /// The name asked for.
        name: String,
        /// The size asked for.
        size: Length,
        /// The ranges that have rows: over the first, up to the second.
        ranges: Vec<(Length, Length)>,
    },
    /// The table itself is broken.
    #[error(transparent)]
    Broken(#[from] TableError),
}

fn near_words(near: &[String]) -> String {
    if near.is_empty() {
        String::new()
    } else {
        format!("; near it: {}", near.join("; "))
    }
}

fn length_words(length: Length) -> String {
    format!("{:.1} mm", length.value * 1e3)
}

fn range_words(ranges: &[(Length, Length)]) -> String {
    let words: Vec<_> = ranges
        .iter()
        .map(|&(over, to)| format!("over {} to {}", length_words(over), length_words(to)))
        .collect();
    words.join(", ")
}

/// A row that can be found by name.
pub(super) trait Named {
    /// Whether the words of a name may stand in any order.
    const ANY_ORDER: bool = false;

    /// The id; rows that share one are one thing in several sizes.
    fn id(&self) -> &str;

    /// The name by which a list offers the row; it must find the row alone.
    fn label(&self) -> &str {
        self.id()
    }

    /// Other names that find the row.
    fn names(&self) -> Vec<String> {
        Vec::new()
    }
}

/// Rows of a table, and which letters their names have once a name is looked for.
#[derive(Debug, Clone)]
pub(super) struct Rows<T> {
    rows: Vec<T>,
    /// By row, the letters of each of its names.
    letters: OnceLock<Vec<Vec<u64>>>,
}

impl<T> From<Vec<T>> for Rows<T> {
    fn from(rows: Vec<T>) -> Self {
        Self {
            rows,
            letters: OnceLock::new(),
        }
    }
}

impl<T> Deref for Rows<T> {
    type Target = [T];

    fn deref(&self) -> &[T] {
        &self.rows
    }
}

impl<T: Named> Rows<T> {
    /// Every row, once for each id, that has the name in any way of writing.
    fn hits(&self, name: &str) -> Vec<&T> {
        let (asked, close) = (words(name), compact(name));
        let wanted = letters(&close);
        let of_row = |row: &T| all_names(row).iter().map(|own| letters(own)).collect();
        let letters = self
            .letters
            .get_or_init(|| self.rows.iter().map(of_row).collect());
        let near = self.rows.iter().zip(letters);
        let near = near.filter(|(_, own)| own.contains(&wanted));
        distinct(
            near.map(|(row, _)| row)
                .filter(|row| fits(*row, &asked, &close)),
        )
    }
}

/// The one row of a name.
pub(super) fn find<'a, T: Named>(
    table: &str,
    rows: &'a Rows<T>,
    name: &str,
) -> Result<&'a T, LookupError> {
    if let Some(row) = rows.iter().find(|row| row.id() == name) {
        return Ok(row);
    }
    match rows.hits(name).as_slice() {
        [] => Err(not_found(table, rows, name)),
        [row] => Ok(row),
        several => Err(ambiguous(table, name, several)),
    }
}

/// The one row of a name, without a word on what is near it where there is none.
pub(super) fn known<'a, T: Named>(rows: &'a Rows<T>, name: &str) -> Option<&'a T> {
    let exact = rows.iter().find(|row| row.id() == name);
    exact.or_else(|| match rows.hits(name).as_slice() {
        [row] => Some(*row),
        _ => None,
    })
}

/// The first row of each id.
fn distinct<'a, T: Named>(rows: impl Iterator<Item = &'a T>) -> Vec<&'a T> {
    let mut seen = BTreeSet::new();
    rows.filter(|row| seen.insert(row.id())).collect()
}

fn all_names<T: Named>(row: &T) -> Vec<String> {
    let mut names = row.names();
    names.extend([row.label().to_owned(), row.id().to_owned()]);
    names
}

/// Whether one of a row's names is the one asked for: letter by letter, or word by word in any order.
fn fits<T: Named>(row: &T, asked: &BTreeSet<String>, close: &str) -> bool {
    let same = |own: &String| compact(own) == close || (T::ANY_ORDER && words(own) == *asked);
    all_names(row).iter().any(same)
}

/// Which letters and figures a name has, but for the s of plurals, a bit for each: names that are the same in any way
/// of writing have the same.
fn letters(name: &str) -> u64 {
    let letters = name.chars().flat_map(char::to_lowercase);
    letters.fold(0, |seen, c| match c {
        's' => seen,
        '×' => seen | 1 << ('x' as u32 % 64),
        c if c.is_alphanumeric() => seen | 1 << (c as u32 % 64),
        _ => seen,
    })
}

fn ambiguous<T: Named>(table: &str, name: &str, rows: &[&T]) -> LookupError {
    let mut candidates: Vec<_> = rows.iter().map(|row| row.label().to_owned()).collect();
    candidates.sort();
    LookupError::Ambiguous {
        table: table.to_owned(),
        name: name.to_owned(),
        candidates,
    }
}

/// Rows whose names hold every word asked for, or else the nearest by spelling.
fn not_found<T: Named>(table: &str, rows: &[T], name: &str) -> LookupError {
    let asked = words(name);
    let holds = |row: &&T| T::ANY_ORDER && !asked.is_empty() && asked.is_subset(&own_words(*row));
    let within = distinct(rows.iter().filter(holds));
    if within.len() > 1 {
        return ambiguous(table, name, &within);
    }
    let mut near: Vec<String> = within.iter().map(|row| row.label().to_owned()).collect();
    for label in nearest(rows, name) {
        if near.len() < NEAR && !near.contains(&label) {
            near.push(label);
        }
    }
    LookupError::Unknown {
        table: table.to_owned(),
        name: name.to_owned(),
        near,
    }
}

fn own_words<T: Named>(row: &T) -> BTreeSet<String> {
    all_names(row).iter().flat_map(|name| words(name)).collect()
}

/// Labels within reach of a misspelt name, nearest first.
fn nearest<T: Named>(rows: &[T], name: &str) -> Vec<String> {
    let asked = spelling(name);
    let reach = 1 + asked.len() / 3;
    let mut found: Vec<(usize, String)> = distinct(rows.iter())
        .into_iter()
        .filter_map(|row| {
            let distance = all_names(row)
                .iter()
                .map(|own| edits(&spelling(own), &asked))
                .min()?;
            (!asked.is_empty() && distance <= reach).then(|| (distance, row.label().to_owned()))
        })
        .collect();
    found.sort();
    found.into_iter().map(|(_, label)| label).collect()
}

/// Words that trades write as one or as two.
const COMPOUNDS: [(&str, [&str; 2]); 9] = [
    ("baldcypress", ["bald", "cypress"]),
    ("blackgum", ["black", "gum"]),
    ("cucumbertree", ["cucumber", "tree"]),
    ("douglasfir", ["douglas", "fir"]),
    ("honeylocust", ["honey", "locust"]),
    ("redcedar", ["red", "cedar"]),
    ("sweetgum", ["sweet", "gum"]),
    ("tuliptree", ["tulip", "tree"]),
    ("yellowpoplar", ["yellow", "poplar"]),
];

/// The words of a name, in no order: lower case, without punctuation, plural as singular, compounds apart.
fn words(name: &str) -> BTreeSet<String> {
    let plain: String = name
        .to_lowercase()
        .replace('×', "x")
        .chars()
        .map(|c| if c.is_alphanumeric() { c } else { ' ' })
        .collect();
    plain
        .split_whitespace()
        .map(singular)
        .flat_map(
            |word| match COMPOUNDS.iter().find(|(whole, _)| *whole == word) {
                Some((_, parts)) => parts.map(str::to_owned).to_vec(),
                None => vec![word.to_owned()],
            },
        )
        .collect()
}

fn singular(word: &str) -> &str {
    match word.strip_suffix('s') {
        Some(stem) if stem.len() > 2 && !stem.ends_with(['s', 'u', 'i', 'a']) => stem,
        _ => word,
    }
}

/// A name without anything but letters and figures.
fn compact(name: &str) -> String {
    name.to_lowercase()
        .replace('×', "x")
        .chars()
        .filter(|c| c.is_alphanumeric())
        .collect()
}

/// The words of a name in alphabetic order, for comparing spellings.
fn spelling(name: &str) -> Vec<char> {
    let words: Vec<String> = words(name).into_iter().collect();
    words.join(" ").chars().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_words_whatever_the_writing() {
        for (a, b) in [
            ("Oak, white", "white oak"),
            ("WHITE  OAKS", "white oak"),
            ("Douglas-fir, coast", "coast douglasfir"),
            ("Cedar, western redcedar", "western red cedar"),
            ("honey-locust", "Honeylocust"),
        ] {
            assert_eq!(words(a), words(b), "{a} {b}");
        }
        assert_ne!(words("red oak"), words("red maple"));
    }

    #[test]
    fn leaves_words_that_end_in_s_by_nature() {
        assert_eq!(
            ["oaks", "cypress", "quercus", "pinus", "abies", "as"].map(singular),
            ["oak", "cypress", "quercus", "pinus", "abie", "as"]
        );
    }
}
