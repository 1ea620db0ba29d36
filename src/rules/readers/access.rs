//! What of the facts a reader's letter may look at.
//!
//! `closed:` closes paths and all below them; with `open:` everything else is
//! closed. A step on the way to something open may be passed and shows
//! nothing of its own. Names of figures count as paths: `figures.course`.

use crate::diag::{Located, Place};

use super::pattern::Pattern;

/// What is open and closed.
#[derive(Debug, Clone, Default)]
pub struct Access {
    /// With a list only these are open; where it stands.
    pub open: Option<(Vec<Located<Pattern>>, Place)>,
    /// These are closed, even among those that are open.
    pub closed: Vec<Located<Pattern>>,
}

/// What a path meets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Door<'a> {
    /// It may be looked at.
    Open,
    /// It may be passed on the way to something open.
    Way,
    /// It may not; the line that closes it.
    Closed(&'a Place),
}

impl Access {
    /// What a path of a letter's facts meets.
    pub fn door(&self, path: &str) -> Door<'_> {
        let steps: Vec<Option<&str>> = path.split('.').map(Some).collect();
        self.door_of(&steps)
    }

    /// The same where steps may not be known yet (`None`): closed only if
    /// it is closed whatever stands there.
    pub fn door_of(&self, path: &[Option<&str>]) -> Door<'_> {
        if let Some(closed) = self.closed.iter().find(|p| p.value.surely_covers(path)) {
            return Door::Closed(&closed.place);
        }
        let Some((open, place)) = &self.open else { return Door::Open };
        match open {
            list if list.iter().any(|p| p.value.may_cover(path)) => Door::Open,
            list if list.iter().any(|p| p.value.may_lie_below(path)) => Door::Way,
            _ => Door::Closed(place),
        }
    }

    /// Whether a path may be looked at.
    pub fn is_open(&self, path: &str) -> bool {
        self.door(path) == Door::Open
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn patterns(list: &[&str]) -> Vec<Located<Pattern>> {
        let at = |text: &&str| Located::new(Pattern::parse(text).unwrap(), Place::whole(text));
        list.iter().map(at).collect()
    }

    #[test]
    fn what_is_closed_is_closed_with_all_below() {
        let access = Access { open: None, closed: patterns(&["exam.weight", "risk"]) };
        assert_eq!(access.door("exam"), Door::Open);
        assert_eq!(access.door("exam.height"), Door::Open);
        assert_eq!(access.door("exam.weight"), Door::Closed(&Place::whole("exam.weight")));
        assert_eq!(access.door("risk.trial.value"), Door::Closed(&Place::whole("risk")));
    }

    #[test]
    fn beside_what_is_open_everything_is_closed() {
        let open = Some((patterns(&["plan.next_visit", "patient"]), Place::whole("open")));
        let access = Access { open, closed: patterns(&["patient.age"]) };
        assert_eq!(access.door("plan"), Door::Way);
        assert!(access.is_open("plan.next_visit"));
        assert!(access.is_open("patient.called"));
        assert_eq!(access.door("plan.because"), Door::Closed(&Place::whole("open")));
        assert_eq!(access.door("exam"), Door::Closed(&Place::whole("open")));
        assert_eq!(access.door("patient.age"), Door::Closed(&Place::whole("patient.age")));
    }

    #[test]
    fn a_step_not_known_yet_closes_nothing_by_itself() {
        let access = Access { open: None, closed: patterns(&["exam.weight"]) };
        assert_eq!(access.door_of(&[Some("exam"), None]), Door::Open);
        let open = Some((patterns(&["exam.skin"]), Place::whole("open")));
        let access = Access { open, closed: Vec::new() };
        assert_eq!(access.door_of(&[Some("exam"), None]), Door::Open);
        assert_eq!(access.door_of(&[Some("plan"), None]), Door::Closed(&Place::whole("open")));
    }
}
