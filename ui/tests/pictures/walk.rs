//! The real elements of a screen: where each one lies, what it holds and how a hand reaches it.

use std::ops::ControlFlow;

use i_slint_core::accessibility::AccessibleStringProperty;
use i_slint_core::item_tree::{ItemRc, ParentItemTraversalMode};
use i_slint_core::items::{
    AccessibleRole, Clip, ComplexText, Flickable, Opacity, Orientation, SimpleText, TextInput,
    TextWrap, TouchArea,
};
use i_slint_core::lengths::LogicalRect;
use i_slint_core::window::{WindowAdapterRc, WindowInner};
use slint::{SharedString, Window};

/// A place on the window, in logical pixels.
pub(crate) type Area = LogicalRect;

/// Words on the screen.
#[derive(Debug, Clone)]
pub(crate) struct Words {
    pub(crate) text: String,
    /// The box they are given.
    pub(crate) given: Area,
    /// How wide and high they are at the width of the box.
    pub(crate) wide: f32,
    pub(crate) high: f32,
    pub(crate) font_size: f32,
    pub(crate) font_weight: i32,
    pub(crate) wraps: bool,
    /// They are drawn with something shining through.
    pub(crate) faint: bool,
    pub(crate) place: Surroundings,
}

/// Something that can be pressed.
#[derive(Debug, Clone)]
pub(crate) struct Target {
    pub(crate) area: Area,
    /// What a screen reader says of it; none where nothing does.
    pub(crate) label: Option<String>,
    /// A key of Read.
    pub(crate) key: bool,
    pub(crate) place: Surroundings,
}

/// What an element lies in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Surroundings {
    /// A page that moves under the finger.
    pub(crate) on_page: bool,
    /// What is left of it by what clips it, without the page's own edge.
    pub(crate) seen: Option<Area>,
}

/// What a screen is made of.
#[derive(Debug, Default)]
pub(crate) struct Walked {
    pub(crate) words: Vec<Words>,
    pub(crate) targets: Vec<Target>,
    /// What part of the window the page has.
    pub(crate) page: Option<Area>,
}

fn parents(item: &ItemRc) -> impl Iterator<Item = ItemRc> {
    std::iter::successors(Some(item.clone()), |item| {
        item.parent_item(ParentItemTraversalMode::StopAtPopups)
    })
    .skip(1)
}

fn area(item: &ItemRc) -> Area {
    let geometry = item.geometry();
    Area::new(item.map_to_window(geometry.origin), geometry.size)
}

fn label(item: &ItemRc) -> Option<String> {
    item.accessible_string_property(AccessibleStringProperty::Label)
        .map(|label| label.to_string())
        .filter(|label| !label.trim().is_empty())
}

/// Whether it is of a component of this name.
fn is_a(item: &ItemRc, name: &str) -> bool {
    (0..item.element_count().unwrap_or(0)).any(|element| {
        item.element_type_names_and_ids(element)
            .is_some_and(|types| types.iter().any(|(type_name, _)| type_name == name))
    })
}

const PRESSED: [AccessibleRole; 8] = [
    AccessibleRole::Button,
    AccessibleRole::Checkbox,
    AccessibleRole::RadioButton,
    AccessibleRole::ListItem,
    AccessibleRole::Tab,
    AccessibleRole::Switch,
    AccessibleRole::Slider,
    AccessibleRole::Image,
];

/// What a screen reader says of what is pressed here.
fn spoken(touched: &ItemRc) -> Option<String> {
    for parent in parents(touched) {
        if PRESSED.contains(&parent.accessible_role()) {
            return label(&parent);
        }
        // The written line of a form: the text in it has the label.
        if let Some(found) = parent.visit_descendants(|inner| {
            if inner.accessible_role() == AccessibleRole::TextInput {
                ControlFlow::Break(label(inner))
            } else {
                ControlFlow::Continue(())
            }
        }) {
            return found;
        }
        if parent.accessible_role() != AccessibleRole::None {
            return None;
        }
    }
    None
}

/// What it lies in; `None` where it is not shown.
fn surroundings(item: &ItemRc) -> Option<Surroundings> {
    let mut place = Surroundings {
        on_page: false,
        seen: Some(Area::new(
            i_slint_core::lengths::LogicalPoint::new(-1e5, -1e5),
            i_slint_core::lengths::LogicalSize::new(2e5, 2e5),
        )),
    };
    for parent in parents(item) {
        if let Some(opacity) = parent.downcast::<Opacity>()
            && opacity.as_pin_ref().opacity() == 0.0
        {
            return None;
        }
        if let Some(clip) = parent.downcast::<Clip>() {
            let clip = clip.as_pin_ref();
            if clip.clip() {
                if clip.is_visibility_clip() {
                    return None;
                }
                if !place.on_page {
                    place.seen = place
                        .seen
                        .and_then(|seen| seen.intersection(&area(&parent)));
                }
            }
        }
        if parent.downcast::<Flickable>().is_some() {
            place.on_page = true;
        }
    }
    Some(place)
}

struct Measured {
    text: SharedString,
    font_size: f32,
    font_weight: i32,
    wraps: bool,
}

fn measured(item: &ItemRc) -> Option<Measured> {
    if let Some(text) = item.downcast::<ComplexText>() {
        let text = text.as_pin_ref();
        return Some(Measured {
            text: text.text(),
            font_size: text.font_size().get(),
            font_weight: text.font_weight(),
            wraps: text.wrap() != TextWrap::NoWrap,
        });
    }
    // What was typed, where it is not told in full beside it.
    if let Some(text) = item.downcast::<TextInput>() {
        let text = text.as_pin_ref();
        return (!text.color().is_transparent()).then(|| Measured {
            text: text.text(),
            font_size: text.font_size().get(),
            font_weight: text.font_weight(),
            wraps: text.wrap() != TextWrap::NoWrap,
        });
    }
    let text = item.downcast::<SimpleText>()?;
    let text = text.as_pin_ref();
    Some(Measured {
        text: text.text(),
        font_size: text.font_size().get(),
        font_weight: text.font_weight(),
        wraps: false,
    })
}

fn words(item: &ItemRc, adapter: &WindowAdapterRc) -> Option<Words> {
    let text = measured(item)?;
    let place = surroundings(item)?;
    if text.text.trim().is_empty() {
        return None;
    }
    let given = area(item);
    let info = |orientation, across| {
        item.borrow()
            .as_ref()
            .layout_info(orientation, across, adapter, item)
    };
    Some(Words {
        text: text.text.to_string(),
        given,
        wide: info(Orientation::Horizontal, -1.0).preferred,
        high: info(Orientation::Vertical, given.size.width).preferred,
        font_size: text.font_size,
        font_weight: text.font_weight,
        wraps: text.wraps,
        faint: parents(item).any(|parent| {
            parent
                .downcast::<Opacity>()
                .is_some_and(|opacity| opacity.as_pin_ref().opacity() < 1.0)
        }),
        place,
    })
}

/// Walks what is shown of the window: all of it, or the question or message that lies over it.
pub(crate) fn walk(window: &Window) -> Walked {
    let inner = WindowInner::from_pub(window);
    let adapter = inner.window_adapter();
    let root = ItemRc::new_root(inner.component());
    let mut top = root.clone();
    for over in ["QuestionPanel", "Banner"] {
        let found = root.visit_descendants(|item| {
            if is_a(item, over) && surroundings(item).is_some() {
                ControlFlow::Break(item.clone())
            } else {
                ControlFlow::Continue(())
            }
        });
        if let Some(found) = found {
            top = found;
            break;
        }
    }
    let mut walked = Walked::default();
    top.visit_descendants::<()>(|item| {
        // The mark its makers ask for has words and sizes of its own.
        if parents(item).any(|parent| is_a(&parent, "AboutSlint")) {
            return ControlFlow::Continue(());
        }
        if let Some(words) = words(item, &adapter) {
            walked.words.push(words);
        }
        if let Some(touched) = item.downcast::<TouchArea>() {
            let blocks = parents(item).next().is_none_or(|parent| {
                ["QuestionPanel", "Banner", "GloveKeyboard"]
                    .iter()
                    .any(|name| is_a(&parent, name))
            });
            if let (true, false, Some(place)) =
                (touched.as_pin_ref().enabled(), blocks, surroundings(item))
            {
                walked.targets.push(Target {
                    area: area(item),
                    label: spoken(item),
                    key: parents(item).take(3).any(|parent| is_a(&parent, "Key"))
                        && parents(item).any(|parent| is_a(&parent, "ReadScreen")),
                    place,
                });
            }
        }
        if item.downcast::<Flickable>().is_some() && surroundings(item).is_some() {
            walked.page.get_or_insert(area(item));
        }
        ControlFlow::Continue(())
    });
    walked
}
