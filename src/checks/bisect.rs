//! The edge of a range: where something that holds stops holding, with both sides of the edge tried.

/// Most halvings: beyond them two numbers have no number between them.
const HALVINGS: usize = 60;

/// What a search for an edge found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Edge<Q> {
    /// It does not hold at the start.
    NotAtStart,
    /// It holds at the first value and no longer at the second.
    Between {
        /// The last value at which it was seen to hold.
        holds: Q,
        /// The first value at which it was seen not to.
        fails: Q,
    },
    /// It still holds where the search ends.
    Beyond(Q),
}

impl<Q> Edge<Q> {
    /// The last value at which it was seen to hold.
    pub fn holds(self) -> Option<Q> {
        match self {
            Self::NotAtStart => None,
            Self::Between { holds, .. } | Self::Beyond(holds) => Some(holds),
        }
    }

    /// The same edge in another quantity.
    pub fn map<R>(self, of: impl Fn(Q) -> R) -> Edge<R> {
        match self {
            Self::NotAtStart => Edge::NotAtStart,
            Self::Between { holds, fails } => Edge::Between {
                holds: of(holds),
                fails: of(fails),
            },
            Self::Beyond(holds) => Edge::Beyond(of(holds)),
        }
    }
}

/// Halves the range from `start` to `end` until the edge is known within `width`.
///
/// Both ends are tried first, so that an edge is there to be found; of one that is crossed more than once, one crossing
/// is found.
pub(super) fn edge<E>(
    start: f64,
    end: f64,
    width: f64,
    mut holds: impl FnMut(f64) -> Result<bool, E>,
) -> Result<Edge<f64>, E> {
    if !holds(start)? {
        return Ok(Edge::NotAtStart);
    }
    if holds(end)? {
        return Ok(Edge::Beyond(end));
    }
    let (mut good, mut bad) = (start, end);
    for _ in 0..HALVINGS {
        if (bad - good).abs() <= width {
            break;
        }
        let middle = f64::midpoint(good, bad);
        if holds(middle)? {
            good = middle;
        } else {
            bad = middle;
        }
    }
    Ok(Edge::Between {
        holds: good,
        fails: bad,
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic, clippy::float_cmp)]
    use super::*;
    use std::convert::Infallible;

    fn below(limit: f64, start: f64, end: f64) -> Edge<f64> {
        edge(start, end, 1e-6, |x| Ok::<_, Infallible>(x <= limit)).unwrap()
    }

    #[test]
    fn finds_the_edge_from_both_sides() {
        let Edge::Between { holds, fails } = below(0.3, 0.0, 1.0) else {
            panic!("there is an edge");
        };
        assert!(holds <= 0.3 && 0.3 < fails && fails - holds <= 1e-6);
    }

    #[test]
    fn says_so_where_there_is_none() {
        assert_eq!(below(-1.0, 0.0, 1.0), Edge::NotAtStart);
        assert_eq!(below(2.0, 0.0, 1.0), Edge::Beyond(1.0));
    }

    #[test]
    fn ends_though_no_width_is_asked_for() {
        let found = edge(0.0, 1.0, 0.0, |x| Ok::<_, Infallible>(x < 0.1)).unwrap();
        assert!(found.holds().unwrap() < 0.1);
    }

    #[test]
    fn a_fault_is_handed_on() {
        assert_eq!(edge(0.0, 1.0, 0.1, |_| Err::<bool, _>("no")), Err("no"));
    }
}
