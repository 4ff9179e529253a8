//! The logical structure of the document, built beside the layout: what is a heading, a list, a table cell.
//!
//! Marks on the pages belong to slots; the pen finds out each slot's identifier when it draws, and only then can the
//! tag tree of the file be made.

use krilla::tagging::{Identifier, Node, TagGroup, TagKind, TagTree};

/// An element of the structure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Element(usize);

/// A place in an element for one piece of drawn content.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Slot(usize);

#[derive(Clone, Copy, Debug)]
enum Child {
    Element(Element),
    Slot(Slot),
}

/// The structure so far. Children stand in reading order.
#[derive(Debug, Default)]
pub(super) struct Tags {
    top: Vec<Element>,
    elements: Vec<(TagKind, Vec<Child>)>,
    slots: usize,
}

impl Tags {
    /// Adds an element at the top level.
    pub fn section(&mut self, tag: impl Into<TagKind>) -> Element {
        let element = self.element(tag.into());
        self.top.push(element);
        element
    }

    /// Adds an element within another.
    pub fn within(&mut self, parent: Element, tag: impl Into<TagKind>) -> Element {
        let element = self.element(tag.into());
        self.elements[parent.0].1.push(Child::Element(element));
        element
    }

    fn element(&mut self, tag: TagKind) -> Element {
        self.elements.push((tag, Vec::new()));
        Element(self.elements.len() - 1)
    }

    /// A place for the next piece of an element's content.
    pub fn slot(&mut self, element: Element) -> Slot {
        let slot = Slot(self.slots);
        self.slots += 1;
        self.elements[element.0].1.push(Child::Slot(slot));
        slot
    }

    /// The tree of the file, from what the pen has drawn.
    pub fn tree(&self, drawn: &Drawn) -> TagTree {
        let mut tree = TagTree::new();
        for element in &self.top {
            tree.push(self.group(*element, drawn));
        }
        tree
    }

    fn group(&self, element: Element, drawn: &Drawn) -> TagGroup {
        let (tag, children) = &self.elements[element.0];
        let children = children
            .iter()
            .filter_map(|child| match child {
                Child::Element(element) => Some(Node::Group(self.group(*element, drawn))),
                Child::Slot(slot) => drawn.0.get(slot.0).copied().flatten().map(Node::Leaf),
            })
            .collect();
        TagGroup::with_children(tag.clone(), children)
    }
}

/// What the pen has drawn: the identifier of each slot.
#[derive(Debug, Default)]
pub(super) struct Drawn(Vec<Option<Identifier>>);

impl Drawn {
    /// Notes the identifier of a slot.
    pub fn note(&mut self, slot: Slot, identifier: Identifier) {
        if self.0.len() <= slot.0 {
            self.0.resize(slot.0 + 1, None);
        }
        self.0[slot.0] = Some(identifier);
    }
}
