//! How surely one film is read, by group.

use endplate::course::change::{Ends, Group};
use endplate::course::observer::{half_width, repeat_limit};
use endplate::quantity::Angle;

#[test]
fn limits_within_one_reader() {
    // 95 % limits within one reader, read in the abstracts; one measurement is
    // limit / root 2 (by hand): 3.8 -> 2.687, 4.9 -> 3.465, 6 -> 4.243,
    // 9.6 -> 6.788.
    // Morrissy et al., J Bone Joint Surg Am 1990;72:320-327: 3.8 and 4.9.
    // Loder et al., Spine 2004;29:2548-2553: 6, ten years or less.
    // Loder et al., J Bone Joint Surg Br 1995;77:768: 9.6, congenital.
    // PubMed 12394929 (2002): 9.6, kyphosis.
    let table = [
        (Group::Scoliosis, Ends::Same, 3.8, "2.7", "morrissy-1990"),
        (Group::Scoliosis, Ends::Free, 4.9, "3.5", "morrissy-1990"),
        (Group::YoungChild, Ends::Free, 6.0, "4.2", "loder-2004"),
        (Group::YoungChild, Ends::Same, 6.0, "4.2", "loder-2004"),
        (Group::Congenital, Ends::Free, 9.6, "6.8", "loder-1995"),
        (Group::Kyphosis, Ends::Same, 9.6, "6.8", "kyphosis-2002"),
    ];
    for (group, ends, limit, one, work) in table {
        let got = repeat_limit(group, ends, None);
        assert_eq!(got.value, limit);
        assert_eq!(got.source.work.unwrap().key, work);
        assert_eq!(half_width(&got, 1).digits(), one);
    }
    // Two readings: 4.9 / 2 = 2.45, which rounds to 2.5.
    let free = repeat_limit(Group::Scoliosis, Ends::Free, None);
    assert_eq!(half_width(&free, 2).digits(), "2.5");
}

#[test]
fn a_clinic_with_its_own_study() {
    let own = Some(Angle::degrees(4.0));
    let scoliosis = repeat_limit(Group::Scoliosis, Ends::Free, own);
    assert_eq!((scoliosis.value, scoliosis.source.work), (4.0, None));
    // Such a study seldom holds enough congenital curves to lower their limit.
    assert_eq!(repeat_limit(Group::Congenital, Ends::Free, own).value, 9.6);
    let wide = Some(Angle::degrees(11.0));
    assert_eq!(repeat_limit(Group::Congenital, Ends::Free, wide).value, 11.0);
}
