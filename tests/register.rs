//! The register, without any file: what the events say together, and that
//! every change to them is found and its place named.

use std::collections::BTreeMap;

use chrono::{DateTime, NaiveDate};
use proptest::prelude::*;

use endplate::diag::{Code, Report};
use endplate::digest::Digest;
use endplate::register::verify::{OnDisk, verify};
use endplate::register::{
    Acknowledgement, Chain, Changed, DocumentId, Erasure, Event, Freeze, Frozen, InstanceId, Issue,
    Moment, Replacement, Role, State, Stored, What, Withdrawal, fold,
};

fn moment(minute: i64) -> Moment {
    // 2026-01-01T00:00:00Z is 1,767,225,600 seconds after the epoch.
    Moment(DateTime::from_timestamp(1_767_225_600 + minute * 60, 0).unwrap())
}

fn instance(letter: &str, version: u32) -> InstanceId {
    InstanceId { document: DocumentId::new("qa-0007", letter), version }
}

fn content(letter: &str, version: u32) -> Vec<u8> {
    format!("the bytes of {letter} version {version}").into_bytes()
}

fn issue(letter: &str, version: u32, recipients: &[(Role, &str)]) -> Issue {
    let day = NaiveDate::from_ymd_opt(2026, 1, 1).unwrap();
    Issue {
        instance: instance(letter, version),
        kind: "progress".into(),
        as_of: day,
        dated: day,
        recipients: recipients.iter().map(|(r, c)| (*r, c.to_string())).collect(),
        adds_to: None,
        files: vec![Frozen {
            is: Freeze::Pdf,
            file: format!("qa-0007-{letter}-v{version}.pdf"),
            digest: Digest::of(&content(letter, version)),
        }],
    }
}

fn amendment(letter: &str, version: u32, recipients: &[(Role, &str)]) -> What {
    What::Amended(Replacement {
        issue: issue(letter, version, recipients),
        replaces: version - 1,
        reason: "transcription".into(),
        changed: Changed::Numbers,
        advice_changes: false,
    })
}

fn told(letter: &str, version: u32, recipient: &str) -> What {
    What::Acknowledged(Acknowledgement {
        instance: instance(letter, version),
        recipient: recipient.into(),
        on: NaiveDate::from_ymd_opt(2026, 1, 2).unwrap(),
        how: "telephone".into(),
    })
}

/// A folder in memory.
#[derive(Clone, Default)]
struct Disk {
    events: Vec<Stored>,
    head: Option<Result<Digest, String>>,
    frozen: BTreeMap<String, Digest>,
}

impl Disk {
    fn put(&mut self, what: What) -> Event {
        let chain = Chain::of(&self.events);
        let event = chain.next(moment(self.events.len() as i64), "hk", what);
        self.write(&event);
        event
    }

    fn write(&mut self, event: &Event) {
        for frozen in event.what.files() {
            self.frozen.insert(frozen.file.clone(), frozen.digest);
        }
        let bytes = event.to_bytes();
        self.head = Some(Ok(Digest::of(&bytes)));
        self.events.push(Stored { name: event.file_name(), bytes });
    }

    /// Codes of the errors and the files they name.
    fn faults(&self) -> Vec<(Code, String)> {
        let mut report = Report::default();
        let disk = OnDisk { events: &self.events, head: self.head.clone(), frozen: &self.frozen };
        verify(&disk, &|name| name.to_string(), &mut report);
        report
            .sorted()
            .iter()
            .map(|d| (d.code, d.place.as_ref().unwrap().file.to_string()))
            .collect()
    }
}

/// Three letters, one of them amended, one withdrawn; the family not yet told.
fn story() -> Disk {
    let mut disk = Disk::default();
    let both = [(Role::To, "gp"), (Role::Copy, "home")];
    disk.put(What::Issued(issue("l1", 1, &both)));
    disk.put(What::Issued(issue("l2", 1, &[(Role::To, "payer")])));
    disk.put(amendment("l1", 2, &both));
    disk.put(told("l1", 2, "gp"));
    disk.put(What::Issued(issue("l3", 1, &[(Role::To, "gp")])));
    disk.put(What::Withdrawn(Withdrawal {
        instance: instance("l3", 1),
        reason: "wrong patient".into(),
        files: Vec::new(),
    }));
    disk
}

#[test]
fn the_state_of_every_letter_follows_from_the_events() {
    let documents = fold(&Chain::of(&story().events));
    let states = |letter: &str| {
        let document = &documents[&DocumentId::new("qa-0007", letter)];
        let owed: Vec<_> = document
            .owed
            .iter()
            .map(|o| (o.recipient.as_str(), o.holds.clone(), o.about))
            .collect();
        (document.versions.iter().map(|v| v.state).collect::<Vec<_>>(), owed)
    };
    assert_eq!(states("l1"), (vec![State::Superseded, State::Amended], vec![("home", vec![1], 2)]));
    assert_eq!(states("l2"), (vec![State::Issued], vec![]));
    assert_eq!(states("l3"), (vec![State::Withdrawn], vec![("gp", vec![1], 1)]));
    let l1 = &documents[&DocumentId::new("qa-0007", "l1")];
    assert_eq!(l1.in_force().unwrap().issue.instance.version, 2);
    assert_eq!(l1.next_version(), 3);
}

#[test]
fn an_acknowledgement_of_an_older_version_does_not_close_a_newer_debt() {
    let mut disk = Disk::default();
    let gp = [(Role::To, "gp")];
    disk.put(What::Issued(issue("l1", 1, &gp)));
    disk.put(amendment("l1", 2, &gp));
    disk.put(amendment("l1", 3, &gp));
    disk.put(told("l1", 2, "gp"));
    let owed = |disk: &Disk| {
        fold(&Chain::of(&disk.events))[&DocumentId::new("qa-0007", "l1")].owed.clone()
    };
    assert_eq!(
        owed(&disk).iter().map(|o| (o.about, o.holds.clone())).collect::<Vec<_>>(),
        [(3, vec![1, 2])]
    );
    disk.put(told("l1", 3, "gp"));
    assert_eq!(owed(&disk), []);
}

#[test]
fn a_withdrawal_is_owed_to_holders_of_every_version_up_to_it() {
    let mut disk = Disk::default();
    disk.put(What::Issued(issue("l1", 1, &[(Role::To, "gp"), (Role::Copy, "home")])));
    disk.put(amendment("l1", 2, &[(Role::To, "gp")]));
    disk.put(told("l1", 2, "home"));
    disk.put(What::Withdrawn(Withdrawal {
        instance: instance("l1", 2),
        reason: "wrong patient".into(),
        files: Vec::new(),
    }));
    let documents = fold(&Chain::of(&disk.events));
    let owed = &documents[&DocumentId::new("qa-0007", "l1")].owed;
    let owed: Vec<_> =
        owed.iter().map(|o| (o.recipient.as_str(), o.holds.clone(), o.about)).collect();
    assert_eq!(owed, [("gp", vec![1, 2], 2), ("home", vec![1], 2)]);
}

#[test]
fn a_register_as_written_has_no_fault() {
    assert_eq!(story().faults(), []);
    assert_eq!(Disk::default().faults(), []);
}

#[test]
fn a_dropped_event_is_missed_wherever_it_stood() {
    let whole = story();
    for at in 0..whole.events.len() {
        let mut disk = whole.clone();
        let gone = disk.events.remove(at);
        let faults = disk.faults();
        let last = at + 1 == whole.events.len();
        let file =
            if last { "head".to_string() } else { format!("events/{}", whole.events[at + 1].name) };
        assert!(faults.contains(&(Code::EventMissing, file)), "without {}: {faults:?}", gone.name);
    }
}

#[test]
fn swapped_events_are_both_named() {
    let mut disk = story();
    let (a, b) = (disk.events[1].bytes.clone(), disk.events[3].bytes.clone());
    disk.events[1].bytes = b;
    disk.events[3].bytes = a;
    let changed: Vec<_> = disk.faults().into_iter().filter(|f| f.0 == Code::EventChanged).collect();
    let named = [1, 3].map(|i| (Code::EventChanged, format!("events/{}", disk.events[i].name)));
    assert_eq!(changed, named);
}

#[test]
fn two_branches_are_told_and_joining_keeps_both() {
    let mut disk = story();
    let mut other = disk.clone();
    let mine = disk.put(told("l1", 2, "home"));
    let theirs = other.put(What::Issued(issue("l4", 1, &[(Role::To, "gp")])));
    disk.write(&theirs);
    assert_ne!(mine.file_name(), theirs.file_name());
    let faults = disk.faults();
    assert_eq!(faults.iter().map(|f| f.0).collect::<Vec<_>>(), [Code::RegisterFork], "{faults:?}");
    let joined = disk.put(What::Joined {});
    assert_eq!(joined.parents.len(), 2);
    assert_eq!(disk.faults(), []);
    assert_eq!(fold(&Chain::of(&disk.events)).len(), 4);
    // The same version issued on both branches stays a fault.
    let mut twice = story();
    let mut copy = twice.clone();
    let l5 = || What::Issued(issue("l5", 1, &[(Role::To, "gp")]));
    twice.put(l5());
    copy.put(What::Joined {});
    let second = copy.put(l5());
    copy.events.iter().for_each(|e| {
        if !twice.events.contains(e) {
            twice.events.push(e.clone())
        }
    });
    assert!(
        twice.faults().contains(&(Code::IssuedTwice, format!("events/{}", second.file_name())))
    );
}

#[test]
fn frozen_files_are_changed_missing_or_unknown() {
    let with = |change: fn(&mut BTreeMap<String, Digest>)| {
        let mut disk = story();
        change(&mut disk.frozen);
        disk.faults()
    };
    let file = "qa-0007-l2-v1.pdf".to_string();
    let changed = with(|f| {
        f.insert("qa-0007-l2-v1.pdf".into(), Digest::of(b"other"));
    });
    assert_eq!(changed, [(Code::FrozenChanged, file.clone())]);
    let missing = with(|f| {
        f.remove("qa-0007-l2-v1.pdf");
    });
    assert_eq!(missing, [(Code::FrozenMissing, file)]);
    let extra = with(|f| {
        f.insert("x.pdf".into(), Digest::of(b"x"));
    });
    assert_eq!(extra, [(Code::FrozenExtra, "x.pdf".to_string())]);
}

#[test]
fn what_was_frozen_after_an_erasure_is_to_be_there() {
    let mut disk = Disk::default();
    let pages = "qa-0007-l1-v1.pdf";
    let notice = "qa-0007-l1-v1-withdrawn.pdf";
    disk.put(What::Issued(issue("l1", 1, &[(Role::To, "gp")])));
    let ground = "order 7".to_string();
    disk.put(What::Erased(Erasure { instance: instance("l1", 1), ground: ground.clone() }));
    assert_eq!(disk.faults(), [(Code::FrozenChanged, pages.to_string())]);
    disk.frozen.remove(pages);
    let digest = Digest::of(b"a notice");
    disk.put(What::Withdrawn(Withdrawal {
        instance: instance("l1", 1),
        reason: "wrong patient".into(),
        files: vec![Frozen { is: Freeze::Pdf, file: notice.into(), digest }],
    }));
    assert_eq!(disk.faults(), []);
    disk.frozen.remove(notice);
    assert_eq!(disk.faults(), [(Code::FrozenMissing, notice.to_string())]);
    disk.put(What::Erased(Erasure { instance: instance("l1", 1), ground }));
    assert_eq!(disk.faults(), []);
}

proptest! {
    /// No bit of any event can change unseen.
    #[test]
    fn any_changed_byte_is_found(event in 0_usize..6, at in 0_usize..10_000, bit in 0_u8..8) {
        let mut disk = story();
        let bytes = &mut disk.events[event].bytes;
        let at = at % bytes.len();
        bytes[at] ^= 1 << bit;
        let name = format!("events/{}", disk.events[event].name);
        prop_assert!(disk.faults().contains(&(Code::EventChanged, name)));
    }
}
