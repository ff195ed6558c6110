//! Breaking sentences into lines.

/// A sentence in lines no wider than `width`, those after the first set in by `indent`; words are never broken.
pub(super) fn wrapped(text: &str, width: usize, indent: usize) -> String {
    let mut out = String::new();
    let mut at = 0;
    for word in printable(text).split_whitespace() {
        let length = word.chars().count();
        if at > 0 && at + 1 + length > width {
            out.push('\n');
            out.push_str(&" ".repeat(indent));
            at = indent;
        } else if at > 0 {
            out.push(' ');
            at += 1;
        }
        out.push_str(word);
        at += length;
    }
    out.push('\n');
    out
}

/// Text without characters that would move the cursor or colour the screen.
pub(super) fn printable(text: &str) -> String {
    text.chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn breaks_between_words() {
        assert_eq!(wrapped("one two three", 8, 2), "one two\n  three\n");
        assert_eq!(wrapped("longer-than-that", 4, 2), "longer-than-that\n");
        assert_eq!(wrapped("", 10, 2), "\n");
    }

    #[test]
    fn prints_no_control_characters() {
        assert_eq!(printable("a\u{1b}[31mb"), "a [31mb");
    }
}
