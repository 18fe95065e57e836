//! What the macros leave out of the description: names of operations, parameters of paths, and that
//! answers say everything.

use std::collections::BTreeSet;

use serde_json::{Value, json};

const SHAPES: &str = "#/components/schemas/";

/// Adds to a description what follows from the rest of it.
pub(super) fn complete(described: &mut Value) {
    for (path, methods) in described["paths"].as_object_mut().into_iter().flatten() {
        for (method, operation) in methods.as_object_mut().into_iter().flatten() {
            name(path, method, operation);
        }
    }
    refer(described);
    let asked = shapes_of_bodies(described);
    let shapes = described["components"]["schemas"].as_object_mut();
    for (_, shape) in shapes.into_iter().flatten().filter(|(name, _)| !asked.contains(*name)) {
        say_everything(shape);
    }
}

/// Gives an operation a name of its own, and the parameters of its path.
///
/// By themselves operations are named after their functions, and many modules have a `list`.
fn name(path: &str, method: &str, operation: &mut Value) {
    let words = path.trim_start_matches("/api").split(|own: char| !own.is_ascii_alphanumeric());
    let words = words.filter(|word| !word.is_empty());
    operation["operationId"] = words.fold(method.to_owned(), |name, word| name + "_" + word).into();
    let of_path = path.split('/').filter_map(|part| part.strip_prefix('{')?.strip_suffix('}'));
    let of_path = of_path.map(|name| {
        json!({ "name": name, "in": "path", "required": true, "schema": { "type": "string" } })
    });
    let mut parameters: Vec<Value> = of_path.collect();
    parameters.extend(operation["parameters"].as_array().into_iter().flatten().cloned());
    operation["parameters"] = parameters.into();
}

/// Lets the bodies of questions refer to what they are made of: what a question is about has its shape once.
///
/// A key that is in none of the parts is refused, which only the whole can say.
fn refer(described: &mut Value) {
    let shapes = &mut described["components"]["schemas"];
    let names = shapes.as_object().into_iter().flat_map(|own| own.keys().cloned());
    for name in names.collect::<Vec<_>>() {
        let Some(parts) = name.strip_prefix("Body_") else { continue };
        let parts: Vec<&str> = parts.split('_').collect();
        let all = parts.iter().map(|part| json!({ "$ref": format!("{SHAPES}{part}") }));
        shapes[&name]["allOf"] = all.collect();
        shapes[&name]["unevaluatedProperties"] = false.into();
        for part in parts {
            if let Some(own) = shapes[part].as_object_mut() {
                own.remove("additionalProperties");
            }
        }
    }
}

/// Names of the shapes that a client sends, which may leave out what they do not know.
fn shapes_of_bodies(described: &Value) -> BTreeSet<String> {
    let operations = described["paths"].as_object().into_iter().flatten();
    let operations = operations.flat_map(|(_, own)| own.as_object().into_iter().flatten());
    let mut open: Vec<String> = Vec::new();
    operations.for_each(|(_, own)| references(&own["requestBody"], &mut open));
    let mut found = BTreeSet::new();
    while let Some(shape) = open.pop() {
        references(&described["components"]["schemas"][&shape], &mut open);
        found.insert(shape.clone());
        open.retain(|own| !found.contains(own));
    }
    found
}

fn references(value: &Value, found: &mut Vec<String>) {
    match value {
        Value::Array(own) => own.iter().for_each(|value| references(value, found)),
        Value::Object(own) => {
            if let Some(name) = own.get("$ref").and_then(Value::as_str) {
                found.extend(name.strip_prefix(SHAPES).map(str::to_owned));
            }
            own.values().for_each(|value| references(value, found));
        }
        _ => {}
    }
}

/// Requires what may be null: an answer says null, it does not leave out.
fn say_everything(shape: &mut Value) {
    match shape {
        Value::Array(own) => own.iter_mut().for_each(say_everything),
        Value::Object(own) => {
            own.values_mut().for_each(say_everything);
            let properties = own.get("properties").and_then(Value::as_object);
            let null = properties.into_iter().flatten().filter(|(_, own)| may_be_null(own));
            let null: Vec<String> = null.map(|(name, _)| name.clone()).collect();
            if null.is_empty() {
                return;
            }
            let required = own.entry("required").or_insert_with(|| json!([]));
            for name in null {
                if let Some(listed) = required
                    .as_array_mut()
                    .filter(|own| own.iter().all(|other| other.as_str() != Some(name.as_str())))
                {
                    listed.push(name.into());
                }
            }
        }
        _ => {}
    }
}

fn may_be_null(shape: &Value) -> bool {
    let is_null = |own: &Value| own.as_str() == Some("null");
    let types = shape["type"].as_array().into_iter().flatten();
    let either = shape["oneOf"].as_array().into_iter().flatten();
    types.chain(either.map(|own| &own["type"])).any(is_null)
}
