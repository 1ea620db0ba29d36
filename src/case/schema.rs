//! JSON Schemas (draft 2020-12) of case and clinic files, from the field
//! table, so that editors complete keys and mark slips while typing.
//!
//! A schema sees YAML after an editor's own guesses (a bare `3.9` is a number
//! there), so texts also admit numbers; the reader itself guesses nothing and
//! is the judge.

use serde_json::{Map, Value, json};

use super::field::{Amount, CASE, CLINIC, Field, Kind, Precision, Record};
use super::node::{self, Node, Shape};
use crate::diag::Report;

const ID: &str = "^[A-Za-z0-9][A-Za-z0-9_-]*$";
const LEVEL: &str = "^(C[1-7]|T([1-9]|1[0-3])|L[1-6]|S1)$";
const APEX: &str = "^(C[1-7]|T([1-9]|1[0-3])|L[1-6]|S1)(-(C[1-7]|T([1-9]|1[0-3])|L[1-6]|S1))?$";
const PATH: &str = r"^[^/\\:]+(/[^/\\:]+)*$";

/// The schema of case files.
pub fn case_schema() -> Value {
    root(&CASE, "A case file of the spine clinic")
}

/// The schema of the clinic's own file.
pub fn clinic_schema() -> Value {
    root(&CLINIC, "The clinic's own file")
}

fn root(table: &'static Record, title: &str) -> Value {
    let mut defs = Map::new();
    let mut schema = Map::new();
    schema.insert("$schema".into(), json!("https://json-schema.org/draft/2020-12/schema"));
    schema.insert("title".into(), json!(title));
    schema.extend(record(table, &mut defs));
    schema.insert("$defs".into(), Value::Object(defs));
    Value::Object(schema)
}

fn record(table: &'static Record, defs: &mut Map<String, Value>) -> Map<String, Value> {
    let mut properties = Map::new();
    for f in table.fields {
        properties.insert(f.key.into(), field(f, defs));
    }
    let needed: Vec<_> = table.fields.iter().filter(|f| f.required).map(|f| f.key).collect();
    let mut schema = Map::new();
    schema.insert("description".into(), json!(table.doc));
    schema.insert("type".into(), json!("object"));
    schema.insert("properties".into(), Value::Object(properties));
    schema.insert("additionalProperties".into(), json!(false));
    if !needed.is_empty() {
        schema.insert("required".into(), json!(needed));
    }
    if !table.any_of.is_empty() {
        let one = |key| json!({ "required": [key] });
        schema.insert("anyOf".into(), table.any_of.iter().map(one).collect());
    }
    schema
}

fn field(field: &'static Field, defs: &mut Map<String, Value>) -> Value {
    let mut schema = kind(&field.kind, defs);
    if let Value::Object(map) = &mut schema {
        map.insert("description".into(), json!(field.doc));
        map.insert("examples".into(), json!([example(field.example)]));
    }
    schema
}

/// A reference to a record's own definition, which is written once.
fn reference(table: &'static Record, defs: &mut Map<String, Value>) -> Value {
    if !defs.contains_key(table.name) {
        defs.insert(table.name.into(), Value::Null);
        let definition = Value::Object(record(table, defs));
        defs.insert(table.name.into(), definition);
    }
    json!({ "$ref": format!("#/$defs/{}", table.name) })
}

fn kind(kind: &'static Kind, defs: &mut Map<String, Value>) -> Value {
    match kind {
        Kind::Text => json!({ "type": ["string", "number"], "pattern": r"^[^\n]*\S[^\n]*$" }),
        Kind::LongText => json!({ "type": ["string", "number"], "pattern": r"\S" }),
        Kind::Id | Kind::Reference(_) | Kind::Support => {
            json!({ "type": ["string", "number"], "pattern": ID, "maxLength": 64 })
        }
        Kind::Path => json!({ "type": "string", "pattern": PATH }),
        Kind::Date(precision) => date(*precision),
        Kind::Quantity(amount) => json!({ "type": "string", "pattern": quantity(amount) }),
        Kind::Toward(amount) => sided(amount, "left|right"),
        Kind::Higher(amount) => sided(amount, "left up|right up"),
        Kind::Pain => {
            json!({ "type": "string", "pattern": r"^(10(\.0+)?|[0-9](\.[0-9]+)?) */ *10$" })
        }
        Kind::Score => {
            json!({ "type": ["string", "number"], "pattern": r"^-?[0-9]+(\.[0-9]+)?( *(%|mm))?$" })
        }
        Kind::Answer(low, high) => json!({ "anyOf": [
            { "type": "integer", "minimum": low, "maximum": high },
            { "enum": ["none", "two"] },
        ] }),
        Kind::Level => json!({ "type": "string", "pattern": LEVEL }),
        Kind::Apex => json!({ "type": "string", "pattern": APEX }),
        Kind::Word(words) => json!({ "enum": words }),
        Kind::Whole(low, high) => json!({ "type": "integer", "minimum": low, "maximum": high }),
        Kind::Flag => json!({ "type": "boolean" }),
        Kind::Record(table) => reference(table, defs),
        Kind::Records(table) => json!({ "type": "array", "items": reference(table, defs) }),
        Kind::List(inner) => json!({ "type": "array", "items": self::kind(inner, defs) }),
        Kind::OneOrMore(inner) => {
            let one = self::kind(inner, defs);
            json!({ "anyOf": [one, { "type": "array", "items": one, "minItems": 1 }] })
        }
        Kind::ByLevel(inner) => {
            let each = self::kind(inner, defs);
            json!({ "type": "object", "propertyNames": { "pattern": LEVEL }, "additionalProperties": each })
        }
        Kind::ByName(names, inner) => {
            let each = self::kind(inner, defs);
            let named: Map<_, _> = names.iter().map(|n| (n.to_string(), each.clone())).collect();
            json!({ "type": "object", "properties": named, "additionalProperties": each })
        }
    }
}

fn date(precision: Precision) -> Value {
    let (year, month, day) = ("[0-9]{4}", "-(0[1-9]|1[0-2])", "-(0[1-9]|[12][0-9]|3[01])");
    match precision {
        Precision::Day => json!({ "type": "string", "pattern": format!("^{year}{month}{day}$") }),
        Precision::Month => {
            json!({ "type": "string", "pattern": format!("^{year}{month}({day})?$") })
        }
        Precision::Year => {
            let pattern = format!("^{year}({month}({day})?)?$");
            json!({ "type": ["string", "integer"], "pattern": pattern })
        }
    }
}

fn sided(amount: &Amount, sides: &str) -> Value {
    let size = quantity(amount);
    let size = size.trim_start_matches('^').trim_end_matches('$');
    json!({ "type": "string", "pattern": format!("^{size}( +({sides}))?$") })
}

fn quantity(amount: &Amount) -> String {
    let units = amount.units().flat_map(|u| u.spellings()).map(|s| s.replace('.', r"\."));
    let units = units.collect::<Vec<_>>();
    let sign = if amount.low < 0.0 { "-?" } else { "" };
    format!(r"^{sign}[0-9]+(\.[0-9]+)? *({})$", units.join("|"))
}

/// An example of the table as JSON; every single value is a text, but for
/// those that an editor takes for true, false or a whole number.
fn example(text: &str) -> Value {
    let mut report = Report::default();
    match node::parse(text, "", &mut report) {
        Some(root) => plain(&root),
        None => json!(text),
    }
}

fn plain(node: &Node) -> Value {
    match &node.shape {
        Shape::Map(entries) => {
            let pairs = entries.iter().map(|e| (e.key.value.clone(), plain(&e.value)));
            Value::Object(pairs.collect())
        }
        Shape::List(items) => items.iter().map(plain).collect(),
        Shape::Scalar { text, plain: true } if text == "true" || text == "false" => {
            json!(text == "true")
        }
        Shape::Scalar { text, plain: true } if text.parse::<i64>().is_ok() => {
            text.parse::<i64>().map_or(Value::Null, |n| json!(n))
        }
        Shape::Scalar { text, .. } => json!(text),
        Shape::Empty | Shape::Refused => Value::Null,
    }
}
