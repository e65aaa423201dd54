//! Film roll, filled and listened to.

use slint::ComponentHandle;
use tautbook_core::book::BookError;
use tautbook_core::survey::{ClingSide, FilmRoll, Id, PricePer};

use super::{entry, same};
use crate::app::App;
use crate::place::Place;
use crate::presenters::film_roll::{self, Field};
use crate::screens::{self, FilmRollAdapter, MainWindow, PriceBasis};
use crate::session::Session;

same!(
    field_out,
    field_in,
    screens::FilmRollField,
    Field {
        Name,
        Thickness,
        Width,
        Length,
        NetMass,
        Density,
        Price,
        Recycled,
        Arrow,
        Notes,
    }
);

pub(super) fn fill(
    window: &MainWindow,
    session: &Session,
    id: Id<FilmRoll>,
) -> Result<(), BookError> {
    let adapter = window.global::<FilmRollAdapter>();
    let view = film_roll::view(session, id)?;
    adapter.set_name(entry(view.name));
    adapter.set_thickness(entry(view.thickness));
    adapter.set_width(entry(view.width));
    adapter.set_length(entry(view.length));
    adapter.set_net_mass(entry(view.net_mass));
    adapter.set_density(entry(view.density));
    adapter.set_price_basis(match view.price_per {
        PricePer::Pound | PricePer::Kilogram => PriceBasis::ByMass,
        PricePer::Roll => PriceBasis::ByRoll,
    });
    adapter.set_price(entry(view.price));
    adapter.set_recycled(entry(view.recycled));
    adapter.set_cling(match view.cling {
        None => screens::Cling::NotSet,
        Some(ClingSide::Inside) => screens::Cling::Inside,
        Some(ClingSide::Outside) => screens::Cling::Outside,
        Some(ClingSide::Both) => screens::Cling::Both,
    });
    adapter.set_arrow(entry(view.arrow));
    adapter.set_notes(entry(view.notes));
    adapter.set_check_tone(screens::Tone::Warning);
    adapter.set_check(view.check.unwrap_or_default().into());
    Ok(())
}

fn here(session: &Session) -> Option<Id<FilmRoll>> {
    match session.here() {
        Place::FilmRoll(id) => Some(id),
        _ => None,
    }
}

/// Does something with the roll that is shown.
fn with(app: &App, work: impl FnOnce(&mut Session, Id<FilmRoll>) + 'static) {
    app.act(move |session| {
        if let Some(id) = here(session) {
            work(session, id);
        }
    });
}

pub(super) fn connect(window: &MainWindow, app: &App) {
    let adapter = window.global::<FilmRollAdapter>();
    let on = app.clone();
    adapter.on_draft(move |field, text| {
        on.note(move |session| {
            if here(session).is_some() {
                film_roll::draft(session, field_in(field), &text);
            }
        });
    });
    let on = app.clone();
    adapter.on_edit(move |field, text| {
        on.run(move |session| {
            if let Some(id) = here(session) {
                film_roll::edit(session, id, field_in(field), &text);
            }
        });
    });
    let on = app.clone();
    adapter.on_pick_price_basis(move |basis| {
        let per_roll = basis == PriceBasis::ByRoll;
        with(&on, move |session, id| {
            film_roll::pick_price_per_roll(session, id, per_roll);
        });
    });
    let on = app.clone();
    adapter.on_pick_cling(move |cling| {
        let cling = match cling {
            screens::Cling::NotSet => None,
            screens::Cling::Inside => Some(ClingSide::Inside),
            screens::Cling::Outside => Some(ClingSide::Outside),
            screens::Cling::Both => Some(ClingSide::Both),
        };
        with(&on, move |session, id| {
            film_roll::pick(session, id, |roll| roll.cling = cling);
        });
    });
    let on = app.clone();
    adapter.on_done(move || {
        on.act(|session| {
            session.back();
        });
    });
    let on = app.clone();
    adapter.on_set_aside(move || with(&on, film_roll::ask_set_aside));
}
