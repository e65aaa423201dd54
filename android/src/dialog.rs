//! The phone's own keyboard, for names and notes: a text dialog of the platform.
//!
//! It is made on the main thread and asked from time to time whether it is still there; the text in
//! it is the text of the field all the while, and however it is closed, so that nothing typed is lost.

use std::sync::mpsc::{Receiver, Sender, channel};
use std::time::{Duration, Instant};

use android_activity::{AndroidApp, AndroidAppWaker};
use jni::Env;
use jni::objects::JObject;
use jni::refs::Global;

use crate::java;

/// How often the dialog is looked at.
pub(crate) const LOOKED_AT_EVERY: Duration = Duration::from_millis(250);

type Shown = (Global<JObject<'static>>, Global<JObject<'static>>);

enum Said {
    Shown(Shown),
    /// It is there still, with this in it.
    Still(Shown, String),
    Closed(String),
    Failed,
}

/// What became of a dialog since it was last looked at.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Look {
    /// Nothing.
    Same,
    /// Its text is another.
    Typed(String),
    /// It was closed, with this in it.
    Closed(String),
    /// It could not be shown.
    Failed,
}

/// A dialog that was asked for.
pub(crate) struct Dialog {
    said: Receiver<Said>,
    tell: Sender<Said>,
    waker: AndroidAppWaker,
    shown: Option<Shown>,
    look_at: Instant,
    /// It is to be looked at once more, though the screens are left.
    once_more: bool,
    text: String,
}

impl Dialog {
    /// Shows a dialog with `text` in it.
    pub(crate) fn show(app: &AndroidApp, text: String, number: bool) -> Self {
        let (tell, said) = channel();
        let dialog = Self {
            said,
            tell,
            waker: app.create_waker(),
            shown: None,
            look_at: Instant::now(),
            once_more: false,
            text: text.clone(),
        };
        dialog.on_main_thread(app, move |app| {
            match java::with(app, |env, activity| make(env, activity, &text, number)) {
                Ok(shown) => Said::Shown(shown),
                Err(error) => {
                    eprintln!("no text dialog: {}", java::why(&error));
                    Said::Failed
                }
            }
        });
        dialog
    }

    fn on_main_thread(
        &self,
        app: &AndroidApp,
        work: impl FnOnce(&AndroidApp) -> Said + Send + 'static,
    ) {
        let (tell, waker, of) = (self.tell.clone(), self.waker.clone(), app.clone());
        app.run_on_java_main_thread(Box::new(move || {
            let _ = tell.send(work(&of)); // Nobody waits for it once the activity ends.
            waker.wake();
        }));
    }

    /// When it is to be looked at next; `None` while an answer of the main thread is awaited.
    pub(crate) fn next_look(&self) -> Option<Duration> {
        self.shown
            .as_ref()
            .map(|_| self.look_at.saturating_duration_since(Instant::now()))
    }

    /// Asks for one look more: the screens are left.
    pub(crate) fn look_once_more(&mut self) {
        self.once_more = true;
    }

    /// Looks after it: from time to time while the screens are there.
    pub(crate) fn look(&mut self, app: &AndroidApp, there: bool) -> Look {
        let mut typed = None;
        while let Ok(said) = self.said.try_recv() {
            match said {
                Said::Shown(shown) => self.shown = Some(shown),
                Said::Still(shown, text) => {
                    self.shown = Some(shown);
                    if text != self.text {
                        self.text.clone_from(&text);
                        typed = Some(text);
                    }
                }
                Said::Closed(text) => return Look::Closed(text),
                Said::Failed => return Look::Failed,
            }
            self.look_at = Instant::now() + LOOKED_AT_EVERY;
        }
        let due = self.once_more || there && self.next_look().is_some_and(|time| time.is_zero());
        if due && let Some(shown) = self.shown.take() {
            self.once_more = false;
            self.on_main_thread(app, move |app| {
                match java::with(app, |env, _| look(env, &shown)) {
                    Ok((true, text)) => Said::Still(shown, text),
                    Ok((false, text)) => Said::Closed(text),
                    Err(error) => {
                        eprintln!("the text dialog is lost: {}", java::why(&error));
                        Said::Failed
                    }
                }
            });
        }
        typed.map_or(Look::Same, Look::Typed)
    }

    /// Takes it away: its activity ends.
    pub(crate) fn dismiss(mut self, app: &AndroidApp) {
        if let Some((dialog, _)) = self.shown.take() {
            self.on_main_thread(app, move |app| {
                let gone = java::with(app, |env, _| {
                    call!(env, &dialog, "dismiss", "()V")?;
                    Ok(())
                });
                if let Err(error) = gone {
                    eprintln!("the text dialog stays: {}", java::why(&error));
                }
                Said::Failed
            });
        }
    }
}

/// Kinds of what is typed, as `android.text.InputType` numbers them.
const WORDS: i32 = 0x0001 | 0x4000; // Text, sentences beginning with a capital.
const NUMBER: i32 = 0x0002 | 0x2000 | 0x1000; // With a point and a sign.
/// The keyboard comes up with the dialog.
const KEYBOARD_UP: i32 = 5;
/// The platform's own word for OK, in the phone's language.
const OK: i32 = 17_039_370;

fn make(
    env: &mut Env<'_>,
    activity: &JObject<'_>,
    text: &str,
    number: bool,
) -> java::Result<Shown> {
    let field = new!(
        env,
        "android/widget/EditText",
        "(Landroid/content/Context;)V",
        activity,
    )?;
    if number {
        // A raw kind brings up the keys for numbers and filters nothing: 3 1/2 in is one, too.
        call!(env, &field, "setRawInputType", "(I)V", NUMBER)?;
    } else {
        call!(env, &field, "setInputType", "(I)V", WORDS)?;
    }
    let text = env.new_string(text)?;
    call!(env, &field, "append", "(Ljava/lang/CharSequence;)V", &text)?;
    let builder = new!(
        env,
        "android/app/AlertDialog$Builder",
        "(Landroid/content/Context;)V",
        activity,
    )?;
    call!(
        env,
        &builder,
        "setView",
        "(Landroid/view/View;)Landroid/app/AlertDialog$Builder;",
        &field,
    )?;
    call!(
        env,
        &builder,
        "setPositiveButton",
        "(ILandroid/content/DialogInterface$OnClickListener;)Landroid/app/AlertDialog$Builder;",
        OK,
        &JObject::null(),
    )?;
    let dialog = call!(env, &builder, "create", "()Landroid/app/AlertDialog;")?.l()?;
    let window = call!(env, &dialog, "getWindow", "()Landroid/view/Window;")?.l()?;
    call!(env, &window, "setSoftInputMode", "(I)V", KEYBOARD_UP)?;
    call!(env, &dialog, "show", "()V")?;
    call!(env, &field, "requestFocus", "()Z")?;
    Ok((env.new_global_ref(&dialog)?, env.new_global_ref(&field)?))
}

/// Whether the dialog is there, and the text in it.
fn look(env: &mut Env<'_>, (dialog, field): &Shown) -> java::Result<(bool, String)> {
    let shows = call!(env, dialog, "isShowing", "()Z")?.z()?;
    let text = call!(env, field, "getText", "()Landroid/text/Editable;")?.l()?;
    Ok((shows, java::said(env, &text)?))
}
