//! Facts that only a log of samples gives: its rule, its days, its weeks and
//! steps of prescribed hours, its longest break.

use super::span::too_few;
use super::{ITEMS, record, removable};
use crate::case::{Limits, Opt, Treatment, Wear, wear_rule};
use crate::course::hours::{Step, in_force};
use crate::course::wear::table::reported;
use crate::course::wear::{ADHERENCE_SOURCE, DayState, Mean, RULE_SOURCE, Table};
use crate::diag::Place;
use crate::evidence::{Grade, Source, works};
use crate::facts::derive::maker::{Maker, day, text, whole, yes_no};
use crate::facts::{Missing, Value};
use crate::quantity::{Reported, Temperature, Unit};

/// What a log is asked for where there is none.
pub(super) fn none(make: &mut Maker, path: &str, t: &Treatment) {
    let root = path.trim_end_matches(".wear");
    for (item, label) in ITEMS.into_iter().filter(|(item, _)| *item != "wear.reported_ratio") {
        let id = format!("{root}.{item}");
        if removable(t) {
            make.not_recorded(id, label, "the orthotist", &record(t), &t.place);
        } else {
            make.missing(id, label, Missing::NotApplicable("a cast is not taken off".into()));
        }
    }
}

/// Why no day of a log counts.
pub(super) fn why_none_counts(table: &Table) -> String {
    let warm = table.count(|s| matches!(s, DayState::CannotTell(_)));
    let gaps = table.count(|s| matches!(s, DayState::Incomplete | DayState::Partial));
    let outside = table.count(|s| *s == DayState::Outside);
    format!(
        "no day of the log counts: {warm} too warm to tell, {gaps} not logged as a whole, \
         {outside} not in the brace"
    )
}

/// Everything a log says beyond the spans.
pub(super) fn facts(make: &mut Maker, path: &str, t: &Treatment, limits: &Limits, table: &Table) {
    let log = Log { path, t, table, steps: wear_rule::steps(t) };
    log.rule(make, limits);
    log.days(make);
    log.met(make);
    log.week_parts(make);
    log.longest_break(make);
    log.weeks(make);
    log.by_step(make);
}

struct Log<'a> {
    path: &'a str,
    t: &'a Treatment,
    table: &'a Table,
    steps: Vec<Step>,
}

impl Log<'_> {
    fn place(&self) -> &Place {
        let log = self.t.wear.as_ref().and_then(|w| w.log.as_ref());
        log.map_or(&self.t.place, |l| &l.path.place)
    }

    fn record(&self) -> String {
        format!("{} / wear / log", record(self.t))
    }

    fn number(&self, make: &mut Maker, item: &str, label: &str, value: Value, formula: &str) {
        make.fact(format!("{}.{item}", self.path), label, value)
            .record(self.record(), self.place())
            .by(formula, Source::definition(""))
            .done();
    }

    /// The rule, printed because two rules read one log differently.
    fn rule(&self, make: &mut Maker, limits: &Limits) {
        let Some(wear) = &self.t.wear else { return };
        let rule = wear_rule::rule(wear, Some(limits));
        let own = Source::common_practice("our own choice; the clinic may set another");
        let hysteresis = Source::common_practice("our own choice: a degree below the other");
        let degrees = |celsius: f64| {
            let one = Reported::round(celsius, 1, Unit::Celsius);
            let whole = Reported::round(celsius, 0, Unit::Celsius);
            if one.compare(whole).is_eq() { whole } else { one }
        };
        let at = |t: &Opt<Temperature>| t.as_ref().map(|t| t.place.clone());
        let clinic =
            |t: &Opt<Temperature>| at(t).map(|place| ("clinic / limits".to_string(), place));
        let case = |place: Place| (format!("{} / wear", record(self.t)), place);
        let on = at(&wear.worn_above).map(case).or_else(|| clinic(&limits.worn_above));
        let off = at(&wear.taken_off_below).map(case);
        let cool = clinic(&limits.wear_cool_by);
        let step = clinic(&limits.wear_step);
        let share =
            limits.wear_missing.as_ref().map(|s| ("clinic / limits".into(), s.place.clone()));
        let missing = Reported::round(rule.missing, 0, Unit::Percent);
        for (item, set, value, source) in [
            ("worn_above", on, degrees(rule.worn_above), RULE_SOURCE),
            ("taken_off_below", off, degrees(rule.taken_off_below), hysteresis),
            ("cool_by", cool, degrees(rule.clear_by), own),
            ("step", step, degrees(rule.step), own),
            ("missing", share, missing, own),
        ] {
            self.setting(make, item, set, value, source);
        }
        self.reading(make, wear);
    }

    /// One setting of the rule: as recorded, or the default.
    fn setting(
        &self,
        make: &mut Maker,
        item: &str,
        set: Option<(String, Place)>,
        value: Reported,
        default: Source,
    ) {
        let id = format!("wear.rule.{item}");
        let label = ITEMS.iter().find(|(known, _)| *known == id).map_or(item, |(_, label)| label);
        let draft = make.fact(format!("{}.rule.{item}", self.path), label, Value::Number(value));
        match set {
            Some((record, place)) => {
                let source = Source { work: None, grade: Grade::ClinicSetting, note: "" };
                draft.record(record, &place).by("as set", source).done()
            }
            None => draft.by("default of this program", default).done(),
        };
    }

    /// What was read from the data: interval and zone.
    fn reading(&self, make: &mut Maker, wear: &Wear) {
        let Some(log) = wear.log.as_ref().and_then(|l| l.content.as_ref()) else { return };
        let minutes = log.interval as f64 / 60.0;
        let decimals = u8::from(log.interval % 60 != 0);
        let interval = Value::Number(Reported::round(minutes, decimals, Unit::Minute));
        let note = "the same log read 86.1 or 89.9 per cent by two rules";
        make.fact(format!("{}.rule.interval", self.path), "minutes between two samples", interval)
            .record(self.record(), self.place())
            .by("median of the log", Source::read(&works::WEAR_RULES_2012, note))
            .unrounded(minutes)
            .done();
        let words = "as named in the case, or as written with the times";
        let zone = text(&log.zone);
        self.number(make, "rule.zone", "time zone of the days", zone, words);
    }

    fn days(&self, make: &mut Maker) {
        let table = self.table;
        let warm = table.count(|s| matches!(s, DayState::CannotTell(_)));
        let logged = table.count(|s| *s != DayState::Outside);
        let counted = table.count(|s| *s == DayState::Counted);
        let gaps = table.count(|s| *s == DayState::Incomplete);
        let unworn = table.counted().filter(|d| reported(d.hours()).sign() == 0).count() as i64;
        let cannot = "days never seen cool, warm while off, or with wear that began or ended \
                      without a step";
        for (item, label, days, formula) in [
            (
                "logged",
                "days of the log in the brace",
                logged,
                "days after delivery, before the end",
            ),
            ("counted", "days whose hours count", counted, "whole days, logged, told"),
            ("cannot_tell", "days too warm to tell wear", warm, cannot),
            ("incomplete", "days with too many samples missing", gaps, "days beyond the share set"),
            ("unworn", "counted days without wear", unworn, "days of 0.0 hours"),
        ] {
            let item = format!("days.{item}");
            self.number(make, &item, label, whole(days, Unit::Day), formula);
        }
        let some = "whether some days were too warm to tell";
        self.number(make, "days.some_untold", some, yes_no(warm > 0), cannot);
        let some = "whether some days were too warm to tell or incomplete";
        let formula = "days cannot tell or incomplete";
        self.number(make, "days.some_uncounted", some, yes_no(warm + gaps > 0), formula);
    }

    fn met(&self, make: &mut Maker) {
        let counted = self.table.counted().count() as i64;
        let asked = self.table.prescribed(&self.steps, |_| true).filter(|_| counted > 0);
        let labels = [
            ("days.met", "counted days that met the prescription"),
            ("days.met_share", "share of the counted days that met the prescription"),
        ];
        if asked.is_none() {
            for (item, label) in labels {
                let why = "no day counts, or hours are not prescribed on every one";
                let id = format!("{}.{item}", self.path);
                make.missing(id, label, Missing::CannotTell(why.into()));
            }
            return;
        }
        let met = self.table.met(&self.steps, |_| true);
        let formula = "counted days on which the hours, to one decimal, reach those in force";
        self.number(make, labels[0].0, labels[0].1, whole(met, Unit::Day), formula);
        let share = met as f64 / counted as f64 * 100.0;
        let value = Value::Number(Reported::round(share, 0, Unit::Percent));
        make.fact(format!("{}.days.met_share", self.path), labels[1].1, value)
            .from(format!("{}.days.met", self.path))
            .from(format!("{}.days.counted", self.path))
            .by("days met / days counted x 100", Source::definition(""))
            .unrounded(share)
            .done();
    }

    fn week_parts(&self, make: &mut Maker) {
        for (item, label, weekend) in [
            ("days.weekday", "measured hours on Monday to Friday", false),
            ("days.weekend", "measured hours on Saturday and Sunday", true),
        ] {
            match self.table.weekdays(weekend) {
                Some(mean) => self.mean(make, item, label, mean),
                None => {
                    let why = Missing::CannotTell("no such day counts".into());
                    make.missing(format!("{}.{item}", self.path), label, why);
                }
            }
        }
    }

    fn mean(&self, make: &mut Maker, item: &str, label: &str, mean: Mean) {
        make.fact(format!("{}.{item}", self.path), label, Value::Number(reported(mean.hours())))
            .record(self.record(), self.place())
            .by(format!("mean over {} counted days", mean.days), Source::definition(""))
            .unrounded(mean.hours())
            .done();
    }

    fn longest_break(&self, make: &mut Maker) {
        let Some(found) = self.table.longest_break else {
            for (item, label) in ITEMS.iter().filter(|(i, _)| i.starts_with("wear.days.longest")) {
                let item = item.trim_start_matches("wear.");
                let why = "no day counts, or the brace was never off on one that does";
                let id = format!("{}.{item}", self.path);
                make.missing(id, label, Missing::NotApplicable(why.into()));
            }
            return;
        };
        let hours = found.seconds as f64 / 3600.0;
        let formula = "longest time off without a gap, within days that count";
        let value = Value::Number(Reported::round(hours, 1, Unit::Hour));
        self.number(make, "days.longest_break", "longest time without wear", value, formula);
        let days = Value::Number(Reported::round(hours / 24.0, 1, Unit::Day));
        let label = "longest time without wear, in days";
        self.number(make, "days.longest_break_days", label, days, "hours / 24");
        let from = "day the longest break began";
        self.number(make, "days.longest_break_from", from, day(found.from), formula);
        let to = "day the longest break ended";
        self.number(make, "days.longest_break_to", to, day(found.to), formula);
    }

    fn weeks(&self, make: &mut Maker) {
        for (n, (monday, mean)) in self.table.weeks().into_iter().enumerate() {
            let item = format!("weeks.w{}", n + 1);
            let label = "Monday of a week of wear";
            self.number(make, &format!("{item}.from"), label, day(monday), "calendar week");
            let days = whole(mean.days, Unit::Day);
            let label = "counted days of a week";
            self.number(make, &format!("{item}.days"), label, days, "days that count");
            self.mean(make, &format!("{item}.mean"), "measured hours a day in a week", mean);
        }
    }

    /// Steps carry the numbers of the steps of hours as recorded.
    fn by_step(&self, make: &mut Maker) {
        for (step, mean) in self.table.by_step(&self.steps) {
            let Some(at) = step else { continue };
            let item = format!("steps.s{}", at + 1);
            let within = |day| in_force(&self.steps, day) == step;
            let per_day = super::reported_hours(self.steps[at].per_day.to_hours());
            let label = "hours a day prescribed in a step";
            let value = Value::Number(per_day);
            self.number(make, &format!("{item}.per_day"), label, value, "hours in force");
            let days = whole(mean.days, Unit::Day);
            self.number(
                make,
                &format!("{item}.days"),
                "counted days of a step",
                days,
                "that count",
            );
            if let Some(why) = too_few(mean.days as f64, mean.among as f64) {
                let id = |of: &str| format!("{}.{item}.{of}", self.path);
                make.missing(id("mean"), "measured hours a day in a step", why.clone());
                make.missing(id("share"), "measured share of a step's hours", why);
            } else {
                let label = "measured hours a day in a step";
                self.mean(make, &format!("{item}.mean"), label, mean);
                self.step_share(make, &item, reported(mean.hours()), per_day);
            }
            let met = whole(self.table.met(&self.steps, within), Unit::Day);
            let label = "days of a step that met its hours";
            self.number(make, &format!("{item}.met"), label, met, "days that reach the hours");
        }
    }

    fn step_share(&self, make: &mut Maker, item: &str, mean: Reported, per_day: Reported) {
        let id = format!("{}.{item}.share", self.path);
        let label = "measured share of a step's hours";
        if per_day.sign() == 0 {
            make.missing(id, label, Missing::NotApplicable("no hours are prescribed".into()));
            return;
        }
        let share = mean.value() / per_day.value() * 100.0;
        make.fact(id, label, Value::Number(Reported::round(share, 0, Unit::Percent)))
            .from(format!("{}.{item}.mean", self.path))
            .from(format!("{}.{item}.per_day", self.path))
            .by("measured / prescribed hours x 100, both as reported", ADHERENCE_SOURCE)
            .unrounded(share)
            .done();
    }
}
