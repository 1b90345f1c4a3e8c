//! The language and its papers: the guide, the table of inputs, the reference pages, the units.
#![allow(missing_docs)]

mod calls;
mod console;
mod fences;
mod guide;
mod inputs;
mod pages;
mod reading;
mod table;
mod units;
mod writing;
