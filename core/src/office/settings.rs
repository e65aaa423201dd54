//! Whether two setups are set alike.

use crate::survey::{FilmRoll, Record, RecordSet, Setup, Spiral};
use crate::units::{Entered, Length, Quantity};

use super::plain_name;

/// Two written values are alike when they differ by less than this part: the same setting noted in
/// inches and in millimetres.
const ALIKE: f64 = 2e-3;

/// A setting that is noted on both setups and differs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Field {
    /// Its name in the record.
    pub name: &'static str,
    /// As it was, in the words it was written in.
    pub then: String,
    /// As it is.
    pub now: String,
}

/// How two setups compare, setting by setting.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Settings {
    /// Settings noted on both and alike.
    pub alike: Vec<&'static str>,
    /// Settings noted on both that differ.
    pub differ: Vec<Field>,
    /// Settings noted on one of them only.
    pub on_one_only: Vec<&'static str>,
}

impl Settings {
    /// Whether the two are set alike; `None` where nothing was noted on both.
    #[must_use]
    pub fn same(&self) -> Option<bool> {
        if self.differ.is_empty() && self.alike.is_empty() {
            return None;
        }
        Some(self.differ.is_empty())
    }

    fn note<T>(
        &mut self,
        name: &'static str,
        (then, now): (Option<T>, Option<T>),
        alike: impl Fn(&T, &T) -> bool,
        said: impl Fn(&T) -> String,
    ) {
        match (then, now) {
            (None, None) => {}
            (Some(then), Some(now)) if alike(&then, &now) => self.alike.push(name),
            (Some(then), Some(now)) => self.differ.push(Field {
                name,
                then: said(&then),
                now: said(&now),
            }),
            _ => self.on_one_only.push(name),
        }
    }

    fn entered<Q: Quantity>(
        &mut self,
        name: &'static str,
        then: Option<&Entered<Q>>,
        now: Option<&Entered<Q>>,
    ) {
        self.note(
            name,
            (then, now),
            |a, b| quantities(a, b),
            |of| of.text.clone(),
        );
    }

    fn turns(&mut self, name: &'static str, then: Option<f64>, now: Option<f64>) {
        self.note(name, (then, now), |a, b| near(*a, *b), ToString::to_string);
    }

    fn words(&mut self, name: &'static str, then: &str, now: &str) {
        let some = |text: &str| (!text.trim().is_empty()).then(|| text.trim().to_owned());
        let alike = |a: &String, b: &String| plain_name(a) == plain_name(b);
        self.note(name, (some(then), some(now)), alike, Clone::clone);
    }

    fn spiral(&mut self, name: &'static str, then: Option<&Spiral>, now: Option<&Spiral>) {
        let alike = |a: &&Spiral, b: &&Spiral| match (a, b) {
            (Spiral::Pitch(a), Spiral::Pitch(b)) | (Spiral::Overlap(a), Spiral::Overlap(b)) => {
                quantities(a, b)
            }
            _ => false,
        };
        let said = |of: &&Spiral| {
            let (what, length): (_, &Entered<Length>) = match of {
                Spiral::Pitch(length) => ("pitch", length),
                Spiral::Overlap(length) => ("overlap", length),
            };
            format!("{what} {}", length.text)
        };
        self.note(name, (then, now), alike, said);
    }
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= ALIKE * a.abs().max(b.abs())
}

fn quantities<Q: Quantity>(a: &Entered<Q>, b: &Entered<Q>) -> bool {
    near(a.value.stored(), b.value.stored())
}

/// How the setup found now compares with one of an earlier visit; each with the records it is among.
#[must_use]
pub fn differences(
    (then, among): (&Record<Setup>, &RecordSet),
    (now, among_now): (&Record<Setup>, &RecordSet),
) -> Settings {
    fn roll<'a>(setup: &Setup, among: &'a RecordSet) -> Option<&'a Record<FilmRoll>> {
        let id = setup.film_roll?;
        among.film_rolls.iter().find(|roll| roll.id == id)
    }
    let mut found = Settings::default();
    let (old, new) = (roll(then, among), roll(now, among_now));
    let name = |roll: Option<&Record<FilmRoll>>| roll.map(|roll| roll.name.clone());
    found.words(
        "film",
        &name(old).unwrap_or_default(),
        &name(new).unwrap_or_default(),
    );
    found.entered(
        "film_nominal_thickness",
        old.and_then(|roll| roll.nominal_thickness.as_ref()),
        new.and_then(|roll| roll.nominal_thickness.as_ref()),
    );
    found.entered(
        "film_width",
        old.and_then(|roll| roll.width.as_ref()),
        new.and_then(|roll| roll.width.as_ref()),
    );
    let (old, new) = (&then.settings, &now.settings);
    found.entered(
        "start_height",
        old.start_height.as_ref(),
        new.start_height.as_ref(),
    );
    found.turns("bottom_turns", old.bottom_turns, new.bottom_turns);
    found.turns("top_turns", old.top_turns, new.top_turns);
    found.spiral("up", old.up.as_ref(), new.up.as_ref());
    found.spiral("down", old.down.as_ref(), new.down.as_ref());
    found.entered("over_top", old.over_top.as_ref(), new.over_top.as_ref());
    found.words("film_force", &old.film_force, &new.film_force);
    found.entered(
        "pre_stretch",
        old.pre_stretch.as_ref(),
        new.pre_stretch.as_ref(),
    );
    found
}
