//! Sawn timber members by allowable stress: bending, shear, bearing, buckling, and what acts together.
//!
//! Rectangular sections of breadth b and depth d, bent about the axis across the depth. An *adjusted* value (F′) is a
//! reference value times the factors of its use; the equations here take adjusted values and know no table.

mod bearing;
mod bending;
mod column;
mod combined;

pub use bearing::{C_B_LENGTH, END_DISTANCE, bearing_area_factor, bearing_stress};
pub use bending::{
    MOST_SLENDER, beam_stability_factor, bending_stress, critical_bending_stress, effective_length,
    long_term_deflection, shear_stress, slenderness_ratio,
};
pub use column::{
    MOST_SLENDER_COLUMN, NAILED_PLIES, SAWN_COLUMN, column_stability_factor,
    critical_buckling_stress,
};
pub use combined::{Axis, bending_and_compression, bending_and_tension};
