//! The structure of a report for those who hear it: what is a heading, a table, a figure.

/// What a part is.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::report) enum Kind {
    Document,
    Title(String),
    Heading(u8, String),
    Paragraph,
    List,
    Item,
    Bullet,
    Body,
    Table(String),
    Head,
    Rows,
    Row,
    HeadOfColumn,
    HeadOfRow,
    Cell,
    Figure(String),
    Caption,
}

/// A part.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::report) struct Node {
    pub(in crate::report) kind: Kind,
    pub(in crate::report) children: Vec<Child>,
}

/// What a part holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::report) enum Child {
    /// Another part.
    Node(usize),
    /// What is drawn under this number.
    Leaf(usize),
}

/// What of the drawing under a number has to be known.
#[derive(Debug, Clone, Default, PartialEq)]
pub(in crate::report) struct Leaf {
    /// What it was before signs were replaced.
    pub(in crate::report) was: Option<String>,
    /// It is a picture or chart.
    pub(in crate::report) picture: bool,
}

/// The whole.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::report) struct Tree {
    pub(in crate::report) nodes: Vec<Node>,
    pub(in crate::report) leaves: Vec<Leaf>,
    open: Vec<usize>,
}

impl Tree {
    pub(super) fn new() -> Self {
        Self {
            nodes: vec![Node {
                kind: Kind::Document,
                children: Vec::new(),
            }],
            leaves: Vec::new(),
            open: vec![0],
        }
    }

    fn hold(&mut self, child: Child) {
        let within = self.open.last().copied().unwrap_or(0);
        if let Some(node) = self.nodes.get_mut(within) {
            node.children.push(child);
        }
    }

    pub(super) fn open(&mut self, kind: Kind) {
        let at = self.nodes.len();
        self.hold(Child::Node(at));
        self.nodes.push(Node {
            kind,
            children: Vec::new(),
        });
        self.open.push(at);
    }

    pub(super) fn close(&mut self) {
        if self.open.len() > 1 {
            self.open.pop();
        }
    }

    pub(super) fn leaf(&mut self, leaf: Leaf) -> usize {
        let at = self.leaves.len();
        self.leaves.push(leaf);
        self.hold(Child::Leaf(at));
        at
    }

    /// A part that holds one drawing alone.
    pub(super) fn only(&mut self, kind: Kind, leaf: Leaf) -> usize {
        self.open(kind);
        let leaf = self.leaf(leaf);
        self.close();
        leaf
    }
}
