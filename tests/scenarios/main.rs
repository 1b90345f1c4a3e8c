//! Whole conversions: the first evening, every build month, what is left loose, seeded faults.
#![allow(missing_docs)]

mod dates;
mod doubts;
mod first_evening;
mod heavier_axles;
mod hand_controls;
mod months;
mod pedal_box;
mod seeded;
