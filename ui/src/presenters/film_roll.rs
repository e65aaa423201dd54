//! Film roll: what its label, the scale and the customer say of it.

use tautbook_core::analysis::film::roll_length;
use tautbook_core::analysis::sizes::Size;
use tautbook_core::book::BookError;
use tautbook_core::language::Reader;
use tautbook_core::say;
use tautbook_core::survey::{ClingSide, FilmRoll, Id, Price, PricePer};
use tautbook_core::units::{
    DensityUnit, MassUnit, RatioUnit, Style, Typing, UnitChoice, parse_density, parse_length,
    parse_mass, parse_number, parse_ratio, parse_thickness, show_length, show_number,
};

use super::{load_mass_typing, load_mass_unit, sized, written};
use crate::session::{Entry, FieldError, Session, optional};

/// The fields of the form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Field {
    /// What it is called.
    Name,
    /// Nominal thickness.
    Thickness,
    /// Width.
    Width,
    /// Length.
    Length,
    /// Net mass.
    NetMass,
    /// Density.
    Density,
    /// Price.
    Price,
    /// Recycled content.
    Recycled,
    /// What the arrow on the core means.
    Arrow,
    /// Anything else.
    Notes,
}

impl Field {
    /// Every field of the form.
    const ALL: &'static [Self] = &[
        Self::Name,
        Self::Thickness,
        Self::Width,
        Self::Length,
        Self::NetMass,
        Self::Density,
        Self::Price,
        Self::Recycled,
        Self::Arrow,
        Self::Notes,
    ];

    const fn name(self) -> &'static str {
        match self {
            Self::Name => "name",
            Self::Thickness => "thickness",
            Self::Width => "width",
            Self::Length => "length",
            Self::NetMass => "net_mass",
            Self::Density => "density",
            Self::Price => "price",
            Self::Recycled => "recycled",
            Self::Arrow => "arrow",
            Self::Notes => "notes",
        }
    }
}

/// What the screen shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct View {
    /// Name.
    pub name: Entry,
    /// Thickness.
    pub thickness: Entry,
    /// Width.
    pub width: Entry,
    /// Length.
    pub length: Entry,
    /// Net mass.
    pub net_mass: Entry,
    /// Density.
    pub density: Entry,
    /// What the price is for.
    pub price_per: PricePer,
    /// Price.
    pub price: Entry,
    /// Recycled content.
    pub recycled: Entry,
    /// Which side clings.
    pub cling: Option<ClingSide>,
    /// What the arrow means.
    pub arrow: Entry,
    /// Notes.
    pub notes: Entry,
    /// What its numbers say together, when they do not agree.
    pub check: Option<String>,
}

/// Where the basis of a price is kept until the price is typed.
const PER_ROLL: &str = "price_per_roll";

/// The currency of a price that names none.
const CURRENCY: &str = "USD";

/// What the screen shows now.
///
/// # Errors
/// The store's errors.
pub fn view(session: &Session, id: Id<FilmRoll>) -> Result<View, BookError> {
    let roll = session.book().get(id)?;
    let units = session.units();
    let entry = |field: Field, kept: &str, hint: &str| session.entry(field.name(), kept, hint);
    let style = units.style();
    let price = roll.price.as_ref().map_or_else(String::new, |price| {
        format!(
            "{} {}",
            show_number(
                price.amount,
                &Style {
                    digits: Some(price_digits(price.amount)),
                    ..style
                }
            ),
            price.currency
        )
    });
    let price_per = match &roll.price {
        Some(price) => price.per,
        None if session.drafted(PER_ROLL).is_some() => PricePer::Roll,
        None => mass_basis(units),
    };
    let language = session.language();
    let price_hint = match price_per {
        PricePer::Pound => say!(language, "per lb"),
        PricePer::Kilogram => say!(language, "per kg"),
        PricePer::Roll => say!(language, "per roll"),
    };
    Ok(View {
        name: entry(Field::Name, &roll.name, ""),
        thickness: sized(
            session.language(),
            entry(
                Field::Thickness,
                written(roll.nominal_thickness.as_ref()),
                units.thickness.symbol(),
            ),
            Size::FilmThickness,
            roll.nominal_thickness.as_ref(),
            |thickness| thickness.m(),
        ),
        width: sized(
            session.language(),
            entry(
                Field::Width,
                written(roll.width.as_ref()),
                units.length.symbol(),
            ),
            Size::FilmWidth,
            roll.width.as_ref(),
            |width| width.m(),
        ),
        length: sized(
            session.language(),
            entry(
                Field::Length,
                written(roll.length.as_ref()),
                roll_length_unit(units).symbol(),
            ),
            Size::RollLength,
            roll.length.as_ref(),
            |length| length.m(),
        ),
        net_mass: sized(
            session.language(),
            entry(
                Field::NetMass,
                written(roll.net_mass.as_ref()),
                load_mass_unit(units).symbol(),
            ),
            Size::RollMass,
            roll.net_mass.as_ref(),
            |mass| mass.kg(),
        ),
        density: sized(
            session.language(),
            entry(Field::Density, written(roll.density.as_ref()), "g/cm³"),
            Size::FilmDensity,
            roll.density.as_ref(),
            |density| density.kg_per_m3(),
        ),
        price_per,
        price: Entry {
            // Beside a currency too.
            hint: price_hint,
            ..entry(Field::Price, &price, "")
        },
        recycled: entry(
            Field::Recycled,
            written(roll.recycled_content.as_ref()),
            "%",
        ),
        cling: roll.cling,
        arrow: entry(Field::Arrow, &roll.core_arrow, ""),
        notes: entry(Field::Notes, &roll.notes, ""),
        check: check(&roll, session.reader()),
    })
}

/// A label that is further off than this is said (common practice, no source).
const DISAGREES: f64 = 0.05;

/// What the roll's mass says of its length, where the label says something else.
fn check(roll: &FilmRoll, to: Reader) -> Option<String> {
    let claimed = roll.length.as_ref()?;
    let by_mass = roll_length(
        roll.net_mass.as_ref()?.value,
        roll.density.as_ref()?.value,
        roll.width.as_ref()?.value,
        roll.nominal_thickness.as_ref()?.value,
    )?;
    let off = by_mass.m() / claimed.value.m() - 1.0;
    if off.abs() <= DISAGREES {
        return None;
    }
    let style = to.units.style().with_digits(0);
    Some(say!(
        to.language,
        "By its mass the roll is {by_mass} long, not {claimed}. Weigh it without its core, or measure its thickness.",
        by_mass = show_length(by_mass, roll_length_unit(to.units), &style),
        claimed = claimed.text
    ))
}

fn mass_basis(units: UnitChoice) -> PricePer {
    match units.mass {
        MassUnit::PoundOunce | MassUnit::Ounce => PricePer::Pound,
        MassUnit::Kilogram | MassUnit::Gram => PricePer::Kilogram,
    }
}

/// Rolls are measured in feet or metres, loads in inches or millimetres.
fn roll_length_unit(units: UnitChoice) -> tautbook_core::units::LengthUnit {
    use tautbook_core::units::LengthUnit;
    match units.length {
        LengthUnit::Inch | LengthUnit::Foot => LengthUnit::Foot,
        LengthUnit::Millimetre | LengthUnit::Centimetre | LengthUnit::Metre => LengthUnit::Metre,
    }
}

/// Notes what stands half typed.
pub fn draft(session: &mut Session, field: Field, text: &str) {
    session.draft(field.name(), text);
}

/// Tries to keep whatever stands half typed, before the person goes on.
pub fn settle(session: &mut Session, id: Id<FilmRoll>) {
    for field in Field::ALL {
        if let Some(text) = session.unsettled(field.name()) {
            edit(session, id, *field, &text);
        }
    }
}

/// Keeps what was typed.
pub fn edit(session: &mut Session, id: Id<FilmRoll>, field: Field, text: &str) {
    let units = session.units();
    session.settle(field.name(), text, |session, text| {
        let words = text.trim().to_owned();
        let change = |session: &mut Session, edit: &dyn Fn(&mut FilmRoll)| {
            session.change("edit_film_roll", id, |roll: &mut FilmRoll| edit(roll))
        };
        match field {
            Field::Name => change(session, &|roll| roll.name.clone_from(&words)),
            Field::Arrow => change(session, &|roll| roll.core_arrow.clone_from(&words)),
            Field::Notes => change(session, &|roll| roll.notes.clone_from(&words)),
            Field::Thickness => {
                let value = optional(parse_thickness(text, &units.thickness_typing()))?;
                change(session, &|roll| roll.nominal_thickness.clone_from(&value))
            }
            Field::Width => {
                let value = optional(parse_length(text, &units.length_typing()))?;
                change(session, &|roll| roll.width.clone_from(&value))
            }
            Field::Length => {
                let typing = Typing::new(units.decimal, roll_length_unit(units));
                let value = optional(parse_length(text, &typing))?;
                change(session, &|roll| roll.length.clone_from(&value))
            }
            Field::NetMass => {
                let value = optional(parse_mass(text, &load_mass_typing(units)))?;
                change(session, &|roll| roll.net_mass.clone_from(&value))
            }
            Field::Density => {
                let typing = Typing::new(units.decimal, DensityUnit::GramPerCubicCentimetre);
                let value = optional(parse_density(text, &typing))?;
                change(session, &|roll| roll.density.clone_from(&value))
            }
            Field::Recycled => {
                let typing = Typing::new(units.decimal, RatioUnit::Percent);
                let value = optional(parse_ratio(text, &typing))?;
                change(session, &|roll| roll.recycled_content.clone_from(&value))
            }
            Field::Price => {
                let per = view(session, id)?.price_per;
                let price = parse_price(text, session.reader(), per)?;
                change(session, &|roll| roll.price.clone_from(&price))
            }
        }
    });
}

/// A price as typed: an amount, and the currency's code behind or before it if it is not dollars.
fn parse_price(text: &str, to: Reader, per: PricePer) -> Result<Option<Price>, FieldError> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    let letters: String = text.chars().filter(char::is_ascii_alphabetic).collect();
    let rest: String = text
        .chars()
        .filter(|sign| !sign.is_ascii_alphabetic())
        .collect();
    let currency = match letters.len() {
        0 => CURRENCY.to_owned(),
        3 => letters.to_ascii_uppercase(),
        _ => {
            return Err(FieldError::Text(say!(
                to.language,
                "write an amount and the currency’s three letters, such as 1.50 USD"
            )));
        }
    };
    let amount = parse_number(rest.trim(), to.units.decimal)?;
    Ok(Some(Price {
        amount,
        currency,
        per,
    }))
}

/// Decimals of a price: two, or as many as it was given with.
fn price_digits(amount: f64) -> u8 {
    let decimals = format!("{amount}")
        .split_once('.')
        .map_or(0, |(_, decimals)| decimals.len());
    u8::try_from(decimals.clamp(2, 6)).unwrap_or(6)
}

/// Chooses what the price is for.
pub fn pick_price_per_roll(session: &mut Session, id: Id<FilmRoll>, per_roll: bool) {
    let per = if per_roll {
        PricePer::Roll
    } else {
        mass_basis(session.units())
    };
    if per_roll {
        session.draft(PER_ROLL, "roll");
    } else {
        session.drop_draft(PER_ROLL);
    }
    pick(session, id, |roll| {
        if let Some(price) = &mut roll.price {
            price.per = per;
        }
    });
}

/// Changes a choice of the roll.
pub fn pick(session: &mut Session, id: Id<FilmRoll>, choose: impl FnOnce(&mut FilmRoll)) {
    let done = session
        .book
        .act("edit_film_roll", |act| act.change(id, choose));
    session.report(done);
}

/// Asks whether to set the roll aside.
pub fn ask_set_aside(session: &mut Session, id: Id<FilmRoll>) {
    let roll = session.book.get(id);
    let Some(roll) = session.report(roll) else {
        return;
    };
    let language = session.language();
    let leaves = say!(
        language,
        "{name} leaves the lists. Setups that name it keep its name. Nothing is deleted, and you can bring it back.",
        name = roll.name
    );
    let title = say!(language, "Set this roll aside?");
    super::ask_set_aside(session, title, leaves, roll.reference());
}
