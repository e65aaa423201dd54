//! The window on a book.

use std::cell::RefCell;
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::time::Duration;

use anyhow::Context as _;
use slint::{ComponentHandle, LogicalSize};
use tautbook_core::book::{Book, BookError, Opened};
use tautbook_core::survey::{FilmWeight, Load, Reading, Setup};
use tautbook_ui::app::App;
use tautbook_ui::place::{Place, Scope};
use tautbook_ui::presenters::title::way_to;
use tautbook_ui::presenters::{compare, load, plan};
use tautbook_ui::screens::MainWindow;
use tautbook_ui::session::Session;

use crate::workstation::Workstation;

/// The size of a phone, in logical pixels.
const PHONE: (f32, f32) = (412.0, 915.0);

/// Between one picture and the next: time for the window to take its size and draw.
const A_MOMENT: Duration = Duration::from_millis(150);

/// Opens the window on `book` and returns when it is closed. With `pictures`, writes pictures of
/// the main screens to that folder and closes by itself.
///
/// # Errors
/// Without a display, or when a picture cannot be written.
pub(crate) fn open_window(
    book: Book,
    opened: &Opened,
    pictures: Option<&Path>,
) -> anyhow::Result<()> {
    let window = MainWindow::new().context(
        "no window can be opened here: on a machine without a display, use the desk commands \
         (tautbook --help)",
    )?;
    window.window().set_size(LogicalSize::new(PHONE.0, PHONE.1));
    let session = Session::resume(book, opened, Box::new(Workstation::default()))?;
    let app = App::start(&window, session);
    let Some(folder) = pictures else {
        window.run().context("the window could not be shown")?;
        return Ok(());
    };
    std::fs::create_dir_all(folder)
        .with_context(|| format!("the folder {} could not be made", folder.display()))?;
    let places = app.look(|session| main_places(session.book()))?;
    window.show().context("the window could not be shown")?;
    let done = Rc::new(RefCell::new(Ok(())));
    let round = Round {
        window: window.as_weak(),
        app,
        folder: folder.to_owned(),
        places: places.into_iter(),
        done: done.clone(),
    };
    slint::Timer::single_shot(A_MOMENT, move || round.next());
    slint::run_event_loop().context("the window could not be shown")?;
    window.hide().ok();
    done.replace(Ok(()))
}

/// The main screens by name, on the load with the most readings among those whose film was
/// weighed.
fn main_places(book: &Book) -> Result<Vec<(&'static str, Place)>, BookError> {
    let mut places = vec![("01-today", Place::Today)];
    let mut best: Option<(usize, tautbook_core::survey::Record<Load>)> = None;
    for visit in book.visits(0, 50)? {
        for line in book.children::<tautbook_core::survey::Line, _>(visit.id)? {
            for setup in book.children::<Setup, _>(line.id)? {
                for load in book.children::<Load, _>(setup.id)? {
                    let weighed = !book.children::<FilmWeight, _>(load.id)?.is_empty();
                    let readings = book.children::<Reading, _>(load.id)?.len();
                    if weighed && best.as_ref().is_none_or(|(most, _)| readings > *most) {
                        best = Some((readings, load));
                    }
                }
            }
        }
    }
    if let Some((_, load)) = best {
        let setup = book.get(load.setup)?;
        let line = book.get(setup.line)?;
        let method = book
            .children::<Reading, _>(load.id)?
            .last()
            .map_or(tautbook_core::units::MethodId::TorsionTool, |last| {
                last.measure.method()
            });
        places.extend([
            ("02-visit", Place::Visit(line.visit)),
            ("03-line", Place::Line(line.id)),
            ("04-setup", Place::Setup(setup.id)),
            ("05-load", Place::Load(load.id)),
            ("06-read", Place::Load(load.id)),
            ("07-weigh", Place::Weigh(load.id)),
            (
                "08-results",
                Place::Results {
                    scope: Scope::Load(load.id),
                    method,
                },
            ),
            ("09-compare", Place::Line(line.id)),
            ("10-plan", Place::Line(line.id)),
        ]);
    }
    places.push(("11-about", Place::About));
    Ok(places)
}

/// A round of the main screens, one picture at a time.
struct Round {
    window: slint::Weak<MainWindow>,
    app: App,
    folder: PathBuf,
    places: std::vec::IntoIter<(&'static str, Place)>,
    done: Rc<RefCell<anyhow::Result<()>>>,
}

impl Round {
    /// Goes to the next screen; its picture is taken a moment later. After the last, ends the
    /// event loop.
    fn next(mut self) {
        let Some((name, place)) = self.places.next() else {
            return self.end(Ok(()));
        };
        self.app.act(move |session| {
            let way = way_to(session.book(), place);
            if let Some(way) = session.report(way) {
                session.go_by(way);
            }
            match (name, place) {
                ("06-read", Place::Load(id)) => load::read(session, id),
                ("09-compare", Place::Line(id)) => compare::open_line(session, id),
                ("10-plan", Place::Line(id)) => plan::open_line(session, id),
                _ => {}
            }
        });
        slint::Timer::single_shot(A_MOMENT, move || match self.take(name) {
            Ok(()) => self.next(),
            Err(error) => self.end(Err(error)),
        });
    }

    fn take(&self, name: &str) -> anyhow::Result<()> {
        let window = self.window.upgrade().context("the window was closed")?;
        let picture = window
            .window()
            .take_snapshot()
            .context("the window cannot be pictured")?;
        let path = self.folder.join(format!("{name}.png"));
        image::save_buffer(
            &path,
            picture.as_bytes(),
            picture.width(),
            picture.height(),
            image::ColorType::Rgba8,
        )
        .with_context(|| format!("{} could not be written", path.display()))
    }

    fn end(self, result: anyhow::Result<()>) {
        *self.done.borrow_mut() = result;
        // Without an event loop there is nothing left to end.
        slint::quit_event_loop().ok();
    }
}
