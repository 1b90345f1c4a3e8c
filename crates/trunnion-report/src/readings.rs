//! The expected readings of conversions and vehicles, as a page and as a record.

use std::fmt::Write;

use serde::Serialize;
use trunnion_check::ctx::Ctx;
use trunnion_check::readings::{Reading, readings};
use trunnion_model::db::Host;
use trunnion_model::decl::Body;
use trunnion_model::lower::lowered;
use trunnion_model::name::Id;
use trunnion_model::world::{World, conversion, world};

/// The readings of one conversion by one of its ways, or of one vehicle.
#[derive(Serialize)]
pub struct Sheet {
    /// The conversion or vehicle.
    pub of: String,
    /// The way, where there are several.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub way: Option<String>,
    /// Each cavity.
    pub cavities: Vec<CavityRecord>,
}

/// What is expected at one cavity.
#[derive(Serialize)]
pub struct CavityRecord {
    /// The cavity: `gearbox_controller.K1[3]`.
    pub cavity: String,
    /// What it is for.
    pub what: String,
    /// The readings.
    pub expected: Vec<ExpectedRecord>,
}

/// One reading and when it is to be seen.
#[derive(Serialize)]
pub struct ExpectedRecord {
    /// States, with positions where it hangs on them.
    pub when: Vec<String>,
    /// What the meter reads.
    pub reading: String,
    /// False where nobody has said what it hangs on.
    pub known: bool,
}

/// A sheet for each way of each conversion in some files; of files without one, for each vehicle.
pub fn sheets(host: &Host, files: &[String]) -> Vec<Sheet> {
    let db = host.db();
    let (mut conversions, mut vehicles) = (Vec::new(), Vec::new());
    for file in files.iter().filter_map(|it| host.file(it)) {
        for item in file.items(db).iter() {
            for (nth, decl) in lowered(db, *item).decls.iter().enumerate() {
                let id = Id { item: *item, nth: nth as u32 };
                match decl.body {
                    Body::Conversion(_) => conversions.push(id),
                    Body::Vehicle(_) => vehicles.push(id),
                    _ => {}
                }
            }
        }
    }
    let all = if conversions.is_empty() { vehicles } else { conversions };
    all.into_iter().flat_map(|it| of(host, it)).collect()
}

fn of(host: &Host, id: Id) -> Vec<Sheet> {
    let (db, workspace) = (host.db(), host.workspace());
    let ways = conversion(db, id).map_or(0, |it| it.ways.len() as u32);
    let ways: Vec<Option<u32>> = if ways == 0 { vec![None] } else { (0..ways).map(Some).collect() };
    let each = ways.into_iter().filter_map(|way| {
        let world = world(db, workspace, id.item, id.nth, way)?;
        Some(sheet(&Ctx { db, workspace, world: &world }, &world, id.shown(db)))
    });
    each.collect()
}

fn sheet(ctx: &Ctx<'_>, world: &World, of: String) -> Sheet {
    let record = |it: Reading| CavityRecord {
        cavity: format!("{}[{}]", it.plug.text(), it.number),
        what: it.what,
        expected: it
            .expected
            .into_iter()
            .map(|it| ExpectedRecord { when: it.when, reading: it.reading, known: it.known })
            .collect(),
    };
    let cavities = readings(ctx).into_iter().map(record).collect();
    Sheet { of, way: world.way.as_ref().map(|it| it.replace('_', " ")), cavities }
}

/// A sheet as plain text.
pub fn page(sheet: &Sheet) -> String {
    let mut out = String::new();
    let way = sheet.way.as_ref().map(|it| format!(", by way of {it}")).unwrap_or_default();
    let title = format!("{}: expected readings{way}", sheet.of);
    let _ = writeln!(out, "{title}\n{}", "=".repeat(title.chars().count()));
    let _ = writeln!(out, "Against ground, plugs together, probe at the back; ohms with the battery off.\n");
    for cavity in &sheet.cavities {
        let _ = writeln!(out, "{}  {}", cavity.cavity, cavity.what);
        for it in &cavity.expected {
            let _ = writeln!(out, "    {}: {}", it.when.join("; "), it.reading);
        }
    }
    let unknown = sheet.cavities.iter().filter(|it| it.expected.iter().any(|it| !it.known)).count();
    let _ = writeln!(
        out,
        "\n{} cavities; of {unknown} a reading hangs on what nobody has said.\n\
         A reading that differs is a reason to stop. High voltage is not measured by this sheet.",
        sheet.cavities.len()
    );
    out
}
