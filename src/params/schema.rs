//! JSON Schema (draft 2020-12) of all files, from the declarations that read them.

use serde_json::{Map, Value as Json, json};

use super::limits::Limits;
use super::record::{Record, Value};
use super::written::{Design, Plan, Shop};

/// File name of the design schema, as the first line of a design file names it.
pub const DESIGN_SCHEMA_NAME: &str = "limberwood.schema.json";

/// File name of the shop schema, as the first line of a shop file names it.
pub const SHOP_SCHEMA_NAME: &str = "limberwood-shop.schema.json";

/// File name of the plan schema, as the first line of a plan file names it.
pub const PLAN_SCHEMA_NAME: &str = "limberwood-plan.schema.json";

/// Schema of the design file.
#[must_use]
pub fn schema_design() -> Json {
    let mut schema = root::<Design>(DESIGN_SCHEMA_NAME, "limberwood design file");
    // A section stands in the list with a name, in `defaults` without one.
    schema["properties"]["sections"]["items"]["required"] = json!(["name"]);
    // What a file that is based on another leaves out stands there.
    let needed = schema["required"].take();
    schema["required"] = json!(["limberwood"]);
    schema["anyOf"] = json!([{ "required": needed }, { "required": ["based_on"] }]);
    schema
}

/// Schema of the shop file.
#[must_use]
pub fn schema_shop() -> Json {
    root::<Shop>(SHOP_SCHEMA_NAME, "limberwood shop file")
}

/// Schema of the plan file.
#[must_use]
pub fn schema_plan() -> Json {
    root::<Plan>(PLAN_SCHEMA_NAME, "limberwood plan file")
}

fn root<R: Record>(id: &str, title: &str) -> Json {
    let mut definitions = Map::new();
    R::schema(Limits::ANY, &mut definitions);
    let mut schema = definitions.remove(R::NAME).unwrap_or_default();
    schema["$schema"] = json!("https://json-schema.org/draft/2020-12/schema");
    schema["$id"] = json!(id);
    schema["title"] = json!(title);
    schema["$defs"] = Json::Object(definitions);
    schema
}
