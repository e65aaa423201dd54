//! Parts of a page in words, in the terms of the screens.

use tautbook_core::words::glue::unbroken;

use super::{model, tone_out};
use crate::presenters::block::{Block, Fact};
use crate::screens;

pub(super) fn block(block: &Block) -> screens::Block {
    screens::Block {
        lead: unbroken(&block.lead).into(),
        tone: tone_out(block.tone),
        facts: model(block.facts.iter().map(fact)),
        points: model(block.points.iter().map(|point| unbroken(point).into())),
    }
}

fn fact(fact: &Fact) -> screens::Fact {
    screens::Fact {
        label: unbroken(&fact.label).into(),
        value: unbroken(&fact.value).into(),
        detail: unbroken(&fact.detail).into(),
    }
}
