//! The median of a few numbers.

/// The middle number, or the mean of the two in the middle; `None` for no numbers.
///
/// Of the many samples of a signal the upper middle one will do, which
/// [`signal::window::median`](crate::signal::window::median) finds without sorting.
pub fn median(values: &[f64]) -> Option<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let middle = sorted.len() / 2;
    match sorted.len() {
        0 => None,
        odd if odd % 2 == 1 => Some(sorted[middle]),
        _ => Some(f64::midpoint(sorted[middle - 1], sorted[middle])),
    }
}

#[cfg(test)]
mod tests {
    use super::median;

    // By hand, from the definition.
    #[test]
    fn half_lie_below_and_half_above() {
        assert_eq!(median(&[]), None);
        assert_eq!(median(&[3.0]), Some(3.0));
        assert_eq!(median(&[9.0, 1.0, 4.0]), Some(4.0));
        assert_eq!(median(&[8.0, 1.0, 4.0, 2.0]), Some(3.0));
    }
}
