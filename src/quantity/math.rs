//! Float functions that give the same bits on every machine.
//!
//! The standard library's trigonometry may differ between platforms; these
//! come from `libm`, which is compiled with the program. `.clippy.toml` sends
//! everybody here.

/// Angle of the vector (x, y) from the x axis, in degrees, in (-180, 180].
pub fn atan2_degrees(y: f64, x: f64) -> f64 {
    libm::atan2(y, x).to_degrees()
}

/// Length of the vector (x, y).
pub fn hypot(x: f64, y: f64) -> f64 {
    libm::hypot(x, y)
}

/// Square root (exact by IEEE 754 on every machine).
pub fn sqrt(x: f64) -> f64 {
    libm::sqrt(x)
}

/// A tenth, a hundredth, ...: one step of that many decimals.
pub fn ten_to_minus(decimals: u8) -> f64 {
    1.0 / 10f64.powi(i32::from(decimals))
}

/// `x` raised to the power `y`.
pub fn power(x: f64, y: f64) -> f64 {
    libm::pow(x, y)
}

/// Natural logarithm.
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}

/// e raised to the power `x`.
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}
