//! The nearest word of a list: what was probably meant where a word is not known.

/// The candidate nearest to `word`, if one is near enough to be what was meant.
///
/// Near enough is an edit distance of one third of the longer word, at least one edit, and never a whole word.
/// Case costs nothing.
///
/// ```rust
/// use barkline::units::nearest;
/// assert_eq!(nearest("diametre", ["girth", "diameter"]), Some("diameter"));
/// assert_eq!(nearest("wind", ["girth", "diameter"]), None);
/// ```
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = lower(word);
    candidates
        .into_iter()
        .filter_map(|candidate| {
            let other = lower(candidate);
            let length = word.len().max(other.len());
            let distance = edits(&word, &other);
            (distance <= (length / 3).max(1) && distance < length).then_some((distance, candidate))
        })
        .min_by_key(|&(distance, _)| distance)
        .map(|(_, candidate)| candidate)
}

fn lower(word: &str) -> Vec<char> {
    word.chars().take(64).flat_map(char::to_lowercase).collect()
}

/// Insertions, deletions, replacements and swaps of neighbours that turn `a` into `b`.
pub(crate) fn edits(a: &[char], b: &[char]) -> usize {
    let mut before: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for (i, &x) in a.iter().enumerate() {
        let mut row = vec![i + 1];
        for (j, (&y, pair)) in b.iter().zip(last.windows(2)).enumerate() {
            let [diagonal, above] = *pair else { continue };
            let left = row.last().copied().unwrap_or(i + 1);
            let mut cost = (diagonal + usize::from(x != y))
                .min(above + 1)
                .min(left + 1);
            let swapped = i > 0 && j > 0 && a.get(i - 1) == Some(&y) && b.get(j - 1) == Some(&x);
            if let (true, Some(&two_back)) = (swapped, before.get(j.wrapping_sub(1))) {
                cost = cost.min(two_back + 1);
            }
            row.push(cost);
        }
        before = std::mem::replace(&mut last, row);
    }
    last.last().copied().unwrap_or(a.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn distance(a: &str, b: &str) -> usize {
        edits(&lower(a), &lower(b))
    }

    #[test]
    fn counts_edits() {
        assert_eq!(distance("", ""), 0);
        assert_eq!(distance("", "abc"), 3);
        assert_eq!(distance("abc", ""), 3);
        assert_eq!(distance("kitten", "sitting"), 3);
        assert_eq!(distance("grith", "girth"), 1, "a swap is one edit");
        assert_eq!(distance("ca", "ac"), 1);
        assert_eq!(distance("Boss", "boss"), 0);
    }

    #[test]
    fn finds_the_nearest_only_when_near() {
        assert_eq!(nearest("bark_", ["bark", "beam"]), Some("bark"));
        assert_eq!(nearest("mn", ["m", "mm"]), Some("m"));
        assert_eq!(nearest("x", ["m", "kN"]), None);
        assert_eq!(nearest("zzzzzz", ["m", "height"]), None);
        assert_eq!(nearest("", ["m"]), None);
        assert_eq!(nearest("levle", []), None);
    }
}
