//! `profile momentum` and `next-load`.

use crate::run::{json, keys, misused, near, note_ids, number, refused, run, run_with};
use serde_json::json;

const JUMPS: &str = "load_kg,height_m\n0,0.380\n0,0.372\n40,0.225\n80,0.130\n80,0.122\n";
const MOMENTUM: &str = "profile momentum - --body-mass 80";

/// The first lines of a table: its names and so many jumps.
fn first(jumps: usize) -> String {
    JUMPS.lines().take(jumps + 1).collect::<Vec<_>>().join("\n")
}

// The same jumps through oracles/load_momentum.py (scipy, another road to the same model), with
// g = 9.81 m/s².
#[test]
fn the_peak_moves_with_every_jump_as_it_does_in_numpy() {
    for (jumps, peak_kg) in [(2, 45.330), (3, 48.598), (4, 66.257), (5, 61.392)] {
        let found = json(&format!("{MOMENTUM} --gravity 9.81"), &first(jumps));
        near(&found, "peak.load_kg", peak_kg, 0.02);
        assert_eq!(found["jumps"], jumps);
    }
    let last = json(&format!("{MOMENTUM} --gravity 9.81"), JUMPS);
    // Heaviest of the weights .0025, .1812, .3421, .4178, .0005, .0000 and .0559.
    near(&last, "model_probability", 0.4178, 6e-4);
    assert_eq!(last["peak"]["inside_tested_range"], true);
}

// p = (M + L) sqrt(2 g h), by hand: 80 sqrt(2 x 9.81 x 0.38) = 218.44, (80 + 40) sqrt(2 x 9.81 x
// 0.225) = 252.13 kg m/s.
#[test]
fn each_jump_stands_there_with_its_momentum() {
    let found = json(&format!("{MOMENTUM} --gravity 9.81"), JUMPS);
    assert_eq!(found["points"].as_array().unwrap().len(), 5);
    near(&found, "points.0.take_off_velocity_m_s", 2.7305, 5e-5);
    near(&found, "points.0.momentum_kg_m_s", 218.44, 5e-3);
    near(&found, "points.2.momentum_kg_m_s", 252.13, 5e-3);
    near(&found, "points.2.load_kg", 40.0, 0.0);
    near(&found, "points.2.height_m", 0.225, 0.0);
}

#[test]
fn the_document_has_the_keys_it_promises_and_no_empty_value() {
    let found = json(MOMENTUM, JUMPS);
    let text = found.to_string();
    assert_eq!(found["schema"], "cornerwork/profile-momentum/1");
    assert!(!text.contains("null"), "{text}");
    #[rustfmt::skip]
    let promised = ["band", "bands", "body_mass_kg", "jumps", "level", "model", "model_probability", "notes", "peak", "points", "schema", "stop"];
    assert_eq!(keys(&found), promised);
    #[rustfmt::skip]
    let of_peak = ["height_fraction_of_unloaded", "height_m", "inside_tested_range", "load_kg", "load_kg_interval", "momentum_kg_m_s", "momentum_kg_m_s_interval"];
    assert_eq!(keys(&found["peak"]), of_peak);
    assert_eq!(keys(&found["band"]), ["from_kg", "loss_fraction", "to_kg"]);
    near(&found, "band.loss_fraction", 0.01, 0.0);
    near(&found, "bands.1.loss_fraction", 0.02, 0.0);
    assert!(number(&found, "bands.1.from_kg") < number(&found, "band.from_kg"));
    assert!(number(&found, "bands.1.to_kg") > number(&found, "band.to_kg"));
    let ends = found["peak"]["load_kg_interval"].as_array().unwrap();
    assert!(ends[0].as_f64().unwrap() < number(&found, "peak.load_kg"));
    assert!(ends[1].as_f64().unwrap() > number(&found, "peak.load_kg"));
}

#[test]
fn a_wider_level_gives_a_wider_interval() {
    let width = |level: &str| {
        let found = json(&format!("{MOMENTUM} --level {level}"), JUMPS);
        number(&found, "peak.load_kg_interval.1") - number(&found, "peak.load_kg_interval.0")
    };
    assert!(width("0.5") < width("0.9") && width("0.9") < width("0.99"));
}

#[test]
fn the_same_jumps_in_other_units_and_spellings_give_the_same_answer() {
    let usual = json(MOMENTUM, "load_kg,height_m\n0,0.381\n45.359237,0.2032\n90.718474,0.1016\n");
    let others = [
        "load_lb,height_in\n0,15\n100,8\n200,4\n",
        "load_kg;height_cm\n0;38,1\n45,359237;20,32\n90,718474;10,16\n",
        "height_cm\tload_lb\tremark\n38.1\t0\tfresh\n20.32\t100\t\n10.16\t200\t\n",
        "\u{feff}# typed at the rack\n\nLOAD_KG,HEIGHT_M\n0,\"0,381\"\n\n45.359237,0.2032\n90.718474,0.1016\n",
    ];
    for other in others {
        let found = json(MOMENTUM, other);
        for path in ["peak.load_kg", "peak.momentum_kg_m_s", "band.from_kg", "band.to_kg"] {
            near(&found, path, number(&usual, path), 1e-6);
        }
    }
}

// v = sqrt(2 g h): the velocity of 0.3 m at 9.80665 m/s² is 2.42569372 m/s.
#[test]
fn take_off_velocities_are_as_good_as_heights() {
    let heights = json(MOMENTUM, "load_kg,height_m\n0,0.3\n50,0.15\n");
    let velocities = json(MOMENTUM, "load_kg,take_off_velocity_m_s\n0,2.42569372\n50,1.71522447\n");
    near(&velocities, "points.0.height_m", 0.3, 1e-7);
    near(&velocities, "peak.load_kg", number(&heights, "peak.load_kg"), 1e-4);
}

#[test]
fn a_file_and_standard_input_say_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("jumps.csv");
    std::fs::write(&file, JUMPS).unwrap();
    let from_file =
        run_with(&["profile", "momentum", file.to_str().unwrap(), "--body-mass", "80"], "");
    let from_input = run(MOMENTUM, JUMPS);
    assert_eq!((from_file.code, &from_file.out), (0, &from_input.out));
}

#[test]
fn the_answer_comes_first_for_people() {
    let ran = run(&format!("{MOMENTUM} --bar 20 --plates 20,10,5,2.5"), JUMPS);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    let first = ran.out.lines().next().unwrap();
    assert!(first.starts_with("Use 45 to 75 kg: momentum at take-off peaks near 61 kg"), "{first}");
    // 60 kg on a bar of 20 kg is 20 kg a side.
    assert!(ran.out.contains("Hang 60 kg: 20 a side."), "{}", ran.out);
    assert!(ran.out.contains("momentum, kg m/s") && ran.out.contains('●'));
    assert!(!ran.out.contains('\u{1b}'), "no colours to switch off");
    assert!(ran.out.lines().all(|line| line.chars().count() <= 80));
}

#[test]
fn why_says_method_inputs_source_and_doubt() {
    let ran = run(&format!("{MOMENTUM} --explain"), JUMPS);
    for part in ["Why: load where momentum at take-off peaks", "body mass: 80.0 kg", "Linthorne"] {
        assert!(ran.out.contains(part), "{part}");
    }
    let found = json(&format!("{MOMENTUM} --explain"), JUMPS);
    assert_eq!(found["working"][0]["method"], "load-momentum-curve-average");
    assert_eq!(found["working"][0]["inputs"][0], json!({"name": "body mass", "value": "80.0 kg"}));
    assert!(json(MOMENTUM, JUMPS).get("working").is_none());
}

#[test]
fn the_picture_is_whole_and_says_what_it_shows() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("curve.svg");
    let ran = run(&format!("{MOMENTUM} --svg {}", file.display()), JUMPS);
    assert_eq!(ran.code, 0);
    let text = std::fs::read_to_string(&file).unwrap();
    let picture = roxmltree::Document::parse(&text).unwrap();
    let root = picture.root_element();
    assert_eq!(root.tag_name().namespace(), Some("http://www.w3.org/2000/svg"));
    let says = |tag: &str| {
        root.descendants().find(|node| node.has_tag_name(("http://www.w3.org/2000/svg", tag)))
    };
    assert!(says("title").is_some());
    let finding = says("desc").unwrap().text().unwrap();
    assert!(finding.contains("peaks near 61 kg"), "{finding}");
    let unwritable = format!("{MOMENTUM} --svg {}/no/such.svg", folder.path().display());
    assert!(refused(&unwritable, JUMPS).starts_with("Cannot write"));
}

#[test]
fn one_load_answers_under_a_caveat_and_has_no_band() {
    let found = json(MOMENTUM, &first(2));
    let notes = note_ids(&found);
    assert!(notes.contains(&"one-load-only") && notes.contains(&"peak-not-yet-known"));
    assert!(found.get("band").is_none() && found.get("next").is_some());
    let words = run(MOMENTUM, &first(2)).out;
    assert!(words.starts_with("The best load is not known yet, no jump with a load"), "{words}");
}

#[test]
fn a_low_jump_a_light_bar_and_other_days_are_remarked_on() {
    let table = "load_kg,height_cm,date\n0,38,2031-05-04\n10,33,2031-05-04\n90,9,2031-05-06\n";
    let found = json(&format!("{MOMENTUM} --bar 20 --plates 20"), table);
    let notes = note_ids(&found);
    for id in ["height-very-low", "load-lighter-than-bar", "several-days"] {
        assert!(notes.contains(&id), "{id} in {notes:?}");
    }
    assert!(!notes.contains(&"kit-not-told"));
    assert!(note_ids(&json(MOMENTUM, table)).contains(&"kit-not-told"));
}

#[test]
fn a_table_that_cannot_be_used_is_refused_in_one_sentence() {
    let cases = [
        ("", "The table is empty"),
        ("\n# nothing\n", "The table is empty"),
        ("load_kg,height_cm\n", "and no row under them"),
        (
            "load,height\n0,38\n",
            "There is no column height_cm, height_m, height_in or take_off_velocity_m_s: the columns found are load, height.",
        ),
        (
            "height_cm\n38\n",
            "There is no column load_kg or load_lb: the columns found are height_cm.",
        ),
        ("load_kg,height_cm\n0,high\n", "Line 2 has 'high' in column height_cm"),
        ("load_kg,height_cm\n0,38\n40,NaN\n", "Line 3 has 'NaN' in column height_cm"),
        ("load_kg,height_cm\n0,38\n40,inf\n", "Line 3 has 'inf'"),
        ("load_kg,height_cm\n0,38\n40,\n", "Line 3 has nothing in column height_cm"),
        ("load_kg,height_cm\n0,38\n40\n", "Line 3 has 1 cells"),
        ("load_kg,height_cm\n0,38\n-40,20\n", "Line 3: jump 2: load -40 kg"),
        ("load_kg,height_cm\n0,38\n40,-20\n", "Line 3: jump 2: height -0.200 m"),
        ("load_kg,height_cm\n0,38\n40,0\n", "Line 3: jump 2: height 0.000 m"),
        ("load_kg,height_cm\n0,38\n4000,20\n", "Line 3: jump 2: load 4000 kg"),
        ("load_kg,height_m\n0,38\n40,22\n", "Line 2: 38 m is no jump; is the column in cm?"),
        ("load_kg,height_in\n0,38\n40,22\n", "Line 2: 38 in is no jump; is the column in cm?"),
        ("load_kg,height_cm\n0,0.38\n40,0.22\n", "Line 2: 0.38 cm is no jump; is the column in m?"),
        (
            "load_kg,height_cm\n0,38\n40,0.22\n",
            "Line 3: 0.22 cm is no jump; is this row in m and the others in cm?",
        ),
        ("load_kg,height_cm\n0,38\n40,200\n", "Line 3: 200 cm is no jump; check the number"),
        (
            "load_kg,height_cm,height_m\n0,38,0.38\n",
            "The columns height_cm and height_m say the same thing twice",
        ),
        ("load_kg,load_lb,height_cm\n0,0,38\n", "The columns load_kg and load_lb"),
        (
            "load_kg,height_cm,take_off_velocity_m_s\n0,38,2.7\n",
            "The columns height_cm and take_off_velocity_m_s",
        ),
        (
            "load_kg,take_off_velocity_m_s\n0,2.7\n40,-1\n",
            "Line 3: jump 2: take-off velocity -1 m/s",
        ),
        ("load_kg,take_off_velocity_m_s\n0,27\n", "Line 2: jump 1: height 37"),
        (
            "load_kg,height_cm,method\n0,38,flight time\n40,22,impulse on a force platform\n",
            "Line 3: jump 2 was measured by",
        ),
        ("load_kg,height_cm,method\n0,38,a guess\n", "Line 2: 'a guess' is no method"),
    ];
    for (table, expected) in cases {
        for command in [MOMENTUM, "next-load - --body-mass 80 --bar 20 --plates 20,10"] {
            let sentence = refused(command, table);
            assert!(sentence.contains(expected), "{table:?}: {sentence}");
        }
    }
}

#[test]
fn numbers_that_cannot_be_are_refused_and_wrong_use_is_told_apart() {
    for (arguments, expected) in [
        ("profile momentum - --body-mass -80", "Body mass -80 kg"),
        ("profile momentum - --body-mass 800", "Body mass 800 kg"),
        ("profile momentum - --body-mass NaN", "Body mass NaN kg"),
        ("profile momentum - --body-mass 80 --gravity 0", "Gravity 0 m/s²"),
        ("profile momentum - --body-mass 80 --bar -20", "cannot weigh -20 kg"),
        ("profile momentum - --body-mass 80 --bar 20 --plates 200", "'200' cannot weigh 200 kg"),
        ("profile momentum - --body-mass 80 --bar 20 --plates -5", "'-5' cannot weigh -5 kg"),
        ("profile momentum /no/such/file.csv --body-mass 80", "Cannot read /no/such/file.csv"),
    ] {
        let sentence = refused(arguments, JUMPS);
        assert!(sentence.contains(expected), "{arguments}: {sentence}");
    }
    for arguments in [
        "profile momentum -",
        "profile momentum --body-mass 80",
        "profile momentum - --body-mass eighty",
        "profile momentum - --body-mass 80 --plates 20",
        "profile momentum - --body-mass 80 --bar 20 --plates 20x",
        "profile momentum - --body-mass 80 --level 1",
        "profile momentum - --body-mass 80 --nonsense",
        "next-load - --body-mass 80",
    ] {
        assert!(misused(arguments).contains("error:"), "{arguments}");
    }
}

#[test]
fn a_file_that_is_no_text_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("table.csv");
    std::fs::write(&file, [0xff, 0xfe, b'l', 0, b'o', 0]).unwrap();
    let arguments = format!("profile momentum {} --body-mass 80", file.display());
    assert!(refused(&arguments, "").contains("it is not UTF-8 text"));
    let folder = format!("profile momentum {} --body-mass 80", folder.path().display());
    assert!(refused(&folder, "").starts_with("Cannot read"));
}

// With 10 and 5 kg in pairs a bar of 20 kg makes 20, 30, 40 and 50 kg and no more.
#[test]
fn the_next_load_is_one_that_can_be_hung() {
    let next = json("next-load - --body-mass 80 --bar 20 --plates 10,5", &first(2));
    assert_eq!(next["schema"], "cornerwork/next-load/1");
    let load = number(&next, "next.load_kg");
    assert!([20.0, 30.0, 40.0, 50.0].contains(&load), "{load}");
    assert!(next["next"]["reason"].as_str().unwrap().len() > 10);
    assert!(next["next"]["plates"].is_string());
    // At most 40 kg above the heaviest so far.
    assert!(load <= 40.0);
}

#[test]
fn the_test_ends_where_it_did_in_numpy() {
    let arguments = "next-load - --body-mass 80 --bar 20 --plates 20,10,5,2.5,1.25 --test-day";
    let end = json(arguments, JUMPS);
    assert!(end.get("next").is_none());
    near(&end, "stop.use_load_kg", 60.0, 0.0);
    assert_eq!(end["stop"]["plates"], "20 a side");
    assert_eq!(end["stop"]["cause"], "band-is-enough");
    let earlier = json(arguments, &first(4));
    assert!(earlier.get("stop").is_none() && earlier.get("next").is_some());
}
