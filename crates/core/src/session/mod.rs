//! Planned against performed: the state of a gym and of one evening as it happens.
//!
//! [`operation`] is the ground state, [`ledger`] keeps the operations and folds them into the
//! [`gym`], which answers what the pages ask. [`judgement`] and [`next_action`] speak to the rack.

pub mod athlete;
pub mod bout;
pub mod contact;
pub mod counted_twice;
pub mod evening;
pub mod gym;
pub mod judgement;
pub mod ledger;
pub mod next_action;
pub mod operation;
pub mod paper;
pub mod program;
pub mod refusal;
pub mod rep;
pub mod restriction;
pub mod trace;
pub mod traces;
