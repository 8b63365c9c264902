//! Any bytes as C3D: an answer or an error.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let _ = cornerwork_io::readers::c3d::force(bytes, &[], None);
});
