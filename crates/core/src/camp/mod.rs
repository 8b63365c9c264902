//! The camp: back from the bout to the day, and what keeps an athlete safe on the way.
//!
//! [`training_load`] and [`body_mass`] describe; [`stand_down`], [`stop_sign`], [`consent`] and
//! [`permission`] are hard rules; [`safety`] is what stands on record of them.

pub mod body_mass;
pub mod bout_facts;
pub mod camp_change;
pub mod camp_plan;
pub mod camp_refusal;
pub mod camps;
pub mod consent;
pub mod contest;
pub mod day;
pub mod difference;
pub mod fight_night;
pub mod hand_over;
pub mod history;
pub mod message;
pub mod permission;
pub mod phase;
pub mod safety;
pub mod safety_change;
pub mod safety_refusal;
pub mod stand_down;
pub mod stand_down_rules;
pub mod stop_sign;
pub mod training_load;
pub mod travel;
pub mod venue;
