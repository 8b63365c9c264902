//! `change`.

use crate::run::{json, keys, misused, near, note_ids, number, refused, run};

const PAIR: &str = "date,value_cm\n2026-08-10,38.0\n2026-09-14,40.5\n";

fn change(rest: &str) -> String {
    format!("change - {rest}")
}

// Normal distribution by hand: difference 2.5, standard error 1.5 root 2: rise 76 %, no matter
// 19 %, fall 5 %.
#[test]
fn a_gain_of_two_and_a_half_is_only_a_maybe() {
    let found = json(&change("--smallest-worthwhile 1 --typical-error 1.5"), PAIR);
    near(&found, "odds.rise", 0.760_25, 1e-4);
    near(&found, "odds.no_matter", 0.190_28, 1e-4);
    near(&found, "odds.fall", 0.049_47, 1e-4);
    near(&found, "observed_change", 2.5, 1e-12);
    near(&found, "change_interval.0", 2.5 - 1.644_854 * 1.5 * 2.0_f64.sqrt(), 1e-5);
    assert_eq!(found["verdict"], "maybe up");
    assert_eq!(note_ids(&found), ["depends-on-prior"]);
    let told = run(&change("--smallest-worthwhile 1 --typical-error 1.5"), PAIR).out;
    let words = told.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        words.starts_with(
            "Maybe up. Last day against before: +2.5 cm. Best estimate using every day: +2.5 cm"
        ),
        "{words}"
    );
}

#[test]
fn the_document_has_the_keys_it_promises_and_no_empty_value() {
    let found = json(&change("--smallest-worthwhile 1 --typical-error 1.5"), PAIR);
    assert_eq!(found["schema"], "cornerwork/change/1");
    #[rustfmt::skip]
    let promised = ["change", "change_interval", "days", "days_used", "level", "notes", "observed_change", "odds", "sceptical_odds", "schema", "sentence", "since", "smallest_worthwhile", "typical_error", "typical_error_source", "unit", "verdict", "weight_of_tests"];
    assert_eq!(keys(&found), promised);
    assert!(!found.to_string().contains("null"));
    let why = json(&change("--typical-error 1.5 --explain"), PAIR);
    assert_eq!(why["working"][0]["method"], "change-posterior");
}

// Conjugate normal by hand (Gelman and others 2013, section 2.5): difference 3 with standard error
// 2.1213 and prior N(0, 2): mean 1.411765, rise 61.14 %, no matter 33.99 %, fall 4.87 %.
#[test]
fn what_was_expected_beforehand_is_weighed_in() {
    let three = "date,value\n2026-08-10,38\n2026-09-14,41\n";
    let asked = "--smallest-worthwhile 1 --typical-error 1.5";
    let found = json(&change(&format!("{asked} --expected 0,2")), three);
    near(&found, "change", 1.411_765, 1e-6);
    near(&found, "odds.rise", 0.611_396, 1e-6);
    near(&found, "odds.fall", 0.048_727, 1e-6);
    near(&found, "weight_of_tests", 4.0 / 8.5, 1e-9);
    // Without: 95 % limits 3 -+ 1.959964 x 2.121320.
    let flat = json(&change(&format!("{asked} --level 0.95")), three);
    near(&flat, "change_interval.0", -1.157_711, 1e-5);
    near(&flat, "change_interval.1", 7.157_711, 1e-5);
}

// Regression to the mean (Barnett and others 2005, Int J Epidemiol 34:215): reliability 0.85, first
// test 45 in a squad of mean 38: a retest of 43.95 is no change. True spread 1.5 root(.85 / .15).
#[test]
fn an_unusual_first_test_is_expected_to_fall_back() {
    let table = "date,value_cm\n2026-08-10,45\n2026-09-14,43.95\n";
    let asked = "--smallest-worthwhile 1 --typical-error 1.5 --squad 38,3.570714";
    near(&json(&change(asked), table), "change", 0.0, 1e-6);
}

#[test]
fn every_trial_counts_and_mean_and_best_are_both_given() {
    let table = "date,value_cm\n2026-08-10,37.9\n2026-08-10,38.6\n2026-08-10,39.4\n2026-09-14,40\n2026-09-14,41\n";
    let found = json(&change("--smallest-worthwhile 1"), table);
    near(&found, "days.0.mean", 38.633_333, 1e-6);
    near(&found, "days.0.best", 39.4, 0.0);
    near(&found, "days.0.trials", 3.0, 0.0);
    // By hand: squares 1.126667 + 0.5 on three degrees of freedom, s 0.736358; of a mean of two
    // trials with the day's noise as large: s root(1.5).
    near(&found, "typical_error", 0.736_358 * 1.5_f64.sqrt(), 1e-5);
    assert!(note_ids(&found).contains(&"day-to-day-noise-assumed"));
}

#[test]
fn every_earlier_test_counts_not_only_the_last() {
    // Closed form: standard error 1.5 root(1 + 1/b) for b baseline days.
    for (baseline, error) in [(1, 2.121_320), (2, 1.837_117), (3, 1.732_051)] {
        let mut table = "value,date\n41,2026-09-14\n".to_owned();
        for day in 1..=baseline {
            table += &format!("38,2026-08-0{day}\n");
        }
        let found = json(&change("--smallest-worthwhile 1 --typical-error 1.5"), &table);
        let half = number(&found, "change_interval.1") - number(&found, "change");
        assert!((half / 1.644_854 - error).abs() < 1e-5, "{half}");
    }
    // With a day on the way instead, the block begins on the first: slope through three points.
    let table = "date,value\n2026-08-01,38\n2026-08-08,39\n2026-08-15,40\n";
    let found = json(&change("--typical-error 1.5 --since 2026-08-01"), table);
    let half = number(&found, "change_interval.1") - number(&found, "change");
    assert!((half / 1.644_854 - 1.5 * 2.0_f64.sqrt()).abs() < 1e-5, "{half}");
}

// One trial a day, nothing stated: the days show the noise. Baseline 38, 39, 40, today 42: s 1 on
// two degrees of freedom, standard error root(4/3), t at 95 % one-sided 2.919986 (scipy 1.17.1).
#[test]
fn days_of_one_trial_show_their_noise_themselves() {
    let table = "date,value\n2026-08-01,38\n2026-08-08,39\n2026-08-15,40\n2026-08-22,42\n";
    let found = json(&change("--smallest-worthwhile 1"), table);
    near(&found, "typical_error", 1.0, 1e-9);
    near(&found, "change", 3.0, 1e-9);
    near(&found, "change_interval.0", 3.0 - 2.919_986 * (4.0_f64 / 3.0).sqrt(), 1e-5);
    let sceptic = json(&change("--smallest-worthwhile 1 --expected 0,2"), table);
    assert!(number(&sceptic, "odds.rise") < number(&found, "odds.rise"));
}

#[test]
fn a_published_noise_is_named_and_weighed() {
    let found = json(&change("--test countermovement-jump-height --smallest-worthwhile 1"), PAIR);
    near(&found, "typical_error", 0.047 * 40.5, 1e-9);
    assert!(found["typical_error_source"].as_str().unwrap().contains("Int J Exerc Sci"));
    let unknown = refused(&change("--test punch-force"), PAIR);
    assert!(unknown.starts_with("No published reference for 'punch-force'"), "{unknown}");
}

#[test]
fn unlike_methods_are_never_compared() {
    let table =
        "date,value_cm,method\n2026-08-10,36.1,take-off velocity\n2026-09-14,40.2,flight time\n";
    let sentence = refused(&change("--typical-error 0.9"), table);
    assert_eq!(
        sentence,
        "No change is claimed: method was take-off velocity before and flight time now. Test \
         again the old way, or enter the known offset between the two."
    );
    let shoes = "date,value_cm,shoes\n2026-08-10,36.1,none\n2026-09-14,40.2,boots\n";
    assert!(
        refused(&change("--typical-error 0.9 --condition shoes"), shoes).contains("shoes was none")
    );
    near(&json(&change("--typical-error 0.9"), shoes), "observed_change", 4.1, 1e-9);
    let one_day = "date,value_cm,method\n2026-08-10,36,tape\n2026-08-10,37,flight time\n2026-09-14,40.2,tape\n";
    let sentence = refused(&change("--typical-error 0.9"), one_day);
    assert!(sentence.contains("trials of one day are of one method"), "{sentence}");
    // A third day of the old method is left out, and said to be.
    let three =
        "date,value,arms\n2026-08-01,44,free\n2026-08-10,38,on hips\n2026-09-14,40,on hips\n";
    let found = json(&change("--typical-error 1.5"), three);
    assert!(note_ids(&found).contains(&"unlike-days-left-out"));
    near(&found, "days_used", 2.0, 0.0);
}

#[test]
fn a_changed_body_mass_is_pointed_out() {
    let table = "date,value_cm,body_mass_kg\n2026-08-10,38,80.2\n2026-09-14,42,75.1\n";
    let found = json(&change("--typical-error 0.9 --smallest-worthwhile 1"), table);
    assert!(note_ids(&found).contains(&"body-mass-changed"));
}

#[test]
fn the_picture_is_whole() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("change.svg");
    let asked = format!("--typical-error 1.5 --smallest-worthwhile 1 --svg {}", file.display());
    let ran = run(&change(&asked), PAIR);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    let text = std::fs::read_to_string(&file).unwrap();
    let picture = roxmltree::Document::parse(&text).unwrap();
    let says = |node: roxmltree::Node<'_, '_>| node.text().is_some_and(|t| t.contains("maybe up"));
    assert!(picture.descendants().any(says));
}

#[test]
fn what_cannot_be_judged_is_refused_in_one_sentence() {
    let cases = [
        ("", "The table is empty"),
        ("date,value\n", "no row under them"),
        ("date,height\n2026-08-10,38\n", "There is no column value"),
        ("value\n38\n", "There is no column date"),
        ("date,value\n2026-08-10,38\n2026-09-14,\n", "Line 3 has nothing"),
        ("date,value\n2026-08-10,38\n,40\n", "Line 3 has nothing in column date"),
        ("date,value\n2026-08-10,38\n2026-09-14,NaN\n", "Line 3 has 'NaN'"),
        ("date,value\n10.8.26,38\n2026-09-14,40\n", "Line 2: '10.8.26' is no date"),
        ("date,value\n2026-02-30,38\n2026-09-14,40\n", "Line 2: '2026-02-30' is no date"),
        ("date,value_cm,value_m\n2026-08-10,38,0.38\n", "say the same thing twice"),
        (
            "date,value\n2026-08-10,38\n2026-08-10,39\n",
            "A change needs a test day before the block and one after it; days so far: 1.",
        ),
        ("date,value,body_mass_kg\n2026-08-10,38,-3\n2026-09-14,40,80\n", "Line 2: a body mass"),
    ];
    for (table, expected) in cases {
        let sentence = refused(&change("--typical-error 1.5"), table);
        assert!(sentence.contains(expected), "{table:?}: {sentence}");
    }
    let unknown = refused(&change("--smallest-worthwhile 1"), PAIR);
    assert!(unknown.contains("The noise of this test is not known"), "{unknown}");
    assert!(refused(&change("--typical-error 0"), PAIR).contains("above zero"));
    assert!(refused(&change("--typical-error -1"), PAIR).contains("above zero"));
    let negative = "--typical-error 1 --smallest-worthwhile -1";
    assert!(refused(&change(negative), PAIR).contains("smallest change that matters"));
    assert!(refused(&change("--typical-error 1 --since yesterday"), PAIR).contains("is no date"));
    let early = refused(&change("--typical-error 1 --since 2026-08-01"), PAIR);
    assert!(early.contains("No test on or before"), "{early}");
    assert!(
        refused(&change("--typical-error 1 --condition shoes"), PAIR).contains("no column shoes")
    );
    misused("change");
    misused("change - --typical-error 1 --test countermovement-jump-height");
    misused("change - --expected 1");
    misused("change - --expected 1,0");
    misused("change - --level 2");
}

// Squad of docs/examples/repeats.csv: `reliability` finds 0.64 cm on 14 degrees of freedom and
// 2.04 %; with 4.7 % worth 6 (Souza and others 2020 and González-García, Conejero and
// Gutiérrez-Hellín 2024) 14 / 20 of the weight: sqrt((6 x ln(1.047)^2 + 14 x ln(1.0204)^2) / 20), 3.08 %.
#[test]
fn the_squads_own_repeats_are_the_noise_a_change_is_held_against() {
    let repeats = concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/examples/repeats.csv");
    let own = json(&change(&format!("--smallest-worthwhile 1 --repeats {repeats}")), PAIR);
    near(&own, "typical_error", 0.64, 0.005);
    assert_eq!(own["typical_error_source"], "the squad's own repeats");
    let both = change(&format!(
        "--smallest-worthwhile 1 --repeats {repeats} --test countermovement-jump-height"
    ));
    let weighed = json(&both, PAIR);
    near(&weighed, "typical_error", 0.0308 * 40.5, 0.01);
    assert!(note_ids(&weighed).contains(&"typical-error-weighed"));
    assert!(weighed["typical_error_source"].to_string().contains("70 % of the weight from own"));
    let published =
        json(&change("--smallest-worthwhile 1 --test countermovement-jump-height"), PAIR);
    near(&published, "typical_error", 0.047 * 40.5, 1e-9);
    let unit = refused(
        &change(&format!("--repeats {repeats}")),
        "date,value_n\n2026-08-10,38\n2026-09-14,40\n",
    );
    assert!(unit.contains("give both in one unit"), "{unit}");
}
