//! The program: use cases, pages and commands around the pure core.
//!
//! [`flow`] is what a coach can ask for, [`web`] shows it in a browser, [`cli`] on a terminal;
//! [`demo`] invents a gym to try it on.

pub mod cli;
pub mod demo;
pub mod flow;
pub mod web;
