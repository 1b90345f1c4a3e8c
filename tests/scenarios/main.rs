//! Whole conversions: the first evening, every build month, what is left loose, seeded faults.
#![allow(missing_docs)]

mod dates;
mod doubts;
mod first_evening;
mod hand_controls;
mod heavier_axles;
mod months;
mod pedal_box;
mod seeded;
