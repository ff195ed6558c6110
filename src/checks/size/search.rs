//! The smallest number of steps that passes: a bracket whose ends were both tried, halved until they are neighbours.

/// Places at which a stretch is looked at where more need not be better.
pub(super) const LOOKS: u32 = 8;

/// What a search found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Found {
    /// This many steps pass, and one fewer was tried and does not.
    First(u32),
    /// Even the fewest steps pass.
    Fewest,
    /// What was tried does not pass, the most steps among it.
    None,
}

/// The smallest number of steps from `low` to `high` that passes, where more steps never turn a pass into a failure: both
/// ends are tried, and the bracket halved.
pub(super) fn first<E>(
    low: u32,
    high: u32,
    passes: &mut impl FnMut(u32) -> Result<bool, E>,
) -> Result<Found, E> {
    if passes(low)? {
        return Ok(Found::Fewest);
    }
    if high <= low || !passes(high)? {
        return Ok(Found::None);
    }
    halve(low, high, passes)
}

/// A number of steps that passes with one fewer that does not, where more need not be better: the stretch is looked at in
/// [`LOOKS`] places, and the first that passes is taken back to where it begins to.
pub(super) fn looked_for<E>(
    low: u32,
    high: u32,
    passes: &mut impl FnMut(u32) -> Result<bool, E>,
) -> Result<Found, E> {
    if passes(low)? {
        return Ok(Found::Fewest);
    }
    let mut fails = low;
    for look in 1..=LOOKS {
        let place = low
            + u32::try_from(
                u64::from(high.saturating_sub(low)) * u64::from(look) / u64::from(LOOKS),
            )
            .unwrap_or(0);
        if place == fails {
            continue;
        }
        if passes(place)? {
            return halve(fails, place, passes);
        }
        fails = place;
    }
    Ok(Found::None)
}

/// Halves a bracket whose lower end fails and whose upper end passes.
fn halve<E>(
    mut fails: u32,
    mut good: u32,
    passes: &mut impl FnMut(u32) -> Result<bool, E>,
) -> Result<Found, E> {
    while good - fails > 1 {
        let middle = u32::midpoint(fails, good);
        if passes(middle)? {
            good = middle;
        } else {
            fails = middle;
        }
    }
    Ok(Found::First(good))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use proptest::prelude::*;
    use std::convert::Infallible;

    type Passes<'a> = &'a mut dyn FnMut(u32) -> Result<bool, Infallible>;
    type Search = fn(u32, u32, Passes<'_>) -> Result<Found, Infallible>;

    /// Runs a search over a set of answers and counts the tries.
    fn run(answers: &[bool], search: Search) -> (Found, usize) {
        let mut tries = 0;
        let high = u32::try_from(answers.len() - 1).unwrap();
        let found = search(0, high, &mut |k| {
            tries += 1;
            Ok(answers[k as usize])
        });
        (found.unwrap(), tries)
    }

    fn by_halves(low: u32, high: u32, mut passes: Passes<'_>) -> Result<Found, Infallible> {
        first(low, high, &mut passes)
    }

    fn by_looks(low: u32, high: u32, mut passes: Passes<'_>) -> Result<Found, Infallible> {
        looked_for(low, high, &mut passes)
    }

    #[test]
    fn ends_are_tried() {
        assert_eq!(run(&[true, true], by_halves).0, Found::Fewest);
        assert_eq!(run(&[false, false], by_halves).0, Found::None);
        assert_eq!(run(&[false], by_halves).0, Found::None);
        assert_eq!(run(&[false, true], by_halves).0, Found::First(1));
        assert_eq!(run(&[false, true, false], by_halves).0, Found::None);
        assert_eq!(run(&[false, true, false], by_looks).0, Found::First(1));
        assert_eq!(run(&[true, false], by_looks).0, Found::Fewest);
    }

    proptest! {
        #[test]
        fn of_ordered_answers_the_first_that_passes(size in 2_usize..400, at in 1_usize..400) {
            let answers: Vec<bool> = (0..size).map(|k| k >= at).collect();
            let (found, tries) = run(&answers, by_halves);
            let (looked, looks) = run(&answers, by_looks);
            let expected = if at < size {
                Found::First(u32::try_from(at).unwrap())
            } else {
                Found::None
            };
            prop_assert_eq!(found, expected);
            prop_assert_eq!(looked, expected);
            prop_assert!(tries <= 2 + 9, "{}", tries);
            prop_assert!(looks <= 1 + LOOKS as usize + 9, "{}", looks);
        }

        #[test]
        fn of_any_answers_one_that_passes_beside_one_that_does_not(
            answers in proptest::collection::vec(any::<bool>(), 2..200)
        ) {
            for search in [by_halves, by_looks] {
                match run(&answers, search).0 {
                    Found::First(k) => {
                        prop_assert!(answers[k as usize]);
                        prop_assert!(!answers[k as usize - 1]);
                    }
                    Found::Fewest => prop_assert!(answers[0]),
                    Found::None => prop_assert!(!answers[0] && !answers[answers.len() - 1]),
                }
            }
        }
    }
}
