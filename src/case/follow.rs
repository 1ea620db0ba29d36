//! Letters that follow from visits, plans and fittings by the clinic's rules,
//! so that nobody types an entry for each.
//!
//! A letter that follows is an entry like a typed one, with an id made of
//! what it follows from (`visit-2026-10-20-progress-gp`), so that it stays
//! the same letter for as long as the record has its day. An entry that
//! somebody typed for the same occasion, kind and reader takes its place. It
//! decides nothing about what a letter says, and opens no file.

use std::collections::BTreeSet;

use chrono::{Days, NaiveDate};

use super::clinic::{After, DefaultLetters, Follow};
use super::model::{
    Case, Choice, Contact, Exam, Film, Fitting, FittingKind, InLanguages, LetterEntry, LetterKind,
    Plan, Role, Treatment,
};
use super::{Clinic, rename};
use crate::diag::{Code, Diagnostic, Located, Place, Report};

/// A film read, or a plan made, within this many days of a visit belongs to
/// it; what comes later is told by the next letter. Our own choice.
const DAYS: u64 = 14;

/// Something that letters follow from.
#[derive(Debug)]
struct Occasion<'a> {
    after: After,
    /// The record's path: `exam 2026-10-20`, `treatment b1 / fitting 2025-02-10`.
    record: String,
    /// Its part of a letter's id: `visit-2026-10-20`.
    name: String,
    day: NaiveDate,
    /// The day of the next of its sort: until then a typed entry is of this one.
    next: Option<NaiveDate>,
    /// The day whose knowledge the letter states.
    as_of: Located<NaiveDate>,
    /// Who examined or planned, the fittest to sign first.
    by: Vec<&'a Located<String>>,
    choices: Vec<Choice>,
    what: Option<FittingKind>,
    /// The brace or cast it is about.
    about: Option<&'a str>,
    place: &'a Place,
}

/// Adds the letters that follow to the entries of a case; where one cannot be
/// written to anybody, or by anybody, the report says so.
pub fn follow(case: &mut Case, clinic: &Clinic, report: &mut Report) {
    let Some(letters) = &clinic.letters else { return };
    let new = entries(case, clinic, letters, report);
    case.letters.extend(new);
}

/// Whether an id is of the form of a letter that follows.
pub fn is_default(id: &str) -> bool {
    After::WORDS.iter().any(|w| id.strip_prefix(w).is_some_and(|rest| rest.starts_with('-')))
}

/// Rules of the clinic's file that ask for what can never be.
pub fn check(clinic: &Clinic, report: &mut Report) {
    for rule in clinic.letters.iter().flat_map(|l| &l.follow) {
        let plan = rule.choice.first().or(rule.except.first()).map(|c| ("choice", &c.place));
        let what = rule.what.first().map(|w| ("what", &w.place));
        let wrong = match *rule.after {
            After::Fitting => plan,
            After::Visit | After::Plan => what,
        };
        if let Some((key, place)) = wrong {
            let message = format!("`{key}` cannot be asked of a {}", rule.after.word());
            report.add(Code::FollowRule, place, message);
        }
    }
}

fn entries(
    case: &Case,
    clinic: &Clinic,
    letters: &DefaultLetters,
    report: &mut Report,
) -> Vec<LetterEntry> {
    let mut new: Vec<LetterEntry> = Vec::new();
    let mut seen = BTreeSet::new();
    let all = visits(case).into_iter().chain(plans(case)).chain(fittings(case));
    for occasion in &all.collect::<Vec<_>>() {
        if occasion.day < *letters.since {
            continue;
        }
        for rule in letters.follow.iter().filter(|rule| occasion.calls_for(rule)) {
            let (day, kind) = (*occasion.as_of, *rule.kind);
            let Some(to) = reader(case, rule, day, occasion, report) else { continue };
            let id = occasion.id(kind, to);
            if occasion.is_typed(case, kind, to) || !seen.insert(id.clone()) {
                continue;
            }
            let Some(signer) = occasion.signer(clinic) else {
                report.push(omitted(occasion, kind, "nobody who could sign it is recorded"));
                continue;
            };
            let copies = copies(case, rule, day, to);
            new.push(occasion.entry(id, kind, (to, copies), signer));
        }
    }
    new
}

impl Occasion<'_> {
    fn calls_for(&self, rule: &Follow) -> bool {
        let chose = |list: &[Located<Choice>]| list.iter().any(|c| self.choices.contains(&c.value));
        let what = |list: &[Located<FittingKind>]| list.iter().any(|w| self.what == Some(**w));
        self.after == *rule.after
            && (rule.choice.is_empty() || chose(&rule.choice))
            && !chose(&rule.except)
            && (rule.what.is_empty() || what(&rule.what))
    }

    /// `visit-2026-10-20-progress-gp`.
    fn id(&self, kind: LetterKind, to: &Contact) -> String {
        format!("{}-{}-{}", self.name, kind.word().replace(' ', "-"), to.id.value)
    }

    /// Whether somebody typed an entry of that kind to that reader for this
    /// occasion. An addendum takes nobody's place.
    fn is_typed(&self, case: &Case, kind: LetterKind, to: &Contact) -> bool {
        let of_this = |day: NaiveDate| day >= self.day && self.next.is_none_or(|next| day < next);
        case.letters
            .iter()
            .filter(|l| l.adds_to.is_none())
            .any(|l| *l.kind == kind && l.to.value == to.id.value && of_this(*l.as_of))
    }

    fn signer(&self, clinic: &Clinic) -> Option<Located<String>> {
        let known = |id: &&&Located<String>| clinic.person(&id.value).is_some();
        let by = self.by.iter().find(known).map(|id| (*id).clone());
        let responsible = clinic.responsible.as_ref();
        by.or_else(|| responsible.map(|id| Located::new(id.value.clone(), self.place.clone())))
    }

    fn entry(
        &self,
        id: String,
        kind: LetterKind,
        (to, copies): (&Contact, Vec<&Contact>),
        signed_by: Located<String>,
    ) -> LetterEntry {
        let at = |text: &str| Located::new(text.to_string(), self.place.clone());
        LetterEntry {
            id: at(&id),
            kind: Located::new(kind, self.place.clone()),
            to: at(&to.id.value),
            copies: copies.iter().map(|c| at(&c.id.value)).collect(),
            as_of: self.as_of.clone(),
            dated: None,
            signed_by,
            signed: None,
            adds_to: None,
            question: None,
            urgency: None,
            about: self.about.map(at),
            request: None,
            gap: None,
            enclosed: Vec::new(),
            enclosures: Vec::new(),
            remarks: None,
            remarks_in: InLanguages::new(),
            risk: Vec::new(),
            follows: Some(at(&self.record)),
            place: self.place.clone(),
        }
    }
}

/// The first contact of the rule's role that may get it. Who may not is
/// passed over in silence; that nobody has the role is told.
fn reader<'a>(
    case: &'a Case,
    rule: &Follow,
    day: NaiveDate,
    occasion: &Occasion,
    report: &mut Report,
) -> Option<&'a Contact> {
    let mut of_role = case.contacts.iter().filter(|c| *c.role == *rule.to).peekable();
    if of_role.peek().is_none() {
        let why = format!("no contact has the role {}", rule.to.word());
        report.push(omitted(occasion, *rule.kind, &why));
    }
    of_role.find(|c| c.may_get(*rule.kind, day))
}

fn omitted(occasion: &Occasion, kind: LetterKind, why: &str) -> Diagnostic {
    let (kind, record) = (kind.word(), &occasion.record);
    let message = format!("no letter of kind {kind} follows {record}: {why}");
    Diagnostic::new(Code::DefaultLetterOmitted, Some(occasion.place.clone()), message)
}

/// Everybody else of the roles that get a copy, in the order of the rule.
fn copies<'a>(case: &'a Case, rule: &Follow, day: NaiveDate, to: &Contact) -> Vec<&'a Contact> {
    let roles: BTreeSet<Role> = rule.copies.iter().map(|r| **r).collect();
    let mut copies: Vec<&Contact> = case
        .contacts
        .iter()
        .filter(|c| roles.contains(&c.role) && c.id.value != to.id.value)
        .filter(|c| c.may_get(*rule.kind, day))
        .collect();
    let rank = |c: &&Contact| rule.copies.iter().position(|r| **r == *c.role);
    copies.sort_by_key(rank);
    copies
}

/// One a day with an examination.
fn visits(case: &Case) -> Vec<Occasion<'_>> {
    let mut exams: Vec<&Exam> = case.exams.iter().collect();
    exams.sort_by_key(|e| (e.on.value, e.place.clone()));
    exams.dedup_by_key(|e| e.on.value);
    let next = |n: usize| exams.get(n + 1).map(|e| e.on.value);
    exams.iter().enumerate().map(|(n, exam)| visit(case, exam, next(n))).collect()
}

fn visit<'a>(case: &'a Case, exam: &'a Exam, next: Option<NaiveDate>) -> Occasion<'a> {
    let day = exam.on.value;
    let soon = |on: NaiveDate| {
        on >= day && on <= day + Days::new(DAYS) && next.is_none_or(|next| on < next)
    };
    let plan = case.plans.iter().filter(|p| soon(p.on.value)).min_by_key(|p| p.on.value);
    let films = case.films.iter().filter(|f| f.taken.value == day).filter_map(first_read);
    let read = films.filter(|read| soon(read.value));
    let as_of = read.chain(plan.map(|p| &p.on)).max_by_key(|on| on.value);
    Occasion {
        after: After::Visit,
        name: format!("visit-{}", first_day(case, "exam", day)),
        record: format!("exam {day}"),
        day,
        next,
        as_of: as_of.filter(|on| on.value > day).unwrap_or(&exam.on).clone(),
        by: plan.and_then(|p| p.by.as_ref()).into_iter().chain(&exam.by).collect(),
        choices: plan.map(choices).unwrap_or_default(),
        what: None,
        about: None,
        place: &exam.place,
    }
}

/// When a film was first read by anybody.
fn first_read(film: &Film) -> Option<&Located<NaiveDate>> {
    let first = film.readings.iter().filter(|r| r.repeat_of.is_none());
    first.map(|r| &r.read).min_by_key(|read| read.value)
}

fn choices(plan: &Plan) -> Vec<Choice> {
    plan.choice.iter().map(|c| **c).collect()
}

fn plans(case: &Case) -> Vec<Occasion<'_>> {
    let later = |day: NaiveDate| case.plans.iter().map(|p| p.on.value).filter(move |on| *on > day);
    let occasion = |plan| {
        let plan: &Plan = plan;
        let day = plan.on.value;
        Occasion {
            after: After::Plan,
            name: format!("plan-{}", first_day(case, "plan", day)),
            record: format!("plan {day}"),
            day,
            next: later(day).min(),
            as_of: plan.on.clone(),
            by: plan.by.iter().collect(),
            choices: choices(plan),
            what: None,
            about: None,
            place: &plan.place,
        }
    };
    case.plans.iter().map(occasion).collect()
}

fn fittings(case: &Case) -> Vec<Occasion<'_>> {
    let of = |t| {
        let t: &Treatment = t;
        t.fittings.iter().map(move |fitting| fitted(case, t, fitting))
    };
    case.treatments.iter().flat_map(of).collect()
}

/// A fitting with the film it names, whenever that is taken.
fn fitted<'a>(case: &'a Case, treatment: &'a Treatment, fitting: &'a Fitting) -> Occasion<'a> {
    let day = fitting.on.value;
    let named = |f: &&Film| fitting.film.as_ref().is_some_and(|id| id.value == f.id.value);
    let read = case.films.iter().find(named).and_then(first_read);
    let same = treatment.fittings.iter().filter(|f| *f.what == *fitting.what);
    let examined = case.exams.iter().filter(|e| e.on.value == day);
    let root = format!("treatment {} / fitting", treatment.id.value);
    Occasion {
        after: After::Fitting,
        name: format!("fitting-{}-{}", treatment.id.value, first_day(case, &root, day)),
        record: format!("{root} {day}"),
        day,
        next: same.map(|f| f.on.value).filter(|on| *on > day).min(),
        as_of: read.filter(|read| read.value > day).unwrap_or(&fitting.on).clone(),
        by: examined.filter_map(|e| e.by.as_ref()).collect(),
        choices: Vec::new(),
        what: Some(*fitting.what),
        about: Some(treatment.id.value.as_str()),
        place: &fitting.place,
    }
}

/// The day of a record as it was written first: a correction of the day does
/// not make another letter of one that may have been sent.
fn first_day(case: &Case, kind: &str, day: NaiveDate) -> String {
    let first = rename::first(&case.corrections, &format!("{kind} {day}"));
    first.rsplit(' ').next().unwrap_or_default().to_string()
}
