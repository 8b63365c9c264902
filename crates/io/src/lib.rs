//! Where bytes are: readers, store, charts. No rules of the trade.

pub mod store;
