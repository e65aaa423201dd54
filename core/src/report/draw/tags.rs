//! What is a heading, a table, a figure, for those who hear a report.

use std::num::NonZeroU16;

use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ArtifactType, ContentTag, Identifier, ListNumbering, SpanTag, TableHeaderScope, Tag,
    TagGroup, TagKind, TagTree,
};

use crate::report::set::{Child, Kind, Tree};

/// Where the leaves of a tree were drawn.
pub(super) struct Tags<'t> {
    tree: &'t Tree,
    drawn: Vec<Vec<Identifier>>,
}

impl<'t> Tags<'t> {
    pub(super) fn new(tree: &'t Tree) -> Self {
        Self {
            tree,
            drawn: vec![Vec::new(); tree.leaves.len()],
        }
    }

    /// Begins what belongs to a leaf, or to none: what only decorates is not read aloud.
    pub(super) fn start(&mut self, surface: &mut Surface<'_>, leaf: Option<usize>) {
        let known = leaf.and_then(|at| Some((at, self.tree.leaves.get(at)?)));
        let Some((at, leaf)) = known else {
            let artifact = Artifact::with_kind(ArtifactType::Layout);
            surface.start_tagged(ContentTag::Artifact(artifact));
            return;
        };
        let first = self.drawn.get(at).is_some_and(Vec::is_empty);
        let identifier = if leaf.picture {
            surface.start_tagged(ContentTag::Other)
        } else {
            // What was written is read, whatever the typeface lacks of it; all of it with the
            // first line.
            let was = leaf.was.as_deref().map(|was| if first { was } else { "" });
            surface.start_tagged(ContentTag::Span(SpanTag::empty().with_actual_text(was)))
        };
        if let Some(drawn) = self.drawn.get_mut(at) {
            drawn.push(identifier);
        }
    }

    /// The whole.
    pub(super) fn tree(&self, language: &str) -> TagTree {
        let mut tree = TagTree::new().with_lang(Some(language.to_owned()));
        for child in self
            .tree
            .nodes
            .first()
            .iter()
            .flat_map(|node| &node.children)
        {
            if let Child::Node(at) = child
                && let Some(group) = self.group(*at)
            {
                tree.push(group);
            }
        }
        tree
    }

    fn group(&self, at: usize) -> Option<TagGroup> {
        let node = self.tree.nodes.get(at)?;
        let mut group = TagGroup::new(kind(&node.kind));
        for child in &node.children {
            match child {
                Child::Node(at) => {
                    if let Some(inner) = self.group(*at) {
                        group.push(inner);
                    }
                }
                Child::Leaf(at) => {
                    for identifier in self.drawn.get(*at).into_iter().flatten() {
                        group.push(*identifier);
                    }
                }
            }
        }
        // An empty cell is a cell all the same.
        let cell = matches!(node.kind, Kind::Cell | Kind::HeadOfRow | Kind::HeadOfColumn);
        (cell || !group.children.is_empty()).then_some(group)
    }
}

fn kind(kind: &Kind) -> TagKind {
    match kind {
        Kind::Document => Tag::Part.into(),
        Kind::Title(text) => heading(1, text),
        Kind::Heading(level, text) => heading(u16::from(*level), text),
        Kind::Paragraph => Tag::P.into(),
        Kind::List => Tag::L(ListNumbering::Disc).into(),
        Kind::Item => Tag::LI.into(),
        Kind::Bullet => Tag::Lbl.into(),
        Kind::Body => Tag::LBody.into(),
        Kind::Table(summary) if summary.is_empty() => Tag::Table.into(),
        Kind::Table(summary) => Tag::Table.with_summary(Some(summary.clone())).into(),
        Kind::Head => Tag::THead.into(),
        Kind::Rows => Tag::TBody.into(),
        Kind::Row => Tag::TR.into(),
        Kind::HeadOfColumn => Tag::TH(TableHeaderScope::Column).into(),
        Kind::HeadOfRow => Tag::TH(TableHeaderScope::Row).into(),
        Kind::Cell => Tag::TD.into(),
        Kind::Figure(spoken) => Tag::Figure(Some(spoken.clone())).into(),
        Kind::Caption => Tag::Caption.into(),
    }
}

fn heading(level: u16, text: &str) -> TagKind {
    let level = NonZeroU16::new(level).unwrap_or(NonZeroU16::MIN);
    Tag::Hn(level, Some(text.to_owned())).into()
}
