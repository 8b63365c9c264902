//! A small run of the published simulation (`docs/next-load-simulation.md`), with bounds that an
//! estimator exactly as good as promised would break once in a hundred draws: of 60 athletes at
//! 94 %, at least 52 land within 2 % of the peak; of 60 intervals at 90 %, at least 48 hold it
//! (1 % quantiles of the binomial, scipy.stats.binom).

use cornerwork_core::prescription::next_load::NextLoadRules;
use cornerwork_testkit::jumping_athlete::Truth;
use cornerwork_testkit::load_test_simulation::{Draw, LadderReading, Plan, Summary, simulate};

const ATHLETES: usize = 60;

fn run(truth: Truth, plan: &Plan) -> Summary {
    simulate(Draw { truth, athletes: ATHLETES, seed: 7, noise: None }, plan)
}

fn keeps_the_promise(truth: Truth, rules: &NextLoadRules, most_jumps: f64) -> Summary {
    let summary = run(truth, &Plan::Guided(rules.clone()));
    let count = |share: f64| (share * ATHLETES as f64).round() as usize;
    assert!(summary.mean_jumps <= most_jumps, "{truth:?}: {summary:?}");
    assert!(count(summary.share_within_2_percent) >= 52, "{truth:?}: {summary:?}");
    assert!(summary.coverage.map(count) >= Some(48), "{truth:?}: {summary:?}");
    summary
}

#[test]
fn session_rules_need_five_jumps_and_beat_ten_read_by_their_best_number() {
    let ladder = Plan::Ladder {
        body_masses: vec![0.0, 0.25, 0.5, 0.75, 1.0],
        jumps_each: 2,
        reading: LadderReading::BestTested,
    };
    for truth in Truth::ALL {
        let guided = keeps_the_promise(truth, &NextLoadRules::SESSION, 5.0);
        let by_hand = run(truth, &ladder);
        assert!(guided.mean_jumps < 0.5 * by_hand.mean_jumps, "{truth:?}");
        assert!(guided.mean_loss < by_hand.mean_loss, "{truth:?}");
        assert!(guided.share_below_10_cm < by_hand.share_below_10_cm, "{truth:?}");
    }
}

#[test]
fn test_day_rules_need_seven_jumps() {
    for truth in Truth::ALL {
        keeps_the_promise(truth, &NextLoadRules::TEST_DAY, 7.0);
    }
}

#[test]
fn a_draw_is_the_same_every_time() {
    let plan = Plan::Guided(NextLoadRules::SESSION);
    let draw = Draw { truth: Truth::StraightLine, athletes: 5, seed: 3, noise: None };
    assert_eq!(format!("{:?}", simulate(draw, &plan)), format!("{:?}", simulate(draw, &plan)));
}
