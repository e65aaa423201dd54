//! Pages drawn into a PDF file.

mod brush;
mod photo;
mod scene;
mod tags;

use std::ops::ControlFlow;

use krilla::configure::{Accessibility, ConfigurationBuilder};
use krilla::destination::XyzDestination;
use krilla::geom::Point;
use krilla::metadata::Metadata;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::{Document, SerializeSettings};

use super::ReportError;
use super::content::Content;
use super::set::{Bookmark, Fonts, Mark, Placed, Set};
use crate::dayfile::{Progress, Step, Watch};
use brush::{Brush, pt};
pub(super) use photo::Photos;
use tags::Tags;

/// Draws everything. Whoever looks at it by ear gets the same (PDF/UA-1, ISO 14289-1).
pub(super) fn draw(
    set: &Set,
    content: &Content,
    photos: &Photos<'_>,
    watch: &mut Watch<'_>,
) -> Result<Vec<u8>, ReportError> {
    let wrong = |what: &str| ReportError::Drawing(what.to_owned());
    let configuration = ConfigurationBuilder::new()
        .with_accessibility_validator(Accessibility::UA1)
        .finish()
        .map_err(|error| ReportError::Drawing(format!("{error:?}")))?;
    let mut document = Document::new_with(SerializeSettings {
        configuration,
        ..SerializeSettings::default()
    });
    document.set_metadata(
        Metadata::new()
            .title(content.title.clone())
            .language(content.language.code().to_owned())
            .creator("Tautbook".to_owned()),
    );
    let mut brush = Brush::new()?;
    let mut tags = Tags::new(&set.tree);
    let (width, height) = set.paper.size();
    let of = set.pages.iter().flat_map(|page| &page.marks);
    let of = of.filter(|placed| matches!(placed.mark, Mark::Photo(_)));
    let of = u64::try_from(of.count()).unwrap_or(u64::MAX);
    let mut done = 0;
    for page in &set.pages {
        let settings =
            PageSettings::from_wh(pt(width), pt(height)).ok_or_else(|| wrong("its page"))?;
        let mut sheet = document.start_page_with(settings);
        let mut surface = sheet.surface();
        let mut marks = page.marks.as_slice();
        while let Some(first) = marks.first() {
            let same = marks.iter().take_while(|placed| placed.leaf == first.leaf);
            let (group, rest) = marks.split_at(same.count());
            tags.start(&mut surface, first.leaf);
            for Placed { mark, .. } in group {
                if let Mark::Photo(photo) = mark {
                    let told = watch(Progress {
                        step: Step::Photos,
                        done,
                        of,
                    });
                    if told == ControlFlow::Break(()) {
                        surface.end_tagged();
                        return Err(ReportError::Cancelled);
                    }
                    photos.draw(&mut surface, &mut brush, photo)?;
                    done += 1;
                } else {
                    brush.mark(&mut surface, mark)?;
                }
            }
            surface.end_tagged();
            marks = rest;
        }
        surface.finish();
        sheet.finish();
    }
    document.set_outline(outline(&set.bookmarks));
    document.set_tag_tree(tags.tree(content.language.code()));
    document
        .finish()
        .map_err(|error| ReportError::Drawing(format!("{error:?}")))
}

/// The outline, each level under the one before.
fn outline(bookmarks: &[Bookmark]) -> Outline {
    let mut outline = Outline::new();
    let mut rest = bookmarks;
    while let Some((first, after)) = rest.split_first() {
        let under = after
            .iter()
            .take_while(|mark| mark.level > first.level && first.level > 1)
            .count();
        let mut node = entry(first);
        for mark in &after[..under] {
            node.push_child(entry(mark));
        }
        outline.push_child(node);
        rest = &after[under..];
    }
    outline
}

fn entry(mark: &Bookmark) -> OutlineNode {
    let at = Point::from_xy(0.0, pt(mark.y - 12.0));
    OutlineNode::new(mark.text.clone(), XyzDestination::new(mark.page, at))
}

/// Fonts for what is drawn.
fn fonts() -> Result<Fonts, ReportError> {
    Fonts::new()
}
