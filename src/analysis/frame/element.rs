//! One member: its axes, and its stiffness against the six ways in which it can deform.
//!
//! The ways are: stretch, twist, and the turn of each end against the chord, about local z and about local y. What
//! they do not contain is rigid motion, so it costs no force, to the last digit, however far the member travels.

use super::{End, Releases, Section};
use crate::analysis::span::Flexural;

/// A member more upright than this (the sine of its angle from plumb) takes its axes from north instead of up.
const PLUMB: f64 = 1e-6;

pub(super) type Vector = [f64; 3];

pub(super) fn dot(a: Vector, b: Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(super) fn cross(a: Vector, b: Vector) -> Vector {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

pub(super) fn scaled(a: Vector, factor: f64) -> Vector {
    a.map(|c| c * factor)
}

pub(super) fn plus(a: Vector, b: Vector) -> Vector {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

pub(super) fn minus(a: Vector, b: Vector) -> Vector {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

/// A unit vector and the length it came from.
pub(super) fn unit(a: Vector) -> (Vector, f64) {
    let length = dot(a, a).sqrt();
    (scaled(a, length.recip()), length)
}

/// Three components of the six at a node: 0 for translation, 3 for rotation.
pub(super) fn part(six: &[f64], from: usize) -> Vector {
    [six[from], six[from + 1], six[from + 2]]
}

/// Moments at both ends of a plane bar by the turns of its ends against the chord.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Turning {
    near_i: f64,
    far: f64,
    near_j: f64,
}

impl Turning {
    fn new(flexural: Flexural, length: f64, released: [bool; 2]) -> Self {
        let Flexural { ei, shear } = flexural;
        let phi = 12.0 * ei * shear / (length * length);
        let near = (4.0 + phi) * ei / (length * (1.0 + phi));
        let far = (2.0 - phi) * ei / (length * (1.0 + phi));
        let hinged = near - far * far / near;
        match released {
            [false, false] => Self {
                near_i: near,
                far,
                near_j: near,
            },
            [true, false] => Self {
                near_j: hinged,
                ..Self::default()
            },
            [false, true] => Self {
                near_i: hinged,
                ..Self::default()
            },
            [true, true] => Self::default(),
        }
    }

    fn moments(self, i: f64, j: f64) -> [f64; 2] {
        [
            self.near_i * i + self.far * j,
            self.far * i + self.near_j * j,
        ]
    }
}

/// A member ready for use.
#[derive(Clone, Debug)]
pub(super) struct Element {
    pub(super) length: f64,
    /// Local x, y, z as rows of global components.
    pub(super) axes: [Vector; 3],
    pub(super) ea: f64,
    /// Bending in the plane of local x and y (moments about z), and of x and z (about y).
    pub(super) flexural: [Flexural; 2],
    stretching: f64,
    twisting: f64,
    turning: [Turning; 2],
}

/// The six deformations, or the six forces that go with them: stretch, twist, turn about z at i and j, about y at i and j.
pub(super) type Natural = [f64; 6];

impl Element {
    /// None if the length vanishes.
    pub(super) fn new(
        from: Vector,
        to: Vector,
        section: &Section,
        releases: Releases,
    ) -> Option<Self> {
        let (x, length) = unit(minus(to, from));
        if !(length > 0.0 && x.iter().all(|c| c.is_finite())) {
            return None;
        }
        let Releases { i, j } = releases;
        let shear = |area: Option<f64>| area.map_or(0.0, |area| (section.g * area).recip());
        let flexural = [
            Flexural {
                ei: section.e * section.iz,
                shear: shear(section.shear_y),
            },
            Flexural {
                ei: section.e * section.iy,
                shear: shear(section.shear_z),
            },
        ];
        let released = |pick: fn(End) -> bool| [pick(i), pick(j)];
        let loose = i.torsion || j.torsion;
        Some(Self {
            length,
            axes: local_axes(x),
            ea: section.e * section.a,
            flexural,
            stretching: section.e * section.a / length,
            twisting: if loose {
                0.0
            } else {
                section.g * section.j / length
            },
            turning: [
                Turning::new(flexural[0], length, released(|end| end.about_z)),
                Turning::new(flexural[1], length, released(|end| end.about_y)),
            ],
        })
    }

    /// The deformation that a unit displacement along each of the twelve global directions makes.
    pub(super) fn modes(&self) -> [Natural; 12] {
        let [x, y, z] = self.axes;
        let mut modes = [[0.0; 6]; 12];
        for c in 0..3 {
            let (turn_z, turn_y) = (y[c] / self.length, z[c] / self.length);
            modes[c] = [-x[c], 0.0, turn_z, turn_z, -turn_y, -turn_y];
            modes[c + 3] = [0.0, -x[c], z[c], 0.0, y[c], 0.0];
            modes[c + 6] = [x[c], 0.0, -turn_z, -turn_z, turn_y, turn_y];
            modes[c + 9] = [0.0, x[c], 0.0, z[c], 0.0, y[c]];
        }
        modes
    }

    /// The deformation under the displacements of both ends, six each.
    pub(super) fn deformation(&self, i: &[f64], j: &[f64]) -> Natural {
        let [x, y, z] = self.axes;
        let apart = minus(part(j, 0), part(i, 0));
        let per_length = self.length.recip();
        let (chord_z, chord_y) = (dot(y, apart) * per_length, -dot(z, apart) * per_length);
        let (turn_i, turn_j) = (part(i, 3), part(j, 3));
        [
            dot(x, apart),
            dot(x, minus(turn_j, turn_i)),
            dot(z, turn_i) - chord_z,
            dot(z, turn_j) - chord_z,
            dot(y, turn_i) - chord_y,
            dot(y, turn_j) - chord_y,
        ]
    }

    /// Tension, torque, and the end moments about z and y that go with a deformation.
    pub(super) fn forces(&self, deformation: &Natural) -> Natural {
        let [stretch, twist, zi, zj, yi, yj] = *deformation;
        let ([mzi, mzj], [myi, myj]) = (
            self.turning[0].moments(zi, zj),
            self.turning[1].moments(yi, yj),
        );
        [
            self.stretching * stretch,
            self.twisting * twist,
            mzi,
            mzj,
            myi,
            myj,
        ]
    }

    /// Local forces on both ends (N, Vy, Vz, T, My, Mz) that balance tension, torque and end moments.
    pub(super) fn end_forces(&self, natural: &Natural) -> [[f64; 6]; 2] {
        let [n, t, mzi, mzj, myi, myj] = *natural;
        let per_length = self.length.recip();
        let (vy, vz) = ((mzi + mzj) * per_length, -(myi + myj) * per_length);
        [[-n, vy, vz, -t, myi, mzi], [n, -vy, -vz, t, myj, mzj]]
    }

    /// Local components of a global vector.
    pub(super) fn local(&self, global: Vector) -> Vector {
        self.axes.map(|axis| dot(axis, global))
    }

    /// Global components of a local vector.
    pub(super) fn global(&self, local: Vector) -> Vector {
        let [x, y, z] = self.axes;
        plus(
            plus(scaled(x, local[0]), scaled(y, local[1])),
            scaled(z, local[2]),
        )
    }
}

/// z = x × up, horizontal; y = z × x, upwards. For a plumb member z is north.
fn local_axes(x: Vector) -> [Vector; 3] {
    let level = cross(x, [0.0, 0.0, 1.0]);
    let z = if dot(level, level) > PLUMB * PLUMB {
        unit(level).0
    } else {
        unit(cross(x, cross([0.0, 1.0, 0.0], x))).0
    };
    [x, cross(z, x), z]
}
