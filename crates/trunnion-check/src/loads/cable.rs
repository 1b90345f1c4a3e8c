//! Resistance and outside diameter of a wire, by the cable that the `basis` names.

use trunnion_handbook::data::VEHICLE_WIRE;
use trunnion_handbook::quantity::Quantity;
use trunnion_handbook::registry::{self, Evaluation};

use super::told::is_gauge;
use crate::sum::Sum;

/// The cables that are known.
const CABLES: &str =
    "iso_6722_thin_wall, iso_6722, iec_60228_class_5, iec_60228_class_2 or iec_60228_class_1";

/// Which cable.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Cable {
    /// Road-vehicle cable of ISO 6722-1, with thin wall where that is said.
    Vehicle {
        /// Whether its insulation is thin, so that its outside diameter is known.
        thin: bool,
    },
    /// General cable of IEC 60228, by class.
    General(u8),
}

/// The cable that the `basis` names; none, and the sum ends open, where it names none or one not held.
pub fn cable(sum: &mut Sum<'_, '_>) -> Option<Cable> {
    let word = sum.basis_word("cable", CABLES)?;
    Some(match word.as_str() {
        "iso_6722_thin_wall" => Cable::Vehicle { thin: true },
        "iso_6722" => Cable::Vehicle { thin: false },
        "iec_60228_class_5" => Cable::General(5),
        "iec_60228_class_2" => Cable::General(2),
        "iec_60228_class_1" => Cable::General(1),
        _ => {
            sum.refuse(format!("the handbook has no cable {word}; it has {CABLES}"));
            return None;
        }
    })
}

impl Cable {
    /// The resistance per length at a temperature. A gauge is worked out as a solid wire of its size.
    pub fn resistance(
        self,
        size: &Quantity,
        temperature: &Quantity,
    ) -> Result<(Evaluation, &'static str), String> {
        let number = |it: f64| Quantity::number(it).map_err(|it| it.to_string());
        let (name, given) = match self {
            _ if is_gauge(size) => ("gauge_resistance", vec![*size, *temperature]),
            Self::Vehicle { .. } => ("vehicle_wire_resistance", vec![*size, *temperature]),
            Self::General(class) => {
                ("conductor_resistance", vec![*size, number(f64::from(class))?, number(0.0)?, *temperature])
            }
        };
        let function = registry::function(name).ok_or_else(|| format!("the handbook has no `{name}`"))?;
        function.call(&given).map(|it| (it, name)).map_err(|it| it.to_string())
    }

    /// The largest outside diameter in mm, and of which size it is: of one between two sizes, the larger.
    pub fn diameter(self, size: &Quantity) -> Result<(f64, f64), String> {
        if self != (Self::Vehicle { thin: true }) {
            return Err("outside diameters are in the handbook for iso_6722_thin_wall only".to_owned());
        }
        let area = size.in_unit("mm²").unwrap_or(f64::NAN);
        let row = VEHICLE_WIRE.table().row_from(area - 1e-9);
        let found = row.and_then(|it| Some((it.figure("thin")?, it.at(0)?)));
        found.ok_or_else(|| format!("ISO 6722-1, thin wall, has no {}", size.display()))
    }
}
