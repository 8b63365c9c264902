//! `cornerwork trace` as it is run: recordings with known answers, and inputs that must be refused
//! with one sentence.

#![allow(clippy::unwrap_used, reason = "helpers of a test may panic")]

use cornerwork_testkit::synthetic::bar_stroke::Stroke;
use cornerwork_testkit::synthetic::countermovement::SmoothJump;
use cornerwork_testkit::synthetic::drop::DropJump;
use cornerwork_testkit::synthetic::{hops, isometric, squat};
use serde_json::Value;
use std::io::Write;
use std::process::{Command, Output, Stdio};

/// Runs the command on standard input.
fn run(input: &[u8], arguments: &[&str]) -> Output {
    let mut program = Command::new(env!("CARGO_BIN_EXE_cornerwork"))
        .args(["trace", "-"])
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // A program that refuses early closes its input; that is no failure of the test.
    let _ = program.stdin.take().unwrap().write_all(input);
    program.wait_with_output().unwrap()
}

fn json(input: &[u8], arguments: &[&str]) -> Value {
    let output = run(input, &[arguments, &["--json"]].concat());
    let error = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(0), "{error}");
    assert_eq!(error, "");
    serde_json::from_slice(&output.stdout).unwrap()
}

/// Code 1, nothing on standard output, one sentence on standard error.
fn refusal(input: &[u8], arguments: &[&str]) -> String {
    let output = run(input, arguments);
    let error = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(1), "{error}");
    assert!(output.stdout.is_empty());
    assert_eq!(error.lines().count(), 1, "{error}");
    assert!(error.ends_with(".\n") && error.starts_with(char::is_uppercase), "{error}");
    error
}

fn column(name: &str, values: &[f64]) -> Vec<u8> {
    let rows: String = values.iter().map(|value| format!("{value:?}\n")).collect();
    format!("{name}\n{rows}").into_bytes()
}

fn columns(names: &str, values: &[&[f64]]) -> Vec<u8> {
    let mut text = format!("{names}\n");
    for index in 0..values[0].len() {
        let row: Vec<String> = values.iter().map(|one| format!("{:?}", one[index])).collect();
        text += &(row.join(",") + "\n");
    }
    text.into_bytes()
}

fn near(value: &Value, key: &str, expected: f64, tolerance: f64) {
    let found = value[key].as_f64().unwrap_or_else(|| panic!("{key} is absent: {value:#}"));
    assert!((found - expected).abs() <= tolerance, "{key}: {found}, expected {expected}");
}

fn notes(value: &Value) -> Vec<&str> {
    value["notes"].as_array().unwrap().iter().map(|note| note["id"].as_str().unwrap()).collect()
}

const JUMP: [&str; 4] = ["--kind", "countermovement-jump", "--rate", "1000"];

// The truth is closed form (see the test kit); tolerances are those a threshold at 5 N and steps
// of 1 ms leave: 2 ms on events, 1.5 mm on heights, half a newton second on impulse.
#[test]
fn a_countermovement_jump_has_its_known_numbers() {
    let jump = SmoothJump::default();
    let truth = jump.truth();
    let answer = json(&column("force_n", &jump.force_n(1000.0)), &JUMP);
    assert_eq!(answer["schema"], "cornerwork.trace.1");
    near(&answer, "body_mass_kg", jump.mass_kg, 0.001);
    near(&answer, "take_off_s", truth.take_off_s, 0.002);
    near(&answer, "landing_s", truth.landing_s, 0.002);
    near(&answer, "height_from_impulse_m", truth.height_m, 0.0015);
    near(&answer, "height_from_flight_time_m", truth.height_m, 0.0015);
    near(&answer, "take_off_velocity_m_s", truth.take_off_velocity_m_s, 0.005);
    near(&answer, "net_impulse_n_s", truth.momentum_n_s, 0.5);
    near(&answer, "peak_force_n", truth.peak_force_n, 0.1);
    near(&answer, "countermovement_depth_m", -truth.bottom.1, 0.0005);
    let (braking, bottom) = (truth.fastest_descent.0, truth.bottom.0);
    near(&answer, "braking_duration_s", bottom - braking, 0.002);
    near(&answer, "propulsion_duration_s", truth.take_off_s - bottom, 0.002);
    for key in [
        "onset_s",
        "peak_power_w",
        "mean_power_w",
        "time_to_take_off_s",
        "flight_time_s",
        "reactive_strength_index_modified",
    ] {
        assert!(answer[key].as_f64().is_some_and(|value| value > 0.0), "{key}");
    }
    // Standing has no contact time: that is a name of rebounds.
    assert!(answer.get("contact_time_s").is_none());
    for key in [
        "height_from_impulse_m",
        "take_off_velocity_m_s",
        "net_impulse_n_s",
        "height_from_flight_time_m",
        "body_mass_kg",
        "system_mass_kg",
    ] {
        let value = answer[key].as_f64().unwrap();
        let ends = answer[format!("{key}_interval")].as_array().unwrap();
        assert!(ends[0].as_f64().unwrap() <= value && value <= ends[1].as_f64().unwrap(), "{key}");
    }
    // A trace without noise has next to no doubt; the trapezoid rule leaves 0.05 mm.
    let end = |place: usize| answer["height_from_impulse_m_interval"][place].as_f64().unwrap();
    assert!(end(0) < truth.height_m + 5e-5 && end(1) > truth.height_m - 5e-5);
    let phases: Vec<&str> =
        answer["phases"].as_array().unwrap().iter().map(|p| p["name"].as_str().unwrap()).collect();
    assert_eq!(phases, ["weighing", "unweighting", "braking", "propulsion", "flight", "landing"]);
    assert!(answer.get("asymmetry").is_none());
}

#[test]
fn load_on_the_shoulders_is_taken_from_the_weighed_mass() {
    let jump = SmoothJump::default();
    let input = column("force_n", &jump.force_n(1000.0));
    let answer = json(&input, &[&JUMP[..], &["--bar", "20", "--body-mass", "55"]].concat());
    near(&answer, "body_mass_kg", jump.mass_kg - 20.0, 0.001);
    near(&answer, "system_mass_kg", jump.mass_kg, 0.001);
    let wrong = json(&input, &[&JUMP[..], &["--body-mass", "71"]].concat());
    assert!(notes(&wrong).contains(&"mass-mismatch"), "{:?}", notes(&wrong));
}

#[test]
fn two_plates_give_sides_by_phase() {
    let (left, right) = SmoothJump::default().sides_n(1000.0, 0.56, 0.48);
    let answer = json(&columns("left,right", &[&left, &right]), &JUMP);
    let rows = answer["asymmetry"].as_array().unwrap();
    let mean = |phase: &str| {
        let row = rows
            .iter()
            .find(|row| row["phase"] == phase && row["quantity"] == "mean_force_n")
            .unwrap();
        row["index_percent"].as_f64().unwrap()
    };
    // Shares of 0.56 and 0.48: (0.56 - 0.44) and (0.48 - 0.52) of the total.
    assert!((mean("braking") - 12.0).abs() < 0.2, "{}", mean("braking"));
    assert!((mean("propulsion") + 4.0).abs() < 0.2, "{}", mean("propulsion"));
}

#[test]
fn the_other_kinds_have_their_known_numbers() {
    let jump = squat::SquatJump::default();
    let velocity = jump.take_off_velocity_m_s();
    let answer = json(
        &column("force_n", &jump.force_n(1000.0)),
        &["--kind", "squat-jump", "--rate", "1000"],
    );
    near(&answer, "take_off_velocity_m_s", velocity, 0.005);

    let jump = DropJump::default();
    let answer = json(
        &column("force_n", &jump.force_n(1000.0, 0.5)),
        &["--kind", "drop-jump", "--rate", "1000"],
    );
    near(&answer, "contact_time_s", jump.contact_s, 0.001);
    near(&answer, "flight_time_s", jump.flight_s(), 0.002);
    near(&answer, "drop_height_m", jump.drop_m, 0.005);
    near(&answer, "reactive_strength_index", jump.height_m / jump.contact_s, 0.01);

    // g T²/8 over contact: 9.80665 · 0.25 / 8 / 0.2 = 1.532289.
    let series = hops::half_sines(70.0, &[(0.2, 0.5); 12], 1000.0);
    let answer = json(
        &column("force_n", &series),
        &["--kind", "repeated-jump", "--rate", "1000", "--body-mass", "70"],
    );
    near(&answer, "reactive_strength_index", 1.532_289, 0.004);
    assert_eq!(answer["hops_all"].as_array().unwrap().len() as f64, answer["hops"]);

    // 800 + 2000 (1 - e^(-t/0.1)): 2529.329 N at 200 ms; the onset is found 1 ms late.
    let effort = isometric::exponential(800.0, 2000.0, 0.1).sample(1000.0);
    let answer = json(&column("force_n", &effort), &["--kind", "isometric", "--rate", "1000"]);
    near(&answer, "body_weight_n", 800.0, 0.001);
    near(&answer["force_n_at"], "200", 2529.329, 4.0);
    near(&answer["rate_of_force_development_n_s"], "0_100", 12_642.4, 150.0);

    let stroke = Stroke { range_m: 0.5, duration_s: 0.8 };
    let answer = json(
        &column("position_m", &stroke.set(3).sample(200.0)),
        &["--kind", "bar", "--rate", "200"],
    );
    let reps = answer["reps"].as_array().unwrap();
    assert_eq!(reps.len(), 3);
    for rep in reps {
        near(rep, "range_m", 0.5, 0.005);
        near(rep, "peak_velocity_m_s", stroke.peak_velocity_m_s(), 0.02);
    }
}

#[test]
fn what_cannot_be_had_is_absent_and_a_note_says_why() {
    let force = SmoothJump::default().force_n(100.0);
    let answer =
        json(&column("force_n", &force), &["--kind", "countermovement-jump", "--rate", "100"]);
    assert!(answer.get("height_from_impulse_m").is_none());
    assert!(answer["height_from_flight_time_m"].as_f64().is_some());
    assert!(notes(&answer).contains(&"sample-rate-too-low"));
    assert!(!answer.to_string().contains("null"));
}

#[test]
fn explaining_gives_definition_source_and_rules() {
    let input = column("force_n", &SmoothJump::default().force_n(1000.0));
    let answer = json(&input, &[&JUMP[..], &["--explain"]].concat());
    let metrics = answer["explain"]["metrics"].as_array().unwrap();
    assert!(metrics.iter().all(|one| one["source"].as_str().is_some_and(|s| !s.is_empty())));
    assert!(answer["explain"]["rules"].as_str().unwrap().contains("window_s: 1.0"));
    let text =
        String::from_utf8(run(&input, &[&JUMP[..], &["--explain"]].concat()).stdout).unwrap();
    assert!(text.contains("height from impulse") && text.contains("Linthorne 2001"));
}

/// The formula with the values put in: its own arithmetic must hold to the figures it prints.
#[test]
fn explaining_works_the_number_out_from_what_it_is_from() {
    let input = column("force_n", &SmoothJump::default().force_n(1000.0));
    let answer = json(&input, &[&JUMP[..], &["--explain"]].concat());
    let workings = answer["working"].as_array().unwrap();
    let titled = |start: &str| {
        let found = workings.iter().find(|one| one["title"].as_str().unwrap().starts_with(start));
        found.unwrap_or_else(|| panic!("{start} is absent: {workings:#?}"))
    };
    let height = titled("height from impulse: ");
    assert_eq!(height["method"], "countermovement-jump");
    let input_of = &height["inputs"][0];
    assert_eq!(input_of["name"], "take-off velocity");
    let velocity: f64 =
        input_of["value"].as_str().unwrap().strip_suffix(" m/s").unwrap().parse().unwrap();
    let expected = format!("{velocity:.3}² / (2 × 9.807) = ");
    let step = height["steps"][1].as_str().unwrap();
    let result = step.strip_prefix(&expected).unwrap_or_else(|| panic!("{step}"));
    let result: f64 = result.strip_suffix(" m").unwrap().parse().unwrap();
    assert!((result - velocity * velocity / (2.0 * 9.807)).abs() < 1e-3, "{step}");
    // What is read off the trace itself has its definition and no formula.
    assert_eq!(titled("take-off: ")["steps"].as_array().unwrap().len(), 1);
    let text = run(
        &column("force_n", &SmoothJump::default().force_n(1000.0)),
        &[&JUMP[..], &["--explain"]].concat(),
    );
    let text = String::from_utf8(text.stdout).unwrap();
    assert!(text.contains(&format!("  step    {step}\n")), "{text}");
}

#[test]
fn the_picture_is_written_with_phases_and_motion() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("jump.svg");
    let input = column("force_n", &SmoothJump::default().force_n(1000.0));
    let output = run(&input, &[&JUMP[..], &["--svg", path.to_str().unwrap()]].concat());
    assert_eq!(output.status.code(), Some(0));
    let picture = std::fs::read_to_string(&path).unwrap();
    for word in ["propulsion", "velocity", "displacement", "power", "take-off"] {
        assert!(picture.contains(word), "{word}");
    }
}

/// A countermovement jump with time in seconds, changed row by row.
fn spoiled(change: impl Fn(usize, f64, f64) -> String) -> Vec<u8> {
    let force = SmoothJump::default().force_n(1000.0);
    let rows = force.iter().enumerate().map(|(i, &force)| change(i, i as f64 / 1000.0, force));
    format!("time_s,force_n\n{}", rows.collect::<String>()).into_bytes()
}

#[test]
fn unusable_input_is_refused_with_its_place() {
    let kind = &JUMP[..2];
    let is = |i: usize, bad: &str, time: f64, force: f64| {
        if i == 700 { bad.to_owned() } else { format!("{time:?},{force:?}\n") }
    };
    for (bad, said) in [
        ("0.7,NaN\n", "Line 702"),
        ("0.7,inf\n", "Line 702"),
        ("0.7,lost\n", "Line 702"),
        ("0.7,0x1p3\n", "Line 702"),
        ("0.7\n", "Line 702"),
        ("0.7,1,2\n", "Line 702"),
        ("0.7,\n", "Line 702"),
        ("-5,735\n", "backward at sample 700"),
    ] {
        let error = refusal(&spoiled(|i, t, f| is(i, bad, t, f)), kind);
        assert!(error.contains(said), "{bad}: {error}");
    }
    let scaled = |factor: f64| spoiled(|_, t, f| format!("{t:?},{:?}\n", f * factor));
    for (input, said) in [
        (b"".to_vec(), "empty"),
        (b"time_s,force_n\n".to_vec(), "no rows"),
        (scaled(0.001), "newtons"),
        (scaled(1.0 / 735.0), "newtons"),
        (scaled(1000.0), "newtons"),
        (spoiled(|_, t, _| format!("{t:?},0\n")), "never reaches"),
        (spoiled(|_, t, _| format!("{t:?},1\n")), "never reaches"),
        (spoiled(|_, t, _| format!("{t:?},735\n")), "no flight"),
        (column("force_n", &[700.0; 3000]), "--rate"),
        (columns("a,b,c", &[&[1.0; 9], &[2.0; 9], &[3.0; 9]]), "--columns force=name"),
        (b"700,1\n701,2\n702,3\n".to_vec(), "--decimal point or --decimal comma"),
        (columns("time_s,force_n", &[&[0.0; 9], &[700.0; 9]]), "--rate hz --columns time=none"),
    ] {
        let error = refusal(&input, kind).to_lowercase();
        assert!(error.contains(&said.to_lowercase()), "{said}: {error}");
    }
    let input = spoiled(|_, t, f| format!("{t:?},{f:?}\n"));
    assert!(
        refusal(&input, &JUMP[..2].iter().copied().chain(["--rate", "800"]).collect::<Vec<_>>())
            .contains("800")
    );
}

/// The sentences of the readers are those of the pages too; what option helps is added here.
#[test]
fn plates_added_up_say_by_which_option_to_part_them() {
    let half: Vec<f64> = SmoothJump::default().force_n(1000.0).iter().map(|f| f / 2.0).collect();
    let answer = json(&columns("Fz1,Fz2", &[&half, &half]), &JUMP);
    let notes = answer["notes"].as_array().unwrap();
    let note = notes.iter().find(|note| note["id"] == "plates-added-up").unwrap();
    let text = note["text"].as_str().unwrap();
    assert!(text.starts_with("2 plates are added up."), "{text}");
    assert!(text.contains("--columns left=NAME,right=NAME"), "{text}");
}

#[test]
fn the_same_jump_in_other_writing_has_the_same_numbers() {
    let kind = &JUMP[..2];
    let height = |input: &[u8]| json(input, kind)["height_from_impulse_m"].as_f64().unwrap();
    let plain = height(&spoiled(|_, t, f| format!("{t:?},{f:?}\n")));
    let force = SmoothJump::default().force_n(1000.0);
    let written = |head: &str, row: &dyn Fn(usize, f64) -> String| {
        let rows: String = force.iter().enumerate().map(|(i, f)| row(i, *f)).collect();
        format!("{head}{rows}").into_bytes()
    };
    let comma = |value: f64| format!("{value:?}").replace('.', ",");
    for (input, tolerance) in [
        (written("\u{feff}Zeit (ms);Kraft (N)\r\n", &|i, f| format!("{i};{}\r\n", comma(f))), 1e-9),
        (written("t [ms]\tFz [kN]\t\n", &|i, f| format!("{i}\t{:?}\t\n", f / 1000.0)), 1e-9),
        (
            written("time_ms,force_lbf\n", &|i, f| format!("{i},{:?}\n", f / 4.448_221_615_260_5)),
            1e-9,
        ),
        // Down positive: the trial turns it round.
        (written("time_ms,force_n\n", &|i, f| format!("{i},{:?}\n", -f)), 1e-9),
        // One clock, half the force on each of two numbered plates.
        (written("time_ms,Fz1,Fz2\n", &|i, f| format!("{i},{:?},{:?}\n", f / 2.0, f / 2.0)), 1e-9),
        // Whole newtons: a coarse converter costs under two millimetres.
        (written("time_ms,force_n\n", &|i, f| format!("{i},{f:.0}\n")), 0.002),
    ] {
        let other = height(&input);
        assert!((other - plain).abs() <= tolerance, "{other} {plain}");
    }
}

#[test]
fn wrong_use_is_code_two() {
    for arguments in [
        &["--kind", "dance"][..],
        &["--kind", "bar", "--rate", "-5"],
        &["--kind", "bar", "--body-mass", "0"],
        &["--kind", "bar", "--bar", "nan"],
        &["--kind", "bar", "--columns", "thrust=a"],
        &[],
    ] {
        assert_eq!(run(b"1\n2\n", arguments).status.code(), Some(2), "{arguments:?}");
    }
    let output = Command::new(env!("CARGO_BIN_EXE_cornerwork"))
        .args(["trace", "no-such-file.csv", "--kind", "bar"])
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&output.stderr).contains("no-such-file.csv"));
}

/// The rules themselves are held by the core's tests; here that the switches reach them.
#[test]
fn drift_is_taken_off_only_when_asked() {
    let drifting = |n_s: f64| -> Vec<f64> {
        let force = SmoothJump::default().force_n(1000.0);
        let empty = vec![0.0; 1000];
        let whole = [empty.clone(), force, empty].concat();
        whole.iter().enumerate().map(|(i, force)| force + n_s * i as f64 / 1000.0).collect()
    };
    let input = column("force_n", &drifting(2.0));
    let plain = json(&input, &JUMP);
    assert!(notes(&plain).contains(&"zero-drift"), "{plain:#}");
    let levelled = json(&input, &[&JUMP[..], &["--level-zero"]].concat());
    assert!(notes(&levelled).contains(&"zero-drift-taken-off"));
    near(&levelled, "height_from_impulse_m", SmoothJump::default().truth().height_m, 1.5e-3);

    let force: Vec<f64> = drifting(2.0)[1000..].to_vec();
    let still = force.len() - 1000;
    let input = column("force_n", &force[..still]);
    assert!(notes(&json(&input, &JUMP)).contains(&"integration-drift"));
    let closed = json(&input, &[&JUMP[..], &["--close-velocity"]].concat());
    assert!(notes(&closed).contains(&"drift-taken-off"));
    near(&closed, "closing_velocity_m_s", 0.0, 1e-9);

    let pull = ["--kind", "isometric", "--rate", "1000", "--level-zero"];
    assert!(refusal(&input, &pull).contains("Leave out --level-zero: the empty plate"));
    let drop = ["--kind", "drop-jump", "--rate", "1000", "--close-velocity"];
    assert!(refusal(&input, &drop).contains("Leave out --close-velocity: only"));
}
