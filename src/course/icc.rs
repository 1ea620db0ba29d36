//! Intraclass correlation: the share of all variation that lies between the
//! things measured.
//!
//! The three forms of Shrout and Fleiss
//! ([`SHROUT_FLEISS_1979`](works::SHROUT_FLEISS_1979)) on a complete table,
//! one row a thing and one column a reader: (1,1) readers are anybody, (2,1)
//! readers are a sample and their bias counts, (3,1) these readers only and
//! their bias does not. Beside each the reliability of the mean of all
//! readers. Intervals are theirs, by the F distribution.

use super::quantile::{UPPER, fisher};
use super::spread::Interval;
use crate::evidence::{Grade, Source, works};

/// Where the forms come from.
pub const SOURCE: Source = Source {
    work: Some(&works::SHROUT_FLEISS_1979),
    grade: Grade::Computed,
    note: "(1,1), (2,1) and (3,1) with 95 % intervals; values agree with an independent library",
};

/// One form of the correlation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Icc {
    /// Of one reader.
    pub single: f64,
    /// Its 95 % interval; none where readers agree without any difference.
    pub single_interval: Option<Interval>,
    /// Of the mean of all readers.
    pub average: f64,
    /// Its 95 % interval.
    pub average_interval: Option<Interval>,
}

/// The three forms.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Iccs {
    /// Things measured.
    pub things: usize,
    /// Readers of each.
    pub readers: usize,
    /// (1,1) and (1,k).
    pub one_way: Icc,
    /// (2,1) and (2,k).
    pub agreement: Icc,
    /// (3,1) and (3,k).
    pub consistency: Icc,
}

/// Mean squares of the two-way table.
struct Table {
    n: f64,
    k: f64,
    /// Between things.
    between: f64,
    /// Within things.
    within: f64,
    /// Between readers.
    readers: f64,
    /// What is left.
    error: f64,
}

impl Table {
    fn new(rows: &[Vec<f64>]) -> Option<Table> {
        let readers = rows.first()?.len();
        if rows.len() < 2 || readers < 2 || rows.iter().any(|r| r.len() != readers) {
            return None;
        }
        let (n, k) = (rows.len() as f64, readers as f64);
        let all = rows.iter().flatten().sum::<f64>() / (n * k);
        let square = |x: f64| (x - all) * (x - all);
        let total: f64 = rows.iter().flatten().map(|x| square(*x)).sum();
        let of_rows = k * rows.iter().map(|r| square(r.iter().sum::<f64>() / k)).sum::<f64>();
        let column = |j: usize| rows.iter().map(|r| r[j]).sum::<f64>() / n;
        let of_columns = n * (0..readers).map(|j| square(column(j))).sum::<f64>();
        // Rounding of floats may leave a sum of squares just below zero.
        let positive = |x: f64| if x < 1e-9 * (1.0 + total) { 0.0 } else { x };
        Some(Table {
            n,
            k,
            between: positive(of_rows) / (n - 1.0),
            within: positive(total - of_rows) / (n * (k - 1.0)),
            readers: positive(of_columns) / (k - 1.0),
            error: positive(total - of_rows - of_columns) / ((n - 1.0) * (k - 1.0)),
        })
    }

    /// (1,1) or (3,1): the mean square between things against another one
    /// with that many degrees of freedom.
    fn against(&self, other: f64, freedom: f64) -> Icc {
        let (b, k) = (self.between, self.k);
        let ratio = |f: f64| (f - 1.0) / (f + k - 1.0);
        let ends = self.f_bounds(other, freedom);
        Icc {
            single: (b - other) / (b + (k - 1.0) * other),
            single_interval: ends
                .map(|(low, high)| Interval { low: ratio(low), high: ratio(high) }),
            average: (b - other) / b,
            average_interval: ends
                .map(|(low, high)| Interval { low: 1.0 - 1.0 / low, high: 1.0 - 1.0 / high }),
        }
    }

    fn f_bounds(&self, other: f64, freedom: f64) -> Option<(f64, f64)> {
        let f = (other > 0.0).then(|| self.between / other)?;
        let things = self.n - 1.0;
        let low = f / fisher(UPPER, things, freedom)?;
        (low > 0.0).then_some(())?;
        Some((low, f * fisher(UPPER, freedom, things)?))
    }

    /// (2,1).
    fn agreement(&self) -> Icc {
        let (b, e, j, n, k) = (self.between, self.error, self.readers, self.n, self.k);
        let single = (b - e) / (b + (k - 1.0) * e + k * (j - e) / n);
        let interval = self.agreement_interval(single);
        let of_mean = |x: f64| x * k / (1.0 + x * (k - 1.0));
        Icc {
            single,
            single_interval: interval,
            average: (b - e) / (b + (j - e) / n),
            average_interval: interval
                .map(|i| Interval { low: of_mean(i.low), high: of_mean(i.high) }),
        }
    }

    fn agreement_interval(&self, icc: f64) -> Option<Interval> {
        let (b, e, j, n, k) = (self.between, self.error, self.readers, self.n, self.k);
        let fj = (e > 0.0).then(|| j / e)?;
        let (a, c) = (k * icc * fj, n * (1.0 + (k - 1.0) * icc) - k * icc);
        let top = (k - 1.0) * (n - 1.0) * (a + c) * (a + c);
        let bottom = (n - 1.0) * a * a + c * c;
        let freedom = (bottom > 0.0).then(|| top / bottom)?;
        let upper = fisher(UPPER, n - 1.0, freedom)?;
        let lower = fisher(UPPER, freedom, n - 1.0)?;
        let rest = k * j + (k * n - k - n) * e;
        Some(Interval {
            low: n * (b - upper * e) / (upper * rest + n * b),
            high: n * (lower * b - e) / (rest + n * lower * b),
        })
    }
}

/// The three forms on a complete table, one row a thing, one column a reader.
///
/// `None` for fewer than two rows or columns, rows of unequal length, or
/// things that do not differ at all: then no variation can be shared out.
pub fn iccs(rows: &[Vec<f64>]) -> Option<Iccs> {
    let table = Table::new(rows).filter(|t| t.between > 0.0)?;
    let (n, k) = (table.n, table.k);
    Some(Iccs {
        things: rows.len(),
        readers: rows[0].len(),
        one_way: table.against(table.within, n * (k - 1.0)),
        agreement: table.agreement(),
        consistency: table.against(table.error, (n - 1.0) * (k - 1.0)),
    })
}
