//! The distribution of lives that fits records best when no law is assumed.

use super::{Record, record};
use crate::error::PrognosisError;

/// Cells that end up with less are dropped.
const DROPPED: f64 = 1e-6;
/// How closely the masses are to be found.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Precision {
    /// The iteration ends when no mass moves by more.
    settled: f64,
    most_steps: usize,
}

const EXACT: Precision = Precision { settled: 1e-13, most_steps: 20_000 };
/// Enough for a distance that is compared with others found alike.
pub(crate) const ROUGH: Precision = Precision { settled: 1e-6, most_steps: 200 };

/// A stretch of the clock, open at its start and closed at its end, and the share of lives that end in it. Where
/// within it they end cannot be told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cell {
    pub from: f64,
    /// Infinite for the lives that nobody saw the end of.
    pub to: f64,
    pub mass: f64,
}

/// A stretch on which the share failed is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flat {
    pub failed: f64,
    pub from: f64,
    pub to: f64,
}

/// Nonparametric maximum likelihood of the distribution of lives, in order of the clock.
///
/// With entries the shares are those among parts that lasted to the first entry. Source: Peto 1973; Turnbull 1976
/// (self-consistency, with truncation), sped up by squared extrapolation (Varadhan & Roland 2008). Checked:
/// `reference/life.json`.
///
/// # Errors
/// [`PrognosisError::Inputs`] with everything that is wrong; [`PrognosisError::TooFew`] without a record. Looks that may
/// miss are taken as sure.
pub fn npmle(records: &[Record]) -> Result<Vec<Cell>, PrognosisError> {
    record::check(records)?;
    npmle_to(EXACT, records)
}

pub(crate) fn npmle_to(precision: Precision, records: &[Record]) -> Result<Vec<Cell>, PrognosisError> {
    let counted: Vec<Record> = records.iter().filter(|record| record.count > 0.0).copied().collect();
    if counted.is_empty() {
        return Err(PrognosisError::TooFew { what: "a curve of lives", needed: 1, found: 0 });
    }
    let cells = innermost(&counted);
    let mass = Sharing::new(&counted, &cells).settle(precision);
    let kept: Vec<(f64, f64, f64)> =
        cells.iter().zip(mass).filter(|(_, p)| *p > DROPPED).map(|(cell, p)| (cell.0, cell.1, p)).collect();
    let total: f64 = kept.iter().map(|(_, _, p)| p).sum();
    Ok(kept.into_iter().map(|(from, to, p)| Cell { from, to, mass: p / total }).collect())
}

/// The stretches between cells, up to the start of the last one.
pub fn flats(cells: &[Cell]) -> Vec<Flat> {
    let mut failed = 0.0;
    let mut from = 0.0;
    let mut flats = Vec::with_capacity(cells.len());
    for cell in cells {
        flats.push(Flat { failed, from, to: cell.from });
        failed += cell.mass;
        from = cell.to;
    }
    flats
}

/// A place on the clock: at a time, or just after it.
type Place = (f64, u8);
const AT: u8 = 0;
const AFTER: u8 = 1;

/// Where a record's life may have ended, as first and last place.
fn span(record: &Record) -> (Place, Place) {
    let first = if record.lower == record.upper { AT } else { AFTER };
    ((record.lower, first), (record.upper, AT))
}

fn before(a: &Place, b: &Place) -> std::cmp::Ordering {
    a.0.total_cmp(&b.0).then(a.1.cmp(&b.1))
}

/// Stretches from a start that is followed by an end with no other start or end between; only there can mass lie.
fn innermost(records: &[Record]) -> Vec<(f64, f64, Place)> {
    let mut marks: Vec<(Place, bool)> = Vec::with_capacity(2 * records.len());
    for record in records {
        let (start, end) = span(record);
        marks.push((start, false));
        marks.push((end, true));
        if record.entry > 0.0 {
            marks.push(((record.entry, AT), true));
        }
    }
    marks.sort_by(|a, b| before(&a.0, &b.0).then(a.1.cmp(&b.1)));
    let mut cells = Vec::new();
    let mut open: Option<Place> = None;
    for (place, is_end) in marks {
        match (is_end, open) {
            (false, _) => open = Some(place),
            (true, Some(start)) => {
                cells.push((start.0, place.0, start));
                open = None;
            }
            (true, None) => {}
        }
    }
    cells
}

/// How records share the cells among them: each covers a row of neighbouring ones.
struct Sharing {
    /// First and one past the last cell, first cell after the entry, count.
    rows: Vec<(usize, usize, usize, f64)>,
    cells: usize,
}

impl Sharing {
    fn new(records: &[Record], cells: &[(f64, f64, Place)]) -> Self {
        let rows = records
            .iter()
            .map(|record| {
                let (start, end) = span(record);
                let first = cells.partition_point(|cell| before(&cell.2, &start).is_lt());
                let last = cells.partition_point(|cell| before(&(cell.1, AT), &end).is_le());
                let entered = cells.partition_point(|cell| record.entry > 0.0 && cell.1 <= record.entry);
                (first, last.max(first), entered, record.count)
            })
            .collect();
        Self { rows, cells: cells.len() }
    }

    fn settle(&self, precision: Precision) -> Vec<f64> {
        let mut p = vec![1.0 / self.cells as f64; self.cells];
        let mut steps = 0;
        while steps < precision.most_steps {
            let (once, _) = self.step(&p);
            let (twice, ln_once) = self.step(&once);
            steps += 2;
            let moved = once.iter().zip(&twice).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
            if moved < precision.settled {
                return twice;
            }
            p = self.leap(&p, &once, &twice, ln_once);
        }
        p
    }

    /// Squared extrapolation along two steps, kept only where it does not lower the likelihood.
    fn leap(&self, p: &[f64], once: &[f64], twice: &[f64], ln_once: f64) -> Vec<f64> {
        let (mut first, mut bend) = (0.0, 0.0);
        for j in 0..self.cells {
            let (r, next) = (once[j] - p[j], twice[j] - once[j]);
            first += r * r;
            bend += (next - r) * (next - r);
        }
        let length = (first / bend).sqrt();
        if !length.is_finite() || length <= 1.0 {
            return twice.to_vec();
        }
        let mut far: Vec<f64> = (0..self.cells)
            .map(|j| {
                let (r, next) = (once[j] - p[j], twice[j] - once[j]);
                // Never to nothing: a cell that is empty stays empty under the steps that follow.
                (p[j] + 2.0 * length * r + length * length * (next - r)).max(1e-3 * twice[j])
            })
            .collect();
        let total: f64 = far.iter().sum();
        far.iter_mut().for_each(|q| *q /= total);
        let (after, ln_far) = self.step(&far);
        if ln_far >= ln_once { after } else { twice.to_vec() }
    }

    /// One step of self-consistency from `p`, and the log likelihood of `p` itself.
    fn step(&self, p: &[f64]) -> (Vec<f64>, f64) {
        let mut summed = vec![0.0; self.cells + 1];
        for j in 0..self.cells {
            summed[j + 1] = summed[j] + p[j];
        }
        let total = summed[self.cells];
        // Differences of what each cell is due, to be summed along the row.
        let mut due = vec![0.0; self.cells + 1];
        let (mut parts, mut ln_likelihood) = (0.0, 0.0);
        for (first, last, entered, n) in &self.rows {
            let mass = summed[*last] - summed[*first];
            if mass > 0.0 {
                due[*first] += n / mass;
                due[*last] -= n / mass;
                ln_likelihood += n * mass.ln();
            }
            // For every part seen since its entry there were others, failed before, that nobody saw.
            let seen = total - summed[*entered];
            if *entered > 0 && seen > 0.0 {
                due[0] += n / seen;
                due[*entered] -= n / seen;
                ln_likelihood -= n * seen.ln();
            }
            parts += if seen > 0.0 { n / seen } else { *n };
        }
        let mut running = 0.0;
        let next = (0..self.cells).map(|j| {
            running += due[j];
            p[j] * running.max(0.0) / parts
        });
        (next.collect(), ln_likelihood)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Complete data: each failure is its own cell with its own share.
    #[test]
    fn complete_data_give_the_empirical_distribution() {
        let cells = npmle(&[3.0, 1.0, 2.0, 2.0].map(Record::failed_at)).unwrap();
        let seen: Vec<(f64, f64, f64)> = cells.iter().map(|c| (c.from, c.to, c.mass)).collect();
        assert_eq!(seen.iter().map(|c| (c.0, c.1)).collect::<Vec<_>>(), [(1.0, 1.0), (2.0, 2.0), (3.0, 3.0)]);
        for (cell, want) in seen.iter().zip([0.25, 0.5, 0.25]) {
            assert!((cell.2 - want).abs() < 1e-10);
        }
    }

    /// Right-censored data: the product-limit estimate, 6-MP arm of Freireich et al. 1963 (weeks in remission) as in
    /// many textbooks, here its first steps: S(6) = 18/21, S(7) = 18/21·16/17, S(10) = …·14/15.
    #[test]
    fn right_censored_data_give_the_product_limit() {
        let failed = [6.0, 6.0, 6.0, 7.0, 10.0, 13.0, 16.0, 22.0, 23.0];
        let good = [6.0, 9.0, 10.0, 11.0, 17.0, 19.0, 20.0, 25.0, 32.0, 32.0, 34.0, 35.0];
        let records: Vec<Record> =
            failed.into_iter().map(Record::failed_at).chain(good.into_iter().map(Record::good_at)).collect();
        let cells = npmle(&records).unwrap();
        let beyond = |t: f64| 1.0 - cells.iter().filter(|c| c.to <= t).map(|c| c.mass).sum::<f64>();
        for (t, want) in
            [(6.0, 0.857_142_857), (7.0, 0.806_722_689), (10.0, 0.752_941_176), (23.0, 0.448_179_272)]
        {
            assert!((beyond(t) - want).abs() < 1e-7, "{t}: {}, want {want}", beyond(t));
        }
    }

    /// Left-truncated complete data have a product-limit estimate too: at each failure the share of those then under
    /// watch.
    #[test]
    fn late_entries_count_only_from_their_entry() {
        let seen = [(1.0, 0.0), (2.0, 0.0), (4.0, 1.5), (5.0, 0.0), (6.0, 3.0)];
        let records: Vec<Record> =
            seen.iter().map(|(t, entry)| Record::failed_at(*t).since(*entry)).collect();
        let cells = npmle(&records).unwrap();
        let mut alive = 1.0;
        for (cell, watched) in cells.iter().zip([3.0, 3.0, 3.0, 2.0, 1.0]) {
            assert!((cell.mass - alive / watched).abs() < 1e-7, "{cell:?}, want {}", alive / watched);
            alive -= alive / watched;
        }
    }
}
