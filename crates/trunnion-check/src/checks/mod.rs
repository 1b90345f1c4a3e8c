//! One file for each check.

pub mod build_ambiguous;
pub mod build_disagree;
pub mod build_window;
pub mod bus_message;
pub mod bus_rate;
pub mod bus_termination;
pub mod drive_ratio;
pub mod fit_length;
pub mod fit_pattern;
pub mod fit_register;
pub mod fit_spline;
pub mod kind_asked;
pub mod kind_none;
pub mod line_mate;
pub mod loose_duty;
pub mod loose_end;
pub mod need;
pub mod plug_cavity;
pub mod plug_mate;
pub mod rule;
pub mod set_together;
pub mod source_conflict;
pub mod source_weak;
pub mod stock_missing;
pub mod stock_twice;
pub mod wire_end;
