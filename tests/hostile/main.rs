//! Texts that nobody writes in good faith, and texts spoiled by chance.
#![allow(missing_docs)]

mod fuzz;
mod mutate;
mod shape;
