//! Sobol's points in base 2, scrambled.
//!
//! Direction numbers by Joe and Kuo (2008, "new-joe-kuo-6"). Each replicate multiplies the digits of every coordinate by a
//! random lower triangular matrix and shifts them (Matoušek 1998): every point is then uniform by itself, the points of a
//! replicate keep their even spread, and replicates are independent, so that their scatter gives the error.

use rand::Rng;

/// Coordinates with direction numbers.
pub(super) const DIMENSIONS: usize = 64;

/// Binary digits of a coordinate.
const DIGITS: usize = 32;

/// Points of one replicate at most.
pub(super) const POINTS: u64 = 1 << DIGITS;

/// The digits by which point 2ᵏ differs, for each coordinate, and the shift of all.
type Directions = [u32; DIGITS];

/// One scrambling of the sequence in so many coordinates.
#[derive(Clone, Debug)]
pub(super) struct Replicate {
    directions: Vec<Directions>,
    shift: Vec<u32>,
}

impl Replicate {
    /// The sequence scrambled by these random digits.
    pub(super) fn new(dimensions: usize, random: &mut impl Rng) -> Self {
        let mut directions: Vec<Directions> = (0..dimensions).map(directions).collect();
        for coordinate in &mut directions {
            let matrix = lower_triangular(random);
            for direction in coordinate {
                *direction = times(&matrix, *direction);
            }
        }
        let shift = (0..dimensions).map(|_| random.next_u32()).collect();
        Self { directions, shift }
    }

    /// The sequence as it is.
    #[cfg(test)]
    fn plain(dimensions: usize) -> Self {
        Self {
            directions: (0..dimensions).map(directions).collect(),
            shift: vec![0; dimensions],
        }
    }

    /// Writes the point with number `index` into `digits`.
    pub(super) fn point(&self, index: u64, digits: &mut [u32]) {
        let gray = index ^ (index >> 1);
        for ((digits, directions), shift) in
            digits.iter_mut().zip(&self.directions).zip(&self.shift)
        {
            *digits = times_bits(directions, gray) ^ shift;
        }
    }

    /// Turns the point with number `index` into the next one.
    pub(super) fn advance(&self, index: u64, digits: &mut [u32]) {
        let changed = (!index).trailing_zeros() as usize;
        for (digits, directions) in digits.iter_mut().zip(&self.directions) {
            *digits ^= directions.get(changed).copied().unwrap_or(0);
        }
    }
}

/// The sum (without carry) of the directions whose digit in `bits` is set, from the lowest.
fn times_bits(directions: &Directions, bits: u64) -> u32 {
    let chosen = directions.iter().enumerate();
    chosen.fold(0, |sum, (k, direction)| match bits >> k & 1 {
        0 => sum,
        _ => sum ^ direction,
    })
}

/// Rows of a random lower triangular matrix of binary digits with ones on the diagonal; the highest digit is the first.
fn lower_triangular(random: &mut impl Rng) -> Directions {
    std::array::from_fn(|row| {
        let diagonal = 1 << (DIGITS - 1 - row);
        let before = !(diagonal | (diagonal - 1));
        random.next_u32() & before | diagonal
    })
}

fn times(matrix: &Directions, digits: u32) -> u32 {
    matrix
        .iter()
        .fold(0, |sum, row| sum << 1 | (row & digits).count_ones() & 1)
}

/// The direction numbers of a coordinate, from its primitive polynomial of degree s and its first s numbers:
/// m_k = 2a₁m_{k−1} ⊕ 2²a₂m_{k−2} ⊕ … ⊕ 2ˢm_{k−s} ⊕ m_{k−s}; v_k = m_k/2ᵏ.
fn directions(coordinate: usize) -> Directions {
    let at = |k: usize| 1 << (DIGITS - 1 - k);
    let Some((coefficients, first)) = coordinate.checked_sub(1).map(|k| JOE_KUO[k]) else {
        return std::array::from_fn(at);
    };
    let degree = first.len();
    let mut v = [0; DIGITS];
    for k in 0..DIGITS {
        v[k] = if k < degree {
            first[k] * at(k)
        } else {
            (1..degree).fold(v[k - degree] ^ (v[k - degree] >> degree), |sum, i| {
                sum ^ (v[k - i] * (coefficients >> (degree - 1 - i) & 1))
            })
        };
    }
    v
}

/// Coefficients a₁…a_{s−1} of the polynomial as binary digits, and the first direction numbers, of coordinates 2 to 64.
/// S. Joe and F. Y. Kuo, "Constructing Sobol sequences with better two-dimensional projections" (2008), file new-joe-kuo-6.
#[rustfmt::skip]
const JOE_KUO: [(u32, &[u32]); 63] = [
    (0, &[1]),
    (1, &[1, 3]),
    (1, &[1, 3, 1]),
    (2, &[1, 1, 1]),
    (1, &[1, 1, 3, 3]),
    (4, &[1, 3, 5, 13]),
    (2, &[1, 1, 5, 5, 17]),
    (4, &[1, 1, 5, 5, 5]),
    (7, &[1, 1, 7, 11, 19]),
    (11, &[1, 1, 5, 1, 1]),
    (13, &[1, 1, 1, 3, 11]),
    (14, &[1, 3, 5, 5, 31]),
    (1, &[1, 3, 3, 9, 7, 49]),
    (13, &[1, 1, 1, 15, 21, 21]),
    (16, &[1, 3, 1, 13, 27, 49]),
    (19, &[1, 1, 1, 15, 7, 5]),
    (22, &[1, 3, 1, 15, 13, 25]),
    (25, &[1, 1, 5, 5, 19, 61]),
    (1, &[1, 3, 7, 11, 23, 15, 103]),
    (4, &[1, 3, 7, 13, 13, 15, 69]),
    (7, &[1, 1, 3, 13, 7, 35, 63]),
    (8, &[1, 3, 5, 9, 1, 25, 53]),
    (14, &[1, 3, 1, 13, 9, 35, 107]),
    (19, &[1, 3, 1, 5, 27, 61, 31]),
    (21, &[1, 1, 5, 11, 19, 41, 61]),
    (28, &[1, 3, 5, 3, 3, 13, 69]),
    (31, &[1, 1, 7, 13, 1, 19, 1]),
    (32, &[1, 3, 7, 5, 13, 19, 59]),
    (37, &[1, 1, 3, 9, 25, 29, 41]),
    (41, &[1, 3, 5, 13, 23, 1, 55]),
    (42, &[1, 3, 7, 3, 13, 59, 17]),
    (50, &[1, 3, 1, 3, 5, 53, 69]),
    (55, &[1, 1, 5, 5, 23, 33, 13]),
    (56, &[1, 1, 7, 7, 1, 61, 123]),
    (59, &[1, 1, 7, 9, 13, 61, 49]),
    (62, &[1, 3, 3, 5, 3, 55, 33]),
    (14, &[1, 3, 1, 15, 31, 13, 49, 245]),
    (21, &[1, 3, 5, 15, 31, 59, 63, 97]),
    (22, &[1, 3, 1, 11, 11, 11, 77, 249]),
    (38, &[1, 3, 1, 11, 27, 43, 71, 9]),
    (47, &[1, 1, 7, 15, 21, 11, 81, 45]),
    (49, &[1, 3, 7, 3, 25, 31, 65, 79]),
    (50, &[1, 3, 1, 1, 19, 11, 3, 205]),
    (52, &[1, 1, 5, 9, 19, 21, 29, 157]),
    (56, &[1, 3, 7, 11, 1, 33, 89, 185]),
    (67, &[1, 3, 3, 3, 15, 9, 79, 71]),
    (70, &[1, 3, 7, 11, 15, 39, 119, 27]),
    (84, &[1, 1, 3, 1, 11, 31, 97, 225]),
    (97, &[1, 1, 1, 3, 23, 43, 57, 177]),
    (103, &[1, 3, 7, 7, 17, 17, 37, 71]),
    (115, &[1, 3, 1, 5, 27, 63, 123, 213]),
    (122, &[1, 1, 3, 5, 11, 43, 53, 133]),
    (8, &[1, 3, 5, 5, 29, 17, 47, 173, 479]),
    (13, &[1, 3, 3, 11, 3, 1, 109, 9, 69]),
    (16, &[1, 1, 1, 5, 17, 39, 23, 5, 343]),
    (22, &[1, 3, 1, 5, 25, 15, 31, 103, 499]),
    (25, &[1, 1, 1, 11, 11, 17, 63, 105, 183]),
    (44, &[1, 1, 5, 11, 9, 29, 97, 231, 363]),
    (47, &[1, 1, 5, 15, 19, 45, 41, 7, 383]),
    (52, &[1, 3, 7, 7, 31, 19, 83, 137, 221]),
    (55, &[1, 1, 1, 3, 23, 15, 111, 223, 83]),
    (59, &[1, 1, 5, 13, 31, 15, 55, 25, 161]),
    (62, &[1, 1, 3, 13, 25, 47, 39, 87, 257]),
];

#[cfg(test)]
mod tests {
    #![allow(clippy::cast_possible_truncation, reason = "boxes by number")]

    use super::*;
    use rand::SeedableRng;
    use rand::rngs::ChaCha8Rng;

    /// Coordinates 1, 2, 3, 4, 5, 11, 32 and 64 of some points in sixteenths, by another program with the same direction
    /// numbers (SciPy 1.17.1, `qmc.Sobol`).
    const SIXTEENTHS: [(u64, [u32; 8]); 6] = [
        (1, [8, 8, 8, 8, 8, 8, 8, 8]),
        (2, [12, 4, 4, 4, 12, 12, 4, 12]),
        (3, [4, 12, 12, 12, 4, 4, 12, 4]),
        (5, [14, 14, 2, 6, 14, 6, 10, 10]),
        (10, [15, 1, 11, 3, 5, 7, 9, 7]),
        (15, [1, 15, 9, 5, 11, 1, 3, 13]),
    ];

    const PLACES: [usize; 8] = [0, 1, 2, 3, 4, 10, 31, 63];

    #[test]
    fn points_are_those_of_another_program() {
        let plain = Replicate::plain(DIMENSIONS);
        let mut digits = [0; DIMENSIONS];
        for (index, expected) in SIXTEENTHS {
            plain.point(index, &mut digits);
            assert_eq!(PLACES.map(|k| digits[k] >> 28), expected, "point {index}");
        }
        plain.point(1000, &mut digits);
        let expected = [
            943_718_400,
            415_236_096,
            2_227_175_424,
            2_906_652_672,
            1_203_765_248,
            364_904_448,
            624_951_296,
            1_916_796_928,
        ];
        assert_eq!(PLACES.map(|k| digits[k]), expected);
    }

    fn scrambled(stream: u64) -> Replicate {
        let mut random = ChaCha8Rng::seed_from_u64(7);
        random.set_stream(stream);
        Replicate::new(DIMENSIONS, &mut random)
    }

    #[test]
    fn advancing_leads_to_the_next_point() {
        let replicate = scrambled(0);
        let (mut step, mut jump) = ([0; DIMENSIONS], [0; DIMENSIONS]);
        replicate.point(1024, &mut step);
        for index in 1024..3000 {
            replicate.point(index, &mut jump);
            assert_eq!(step, jump, "point {index}");
            replicate.advance(index, &mut step);
        }
    }

    /// Of any 2ᵏ points that begin at a multiple of 2ᵏ, each of as many equal strata of each coordinate has one.
    #[test]
    fn scrambled_points_stay_evenly_spread() {
        for stream in 0..4 {
            let replicate = scrambled(stream);
            for first in [0, 512, 7 * 256] {
                let mut seen = vec![[false; DIMENSIONS]; 256];
                let mut digits = [0; DIMENSIONS];
                for index in first..first + 256 {
                    replicate.point(index, &mut digits);
                    for (k, digits) in digits.iter().enumerate() {
                        seen[(digits >> 24) as usize][k] = true;
                    }
                }
                assert!(seen.iter().flatten().all(|seen| *seen));
            }
        }
    }

    /// The first two coordinates are a (0, m, 2)-net: one point in each box of equal size, whatever its shape.
    #[test]
    fn the_first_pair_fills_every_box() {
        let replicate = scrambled(3);
        for wide in 0..=8 {
            let mut seen = [false; 256];
            let mut digits = [0; DIMENSIONS];
            for index in 0..256 {
                replicate.point(index, &mut digits);
                let high = |digits: u32, bits: u32| u64::from(digits) >> (32 - bits);
                let place = high(digits[0], wide) << (8 - wide) | high(digits[1], 8 - wide);
                seen[place as usize] = true;
            }
            assert!(seen.iter().all(|seen| *seen), "2^{wide}");
        }
    }

    #[test]
    fn replicates_differ() {
        let (mut a, mut b) = ([0; DIMENSIONS], [0; DIMENSIONS]);
        scrambled(0).point(5, &mut a);
        scrambled(1).point(5, &mut b);
        assert!(a.iter().zip(&b).all(|(a, b)| a != b));
    }
}
