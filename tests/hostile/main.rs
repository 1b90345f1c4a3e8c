//! Texts that nobody writes in good faith, and texts spoiled by chance.
#![allow(missing_docs)]
#![allow(clippy::print_stdout, reason = "a fuzzer tells what it found")]

mod fuzz;
mod mutate;
mod shape;
