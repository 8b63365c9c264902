//! C3D against two general readers of the format, and files that are not what they say.

use super::*;
use proptest::prelude::*;
use serde_json::Value;
use std::path::PathBuf;

const ROOT: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../testdata/");

/// Numbers of two general readers from the package index, see `testdata/golden/c3d.json`.
fn golden() -> Value {
    serde_json::from_slice(&std::fs::read(format!("{ROOT}golden/c3d.json")).unwrap()).unwrap()
}

fn statistics(values: &[f64]) -> [f64; 3] {
    let low = values.iter().copied().fold(f64::INFINITY, f64::min);
    let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    [low, high, values.iter().sum::<f64>() / values.len() as f64]
}

/// The files differ from the readers by no more than single precision in scales and corners.
fn near(name: &str, found: f64, expected: f64) {
    let tolerance = 2e-6 * expected.abs().max(100.0);
    assert!((found - expected).abs() < tolerance, "{name}: {found}, expected {expected}");
}

fn check(name: &str, file: &[u8], expected: &Value) {
    let capture = force(file, &[], None).unwrap_or_else(|error| panic!("{name}: {error}"));
    assert_eq!(capture.time, Sampling::Rate(expected["analog_rate"].as_f64().unwrap()), "{name}");
    let plates = expected["plates"].as_array().unwrap();
    assert_eq!(capture.plates.len(), plates.len(), "{name}");
    for (plate, expected) in capture.plates.iter().zip(plates) {
        let values = &plate.vertical_force_n;
        let [low, high, mean] = statistics(values);
        near(name, low, expected["Fz_min"].as_f64().unwrap());
        near(name, high, expected["Fz_max"].as_f64().unwrap());
        near(name, mean, expected["Fz_mean"].as_f64().unwrap());
        for (value, first) in values.iter().zip(expected["Fz_first"].as_array().unwrap()) {
            near(name, *value, first.as_f64().unwrap());
        }
    }
}

// Gait.c3d of the open course, doi 10.5281/zenodo.4599319, CC BY 4.0: two plates of type 4.
#[test]
fn calibrated_plates_agree_with_a_general_reader() {
    let file = std::fs::read(format!("{ROOT}open/bmc_jumps/Gait.c3d")).unwrap();
    check("Gait.c3d", &file, &golden()["bmc_jumps/Gait.c3d"]["ezc3d"]);
    let sides =
        force(&file, &[(PlatePlace::Left, 2), (PlatePlace::Right, 1)], Some(1000.0)).unwrap();
    assert_eq!(sides.plates[0].place, PlatePlace::Left);
    assert!(matches!(
        force(&file, &[(PlatePlace::Left, 3)], None),
        Err(C3dError::UnknownPlate { asked: 3, plates: 2 })
    ));
    assert!(matches!(force(&file, &[], Some(500.0)), Err(C3dError::RatesDisagree { .. })));
}

fn samples() -> Option<PathBuf> {
    let folder = std::env::var_os("CORNERWORK_OPEN_DATA").map(PathBuf::from);
    let folder = folder.filter(|folder| folder.join("c3d_samples").is_dir());
    if folder.is_none() {
        println!("skipped: CORNERWORK_OPEN_DATA names no folder with c3d_samples");
    }
    folder
}

// Three byte orders, integers and floats, types 1 to 4. Where only the reader that does not turn
// plates into the laboratory knows a file, sizes agree to a part in a thousand and signs not.
#[test]
fn sample_files_agree_with_general_readers() {
    let Some(folder) = samples() else { return };
    let golden = golden();
    let mut compared = 0;
    for (name, expected) in golden.as_object().unwrap() {
        let path = folder.join(name);
        if name == "origin" || !path.exists() {
            continue;
        }
        let file = std::fs::read(&path).unwrap();
        let general = &expected["ezc3d"];
        if general["plates"].as_array().is_some_and(|plates| !plates.is_empty()) {
            check(name, &file, general);
        } else {
            check_sizes(name, &file, &expected["pyc3d"]);
        }
        compared += 1;
    }
    assert!(compared >= 16, "{compared}");
}

fn check_sizes(name: &str, file: &[u8], expected: &Value) {
    let capture = force(file, &[], None).unwrap_or_else(|error| panic!("{name}: {error}"));
    for (plate, expected) in capture.plates.iter().zip(expected["plates"].as_array().unwrap()) {
        let [low, high, _] = statistics(&plate.vertical_force_n);
        let size = high.abs().max(low.abs());
        let low = expected["min"].as_f64().unwrap().abs();
        let known = low.max(expected["max"].as_f64().unwrap().abs());
        assert!((size / known - 1.0).abs() < 1e-3, "{name}: {size}, expected {known}");
    }
}

fn gait() -> Vec<u8> {
    std::fs::read(format!("{ROOT}open/bmc_jumps/Gait.c3d")).unwrap()
}

#[test]
fn a_file_cut_short_names_the_byte() {
    let file = gait();
    for length in [0, 1, 100, 511] {
        assert!(matches!(force(&file[..length], &[], None), Err(C3dError::NotC3d)));
    }
    for length in [512, 515, 600, 5000, 100_000, file.len() - 1000] {
        assert!(force(&file[..length], &[], None).is_err(), "{length}");
    }
    let error = force(&file[..100_000], &[], None).unwrap_err();
    assert!(
        matches!(error, C3dError::Truncated { what: "the data", length: 100_000, .. }),
        "{error}"
    );
    let mut wrong = file;
    wrong[512 + 3] = 7;
    assert!(matches!(
        force(&wrong, &[], None),
        Err(C3dError::UnknownProcessor { at: 515, code: 7 })
    ));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn no_change_of_a_few_bytes_makes_it_panic(
        changes in prop::collection::vec((0usize..12_000, any::<u8>()), 1..12)
    ) {
        let mut file = gait();
        for (at, byte) in changes {
            file[at] = byte;
        }
        file[1] = MARK;
        let _ = force(&file, &[], None);
    }
}
