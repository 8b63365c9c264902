//! Measurements with their days, on their way into a profile of the last weeks.

use cornerwork_core::units::Mass;
use jiff::ToSpan;
use jiff::civil::Date;

/// A measurement and its day.
pub(super) type Dated<T> = (Date, T);

/// Loads nearer than this are one load.
const SAME_LOAD: Mass = Mass::kilograms(0.5);

/// The last day there is.
pub(super) fn last_day<T>(all: &[Dated<T>]) -> Option<Date> {
    all.iter().map(|(date, _)| *date).max()
}

/// Those of a day and before it.
pub(super) fn not_after<T>(mut all: Vec<Dated<T>>, until: Date) -> Vec<Dated<T>> {
    all.retain(|(date, _)| *date <= until);
    all
}

/// Those of so many days up to the last one.
pub(super) fn latest<T>(all: Vec<Dated<T>>, days: i32) -> Vec<Dated<T>> {
    let Some(to) = last_day(&all) else { return all };
    let from = first_of(to, days);
    all.into_iter().filter(|(date, _)| *date >= from).collect()
}

/// The first of so many days that end with one.
pub(super) fn first_of(to: Date, days: i32) -> Date {
    to.saturating_sub((days - 1).days())
}

/// How many different loads there are.
pub(super) fn loads<T>(all: &[Dated<T>], load: impl Fn(&T) -> Mass) -> usize {
    let mut seen: Vec<Mass> = Vec::new();
    for (_, one) in all {
        let mass = load(one);
        if !seen.iter().any(|other| (*other - mass).abs() <= SAME_LOAD) {
            seen.push(mass);
        }
    }
    seen.len()
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn days_count_back_from_the_last_and_near_loads_are_one() {
        let day = |day: i8, kg: f64| (date(2026, 9, day), Mass::kilograms(kg));
        let all = vec![day(1, 20.0), day(20, 20.4), day(23, 40.0), day(22, 40.2)];
        assert_eq!(loads(&all, |mass| *mass), 2);
        assert_eq!(not_after(all.clone(), date(2026, 9, 22)).len(), 3);
        let kept = latest(all, 4);
        assert_eq!(kept.len(), 3);
        assert_eq!(last_day(&kept), Some(date(2026, 9, 23)));
        assert!(latest(Vec::<Dated<Mass>>::new(), 4).is_empty());
    }
}
