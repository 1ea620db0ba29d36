//! The table of item codes from its file; every fault at its place.

use crate::case::node::{self, Node};
use crate::case::suggest::{list, quote};
use crate::diag::{Code, Report};
use crate::rules::fields::{Fields, items};

use super::{Build, Item, ItemClass, ItemKind, ItemTable};

const KEYS: [&str; 4] = ["set", "edition", "valid_from", "items"];
const ITEM: [&str; 5] = ["code", "class", "kind", "build", "text"];

/// Reads a table; `None` if it has no head. Items with faults are left out,
/// and each fault is reported.
pub fn read(text: &str, file: &str, report: &mut Report) -> Option<ItemTable> {
    let root = node::parse(text, file, report)?;
    let fields = Fields::of(&root, "a table of item codes", &KEYS, report)?;
    let set = fields.need_text("set", report);
    let edition = fields.need_text("edition", report);
    let valid_from = fields.day("valid_from", report);
    if valid_from.is_none() && fields.get("valid_from").is_none() {
        report.add(Code::MissingKey, fields.place, "a table of item codes lacks `valid_from`");
    }
    let nodes = fields.need("items", report).and_then(|node| items(node, "items", report));
    let mut table: Vec<Item> = Vec::new();
    for node in nodes.unwrap_or_default() {
        let Some(item) = item(node, report) else { continue };
        match table.iter().find(|other| other.code.value == item.code.value) {
            Some(_) => {
                let message = format!("the code `{}` stands twice", item.code.value);
                report.add(Code::RuleForm, &item.code.place, message);
            }
            None => table.push(item),
        }
    }
    Some(ItemTable {
        set: set?.value,
        edition: edition?.value,
        valid_from: valid_from?.value,
        items: table,
    })
}

fn item(node: &Node, report: &mut Report) -> Option<Item> {
    let fields = Fields::of(node, "an item", &ITEM, report)?;
    let code = fields.need_text("code", report);
    let class = word(&fields, "class", ItemClass::WORDS, ItemClass::from_word, report);
    let kind = word(&fields, "kind", ItemKind::WORDS, ItemKind::from_word, report);
    let build = word(&fields, "build", Build::WORDS, Build::from_word, report);
    let text = fields.need_text("text", report);
    let place = fields.place.clone();
    Some(Item { code: code?, class: class?, kind: kind?, build: build?, text: text?.value, place })
}

fn word<T>(
    fields: &Fields,
    key: &str,
    words: &[&str],
    from: fn(&str) -> Option<T>,
    report: &mut Report,
) -> Option<T> {
    let typed = fields.need_text(key, report)?;
    let found = from(&typed.value);
    if found.is_none() {
        let message = format!("`{key}` is {}, not one of {}", quote(&typed.value), list(words));
        report.add(Code::RuleForm, &typed.place, message);
    }
    found
}
