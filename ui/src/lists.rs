//! Lists that may grow to any length on a page with more on it, shown some at a time.

use std::collections::HashMap;
use std::ops::{Deref, Range};

use crate::place::Place;

/// A list that may be of any length.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum List {
    /// The lines of a visit.
    Lines,
    /// The setups of a line.
    Setups,
    /// The film rolls of a visit.
    Rolls,
    /// The film rolls that a setup may be run with.
    RollChoices,
    /// The setups that may be compared.
    SetupChoices,
    /// What to bring on a visit.
    Bag,
    /// The loads of a setup.
    Loads,
    /// The weighings of a load.
    Weighings,
    /// The photos of a record.
    Photos,
    /// The records below that have photos of their own.
    Below,
    /// The samples kept on a visit.
    Samples,
    /// What became of a sample.
    Events,
}

impl List {
    /// So many are shown at a time. In the largest words on a sharp screen many more would make a sheet that
    /// is longer than can be drawn (32767 pixels).
    const fn shown(self) -> usize {
        match self {
            Self::Photos | Self::RollChoices => 6,
            Self::Lines
            | Self::Setups
            | Self::Rolls
            | Self::SetupChoices
            | Self::Loads
            | Self::Weighings
            | Self::Below
            | Self::Samples
            | Self::Events => 10,
            Self::Bag => 15,
        }
    }

    /// Whether those that were added last are shown at first: they come last in their order.
    const fn starts_at_its_end(self) -> bool {
        !matches!(self, Self::Bag | Self::Photos | Self::Below | Self::Events)
    }

    /// Which of `all` are shown on a page; after the last page comes the first again.
    fn range(self, page: usize, all: usize) -> Range<usize> {
        let shown = self.shown();
        // Some may have been set aside since the page was turned.
        let before = page % all.div_ceil(shown).max(1) * shown;
        let after = before.saturating_add(shown).min(all);
        if self.starts_at_its_end() {
            all - after..all - before
        } else {
            before..after
        }
    }
}

/// What is shown of a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shown<T> {
    /// What is shown, in the order of the list.
    pub rows: Vec<T>,
    /// How many there are in all.
    pub all: usize,
}

impl<T> Shown<T> {
    /// The same rows as something else.
    pub(crate) fn map<U>(self, of: impl FnMut(T) -> U) -> Shown<U> {
        Shown {
            rows: self.rows.into_iter().map(of).collect(),
            all: self.all,
        }
    }

    /// The same rows as something else, where that can be had of each.
    pub(crate) fn try_map<U, E>(self, of: impl FnMut(T) -> Result<U, E>) -> Result<Shown<U>, E> {
        Ok(Shown {
            rows: self.rows.into_iter().map(of).collect::<Result<_, E>>()?,
            all: self.all,
        })
    }
}

impl<T> Deref for Shown<T> {
    type Target = [T];

    fn deref(&self) -> &[T] {
        &self.rows
    }
}

impl<T> IntoIterator for Shown<T> {
    type Item = T;
    type IntoIter = std::vec::IntoIter<T>;

    fn into_iter(self) -> Self::IntoIter {
        self.rows.into_iter()
    }
}

/// Which page of each list is shown, while its place is on the way; the first of any other.
#[derive(Debug, Default)]
pub(crate) struct Pages(HashMap<(Place, List), usize>);

impl Pages {
    /// What is shown of a list.
    pub(crate) fn shown<T>(&self, place: Place, list: List, mut rows: Vec<T>) -> Shown<T> {
        let page = self.0.get(&(place, list)).copied().unwrap_or_default();
        let all = rows.len();
        let range = list.range(page, all);
        rows.truncate(range.end);
        rows.drain(..range.start);
        Shown { rows, all }
    }

    /// Shows others of a list, and after the last of them the first again.
    pub(crate) fn turn(&mut self, place: Place, list: List) {
        let page = self.0.entry((place, list)).or_default();
        *page = page.wrapping_add(1);
    }

    /// Shows the end of a list of so many that is shown from its start.
    pub(crate) fn turn_to_end(&mut self, place: Place, list: List, all: usize) {
        let page = all.saturating_sub(1) / list.shown();
        self.0.insert((place, list), page);
    }

    /// Forgets the pages of places that are left.
    pub(crate) fn keep(&mut self, is_on_the_way: impl Fn(Place) -> bool) {
        self.0.retain(|(place, _), _| is_on_the_way(*place));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_is_on_one_page_and_the_first_comes_after_the_last() {
        for list in [List::Photos, List::Samples] {
            let shown = list.shown();
            for all in [0, 1, shown - 1, shown, shown + 1, 3 * shown, 3 * shown + 2] {
                let pages = all.div_ceil(shown).max(1);
                let mut seen: Vec<usize> = (0..pages).flat_map(|n| list.range(n, all)).collect();
                seen.sort_unstable();
                assert_eq!(seen, (0..all).collect::<Vec<_>>(), "{list:?} of {all}");
                assert_eq!(list.range(pages, all), list.range(0, all));
            }
        }
        assert_eq!(List::Samples.range(0, 23), 13..23, "those added last");
        assert_eq!(List::Samples.range(2, 23), 0..3);
        assert_eq!(List::Photos.range(0, 23), 0..6, "as they were put in order");
    }

    #[test]
    fn a_page_is_forgotten_with_its_place() {
        let mut pages = Pages::default();
        let first = |pages: &Pages| {
            pages
                .shown(Place::Find, List::Photos, (0..20).collect())
                .rows[0]
        };
        pages.turn(Place::Find, List::Photos);
        assert_eq!(first(&pages), 6);
        pages.keep(|place| place == Place::Find);
        assert_eq!(first(&pages), 6);
        pages.turn_to_end(Place::Find, List::Photos, 20);
        assert_eq!(first(&pages), 18);
        pages.keep(|_| false);
        assert_eq!(first(&pages), 0);
    }
}
