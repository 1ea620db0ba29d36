//! Quantities: units in the type, one rounding, the same bits everywhere.
//!
//! Inside the program an angle is an [`Angle`] and a length a [`Length`];
//! the only way to a printed number is [`Reported`], made by the one rounding
//! step the design allows. Calendar dates of day, month or year precision live
//! in [`date`]. This room knows no case, no film and no clock.

pub mod date;
pub mod math;
mod reported;
mod unit;

pub use date::{Age, PartialDate};
pub use reported::Reported;
pub use unit::Unit;

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $from:ident, $to:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(f64);

        #[allow(clippy::self_named_constructors, reason = "hours are hours by any name")]
        impl $name {
            /// From a finite number in the named unit; panics on NaN or
            /// infinity, which no reader lets through.
            pub fn $from(value: f64) -> Self {
                assert!(value.is_finite(), concat!(stringify!($name), " must be finite"));
                $name(value)
            }

            /// The number in the named unit.
            pub fn $to(self) -> f64 {
                self.0
            }
        }
    };
}

quantity!(
    /// An angle, in degrees at every edge.
    Angle, degrees, to_degrees
);
quantity!(
    /// A length, in millimetres at every edge.
    Length, millimetres, to_millimetres
);
quantity!(
    /// A mass, in kilograms.
    Mass, kilograms, to_kilograms
);
quantity!(
    /// Hours in each day of 24, as prescribed or measured.
    HoursPerDay, hours, to_hours
);
quantity!(
    /// A span of time in hours.
    Hours, hours, to_hours
);
quantity!(
    /// An effective dose, in millisievert.
    Dose, millisievert, to_millisievert
);
quantity!(
    /// A dose-area product, in gray times square centimetres.
    AreaDose, gray_square_centimetres, to_gray_square_centimetres
);
quantity!(
    /// A temperature, in degrees Celsius.
    Temperature, celsius, to_celsius
);
quantity!(
    /// Millimetres that one pixel of a film stands for.
    PixelScale, millimetres_per_pixel, to_millimetres_per_pixel
);
