//! `landmine`.

use crate::run::{json, misused, near, note_ids, number, refused, run};

// Statics and rotation about a fixed axis evaluated in numpy: bar 20 kg and 2.20 m with a shaft of
// 1.31 m x 28 mm, hand 2.15 m from the pivot at its height plus 2.15 sin 45°, g 9.81 m/s². The
// bar's moments alone: S 22.000 kg m, I 35.855 kg m². A point of 10 kg at 1.81 m adds 18.1 kg m and
// 32.761 kg m².
const BAR: &str = "landmine --bar 20 --bar-length 2.2 --shaft-length 1.31 --shaft-diameter 0.028 \
                   --hand-at 2.15 --pivot-height 0 --hand-height 1.5202796 --gravity 9.81";

#[test]
fn the_bar_alone_and_with_a_plate() {
    let bar = json(&format!("{BAR} --plates 0"), "");
    assert_eq!(bar["schema"], "cornerwork/landmine/1");
    near(&bar, "total_kg", 20.0, 0.0);
    near(&bar, "angle_deg", 45.0, 1e-4);
    near(&bar, "vertical_hold_kg", 10.233, 5e-4);
    near(&bar, "vertical_hold_n", 100.4, 0.05);
    near(&bar, "across_bar_n", 71.0, 0.05);
    near(&bar, "inertia_kg", 7.757, 5e-4);
    assert!(note_ids(&bar).is_empty());
    let plate = json(&format!("{BAR} --plates 10 --plates-at 1.81"), "");
    near(&plate, "vertical_hold_kg", 40.1 / 2.15, 1e-9);
    near(&plate, "inertia_kg", (35.855 + 32.761) / (2.15 * 2.15), 2e-4);
}

// The hold at the hand is the same at every height of the hand; across the bar it is not.
#[test]
fn a_higher_hand_holds_as_much_and_pushes_less() {
    let at = |height: f64| {
        json(&format!("landmine --bar 20 --bar-length 2.2 --plates 10 --hand-height {height}"), "")
    };
    let (low, high) = (at(1.0), at(1.8));
    near(&high, "vertical_hold_kg", number(&low, "vertical_hold_kg"), 1e-12);
    assert!(number(&high, "across_bar_kg") < number(&low, "across_bar_kg"));
    assert_eq!(note_ids(&low), ["places-assumed", "uniform-rod"]);
}

#[test]
fn people_read_a_sentence_and_may_ask_why() {
    let ran = run(&format!("{BAR} --plates 0 --explain"), "");
    assert!(ran.out.starts_with("Of 20.0 kg the hand holds up 10.2 kg"), "{}", ran.out);
    assert!(ran.out.contains("Why: what the hand meets on the landmine"));
}

#[test]
fn what_cannot_be_is_refused() {
    for (arguments, expected) in [
        ("--bar -20 --bar-length 2.2 --plates 10 --hand-height 1.4", "A bar of -20 kg"),
        ("--bar 20 --bar-length 220 --plates 10 --hand-height 1.4", "A bar of 20 kg and 220 m"),
        ("--bar 20 --bar-length 2.2 --plates -10 --hand-height 1.4", "A plate of -10 kg"),
        ("--bar 20 --bar-length 2.2 --plates NaN --hand-height 1.4", "A plate of NaN kg"),
        ("--bar 20 --bar-length 2.2 --plates 10 --hand-height 140", "out of reach"),
        (
            "--bar 20 --bar-length 2.2 --plates 10 --hand-height 1.4 --plates-at 3",
            "cannot hang 3 m",
        ),
        ("--bar 20 --bar-length 2.2 --plates 10 --hand-height 1.4 --hand-at 3", "The hand cannot"),
    ] {
        let sentence = refused(&format!("landmine {arguments}"), "");
        assert!(sentence.contains(expected), "{arguments}: {sentence}");
    }
    misused("landmine --bar 20 --bar-length 2.2 --plates 10");
}
