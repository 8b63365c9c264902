//! `profile velocity`.

use crate::run::{json, keys, misused, near, note_ids, number, refused, run};

const REPS: &str = "load_kg,mean_velocity_m_s\n20,1.30\n40,1.06\n60,0.79\n80,0.55\n";

fn velocity(rest: &str) -> String {
    format!("profile velocity - {rest}")
}

// Least squares by hand: slope -0.0126, intercept 1.555; the model's own intervals are held in the
// core by brute force (oracles/bent_line.py).
#[test]
fn loads_lie_on_the_line_with_their_intervals() {
    for target in [1.20, 1.00, 0.80] {
        let found = json(&velocity(&format!("--target {target}")), REPS);
        near(&found, "slope_m_s_per_kg", -0.0126, 1e-12);
        near(&found, "intercept_m_s", 1.555, 1e-12);
        let load = number(&found, "load_at_target_kg");
        near(&found, "load_at_target_kg", (1.555 - target) / 0.0126, 1.0);
        assert!(number(&found, "load_at_target_kg_interval.0") < load);
        assert!(number(&found, "load_at_target_kg_interval.1") > load);
    }
}

// What the velocity means is said: every rep counts, the fastest at a load is not picked out.
#[test]
fn the_velocity_is_that_of_an_average_rep_and_says_so() {
    let reps = "load_kg,mean_velocity_m_s\n20,1.24\n20,1.26\n20,1.28\n40,1.01\n40,1.03\n60,0.77\n80,0.52\n";
    let found = json(&velocity("--target 1.26"), reps);
    assert_eq!(found["velocity_means"], "an average rep");
    near(&found, "load_at_target_kg", 20.0, 1.0);
    let words = run(&velocity("--target 1.26"), reps).out;
    assert!(words.contains("1.26 m/s (an average rep)"), "{words}");
}

#[test]
fn a_bend_is_said() {
    let reps = "load_kg,mean_velocity_m_s\n20,1.21\n20,1.19\n35,1.15\n35,1.17\n50,1.06\n50,1.04\n65,0.86\n65,0.88\n80,0.60\n80,0.58\n";
    let found = json(&velocity("--target 0.9"), reps);
    assert!(number(&found, "bend_probability") > 0.95);
    assert!(note_ids(&found).contains(&"line-bends"));
}

#[test]
fn the_document_has_the_keys_it_promises_and_no_empty_value() {
    let found = json(&velocity("--target 0.8"), REPS);
    assert_eq!(found["schema"], "cornerwork/profile-velocity/1");
    #[rustfmt::skip]
    let promised = ["bend_probability", "intercept_m_s", "level", "load_at_target_kg", "load_at_target_kg_interval", "measure", "notes", "points", "reps", "residual_sd_m_s", "schema", "slope_m_s_per_kg", "target_m_s", "velocity_means"];
    assert_eq!(keys(&found), promised);
    assert!(!found.to_string().contains("null"));
}

// Two points, by hand: slope -0.01275, 1RM at 0.17 m/s 80 + 0.38 / 0.01275 = 109.80 kg
// (two-point method, García-Ramos et al. 2018, Int J Sports Physiol Perform 13:474).
#[test]
fn two_loads_show_no_scatter_and_say_so() {
    let reps = "load_kg;mean_velocity_m_s\n40;1,06\n80;0,55\n";
    let found = json(&velocity("--target 0.8 --threshold 0.17"), reps);
    near(&found, "one_rep_max.load_kg", 109.80, 1.0);
    near(&found, "one_rep_max.threshold_m_s", 0.17, 0.0);
    assert!(found.get("residual_sd_m_s").is_none());
    assert!(note_ids(&found).contains(&"typical-error-assumed"));
}

// Mean velocity of a maximal full squat 0.32 m/s, González-Badillo's group (Sánchez-Medina et al.
// 2017, Sports Med Int Open 1:E80): (1.555 - 0.32) / 0.0126 = 98.016 kg.
#[test]
fn a_published_threshold_is_found_by_its_exercise() {
    let found = json(&velocity("--target 0.8 --exercise back-squat"), REPS);
    near(&found, "one_rep_max.load_kg", 98.016, 1.0);
    let source = found["one_rep_max"]["threshold_source"].as_str().unwrap();
    assert!(source.contains("Sports Med Int Open"), "{source}");
    let none = json(&velocity("--target 0.8 --exercise landmine-split-jerk"), REPS);
    assert!(none.get("one_rep_max").is_none());
    assert!(note_ids(&none).contains(&"threshold-not-known"));
    let none = json(&velocity("--target 0.8"), REPS);
    assert!(none.get("one_rep_max").is_none());
    assert!(refused(&velocity("--target 0.8 --exercise moon-walk"), REPS).contains("moon-walk"));
}

// Line through the four reps by least squares by hand: slope -3.3/218.75, mean (28.75, 0.87);
// 0.8 m/s at 33.390 kg; on a bar of 20 kg pairs of 5 and 2.5 make 35 kg, pairs of 5 make 30.
#[test]
fn the_nearest_load_that_can_be_hung_comes_with_its_velocity() {
    let reps = "load_kg,mean_velocity_m_s\n20,1.005\n25,0.92\n30,0.855\n40,0.70\n";
    let found = json(&velocity("--target 0.8 --bar 20 --plates 10,5,2.5"), reps);
    near(&found, "load_at_target_kg", 33.390, 0.3);
    near(&found, "hang.load_kg", 35.0, 0.0);
    near(&found, "hang.expected_velocity_m_s", 0.87 - 6.25 * 3.3 / 218.75, 0.01);
    assert_eq!(found["hang"]["plates"], "5 + 2.5 a side");
    let words = run(&velocity("--target 0.8 --bar 20 --plates 10,5,2.5"), reps).out;
    assert!(words.starts_with("Hang 35.0 kg: 5 + 2.5 a side; the next rep"), "{words}");
    let slow = json(&velocity("--target 1.2 --bar 20 --plates 10"), reps);
    assert!(slow.get("hang").is_none());
    assert!(note_ids(&slow).contains(&"even-lightest-too-slow"));
}

#[test]
fn what_the_line_cannot_give_is_absent_with_its_reason() {
    let noisy = "load_kg,mean_velocity_m_s\n20,0.9\n40,0.6\n60,0.95\n80,0.7\n";
    let found = json(&velocity("--target 0.8 --threshold 0.3"), noisy);
    assert!(found.get("load_at_target_kg").is_none() && found.get("one_rep_max").is_none());
    let notes = note_ids(&found);
    assert!(notes.contains(&"slope-not-established") && notes.contains(&"no-one-rep-max"));
    let above = json(&velocity("--target 2"), REPS);
    assert!(above.get("load_at_target_kg").is_none());
    assert!(note_ids(&above).contains(&"target-above-line"));
}

#[test]
fn pounds_and_peak_velocities_are_read() {
    let pounds = "load_lb,mean_velocity_m_s\n100,1.30\n200,0.79\n300,0.4\n";
    let kilograms = "load_kg,mean_velocity_m_s\n45.359237,1.30\n90.718474,0.79\n136.077711,0.4\n";
    let at = |reps: &str| number(&json(&velocity("--target 0.8"), reps), "load_at_target_kg");
    assert!((at(pounds) - at(kilograms)).abs() < 1e-3);
    let peak = REPS.replace("mean", "peak");
    assert_eq!(json(&velocity("--target 0.8"), &peak)["measure"], "peak-velocity");
}

#[test]
fn the_picture_is_whole() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("line.svg");
    let ran = run(&velocity(&format!("--target 0.8 --svg {}", file.display())), REPS);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    let text = std::fs::read_to_string(&file).unwrap();
    let finding = "0.80 m/s is reached with ";
    let picture = roxmltree::Document::parse(&text).unwrap();
    let says =
        |node: roxmltree::Node<'_, '_>| node.text().is_some_and(|text| text.contains(finding));
    assert!(picture.descendants().any(says));
}

#[test]
fn reps_that_make_no_line_are_refused_in_one_sentence() {
    let cases = [
        ("", "The table is empty"),
        ("load_kg,mean_velocity_m_s\n40,1.0\n", "two different loads; there are 1"),
        ("load_kg,mean_velocity_m_s\n40,1.0\n40,0.9\n", "two different loads; there are 1"),
        ("load_kg,speed\n40,1.0\n", "There is no column mean_velocity_m_s or peak_velocity_m_s"),
        ("load_kg,mean_velocity_m_s\n40,1.0\n60,fast\n", "Line 3 has 'fast'"),
        ("load_kg,mean_velocity_m_s\n40,1.0\n60,NaN\n", "Line 3 has 'NaN'"),
        ("load_kg,mean_velocity_m_s\n40,1.0\n60,\n", "Line 3 has nothing"),
        ("load_kg,mean_velocity_m_s\n40,1.0\n-60,0.7\n", "Line 3: Rep 2 reads 0.7 m/s with -60 kg"),
        ("load_kg,mean_velocity_m_s\n40,106\n60,79\n", "Line 2: Rep 1 reads 106 m/s"),
        ("load_kg,mean_velocity_m_s\n40,0.5\n60,0.9\n", "Velocity does not fall with load"),
        ("load_kg,load_lb,mean_velocity_m_s\n40,88,1\n", "The columns load_kg and load_lb"),
        ("load_kg,mean_velocity_m_s,peak_velocity_m_s\n40,1,2\n", "say the same thing twice"),
    ];
    for (table, expected) in cases {
        let sentence = refused(&velocity("--target 0.8"), table);
        assert!(sentence.contains(expected), "{table:?}: {sentence}");
    }
    for target in ["-1", "0", "80", "NaN"] {
        let sentence = refused(&velocity(&format!("--target {target}")), REPS);
        assert!(sentence.contains("A target of"), "{sentence}");
    }
    assert!(refused(&velocity("--target 0.8 --threshold -1"), REPS).contains("A threshold of"));
    misused("profile velocity -");
    misused("profile velocity - --target 0.8 --threshold 0.3 --exercise back-squat");
}
