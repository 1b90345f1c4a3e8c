//! The handbook's functions: one file each, and one line in the list below.

/// Declares each module, lists its `FUNCTION`, and keeps its text, whose head is its page.
macro_rules! handbook {
    ($($name:ident,)*) => {
        $(pub mod $name;)*

        /// Every function, in the order of the reference.
        pub static FUNCTIONS: &[&crate::registry::Function] = &[$(&$name::FUNCTION,)*];

        /// The text of each file, in the same order.
        static TEXTS: &[&str] = &[$(include_str!(concat!(stringify!($name), ".rs")),)*];
    };
}

handbook! {
    overall_ratio,
    road_speed,
    engine_speed,
    shift_drop,
    ratio_error,
    wheel_torque,
    grip_torque,
    clutch_torque_wear,
    clutch_torque_pressure,
    clutch_energy,
    rim_speed,
    shaft_critical_speed,
    shaft_torsion,
    tyre_diameter,
    rolling_circumference,
    speedometer_most,
    joint_fluctuation,
    joint_angle,
    joint_residual,
    shaft_length,
    gear_centres,
    gear_tip_diameter,
    tooth_angle,
    bolt_spacing,
    hole_shift,
    clearance_hole,
    thread_pitch,
    thread_pitch_diameter,
    thread_engagement,
    spline_pitch_diameter,
    spline_torque,
    thread_diameter,
    track_change,
    caliper_room,
    bearing_life,
    support_force,
    mount_reaction,
    retention_force,
    pulse_rate,
    pulses_per_distance,
    fit_clearance,
    chain_worst_case,
    chain_statistical,
    limit_deviation,
    stress_area,
    proof_load,
    bolt_proof_load,
    bolt_preload,
    preload,
    tightening_torque,
    flange_torque,
    conductor_resistance,
    vehicle_wire_resistance,
    gauge_resistance,
    voltage_drop,
    short_circuit_current,
    boat_allowable_current,
    boat_largest_fuse,
    fuse_least,
    wire_withstand,
    wire_withstand_time,
    bundle_diameter,
    can_sample_point,
    can_bit_rate,
    can_frame_time,
    lin_frame_time,
    can_bus_length,
    parallel_resistance,
    isolation_needed,
    pack_current,
    precharge_time,
    capacitor_energy,
    discharge_time,
    loaded_voltage,
    standing_days,
    charge_balance,
    charge_time,
    heat_flow,
    front_axle_share,
    rear_locks_above,
    slope_force,
    disc_brake_force,
    drum_brake_force,
    rear_first_rate,
    stopping_pressure,
    pedal_force,
    brake_volume,
    line_pressure,
    pedal_travel,
    lever_force,
    slave_travel,
    lever_travel,
    lever_effort,
    piston_effort,
}

/// The page of the function of that name: the doc comment at the head of its file.
pub fn page(name: &str) -> Option<String> {
    let at = FUNCTIONS.iter().position(|it| it.name == name)?;
    let head = TEXTS.get(at)?.lines().map_while(|line| line.strip_prefix("//!"));
    let lines: Vec<_> = head.map(|line| line.strip_prefix(' ').unwrap_or(line)).collect();
    Some(lines.join("\n"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_function_has_a_page() {
        for it in FUNCTIONS {
            assert!(page(it.name).is_some_and(|text| text.ends_with('.')), "{}", it.name);
        }
        assert_eq!(page("no such function"), None);
    }

    /// A file that is not in the list would be neither compiled nor seen.
    #[test]
    fn every_file_is_listed() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/src/functions");
        for entry in std::fs::read_dir(folder).unwrap() {
            let name = entry.unwrap().file_name().into_string().unwrap();
            let stem = name.strip_suffix(".rs").unwrap();
            let listed = FUNCTIONS.iter().any(|it| it.name == stem);
            assert!(listed || stem == "mod", "{name}");
        }
    }
}
