//! What of a vehicle is high voltage: the pack, the units on it, the cavities and wires between them.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::decl::Cavity;
use trunnion_model::world::{Place, WireAt, WireEnd};

use crate::ctx::Ctx;

/// Direct current above this is high voltage: UN Regulation No. 100, definition of high voltage.
pub const HIGH_DIRECT: f64 = 60.0;

/// The rule for the same, as it is shown.
pub const HIGH_SOURCE: &str = "UN Regulation No. 100, 02 series of amendments, 2.17: high voltage is above 60 V direct, 30 V alternating";

/// The traction battery and what else is on its circuit after the changes.
pub struct Pack<'a> {
    /// Where the traction battery sits.
    pub place: &'a Place,
    /// The other high-voltage units, without the service disconnect.
    pub units: Vec<&'a Place>,
}

/// The traction battery with its units; none where the vehicle has no such battery, or nothing of it
/// changes.
pub fn pack<'a>(ctx: &Ctx<'a>) -> Option<Pack<'a>> {
    let place = ctx.only_of_kind("traction_battery")?;
    let others = ctx.of_kind("high_voltage_unit").into_iter();
    let disconnects = ctx.of_kind("service_disconnect");
    let units: Vec<_> = others
        .filter(|it| it.name != place.name && !disconnects.iter().any(|other| other.name == it.name))
        .collect();
    let all: Vec<&Place> = std::iter::once(place).chain(units.iter().copied()).collect();
    ctx.concerns(&all).then_some(Pack { place, units })
}

impl Pack<'_> {
    /// Whether anything that these checks work with is stated of the battery.
    pub fn begun(&self, ctx: &Ctx<'_>) -> bool {
        ctx.stated(self.place, "voltage_window")
    }

    /// The battery and the other units.
    pub fn all(&self) -> impl Iterator<Item = &Place> {
        std::iter::once(self.place).chain(self.units.iter().copied())
    }
}

/// The highest voltage of a window, as an exact figure.
pub fn highest(window: &Quantity) -> Option<Quantity> {
    Quantity::si(window.hi(), window.dimension()).ok()?.shown_in("V").ok()
}

/// Whether a cavity carries high voltage: a supply above 60 V.
pub fn is_high(cavity: &Cavity) -> bool {
    cavity.volts.is_some_and(|it| it.ends_in("V").is_some_and(|[_, _, most]| most > HIGH_DIRECT))
}

/// The cavity that a wire ends in, and the place of its plug.
pub fn cavity<'a>(ctx: &Ctx<'a>, end: &WireEnd) -> Option<(&'a Place, &'a Cavity)> {
    let WireEnd::Cavity(at, number) = end else { return None };
    let place = ctx.world.place(&at.place)?;
    let part = ctx.part(place.after.part()?)?;
    let cavities = &part.end(&at.end)?.cavities;
    Some((place, cavities.iter().find(|it| it.number.value == *number)?))
}

/// The wires that carry high voltage after the changes.
pub fn high_wires<'a>(ctx: &Ctx<'a>) -> Vec<&'a WireAt> {
    let high = |end: &WireEnd| cavity(ctx, end).is_some_and(|(_, it)| is_high(it));
    ctx.world.wires.iter().filter(|it| high(&it.a) || high(&it.b)).collect()
}
