//! As much of JSON Schema 2020-12 as the committed schema uses. A word of it that is not known
//! here is a mistake, so that none goes unchecked.

use serde_json::Value;

/// The committed schema.
pub fn committed() -> Value {
    let text = include_str!("../../../trunnion-report/schema/check.schema.json");
    serde_json::from_str(text).expect("the schema is JSON")
}

/// What is wrong with a value, by path.
pub fn breaches(root: &Value, value: &Value) -> Vec<String> {
    breaches_at(root, root, value, "")
}

fn breaches_at(root: &Value, schema: &Value, value: &Value, path: &str) -> Vec<String> {
    let mut found = Vec::new();
    check(root, schema, value, path, &mut found);
    found
}

fn check(root: &Value, schema: &Value, value: &Value, path: &str, found: &mut Vec<String>) {
    let Some(words) = schema.as_object() else {
        found.push(format!("{path}: the schema is no object"));
        return;
    };
    for (word, wanted) in words {
        match word.as_str() {
            "$schema" | "$defs" | "title" | "description" | "format" => {}
            "$ref" => {
                let pointer = wanted.as_str().and_then(|it| it.strip_prefix('#')).unwrap_or_default();
                match root.pointer(pointer) {
                    Some(schema) => check(root, schema, value, path, found),
                    None => found.push(format!("{path}: {wanted} leads nowhere")),
                }
            }
            "type" => {
                let types = wanted.as_array().cloned().unwrap_or_else(|| vec![wanted.clone()]);
                if !types.iter().filter_map(Value::as_str).any(|it| is(value, it)) {
                    found.push(format!("{path}: {value} is not {wanted}"));
                }
            }
            "enum" => {
                if !wanted.as_array().is_some_and(|it| it.contains(value)) {
                    found.push(format!("{path}: {value} is none of {wanted}"));
                }
            }
            "minimum" => {
                if value.as_f64().zip(wanted.as_f64()).is_some_and(|(it, least)| it < least) {
                    found.push(format!("{path}: {value} is less than {wanted}"));
                }
            }
            "required" => {
                for name in wanted.as_array().into_iter().flatten().filter_map(Value::as_str) {
                    if value.is_object() && value.get(name).is_none() {
                        found.push(format!("{path}: {name} is missing"));
                    }
                }
            }
            "properties" => {
                let known = wanted.as_object().expect("an object");
                for (name, inner) in value.as_object().into_iter().flatten() {
                    // The schema allows more; what the program writes is all in it.
                    match known.get(name) {
                        Some(schema) => check(root, schema, inner, &format!("{path}/{name}"), found),
                        None => found.push(format!("{path}: {name} is not in the schema")),
                    }
                }
            }
            "anyOf" => {
                let schemas = wanted.as_array().expect("a list");
                let each: Vec<Vec<String>> =
                    schemas.iter().map(|it| breaches_at(root, it, value, path)).collect();
                if !each.iter().any(Vec::is_empty) {
                    found.extend(each.into_iter().flatten());
                }
            }
            "items" => {
                for (nth, inner) in value.as_array().into_iter().flatten().enumerate() {
                    check(root, wanted, inner, &format!("{path}/{nth}"), found);
                }
            }
            other => found.push(format!("{path}: the word {other} of the schema is not checked")),
        }
    }
}

fn is(value: &Value, name: &str) -> bool {
    match name {
        "object" => value.is_object(),
        "array" => value.is_array(),
        "string" => value.is_string(),
        "integer" => value.is_i64() || value.is_u64(),
        "number" => value.is_number(),
        "boolean" => value.is_boolean(),
        "null" => value.is_null(),
        _ => false,
    }
}

#[test]
fn breaches_are_found() {
    let whole = serde_json::json!({ "version": 1, "verdicts": [], "summary": {} });
    let found = breaches(&committed(), &whole);
    assert!(found.iter().any(|it| it == "/summary: clear is missing"), "{found:?}");
    let found =
        breaches(&committed(), &serde_json::json!({ "version": "1", "verdicts": [{ "verdict": "good" }] }));
    for words in
        ["\"1\" is not", "\"good\" is none of", "summary is missing", "/verdicts/0: check is missing"]
    {
        assert!(found.iter().any(|it| it.contains(words)), "{words} in {found:?}");
    }
}
