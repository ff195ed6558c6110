//! The gate that every number passes on its way into an equation and out of it.

use super::MechanicsError;
use crate::units::{
    Angle, Area, Density, FlexuralStiffness, Force, Frequency, Length, LineLoad, Mass, Moment,
    MomentPerMass, SecondMoment, SectionModulus, Speed, Stress,
};

/// A quantity that can be refused by name.
pub(crate) trait Guard: Copy {
    /// The SI unit as printed after a number.
    const UNIT: &'static str;

    /// The number in SI base units.
    fn si(self) -> f64;

    /// The quantity, if it is neither NaN nor infinite.
    fn finite(self, what: &'static str) -> Result<Self, MechanicsError> {
        if self.si().is_finite() {
            Ok(self)
        } else {
            Err(MechanicsError::NotFinite { what })
        }
    }

    /// The quantity, if it is finite and above zero.
    fn positive(self, what: &'static str) -> Result<Self, MechanicsError> {
        let value = self.finite(what)?.si();
        if value > 0.0 {
            Ok(self)
        } else {
            Err(MechanicsError::NotPositive {
                what,
                value,
                unit: Self::UNIT,
            })
        }
    }

    /// The quantity, if it is finite and not below zero.
    fn not_negative(self, what: &'static str) -> Result<Self, MechanicsError> {
        let value = self.finite(what)?.si();
        if value >= 0.0 {
            Ok(self)
        } else {
            Err(MechanicsError::Negative {
                what,
                value,
                unit: Self::UNIT,
            })
        }
    }

    /// The quantity, if it is finite and lies in the closed range.
    fn between(self, what: &'static str, low: Self, high: Self) -> Result<Self, MechanicsError> {
        let (value, low, high) = (self.finite(what)?.si(), low.si(), high.si());
        if (low..=high).contains(&value) {
            Ok(self)
        } else {
            Err(MechanicsError::OutOfRange {
                what,
                value,
                low,
                high,
                unit: Self::UNIT,
            })
        }
    }
}

impl Guard for f64 {
    const UNIT: &'static str = "";

    fn si(self) -> f64 {
        self
    }
}

macro_rules! guard {
    ($($quantity:ident: $unit:literal;)*) => {$(
        impl Guard for $quantity {
            const UNIT: &'static str = $unit;

            fn si(self) -> f64 {
                self.value
            }
        }
    )*};
}

guard! {
    Angle: " rad";
    Area: " m²";
    Density: " kg/m³";
    FlexuralStiffness: " N·m²";
    Force: " N";
    Frequency: " 1/s";
    Length: " m";
    LineLoad: " N/m";
    Mass: " kg";
    Moment: " N·m";
    MomentPerMass: " N·m/kg";
    SecondMoment: " m⁴";
    SectionModulus: " m³";
    Speed: " m/s";
    Stress: " Pa";
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::Guard;
    use crate::units::si::{metres, newtons};

    #[test]
    fn a_refusal_names_the_quantity_its_value_and_its_limits() {
        let message = |e: Result<_, crate::mechanics::MechanicsError>| {
            e.map(|_: f64| ()).unwrap_err().to_string()
        };
        assert_eq!(
            message(f64::NAN.finite("spread")),
            "spread is not a finite number"
        );
        assert_eq!(
            message((-1.0_f64).not_negative("spread")),
            "spread must not be negative, but is -1"
        );
        assert_eq!(
            message(0.0_f64.positive("spread")),
            "spread must be positive, but is 0"
        );
        assert_eq!(
            message(2.0_f64.between("spread", 0.0, 1.0)),
            "spread must lie between 0 and 1, but is 2"
        );
        let arm = metres(-0.5).positive("arm").unwrap_err().to_string();
        assert_eq!(arm, "arm must be positive, but is -0.5 m");
    }

    #[test]
    fn limits_are_accepted_and_infinity_is_not() {
        assert!(
            1.0_f64.between("share", 0.0, 1.0).is_ok()
                && 0.0_f64.between("share", 0.0, 1.0).is_ok()
        );
        assert!(0.0_f64.not_negative("share").is_ok());
        assert!(newtons(f64::INFINITY).positive("load").is_err());
    }
}
