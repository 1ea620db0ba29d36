//! Regions of a curve by its apex.

use endplate::evidence::Grade;
use endplate::spine::Column;
use endplate::spine::region::{Region, region};

#[track_caller]
fn check(apexes: &[&str], expected: Region, read: bool) {
    let column = Column::default();
    for text in apexes {
        let (found, source) = region(column.parse_apex(text).unwrap(), column).unwrap();
        assert_eq!(found, expected, "{text}");
        assert_eq!(source.grade == Grade::Read, read, "{text}");
    }
}

#[test]
fn regions_as_printed() {
    // AO Surgery Reference, classification pages (read): proximal thoracic
    // T3-T5, main thoracic T6 to the T11-12 disc, thoracolumbar T12-L1,
    // lumbar from the L1-2 disc to L4.
    check(&["T3", "T4", "T4-T5", "T5"], Region::ProximalThoracic, true);
    check(&["T6", "T8", "T11", "T11-T12"], Region::MainThoracic, true);
    check(&["T12", "T12-L1", "L1"], Region::Thoracolumbar, true);
    check(&["L1-L2", "L2", "L3-L4", "L4"], Region::Lumbar, true);
    // Musculoskeletal Key, table 9-1 (read): cervicothoracic C7-T1.
    check(&["C7", "C7-T1", "T1"], Region::Cervicothoracic, true);
    // Scoliosis Research Society glossary (read): thoracic from T2.
    check(&["T2", "T2-T3"], Region::ProximalThoracic, true);
}

#[test]
fn what_the_sources_leave_open_is_marked_as_ours() {
    check(&["T1-T2"], Region::Cervicothoracic, false);
    check(&["T5-T6"], Region::MainThoracic, false);
    check(&["L4-L5", "L5"], Region::Lumbosacral, false);
    check(&["C5"], Region::Cervical, false);
}
