//! Who goes where at the least cost.

/// Gives each row a column of its own so that the sum of costs is least; the column of each row, or `None` when
/// there are more rows than columns. `cost[row][column]`; keep sums of costs well inside an `i64`.
///
/// Exact, by augmenting along shortest paths (Kuhn–Munkres in the form with potentials), rows² × columns steps.
/// Source: H. W. Kuhn, Naval Research Logistics Quarterly 2 (1955) 83; form of Jonker and Volgenant, from memory.
/// Checked below against trying every order.
pub(crate) fn cheapest(cost: &[Vec<i64>]) -> Option<Vec<usize>> {
    let rows = cost.len();
    let columns = cost.first().map_or(0, Vec::len);
    if rows > columns || cost.iter().any(|row| row.len() != columns) {
        return None;
    }
    // Row and column 0 are the outside; `holder[column]` is the row (from 1) that has it.
    let (mut row_price, mut column_price) = (vec![0i64; rows + 1], vec![0i64; columns + 1]);
    let (mut holder, mut came_from) = (vec![0usize; columns + 1], vec![0usize; columns + 1]);
    for row in 1..=rows {
        holder[0] = row;
        let mut at = 0;
        let mut shortest = vec![i64::MAX; columns + 1];
        let mut seen = vec![false; columns + 1];
        while holder[at] != 0 {
            seen[at] = true;
            let (here, mut least, mut next) = (holder[at], i64::MAX, 0);
            for column in 1..=columns {
                if seen[column] {
                    continue;
                }
                let reduced = cost[here - 1][column - 1] - row_price[here] - column_price[column];
                if reduced < shortest[column] {
                    (shortest[column], came_from[column]) = (reduced, at);
                }
                if shortest[column] < least {
                    (least, next) = (shortest[column], column);
                }
            }
            for column in 0..=columns {
                if seen[column] {
                    row_price[holder[column]] += least;
                    column_price[column] -= least;
                } else if shortest[column] != i64::MAX {
                    shortest[column] -= least;
                }
            }
            at = next;
        }
        while at != 0 {
            holder[at] = holder[came_from[at]];
            at = came_from[at];
        }
    }
    let mut chosen = vec![0; rows];
    for (column, row) in holder.iter().enumerate().skip(1).filter(|(_, row)| **row > 0) {
        chosen[row - 1] = column - 1;
    }
    Some(chosen)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// The least sum over all ways, by trying each.
    fn by_trying(cost: &[Vec<i64>], taken: &mut Vec<usize>) -> i64 {
        let row = taken.len();
        if row == cost.len() {
            return taken.iter().enumerate().map(|(row, column)| cost[row][*column]).sum();
        }
        let mut least = i64::MAX;
        for column in 0..cost[row].len() {
            if !taken.contains(&column) {
                taken.push(column);
                least = least.min(by_trying(cost, taken));
                taken.pop();
            }
        }
        least
    }

    proptest! {
        #[test]
        fn no_other_way_is_cheaper(
            cost in (1usize..5, 0usize..3).prop_flat_map(|(rows, more)| {
                prop::collection::vec(prop::collection::vec(0i64..100, rows + more), rows)
            }),
        ) {
            let chosen = cheapest(&cost).unwrap();
            let mut distinct = chosen.clone();
            distinct.sort_unstable();
            distinct.dedup();
            prop_assert_eq!(distinct.len(), cost.len());
            let sum: i64 = chosen.iter().enumerate().map(|(row, column)| cost[row][*column]).sum();
            prop_assert_eq!(sum, by_trying(&cost, &mut vec![]));
        }
    }

    #[test]
    fn more_rows_than_columns_have_no_answer() {
        assert_eq!(cheapest(&[vec![1], vec![2]]), None);
        assert_eq!(cheapest(&[]), Some(vec![]));
    }
}
