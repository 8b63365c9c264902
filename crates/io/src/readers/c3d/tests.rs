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

// Three byte orders, integers and floats, types 1 to 4, signs included. Where only the reader that
// does not turn plates into the laboratory knows a file, its force is along the plate's own third
// axis, which points down in types 1 to 3: ours is its negative, to a part in a thousand.
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
            check_turned(name, &file, &expected["pyc3d"]);
        }
        compared += 1;
    }
    assert!(compared >= 16, "{compared}");
}

fn check_turned(name: &str, file: &[u8], expected: &Value) {
    let capture = force(file, &[], None).unwrap_or_else(|error| panic!("{name}: {error}"));
    for (plate, expected) in capture.plates.iter().zip(expected["plates"].as_array().unwrap()) {
        let [low, high, _] = statistics(&plate.vertical_force_n);
        let known = |which: &str| expected[which].as_f64().unwrap();
        let tolerance = 1e-3 * known("min").abs().max(known("max").abs());
        for (found, known) in [(low, -known("max")), (high, -known("min"))] {
            assert!((found - known).abs() < tolerance, "{name}: {found}, expected {known}");
        }
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

/// A C3D file of one plate, written by the standard.
struct Written {
    code: u8,
    floating: bool,
    kind: u8,
    /// Samples of eight channels.
    samples: Vec<[i16; 8]>,
    samples_a_frame: usize,
    scale: f32,
    offset: i16,
}

impl Written {
    fn word(&self, value: i16) -> [u8; 2] {
        if self.code == 86 { value.to_be_bytes() } else { value.to_le_bytes() }
    }

    fn float(&self, value: f32) -> [u8; 4] {
        match self.code {
            86 => value.to_be_bytes(),
            85 => {
                let [a, b, c, d] = (value * 4.0).to_le_bytes();
                [c, d, a, b]
            }
            _ => value.to_le_bytes(),
        }
    }

    fn record(&self, group: i8, name: &str, content: &[u8]) -> Vec<u8> {
        let mut record = vec![name.len() as u8, group.cast_unsigned()];
        record.extend(name.as_bytes());
        record.extend(self.word(content.len() as i16 + 3));
        record.extend(content);
        record.push(0);
        record
    }

    fn words(&self, group: i8, name: &str, dimensions: &[u8], values: &[i16]) -> Vec<u8> {
        let mut content = vec![2, dimensions.len() as u8];
        content.extend(dimensions);
        content.extend(values.iter().flat_map(|&value| self.word(value)));
        self.record(group, name, &content)
    }

    fn floats(&self, group: i8, name: &str, dimensions: &[u8], values: &[f32]) -> Vec<u8> {
        let mut content = vec![4, dimensions.len() as u8];
        content.extend(dimensions);
        content.extend(values.iter().flat_map(|&value| self.float(value)));
        self.record(group, name, &content)
    }

    fn parameters(&self) -> Vec<u8> {
        let channels = if self.kind == 3 { 8 } else { 6 };
        let numbers: Vec<i16> = (1..=channels).map(i16::from).collect();
        // Twice each channel on the diagonal.
        let matrix: Vec<f32> = (0..36).map(|i| if i % 7 == 0 { 2.0 } else { 0.0 }).collect();
        let mut all = vec![1, MARK, 3, self.code];
        all.extend(self.record(-1, "ANALOG", &[]));
        all.extend(self.record(-2, "FORCE_PLATFORM", &[]));
        all.extend(self.words(2, "USED", &[], &[1]));
        all.extend(self.words(2, "TYPE", &[1], &[i16::from(self.kind)]));
        all.extend(self.words(2, "CHANNEL", &[channels, 1], &numbers));
        all.extend(self.floats(2, "CAL_MATRIX", &[6, 6, 1], &matrix));
        all.extend(self.floats(1, "GEN_SCALE", &[], &[0.5]));
        all.extend(self.floats(1, "SCALE", &[8], &[self.scale; 8]));
        all.extend(self.words(1, "OFFSET", &[8], &[self.offset; 8]));
        all.push(0);
        all.resize(3 * BLOCK, 0);
        all
    }

    fn bytes(&self) -> Vec<u8> {
        let frames = self.samples.len() / self.samples_a_frame;
        let mut file = vec![2, MARK];
        let words = [0, 8 * self.samples_a_frame as i16, 1, frames as i16, 0];
        file.extend(words.into_iter().flat_map(|word| self.word(word)));
        file.extend(self.float(if self.floating { -1.0 } else { 1.0 }));
        file.extend([5, self.samples_a_frame as i16].into_iter().flat_map(|word| self.word(word)));
        file.extend(self.float(100.0));
        file.resize(BLOCK, 0);
        file.extend(self.parameters());
        for value in self.samples[..frames * self.samples_a_frame].iter().flatten() {
            if self.floating {
                file.extend(self.float(f32::from(*value)));
            } else {
                file.extend(self.word(*value));
            }
        }
        file
    }

    /// Vertical force by the definition of each type.
    fn vertical_n(&self, sample: &[i16; 8]) -> f64 {
        let scaled = |channel: usize| {
            (f64::from(sample[channel]) - f64::from(self.offset)) * f64::from(self.scale) * 0.5
        };
        match self.kind {
            3 => (4..8).map(scaled).sum(),
            4 => 2.0 * scaled(2),
            _ => scaled(2),
        }
    }
}

proptest! {
    #[test]
    fn what_is_written_by_the_standard_comes_back(
        code in 84u8..=86,
        floating in any::<bool>(),
        kind in 1u8..=4,
        samples in prop::collection::vec(any::<[i16; 8]>(), 8..200),
        samples_a_frame in 1usize..8,
        scale in 0.001f32..10.0,
        offset in -2048i16..2048,
    ) {
        let file = Written { code, floating, kind, samples, samples_a_frame, scale, offset };
        let capture = force(&file.bytes(), &[], None).unwrap();
        prop_assert_eq!(capture.time, Sampling::Rate(100.0 * samples_a_frame as f64));
        let values = &capture.plates[0].vertical_force_n;
        prop_assert_eq!(values.len(), file.samples.len() / samples_a_frame * samples_a_frame);
        for (value, sample) in values.iter().zip(&file.samples) {
            let expected = file.vertical_n(sample);
            prop_assert!((value - expected).abs() <= 1e-9 * expected.abs().max(1.0));
        }
    }
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
