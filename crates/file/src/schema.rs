//! The JSON Schema of the vehicle file, so that editors complete and check it.

use serde_json::{Map, Value, json};
use units::Dimension;

use crate::spec::{Domain, FREE_PREFIX, Kind, LARGEST_AMOUNT, ROOT, Table};

/// The schema, made from [`spec`](crate::spec).
///
/// What a schema cannot say (that a point exists, that a load has a way home) is left to
/// [`read`](crate::read()).
#[must_use]
pub fn schema() -> Value {
    let mut schema = table(&ROOT);
    if let Some(object) = schema.as_object_mut() {
        let mut whole = Map::new();
        whole.insert("$schema".to_owned(), json!("https://json-schema.org/draft/2020-12/schema"));
        whole.insert("title".to_owned(), json!("Groundloom vehicle file, format 1"));
        whole.append(object);
        return Value::Object(whole);
    }
    schema
}

fn table(spec: &Table) -> Value {
    let mut properties = Map::new();
    for key in spec.keys {
        let mut value = kind(&key.kind);
        if let Some(object) = value.as_object_mut() {
            object.insert("description".to_owned(), json!(key.doc));
        }
        properties.insert(key.name.to_owned(), value);
    }
    let required: Vec<&str> =
        spec.keys.iter().filter(|key| key.required).map(|key| key.name).collect();
    json!({
        "type": "object",
        "description": spec.doc,
        "properties": properties,
        "patternProperties": { format!("^{FREE_PREFIX}"): {} },
        "additionalProperties": false,
        "required": required,
    })
}

fn kind(kind_of: &Kind) -> Value {
    match kind_of {
        Kind::Text | Kind::Point => json!({ "type": "string" }),
        Kind::Flag => json!({ "type": "boolean" }),
        Kind::Count(least, most) => json!({ "type": "integer", "minimum": least, "maximum": most }),
        Kind::Amount => json!({ "type": "number", "minimum": 0, "maximum": LARGEST_AMOUNT }),
        Kind::Quantity(Dimension::Ratio, domain) => {
            let (least, most) = match domain {
                Domain::Share => (json!(0), json!(1)),
                Domain::Chance => (json!(1e-4), json!(0.9)),
                Domain::Positive | Domain::NotNegative | Domain::Any => (json!(0), json!(1e12)),
            };
            json!({ "anyOf": [
                { "type": "string", "examples": ["80 %"] },
                { "type": "number", "minimum": least, "maximum": most },
            ] })
        }
        Kind::Quantity(dimension, _) => json!({
            "type": "string",
            "pattern": "[0-9]",
            "examples": [dimension.example()],
        }),
        Kind::Range(dimensions, _) => {
            let examples: Vec<&str> =
                dimensions.iter().map(|dimension| dimension.example()).collect();
            json!({
                "type": "array",
                "items": { "type": "string", "pattern": "[0-9]", "examples": examples },
                "minItems": 2,
                "maxItems": 2,
            })
        }
        Kind::Size => json!({
            "type": "string",
            "pattern": "[0-9]",
            "examples": ["35 mm²", "4 AWG", "SAE 4", "braid 26000 cmil", "bar 20 x 3 mm"],
        }),
        Kind::Names(_) => json!({ "type": "array", "items": { "type": "string" } }),
        Kind::Choice(words) => json!({ "enum": words }),
        // Editors offer the catalogue's words; its other names for the same thing are allowed too.
        Kind::Listed(listing) => {
            json!({ "anyOf": [{ "enum": listing.rows().words() }, { "type": "string" }] })
        }
        Kind::Date => json!({ "anyOf": [
            { "type": "string", "pattern": "^[0-9]{4}(-[0-9]{2}(-[0-9]{2})?)?$" },
            { "type": "integer", "minimum": 1900, "maximum": 2200 },
        ] }),
        Kind::Place => json!({
            "type": "array",
            "items": { "type": "string", "examples": ["0.4 m"] },
            "minItems": 2,
            "maxItems": 2,
        }),
        Kind::Table(spec) => table(spec),
        Kind::Named(spec) => json!({
            "type": "object",
            // Not every validator knows letters of all languages; the reader is stricter.
            "propertyNames": { "pattern": r"^[^\s/.]+$" },
            "additionalProperties": table(spec),
        }),
        Kind::Many(spec) => json!({ "type": "array", "items": table(spec) }),
        Kind::Either(short, long) => json!({ "anyOf": [kind(short), kind(long)] }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_published_schema_is_the_one_this_program_reads_by() {
        let published = include_str!("../../../docs/vehicle-file.schema.json");
        let now = serde_json::to_string_pretty(&schema()).expect("JSON");
        assert_eq!(
            published.trim_end(),
            now,
            "write it anew: groundloom schema > docs/vehicle-file.schema.json"
        );
    }
}
