//! `profile force-velocity`.

use crate::run::{json, misused, near, note_ids, refused, run};

const JUMPS: &str = "load_kg,height_cm\n0,38\n20,28.993\n40,22.22\n60,16.941\n80,12.724\n";
const COMMAND: &str = "profile force-velocity - --body-mass 80 --push-off 0.40 --gravity 9.81";

// Heights made in numpy from the straight line F0 35.105 N/kg, V0 3.0 m/s with M 80 kg, push-off
// 0.40 m and g 9.81 m/s² (equations of Samozino et al. 2008, J Biomech 41:2940), rounded to
// 0.01 mm.
#[test]
fn heights_from_a_known_line_give_the_line_back() {
    let found = json(COMMAND, JUMPS);
    assert_eq!(found["schema"], "cornerwork/profile-force-velocity/1");
    near(&found, "force_at_no_velocity_n", 2808.42, 0.5);
    near(&found, "velocity_at_no_force_m_s", 3.0, 1e-3);
    near(&found, "maximal_power_w", 26.329 * 80.0, 0.5);
    near(&found, "slope_n_s_m_kg", -11.7018, 5e-3);
    let forces = [1530.4, 1692.1, 1831.1, 1955.1, 2068.9];
    let velocities = [1.3652, 1.1925, 1.0440, 0.9116, 0.7900];
    for (at, (force, velocity)) in forces.into_iter().zip(velocities).enumerate() {
        near(&found, &format!("points.{at}.force_n"), force, 0.06);
        near(&found, &format!("points.{at}.velocity_m_s"), velocity, 6e-5);
    }
    assert!(!found.to_string().contains("null"));
}

#[test]
fn it_is_never_shown_without_the_case_against_it() {
    let found = json(COMMAND, JUMPS);
    let notes = note_ids(&found);
    for id in ["hypothesis-not-a-prescription", "unreliable-between-days"] {
        assert!(notes.contains(&id), "{id}");
    }
    // One jump a load cannot tell a balance of 84 % from 100 %.
    assert!(found.get("balance_percent").is_none());
    assert!(notes.contains(&"balance-not-told-apart"));
    let words = run(COMMAND, JUMPS).out;
    assert!(words.starts_with("A hypothesis, not a prescription: 2808 N"), "{words}");
}

#[test]
fn what_makes_no_line_is_refused() {
    for (table, expected) in [
        ("load_kg,height_cm\n0,38\n", "two different loads; there are 1"),
        ("load_kg,height_cm\n0,20\n40,38\n", "no physical line"),
        ("load_kg,height_cm\n0,38\n-40,20\n", "Line 3: Jump 2"),
        ("", "The table is empty"),
    ] {
        let sentence = refused(COMMAND, table);
        assert!(sentence.contains(expected), "{table:?}: {sentence}");
    }
    let push_off = "profile force-velocity - --body-mass 80 --push-off 40";
    assert!(refused(push_off, JUMPS).contains("A push-off distance of 40 m"));
    misused("profile force-velocity - --body-mass 80");
}
