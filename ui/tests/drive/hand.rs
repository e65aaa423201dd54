//! A hand on the screen: presses real controls at their place and types real keys.

use std::path::{Path, PathBuf};
use std::rc::Rc;

use i_slint_backend_testing::{ElementHandle, ElementQuery};
use slint::platform::{PointerEventButton, WindowEvent};
use slint::{ComponentHandle, LogicalSize, Rgba8Pixel, SharedPixelBuffer};
use tautbook_core::book::{Book, Clock, OpenMode, SystemClock};
use tautbook_core::survey::Visit;
use tautbook_ui::app::App;
use tautbook_ui::device::{Became, Device, FileAnswer, PictureFrom, ShareAnswer};
use tautbook_ui::screens::MainWindow;
use tautbook_ui::session::Session;

/// The phone Tautbook is made for, in logical pixels.
pub(crate) const PHONE: (f32, f32) = (360.0, 740.0);

/// Tall enough to show a whole form.
const WHOLE_FORM: (f32, f32) = (360.0, 4400.0);

/// Counts what the app asks of the device.
#[derive(Default)]
pub(crate) struct Counted {
    pub(crate) buzzes: std::cell::Cell<usize>,
    pub(crate) screen_on: std::cell::Cell<bool>,
    /// What the person chooses when asked for a picture; refused when there is nothing here.
    pub(crate) chooses: std::cell::RefCell<Option<Option<PathBuf>>>,
    pub(crate) shared: std::cell::RefCell<Vec<PathBuf>>,
    pub(crate) asked_camera: std::cell::Cell<bool>,
    /// What the picture asked for last is for.
    pub(crate) target: std::cell::RefCell<String>,
    /// Files that have served, and what became of them.
    pub(crate) served: std::cell::RefCell<Vec<(PathBuf, Became)>>,
}

struct Probe(Rc<Counted>);

impl Device for Probe {
    fn buzz(&self) {
        self.0.buzzes.set(self.0.buzzes.get() + 1);
    }
    fn keep_screen_on(&self, on: bool) {
        self.0.screen_on.set(on);
    }
    fn has_camera(&self) -> bool {
        true
    }
    fn ask_picture(&self, from: PictureFrom, target: &str, answer: FileAnswer) {
        self.0.asked_camera.set(from == PictureFrom::Camera);
        target.clone_into(&mut self.0.target.borrow_mut());
        let chosen = self.0.chooses.borrow().clone();
        // As a platform does: later, and on another thread.
        std::thread::spawn(move || {
            answer(chosen.ok_or_else(|| "Allow Tautbook to use the camera.".to_owned()));
        });
    }
    fn ask_day_file(&self, answer: FileAnswer) {
        let chosen = self.0.chooses.borrow().clone();
        std::thread::spawn(move || {
            answer(chosen.ok_or_else(|| "Allow Tautbook to read files.".to_owned()));
        });
    }
    fn served(&self, file: &Path, became: Became) -> Option<String> {
        self.0.served.borrow_mut().push((file.to_owned(), became));
        match became {
            Became::Recorded => None,
            Became::Refused => Some("It is still where it came from.".to_owned()),
            Became::NoRoom => Some("Free some space and come back.".to_owned()),
        }
    }
    fn share(&self, file: &Path, answer: ShareAnswer) {
        self.0.shared.borrow_mut().push(file.to_owned());
        answer(Ok("Handed over.".to_owned()));
    }
}

pub(crate) struct Hand {
    pub(crate) window: MainWindow,
    pub(crate) app: App,
    pub(crate) device: Rc<Counted>,
    pub(crate) taps: usize,
}

impl Hand {
    /// Opens the app on the book at `path`, as a phone does after the app was killed.
    pub(crate) fn on(path: &Path) -> Self {
        Self::opening(path, OpenMode::OpenOrStart, Box::new(SystemClock))
    }

    /// Opens the app on the book at `path` in another way, or with another clock.
    pub(crate) fn opening(path: &Path, mode: OpenMode, clock: Box<dyn Clock>) -> Self {
        crate::backend::backend();
        let device = Rc::<Counted>::default();
        let (book, opened) = Book::open(path, mode, clock).unwrap();
        let session = Session::resume(book, &opened, Box::new(Probe(device.clone()))).unwrap();
        let window = MainWindow::new().unwrap();
        let app = App::start(&window, session);
        window.show().unwrap();
        let hand = Self {
            window,
            app,
            device,
            taps: 0,
        };
        hand.size(PHONE);
        hand
    }

    pub(crate) fn size(&self, (width, height): (f32, f32)) {
        self.window
            .window()
            .set_size(LogicalSize::new(width, height));
        self.settle();
    }

    /// A form whole, for reaching every field without turning its pages.
    pub(crate) fn whole_form(&self) {
        self.size(WHOLE_FORM);
    }

    /// Lets the event loop go round.
    pub(crate) fn settle(&self) {
        i_slint_backend_testing::mock_elapsed_time(std::time::Duration::from_millis(50));
        slint::platform::update_timers_and_animations();
        let _ = self.window.window().take_snapshot();
    }

    /// Lets what goes on beside the screens come to its end.
    pub(crate) fn wait(&self) {
        for _ in 0..3_000 {
            if !self.app.look(Session::awaits) {
                self.settle();
                return;
            }
            std::thread::sleep(std::time::Duration::from_millis(10));
            i_slint_backend_testing::mock_elapsed_time(std::time::Duration::from_millis(110));
            slint::platform::update_timers_and_animations();
        }
        panic!("still at work");
    }

    /// Presses a place in the element that says `label`, by parts of its width and height.
    pub(crate) fn press_in(&mut self, label: &str, x: f32, y: f32) {
        let label = label.to_owned();
        let found = ElementQuery::from_root(&self.window)
            .match_descendants()
            .match_predicate(move |element| {
                element.accessible_label().is_some_and(|of| of == label)
            })
            .find_first()
            .unwrap();
        let (at, size) = (found.absolute_position(), found.size());
        let position = slint::LogicalPosition::new(at.x + size.width * x, at.y + size.height * y);
        let window = self.window.window();
        let button = PointerEventButton::Left;
        window.dispatch_event(WindowEvent::PointerPressed { position, button });
        window.dispatch_event(WindowEvent::PointerReleased { position, button });
        self.settle();
    }

    /// Presses the control with that id, such as `TodayScreen::start`.
    pub(crate) fn press(&mut self, id: &str) {
        let found: Vec<ElementHandle> =
            ElementHandle::find_by_element_id(&self.window, id).collect();
        assert_eq!(found.len(), 1, "{id} on the screen");
        self.tap(&found[0]);
    }

    /// Presses the one control that says `label`.
    pub(crate) fn press_label(&mut self, label: &str) {
        let found = self.labelled(label);
        assert_eq!(
            found.len(),
            1,
            "'{label}' on the screen: {:?}",
            self.labels()
        );
        self.tap(&found[0]);
    }

    /// Presses keys of the glove keypad, one by one.
    pub(crate) fn keys(&mut self, keys: &[&str]) {
        for key in keys {
            let wanted = if *key == "." { "Point" } else { key };
            self.press_label(wanted);
        }
    }

    /// Presses the first of several controls that say the same.
    pub(crate) fn tap_first(&mut self, found: &[ElementHandle]) {
        self.tap(&found[0]);
    }

    fn tap(&mut self, element: &ElementHandle) {
        let (at, size) = (element.absolute_position(), element.size());
        let window = self.window.window().size();
        let (x, y) = (at.x + size.width / 2.0, at.y + size.height / 2.0);
        assert!(
            x > 0.0
                && y > 0.0
                && f64::from(x) < f64::from(window.width)
                && f64::from(y) < f64::from(window.height),
            "{:?} lies outside the screen at {x}, {y}",
            element.accessible_label()
        );
        element.mock_single_click(PointerEventButton::Left);
        self.taps += 1;
        self.settle();
    }

    pub(crate) fn labelled(&self, label: &str) -> Vec<ElementHandle> {
        let label = label.to_owned();
        // An element and the bases it is made of are one control at one place.
        let mut places = std::collections::BTreeSet::new();
        let mut found = ElementQuery::from_root(&self.window)
            .match_descendants()
            .match_predicate(move |element| {
                element.accessible_label().is_some_and(|of| of == label)
                    && element.accessible_role().is_some_and(|role| {
                        use i_slint_backend_testing::AccessibleRole as Role;
                        !matches!(role, Role::Text | Role::Image | Role::None | Role::Region)
                    })
            })
            .find_all();
        found.retain(|element| {
            let (at, size) = (element.absolute_position(), element.size());
            places.insert([at.x, at.y, size.width, size.height].map(f32::to_bits))
        });
        found
    }

    /// Everything on the screen that says what it is.
    pub(crate) fn labels(&self) -> Vec<String> {
        ElementQuery::from_root(&self.window)
            .match_descendants()
            .match_predicate(|element| element.accessible_label().is_some())
            .find_all()
            .iter()
            .filter_map(i_slint_backend_testing::ElementHandle::accessible_label)
            // A space that does not break is a space to whoever reads it.
            .map(|label| label.replace('\u{a0}', " "))
            .collect()
    }

    /// Writes into the field of that label, over what is there, without leaving it.
    pub(crate) fn write(&mut self, label: &str, text: &str) {
        self.press_label(label);
        let field = &self.labelled(label)[0];
        // The press may have put the cursor anywhere in it.
        for _ in 0..field.accessible_value().unwrap_or_default().chars().count() {
            for key in [
                slint::platform::Key::Backspace,
                slint::platform::Key::Delete,
            ] {
                self.key_event(&char::from(key).to_string());
            }
        }
        for letter in text.chars() {
            self.key_event(&letter.to_string());
        }
        self.settle();
    }

    /// Types into the field that has the keyboard.
    pub(crate) fn type_text(&mut self, text: &str) {
        for letter in text.chars() {
            self.key_event(&letter.to_string());
        }
        self.settle();
    }

    /// Presses Enter.
    pub(crate) fn enter(&mut self) {
        self.key_event(&char::from(slint::platform::Key::Return).to_string());
        self.settle();
    }

    /// Presses a letter with Control held.
    pub(crate) fn control(&mut self, letter: &str) {
        let control = char::from(slint::platform::Key::Control).to_string();
        let window = self.window.window();
        window.dispatch_event(WindowEvent::KeyPressed {
            text: control.as_str().into(),
        });
        self.key_event(letter);
        window.dispatch_event(WindowEvent::KeyReleased {
            text: control.as_str().into(),
        });
        self.settle();
    }

    fn key_event(&self, text: &str) {
        let window = self.window.window();
        window.dispatch_event(WindowEvent::KeyPressed { text: text.into() });
        window.dispatch_event(WindowEvent::KeyReleased { text: text.into() });
    }

    pub(crate) fn value(&self, label: &str) -> String {
        let found = self.labelled(label);
        assert_eq!(found.len(), 1, "'{label}': {:?}", self.labels());
        found[0].accessible_value().unwrap_or_default().to_string()
    }

    pub(crate) fn visits(&self) -> Vec<tautbook_core::survey::Record<Visit>> {
        self.app
            .look(|session| session.book().all::<Visit>().unwrap())
    }

    pub(crate) fn picture(&self) -> SharedPixelBuffer<Rgba8Pixel> {
        self.settle();
        self.window.window().take_snapshot().unwrap()
    }

    /// Keeps a picture of the screen for looking at.
    pub(crate) fn keep_picture(&self, name: &str) {
        let folder = pictures();
        std::fs::create_dir_all(&folder).unwrap();
        let picture = self.picture();
        image::save_buffer(
            folder.join(format!("{name}.png")),
            picture.as_bytes(),
            picture.width(),
            picture.height(),
            image::ColorType::Rgba8,
        )
        .unwrap();
    }
}

fn pictures() -> PathBuf {
    std::env::var_os("CARGO_TARGET_DIR")
        .map_or_else(
            || Path::new(env!("CARGO_MANIFEST_DIR")).join("../target"),
            PathBuf::from,
        )
        .join("pictures/driven")
}
