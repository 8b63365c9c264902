//! Where bytes are: readers, store, charts. No rules of the trade.

pub mod catalogue;
pub mod charts;
pub mod readers;
pub mod store;
