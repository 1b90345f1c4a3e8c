//! The checks: one file each, and one line in the list below.

/// Declares each module and lists its `CHECK`.
macro_rules! checks {
    ($($name:ident,)*) => {
        $(pub mod $name;)*

        /// All checks, in the order in which they are shown.
        pub static CHECKS: &[&crate::check::Check] = &[$(&$name::CHECK,)*];
    };
}

checks! {
    // What nobody mentioned.
    kind_asked,
    kind_none,
    loose_end,
    loose_duty,
    set_together,
    work_no_return,
    // Everything that is not a wire.
    line_mate,
    line_rating,
    line_route,
    carry_support,
    carry_reaction,
    carry_retention,
    gap_least,
    fluid_kind,
    fluid_amount,
    fluid_flow,
    heat_cooler,
    // What a meter will read.
    state_duty,
    state_backfeed,
    signal_scale,
    // Force and travel.
    brake_balance,
    brake_pedal,
    brake_parking,
    brake_vacuum,
    steer_supply,
    lever_force,
    clutch_release,
    // Mating faces.
    fit_pattern,
    fit_register,
    fit_bearing,
    fit_spline,
    fit_length,
    fit_space,
    fit_angle,
    fit_stack,
    fit_clamp,
    fit_starter,
    fit_wheel,
    fit_trigger,
    // From crank to road.
    drive_ratio,
    drive_clutch,
    drive_mass,
    drive_axle,
    drive_direction,
    drive_rim_speed,
    drive_over_speed,
    drive_launch,
    drive_torsion,
    drive_joint,
    drive_road_speed,
    drive_torque,
    drive_shaft,
    drive_tyre,
    drive_speedometer,
    // Dates and variants.
    build_window,
    build_ambiguous,
    build_disagree,
    // Plugs and wires.
    plug_mate,
    plug_cavity,
    plug_terminal,
    wire_end,
    wire_current,
    wire_drop,
    wire_fuse,
    wire_source,
    wire_bundle,
    wire_inrush,
    wire_twisted,
    wire_strap,
    wire_crank,
    wire_budget,
    energy_days,
    // Data networks.
    bus_rate,
    bus_termination,
    bus_message,
    bus_wake,
    bus_frame,
    bus_length,
    bus_load,
    bus_deadline,
    bus_gateway,
    bus_lin,
    bus_address,
    // Software.
    setup_version,
    setup_setting,
    setup_pair,
    setup_contradict,
    // High voltage.
    volt_high,
    volt_window,
    volt_isolation,
    volt_pre_charge,
    volt_fuse,
    volt_interlock,
    volt_colour,
    volt_disconnect,
    volt_bonding,
    volt_sag,
    volt_discharge,
    volt_converter,
    volt_touch,
    volt_pilot,
    volt_creepage,
    // Stock and work.
    stock_twice,
    stock_missing,
    stock_budget,
    stock_wait,
    work_order,
    work_while_open,
    // Sources, and what the specification itself demands.
    source_weak,
    source_conflict,
    need,
    rule,
}

#[cfg(test)]
mod tests {
    /// A file that is not in the list would be neither compiled nor seen.
    #[test]
    fn every_file_is_listed() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/src/checks");
        for entry in std::fs::read_dir(folder).expect("the folder of the checks") {
            let name = entry.expect("an entry").file_name().into_string().expect("a plain name");
            let stem = name.strip_suffix(".rs").unwrap_or(&name);
            let file = format!("{stem}.rs");
            let listed = super::CHECKS.iter().any(|it| it.name.replace(['/', '-'], "_") == stem);
            assert!(listed || stem == "mod", "{file}");
        }
    }
}
