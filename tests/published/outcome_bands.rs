//! Published outcome categories at their bounds.

use Outcome::{Improved, Unchanged, Worse};
use endplate::course::outcome::{
    Bands, Outcome, beyond_45_at_maturity, outcome, reached_50_at_maturity,
};
use endplate::quantity::{Reported, Unit};

fn degrees(value: i64) -> Reported {
    Reported::whole(value, Unit::Degree)
}

#[test]
fn scoliosis_bands() {
    // Negrini et al., BMC Musculoskelet Disord 2014;15:263, and Kuroki et
    // al., Scoliosis 2015;10:11 (both read): improved by 6 or more, unchanged
    // within 5, worse by 6 or more.
    let judged = [-6, -5, 0, 5, 6].map(|d| outcome(degrees(d), Bands::Scoliosis));
    assert_eq!(judged, [Improved, Unchanged, Unchanged, Unchanged, Worse]);
}

#[test]
fn kyphosis_bands() {
    // Piazzolla et al., Spine Deform 2021;9:549-557, PMC7921048 (abstract
    // read): reduced at -5 or less, stable strictly between -5 and +5.
    let judged = [-5, -4, 0, 4, 5].map(|d| outcome(degrees(d), Bands::Kyphosis));
    assert_eq!(judged, [Improved, Unchanged, Unchanged, Unchanged, Worse]);
}

#[test]
fn ends_at_maturity() {
    // Negrini 2014 (read): above 45, so 45 has not passed it. Weinstein et
    // al., N Engl J Med 2013;369:1512-1521 (read): failure at 50.
    assert_eq!([45, 46].map(|d| beyond_45_at_maturity(degrees(d))), [false, true]);
    assert_eq!([49, 50].map(|d| reached_50_at_maturity(degrees(d))), [false, true]);
}
