//! A PDF read back by a library that had no part in writing it: its structure with the text of each element.

use std::collections::HashMap;

use lopdf::content::Content;
use lopdf::{Dictionary, Document, Encoding, Object, ObjectId};

/// An element of the structure that holds text or a drawing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Element {
    /// Its own tag and those around it, from the outermost: `Table/TBody/TR/TD`.
    pub path: String,
    /// Its text as written; of a drawing too.
    pub text: String,
    /// The words that stand for it where it can't be seen.
    pub alt: Option<String>,
}

/// A file that was read.
pub struct Read {
    /// As the library sees it.
    pub document: Document,
    /// Its elements in reading order.
    pub elements: Vec<Element>,
    /// All that is written on each side in the order of drawing, what only decorates included.
    pub drawn: Vec<Vec<String>>,
    /// The size of each text, in points on the paper.
    pub sizes: Vec<f32>,
}

/// Reads a file.
pub fn read(bytes: &[u8]) -> Read {
    let document = Document::load_mem(bytes).expect("a PDF");
    let mut marked = HashMap::new();
    let (mut drawn, mut sizes) = (Vec::new(), Vec::new());
    for page in document.get_pages().into_values() {
        drawn.push(text_of_page(&document, page, &mut marked));
        sizes.extend(sizes_on_page(&document, page));
    }
    let root = document.catalog().and_then(|catalog| catalog.get(b"StructTreeRoot")).expect("a structure");
    let (_, root) = document.dereference(root).expect("a structure");
    let mut elements = Vec::new();
    let walk = Walk { document: &document, marked: &marked };
    walk.children(root.as_dict().expect("a structure"), "", None, &mut elements);
    Read { document, elements, drawn, sizes }
}

/// The sizes of a page's texts: that of the font, enlarged by the matrices of text and page (ISO 32000-1:2008, 9.4.4).
fn sizes_on_page(document: &Document, page: ObjectId) -> Vec<f32> {
    let content = Content::decode(&document.get_page_content(page)).expect("page content");
    // How much a matrix stretches what is upright.
    let stretch = |operands: &[Object]| {
        let part = |index: usize| operands[index].as_float().expect("a number");
        part(2).hypot(part(3))
    };
    let (mut scale, mut outer, mut own, mut size) = (1.0_f32, Vec::new(), 1.0_f32, 0.0_f32);
    let mut sizes = Vec::new();
    for operation in content.operations {
        match operation.operator.as_str() {
            "q" => outer.push(scale),
            "Q" => scale = outer.pop().expect("what is restored was saved"),
            "cm" => scale *= stretch(&operation.operands),
            "BT" => own = 1.0,
            "Tm" => own = stretch(&operation.operands),
            "Tf" => size = operation.operands[1].as_float().expect("a size"),
            "Tj" | "TJ" => sizes.push(scale * own * size),
            _ => {}
        }
    }
    sizes
}

/// Collects the text of each piece of marked content by its page and number; gives all texts in order.
fn text_of_page(
    document: &Document,
    page: ObjectId,
    marked: &mut HashMap<(ObjectId, i64), String>,
) -> Vec<String> {
    let fonts = document.get_page_fonts(page).expect("fonts");
    let encodings: HashMap<Vec<u8>, Encoding<'_>> = fonts
        .iter()
        .map(|(name, font)| (name.clone(), font.get_font_encoding(document).expect("an encoding")))
        .collect();
    let content = Content::decode(&document.get_page_content(page)).expect("page content");
    let (mut open, mut font, mut texts): (Vec<Option<i64>>, Vec<u8>, Vec<String>) =
        (Vec::new(), Vec::new(), Vec::new());
    for operation in content.operations {
        match operation.operator.as_str() {
            "BMC" => open.push(None),
            "BDC" => {
                let properties = operation.operands.get(1).and_then(|object| object.as_dict().ok());
                open.push(properties.and_then(|own| own.get(b"MCID").ok()).and_then(|id| id.as_i64().ok()));
            }
            "EMC" => drop(open.pop()),
            "BT" => texts.push(String::new()),
            "Tf" => font = operation.operands[0].as_name().expect("a font's name").to_vec(),
            "Tj" | "TJ" => {
                let parts = match &operation.operands[0] {
                    Object::Array(parts) => parts.as_slice(),
                    one => std::slice::from_ref(one),
                };
                for part in parts {
                    let Ok(bytes) = part.as_str() else { continue };
                    let text = Document::decode_text(&encodings[&font], bytes).expect("text");
                    texts.last_mut().expect("text stands in a text object").push_str(&text);
                    if let Some(id) = open.iter().rev().find_map(|id| *id) {
                        marked.entry((page, id)).or_default().push_str(&text);
                    }
                }
            }
            _ => {}
        }
    }
    texts
}

struct Walk<'w> {
    document: &'w Document,
    marked: &'w HashMap<(ObjectId, i64), String>,
}

impl Walk<'_> {
    /// The elements below one, and the text of its own.
    fn children(
        &self,
        element: &Dictionary,
        path: &str,
        page: Option<ObjectId>,
        found: &mut Vec<Element>,
    ) -> String {
        let page = element.get(b"Pg").and_then(Object::as_reference).ok().or(page);
        let Ok(children) = element.get(b"K") else { return String::new() };
        let (_, children) = self.document.dereference(children).expect("children");
        let children = match children {
            Object::Array(children) => children.as_slice(),
            one => std::slice::from_ref(one),
        };
        let mut own = String::new();
        for child in children {
            let (_, child) = self.document.dereference(child).expect("a child");
            match child {
                Object::Integer(id) => own.push_str(self.text(page, *id)),
                Object::Dictionary(reference) if reference.has(b"MCID") => {
                    let page = reference.get(b"Pg").and_then(Object::as_reference).ok().or(page);
                    let id = reference.get(b"MCID").and_then(Object::as_i64).expect("a number");
                    own.push_str(self.text(page, id));
                }
                Object::Dictionary(child) => {
                    let tag = child.get(b"S").and_then(Object::as_name).expect("a tag");
                    let tag = String::from_utf8_lossy(tag);
                    let path = if path.is_empty() { tag.into_owned() } else { format!("{path}/{tag}") };
                    let alt = child.get(b"Alt").ok().and_then(|alt| lopdf::decode_text_string(alt).ok());
                    let place = found.len();
                    found.push(Element { path: path.clone(), text: String::new(), alt });
                    found[place].text = self.children(child, &path, page, found);
                }
                _ => {}
            }
        }
        own
    }

    fn text(&self, page: Option<ObjectId>, id: i64) -> &str {
        let page = page.expect("marked content lies on a page");
        self.marked.get(&(page, id)).map_or("", String::as_str)
    }
}
