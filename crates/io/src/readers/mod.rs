//! Files as they come: text in, columns and numbers out.

pub mod table;
