//! What stands open or cannot be used when one stops after a piece of work, and the cautions of the step.

use trunnion_check::ctx::{Ctx, capital, listed};
use trunnion_check::works::Job;
use trunnion_model::verdict::caution;
use trunnion_model::world::Place;

/// The kinds without which a vehicle neither drives nor rolls as it should.
const CARRIES: [&str; 20] = [
    "engine",
    "motor",
    "flywheel",
    "clutch",
    "torque_converter",
    "gearbox",
    "transfer_case",
    "selector",
    "propshaft",
    "halfshaft",
    "final_drive",
    "differential",
    "hub",
    "wheel",
    "wheel_bearing",
    "unit_mount",
    "steering",
    "starter",
    "pedal_box",
    "clutch_pedal_box",
];

/// In a sentence: whether the vehicle can be driven, rolled or locked then, as far as anybody said.
pub(super) fn stands(ctx: &Ctx<'_>, job: &Job<'_>) -> String {
    let places: Vec<&Place> = job.work.on.iter().filter_map(|it| ctx.world.place(it.head())).collect();
    let mut told = Vec::new();
    let apart: Vec<String> = places.iter().filter(|it| carries(ctx, it)).map(|it| it.shown()).collect();
    if !apart.is_empty() {
        told.push(format!("not to be driven until the work on the {} is finished", listed(&apart)));
    }
    let open: Vec<String> = job.work.opens.iter().map(|it| it.value.replace('_', " ")).collect();
    if !open.is_empty() {
        told.push(format!("open: {}", listed(&open)));
    }
    for word in job.work.cautions.iter().map(|it| it.value.as_str()) {
        match word {
            "lifting" => told.push("if it stays up: on stands on firm ground, nobody under it".to_owned()),
            "battery" => told.push("without its battery it does not start, and may not lock".to_owned()),
            "brake_fluid" => told.push("not to be moved until the brakes or the clutch are bled".to_owned()),
            _ => {}
        }
    }
    match told.as_slice() {
        [] => "nobody has said whether the vehicle can be moved then".to_owned(),
        all => all.join("; "),
    }
}

fn carries(ctx: &Ctx<'_>, place: &Place) -> bool {
    let of_kind = [ctx.kind_before(place), ctx.kind_after(place)];
    let kinds = of_kind.iter().flatten().any(|(_, it)| CARRIES.iter().any(|kind| it.is(ctx.db, kind)));
    let safety = ctx.safety(place);
    kinds || safety.iter().any(|it| matches!(it.as_str(), "brakes" | "steering" | "wheels"))
}

/// The cautions of a step: those that it states, and those of what sits where it works.
pub(super) fn cautions(ctx: &Ctx<'_>, job: &Job<'_>) -> Vec<(String, String)> {
    let mut words: Vec<String> = job.work.cautions.iter().map(|it| it.value.to_string()).collect();
    for place in job.work.on.iter().filter_map(|it| ctx.world.place(it.head())) {
        let kinds = [ctx.kind_before(place), ctx.kind_after(place)];
        words.extend(kinds.iter().flatten().flat_map(|(_, it)| &it.cautions).map(ToString::to_string));
        words.extend(ctx.safety(place));
    }
    let mut all: Vec<(String, String)> = Vec::new();
    for word in words {
        if !all.iter().any(|it| it.0 == word) {
            let plain = || format!("{}: the usual cautions.", capital(&word.replace('_', " ")));
            let sentence = caution(&word).map_or_else(plain, str::to_owned);
            all.push((word, sentence));
        }
    }
    all
}
