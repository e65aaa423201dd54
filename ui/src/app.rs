//! The window and the state behind it, joined.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use slint::ComponentHandle;

use crate::adapters;
use crate::screens::{Keyboard, MainWindow, Nav};
use crate::session::{Notice, Session, Tone};

/// The running app: a window over a session. Cheap to clone; every clone is the same app.
#[derive(Clone)]
pub struct App {
    window: slint::Weak<MainWindow>,
    session: Rc<RefCell<Session>>,
    /// Runs while something goes on beside the screens.
    clock: Rc<slint::Timer>,
    /// How far the work was when that was last shown.
    share: Rc<Cell<Option<f32>>>,
}

/// How often the screens ask what has become of the work beside them.
const ASKED_EVERY: std::time::Duration = std::time::Duration::from_millis(100);

impl App {
    /// Joins a window and a session, and shows the place where the person is.
    #[must_use]
    pub fn start(window: &MainWindow, session: Session) -> Self {
        let app = Self {
            window: window.as_weak(),
            session: Rc::new(RefCell::new(session)),
            clock: Rc::new(slint::Timer::default()),
            share: Rc::default(),
        };
        adapters::connect(window, &app);
        app.show();
        app
    }

    /// The session, for looking at it.
    pub fn look<T>(&self, at: impl FnOnce(&Session) -> T) -> T {
        at(&self.session.borrow())
    }

    /// The session, where nothing is being done to it.
    pub(crate) fn glance<T>(&self, at: impl FnOnce(&Session) -> T) -> Option<T> {
        self.session.try_borrow().ok().map(|session| at(&session))
    }

    /// Does something the person asked for, having first tried to keep what stands half typed,
    /// and shows what came of it.
    pub fn act(&self, work: impl FnOnce(&mut Session) + 'static) {
        self.do_now(Box::new(|session| session.go_on_from_form(work)));
    }

    /// Does something within a form or on a keypad, and shows what came of it.
    pub(crate) fn run(&self, work: impl FnOnce(&mut Session) + 'static) {
        self.do_now(Box::new(work));
    }

    /// The same of every button: boxed, so that it is in the program once.
    fn do_now(&self, work: Box<dyn FnOnce(&mut Session)>) {
        let Ok(mut session) = self.session.try_borrow_mut() else {
            // The screens called back while they were being filled: do it right after.
            let app = self.clone();
            slint::Timer::single_shot(std::time::Duration::ZERO, move || app.do_now(work));
            return;
        };
        self.note_scroll(&mut session);
        work(&mut session);
        drop(session);
        self.show();
    }

    /// Notes how far down the page is, before anything leads away from it.
    fn note_scroll(&self, session: &mut Session) {
        if let Some(window) = self.window.upgrade() {
            session.scrolled(window.global::<Nav>().get_at());
        }
    }

    /// Notes where the person is, for when the app is ended while other programs have the screen.
    pub fn rest(&self) {
        if let Ok(mut session) = self.session.try_borrow_mut() {
            self.note_scroll(&mut session);
        }
    }

    /// Goes back, as the platform's own key asks and the arrow on the screen. `false` where there is
    /// nothing to go back to: the platform decides what that means.
    pub fn back(&self) -> bool {
        if let Some(window) = self.window.upgrade()
            && adapters::close_places(&window, self.look(Session::here))
        {
            return true;
        }
        let can = self.session.borrow().can_go_back();
        if can {
            self.act(|session| {
                session.back();
            });
        }
        can
    }

    /// Shows the keyboard for gloves or takes it away, as the platform hears that a field has the
    /// keyboard or none has.
    pub fn show_keyboard(&self, shown: bool) {
        if let Some(window) = self.window.upgrade() {
            window.global::<Keyboard>().set_shown(shown);
        }
    }

    /// Writes a text in place of what stands in the field that has the keyboard.
    pub fn replace_typed(&self, text: &str) {
        if let Some(window) = self.window.upgrade() {
            adapters::keyboard::replace(&window, text);
        }
    }

    /// Notes what is half typed. Nothing on the screen changes by it.
    pub(crate) fn note(&self, work: impl FnOnce(&mut Session) + 'static) {
        let Ok(mut session) = self.session.try_borrow_mut() else {
            let app = self.clone();
            slint::Timer::single_shot(std::time::Duration::ZERO, move || app.note(work));
            return;
        };
        work(&mut session);
        drop(session);
        self.look_after_work();
    }

    /// Looks after the work beside the screens as long as there is some.
    fn look_after_work(&self) {
        let awaits = self.session.borrow().awaits();
        if !awaits {
            self.clock.stop();
        } else if !self.clock.running() {
            // A timer keeps what it does, and is kept by the app: it must not keep the app in turn.
            let window = self.window.clone();
            let session = Rc::downgrade(&self.session);
            let clock = Rc::downgrade(&self.clock);
            let share = Rc::downgrade(&self.share);
            self.clock
                .start(slint::TimerMode::Repeated, ASKED_EVERY, move || {
                    if let (Some(session), Some(clock), Some(share)) =
                        (session.upgrade(), clock.upgrade(), share.upgrade())
                    {
                        let app = Self {
                            window: window.clone(),
                            session,
                            clock,
                            share,
                        };
                        app.ask_after_work();
                    }
                });
        }
    }

    /// Shows what has become of the work beside the screens. Where it has only gone on, how far it is
    /// and nothing else: a whole screen may take long to work out.
    fn ask_after_work(&self) {
        let Ok(mut session) = self.session.try_borrow_mut() else {
            return;
        };
        let changed = session.take_up();
        let share = session.share();
        drop(session);
        if changed {
            self.show();
            return;
        }
        self.look_after_work();
        if self.share.replace(share) != share
            && let Some(window) = self.window.upgrade()
        {
            adapters::fill_share(&window, self.look(Session::here), share);
        }
    }

    /// Shows the place where the person is.
    fn show(&self) {
        self.look_after_work();
        let Some(window) = self.window.upgrade() else {
            return;
        };
        let filled = {
            let session = self.session.borrow();
            self.share.set(session.share());
            adapters::fill(&window, &session)
        };
        if let Err(error) = filled {
            let mut session = self.session.borrow_mut();
            let text = error.said(session.language());
            session.say(Notice {
                tone: Tone::Bad,
                text,
                act: None,
            });
            adapters::fill_notice(&window, &session);
        }
    }
}
