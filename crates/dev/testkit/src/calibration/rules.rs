//! What rules for change cry at nothing, and what answers are worth when their noise was guessed.

use super::{Coverage, Draws};
use cornerwork_core::estimate::Level;
use cornerwork_core::profile::change::{self, Prior, Question, TestNoise};
use cornerwork_core::profile::series_noise;
use cornerwork_core::profile::test_day::TestDay;
use cornerwork_core::profile::weekly_chart;

/// How often a rule says "better", by true change in smallest worthwhile changes: 0, 1, 2, 3.
#[derive(Clone, Debug)]
pub struct RuleRow {
    /// The rule.
    pub rule: &'static str,
    /// Typical error over the smallest worthwhile change.
    pub noise: f64,
    /// Share of cases called better, a true change each.
    pub called: [f64; 4],
}

/// How often an unchanged or shifted athlete is flagged by the weekly chart.
#[derive(Clone, Debug)]
pub struct ChartRow {
    /// Days of the baseline.
    pub baseline: usize,
    /// True shift after the baseline, in standard deviations of a day.
    pub shift: f64,
    /// Share flagged within four and within twelve weeks.
    pub flagged: [f64; 2],
}

const LEVEL_CM: f64 = 38.0;
const NOISE: f64 = 1.5;

fn question(
    noise: TestNoise,
    smallest_worthwhile: f64,
    prior: Prior,
    level: Prior,
) -> Question<'static> {
    Question {
        measure: "jump height",
        unit: "cm",
        since_day: 0.0,
        smallest_worthwhile,
        noise,
        prior,
        level_prior: level,
        level: Level::USUAL,
    }
}

fn normal(mean: f64, standard_deviation: f64) -> Prior {
    Prior::Normal { mean, standard_deviation, source: "the simulation".into() }
}

/// Whether a rule speaks of a rise.
type Rule<'a> = &'a dyn Fn(&change::Change) -> bool;

/// Rules for one test before and one after.
pub fn change_rules(cases: usize, seed: u64) -> Vec<RuleRow> {
    let flat = |odds: f64| move |found: &change::Change| found.odds.rise >= odds;
    let rules: [(&'static str, Rule<'_>); 5] = [
        ("measured change above the smallest that matters", &|found| found.observed > 1.0),
        ("nothing assumed, 'maybe up' or more", &flat(0.60)),
        ("nothing assumed, 'likely up' or more", &flat(0.80)),
        ("sceptic, 'maybe up' or more", &|found| {
            found.sceptical_odds.is_some_and(|o| o.rise >= 0.60)
        }),
        ("sceptic, 'likely up' or more", &|found| {
            found.sceptical_odds.is_some_and(|o| o.rise >= 0.80)
        }),
    ];
    [0.5, 1.0, 2.0]
        .into_iter()
        .flat_map(|noise| rules.iter().map(move |(name, rule)| (noise, *name, *rule)))
        .map(|(noise, rule, says_better)| RuleRow {
            rule,
            noise,
            called: [0.0, 1.0, 2.0, 3.0]
                .map(|truth| share_called(cases, seed, noise, truth, says_better)),
        })
        .collect()
}

fn share_called(
    cases: usize,
    seed: u64,
    noise: f64,
    truth: f64,
    says_better: &dyn Fn(&change::Change) -> bool,
) -> f64 {
    let mut draws = Draws::new(seed);
    let asked = question(TestNoise::of_day_mean(noise, "known"), 1.0, Prior::Flat, Prior::Flat);
    let called = (0..cases).filter(|_| {
        let days = [
            TestDay::new(0.0, [LEVEL_CM + noise * draws.normal()]),
            TestDay::new(35.0, [LEVEL_CM + truth + noise * draws.normal()]),
        ];
        change::of(&days, &asked).is_ok_and(|found| says_better(&found.value))
    });
    called.count() as f64 / cases as f64
}

/// Coverage of a change whose noise was guessed, published or shown by the series itself, and of an
/// athlete picked for a low first test.
pub fn guessed_noise(cases: usize, seed: u64) -> Vec<Coverage> {
    let mut rows = Vec::new();
    let mut count = |what: String, one: &mut dyn FnMut(&mut Draws) -> bool| {
        let mut draws = Draws::new(seed);
        rows.push(Coverage { what, cases, held: (0..cases).filter(|_| one(&mut draws)).count() });
    };
    for ratio in [0.5, 1.0, 2.0] {
        count(
            format!(
                "change, two days of three trials, noise from the trials; day noise truly {ratio} of a trial's"
            ),
            &mut |draws| from_trials_held(draws, ratio),
        );
    }
    count("change, eight days of one trial, noise from the days".into(), &mut from_days_held);
    for stated in [0.67, 1.0, 1.5] {
        for days in [2, 8] {
            count(
                format!(
                    "change, {days} days, published noise worth 20 degrees, {stated} of the true one"
                ),
                &mut |draws| published_held(draws, stated, days),
            );
        }
    }
    count("no change, picked from the lowest fifth, squad not told of".into(), &mut |draws| {
        picked_held(draws, Prior::Flat)
    });
    count("no change, picked from the lowest fifth, squad given".into(), &mut |draws| {
        picked_held(draws, normal(LEVEL_CM, SQUAD_SPREAD))
    });
    rows
}

fn held(days: &[TestDay], asked: &Question<'_>, truth: f64) -> bool {
    change::of(days, asked).is_ok_and(|found| found.value.change.interval.contains(truth))
}

fn from_trials_held(draws: &mut Draws, ratio: f64) -> bool {
    let truth = 2.0;
    let mut day = |number: f64, value: f64| {
        let of_day = value + ratio * draws.normal();
        TestDay::new(number, [(); 3].map(|()| of_day + draws.normal()))
    };
    let days = [day(0.0, LEVEL_CM), day(35.0, LEVEL_CM + truth)];
    series_noise::from_days(&days, 0.0).is_ok_and(|noise| {
        held(&days, &question(noise.value, 1.0, Prior::Flat, Prior::Flat), truth)
    })
}

/// Days a week apart, the last three since the block began.
fn weekly(draws: &mut Draws, days: usize, truth: f64) -> Vec<TestDay> {
    let before = days - days / 2;
    (0..days)
        .map(|number| {
            let gone = (number + 1).saturating_sub(before) as f64 / (days - before) as f64;
            let week = number as f64 - (before - 1) as f64;
            TestDay::new(7.0 * week, [LEVEL_CM + truth * gone + NOISE * draws.normal()])
        })
        .collect()
}

fn from_days_held(draws: &mut Draws) -> bool {
    let days = weekly(draws, 8, 2.0);
    series_noise::from_days(&days, 0.0)
        .is_ok_and(|noise| held(&days, &question(noise.value, 1.0, Prior::Flat, Prior::Flat), 2.0))
}

fn published_held(draws: &mut Draws, stated: f64, days: usize) -> bool {
    let noise = TestNoise::of_day_mean(stated * NOISE, "published").known_on(20.0);
    let days = weekly(draws, days, 2.0);
    held(&days, &question(noise, 1.0, Prior::Flat, Prior::Flat), 2.0)
}

const SQUAD_SPREAD: f64 = 2.0;

/// An unchanged athlete whose first test was among the lowest fifth of the squad's.
fn picked_held(draws: &mut Draws, level: Prior) -> bool {
    // Below this lies a fifth of all first tests: -0.8416 standard deviations.
    let bar = LEVEL_CM - 0.841_621 * SQUAD_SPREAD.hypot(NOISE);
    let (own, first) = loop {
        let own = LEVEL_CM + SQUAD_SPREAD * draws.normal();
        let first = own + NOISE * draws.normal();
        if first < bar {
            break (own, first);
        }
    };
    let days = [TestDay::new(0.0, [first]), TestDay::new(35.0, [own + NOISE * draws.normal()])];
    let asked = question(TestNoise::of_day_mean(NOISE, "known"), 1.0, Prior::Flat, level);
    held(&days, &asked, 0.0)
}

/// Alarms of the weekly chart over twelve weeks after baselines of several lengths.
pub fn chart_alarms(cases: usize, seed: u64) -> Vec<ChartRow> {
    let mut rows = Vec::new();
    for shift in [0.0, 1.0, 2.0] {
        for baseline in [4, 8, 20] {
            let mut draws = Draws::new(seed);
            let mut flagged = [0_usize; 2];
            for _ in 0..cases {
                let first = first_alarm(&mut draws, baseline, shift);
                flagged[0] += usize::from(first.is_some_and(|week| week < 4));
                flagged[1] += usize::from(first.is_some());
            }
            rows.push(ChartRow {
                baseline,
                shift,
                flagged: flagged.map(|count| count as f64 / cases as f64),
            });
        }
    }
    rows
}

fn first_alarm(draws: &mut Draws, baseline: usize, shift: f64) -> Option<usize> {
    let days: Vec<TestDay> = (0..baseline + 12)
        .map(|week| {
            let moved = if week < baseline { 0.0 } else { shift };
            TestDay::new(week as f64, [LEVEL_CM + moved + draws.normal()])
        })
        .collect();
    let chart = weekly_chart::chart(&days, baseline as f64 - 0.5, "cm").ok()?;
    chart.value.points.iter().position(|point| point.signal.is_some())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_plain_rule_errs_as_the_normal_distribution_says() {
        // P(N(truth, noise root 2) > 1): with noise 1, 24 % at nothing and 50, 76, 92 % at 1, 2, 3.
        let rows = change_rules(2_000, 5);
        let plain = rows.iter().find(|row| row.noise == 1.0 && row.rule.starts_with("measured"));
        for (found, expected) in plain.unwrap().called.into_iter().zip([0.240, 0.5, 0.760, 0.921]) {
            assert!((found - expected).abs() < 0.034, "{found} for {expected}");
        }
        let sceptic =
            rows.iter().find(|row| row.noise == 1.0 && row.rule.starts_with("sceptic, 'l"));
        assert!(sceptic.unwrap().called[0] < 0.04);
    }

    #[test]
    fn a_squad_that_is_told_of_mends_the_picking() {
        let rows = guessed_noise(400, 9);
        let share = |end: &str| rows.iter().find(|row| row.what.ends_with(end)).unwrap().share();
        assert!((share("squad given") - 0.90).abs() < 0.05, "{}", share("squad given"));
        assert!(share("squad not told of") < share("squad given"));
    }

    #[test]
    fn a_firm_baseline_rarely_cries_at_nothing() {
        let rows = chart_alarms(400, 3);
        let row = |baseline: usize, shift: f64| {
            rows.iter().find(|row| row.baseline == baseline && row.shift == shift).unwrap()
        };
        assert!(row(20, 0.0).flagged[1] < row(8, 0.0).flagged[1]);
        assert!(row(20, 2.0).flagged[0] > 0.7, "{:?}", row(20, 2.0));
    }
}
