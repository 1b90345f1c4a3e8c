//! From verdicts to work: the chain of places that change, what to ask, what to measure.

pub mod chain;
pub mod cover;
pub mod critical_path;
pub mod dates;
pub mod doubts;
pub mod draft;
pub mod gates;
pub mod loom;
pub mod money;
pub mod next;
pub mod order;
pub mod picks;
pub mod plan;
pub mod progress;
pub mod stake;
pub mod tonight;
pub mod ways;
pub mod what_if;

use trunnion_model::db::Host;
use trunnion_model::decl::Body;
use trunnion_model::lower::lowered;
use trunnion_model::name::Id;

/// The conversions that some files declare, in order.
pub fn conversions(host: &Host, files: &[String]) -> Vec<Id> {
    let db = host.db();
    let mut all = Vec::new();
    for file in files.iter().filter_map(|it| host.file(it)) {
        for item in file.items(db).iter() {
            for (nth, decl) in lowered(db, *item).decls.iter().enumerate() {
                if matches!(decl.body, Body::Conversion(_)) {
                    all.push(Id { item: *item, nth: nth as u32 });
                }
            }
        }
    }
    all
}
