//! The exercise library the program carries, and what is said about faulty files.

use std::collections::HashSet;
use std::sync::LazyLock;

use cornerwork_core::entry::{Entry, Expected, Prediction, read};
use cornerwork_core::exercise::{
    BodyPart, Exercise, FaultTag, LoadModel, MOST_CUE_WORDS, MeasureKind, Sides, StopRule,
};
use cornerwork_core::units::{Duration, Length, Mass};
use cornerwork_io::catalogue::exercises::{EntryFault, Exercises, TypedExercise};

/// Read once: the file is long and the parser is not optimised in tests.
fn library() -> Exercises {
    static LIBRARY: LazyLock<Exercises> =
        LazyLock::new(|| Exercises::built_in().unwrap_or_else(|error| panic!("{error}")));
    LIBRARY.clone()
}

fn exercise(library: &Exercises, id: &str) -> Exercise {
    library.named(id).unwrap_or_else(|| panic!("{id}")).clone()
}

#[test]
fn the_library_is_whole_and_sound() {
    let library = library();
    // 62 single entries (both hands of the standing punch throw in one) and six of conditioning.
    assert_eq!(library.in_order().len(), 68);
    for exercise in library.in_order() {
        let id = &exercise.id;
        assert_eq!(library.get(id), Some(exercise));
        assert!(exercise.cues.iter().filter(|cue| cue.for_fault.is_none()).count() >= 2, "{id}");
        for cue in &exercise.cues {
            assert!(cue.text.split_whitespace().count() <= MOST_CUE_WORDS, "{id}: {}", cue.text);
        }
        assert!(!exercise.faults.is_empty() && !exercise.kit.is_empty(), "{id}");
        assert!(!exercise.cautions.is_empty() && !exercise.swaps.is_empty(), "{id}");
        assert!(exercise.facts.iter().all(|fact| !fact.source.trim().is_empty()), "{id}");
        let permissions = &exercise.permissions;
        assert!(permissions.barred_under_years <= permissions.confirm_under_years, "{id}");
    }
}

#[test]
fn no_cue_stands_twice_in_one_exercise() {
    for exercise in library().in_order() {
        let general = exercise.cues.iter().filter(|cue| cue.for_fault.is_none());
        let texts: Vec<_> = general.map(|cue| cue.text.to_lowercase()).collect();
        assert_eq!(texts.iter().collect::<HashSet<_>>().len(), texts.len(), "{}", exercise.id);
    }
}

#[test]
fn swaps_never_lead_to_an_exercise_that_swaps_the_same_injury_straight_back() {
    let library = library();
    for exercise in library.in_order() {
        for swap in exercise.swaps.iter().filter(|swap| !swap.other_side) {
            let to = library.get(&swap.to).unwrap();
            assert!(
                !to.swaps_for(swap.injured)
                    .any(|back| back.to == exercise.id && swap.note.is_none()),
                "{} and {} swap {} to and fro",
                exercise.id,
                to.id,
                swap.injured.words()
            );
        }
    }
}

#[test]
fn the_four_stations_of_an_evening_hold_what_the_floor_needs() {
    let library = library();

    let depth_jump = exercise(&library, "depth-jump");
    assert_eq!(depth_jump.measure.kind, MeasureKind::JumpHeight);
    assert_eq!(depth_jump.stop, Some(StopRule::DropFromBest { fraction: 0.08, in_a_row: 1 }));
    let cap = depth_jump.permissions.box_caps[0];
    assert_eq!(cap.above_body_mass, Mass::kilograms(100.0));
    assert_eq!(cap.highest_box, Length::centimetres(45.0));
    assert_eq!(depth_jump.permissions.hours_from_sparring, Some(48));
    assert_eq!(depth_jump.permissions.box_free_of_age_rules, Some(Length::centimetres(20.0)));

    let throw = exercise(&library, "landmine-punch-throw");
    assert_eq!((throw.sides, throw.load_model), (Sides::LeadRear, LoadModel::LandmineLever));
    assert_eq!(throw.stop, Some(StopRule::DropFromBest { fraction: 0.10, in_a_row: 1 }));

    let jump = exercise(&library, "trap-bar-jump");
    assert_eq!(jump.load_model, LoadModel::SystemMass);
    assert_eq!(jump.stop, Some(StopRule::DropFromBest { fraction: 0.05, in_a_row: 2 }));
    assert_eq!(jump.dose.rest.low, Duration::seconds(120.0));

    let jerk = exercise(&library, "landmine-split-jerk");
    assert_eq!(jerk.measure.kind, MeasureKind::PeakVelocity);
    let peak = jerk.target_of(MeasureKind::PeakVelocity).unwrap().window_si;
    assert_eq!((peak.low, peak.high), (1.6, 1.8));
    let mean = jerk.target_of(MeasureKind::MeanVelocity).unwrap().window_si;
    assert!(mean.contains(0.8));
    assert_eq!(jerk.stop, Some(StopRule::UnderWindow { in_a_row: 2 }));
}

#[test]
fn after_a_repeated_fault_a_cue_for_it_comes_and_then_another() {
    let depth_jump = exercise(&library(), "depth-jump");
    let heels = FaultTag::new("heels-slap").unwrap();
    let first = depth_jump.cue_for(Some(&heels), &[]).unwrap();
    assert_eq!(first.for_fault.as_ref(), Some(&heels));
    let second = depth_jump.cue_for(Some(&heels), &[&first.text]).unwrap();
    assert_ne!(second.text, first.text);
    assert_eq!(second.for_fault, None);
    assert_eq!(depth_jump.cue_for(None, &[]), depth_jump.cues.first());
    assert!(depth_jump.fault(&heels).is_some_and(|fault| fault.stops_set));
    let bent = FaultTag::new("bent-landing").unwrap();
    assert!(depth_jump.fault(&bent).is_some_and(|fault| fault.spoils_measure));
}

#[test]
fn a_sore_hand_is_led_elsewhere() {
    let library = library();
    let swaps = |id: &str, part| -> Vec<(String, bool)> {
        let exercise = exercise(&library, id);
        exercise.swaps_for(part).map(|swap| (swap.to.to_string(), swap.other_side)).collect()
    };
    assert_eq!(
        swaps("landmine-punch-throw", BodyPart::Hand),
        [("landmine-punch-throw".into(), true), ("anti-rotation-press".into(), false)]
    );
    assert_eq!(swaps("hang-power-clean", BodyPart::Wrist)[0].0, "hang-high-pull");
    assert_eq!(swaps("drop-jump", BodyPart::Achilles)[0].0, "box-jump");
}

#[test]
fn the_sample_evening_passes_the_limits_of_the_library_and_its_slips_do_not() {
    let library = library();
    let nothing = Expected::default();
    for (id, kind, typed, value_si) in [
        ("countermovement-jump", MeasureKind::JumpHeight, "42.4", 0.424),
        ("depth-jump", MeasureKind::JumpHeight, "40,1", 0.401),
        ("depth-jump", MeasureKind::ContactTime, "0.31", 0.31),
        ("landmine-punch-throw", MeasureKind::PeakVelocity, "3.19", 3.19),
        ("trap-bar-jump", MeasureKind::JumpHeight, "16.3", 0.163),
        ("trap-bar-jump", MeasureKind::JumpHeight, "33.9", 0.339),
        ("landmine-split-jerk", MeasureKind::PeakVelocity, "1.93", 1.93),
        ("landmine-split-jerk", MeasureKind::MeanVelocity, "0.8", 0.8),
        ("isometric-mid-thigh-pull", MeasureKind::Force, "1988", 1988.0),
        ("isometric-mid-thigh-pull", MeasureKind::Force, "3928", 3928.0),
    ] {
        let exercise = exercise(&library, id);
        match read(typed, exercise.measure_of(kind).unwrap(), &nothing) {
            Entry::Accepted(value) => assert!((value - value_si).abs() < 1e-12, "{id} {typed}"),
            other => panic!("{id} {typed}: {other:?}"),
        }
    }
    for (id, typed, sentence) in [
        ("countermovement-jump", "385", "38.5 cm?"),
        ("countermovement-jump", "275", "27.5 cm?"),
        ("countermovement-jump", "0.385", "0.385 m = 38.5 cm?"),
        ("countermovement-jump", "15.2 in", "15.2 in = 38.6 cm?"),
        ("landmine-punch-throw", "261", "2.61 m/s?"),
        ("landmine-split-jerk", "171", "1.71 m/s?"),
    ] {
        match read(typed, &exercise(&library, id).measure, &nothing) {
            Entry::Ask { readings, .. } => assert_eq!(readings[0].sentence, sentence, "{id}"),
            other => panic!("{id} {typed}: {other:?}"),
        }
    }
    let contract = library.measure(MeasureKind::ContractWeight).unwrap();
    let weighs_64 = Prediction { mean_si: 64.0, sd_si: 4.0 };
    match read("130", contract, &Expected { prediction: Some(weighs_64), ..nothing }) {
        Entry::Ask { readings, .. } => assert_eq!(readings[0].sentence, "130 lb = 58.97 kg?"),
        other => panic!("{other:?}"),
    }
}

const ADDED: &str = r#"
[[exercise]]
id = "rope-skipping"
name = "Rope skipping"
family = "jumps"
patterns = ["ankle"]
qualities = ["reactive"]
load = "body-mass-only"
measures = ["repetitions"]
dose = { sets = [3, 6], repetitions = [100, 300], rest_s = [30, 60] }
cues = ["Whisper on the floor"]
faults = ["heels-slap"]
swaps = [{ hurt = "achilles", to = "box-jump" }]
"#;

#[test]
fn a_gym_adds_its_own_entries_after_the_built_in_ones() {
    let library = library().with_added("gym.toml", ADDED).unwrap();
    assert_eq!(library.in_order().last().unwrap().id.as_str(), "rope-skipping");
    assert_eq!(library.named("rope-skipping").unwrap().source, "common practice, no source");
}

/// The only fault found in the added file after one replacement, and its line.
fn only_fault(from: &str, to: &str) -> (EntryFault, usize, String) {
    assert!(ADDED.contains(from), "{from}");
    let changed = library().with_added("gym.toml", &ADDED.replace(from, to));
    let error = changed.expect_err("the added file has a fault");
    assert_eq!(error.problems.len(), 1, "{error}");
    let problem = &error.problems[0];
    (problem.fault.clone(), problem.line, error.to_string())
}

#[test]
fn a_faulty_entry_is_named_with_its_line_and_a_way_out() {
    let (_, line, sentence) = only_fault("\"box-jump\"", "\"bix-jump\"");
    assert_eq!(line, 3);
    assert_eq!(
        sentence,
        "gym.toml, line 3: rope-skipping: the swap for Achilles tendon leads to \"bix-jump\", \
         which is not in the library"
    );
}

#[test]
fn each_kind_of_fault_is_caught() {
    let fault = |from: &str, to: &str| only_fault(from, to).0;
    let nine = "one two three four five six seven eight nine";
    assert_eq!(
        fault("Whisper on the floor", nine),
        EntryFault::CueLength { cue: nine.into(), words: 9, most: 8 }
    );
    assert!(matches!(fault("Whisper on the floor", " "), EntryFault::CueLength { words: 0, .. }));
    assert_eq!(fault("rope-skipping", "Rope Skipping"), EntryFault::BadId);
    assert_eq!(fault("rope-skipping", "box-jump-"), EntryFault::BadId);
    assert_eq!(fault("rope-skipping", "pogo-hops"), EntryFault::DuplicateId);
    assert_eq!(
        fault("sets = [3, 6]", "sets = [6, 3]"),
        EntryFault::Inverted { field: "sets".into(), low: 6.0, high: 3.0 }
    );
    assert!(matches!(
        fault("family = \"jumps\"", "family = \"hops\""),
        EntryFault::UnknownWord { field: "family", .. }
    ));
    assert!(matches!(fault("[\"ankle\"]", "[]"), EntryFault::Empty { field: "patterns" }));
    assert!(matches!(
        fault("[\"heels-slap\"]", "[\"heals-slap\"]"),
        EntryFault::UnknownFault { .. }
    ));
    assert!(matches!(
        fault("\"box-jump\"", "\"rope-skipping\""),
        EntryFault::SwapToItself { hurt: "Achilles tendon" }
    ));
    let with = |line: &str| fault("cues =", &format!("{line}\ncues ="));
    assert_eq!(with("stop = { drop = 1.5 }"), EntryFault::SenselessStop);
    assert_eq!(
        with("stop = { under_window = 2 }"),
        EntryFault::StopWithoutWindow { measure: "repetitions" }
    );
    assert_eq!(
        with("limits = { repetitions = { usual = [1, 900] } }"),
        EntryFault::UsualOutsideHard { measure: "repetitions" }
    );
    assert!(matches!(
        with("limits = { repetitions = { hard = [nan, 900] } }"),
        EntryFault::Inverted { .. }
    ));
    assert_eq!(
        with("limits = { force = { usual = [1, 900] } }"),
        EntryFault::NotItsMeasure { field: "limits", measure: "force" }
    );
    assert!(matches!(
        with("fault_cues = { press-out = \"Arrive locked\" }"),
        EntryFault::CueForForeignFault { .. }
    ));
    assert!(matches!(with("colour = \"red\""), EntryFault::Unreadable(_)));
    assert!(matches!(fault("load = \"body-mass-only\"", ""), EntryFault::Unreadable(_)));
}

#[test]
fn a_measure_needs_a_unit_of_its_own_kind_and_stands_once() {
    let measure = |unit: &str| {
        let text = format!(
            "[[measure]]\nkind = \"force\"\nunit = \"{unit}\"\ndecimals = 0\nbetter = \"higher\"\n\
             hard = [1, 9]\nusual = [2, 3]\n"
        );
        library().with_added("gym.toml", &text).unwrap_err().problems[0].fault.clone()
    };
    assert_eq!(measure("kg"), EntryFault::WrongUnit { unit: "kg".into(), measure: "force" });
    assert_eq!(measure("stone"), EntryFault::WrongUnit { unit: "stone".into(), measure: "force" });
    assert_eq!(measure("N"), EntryFault::DuplicateId);
}

#[test]
fn every_faulty_entry_of_a_file_is_reported_at_once() {
    let twice = ADDED.replace("Whisper on the floor", "") + &ADDED.replace("rope-", "rapid-rope-");
    let broken = twice.replace("\"box-jump\"", "\"bix-jump\"");
    let error = library().with_added("gym.toml", &broken).unwrap_err();
    assert_eq!(error.problems.iter().map(|p| p.line).collect::<Vec<_>>(), [3, 16]);
    assert_eq!(error.to_string().lines().count(), 2);
}

#[test]
fn an_own_file_may_take_the_place_of_an_entry_and_changes_no_other() {
    let library = library();
    let own = library.read_own(std::iter::empty(), "gym.toml", ADDED).unwrap();
    assert_eq!(own.len(), 1);
    // The same file again, changed: it stands in place of the gym's own entry.
    let changed = ADDED.replace("Whisper on the floor", "Quiet as a mouse");
    let again = library.read_own(own.iter(), "gym.toml", &changed).unwrap();
    assert_eq!(again[0].cues[0].text, "Quiet as a mouse");
    // A library entry may be replaced too, and other entries may still lead to it.
    let pogo = ADDED.replace("rope-skipping", "pogo-hops");
    assert_eq!(
        library.read_own(std::iter::empty(), "gym.toml", &pogo).unwrap()[0].id.as_str(),
        "pogo-hops"
    );
    // Twice in one file is a slip, and a swap into nothing is one as well.
    let twice = format!("{ADDED}\n{ADDED}");
    let error = library.read_own(std::iter::empty(), "gym.toml", &twice).unwrap_err();
    assert_eq!(error.problems[0].fault, EntryFault::DuplicateId);
    let nowhere = ADDED.replace("\"box-jump\"", "\"bix-jump\"");
    assert!(library.read_own(std::iter::empty(), "gym.toml", &nowhere).is_err());
}

#[test]
fn every_entry_of_the_library_can_be_typed_into_the_form() {
    let library = library();
    for exercise in library.in_order() {
        let form = TypedExercise::of(exercise);
        let text = form.as_file().unwrap();
        let read = library.read_own(std::iter::empty(), "the form", &text);
        let read = read.unwrap_or_else(|error| panic!("{error}\n{text}"));
        let typed = &read[0];
        assert_eq!(typed.id, exercise.id);
        assert_eq!(typed.patterns, exercise.patterns);
        assert_eq!(typed.qualities, exercise.qualities);
        assert_eq!(typed.sides, exercise.sides);
        assert_eq!(typed.load_model, exercise.load_model);
        assert_eq!(typed.measure.kind, exercise.measure.kind);
        assert_eq!(typed.dose.sets, exercise.dose.sets);
        assert_eq!(typed.dose.rest, exercise.dose.rest);
        assert_eq!(typed.cautions, exercise.cautions);
        assert_eq!(typed.swaps.len(), exercise.swaps.len());
        let general = exercise.cues.iter().filter(|cue| cue.for_fault.is_none());
        assert!(typed.cues.iter().eq(general));
    }
}
