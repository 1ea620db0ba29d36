//! Who orders, supplies, signs, speaks with the reviewer and gave the right to
//! appeal, each with the identifiers a payer asks for.

use super::super::maker::{Maker, day, text};
use crate::case::{Case, Clinic, LetterEntry, Opt, Person, Request};
use crate::diag::{Located, Place};
use crate::facts::Missing;

const CLINIC: &str = "the clinic, in clinic.yaml";
const ADMIN: &str = "the administrator";

/// `request.{orderer,supplier,signer,peer,authority}.*`.
pub(super) fn people(
    make: &mut Maker,
    case: &Case,
    clinic: &Clinic,
    r: &Request,
    entry: &LetterEntry,
) {
    let record = format!("request {}", r.id.value);
    let who = Named { case, clinic, record: &record, home: &r.place };
    who.person(make, "orderer", "who ordered it", r.ordered_by.as_ref());
    who.person(make, "signer", "who signs", Some(&entry.signed_by));
    // Whoever signs can be called, unless somebody else is named.
    let peer = r.peer_to_peer.as_ref();
    who.person(
        make,
        "peer",
        "who speaks with the payer’s reviewer",
        Some(peer.map_or(&entry.signed_by, |p| &p.who)),
    );
    let when = peer.and_then(|p| p.when.as_ref());
    who.item(make, "peer.when", "when they can be reached", when, ADMIN);
    supplier(make, &who, r);
    authority(make, &who, r);
}

/// One text of a person.
type Get = fn(&Person) -> &Opt<String>;

struct Named<'a> {
    case: &'a Case,
    clinic: &'a Clinic,
    record: &'a str,
    home: &'a Place,
}

impl Named<'_> {
    /// `request.<item>`: a text as recorded.
    fn item(
        &self,
        make: &mut Maker,
        item: &str,
        label: &str,
        found: Option<&Located<String>>,
        who: &str,
    ) {
        let id = format!("request.{item}");
        make.recorded(id, label, self.record, found, |t| text(t), who, self.home);
    }

    /// A person of the clinic: name, licence, provider number, telephone.
    fn person(&self, make: &mut Maker, root: &str, label: &str, id: Option<&Located<String>>) {
        let found = id.and_then(|id| self.clinic.person(&id.value));
        self.item(make, &format!("{root}.name"), label, found.map(|p| &p.name), ADMIN);
        let parts: [(&str, &str, Get); 4] = [
            ("credentials", "credentials", |p| &p.credentials),
            ("licence", "licence number", |p| &p.licence),
            ("number", "provider number", |p| &p.provider_no),
            ("phone", "telephone", |p| &p.phone),
        ];
        for (item, what, get) in parts {
            let value = found.and_then(|p| get(p).as_ref());
            self.item(
                make,
                &format!("{root}.{item}"),
                &format!("{what} of {label}"),
                value,
                CLINIC,
            );
        }
    }
}

fn supplier(make: &mut Maker, who: &Named, r: &Request) {
    let found = r
        .supplier
        .as_ref()
        .and_then(|id| who.case.contacts.iter().find(|c| c.id.value == id.value));
    let parts = [
        ("name", "supplier", found.map(|c| &c.name)),
        ("organisation", "company of the supplier", found.and_then(|c| c.organisation.as_ref())),
        ("number", "provider number of the supplier", found.and_then(|c| c.provider_no.as_ref())),
        ("phone", "telephone of the supplier", found.and_then(|c| c.phone.as_ref())),
    ];
    for (item, label, value) in parts {
        let asked = if item == "name" { ADMIN } else { "the supplier" };
        who.item(make, &format!("supplier.{item}"), label, value, asked);
    }
}

fn authority(make: &mut Maker, who: &Named, r: &Request) {
    let label = "who gave the authority to appeal";
    let Some(a) = &r.authority else {
        for item in ["from", "on", "how"] {
            let missing = Missing::NotRecorded {
                item: "the authority to appeal for the member".into(),
                who: "the family, by a signed form".into(),
            };
            make.missing(format!("request.authority.{item}"), label, missing);
        }
        return;
    };
    let from = who.case.contacts.iter().find(|c| c.id.value == a.from.value);
    who.item(make, "authority.from", label, from.map(|c| &c.name), ADMIN);
    make.fact("request.authority.on", "day of the authority to appeal", day(a.on.value))
        .record(who.record, &a.on.place)
        .done();
    who.item(make, "authority.how", "how it was given", a.how.as_ref(), ADMIN);
}
