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
    road_speed_on_tyre,
    engine_speed,
    shift_drop,
    mass_total,
    rear_axle_load,
    front_axle_load,
    mass_centre,
    ratio_error,
    axle_mismatch,
    wheel_torque,
    driveline_torque,
    converter_stall_torque,
    stall_speed,
    slip_heat,
    grip_torque,
    clutch_torque_wear,
    clutch_torque_pressure,
    clutch_reserve,
    clutch_energy,
    launch_heat,
    rim_speed,
    rim_stress,
    shaft_critical_speed,
    shaft_critical_speed_lumped,
    propshaft_speed,
    shaft_torsion,
    torsional_frequency,
    spring_frequency,
    firing_frequency,
    tyre_diameter,
    tyre_diameter_of,
    tyre_difference,
    tyre_load,
    load_of_index,
    speed_of_symbol,
    rolling_circumference,
    speedometer_most,
    speedometer_reading,
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
    support_share,
    mount_reaction,
    retention_force,
    bolt_shear_load,
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
    vehicle_wire_diameter,
    gauge_diameter,
    gauge_resistance,
    wire_resistance,
    voltage_drop,
    wire_drop,
    wire_size_for_drop,
    series_drop,
    short_circuit_current,
    stall_current,
    boat_allowable_current,
    cable_allowable_current,
    copper_temperature,
    current_at_ambient,
    contact_current,
    boat_largest_fuse,
    fuse_least,
    fuse_standard,
    fuse_holds,
    fuse_opens_by,
    wire_withstand,
    wire_withstand_time,
    wire_size_for_fault,
    bundle_diameter,
    bundle_rule,
    bundle_least,
    bundle_most,
    can_sample_point,
    can_bit_rate,
    can_frame_time,
    can_load,
    can_response,
    response_through_gateway,
    lin_frame_time,
    lin_schedule,
    can_bus_length,
    bus_length,
    bus_stub,
    parallel_resistance,
    termination_reading,
    isolation_needed,
    isolation_least,
    isolation_measured,
    high_voltage_from,
    creepage_least,
    clearance_least,
    pack_current,
    pack_voltage,
    converter_current,
    pilot_current,
    precharge_time,
    precharge_current,
    precharge_power,
    capacitor_energy,
    discharge_time,
    discharge_resistance,
    loaded_voltage,
    cranking_least,
    standing_days,
    standing_drain_most,
    charge_used,
    charge_balance,
    current_total,
    power_total,
    charge_time,
    driving_range,
    heat_flow,
    cooler_heat,
    coolant_flow,
    flow_speed,
    engine_heat,
    fuel_flow,
    air_flow,
    front_axle_share,
    adhesion_front,
    adhesion_rear,
    adhesion_rear_most,
    braking_rate_least,
    stopping_distance_most,
    stopping_distance,
    deceleration,
    brake_force,
    rear_locks_above,
    slope_force,
    slope_held,
    line_pressure,
    pedal_force,
    piston_force,
    servo_force,
    pedal_travel,
    lever_force,
    slave_travel,
    brake_volume,
    deceleration_wanted,
    pedal_force_most,
    parking_slope,
    front_first_up_to,
    disc_brake_force,
    drum_brake_force,
    lever_effort,
    lever_travel,
    piston_effort,
    rear_first_rate,
    stopping_pressure,
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
