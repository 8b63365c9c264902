//! `reliability`.

use crate::run::{json, keys, misused, near, note_ids, number, refused, run};

fn reliability(rest: &str) -> String {
    format!("reliability - {rest}")
}

/// A table of athletes by trials as the command reads it.
fn table(rows: &[&[f64]]) -> String {
    let mut text = "athlete,trial,value\n".to_owned();
    for (athlete, row) in rows.iter().enumerate() {
        for (trial, value) in row.iter().enumerate() {
            text += &format!("A{athlete},{},{value}\n", trial + 1);
        }
    }
    text
}

// Shrout and Fleiss 1979, Psychol Bull 86:420, table 2; printed .17 .29 .71 .44 .62 .91, digits and
// 95 % limits by R 4.2, psych 2.2.9.
#[test]
fn the_correlations_are_those_of_shrout_and_fleiss() {
    let rows: [&[f64]; 6] = [
        &[9., 2., 5., 8.],
        &[6., 1., 3., 2.],
        &[8., 4., 6., 8.],
        &[7., 1., 2., 6.],
        &[10., 5., 6., 9.],
        &[6., 2., 4., 7.],
    ];
    let found = json(&reliability("--level 0.95"), &table(&rows));
    for (key, value, low, high) in [
        ("icc_1_1", 0.165_742, -0.132_932, 0.722_560),
        ("icc_2_1", 0.289_764, 0.018_787, 0.761_084),
        ("icc_3_1", 0.714_841, 0.342_465, 0.945_858),
        ("icc_1_k", 0.442_797, -0.884_442, 0.912_415),
        ("icc_2_k", 0.620_051, 0.071_137, 0.927_232),
        ("icc_3_k", 0.909_316, 0.675_676, 0.985_892),
    ] {
        let at = format!("intraclass_correlations.{key}");
        near(&found, &format!("{at}.value"), value, 1e-6);
        near(&found, &format!("{at}.interval.0"), low, 3e-6);
        near(&found, &format!("{at}.interval.1"), high, 3e-6);
    }
    // Root of their mean square within, 1.02.
    near(&found, "typical_error", 1.019_444_44_f64.sqrt(), 1e-8);
    near(&found, "typical_error_degrees_of_freedom", 15.0, 0.0);
}

// Bland and Altman 1986, Lancet 327:307, large meter; digits by R 4.2 as in the core's own test.
#[test]
fn the_typical_error_is_that_of_bland_and_altman() {
    #[rustfmt::skip]
    let wright = [[494., 490.], [395., 397.], [516., 512.], [434., 401.], [476., 470.], [557., 611.], [413., 415.], [442., 431.], [650., 638.], [433., 429.], [417., 420.], [656., 633.], [267., 275.], [478., 492.], [178., 165.], [423., 372.], [427., 421.]];
    let rows: Vec<&[f64]> = wright.iter().map(|row| row.as_slice()).collect();
    let found = json(&reliability("--level 0.95"), &table(&rows));
    near(&found, "typical_error", 15.361_215, 1e-6);
    near(&found, "typical_error_interval.0", 11.4406, 1e-4);
    near(&found, "typical_error_interval.1", 23.3787, 1e-4);
    near(&found, "coefficient_of_variation_percent", 3.511_767, 1e-6);
    near(&found, "minimal_detectable_change", 42.579, 1e-3);
}

const JUMPS: [&[f64]; 5] =
    [&[40.1, 41.0], &[35.2, 34.6], &[42.8, 43.9], &[38.0, 37.1], &[36.5, 37.4]];

// Arithmetic by hand: typical error 0.671565, mean shift 0.28, log CV 1.751060 %, minimal
// detectable change 1.861484.
#[test]
fn five_jumpers_twice_read_as_worked_by_hand() {
    let found = json(&reliability(""), &table(&JUMPS));
    assert_eq!(found["schema"], "cornerwork/reliability/1");
    near(&found, "typical_error", 0.671_565, 1e-6);
    near(&found, "mean_shift", 0.28, 1e-9);
    near(&found, "coefficient_of_variation_percent", 1.751_060, 1e-6);
    near(&found, "minimal_detectable_change", 1.861_484, 1e-4);
    near(&found, "athletes.2.mean", 43.35, 1e-9);
    near(&found, "athletes.2.best", 43.9, 0.0);
    #[rustfmt::skip]
    let promised = ["athletes", "coefficient_of_variation_percent", "coefficient_of_variation_percent_interval", "intraclass_correlations", "level", "mean_shift", "mean_shift_interval", "minimal_detectable_change", "notes", "observed_sd", "schema", "smallest_worthwhile_change", "subjects", "trials", "true_sd", "typical_error", "typical_error_degrees_of_freedom", "typical_error_interval"];
    assert_eq!(keys(&found), promised);
    assert!(!found.to_string().contains("null"));
    let words = run(&reliability("--explain"), &table(&JUMPS).replace("value", "value_cm")).out;
    assert!(words.starts_with("The test strays by 0.67 cm"), "{words}");
    assert!(words.contains("Why: typical error") && words.contains("ICC(2,1)"), "{words}");
}

#[test]
fn few_own_repeats_lean_on_the_published_ones_and_say_how_much() {
    let found = json(&reliability("--test countermovement-jump-height"), &table(&JUMPS));
    // Four own degrees of freedom against six.
    near(&found, "weighed.own_weight", 4.0 / 10.0, 1e-12);
    // By hand: (6 x ln(1.047)² + 4 x ln(1.0175106)²) / 10 = 0.00138621, root 0.0372319.
    near(&found, "weighed.typical_error_percent", 3.7934, 1e-4);
    assert!(note_ids(&found).contains(&"typical-error-weighed"));
}

#[test]
fn parts_are_judged_alone_and_methods_never_together() {
    let mut text = "athlete,trial,value,method\n".to_owned();
    for (method, more) in [("mat", 0.0), ("tape", 5.0)] {
        for (athlete, row) in JUMPS.iter().enumerate() {
            for (trial, value) in row.iter().enumerate() {
                text += &format!("A{athlete},{trial},{},{method}\n", value + more);
            }
        }
    }
    let sentence = refused(&reliability(""), &text);
    assert!(sentence.contains("method is 'tape' where line 2 says 'mat'"), "{sentence}");
    let found = json(&reliability("--by method"), &text);
    assert_eq!(
        (&found["parts"][0]["part"], &found["parts"][1]["part"]),
        (&"mat".into(), &"tape".into())
    );
    let te = number(&found, "parts.1.typical_error");
    assert!((te - 0.671_565).abs() < 1e-6, "{te}");
}

#[test]
fn trials_are_put_in_order_and_holes_are_no_zeros() {
    let dates = "athlete,trial,value\nA,2026-09-07,41\nA,2026-08-31,40\nB,2026-08-31,35\nB,2026-09-07,36.4\n";
    near(&json(&reliability(""), dates), "mean_shift", 1.2, 1e-9);
    let ten = "athlete,trial,value\nA,10,41\nA,9,40\nB,9,35\nB,10,36.4\n";
    near(&json(&reliability(""), ten), "mean_shift", 1.2, 1e-9);
    let holes = table(&[&[40.1, 41.0, 40.4], &[35.2, 34.6], &[42.8, 43.9, 43.0], &[38.0]]);
    let found = json(&reliability(""), &holes);
    assert!(found.get("intraclass_correlations").is_none());
    assert!(note_ids(&found).contains(&"intraclass-needs-full-table"));
    near(&found, "athletes.3.trials", 1.0, 0.0);
}

#[test]
fn the_picture_is_whole() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("noise.svg");
    let ran = run(&reliability(&format!("--svg {}", file.display())), &table(&JUMPS));
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    let text = std::fs::read_to_string(&file).unwrap();
    let picture = roxmltree::Document::parse(&text).unwrap();
    let says =
        |node: roxmltree::Node<'_, '_>| node.text().is_some_and(|t| t.contains("may be noise"));
    assert!(picture.descendants().any(says));
}

#[test]
fn what_cannot_be_judged_is_refused_in_one_sentence() {
    let cases = [
        ("", "The table is empty"),
        ("athlete,value\nA,1\n", "There is no column trial"),
        ("athlete,trial,jump\nA,1,3\n", "There is no column value"),
        ("athlete,trial,value\nA,1,3\n,2,3\n", "Line 3 has nothing in column athlete"),
        ("athlete,trial,value\nA,1,3\nA,2,x\n", "Line 3 has 'x'"),
        ("athlete,trial,value\nA,1,3\nA,1,4\n", "Line 3: A has trial 1 twice"),
        ("athlete,trial,value\nA,1,40\nB,1,35\n", "two"),
        ("athlete,trial,value\nA,1,40\nA,2,41\n", "two"),
        ("athlete,trial,value\nA,1,40\nA,2,40\nB,1,35\nB,2,35\n", "repeats agree exactly"),
    ];
    for (table, expected) in cases {
        let sentence = refused(&reliability(""), table);
        assert!(sentence.contains(expected), "{table:?}: {sentence}");
    }
    assert!(refused(&reliability("--by sex"), &table(&JUMPS)).contains("no column sex"));
    assert!(refused(&reliability("--test x"), &table(&JUMPS)).contains("No published reference"));
    misused("reliability");
    misused("reliability - --smallest-worthwhile 0");
}
