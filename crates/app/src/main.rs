//! x
#[allow(dead_code, unused_imports, reason = "wired by the demo command")]
mod demo;

fn main() {}
