//! Size classes of early-onset deformity: the curve and the kyphosis.
//!
//! The published scheme also classes the cause and the yearly rise; the
//! limits of the rise are known from memory alone and are not here. Sizes are
//! whole reported degrees, so that 20.4 is class 1 and 20.6 class 2.

use crate::evidence::{Source, works};
use crate::quantity::{Reported, Unit};

/// Found before this age in completed years, of the infantile or juvenile
/// class ([`BJF`](works::BJF)), a deformity is early-onset; some authors cut
/// at 5.
pub const BEFORE_YEARS: u32 = 10;

/// Where the classes come from.
pub const CLASSES: Source = Source::read(
    &works::EARLY_ONSET_CLASSES,
    "curve 1: 20 or less, 2: 21 to 50, 3: 51 to 90, 4: above 90; kyphosis -: 20 or less, N: 21 to 50, +: above 50 degrees",
);

fn at_most(size: Reported, limit: i64) -> bool {
    let whole = Reported::round(size.value(), 0, Unit::Degree);
    whole.compare(Reported::whole(limit, Unit::Degree)).is_le()
}

/// The class of the largest curve: `1` to `4`.
pub fn curve_class(size: Reported) -> &'static str {
    match size {
        size if at_most(size, 20) => "1",
        size if at_most(size, 50) => "2",
        size if at_most(size, 90) => "3",
        _ => "4",
    }
}

/// The class of the largest kyphosis: `-`, `N` or `+`.
pub fn kyphosis_class(size: Reported) -> &'static str {
    match size {
        size if at_most(size, 20) => "-",
        size if at_most(size, 50) => "N",
        _ => "+",
    }
}
