//! Chunks filled into pages, with what stands on every page.

use super::lines::{Type, cut};
use super::mark::{Mark, Paint, Placed};
use super::text::text;
use super::tree::Tree;
use super::{Chunk, Setter};
use crate::report::ReportError;
use crate::report::content::Content;
use crate::report::paper::Paper;

/// One page.
#[derive(Debug, Clone, Default, PartialEq)]
pub(in crate::report) struct Page {
    pub(in crate::report) marks: Vec<Placed>,
}

/// An entry of the outline.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::report) struct Bookmark {
    pub(in crate::report) level: u8,
    pub(in crate::report) text: String,
    pub(in crate::report) page: usize,
    pub(in crate::report) y: f64,
}

/// Everything in its place.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::report) struct Set {
    pub(in crate::report) paper: Paper,
    pub(in crate::report) pages: Vec<Page>,
    pub(in crate::report) tree: Tree,
    pub(in crate::report) bookmarks: Vec<Bookmark>,
    /// Signs that stand as question marks.
    pub(in crate::report) missing: Vec<char>,
}

/// More pages than anybody's report has.
const MOST_PAGES: usize = 5_000;

const RUNNING: Type = Type::new(8.0, false);

pub(super) fn fill(
    mut setter: Setter,
    content: &Content,
    paper: Paper,
) -> Result<Set, ReportError> {
    let chunks = std::mem::take(&mut setter.chunks);
    let mut pages: Vec<Page> = vec![Page::default()];
    let mut bookmarks = Vec::new();
    let mut used = 0.0;
    let mut at = 0;
    while at < chunks.len() {
        // What has to stand together.
        let mut end = at + 1;
        while end < chunks.len() && chunks[end - 1].keep {
            end += 1;
        }
        let group = &chunks[at..end];
        let head = group.first().and_then(|chunk| chunk.head);
        let repeated = head.and_then(|head| setter.heads.get(head));
        let height: f64 = group.iter().map(|chunk| chunk.before + chunk.height).sum();
        let begins = group.first().is_some_and(|chunk| chunk.new_page);
        if used > 0.0 && (begins || used + height > setter.height) {
            pages.push(Page::default());
            used = 0.0;
            if let Some(head) = repeated {
                place(head, &mut pages, &mut used, true);
            }
        }
        for chunk in group {
            if used > 0.0 && used + chunk.before + chunk.height > setter.height {
                pages.push(Page::default());
                used = 0.0;
            }
            if let Some((level, said)) = &chunk.bookmark {
                bookmarks.push(Bookmark {
                    level: *level,
                    text: said.clone(),
                    page: pages.len() - 1,
                    y: Paper::TOP + used,
                });
            }
            place(chunk, &mut pages, &mut used, false);
        }
        if pages.len() > MOST_PAGES {
            return Err(ReportError::TooLong);
        }
        at = end;
    }
    running(&mut setter, content, paper, &mut pages);
    Ok(Set {
        paper,
        pages,
        tree: setter.tree,
        bookmarks,
        missing: setter.fonts.missing.into_iter().collect(),
    })
}

/// Puts a chunk under what is there. What is drawn once more is for the eye only.
fn place(chunk: &Chunk, pages: &mut [Page], used: &mut f64, again: bool) {
    if *used > 0.0 {
        *used += chunk.before;
    }
    if let Some(page) = pages.last_mut() {
        let y = Paper::TOP + *used;
        page.marks.extend(chunk.marks.iter().map(|placed| Placed {
            leaf: placed.leaf.filter(|_| !again),
            mark: placed.mark.clone().moved(Paper::SIDE, y),
        }));
    }
    *used += chunk.height;
}

/// What stands on every page: what it is of, over all but the first, and its number.
fn running(setter: &mut Setter, content: &Content, paper: Paper, pages: &mut [Page]) {
    let (_, high) = paper.size();
    let many = pages.len();
    let width = setter.width;
    let name = setter.fonts.clean(&content.running).text;
    for (at, page) in pages.iter_mut().enumerate() {
        let mut add = |mark| page.marks.push(Placed { leaf: None, mark });
        let number = (content.page_of)(content.language, at + 1, many);
        let number = setter.fonts.clean(&number).text;
        let wide = setter.fonts.width(&number, RUNNING.size, false);
        let foot = high - Paper::FOOT + 20.0;
        add(Mark::Bar {
            x: Paper::SIDE,
            y: foot - 4.0,
            width,
            height: 0.5,
            paint: Paint::RULE,
        });
        let x = Paper::SIDE + width - wide;
        add(text(x, foot, RUNNING, Paint::MUTED, number));
        let said = cut(&setter.fonts, &name, width - wide - 20.0, RUNNING);
        if !said.is_empty() {
            add(text(Paper::SIDE, foot, RUNNING, Paint::MUTED, said));
        }
    }
}
