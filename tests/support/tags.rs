//! A page for a browser taken apart, without the library that wrote it: a
//! strict reader of elements, so that a forgotten end or a raw `<` is seen.

use std::collections::BTreeMap;

/// Elements that never have an end.
const VOID: &[&str] = &["meta", "br", "img", "hr", "link", "input"];

/// An element with what it holds.
#[derive(Debug, Clone, Default)]
pub struct Element {
    /// Its name.
    pub name: String,
    /// Its attributes, entities resolved.
    pub attributes: BTreeMap<String, String>,
    /// Its elements, in order.
    pub children: Vec<Element>,
    /// All words inside it, entities resolved, in order.
    pub text: String,
}

impl Element {
    /// Itself and every element below it, in order.
    pub fn all(&self) -> Vec<&Element> {
        let mut list = vec![self];
        self.children.iter().for_each(|child| list.extend(child.all()));
        list
    }

    /// Every element of that name.
    pub fn named(&self, name: &str) -> Vec<&Element> {
        self.all().into_iter().filter(|e| e.name == name).collect()
    }

    /// Every element of that class.
    pub fn of_class(&self, class: &str) -> Vec<&Element> {
        let has = |e: &&Element| e.attribute("class").split(' ').any(|c| c == class);
        self.all().into_iter().filter(has).collect()
    }

    /// An attribute; empty if it is not there.
    pub fn attribute(&self, name: &str) -> &str {
        self.attributes.get(name).map_or("", String::as_str)
    }
}

/// Reads a page; panics where it is not well made.
pub fn read(page: &str) -> Element {
    let rest = page.strip_prefix("<!DOCTYPE html>").expect("a page begins with its type");
    let mut open = vec![Element::default()];
    let mut rest = rest;
    while let Some(at) = rest.find('<') {
        say(&mut open, &resolved(&rest[..at]));
        let inside = &rest[at + 1..];
        let end = inside.find('>').expect("a mark ends");
        let mark = &inside[..end];
        rest = &inside[end + 1..];
        if let Some(name) = mark.strip_prefix('/') {
            close(&mut open, name);
            continue;
        }
        let element = element(mark.trim_end_matches('/'));
        let name = element.name.clone();
        open.push(element);
        if name == "style" {
            let end = rest.find("</style>").expect("the style ends");
            say(&mut open, &rest[..end]);
            rest = &rest[end..];
        } else if mark.ends_with('/') || VOID.contains(&name.as_str()) {
            close(&mut open, &name);
        }
    }
    assert_eq!(rest.trim(), "", "words after the end");
    assert_eq!(open.len(), 1, "{} is not closed", open.last().unwrap().name);
    open.remove(0).children.remove(0)
}

fn say(open: &mut [Element], words: &str) {
    open.iter_mut().for_each(|element| element.text.push_str(words));
}

fn close(open: &mut Vec<Element>, name: &str) {
    let element = open.pop().expect("an open element");
    assert_eq!(element.name, name, "elements end in order");
    open.last_mut().expect("the page").children.push(element);
}

fn element(mark: &str) -> Element {
    let (name, mut rest) = mark.split_once([' ', '\n']).unwrap_or((mark, ""));
    assert!(name.chars().all(|c| c.is_ascii_alphanumeric()), "`<{mark}>` is no element");
    let mut element = Element { name: name.to_string(), ..Element::default() };
    while let Some((key, after)) = rest.trim_start().split_once("=\"") {
        let (value, after) = after.split_once('"').expect("a value ends");
        let old = element.attributes.insert(key.to_string(), resolved(value));
        assert!(old.is_none(), "`{key}` stands twice in <{mark}>");
        rest = after;
    }
    assert_eq!(rest.trim(), "", "<{mark}> holds more than attributes");
    element
}

/// The four entities that a writer needs; any other is refused.
fn resolved(text: &str) -> String {
    let mut parts = text.split('&');
    let mut out = parts.next().unwrap_or_default().to_string();
    for part in parts {
        let (name, rest) = part.split_once(';').expect("an entity ends");
        out.push(match name {
            "lt" => '<',
            "gt" => '>',
            "amp" => '&',
            "quot" => '"',
            other => panic!("entity `{other}`"),
        });
        out.push_str(rest);
    }
    out
}
