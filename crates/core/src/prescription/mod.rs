//! A profile, a goal and the kit become what to do.

pub mod next_load;
