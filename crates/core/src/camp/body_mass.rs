//! Body mass on the way to a limit: where it goes if it goes on as it did, with its doubt, what
//! the check-weights ask, and how fast it falls beside the published limits.
//!
//! It draws the line and says when to speak with whom. It plans no loss and gives no advice on
//! methods; for an athlete under 18 it says nothing about a limit at all.

use crate::estimate::{Estimate, Interval, Level};
use crate::note::{Note, Noted};
use crate::stats::distributions::student_t_cdf;
use crate::stats::line::{Line, Noise};
use crate::units::Mass;
use crate::words::{self, counted};
use crate::working::{Input, Working};
use jiff::ToSpan;
use jiff::civil::Date;
use thiserror::Error;

/// Days of weighings the trend stands on.
pub const TREND_DAYS: i32 = 28;
/// Fewest days with a weighing, and the least span of days, before a trend is drawn (common
/// practice, no source).
const FEWEST_WEIGHINGS: usize = 6;
const LEAST_SPAN_DAYS: i32 = 8;
/// Neighbouring days are alike: the autocorrelation of residuals taken into account is at most
/// this, beyond which a line is the wrong picture.
const HIGHEST_AUTOCORRELATION: f64 = 0.8;
/// Further ahead than this a straight line is hardly more than a wish (common practice, no source).
const FAR_AHEAD_DAYS: i32 = 21;

/// A limit agreed for a bout.
#[derive(Clone, Debug, PartialEq)]
pub struct MassLimit {
    /// The most an athlete may weigh.
    pub limit: Mass,
    /// The day of the weigh-in.
    pub weigh_in: Date,
    /// The day of the bout, from which check-weights count back.
    pub bout: Date,
    /// The body whose check-weights bind, by the name in the rule file; none where there are none.
    pub check_body: Option<String>,
}

impl MassLimit {
    /// The same when its bout moves from one day to another: bout and weigh-in as many days later
    /// or earlier.
    #[must_use]
    pub fn moved(&self, from: Date, to: Date) -> Self {
        let shift = to - from;
        let (weigh_in, bout) =
            (self.weigh_in.saturating_add(shift), self.bout.saturating_add(shift));
        Self { weigh_in, bout, ..self.clone() }
    }
}

/// Most mass over a limit, so many days before the bout.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CheckRule {
    /// Days before the bout.
    pub days_before_bout: u16,
    /// Most over the limit, in percent of it.
    pub percent_over: f64,
}

/// A check-weight on its day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CheckWeight {
    /// The day.
    pub date: Date,
    /// The rule.
    pub rule: CheckRule,
    /// The most that may stand on the scale.
    pub most: Mass,
}

/// The check-weights of a bout, earliest first. What may stand on the scale is the limit with the
/// percentage on top.
pub fn check_weights(limit: Mass, bout: Date, rules: &[CheckRule]) -> Vec<CheckWeight> {
    let mut checks: Vec<CheckWeight> = rules
        .iter()
        .map(|rule| CheckWeight {
            date: bout.saturating_sub(i64::from(rule.days_before_bout).days()),
            rule: *rule,
            most: limit * (1.0 + rule.percent_over / 100.0),
        })
        .collect();
    checks.sort_by_key(|check| check.date);
    checks
}

/// Weighings on days, one a day, earliest first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weighing {
    /// The day.
    pub date: Date,
    /// What stood on the scale; the median where there were several.
    pub mass: Mass,
}

/// Why there is no trend.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum NoTrend {
    /// Too few weighings.
    #[error(
        "{} with a weighing in the last four weeks, over {}: a trend needs {FEWEST_WEIGHINGS} over {LEAST_SPAN_DAYS}. Weigh in on more mornings.",
        counted(*.weighings, "day"), counted(*.days, "day")
    )]
    TooFew {
        /// How many.
        weighings: usize,
        /// From the first to the last.
        days: i32,
    },
    /// The weighings are all the same to the last digit.
    #[error("Every weighing says {kilograms:.1} kg: were they weighed or copied?", kilograms = f64::from(*.tenths) / 10.0)]
    AllAlike {
        /// The mass in tenths of a kilogram.
        tenths: i32,
    },
}

/// Where body mass has been going.
#[derive(Clone, Debug, PartialEq)]
pub struct Trend {
    line: Line,
    noise: Noise,
    /// By how much the doubt of the line is widened because neighbouring days are alike.
    widening: f64,
    first: Date,
    last: Weighing,
}

impl Trend {
    /// The line through the weighings of the last [`TREND_DAYS`] days up to the latest.
    ///
    /// # Errors
    /// Why there is none.
    pub fn of(weighings: &[Weighing]) -> Result<Self, NoTrend> {
        let none = NoTrend::TooFew { weighings: 0, days: 0 };
        let last = *weighings.last().ok_or(none)?;
        let recent: Vec<&Weighing> =
            weighings.iter().filter(|one| (last.date - one.date).get_days() < TREND_DAYS).collect();
        let first = recent.first().map_or(last.date, |one| one.date);
        let days = (last.date - first).get_days();
        if recent.len() < FEWEST_WEIGHINGS || days < LEAST_SPAN_DAYS {
            return Err(NoTrend::TooFew { weighings: recent.len(), days });
        }
        let points: Vec<(f64, f64)> = recent
            .iter()
            .map(|one| (f64::from((one.date - first).get_days()), one.mass.in_kilograms()))
            .collect();
        let too_few = || NoTrend::TooFew { weighings: recent.len(), days };
        let line = Line::through(&points).map_err(|_| too_few())?;
        if line.residual_sum_squares == 0.0 && line.slope == 0.0 {
            let tenths = (last.mass.in_kilograms() * 10.0).round() as i32;
            return Err(NoTrend::AllAlike { tenths });
        }
        let noise = line.noise().ok_or_else(too_few)?;
        let residuals: Vec<f64> = points.iter().map(|(x, y)| y - line.at(*x)).collect();
        Ok(Self { line, noise, widening: widening(&residuals), first, last })
    }

    fn day(&self, date: Date) -> f64 {
        f64::from((date - self.first).get_days())
    }

    /// Change a week, negative for a loss, in percent of the mass at the start of the trend.
    pub fn percent_a_week(&self) -> Estimate<f64> {
        let level = Level::USUAL;
        let start = self.line.at(0.0);
        let per_week = |slope: f64| 700.0 * slope / start;
        let reach =
            self.noise.reach(level) * self.line.slope_standard_error(self.noise) * self.widening;
        Estimate {
            value: per_week(self.line.slope),
            interval: Interval {
                low: per_week(self.line.slope - reach),
                high: per_week(self.line.slope + reach),
            },
            level,
        }
    }

    /// What the scale would show on a day if it went on like this.
    pub fn on(&self, date: Date) -> Estimate<Mass> {
        let level = Level::USUAL;
        let value = self.line.at(self.day(date));
        let reach = self.noise.reach(level) * self.standard_error(date);
        let interval = Interval { low: value - reach, high: value + reach };
        Estimate { value, interval, level }.map(Mass::kilograms)
    }

    /// The probability that the scale would show no more than this on a day.
    pub fn chance_within(&self, most: Mass, date: Date) -> f64 {
        let distance = most.in_kilograms() - self.line.at(self.day(date));
        let degrees_of_freedom = self.noise.degrees_of_freedom.unwrap_or(1.0);
        student_t_cdf(distance / self.standard_error(date), degrees_of_freedom)
    }

    /// Standard error of one new weighing on a day.
    fn standard_error(&self, date: Date) -> f64 {
        let x = self.day(date);
        let of_line = self.line.standard_error_at(x, self.noise) * self.widening;
        of_line.hypot(self.noise.sd)
    }

    /// The line's own height on a day.
    pub fn fitted(&self, date: Date) -> Mass {
        Mass::kilograms(self.line.at(self.day(date)))
    }

    /// The days the line stands on.
    pub const fn days(&self) -> (Date, Date) {
        (self.first, self.last.date)
    }

    /// How a prediction came about.
    pub fn working(&self, date: Date) -> Working {
        let predicted = self.on(date);
        let rate = self.percent_a_week();
        let kilograms = |mass: Mass| format!("{:.1} kg", mass.in_kilograms());
        Working {
            title: format!("body mass on {}", words::day(date)),
            method: "body-mass-line",
            version: 1,
            inputs: vec![
                Input::new(
                    "weighings",
                    format!(
                        "{} days, {} to {}",
                        self.line.count,
                        words::day(self.first),
                        words::day(self.last.date)
                    ),
                ),
                Input::new("latest", kilograms(self.last.mass)),
            ],
            steps: vec![
                format!(
                    "line of least squares: {:+.3} kg a day = {:+.2} % a week ({:+.2} to {:+.2})",
                    self.line.slope, rate.value, rate.interval.low, rate.interval.high
                ),
                format!(
                    "on the day: {} ({} to {}), scatter of one weighing {:.2} kg",
                    kilograms(predicted.value),
                    kilograms(predicted.interval.low),
                    kilograms(predicted.interval.high),
                    self.noise.sd
                ),
                format!(
                    "doubt of the line widened {:.2} times, because neighbouring days are alike",
                    self.widening
                ),
            ],
            source: "Draper and Smith 1998, Applied Regression Analysis, ch. 1; the widening is that of a first-order autoregression, common practice",
            doubt: "It says where the scale would be if everything went on as in these weeks. Nobody knows that, and it includes no loss of water.".to_owned(),
        }
    }
}

/// `sqrt((1 + r) / (1 - r))` for a positive lag-one autocorrelation of the residuals.
fn widening(residuals: &[f64]) -> f64 {
    let squares: f64 = residuals.iter().map(|one| one * one).sum();
    let products: f64 = residuals.windows(2).map(|pair| pair[0] * pair[1]).sum();
    if squares == 0.0 {
        return 1.0;
    }
    let correlation = (products / squares).clamp(0.0, HIGHEST_AUTOCORRELATION);
    ((1.0 + correlation) / (1.0 - correlation)).sqrt()
}

/// A published or agreed limit of loss.
#[derive(Clone, Debug, PartialEq)]
pub struct LossLimit {
    /// Most percent of body mass a week.
    pub percent_a_week: f64,
    /// Who says so.
    pub source: String,
    /// Whether the number was read in the source itself.
    pub confirmed: bool,
}

/// What the way to a limit looks like on a day.
#[derive(Clone, Debug, PartialEq)]
pub struct WayToLimit {
    /// The scale at the weigh-in if it went on like this.
    pub at_weigh_in: Estimate<Mass>,
    /// The probability of being within the limit then.
    pub chance: f64,
    /// Percent a week from now to the limit, zero when it is met already; `None` with less than a
    /// week to go, when a rate a week says nothing.
    pub needed_percent_a_week: Option<f64>,
    /// Days to the weigh-in, at least one.
    pub days: i32,
}

/// Where a weigh-in lies from a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WeighIn {
    /// So many days ahead.
    Ahead(i32),
    /// On that day.
    Today,
    /// Behind: nothing of it lies ahead any more.
    Passed,
}

impl MassLimit {
    /// Where the weigh-in lies from a day.
    pub fn weigh_in_from(&self, today: Date) -> WeighIn {
        match (self.weigh_in - today).get_days() {
            days if days > 0 => WeighIn::Ahead(days),
            0 => WeighIn::Today,
            _ => WeighIn::Passed,
        }
    }
}

/// Days before a weigh-in from which on no rate a week is said.
const DAYS_OF_A_RATE: i32 = 7;
/// A rate so many times the highest published ceiling is not said as a number: nobody shall read
/// it as something to try.
const MOST_OVER_CEILING: f64 = 2.0;

/// The way from today to a limit, with the cautions it stands under: the sanctioning body's rule
/// first, then the published limits of loss, strictest first. `None` on the day of the weigh-in and
/// after it: no way lies ahead.
pub fn way_to_limit(
    trend: &Trend,
    agreed: &MassLimit,
    checks: &[CheckWeight],
    limits: &[LossLimit],
    today: Date,
) -> Option<Noted<WayToLimit>> {
    let WeighIn::Ahead(days) = agreed.weigh_in_from(today) else { return None };
    let now = trend.fitted(today);
    let over = (now - agreed.limit).max(Mass::ZERO);
    let weeks = f64::from(days) / 7.0;
    let way = WayToLimit {
        at_weigh_in: trend.on(agreed.weigh_in),
        chance: trend.chance_within(agreed.limit, agreed.weigh_in),
        needed_percent_a_week: (days >= DAYS_OF_A_RATE).then(|| 100.0 * (over / now) / weeks),
        days,
    };
    let mut notes: Vec<Note> = checks
        .iter()
        .filter(|check| check.date >= today)
        .filter_map(|check| check_note(trend, check))
        .collect();
    notes.extend(rate_notes(trend, &way, agreed, limits));
    notes.extend(last_days(&way, over, agreed));
    if days > FAR_AHEAD_DAYS {
        notes.push(Note::new(
            "far-ahead",
            format!("The weigh-in is {days} days away. Further than three weeks ahead a straight line is hardly more than a picture of the rate so far."),
        ));
    }
    Some(Noted { value: way, notes })
}

fn check_note(trend: &Trend, check: &CheckWeight) -> Option<Note> {
    let chance = trend.chance_within(check.most, check.date);
    (chance < 0.5).then(|| {
        Note::new(
            "check-weight-at-risk",
            format!(
                "At this rate the check-weight of {} ({:.2} kg) would not be met. Tell the nutritionist and the doctor now.",
                words::day(check.date),
                check.most.in_kilograms()
            ),
        )
    })
}

fn rate_notes(
    trend: &Trend,
    way: &WayToLimit,
    agreed: &MassLimit,
    limits: &[LossLimit],
) -> Vec<Note> {
    let falling = -trend.percent_a_week().value;
    let mut sorted: Vec<&LossLimit> = limits.iter().collect();
    sorted.sort_by(|one, other| one.percent_a_week.total_cmp(&other.percent_a_week));
    let mut notes = Vec::new();
    if let Some(limit) = sorted.iter().rev().find(|limit| falling > limit.percent_a_week) {
        notes.push(Note::new(
            "loss-too-fast",
            format!("Body mass is falling {} % a week; the usual ceiling is {}. See a qualified dietitian and a doctor.", above_in_words(falling, limit), in_words(limit)),
        ));
    }
    let needed = way.needed_percent_a_week.unwrap_or(0.0);
    if let Some(limit) = sorted.iter().rev().find(|limit| needed > limit.percent_a_week) {
        let loss = above_in_words(needed, limit);
        notes.push(Note::new(
            "limit-too-far",
            format!(
                "Making {:.2} kg means losing {loss} % a week; the usual ceiling is {}. {OTHERS_TO_ASK}",
                agreed.limit.in_kilograms(),
                in_words(limit)
            ),
        ));
    }
    notes
}

/// Over the limit with less than a week to go.
fn last_days(way: &WayToLimit, over: Mass, agreed: &MassLimit) -> Option<Note> {
    let late = way.needed_percent_a_week.is_none() && over > Mass::ZERO;
    late.then(|| {
        Note::new(
            "over-in-the-last-days",
            format!(
                "Still {:.1} kg over {:.2} kg, {} to the weigh-in. {OTHERS_TO_ASK}",
                over.in_kilograms(),
                agreed.limit.in_kilograms(),
                counted_days(way.days)
            ),
        )
    })
}

const OTHERS_TO_ASK: &str =
    "Ask the head coach, a qualified dietitian and a doctor about another weight or another date.";

fn counted_days(days: i32) -> String {
    u32::try_from(days).map_or_else(|_| days.to_string(), |days| counted(days, "day"))
}

/// A rate above a limit, as a number only while it is near the limit.
fn above_in_words(rate: f64, limit: &LossLimit) -> String {
    if rate > MOST_OVER_CEILING * limit.percent_a_week {
        format!("far more than {:.1}", limit.percent_a_week)
    } else {
        above(rate, limit)
    }
}

/// A rate above a limit, with the decimals it takes to see that it is: 1.0, or 1.04 over 1.0.
fn above(rate: f64, limit: &LossLimit) -> String {
    let written = |decimals: usize| format!("{rate:.decimals$}");
    let seen = |text: &String| text.parse::<f64>().is_ok_and(|read| read > limit.percent_a_week);
    (1..=3).map(written).find(seen).unwrap_or_else(|| written(4))
}

fn in_words(limit: &LossLimit) -> String {
    let confirmed = if limit.confirmed { "" } else { ", to be confirmed" };
    format!("{:.1} % ({}{confirmed})", limit.percent_a_week, limit.source)
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    const CHECKS: [CheckRule; 3] = [
        CheckRule { days_before_bout: 30, percent_over: 10.0 },
        CheckRule { days_before_bout: 14, percent_over: 5.0 },
        CheckRule { days_before_bout: 7, percent_over: 3.0 },
    ];

    fn fortnight() -> Vec<Weighing> {
        [78.4, 78.0, 78.1, 78.2, 77.8, 77.7, 77.9, 77.4, 77.5, 77.6, 77.2, 76.9, 77.1, 77.0]
            .into_iter()
            .zip(1..)
            .map(|(mass, day)| Weighing { date: date(2026, 9, day), mass: Mass::kilograms(mass) })
            .collect()
    }

    #[test]
    fn what_is_above_a_limit_reads_as_above_it() {
        let limit =
            LossLimit { percent_a_week: 1.0, source: "common practice".into(), confirmed: false };
        assert_eq!(above(1.5, &limit), "1.5");
        assert_eq!(above(1.04, &limit), "1.04");
        assert_eq!(above(1.0004, &limit), "1.0004");
    }

    // Closed form: 72.57 kg and 10, 5, 3 % of it on top; dates 30, 14 and 7 days before the bout.
    // The percentages and days: press reports of January 2019 on one sanctioning body.
    #[test]
    fn check_weights_of_a_middleweight_bout() {
        let checks = check_weights(Mass::kilograms(72.57), date(2026, 11, 21), &CHECKS);
        let seen: Vec<(Date, f64)> = checks
            .iter()
            .map(|check| (check.date, (check.most.in_kilograms() * 100.0).round() / 100.0))
            .collect();
        let expected =
            [(date(2026, 10, 22), 79.83), (date(2026, 11, 7), 76.20), (date(2026, 11, 14), 74.75)];
        assert_eq!(seen, expected);
    }

    #[test]
    fn pounds_and_kilograms_tell_the_same() {
        let in_pounds: Vec<Weighing> = fortnight()
            .into_iter()
            .map(|one| Weighing {
                mass: Mass::kilograms(one.mass.in_kilograms() / 0.453_592_37),
                ..one
            })
            .collect();
        let (one, other) = (Trend::of(&fortnight()).unwrap(), Trend::of(&in_pounds).unwrap());
        assert!((one.percent_a_week().value - other.percent_a_week().value).abs() < 1e-9);
    }

    #[test]
    fn alike_neighbours_widen_the_doubt_and_alternating_ones_do_not_narrow_it() {
        assert!((widening(&[1.0, -1.0, 1.0, -1.0]) - 1.0).abs() < 1e-12);
        // Residuals 1, 1, -1, -1: r = (1 - 1 + 1) / 4 = 1/4; sqrt(1.25 / 0.75).
        assert!((widening(&[1.0, 1.0, -1.0, -1.0]) - (5.0_f64 / 3.0).sqrt()).abs() < 1e-12);
    }

    #[test]
    fn too_few_or_copied_weighings_give_no_trend() {
        let all = fortnight();
        assert_eq!(Trend::of(&[]), Err(NoTrend::TooFew { weighings: 0, days: 0 }));
        assert_eq!(Trend::of(&all[..5]), Err(NoTrend::TooFew { weighings: 5, days: 4 }));
        let copied: Vec<Weighing> =
            all.iter().map(|one| Weighing { mass: Mass::kilograms(70.0), ..*one }).collect();
        assert_eq!(Trend::of(&copied), Err(NoTrend::AllAlike { tenths: 700 }));
    }

    #[test]
    fn a_limit_too_far_is_for_dietitian_and_doctor() {
        let trend = Trend::of(&fortnight()).unwrap();
        let agreed = MassLimit {
            limit: Mass::kilograms(72.57),
            weigh_in: date(2026, 10, 5),
            bout: date(2026, 10, 6),
            check_body: None,
        };
        let limits = [
            LossLimit { percent_a_week: 1.5, source: "a college rule".into(), confirmed: false },
            LossLimit { percent_a_week: 1.0, source: "common practice".into(), confirmed: true },
        ];
        let today = date(2026, 9, 14);
        let way = way_to_limit(&trend, &agreed, &[], &limits, today).unwrap();
        // Closed form: (77.0 - 72.57) / 77.0 over three weeks is 1.9 % a week.
        let needed = way.value.needed_percent_a_week.unwrap();
        assert!((needed - 1.88).abs() < 0.05, "{way:?}");
        assert!(way.has("limit-too-far") && !way.has("loss-too-fast"));
        let sentence = &way.notes[0].text;
        assert!(sentence.contains("1.5 % (a college rule, to be confirmed)"), "{sentence}");
        assert!(way.value.chance < 0.05);
    }

    // From the fortnight's end at 77.0 kg to 72.57 kg: 5.8 % of body mass.
    #[test]
    fn on_the_day_and_after_it_no_way_lies_ahead_and_no_absurd_rate_is_said() {
        let trend = Trend::of(&fortnight()).unwrap();
        let weigh_in = date(2026, 10, 5);
        let agreed = MassLimit {
            limit: Mass::kilograms(72.57),
            weigh_in,
            bout: date(2026, 10, 6),
            check_body: None,
        };
        let limits = [LossLimit { percent_a_week: 1.5, source: "a rule".into(), confirmed: true }];
        let way = |today| way_to_limit(&trend, &agreed, &[], &limits, today);
        assert_eq!(agreed.weigh_in_from(weigh_in), WeighIn::Today);
        assert_eq!(way(weigh_in), None);
        assert_eq!(agreed.weigh_in_from(date(2026, 12, 1)), WeighIn::Passed);
        assert_eq!(way(date(2026, 12, 1)), None);
        for day in 14..=30 {
            let way = way(date(2026, 9, day)).unwrap();
            let said: Vec<&str> = way.notes.iter().map(|note| note.text.as_str()).collect();
            let said = said.join(" ");
            let numbers = said.split_whitespace().zip(said.split_whitespace().skip(1));
            let rates = numbers
                .filter(|(_, unit)| *unit == "%")
                .filter_map(|(one, _)| one.trim_start_matches('(').parse::<f64>().ok());
            assert!(rates.into_iter().all(|rate| rate <= 3.0), "{said}");
        }
        let last = way(date(2026, 9, 30)).unwrap();
        assert_eq!(last.value.needed_percent_a_week, None);
        assert!(last.has("over-in-the-last-days"), "{last:?}");
        let far = way(date(2026, 9, 28)).unwrap();
        assert!(far.notes.iter().any(|note| note.text.contains("far more than 1.5 % a week")));
    }
}
