//! The `Device` that the screens ask: the phone.

use std::cell::{Cell, RefCell};
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::time::{Duration, Instant};

use android_activity::{AndroidApp, WindowManagerFlags};
use tautbook_core::language::Language;
use tautbook_core::say;
use tautbook_ui::device::{Became, Device, FileAnswer, PictureFrom, ShareAnswer};

use crate::config::Config;
use crate::{arrivals, camera, java, sharing};

/// How long a buzz lasts, in milliseconds: to be felt in a glove.
const BUZZ_MS: i64 = 60;
/// As strong as the phone buzzes of itself.
const USUAL_STRENGTH: i32 = -1;
/// As long as the camera may take to come up: meanwhile it is not asked again, as a glove that presses
/// twice would.
const CAMERA_COMES_UP: Duration = Duration::from_secs(3);

/// The phone, as the screens and the activity's loop both have it.
pub(crate) struct Phone {
    pub(crate) app: AndroidApp,
    /// The folder that only Tautbook can read.
    pub(crate) data: PathBuf,
    /// The language the screens speak, for what is said here.
    pub(crate) language: Cell<Language>,
    /// The screen is to stay lit, or no longer: told to the platform by [`Phone::light`].
    wants_light: Cell<Option<bool>>,
    /// What the phone is set to.
    pub(crate) config: Cell<Config>,
    /// When the camera was asked, until the screens are back.
    camera_asked: Cell<Option<Instant>>,
    /// The camera was asked by this activity.
    pub(crate) ever_asked: Cell<bool>,
    /// Pictures that there was no room for.
    pub(crate) no_room: RefCell<Vec<PathBuf>>,
    has_camera: bool,
}

impl Phone {
    pub(crate) fn new(app: &AndroidApp, data: PathBuf) -> Rc<Self> {
        let config = Config::now(app);
        Rc::new(Self {
            app: app.clone(),
            data,
            language: Cell::new(config.language.unwrap_or_default()),
            wants_light: Cell::new(None),
            config: Cell::new(config),
            camera_asked: Cell::new(None),
            ever_asked: Cell::new(false),
            no_room: RefCell::default(),
            has_camera: camera::is_there(app),
        })
    }

    /// The screens are back from wherever they were.
    pub(crate) fn is_back(&self) {
        self.camera_asked.set(None);
    }

    /// The camera was asked by this activity, and the screens are back from it: it is closed.
    pub(crate) fn camera_is_closed(&self) -> bool {
        self.ever_asked.get() && self.camera_asked.get().is_none()
    }

    /// Keeps the screen lit or not, as was last asked. Not to be called while an event is being taken:
    /// android-activity would wait for itself for ever.
    pub(crate) fn light(&self) {
        let (lit, none) = (
            WindowManagerFlags::KEEP_SCREEN_ON,
            WindowManagerFlags::empty(),
        );
        match self.wants_light.take() {
            Some(true) => self.app.set_window_flags(lit, none),
            Some(false) => self.app.set_window_flags(none, lit),
            None => {}
        }
    }

    /// Leaves for the other programs, as the back key does on the first screen. `false` where the
    /// activity is to end instead, because it lies over another program's in that one's task, which
    /// could not be seen any more.
    pub(crate) fn step_aside(&self) -> bool {
        let went = java::with(&self.app, |env, activity| {
            if !call!(env, activity, "isTaskRoot", "()Z")?.z()? {
                return Ok(false);
            }
            call!(env, activity, "moveTaskToBack", "(Z)Z", true)?;
            Ok(true)
        });
        went.unwrap_or_else(|error| {
            eprintln!("cannot step aside: {}", java::why(&error));
            true
        })
    }
}

/// The screens' part of it.
pub(crate) struct Screens(pub(crate) Rc<Phone>);

impl Device for Screens {
    fn buzz(&self) {
        let buzzed = java::with(&self.0.app, |env, activity| {
            let name = env.new_string("vibrator")?;
            let vibrator = call!(
                env,
                activity,
                "getSystemService",
                "(Ljava/lang/String;)Ljava/lang/Object;",
                &name,
            )?
            .l()?;
            if vibrator.is_null() {
                return Ok(());
            }
            let effect = call_static!(
                env,
                "android/os/VibrationEffect",
                "createOneShot",
                "(JI)Landroid/os/VibrationEffect;",
                BUZZ_MS,
                USUAL_STRENGTH,
            )?
            .l()?;
            call!(
                env,
                &vibrator,
                "vibrate",
                "(Landroid/os/VibrationEffect;)V",
                &effect,
            )?;
            Ok(())
        });
        if let Err(error) = buzzed {
            eprintln!("no buzz: {}", java::why(&error));
        }
    }

    fn keep_screen_on(&self, on: bool) {
        self.0.wants_light.set(Some(on));
    }

    fn language(&self) -> Option<Language> {
        self.0.config.get().language
    }

    fn speak(&self, language: Language) {
        self.0.language.set(language);
    }

    fn has_camera(&self) -> bool {
        self.0.has_camera
    }

    /// The answer comes at once: a picture of the camera is brought by the activity's loop, with its
    /// target, whether the phone has ended the app meanwhile or not.
    fn ask_picture(&self, from: PictureFrom, target: &str, answer: FileAnswer) {
        let phone = &self.0;
        match from {
            PictureFrom::Camera => {
                let asked = phone.camera_asked.get();
                if asked.is_some_and(|at| at.elapsed() < CAMERA_COMES_UP) {
                    return answer(Ok(None));
                }
                let language = phone.language.get();
                let started = camera::start(&phone.app, &phone.data, language, target);
                if started.is_ok() {
                    phone.camera_asked.set(Some(Instant::now()));
                    phone.ever_asked.set(true);
                }
                answer(started.map(|()| None));
            }
            PictureFrom::Files => answer(Err(say!(
                phone.language.get(),
                "Stay on this screen, open the photo where the phone keeps it, press Share there \
                 and choose Tautbook."
            ))),
        }
    }

    fn ask_day_file(&self, answer: FileAnswer) {
        answer(Err(say!(
            self.0.language.get(),
            "Open the day file where the phone keeps it, or press Share there, and choose Tautbook."
        )));
    }

    fn mark_of(&self, file: &Path) -> Option<PathBuf> {
        arrivals::has(&self.0.data, file).then(|| arrivals::mark_of(file))
    }

    fn served(&self, file: &Path, became: Became) -> Option<String> {
        let (phone, language) = (&self.0, self.0.language.get());
        let of_camera = camera::has(&phone.data, file);
        if !of_camera && !arrivals::has(&phone.data, file) {
            return None;
        }
        if became == Became::NoRoom {
            phone.no_room.borrow_mut().push(file.to_owned());
        }
        if of_camera {
            camera::served(&phone.app, file, became, language)
        } else {
            arrivals::served(file, became, language)
        }
    }

    /// A large file takes its time, and the activity's loop must not.
    fn share(&self, file: &Path, answer: ShareAnswer) {
        let (app, language) = (self.0.app.clone(), self.0.language.get());
        let file = file.to_owned();
        std::thread::spawn(move || answer(sharing::share(&app, language, &file)));
    }
}
