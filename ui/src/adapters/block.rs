//! Parts of a page in words, in the terms of the screens.

use super::{model, tone_out};
use crate::presenters::block::{Block, Fact};
use crate::screens;

pub(super) fn block(block: Block) -> screens::Block {
    screens::Block {
        lead: block.lead.into(),
        tone: tone_out(block.tone),
        facts: model(block.facts.into_iter().map(fact)),
        points: model(block.points.into_iter().map(Into::into)),
    }
}

fn fact(fact: Fact) -> screens::Fact {
    screens::Fact {
        label: fact.label.into(),
        value: fact.value.into(),
        detail: fact.detail.into(),
    }
}
