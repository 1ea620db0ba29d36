//! Hours a day in force on any date, and how they were brought down.
//!
//! A prescription is a list of steps, each in force from its first day until
//! the day before the next one begins, the last one until the treatment's last
//! day. Zero hours are a prescription like any other: the brace is kept but
//! not to be worn. A day before the first step or after the last day has no
//! hours at all, which is not the same.
//!
//! Knows no case and no film; what a sensor measured is not its business.

use chrono::NaiveDate;

use crate::quantity::HoursPerDay;

/// Hours prescribed from a day on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// First day.
    pub from: NaiveDate,
    /// Hours a day.
    pub per_day: HoursPerDay,
}

/// The step in force on a day, by its index; steps in the order of their days.
pub fn in_force(steps: &[Step], on: NaiveDate) -> Option<usize> {
    steps.iter().rposition(|step| step.from <= on)
}

/// All steps of one treatment.
#[derive(Debug, Clone, PartialEq)]
pub struct Prescription {
    steps: Vec<Step>,
    last_day: Option<NaiveDate>,
}

/// A row of steps, each below the one before, that ends with the last step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weaning {
    /// Place of the first lower step in the row of all steps.
    pub first: usize,
    /// How many steps lead down.
    pub steps: usize,
    /// Hours a day before the first of them.
    pub before: HoursPerDay,
    /// Hours a day now.
    pub now: HoursPerDay,
    /// First day of the first lower step.
    pub from: NaiveDate,
    /// First day of the step in force now.
    pub latest: NaiveDate,
}

impl Prescription {
    /// From steps in any order; `last_day` is the last day of the treatment,
    /// if it has ended. Of two steps of one day the later in the list counts.
    pub fn new(steps: impl IntoIterator<Item = Step>, last_day: Option<NaiveDate>) -> Self {
        let mut steps: Vec<Step> = steps.into_iter().collect();
        steps.sort_by_key(|step| step.from);
        Prescription { steps, last_day }
    }

    /// The steps by date.
    pub fn steps(&self) -> &[Step] {
        &self.steps
    }

    /// Hours a day in force on that day; `None` before the first step and
    /// after the last day. The last day itself still counts.
    pub fn in_force(&self, on: NaiveDate) -> Option<HoursPerDay> {
        let over = self.last_day.is_some_and(|last| last < on);
        in_force(&self.steps, on).filter(|_| !over).map(|at| self.steps[at].per_day)
    }

    /// The last day of a step, if a later step or the end of treatment set one.
    pub fn last_day_of(&self, step: usize) -> Option<NaiveDate> {
        let next = self.steps.get(step + 1).and_then(|next| next.from.pred_opt());
        match (next, self.last_day) {
            (Some(next), Some(last)) => Some(next.min(last)),
            (next, last) => next.or(last),
        }
    }

    /// Hours prescribed in all from one day to another, both counted; `None`
    /// if on one of them no hours were in force.
    pub fn total(&self, from: NaiveDate, to: NaiveDate) -> Option<f64> {
        let days = from.iter_days().take_while(|day| *day <= to);
        days.map(|day| self.in_force(day).map(HoursPerDay::to_hours)).sum()
    }

    /// The steps down that led to the hours in force on that day; `None` if
    /// those are the highest yet, or none are in force. A step back up ends a
    /// row: what was lowered before it is no longer weaning.
    pub fn weaning(&self, on: NaiveDate) -> Option<Weaning> {
        let now = self.in_force(on)?;
        let past: Vec<&Step> = self.steps.iter().filter(|step| step.from <= on).collect();
        let lower = |pair: &[&Step]| pair[1].per_day < pair[0].per_day;
        let steps = past.windows(2).rev().take_while(|pair| lower(pair)).count();
        let first = past.len().checked_sub(steps).filter(|_| steps > 0)?;
        Some(Weaning {
            first,
            steps,
            before: past[first - 1].per_day,
            now,
            from: past[first].from,
            latest: past.last()?.from,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().expect("a date")
    }

    fn prescription(steps: &[(&str, f64)], last: Option<&str>) -> Prescription {
        let step = |(from, hours): &(&str, f64)| Step {
            from: day(from),
            per_day: HoursPerDay::hours(*hours),
        };
        Prescription::new(steps.iter().map(step), last.map(day))
    }

    fn weaned() -> Prescription {
        // Given out of order on purpose.
        let steps =
            [("2026-03-02", 16.0), ("2025-01-10", 20.0), ("2026-06-01", 9.0), ("2026-09-07", 0.0)];
        prescription(&steps, Some("2026-10-05"))
    }

    #[test]
    fn each_day_has_the_hours_of_the_step_begun_last() {
        let hours = |on: &str| weaned().in_force(day(on)).map(HoursPerDay::to_hours);
        assert_eq!(hours("2025-01-09"), None);
        assert_eq!(hours("2025-01-10"), Some(20.0));
        assert_eq!(hours("2026-03-01"), Some(20.0));
        assert_eq!(hours("2026-03-02"), Some(16.0));
        assert_eq!(hours("2026-09-06"), Some(9.0));
        // Zero is prescribed; after the last day nothing is.
        assert_eq!(hours("2026-10-05"), Some(0.0));
        assert_eq!(hours("2026-10-06"), None);
    }

    #[test]
    fn a_span_over_two_steps_adds_up_by_days() {
        // 2 days of 20 and 3 of 16: 88, by hand.
        assert_eq!(weaned().total(day("2026-02-28"), day("2026-03-04")), Some(88.0));
        assert_eq!(weaned().total(day("2025-01-09"), day("2025-01-12")), None);
    }

    #[test]
    fn steps_end_where_the_next_begins_or_the_treatment_ends() {
        assert_eq!(weaned().last_day_of(0), Some(day("2026-03-01")));
        assert_eq!(weaned().last_day_of(3), Some(day("2026-10-05")));
        assert_eq!(prescription(&[("2025-01-10", 20.0)], None).last_day_of(0), None);
    }

    #[test]
    fn weaning_is_the_row_of_steps_down_to_now() {
        let found = weaned().weaning(day("2026-07-01")).expect("two steps down");
        assert_eq!((found.steps, found.first), (2, 1));
        assert_eq!((found.before.to_hours(), found.now.to_hours()), (20.0, 9.0));
        assert_eq!((found.from, found.latest), (day("2026-03-02"), day("2026-06-01")));
        assert_eq!(weaned().weaning(day("2025-12-01")), None);
        assert_eq!(weaned().weaning(day("2024-12-01")), None);
    }

    #[test]
    fn a_step_back_up_ends_the_row() {
        let steps = [("2025-01-10", 20.0), ("2025-06-01", 12.0), ("2025-09-01", 16.0)];
        assert_eq!(prescription(&steps, None).weaning(day("2025-10-01")), None);
        assert!(prescription(&steps, None).weaning(day("2025-07-01")).is_some());
    }
}
