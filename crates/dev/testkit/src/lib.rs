//! What tests stand on: traces and athletes whose truth is known in closed form.

pub mod calibration;
pub mod falling_athlete;
pub mod first_evening;
pub mod jumping_athlete;
pub mod lifting_squad;
pub mod load_test_simulation;
pub mod load_velocity_simulation;
pub mod momentum_loss;
pub mod synthetic;
pub mod training_evening;
