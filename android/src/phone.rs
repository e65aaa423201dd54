//! The `Device` that the screens ask: the phone.

use std::cell::{Cell, RefCell};
use std::path::{Path, PathBuf};
use std::rc::Rc;

use android_activity::{AndroidApp, WindowManagerFlags};
use tautbook_core::language::Language;
use tautbook_core::say;
use tautbook_ui::device::{Device, FileAnswer, PictureFrom};

use crate::{camera, java, sharing};

/// How long a buzz lasts, in milliseconds: to be felt in a glove.
const BUZZ_MS: i64 = 60;
/// As strong as the phone buzzes of itself.
const USUAL_STRENGTH: i32 = -1;

/// The phone, as the screens and the activity's loop both have it.
pub(crate) struct Phone {
    pub(crate) app: AndroidApp,
    /// The folder that only Tautbook can read.
    pub(crate) data: PathBuf,
    /// The language the screens speak, for what is said here.
    pub(crate) language: Cell<Language>,
    /// The screen is to stay lit, or no longer: told to the platform by [`Phone::light`].
    wants_light: Cell<Option<bool>>,
    awaits_camera: RefCell<Option<FileAnswer>>,
    has_camera: bool,
}

impl Phone {
    pub(crate) fn new(app: &AndroidApp, data: PathBuf) -> Rc<Self> {
        Rc::new(Self {
            app: app.clone(),
            data,
            language: Cell::new(language(app).unwrap_or_default()),
            wants_light: Cell::new(None),
            awaits_camera: RefCell::default(),
            has_camera: camera::is_there(app),
        })
    }

    /// Pictures that were not kept yet when the phone ended the app.
    pub(crate) fn left_over(&self) -> Vec<PathBuf> {
        camera::left_over(&self.data)
    }

    /// Picks up what the camera left. To be given on when the screens no longer wait for it.
    pub(crate) fn pick_up(&self) -> Option<Result<PathBuf, String>> {
        let came = camera::pick_up(&self.app, &self.data, self.language.get())?;
        match self.awaits_camera.take() {
            Some(answer) => {
                answer(came.map(Some));
                None
            }
            None => Some(came),
        }
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

    /// Leaves for the other programs, as the back key does on the first screen.
    pub(crate) fn step_aside(&self) {
        let went = java::with(&self.app, |env, activity| {
            call!(env, activity, "moveTaskToBack", "(Z)Z", true)?;
            Ok(())
        });
        if let Err(error) = went {
            eprintln!("cannot step aside: {}", java::why(&error));
        }
    }
}

/// The language the phone is set to, if it is one of ours.
fn language(app: &AndroidApp) -> Option<Language> {
    Language::of_locale(&app.config().language()?)
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
        language(&self.0.app)
    }

    fn speak(&self, language: Language) {
        self.0.language.set(language);
    }

    fn has_camera(&self) -> bool {
        self.0.has_camera
    }

    fn ask_picture(&self, from: PictureFrom, answer: FileAnswer) {
        let phone = &self.0;
        match from {
            PictureFrom::Camera => {
                match camera::start(&phone.app, &phone.data, phone.language.get()) {
                    Ok(()) => {
                        // Whoever waited before waits no more: the picture goes to the last.
                        if let Some(before) = phone.awaits_camera.replace(Some(answer)) {
                            before(Ok(None));
                        }
                    }
                    Err(why) => answer(Err(why)),
                }
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

    fn served(&self, file: &Path, kept: bool) {
        camera::served(&self.0.data, file, kept);
    }

    fn share(&self, file: &Path) -> Result<String, String> {
        sharing::share(&self.0.app, self.0.language.get(), file)
    }
}
