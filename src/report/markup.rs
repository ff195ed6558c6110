//! Markup that is well formed whatever it holds: elements and words, escaped where they are written.

use std::fmt::Write as _;

/// Elements that never hold anything: written closed in themselves, which HTML and XML both read.
const EMPTY: &[&str] = &[
    "br", "circle", "col", "hr", "line", "meta", "path", "polygon", "polyline", "rect",
];

/// An element with its attributes and what it holds.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Element {
    name: &'static str,
    attributes: Vec<(&'static str, String)>,
    children: Vec<Node>,
}

#[derive(Debug, Clone, PartialEq)]
enum Node {
    Element(Element),
    Words(String),
    Markup(String),
}

impl Element {
    /// An element that holds nothing yet.
    pub(super) const fn new(name: &'static str) -> Self {
        Self {
            name,
            attributes: Vec::new(),
            children: Vec::new(),
        }
    }

    /// The same with an attribute.
    pub(super) fn with(mut self, name: &'static str, value: impl Into<String>) -> Self {
        self.attributes.push((name, value.into()));
        self
    }

    /// The same with an attribute that is a number.
    pub(super) fn at(self, name: &'static str, value: f64) -> Self {
        self.with(name, decimal(value))
    }

    /// The same with one more element in it.
    pub(super) fn holding(mut self, child: Self) -> Self {
        self.children.push(Node::Element(child));
        self
    }

    /// The same with more elements in it.
    pub(super) fn holding_all(mut self, children: impl IntoIterator<Item = Self>) -> Self {
        self.children
            .extend(children.into_iter().map(Node::Element));
        self
    }

    /// The same with words in it.
    pub(super) fn saying(mut self, words: impl Into<String>) -> Self {
        self.children.push(Node::Words(words.into()));
        self
    }

    /// The same with markup in it that is well formed already.
    pub(super) fn holding_markup(mut self, markup: impl Into<String>) -> Self {
        self.children.push(Node::Markup(markup.into()));
        self
    }

    /// The element as text.
    pub(super) fn write(&self) -> String {
        let mut out = String::new();
        self.write_to(&mut out);
        out
    }

    fn write_to(&self, out: &mut String) {
        let _ = write!(out, "<{}", self.name);
        for (name, value) in &self.attributes {
            let _ = write!(out, " {name}=\"{}\"", escaped(value));
        }
        if EMPTY.contains(&self.name) {
            out.push_str("/>");
            return;
        }
        out.push('>');
        for child in &self.children {
            match child {
                Node::Element(element) => element.write_to(out),
                Node::Words(words) => out.push_str(&escaped(words)),
                Node::Markup(markup) => out.push_str(markup),
            }
        }
        let _ = write!(out, "</{}>", self.name);
    }
}

/// Words in which nothing is read as markup. Characters that XML does not allow, and others that do not print, are
/// blanks.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\n' => out.push('\n'),
            '\u{fffe}' | '\u{ffff}' => out.push(' '),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

/// A number of a drawing: to a hundredth of a millimetre of paper, without idle zeros.
pub(super) fn decimal(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_in_words_or_attributes_is_read_as_markup() {
        let element = Element::new("p")
            .with("title", "a\"<b>&")
            .saying("</p><script>\u{7}&amp;");
        assert_eq!(
            element.write(),
            "<p title=\"a&quot;&lt;b&gt;&amp;\">&lt;/p&gt;&lt;script&gt; &amp;amp;</p>"
        );
    }

    #[test]
    fn elements_close_as_both_languages_read_them() {
        let table = Element::new("td").holding(Element::new("br"));
        assert_eq!(table.write(), "<td><br/></td>");
        assert_eq!(Element::new("td").write(), "<td></td>");
    }

    #[test]
    fn numbers_are_short_and_never_a_negative_zero() {
        assert_eq!(decimal(1.2345), "1.23");
        assert_eq!(decimal(-0.001), "0");
        assert_eq!(decimal(10.0), "10");
    }
}
