//! What many trials of one athlete say together, as curves and changes with their doubt.

pub mod baseline;
pub mod change;
pub mod force_velocity;
pub mod likeness;
pub mod load_momentum;
pub mod load_velocity;
pub mod peers;
pub mod pooled_momentum;
pub mod pooled_velocity;
pub mod published_noise;
pub mod sensor_offset;
pub mod series_noise;
pub mod sides;
pub mod test_day;
pub mod verdict;
pub mod warm_up_delay;
pub mod weekly_chart;
pub mod within_athlete;
pub mod wrong_athlete;
