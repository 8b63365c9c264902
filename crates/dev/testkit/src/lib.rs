//! What tests stand on: traces whose truth is known in closed form.

pub mod synthetic;
