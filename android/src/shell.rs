//! The loop of one activity.

use std::cell::{Cell, RefCell};
use std::collections::BTreeSet;
use std::path::PathBuf;
use std::rc::Rc;
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;

use android_activity::input::{InputEvent, KeyAction, Keycode};
use android_activity::{AndroidApp, InputStatus, MainEvent, PollEvent};
use slint::platform::{WindowAdapter as _, WindowEvent};
use slint::{ComponentHandle as _, PhysicalSize};
use tautbook_core::book::{Book, BookError, OpenMode, SystemClock, set_apart};
use tautbook_core::language::Language;
use tautbook_core::say;
use tautbook_ui::app::App;
use tautbook_ui::presenters::arrivals;
use tautbook_ui::screens::{self, Keyboard, MainWindow, Tokens, TroubleWindow};
use tautbook_ui::session::{Session, Shade};
use tautbook_ui::trouble;

use crate::arrivals::{Arrival, Search};
use crate::bars;
use crate::config::Config;
use crate::dialog::{Dialog, Look};
use crate::insets::Insets;
use crate::java;
use crate::keys::Keys;
use crate::phone::{Phone, Screens};
use crate::sharing;
use crate::surface::Surface;
use crate::touch::Touch;
use crate::turn::Turn;
use crate::window::{PhonePlatform, PhoneWindow};

/// Between two frames of an animation.
const FRAME: Duration = Duration::from_millis(16);
/// How often work beside the screens is looked after while they are not shown.
const ASIDE: Duration = Duration::from_secs(1);
/// The book's file in the app's folder.
const BOOK: &str = "book.taut";
/// Pixels of a density of 1.
const BASE_DENSITY: f32 = 160.0;

/// Runs until the activity is destroyed or a newer one takes its place.
pub(crate) fn run(app: &AndroidApp) {
    let turn = Turn::take(app);
    let window = PhoneWindow::new();
    if slint::platform::set_platform(Box::new(PhonePlatform(window.clone()))).is_err() {
        eprintln!("this thread has a window already");
        return;
    }
    let data = app
        .internal_data_path()
        .unwrap_or_else(|| PathBuf::from("."));
    let phone = Phone::new(app, data);
    let mut shell = Shell {
        app,
        insets: Insets::new(app),
        window,
        phone,
        surface: Surface::default(),
        touch: Touch::default(),
        keys: Keys::default(),
        shows: Shows::Nothing,
        dialog: None,
        suits_dark: false,
        resumed: false,
        resumed_before: false,
        looked: false,
        taken_start: false,
        searching: None,
        search_again: false,
        no_room: Vec::new(),
        taking_start: false,
        handed_on: BTreeSet::new(),
        ended: false,
        destroyed: false,
    };
    shell.rescale();
    shell.open();
    while !shell.ended && !turn.is_over() {
        let patience = shell.patience();
        app.poll_events(patience, |event| shell.take(event));
        shell.go_on();
    }
    if let Some(dialog) = shell.dialog.take() {
        dialog.dismiss(app);
    }
    let destroyed = shell.destroyed;
    drop(shell);
    // Who waits for it goes on meanwhile.
    drop(turn);
    if !destroyed {
        see_out(app);
    }
}

/// Takes what the platform says until the activity is gone. A thread that shares or copies may have the
/// activity for longer, and the last to let go of it lets go of its queue of input too: that the platform
/// has taken the queue away must be known by then.
fn see_out(app: &AndroidApp) {
    let on_main = app.clone();
    app.run_on_java_main_thread(Box::new(move || {
        let finished = java::with(&on_main, |env, activity| {
            call!(env, activity, "finish", "()V")?;
            Ok(())
        });
        if let Err(error) = finished {
            eprintln!("the activity stays: {}", java::why(&error));
        }
    }));
    let mut destroyed = false;
    while !destroyed {
        app.poll_events(None, |event| match event {
            PollEvent::Main(MainEvent::Destroy) => destroyed = true,
            PollEvent::Main(MainEvent::InputAvailable) => {
                if let Ok(mut events) = app.input_events_iter() {
                    while events.next(|_| InputStatus::Unhandled) {}
                }
            }
            _ => {}
        });
    }
}

/// What is in the window.
enum Shows {
    Nothing,
    Screens {
        window: MainWindow,
        app: App,
        /// The phone's own keyboard was asked for.
        wants_phone: Rc<Cell<bool>>,
    },
    Trouble {
        window: TroubleWindow,
        pressed: Rc<Cell<Option<Pressed>>>,
        /// Another book can be started in its place.
        replaceable: bool,
        /// The copy that is being made, and what comes of it.
        copying: Option<Receiver<Result<String, String>>>,
    },
}

/// Why the screens cannot be shown.
struct NotOpened {
    why: String,
    /// Another book can be started in the place of this one.
    replaceable: bool,
}

impl NotOpened {
    fn of(error: &BookError, language: Language) -> Self {
        Self {
            why: trouble::why(error, language),
            replaceable: trouble::can_be_replaced(error),
        }
    }
}

/// Something else than the book.
impl<E: std::error::Error> From<E> for NotOpened {
    fn from(error: E) -> Self {
        Self {
            why: error.to_string(),
            replaceable: false,
        }
    }
}

/// A button beside the words about a book that cannot be opened.
#[derive(Clone, Copy)]
enum Pressed {
    Again,
    Copy,
    New,
}

struct Shell<'a> {
    app: &'a AndroidApp,
    window: Rc<PhoneWindow>,
    phone: Rc<Phone>,
    surface: Surface,
    touch: Touch,
    keys: Keys,
    insets: Insets,
    shows: Shows,
    dialog: Option<Dialog>,
    /// The signs of the phone's bars suit a dark ground.
    suits_dark: bool,
    resumed: bool,
    resumed_before: bool,
    /// This activity has looked for what has come.
    looked: bool,
    /// What the activity was started with has been taken in, now or before the phone ended it.
    taken_start: bool,
    /// It is just being taken in.
    taking_start: bool,
    /// The search for what has come that is under way.
    searching: Option<Receiver<Vec<Arrival>>>,
    /// The screens came back meanwhile.
    search_again: bool,
    /// The addresses of what there was no room for.
    no_room: Vec<String>,
    /// Pictures of the camera that the screens have.
    handed_on: BTreeSet<PathBuf>,
    ended: bool,
    /// The platform said so.
    destroyed: bool,
}

impl Shell<'_> {
    /// Opens the book and shows the screens, or says why not.
    fn open(&mut self) {
        self.shows = match self.screens() {
            Ok(shows) => shows,
            Err(failed) => {
                eprintln!("the book cannot be opened: {}", failed.why);
                self.trouble(&failed)
            }
        };
    }

    fn screens(&self) -> Result<Shows, NotOpened> {
        std::fs::create_dir_all(&self.phone.data)?;
        let path = self.phone.data.join(BOOK);
        let language = self.phone.language.get();
        let (book, opened) = Book::open(&path, OpenMode::OpenOrStart, Box::new(SystemClock))
            .map_err(|error| NotOpened::of(&error, language))?;
        let device = Box::new(Screens(self.phone.clone()));
        let session = Session::resume(book, &opened, device)
            .map_err(|error| NotOpened::of(&error, language))?;
        self.phone.language.set(session.language());
        let window = MainWindow::new()?;
        let app = App::start(&window, session);
        window.show()?;
        let dark = self.is_dark();
        app.act(move |session| arrivals::phone_is_dark(session, dark));
        let wants_phone = Rc::new(Cell::new(false));
        let pressed = wants_phone.clone();
        let keyboard = window.global::<Keyboard>();
        keyboard.set_with_phone(true);
        keyboard.on_phone(move || pressed.set(true));
        Ok(Shows::Screens {
            window,
            app,
            wants_phone,
        })
    }

    fn trouble(&self, failed: &NotOpened) -> Shows {
        let Ok(window) = TroubleWindow::new() else {
            return Shows::Nothing;
        };
        let language = self.phone.language.get();
        window.set_text(trouble::said(&failed.why, failed.replaceable, language).into());
        window.set_again_text(say!(language, "Try again").into());
        window.set_copy_text(say!(language, "Send a copy").into());
        window.global::<Tokens>().set_shade(if self.is_dark() {
            screens::Shade::Night
        } else {
            screens::Shade::Day
        });
        let pressed = Rc::new(Cell::new(None));
        let button = pressed.clone();
        window.on_again(move || button.set(Some(Pressed::Again)));
        let button = pressed.clone();
        window.on_copy(move || button.set(Some(Pressed::Copy)));
        let button = pressed.clone();
        window.on_new(move || button.set(Some(Pressed::New)));
        if let Err(error) = window.show() {
            eprintln!("{error}");
        }
        Shows::Trouble {
            window,
            pressed,
            replaceable: failed.replaceable,
            copying: None,
        }
    }

    /// Does what was pressed beside the words about a book that cannot be opened.
    fn look_after_trouble(&mut self) {
        let Shows::Trouble {
            window,
            pressed,
            replaceable,
            copying,
        } = &mut self.shows
        else {
            return;
        };
        let language = self.phone.language.get();
        if let Some(Ok(copied)) = copying.as_ref().map(Receiver::try_recv) {
            *copying = None;
            if copied.is_ok() && *replaceable {
                window.set_new_note(trouble::before_new(language).into());
                window.set_new_text(say!(language, "Start a new book").into());
            }
            let (Ok(said) | Err(said)) = copied;
            window.set_said(said.into());
        }
        match pressed.take() {
            // A copy reads the book: it is opened or moved afterwards.
            Some(later @ (Pressed::Again | Pressed::New)) if copying.is_some() => {
                pressed.set(Some(later));
            }
            Some(Pressed::Copy) if copying.is_none() => {
                window.set_said(say!(language, "The copy is being made.").into());
                let (tell, told) = channel();
                let (app, data, waker) = (
                    self.app.clone(),
                    self.phone.data.clone(),
                    self.app.create_waker(),
                );
                std::thread::spawn(move || {
                    // The activity may be gone.
                    let _ = tell.send(sharing::share_book(&app, language, &data.join(BOOK)));
                    waker.wake();
                });
                *copying = Some(told);
            }
            Some(Pressed::Again) => {
                self.open();
                self.look_for_arrivals();
            }
            Some(Pressed::New) => match set_apart(&self.phone.data.join(BOOK)) {
                Ok(_) => {
                    self.open();
                    if let Shows::Screens { app, .. } = &self.shows {
                        app.act(arrivals::started_anew);
                    }
                    self.look_for_arrivals();
                }
                Err(error) => window.set_said(
                    say!(
                        language,
                        "The book cannot be moved: {why}. Free some space and press again.",
                        why = error
                    )
                    .into(),
                ),
            },
            Some(Pressed::Copy) | None => {}
        }
    }

    fn is_dark(&self) -> bool {
        self.phone.config.get().dark
    }

    /// How long nothing needs to be done; `None` for as long as nothing happens.
    fn patience(&self) -> Option<Duration> {
        let shown = self.app.native_window().is_some();
        let timers = slint::platform::duration_until_next_timer_update();
        let mut patience = if shown && self.resumed {
            if self.window.wants_redraw() || self.surface.wants_showing() {
                // A window that is about to go is not asked over and over.
                return Some(if self.surface.was_refused() {
                    FRAME
                } else {
                    Duration::ZERO
                });
            }
            if self.window.window().has_active_animations() {
                Some(timers.map_or(FRAME, |timer| timer.min(FRAME)))
            } else {
                timers
            }
        } else if let Shows::Screens { app, .. } = &self.shows
            && app.look(|session| session.share().is_some())
        {
            Some(ASIDE)
        } else {
            None
        };
        if self.resumed
            && let Some(look) = self.dialog.as_ref().and_then(Dialog::next_look)
        {
            patience = Some(patience.map_or(look, |patience| patience.min(look)));
        }
        // A part of a millisecond would be no time at all, over and over.
        patience.map(|time| Duration::from_millis(time.as_micros().div_ceil(1_000) as u64))
    }

    fn take(&mut self, event: PollEvent<'_>) {
        let PollEvent::Main(event) = event else {
            return;
        };
        match event {
            MainEvent::InputAvailable => self.take_input(),
            MainEvent::InitWindow { .. } => {
                self.surface.new_window();
                self.resize();
                self.insets.ask(self.app);
            }
            MainEvent::TerminateWindow { .. } => self.touch.let_go(self.window.window()),
            MainEvent::WindowResized { .. } | MainEvent::ContentRectChanged { .. } => {
                self.resize();
                self.insets.ask(self.app);
            }
            MainEvent::RedrawNeeded { .. } => {
                self.resize();
                self.surface.show_all();
                // A phone that is turned over to its other side says nothing else.
                self.insets.ask(self.app);
            }
            MainEvent::ConfigChanged { .. } => {
                self.phone.config.set(Config::now(self.app));
                self.rescale();
                self.resize();
                self.insets.ask(self.app);
                let dark = self.is_dark();
                self.act(move |session| arrivals::phone_is_dark(session, dark));
            }
            MainEvent::GainedFocus => {
                self.window
                    .window()
                    .dispatch_event(WindowEvent::WindowActiveChanged(true));
                self.insets.ask(self.app);
            }
            MainEvent::LostFocus => {
                self.touch.let_go(self.window.window());
                // Under its dialog the field goes on being typed in.
                if self.dialog.is_none() {
                    self.window
                        .window()
                        .dispatch_event(WindowEvent::WindowActiveChanged(false));
                }
            }
            MainEvent::LowMemory => self.surface.forget(&self.window),
            MainEvent::Resume { loader, .. } => {
                // An activity that was there before and was ended by the phone took in then what
                // started it.
                if !self.resumed_before
                    && let Some(state) = loader.load()
                {
                    self.taken_start = true;
                    let state = String::from_utf8_lossy(&state).into_owned();
                    self.no_room
                        .extend(state.lines().skip(1).map(str::to_owned));
                }
                self.resumed_before = true;
                self.resumed = true;
                self.phone.is_back();
                self.look_for_arrivals();
            }
            // What started it is to be taken in again where that was not done; else what there was no room
            // for is.
            MainEvent::SaveState { saver, .. } => {
                let taken = self.taken_start && !self.taking_start;
                let state = format!("1\n{}", self.no_room.join("\n"));
                saver.store(if taken { state.as_bytes() } else { b"" });
            }
            MainEvent::Pause => {
                self.resumed = false;
                self.touch.let_go(self.window.window());
                if let Some(dialog) = &mut self.dialog {
                    dialog.look_once_more();
                }
                if let Shows::Screens { app, .. } = &self.shows {
                    app.rest();
                }
            }
            MainEvent::Destroy => {
                self.ended = true;
                self.destroyed = true;
            }
            _ => {}
        }
    }

    fn act(&self, work: impl FnOnce(&mut Session) + 'static) {
        if let Shows::Screens { app, .. } = &self.shows {
            app.act(work);
        }
    }

    fn rescale(&mut self) {
        let density = f32::from(self.phone.config.get().density);
        let scale_factor = (density / BASE_DENSITY).clamp(0.5, 8.0);
        if (scale_factor - self.window.window().scale_factor()).abs() > 0.001 {
            self.window
                .window()
                .dispatch_event(WindowEvent::ScaleFactorChanged { scale_factor });
            let size = self.window.size();
            if size.width > 0 {
                self.window.set_size(size.into());
            }
        }
    }

    fn resize(&mut self) {
        let Some(native) = self.app.native_window() else {
            return;
        };
        let edge = |pixels: i32| u32::try_from(pixels).unwrap_or(0).min(16_384);
        let size = PhysicalSize::new(edge(native.width()), edge(native.height()));
        if size != self.window.size() && size.width > 0 && size.height > 0 {
            self.window.set_size(size.into());
        }
    }

    fn take_input(&mut self) {
        let Ok(mut events) = self.app.input_events_iter() else {
            return;
        };
        let back = RefCell::new(false);
        while events.next(|event| {
            let taken = match event {
                InputEvent::MotionEvent(motion) => self.touch.take(motion, self.window.window()),
                InputEvent::KeyEvent(key) if key.key_code() == Keycode::Back => {
                    if key.action() == KeyAction::Up {
                        *back.borrow_mut() = true;
                    }
                    true
                }
                InputEvent::KeyEvent(key) => {
                    let taken = self.keys.take(key, self.app, self.window.window());
                    // Who types there needs no keyboard on the screen, until the next field.
                    if taken && let Shows::Screens { app, .. } = &self.shows {
                        app.show_keyboard(false);
                    }
                    taken
                }
                _ => false,
            };
            if taken {
                InputStatus::Handled
            } else {
                InputStatus::Unhandled
            }
        }) {}
        if back.take() {
            self.back();
        }
    }

    fn back(&mut self) {
        let went = match &self.shows {
            Shows::Screens { window, .. } if window.global::<Keyboard>().get_shown() => {
                window.global::<Keyboard>().invoke_done();
                true
            }
            Shows::Screens { app, .. } => app.back(),
            _ => false,
        };
        if !went && !self.phone.step_aside() {
            self.ended = true;
        }
    }

    /// Looks for what came while the screens were away: a picture of the camera, a file that was sent.
    /// Nothing is looked for as long as there is no book to take it.
    fn look_for_arrivals(&mut self) {
        if !matches!(self.shows, Shows::Screens { .. }) {
            return;
        }
        if self.searching.is_some() {
            self.search_again = true;
            return;
        }
        for file in self.phone.no_room.take() {
            if !self.handed_on.remove(&file) {
                self.act(move |session| arrivals::picture_waits(session, file));
            }
        }
        let search = Search {
            language: self.phone.language.get(),
            camera_closed: self.phone.camera_is_closed(),
            first: !std::mem::replace(&mut self.looked, true),
            started: !std::mem::replace(&mut self.taken_start, true),
            again: self.no_room.clone(),
        };
        self.taking_start = search.started;
        let (tell, told) = channel();
        let (app, data, waker) = (
            self.app.clone(),
            self.phone.data.clone(),
            self.app.create_waker(),
        );
        std::thread::spawn(move || {
            let _ = tell.send(crate::arrivals::look(&app, &data, &search)); // The activity may be gone.
            waker.wake();
        });
        self.searching = Some(told);
    }

    /// Takes what was found.
    fn take_arrivals(&mut self) {
        let Some(Ok(mut came)) = self.searching.as_ref().map(Receiver::try_recv) else {
            return;
        };
        self.searching = None;
        self.taking_start = false;
        // They were asked for again, and are among what came unless it went wrong for good.
        self.no_room.clear();
        // A photo belongs to the record that is open. A day file leads to Send, and the message there was
        // goes: what is only said comes after it.
        let taken_here =
            matches!(&self.shows, Shows::Screens { app, .. } if app.look(arrivals::takes_pictures));
        came.sort_by_key(|arrival| match arrival {
            Arrival::Shot(_) | Arrival::NoRoom(_) => 0,
            Arrival::Photo(_) if taken_here => 0,
            Arrival::DayFile(_) => 1,
            Arrival::Interrupted(_) | Arrival::Trouble(_) => 2,
            Arrival::Photo(_) | Arrival::Waiting(_) => 3,
        });
        for arrival in came {
            match arrival {
                Arrival::Shot(shot) => {
                    if self.handed_on.insert(shot.file.clone()) {
                        self.act(move |session| {
                            arrivals::picture_came(session, shot.file, &shot.target);
                        });
                    }
                }
                Arrival::Photo(file) => {
                    self.act(move |session| arrivals::picture_sent(session, file));
                }
                Arrival::Waiting(file) => {
                    self.act(move |session| arrivals::picture_waits(session, file));
                }
                Arrival::DayFile(file) => {
                    self.act(move |session| arrivals::day_file_sent(session, file));
                }
                Arrival::Interrupted(file) => {
                    self.act(move |session| arrivals::day_file_interrupted(session, &file));
                }
                Arrival::Trouble(why) => {
                    self.act(move |session| arrivals::not_arrived(session, why));
                }
                Arrival::NoRoom(address) => self.no_room.push(address),
            }
        }
        if std::mem::take(&mut self.search_again) {
            self.look_for_arrivals();
        }
    }

    /// After what happened: timers, the main thread's answers, a frame.
    fn go_on(&mut self) {
        self.look_after_trouble();
        self.take_arrivals();
        slint::platform::update_timers_and_animations();
        self.phone.light();
        if let Some(insets) = self.insets.take() {
            self.window.set_insets(insets);
        }
        self.look_after_typing();
        self.suit_bars();
        if let Some(native) = self.app.native_window() {
            self.surface.draw(&self.window, &native);
        }
    }

    /// The phone's bars lie over what is drawn: their signs are to be seen on it.
    fn suit_bars(&mut self) {
        let dark = match &self.shows {
            Shows::Screens { app, .. } => app.look(|session| session.look().shade == Shade::Night),
            Shows::Trouble { .. } => self.is_dark(),
            Shows::Nothing => false,
        };
        if std::mem::replace(&mut self.suits_dark, dark) != dark {
            bars::suit(self.app, dark);
        }
    }

    /// The keyboard for gloves comes and goes with the field that wants one, and the phone's own in
    /// its dialog when that is asked for.
    fn look_after_typing(&mut self) {
        let changed = self.window.take_focus();
        let Shows::Screens {
            window,
            app,
            wants_phone,
        } = &self.shows
        else {
            return;
        };
        self.phone.language.set(app.look(Session::language));
        if let Some(types) = changed {
            app.show_keyboard(types);
        }
        if wants_phone.take()
            && self.dialog.is_none()
            && let Some(text) = self.window.typed()
        {
            let number = window.global::<Keyboard>().get_number();
            self.dialog = Some(Dialog::show(self.app, text, number));
        }
        if let Some(dialog) = &mut self.dialog {
            let (text, is_there) = match dialog.look(self.app, self.resumed) {
                Look::Same => (None, true),
                Look::Typed(text) => (Some(text), true),
                Look::Closed(text) => (Some(text), false),
                Look::Failed => (None, false),
            };
            if let Some(text) = text {
                app.replace_typed(&text);
            }
            if !is_there {
                self.dialog = None;
            }
        }
    }
}
