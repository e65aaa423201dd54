//! The screens' figures: from start to the first frame, from a key press on Read to the changed frame,
//! and a page further in a long list.
//!
//! `cargo bench -p tautbook-ui --features element-tree`. Drawn by the software renderer as a phone
//! does, at one pixel a logical pixel.

use std::path::Path;
use std::process::Command;
use std::rc::Rc;
use std::time::{Duration, Instant};

use i_slint_backend_testing::ElementHandle;
use slint::platform::software_renderer::{
    MinimalSoftwareWindow, PremultipliedRgbaColor, RepaintBufferType,
};
use slint::platform::{Platform, PointerEventButton, WindowAdapter, WindowEvent};
use slint::{ComponentHandle, LogicalPosition, PhysicalSize, PlatformError};
use tautbook_core::analysis::containment::ZoneName;
use tautbook_core::book::{Book, OpenMode, SystemClock};
use tautbook_core::survey::{Face, Purpose, Visit};
use tautbook_core::units::MethodId;
use tautbook_tests::big_book;
use tautbook_ui::app::App;
use tautbook_ui::device::Desktop;
use tautbook_ui::place::Place;
use tautbook_ui::screens::MainWindow;
use tautbook_ui::session::Session;

type Fallible<T> = Result<T, Box<dyn std::error::Error>>;

/// The screen, in pixels.
const SIZE: (u32, u32) = (412, 915);
/// Visits in the long list.
const MANY: usize = 20_000;

/// A platform of one window and no event loop: the bench goes round by itself.
struct Bare {
    window: Rc<MinimalSoftwareWindow>,
    start: Instant,
}

impl Platform for Bare {
    fn create_window_adapter(&self) -> Result<Rc<dyn WindowAdapter>, PlatformError> {
        Ok(self.window.clone())
    }
    fn duration_since_start(&self) -> Duration {
        self.start.elapsed()
    }
}

/// The app over a book, and the pixels it draws to.
struct Phone {
    surface: Rc<MinimalSoftwareWindow>,
    window: MainWindow,
    app: App,
    pixels: Vec<PremultipliedRgbaColor>,
}

impl Phone {
    fn surface() -> Fallible<Rc<MinimalSoftwareWindow>> {
        let surface = MinimalSoftwareWindow::new(RepaintBufferType::ReusedBuffer);
        slint::platform::set_platform(Box::new(Bare {
            window: surface.clone(),
            start: Instant::now(),
        }))?;
        Ok(surface)
    }

    fn start(surface: Rc<MinimalSoftwareWindow>, path: &Path) -> Fallible<Self> {
        let (book, opened) = Book::open(path, OpenMode::OpenOrStart, Box::new(SystemClock))?;
        let session = Session::resume(book, &opened, Box::new(Desktop))?;
        let window = MainWindow::new()?;
        surface.set_size(PhysicalSize::new(SIZE.0, SIZE.1));
        let app = App::start(&window, session);
        window.show()?;
        let pixels = vec![PremultipliedRgbaColor::default(); (SIZE.0 * SIZE.1) as usize];
        let mut phone = Self {
            surface,
            window,
            app,
            pixels,
        };
        let drawn = phone.draw();
        let first = phone.pixels[0];
        if !drawn || phone.pixels.iter().all(|pixel| pixel.red == first.red) {
            return Err("the first frame shows nothing".into());
        }
        Ok(phone)
    }

    /// Draws what has changed; whether anything had.
    fn draw(&mut self) -> bool {
        slint::platform::update_timers_and_animations();
        let pixels = &mut self.pixels;
        self.surface.draw_if_needed(|renderer| {
            renderer.render(pixels, SIZE.0 as usize);
        })
    }

    /// Draws all of it.
    fn draw_all(&mut self) {
        self.window.window().request_redraw();
        self.surface.set_size(PhysicalSize::new(SIZE.0, SIZE.1 - 1));
        self.draw();
        self.surface.set_size(PhysicalSize::new(SIZE.0, SIZE.1));
    }

    /// The middle of what bears a label.
    fn middle_of(&self, label: &str) -> Fallible<LogicalPosition> {
        let found = ElementHandle::find_by_accessible_label(&self.window, label)
            .next()
            .ok_or_else(|| format!("nothing says {label:?}"))?;
        let (at, size) = (found.absolute_position(), found.size());
        Ok(LogicalPosition::new(
            at.x + size.width / 2.0,
            at.y + size.height / 2.0,
        ))
    }

    fn press(&self, position: LogicalPosition) -> Fallible<()> {
        let button = PointerEventButton::Left;
        let window = self.window.window();
        window.dispatch_event_with_result(WindowEvent::PointerPressed { position, button })?;
        window.dispatch_event_with_result(WindowEvent::PointerReleased { position, button })?;
        Ok(())
    }
}

fn median(times: &mut [Duration]) -> Duration {
    times.sort_unstable();
    times[times.len() / 2]
}

fn ratio(of: Duration, to: Duration) -> f64 {
    of.as_secs_f64() / to.as_secs_f64()
}

/// Says the figure and whether it keeps its bound.
fn say(what: &str, figure: Duration, most_ms: f64) {
    let ms = figure.as_secs_f64() * 1_000.0;
    let kept = if ms <= most_ms { "kept" } else { "MISSED" };
    println!("{what}: {ms:.2} ms (at most {most_ms} ms: {kept})");
}

fn main() -> Fallible<()> {
    let mut arguments = std::env::args().skip(1);
    if let (Some("--first"), Some(book)) = (arguments.next().as_deref(), arguments.next()) {
        // Drawn, then gone: the parent holds the watch.
        Phone::start(Phone::surface()?, Path::new(&book))?;
        return Ok(());
    }
    let folder = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR"))?;
    let big = folder.path().join("big.taut");
    big_book::make(&big)?;
    first_frame(&big, &folder.path().join("empty.taut"))?;

    let surface = Phone::surface()?;
    key_press(Phone::start(surface.clone(), &big)?)?;
    let long = folder.path().join("long.taut");
    many_visits(&long, MANY)?;
    let far = list(Phone::start(surface.clone(), &long)?)?;
    let short = folder.path().join("short.taut");
    many_visits(&short, 200)?;
    let near = list(Phone::start(surface, &short)?)?;
    println!(
        "a page further in {MANY} visits: {far:.1?}, in 200: {near:.1?}, ratio {:.2}",
        ratio(far, near)
    );
    Ok(())
}

/// From the start of a process to its first frame and its end, on the big book and on an empty one.
fn first_frame(big: &Path, empty: &Path) -> Fallible<()> {
    let program = std::env::current_exe()?;
    let (mut of_big, mut of_empty) = (Vec::new(), Vec::new());
    for _ in 0..15 {
        for (path, times) in [(big, &mut of_big), (empty, &mut of_empty)] {
            let start = Instant::now();
            let ended = Command::new(&program).arg("--first").arg(path).status()?;
            times.push(start.elapsed());
            if !ended.success() {
                return Err(format!("the start ended with {ended}").into());
            }
        }
    }
    let (big, empty) = (median(&mut of_big), median(&mut of_empty));
    say("start to first frame with the big book", big, 400.0);
    println!(
        "  with an empty book: {empty:.1?}, ratio {:.2}",
        ratio(big, empty)
    );
    Ok(())
}

/// From a press on a key of Read to the changed frame, against drawing the whole screen laid out and drawn anew.
fn key_press(mut phone: Phone) -> Fallible<()> {
    let load = phone.app.look(|session| -> Fallible<_> {
        let book = session.book();
        let visit = book.visits(0, 1)?.first().ok_or("no visit")?.id;
        let records = book.visit_records(visit, tautbook_core::book::Which::InUse)?;
        Ok(records.loads.first().ok_or("no load")?.id)
    })?;
    phone.app.act(move |session| {
        session.go(Place::Read {
            load,
            method: MethodId::TorsionTool,
            zone: ZoneName::Top,
            face: Face::Front,
        });
    });
    phone.draw();
    let (mut pressed, mut whole) = (Vec::new(), Vec::new());
    let (key, clear) = (phone.middle_of("7")?, phone.middle_of("Erase one")?);
    for _ in 0..60 {
        let start = Instant::now();
        phone.press(key)?;
        if !phone.draw() {
            return Err("a press on a key changed nothing".into());
        }
        pressed.push(start.elapsed());
        phone.press(clear)?;
        phone.draw();
        let start = Instant::now();
        phone.draw_all();
        whole.push(start.elapsed());
        phone.draw();
    }
    let (pressed, whole) = (median(&mut pressed), median(&mut whole));
    say("a key press on Read to the changed frame", pressed, 16.0);
    println!(
        "  the whole screen laid out and drawn anew: {whole:.1?}, ratio {:.2}",
        ratio(pressed, whole)
    );
    Ok(())
}

/// A book of that many visits and nothing else.
fn many_visits(path: &Path, many: usize) -> Fallible<()> {
    let (mut book, _) = Book::open(path, OpenMode::OpenOrStart, Box::new(SystemClock))?;
    for from in (0..many).step_by(1_000) {
        book.act("start_visit", |act| {
            for n in from..many.min(from + 1_000) {
                let today = act.now().date_time().date_naive();
                let days = chrono::Days::new(u64::try_from(n / 4).unwrap_or(0));
                act.add(Visit {
                    customer: format!("Customer {n}"),
                    site: "Kiln Lane".to_owned(),
                    date: today - days,
                    rep: "R. Moss".to_owned(),
                    purpose: Purpose::Baseline,
                    bag: Vec::new(),
                    safety: Vec::new(),
                    notes: String::new(),
                })?;
            }
            Ok(())
        })?;
    }
    Ok(())
}

/// Turns the list of all visits, page by page: the middle of the times to the changed frame.
fn list(mut phone: Phone) -> Fallible<Duration> {
    phone.app.act(|session| session.go(Place::Visits));
    phone.draw();
    let more = phone.middle_of("Show more of this page")?;
    let mut times = Vec::new();
    for _ in 0..20 {
        let start = Instant::now();
        phone.press(more)?;
        if !phone.draw() {
            return Err("the list did not turn".into());
        }
        times.push(start.elapsed());
    }
    Ok(median(&mut times))
}
